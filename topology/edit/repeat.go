package edit

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// A Run says what Repeat is to draw: copies of one module along a line, in rows that
// turn back at their ends like a snake. What Repeat gives is modules like any other.
type Run struct {
	Of        string  // the module that is repeated; it is the first of the run
	Copies    int     // besides it
	Angle     float64 // degrees clockwise, the way along the first row; 0 is to the right
	Gap       float64 // mm between outlines along a row
	PerRow    int     // modules of a row, the first one counted; 0 = all in one row
	RowGap    float64 // mm between rows
	RowsLeft  bool    // later rows lie to the left of the way along the first, else to its right
	OneWay    bool    // every row runs the same way, else every second one turns back
	Alternate bool    // each second module of a row is turned about
	Stem      string  // of the copies' ids; "" = as the module's
	From      int     // number of the first copy; 0 = after the module's own, taken ones left out
	Link      bool    // a busbar from each module's plus to the next one's minus
}

// Repeat draws a run, and gives the new modules' ids in order and the links'. It is
// also its own preview. An error says which figure makes no sense and why.
//
// Where terminals lie across the row, each row begins with its minus end towards the
// row before, so that the joint at the turn is short; where they lie along it, the
// modules of a row that runs back are turned about, head to tail.
func Repeat(l topology.Layout, r Run) (out topology.Layout, modules, links []string, err error) {
	i, err := r.check(l)
	if err != nil {
		return l, nil, nil, err
	}
	first := l.Modules[i]
	n := idsOf(l)
	names, err := r.names(l, n)
	if err != nil {
		return l, nil, nil, err
	}
	stack := stacksOf(l)[first.Stack]
	out = l
	out.Modules = slices.Grow(slices.Clone(l.Modules), r.Copies)
	way := r.way(PlaceOf(first, stack), first)
	for k := 1; k <= r.Copies; k++ {
		m := first
		m.ID, m.Label, m.MonitorIndex, m.Extra = names[k-1], "", nil, maps.Clone(first.Extra)
		m.Minus = way.minus(k)
		d := turned(way.at(k), -stack.Angle)
		m.X, m.Y = tidy(first.X+d.X()), tidy(first.Y+d.Y())
		if err := inReach(m.ID, m.X, m.Y); err != nil {
			return l, nil, nil, err
		}
		out.Modules = append(out.Modules, m)
	}
	if r.Link {
		if out, links, err = chain(out, n, append([]string{r.Of}, names...)); err != nil {
			return l, nil, nil, err
		}
	}
	return out, names, links, nil
}

func (r Run) check(l topology.Layout) (int, error) {
	i, err := one(l, r.Of, ModuleKind)
	if err != nil {
		return 0, err
	}
	m := l.Modules[i]
	switch {
	case r.Copies < 1 || r.Copies >= MostModules:
		return 0, fmt.Errorf("the number of copies is from 1 to %d, and not %d", MostModules-1, r.Copies)
	case r.PerRow < 0 || r.PerRow > MostModules:
		return 0, fmt.Errorf("the modules in a row are from 1 to %d, or 0 for all in one row, and not %d", MostModules, r.PerRow)
	case !finite(r.Angle):
		return 0, fmt.Errorf("the way along a row is an angle in degrees")
	case !(r.Gap >= 0 && r.Gap <= 2000) || !(r.RowGap >= 0 && r.RowGap <= 10000):
		return 0, fmt.Errorf("the gap between modules is from 0 to 2000 mm and the one between rows from 0 to 10000 mm, and not %s and %s mm", figure(r.Gap), figure(r.RowGap))
	case r.From < 0 || r.From > 1e6:
		return 0, fmt.Errorf("the number of the first copy is from 1 to a million, and not %d", r.From)
	case m.W <= 0 || m.H <= 0:
		return 0, fmt.Errorf("%s has no outline yet; give it a width and a depth before it is repeated", m.ID)
	}
	return i, room(l, r.Copies, r.Copies*m.Series)
}

// names are the ids of the copies. A number that was asked for is not passed over.
func (r Run) names(l topology.Layout, n *ids) ([]string, error) {
	stem, number, digits, _ := split(r.Of)
	if r.Stem != "" {
		if !plainWord(r.Stem) {
			return nil, fmt.Errorf("an id is a letter followed by letters, digits and _, and cannot begin with %q", r.Stem)
		}
		stem, number = r.Stem, 0
		if digits = digitsOf(l, stem, 0); digits == 0 {
			digits = max(2, len(fmt.Sprint(max(r.From, 1)+r.Copies-1)))
		}
	}
	out := make([]string, r.Copies)
	for k := range out {
		if r.From == 0 {
			out[k] = n.from(stem, number+1, digits, "", ModuleKind)
			continue
		}
		out[k] = join(stem, r.From+k, digits, "")
		if err := n.take(out[k], ModuleKind); err != nil {
			return nil, fmt.Errorf("%w; number from somewhere else, or take another letter", err)
		}
	}
	return out, nil
}

// A way is how a run goes on from its first module.
type way struct {
	r         Run
	perRow    int
	step, row mgl64.Vec2 // mm in the pack, from one to the next along a row and from row to row
	first     string     // the minus end of the first
	across    bool       // terminals lie across the row
	nearMinus string     // across: the end that lies towards the row before
}

func (r Run) way(p Place, m topology.Module) way {
	along := turned(mgl64.Vec2{1, 0}, r.Angle)
	side := mgl64.Vec2{-along.Y(), along.X()} // to the right of the way, as y points down
	if r.RowsLeft {
		side = side.Mul(-1)
	}
	x, y := turned(mgl64.Vec2{1, 0}, p.Angle), turned(mgl64.Vec2{0, 1}, p.Angle)
	wide := func(d mgl64.Vec2) float64 { return math.Abs(x.Dot(d))*p.W + math.Abs(y.Dot(d))*p.H }
	w := way{r: r, perRow: r.PerRow, first: m.Minus, step: along.Mul(wide(along) + r.Gap), row: side.Mul(wide(side) + r.RowGap)}
	if w.perRow == 0 {
		w.perRow = r.Copies + 1
	}
	if opposite[w.first] == "" {
		w.first = "left"
	}
	ends := map[string]mgl64.Vec2{"left": x.Mul(-1), "right": x, "top": y.Mul(-1), "bottom": y}
	out := ends[w.first] // which way its minus end faces
	if w.across = math.Abs(out.Dot(side)) > math.Abs(out.Dot(along)); w.across {
		if w.nearMinus = w.first; out.Dot(side) > 0 {
			w.nearMinus = opposite[w.first]
		}
	}
	return w
}

// at is how far the module at place k lies from the first, in the pack.
func (w way) at(k int) mgl64.Vec2 {
	row, col := k/w.perRow, k%w.perRow
	if w.back(row) {
		col = w.perRow - 1 - col
	}
	return w.step.Mul(float64(col)).Add(w.row.Mul(float64(row)))
}

// back says whether a row runs back.
func (w way) back(row int) bool { return row%2 == 1 && !w.r.OneWay }

// minus is the minus end of the module at place k.
func (w way) minus(k int) string {
	row, col := k/w.perRow, k%w.perRow
	end, turns := w.first, 0
	if w.r.Alternate {
		turns = col
		if w.across && row > 0 {
			end = w.nearMinus
		} else if !w.across {
			turns = k
		}
	} else if !w.across && w.back(row) {
		turns = 1
	}
	if turns%2 == 1 {
		return opposite[end]
	}
	return end
}

// chain joins modules by busbars, each one's plus to the next one's minus. A terminal
// that a link is at already is refused: the string would fork there.
func chain(l topology.Layout, n *ids, modules []string) (out topology.Layout, links []string, err error) {
	w := newWiring(l)
	out = l
	out.Links = slices.Grow(slices.Clone(l.Links), len(modules)-1)
	digits := digitsOf(l, "L", 0)
	if digits == 0 {
		digits = max(2, len(fmt.Sprint(len(modules)-1)))
	}
	for i := 1; i < len(modules); i++ {
		k := topology.Link{Kind: topology.Busbar}
		if k.From, k.To, err = w.joins(modules[i-1]+"+", modules[i]+"-"); err != nil {
			return l, nil, err
		}
		for _, end := range []string{k.From, k.To} {
			if by := w.at[end]; i == 1 && by != "" {
				return l, nil, fmt.Errorf("%s is joined by %s already; a second link there would fork the string", end, by)
			}
		}
		k.ID = n.from("L", 1, digits, "", LinkKind)
		w.add(k)
		links = append(links, k.ID)
		out.Links = append(out.Links, k)
	}
	return out, links, nil
}
