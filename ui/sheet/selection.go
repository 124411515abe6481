package sheet

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// Selection is the page of what is selected: a module, a link, a reading, or a
// section.
func Selection(p *facts.Pack, id string) []Block {
	kind, name, _ := strings.Cut(id, ":")
	w := &writer{p: p}
	switch kind {
	case "module":
		if m, ok := p.Net.Module(name); ok {
			w.module(m)
		}
	case "link":
		if l, ok := p.Net.Link(name); ok {
			w.link(l)
		}
	case "reading":
		for _, f := range p.Flags() {
			if f.Reading.ID == name {
				w.reading(f)
			}
		}
		if r, ok := p.Case.Reading(name); ok && len(w.blocks) == 0 {
			w.reading(facts.Flag{Reading: r, Now: r.State == p.Case.Now})
		}
	case "board":
		for _, b := range p.Net.Layout.Boards {
			if b.ID == name {
				w.board(b)
			}
		}
	case "part":
		for _, q := range p.Net.Layout.Parts {
			if q.ID == name {
				w.part(q)
			}
		}
	case "chassis":
		for _, c := range p.Net.Layout.Chassis {
			if c.ID == name {
				w.chassisPiece(c)
			}
		}
	case "bond":
		for _, b := range p.Net.Layout.Bonds {
			if b.ID == name {
				w.bond(b)
			}
		}
	case "node":
		if n, ok := p.Net.Node(name); ok {
			w.node(name, n)
		}
	case "section":
		for i := range p.Sections {
			if p.Sections[i].From == name {
				w.add(Block{Kind: Title, Text: "Section " + p.Sections[i].From + " to " + p.Sections[i].To, Bold: true})
				if f := p.Sections[i].Finding; f != nil {
					w.section(f)
				}
			}
		}
	}
	if len(w.blocks) == 0 {
		w.add(Block{Kind: Title, Text: "Nothing selected", Bold: true})
		w.para("Press a module, a link or a reading, on the plan or on the ruler.")
	}
	return w.blocks
}

func (w *writer) module(m int) {
	mod, l := w.p.Modules[m], w.p.Net.Layout.Modules[m]
	w.add(Block{Kind: Title, Text: "Module " + l.ID, Bold: true})
	if mod.Removed {
		w.para("Recorded removed in this state.")
	}
	w.share(l.ID)
	if w.noted(func(place string) bool {
		n, ok := w.p.Net.Node(place)
		at, _, tap := w.p.Net.ModuleAt(n)
		return place == l.ID || ok && tap && at == m
	}) {
		w.title("The module")
	}
	w.row("Volts", words.Volts(mod.Volts))
	if mod.Measured > 0 && mod.Measured < len(mod.Groups) {
		w.row("Groups measured", fmt.Sprintf("%d of %d", mod.Measured, len(mod.Groups)))
	}
	w.row("Groups", fmt.Sprintf("%d in series, %d in parallel", l.Series, l.Parallel))
	w.row("In string", fmt.Sprintf("%s, module %d of %d", w.p.Net.Strings[mod.String].ID, mod.Place+1, len(w.p.Net.Strings[mod.String].Modules)))
	if l.Label != "" {
		w.row("Maker's label", l.Label)
	}
	if len(l.MonitorIndex) == 2 {
		w.row("Monitor's list", fmt.Sprintf("cells %d to %d", l.MonitorIndex[0], l.MonitorIndex[1]))
	}
	lo, hi := w.p.Chassis[w.p.Net.Tap(m, 0)], w.p.Chassis[w.p.Net.Tap(m, l.Series)]
	w.row(l.ID+"- to chassis, expected", orNotKnown(lo))
	w.row(l.ID+"+ to chassis, expected", orNotKnown(hi))
	w.problems(l.ID)
	w.boardsAt(m)
	w.groupList(m)
	w.readings("Readings at it", func(f facts.Flag) bool {
		at, _, ok := w.p.Net.ModuleAt(f.Node)
		return ok && at == m
	})
}

// node is the page of a tap or a named terminal.
func (w *writer) node(name string, n topology.NodeID) {
	w.add(Block{Kind: Title, Text: "Terminal " + name, Bold: true})
	if m, k, ok := w.p.Net.ModuleAt(n); ok {
		w.row("Module", w.p.Net.Layout.Modules[m].ID)
		w.row("Groups below it", fmt.Sprintf("%d of %d in the module", k, w.p.Net.Layout.Modules[m].Series))
	}
	w.row("To chassis, expected", orNotKnown(w.p.Chassis[n]))
	if s := w.p.SectionOf(n); s != nil {
		w.row("In section", s.From+" to "+s.To)
	} else {
		w.row("In section", "none: no group is joined to it")
	}
	w.noted(func(place string) bool { o, ok := w.p.Net.Node(place); return ok && o == n })
	w.readings("Readings at it", func(f facts.Flag) bool { return f.Node == n })
}

func orNotKnown(v float64) string {
	if math.IsNaN(v) {
		return "not known"
	}
	return words.Volts(v)
}

func (w *writer) share(id string) {
	if s, ok := w.p.Share[id]; ok {
		w.add(Block{Kind: Bar, Text: "Suspicion", Value: words.Share(s), Share: s})
	}
}

func (w *writer) problems(id string) {
	for _, pr := range w.p.Problem(id) {
		w.add(Block{Kind: Caution, Text: pr.Text})
	}
}

func (w *writer) groupList(m int) {
	mod := w.p.Modules[m]
	w.title("Groups from its negative end")
	if mod.Measured == 0 {
		w.para("Group volts: not measured.")
		return
	}
	for k, g := range mod.Groups {
		v := w.p.Group[g]
		text := words.NotMeasured
		if !math.IsNaN(v) {
			text = words.VoltsTo(v, 3) + ", " + words.Millivolts(w.p.FromMedian(g))
		}
		w.row(fmt.Sprintf("Group %d", k+1), text)
	}
	if w.p.GroupsOf != "" && w.p.GroupsOf != w.p.Case.Now {
		w.soft("Taken in state " + w.p.GroupsOf + ". Second number: from the string's median.")
	} else {
		w.soft("Second number: from the string's median.")
	}
}

func (w *writer) readings(title string, at func(facts.Flag) bool) {
	any := false
	for _, f := range w.p.Flags() {
		if !at(f) {
			continue
		}
		if !any {
			w.title(title)
			any = true
		}
		w.add(Block{Kind: Row, ID: "reading:" + f.Reading.ID, Text: readingName(f), Value: readingValue(f)})
	}
	if !any {
		w.title(title)
		w.para("None.")
	}
}

func readingName(f facts.Flag) string {
	s := f.Reading.ID + "  " + f.Reading.Red + " to " + f.Reading.Black
	if !f.Now {
		s += " [" + f.Reading.State + "]"
	}
	return s
}

// units of a reading by its quantity.
var units = map[string]string{fault.Volts: "V", fault.Amps: "A", fault.Celsius: "°C", fault.Kilopascal: "kPa"}

func readingValue(f facts.Flag) string {
	r := f.Reading
	s := ""
	switch r.Relation {
	case fault.Less:
		s = "less than "
	case fault.Greater:
		s = "more than "
	}
	if u, ok := units[r.Quantity]; ok {
		s += fmt.Sprintf("%g%s%s", r.Value, words.Thin, u)
	} else {
		s += words.Ohms(r.Value)
	}
	if r.Resistor != nil {
		s += " with " + r.Resistor.ID
	}
	switch f.Use {
	case facts.LeftOut:
		s += ", left out"
	case facts.Superseded:
		s += ", superseded"
	}
	return s
}

func (w *writer) reading(f facts.Flag) {
	r := f.Reading
	w.add(Block{Kind: Title, Text: "Reading " + r.ID, Bold: true})
	w.add(Block{Kind: Big, Value: readingValue(facts.Flag{Reading: r})})
	w.row("Red lead", r.Red)
	w.row("Black lead", r.Black)
	if r.Resistor != nil {
		res, ok := w.p.Case.Resistor(r.Resistor.ID)
		text := r.Resistor.ID
		if ok {
			text += ", " + words.Ohms(res.Ohms) + rating(res.Watts, "W") + rating(res.MaxVolts, "V")
		}
		w.row("Test resistor", text)
		w.row("Fitted from", r.Resistor.From+" to "+r.Resistor.To)
	}
	w.row("State", r.State)
	w.row("Instrument", orNotRecorded(r.Instrument))
	if in, ok := w.p.Case.Instrument(r.Instrument); ok {
		if in.CalibrationAt(r.At) == fault.CalOverdue {
			w.add(Block{Kind: Caution, Text: words.Sentence(in.CalibrationWords(r.At))})
		} else {
			w.row("Calibration", in.CalibrationWords(r.At))
		}
	}
	if r.Answer != "" {
		w.row("Answered by the connected meter", r.Answer)
		w.row("That meter", orNotRecorded(r.AnsweredBy))
	}
	if r.Range > 0 {
		w.row("Range", fmt.Sprintf("%g%sV", r.Range, words.Thin))
	}
	w.row("Taken at", orNotRecorded(r.At))
	w.row("Taken by", orNotRecorded(r.Who))
	w.row("As typed", orNotRecorded(r.Raw))
	if r.Note != "" {
		w.row("Note", r.Note)
	}
	if r.Supersedes != "" {
		w.row("In place of", r.Supersedes+", "+r.Why)
	}
	if r.Stands != "" {
		w.row("Kept as read", words.Sentence(r.Stands))
	}
	w.row("In the finding", map[facts.Use]string{facts.Used: "used", facts.LeftOut: "left out", facts.Superseded: "superseded", facts.NotJudged: "not used"}[f.Use])
	if f.Why != "" {
		w.para(words.Sentence(f.Why))
	}
}

// rating is a resistor's rating; one that was not given says so.
func rating(v float64, unit string) string {
	if v <= 0 {
		return ", " + unit + " not recorded"
	}
	return fmt.Sprintf(", %g%s%s", v, words.Thin, unit)
}

func orNotRecorded(s string) string {
	if s == "" {
		return "not recorded"
	}
	return s
}

func (w *writer) link(l int) {
	link := w.p.Net.Layout.Links[l]
	w.add(Block{Kind: Title, Text: strings.ToUpper(link.Kind[:min(1, len(link.Kind))]) + link.Kind[min(1, len(link.Kind)):] + " " + link.ID, Bold: true})
	if w.noted(func(place string) bool { return place == link.ID }) {
		w.title("The link")
	}
	w.row("From", link.From)
	w.row("To", link.To)
	standing := "not recorded open"
	if w.p.IsOpen(l) {
		standing = "recorded open"
		if link.Kind == topology.Contactor && w.p.State.Contactors == "" {
			standing = "not recorded, taken as open"
		}
	}
	if !w.p.Known {
		standing = "not known"
	}
	w.row("In this state", standing)
	w.add(Block{Kind: Row, ID: MinutesID + link.ID, Text: "To open it", Value: MinutesWords(&w.p.Case, link.ID)})
	w.share(link.ID)
	w.problems(link.ID)
	if w.p.IsOpen(l) {
		w.gap(l)
	}
	a, _ := w.p.Net.Node(link.From)
	b, _ := w.p.Net.Node(link.To)
	w.readings("Readings at its ends", func(f facts.Flag) bool { return f.Node == a || f.Node == b })
}

func (w *writer) gap(l int) {
	w.title("Across the gap, expected, not measured")
	g := w.p.GapOf(l)
	if !g.Known {
		w.para("Not known: the finding does not give the chassis potential on both sides.")
		return
	}
	w.row("Red "+g.Red+", black "+g.Black, words.Range(g.Low, g.High, "V"))
	if !math.IsNaN(g.Behind) && g.Behind > 0 {
		w.row("Behind", words.Ohms(g.Behind))
	}
	if !math.IsNaN(g.OnMeter) {
		w.row("On "+g.Meter+", "+words.Ohms(g.MeterOhms), words.Volts(g.OnMeter))
	}
	w.soft("A reading far from this says that something bridges the gap.")
}
