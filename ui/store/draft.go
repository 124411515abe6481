package store

import "halfsplit/fault/casebook"

// draftKey is the setting that holds a draft of a case. It is logged like every
// setting, in a scope of its own: undo of the case passes it over.
func (s *Book) draftKey(name string) string { return "draft:" + name + ":" + s.id }

// Draft is what was kept under a name; "" where that cannot be read.
func (s *Book) Draft(name string) string {
	text, _, err := s.book.Setting(s.draftKey(name))
	if err != nil {
		return ""
	}
	return text
}

// KeepDraft is on the disk when it returns.
func (s *Book) KeepDraft(name, text string) error {
	return s.book.SetSetting(s.draftKey(name), text, casebook.By{Who: s.who})
}

// Draft is what was kept under a name.
func (m *Memory) Draft(name string) string { return m.drafts[name] }

// KeepDraft keeps it while the window is open.
func (m *Memory) KeepDraft(name, text string) error {
	if m.drafts == nil {
		m.drafts = map[string]string{}
	}
	m.drafts[name] = text
	return nil
}
