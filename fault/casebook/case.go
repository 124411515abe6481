package casebook

import "halfsplit/fault"

// Info is what a casebook knows of a case besides the case.
type Info struct {
	ID       string
	LayoutID string
	Version  int    // of the layout, from 1
	Draft    bool   // no reading rests on this version yet: it may still change
	Symptom  string // what the customer says, verbatim
	Created  string // time of the first event
	Changed  string // time of the newest event that a finding has to take in
	Revision int64  // number of that event: what a finding made now takes in
}

// Case is a case as it stands: superseded readings are there, as they are in a
// case file; withdrawn ones are not, Withdrawn lists them.
func (b *Book) Case(id string) (c fault.Case, info Info, err error) {
	err = b.view(func(q queryer) error {
		row, err := readCaseRow(q, id)
		if err != nil {
			return err
		}
		if c, err = readCase(q, row); err != nil {
			return err
		}
		info, err = readInfo(q, row)
		return err
	})
	return c, info, err
}

// symptomField is where a case file carries the symptom.
const symptomField = "symptom"

// ExportCase is a case as a case file holds it, the symptom among its further
// fields. Withdrawn readings stay in the casebook.
func (b *Book) ExportCase(id string) (fault.Case, error) {
	c, info, err := b.Case(id)
	if err != nil || info.Symptom == "" {
		return c, err
	}
	raw, err := encode(info.Symptom)
	if err != nil {
		return c, b.plain(err)
	}
	c.Extra = cloned(c.Extra)
	c.Extra[symptomField] = raw
	return c, nil
}

func readInfo(q queryer, row caseRow) (Info, error) {
	info := Info{ID: row.id, Symptom: row.symptom}
	_, err := one(q, `SELECT v.layout_id, v.number, NOT EXISTS (`+inUse+`) FROM layout_versions v WHERE v.id = ?`,
		[]any{row.version}, &info.LayoutID, &info.Version, &info.Draft)
	if err != nil {
		return info, err
	}
	_, err = one(q, `SELECT first.at, last.at, last.seq FROM events first, events last
		WHERE first.seq = (SELECT min(seq) FROM events WHERE case_id = ?1)
		  AND last.seq = (SELECT max(seq) FROM events WHERE case_id = ?1 AND `+changes+`)`,
		[]any{row.id}, &info.Created, &info.Changed, &info.Revision)
	return info, err
}

// inUse finds what rests on the layout version v.
const inUse = `SELECT 1 FROM readings WHERE layout_version = v.id UNION ALL SELECT 1 FROM group_volts WHERE layout_version = v.id`

// readCase puts a case together from its rows.
func readCase(q queryer, row caseRow) (c fault.Case, err error) {
	c.Title, c.Now = row.title, row.present
	if c.Minutes, c.Extra, err = readMinutes(row); err != nil {
		return c, err
	}
	if c.Layout, err = layoutOf(q, row.version); err != nil {
		return c, err
	}
	for _, read := range []func() error{
		func() (err error) { c.Instruments, err = readInstruments(q, row.id); return },
		func() (err error) { c.Resistors, err = readResistors(q, row.id); return },
		func() (err error) { c.States, err = readStates(q, row.id); return },
		func() (err error) { c.GroupVolts, err = readGroupVolts(q, row.id); return },
		func() (err error) { c.Readings, err = readReadings(q, `t.case_id = ?1 AND `+live, row.id); return },
		func() (err error) { c.Noted, err = readNoted(q, row.id); return },
		func() (err error) { c.MakeSafe, err = readMakeSafe(q, row.id); return },
		func() (err error) { c.Provings, err = readProvings(q, row.id); return },
	} {
		if err := read(); err != nil {
			return c, err
		}
	}
	return c, nil
}
