package entry

import (
	"fmt"
	"math"
	"strconv"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// PointID and a number is a point of a run that a press leads back to.
const PointID = "point:"

// Keys of the pad of a run that are more than a character.
const (
	SuspectKey = "* suspect"
	AgainKey   = "+ again"
	SkipKey    = "/ skip"
	EditKey    = "F2 edit"
	BackKey    = "Back"
	ListKey    = "End list"
	LeaveKey   = "Esc leave"
)

// settleTimes are the seconds that the settle timer can be asked for.
var settleTimes = []float64{10, 30, 60}

// WaitKey is the pad's key that starts the settle timer.
func WaitKey(s float64) string { return fmt.Sprintf("wait %g s", s) }

// Waits gives the seconds of such a key.
func Waits(key string) (s float64, ok bool) {
	for _, s := range settleTimes {
		if WaitKey(s) == key {
			return s, true
		}
	}
	return 0, false
}

// NextWait is the settle time after this one; 0 begins and ends the row.
func NextWait(s float64) float64 { return next(append([]float64{0}, settleTimes...), s, 1) }

// Continue asks whether to go on with a run that was left.
func (r *Run) Continue() string {
	pt, _ := r.Point()
	return "Continue at " + pt.Name() + " in '" + r.Name + "'?"
}

// Standing says how far it is.
func (r *Run) Standing() string {
	s := fmt.Sprintf("%d of %s", len(r.Taken), values(len(r.points)))
	for _, more := range []struct {
		n    int
		word string
	}{{len(r.Skipped), "skipped"}, {len(r.Suspect), "suspect"}, {len(r.Doubts), "in doubt"}} {
		if more.n > 0 {
			s += fmt.Sprintf(", %d %s", more.n, more.word)
		}
	}
	return s + "."
}

// Blocks are the panel of the run: where it stands, the leads, the field, the value
// across the bench, the pad. waiting is the countdown of the settle timer, in place
// of the value while nothing is typed.
//
// On the bench, with gloves, everything that is looked at and pressed for a value
// stands together: field and value side by side, then the pad; the leads below it. In
// a low window the pad stands beside field and value, and all else below.
func (r *Run) Blocks(p *facts.Pack, f Form, who string, waiting []sheet.Block, room Room) []sheet.Block {
	pt, _ := r.Point()
	b := []sheet.Block{{Kind: sheet.Route, Text: pt.Name(), Value: r.after()}}
	switch {
	case f.corrects():
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "It has a value. What is typed replaces it, because: " + f.Why + "."})
	case f.Again:
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "A second reading of this point."})
	}
	if f.elsewhere(p) {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "These values are recorded for state " + f.State + ", which the sheet was printed for, not for the present state " + p.Case.Now + "."})
	}
	if room == PlainRoom {
		b = append(b, f.leads(p))
	}
	e, err := f.Parse(p)
	doubt := ""
	if f.Raw != "" && err == nil {
		doubt = r.Doubt(p, f)
	}
	field := sheet.Block{Kind: sheet.Input, ID: FieldID, Text: pt.Name(), Value: f.Raw, Unit: f.unit(), On: f.At == Field, Hatched: doubt != "" || f.Suspect}
	echo := r.lastEcho()
	switch {
	case f.Raw != "" && err == nil:
		value, how := f.EchoParts(e)
		echo = sheet.Block{Kind: sheet.Echo, Text: "Not saved yet, " + pt.Name(), Value: value, Unit: how}
	case f.Raw != "":
		echo = sheet.Block{Kind: sheet.Echo, Text: "Not saved yet, " + pt.Name(), Value: "…"}
	case len(waiting) > 0:
		echo = waiting[0]
	}
	var half *sheet.Block // of a low window: field, value and pad
	switch room {
	case LowRoom:
		half = &sheet.Block{Kind: sheet.Halves, Share: lowShare, Left: append([]sheet.Block{field, echo}, f.besides(p, doubt)...), Right: []sheet.Block{{Kind: sheet.Pad, Keys: f.lowPad()}}}
	case BenchRoom:
		field.Kind, field.Text, field.Ends = sheet.BenchField, echo.Text, [2]string{echo.Value, echo.Unit}
		b = append(b, field)
	default:
		b = append(b, field, echo)
	}
	b = append(b, f.remarks(err, doubt)...)
	switch room {
	case LowRoom:
		b = append([]sheet.Block{*half}, append(b, f.leads(p))...)
	case BenchRoom:
		b = append(b, sheet.Block{Kind: sheet.Pad, Keys: f.benchPad()}, f.leads(p))
	default:
		b = append(b, sheet.Block{Kind: sheet.Pad, Keys: f.runPad()})
	}
	b = append(b, sheet.Block{Kind: sheet.Para, Text: r.setUp(p, f)}, f.tiles(p))
	if len(p.Case.Instruments) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: KitID, Text: "Describe the instrument first (I)", Value: "A reading without one is kept, but cannot be weighed."})
	}
	b = append(b, sheet.Block{Kind: sheet.Row, Text: "'" + r.Name + "'", Value: r.Standing()},
		sheet.Block{Kind: sheet.Action, ID: EndID, Text: "What is to be looked at again (End)", Value: "Skipped, suspect, doubted and missing points. It ends the run there."},
		sheet.Block{Kind: sheet.Row, ID: WhoID, Text: "Who is here (N)", Value: orNone(who, "not named")})
	return append(b, sheet.Block{Kind: sheet.Soft, Text: r.keys()})
}

// A Room is what the panel of a run has.
type Room uint8

// The rooms.
const (
	PlainRoom Room = iota // everything under each other
	BenchRoom             // wide, with gloves on
	LowRoom               // wide and too low for the pad below the field
)

// lowShare is the share of a low panel's width that field and value have beside the
// pad: with it the keys of six columns are as wide as a finger from 500 pixels on.
const lowShare = 0.3

// besides is in few words what must not be missed of a value in a low window, where the
// sentences stand below the pad.
func (f Form) besides(p *facts.Pack, doubt string) (b []sheet.Block) {
	for _, s := range []struct {
		so   bool
		text string
	}{{f.elsewhere(p), "For state " + f.State + ", not the present one."}, {f.corrects(), "Replaces the value it has."}, {f.Again, "A second reading."},
		{f.Failed != "", "Not saved: why is below."}, {f.Suspect, "Marked as suspect."}, {doubt != "", "In doubt: why is below."}} {
		if s.so {
			b = append(b, sheet.Block{Kind: sheet.Para, Text: s.text})
		}
	}
	return b
}

// remarks are what is said of a value while it is typed.
func (f Form) remarks(err error, doubt string) (b []sheet.Block) {
	if f.Raw != "" && err != nil {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())})
	}
	if doubt != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: doubt})
	}
	if f.Suspect {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "Marked as suspect."})
	}
	if f.Failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "Not saved: " + sentence(f.Failed)})
	}
	return b
}

// EndID is the line that opens the end of the run.
const EndID = "run:end"

// after is the name of the point that comes next.
func (r *Run) after() string {
	if i, ok := r.Next(); ok {
		return r.points[i].Name()
	}
	return ""
}

// lastEcho is the value that was accepted last, with how it was understood.
func (r *Run) lastEcho() sheet.Block {
	if r.Last < 0 || r.Last >= len(r.points) || r.LastSaid == "" {
		return sheet.Block{Kind: sheet.Echo, Text: "Nothing is saved in this run yet", Value: "…"}
	}
	text := "Saved, " + r.points[r.Last].Name()
	if d := r.Doubts[r.Last]; d != "" {
		text = "Saved, " + r.points[r.Last].Name() + ", in doubt"
	}
	if r.Suspect.Has(r.Last) {
		text = "Saved, " + r.points[r.Last].Name() + ", suspect"
	}
	return sheet.Block{Kind: sheet.Echo, Text: text, Value: r.LastSaid, Unit: r.LastHow}
}

// keys are the number pad in words.
func (r *Run) keys() string {
	sign := "- in front is the sign"
	if r.quantity() != fault.Volts {
		sign = "- in front is \"more than\", for a display that is over its range"
	}
	return "On the number pad: Enter saves and goes on. " + sign + ". * marks the value as suspect. + saves it and asks for a second one of the same point; with an empty field it goes back for one. / skips. Backspace in an empty field goes one point back. Page up and down jump a module. F2 edits the last value. F5 waits 10, 30 or 60 s. Esc leaves; nothing is lost."
}

// setUp says in words what the lead picture cannot: the test resistor and the range.
func (r *Run) setUp(p *facts.Pack, f Form) string {
	s := "Test resistor: none."
	if f.Kind == WithResistor {
		s = "Test resistor: " + f.Resistor + " across the probes."
	}
	if f.inOhms() {
		return s
	}
	in, ok := p.Case.Instrument(f.Instrument)
	switch {
	case !ok:
		return s + " The instrument is not named."
	case f.Range > 0:
		return s + fmt.Sprintf(" %s is locked to its %g V range.", in.ID, f.Range)
	}
	most := r.most(p)
	for _, rg := range in.Ranges {
		if most > 0 && rg.Max >= most {
			return s + " Lock " + in.ID + " to its " + strconv.FormatFloat(rg.Max, 'g', -1, 64) + words.Thin + "V range: it holds every point of this run."
		}
	}
	return s + " " + in.ID + " chooses its range."
}

// most is what the largest value of the run can be, in V, with some room; 0 where
// nothing says.
func (r *Run) most(p *facts.Pack) float64 {
	most := 0.0
	switch r.Kind {
	case series.ToChassis:
		for i := range p.Sections {
			if v := p.Sections[i].Volts; !math.IsNaN(v) {
				most = math.Max(most, v)
			}
		}
	default:
		cell := 0.0
		for _, m := range p.Median {
			if !math.IsNaN(m) {
				cell = math.Max(cell, m)
			}
		}
		for i := range r.points {
			if m, ok := p.Net.Module(r.points[i].Module); ok && r.Kind == series.ModuleVolts {
				most = math.Max(most, cell*float64(p.Net.Layout.Modules[m].Series))
			} else {
				most = math.Max(most, cell)
			}
		}
	}
	return 1.15 * most
}

func (f Form) runPad() [][]string {
	last := []string{"0", AgainKey, SkipKey}
	var rows [][]string
	switch {
	case f.Kind == JointOhms:
		rows = [][]string{{"7", "8", "9", ">", BackKey}, {"4", "5", "6", ".", SuspectKey}, {"1", "2", "3", "m", "µ"}}
	case f.inOhms():
		rows = [][]string{{"7", "8", "9", ">", BackKey}, {"4", "5", "6", ".", SuspectKey}, {"1", "2", "3", "k", "M", "G"}}
	default:
		rows = [][]string{{"7", "8", "9", "-", BackKey}, {"4", "5", "6", ".", SuspectKey}, {"1", "2", "3", "mV", "OL"}}
	}
	rows = append(rows, append(last, EditKey))
	var waits []string
	for _, s := range settleTimes {
		waits = append(waits, WaitKey(s))
	}
	return append(rows, waits)
}

// benchPad has what every value needs in its first four rows.
func (f Form) benchPad() [][]string {
	front, units := "-", []string{"mV", "OL"}
	switch {
	case f.Kind == JointOhms:
		front, units = ">", []string{"m", "µ"}
	case f.inOhms():
		front, units = ">", []string{"k", "M", "G"}
	}
	for _, s := range settleTimes {
		units = append(units, WaitKey(s))
	}
	return [][]string{{"7", "8", "9", front, BackKey}, {"4", "5", "6", ".", SuspectKey}, {"1", "2", "3", AgainKey, SkipKey}, {"0", EditKey, ListKey, LeaveKey}, units}
}

// lowPad has what every value needs in its first three rows.
func (f Form) lowPad() [][]string {
	front, units := "-", []string{"mV", "OL"}
	switch {
	case f.Kind == JointOhms:
		front, units = ">", []string{"m", "µ"}
	case f.inOhms():
		front, units = ">", []string{"k", "M"}
	}
	last := []string{EditKey, ListKey, LeaveKey}
	for _, s := range settleTimes {
		last = append(last, WaitKey(s))
	}
	if f.inOhms() && f.Kind != JointOhms {
		last = append(last, "G")
	}
	return [][]string{{"7", "8", "9", front, BackKey, SuspectKey}, {"4", "5", "6", ".", AgainKey, SkipKey}, append([]string{"1", "2", "3", "0"}, units...), last}
}

// skipWhys are the reasons that a skip can be given.
var skipWhys = []string{"no access", "covered or taped", "the lead does not reach", "not fitted", "does not settle", "left for later"}

// SkipWhys are the reasons that a skip can be given, in the order of their digits.
func SkipWhys() []string { return skipWhys }

// EndBlocks are the end of the run: what is to be looked at again, each a way back to
// its point; at is the line that the keyboard is on.
func (r *Run) EndBlocks(at int) []sheet.Block {
	list := r.Again()
	b := []sheet.Block{{Kind: sheet.Title, Text: "The end of '" + r.Name + "'", Bold: true}, {Kind: sheet.Para, Text: r.Standing()}}
	if len(list) == 0 {
		return append(b, sheet.Block{Kind: sheet.Soft, Text: "Every point has a value, and nothing stood out. Enter or 0 ends the run."})
	}
	skipped := false
	for k, i := range list {
		pt := r.points[i]
		text, why := pt.Name(), ""
		switch reason, skip := r.Skipped[i]; {
		case skip && reason == "":
			why, skipped = "Skipped: why?", true
		case skip:
			why = "Skipped: " + reason + "."
			skipped = true
		case !r.Taken.Has(i):
			why = "Not reached"
			if n := r.left(); n > 1 {
				why += fmt.Sprintf(", and %d more", n-1)
			}
			why += "."
		}
		if r.Suspect.Has(i) {
			why += " Marked as suspect."
		}
		if d := r.Doubts[i]; d != "" {
			why += " " + d
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: PointID + strconv.Itoa(i), Text: text, Value: why, On: k == at})
	}
	if skipped {
		for n, w := range skipWhys {
			b = append(b, sheet.Block{Kind: sheet.Action, ID: WhyID + strconv.Itoa(n), Text: strconv.Itoa(n+1) + "  " + w})
		}
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "1 to 6 say why the line that the keyboard is on was skipped."})
	}
	return append(b, sheet.Block{Kind: sheet.Action, ID: FinishID, Text: "0  End this run as it is", Value: "What was marked stays in the casebook."},
		sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a line, Enter goes back to its point. Esc goes back to the run."})
}

// FinishID is the line that ends the run.
const FinishID = "run:finish"

// WhyID and a number is a reason for a skip.
const WhyID = "skip-why:"

// SayWhy gives the skip of a point its reason; ok is false where the point was not
// skipped.
func (r *Run) SayWhy(i, why int) (ok bool) {
	if !r.isSkipped(i) || why < 0 || why >= len(skipWhys) {
		return false
	}
	r.Skipped[i] = skipWhys[why]
	return true
}
