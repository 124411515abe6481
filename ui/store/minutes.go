package store

import (
	"maps"

	"halfsplit/fault/casebook"
)

// SetMinutes records the workshop's own access minutes.
func (s *Book) SetMinutes(id string, minutes *float64) error {
	return s.after(s.book.SetMinutes(s.id, id, minutes, s.by("")))
}

// SetMinutes records the workshop's own access minutes.
func (m *Memory) SetMinutes(id string, minutes *float64) error {
	c, err := m.now.WithMinutes(id, minutes)
	if err != nil || maps.Equal(c.Minutes, m.now.Minutes) {
		return err
	}
	m.do(casebook.NameOfMinutes(m.now, c, id), false, c)
	return nil
}
