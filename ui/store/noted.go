package store

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// AddNoted records what a person saw at a place.
func (s *Book) AddNoted(n fault.Noted) (fault.Noted, error) {
	if n.Who == "" {
		n.Who = s.who
	}
	n, err := s.book.AddNoted(s.id, n, s.by(""))
	return n, s.after(err)
}

// WithdrawNoted strikes out something that was noted.
func (s *Book) WithdrawNoted(id, why string) error {
	return s.after(s.book.WithdrawNoted(s.id, id, s.by(strings.TrimSpace(why))))
}

// AddNoted records what a person saw at a place.
func (m *Memory) AddNoted(n fault.Noted) (fault.Noted, error) {
	if !isPlace(m.now.Layout, n.Place) {
		return n, fmt.Errorf("there is no module, link, board or tap %q in this layout", n.Place)
	}
	if !slices.Contains(fault.NotedWords, n.What) {
		return n, fmt.Errorf("%q is not one of the things that can be noted", n.What)
	}
	for k := len(m.now.Noted) + 1; n.ID == "" || m.ids[n.ID]; k++ {
		n.ID = "n" + strconv.Itoa(k)
	}
	if n.Who == "" {
		n.Who = m.who
	}
	m.ids[n.ID] = true
	c := m.now
	c.Noted = append(c.Noted[:len(c.Noted):len(c.Noted)], n)
	m.do(n.Place+" noted as "+n.What, false, c)
	return n, nil
}

// WithdrawNoted strikes out something that was noted.
func (m *Memory) WithdrawNoted(id, why string) error {
	if strings.TrimSpace(why) == "" {
		return errors.New("what was noted is withdrawn for a reason; say why")
	}
	at := slices.IndexFunc(m.now.Noted, func(n fault.Noted) bool { return n.ID == id })
	if at < 0 {
		return fmt.Errorf("nothing noted as %q is in this case, or it was withdrawn", id)
	}
	n, c := m.now.Noted[at], m.now
	c.Noted = slices.Delete(slices.Clone(c.Noted), at, at+1)
	m.do("withdraw "+id+": "+n.Place+" noted as "+n.What, false, c)
	return nil
}

// isPlace says that the layout has a module, link, board or tap of that name.
func isPlace(l topology.Layout, name string) bool {
	net, _ := topology.Compile(l)
	if _, ok := net.Module(name); ok {
		return true
	}
	if _, ok := net.Link(name); ok {
		return true
	}
	if slices.ContainsFunc(l.Boards, func(b topology.Board) bool { return b.ID == name }) {
		return true
	}
	n, ok := net.Node(name)
	if !ok {
		return false
	}
	_, _, tap := net.ModuleAt(n)
	return tap
}
