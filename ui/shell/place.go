package shell

import (
	"encoding/json"
	"maps"
	"slices"

	"halfsplit/ui"
)

// mostPlaces is for how many cases it is remembered where a person was.
const mostPlaces = 50

// place is where a person was in a case, and how to keep where they go. A case
// that is in no casebook has neither.
func (s *Shell) place(id string) (at ui.Place, keep func(ui.Place)) {
	if id == "" {
		return at, nil
	}
	if json.Unmarshal(s.kept.Places[id], &at) != nil {
		at = ui.Place{}
	}
	return at, func(p ui.Place) { s.keepPlace(id, p) }
}

// keepPlace remembers a place; keystrokes that follow soon are saved together.
func (s *Shell) keepPlace(id string, p ui.Place) {
	raw, err := json.Marshal(p)
	if err != nil {
		return
	}
	if s.kept.Places == nil {
		s.kept.Places = map[string]json.RawMessage{}
	}
	s.kept.Places[id] = raw
	if len(s.kept.Places) > mostPlaces { // ids begin with the time: the oldest case
		delete(s.kept.Places, slices.Min(slices.Collect(maps.Keys(s.kept.Places))))
	}
	if s.late {
		return
	}
	s.late = true
	later := func() {
		if s.late {
			s.save()
		}
	}
	if s.deps.After == nil {
		later()
		return
	}
	s.deps.After(later)
}
