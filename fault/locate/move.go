package locate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A move is one thing that a person can do next: a change of the pack, or a reading
// of one terminal to chassis.
type move struct {
	kind    string   // one of the fault.Test words
	links   []int    // that it opens, into the layout
	boards  []string // that it unplugs
	node    topology.NodeID
	fitted  *fault.Resistor // across the probes of a reading
	minutes float64
	assumed bool  // the minutes are not recorded
	needs   []int // moves that must be done before
}

// Minutes that are taken where nobody recorded any: to rank, and always said.
const (
	readMinutes       = 1.0 // leads on, settled, typed
	resistorMinutes   = 2.0 // the same with a test resistor fitted and taken off again
	disconnectMinutes = 5.0
	linkMinutes       = 20.0
	boardMinutes      = 10.0
	wrongMinutes      = 480.0 // taking out what was sound: a day of stripping, matching and rebuilding, and the fault still there
)

const (
	mostLinks  = 24 // links that are weighed, those that can tell most for their minutes
	mostBoards = 16
)

// verb names a change as something that is done.
func (m *move) verb(a *analysis) string {
	switch m.kind {
	case fault.TestUnplug:
		return "unplug " + join(m.boards, "and")
	case fault.TestOpen, fault.TestSeparate:
		var ids []string
		for _, l := range m.links {
			ids = append(ids, a.net.Layout.Links[l].ID)
		}
		return "open " + join(ids, "and")
	}
	text := fmt.Sprintf("red %s, black chassis", a.net.Name(m.node))
	if m.fitted != nil {
		text += ", " + m.fitted.ID + " across the probes"
	}
	return text
}

// reading says that it leaves the pack as it is.
func (m *move) reading() bool { return m.kind == fault.TestRead || m.kind == fault.TestRepeat }

// moves lists what can be done from the present state, what it costs, and what is
// held back.
func (o *foreteller) moves() (list []move, held []fault.HeldBack) {
	s := o.a.c.States[o.si]
	boards := map[string]int{}
	for _, id := range o.worthBoards(s) {
		boards[id] = len(list)
		list = append(list, o.unplugging(id))
	}
	terminals := o.ends()
	if why := o.a.holdAll(s); why != "" {
		held = append(held, fault.HeldBack{Action: "Opening any link", Why: upperFirst(why) + "."})
	} else {
		links, kept := o.links(s)
		held = kept
		for _, b := range links {
			m := o.opening(fault.TestOpen, b.Link)
			for _, id := range o.a.bridging(s, b) {
				if _, ok := boards[id]; !ok {
					boards[id] = len(list)
					list = append(list, o.unplugging(id))
				}
				m.needs = append(m.needs, boards[id])
			}
			list = append(list, m)
			terminals = append(terminals, b.A, b.B)
		}
		list, terminals = o.separations(s, list, terminals)
	}
	return o.readings(list, terminals), held
}

// readings adds the plain reading of every terminal that is or may become the end of
// a section, once a conductor's name.
func (o *foreteller) readings(list []move, terminals []topology.NodeID) []move {
	var seen []topology.NodeID
	for _, id := range terminals {
		if _, _, ok := o.a.net.ModuleAt(id); !ok || slices.Contains(seen, id) {
			continue
		}
		seen = append(seen, id)
		list = append(list, move{kind: fault.TestRead, node: id, minutes: readMinutes})
	}
	return list
}

// ends are both ends of every section of the present state.
func (o *foreteller) ends() (out []topology.NodeID) {
	j := o.now.joined
	for i := range j.Sections {
		if sec := &j.Sections[i]; len(sec.Groups) > 0 {
			out = append(out, o.a.terminal(j, sec.From), o.a.terminal(j, sec.To))
		}
	}
	return out
}

// terminal is the module terminal of a conductor, which may be named by a rail.
func (a *analysis) terminal(j *topology.Joined, id topology.NodeID) topology.NodeID {
	if _, _, ok := a.net.ModuleAt(id); ok {
		return id
	}
	for m, mod := range a.net.Layout.Modules {
		for _, k := range []int{0, mod.Series} {
			if t := a.net.Tap(m, k); j.Conductor(t) == j.Conductor(id) {
				return t
			}
		}
	}
	return id
}

func (o *foreteller) opening(kind string, links ...int) move {
	m := move{kind: kind, links: links}
	for _, l := range links {
		link := o.a.net.Layout.Links[l]
		minutes, ok := o.a.c.Access(link.ID)
		if !ok {
			m.assumed = true
			if minutes = linkMinutes; link.Kind == topology.Disconnect {
				minutes = disconnectMinutes
			}
		}
		m.minutes += minutes
	}
	return m
}

func (o *foreteller) unplugging(id string) move {
	minutes, ok := o.a.c.Access(id)
	if !ok {
		minutes = boardMinutes
	}
	return move{kind: fault.TestUnplug, boards: []string{id}, minutes: minutes, assumed: !ok}
}

// links are those worth weighing: closed, between two modules or a module and its
// rail, not held back; and where there are many, those that part what is in question
// most evenly for their minutes.
func (o *foreteller) links(s fault.State) (out []topology.Branch, held []fault.HeldBack) {
	now := o.now
	type scored struct {
		b     topology.Branch
		score float64
	}
	var all []scored
	var kept []string
	why := ""
	for _, b := range o.a.net.Links {
		l := o.a.net.Layout.Links[b.Link]
		if l.Kind == topology.Contactor || now.open[l.ID] || now.joined.Conductor(b.A) != now.joined.Conductor(b.B) || now.joined.SectionOf(b.A) < 0 {
			continue
		}
		if w := o.a.holdLink(s, l); w != "" {
			kept, why = append(kept, l.ID), w
			continue
		}
		m := o.opening(fault.TestOpen, b.Link)
		all = append(all, scored{b, o.parting(now, b) / (m.minutes + 2*readMinutes)})
	}
	slices.SortStableFunc(all, func(x, y scored) int { return cmp.Compare(y.score, x.score) })
	for _, x := range all[:min(len(all), mostLinks)] {
		if x.score > 0 {
			out = append(out, x.b)
		}
	}
	if len(kept) > 0 {
		held = append(held, fault.HeldBack{Action: "Opening " + short(kept), Why: upperFirst(why) + "."})
	}
	return out, held
}

// short lists ids, the middle of many left out.
func short(ids []string) string {
	if len(ids) > 6 {
		return fmt.Sprintf("%s, %s … %s (%d links)", ids[0], ids[1], ids[len(ids)-1], len(ids))
	}
	return join(ids, "or")
}

// parting is the entropy of which side of a link the leaks lie on: below, above,
// both, or in the link itself. It bounds what opening it could tell.
func (o *foreteller) parting(now *prospect, b topology.Branch) float64 {
	sec := now.joined.SectionOf(b.A)
	phi := o.section(now, sec).phi
	at, id := phi[b.A], o.a.net.Layout.Links[b.Link].ID
	low, _, _ := o.a.net.ModuleAt(b.A)
	high, _, _ := o.a.net.ModuleAt(b.B)
	if phi[b.A] != phi[b.A] {
		return 0
	}
	var by [5]float64
	for i := range o.accounts {
		below, above, own := false, false, false
		for n := range o.accounts[i].leaks {
			h := &o.accounts[i].leaks[n]
			if h.node == topology.NoNode || phi[h.node] != phi[h.node] {
				continue
			}
			m, _, isModule := o.a.net.ModuleAt(h.node)
			switch {
			case h.kind == fault.LinkLeak && h.id == id:
				own = true
			case phi[h.node] < at-1e-9, isModule && m == low:
				below = true
			case phi[h.node] > at+1e-9, isModule && m == high:
				above = true
			}
		}
		k := 0
		switch {
		case own:
			k = 1
		case below && above:
			k = 2
		case below:
			k = 3
		case above:
			k = 4
		}
		by[k] += o.accounts[i].weight
	}
	sum, h := 0.0, 0.0
	for _, w := range by {
		sum += w
	}
	for _, w := range by {
		if w > 0 {
			h -= w / sum * math.Log2(w/sum)
		}
	}
	return h
}

// worthBoards are the boards on their taps that may leak, the likeliest first.
func (o *foreteller) worthBoards(s fault.State) (out []string) {
	w := map[string]float64{}
	for i := range o.accounts {
		for _, h := range o.accounts[i].leaks {
			if h.kind == fault.BoardLeak {
				w[h.id] += o.accounts[i].weight
			}
		}
	}
	for _, b := range o.a.net.Layout.Boards {
		if w[b.ID] > 1e-3 && s.Plugged(b.ID) {
			out = append(out, b.ID)
		}
	}
	slices.SortStableFunc(out, func(x, y string) int { return cmp.Compare(w[y], w[x]) })
	return out[:min(len(out), mostBoards)]
}

// separations adds, for strings that are tied to others, opening both ends of one at
// once: one end alone leaves the other end's potential.
func (o *foreteller) separations(s fault.State, list []move, terminals []topology.NodeID) ([]move, []topology.NodeID) {
	now := o.now
	for str := range o.a.net.Strings {
		mods := o.a.net.Strings[str].Modules
		first, last := mods[0], mods[len(mods)-1]
		sec := now.joined.SectionOf(o.a.net.Tap(first, 0))
		if sec < 0 || len(now.joined.Sections[sec].Strings) < 2 {
			continue
		}
		var links []int
		for _, b := range o.a.net.Links {
			l := o.a.net.Layout.Links[b.Link]
			ma, _, okA := o.a.net.ModuleAt(b.A)
			mb, _, okB := o.a.net.ModuleAt(b.B)
			inner := okA && okB && o.a.net.StringOf(ma) == str && o.a.net.StringOf(mb) == str
			ends := (okA && (ma == first || ma == last)) || (okB && (mb == first || mb == last))
			if l.Kind != topology.Contactor && !inner && ends && !now.open[l.ID] && o.a.holdLink(s, l) == "" {
				links = append(links, b.Link)
				terminals = append(terminals, b.A, b.B)
			}
		}
		if len(links) == 2 {
			list = append(list, o.opening(fault.TestSeparate, links...))
		}
	}
	return list, terminals
}

// upperFirst begins a sentence.
func upperFirst(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
