package casebook

import (
	"database/sql"
	"fmt"
	"maps"
	"slices"
)

// foreign checks what came of other casebooks' logs: each event gives its own hash,
// each import brought as many as it says and these, and events that follow each other
// there are chained. Events about other cases stayed where they were, so that there
// are gaps.
func (a *auditor) foreign() error {
	lines := map[string][]string{}           // by import
	prevs := map[string]map[int64][]string{} // by casebook and number: hashes of the events there
	var all []foreignEvent
	err := each(a.q, `SELECT import_id, book, `+eventColumns+` FROM foreign_events ORDER BY book, seq, hash`, nil, func(rows *sql.Rows) error {
		if err := a.ctx.Err(); err != nil {
			return err
		}
		var by string
		var e foreignEvent
		if err := rows.Scan(append([]any{&by, &e.book}, e.fields()...)...); err != nil {
			return err
		}
		if e.digest() != e.hash {
			a.problem("event %d of the casebook %s (%s), which came with an import, was changed: its content no longer gives its hash", e.seq, e.book, shown(e.event))
		}
		lines[by] = append(lines[by], e.line())
		if prevs[e.book] == nil {
			prevs[e.book] = map[int64][]string{}
		}
		prevs[e.book][e.seq] = append(prevs[e.book][e.seq], e.hash)
		e.before, e.after = "", "" // what is left is for the chain
		all = append(all, e)
		return nil
	})
	if err != nil || !a.report.Holds() {
		return err
	}
	if err := a.brought(lines); err != nil {
		return err
	}
	for i, e := range all {
		before := prevs[e.book][e.seq-1]
		if len(before) > 0 && !slices.Contains(before, e.prev) {
			a.problem("event %d of the casebook %s, which came with an import, does not continue event %d there", e.seq, e.book, e.seq-1)
		}
		if i > 0 && all[i-1].book == e.book {
			a.clock(all[i-1].event, e.event, fmt.Sprintf(" of the casebook %s", e.book))
		}
	}
	return nil
}

// brought compares the events that are there with what each import says of them.
func (a *auditor) brought(lines map[string][]string) error {
	err := each(a.q, `SELECT id, events, chain, COALESCE(file, ''), ord < (SELECT max(ord) FROM imports WHERE seq = t.seq)
		FROM imports t ORDER BY seq, ord`, nil, func(rows *sql.Rows) error {
		var id, chain, file string
		var events int
		var carried bool // an import into another casebook, of which the row alone came here
		if err := rows.Scan(&id, &events, &chain, &file, &carried); err != nil {
			return err
		}
		here := slices.Sorted(slices.Values(lines[id]))
		delete(lines, id)
		if carried && len(here) == 0 {
			return nil
		}
		if len(here) != events || chainOf(here) != chain {
			a.problem("the import of %s brought %d events of another log, and %d are here that are not all the same", file, events, len(here))
		}
		return nil
	})
	for _, id := range slices.Sorted(maps.Keys(lines)) {
		a.problem("%d events of another log are here, and no import brought them", len(lines[id]))
	}
	return err
}
