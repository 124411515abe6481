package casebook

import (
	"encoding/json"
	"fmt"
	"maps"

	"halfsplit/fault"
	"halfsplit/topology"
)

// SetMinutes records how many minutes a link or board takes to reach and open or
// unplug in this workshop, in place of the layout's; nil takes that back.
func (b *Book) SetMinutes(caseID, id string, minutes *float64, by By) error {
	return b.do("minutes", caseID, caseID, by, func(c *command) error {
		was, row, err := c.around(caseID)
		if err != nil {
			return err
		}
		if was.Minutes, _, err = readMinutes(row); err != nil {
			return err
		}
		is, err := was.WithMinutes(id, minutes)
		if err != nil {
			return refuse(err.Error())
		}
		if maps.Equal(was.Minutes, is.Minutes) {
			return nil
		}
		if is, err = legal(is); err != nil {
			return err
		}
		packed, err := packMinutes(is.Minutes)
		if err != nil {
			return err
		}
		if err := c.touch("cases", caseID); err != nil {
			return err
		}
		c.name, c.subject = NameOfMinutes(was, is, id), id
		return c.exec(`UPDATE cases SET minutes = ? WHERE id = ?`, packed, caseID)
	})
}

// NameOfMinutes names a change of the access minutes of one link or board: "the
// access minutes of L03 from 5 to 12".
func NameOfMinutes(was, is fault.Case, id string) string {
	name := "the access minutes of " + id
	before, known := was.Access(id)
	after, knows := is.Access(id)
	_, own := is.Minutes[id]
	switch {
	case !own && !knows:
		return name + " from " + digits(before) + " to not recorded"
	case !own:
		return fmt.Sprintf("%s from %s to the layout's %s", name, digits(before), digits(after))
	case !known || before == after:
		return name + " as " + digits(after)
	}
	return name + " from " + digits(before) + " to " + digits(after)
}

// Minutes are one JSON object in a column, with sorted keys. An empty one says
// that there are none; a column that is NULL, that nobody ever recorded any.

func packMinutes(minutes map[string]float64) (any, error) {
	if minutes == nil {
		minutes = map[string]float64{}
	}
	raw, err := encode(minutes)
	return string(raw), err
}

// Where case files carry what earlier versions of this program did not know.
const (
	minutesField = "minutes"
	boardsField  = "boards"
)

// readMinutes gives the minutes of a case, and its further fields without them: a
// version of this program that did not know them kept them there. The row itself
// stays as it was recorded.
func readMinutes(row caseRow) (minutes map[string]float64, rest topology.Extra, err error) {
	if rest, err = unpackExtra(row.extra); err != nil {
		return nil, nil, err
	}
	raw, kept := rest[minutesField]
	if row.minutes != nil {
		raw = json.RawMessage(*row.minutes)
	}
	if raw == nil {
		return nil, rest, nil
	}
	switch err := json.Unmarshal(raw, &minutes); {
	case err != nil && row.minutes == nil:
		return nil, rest, nil // whatever was kept there, it stays
	case err != nil:
		return nil, nil, &Error{Damaged, "", "the access minutes of this case cannot be read", err}
	}
	if kept {
		rest = lacking(rest, minutesField)
	}
	if len(minutes) == 0 {
		minutes = nil
	}
	return minutes, rest, nil
}

// takeBoards is the same for what was kept of the boards of a state.
func takeBoards(s *fault.State) {
	if s.Boards == "" && string(s.Extra[boardsField]) == `"`+fault.BoardsOut+`"` {
		s.Boards = fault.BoardsOut
		s.Extra = lacking(s.Extra, boardsField)
	}
}

// lacking is what is left without a field; nil where nothing is.
func lacking(x topology.Extra, field string) topology.Extra {
	rest := cloned(x)
	delete(rest, field)
	if len(rest) == 0 {
		return nil
	}
	return rest
}
