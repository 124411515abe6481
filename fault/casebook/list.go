package casebook

import (
	"fmt"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// AddList records the readings and the group volts of a list that was taken in, as one
// command: one event of the log, one step to undo. Readings get the next free ids.
// All of it is recorded or nothing.
func (b *Book) AddList(caseID string, readings []fault.Reading, groups []fault.GroupVolts, by By) error {
	return b.do("list", caseID, caseID, by, func(c *command) error {
		whole, row, err := c.around(caseID)
		if err != nil {
			return err
		}
		if whole.Readings, err = c.listed(whole, row, readings); err != nil {
			return err
		}
		whole.GroupVolts = groups
		if whole, err = legal(whole); err != nil {
			return err
		}
		states := map[string]string{}
		for _, s := range whole.States {
			if states[s.ID], err = c.stateID(caseID, s.ID); err != nil {
				return err
			}
		}
		for _, r := range whole.Readings {
			id, ord := c.add("readings")
			if err := c.insertReading(row, r, id, ord, readingRefs{state: states[r.State]}); err != nil {
				return err
			}
		}
		for _, g := range whole.GroupVolts {
			if err := c.insertGroupVolts(row, g, states[g.State]); err != nil {
				return err
			}
		}
		c.name = NameOfList(len(readings), len(groups))
		return nil
	})
}

// listed are the readings of a list with their ids.
func (c *command) listed(whole fault.Case, row caseRow, readings []fault.Reading) ([]fault.Reading, error) {
	out := make([]fault.Reading, len(readings))
	next, ids := 0, idsOf(whole)
	for i, r := range readings {
		if r.ID != "" || r.Supersedes != "" || r.TogetherWith != "" {
			return nil, refuse("the readings of a list stand by themselves and get their ids when they are recorded")
		}
		if i == 0 {
			if err := c.label(whole, row, &r); err != nil {
				return nil, err
			}
			next, _ = strconv.Atoi(strings.TrimPrefix(r.ID, "r"))
		} else {
			for next++; ids["r"+strconv.Itoa(next)]; next++ {
			}
			r.ID = "r" + strconv.Itoa(next)
		}
		out[i] = r
	}
	return out, nil
}

// NameOfList names what a list recorded: "list: 24 readings, 12 lists of group volts".
func NameOfList(readings, groups int) string {
	count := func(n int, one, many string) string {
		if n == 1 {
			return "1 " + one
		}
		return fmt.Sprintf("%d %s", n, many)
	}
	var parts []string
	if readings > 0 {
		parts = append(parts, count(readings, "reading", "readings"))
	}
	if groups > 0 {
		parts = append(parts, count(groups, "list of group volts", "lists of group volts"))
	}
	return "list: " + strings.Join(parts, ", ")
}
