package casebook_test

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// A model is what a case should be: every state of it that the person can go
// back to or forward to, and every id that was ever given.
type model struct {
	done, undone []named
	given        map[string]bool
}

type named struct {
	name string
	c    fault.Case
}

func (m *model) now() fault.Case { return m.done[len(m.done)-1].c }

// changed takes in a command that was done.
func (m *model) changed(name string, c fault.Case) {
	m.done, m.undone = append(m.done, named{name, c}), nil
}

// machine drives a casebook and its model by the same commands.
type machine struct {
	*shared
	id string
	m  model
}

// shared is the one casebook that all runs of a test use.
type shared struct {
	b    *casebook.Book
	path string
}

func (s *machine) Check(t *rapid.T) {
	c, _, err := s.b.Case(s.id)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(s.m.now(), c, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); d != "" {
		t.Fatal(d)
	}
	undo, err1 := s.b.UndoName(s.id)
	redo, err2 := s.b.RedoName(s.id)
	wantUndo, wantRedo := s.m.done[len(s.m.done)-1].name, ""
	if n := len(s.m.undone); n > 0 {
		wantRedo = s.m.undone[n-1].name
	}
	if undo != wantUndo || redo != wantRedo || err1 != nil || err2 != nil {
		t.Fatalf("undo %q, redo %q, want %q and %q (%v, %v)", undo, redo, wantUndo, wantRedo, err1, err2)
	}
}

func (s *machine) AddReading(t *rapid.T) {
	c := s.m.now()
	r := volts(rapid.SampledFrom([]string{"M01+", "M02.1", "M03-"}).Draw(t, "red"), "chassis", float64(rapid.IntRange(-40, 40).Draw(t, "v"))/8)
	r.State = rapid.SampledFrom(c.States).Draw(t, "state").ID
	added, err := s.b.AddReading(s.id, r, anna)
	if err != nil || s.m.given[added.ID] {
		t.Fatalf("%+v: %v", added, err)
	}
	s.m.given[added.ID] = true
	r.ID = added.ID
	c.Readings = append(slices.Clone(c.Readings), r)
	s.m.changed(fmt.Sprintf("%s to chassis %v V", r.Red, r.Value), c)
}

func (s *machine) AddNoted(t *rapid.T) {
	c := s.m.now()
	n := fault.Noted{Place: rapid.SampledFrom([]string{"M01", "SD", "B1", "M02.1"}).Draw(t, "place"), What: rapid.SampledFrom(fault.NotedWords).Draw(t, "what")}
	added, err := s.b.AddNoted(s.id, n, anna)
	if err != nil || s.m.given[added.ID] {
		t.Fatalf("%+v: %v", added, err)
	}
	s.m.given[added.ID] = true
	n.ID = added.ID
	c.Noted = append(slices.Clone(c.Noted), n)
	s.m.changed(n.Place+" noted as "+n.What, c)
}

func (s *machine) Supersede(t *rapid.T) {
	c := s.m.now()
	old := c.Superseded()
	var open []fault.Reading
	for _, r := range c.Readings {
		if _, is := old[r.ID]; !is {
			open = append(open, r)
		}
	}
	if len(open) == 0 {
		t.Skip("nothing to correct")
	}
	was := rapid.SampledFrom(open).Draw(t, "old")
	r := was
	r.ID, r.Value, r.Supersedes, r.Why = "", was.Value+10, "", ""
	added, err := s.b.SupersedeReading(s.id, was.ID, r, why("typed wrong"))
	if err != nil || s.m.given[added.ID] {
		t.Fatalf("%+v: %v", added, err)
	}
	s.m.given[added.ID] = true
	r.ID, r.Supersedes, r.Why = added.ID, was.ID, "typed wrong"
	c.Readings = append(slices.Clone(c.Readings), r)
	s.m.changed(fmt.Sprintf("%s to chassis %v V -> %v V", r.Red, was.Value, r.Value), c)
}

func (s *machine) Withdraw(t *rapid.T) {
	c := s.m.now()
	named := map[string]bool{}
	for _, r := range c.Readings {
		named[r.Supersedes] = true
	}
	i := slices.IndexFunc(c.Readings, func(r fault.Reading) bool { return !named[r.ID] })
	if i < 0 {
		t.Skip("nothing to withdraw")
	}
	r := c.Readings[i]
	if err := s.b.WithdrawReading(s.id, r.ID, why("wrong terminal")); err != nil {
		t.Fatal(err)
	}
	c.Readings = slices.Delete(slices.Clone(c.Readings), i, i+1)
	s.m.changed(fmt.Sprintf("withdraw %s: %s to chassis %v V", r.ID, r.Red, r.Value), c)
}

func (s *machine) OpenOrClose(t *rapid.T) {
	c := s.m.now()
	present, _ := c.State(c.Now)
	state := fault.State{Contactors: present.Contactors, Monitor: present.Monitor}
	name := "record SD as closed"
	if len(present.Open) == 0 {
		state.Open, name = []string{"SD"}, "record SD as opened"
	}
	recorded, err := s.b.RecordState(s.id, state, anna)
	if err != nil || s.m.given[recorded.ID] {
		t.Fatalf("%+v: %v", recorded, err)
	}
	s.m.given[recorded.ID] = true
	state.ID = recorded.ID
	c.States, c.Now = append(slices.Clone(c.States), state), state.ID
	s.m.changed(name, c)
}

func (s *machine) SetNow(t *rapid.T) {
	c := s.m.now()
	to := rapid.SampledFrom(c.States).Draw(t, "state").ID
	if err := s.b.SetNow(s.id, to, anna); err != nil {
		t.Fatal(err)
	}
	if to != c.Now {
		c.Now = to
		s.m.changed("present state "+to, c)
	}
}

func (s *machine) EnterGroup(t *rapid.T) {
	c := s.m.now()
	v := float64(rapid.IntRange(3600, 3610).Draw(t, "mV")) / 1000
	group := rapid.IntRange(1, 2).Draw(t, "group")
	if err := s.b.EnterGroupVolts(s.id, "M02", c.Now, "", group, v, anna); err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(c.GroupVolts, func(g fault.GroupVolts) bool { return g.State == c.Now })
	c.GroupVolts = slices.Clone(c.GroupVolts)
	if i < 0 {
		i = len(c.GroupVolts)
		c.GroupVolts = append(c.GroupVolts, fault.GroupVolts{Module: "M02", State: c.Now, Volts: []float64{math.NaN(), math.NaN()}})
	}
	c.GroupVolts[i].Volts = slices.Clone(c.GroupVolts[i].Volts)
	was := c.GroupVolts[i].Volts[group-1]
	c.GroupVolts[i].Volts[group-1] = v
	switch {
	case was == v: // nothing happened
	case math.IsNaN(was):
		s.m.changed(fmt.Sprintf("M02 group %d %v V", group, v), c)
	default:
		s.m.changed(fmt.Sprintf("M02 group %d %v V -> %v V", group, was, v), c)
	}
}

func (s *machine) Title(t *rapid.T) {
	c := s.m.now()
	title := rapid.SampledFrom([]string{"case", "rain", "wash"}).Draw(t, "title")
	if err := s.b.SetTitle(s.id, title, anna); err != nil {
		t.Fatal(err)
	}
	if title != c.Title {
		was := c.Title
		c.Title = title
		s.m.changed(fmt.Sprintf("title %q -> %q", was, title), c)
	}
}

func (s *machine) Minutes(t *rapid.T) {
	c := s.m.now()
	id := rapid.SampledFrom([]string{"SD", "B1"}).Draw(t, "thing")
	var minutes *float64
	if rapid.Bool().Draw(t, "some") {
		v := float64(rapid.IntRange(0, 3).Draw(t, "minutes"))
		minutes = &v
	}
	if err := s.b.SetMinutes(s.id, id, minutes, anna); err != nil {
		t.Fatal(err)
	}
	was, had := c.Minutes[id]
	c.Minutes = maps.Clone(c.Minutes)
	name := "the access minutes of " + id
	switch {
	case minutes == nil && !had, had && minutes != nil && was == *minutes:
		return // nothing happened
	case minutes == nil:
		name += fmt.Sprintf(" from %v to not recorded", was)
		delete(c.Minutes, id)
	case had:
		name += fmt.Sprintf(" from %v to %v", was, *minutes)
		c.Minutes[id] = *minutes
	default:
		name += fmt.Sprintf(" as %v", *minutes)
		if c.Minutes == nil {
			c.Minutes = map[string]float64{}
		}
		c.Minutes[id] = *minutes
	}
	s.m.changed(name, c)
}

func (s *machine) Undo(t *rapid.T) {
	name, err := s.b.Undo(s.id, anna)
	last := len(s.m.done) - 1
	if last == 0 {
		if casebook.KindOf(err) != casebook.Nothing {
			t.Fatalf("undo of nothing: %q, %v", name, err)
		}
		return
	}
	if err != nil || name != s.m.done[last].name {
		t.Fatalf("undo: %q, %v", name, err)
	}
	s.m.undone, s.m.done = append(s.m.undone, s.m.done[last]), s.m.done[:last]
}

func (s *machine) Redo(t *rapid.T) {
	name, err := s.b.Redo(s.id, anna)
	last := len(s.m.undone) - 1
	if last < 0 {
		if casebook.KindOf(err) != casebook.Nothing {
			t.Fatalf("redo of nothing: %q, %v", name, err)
		}
		return
	}
	if err != nil || name != s.m.undone[last].name {
		t.Fatalf("redo: %q, %v", name, err)
	}
	s.m.done, s.m.undone = append(s.m.done, s.m.undone[last]), s.m.undone[:last]
}

// Finding is no step of the person's: what can be undone and redone stays.
func (s *machine) Finding(t *rapid.T) {
	_, info, err := s.b.Case(s.id)
	if err == nil {
		err = s.b.SaveFinding(s.id, info.Revision, findingJSON("narrowed", "M02"))
	}
	if err != nil {
		t.Fatal(err)
	}
}

func (s *machine) Reopen(t *rapid.T) {
	if rapid.IntRange(0, 2).Draw(t, "seldom") > 0 {
		t.Skip("it takes longer than the rest")
	}
	err := s.b.Close()
	if err == nil {
		s.b, err = casebook.Open(s.path, casebook.Options{NoCopies: true})
	}
	if err == nil {
		_, err = s.b.Writer().Exec("PRAGMA synchronous = OFF")
	}
	if err != nil {
		t.Fatal(err)
	}
}

// Whatever a person does, undoes and does again, with restarts in between, the
// case is what a plain list of its states says, every reading ever recorded is
// still in the file, and the log holds.
func TestUndo_AgainstAModel(t *testing.T) {
	path := filepath.Join(t.TempDir(), "undo.casebook")
	all := &shared{must(casebook.Create(path, casebook.Options{NoCopies: true})).or(t), path}
	layout := must(all.b.ImportLayout(bench(), nil, anna)).or(t)
	rapid.Check(t, func(t *rapid.T) {
		begin := begun("case")
		id, err := all.b.NewCase(layout, begin, anna)
		if err != nil {
			t.Fatal(err)
		}
		begin.Layout = bench()
		s := &machine{shared: all, id: id, m: model{done: []named{{"", begin}}, given: map[string]bool{}}}
		t.Repeat(rapid.StateMachineActions(s))
		keptAll(t, s)
	})
	holds(t, all.b)
	check(t, all.b.Close())
}

// keptAll wants every reading that was ever recorded in the case or among the
// withdrawn, each of those with who withdrew it.
func keptAll(t *rapid.T, s *machine) {
	c, _, err := s.b.Case(s.id)
	if err != nil {
		t.Fatal(err)
	}
	gone, err := s.b.Withdrawn(s.id)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, r := range c.Readings {
		there[r.ID] = true
	}
	for _, w := range gone {
		if there[w.Reading.ID] {
			t.Fatalf("%s is withdrawn and in the case", w.Reading.ID)
		}
		if w.By.Who != "Anna" || w.By.Name == "" || w.By.At == "" {
			t.Fatalf("withdrawn by nobody: %+v", w)
		}
		there[w.Reading.ID] = true
	}
	for id := range s.m.given {
		if id[0] == 'r' && !there[id] {
			t.Fatalf("reading %s is gone", id)
		}
	}
}
