package store

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"halfsplit/fault"
)

// AddMakeSafe records one entry of the make-safe record.
func (s *Book) AddMakeSafe(e fault.MakeSafe) (fault.MakeSafe, error) {
	if e.Who == "" {
		e.Who = s.who
	}
	e, err := s.book.AddMakeSafe(s.id, e, s.by(""))
	return e, s.after(err)
}

// AddMakeSafe records one entry of the make-safe record.
func (m *Memory) AddMakeSafe(e fault.MakeSafe) (fault.MakeSafe, error) {
	switch {
	case !slices.Contains(fault.SafeItems, e.Item):
		return e, fmt.Errorf("%q is not an item of the record of isolating and proving", e.Item)
	case fault.SafeVolts(e.Item) && e.Value == nil:
		return e, fmt.Errorf("%s needs the volts that the meter showed", fault.SafeName(e.Item))
	case e.Item == fault.SafeReason && e.Text == "":
		return e, errors.New("a reason needs its words")
	}
	if _, ok := m.now.State(e.State); !ok && e.State != "" {
		return e, fmt.Errorf("there is no state %q in this case", e.State)
	}
	for k := len(m.now.MakeSafe) + 1; e.ID == "" || m.ids[e.ID]; k++ {
		e.ID = "k" + strconv.Itoa(k)
	}
	if e.Who == "" {
		e.Who = m.who
	}
	m.ids[e.ID] = true
	c := m.now
	c.MakeSafe = append(c.MakeSafe[:len(c.MakeSafe):len(c.MakeSafe)], e)
	m.do(e.Name(), false, c)
	return e, nil
}
