package sheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// A Lead is the picture of a proposed reading: the sections as they will be, where
// the two leads go, what sits between them.
type Lead struct {
	Bands      []Band // from the string's negative end
	Red, Black Probe
	Meter      string // in words, with the range to lock
	Resistor   string // with its ratings; "" = none
	From, To   string // where it goes; both "" = across the probes
	Load       string // what the reading puts on it
}

// A Band is one section in a lead picture.
type Band struct {
	From, To string
	Volts    float64 // its share of the picture's width goes by these
	Gap      string  // what lies between it and the next one
}

// A Probe is where one lead goes.
type Probe struct {
	Name string
	Band int     // that it touches; -1 = none: chassis, or a terminal of no section
	At   float64 // 0 = the band's negative end, 1 = its positive end
}

// Chassis says that the lead goes to the chassis.
func (p Probe) Chassis() bool { _, ok := topology.ChassisRef(p.Name); return ok }

// NewLead works out the picture of a proposed test.
func NewLead(p *facts.Pack, n fault.NextTest) *Lead {
	l := &Lead{Meter: words.Plain(meterWords(p, n))}
	if n.Resistor != "" {
		l.Resistor = words.Plain(ResistorWords(p, n.Resistor))
		l.Load = words.Plain(loadWords(n))
		l.From, l.To = n.ResistorFrom, n.ResistorTo
		if l.From != "" && l.To == "" {
			l.To = n.Black
		} else if l.To != "" && l.From == "" {
			l.From = n.Red
		}
		if l.From == n.Red && l.To == n.Black {
			l.From, l.To = "", ""
		}
	}
	setting := p.State.Setting()
	setting.Open = append(slices.Clone(setting.Open), n.State.Open...)
	j := p.Net.In(setting)
	at := l.bands(p, j, n)
	l.Red, l.Black = probe(p, j, at, n.Red), probe(p, j, at, n.Black)
	return l
}

// mostBands is how many sections a lead picture has room for.
const mostBands = 3

// bands are the sections that the leads touch and those beside the links that are
// opened for it; at has a band's place by the section's.
func (l *Lead) bands(p *facts.Pack, j *topology.Joined, n fault.NextTest) (at map[int]int) {
	var list []int
	add := func(ref string) {
		id, ok := p.Net.Node(ref)
		if !ok {
			return
		}
		if s := j.SectionOf(id); s >= 0 && !slices.Contains(list, s) && len(list) < mostBands {
			list = append(list, s)
		}
	}
	add(n.Red)
	add(n.Black)
	for _, link := range n.State.Open {
		if i, ok := p.Net.Link(link); ok {
			add(p.Net.Layout.Links[i].From)
			add(p.Net.Layout.Links[i].To)
		}
	}
	slices.SortFunc(list, func(a, b int) int { return before(p, &j.Sections[a], &j.Sections[b]) })
	at = map[int]int{}
	for i, s := range list {
		sec := &j.Sections[s]
		at[s] = i
		b := Band{From: p.Net.Name(sec.From), To: p.Net.Name(sec.To)}
		_, lo, ok := p.AlongOf(sec.From)
		_, hi, ok2 := p.AlongOf(sec.To)
		if ok && ok2 {
			b.Volts = math.Abs(hi - lo)
		}
		if i+1 < len(list) {
			b.Gap = gapName(p, sec.To, j.Sections[list[i+1]].From)
		}
		l.Bands = append(l.Bands, b)
	}
	return at
}

// before orders sections by their strings and along them.
func before(p *facts.Pack, a, b *topology.Section) int {
	sa, va, _ := p.AlongOf(a.From)
	sb, vb, _ := p.AlongOf(b.From)
	switch {
	case sa != sb:
		return sa - sb
	case va < vb:
		return -1
	case va > vb:
		return 1
	}
	return 0
}

// gapName is the link between two nodes, in words; "" for none.
func gapName(p *facts.Pack, a, b topology.NodeID) string {
	for _, l := range p.Net.Links {
		if l.A == a && l.B == b || l.A == b && l.B == a {
			return p.Net.Layout.Links[l.Link].ID + " open"
		}
	}
	return ""
}

// probe finds a lead's place on the bands.
func probe(p *facts.Pack, j *topology.Joined, at map[int]int, ref string) Probe {
	out := Probe{Name: ref, Band: -1}
	id, ok := p.Net.Node(ref)
	if !ok {
		return out
	}
	s := j.SectionOf(id)
	i, ok := at[s]
	if s < 0 || !ok {
		return out
	}
	out.Band, out.At = i, 0.5
	str, lo, okLo := p.AlongOf(j.Sections[s].From)
	_, hi, okHi := p.AlongOf(j.Sections[s].To)
	on, v, okV := p.AlongOf(id)
	switch {
	case id == j.Sections[s].From:
		out.At = 0
	case id == j.Sections[s].To:
		out.At = 1
	case okLo && okHi && okV && on == str && hi > lo:
		out.At = math.Max(0, math.Min(1, (v-lo)/(hi-lo)))
	}
	return out
}

// meterWords name the meter and the range to lock on it.
func meterWords(p *facts.Pack, n fault.NextTest) string {
	in, ok := p.Case.Instrument(n.Instrument)
	switch r := float64(n.Range); {
	case !ok:
		return "a voltmeter: none is described"
	case math.IsNaN(r) || r <= 0:
		return in.ID + ", its ranges are not recorded"
	default:
		return in.ID + ", locked to its " + trim(r) + words.Thin + "V range"
	}
}

// ResistorWords are a test resistor with its ohms, watts and volts.
func ResistorWords(p *facts.Pack, id string) string {
	r, ok := p.Case.Resistor(id)
	if !ok {
		return "no test resistor in this case"
	}
	return r.ID + ", " + words.Ohms(r.Ohms) + rating(r.Watts, "W") + rating(r.MaxVolts, "V")
}

// loadWords are what the reading puts on the test resistor, at the bad end.
func loadWords(n fault.NextTest) string {
	w, v := float64(n.Watts), float64(n.Across)
	if math.IsNaN(w) || math.IsNaN(v) || w <= 0 || v <= 0 {
		return "its load here is not known"
	}
	watts := "here up to " + trim(significantly(w, 2)) + words.Thin + "W, "
	if w < 0.01 { // nothing that a resistor could feel
		watts = "here under 0.01" + words.Thin + "W, up to "
	}
	return watts + trim(significantly(v, 4)) + words.Thin + "V, expected"
}

// trim writes a number without what says nothing.
func trim(v float64) string { return strconv.FormatFloat(fault.Round(v), 'f', -1, 64) }

// lines are the picture in words, for the clipboard and for who hears it.
func (l *Lead) lines() []string {
	var sec []string
	for _, b := range l.Bands {
		sec = append(sec, b.From+" to "+b.To)
		if b.Gap != "" {
			sec = append(sec, b.Gap)
		}
	}
	out := []string{"RED: " + l.Red.Name, "BLACK: " + l.Black.Name, "Meter: " + l.Meter}
	switch {
	case l.Resistor == "":
		out = append(out, "Across the probes: no test resistor")
	case l.From != "":
		out = append(out, fmt.Sprintf("From %s to %s, not across the probes: %s; %s", l.From, l.To, l.Resistor, l.Load))
	default:
		out = append(out, fmt.Sprintf("Across the probes: %s; %s", l.Resistor, l.Load))
	}
	if len(sec) > 0 {
		out = append(out, "Sections then: "+strings.Join(sec, "; "))
	}
	return out
}
