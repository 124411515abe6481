package doubt

import (
	"errors"
	"fmt"
	"strings"

	"halfsplit/fault"
)

// scales are the words by which a doubt of a scale says what the value would be.
var scales = []struct {
	words  string
	factor float64
}{{"ten times what", 10}, {"a tenth of what", 0.1}, {"a thousand times what", 1000}, {"a thousandth of what", 0.001}}

// Mended are the readings that would take the place of those in doubt, each with
// the reading that it supersedes; they are not recorded. An error says in words
// why there are none.
func Mended(c *fault.Case, d fault.Doubt) ([]fault.Reading, error) {
	r, err := open(c, d.Reading)
	if err != nil {
		return nil, err
	}
	switch d.Kind {
	case Sign:
		r.Value = -r.Value
		return []fault.Reading{r}, nil
	case Scale:
		for _, s := range scales {
			if strings.Contains(d.FitsIf, s.words) {
				r.Value, r.Range = fault.Round(r.Value*s.factor), 0
				return []fault.Reading{r}, nil
			}
		}
		return nil, errors.New("the finding does not say by how much the value is off")
	case Transposed:
		o, err := open(c, d.With)
		if err != nil {
			return nil, err
		}
		r.Value, o.Value = o.Value, r.Value
		r.Relation, o.Relation = o.Relation, r.Relation
		if r.Range != o.Range {
			r.Range, o.Range = 0, 0
		}
		return []fault.Reading{r, o}, nil
	case Stale:
		if _, ok := c.State(d.With); !ok {
			return nil, fmt.Errorf("there is no state %q in this case", d.With)
		}
		r.State = d.With
		return []fault.Reading{r}, nil
	}
	return nil, errors.New("no corrected value follows from this doubt: read it again")
}

// Standing is a reading as it is kept as read, superseding itself as it was.
func Standing(c *fault.Case, id, note string) (fault.Reading, error) {
	if note = strings.TrimSpace(note); note == "" {
		return fault.Reading{}, errors.New("say why it stands, in a few words")
	}
	r, err := open(c, id)
	if err != nil {
		return r, err
	}
	raw, _ := c.Reading(id)
	r.Raw, r.Stands = raw.Raw, note
	return r, nil
}

// open is a reading as another one would begin from it: without an id and without
// keystrokes, since nobody typed what follows. A reading that was corrected already
// or that another one was taken together with cannot be taken as it is.
func open(c *fault.Case, id string) (fault.Reading, error) {
	r, ok := c.Reading(id)
	if !ok {
		return r, fmt.Errorf("there is no reading %q in this case", id)
	}
	old := c.Superseded()
	if by, done := old[id]; done {
		return r, fmt.Errorf("%s was replaced by %s already", id, by.ID)
	}
	for _, o := range c.Readings {
		if _, gone := old[o.ID]; !gone && o.TogetherWith == id {
			return r, fmt.Errorf("%s says that it was taken together with %s: correct %s first", o.ID, id, o.ID)
		}
	}
	r.ID, r.Raw, r.Stands, r.Supersedes, r.Why = "", "", "", id, ""
	return r, nil
}

// Why is what a correction by this doubt gives as its reason.
func Why(d fault.Doubt) string { return "corrected: " + strings.TrimRight(d.FitsIf, ".") }

// WhyKept is what a reading that stands gives as the reason of its record.
func WhyKept(note string) string { return "kept as read: " + strings.TrimSpace(note) }
