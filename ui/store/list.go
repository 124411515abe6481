package store

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// A List is readings and group volts that come in together.
type List struct {
	Readings []fault.Reading
	Groups   []fault.GroupVolts
}

// AddList records a list as one command. The case is read again beside the window too.
func (s *Book) AddList(l List) (write, taken func() error) {
	by, id, book := s.by(""), s.id, s.book
	l.Readings = named(l.Readings, s.who)
	var now fault.Case
	var info casebook.Info
	write = func() error {
		err := book.AddList(id, l.Readings, l.Groups, by)
		if err == nil {
			now, info, err = book.Case(id)
		}
		return err
	}
	return write, func() error { s.hold(now, info); return nil }
}

// AddList records a list as one command. What is in memory is written when it is taken.
func (m *Memory) AddList(l List) (write, taken func() error) {
	return func() error { return nil }, func() error { return m.addList(l) }
}

func (m *Memory) addList(l List) error {
	c, n := m.now, 0
	c.Readings = c.Readings[:len(c.Readings):len(c.Readings)]
	given := map[string]bool{}
	for _, r := range named(l.Readings, m.who) {
		if r.ID != "" {
			return fmt.Errorf("the readings of a list get their ids when they are recorded")
		}
		for n++; m.ids[fmt.Sprintf("r%d", n)]; n++ {
		}
		r.ID = fmt.Sprintf("r%d", n)
		given[r.ID] = true
		if _, err := m.stamped(r); err != nil {
			return err
		}
		c.Readings = append(c.Readings, r)
	}
	for _, g := range l.Groups {
		if _, ok := c.State(g.State); !ok {
			return fmt.Errorf("there is no state %q in this case: record the present state first", g.State)
		}
	}
	c.GroupVolts = append(c.GroupVolts[:len(c.GroupVolts):len(c.GroupVolts)], l.Groups...)
	if len(l.Readings)+len(l.Groups) == 0 {
		return nil
	}
	for id := range given {
		m.ids[id] = true
	}
	m.do(casebook.NameOfList(len(l.Readings), len(l.Groups)), false, c)
	return nil
}

// named gives readings without a name who takes them in.
func named(all []fault.Reading, who string) []fault.Reading {
	out := make([]fault.Reading, len(all))
	for i, r := range all {
		if r.Who == "" {
			r.Who = who
		}
		out[i] = r
	}
	return out
}
