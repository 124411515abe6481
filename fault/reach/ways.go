package reach

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A State is how far the pack has been opened when the question is asked.
type State struct {
	Name   string   // in words: "unbroken", "SD open", "SD open, then L04 or L10"
	Open   []string // links that are open in every trial, in the order of opening
	Choice []string // links of which one more is opened, by which section leaks more
	// Least and Most are the recorded minutes of opening all these links; they differ
	// where Choice has links of different minutes. Readings are counted apart.
	Least, Most float64
	Unrecorded  []string // of these links, those whose minutes are not recorded
}

// A way is one order in which the pack is opened: the unbroken string, one link,
// and one more in the section that then leaks more.
type way struct {
	open  string            // "" = nothing can be opened
	again map[string]string // by the negative end of a section: the link that halves it
	at    [2]int            // the indexes of its states; -1 = there is none
}

// findWays lists the states: the unbroken string; with each disconnect open, or
// without one with the link that halves the string most cheaply; and then with
// the leaking section halved once more.
func (p *plan) findWays() {
	p.states = []State{{Name: "unbroken"}}
	first := p.disconnects()
	if len(first) == 0 {
		if id, ok := p.cheapest(nil, -1); ok {
			p.take("There is no disconnect inside a string; %s is opened first.", id)
			first = []string{id}
		} else {
			p.take("No link inside a string can be opened: only the unbroken string is asked about.")
		}
	}
	for _, id := range first {
		p.addWay(id)
	}
	if missing := p.notRecorded(); len(missing) > 0 {
		p.take("Minutes not recorded for %s. Where a section has links with recorded minutes, those without are not opened.", list(missing))
	}
}

func (p *plan) addWay(id string) {
	w := way{open: id, again: map[string]string{}, at: [2]int{len(p.states), -1}}
	p.states = append(p.states, p.describe([]string{id}, nil))
	joined := p.net.In(topology.Setting{Open: []string{id}})
	var choice []string
	for i, sec := range joined.Sections {
		if link, ok := p.cheapest([]string{id}, i); ok {
			w.again[p.net.Name(sec.From)] = link
			choice = append(choice, link)
		}
	}
	if len(choice) > 0 {
		w.at[1] = len(p.states)
		p.states = append(p.states, p.describe([]string{id}, choice))
	}
	p.ways = append(p.ways, w)
}

// describe puts a state into words and minutes.
func (p *plan) describe(open, choice []string) State {
	s := State{Name: strings.Join(open, " and ") + " open", Open: open, Choice: choice}
	for _, id := range open {
		if m, ok := p.minutes(id); ok {
			s.Least, s.Most = s.Least+m, s.Most+m
		} else {
			s.Unrecorded = append(s.Unrecorded, id)
		}
	}
	if len(choice) == 0 {
		return s
	}
	s.Name += ", then " + strings.Join(choice, " or ")
	least, most := math.Inf(1), 0.0
	for _, id := range choice {
		m, ok := p.minutes(id)
		if !ok {
			s.Unrecorded = append(s.Unrecorded, id)
			continue
		}
		least, most = math.Min(least, m), math.Max(most, m)
	}
	if most >= least {
		s.Least, s.Most = s.Least+least, s.Most+most
	}
	return s
}

// minutes is what opening a link takes, where that is recorded.
func (p *plan) minutes(id string) (float64, bool) {
	c := fault.Case{Layout: p.net.Layout, Minutes: p.Minutes}
	return c.Access(id)
}

// notRecorded are the links inside a string whose minutes nobody recorded.
func (p *plan) notRecorded() (out []string) {
	for _, c := range p.splits(nil, -1) {
		if _, ok := p.minutes(c.id); !ok {
			out = append(out, c.id)
		}
	}
	return out
}

// disconnects are those that part a section of the closed pack.
func (p *plan) disconnects() (out []string) {
	for _, c := range p.splits(nil, -1) {
		if c.kind == topology.Disconnect {
			out = append(out, c.id)
		}
	}
	return out
}

// A split is a link that parts a section, and the share of its groups on one side.
type split struct {
	id, kind string
	share    float64
}

// splits are the links that part a section, or any where section is -1, with some
// open already. Opening a contactor is no split.
func (p *plan) splits(open []string, section int) (out []split) {
	joined := p.net.In(topology.Setting{Open: open})
	for _, b := range p.net.Links {
		l := p.net.Layout.Links[b.Link]
		s := joined.SectionOf(b.A)
		if l.Kind == topology.Contactor || slices.Contains(open, l.ID) || s < 0 || s != joined.SectionOf(b.B) || section >= 0 && s != section {
			continue
		}
		apart := p.net.In(topology.Setting{Open: append(slices.Clone(open), l.ID)})
		x, y := apart.SectionOf(b.A), apart.SectionOf(b.B)
		if x < 0 || y < 0 || x == y {
			continue
		}
		out = append(out, split{l.ID, l.Kind, float64(len(apart.Sections[x].Groups)) / float64(len(joined.Sections[s].Groups))})
	}
	return out
}

// besides are the minutes that reading both parts takes whatever link is opened.
const besides = 2.0

// cheapest is the link that halves a section for the fewest minutes: the most bits
// of where the leak sits, H(share), a minute of opening and reading. Links without
// recorded minutes count only where no link of the section has any.
func (p *plan) cheapest(open []string, section int) (best string, ok bool) {
	all := p.splits(open, section)
	known := slices.ContainsFunc(all, func(c split) bool { _, k := p.minutes(c.id); return k })
	most := 0.0
	for _, c := range all {
		m, recorded := p.minutes(c.id)
		if known && !recorded {
			continue
		}
		bits := -(c.share*math.Log2(c.share) + (1-c.share)*math.Log2(1-c.share))
		if worth := bits / (m + besides); worth > most*(1+1e-9) {
			best, most = c.id, worth
		}
	}
	return best, best != ""
}

// list joins names as a sentence does; of many it gives the first.
func list(names []string) string {
	const most = 6
	switch n := len(names); {
	case n == 0:
		return "none"
	case n == 1:
		return names[0]
	case n > most+1:
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), n-most)
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
