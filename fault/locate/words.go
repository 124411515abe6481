package locate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
)

// words puts a finding into sentences: the fact and its number first, then what
// it rests on, then what would tell more.
type words struct {
	a *analysis
	f *fault.Finding
}

// rests names what a statement rests on: the states, the layout's version, how
// many readings, and which of those that could speak were left out.
func (w *words) rests() string {
	d := w.a.d
	if len(w.f.Used) == 0 {
		return ""
	}
	var states, out []string
	for si, s := range w.a.c.States {
		if d.used[si] {
			states = append(states, s.ID)
		}
	}
	text := "By "
	if len(states) > 0 {
		text += statesWords(states) + ", "
	}
	if v := w.a.c.LayoutVersion; v != "" {
		text += "layout version " + v + ", "
	}
	text += fmt.Sprintf("%d readings", len(w.f.Used))
	if len(w.f.Used) == 1 {
		text = strings.TrimSuffix(text, "s")
	}
	for _, l := range w.f.LeftOut {
		if w.a.given.without[l.Reading] != "" { // not what could have no part in it
			out = append(out, l.Reading)
		}
	}
	if len(out) > 0 {
		text += "; without " + join(out, "and")
	}
	return text + "."
}

func (w *words) tooFew() string {
	d := w.a.d
	if len(w.a.net.Layout.Modules) == 0 {
		return "The layout has no modules yet. Draw the pack, or at least the modules that were measured."
	}
	if len(d.obs) == 0 && len(d.leftOut) == 0 {
		return "No readings yet. Read one terminal of the string to chassis, then the other, with one meter moved between them."
	}
	if len(d.obs) == 0 {
		return "No reading could be used; each is listed with its reason."
	}
	if text := w.twoHalves(); text != "" {
		return text
	}
	for s := range w.a.numbers {
		if n := w.a.numbers[s]; len(n.readings) > 0 {
			sl := &d.slots[s]
			return fmt.Sprintf("Too few readings: no section has two independent readings to chassis in one state. Section %s to %s has %s; read another terminal of it to chassis, or the same one with a test resistor.",
				w.a.net.Name(sl.sec.From), w.a.net.Name(sl.sec.To), join(n.readings, "and"))
		}
	}
	return "Too few readings: cell volts were read, but no terminal to chassis. Read both ends of a section to chassis with one meter."
}

// elsewhere compares a section that shows no leak with what it showed in another
// condition: wet, or with its mounts torqued.
func (w *words) elsewhere() string {
	a := w.a
	for s := range a.d.slots {
		x := &a.d.slots[s]
		if x.sec == nil || a.d.live[s] || !a.numbers[s].ok {
			continue
		}
		for t := range a.d.slots {
			y := &a.d.slots[t]
			if y.sec == nil || !a.d.live[t] || !a.numbers[t].ok || a.d.differ(x.state, y.state) == "" || !overlap(x.sec.Groups, y.sec.Groups) {
				continue
			}
			p, q := a.numbers[s], a.numbers[t]
			if p.g-q.g > 3*math.Hypot(p.g*p.relSD, q.g*q.relSD) && p.g > 2*q.g {
				return fmt.Sprintf("The leak is there in state %s (%s): %s from %s to %s. In state %s it is not seen: %s. The two do not belong together; what changed between them is part of the fault, and its absence now is not repair.",
					a.c.States[x.state].ID, a.d.differ(x.state, y.state), boundText(p.ohms), a.net.Name(x.sec.From), a.net.Name(x.sec.To), a.c.States[y.state].ID, boundText(q.ohms))
			}
		}
	}
	return ""
}

func overlap(a, b []int) bool {
	return len(a) > 0 && slices.ContainsFunc(a, func(g int) bool { return slices.Contains(b, g) })
}

func (w *words) noLeak() string {
	ohms := w.a.wholeOhms()
	s := "No leak is seen"
	switch {
	case ohms != "" && w.a.monitored():
		s += ": " + ohms + " to chassis is what the connected insulation monitor and an even background give"
	case ohms != "":
		s += ": " + ohms + " to chassis is what an even background gives"
	}
	s += ". A balanced reading alone would not show that; its size does." + w.beyondContactors()
	if w.f.ReferenceProved {
		return s + " The chassis reference is proved: a resistor to another chassis piece moved the reading as predicted."
	}
	if w.a.metal != nil && w.a.metal.kind == slipReference {
		return s + " The test is not proved: the readings fit if " + w.a.metal.fitsIf + ". Clip to another bonded point, scrape to bright metal, and read again."
	}
	for _, l := range w.f.LeftOut {
		if strings.Contains(l.Why, "not proved to reach") {
			return s + " The test is not proved: " + l.Reading + " does not fit, so the chassis clip or the resistor may not reach the same metal."
		}
	}
	return s + " The test is not proved: put the test resistor from a terminal to another chassis piece than the meter's clip, and read again."
}

// monitored says that an insulation monitor was connected in a state in use.
func (a *analysis) monitored() bool {
	for si, s := range a.c.States {
		if a.d.used[si] && s.Monitor == fault.MonitorConnected {
			return true
		}
	}
	return false
}

// wholeOhms is the resistance of the largest section with known numbers.
func (a *analysis) wholeOhms() string {
	best := -1
	for s, n := range a.numbers {
		if n.ok && a.d.live[s] && (best < 0 || a.d.slots[s].share > a.d.slots[best].share) {
			best = s
		}
	}
	if best < 0 {
		return ""
	}
	return boundText(a.numbers[best].ohms)
}

// leak states where the leaks are, on what condition, and what would tell more.
func (w *words) leak(lead leading, leaks []resolved) string {
	var s []string
	switch {
	case w.f.Verdict == fault.NotInString:
		s = append(s, w.outside(leaks))
	case w.f.Verdict == fault.BeyondMethod:
		s = append(s, w.beyond(leaks[0]))
	case w.f.Verdict == fault.EquivalentOnly:
		s = append(s, w.equivalent(leaks))
	case lead.spread != nil:
		s = append(s, w.spread(lead.spread))
	case len(leaks) == 0:
		s = append(s, "A leak lies in a part of the string that was not read.")
	default:
		for _, r := range leaks {
			s = append(s, w.place(r))
		}
		s = append(s, "This holds given at most one leak in each section that was read.")
		s = append(s, w.clean(lead)...)
	}
	if text := w.loose(); text != "" {
		s = append(s, text)
	}
	s = append(s, w.remarks(leaks)...)
	if p := w.a.po.share(w.a.po.none); p >= 0.05 {
		s = append(s, fmt.Sprintf("Background alone, without a leak, has a share of %s.", percent(p)))
	}
	for _, c := range w.f.Closure {
		if !c.Passed && !w.explained(lead) {
			s = append(s, fmt.Sprintf("The sections of state %s predict %s for state %s, which read %s: something changed between them.",
				c.From, ohmsText(float64(c.Predicted.Mid)), c.State, boundText(c.Measured)))
		}
	}
	if w.f.WouldTell != "" {
		s = append(s, w.f.WouldTell)
	}
	return strings.Join(s, " ")
}

// outside says that what leaks lies beyond the string.
func (w *words) outside(leaks []resolved) string {
	for i, c := range w.a.po.cands {
		if c.kind == fault.MonitorLeak && w.a.po.share(w.a.po.one[i]) > 0.5 {
			return "The leak is not in the string: the readings are those of an insulation monitor left connected, two equal resistors from its nodes to chassis. Isolate it by the maker's procedure, record that, and read again."
		}
	}
	where := "beyond the contactors"
	if len(leaks) > 0 && len(leaks[0].leak.Places) > 0 {
		l := leaks[0].leak
		if id := l.Places[0].ID; !strings.HasPrefix(id, "load") {
			return fmt.Sprintf("The leak is not in the string: it is there with %s joined and gone without, with %s. Leave it off and look for it there.", id, boundText(l.Ohms))
		}
		where = fmt.Sprintf("%s, beyond the contactors, with %s", placeName(l.Places[0]), boundText(l.Ohms))
	}
	return "The leak is not in the string: it is there with the contactors closed and gone with them open. It lies in " + where + ". Separate the loads and test each on its own, with the pack off them."
}

// explained says that the leading explanation is a thing that some states lack,
// so that their sections need not make up those of the others.
func (w *words) explained(l leading) bool {
	for _, c := range w.a.po.cands {
		for _, cell := range l.cells {
			if c.tap() && c.cell == cell {
				return false
			}
		}
	}
	return true
}

// place is one leak of a split string.
func (w *words) place(r resolved) string {
	l := r.leak
	names := placeNames(rivals(l))
	if len(names) == 0 {
		return fmt.Sprintf("A leak of %s lies %s.", boundText(l.Ohms), between(l.Tap))
	}
	verb := "A leak sits in "
	if len(names) > 1 {
		verb = "A leak sits in one of "
	}
	return fmt.Sprintf("%s%s, %s, with %s.", verb, join(names, "or"), between(l.Tap), boundText(l.Ohms))
}

// placeNames says what each place is, where that is not a module.
func placeNames(places []fault.Share) []string {
	var out []string
	for _, p := range places {
		out = append(out, placeName(p))
	}
	return out
}

func placeName(p fault.Share) string {
	switch p.Kind {
	case fault.PlaceBoard:
		return "board " + p.ID
	case fault.PlaceLink:
		return "link " + p.ID
	case fault.PlaceLoad:
		if p.ID == "load" {
			return "a load that conducts to both of its poles"
		}
		return "what is joined to " + p.ID
	}
	return p.ID
}

func between(t fault.TapRange) string {
	if t.Low == t.High {
		return "at tap " + t.Low
	}
	return fmt.Sprintf("between taps %s and %s (best %s)", t.Low, t.High, t.Mid)
}

func (w *words) equivalent(leaks []resolved) string {
	if len(leaks) == 0 {
		return "The string leaks as a whole; from its ends alone no place can be told."
	}
	l := leaks[0].leak
	text := fmt.Sprintf("The unbroken string reads like one leak of %s %s. If there is one leak, it sits there, in %s. Several leaks whose weighted mean lies there would read the same, each in another module.",
		boundText(l.Ohms), between(l.Tap), w.likely(l))
	if pair := w.pair(); pair != "" {
		text += " " + pair
	}
	return text
}

// worthPair is the share from which a pair of leaks is named in an unbroken
// string: only evidence beside the readings can lift one so far.
const worthPair = 0.10

// pair names the likeliest two places for two leaks, where one pair stands out.
func (w *words) pair() string {
	po := w.a.po
	shares := map[[2]int]float64{}
	po.eachPair(func(i, j int, share float64) {
		if share < 1e-6 {
			return
		}
		w.a.d.places(po.cands[i], func(m int, p float64) {
			w.a.d.places(po.cands[j], func(n int, q float64) {
				shares[[2]int{min(m, n), max(m, n)}] += share * p * q
			})
		})
	})
	best, most := [2]int{}, 0.0
	for k, v := range shares {
		if v > most || (v == most && (k[0] < best[0] || (k[0] == best[0] && k[1] < best[1]))) {
			best, most = k, v
		}
	}
	if most < worthPair {
		return ""
	}
	why := ""
	for _, e := range w.a.ev {
		if e.Kind == fault.Two {
			why = " " + e.Why
			break
		}
	}
	return fmt.Sprintf("Two leaks, in %s and %s, have a share of %s.%s", w.a.d.things[best[0]].id, w.a.d.things[best[1]].id, percent(most), why)
}

func (w *words) likely(l fault.Leak) string {
	var names []string
	sum := 0.0
	for _, p := range l.Places {
		if len(names) == 4 {
			names = append(names, "others")
			break
		}
		names = append(names, fmt.Sprintf("%s (%s)", placeName(p), percent(float64(p.Share))))
		if sum += float64(p.Share); sum >= sure {
			break
		}
	}
	return join(names, "or")
}

func (w *words) spread(r *spreadRun) string {
	mods := w.a.net.Strings[r.str].Modules
	id := func(i int) string { return w.a.net.Layout.Modules[mods[i]].ID }
	return fmt.Sprintf("Leakage is spread about %s to %s: every section read there leaks, each about its own middle, and no single module explains it. Look for liquid or dirt and its source before any module comes out.", id(r.from), id(r.to))
}

func (w *words) beyond(r resolved) string {
	l := r.leak
	return fmt.Sprintf("A leak of %s is out of this method's reach here: it could sit anywhere %s, limited by %s. Read smaller sections, or use a meter of higher input resistance.",
		boundText(l.Ohms), between(l.Tap), w.f.LimitedBy)
}

// clean names the sections that were read and show background alone.
func (w *words) clean(lead leading) []string {
	var out []string
	leaky := map[int]bool{}
	for _, c := range lead.cells {
		leaky[c] = true
	}
	for s, n := range w.a.numbers {
		if !n.ok || !w.a.d.live[s] || w.a.d.slots[s].sec == nil {
			continue
		}
		touched, covers := false, false
		for _, c := range w.a.po.cands {
			if !math.IsNaN(c.u[s]) {
				covers = true
				touched = touched || leaky[c.cell]
			}
		}
		if covers && !touched {
			sl := &w.a.d.slots[s]
			out = append(out, fmt.Sprintf("%s to %s shows no leak: %s.", w.a.net.Name(sl.sec.From), w.a.net.Name(sl.sec.To), boundText(n.ohms)))
		}
	}
	return out
}
