package report

import (
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// An outline is a module as it lies, in mm of the pack.
type outline struct {
	corners      [4]mgl64.Vec2
	center       mgl64.Vec2
	axis, across mgl64.Vec2 // unit; axis runs from the minus to the plus end
	long, deep   float64    // along and across the axis
}

// along is a point of the outline: u from the minus end to the plus end, w across,
// both from 0 to 1.
func (o outline) along(u, w float64) mgl64.Vec2 {
	return o.center.Add(o.axis.Mul((u - 0.5) * o.long)).Add(o.across.Mul((w - 0.5) * o.deep))
}

// ends are the directions from minus to plus in a module's own frame.
var ends = map[string]mgl64.Vec2{"left": {1, 0}, "right": {-1, 0}, "top": {0, 1}, "bottom": {0, -1}}

// holds says that a point lies on the module.
func (o outline) holds(p mgl64.Vec2) bool {
	d := p.Sub(o.center)
	return math.Abs(d.Dot(o.axis)) <= o.long/2 && math.Abs(d.Dot(o.across)) <= o.deep/2
}

func turn(degrees float64) mgl64.Mat3 { return mgl64.HomogRotate2D(degrees * math.Pi / 180) }

// place turns a module about its own centre and then with its stack.
func place(m topology.Module, s topology.Stack) outline {
	frame := mgl64.Translate2D(s.X, s.Y).Mul3(turn(s.Angle)).Mul3(mgl64.Translate2D(m.X+m.W/2, m.Y+m.H/2)).Mul3(turn(m.Angle))
	to := func(x, y, w float64) mgl64.Vec2 { return frame.Mul3x1(mgl64.Vec3{x, y, w}).Vec2() }
	axis, ok := ends[m.Minus]
	if !ok {
		axis = ends["left"]
	}
	o := outline{center: to(0, 0, 1), axis: to(axis[0], axis[1], 0), across: to(-axis[1], axis[0], 0), long: m.W, deep: m.H}
	if axis[0] == 0 {
		o.long, o.deep = m.H, m.W
	}
	for i, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		o.corners[i] = to(c[0]*m.W/2, c[1]*m.H/2, 1)
	}
	return o
}

// A lay is where everything of a layout lies on its drawing.
type lay struct {
	modules   []outline
	tiers     []tier
	schematic bool // the layout gives no outlines: shown in string order
	min, max  mgl64.Vec2
}

// A tier that is drawn apart from others, with the place of its name.
type tier struct {
	number int
	at     mgl64.Vec2
}

// layOut places every module. Tiers are drawn apart, the highest on top of the
// paper, since one would hide the other. Where outlines are lacking, the modules are
// laid in rows in string order.
func layOut(n *topology.Net) lay {
	l := lay{schematic: slices.ContainsFunc(n.Layout.Modules, func(m topology.Module) bool { return m.W <= 0 || m.H <= 0 })}
	if l.schematic {
		l.modules = rows(n)
	} else {
		l.modules = l.drawn(n)
	}
	l.min, l.max = bounds(l.modules)
	return l
}

func (l *lay) drawn(n *topology.Net) []outline {
	stacks := map[string]topology.Stack{}
	for _, s := range n.Layout.Stacks {
		stacks[s.ID] = s
	}
	byTier := map[int][]int{}
	all := make([]outline, len(n.Layout.Modules))
	for i, m := range n.Layout.Modules {
		all[i] = place(m, stacks[m.Stack])
		t := stacks[m.Stack].Tier
		byTier[t] = append(byTier[t], i)
	}
	if len(byTier) < 2 {
		return all
	}
	var numbers []int
	for t := range byTier {
		numbers = append(numbers, t)
	}
	slices.Sort(numbers)
	slices.Reverse(numbers)
	y := 0.0
	for _, t := range numbers {
		var own []outline
		for _, i := range byTier[t] {
			own = append(own, all[i])
		}
		low, high := bounds(own)
		gap := 0.12 * (high[1] - low[1])
		y += gap
		for _, i := range byTier[t] {
			all[i] = all[i].moved(mgl64.Vec2{0, y - low[1]})
		}
		l.tiers = append(l.tiers, tier{t, mgl64.Vec2{low[0], y - gap/3}})
		y += high[1] - low[1] + gap
	}
	return all
}

func (o outline) moved(d mgl64.Vec2) outline {
	o.center = o.center.Add(d)
	for i := range o.corners {
		o.corners[i] = o.corners[i].Add(d)
	}
	return o
}

// rows lays the modules out as a snake in string order.
func rows(n *topology.Net) []outline {
	const w, h, gapX, gapY = 300.0, 150.0, 60.0, 70.0
	all := make([]outline, len(n.Layout.Modules))
	wide := int(math.Max(2, math.Ceil(math.Sqrt(float64(len(all))*0.8))))
	line := 0
	for _, s := range n.Strings {
		for i, m := range s.Modules {
			col, minus := i%wide, "left"
			if (i/wide)%2 == 1 {
				col, minus = wide-1-col, "right"
			}
			all[m] = place(topology.Module{X: float64(col) * (w + gapX), Y: float64(line+i/wide) * (h + gapY), W: w, H: h, Minus: minus}, topology.Stack{})
		}
		line += (len(s.Modules) + wide - 1) / wide
	}
	return all
}

func bounds(all []outline) (low, high mgl64.Vec2) {
	low, high = mgl64.Vec2{math.Inf(1), math.Inf(1)}, mgl64.Vec2{math.Inf(-1), math.Inf(-1)}
	for _, o := range all {
		for _, c := range o.corners {
			for k := range c {
				low[k], high[k] = math.Min(low[k], c[k]), math.Max(high[k], c[k])
			}
		}
	}
	return low, high
}
