package caution

import (
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// Places at which a caution is said.
const (
	MakeSafe = "make-safe" // before isolating
	Reading  = "reading"   // while readings are taken
	Resistor = "resistor"  // while the test resistor is put on
	Tester   = "tester"    // before an insulation tester is put on
	Finding  = "finding"   // beside what the finding warns of
)

// A Text is a caution: the fact with its number first, then what follows from it.
type Text struct {
	Short string   // one line
	Full  []string // sentences
}

// Whole is the caution as one text.
func (t Text) Whole() string { return strings.Join(t.Full, " ") }

// classVolts sorts equipment; it is no touch limit.
const classVolts = 60.0 // V d.c.

const (
	first   = "Local law, the maker's instructions and your site rules come first; where they differ from this page, they win."
	who     = "To be done by a person authorised for this work under local rules."
	unknown = "Live: not known; treat all as live."
	never   = "Modules cannot be switched off."
	burns   = "Below 60 V a short circuit still burns."
)

// sections are the volts of each section, and the largest; known is false where
// layout, state or volts leave it open.
func sections(p *facts.Pack) (text string, most float64, known bool) {
	if strings.HasPrefix(p.LiveLine(), unknown) || len(p.Sections) == 0 {
		return "", 0, false
	}
	var parts []string
	for i := range p.Sections {
		v := p.Sections[i].Volts
		if math.IsNaN(v) {
			return "", 0, false
		}
		parts = append(parts, words.Volts(v))
		most = math.Max(most, v)
	}
	if n := len(parts); n > 4 {
		return words.Digits(float64(n), 3) + " sections of up to " + words.Volts(most), most, true
	}
	return list(parts), most, true
}

// disconnected is the pack as its disconnects leave it when they are open; ok is
// false where all are open already, or there is none.
func disconnected(p *facts.Pack) (then *facts.Pack, ids []string, ok bool) {
	s := p.State
	for _, l := range p.Case.Layout.Links {
		if l.Kind == topology.Disconnect && !slices.Contains(s.Open, l.ID) {
			ids = append(ids, l.ID)
		}
	}
	if len(ids) == 0 || !p.Known {
		return nil, nil, false
	}
	s.ID, s.Open = "then", append(append([]string{}, s.Open...), ids...)
	c := p.Case
	c.States, c.Now = append(c.States[:len(c.States):len(c.States)], s), s.ID
	return facts.New(c, facts.Result{}), ids, true
}

// ForMakeSafe is what stands over isolating and proving: what stays live inside.
func ForMakeSafe(p *facts.Pack) Text {
	t := Text{Short: unknown + " " + never}
	if now, most, known := sections(p); !known {
		t.Full = []string{unknown, never}
	} else {
		t.Short = now + " stay inside"
		t.Full = []string{"The inside stays live: " + now + " by the recorded state, expected, not measured.", never}
		if then, ids, ok := disconnected(p); ok {
			if after, _, known := sections(then); known {
				t.Full = append(t.Full, "With "+list(ids)+" open, "+after+" remain inside.")
			}
		}
		if v, ok := p.LargestVolts(); ok && v > most {
			t.Full = append(t.Full, "Between exposed points up to "+words.Volts(v)+".")
		}
		if most < classVolts {
			t.Full = append(t.Full, burns)
		}
	}
	t.Full = append(t.Full, "A reading at the outer terminals says nothing of the inside.", who, first)
	return t
}

// ForReading is what stands over the first readings of a state.
func ForReading(p *facts.Pack) Text {
	_, most, known := sections(p)
	if v, ok := p.LargestVolts(); ok {
		most = math.Max(most, v)
	}
	if !known {
		return Text{Short: unknown, Full: []string{unknown, never, meterFor(p, 0), leads}}
	}
	t := Text{Short: "up to " + words.Volts(most) + ", not measured",
		Full: []string{"Up to " + words.Volts(most) + " between points of the string, computed, not measured.", meterFor(p, most), leads}}
	if most < classVolts {
		t.Full = append(t.Full, burns)
	}
	return t
}

const leads = "Fused leads, shrouded probes, one hand. The chassis clip goes on first and comes off last."

// meterFor names the volts that meter and leads are rated for.
func meterFor(p *facts.Pack, most float64) string {
	v := math.Max(most, p.Case.Layout.WorkingVolts)
	if v <= 0 {
		return "Meter and leads rated for the pack's working volts, which are not recorded."
	}
	return "Meter and leads rated for at least " + words.Volts(v) + " in their measurement category."
}

// Meets is what meters, leads and test resistors of a case are held against: its working
// volts, or what is computed between points of the string where that is more.
func Meets(p *facts.Pack) fault.Meeting {
	_, most, _ := sections(p)
	if v, ok := p.LargestVolts(); ok {
		most = math.Max(most, v)
	}
	return fault.Meets(p.Case.Layout.WorkingVolts, most)
}

// ForResistor is what stands over a reading with a test resistor: what it draws at
// the largest volts that it can meet in this state.
func ForResistor(p *facts.Pack, id string) Text {
	r, ok := p.Case.Resistor(id)
	_, most, known := sections(p)
	if v, has := p.LargestVolts(); has {
		most = math.Max(most, v)
	}
	tail := []string{"It is a deliberate connection from a live pole to chassis: chassis end on first and off last, and it is not left connected."}
	switch {
	case !ok:
		return Text{Short: "A test resistor joins a live pole to chassis", Full: tail}
	case !known:
		return Text{Short: id + " joins a live pole to chassis", Full: append([]string{unknown, rating(r)}, tail...)}
	}
	amps, watts := most/r.Ohms, most*most/r.Ohms
	draws := id + " draws up to " + words.Digits(1000*amps, 2) + words.Thin + "mA and bears " + words.Digits(watts, 2) + words.Thin + "W"
	short := id + ", up to " + words.Digits(1000*amps, 2) + words.Thin + "mA, " + words.Digits(watts, 2) + words.Thin + "W"
	full := []string{draws + " at " + words.Volts(most) + ", computed, not measured.", rating(r)}
	if r.Watts > 0 && watts > r.Watts || r.MaxVolts > 0 && most > r.MaxVolts {
		full = append(full, "That is more than it is rated for.")
	}
	return Text{Short: short, Full: append(full, tail...)}
}

func rating(r fault.Resistor) string {
	w, v := "watts not recorded", "volts not recorded"
	if r.Watts > 0 {
		w = words.Digits(r.Watts, 3) + words.Thin + "W"
	}
	if r.MaxVolts > 0 {
		v = words.Volts(r.MaxVolts)
	}
	return "Its rating: " + w + ", " + v + "."
}

// testerShare is the part of the test volts up to which a section's own volts may
// stand in series with them.
const testerShare = 0.1

// ForTester is what stands over an insulation tester that forces so many volts.
func ForTester(p *facts.Pack, force float64) Text {
	tail := []string{"On an isolated module or a load side without volts, unless that maker says otherwise: boards out, nobody touches the case, discharge after."}
	_, most, known := sections(p)
	e := math.Abs(force)
	switch {
	case !known:
		return Text{Short: unknown, Full: append([]string{unknown}, tail...)}
	case e > 0 && most > testerShare*e:
		return Text{Short: words.Volts(most) + " in series with the tester",
			Full: append([]string{"A section of " + words.Volts(most) + " stands in series with the tester's " + words.Volts(e) + ": above a tenth of them, what it shows is no resistance."}, tail...)}
	}
	return Text{Short: "boards out, nobody touches the case", Full: tail}
}

func list(parts []string) string {
	switch n := len(parts); n {
	case 0:
		return ""
	case 1:
		return parts[0]
	default:
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
}
