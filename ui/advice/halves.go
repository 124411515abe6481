package advice

import (
	"fmt"
	"math"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// pack is a case without a finding, for what would be live in it.
func pack(c fault.Case) *facts.Pack { return facts.New(c, facts.Result{}) }

// halves are what the readings of the socket say of each half, from the finding.
func (s Socket) halves(w World) []sheet.Block {
	_, up, low, ok := s.poles(w)
	if !ok || !s.steps(w)[0].done {
		return nil
	}
	var b []sheet.Block
	for _, p := range []pole{up, low} {
		b = append(b, half(w, p)...)
	}
	return b
}

// half is one of them.
func half(w World, p pole) []sheet.Block {
	sec := w.Pack.SectionOf(p.node)
	if sec == nil {
		return nil
	}
	name := "Lower half, "
	if p.upper {
		name = "Upper half, "
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: name + sec.From + " to " + sec.To}}
	plain, havePlain := newest(w, p.node, false)
	if !havePlain {
		return append(b, sheet.Block{Kind: sheet.Soft, Text: "Not read yet."})
	}
	if r := w.Pack.Result; r.Status == facts.Computing || r.Stale {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "The finding is older than the last reading; it is being worked out anew."})
	}
	fitted, with := newest(w, p.node, true)
	leak, in := leakIn(w, sec)
	switch {
	case sec.Finding == nil:
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "No finding speaks of this half yet."})
	case in:
		b = append(b, away(w, sec, p, leak)...)
	default:
		b = append(b, floating(w, sec, plain)...)
	}
	if with && in {
		b = append(b, worked(w, plain, fitted)...)
	}
	if !with {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Without a reading with the test resistor its place rests on the section's volts, and its ohms stay wide."})
	}
	return b
}

// leakIn is the leak that the finding resolves inside a section.
func leakIn(w World, sec *facts.Section) (fault.Leak, bool) {
	f := w.Pack.Result.Finding
	_, lo, okLo := w.Pack.AlongOf(sec.Section.From)
	str, hi, okHi := w.Pack.AlongOf(sec.Section.To)
	if f == nil || !okLo || !okHi {
		return fault.Leak{}, false
	}
	for _, l := range f.Leaks {
		n, ok := w.Pack.Net.Node(l.Tap.Mid)
		if s, _, at := w.Pack.AlongOf(n); ok && at && s != str {
			continue
		}
		if v := float64(l.Volts.Mid); v >= lo && v <= hi && w.Pack.SectionOf(n) == sec {
			return l, true
		}
	}
	return fault.Leak{}, false
}

// away is where the leak lies from the pole, in volts and by the cell list.
func away(w World, sec *facts.Section, p pole, l fault.Leak) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Row, Text: "To chassis, Rth", Value: words.Bounded(sec.Finding.Ohms)}}
	if u, ok := sec.ChassisAt(); ok {
		low, mid, high, side := float64(u.Low), float64(u.Mid), float64(u.High), "above "
		if p.node == sec.Section.To || w.Pack.Joined.Conductor(p.node) == w.Pack.Joined.Conductor(sec.Section.To) {
			v := float64(sec.Finding.Volts)
			low, mid, high, side = v-high, v-mid, v-low, "below "
		}
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "The leak lies", Value: words.Span(low, mid, high, "V") + " " + side + p.ref})
	}
	for i, s := range l.Places {
		if i == 3 || s.Share < 0.01 {
			break
		}
		b = append(b, sheet.Block{Kind: sheet.Bar, ID: s.Kind + ":" + s.ID, Text: s.ID, Share: float64(s.Share), Value: words.Share(float64(s.Share))})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("By the cell list, between %s and %s, given at most one leak in this half.", l.Tap.Low, l.Tap.High)})
}

// floating is a half in which the finding resolves no leak. Without its ohms nothing
// is said of it: a ghost and a leak read alike on one plain reading.
func floating(w World, sec *facts.Section, plain fault.Reading) []sheet.Block {
	load := "the load of the meter itself"
	if in, ok := w.Pack.Case.Instrument(plain.Instrument); ok && in.InputOhms > 0 {
		load += ", " + words.Ohms(in.InputOhms)
	}
	o := sec.Finding.Ohms
	if math.IsNaN(float64(o.Low)) || o.Relation == fault.Less {
		return []sheet.Block{{Kind: sheet.Para, Text: "Not determined yet. " + upper(volts(plain.Value)) + " can be what a sound floating half shows under " + load + ", or a leak as near as that. With the test resistor the first falls to nearly nothing."}}
	}
	return []sheet.Block{{Kind: sheet.Para, Text: "This half reads like a sound floating half: no leak is resolved in it. " + upper(volts(plain.Value)) + " come from " + load + ", and show no place."},
		{Kind: sheet.Row, Text: "To chassis, Rth", Value: words.Bounded(o)}}
}

// worked is the arithmetic of one pole, for a pocket calculator; it shares no number
// with the finding but the readings.
func worked(w World, plain, fitted fault.Reading) []sheet.Block {
	in, okIn := w.Pack.Case.Instrument(plain.Instrument)
	r, okR := w.Pack.Case.Resistor(fitted.Resistor.ID)
	if !okIn || !okR || fitted.Instrument != plain.Instrument {
		return nil
	}
	m := insulation.NewMeter(in)
	a, err := m.Volts(plain.Value, plain.Range)
	if err != nil {
		return nil
	}
	v, err := m.Volts(fitted.Value, fitted.Range)
	if err != nil {
		return nil
	}
	one, err := insulation.FromOnePole(a, v, insulation.Resistor(r))
	if err != nil {
		return []sheet.Block{{Kind: sheet.Doubt, Text: sentence(err.Error())}}
	}
	if one.Leak.Relation != fault.Equal {
		return []sheet.Block{{Kind: sheet.Row, Text: "From this pole alone", Value: words.Bounded(one.Leak.Bounded())}}
	}
	return []sheet.Block{{Kind: sheet.Worked, Text: "From this pole alone, D = V · (Rm + RL) / Rm",
		Value: fmt.Sprintf("%s V × (%s + %s) / %s = %s V", number4(math.Abs(plain.Value)), words.Ohms(a.Input.X), words.Ohms(one.Leak.X), words.Ohms(a.Input.X), number(math.Abs(one.Above.X)))}}
}
