package order_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault/lists/order"
)

// What an order says of the indices, written into the layout, is that order again:
// forward, mirrored, and shuffled by modules, of a pack with a module the other way
// round.
func TestIndices_giveTheOrderBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	c := pack(6, 4, 2)
	l := c.Layout
	l.Links[2].To, l.Links[3].From = "M04+", "M04-" // M04 lies reversed in the string
	truth := draw(r, 24, 0.03)
	for name, to := range map[string][]int{"forward": inOrder(24), "mirrored": mirror(24), "shuffled": shuffle(r, 24, 4)} {
		indices, torn := order.Map{To: to}.Indices(l, 1)
		if len(torn) > 0 || len(indices) != 6 {
			t.Fatalf("%s: %v, torn %v", name, indices, torn)
		}
		with := l
		with.Modules = slices.Clone(l.Modules)
		for i := range with.Modules {
			at := indices[with.Modules[i].ID]
			with.Modules[i].MonitorIndex = at[:]
		}
		c.Layout = with
		got := order.Weigh(c, listed(r, truth, to))
		if !slices.ContainsFunc(got.Maps, func(m order.Map) bool {
			return slices.Equal(m.To, to) && strings.Contains(m.Name, "as the layout gives")
		}) {
			t.Errorf("%s: the layout's own order is not the one that was written", name)
		}
	}
	if _, torn := (order.Map{To: append([]int{1, 0}, inOrder(24)[2:]...)}).Indices(l, 1); !slices.Equal(torn, []string{"M01"}) {
		t.Errorf("torn are %v", torn)
	}
	if indices, _ := (order.Map{To: inOrder(24)}).Indices(l, 0); indices["M04"] != [2]int{15, 12} || indices["M01"] != [2]int{0, 3} {
		t.Errorf("from 0 on: %v", indices)
	}
	if indices, _ := (order.Map{To: inOrder(23)}).Indices(l, 1); indices != nil {
		t.Errorf("an order of 23 groups gives %v", indices)
	}
}
