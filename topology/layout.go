// Package topology is the pack as it was built: stacks, modules, groups, links,
// boards, chassis pieces, and the graph work on them. Compile turns a Layout into
// a Net; a Net answers which nodes exist, which of them are joined in a given
// Setting, where each lies along its string and what potential it has.
//
// It is pure data and graph work. It knows nothing of readings, repairs, leaks,
// files or windows, and imports no other package of this program. Volts are
// volts, lengths millimetres, angles degrees clockwise, times minutes.
package topology

import (
	"encoding/json"
	"slices"
)

// Extra keeps the fields of an object that this version does not know, so that
// they are written back as they came.
type Extra map[string]json.RawMessage

// A Layout describes a pack so that it can be used for more than one repair.
// It may be partial: what is joined works as sections.
type Layout struct {
	Name         string
	SeenFrom     string  // "above" or "below": how x and y were drawn
	Front        string  // the way the vehicle's front lies as drawn: "up", "down", "left" or "right"; "" = not recorded
	WorkingVolts float64 // V, highest in service; 0 = not given
	NominalVolts float64 // V; 0 = not given
	Stacks       []Stack
	Modules      []Module
	Links        []Link
	Boards       []Board
	Monitor      *Monitor
	Chassis      []ChassisPiece
	Bonds        []Bond
	Parts        []Part
	Underlays    []Underlay
	Sketch       []Stroke
	Proof        *NumberingProof // of the numbers; nil = nobody wrote one
	OrderVolts   *OrderVolts     // of one pack; nil = none were measured
	Extra        Extra
}

// Tiers are those that the layout's stacks lie on, each once, the lowest first.
func (l Layout) Tiers() (all []int) {
	for _, s := range l.Stacks {
		if !slices.Contains(all, s.Tier) {
			all = append(all, s.Tier)
		}
	}
	slices.Sort(all)
	return all
}

// A Stack is a set of modules held together. X, Y is its origin in the pack,
// Angle turns its frame clockwise about that origin.
type Stack struct {
	ID    string
	X, Y  float64 // mm
	Tier  int     // 0 is the lowest
	Angle float64 // degrees clockwise
	Extra Extra
}

// A Module is Series groups of Parallel cells each. X, Y is the top-left corner
// of its unrotated outline in its stack's frame.
type Module struct {
	ID           string
	Stack        string
	Series       int
	Parallel     int
	X, Y, W, H   float64 // mm
	Angle        float64 // degrees clockwise about its own centre
	Minus        string  // "left", "right", "top" or "bottom": the end that is negative
	Label        string  // the maker's
	MonitorIndex []int   // first and last cell index in the monitor's list; nil = not known
	Chemistry    string
	CellAh       float64 // Ah of one cell; 0 = not given
	MassKg       float64 // kg; 0 = not given
	Extra        Extra
}

// Link kinds.
const (
	Busbar     = "busbar"
	Cable      = "cable"
	Disconnect = "disconnect"
	Fuse       = "fuse"
	Contactor  = "contactor"
	Sensor     = "sensor"
)

// LinkKinds lists every kind of link, in the order in which they are offered.
var LinkKinds = []string{Busbar, Cable, Disconnect, Fuse, Contactor, Sensor}

// A Link is a removable conductor between two nodes, closed unless a Setting
// opens it.
type Link struct {
	ID       string
	Kind     string
	From, To string   // node references
	Minutes  *float64 // to open it, access included; nil = not known

	Fasteners    string   // in words, such as "2 x M8"; "" = not recorded
	TorqueNm     *float64 // N·m; nil = not known
	TorqueSource string   // where that figure is from; "" = not recorded

	Extra Extra
}

// A Board is a cell-monitoring board and its sense leads.
type Board struct {
	ID      string
	Taps    []string
	Minutes *float64 // to unplug it, access included; nil = not known
	Extra   Extra
}

// A Monitor is the insulation monitor's connection, where it is known.
type Monitor struct {
	From  []string // nodes
	To    string   // a chassis reference
	Ohms  *float64 // from each node to To; nil = not known
	Extra Extra
}

// A ChassisPiece is one piece of reference metal.
type ChassisPiece struct {
	ID    string
	Extra Extra
}

// A Bond joins two chassis pieces.
type Bond struct {
	ID       string
	From, To string   // chassis piece ids
	Ohms     *float64 // nil = not measured
	Extra    Extra
}

// A Part is something mechanical that covers or holds other things.
type Part struct {
	ID      string
	Kind    string
	Over    []string // ids of what lies under it
	Holds   []string // ids of what it holds in place, without covering it
	Minutes *float64
	People  *int
	MassKg  float64
	Extra   Extra
}

// An Underlay is a photo that lies under the drawing of one tier. Corners are
// four places of the photo, in its pixels, clockwise from the one that becomes the
// top left; they come to lie on the corners of the rectangle X, Y, W, H, which is
// turned by Angle about its own centre. A photo that was not straightened has its
// own corners here.
type Underlay struct {
	ID         string
	Photo      string // SHA-256 of the photo's bytes in hex, by which a casebook keeps it
	Name       string // of the file that it came from
	Tier       int
	Corners    [4][2]float64 // pixels of the photo
	X, Y, W, H float64       // mm
	Angle      float64       // degrees clockwise
	Opacity    float64       // 0 to 1
	Locked     bool          // stays where it is
	Extra      Extra
}

// A Stroke is a freehand line of the sketch, which nothing interprets.
type Stroke struct {
	Tier   int
	Points [][2]float64 // mm
	Extra  Extra
}

// A Setting is the part of a state that changes the circuit.
type Setting struct {
	Open             []string // links
	Removed          []string // modules
	ContactorsClosed bool     // moves every link of kind contactor; Open overrides
}

// A Problem is something about a layout that the person should look at, in
// plain words, with the id of the thing to go to.
type Problem struct {
	Kind string // one of the Problem kinds
	GoTo string // id of a module, link, board or part, or of whatever else shares it
	Text string
}
