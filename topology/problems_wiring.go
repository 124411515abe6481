package topology

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// modules reports modules without groups and modules wired against their
// string.
func (in *inspector) modules() {
	for _, m := range in.Layout.Modules {
		if m.Series == 0 {
			in.add(NoGroups, m.ID, "%s has no groups.", m.ID)
		}
	}
	for s, str := range in.Strings {
		if !slices.Contains(str.Flipped, true) {
			continue
		}
		sum := in.sums[s]
		for i, m := range str.Modules {
			if str.Flipped[i] {
				mod := in.Layout.Modules[m]
				with := sum + 2*float64(mod.Series)*in.group
				in.add(Reversed, mod.ID, "%s is wired the wrong way round: string %s sums to %.1f V. With %s turned it sums to %.1f V.", mod.ID, str.ID, sum, mod.ID, with)
			}
		}
	}
}

// freeEnds reports modules and terminals that nothing is joined to. The two
// ends of a chain that is all there is are its poles, unless the layout leads
// that pole somewhere.
func (in *inspector) freeEnds() {
	free := func(id NodeID) bool { return len(in.links[id]) == 0 }
	orphan := make([]bool, len(in.Layout.Modules))
	chains := map[int]bool{}
	for m := range in.Layout.Modules {
		lo, hi := in.walk.terminals(m)
		orphan[m] = free(lo) && free(hi) && len(in.Layout.Modules) > 1
		if !orphan[m] {
			chains[in.stringOf[m]] = true
		}
	}
	led := map[string]bool{} // by sign: some link leads to pack, rail or load of it
	for _, t := range terminals {
		led[t[4:]] = led[t[4:]] || !free(in.byName[t])
	}
	for m, mod := range in.Layout.Modules {
		lo, hi := in.walk.terminals(m)
		switch {
		case in.moduleIdx[mod.ID] != m: // its name leads to another module, which is reported as such
		case orphan[m]:
			in.add(Orphan, mod.ID, "%s is joined to nothing.", mod.ID)
		case mod.Series == 0: // it has no ends to speak of
		default:
			for _, id := range []NodeID{lo, hi} {
				sign := "+"
				if _, groups, _ := in.Position(id); groups == 0 {
					sign = "-"
				}
				if free(id) && (len(chains) > 1 || led[sign]) {
					in.add(Unconnected, mod.ID, "%s is joined to nothing.", in.names[id])
				}
			}
		}
	}
}

// joints reports where a string forks, links that end inside a module, and more
// strings in parallel than four.
func (in *inspector) joints() {
	for _, ends := range in.walk.ends {
		plus := 0
		for _, id := range ends {
			if in.walk.positive(id) {
				plus++
			}
		}
		switch {
		case len(ends) > 2 && plus > 0 && plus < len(ends):
			in.fork(ends)
		case len(ends) > 4:
			at := slices.MinFunc(ends, func(a, b NodeID) int { return cmp.Compare(in.names[a], in.names[b]) })
			m := in.Layout.Modules[in.moduleOf[at]]
			in.add(TooManyStrings, m.ID, "%d strings meet at %s. Up to four can be reckoned with.", len(ends), in.names[at])
		}
	}
	for _, b := range in.Links {
		for _, id := range []NodeID{b.A, b.B} {
			m, k, ok := in.ModuleAt(id)
			if ok && k > 0 && k < in.Layout.Modules[m].Series {
				in.add(InnerTap, in.Layout.Links[b.Link].ID, "Link %s ends at %s, inside the module. Links join terminals.", in.Layout.Links[b.Link].ID, in.names[id])
			}
		}
	}
}

// fork names the terminal of a joint that most links share.
func (in *inspector) fork(ends []NodeID) {
	ends = slices.Clone(ends)
	slices.SortFunc(ends, func(a, b NodeID) int {
		return cmp.Or(cmp.Compare(len(in.links[b]), len(in.links[a])), cmp.Compare(in.names[a], in.names[b]))
	})
	var others []string
	for _, id := range ends[1:] {
		others = append(others, in.names[id])
	}
	slices.Sort(others)
	m := in.Layout.Modules[in.moduleOf[ends[0]]].ID
	if used := in.linkIDs(ends[0]); len(used) > 1 {
		in.add(UsedTwice, m, "%s is used by %s: it is joined to %s, so the string forks there.", in.names[ends[0]], list(used), list(others))
		return
	}
	in.add(UsedTwice, m, "%s is joined to %s, so the string forks there.", in.names[ends[0]], list(others))
}

func (in *inspector) linkIDs(id NodeID) (ids []string) {
	for _, i := range in.links[id] {
		ids = append(ids, in.Layout.Links[i].ID)
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// poles reports outer terminals that are joined to something else than string
// ends of their sign.
func (in *inspector) poles() {
	said := map[string]bool{}
	for _, t := range terminals { // pack before load: one conductor is named once
		joint, sign := in.walk.joint.find(int(in.byName[t])), t[4:]
		var wrong []string
		var at NodeID
		for _, id := range in.walk.ends[joint] {
			s, groups, _ := in.Position(id)
			if top := groups == in.Strings[s].Groups; (sign == "+" && top) || (sign == "-" && groups == 0) {
				continue
			}
			if wrong = append(wrong, in.names[id]); len(wrong) == 1 || in.names[id] < in.names[at] {
				at = id
			}
		}
		if key := fmt.Sprint(joint, sign); len(wrong) > 0 && !said[key] {
			said[key] = true
			slices.Sort(wrong)
			in.add(WrongPole, in.leading(at), "%s leads to %s, where no string has its %s end.", t, list(wrong), map[string]string{"+": "positive", "-": "negative"}[sign])
		}
	}
}

// leading is the link from a terminal to an outer one, or another at it.
func (in *inspector) leading(id NodeID) string {
	var outer, other []string
	for _, i := range in.links[id] {
		if l := in.Layout.Links[i]; slices.Contains(terminals, l.From) || slices.Contains(terminals, l.To) {
			outer = append(outer, l.ID)
		} else {
			other = append(other, l.ID)
		}
	}
	slices.Sort(outer)
	slices.Sort(other)
	return append(append(outer, other...), in.Layout.Modules[in.moduleOf[id]].ID)[0]
}

// byCertainty orders links so that those that are least likely to be meant
// otherwise come first: what is bolted before what switches, then by id. The
// order in which they were drawn does not matter.
func (in *inspector) byCertainty() []Branch {
	rank := map[string]int{Disconnect: 1, Fuse: 1, Contactor: 2}
	links := slices.Clone(in.Links)
	slices.SortFunc(links, func(a, b Branch) int {
		x, y := in.Layout.Links[a.Link], in.Layout.Links[b.Link]
		return cmp.Or(cmp.Compare(rank[x.Kind], rank[y.Kind]), cmp.Compare(x.ID, y.ID), cmp.Compare(a.Link, b.Link))
	})
	return links
}

// loops closes one link after another and reports those that would join two
// potentials.
func (in *inspector) loops() {
	lv := newLevels(in.Len())
	per := in.group
	for m, mod := range in.Layout.Modules {
		lo, hi := in.walk.terminals(m)
		lv.join(int(lo), int(hi), float64(mod.Series)*per)
		for k := 1; k < mod.Series; k++ {
			lv.join(int(lo), int(in.Tap(m, k)), float64(k)*per)
		}
	}
	for _, p := range in.permanent {
		lv.join(int(p[0]), int(p[1]), 0)
	}
	met := map[int]string{} // by joint: what parallelAt says
	for _, b := range in.byCertainty() {
		volts := lv.join(int(b.A), int(b.B), 0)
		if math.Abs(volts) < per/1e6 {
			continue
		}
		l, joint := in.Layout.Links[b.Link], in.walk.joint.find(int(b.A))
		text, ok := met[joint]
		if !ok {
			text = in.parallelAt(joint)
			met[joint] = text
		}
		if text != "" {
			in.add(Unequal, l.ID, "Closing %s ties strings in parallel that differ by %.1f V: %s. That drives a current around them: the difference divided by the resistance of both.", l.ID, math.Abs(volts), text)
			continue
		}
		in.add(Loop, l.ID, "Closing %s would short %.1f V: %s and %s lie that far apart through the cells.", l.ID, math.Abs(volts), l.From, l.To)
	}
}

// parallelAt names the strings that meet at a joint, if nothing but strings of
// one and the same end do; else it is "".
func (in *inspector) parallelAt(joint int) string {
	tops, bottoms := 0, 0
	ends := in.walk.ends[joint]
	var names []string
	for _, end := range ends {
		s, groups, _ := in.Position(end)
		if groups == 0 {
			bottoms++
		}
		if groups == in.Strings[s].Groups {
			tops++
		}
		names = append(names, fmt.Sprintf("%s has %.1f V", in.Strings[s].ID, in.sums[s]))
	}
	slices.Sort(names)
	if names = slices.Compact(names); len(names) < 2 || (tops < len(ends) && bottoms < len(ends)) {
		return ""
	}
	return list(names)
}

// conductors reports links that join what is joined without them. Contactors
// beside each other, as for precharging, are meant so.
func (in *inspector) conductors() {
	c := newClasses(in.Len())
	for _, p := range in.permanent {
		if !in.aliasOfRail(p) {
			c.union(int(p[0]), int(p[1]))
		}
	}
	for _, b := range in.byCertainty() {
		l := in.Layout.Links[b.Link]
		switch {
		case b.A == b.B:
			in.add(SameConductor, l.ID, "Link %s starts and ends at %s.", l.ID, in.names[b.A])
		case c.find(int(b.A)) == c.find(int(b.B)):
			in.add(SameConductor, l.ID, "Link %s joins %s and %s, which are joined without it: opening it opens nothing.", l.ID, l.From, l.To)
		case l.Kind != Contactor:
			c.union(int(b.A), int(b.B))
		}
	}
}

// aliasOfRail says whether a permanent joint only gives a rail its name.
func (in *inspector) aliasOfRail(p [2]NodeID) bool {
	return strings.HasPrefix(in.names[p[0]], "rail")
}
