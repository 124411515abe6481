package casebook

import (
	"cmp"
	"slices"

	"halfsplit/fault"
	"halfsplit/fault/format"
)

// A SavedFinding is a finding as it was stated.
type SavedFinding struct {
	ID       string
	At       string
	Engine   string
	Verdict  string
	JSON     []byte // halfsplit-finding/1, as it came
	Used     []string
	Revision int64 // newest event of the case that it took in
	Current  bool  // the case has not changed since
}

// SaveFinding freezes a finding that was made from a case at a revision. It is
// recorded but no step of the person's work: undo and redo pass it over. The same
// bytes for the same revision are kept once. Save what somebody saw or will rest
// on, not every passing computation.
func (b *Book) SaveFinding(caseID string, revision int64, raw []byte) error {
	f, _, err := format.ReadFinding("finding", raw)
	if err != nil {
		return &Error{Refused, "", "this finding cannot be kept: " + reason(err), err}
	}
	return b.do(kindFinding, caseID, "", By{Who: f.Engine}, func(c *command) error {
		if _, err := c.caseRow(caseID); err != nil {
			return err
		}
		body, err := c.store(raw, deflated)
		if err != nil {
			return err
		}
		last, ok, err := lastFinding(c.tx, caseID)
		if err != nil || ok && last.body == body && last.revision == revision {
			return err
		}
		places, err := encode(placesOf(f))
		if err != nil {
			return err
		}
		used, err := encode(orEmpty(f.Used))
		if err != nil {
			return err
		}
		id, _ := c.add("findings")
		c.name = "finding: " + f.Verdict
		return c.exec(`INSERT INTO findings (id, seq, case_id, revision, engine, verdict, statement, places, used, body)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			id, c.seq, caseID, revision, f.Engine, f.Verdict, f.Statement, string(places), string(used), body)
	})
}

// LastFinding is the newest finding of a case; ok is false if there is none.
func (b *Book) LastFinding(caseID string) (f SavedFinding, ok bool, err error) {
	err = b.view(func(q queryer) error {
		row, err := readCaseRow(q, caseID)
		if err != nil {
			return err
		}
		last, has, err := lastFinding(q, caseID)
		if err != nil || !has {
			return err
		}
		info, err := readInfo(q, row)
		if err != nil {
			return err
		}
		f, ok = last.SavedFinding, true
		f.Revision, f.Current = last.revision, last.revision >= info.Revision
		f.JSON, err = load(q, last.body)
		return err
	})
	return f, ok, err
}

// newestFinding is the key of the newest finding of the case ?1.
const newestFinding = `SELECT t.id FROM findings t WHERE t.case_id = ?1 AND ` + live + ` ORDER BY t.seq DESC, t.ord DESC LIMIT 1`

type findingRow struct {
	SavedFinding
	revision int64
	body     string
}

func lastFinding(q queryer, caseID string) (f findingRow, ok bool, err error) {
	var used string
	ok, err = one(q, `SELECT f.id, e.at, f.engine, f.verdict, f.used, f.revision, f.body FROM findings f JOIN events e ON e.seq = f.seq
		WHERE f.id = (`+newestFinding+`)`, []any{caseID},
		&f.ID, &f.At, &f.Engine, &f.Verdict, &used, &f.revision, &f.body)
	if ok && err == nil {
		f.Used, err = unpackList(&used)
	}
	return f, ok, err
}

// likely is the share from which a suspected place is worth being searched by.
const likely = 0.05

// placesOf are the places that a finding names: those of its leaks, else those
// that it suspects, by share.
func placesOf(f fault.Finding) []string {
	var shares []fault.Share
	for _, l := range f.Leaks {
		shares = append(shares, l.Places...)
	}
	if len(f.Leaks) == 0 {
		shares = slices.Clone(f.Suspicion)
	}
	slices.SortStableFunc(shares, func(a, b fault.Share) int { return cmp.Compare(b.Share, a.Share) })
	out := []string{}
	for _, s := range shares {
		if s.Share >= likely && !slices.Contains(out, s.ID) {
			out = append(out, s.ID)
		}
	}
	return out
}

func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
