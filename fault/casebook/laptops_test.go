package casebook_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// evidence is every row of a case by table and key, without what differs between
// casebooks by design: numbers of events, labels, and the marks of a merge.
func evidence(t testing.TB, b *casebook.Book) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for table, columns := range map[string]string{
		"readings": `id, quantity, red, black, value, raw, state_id, who, supersedes, together_with, why`, "states": `id, open, contactors, monitor`,
		"group_volts": `id, amends, module, state_id, (SELECT group_concat(n || ':' || COALESCE(volts, '-')) FROM group_volt_values WHERE set_id = t.id)`,
		"noted":       `id, place, what`, "photos": `id, name, size, body`, "instruments": `kind, gain_pct`, "resistors": `id, ohms`, "make_safe": `id, item, text`,
		"layout_versions": `body`, "layout_photos": `id, layout_id, size, body`,
	} {
		rows := must(b.Writer().Query("SELECT * FROM (SELECT DISTINCT " + columns + " FROM " + table + " t)")).or(t)
		names := must(rows.Columns()).or(t)
		for rows.Next() {
			values, into := make([]any, len(names)), make([]any, len(names))
			for i := range values {
				into[i] = &values[i]
			}
			check(t, rows.Scan(into...))
			out[table] = append(out[table], fmt.Sprintf("%q", fmt.Sprint(values)))
		}
		check(t, rows.Close())
		slices.Sort(out[table])
	}
	return out
}

// step does something at random to a case, as a person would.
func step(t *rapid.T, b *casebook.Book, id string, n int) {
	c, _, err := b.Case(id)
	if err != nil {
		t.Fatal(err)
	}
	say := func(err error) {
		if err != nil && casebook.KindOf(err) != casebook.Refused && casebook.KindOf(err) != casebook.Nothing && casebook.KindOf(err) != casebook.Missing {
			t.Fatal(err)
		}
	}
	some := func(what string) fault.Reading { return rapid.SampledFrom(c.Readings).Draw(t, what) }
	value := float64(rapid.IntRange(-40, 40).Draw(t, "value")) / 8
	state := rapid.SampledFrom(c.States).Draw(t, "state").ID
	switch rapid.IntRange(0, 14).Draw(t, "what") {
	case 0, 1, 2:
		r := volts(rapid.SampledFrom([]string{"M01+", "M02.1", "M03-"}).Draw(t, "red"), "chassis", value)
		r.State = state
		if len(c.Readings) > 0 && rapid.IntRange(0, 3).Draw(t, "pair") == 0 {
			p := some("partner")
			r.TogetherWith, r.State = p.ID, p.State
		}
		_, err = b.AddReading(id, r, anna)
	case 3, 4:
		if len(c.Readings) == 0 {
			return
		}
		old := some("old")
		r := old
		r.ID, r.Value, r.Supersedes, r.Why = "", value, "", ""
		_, err = b.SupersedeReading(id, old.ID, r, why("typed wrong"))
	case 5:
		if len(c.Readings) == 0 {
			return
		}
		err = b.WithdrawReading(id, some("withdrawn").ID, why("probe slipped"))
	case 6:
		_, err = b.Undo(id, anna)
	case 7:
		_, err = b.Redo(id, anna)
	case 8:
		_, err = b.RecordState(id, fault.State{Open: []string{"SD"}[:rapid.IntRange(0, 1).Draw(t, "open")], Contactors: fault.Open}, anna)
	case 9:
		err = b.EnterGroupVolts(id, "M02", state, "dmm", 1+rapid.IntRange(0, 1).Draw(t, "group"), 3+value/100, anna)
	case 10:
		err = b.SetTitle(id, fmt.Sprintf("title %v", value), anna)
		say(err)
		minutes := 3 + value/10
		err = b.SetMinutes(id, "L1", &minutes, anna)
	case 11:
		in := begun("").Instruments[0]
		in.GainPct = 1 + value*value
		if rapid.Bool().Draw(t, "another") {
			in.ID = "dmm" + rapid.SampledFrom([]string{"2", "3"}).Draw(t, "meter")
			err = b.AddInstrument(id, in, anna)
		} else {
			err = b.ReviseInstrument(id, in, anna)
		}
	case 12:
		_, err = b.AddNoted(id, fault.Noted{Place: "M02", What: fault.NotedWet}, anna)
		say(err)
		_, err = b.AddMakeSafe(id, fault.MakeSafe{Item: fault.SafeLock, Text: fmt.Sprint(n)}, anna)
	case 13:
		_, err = b.AddPhoto(id, "state:"+state, fmt.Sprintf("%d.jpg", n), bytes.Repeat([]byte{byte(n), byte(int(value * 8))}, 300), anna)
	case 14:
		err = stepLayout(t, b, id, n)
	}
	say(err)
}

// stepLayout adds a photo to the layout of the case, or takes the last one back.
func stepLayout(t *rapid.T, b *casebook.Book, id string, n int) error {
	on, err := b.LayoutOfCase(id)
	if err != nil {
		return err
	}
	switch rapid.IntRange(0, 3).Draw(t, "with the layout") {
	case 0:
		_, err = b.Undo(on.LayoutID, anna)
	case 1:
		_, err = b.Redo(on.LayoutID, anna)
	default:
		_, err = b.AddLayoutPhoto(on.LayoutID, fmt.Sprintf("%d.jpg", n), snap(uint8(rapid.IntRange(1, 4).Draw(t, "grey"))), anna)
	}
	return err
}

// Whatever two people do to one case on two laptops: taken in both ways, both have
// the same rows, photos byte for byte; what is told of as here is as it was here;
// doing it again changes nothing, and the logs hold.
func TestTwoLaptops_SameRowsBothWays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b, id := laptops(t)
		for n := range rapid.IntRange(1, 3).Draw(rt, "rounds") {
			for i := range rapid.IntRange(0, 9).Draw(rt, "steps") {
				step(rt, rapid.SampledFrom([]*casebook.Book{a, b}).Draw(rt, "laptop"), id, 10*n+i)
			}
			was := theCase(t, a, id)
			fromA, fromB := oneFile(t, a, id), oneFile(t, b, id)
			takeIn(t, a, fromB, id)
			takeIn(t, b, fromA, id)
			if d := cmp.Diff(evidence(t, a), evidence(t, b)); d != "" {
				rt.Fatalf("the two casebooks have other rows: %s", d)
			}
			for _, r := range was.Readings { // nothing that was here is lost
				if !hasReading(t, a, id, r) {
					rt.Fatalf("%+v is gone", r)
				}
			}
			for _, p := range must(a.Photos(id)).or(t) {
				if !bytes.Equal(must(a.PhotoData(p.ID)).or(t), must(b.PhotoData(p.ID)).or(t)) {
					rt.Fatalf("photo %s differs", p.Name)
				}
			}
			before := must(a.Head()).or(t)
			if again := takeIn(t, a, fromB, id); !again.Nothing || must(a.Head()).or(t) != before {
				rt.Fatalf("taken in twice: %+v", again)
			}
		}
	})
}

// hasReading finds a reading as it was, counting or withdrawn.
func hasReading(t testing.TB, b *casebook.Book, id string, r fault.Reading) bool {
	t.Helper()
	c := theCase(t, b, id)
	if got, ok := c.Reading(r.ID); ok {
		return cmp.Equal(got, r)
	}
	return slices.ContainsFunc(must(b.Withdrawn(id)).or(t), func(w casebook.WithdrawnReading) bool { return cmp.Equal(w.Reading, r) })
}

// childTakesIn takes a case in and undoes it, again and again.
func childTakesIn(args []string) error {
	for {
		b, err := casebook.Open(args[0], casebook.Options{NoCopies: true})
		if err != nil {
			return err
		}
		fmt.Println("begins")
		if _, err := b.TakeIn(context.Background(), args[1], args[2], anna); err != nil {
			return err
		}
		fmt.Println("taken in")
		if _, err := b.Undo(args[2], anna); err != nil {
			return err
		}
		if err := b.Close(); err != nil {
			return err
		}
	}
}

// A program that is killed while it takes a case in leaves the casebook as it was
// before, or as it is after.
func TestKill_TakingIn(t *testing.T) {
	a, b, id := laptops(t)
	for range 300 {
		must(a.AddReading(id, volts("M02+", "chassis", 2), anna)).or(t)
	}
	must(a.AddPhoto(id, "evidence", "large.jpg", bytes.Repeat([]byte("pixels, "), 1<<18), anna)).or(t)
	from := oneFile(t, a, id)
	check(t, b.Close())
	rng := rand.New(rand.NewPCG(7, 3))
	start1, start2 := 0, 0
	for n := range rounds(8, 60) {
		c := start(t, "take in", b.Path(), from, id)
		c.wait(1)
		time.Sleep(time.Duration(rng.IntN(250)) * time.Millisecond)
		c.kill()
		back := must(casebook.Open(b.Path(), casebook.Options{NoCopies: true})).or(t)
		holds(t, back)
		switch readings, photos := len(theCase(t, back, id).Readings), len(must(back.Photos(id)).or(t)); {
		case readings == 1 && photos == 0:
			start1++
		case readings == 301 && photos == 1:
			start2++
			must(back.Undo(id, anna)).or(t)
		default:
			t.Fatalf("round %d: %d readings and %d photos", n, readings, photos)
		}
		check(t, back.Close())
		if left, err := filepath.Glob(filepath.Join(filepath.Dir(b.Path()), ".*.tmp")); err != nil || len(left) > 0 {
			t.Fatalf("left behind: %v", left)
		}
	}
	t.Logf("before %d times, after %d times", start1, start2)
	if start1+start2 == 0 {
		t.Error("nothing was tried")
	}
}
