package casebook_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"halfsplit/fault/casebook"
)

func toSign(t *testing.T, b *casebook.Book, id, what string) casebook.Signable {
	t.Helper()
	for _, s := range must(b.Signables(id)).or(t) {
		if s.What == what {
			return s
		}
	}
	t.Fatalf("%s cannot be signed", what)
	return casebook.Signable{}
}

// A sign-off is bound to what it signed: a later change shows, and takes nothing
// away; what is as before matches again.
func TestSignOff_IsBoundToItsContent(t *testing.T) {
	b := newBook(t)
	id := furnish(t, b)
	_, before, err := b.Case(id)
	check(t, err)
	check(t, b.SaveFinding(id, before.Revision, findingJSON("narrowed", "M02")))
	for _, what := range []string{casebook.SignFinding, casebook.SignReadings, casebook.SignState, casebook.SignMakeSafe, casebook.SignCase} {
		s := must(b.Sign(id, toSign(t, b, id, what), " Ben Example ", "supervisor", "", anna)).or(t)
		if s.Name != "Ben Example" || !s.Matches || s.At == "" || s.Said == "" {
			t.Errorf("%+v", s)
		}
	}
	if _, after, err := b.Case(id); err != nil || after.Revision != before.Revision {
		t.Errorf("signing makes a finding old: revision %d, was %d (%v)", after.Revision, before.Revision, err)
	}
	matching := func() (out []string) {
		for _, s := range must(b.SignOffs(id)).or(t) {
			if s.Matches && s.Name == "Ben Example" && s.Withdrawn == nil {
				out = append(out, s.What)
			}
		}
		slices.Sort(out)
		return out
	}
	if got := matching(); len(got) != 5 {
		t.Errorf("%v match", got)
	}
	old := toSign(t, b, id, casebook.SignReadings)
	r := must(b.AddReading(id, volts("M01+", "chassis", 2), anna)).or(t)
	if got := strings.Join(matching(), " "); got != "make-safe state" { // the finding is an older one now
		t.Errorf("after a reading: %s match", got)
	}
	if all := must(b.SignOffs(id)).or(t); len(all) != 6 || all[0].What != casebook.SignCase || all[0].Matches {
		t.Errorf("%+v", all)
	}
	_, err = b.Sign(id, old, "Ben", "supervisor", "", anna)
	wantKind(t, err, casebook.Refused, "has changed since it was shown")
	check(t, b.WithdrawReading(id, r.ID, why("probe slipped")))
	if got := strings.Join(matching(), " "); got != "case make-safe readings state" {
		t.Errorf("as it was again, and %s match", got)
	}
	must(b.Sign(id, toSign(t, b, id, casebook.SignCase), "Cora", "customer", "", anna)).or(t)
	must(b.Undo(id, anna)).or(t)
	if all := must(b.SignOffs(id)).or(t); len(all) != 7 || all[0].Withdrawn == nil {
		t.Errorf("a sign-off that was taken back is gone: %+v", all)
	}
	_, err = b.Sign(id, toSign(t, b, id, casebook.SignCase), " ", "customer", "", anna)
	wantKind(t, err, casebook.Refused, "needs the name")
	_, err = b.Sign(id, toSign(t, b, id, casebook.SignCase), "Cora", "", "", anna)
	wantKind(t, err, casebook.Refused, "in which role")
	holds(t, b)
}

// Sign-offs go where the case goes, and match there.
func TestSignOff_GoesWithTheCase(t *testing.T) {
	b := newBook(t)
	id := furnish(t, b)
	must(b.Sign(id, toSign(t, b, id, casebook.SignReadings), "Ben", "supervisor", "", anna)).or(t)
	to := newBook(t)
	takeIn(t, to, oneFile(t, b, id), id)
	all := must(to.SignOffs(id)).or(t)
	if len(all) != 2 || !all[0].Matches || !all[1].Matches {
		t.Errorf("%+v", all)
	}
}

// Steps of the clock are recorded with the command after them and told by the audit;
// nothing is corrected.
func TestClock_StepsAreNoted(t *testing.T) {
	now, ran := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC), time.Duration(0)
	pass := func(d time.Duration) { now, ran = now.Add(d), ran+d }
	o := casebook.Options{NoCopies: true, Now: func() time.Time { return now }, Ran: func() time.Duration { return ran }}
	b := must(casebook.Create(filepath.Join(t.TempDir(), "x.casebook"), o)).do(t, closing)
	id, _ := newCase(t, b)
	enter := func() { must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t) }
	enter() // 4
	pass(time.Hour)
	enter() // 5: time passed
	pass(10 * time.Minute)
	now = now.Add(-3*time.Hour - 2*time.Minute)
	enter() // 6: dated before the one before
	pass(20 * time.Minute)
	now = now.Add(-5 * time.Minute)
	enter() // 7: set back, and later than the one before all the same
	now = now.Add(26 * time.Hour)
	enter() // 8: set forward, or asleep
	must(b.Undo(id, anna)).or(t)
	got := holds(t, b).Notes
	want := []string{
		"the clock went back by 2 h 52 min between events 5 and 6",
		"the clock went back by 5 min 00 s between events 6 and 7",
		"the clock went forward by 26 h 00 min more than the program ran between events 7 and 8: it was set, or the machine slept",
	}
	if !slices.Equal(got, want) {
		t.Errorf("notes %q, want %q", got, want)
	}
	var n int
	check(t, b.Writer().QueryRow(`SELECT count(*) FROM clock_steps`).Scan(&n))
	if n != 3 {
		t.Errorf("%d steps are recorded", n)
	}
}
