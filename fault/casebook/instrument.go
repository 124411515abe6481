package casebook

import (
	"fmt"

	"halfsplit/fault"
)

// AddInstrument adds an instrument to a case.
func (b *Book) AddInstrument(caseID string, in fault.Instrument, by By) error {
	return b.kit(caseID, "instrument", in.ID, by, false, func(c *command, whole fault.Case) error {
		whole.Instruments = append(whole.Instruments, in)
		whole, err := legal(whole)
		if err != nil {
			return err
		}
		return c.insertInstrument(caseID, whole.Instruments[len(whole.Instruments)-1])
	})
}

// ReviseInstrument puts the description of an instrument right. Readings keep
// referring to it by its id and are understood by the new description; the old
// one stays in the file.
func (b *Book) ReviseInstrument(caseID string, in fault.Instrument, by By) error {
	return b.kit(caseID, "instrument", in.ID, by, true, func(c *command, whole fault.Case) error {
		i := indexOf(whole.Instruments, in.ID, func(x fault.Instrument) string { return x.ID })
		if i < 0 {
			return missing(fmt.Sprintf("there is no instrument %q in this case", in.ID))
		}
		whole.Instruments[i] = in
		whole, err := legal(whole)
		if err != nil {
			return err
		}
		return c.insertInstrument(caseID, whole.Instruments[i])
	})
}

// AddResistor adds a test resistor to a case.
func (b *Book) AddResistor(caseID string, r fault.Resistor, by By) error {
	return b.kit(caseID, "test resistor", r.ID, by, false, func(c *command, whole fault.Case) error {
		whole.Resistors = append(whole.Resistors, r)
		whole, err := legal(whole)
		if err != nil {
			return err
		}
		return c.insertResistor(caseID, whole.Resistors[len(whole.Resistors)-1])
	})
}

// ReviseResistor puts the description of a test resistor right.
func (b *Book) ReviseResistor(caseID string, r fault.Resistor, by By) error {
	return b.kit(caseID, "test resistor", r.ID, by, true, func(c *command, whole fault.Case) error {
		i := indexOf(whole.Resistors, r.ID, func(x fault.Resistor) string { return x.ID })
		if i < 0 {
			return missing(fmt.Sprintf("there is no test resistor %q in this case", r.ID))
		}
		whole.Resistors[i] = r
		whole, err := legal(whole)
		if err != nil {
			return err
		}
		return c.insertResistor(caseID, whole.Resistors[i])
	})
}

// kit is a command on the instruments and resistors of a case.
func (b *Book) kit(caseID, what, label string, by By, revise bool, f func(*command, fault.Case) error) error {
	return b.do("kit", caseID, caseID, by, func(c *command) error {
		row, err := c.caseRow(caseID)
		if err != nil {
			return err
		}
		whole, err := readCase(c.tx, row)
		if err != nil {
			return err
		}
		c.name = what + " " + label
		if revise {
			c.name += " put right"
		}
		return f(c, whole)
	})
}

func indexOf[T any](list []T, id string, key func(T) string) int {
	for i, v := range list {
		if key(v) == id {
			return i
		}
	}
	return -1
}
