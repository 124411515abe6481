package cli

import (
	"fmt"
	"strings"

	"halfsplit/fault"
)

func (w *printed) leaks() {
	for i, l := range w.f.Leaks {
		title := "The leak"
		if len(w.f.Leaks) > 1 {
			title = fmt.Sprintf("Leak %d of %d", i+1, len(w.f.Leaks))
		}
		if l.If != "" {
			title += ", if there is " + l.If
		}
		w.heading("%s", title)
		w.leak(l)
	}
}

func (w *printed) leak(l fault.Leak) {
	below := "the negative end"
	if l.String != "" {
		below = l.String + "-"
	}
	if len(l.Places) > 0 {
		w.item("Place", "%s", shares(l.Places))
	}
	if l.Tap.Mid != "" {
		w.item("Taps", "%s (%s to %s)", l.Tap.Mid, l.Tap.Low, l.Tap.High)
	}
	if !missing(l.Position.Mid) {
		mid, ends := spread(l.Position, 1)
		w.item("Position", "%s groups above %s (%s)", mid, below, ends)
	}
	if !missing(l.Electrical.Mid) {
		mid, ends := spread(l.Electrical, 1)
		w.item(" ", "%s (%s) by the readings alone, without the leak path's own potential", mid, ends)
	}
	if !missing(l.Volts.Mid) {
		w.item("Potential", "%s", volts(l.Volts, below))
	}
	w.item("Resistance", "%s", bounded(l.Ohms))
	if !missing(l.Several) {
		w.item("Several", "%s that this section has more than one leak", percent(l.Several))
	}
}

// shares lists places from the likeliest, those under one percent counted.
func shares(places []fault.Share) string {
	var out []string
	small := 0
	for _, p := range places {
		if p.Share < .01 && len(out) > 0 {
			small++
			continue
		}
		name := p.ID
		if p.Kind != fault.PlaceModule {
			name = strings.TrimSpace(p.Kind + " " + p.ID)
		}
		if p.Kind == fault.PlaceLoad {
			name = "load side " + p.ID
		}
		out = append(out, name+glue+percent(p.Share))
	}
	if small > 0 {
		out = append(out, fmt.Sprintf("%d more under 1 %% each", small))
	}
	return strings.Join(out, ", ")
}

// explanations lists what must come out over all hypotheses, and these.
func (w *printed) explanations() {
	if len(w.f.Suspicion) == 0 && len(w.f.Hypotheses) == 0 {
		return
	}
	w.heading("What it could be")
	if len(w.f.Suspicion) > 0 {
		w.item("Must come out", "%s", shares(w.f.Suspicion))
	}
	var out []string
	for _, h := range w.f.Hypotheses {
		out = append(out, hypothesisWords(h.Kind)+glue+percent(h.Share))
	}
	if len(out) > 0 {
		w.item("Explanations", "%s", strings.Join(out, ", "))
	}
}

func hypothesisWords(kind string) string {
	switch kind {
	case fault.None:
		return "no leak"
	case fault.One:
		return "one leak"
	case fault.Two:
		return "two leaks"
	case fault.Spread:
		return "spread over a run"
	case fault.BoardLeak:
		return "a board or its harness"
	case fault.LinkLeak:
		return "a link"
	case fault.RailLeak:
		return "a rail"
	case fault.LoadSide:
		return "the load side"
	case fault.BadReference:
		return "a bad chassis reference"
	case fault.MonitorLeak:
		return "the monitor"
	}
	return kind
}
