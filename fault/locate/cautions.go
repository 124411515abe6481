package locate

import (
	"fmt"
	"math"

	"halfsplit/fault"
)

const (
	classVolts = 60.0 // V d.c.: usual practice sorts equipment here; it is no touch limit
	hardOhms   = 1e3  // below this a leak ties chassis to its place
	farBelow   = 0.75 // of the nominal volts: cells that read less may be a slip that was carried to all
)

// cautions gives this finding's numbers to the usual warnings. They state what
// is live by layout and state; who decides is the person.
func (w *words) cautions(leaks []resolved) {
	add := func(format string, args ...any) { w.f.Cautions = append(w.f.Cautions, fmt.Sprintf(format, args...)) }
	if len(w.a.net.Layout.Modules) == 0 {
		return
	}
	add("%s", w.live())
	for _, r := range leaks {
		w.tied(r, add)
	}
	add("Local codes, the maker's instructions and your site rules come first; work on open packs is for people authorised for it.")
}

// live lists the sections of the present state with their expected volts, and
// the largest volts between two of them that lie open beside each other.
func (w *words) live() string {
	var now []fault.SectionFinding
	var parts []string
	most, unread := 0.0, false
	for _, s := range w.f.Sections {
		if s.State == w.a.c.Now {
			now = append(now, s)
			parts = append(parts, fmt.Sprintf("%s to %s %s", s.From, s.To, voltsText(float64(s.Volts))))
			most = math.Max(most, float64(s.Volts))
			unread = unread || math.IsNaN(float64(s.ChassisVolts.Mid))
		}
	}
	if len(parts) == 0 {
		return "Live: not known, since the present state is not recorded; treat every module and link as live. Modules cannot be switched off."
	}
	text := "The inside stays live in state " + w.a.c.Now + " (expected, not measured): " + join(parts, "and") + "."
	if across, from, to := widest(now); unread && len(now) > 1 {
		text += " Between sections that were not read to chassis: volts not known."
	} else if across > most {
		text += fmt.Sprintf(" Between %s and %s: up to %s.", from, to, voltsText(across))
	}
	if v, from, to := w.nominalAbove(now); v > 0 {
		text += fmt.Sprintf(" By its nominal volts %s to %s would be about %s: go by the larger until the cells there were read.", from, to, voltsText(v))
		most = math.Max(most, v)
	}
	text += " Modules cannot be switched off."
	if most < classVolts {
		text += " Below 60 V a short circuit still burns."
	}
	return text
}

// nominalAbove is the section of the present state whose cells add up to far less than
// its nominal volts, and these; the largest of several, 0 for none. One value with its
// point in the wrong place lowers every cell that nobody read.
func (w *words) nominalAbove(now []fault.SectionFinding) (volts float64, from, to string) {
	net, si := w.a.net, w.a.d.stateIndex(w.a.c.Now)
	if si < 0 || w.a.c.Layout.NominalVolts <= 0 {
		return 0, "", ""
	}
	each := make([]float64, len(net.Groups))
	for g := range each {
		each[g] = w.a.c.Layout.NominalVolts / float64(net.Strings[net.StringOf(net.Groups[g].Module)].Groups)
	}
	j := w.a.d.joined[si]
	for i := range j.Sections {
		sec := &j.Sections[i]
		v := j.Potentials(sec, each)[sec.To]
		for _, s := range now {
			if s.From == net.Name(sec.From) && float64(s.Volts) < farBelow*v && v > volts {
				volts, from, to = v, s.From, s.To
			}
		}
	}
	return volts, from, to
}

// widest is the largest volts from the negative end of one section to the
// positive end of another, through chassis, at the bad ends of both intervals.
func widest(sections []fault.SectionFinding) (volts float64, from, to string) {
	for i, low := range sections {
		for j, high := range sections {
			if v := float64(high.Volts - high.ChassisVolts.Low + low.ChassisVolts.High); i != j && v > volts {
				volts, from, to = v, low.From, high.To
			}
		}
	}
	return volts, from, to
}

// tied tells what a leak does to every other terminal of the section that it is
// in now: the volts to chassis behind it, at the bad end of its interval.
func (w *words) tied(r resolved, add func(string, ...any)) {
	si := w.a.d.stateIndex(w.a.c.Now)
	if si < 0 || len(r.cand.nodes) == 0 {
		return
	}
	j := w.a.d.joined[si]
	node := r.cand.nodes[0]
	sec := j.SectionOf(node)
	if sec < 0 {
		return
	}
	phi := j.Potentials(&j.Sections[sec], w.a.d.cells[si].mean)
	to, volts := j.Sections[sec].To, phi[j.Sections[sec].To]
	moved := r.u - r.cand.u[r.slot]
	wide := float64(r.leak.Volts.High-r.leak.Volts.Low) / 2
	at := w.a.net.Name(to)
	worst := volts - (phi[node] + moved - wide)
	if down := phi[node] + moved + wide; down > worst {
		worst, at = down, w.a.net.Name(j.Sections[sec].From)
	}
	worst = math.Min(worst, volts)
	l := r.leak
	switch {
	case float64(l.Ohms.High) < hardOhms:
		add("Chassis is tied to about %s. Every other terminal of its section is live to chassis: up to %s at %s. A tool from chassis to any of them is a short circuit through the fault.", l.Tap.Mid, voltsText(worst), at)
	case l.Ohms.Relation == fault.Less:
		add("The leak near %s puts up to %s between chassis and %s, behind %s, which may be next to nothing: treat chassis as joined to that place.", l.Tap.Mid, voltsText(worst), at, boundText(l.Ohms))
	default:
		add("The leak near %s puts up to %s between chassis and %s, behind about %s. A second fault removes that resistance.", l.Tap.Mid, voltsText(worst), at, ohmsText(float64(l.Ohms.Low)))
	}
}
