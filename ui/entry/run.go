package entry

import (
	"encoding/json"
	"fmt"
	"slices"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/ui/facts"
)

// A Run is a series of readings of one kind in the making: which points, in which
// order, where it has come to, and what is to be looked at again at its end. It is
// kept as text beside the case after every value, so that a program that ends in the
// middle goes on at the next point.
type Run struct {
	Name     string         `json:"name"`
	Number   int            `json:"number"` // of the runs of its case, from 1
	Kind     series.Kind    `json:"kind"`
	Order    series.Order   `json:"order"`
	Stack    string         `json:"stack,omitempty"`    // of series.OneStack
	Own      []string       `json:"own,omitempty"`      // of series.Own
	Prefix   string         `json:"prefix,omitempty"`   // of the unit of a bare number; "m" = the run was begun in mV
	Resistor string         `json:"resistor,omitempty"` // across the probes, to chassis
	Chassis  string         `json:"chassis,omitempty"`  // of the black lead; "" = chassis
	Sheet    string         `json:"sheet,omitempty"`    // number of the bench sheet that is typed in; "" = none
	State    string         `json:"state"`              // that it was begun in
	Count    int            `json:"count"`              // of its points
	Only     Set            `json:"only,omitempty"`     // of series.Missing: which of the electrical order lacked a value at the start
	At       int            `json:"at"`
	Taken    Set            `json:"taken,omitempty"`
	Skipped  map[int]string `json:"skipped,omitempty"` // why; "" = not said yet
	Suspect  Set            `json:"suspect,omitempty"`
	Doubts   map[int]string `json:"doubts,omitempty"` // what stood out, in words
	Last     int            `json:"last"`             // the point that was accepted last; -1 = none
	LastRaw  string         `json:"last_raw,omitempty"`
	LastSaid string         `json:"last_said,omitempty"`
	LastHow  string         `json:"last_how,omitempty"`
	Raw      string         `json:"raw,omitempty"` // typed at the point and not accepted
	Readings int            `json:"readings"`      // that the case had when this was kept
	Was      *float64       `json:"was,omitempty"` // V, what the list had for the group that it stands at
	On       bool           `json:"on,omitempty"`  // it was under way, not left
	Ended    bool           `json:"ended,omitempty"`

	points []series.Point
}

// RunName is the name that the draft of a run has beside its case.
const RunName = "run"

// Plan says what a run would go through.
func (r *Run) Plan(p *facts.Pack) []series.Point {
	return r.along(p, r.Order)
}

// along are the run's points in an order. A bench sheet has boxes for what its state
// has alone: no module that is removed then, no joint that is open.
func (r *Run) along(p *facts.Pack, order series.Order) []series.Point {
	c := p.Case
	points := series.Points(p.Net, r.Kind, order, series.Options{Stack: r.Stack, Own: r.Own, Case: &c, Chassis: r.Chassis})
	if r.Sheet != "" {
		of, _ := p.Case.State(r.State)
		points = report.Present(p.Net, of, points)
	}
	return points
}

// Start puts the run on a point of its plan, from 0.
func (r *Run) Start(p *facts.Pack, from int) {
	r.points = r.Plan(p)
	r.Count, r.State, r.Last, r.Ended = len(r.points), p.Case.Now, -1, false
	r.Taken, r.Suspect, r.Skipped, r.Doubts, r.Only = nil, nil, nil, nil, nil
	r.LastRaw, r.LastSaid, r.LastHow, r.Raw = "", "", "", ""
	if r.Order == series.Missing { // what is missing changes with every value
		have := map[string]bool{}
		for _, pt := range r.points {
			have[pt.Key()] = true
		}
		r.Only = Set{}
		for i, pt := range series.Points(p.Net, r.Kind, series.Electrical, series.Options{}) {
			if have[pt.Key()] {
				r.Only.Add(i)
			}
		}
	}
	r.At = max(0, min(from, len(r.points)-1))
	r.stand(p)
}

// Keep is the run as text, as it stands with the case.
func (r *Run) Keep(p *facts.Pack, raw string) string {
	r.Raw = raw
	r.stand(p)
	text, err := json.Marshal(r)
	if err != nil { // numbers and words: it cannot fail
		return ""
	}
	return string(text)
}

// stand notes what tells, after a restart, whether a value was recorded after the
// run was kept.
func (r *Run) stand(p *facts.Pack) {
	r.Readings, r.Was = len(p.Case.Readings), nil
	if pt, ok := r.Point(); ok && pt.Group > 0 {
		if v, ok := listed(p, pt, r.State); ok {
			r.Was = &v
		}
	}
}

// RunsBegun is how many runs were begun in the case by the one that was kept last.
func RunsBegun(text string) int {
	var r Run
	if json.Unmarshal([]byte(text), &r) != nil {
		return 0
	}
	return r.Number
}

// RestoreRun is the run that was kept, ready to go on. It is nil for none, for one
// that was ended and for one that does not fit the case any more; why says so in
// words for the last. A value that was recorded just before the program ended counts.
func RestoreRun(p *facts.Pack, text string) (r *Run, why string) {
	if text == "" {
		return nil, ""
	}
	r = &Run{}
	if err := json.Unmarshal([]byte(text), r); err != nil {
		return nil, "The run that was kept cannot be read: " + err.Error() + "."
	}
	if r.Ended {
		return nil, ""
	}
	order := r.Order
	if order == series.Missing {
		order = series.Electrical
	}
	r.points = r.along(p, order)
	if r.Order == series.Missing {
		var only []series.Point
		for i, pt := range r.points {
			if r.Only.Has(i) {
				only = append(only, pt)
			}
		}
		r.points = only
	}
	if len(r.points) != r.Count || r.At < 0 || r.At >= r.Count || r.Last >= r.Count {
		return nil, fmt.Sprintf("The run '%s' was begun on another drawing of this pack; what was recorded stays.", r.Name)
	}
	r.catchUp(p)
	return r, ""
}

// catchUp counts the value of the present point where it was recorded after the run
// was kept: the program ended between the two.
func (r *Run) catchUp(p *facts.Pack) {
	pt, ok := r.Point()
	if !ok || r.Taken.Has(r.At) {
		return
	}
	recorded := false
	if pt.Group > 0 {
		v, have := listed(p, pt, r.State)
		recorded = have && (r.Was == nil || *r.Was != v)
	}
	if n := len(p.Case.Readings); n == r.Readings+1 {
		last := p.Case.Readings[n-1]
		if recorded = r.of(last, pt); recorded && last.Note == SuspectNote {
			r.Suspect.Add(r.At)
		}
	}
	if !recorded {
		return
	}
	r.Raw = ""
	r.Accepted("", "", "", "")
}

// of says that a reading is a value of a point of this run.
func (r *Run) of(x fault.Reading, pt series.Point) bool {
	return x.Quantity == pt.Quantity && x.Red == pt.Red && x.Black == pt.Black && x.State == r.State && (x.Resistor != nil) == (r.Resistor != "") &&
		(pt.AfterS == 0 || x.AfterTouchS != nil && *x.AfterTouchS == pt.AfterS)
}

// listed is what the newest list of a state has for a group.
func listed(p *facts.Pack, pt series.Point, state string) (v float64, ok bool) {
	for _, g := range p.Case.GroupVolts {
		if g.Module == pt.Module && g.State == state && pt.Group <= len(g.Volts) && g.Volts[pt.Group-1] == g.Volts[pt.Group-1] {
			v, ok = g.Volts[pt.Group-1], true
		}
	}
	return v, ok
}

// Points are the run's points in their order.
func (r *Run) Points() []series.Point { return r.points }

// Point is where the run stands; ok is false for a run without points.
func (r *Run) Point() (pt series.Point, ok bool) {
	if r.At < 0 || r.At >= len(r.points) {
		return pt, false
	}
	return r.points[r.At], true
}

// Next is the point that comes after this one: the next that has neither a value nor
// a skip, from here on and then from the start; ok is false for none.
func (r *Run) Next() (i int, ok bool) {
	for k := 1; k < len(r.points); k++ {
		if i = (r.At + k) % len(r.points); !r.Taken.Has(i) && !r.isSkipped(i) {
			return i, true
		}
	}
	return r.At, false
}

func (r *Run) isSkipped(i int) bool { _, yes := r.Skipped[i]; return yes }

// Open says that the present point has neither a value nor a skip.
func (r *Run) Open() bool { return !r.Taken.Has(r.At) && !r.isSkipped(r.At) }

// Accepted counts the value of the present point, with what was typed, how it was
// understood and what stood out, and goes on; more is false where nothing is left.
func (r *Run) Accepted(raw, said, how, doubt string) (more bool) {
	r.Counted(raw, said, how, doubt)
	return r.on()
}

// Counted counts the value and stays.
func (r *Run) Counted(raw, said, how, doubt string) {
	if r.Taken == nil {
		r.Taken = Set{}
	}
	r.Taken.Add(r.At)
	delete(r.Skipped, r.At)
	r.Last, r.LastRaw, r.LastSaid, r.LastHow = r.At, raw, said, how
	delete(r.Doubts, r.At)
	if doubt != "" {
		if r.Doubts == nil {
			r.Doubts = map[int]string{}
		}
		r.Doubts[r.At] = doubt
	}
}

// Skip leaves the present point out and goes on; its reason is asked for at the end.
// A point that has a value keeps it.
func (r *Run) Skip() (more bool) {
	if !r.Taken.Has(r.At) {
		if r.Skipped == nil {
			r.Skipped = map[int]string{}
		}
		if !r.isSkipped(r.At) {
			r.Skipped[r.At] = ""
		}
	}
	return r.on()
}

func (r *Run) on() bool {
	i, ok := r.Next()
	r.At = i
	return ok
}

// Mark marks a point as suspect, or takes the mark away.
func (r *Run) Mark(i int, on bool) {
	if r.Suspect == nil {
		r.Suspect = Set{}
	}
	if on {
		r.Suspect.Add(i)
	} else {
		delete(r.Suspect, i)
	}
}

// Step goes so many points on in the order, whatever they have; ok is false at the
// end.
func (r *Run) Step(by int) (ok bool) { return r.Go(r.At + by) }

// Go goes to a point.
func (r *Run) Go(i int) (ok bool) {
	if i < 0 || i >= len(r.points) {
		return false
	}
	r.At = i
	return true
}

// Jump goes to the first point of the next module of the order, or to that of the
// one before; ok is false at the end.
func (r *Run) Jump(by int) (ok bool) {
	of := func(i int) string { return r.points[i].Module + "|" + r.points[i].Link }
	i := r.At
	for i >= 0 && i < len(r.points) && of(i) == of(r.At) {
		i += by
	}
	if i < 0 || i >= len(r.points) {
		return false
	}
	if by < 0 { // to its first point
		for i > 0 && of(i-1) == of(i) {
			i--
		}
	}
	r.At = i
	return true
}

// Find is the point that lies at a target of the drawings, the nearest after the
// present one; ok is false for none.
func (r *Run) Find(p *facts.Pack, id string) (i int, ok bool) {
	for k := range r.points {
		i = (r.At + k) % len(r.points)
		pt := r.points[i]
		if id == "module:"+pt.Module || id == "link:"+pt.Link {
			return i, true
		}
		if n, is := p.Net.Node(pt.Red); is && id == "node:"+p.Net.Name(n) {
			return i, true
		}
	}
	return 0, false
}

// Again is what the end of the run has to show, each a point to go back to: those
// that were skipped, marked or doubted, in their order, and then the first of those
// that were not reached.
func (r *Run) Again() []int {
	var out []int
	first := -1
	for i := range r.points {
		switch {
		case r.isSkipped(i) || r.Suspect.Has(i) || r.Doubts[i] != "":
			out = append(out, i)
		case !r.Taken.Has(i) && first < 0:
			first = i
		}
	}
	if first >= 0 {
		out = append(out, first)
	}
	return out
}

// left is how many points were not reached.
func (r *Run) left() (n int) {
	for i := range r.points {
		if !r.Taken.Has(i) && !r.isSkipped(i) {
			n++
		}
	}
	return n
}

// Undone takes points out whose values were withdrawn, and goes back to the first of
// them; changed says that there was one.
func (r *Run) Undone(p *facts.Pack) (changed bool) {
	if r.Last < 0 || !r.Taken.Has(r.Last) {
		return false
	}
	if _, have := r.standing(p, r.Last); have {
		return false
	}
	delete(r.Taken, r.Last)
	delete(r.Doubts, r.Last)
	delete(r.Suspect, r.Last)
	r.At, r.Last, r.LastRaw, r.LastSaid, r.LastHow = r.Last, -1, "", "", ""
	return true
}

// Value is the reading that a point has, with its id; ok is false for none, and for a
// group whose value stands in a list.
func (r *Run) Value(p *facts.Pack, i int) (x fault.Reading, ok bool) {
	x, ok = r.standing(p, i)
	return x, ok && x.ID != ""
}

// standing is what a point has: the newest reading of it that was not replaced, or
// for a group what the list says, with no id.
func (r *Run) standing(p *facts.Pack, i int) (x fault.Reading, ok bool) {
	pt := r.points[i]
	if pt.Group > 0 {
		if v, have := listed(p, pt, r.State); have {
			return fault.Reading{Quantity: fault.Volts, Red: pt.Red, Black: pt.Black, Value: v}, true
		}
	}
	replaced := p.Case.Superseded()
	for _, have := range slices.Backward(p.Case.Readings) {
		if _, old := replaced[have.ID]; !old && r.of(have, pt) {
			return have, true
		}
	}
	return x, false
}
