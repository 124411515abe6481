package advice

import (
	"math"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// A Settle is the page on which the wait is estimated before the leads touch.
type Settle struct{ farads int }

// capacities are what there is from a section to chassis.
var capacities = []struct {
	farads float64
	words  string
}{{20e-9, "20 nF, strays of a bare pack"}, {0.1e-6, "0.1 µF"}, {0.44e-6, "0.44 µF, Y capacitors of a pack"}, {1e-6, "1 µF"}, {2e-6, "2 µF, the load side joined"}, {4.7e-6, "4.7 µF"}}

// Estimate is the time constant and the wait, from the finding's leak and the
// meter; known is false where the section's resistance is not known and the meter
// alone is reckoned with, which is the longest wait.
func (s Settle) Estimate(w World) (tau, wait, leak float64, known bool) {
	in, ok := w.Pack.Case.Instrument(w.Form.Instrument)
	input := math.Inf(1)
	v, count := math.NaN(), 0.1
	leak = math.Inf(1)
	if n, at := w.Pack.Net.Node(w.Form.Red); at {
		if sec := w.Pack.SectionOf(n); sec != nil {
			v = sec.Volts
			if f := sec.Finding; f != nil {
				switch f.Ohms.Relation {
				case fault.Less:
					leak = float64(f.Ohms.High)
				case fault.Greater:
					leak = float64(f.Ohms.Low)
				default:
					leak = float64(f.Ohms.Mid)
				}
				known = leak > 0
			}
		}
	}
	if ok {
		if math.IsNaN(v) && len(in.Ranges) > 0 {
			v = in.Ranges[len(in.Ranges)-1].Max
		}
		rg, _, held := in.RangeFor(v, w.Form.Range)
		if held {
			count = rg.Count
		}
		input = in.Input(rg)
	}
	if r, fitted := w.Pack.Case.Resistor(w.Form.Resistor); fitted && w.Form.Kind == entry.WithResistor {
		if both, err := insulation.InParallel(input, r.Ohms); err == nil {
			input = both
		}
	}
	if math.IsNaN(leak) || !(leak > 0) {
		leak, known = math.Inf(1), false
	}
	tau = insulation.Tau(leak, input, capacities[s.farads].farads)
	return tau, insulation.SettleTime(tau, math.Min(0.5, count/math.Max(math.Abs(v), 10*count))), leak, known
}

// Blocks are the page.
func (s Settle) Blocks(w World) []sheet.Block {
	tau, wait, leak, known := s.Estimate(w)
	b := []sheet.Block{{Kind: sheet.Title, Text: "How long to wait", Bold: true}}
	if math.IsInf(tau, 1) {
		b = append(b, sheet.Block{Kind: sheet.Big, Value: "not known"}, sheet.Block{Kind: sheet.Para, Text: "Neither the meter's input resistance nor the section's resistance is known. The timer works all the same."})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Big, Value: seconds(wait)}, sheet.Block{Kind: sheet.Soft, Text: "until one count is left, expected, not measured"})
	}
	b = append(b, sheet.Block{Kind: sheet.Action, ID: lineID + "farads", Text: "Capacitance: " + capacities[s.farads].words, Value: "A press takes the next one. It is an estimate: the timer tells what is so.", On: true},
		sheet.Block{Kind: sheet.Row, Text: "Section to chassis", Value: leakWords(leak, known)},
		sheet.Block{Kind: sheet.Row, Text: "Time constant", Value: seconds(tau) + ", leak and meter in parallel times the capacitance"},
		sheet.Block{Kind: sheet.Title, Text: "The timer"})
	for _, t := range []string{"Touch with both leads, then start it: F5 does the same on the page of the reading.",
		"It asks for values at 2, 5, 10\u2009s, then every 10\u2009s. Each is saved with its seconds.",
		"Two values 10\u2009s apart that agree within 2 counts are settled; then it goes on to the next place by itself."} {
		b = append(b, sheet.Block{Kind: sheet.Item, Text: t})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Nothing waits for the timer: a value can be saved at any time. The maker's wait after switching off is another one, and comes first."})
}

// seconds writes a wait to two digits.
func seconds(s float64) string {
	if math.IsInf(s, 1) {
		return "not known"
	}
	p := math.Pow(10, math.Floor(math.Log10(s))-1)
	return number(math.Round(s/p)*p) + " s"
}

func leakWords(leak float64, known bool) string {
	if !known {
		return "not known: the meter alone is reckoned with, the longest wait"
	}
	return words.Ohms(leak)
}

// Move stays: there is one line.
func (s Settle) Move(World, int) Guide { return s }

// Turn takes the next capacitance.
func (s Settle) Turn(_ World, by int) Guide {
	s.farads = turn(s.farads, by, len(capacities))
	return s
}

// Type takes nothing.
func (s Settle) Type(rune) (Guide, bool) { return s, false }

// Back takes nothing away.
func (s Settle) Back() Guide { return s }

// Pick takes the next capacitance.
func (s Settle) Pick(w World, id string) (Guide, Act) {
	if id == lineID+"farads" {
		return s.Turn(w, 1), Act{}
	}
	return s, Act{}
}

// Primary starts the timer.
func (s Settle) Primary(World) (string, Act) {
	return "The leads touch: start the timer", Act{Kind: StartTimer}
}
