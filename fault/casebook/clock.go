package casebook

import (
	"database/sql"
	"fmt"
	"time"
)

// A clock is what a Book remembers of its last event, so that a clock that was set in
// between shows. It is used within commands, of which there is one at a time.
type clock struct {
	seq int64
	at  time.Time
	ran time.Duration
}

// leastStep is by how much the clock and the time that passed may differ without a
// word: clocks are adjusted a little all the time.
const leastStep = time.Minute

// stepped tells by how much the clock was set since the event before, 0 if it was
// not: an event that is dated before that one, or a difference from the time that
// the program ran. A machine that slept shows as a step forward.
func (b *Book) stepped(q queryer, before int64, at time.Time) (time.Duration, error) {
	var text string
	if ok, err := one(q, `SELECT at FROM events WHERE seq = ?`, []any{before}, &text); err != nil || !ok {
		return 0, err
	}
	was, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return 0, nil // the audit tells of it
	}
	step := time.Duration(0)
	if b.ran != nil && b.clock.seq == before && before > 0 {
		if d := at.Round(0).Sub(b.clock.at.Round(0)) - (b.ran() - b.clock.ran); d.Abs() >= leastStep {
			step = d
		}
	}
	if back := at.Round(0).Sub(was); back < 0 && step >= 0 {
		step = back
	}
	return step, nil
}

// noteClock records a step of the clock with the command that it comes before.
func (c *command) noteClock(step time.Duration) error {
	if step == 0 {
		return nil
	}
	key := c.newID()
	c.bring("clock_steps", key)
	return c.exec(`INSERT INTO clock_steps (id, seq, step_s) VALUES (?, ?, ?)`, key, c.seq, step.Seconds())
}

// clockSteps tells of the steps that commands recorded.
func (a *auditor) clockSteps() error {
	return each(a.q, `SELECT c.seq, c.step_s, e.at, p.at FROM clock_steps c JOIN events e ON e.seq = c.seq JOIN events p ON p.seq = c.seq - 1 ORDER BY c.seq`,
		nil, func(rows *sql.Rows) error {
			var seq int64
			var step float64
			var at, before string
			if err := rows.Scan(&seq, &step, &at, &before); err != nil {
				return err
			}
			d := time.Duration(step * float64(time.Second))
			switch {
			case step > 0:
				a.report.Notes = append(a.report.Notes, fmt.Sprintf("the clock went forward by %s more than the program ran between events %d and %d: it was set, or the machine slept", spokenTime(d), seq-1, seq))
			case at >= before: // an event that is dated before the one before it is told of already
				a.report.Notes = append(a.report.Notes, fmt.Sprintf("the clock went back by %s between events %d and %d", spokenTime(-d), seq-1, seq))
			}
			return nil
		})
}
