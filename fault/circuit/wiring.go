package circuit

import (
	"slices"
	"strings"
	"sync"

	"halfsplit/topology"
)

// A Wiring is a Net in one Setting as a graph: conductors joined by groups. It
// holds no volts and can be shared by any number of packs.
type Wiring struct {
	net        *topology.Net
	set        topology.Setting
	conductor  []int // by node; -1 = removed
	conductors int
	groups     []edge // by Net.Groups; from and to are -1 where removed
	ideal      forest // with every group an ideal source
}

// an edge is a group between its two conductors, or a branch of a forest.
type edge struct{ from, to int }

// Wire works out the graph of a setting.
func Wire(n *topology.Net, set topology.Setting) *Wiring {
	w := &Wiring{net: n, set: set, conductor: make([]int, n.Len()), groups: make([]edge, len(n.Groups))}
	joined := n.In(set)
	number := make([]int, n.Len())
	for i := range number {
		number[i] = -1
	}
	for i := range w.conductor {
		id := topology.NodeID(i)
		if m, _, ok := n.ModuleAt(id); ok && w.removed(m) {
			w.conductor[i] = -1
			continue
		}
		c := int(joined.Conductor(id))
		if number[c] < 0 {
			number[c] = w.conductors
			w.conductors++
		}
		w.conductor[i] = number[c]
	}
	for g, grp := range n.Groups {
		w.groups[g] = edge{w.conductor[grp.Lo], w.conductor[grp.Hi]}
	}
	w.ideal = grow(w.conductors, w.groups, func(int) bool { return true })
	return w
}

func (w *Wiring) removed(module int) bool {
	return len(w.set.Removed) > 0 && slices.Contains(w.set.Removed, w.net.Layout.Modules[module].ID)
}

// closed says whether a link joins its two ends in this setting.
func (w *Wiring) closed(link int) bool {
	l := w.net.Layout.Links[link]
	if slices.Contains(w.set.Open, l.ID) || (l.Kind == topology.Contactor && !w.set.ContactorsClosed) {
		return false
	}
	a, okA := w.net.Node(l.From)
	b, okB := w.net.Node(l.To)
	return okA && okB && w.conductor[a] >= 0 && w.conductor[b] >= 0
}

// Wirings remembers the wiring of every setting of one Net that was asked for.
// It may be used from several goroutines.
type Wirings struct {
	net *topology.Net
	mu  sync.Mutex
	all map[string]*Wiring
}

// NewWirings starts an empty memory.
func NewWirings(n *topology.Net) *Wirings {
	return &Wirings{net: n, all: map[string]*Wiring{}}
}

// In is the wiring of a setting.
func (ws *Wirings) In(set topology.Setting) *Wiring {
	key := strings.Join(set.Open, " ") + "\n" + strings.Join(set.Removed, " ")
	if set.ContactorsClosed {
		key += "\nclosed"
	}
	ws.mu.Lock()
	defer ws.mu.Unlock()
	w, ok := ws.all[key]
	if !ok {
		set.Open, set.Removed = slices.Clone(set.Open), slices.Clone(set.Removed)
		w = Wire(ws.net, set)
		ws.all[key] = w
	}
	return w
}
