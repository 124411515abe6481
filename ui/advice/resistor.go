package advice

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
	"halfsplit/fault/probing"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// A Resistor is the choice of a test resistor.
type Resistor struct {
	cursor
	leak  int // of the leaks that can be expected
	watts int // of ratings
	e12   bool
	tol   int // of tolerances
	step  int // preferred values away from the suggestion
}

var (
	ratings    = []float64{0.5, 1, 2, 5, 10, 25, 50}
	tolerances = []float64{0.1, 0.5, 1, 2, 5, 10}
)

// lines of the page, in the order in which the keyboard walks them.
var resistorLines = []string{"leak", "watts", "series", "tolerance", "value"}

// NewResistor begins with the watts of what the case has already, and the leak of
// the section that the reading in the making lies in.
func NewResistor(w World) Resistor {
	r := Resistor{watts: 2, tol: 2}
	most := 0.0
	for _, k := range w.Pack.Case.Resistors {
		most = math.Max(most, k.Watts)
	}
	for i, x := range ratings {
		if most > 0 && x <= most {
			r.watts = i
		}
	}
	r.cursor.at = len(resistorLines) - 1
	return r
}

// An expected leak to choose a resistor for.
type expected struct {
	ohms  float64
	bound bool // only known to be below ohms
	words string
}

// leaks are those that can be expected: what the finding gives for the sections of
// the present state, the lowest first, and the first guess by working volts.
func leaks(w World) (out []expected) {
	own := ""
	if n, ok := w.Pack.Net.Node(w.Form.Red); ok {
		if s := w.Pack.SectionOf(n); s != nil {
			own = s.From
		}
	}
	for i := range w.Pack.Sections {
		s := &w.Pack.Sections[i]
		if s.Finding == nil {
			continue
		}
		b := s.Finding.Ohms
		e := expected{ohms: float64(b.Mid), words: words.Bounded(b) + ", " + s.From + " to " + s.To}
		switch b.Relation {
		case fault.Less:
			e.ohms, e.bound = float64(b.High), true
		case fault.Greater:
			e.ohms = float64(b.Low)
		}
		if e.ohms > 0 && !math.IsInf(e.ohms, 1) {
			out = append(out, e)
		}
		if own == s.From && len(out) > 1 && e.ohms == out[len(out)-1].ohms {
			out[0], out[len(out)-1] = out[len(out)-1], out[0]
		}
	}
	rest := out[min(1, len(out)):]
	if own == "" {
		rest = out
	}
	sort.SliceStable(rest, func(i, j int) bool { return rest[i].ohms < rest[j].ohms })
	if v, _ := worst(w.Pack); v > 0 {
		out = append(out, expected{ohms: insulation.SuggestedOhmsPerVolt * v, words: fmt.Sprintf("a first guess, %d ohm/V", insulation.SuggestedOhmsPerVolt)})
	}
	return out
}

// worst is the most that can stand across a test resistor from a pole to chassis,
// and where that is from: the whole pack.
func worst(p *facts.Pack) (volts float64, from string) {
	take := func(v float64, why string) {
		if v > volts {
			volts, from = v, why
		}
	}
	take(p.Case.Layout.WorkingVolts, "the pack's working volts")
	take(p.Case.Layout.NominalVolts, "the pack's nominal volts")
	for s, along := range p.Along {
		if !p.CountsGroups(s) && len(along) > 0 {
			take(along[len(along)-1], "the string's volts, expected, not measured")
		}
	}
	return volts, from
}

// chosen is the test resistor with its load; small says that the leak is only a
// bound and that a smaller one than those of the case is chosen.
func (r Resistor) chosen(w World) (t insulation.TestResistor, e expected, err error) {
	all := leaks(w)
	if len(all) == 0 {
		return t, e, fmt.Errorf("the pack's volts are not known: give the layout its working volts, or read the modules")
	}
	e = all[turn(r.leak, 0, len(all))]
	volts, _ := worst(w.Pack)
	series := r.series()
	// The meter lies across the leak: what moves its reading most is as large as both
	// together.
	ohms := e.ohms
	if in, ok := w.Pack.Case.Instrument(w.Form.Instrument); ok && in.InputOhms > 0 {
		if both, bad := insulation.InParallel(ohms, in.InputOhms); bad == nil {
			ohms = both
		}
	}
	if t, err = insulation.SuggestFor(ohms, volts, ratings[r.watts], series); err != nil || r.step == 0 {
		return t, e, err
	}
	t, err = insulation.LoadOf(preferred(series, t.Ohms, r.step), volts)
	return t, e, err
}

func (r Resistor) series() insulation.Series {
	if r.e12 {
		return insulation.E12()
	}
	return insulation.E24()
}

// preferred is the value so many steps of a series away from one of them.
func preferred(s insulation.Series, from float64, by int) float64 {
	var all []float64
	at := 0
	for d := -1; d <= 7; d++ {
		for _, v := range s {
			x := v * math.Pow10(d)
			if x < from*(1-1e-9) {
				at = len(all) + 1
			}
			all = append(all, x)
		}
	}
	return all[max(0, min(len(all)-1, at+by))]
}

// kit is the resistor as the case would have it.
func (r Resistor) kit(w World) (k fault.Resistor, have bool, err error) {
	t, _, err := r.chosen(w)
	if err != nil {
		return k, false, err
	}
	k = fault.Resistor{ID: resistorName(t.Ohms), Ohms: t.Ohms, TolPct: tolerances[r.tol], Watts: math.Max(ratings[r.watts], ceil2(t.RatedWatts)), MaxVolts: math.Ceil(t.RatedVolts)}
	for _, x := range w.Pack.Case.Resistors {
		if math.Abs(x.Ohms-k.Ohms) < 0.02*k.Ohms {
			return x, true, nil
		}
	}
	k.ID = free(&w.Pack.Case, k.ID)
	return k, false, nil
}

// ceil2 rounds up to two digits.
func ceil2(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x))-1)
	return fault.Round(math.Ceil(x/p-1e-9) * p)
}

// resistorName names a value as a parts drawer does: R200k, R4M7.
func resistorName(ohms float64) string {
	scale, unit := 1.0, "R"
	switch {
	case ohms >= 1e6:
		scale, unit = 1e6, "M"
	case ohms >= 1e3:
		scale, unit = 1e3, "k"
	}
	s := strconv.FormatFloat(fault.Round(ohms/scale), 'f', -1, 64)
	if whole, part, ok := strings.Cut(s, "."); ok {
		return "R" + whole + unit + part
	}
	return "R" + s + unit
}

// Blocks are the page.
func (r Resistor) Blocks(w World) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Choose a test resistor", Bold: true}}
	t, e, err := r.chosen(w)
	if err != nil {
		return append(b, sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())})
	}
	volts, from := worst(w.Pack)
	series := "E24, ± 5 % steps"
	if r.e12 {
		series = "E12, ± 10 % steps"
	}
	on := func(i int) bool { return r.at == i }
	b = append(b, sheet.Block{Kind: sheet.Big, Value: words.Ohms(t.Ohms)},
		sheet.Block{Kind: sheet.Action, ID: lineID + "leak", Text: "For a leak of " + e.words, Value: "A press takes the next leak that can be expected.", On: on(0)},
		sheet.Block{Kind: sheet.Tiles, Tiles: []sheet.Tile{
			{ID: lineID + "watts", Name: "Rated watts at hand", Value: number(ratings[r.watts]) + " W", On: on(1)},
			{ID: lineID + "series", Name: "Preferred values", Value: series, On: on(2)},
			{ID: lineID + "tolerance", Name: "Its tolerance", Value: "± " + number(tolerances[r.tol]) + " %", On: on(3)},
			{ID: lineID + "value", Name: "Another value", Value: r.stepWords(), On: on(4)}}},
		sheet.Block{Kind: sheet.Title, Text: "What it bears"},
		sheet.Block{Kind: sheet.Row, Text: "Volts, worst", Value: words.Volts(volts) + ", " + from},
		sheet.Block{Kind: sheet.Row, Text: "Watts", Value: number(t.Watts) + " W at these volts"},
		sheet.Block{Kind: sheet.Row, Text: "Current", Value: number(1000*t.Amps) + " mA"})
	b = append(b, r.resolves(w, t, e)...)
	return append(b, r.atHand(t)...)
}

func (r Resistor) stepWords() string {
	switch {
	case r.step == 0:
		return "as suggested"
	case r.step < 0:
		return fmt.Sprintf("%d steps smaller", -r.step)
	}
	return fmt.Sprintf("%d steps larger", r.step)
}

// resolves says what two readings with it would tell.
func (r Resistor) resolves(w World, t insulation.TestResistor, e expected) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "What it resolves, expected, not measured"}}
	in, ok := w.Pack.Case.Instrument(w.Form.Instrument)
	if !ok || len(in.Ranges) == 0 {
		return append(b, sheet.Block{Kind: sheet.Para, Text: "Not known: the instrument is not described with its ranges."})
	}
	k := fault.Resistor{Ohms: t.Ohms, TolPct: tolerances[r.tol]}
	away := t.Volts / 2
	if f, err := probing.Foresee(in, away, e.ohms, k); err == nil {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Half the pack away, " + in.ID + " shows", Value: volts(f.Plain) + ", and with it " + volts(f.Fitted)},
			sheet.Block{Kind: sheet.Row, Text: "Which gives", Value: words.Bounded(f.Leak.Bounded())})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "For this leak: " + sentence(err.Error())})
	}
	if low, high, ok := probing.Reach(in, away, k); ok {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Leaks with a value", Value: words.Ohms(low) + " to " + words.Ohms(high) + "; beyond, only a bound"})
	}
	if e.bound {
		b = append(b, r.smaller(w, t, e))
	}
	return b
}

// smaller is what to say where the leak is only a bound.
func (r Resistor) smaller(w World, t insulation.TestResistor, e expected) sheet.Block {
	least := math.Inf(1)
	for _, k := range w.Pack.Case.Resistors {
		least = math.Min(least, k.Ohms)
	}
	if t.Ohms < least {
		return sheet.Block{Kind: sheet.Caution, Text: "The leak is only known to be below " + words.Ohms(e.ohms) + ". A smaller resistor moves the reading more: this one is smaller than any of the case."}
	}
	need, err := insulation.LoadOf(r.series().Nearest(e.ohms), t.Volts)
	if err != nil {
		return sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())}
	}
	return sheet.Block{Kind: sheet.Caution, Text: "The leak is only known to be below " + words.Ohms(e.ohms) + ". A smaller resistor would give its value, and none bears " + words.Volts(t.Volts) + " with " + number(ratings[r.watts]) + " W: " +
		words.Ohms(need.Ohms) + " asks for a rating of " + number(ceil2(need.RatedWatts)) + " W."}
}

// atHand is what must be there before it is used.
func (r Resistor) atHand(t insulation.TestResistor) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "What must be at hand"}}
	for _, s := range []string{
		"A rating of " + number(ceil2(t.RatedWatts)) + " W at least, twice what it bears.",
		"A rating of " + words.Volts(math.Ceil(t.RatedVolts)) + " at least; as a rule several in series.",
		"A fused lead, a covered body, no bare ends.",
		"Its measured ohms: describe it with them, and it is better known than by its tolerance.",
	} {
		b = append(b, sheet.Block{Kind: sheet.Item, Text: s})
	}
	return append(b, sheet.Block{Kind: sheet.Caution, Text: "It is a deliberate connection from a live pole to chassis: chassis end on first and off last, and it is not left connected."},
		sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a line, left and right its options; a press takes the next one. Enter adds it to the case, Esc leaves."})
}

// number writes at most three digits.
func number(x float64) string { return words.Digits(x, 3) }

// volts writes what a meter would show.
func volts(v float64) string {
	d := 3
	switch a := math.Abs(v); {
	case a >= 60:
		d = 1
	case a >= 6:
		d = 2
	}
	return words.VoltsTo(v, d)
}

// Move goes to another line.
func (r Resistor) Move(_ World, by int) Guide {
	r.cursor = r.moved(by, len(resistorLines))
	return r
}

// Turn takes the next option of the line.
func (r Resistor) Turn(w World, by int) Guide {
	was := r.step
	r.step = 0 // another suggestion
	switch resistorLines[r.at] {
	case "leak":
		r.leak = turn(r.leak, by, len(leaks(w)))
	case "watts":
		r.watts = turn(r.watts, by, len(ratings))
	case "series":
		r.e12 = !r.e12
	case "tolerance":
		r.tol, r.step = turn(r.tol, by, len(tolerances)), was
	case "value":
		r.step = max(-24, min(24, was+by))
	}
	return r
}

// Type takes nothing.
func (r Resistor) Type(rune) (Guide, bool) { return r, false }

// Back goes back to the suggestion.
func (r Resistor) Back() Guide { r.step = 0; return r }

// Pick takes the next option of what was pressed.
func (r Resistor) Pick(w World, id string) (Guide, Act) {
	for i, n := range resistorLines {
		if id == lineID+n {
			r.at = i
			return r.Turn(w, 1), Act{}
		}
	}
	return r, Act{}
}

// Primary adds it to the case, or uses what the case has.
func (r Resistor) Primary(w World) (string, Act) {
	k, have, err := r.kit(w)
	switch {
	case err != nil:
		return "Back", Act{Kind: Open, Guide: ListAt(r)}
	case have:
		return "Use " + k.ID + ", which the case has", Act{Kind: UseResistor, Resistor: k}
	}
	return "Add " + k.ID + " to this case", Act{Kind: AddResistor, Resistor: k}
}
