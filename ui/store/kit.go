package store

import (
	"errors"
	"fmt"
	"slices"

	"halfsplit/fault"
)

// ReviseInstrument puts the description of an instrument right.
func (s *Book) ReviseInstrument(in fault.Instrument) error {
	return s.after(s.book.ReviseInstrument(s.id, in, s.by("")))
}

// ReviseResistor puts the description of a test resistor right.
func (s *Book) ReviseResistor(r fault.Resistor) error {
	return s.after(s.book.ReviseResistor(s.id, r, s.by("")))
}

// AddProvings records entries of the proving log.
func (s *Book) AddProvings(list []fault.Proving) error {
	_, err := s.book.AddProvings(s.id, signed(list, s.who), s.by(""))
	return s.after(err)
}

// ReviseInstrument puts the description of an instrument right.
func (m *Memory) ReviseInstrument(in fault.Instrument) error {
	c := m.now
	c.Instruments = slices.Clone(c.Instruments)
	for i := range c.Instruments {
		if c.Instruments[i].ID == in.ID {
			c.Instruments[i] = in
			m.do("instrument "+in.ID+" put right", false, c)
			return nil
		}
	}
	return fmt.Errorf("there is no instrument %q in this case", in.ID)
}

// ReviseResistor puts the description of a test resistor right.
func (m *Memory) ReviseResistor(r fault.Resistor) error {
	c := m.now
	c.Resistors = slices.Clone(c.Resistors)
	for i := range c.Resistors {
		if c.Resistors[i].ID == r.ID {
			c.Resistors[i] = r
			m.do("test resistor "+r.ID+" put right", false, c)
			return nil
		}
	}
	return fmt.Errorf("there is no test resistor %q in this case", r.ID)
}

// AddProvings records entries of the proving log.
func (m *Memory) AddProvings(list []fault.Proving) error {
	if len(list) == 0 {
		return errors.New("there is nothing to record")
	}
	list = signed(list, m.who)
	for _, p := range list {
		if _, ok := m.now.Instrument(p.Instrument); !ok {
			return fmt.Errorf("there is no instrument %q in this case", p.Instrument)
		}
	}
	c := m.now
	c.Provings = append(c.Provings[:len(c.Provings):len(c.Provings)], list...)
	m.do(fault.NameProvings(list), false, c)
	return nil
}

// signed names who proved, where nobody is named.
func signed(list []fault.Proving, who string) []fault.Proving {
	list = slices.Clone(list)
	for i := range list {
		if list[i].Who == "" {
			list[i].Who = who
		}
	}
	return list
}
