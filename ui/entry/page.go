package entry

import (
	"fmt"
	"strconv"
	"strings"

	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// ids of what can be pressed on the sheet, by row.
var ids = map[Row]string{Field: FieldID, What: "entry:what", RedLead: "entry:red", BlackLead: "entry:black", Meter: "entry:meter",
	Lock: "entry:range", Fitted: "entry:resistor", Forced: "entry:force", Unit: "entry:unit", Reason: "entry:why"}

// Other ids on the sheet.
const (
	StateID = "entry:state"
	WhoID   = "entry:who"
	KitID   = "entry:kit"
	FieldID = "entry:field"
	GapID   = "entry:gap"
)

// RowOf is the row that an id belongs to.
func RowOf(id string) (Row, bool) {
	for r, i := range ids {
		if i == id {
			return r, true
		}
	}
	return 0, false
}

// Blocks are the sheet of the form.
func (f Form) Blocks(p *facts.Pack, who string) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: f.Title() + f.Of(p), Bold: true}, f.leads(p), f.tiles(p)}
	b = append(b, f.field(p)...)
	if link, ok := f.GapFirst(p); ok {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: GapID, Text: "First read across " + link + ", before its far side is touched (X)", Value: "What is expected there is shown once a value is typed."})
	}
	if s := f.Next(p); s != "" {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: s})
	}
	switch {
	case f.Kind == WithResistor && len(p.Case.Resistors) == 0:
		b = append(b, sheet.Block{Kind: sheet.Action, ID: KitID, Text: "Describe the test resistor first (I)", Value: "A reading with it needs its measured ohms, watts and volts."})
	case len(p.Case.Instruments) == 0:
		b = append(b, sheet.Block{Kind: sheet.Action, ID: KitID, Text: "Describe the instrument first (I)", Value: "A reading without one is kept, but cannot be weighed."})
	}
	b = append(b, sheet.Block{Kind: sheet.Pad, Keys: f.pad()}, sheet.Block{Kind: sheet.Row, ID: WhoID, Text: "Who is here (N)", Value: orNone(who, "not named")})
	b = append(b, sheet.Block{Kind: sheet.Action, ID: KitID, Text: "Add an instrument or a test resistor (I)"})
	if f.Last != "" {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Saved before", Value: f.Last})
	}
	r := ""
	if f.Kind == ToChassis || f.Kind == WithResistor {
		r = "R puts the test resistor across the probes or takes it away. "
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Enter saves and goes on. Up and down choose a line, left and right its options; a press takes the next one. / or a press on RED skips. " + r + "Esc leaves; what was saved stays."})
}

// Title names the reading in the making.
func (f Form) Title() string {
	t := ""
	switch f.Kind {
	case ModuleVolts:
		t = "Module volts, " + f.Module
	case GroupVolts:
		t = fmt.Sprintf("Group volts, %s group %d", f.Module, f.Group)
	case Across:
		t = "Across " + f.Link
	case JointOhms:
		t = "Joint resistance, " + f.Link
	case Insulation:
		t = "Insulation, " + f.Red + " to " + f.Black
	case WithResistor:
		t = f.Red + " to " + f.Black + " with " + f.Resistor
	default:
		t = f.Red + " to " + f.Black
	}
	if f.Corrects != "" {
		return "Correct " + f.Corrects + ": " + t
	}
	return t
}

func (f Form) leads(p *facts.Pack) sheet.Block {
	b := sheet.Block{Kind: sheet.Leads, Text: "V", Tiles: []sheet.Tile{
		{ID: ids[RedLead], Name: "RED", Value: f.Red, On: f.At == RedLead},
		{ID: ids[BlackLead], Name: "BLACK", Value: f.Black, On: f.At == BlackLead}}}
	switch f.Kind {
	case Insulation:
		b.Text = "MΩ"
	case JointOhms:
		b.Text = "Ω"
	case WithResistor:
		b.Value = sheet.ResistorWords(p, f.Resistor)
		if at, apart := f.fitted(p); apart {
			b.Value += ", from " + at.From + " to " + at.To + ", not across the probes"
			b.Ends = [2]string{at.From, at.To}
		}
	}
	return b
}

// field is what was typed, what it means, and what stands out about it.
func (f Form) field(p *facts.Pack) []sheet.Block {
	out := []sheet.Block{{Kind: sheet.Input, ID: ids[Field], Text: "Read on the meter", Value: f.Raw, Unit: f.unit(), On: f.At == Field}}
	switch e, err := f.Parse(p); {
	case f.Raw == "":
		out = append(out, sheet.Block{Kind: sheet.Big, Value: "…"})
	case err != nil:
		out = append(out, sheet.Block{Kind: sheet.Big, Value: "…"}, sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())})
	default:
		out = append(out, sheet.Block{Kind: sheet.Big, Value: f.Echo(e)})
		out = append(out, f.compared(p, e.Value)...)
		if d := f.Doubt(p); d != "" {
			out = append(out, sheet.Block{Kind: sheet.Doubt, Text: d + " It can be saved as it is."})
		}
	}
	if f.Failed != "" {
		out = append(out, sheet.Block{Kind: sheet.Caution, Text: "Not saved: " + sentence(f.Failed)})
	}
	return out
}

// unit is what a bare number has.
func (f Form) unit() string {
	switch {
	case f.inOhms():
		return strings.Replace(f.Prefix, "u", "µ", 1) + "Ω"
	case f.Millivolts && f.runs():
		return "mV"
	}
	return "V"
}

// compared sets what is typed beside what was expected of it; before it is typed
// the page keeps that back.
func (f Form) compared(p *facts.Pack, v float64) []sheet.Block {
	e, ok := f.expected(p)
	if !ok {
		return nil
	}
	b := []sheet.Block{{Kind: sheet.Row, Text: "Expected, not measured", Value: e.words(), Computed: true}}
	if e.in(v) && !(e.link != "" && e.copied(v)) {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "What is typed agrees with it."})
	}
	return b
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	if r := s[len(s)-1]; r != '.' && r != '?' {
		s += "."
	}
	return s
}

func (f Form) pad() [][]string {
	if f.Kind == JointOhms {
		return [][]string{{"7", "8", "9", "µ", "Back"}, {"4", "5", "6", ".", "m"}, {"1", "2", "3", "0", ">"}}
	}
	if f.Kind == Insulation {
		return [][]string{{"7", "8", "9", "0", "k", ">"}, {"4", "5", "6", ".", "M", "<"}, {"1", "2", "3", "OL", "G", "Back"}}
	}
	return [][]string{{"7", "8", "9", "-", "Back"}, {"4", "5", "6", ".", "OL"}, {"1", "2", "3", "0", "mV"}}
}

// tiles are what the reading rests on, always beside its field.
func (f Form) tiles(p *facts.Pack) sheet.Block {
	on := func(r Row) bool { return f.At == r }
	lock := "chosen by the meter"
	if f.Range > 0 {
		lock = "locked to " + strconv.FormatFloat(f.Range, 'g', -1, 64) + words.Thin + "V"
	}
	state := p.Case.Now
	if old, ok := p.Case.Reading(f.Corrects); ok {
		state = old.State
	}
	t := []sheet.Tile{
		{ID: ids[What], Name: "What", Value: KindNames[f.Kind], On: on(What)},
		{ID: StateID, Name: "State", Value: orNone(state, "not known"), Fixed: true},
		{ID: ids[Meter], Name: "Instrument", Value: orNone(f.Instrument, "not named"), On: on(Meter)},
		{ID: ids[Lock], Name: "Range", Value: lock, On: on(Lock), Fixed: len(f.ranges(p)) < 2},
	}
	switch f.Kind {
	case WithResistor:
		where := "Resistor across the probes"
		if _, apart := f.fitted(p); apart {
			where = "Test resistor, apart"
		}
		t = append(t, sheet.Tile{ID: ids[Fitted], Name: where, Value: orNone(f.Resistor, "none in this case"), On: on(Fitted), Fixed: len(p.Case.Resistors) < 2})
	case Insulation:
		t = append(t, sheet.Tile{ID: ids[Forced], Name: "Test volts, red above black", Value: fmt.Sprintf("%+g%sV", f.Force, words.Thin), On: on(Forced)},
			sheet.Tile{ID: ids[Unit], Name: "A bare number is", Value: f.unit(), On: on(Unit)})
	case JointOhms:
		t = append(t, sheet.Tile{ID: ids[Unit], Name: "A bare number is", Value: f.unit(), On: on(Unit)})
	default:
		t = append(t, sheet.Tile{Name: "Test resistor", Value: "none", Fixed: true})
		if f.runs() {
			bare := "volts"
			if f.Millivolts {
				bare = "mV, in this run"
			}
			t = append(t, sheet.Tile{ID: ids[Unit], Name: "A bare number is", Value: bare, On: on(Unit)})
		}
	}
	if f.corrects() {
		t = append(t, sheet.Tile{ID: ids[Reason], Name: "Why it replaces " + orNone(f.Corrects, "the value before"), Value: f.Why, On: on(Reason)})
	}
	return sheet.Block{Kind: sheet.Tiles, Tiles: t}
}

func orNone(s, none string) string {
	if s == "" {
		return none
	}
	return s
}
