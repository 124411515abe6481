package advice

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
	"halfsplit/ui/words"
)

// InVehicle is what is connected in the state of a pack that is still mounted.
const InVehicle = "vehicle body"

// A Socket is the guided path of locating at the socket of an open disconnect, with
// the pack still in the vehicle.
type Socket struct {
	cursor
	link   int  // of the disconnects
	asked  bool // the state is shown and not recorded yet
	failed string
}

// NewSocket begins at the first step that is not done.
func NewSocket(w World) Socket {
	s := Socket{}
	for i, st := range s.steps(w) {
		if !st.done {
			s.cursor.at = i
			break
		}
	}
	return s
}

// disconnects are the links that can be opened from outside.
func disconnects(w World) (out []int) {
	for i, l := range w.Pack.Net.Layout.Links {
		if _, ok := w.Pack.Net.Link(l.ID); ok && l.Kind == topology.Disconnect {
			out = append(out, i)
		}
	}
	return out
}

// A pole of the socket.
type pole struct {
	ref   string
	node  topology.NodeID
	upper bool
}

func (p pole) words() string {
	if p.upper {
		return "upper pole"
	}
	return "lower pole"
}

// poles are both sides of the disconnect: the upper one is the end of the half that
// leads to the string's positive end.
func (s Socket) poles(w World) (id string, upper, lower pole, ok bool) {
	all := disconnects(w)
	if len(all) == 0 {
		return "", upper, lower, false
	}
	l := w.Pack.Net.Layout.Links[all[turn(s.link, 0, len(all))]]
	from, okA := w.Pack.Net.Node(l.From)
	to, okB := w.Pack.Net.Node(l.To)
	if !okA || !okB {
		return l.ID, upper, lower, false
	}
	a, b := pole{ref: l.ID + "@" + l.From, node: from}, pole{ref: l.ID + "@" + l.To, node: to}
	for _, p := range []*pole{&a, &b} {
		if _, named := w.Pack.Net.Node(p.ref); !named {
			p.ref = w.Pack.Net.Name(p.node)
		}
	}
	if place(w, a.node) > place(w, b.node) {
		a, b = b, a
	}
	b.upper = true
	return l.ID, b, a, true
}

// place is a node's module along its string.
func place(w World, n topology.NodeID) int {
	if m, _, ok := w.Pack.Net.ModuleAt(n); ok {
		return w.Pack.Modules[m].Place
	}
	return -1
}

// A step of the path.
type step struct {
	id, text, value string
	done            bool
	pole            pole
	with            bool // the test resistor
}

// steps are the path, with what is done of it.
func (s Socket) steps(w World) []step {
	id, upper, lower, ok := s.poles(w)
	if !ok {
		return nil
	}
	out := []step{s.stateStep(w, id)}
	open := out[0].done // what was read before belongs to another circuit
	for _, p := range []pole{upper, lower} {
		for _, with := range []bool{false, true} {
			st := step{id: fmt.Sprintf("%s%v%v", lineID, p.upper, with), pole: p, with: with}
			st.text = fmt.Sprintf("%d. %s %s to chassis, plain", len(out)+1, upperWord(p), p.ref)
			if with {
				st.text = fmt.Sprintf("%d. %s %s to chassis, with the test resistor", len(out)+1, upperWord(p), p.ref)
			}
			st.value = "not read yet in this state"
			if r, ok := newest(w, p.node, with); ok && open {
				st.done, st.value = true, "read "+volts(r.Value)+" as "+r.ID
				if r.Resistor != nil {
					st.value += ", with " + r.Resistor.ID
				}
			}
			out = append(out, st)
		}
	}
	return out
}

func upperWord(p pole) string { return upper(p.words()) }

// stateStep is the recording of the state.
func (s Socket) stateStep(w World, id string) step {
	st := step{id: lineID + "state", text: "1. Record the state: " + id + " open, contactors open, pack in the vehicle"}
	open := w.Pack.Known && slices.Contains(w.Pack.State.Open, id) && w.Pack.State.Contactors == fault.Open
	in := slices.Contains(w.Pack.State.Connected, InVehicle)
	st.done = open
	switch {
	case open && in:
		st.value = "recorded as " + w.Pack.Case.Now
	case open:
		st.value = "recorded as " + w.Pack.Case.Now + "; that the pack is in the vehicle is not recorded"
	default:
		st.value = "Not recorded so. " + w.Pack.StateLine()
	}
	return st
}

// newest is the newest reading of the present state from a node to chassis, with or
// without a test resistor across the probes.
func newest(w World, node topology.NodeID, with bool) (out fault.Reading, ok bool) {
	old := w.Pack.Case.Superseded()
	for _, r := range w.Pack.Case.Readings {
		n, at := w.Pack.Net.Node(r.Red)
		_, chassis := topology.ChassisRef(r.Black)
		_, gone := old[r.ID]
		if at && n == node && chassis && !gone && r.State == w.Pack.Case.Now && r.Quantity == fault.Volts && (r.Resistor != nil) == with && (!with || r.AcrossProbes()) {
			out, ok = r, true
		}
	}
	return out, ok
}

// state is what the first step records.
func (s Socket) state(w World) fault.State {
	id, _, _, _ := s.poles(w)
	st := states.Apply(w.Pack.Case.Layout, w.Pack.State, states.Change{Kind: states.Open, ID: id})
	st = states.Apply(w.Pack.Case.Layout, st, states.Change{Kind: states.Contactors, To: fault.Open})
	st.ID = strings.NewReplacer("+", "_pos", "-", "_neg").Replace(id) + "_socket"
	if !slices.Contains(st.Connected, InVehicle) {
		st.Connected = append(slices.Clone(st.Connected), InVehicle)
	}
	return st
}

// Blocks are the page.
func (s Socket) Blocks(w World) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "At the socket, pack in the vehicle", Bold: true}}
	if len(disconnects(w)) == 0 {
		return append(b, sheet.Block{Kind: sheet.Para, Text: "This layout has no disconnect: the path begins at the two poles of one that is open. Draw it in the layout first."})
	}
	if _, _, _, ok := s.poles(w); !ok {
		return append(b, sheet.Block{Kind: sheet.Doubt, Text: "The disconnect has an end that is on no string: see the layout's problems."})
	}
	if s.asked {
		return append(b, s.preview(w)...)
	}
	b = append(b, sheet.Block{Kind: sheet.Para, Text: "With the contactors open and the disconnect out, each pole of its socket read to chassis, plain and with the test resistor, gives that half's resistance and how many volts from the pole the leak lies."})
	begun := slices.ContainsFunc(s.steps(w)[1:], func(st step) bool { return st.done })
	if !begun {
		b = append(b, s.cautions(w)...)
	}
	b = append(b, s.halves(w)...)
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "Steps"})
	for i, st := range s.steps(w) {
		mark := ""
		if st.done {
			mark = "Done: "
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: st.id, Text: st.text, Value: mark + st.value, On: i == s.at})
	}
	if len(disconnects(w)) > 1 {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: lineID + "link", Text: "Another disconnect", Value: "This layout has several."})
	}
	if begun { // they stood on top before the first reading
		b = append(b, s.cautions(w)...)
	}
	if s.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "Not recorded: " + sentence(s.failed)})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a step, Enter does it and comes back here, Esc leaves. Any step can be done at any time."})
}

// cautions are those of the place.
func (s Socket) cautions(w World) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Before the socket is probed"}}
	for _, t := range []string{
		"Shrouded adaptors that fit the socket; no bare probes in a finger-proof socket.",
		"A written procedure of your own for it, and persons authorised for this work under local rules. The maker's instructions and your site rules come first.",
		liveWords(w),
		"The pole on the other side is another half: its volts belong to it alone, and between the two poles can stand volts that neither reading shows.",
	} {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: t})
	}
	return b
}

// liveWords say what stays live, by the cells.
func liveWords(w World) string {
	text := ""
	for i := range w.Pack.Sections {
		s := &w.Pack.Sections[i]
		v := words.Volts(s.Volts)
		switch {
		case math.IsNaN(s.Volts):
			v = "volts not known"
		case s.Rough:
			v = "about " + v
		}
		if i > 0 {
			text += ", "
		}
		text += v + " from " + s.From + " to " + s.To
	}
	if text == "" {
		return "What is live is not known; treat all as live. Modules cannot be switched off."
	}
	return "The inside stays live: " + text + ", expected, not measured. Modules cannot be switched off."
}

// preview is the second look before the state is recorded.
func (s Socket) preview(w World) []sheet.Block {
	then := w.Pack.Case
	st := s.state(w)
	then.States, then.Now = append(slices.Clone(then.States), st), st.ID
	next := World{Pack: pack(then), Form: w.Form}
	b := []sheet.Block{{Kind: sheet.Para, Text: "Nothing is recorded yet. Record it when it has been done; the program cannot see the metal."},
		{Kind: sheet.Title, Text: "Recorded then"},
		{Kind: sheet.Para, Text: next.Pack.StateLine()},
		{Kind: sheet.Soft, Text: "That the vehicle body is connected stands for the pack being mounted in it."},
		{Kind: sheet.Title, Text: "Live then"},
		{Kind: sheet.Caution, Text: liveWords(next)},
		{Kind: sheet.Action, ID: lineID + "back", Text: "Back, record nothing"}}
	if s.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "Not recorded: " + sentence(s.failed)})
	}
	return b
}

// Failed says why the state could not be recorded.
func (s Socket) Failed(why string) Guide { s.failed = why; return s }

// Move goes to another step.
func (s Socket) Move(w World, by int) Guide {
	if !s.asked {
		s.cursor = s.moved(by, len(s.steps(w)))
	}
	return s
}

// Turn takes another disconnect.
func (s Socket) Turn(w World, by int) Guide {
	if n := len(disconnects(w)); n > 1 && !s.asked {
		s.link = turn(s.link, by, n)
	}
	return s
}

// Type takes nothing.
func (s Socket) Type(rune) (Guide, bool) { return s, false }

// Back records nothing.
func (s Socket) Back() Guide { s.asked, s.failed = false, ""; return s }

// Pick does a step.
func (s Socket) Pick(w World, id string) (Guide, Act) {
	switch id {
	case lineID + "back":
		return s.Back(), Act{}
	case lineID + "link":
		return s.Turn(w, 1), Act{}
	}
	for i, st := range s.steps(w) {
		if st.id == id {
			s.at = i
			return s.do(w, st)
		}
	}
	return s, Act{}
}

// do leads into a step.
func (s Socket) do(w World, st step) (Guide, Act) {
	if st.id == lineID+"state" {
		s.asked, s.failed = true, ""
		return s, Act{}
	}
	return s, Act{Kind: Enter, Form: s.form(w, st)}
}

// form is the entry of a step, with its leads and resistor filled in.
func (s Socket) form(w World, st step) entry.Form {
	f := entry.Begin(w.Pack, "node:"+st.pole.ref, w.Form)
	f.Kind = entry.ToChassis
	if st.with {
		f.Kind = entry.WithResistor
	}
	f.Raw, f.Corrects, f.Why = "", "", ""
	return f
}

// Primary is the next step that is not done.
func (s Socket) Primary(w World) (string, Act) {
	steps := s.steps(w)
	if s.asked {
		return "Record this state", Act{Kind: RecordState, State: s.state(w)}
	}
	if len(steps) == 0 {
		return "Back", Act{Kind: Open, Guide: ListAt(s)}
	}
	st := steps[turn(s.at, 0, len(steps))]
	if !slices.ContainsFunc(steps, func(x step) bool { return !x.done }) && st.done {
		return "Show the finding", Act{Kind: Finding}
	}
	g, a := s.do(w, st)
	switch {
	case st.id == lineID+"state":
		return "Show what would be recorded", Act{Kind: Again, Guide: g}
	case st.with:
		return "Read " + st.pole.ref + " with the resistor", a
	}
	return "Read " + st.pole.ref + " to chassis", a
}

// Asked says that the state is shown and not recorded yet.
func (s Socket) Asked() bool { return s.asked }
