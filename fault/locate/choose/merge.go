package choose

import "math"

// merge makes one entry of those that share a label and that no first move tells
// apart. What only later moves could tell apart within one label is merged with
// them: that blurs the expected minutes, never what a step shows.
func (p *planner) merge(b belief) belief {
	prints := make([]uint64, len(b.who))
	for i, a := range p.acts {
		_, p.site.can[i] = p.minutes(p.q.Done, a)
	}
	p.printAll(b, p.q.Done, prints)
	p.printChanges(b, p.q.Done, p.site.can, chain, prints)
	at := map[twin]int{}
	out := belief{mass: b.mass}
	for i, who := range b.who {
		k := twin{p.label[who], prints[i]}
		if n, known := at[k]; known {
			out.w[n] += b.w[i]
			continue
		}
		at[k] = len(out.who)
		out.who = append(out.who, who)
		out.w = append(out.w, b.w[i])
	}
	for i, who := range out.who {
		out.print = mix(out.print, uint64(who), math.Float64bits(out.w[i]))
	}
	return out
}

// twin is what entries have in common that are merged.
type twin struct {
	label int32
	print uint64
}

// printChanges folds what is shown by the given changes and after them, and after
// those that they make possible.
func (p *planner) printChanges(b belief, done Set, given []bool, deep int, prints []uint64) {
	for i, a := range p.acts {
		if a.reading || !given[i] || p.over {
			continue
		}
		p.printOne(b, done, a, prints)
		after := p.after(done, a)
		p.printAll(b, after, prints)
		if next := p.newly(&p.site, done, after); next != nil && deep > 1 {
			p.printChanges(b, after, next, deep-1, prints)
		}
	}
}

// printAll folds what every reading shows in a state into the entries' prints.
func (p *planner) printAll(b belief, done Set, prints []uint64) {
	for _, a := range p.acts {
		if a.reading {
			if _, ok := p.minutes(done, a); ok {
				p.printOne(b, done, a, prints)
			}
		}
	}
}

func (p *planner) printOne(b belief, done Set, a act, prints []uint64) {
	see := p.q.Sight(done, a.index)
	if see == nil {
		return
	}
	buf := p.buf
	for i, who := range b.who {
		buf = see(p.orig[who], buf[:0])
		h := mix(prints[i], uint64(len(buf)), 0)
		for _, ch := range buf {
			h = mix(h, uint64(ch.Key), math.Float64bits(ch.P))
		}
		prints[i] = h
	}
	p.buf = buf
	p.spend(len(b.who))
}
