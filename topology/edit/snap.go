package edit

import (
	"cmp"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// Kinds of a Guide.
const (
	GridGuide   = "grid"
	EdgeGuide   = "edge"
	CentreGuide = "centre"
	GapGuide    = "gap"
)

// A Guide is a line of the drawing that explains why something snapped where it did.
// One of a gap runs along the gap, from one outline to the next.
type Guide struct {
	Kind     string
	Axis     Axis       // of the coordinate that snapped
	From, To mgl64.Vec2 // mm
	Gap      float64    // mm; of gaps alone
}

// SnapTo says what a Snapper is to snap to.
type SnapTo struct {
	Tolerance float64 // mm: nothing jumps farther
	Grid      float64 // mm between lines; 0 = no grid
	Things    bool    // edges and centres of others
	Gaps      bool    // gaps as wide as others
}

// Snapped is how far a selection really moves, and why.
type Snapped struct {
	DX, DY float64 // mm
	Guides []Guide
}

// A Snapper knows a selection that is being moved and everything else, sorted once,
// so that it answers for every movement of a finger.
type Snapper struct {
	box   Box // of what moves, where it was
	none  bool
	rest  []Box      // of modules that stay, from the left
	lines [2]sorted  // edges of the rest, by axis
	mids  [2]sorted  // centres of the rest, by axis
	order [2][]int32 // indexes into rest, by their start along each axis
}

// A sorted is coordinates in order, each with the box that it is of.
type sorted []mark

type mark struct {
	at float64
	of int32
}

// NewSnapper prepares the move of a selection. Photos and the sketch are nothing to
// snap to, and modules are, on whatever tier.
func NewSnapper(l topology.Layout, moving Selection) (*Snapper, error) {
	p, err := pick(l, moving)
	if err != nil {
		return nil, err
	}
	s := &Snapper{}
	us := units(l, p)
	if s.none = len(us) == 0; !s.none {
		s.box = boundsOf(us)
	}
	places := Places(l)
	for i, m := range l.Modules {
		if !p.has[m.ID] && !p.has[m.Stack] {
			s.rest = append(s.rest, places[i].Box())
		}
	}
	for axis := range 2 {
		for i, b := range s.rest {
			s.lines[axis] = append(s.lines[axis], mark{b.Min[axis], int32(i)}, mark{b.Max[axis], int32(i)})
			s.mids[axis] = append(s.mids[axis], mark{b.Center()[axis], int32(i)})
			s.order[axis] = append(s.order[axis], int32(i))
		}
		for _, list := range []sorted{s.lines[axis], s.mids[axis]} {
			slices.SortStableFunc(list, func(a, b mark) int { return cmp.Compare(a.at, b.at) })
		}
		slices.SortStableFunc(s.order[axis], func(a, b int32) int {
			return cmp.Compare(s.rest[a].Min[axis], s.rest[b].Min[axis])
		})
	}
	return s, nil
}

// nearest is the coordinate next to v; ok is false where the list is empty.
func (s sorted) nearest(v float64) (at float64, ok bool) {
	i, _ := slices.BinarySearchFunc(s, v, func(m mark, v float64) int { return cmp.Compare(m.at, v) })
	switch {
	case len(s) == 0:
		return 0, false
	case i == len(s), i > 0 && v-s[i-1].at <= s[i].at-v:
		i--
	}
	return s[i].at, true
}

// same says that two coordinates are one.
const same = 1e-3 // mm

// on calls f with every box that has a coordinate.
func (s sorted) on(v float64, f func(of int32)) {
	i, _ := slices.BinarySearchFunc(s, v-same, func(m mark, v float64) int { return cmp.Compare(m.at, v) })
	for ; i < len(s) && s[i].at <= v+same; i++ {
		f(s[i].of)
	}
}

// A pull is one way to snap: how far to jump, and of what kind.
type pull struct {
	by   float64
	kind string
}

// Snap is what becomes of a move by dx, dy mm: within the tolerance it jumps to the
// nearest edge, centre or gap, and to the grid where there is none of them. Each axis
// snaps by itself.
func (s *Snapper) Snap(dx, dy float64, to SnapTo) Snapped {
	out := Snapped{DX: dx, DY: dy}
	if s.none || !finite(dx, dy, to.Tolerance, to.Grid) || to.Tolerance <= 0 {
		return out
	}
	gaps := [2]bool{to.Gaps, to.Gaps}
	for {
		box, guides, bare := s.attempt(mgl64.Vec2{dx, dy}, to, gaps)
		if bare < 0 {
			out.DX, out.DY = tidy(box.Min.X()-s.box.Min.X()), tidy(box.Min.Y()-s.box.Min.Y())
			out.Guides = guides
			return out
		}
		gaps[bare] = false
	}
}

// attempt snaps both axes, the second where the first has led. A gap may be none any
// more once the other axis has jumped: bare is then its axis, else -1.
func (s *Snapper) attempt(by mgl64.Vec2, to SnapTo, gaps [2]bool) (box Box, guides []Guide, bare int) {
	box = Box{s.box.Min.Add(by), s.box.Max.Add(by)}
	var kinds [2]string
	for axis := range 2 {
		to.Gaps = gaps[axis]
		best := s.pull(box, axis, to)
		kinds[axis] = best.kind
		box.Min[axis] += best.by
		box.Max[axis] += best.by
	}
	for axis, kind := range kinds {
		if kind == "" {
			continue
		}
		why := s.explain(box, axis, kind)
		if kind == GapGuide && len(why) == 0 {
			return box, nil, axis
		}
		guides = append(guides, why...)
	}
	return box, guides, -1
}

// pull is the shortest jump along an axis. Of two as short, edges come before centres
// and these before gaps.
func (s *Snapper) pull(box Box, axis int, to SnapTo) pull {
	best := pull{kind: ""}
	try := func(by float64, kind string) {
		if far := math.Abs(by); far <= to.Tolerance && (best.kind == "" || far < math.Abs(best.by)-same) {
			best = pull{by, kind}
		}
	}
	if to.Things {
		for _, own := range []float64{box.Min[axis], box.Max[axis]} {
			if at, ok := s.lines[axis].nearest(own); ok {
				try(at-own, EdgeGuide)
			}
		}
		own := box.Center()[axis]
		if at, ok := s.mids[axis].nearest(own); ok {
			try(at-own, CentreGuide)
		}
	}
	if to.Gaps {
		s.gaps(box, axis, func(by float64) { try(by, GapGuide) })
	}
	if best.kind == "" && to.Grid > 0 {
		own := box.Min[axis]
		try(math.Round(own/to.Grid)*to.Grid-own, GridGuide)
	}
	return best
}

// beside are the boxes that lie beside a box along an axis, in order: those that it
// would meet if it went on along it.
func (s *Snapper) beside(box Box, axis int) []Box {
	var out []Box
	for _, i := range s.order[axis] {
		b := s.rest[i]
		if b.Min[1-axis] < box.Max[1-axis]-same && b.Max[1-axis] > box.Min[1-axis]+same {
			out = append(out, b)
		}
	}
	return out
}

// neighbours are the places in a row of the last box before and the first after, -1
// where there is none.
func neighbours(row []Box, box Box, axis int) (before, after int) {
	before, after = -1, -1
	for i, b := range row {
		switch c := box.Center()[axis]; {
		case b.Center()[axis] < c && (before < 0 || b.Max[axis] > row[before].Max[axis]):
			before = i
		case b.Center()[axis] >= c && after < 0:
			after = i
		}
	}
	return before, after
}

// gaps calls try with every jump that makes a gap beside the box as wide as another in
// its row, or the two beside it equal.
func (s *Snapper) gaps(box Box, axis int, try func(by float64)) {
	row := s.beside(box, axis)
	before, after := neighbours(row, box, axis)
	if before >= 0 && after >= 0 {
		left, right := box.Min[axis]-row[before].Max[axis], row[after].Min[axis]-box.Max[axis]
		if left+right > 0 {
			try((right - left) / 2)
		}
	}
	for i := 1; i < len(row); i++ {
		gap := row[i].Min[axis] - row[i-1].Max[axis]
		if gap <= same || i-1 == before && i == after {
			continue
		}
		if before >= 0 {
			try(row[before].Max[axis] + gap - box.Min[axis])
		}
		if after >= 0 {
			try(row[after].Min[axis] - gap - box.Max[axis])
		}
	}
}

// explain is the guides for a box that has snapped.
func (s *Snapper) explain(box Box, axis int, kind string) []Guide {
	switch kind {
	case GapGuide:
		return s.equal(box, axis)
	case GridGuide:
		return []Guide{line(GridGuide, axis, box.Min[axis], box)}
	case CentreGuide:
		at, around := box.Center()[axis], box
		s.mids[axis].on(at, func(of int32) { around = around.with(s.rest[of]) })
		return []Guide{line(kind, axis, at, around)}
	}
	var out []Guide
	for _, at := range []float64{box.Min[axis], box.Max[axis]} {
		around, found := box, false
		s.lines[axis].on(at, func(of int32) { around, found = around.with(s.rest[of]), true })
		if found {
			out = append(out, line(kind, axis, at, around))
		}
	}
	return out
}

// line is a guide across an axis at a coordinate, as long as a box.
func line(kind string, axis int, at float64, as Box) Guide {
	g := Guide{Kind: kind, Axis: Axis(axis), From: as.Min, To: as.Max}
	g.From[axis], g.To[axis] = at, at
	return g
}

// equal are the gaps beside a box, and those in its row that are as wide as one of
// them.
func (s *Snapper) equal(box Box, axis int) []Guide {
	row := s.beside(box, axis)
	before, after := neighbours(row, box, axis)
	var out []Guide
	add := func(a, b Box) {
		g := Guide{Kind: GapGuide, Axis: Axis(axis), Gap: tidy(b.Min[axis] - a.Max[axis])}
		level := (math.Max(a.Min[1-axis], b.Min[1-axis]) + math.Min(a.Max[1-axis], b.Max[1-axis])) / 2
		g.From[axis], g.To[axis] = a.Max[axis], b.Min[axis]
		g.From[1-axis], g.To[1-axis] = level, level
		out = append(out, g)
	}
	var wide []float64
	if before >= 0 {
		wide = append(wide, box.Min[axis]-row[before].Max[axis])
	}
	if after >= 0 {
		wide = append(wide, row[after].Min[axis]-box.Max[axis])
	}
	between := len(wide) == 2 && math.Abs(wide[0]-wide[1]) <= 2*same
	as := func(gap float64) bool {
		for i := 1; i < len(row); i++ {
			if (i-1 != before || i != after) && math.Abs(row[i].Min[axis]-row[i-1].Max[axis]-gap) <= 2*same {
				return true
			}
		}
		return false
	}
	var shown []float64
	if before >= 0 && (between || as(wide[0])) {
		add(row[before], box)
		shown = append(shown, wide[0])
	}
	if after >= 0 {
		if gap := wide[len(wide)-1]; between || as(gap) {
			add(box, row[after])
			shown = append(shown, gap)
		}
	}
	for i := 1; i < len(row); i++ {
		gap := row[i].Min[axis] - row[i-1].Max[axis]
		if (i-1 != before || i != after) && slices.ContainsFunc(shown, func(w float64) bool { return math.Abs(w-gap) <= 2*same }) {
			add(row[i-1], row[i])
		}
	}
	return out
}
