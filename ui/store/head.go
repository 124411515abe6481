package store

import "halfsplit/fault"

// Head is the newest event of the casebook's log in its short form, as it is printed;
// "" where it cannot be read.
func (s *Book) Head() string {
	h, err := s.book.Head()
	if err != nil {
		return ""
	}
	return h.Short()
}

// LogHead is the newest event of the casebook's log.
func (s *LayoutBook) LogHead() (fault.Head, error) { return s.book.Head() }
