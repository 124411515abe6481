package casebook

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"halfsplit/fault"
)

// A Report is what an audit found.
type Report struct {
	Events      int64  // that hold, from the first
	First, Last string // their times
	Head        string // hash of the last of them
	Problem     string // the first thing that does not hold, in plain words; "" = everything holds
	Notes       []string
	Since       int64 // events that came after the expected head; -1 = none was given
}

// Holds says whether log and rows belong together.
func (r Report) Holds() bool { return r.Problem == "" }

// Audit walks the log from its first event, computes every hash anew, works out
// what rows the events leave behind, and compares them with the rows that are
// there, column by column. It stops at the first thing that does not hold.
//
// expected is a head that was written down earlier, as fault.ParseHead reads it, ""
// for none. The log must still contain it: whoever rewrites a whole file can make a chain that holds in
// itself, and only a head kept elsewhere tells. An error is a casebook that cannot
// be read, not one that does not hold.
func (b *Book) Audit(ctx context.Context, expected string) (r Report, err error) {
	err = b.view(func(q queryer) error {
		r, err = audit(ctx, q, expected)
		return err
	})
	return r, err
}

// AuditFile audits a casebook without opening it for writing, and compares every
// byte of a file that was closed with its seal. It may be open elsewhere.
func AuditFile(ctx context.Context, path, expected string) (Report, error) {
	b, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		return Report{}, err
	}
	defer b.Close()
	r, err := b.Audit(ctx, expected)
	if err != nil || !r.Holds() {
		return r, err
	}
	problem, note, err := checkSeal(b)
	if r.Problem = problem; note != "" {
		r.Notes = append(r.Notes, note)
	}
	return r, b.plain(err)
}

// An auditor is one walk of the log.
type auditor struct {
	ctx    context.Context
	q      queryer
	report Report
	rows   implied
	steps  map[int64]step
	undone map[string]map[int64]bool // steps of a scope that can be redone
	wanted Head                      // that was written down; no hash = none
	seen   bool                      // it is in the log
}

type step struct {
	scope  string
	undone bool
}

func audit(ctx context.Context, q queryer, expected string) (Report, error) {
	a := &auditor{ctx: ctx, q: q, rows: implied{}, steps: map[int64]step{}, undone: map[string]map[int64]bool{}}
	a.report.Since = -1
	a.report.Head = noHash
	if expected != "" {
		var err error
		if a.wanted, err = fault.ParseHead(expected); err != nil {
			return a.report, refuse(err.Error())
		}
	}
	for _, check := range []func() error{a.log, a.head, a.tables, a.foreign, a.clockSteps, a.undoable, a.blobs, a.guards} {
		err := check()
		if err != nil && ctx.Err() == nil && classify(err) == Failed {
			a.problem("something in the file cannot be read as what it should be: %s", err)
			err = nil
		}
		if err != nil || !a.report.Holds() {
			return a.report, err
		}
	}
	return a.report, nil
}

func (a *auditor) problem(format string, args ...any) {
	if a.report.Problem == "" {
		a.report.Problem = fmt.Sprintf(format, args...)
	}
}

// log walks the chain.
func (a *auditor) log() error {
	last := event{hash: noHash}
	err := each(a.q, `SELECT `+eventColumns+` FROM events ORDER BY seq`, nil, func(rows *sql.Rows) error {
		if err := a.ctx.Err(); err != nil || !a.report.Holds() {
			return err
		}
		var e event
		if err := rows.Scan(e.fields()...); err != nil {
			return err
		}
		if a.event(last, e); !a.report.Holds() {
			return nil
		}
		a.note(last, e)
		if last.seq == 0 {
			a.report.First = e.at
		}
		a.report.Events, a.report.Last, a.report.Head = e.seq, e.at, e.hash
		if a.wanted.Is(Head{Seq: e.seq, Hash: e.hash}) {
			a.seen, a.report.Since = true, 0
		} else if a.seen {
			a.report.Since++
		}
		last = e
		return nil
	})
	if err == nil && a.report.Holds() && a.wanted.Known() && !a.seen {
		a.unseen()
	}
	return err
}

// unseen says how the log does not contain the head that was written down.
func (a *auditor) unseen() {
	switch w := a.wanted; {
	case w.Seq == 0:
		a.problem("no event has the expected hash %s: the log was cut short or written anew since that was written down", w.Hash)
	case w.Seq > a.report.Events:
		a.problem("the log ends with event %d, and the head that was written down is of event %d: no event has the expected hash, and the end was cut off since", a.report.Events, w.Seq)
	default:
		a.problem("event %d is another than the one that was written down: no event has the expected hash %s, and the log was written anew since", w.Seq, w.Hash)
	}
}

// event checks one event against the one before it, and takes in what it says of
// the rows.
func (a *auditor) event(last, e event) {
	switch {
	case e.seq != last.seq+1:
		a.problem("event %d is missing: event %d follows event %d", last.seq+1, e.seq, last.seq)
	case e.prev != last.hash:
		a.problem("event %d (%s) does not continue event %d: one of them was changed, or events were put in another order", e.seq, shown(e), last.seq)
	case e.digest() != e.hash:
		a.problem("event %d (%s) was changed: its content no longer gives its hash", e.seq, shown(e))
	default:
		if why := a.rows.take(e); why != "" {
			a.problem("event %d (%s) does not follow from those before it: %s", e.seq, shown(e), why)
		}
		a.take(e)
	}
}

// take works out what the person can undo, as step does when it happens.
func (a *auditor) take(e event) {
	if a.undone[e.scope] == nil {
		a.undone[e.scope] = map[int64]bool{}
	}
	switch undone := a.undone[e.scope]; {
	case e.scope == "":
	case e.reverts != 0:
		a.steps[e.reverts] = step{e.scope, e.kind == kindUndo}
		if e.kind == kindUndo {
			undone[e.reverts] = true
		} else {
			delete(undone, e.reverts)
		}
	default:
		for seq := range undone {
			delete(a.steps, seq)
		}
		clear(undone)
		a.steps[e.seq] = step{e.scope, false}
	}
}

// note tells of a clock that was set, which is odd and no error.
func (a *auditor) note(last, e event) {
	if last.seq > 0 {
		a.clock(last, e, "")
	}
}

// clock tells of an event that is dated before the one before it.
func (a *auditor) clock(last, e event, of string) {
	was, err1 := time.Parse(time.RFC3339, last.at)
	is, err2 := time.Parse(time.RFC3339, e.at)
	if err1 == nil && err2 == nil && is.Before(was) {
		a.report.Notes = append(a.report.Notes, fmt.Sprintf("the clock went back by %s between events %d and %d%s", spokenTime(was.Sub(is)), last.seq, e.seq, of))
	}
}

// spokenTime is a length of time in words: "3 h 02 min".
func spokenTime(d time.Duration) string {
	switch s := int(d.Round(time.Second).Seconds()); {
	case d < 10*time.Second:
		return fmt.Sprintf("%.2g s", d.Seconds())
	case s < 120:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	case s < 48*3600:
		return fmt.Sprintf("%d h %02d min", s/3600, s/60%60)
	default:
		return fmt.Sprintf("%d days %d h", s/86400, s/3600%24)
	}
}

// shown names an event within a sentence.
func shown(e event) string {
	name := e.name
	if name == "" {
		name = e.kind
	}
	return fmt.Sprintf("%s, %s", name, e.at)
}

// head compares the newest event with the one that the casebook remembers apart
// from the log.
func (a *auditor) head() error {
	h, err := head(a.q)
	if err != nil {
		return err
	}
	var others int
	if _, err := one(a.q, `SELECT count(*) FROM head WHERE one <> 1`, nil, &others); err != nil {
		return err
	}
	switch {
	case others > 0:
		a.problem("the casebook remembers %d more newest events than one", others)
	case h.Seq > a.report.Events:
		a.problem("events are missing at the end: the log ends with event %d, and the casebook remembers event %d", a.report.Events, h.Seq)
	case h.Seq != a.report.Events || h.Hash != a.report.Head:
		a.problem("the casebook remembers another newest event (%d) than the log has (%d)", h.Seq, a.report.Events)
	case h.Seq == 0:
		a.problem("the log is empty")
	}
	return nil
}

// undoable compares what can be undone with what the events leave to be undone.
func (a *auditor) undoable() error {
	return each(a.q, `SELECT e.n, s.scope, s.undone FROM (SELECT seq AS n FROM events UNION SELECT seq FROM steps) e
		LEFT JOIN steps s ON s.seq = e.n ORDER BY e.n`, nil, func(rows *sql.Rows) error {
		var seq int64
		var scope *string
		var undone *int64
		if err := rows.Scan(&seq, &scope, &undone); err != nil {
			return err
		}
		want, should := a.steps[seq]
		is := scope != nil && undone != nil
		if is != should || is && want != (step{*scope, *undone == 1}) {
			a.problem("the list of what can be undone does not follow from the log at event %d", seq)
		}
		return nil
	})
}
