package casebook

import (
	"context"
	"database/sql"
	"encoding/json"
	"time"
)

// By says who does something, and why where there is more to say than what.
type By struct{ Who, Why string }

// A command is one change of the casebook while it is being made: a transaction,
// and the event that will describe it.
type command struct {
	tx *sql.Tx
	event
	ord     int64 // of the next row
	touched []*touched
	seen    map[[2]string]*touched
	newID   func() string
}

// touched is a row that the command changes or adds, as it was before.
type touched struct {
	table  table
	key    string
	before string
}

// do makes one command. f changes rows through the command and names it; what it
// touched is then written as one event, in the same transaction. If f touches
// nothing, nothing happens.
func (b *Book) do(kind, caseID, scope string, by By, f func(c *command) error) error {
	if b.writer == nil {
		return &Error{Kind: ReadOnly, Path: b.path, Text: "is open for reading alone"}
	}
	return b.plain(b.transact(func(tx *sql.Tx) error {
		h, err := head(tx)
		if err != nil {
			return err
		}
		now := b.now()
		step, err := b.stepped(tx, h.Seq, now)
		if err != nil {
			return err
		}
		c := &command{tx: tx, newID: b.newID, seen: map[[2]string]*touched{}, event: event{
			seq: h.Seq + 1, prev: h.Hash, id: b.newID(), at: stamp(now),
			kind: kind, caseID: caseID, scope: scope, who: by.Who, why: by.Why,
		}}
		if err := f(c); err != nil || len(c.touched) == 0 {
			return err
		}
		if err := c.noteClock(step); err != nil {
			return err
		}
		b.clock = clock{seq: c.seq, at: now}
		if b.ran != nil {
			b.clock.ran = b.ran()
		}
		return c.finish()
	}))
}

func (b *Book) transact(f func(*sql.Tx) error) error {
	tx, err := b.writer.BeginTx(context.Background(), nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after a commit it does nothing
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// stamp is a time as the log writes it.
func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000000Z") }

func (c *command) exec(query string, args ...any) error {
	_, err := c.tx.ExecContext(context.Background(), query, args...)
	return err
}

// touch remembers a row before it is changed or added.
func (c *command) touch(name, key string) error {
	at := [2]string{name, key}
	if c.seen[at] != nil {
		return nil
	}
	t, _ := tableOf(name)
	before, err := snapshot(c.tx, t, key)
	if err != nil {
		return err
	}
	c.seen[at] = &touched{t, key, before}
	c.touched = append(c.touched, c.seen[at])
	return nil
}

// add is touch for a row that is new; it gives the row its key and its place.
func (c *command) add(name string) (key string, ord int64) {
	key = c.newID()
	return key, c.bring(name, key)
}

// bring is add for a row that has its key already.
func (c *command) bring(name, key string) (ord int64) {
	ord = c.ord
	c.ord++
	t, _ := tableOf(name)
	c.seen[[2]string{name, key}] = &touched{t, key, ""}
	c.touched = append(c.touched, c.seen[[2]string{name, key}])
	return ord
}

// finish writes the event, the head and what can be undone.
func (c *command) finish() error {
	before, after := map[string][]json.RawMessage{}, map[string][]json.RawMessage{}
	for _, t := range c.touched {
		now, err := snapshot(c.tx, t.table, t.key)
		if err != nil {
			return err
		}
		if t.before != "" {
			before[t.table.name] = append(before[t.table.name], json.RawMessage(t.before))
		}
		after[t.table.name] = append(after[t.table.name], json.RawMessage(now))
	}
	var err error
	if c.before, err = encodeRows(before); err != nil {
		return err
	}
	if c.after, err = encodeRows(after); err != nil {
		return err
	}
	if c.subject == "" {
		c.subject = c.touched[0].key
	}
	c.hash = c.digest()
	err = c.exec(`INSERT INTO events (`+eventColumns+`) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		c.seq, c.id, c.at, c.who, c.kind, c.name, c.subject, c.caseID, c.scope, c.reverts,
		c.before, c.after, c.why, c.prev, c.hash)
	if err != nil {
		return err
	}
	err = c.exec(`INSERT INTO head (one, seq, hash) VALUES (1, ?1, ?2)
		ON CONFLICT (one) DO UPDATE SET seq = ?1, hash = ?2`, c.seq, c.hash)
	if err != nil {
		return err
	}
	return c.step()
}

func encodeRows(rows map[string][]json.RawMessage) (string, error) {
	if len(rows) == 0 {
		return "", nil
	}
	raw, err := encode(rows)
	return string(raw), err
}
