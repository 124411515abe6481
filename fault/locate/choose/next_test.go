package choose

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"
)

// two is a question of two explanations that one reading tells apart.
func two(wrong float64) Question {
	return Question{
		Explanations: []Explanation{{"M01", 6}, {"M02", 4}},
		Actions:      []Action{{ID: "read", Reading: true}},
		Wrong:        wrong,
		Minutes:      func(Set, int) (float64, bool) { return 3, true },
		Sight: func(Set, int) Sight {
			return func(h int, into []Chance) []Chance { return append(into, Chance{h, 1}) }
		},
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("%s is %.6f, want %.6f", what, got, want)
	}
}

func TestNext_OneReading(t *testing.T) {
	a := ask(t, two(100))
	if a.Stop || a.Label != "M01" || len(a.Steps) != 1 {
		t.Fatalf("%+v", a)
	}
	s := a.Steps[0]
	near(t, "share", a.Share, 0.6)
	near(t, "the price of stopping", a.Unresolved, 40)
	near(t, "bits", s.Bits, 0.970950594454669)
	near(t, "minutes", s.Minutes, 3)
	near(t, "total", s.Total, 3)
	if len(s.Outcomes) != 2 || s.Outcomes[0].Key != 0 || s.Outcomes[0].Next != -1 || s.Rough {
		t.Errorf("%+v", s)
	}
	near(t, "probability", s.Outcomes[0].P, 0.6)
}

func TestNext_StopsWhenFindingOutIsDearer(t *testing.T) {
	if a := ask(t, two(5)); !a.Stop || len(a.Steps) != 1 { // 2 minutes at stake, 3 to know
		t.Errorf("%+v", a)
	}
	if a := ask(t, two(0)); !a.Stop {
		t.Errorf("nothing at stake: %+v", a)
	}
}

func TestNext_StopsAtEnough(t *testing.T) {
	q := two(1000)
	q.Explanations[0].Weight = 76 // 95 %
	if a := ask(t, q); !a.Stop || a.Steps != nil {
		t.Errorf("%+v", a)
	}
	q.Enough = 0.99
	if a := ask(t, q); a.Stop {
		t.Errorf("99 %% were asked for: %+v", a)
	}
}

func TestNext_NothingToTell(t *testing.T) {
	q := two(100)
	q.Actions = nil
	if a := ask(t, q); !a.Stop || len(a.Steps) != 0 || math.Abs(a.Unresolved-40) > 1e-9 {
		t.Errorf("%+v", a)
	}
	q.Explanations = nil
	if a := ask(t, q); !a.Stop || a.Label != "" {
		t.Errorf("%+v", a)
	}
	q = two(100)
	q.Done = q.Done.With(0)
	if a := ask(t, q); !a.Stop || len(a.Steps) != 0 {
		t.Errorf("the reading is taken: %+v", a)
	}
}

// A cover hides a link, and only with the link open does the reading tell.
func TestNext_CoverBeforeLinkBeforeReading(t *testing.T) {
	const cover, link, read = 0, 1, 2
	q := two(100)
	q.Actions = []Action{{ID: "cover"}, {ID: "link"}, {ID: "read", Reading: true}}
	minutes := []float64{10, 5, 2}
	q.Minutes = func(done Set, a int) (float64, bool) { return minutes[a], a != link || done.Has(cover) }
	q.Sight = func(done Set, a int) Sight {
		if a != read {
			return nil
		}
		return func(h int, into []Chance) []Chance {
			if !done.Has(link) {
				h = 0
			}
			return append(into, Chance{h, 1})
		}
	}
	a := ask(t, q)
	if len(a.Steps) != 1 || a.Steps[0].Action != cover || !slices.Equal(a.Steps[0].Then, []int{link, read}) || a.Steps[0].Outcomes[0].Next != -1 {
		t.Fatalf("%+v", a)
	}
	near(t, "total", a.Steps[0].Total, 17)
	q.Done = q.Done.With(cover)
	if a := ask(t, q); len(a.Steps) != 1 || a.Steps[0].Action != link {
		t.Errorf("with the cover off: %+v", a)
	}
	q.Done = q.Done.With(link)
	if a := ask(t, q); len(a.Steps) != 1 || a.Steps[0].Action != read {
		t.Errorf("with the link open: %+v", a)
	}
}

// The same with several explanations of one label, which only the reading behind
// both changes tells from those of the other.
func TestNext_TwinsAreMergedByWhatStepsShow(t *testing.T) {
	q := two(100)
	q.Explanations = []Explanation{{"M01", 1}, {"M01", 2}, {"M02", 3}, {"M02", 4}}
	q.Actions = []Action{{ID: "cover"}, {ID: "link"}, {ID: "read", Reading: true}}
	q.Minutes = func(done Set, a int) (float64, bool) { return 1, a != 1 || done.Has(0) }
	q.Sight = func(done Set, a int) Sight {
		if a != 2 || !done.Has(1) {
			return nil
		}
		return func(h int, into []Chance) []Chance { return append(into, Chance{h % 2, 1}) } // 1+3 and 2+4
	}
	a := ask(t, q)
	// H(0.3) − 0.4·H(1/4) − 0.6·H(1/3)
	near(t, "bits", a.Steps[0].Bits, 0.005802149014346)
}

// Several explanations of one label need not be told apart.
func TestNext_LabelsNotExplanations(t *testing.T) {
	q := two(100)
	q.Explanations = []Explanation{{"M01", 3}, {"M01", 3}, {"M02", 4}}
	q.Sight = func(Set, int) Sight {
		return func(h int, into []Chance) []Chance { return append(into, Chance{1000 * h, 1}) } // large keys
	}
	a := ask(t, q)
	near(t, "bits", a.Steps[0].Bits, 0.970950594454669)
	near(t, "total", a.Steps[0].Total, 3)
}

func TestNext_RefusesNonsense(t *testing.T) {
	for name, spoil := range map[string]func(q *Question){
		"two of one name": func(q *Question) { q.Actions = append(q.Actions, q.Actions[0]) },
		"no price":        func(q *Question) { q.Wrong = math.Inf(1) },
		"negative price":  func(q *Question) { q.Wrong = -1 },
		"NaN price":       func(q *Question) { q.Wrong = math.NaN() },
		"NaN weight":      func(q *Question) { q.Explanations[0].Weight = math.NaN() },
		"enough of 2":     func(q *Question) { q.Enough = 2 },
		"no minutes":      func(q *Question) { q.Minutes = nil },
		"too many":        func(q *Question) { q.Actions = make([]Action, MaxActions+1) },
	} {
		q := two(100)
		spoil(&q)
		if _, err := Next(context.Background(), q); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestNext_EndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	_, q := newFine(false)
	looks, see := 0, q.Sight
	q.Sight = func(done Set, a int) Sight {
		if looks++; looks == 300 {
			cancel()
		}
		return see(done, a)
	}
	if _, err := Next(ctx, q); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	after := looks
	if _, err := Next(ctx, q); !errors.Is(err, context.Canceled) || looks != after {
		t.Errorf("error %v, and %d looks with an ended context", err, looks-after)
	}
	if after > 300+1000 {
		t.Errorf("%d looks after the end", after-300)
	}
}

// A reading that shows one of a hundred groups has something to do after each.
func TestNext_EveryOutcomeHasItsNextAction(t *testing.T) {
	f, q := newFine(false)
	a := ask(t, q)
	first := a.Steps[0]
	if first.Action != f.read(0) || len(first.Outcomes) < 100 {
		t.Fatalf("first %q with %d outcomes", f.name(first.Action), len(first.Outcomes))
	}
	see, idle := q.Sight(q.Done, first.Action), 0
	for _, o := range first.Outcomes {
		w, sum, most := map[string]float64{}, 0.0, 0.0
		for h, e := range q.Explanations {
			if see(h, nil)[0].Key == o.Key {
				w[e.Label] += e.Weight
				sum += e.Weight
				most = max(most, w[e.Label])
			}
		}
		at := q
		at.Done = q.After(first.Action)
		minutes := 0.0
		if o.Next >= 0 {
			minutes, _ = q.Minutes(at.Done, o.Next)
		}
		price := q.Wrong * (1 - most/sum)
		switch {
		case o.Next >= 0 && (minutes >= price || most >= enough*sum):
			t.Errorf("after %d: %q for %.1f minutes, with %.1f at stake", o.Key, f.name(o.Next), minutes, price)
		case o.Next < 0 && price > 60:
			t.Errorf("after %d: nothing, with %.1f minutes at stake", o.Key, price)
		case o.Next < 0:
			idle++
		}
	}
	if idle == len(first.Outcomes) {
		t.Error("nothing is ever next")
	}
}
