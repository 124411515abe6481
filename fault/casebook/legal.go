package casebook

import (
	"errors"
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/format"
)

// legal makes sure that what a command leaves behind can be written as a case
// file and read again: the rules of files are the rules of the casebook. It
// returns the case as it was read, with its numbers and texts in their one form.
func legal(c fault.Case) (fault.Case, error) {
	c.LayoutFile = ""
	raw, err := format.WriteCase(c)
	if err != nil {
		return c, &Error{Refused, "", "this cannot be recorded: a number is missing or without bound", err}
	}
	again, _, err := format.ReadCase("case", raw, nil)
	if err != nil {
		return c, &Error{Refused, "", "this cannot be recorded: " + reason(err), err}
	}
	return again, nil
}

// reason is what the reader of files says, without line and column of a file
// that nobody sees.
func reason(err error) string {
	var e *format.Error
	if !errors.As(err, &e) {
		return err.Error()
	}
	field := e.Place[strings.LastIndexByte(e.Place, '.')+1:]
	return format.OneLine(fmt.Sprintf("%s: %s", field, e.Reason))
}

// checkTouched makes sure that every case which the command changed is legal
// now, those whose layout it changed among them.
func (c *command) checkTouched() error {
	ids := map[string]bool{}
	if c.caseID != "" {
		ids[c.caseID] = true
	}
	for _, t := range c.touched {
		if t.table.name != "layout_versions" {
			continue
		}
		users, err := casesOn(c.tx, t.key)
		if err != nil {
			return err
		}
		for _, u := range users {
			ids[u.id] = true
		}
	}
	for id := range ids {
		row, err := c.caseRow(id)
		if KindOf(err) == Missing {
			continue // withdrawn by this very command
		}
		if err != nil {
			return err
		}
		whole, err := readCase(c.tx, row)
		if err != nil {
			return err
		}
		if _, err := legal(whole); err != nil {
			return &Error{Refused, "", fmt.Sprintf("case %q does not go with this: %s", row.title, err), err}
		}
	}
	return nil
}
