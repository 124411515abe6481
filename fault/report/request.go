package report

import (
	"fmt"
	"slices"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/topology"
)

// A Paper is a size of paper.
type Paper string

// The papers.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// size is the paper upright, in mm.
func (p Paper) size() (w, h float64) {
	if p == Letter {
		return 215.9, 279.4
	}
	return 210, 297
}

// ParsePaper tells a paper by its name.
func ParsePaper(s string) (Paper, error) {
	if p := Paper(s); p == A4 || p == Letter {
		return p, nil
	}
	return "", fmt.Errorf("%q is no paper: there are a4 and letter", s)
}

// Orders are the orders that a sheet can have: those that are the same whatever has
// been read since.
var Orders = []series.Order{series.Electrical, series.Snake, series.Reverse, series.OneStack}

// A Request is what a person asks to be printed.
type Request struct {
	Paper      Paper // "" = A4
	Kind       series.Kind
	Order      series.Order // one of Orders; "" = electrical
	Stack      string       // of the order of one stack
	State      string       // id; "" = the present state
	Chassis    string       // reference for the black lead; "" = chassis
	Resistor   string       // id of the test resistor in place at every reading; "" = none
	Instrument string       // id; "" = left to be written
	Expected   bool         // print what is expected, marked as such

	Finding *fault.Finding // what potentials to chassis are expected by; nil = none are
	Head    string         // head of the event log; "" = not told
	At      time.Time      // of printing; zero = not told
}

// A Box is one value to be written.
type Box struct {
	series.Point
	Expected string // in words; "" = none is worked out
}

// A Sheet is a bench sheet before it is drawn.
type Sheet struct {
	Request
	Number string // as it is printed: digits in groups
	Title  string
	Boxes  []Box

	c     fault.Case
	net   *topology.Net
	state fault.State
	known bool // the state is recorded
	cells cells
	seen  *topology.Joined
	above []float64 // V by node, over its section's negative end; NaN = in none, or not known
}

// New makes a sheet. Its error says in plain words what the case does not have.
func New(c fault.Case, r Request) (*Sheet, error) {
	net, _ := topology.Compile(c.Layout)
	if err := r.complete(&c, net); err != nil {
		return nil, err
	}
	s := &Sheet{Request: r, Title: c.Title, c: c, net: net}
	s.state, s.known = c.State(r.State)
	s.seen = net.In(s.state.Setting())
	s.cells = cellsOf(&c, net, r.State)
	s.above = potentials(s.seen, s.cells.volts)
	points := r.points(net, s.state)
	s.Number = number(&c, s.state, r, points)
	for _, p := range points {
		b := Box{Point: p}
		if r.Expected {
			b.Expected = s.expected(p)
		}
		s.Boxes = append(s.Boxes, b)
	}
	return s, nil
}

// complete fills in what was left out and refuses what the case lacks.
func (r *Request) complete(c *fault.Case, net *topology.Net) error {
	if r.Paper == "" {
		r.Paper = A4
	}
	if r.Order == "" {
		r.Order = series.Electrical
	}
	if r.State == "" {
		r.State = c.Now
	}
	if !slices.Contains(series.Kinds, r.Kind) {
		return fmt.Errorf("%q is no kind of series", r.Kind)
	}
	if !slices.Contains(Orders, r.Order) {
		return fmt.Errorf("a sheet cannot have the order %q: which boxes it has must not change with what is read after it was printed", r.Order)
	}
	if r.Order == series.OneStack && !slices.ContainsFunc(net.Layout.Stacks, func(s topology.Stack) bool { return s.ID == r.Stack }) {
		return fmt.Errorf("the layout has no stack %q", r.Stack)
	}
	if _, ok := c.State(r.State); !ok && r.State != "" {
		return fmt.Errorf("the case has no state %q", r.State)
	}
	if piece, ok := topology.ChassisRef(r.Chassis); r.Chassis != "" && (!ok || piece != "" && !slices.ContainsFunc(net.Layout.Chassis, func(p topology.ChassisPiece) bool { return p.ID == piece })) {
		return fmt.Errorf("%q is no chassis point of this layout", r.Chassis)
	}
	if r.Chassis == "chassis" {
		r.Chassis = ""
	}
	if _, ok := c.Resistor(r.Resistor); !ok && r.Resistor != "" {
		return fmt.Errorf("the case has no test resistor %q", r.Resistor)
	}
	if r.Resistor != "" && r.Kind != series.ToChassis {
		return fmt.Errorf("a test resistor goes from a terminal to chassis: it has no place in a run of %s", r.Kind)
	}
	if _, ok := c.Instrument(r.Instrument); !ok && r.Instrument != "" {
		return fmt.Errorf("the case has no instrument %q", r.Instrument)
	}
	return nil
}

// points are the boxes' points: of the series those that the state has. A module
// that is recorded removed is not there to be read, and an open link has no joint.
func (r Request) points(net *topology.Net, s fault.State) []series.Point {
	all := series.Points(net, r.Kind, r.Order, series.Options{Stack: r.Stack, Chassis: r.Chassis})
	return Present(net, s, all)
}

// Present leaves the points that a state has, in their order.
func Present(net *topology.Net, s fault.State, points []series.Point) []series.Point {
	gone := func(ref string) bool {
		n, ok := net.Node(ref)
		if !ok {
			return false
		}
		m, _, ok := net.ModuleAt(n)
		return ok && slices.Contains(s.Removed, net.Layout.Modules[m].ID)
	}
	var out []series.Point
	for _, p := range points {
		if gone(p.Red) || gone(p.Black) || p.Link != "" && isOpen(net, s, p.Link) {
			continue
		}
		out = append(out, p)
	}
	return out
}

// isOpen says that a link is open by the state's record: contactors that were not
// recorded are taken as open.
func isOpen(net *topology.Net, s fault.State, link string) bool {
	l, ok := net.Link(link)
	return slices.Contains(s.Open, link) || ok && net.Layout.Links[l].Kind == topology.Contactor && s.Contactors != fault.Closed
}
