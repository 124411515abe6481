package shell

import (
	"halfsplit/fault/casebook"
	"halfsplit/ui/emergency"
)

// loadEmergency is the workshop's page: the casebook's, or the copy of it that is
// remembered for when none is open.
func (s *Shell) loadEmergency() (text, note string) {
	if s.book != nil {
		if text, ok, err := s.book.Setting(emergency.Setting); err == nil {
			if ok {
				return text, ""
			}
			return "", ""
		}
	}
	if s.kept.Emergency != "" {
		return s.kept.Emergency, "No casebook is open; these are the workshop's words as they were last seen on this machine."
	}
	return "", ""
}

// keepEmergency copies the casebook's page for when it cannot be opened.
func (s *Shell) keepEmergency() {
	if text, ok, err := s.book.Setting(emergency.Setting); err == nil && ok && text != s.kept.Emergency {
		s.kept.Emergency = text
		s.save()
	}
}

func (s *Shell) saveEmergency(text string) error {
	err := s.book.SetSetting(emergency.Setting, text, casebook.By{Who: s.who()})
	if err == nil {
		s.keepEmergency()
	}
	return err
}
