package advice

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
	"halfsplit/topology"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// EvidenceKey is the field of an instrument's description that keeps how its input
// resistance was measured.
const EvidenceKey = "input_evidence"

// An Input is the measuring of a meter's own input resistance in two guided readings.
type Input struct {
	cursor
	meter, series int // of the case's instruments and resistors
	rng           int // of the meter's ranges
	raw           [2]string
	failed        string
}

var inputLines = []string{"meter", "locked", "series", "straight", "through"}

// NewInput begins with the instrument of the reading in the making.
func NewInput(w World) Input {
	var p Input
	p.cursor.at = 3
	for i, in := range p.meters(w) {
		if in.ID == w.Form.Instrument {
			p.meter = i
		}
	}
	best := 0.0 // the larger the resistor, the more the reading falls
	for i, r := range w.Pack.Case.Resistors {
		if r.Ohms > best {
			best, p.series = r.Ohms, i
		}
	}
	if ms := p.meters(w); len(ms) > 0 {
		p.rng = slices.IndexFunc(ms[p.meter].Ranges, func(r fault.Range) bool { return r.Max > 9 })
		p.rng = max(0, p.rng)
	}
	return p
}

// meters are the voltmeters of the case that have ranges.
func (Input) meters(w World) (out []fault.Instrument) {
	for _, in := range w.Pack.Case.Instruments {
		if !strings.Contains(strings.ToLower(in.Kind), "insulation") && len(in.Ranges) > 0 {
			out = append(out, in)
		}
	}
	return out
}

// parts are the meter, the range and the resistor; an error says what is missing.
func (p Input) parts(w World) (in fault.Instrument, rg fault.Range, r fault.Resistor, err error) {
	ms, rs := p.meters(w), w.Pack.Case.Resistors
	switch {
	case len(ms) == 0:
		return in, rg, r, errors.New("no voltmeter of this case is described with its ranges: describe it first")
	case len(rs) == 0:
		return in, rg, r, errors.New("this case has no known resistor: describe one first, of 1 MΩ or more")
	}
	in = ms[turn(p.meter, 0, len(ms))]
	return in, in.Ranges[turn(p.rng, 0, len(in.Ranges))], rs[turn(p.series, 0, len(rs))], nil
}

// read is a reading of the two, 0 straight and 1 through the resistor.
func (p Input) read(w World, i int) (v insulation.Volt, m *insulation.Meter, err error) {
	in, rg, _, err := p.parts(w)
	if err != nil {
		return v, nil, err
	}
	e, err := fault.ParseEntry(p.raw[i], fault.EntryOptions{Quantity: fault.Volts, Limit: rg.Max})
	if err != nil {
		return v, nil, err
	}
	if e.Relation != fault.Equal {
		return v, nil, errors.New("a bound is no reading here: take a larger range or a source of fewer volts")
	}
	m = insulation.NewMeter(in)
	v, err = m.Volts(e.Value, rg.Max)
	return v, m, err
}

// result is the input resistance of both readings.
func (p Input) result(w World) (res insulation.Result, err error) {
	_, rg, r, err := p.parts(w)
	if err != nil {
		return res, err
	}
	straight, m, err := p.read(w, 0)
	if err != nil {
		return res, fmt.Errorf("straight: %w", err)
	}
	through, _, err := p.read(w, 1)
	if err != nil {
		return res, fmt.Errorf("through %s: %w", r.ID, err)
	}
	// One meter for both, so that its gain is one error.
	if through, err = m.Volts(through.V.X, rg.Max); err != nil {
		return res, err
	}
	return insulation.OwnInput(straight, through, insulation.Resistor(r))
}

// described is the instrument with what was measured, under a name that is free. The
// old description stays.
func (p Input) described(w World) (in fault.Instrument, err error) {
	res, err := p.result(w)
	if err != nil {
		return in, err
	}
	in, rg, r, _ := p.parts(w)
	if res.Relation != fault.Equal {
		return in, fmt.Errorf("the readings give only a bound, %s: a larger resistor moves them more", words.Bounded(res.Bounded()))
	}
	old := in.ID
	in.ID = free(&w.Pack.Case, in.ID)
	in.Ranges = slices.Clone(in.Ranges)
	for i := range in.Ranges {
		if in.Ranges[i].Max == rg.Max {
			in.Ranges[i].InputOhms = 0 // the one that was measured
		}
	}
	in.InputOhms = fault.Round(res.X)
	in.InputTolPct = ceil2(100 * math.Sqrt(3) * res.U() / res.X)
	text, err := json.Marshal(fmt.Sprintf("measured: %s V straight, %s V through %s (%s), on %s of %s", strings.TrimSpace(p.raw[0]), strings.TrimSpace(p.raw[1]), r.ID, fault.FormatOhms(r.Ohms), rangeWords(rg), old))
	if err != nil {
		return in, err
	}
	extra := topology.Extra{EvidenceKey: text}
	for k, v := range in.Extra {
		if k != EvidenceKey {
			extra[k] = v
		}
	}
	in.Extra = extra
	return in, nil
}

var voltsPad = [][]string{{"7", "8", "9", "-", "Back"}, {"4", "5", "6", ".", "mV"}, {"1", "2", "3", "0", "Next"}}

// Blocks are the page.
func (p Input) Blocks(w World) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "The meter's own input resistance", Bold: true}}
	in, rg, r, err := p.parts(w)
	if err != nil {
		return append(b, sheet.Block{Kind: sheet.Para, Text: sentence(err.Error())})
	}
	on := func(i int) bool { return p.at == i }
	b = append(b, sheet.Block{Kind: sheet.Tiles, Tiles: []sheet.Tile{
		{ID: lineID + "meter", Name: "Instrument", Value: in.ID, On: on(0)},
		{ID: lineID + "locked", Name: "Range, locked", Value: rangeWords(rg), On: on(1)},
		{ID: lineID + "series", Name: "Known resistor", Value: r.ID + ", " + words.Ohms(r.Ohms), On: on(2)}}},
		sheet.Block{Kind: sheet.Row, Text: "Described with", Value: inputWords(in, rg)})
	b = append(b, p.step(3, "1. Straight on a steady source", "A battery block or a bench supply, near full scale of the range; not the pack.", 0, w)...)
	b = append(b, p.step(4, "2. The same source through "+r.ID, "The resistor in series with the red lead; nothing else changes.", 1, w)...)
	b = append(b, p.outcome(w)...)
	if p.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "Not recorded: " + sentence(p.failed)})
	}
	b = append(b, sheet.Block{Kind: sheet.Pad, Keys: voltsPad})
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a line, left and right its options. Enter goes on, Esc leaves."})
}

func inputWords(in fault.Instrument, rg fault.Range) string {
	x := in.Input(rg)
	if math.IsInf(x, 1) {
		return "no input resistance"
	}
	return words.Ohms(x) + " ± " + number(in.InputTolPct) + " %"
}

// step is one of the two readings: its field where the keyboard is, else its line.
func (p Input) step(line int, title, how string, i int, w World) []sheet.Block {
	if p.at != line {
		v := "not read yet"
		if p.raw[i] != "" {
			v = p.raw[i] + " V"
			if rd, _, err := p.read(w, i); err == nil {
				v = volts(rd.V.X)
			}
		}
		return []sheet.Block{{Kind: sheet.Row, ID: lineID + inputLines[line], Text: title, Value: v}}
	}
	b := []sheet.Block{{Kind: sheet.Para, Text: title, Bold: true}, {Kind: sheet.Soft, Text: how},
		{Kind: sheet.Input, ID: lineID + inputLines[line], Text: "Read on the meter", Value: p.raw[i], Unit: "V", On: true}}
	if p.raw[i] != "" {
		if rd, _, err := p.read(w, i); err != nil {
			b = append(b, sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())})
		} else {
			b = append(b, sheet.Block{Kind: sheet.Big, Value: volts(rd.V.X)})
		}
	}
	return b
}

// outcome is what both readings give, once there are both.
func (p Input) outcome(w World) []sheet.Block {
	if p.raw[0] == "" || p.raw[1] == "" {
		return nil
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "What the two readings give"}}
	res, err := p.result(w)
	if err != nil {
		return append(b, sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())})
	}
	in, rg, r, _ := p.parts(w)
	b = append(b, sheet.Block{Kind: sheet.Big, Value: words.Bounded(res.Bounded())})
	if by := res.LimitedBy(); by != "" {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Limited by", Value: by})
	}
	b = append(b, sheet.Block{Kind: sheet.Worked, Text: "Rv = Rs · V' / (V - V')", Value: p.worked(w, r)})
	if next, err := p.described(w); err != nil {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: sentence(err.Error())})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: fmt.Sprintf("It would be recorded as %s, %s ± %s %%, with both readings beside it. %s stays as it is, and readings taken with it stay with it. It was measured on the %s range: other ranges can have another input.",
			next.ID, words.Ohms(next.InputOhms), number(next.InputTolPct), in.ID, rangeWords(rg))},
			sheet.Block{Kind: sheet.Soft, Text: "Undo takes it back by its name: “instrument " + next.ID + "”."})
	}
	return b
}

func (p Input) worked(w World, r fault.Resistor) string {
	a, _, errA := p.read(w, 0)
	b, _, errB := p.read(w, 1)
	if errA != nil || errB != nil {
		return ""
	}
	return fmt.Sprintf("%s × %s V / (%s V - %s V)", words.Ohms(r.Ohms), number4(b.V.X), number4(a.V.X), number4(b.V.X))
}

// number4 writes a value as it was read.
func number4(x float64) string { return strings.TrimSuffix(volts(x), words.Thin+"V") }

// Move goes to another line.
func (p Input) Move(_ World, by int) Guide { p.cursor = p.moved(by, len(inputLines)); return p }

// Turn takes the next option of the line.
func (p Input) Turn(w World, by int) Guide {
	p.failed = ""
	in, _, _, err := p.parts(w)
	if err != nil {
		return p
	}
	switch inputLines[p.at] {
	case "meter":
		p.meter, p.rng = turn(p.meter, by, len(p.meters(w))), 0
	case "locked":
		p.rng = turn(p.rng, by, len(in.Ranges))
	case "series":
		p.series = turn(p.series, by, len(w.Pack.Case.Resistors))
	}
	return p
}

// field is the reading that the keyboard is at.
func (p Input) field() int { return p.at - 3 }

// Type adds a character to a reading. One that belongs into no number is taken too, and
// the number refused: without it the number would be another one.
func (p Input) Type(r rune) (Guide, bool) {
	if i := p.field(); i >= 0 && unicode.IsPrint(r) && len(p.raw[i]) < 12 {
		p.raw[i], p.failed = p.raw[i]+string(r), ""
		return p, true
	}
	return p, p.field() >= 0
}

// Back takes the last character away.
func (p Input) Back() Guide {
	if i := p.field(); i >= 0 && p.raw[i] != "" {
		r := []rune(p.raw[i])
		p.raw[i] = string(r[:len(r)-1])
	}
	return p
}

// Failed says why the description could not be added.
func (p Input) Failed(why string) Guide { p.failed = why; return p }

// Pick goes to a reading, or takes the next option.
func (p Input) Pick(w World, id string) (Guide, Act) {
	switch key, pad := strings.CutPrefix(id, sheet.PadKey("")); {
	case pad && key == "Back":
		return p.Back(), Act{}
	case pad && key == "Next":
		p.at = 3 + turn(p.field(), 1, 2)
		return p, Act{}
	case pad:
		var g Guide = p
		for _, r := range key {
			g, _ = g.Type(r)
		}
		return g, Act{}
	}
	for i, n := range inputLines {
		if id == lineID+n {
			p.at = i
			return p.Turn(w, 1), Act{}
		}
	}
	return p, Act{}
}

// Primary goes on to the second reading, then records what both give.
func (p Input) Primary(w World) (string, Act) {
	if _, _, _, err := p.parts(w); err != nil {
		return "Back", Act{Kind: Open, Guide: ListAt(p)}
	}
	next := func(line int, label string) (string, Act) {
		q := p
		q.at = line
		return label, Act{Kind: Again, Guide: q}
	}
	if _, _, err := p.read(w, 0); err != nil {
		return next(3, "Type the reading straight")
	}
	if p.at != 4 && p.raw[1] == "" {
		return next(4, "Go on: through the resistor")
	}
	in, err := p.described(w)
	if err != nil {
		return next(4, "Type the reading through it")
	}
	return "Record " + in.ID + " with " + words.Ohms(in.InputOhms), Act{Kind: AddInstrument, Instrument: in}
}
