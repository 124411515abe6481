package locate_test

import (
	"context"
	"math"
	"regexp"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/locate"
)

// found is a finding with the shop that it is about.
type found struct {
	fault.Finding
	k *rec
	s *shop
}

// find asks the engine.
func (s *shop) find(ev ...fault.Evidence) found {
	f, err := locate.Find(context.Background(), s.c, ev)
	if err != nil {
		s.k.fatalf("%v", err)
	}
	return found{f, s.k, s}
}

// verdict must be one of these.
func (f found) verdict(allowed ...string) {
	if !slices.Contains(allowed, f.Verdict) {
		f.k.errorf("verdict %s, want %s: %s", f.Verdict, strings.Join(allowed, " or "), f.Statement)
	}
}

// told is everything that a person reads without asking why.
func (f found) told() string {
	lines := append([]string{f.Statement, f.WouldTell, f.LimitedBy}, f.Assumes...)
	lines = append(lines, f.Cautions...)
	for _, l := range f.LeftOut {
		lines = append(lines, l.Reading+": "+l.Why)
	}
	for _, d := range f.Doubts {
		lines = append(lines, d.Reading+" "+d.Kind+" "+d.With+": "+d.FitsIf)
	}
	for _, n := range f.Next {
		lines = append(lines, n.Action)
		lines = append(lines, n.Cautions...)
	}
	return strings.Join(lines, "\n")
}

// says wants words matching a pattern somewhere in what is told.
func (f found) says(pattern string) {
	if !regexp.MustCompile("(?i)" + pattern).MatchString(f.told()) {
		f.k.errorf("nothing says %q: %s: %s | %s", pattern, f.Verdict, f.Statement, f.WouldTell)
	}
}

// explains wants words in what is told or in the working.
func (f found) explains(pattern string) {
	text := f.told()
	for _, w := range f.Why {
		text += "\n" + w.What + ": " + w.Worked
	}
	if !regexp.MustCompile("(?i)" + pattern).MatchString(text) {
		f.k.errorf("nothing explains %q: %s: %s", pattern, f.Verdict, f.Statement)
	}
}

// never forbids words in the statement.
func (f found) never(pattern string) {
	if regexp.MustCompile("(?i)" + pattern).MatchString(f.Statement) {
		f.k.errorf("must not say %q: %s", pattern, f.Statement)
	}
}

// would wants the state that tells to be named.
func (f found) would(pattern string) {
	if !regexp.MustCompile("(?i)" + pattern).MatchString(f.WouldTell) {
		f.k.errorf("would tell %q, want %q (%s)", f.WouldTell, pattern, f.Verdict)
	}
}

// set95 is the places of a leak that have 95 % between them.
func set95(places []fault.Share) []string {
	var ids []string
	sum := 0.0
	for _, p := range places {
		ids = append(ids, p.ID)
		if sum += float64(p.Share); sum >= 0.95 {
			break
		}
	}
	return ids
}

// place wants a place in some leak's 95 % set.
func (f found) place(id string) {
	var sets [][]string
	for _, l := range f.Leaks {
		sets = append(sets, set95(l.Places))
	}
	ok := slices.ContainsFunc(sets, func(s []string) bool { return slices.Contains(s, id) })
	f.k.mostly("true place among those named", ok, "%s not in %v (%s)", id, sets, f.Verdict)
}

// placeOf wants a leak whose first place has this id and kind.
func (f found) placeOf(id, kind string) {
	ok := slices.ContainsFunc(f.Leaks, func(l fault.Leak) bool {
		return len(l.Places) > 0 && l.Places[0].ID == id && l.Places[0].Kind == kind
	})
	if !ok {
		f.k.errorf("no leak is first of all at %s %s: %s: %s", kind, id, f.Verdict, f.Statement)
	}
}

// suspected is the share of a place in what must come out.
func (f found) suspected(id string) float64 {
	for _, s := range f.Suspicion {
		if s.ID == id {
			return float64(s.Share)
		}
	}
	return 0
}

// condemnsNone wants no place to reach a share of suspicion.
func (f found) condemnsNone(share float64) {
	for _, s := range f.Suspicion {
		if float64(s.Share) >= share {
			f.k.errorf("%s has a share of %.2f: %s", s.ID, float64(s.Share), f.Statement)
		}
	}
}

// leaks wants this many leaks resolved.
func (f found) leaks(n int) {
	if len(f.Leaks) != n {
		f.k.fatalf("%d leaks, want %d: %s: %s", len(f.Leaks), n, f.Verdict, f.Statement)
	}
}

// position wants a leak's interval to hold a tap and to be this wide at most.
func (f found) position(leak int, tap string, widest float64) {
	if leak >= len(f.Leaks) {
		f.k.fatalf("no leak %d: %s: %s", leak, f.Verdict, f.Statement)
	}
	id, ok := f.s.pack.Net.Node(tap)
	_, n, isTap := f.s.pack.Net.Position(id)
	if !ok || !isTap {
		f.k.fatalf("%s is no tap", tap)
	}
	p, at := f.Leaks[leak].Position, float64(n)
	f.k.mostly("position covers "+tap, float64(p.Low) <= at+1e-9 && at <= float64(p.High)+1e-9, "%.2f to %.2f, truth %.0f", float64(p.Low), float64(p.High), at)
	if w := float64(p.High - p.Low); w > widest {
		f.k.errorf("position of %s is %.2f groups wide, want at most %.2f", tap, w, widest)
	}
}

// ohms wants a leak's size to cover the truth within part of it.
func (f found) ohms(leak int, truth, part float64) {
	if leak >= len(f.Leaks) {
		f.k.fatalf("no leak %d: %s: %s", leak, f.Verdict, f.Statement)
	}
	r := f.Leaks[leak].Ohms
	high := float64(r.High)
	if r.Relation == fault.Greater {
		high = math.Inf(1)
	}
	f.k.mostly("ohms cover", float64(r.Low) <= truth && truth <= high, "%+v, truth %g", r, truth)
	if part > 0 && (r.Relation != fault.Equal || high-float64(r.Low) > 2*part*truth) {
		f.k.errorf("ohms %+v, want ± %g of %g", r, part, truth)
	}
}

func (f found) hypothesis(kind string) float64 {
	for _, h := range f.Hypotheses {
		if h.Kind == kind {
			return float64(h.Share)
		}
	}
	return 0
}

// leads wants one kind of explanation first.
func (f found) leads(kinds ...string) {
	if len(f.Hypotheses) == 0 || !slices.Contains(kinds, f.Hypotheses[0].Kind) {
		f.k.errorf("explanations %v, want %s first: %s", f.Hypotheses, strings.Join(kinds, " or "), f.Verdict)
	}
}

func (f found) used(ids ...string) {
	for _, id := range ids {
		if !slices.Contains(f.Used, id) {
			f.k.errorf("%s is not used: %v", id, f.LeftOut)
		}
	}
}

// left wants a reading left out for a reason that matches.
func (f found) left(id, pattern string) {
	for _, l := range f.LeftOut {
		if l.Reading == id {
			if !regexp.MustCompile("(?i)" + pattern).MatchString(l.Why) {
				f.k.errorf("%s left out because %q, want %q", id, l.Why, pattern)
			}
			return
		}
	}
	f.k.errorf("%s is not left out", id)
}

// doubt wants the first doubt to be a slip in one of these readings, at odds of
// 20 or more.
func (f found) doubt(kind string, readings ...string) {
	if len(f.Doubts) == 0 {
		f.k.mostly("a doubt of "+kind, false, "no doubt at all: %s: %s", f.Verdict, f.Statement)
		return
	}
	d := f.Doubts[0]
	ok := d.Odds >= 20 && regexp.MustCompile("(?i)"+kind).MatchString(d.Kind) && slices.Contains(readings, d.Reading)
	f.k.mostly("a doubt of "+kind, ok, "first doubt %+v, want %v", d, readings)
}

// doubts wants a slip of that kind anywhere in the list.
func (f found) doubts(kind, reading string) {
	ok := slices.ContainsFunc(f.Doubts, func(d fault.Doubt) bool {
		return d.Odds >= 20 && regexp.MustCompile("(?i)"+kind).MatchString(d.Kind) && (d.Reading == reading || d.With == reading)
	})
	f.k.mostly("a doubt of "+kind, ok, "doubts %+v (%s)", f.Doubts, f.Verdict)
}

// apart wants readings of two states not to be combined as if the same leaks
// were there: a misfit, or only one state's readings used, and what changed
// between the states in words.
func (f found) apart(a, b, word string) {
	states := map[string]bool{}
	for _, id := range f.Used {
		r, _ := f.s.c.Reading(id)
		states[r.State] = true
	}
	if f.Verdict != fault.Inconsistent && states[a] && states[b] {
		f.k.errorf("readings of %s and %s are combined: %s: %s", a, b, f.Verdict, f.Statement)
	}
	f.says(word)
	f.noLeakOnlyWhereNoneIs()
}

// noLeakOnlyWhereNoneIs: a pack with a section that read below a megohm is not
// one where no leak is seen.
func (f found) noLeakOnlyWhereNoneIs() {
	if f.Verdict != fault.NoLeakTestProved && f.Verdict != fault.NoLeakTestNotProved {
		return
	}
	for _, sec := range f.Sections {
		if sec.Ohms.High < 1e6 {
			f.k.errorf("section %s in state %s has %g ohms at most: %s", sec.From, sec.State, float64(sec.Ohms.High), f.Statement)
		}
	}
}
