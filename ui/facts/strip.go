package facts

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/words"
)

// StateLine says in words what is recorded of the present state.
func (p *Pack) StateLine() string {
	if p.real != nil {
		return p.real.StateLine()
	}
	if len(p.Net.Layout.Modules) == 0 {
		return "State: no modules drawn."
	}
	if !p.Known {
		return "State: not known."
	}
	s := p.State
	parts := []string{}
	add := func(what string, ids []string) {
		if len(ids) > 0 {
			parts = append(parts, strings.Join(ids, ", ")+" "+what)
		}
	}
	add("open", s.Open)
	if s.Boards == fault.BoardsOut {
		parts = append(parts, "all boards unplugged or none fitted")
	} else {
		add("unplugged", s.Unplugged)
	}
	add("removed", s.Removed)
	add("connected", s.Connected)
	parts = append(parts, recorded("contactors", s.Contactors), recorded("monitor", s.Monitor))
	parts = append(parts, s.Conditions()...)
	return "Recorded: " + strings.Join(parts, ", ") + "."
}

func recorded(what, word string) string {
	if word == "" {
		return what + " not recorded"
	}
	return what + " " + word
}

// unknownLive is what LIVE says when the layout or the state leaves it open.
const unknownLive = "Live: not known; treat all as live."

// cannotSwitchOff stands beside LIVE at all times.
const cannotSwitchOff = "Modules cannot be switched off."

// LiveLine says what is live in the present state: each section's volts, and
// the largest voltage between exposed points where the finding gives it.
func (p *Pack) LiveLine() string {
	if p.real != nil {
		return p.real.LiveLine()
	}
	if !p.Known || p.partial() || len(p.Sections) == 0 {
		return unknownLive + " " + cannotSwitchOff
	}
	const most = 4
	var parts []string
	low, high := math.Inf(1), math.Inf(-1)
	for i := range p.Sections {
		s := &p.Sections[i]
		low, high = math.Min(low, s.Volts), math.Max(high, s.Volts)
		parts = append(parts, s.From+"…"+s.To+" "+s.voltsWords())
	}
	list := strings.Join(parts, "; ")
	if len(parts) > most {
		list = fmt.Sprintf("%d sections of %s to %s", len(parts), words.Volts(low), words.Volts(high))
		if math.IsNaN(low) || math.IsNaN(high) {
			list = fmt.Sprintf("%d sections, volts not known", len(parts))
		}
	}
	line := "Live, expected not measured: " + list
	if v, ok := p.LargestVolts(); ok {
		line += "; up to " + words.Volts(v) + " between exposed points"
	}
	if p.State.Contactors == "" {
		line += "; contactors not recorded: treat the outer terminals as live"
	}
	return line + ". " + cannotSwitchOff
}

func (s *Section) voltsWords() string {
	switch {
	case math.IsNaN(s.Volts):
		return "volts not known"
	case s.Rough:
		return "about " + words.Volts(s.Volts) + " (nominal)"
	}
	return words.Volts(s.Volts)
}

// partial says that the layout leaves open what is joined to what.
func (p *Pack) partial() bool {
	for _, pr := range p.Problems {
		if !harmless[pr.Kind] {
			return true
		}
	}
	return false
}

// harmless are the kinds of problem that do not change what is live.
var harmless = map[string]bool{
	topology.DuplicateLabel: true, topology.MonitorIndex: true, topology.UnknownTap: true, topology.UnknownID: true,
	topology.CoverCycle: true, topology.SameConductor: true, topology.Unequal: true,
}

// LargestVolts is the largest voltage between any two points of the string,
// each section floating about its own chassis potential, at the bad ends of the
// intervals. ok is false where a section's chassis potential is not known, and
// where there is but one section: its own volts are the largest then. Two
// passes find the highest top and the lowest bottom of different sections.
func (p *Pack) LargestVolts() (v float64, ok bool) {
	if p.real != nil {
		return p.real.LargestVolts()
	}
	if len(p.Sections) < 2 {
		return 0, false
	}
	tops, bottoms := make([]float64, len(p.Sections)), make([]float64, len(p.Sections))
	for i := range p.Sections {
		s := &p.Sections[i]
		u, known := s.ChassisAt()
		if !known || math.IsNaN(s.Volts) {
			return 0, false
		}
		tops[i], bottoms[i] = s.Volts-lowest(u), highest(u)
		v = math.Max(v, s.Volts)
	}
	first, second := topTwo(bottoms)
	for i, top := range tops {
		other := first
		if i == first {
			other = second
		}
		v = math.Max(v, top+bottoms[other])
	}
	return v, true
}

// topTwo are the indexes of the largest and the second largest value.
func topTwo(v []float64) (first, second int) {
	first, second = 0, 1
	if v[1] > v[0] {
		first, second = 1, 0
	}
	for i := 2; i < len(v); i++ {
		switch {
		case v[i] > v[first]:
			first, second = i, first
		case v[i] > v[second]:
			second = i
		}
	}
	return first, second
}

func lowest(i fault.Interval) float64 {
	if math.IsNaN(float64(i.Low)) {
		return float64(i.Mid)
	}
	return float64(i.Low)
}

func highest(i fault.Interval) float64 {
	if math.IsNaN(float64(i.High)) {
		return float64(i.Mid)
	}
	return float64(i.High)
}

// verdictWords name the rungs of the ladder in plain words.
var verdictWords = map[string]string{
	fault.TooFewReadings:      "Too few readings",
	fault.Inconsistent:        "Readings do not belong together",
	fault.NotInString:         "Not in the string",
	fault.NoLeakTestProved:    "No leak seen, test proved",
	fault.NoLeakTestNotProved: "No leak seen, test not proved",
	fault.BeyondMethod:        "Out of this method's reach",
	fault.EquivalentOnly:      "Equivalent only, not a place",
	fault.Located:             "Located",
	fault.NotDistinguishable:  "Not distinguishable in this state",
	fault.Narrowed:            "Narrowed",
}

// Verdict names a finding's verdict in plain words.
func Verdict(f *fault.Finding) string {
	if w, ok := verdictWords[f.Verdict]; ok {
		return w
	}
	return f.Verdict
}

// Standing says in words how a finding that is shown stands with the case, ""
// where it belongs to it.
func (r Result) Standing() string {
	switch {
	case r.Finding == nil:
	case r.Stale:
		return "Older than the last reading"
	case r.Status == Computing:
		return "Being computed again"
	}
	return ""
}

// FindingLine is the finding in one line, or why there is none.
func (p *Pack) FindingLine() string {
	if p.real != nil {
		return p.real.FindingLine()
	}
	r := p.Result
	if r.Finding == nil {
		switch r.Status {
		case Computing:
			return "Finding: being computed."
		case Failed:
			return "Finding failed: " + r.Err
		case Cancelled:
			return "Finding: cancelled before it was ready."
		}
		return "Finding: none yet."
	}
	line := r.Finding.Statement
	if v := Verdict(r.Finding); !strings.HasPrefix(line, v) { // some statements begin with it
		line = v + ". " + line
	}
	if w := r.Standing(); w != "" {
		line = w + ": " + line
	}
	return line
}

// Problem finds what is said about a module, link or board.
func (p *Pack) Problem(id string) []topology.Problem {
	var out []topology.Problem
	for _, pr := range p.Problems {
		if pr.GoTo == id {
			out = append(out, pr)
		}
	}
	return out
}
