package facts

import (
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// readSections gives every section of the present state its volts and, where
// the finding has it, its two numbers.
func (p *Pack) readSections() {
	if !p.Known {
		return
	}
	for i := range p.Joined.Sections {
		s := Section{Section: p.Joined.Sections[i]}
		s.From, s.To = p.Net.Name(s.Section.From), p.Net.Name(s.Section.To)
		s.Volts, s.Rough = p.sectionVolts(&s.Section)
		if f := p.Result.Finding; f != nil {
			for k := range f.Sections {
				if f.Sections[k].State == p.Case.Now && f.Sections[k].From == s.From {
					s.Finding = &f.Sections[k]
				}
			}
		}
		if math.IsNaN(s.Volts) && s.Finding != nil {
			s.Volts, s.Rough = float64(s.Finding.Volts), false
		}
		p.Sections = append(p.Sections, s)
	}
}

// farBelow is the part of their nominal volts below which the measured groups say
// nothing of those that nobody measured: no pack that works is as flat as that.
const farBelow = 0.75

// sectionVolts is what the cells of a section add up to. A group that was not
// measured counts with its string's median; where nothing was measured, or what was
// lies so low that it is a slip or a fault of its own, with its share of the nominal
// volts, and rough is true: one value with its point in the wrong place must not
// take volts off the cells that nobody read.
func (p *Pack) sectionVolts(s *topology.Section) (v float64, rough bool) {
	volts := make([]float64, len(p.Group))
	for _, g := range s.Groups {
		str := p.Net.StringOf(p.Net.Groups[g].Module)
		volts[g] = p.Cell[g]
		if math.IsNaN(volts[g]) {
			if p.CountsGroups(str) {
				return math.NaN(), true
			}
			by := false
			volts[g], by = p.unread(str)
			rough = rough || by
		}
	}
	phi := p.Joined.Potentials(s, volts)
	return phi[s.To], rough
}

// unread is what a group of a string counts with that nobody read; nominal says that
// it is a share of the nominal volts.
func (p *Pack) unread(str int) (volts float64, nominal bool) {
	share := p.nominalGroup(str)
	if m := p.Median[str]; !math.IsNaN(m) && !(p.hasNominal() && m < farBelow*share) {
		return m, false
	}
	return share, true
}

// potentials gives every tap its volts above chassis, where the finding knows
// the section's chassis potential.
func (p *Pack) potentials() {
	p.Chassis = nans(p.Net.Len())
	for i := range p.Sections {
		s := &p.Sections[i]
		u, ok := s.ChassisAt()
		if !ok || p.anyCounted(s) {
			continue
		}
		volts := make([]float64, len(p.Group))
		for _, g := range s.Groups {
			volts[g] = p.Cell[g]
			if str := p.Net.StringOf(p.Net.Groups[g].Module); math.IsNaN(volts[g]) {
				volts[g], _ = p.unread(str)
			}
		}
		phi := p.Joined.Potentials(&s.Section, volts)
		for _, n := range s.Nodes {
			p.Chassis[n] = phi[n] - float64(u.Mid)
		}
	}
}

func (p *Pack) anyCounted(s *Section) bool {
	for _, str := range s.Strings {
		if p.CountsGroups(str) {
			return true
		}
	}
	return false
}

// ChassisAt is where chassis lies above the section's negative end, with the
// meter off; ok is false where the finding does not say.
func (s *Section) ChassisAt() (fault.Interval, bool) {
	if s.Finding == nil || math.IsNaN(float64(s.Finding.ChassisVolts.Mid)) {
		return fault.Interval{}, false
	}
	return s.Finding.ChassisVolts, true
}

// SectionOf is the section of the present state that a node lies in, nil for
// none.
func (p *Pack) SectionOf(n topology.NodeID) *Section {
	if !p.Known || n == topology.NoNode {
		return nil
	}
	if i := p.Joined.SectionOf(n); i >= 0 {
		return &p.Sections[i]
	}
	return nil
}

// A Gap is what an open link would read across itself, expected, not measured.
type Gap struct {
	Red, Black  string // the node that is expected positive first
	Low, High   float64
	Behind      float64 // Ω in series with it, both sections to chassis; NaN = not known
	OnMeter     float64 // V shown by Meter; NaN = not known
	Meter       string
	MeterOhms   float64
	SameSection bool // both sides are one section: the volts are the cells' own
	Known       bool
}

// GapOf works out the gap of an open link: both sides float, each about its own
// chassis potential, and the two sections' resistances to chassis lie in series
// with the meter.
func (p *Pack) GapOf(link int) Gap {
	if p.real != nil {
		return p.real.GapOf(link)
	}
	l := p.Net.Layout.Links[link]
	a, okA := p.Net.Node(l.From)
	b, okB := p.Net.Node(l.To)
	g := Gap{Red: l.From, Black: l.To, Behind: math.NaN(), OnMeter: math.NaN()}
	if !okA || !okB {
		return g
	}
	sa, sb := p.SectionOf(a), p.SectionOf(b)
	va, vb := p.Chassis[a], p.Chassis[b]
	if sa == nil || sb == nil || math.IsNaN(va) || math.IsNaN(vb) {
		return g
	}
	g.Known, g.SameSection = true, sa == sb
	if va < vb {
		g.Red, g.Black, va, vb = g.Black, g.Red, vb, va
		sa, sb = sb, sa
	}
	ua, _ := sa.ChassisAt()
	ub, _ := sb.ChassisAt()
	half := func(i fault.Interval) float64 { return float64(i.High-i.Low) / 2 }
	w := math.Hypot(half(ua), half(ub))
	if g.SameSection {
		w = 0
	}
	g.Low, g.High = math.Max(0, va-vb-w), va-vb+w
	g.onMeter(p, va-vb, sa, sb)
	return g
}

// onMeter divides the gap between the two sections and the case's voltmeter.
func (g *Gap) onMeter(p *Pack, open float64, sa, sb *Section) {
	if g.SameSection {
		g.Behind = 0
		return
	}
	ra, rb := float64(sa.Finding.Ohms.Mid), float64(sb.Finding.Ohms.Mid)
	if math.IsNaN(ra) || math.IsNaN(rb) {
		return
	}
	g.Behind = ra + rb
	for _, in := range p.Case.Instruments {
		if in.Kind == "voltmeter" && in.InputOhms > 0 {
			g.Meter, g.MeterOhms = in.ID, in.InputOhms
			g.OnMeter = open * in.InputOhms / (in.InputOhms + g.Behind)
			return
		}
	}
}
