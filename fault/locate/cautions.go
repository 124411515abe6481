package locate

import (
	"fmt"
	"math"

	"halfsplit/fault"
)

const (
	classVolts = 60.0 // V d.c.: usual practice sorts equipment here; it is no touch limit
	hardOhms   = 1e3  // below this a leak ties chassis to its place
)

// cautions gives this finding's numbers to the usual warnings. They state what
// is live by layout and state; who decides is the person.
func (w *words) cautions() {
	add := func(format string, args ...any) { w.f.Cautions = append(w.f.Cautions, fmt.Sprintf(format, args...)) }
	if len(w.a.net.Layout.Modules) == 0 {
		return
	}
	if live := w.live(); live != "" {
		add("%s", live)
	}
	for _, l := range w.f.Leaks {
		w.tied(l, add)
	}
	add("Local codes, the maker's instructions and your site rules come first; work on open packs is for people authorised for it.")
}

// live lists the sections of the present state with their expected volts.
func (w *words) live() string {
	now, ok := w.a.c.State(w.a.c.Now)
	if !ok {
		return "The present state is not recorded; treat every section as live."
	}
	var parts []string
	most := 0.0
	for _, s := range w.f.Sections {
		if s.State == now.ID {
			parts = append(parts, fmt.Sprintf("%s to %s %s", s.From, s.To, voltsText(float64(s.Volts))))
			most = math.Max(most, float64(s.Volts))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	text := "The inside stays live in state " + now.ID + " (expected, not measured): " + join(parts, "and") + ". Modules cannot be switched off."
	if most < classVolts {
		text += " Below 60 V a short circuit still burns."
	}
	return text
}

// tied tells what a leak does to every other terminal.
func (w *words) tied(l fault.Leak, add func(string, ...any)) {
	worst, at := 0.0, ""
	for _, s := range w.f.Sections {
		if s.State != w.a.c.Now || math.IsNaN(float64(s.ChassisVolts.Mid)) {
			continue
		}
		up, down := float64(s.Volts-s.ChassisVolts.Low), float64(s.ChassisVolts.High)
		if up > worst {
			worst, at = up, s.To
		}
		if down > worst {
			worst, at = down, s.From
		}
	}
	if worst == 0 {
		return
	}
	high := float64(l.Ohms.High)
	if l.Ohms.Relation == fault.Less || high < hardOhms {
		add("Chassis is tied to about %s. Every other terminal is live to chassis: up to %s at %s. A tool from chassis to any of them is a short circuit through the fault.", l.Tap.Mid, voltsText(worst), at)
		return
	}
	low := l.Ohms.Low
	if math.IsNaN(float64(low)) {
		low = l.Ohms.Mid
	}
	add("Terminals are live to chassis: up to %s at %s behind no more than %s. A second fault removes that resistance.", voltsText(worst), at, ohmsText(float64(low)))
}
