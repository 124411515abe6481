package casebook

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/format"
)

// What can be signed.
const (
	SignFinding  = "finding"   // the newest finding, as it was stated
	SignReadings = "readings"  // all readings and group volts that count
	SignState    = "state"     // the present state, as recorded
	SignMakeSafe = "make-safe" // the make-safe record
	SignCase     = "case"      // the whole case, as a case file holds it
)

// Signable is one thing of a case that can be signed, as it is now.
type Signable struct {
	What    string // one of the Sign words
	Subject string // "state:split"; "" = there is one of it
	Said    string // what is signed, in words
	SHA256  string // of the content
}

// A SignOff is a name under a content. Names are typed; nobody has an account.
type SignOff struct {
	Signable
	ID, At, Name, Role, Note string
	Event                    int64
	Matches                  bool   // the content is the same now
	Withdrawn                *Entry // nil = it was not taken back
}

// Signables are what can be signed in a case now.
func (b *Book) Signables(caseID string) (out []Signable, err error) {
	err = b.view(func(q queryer) error {
		out, err = signables(q, caseID)
		return err
	})
	return out, err
}

// Sign records that somebody signed a thing as it was shown to them: its hash must
// still be that of the content. A later change shows, and takes nothing away.
func (b *Book) Sign(caseID string, s Signable, name, role, note string, by By) (SignOff, error) {
	out := SignOff{Signable: s, Name: text(strings.TrimSpace(name)), Role: text(strings.TrimSpace(role)), Note: text(strings.TrimSpace(note)), Matches: true}
	switch {
	case out.Name == "":
		return out, refuse("a sign-off needs the name of who signs")
	case out.Role == "":
		return out, refuse("a sign-off says in which role the person signs")
	}
	err := b.do(kindSignoff, caseID, caseID, by, func(c *command) error {
		now, err := signables(c.tx, caseID)
		if err != nil {
			return err
		}
		is, ok := same(now, s)
		switch {
		case !ok:
			return missing("what is to be signed is not in this case any more")
		case is.SHA256 != s.SHA256:
			return refuse("what is to be signed has changed since it was shown; look at it again")
		}
		out.Signable = is
		var ord int64
		out.ID, ord = c.add("signoffs")
		out.At, out.Event = c.at, c.seq
		c.name = fmt.Sprintf("sign-off by %s, %s: %s", out.Name, out.Role, is.Said)
		return c.exec(`INSERT INTO signoffs (id, seq, ord, case_id, at, name, role, what, subject, said, sha256, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			out.ID, c.seq, ord, caseID, out.At, out.Name, out.Role, is.What, is.Subject, text(is.Said), is.SHA256, orNull(out.Note))
	})
	return out, err
}

// same finds a thing among those that can be signed now.
func same(now []Signable, s Signable) (Signable, bool) {
	for _, x := range now {
		if x.What == s.What && x.Subject == s.Subject {
			return x, true
		}
	}
	return Signable{}, false
}

// SignOffs are the sign-offs of a case, the newest first, each with whether what was
// signed is still so. Those that were taken back are there.
func (b *Book) SignOffs(caseID string) (out []SignOff, err error) {
	err = b.view(func(q queryer) error {
		whole, err := caseOf(q, caseID)
		if err != nil {
			return err
		}
		withdrawn, err := withdrawals(q)
		if err != nil {
			return err
		}
		err = each(q, `SELECT id, seq, at, name, role, what, subject, said, sha256, COALESCE(note, '') FROM signoffs WHERE case_id = ? ORDER BY seq DESC, ord DESC`,
			[]any{caseID}, func(rows *sql.Rows) error {
				var s SignOff
				err := rows.Scan(&s.ID, &s.Event, &s.At, &s.Name, &s.Role, &s.What, &s.Subject, &s.Said, &s.SHA256, &s.Note)
				s.Withdrawn = withdrawn[s.ID]
				out = append(out, s)
				return err
			})
		if err != nil {
			return err
		}
		for i := range out {
			now, ok, err := signable(q, caseID, whole, out[i].What, out[i].Subject)
			if err != nil {
				return err
			}
			out[i].Matches = ok && now.SHA256 == out[i].SHA256
		}
		return nil
	})
	return out, err
}

func caseOf(q queryer, caseID string) (fault.Case, error) {
	row, err := readCaseRow(q, caseID)
	if err != nil {
		return fault.Case{}, err
	}
	return readCase(q, row)
}

func signables(q queryer, caseID string) (out []Signable, err error) {
	c, err := caseOf(q, caseID)
	if err != nil {
		return nil, err
	}
	things := []struct{ what, subject string }{{SignFinding, ""}, {SignReadings, ""}, {SignMakeSafe, ""}, {SignCase, ""}}
	if c.Now != "" {
		things = append(things[:2:2], append([]struct{ what, subject string }{{SignState, "state:" + c.Now}}, things[2:]...)...)
	}
	for _, t := range things {
		s, ok, err := signable(q, caseID, c, t.what, t.subject)
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, s)
		}
	}
	return out, nil
}

// signable works out the content of a thing and its hash; ok is false if there is no
// such thing. The content is what a case file, or the finding, says of it.
func signable(q queryer, caseID string, c fault.Case, what, subject string) (s Signable, ok bool, err error) {
	s = Signable{What: what, Subject: subject}
	var content []byte
	switch what {
	case SignFinding:
		f, has, err := lastFinding(q, caseID)
		if err != nil || !has {
			return s, false, err
		}
		var statement string
		if _, err := one(q, `SELECT statement FROM findings WHERE id = ?`, []any{f.ID}, &statement); err != nil {
			return s, false, err
		}
		s.Said = fmt.Sprintf("The finding %s: %s", f.Verdict, statement)
		var revision int64
		if _, err := one(q, `SELECT max(seq) FROM events WHERE case_id = ? AND `+changes, []any{caseID}, &revision); err != nil {
			return s, false, err
		}
		content = []byte(f.body)
		if f.revision < revision { // it is of an earlier state itself
			s.Said += " The case has changed since that was stated."
			content = append(content, " of an earlier state"...)
		}
	case SignReadings:
		if len(c.Readings)+len(c.GroupVolts) == 0 {
			return s, false, nil
		}
		s.Said = fmt.Sprintf("%s, superseded ones among them, and %s of group volts", counted(len(c.Readings), "reading"), counted(len(c.GroupVolts), "list"))
		content, err = parts(c, "readings", "group_volts")
	case SignState:
		label := strings.TrimPrefix(subject, "state:")
		state, has := c.State(label)
		if !has {
			return s, false, nil
		}
		s.Said = "The state " + label + ", as recorded"
		c.States = []fault.State{state}
		content, err = parts(c, "states")
	case SignMakeSafe:
		if len(c.MakeSafe) == 0 {
			return s, false, nil
		}
		s.Said = fmt.Sprintf("The make-safe record with %s, superseded ones among them", countedAs(len(c.MakeSafe), "entry", "entries"))
		content, err = parts(c, "make_safe")
	case SignCase:
		s.Said = fmt.Sprintf("The whole case: layout, %s, %s and all else that a case file holds", counted(len(c.States), "state"), counted(len(c.Readings), "reading"))
		content, err = format.WriteCase(c)
	default:
		return s, false, nil
	}
	if err != nil {
		return s, false, err
	}
	sum := sha256.Sum256(append([]byte("halfsplit-sign-off/1 "+what+" "+subject+"\n"), content...))
	s.SHA256 = hex.EncodeToString(sum[:])
	return s, true, nil
}

// parts are fields of the case file, in its own writing, without white space between.
func parts(c fault.Case, fields ...string) ([]byte, error) {
	raw, err := format.WriteCase(c)
	if err != nil {
		return nil, err
	}
	var all map[string]json.RawMessage
	if err := json.Unmarshal(raw, &all); err != nil {
		return nil, err
	}
	some := map[string]json.RawMessage{}
	for _, f := range fields {
		some[f] = all[f]
	}
	return json.Marshal(some)
}

func counted(n int, one string) string { return countedAs(n, one, one+"s") }

func countedAs(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
