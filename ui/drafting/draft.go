// Package drafting is the table on which a pack is drawn: modules and stacks are
// put down, moved and turned over a photo of the open pack, terminals are joined
// one press after another, and what is chosen shows its fields beside the drawing.
//
// A Draft is the layout on the table with what is chosen and in hand; it knows no
// widget. Every edit is made by package topology/edit and kept by a store before it
// is shown, so that a table that is knocked over loses nothing. What a drawing
// means electrically is topology's business; nothing here measures or computes.
package drafting

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/facts"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
)

// A Tool is what a press on the drawing does.
type Tool uint8

// The tools.
const (
	Choosing  Tool = iota // a press chooses, a drag moves what is chosen
	Linking               // two terminals, one after the other, are joined
	Sketching             // a drag leaves a line
	Erasing               // a press takes the nearest line of the sketch away
	Squaring              // four presses on a photo: the corners of something that is a rectangle
	Measuring             // two presses on a photo whose distance is known
	Outlining             // a drag draws the outline of a new module
)

// A Draft is a layout on the table.
type Draft struct {
	Layout   topology.Layout
	Net      *topology.Net
	Problems []topology.Problem
	Path     map[string]edit.Step // a module's place along its string; none = joined to nothing

	Tool     Tool
	Several  bool           // a press adds to what is chosen, or takes it away
	Chosen   edit.Selection // in the order in which it was chosen
	Cursor   string         // id that the keyboard is on; "" = none
	Node     string         // terminal that the keyboard is on, while linking
	LinkKind string         // of the next link
	From     string         // terminal at which a link begins; "" = not yet chosen
	Photo    string         // id of the photo that is being squared or measured
	Marks    []mgl64.Vec2   // what was pressed on it, in mm

	Snap   bool
	Step   float64 // mm that a key moves by, and the grid
	Below  bool    // drawn as it is seen from the other side
	Tier   int     // the tier that is worked on
	Alone  bool    // only that tier is drawn
	Photos bool    // photos are shown
	Lines  bool    // the sketch is shown
	Others bool    // boards, chassis pieces and mechanical parts are shown

	kinds   map[string]edit.Kind
	pack    *facts.Pack
	plan    *plan.Drawing
	numbers map[string]int  // modules along their strings, from 1; none = joined to nothing
	used    map[string]bool // terminals that some link ends at
	cross   *mgl64.Vec2     // where keys press, in mm of the drawing; nil = not moved yet
	hand    gesture

	AsItWas string // says that this is a version as it was, which nothing changes; "" = the drawing as it stands

	preview []edit.Place // of a row that would be put down
}

// NewDraft puts a layout on the table.
func NewDraft(l topology.Layout) *Draft {
	d := &Draft{Snap: true, Step: 10, LinkKind: topology.Busbar, Photos: true, Lines: true, Others: true}
	d.Set(l)
	return d
}

// Set shows another layout, or the same after an edit. What is chosen stays chosen
// where it is still there.
func (d *Draft) Set(l topology.Layout) {
	d.Layout = l
	d.kinds = edit.Kinds(l)
	there := func(id string) bool { return d.kinds[id] != "" }
	d.Chosen = slices.DeleteFunc(d.Chosen, func(id string) bool { return !there(id) })
	if !there(d.Cursor) {
		d.Cursor = ""
	}
	if !there(d.Photo) {
		d.Photo, d.Marks = "", nil
	}
	d.hand, d.preview = gesture{}, nil
	d.draw()
	for _, node := range []*string{&d.From, &d.Node} {
		if _, ok := d.Net.Node(*node); !ok {
			*node = ""
		}
	}
}

// draw works the drawing out. Seen from the other side it is that of the mirrored
// layout; the layout itself stays as it is.
func (d *Draft) draw() {
	shown := d.Layout
	if d.Below {
		shown = edit.Flipped(shown)
	}
	// As built: nothing of it is open, and no state is on record.
	built := fault.State{ID: "drawn", Contactors: fault.Closed}
	d.pack = facts.New(fault.Case{Layout: shown, Now: built.ID, States: []fault.State{built}}, facts.Result{})
	d.Net, d.Problems = d.pack.Net, d.pack.Problems
	d.Path = edit.PathOf(d.Net)
	d.numbers, d.used = make(map[string]int, len(d.Path)), make(map[string]bool, 2*len(d.Layout.Links))
	for id, s := range d.Path {
		d.numbers[id] = s.Number
	}
	for _, k := range d.Layout.Links {
		d.used[k.From], d.used[k.To] = true, true
	}
	d.plan = plan.New(d.pack, plan.NewDrawn(d.pack.Net))
	d.plan.ShowFittings(d.Others)
	d.plan.Mirrored(d.Below)
}

// Kind is the kind of an id; "" where there is none.
func (d *Draft) Kind(id string) edit.Kind { return d.kinds[id] }

// Flip shows the pack from the other side, or as it was drawn.
func (d *Draft) Flip() {
	d.Below = !d.Below
	d.hand = gesture{}
	d.draw()
}

// Seen is how the pack is seen now, in words.
func (d *Draft) Seen() string {
	if from := d.pack.Case.Layout.SeenFrom; from != "" {
		return "Seen from " + from
	}
	if d.Below {
		return "Mirrored; seen from: not recorded"
	}
	return "Seen from: not recorded"
}

// toLayout is a point of the drawing in the layout's own mm.
func (d *Draft) toLayout(at mgl64.Vec2) mgl64.Vec2 {
	if d.Below {
		at[0] = -at[0]
	}
	return at
}

// fromLayout is the inverse of toLayout; the mirror is its own.
func (d *Draft) fromLayout(at mgl64.Vec2) mgl64.Vec2 { return d.toLayout(at) }

// Choose chooses one thing, or in several adds it or takes it away; "" chooses
// nothing.
func (d *Draft) Choose(id string, several bool) {
	d.Cursor = id
	switch {
	case id == "" && several:
	case id == "":
		d.Chosen = nil
	case !several:
		d.Chosen = edit.Selection{id}
	case slices.Contains(d.Chosen, id):
		d.Chosen = slices.DeleteFunc(slices.Clone(d.Chosen), func(s string) bool { return s == id })
	default:
		d.Chosen = append(slices.Clone(d.Chosen), id)
	}
}

// Has says that something is chosen.
func (d *Draft) Has(id string) bool { return slices.Contains(d.Chosen, id) }

// ChooseAll chooses every module of the tier that is drawn.
func (d *Draft) ChooseAll() {
	d.Chosen = nil
	for _, m := range d.Layout.Modules {
		if d.onTier(m) {
			d.Chosen = append(d.Chosen, m.ID)
		}
	}
}

// onTier says that a module can be seen and chosen: all can unless one tier is
// shown alone.
func (d *Draft) onTier(m topology.Module) bool { return !d.Alone || d.tierOf(m.Stack) == d.Tier }

func (d *Draft) tierOf(stack string) int {
	for _, s := range d.Layout.Stacks {
		if s.ID == stack {
			return s.Tier
		}
	}
	return 0
}

// Tiers are those that the layout has, the lowest first; 0 is always one.
func (d *Draft) Tiers() []int {
	all := d.Layout.Tiers()
	if !slices.Contains(all, 0) {
		all = append(all, 0)
		slices.Sort(all)
	}
	return all
}

// InBox chooses the modules whose middle lies in a rectangle of the drawing, along
// with those that are chosen already.
func (d *Draft) InBox(r scene.Rect) (n int) {
	for i, o := range d.plan.Geo.Modules {
		m := d.Layout.Modules[i]
		if d.onTier(m) && r.Holds(o.Center) {
			n++
			if !d.Has(m.ID) {
				d.Chosen = append(d.Chosen, m.ID)
			}
		}
	}
	return n
}

// walk are the ids that the keyboard steps through: modules in the order in which
// one reads them, then links, photos, and what else has an id.
func (d *Draft) walk() (ids []string) {
	for _, i := range d.reading() {
		if m := d.Layout.Modules[i]; d.onTier(m) {
			ids = append(ids, m.ID)
		}
	}
	for _, k := range d.Layout.Links {
		ids = append(ids, k.ID)
	}
	for _, u := range d.Layout.Underlays {
		ids = append(ids, u.ID)
	}
	if d.Others {
		for _, k := range []edit.Kind{edit.BoardKind, edit.ChassisKind, edit.BondKind, edit.PartKind} {
			ids = append(ids, edit.IDsOf(d.Layout, k)...)
		}
	}
	return ids
}

// reading is the order in which a person reads the modules off the drawing: row by
// row, each from left to right.
func (d *Draft) reading() []int {
	order := make([]int, len(d.plan.Geo.Modules))
	for i := range order {
		order[i] = i
	}
	high := 0.6*d.plan.Geo.Size + 1
	row := func(i int) float64 { return math.Round(d.plan.Geo.Modules[i].Center.Y() / high) }
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(row(a), row(b)), cmp.Compare(d.plan.Geo.Modules[a].Center.X(), d.plan.Geo.Modules[b].Center.X()))
	})
	return order
}

// StepTo moves the keyboard by so many things.
func (d *Draft) StepTo(by int) {
	ids := d.walk()
	if len(ids) == 0 {
		return
	}
	at := slices.Index(ids, d.Cursor)
	switch {
	case at < 0 && by < 0:
		at = len(ids) - 1
	case at < 0:
		at = 0
	default:
		at = ((at+by)%len(ids) + len(ids)) % len(ids)
	}
	d.Cursor = ids[at]
	if !d.Several {
		d.Chosen = edit.Selection{d.Cursor}
	}
}

// idOf is the id of a target of the drawing, and the terminal if it is one.
func idOf(target string) (id, node string) {
	kind, name, ok := strings.Cut(target, ":")
	switch {
	case !ok:
		return "", ""
	case kind == "node":
		return "", name
	}
	return name, ""
}

// targetKinds begin the targets of what can be chosen on the drawing.
var targetKinds = map[edit.Kind]string{edit.ModuleKind: "module:", edit.LinkKind: "link:", edit.BoardKind: "board:",
	edit.ChassisKind: "chassis:", edit.BondKind: "bond:", edit.PartKind: "part:"}

// targets are the chosen ids as targets of the drawing.
func (d *Draft) targets() (out []string) {
	for _, id := range d.Chosen {
		if kind := targetKinds[d.kinds[id]]; kind != "" {
			out = append(out, kind+id)
		}
	}
	return out
}
