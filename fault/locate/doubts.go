package locate

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"halfsplit/fault"
	"halfsplit/topology"
)

const (
	doubtOdds  = 20.0 // a slip is named from these odds on
	tieNats    = 3.0  // slips closer than this to the likeliest are not preferred over each other
	eachSlip   = 16   // readings that it takes to believe in one more slip than one
	worthALook = 1.0  // standard deviations that a reading must be off before its slips are weighed
	// An exchange is named where it gains some ten nats, which one of the two alone
	// gives only far beyond this.
	worthTwoLooks = 2.0
	mostTried     = 24 // slips of a value that are weighed jointly
)

// doubts looks for the slips that would explain what does not fit, likeliest
// first. It asks the general fit, which knows no hypothesis but physics, what
// every reading should be by the others.
func (a *analysis) doubts(ctx context.Context) []slip {
	d := a.d
	if len(d.obs) < 3 {
		return nil // no spare equation: nothing could be told
	}
	as := a.physics()
	if !as.ok {
		return nil
	}
	bad := as.odd()
	var out []slip
	rests, casts := make([]*general, len(d.obs)), make([]forecast, len(d.obs))
	a.clashes()
	d.parts() // before many ask for them
	look := as.doubtful()
	if !beside(ctx, len(d.obs), func(i int) {
		if !look(i) {
			return
		}
		rests[i] = a.leaving(as, d.obs[i].id)
		if fc := rests[i].forecast([]observation{d.obs[i]}); fc != nil {
			casts[i] = fc[0]
		}
	}) {
		return nil
	}
	beyond := func(deviations float64) func(int) bool {
		return func(i int) bool {
			return look(i) && (bad || casts[i].sd > 0 && math.Abs(d.obs[i].value-casts[i].mean) > deviations*casts[i].sd)
		}
	}
	off := beyond(worthALook)
	for i := range d.obs {
		if !off(i) {
			continue
		}
		o := &d.obs[i]
		out = append(out, valueSlips(o, casts[i])...)
		out = append(out, copied(d, o, casts[i])...)
		out = append(out, a.stale(o, rests[i], casts[i])...)
	}
	out = append(out, a.exchanges(ctx, as, beyond(worthTwoLooks))...)
	sort.SliceStable(out, func(i, j int) bool { return out[i].logOdds > out[j].logOdds })
	for len(out) > 0 && (len(out) > mostTried || (!bad && !(out[len(out)-1].logOdds > 0))) {
		out = out[:len(out)-1]
	}
	out = a.jointly(ctx, as, append(append(out, a.circuits(as)...), a.metalSlips(ctx, as)...))
	return likely(append(out, a.offRange(as)...))
}

// jointly weighs every slip with all readings at once: the case mended of it
// against the case as it stands, both by the general fit. What one reading's
// slip leaves unexplained in the others then counts against it.
func (a *analysis) jointly(ctx context.Context, as *general, all []slip) []slip {
	base := as.evidence()
	a.clashes()
	a.d.parts()
	kept := make([]bool, len(all))
	if !beside(ctx, len(all), func(i int) { kept[i] = a.weighSlip(as, base, &all[i]) }) {
		return nil
	}
	var out []slip
	for i := range all {
		if kept[i] {
			out = append(out, all[i])
		}
	}
	return out
}

// weighSlip is one slip's odds with all readings at once; it reports whether the
// slip could be weighed and can be.
func (a *analysis) weighSlip(as *general, base float64, s *slip) bool {
	if s.wholesale() && a.hopelessFor(s.where) {
		return false
	}
	c, given := *a.c, a.given
	c.Readings, c.States = slices.Clone(a.c.Readings), slices.Clone(a.c.States)
	s.mend(&c, &given)
	by, net := &neighbour{p: as.p, all: s.wholesale()}, a.net
	if s.inPlace() {
		by = a.near(as, s.readings...)
	}
	if s.turned != "" {
		net, _ = topology.Compile(c.Layout)
	}
	e := fitNear(prepareLike(a.d, &c, net, given), by, as.chi2+20)
	if s.wholesale() && e.ok && e.odd() {
		return false // what changes every reading at once must make all of them fit
	}
	if !e.ok || (s.kind != slipCopied && len(e.d.obs) != len(a.d.obs)) {
		return false
	}
	s.logOdds = math.Log(slipPrior) + e.evidence() - base + s.stretch
	return true
}

// leaving is the general fit to all readings but some; as is the one to all.
func (a *analysis) leaving(as *general, ids ...string) *general {
	gone := map[string]bool{}
	within := false
	given := a.given
	for _, id := range ids {
		gone[id] = true
		given = given.except(id, "left out to see what the others say of it")
	}
	for i := range a.d.obs {
		within = within || (gone[a.d.obs[i].id] && a.d.obs[i].within)
	}
	if within { // its volts may have been shared out over groups
		return fitNear(prepareLike(a.d, a.c, a.net, given), &neighbour{p: as.p}, math.Inf(1))
	}
	rest := *a.d
	rest.obs = make([]observation, 0, len(a.d.obs))
	for i := range a.d.obs {
		if !gone[a.d.obs[i].id] {
			rest.obs = append(rest.obs, a.d.obs[i])
		}
	}
	rest.specials, rest.cands, rest.partsMemo, rest.like = nil, nil, nil, a.d
	rest.mark()
	rest.sharePlaces() // where the same places were read
	by := a.near(as, ids...)
	by.roughly = true
	return fitNear(&rest, by, math.Inf(1))
}

// exchanges weighs that two readings entered one after the other were entered
// for each other. Only those are tried of which one at least is off.
func (a *analysis) exchanges(ctx context.Context, as *general, off func(int) bool) []slip {
	var pairs [][2]*observation
	for i := range a.d.obs {
		for k := i + 1; k < len(a.d.obs) && k <= i+2; k++ {
			x, y := &a.d.obs[i], &a.d.obs[k]
			if x.reading.State == y.reading.State && x.within == y.within && (off(i) || off(k)) {
				pairs = append(pairs, [2]*observation{x, y})
			}
		}
	}
	pairs = slices.DeleteFunc(pairs, func(p [2]*observation) bool { return a.stillClash(p[0], p[1]) })
	found := make([]*slip, len(pairs))
	beside(ctx, len(pairs), func(i int) {
		x, y := pairs[i][0], pairs[i][1]
		if fc := a.leaving(as, x.id, y.id).forecast([]observation{*x, *y}); fc != nil {
			if s, ok := swapped(x, y, fc[0], fc[1]); ok {
				found[i] = &s
			}
		}
	})
	var out []slip
	for _, s := range found {
		if s != nil {
			out = append(out, *s)
		}
	}
	return out
}

// stale weighs that a reading was taken in another state than it is filed under:
// before a link was opened, say. rest is the fit to the other readings.
func (a *analysis) stale(o *observation, rest *general, fc forecast) []slip {
	var out []slip
	if !rest.ok || o.allowed.set {
		return out
	}
	for _, s := range a.c.States {
		if s.ID == o.reading.State || a.d.differ(a.d.stateIndex(s.ID), a.d.stateIndex(o.reading.State)) != "" {
			continue
		}
		r := o.reading
		r.State = s.ID
		alt, why := rest.observe(r)
		if why != "" {
			continue
		}
		there := rest.forecast([]observation{alt})
		if there == nil {
			continue
		}
		out = append(out, slip{readings: []string{o.id}, kind: slipStale, with: s.ID,
			fitsIf:  fmt.Sprintf("it was taken in state %s: %s expected there, %s in state %s", s.ID, voltsText(there[0].mean), voltsText(fc.mean), o.reading.State),
			logOdds: math.Log(slipPrior) + density(o.value, there[0], 0) - density(o.value, fc, 0),
			mend: func(c *fault.Case, _ *premise) {
				for i := range c.Readings {
					if c.Readings[i].ID == o.id {
						c.Readings[i].State = s.ID
					}
				}
			}})
	}
	return out
}

// likely keeps the slips worth naming, likeliest first. Of several slips of the
// same reading only the likeliest is kept, and those within a few nats of it.
func likely(all []slip) []slip {
	sort.SliceStable(all, func(i, j int) bool { return all[i].logOdds > all[j].logOdds })
	clipFirst(all)
	best := map[string]float64{}
	var out []slip
	for _, s := range all {
		if !(s.logOdds >= math.Log(doubtOdds)) {
			break
		}
		top, seen := best[s.readings[0]]
		if seen && s.logOdds < top-tieNats {
			continue
		}
		for _, id := range s.readings {
			if _, have := best[id]; !have {
				best[id] = s.logOdds
			}
		}
		out = append(out, s)
	}
	return out
}

// clipFirst puts a clip that does not reach the chassis before what is as likely:
// of two ways to look, that is the one whose oversight hurts.
func clipFirst(all []slip) {
	for i, s := range all {
		if s.logOdds < all[0].logOdds-tieNats {
			return
		}
		if s.kind == slipReference {
			copy(all[1:i+1], all[:i])
			all[0] = s
			return
		}
	}
}

// preferred is the likeliest slip, if nothing else comes near it.
func preferred(list []slip) (slip, bool) {
	if len(list) == 0 {
		return slip{}, false
	}
	for _, s := range list[1:] {
		if s.logOdds > list[0].logOdds-tieNats && s.readings[0] != list[0].readings[0] {
			return slip{}, false
		}
	}
	return list[0], true
}

// open are the slips of which no reading was kept as read by a person: those stay
// doubted, and nothing is left out for them.
func (a *analysis) open(list []slip) []slip {
	return slices.DeleteFunc(slices.Clone(list), func(s slip) bool {
		return !s.metal() && slices.ContainsFunc(s.readings, a.stands)
	})
}

// untold are the slips that an earlier round did not tell already, of readings that
// stand and so are doubted in every round.
func (a *analysis) untold(list []slip) []slip {
	return slices.DeleteFunc(slices.Clone(list), func(s slip) bool {
		return !s.metal() && slices.ContainsFunc(s.readings, a.stands) && slices.ContainsFunc(a.slips, func(o slip) bool {
			return o.kind == s.kind && o.with == s.with && o.readings[0] == s.readings[0]
		})
	})
}

// stands says that a person kept a reading as read.
func (a *analysis) stands(id string) bool {
	r, ok := a.c.Reading(id)
	return ok && r.Stands != ""
}

// withoutDoubts leaves out the readings that a slip speaks against, one slip
// after the other, as long as one is clearly the likeliest. One in so many may
// be wrong; where it takes more, the readings do not belong together.
func (a *analysis) withoutDoubts(ctx context.Context) *analysis {
	for n := 0; ctx.Err() == nil && a.err == nil; n++ {
		list := a.doubts(ctx)
		a.slips = append(a.slips, a.untold(list)...)
		s, ok := preferred(a.open(list))
		if !ok || s.kind == slipInput || s.kind == slipMirrored || s.kind == slipTurned {
			return a // nothing to choose, or it speaks of every reading at once
		}
		if n > len(a.d.obs)/eachSlip {
			a.tooMany = true
			return a
		}
		b := a.believing(s)
		b.slips = a.slips
		if b.err != nil && !s.metal() {
			a.noSpare = true // without it too little is left to state anything
			return a
		}
		if s.metal() {
			b.metal = &s
			return b
		}
		a = b
	}
	return a
}

// believing is the analysis of what a slip does not speak against. A reading in
// doubt is left out; where it is the metal that is doubted, nothing is, and the
// circuit is taken as the slip has it.
func (a *analysis) believing(s slip) *analysis {
	given := a.given
	if s.metal() {
		c := *a.c
		c.States = slices.Clone(a.c.States)
		s.mend(&c, &given)
		return beginLike(a.d, &c, a.net, a.ev, given)
	}
	for _, id := range s.readings {
		given = given.except(id, "in doubt: "+s.readings[0]+" fits if "+s.fitsIf)
	}
	return beginLike(a.d, a.c, a.net, a.ev, given)
}

// listed writes the doubts of a finding.
func (a *analysis) listed() []fault.Doubt {
	out := []fault.Doubt{}
	for _, s := range a.slips {
		if s.metal() {
			continue // no reading is wrong; the statement says what is
		}
		out = append(out, fault.Doubt{Reading: s.readings[0], Kind: s.kind, With: s.with, FitsIf: s.fitsIf,
			Odds: fault.Number(math.Min(1e12, math.Exp(s.logOdds)))})
	}
	return out
}
