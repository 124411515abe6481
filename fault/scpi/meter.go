package scpi

import (
	"context"
	"strings"
	"sync"
	"time"
)

// Timeout is how long an answer may take where nothing else is said.
const Timeout = 3 * time.Second

// longest is the length of an answer beyond which a line without an end is no
// answer, in bytes.
const longest = 512

// A Function is what is asked for, as its query. Each but AsSet also sets the
// meter to it.
type Function string

// The functions.
const (
	AsSet   Function = "READ?"         // by the meter's own settings
	VoltsDC Function = "MEAS:VOLT:DC?" // V
	Ohms    Function = "MEAS:RES?"     // Ω, two wires
	Ohms4   Function = "MEAS:FRES?"    // Ω, four wires
	AmpsDC  Function = "MEAS:CURR:DC?" // A
	whoIsIt          = "*IDN?"
	reports          = "SYST:ERR?"
)

// A Meter is one connected instrument. It connects when it is first asked and
// stays connected. Its methods may be called from several goroutines; they take
// turns.
type Meter struct {
	at      Address
	timeout time.Duration

	turn chan struct{} // holds one token: who has it may use what follows
	line line
	id   string // the answer to *IDN? on this line
	owed int    // answers to *IDN? that were asked for and have not come
	must bool   // something went wrong since the line was last in step
	rest []byte // came after the end of a line

	mute map[string]bool // questions about its setting that it was silent to

	once sync.Once
	done chan struct{} // closed by Close
}

// New is a meter at an address. An answer that takes longer than timeout is an
// error; 0 is Timeout.
func New(at Address, timeout time.Duration) *Meter {
	if timeout <= 0 {
		timeout = Timeout
	}
	m := &Meter{at: at, timeout: timeout, turn: make(chan struct{}, 1), done: make(chan struct{})}
	m.turn <- struct{}{}
	return m
}

// At is the meter's address.
func (m *Meter) At() Address { return m.at }

// Timeout is how long an answer may take.
func (m *Meter) Timeout() time.Duration { return m.timeout }

// Close ends the line and whatever waits for an answer.
func (m *Meter) Close() {
	m.once.Do(func() { close(m.done) })
	<-m.turn
	m.hangUp()
	m.turn <- struct{}{}
}

// Identify asks the meter who it is: maker, model, serial number and firmware, as
// it writes them.
func (m *Meter) Identify(ctx context.Context) (string, error) {
	var id string
	err := m.do(ctx, func() error {
		m.must = true // asked again, by the same question that puts the line in step
		err := m.ready(ctx)
		id = m.id
		return err
	})
	return id, err
}

// Read asks for one value.
func (m *Meter) Read(ctx context.Context, f Function) (Value, error) {
	var v Value
	err := m.do(ctx, func() error {
		answer, err := m.ask(ctx, string(f))
		if err != nil {
			return err
		}
		if identity(answer) {
			return m.fail(Wrong, nil, "answered %s with what it owed to an earlier question", f)
		}
		got, err := ParseValue(answer)
		if err != nil {
			return m.fail(Wrong, err, "answered %s with %v", f, err)
		}
		v = got
		v.Identity = m.id
		return nil
	})
	return v, err
}

// mostReports bounds a queue that never says that it is empty.
const mostReports = 32

// Reports empties the meter's own queue of errors, the oldest first.
func (m *Meter) Reports(ctx context.Context) (out []Report, err error) {
	err = m.do(ctx, func() error {
		for range mostReports {
			answer, err := m.ask(ctx, reports)
			if err != nil {
				return err
			}
			r, err := ParseReport(answer)
			if err != nil {
				return m.fail(Wrong, err, "answered %s with %v", reports, err)
			}
			if r.Number == 0 {
				return nil
			}
			out = append(out, r)
		}
		return nil
	})
	return out, err
}

// do takes the meter's turn. After any failure the line is ended: the next
// question begins on a new one, in step.
func (m *Meter) do(ctx context.Context, f func() error) error {
	select {
	case <-m.turn:
	case <-ctx.Done():
		return m.stopped(ctx)
	case <-m.done:
		return m.fail(Closed, nil, "is no longer connected")
	}
	defer func() { m.turn <- struct{}{} }()
	select {
	case <-m.done:
		return m.fail(Closed, nil, "is no longer connected")
	default:
	}
	err := f()
	if err != nil {
		m.must = true
		m.hangUp()
	}
	return err
}

func (m *Meter) hangUp() {
	if m.line != nil {
		m.line.Close()
	}
	m.line, m.rest, m.id = nil, nil, ""
}

// ask sends a question on a line that is in step and waits for its answer.
func (m *Meter) ask(ctx context.Context, query string) (string, error) {
	if err := m.ready(ctx); err != nil {
		return "", err
	}
	if err := m.send(query); err != nil {
		return "", err
	}
	return m.answer(ctx, query, time.Now().Add(m.timeout))
}

func (m *Meter) send(query string) error {
	_, err := m.line.Write([]byte(query + "\n"))
	switch {
	case err == nil:
		return nil
	case timedOut(err):
		return m.fail(Late, err, "did not take %s within %s", query, seconds(m.timeout))
	}
	return m.fail(Unplugged, err, "was unplugged or switched off before it was asked: %v", err)
}

// answer is the next line that is not empty, without its end.
func (m *Meter) answer(ctx context.Context, query string, until time.Time) (string, error) {
	buf := make([]byte, 256)
	for {
		if text, ok, err := m.cut(query); ok || err != nil {
			return text, err
		}
		select {
		case <-ctx.Done():
			return "", m.stopped(ctx)
		case <-m.done:
			return "", m.fail(Closed, nil, "is no longer connected")
		default:
		}
		if !time.Now().Before(until) {
			if part := strings.TrimSpace(string(m.rest)); part != "" {
				return "", m.fail(Late, nil, "answered no more than %s within %s: the line had no end", quoted(part), seconds(m.timeout))
			}
			return "", m.fail(Late, nil, "did not answer within %s", seconds(m.timeout))
		}
		n, err := m.line.Read(buf)
		m.rest = append(m.rest, buf[:n]...)
		if err != nil && n == 0 {
			return "", m.fail(Unplugged, err, "was unplugged or switched off before it answered")
		}
	}
}

// cut takes one line from what has come. Lines end with LF, CR or both.
func (m *Meter) cut(query string) (text string, ok bool, err error) {
	for {
		i := strings.IndexAny(string(m.rest), "\r\n")
		if i < 0 && len(m.rest) > longest || i > longest {
			return "", false, m.fail(Wrong, nil, "answered %s with more than %d characters without an end: is the baud rate right", query, longest)
		}
		if i < 0 {
			return "", false, nil
		}
		text = strings.TrimSpace(string(m.rest[:i]))
		m.rest = m.rest[i+1:]
		if text == "" {
			continue
		}
		for _, r := range text {
			if r < ' ' || r > '~' {
				return "", false, m.fail(Wrong, nil, "answered %s with %s: is the baud rate right", query, quoted(text))
			}
		}
		return text, true, nil
	}
}
