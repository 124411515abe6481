package scpi

import (
	"context"
	"time"
)

// ready connects where there is no line, and makes sure that the next answer will
// be that of the next question.
func (m *Meter) ready(ctx context.Context) error {
	if ctx.Err() != nil {
		return m.stopped(ctx)
	}
	if m.line != nil {
		came, err := m.waiting()
		switch {
		case err != nil:
			m.hangUp() // it was unplugged between two questions: connect again
		case came:
			m.must = true
		}
	}
	if m.line == nil {
		l, err := open(ctx, m.at, m.timeout)
		if err != nil {
			return m.opening(ctx, err)
		}
		m.line, m.must = l, true
	}
	if !m.must {
		return nil
	}
	return m.step(ctx)
}

// waiting takes what has come unasked and says whether there was any.
func (m *Meter) waiting() (bool, error) {
	buf := make([]byte, 256)
	n, err := m.line.Read(buf)
	m.rest = append(m.rest, buf[:n]...)
	if n > 0 {
		err = nil // the end is met again by the next read
	}
	return len(m.rest) > 0, err
}

// drain throws away what has come, until nothing more comes.
func (m *Meter) drain(ctx context.Context) error {
	for until := time.Now().Add(m.timeout); ; {
		m.rest = nil
		came, err := m.waiting()
		switch {
		case err != nil:
			return m.fail(Unplugged, err, "was unplugged or switched off before it was asked")
		case ctx.Err() != nil:
			return m.stopped(ctx)
		case !came:
			return nil
		case !time.Now().Before(until):
			return m.fail(Wrong, nil, "goes on sending without being asked: is it set to send by itself")
		}
	}
}

// step puts the line in step. The meter is asked who it is, and everything before
// its answer is thrown away: a late answer to an earlier question has to come
// before it. Where it owes answers to that question too, it is in step when all of
// these have come, or when it has been silent after one for as long as an answer
// may take.
func (m *Meter) step(ctx context.Context) error {
	if err := m.drain(ctx); err != nil {
		return err
	}
	if err := m.send(whoIsIt); err != nil {
		return err
	}
	m.owed++
	id, until := "", time.Now().Add(m.timeout)
	var other error // what it said instead of its name
	for m.owed > 0 {
		text, err := m.answer(ctx, whoIsIt, until)
		kind, _ := KindOf(err)
		switch {
		case err == nil && identity(text):
			id, until = text, time.Now().Add(m.timeout)
			m.owed--
		case err == nil:
			other = m.fail(Wrong, nil, "answered %s with %s, which is no meter's name", whoIsIt, quoted(text))
		case kind == Wrong:
			other, m.rest = err, nil
		case kind == Late && ctx.Err() == nil && id != "" && len(m.rest) == 0:
			m.owed = 0
		case kind == Late && ctx.Err() == nil && other != nil:
			return other
		default:
			return err
		}
		if other != nil && !time.Now().Before(until) {
			return other
		}
	}
	m.id, m.must, m.rest = id, false, nil
	return nil
}
