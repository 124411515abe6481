package shell

import (
	"fmt"

	"halfsplit/fault/casebook"
	"halfsplit/ui/drafting"
	"halfsplit/ui/store"
)

// draw opens the drawing of a layout, or of the layout that a case rests on.
func (s *Shell) draw(layoutID, caseID string) {
	if caseID != "" {
		on, err := s.book.LayoutOfCase(caseID)
		if err != nil {
			s.start.Fail("The drawing cannot be opened", err)
			return
		}
		layoutID = on.LayoutID
	}
	st, err := store.NewLayoutBook(s.book, layoutID)
	if err != nil {
		s.start.Fail("The drawing cannot be opened", err)
		return
	}
	s.showTable(st, caseID)
}

// showTable shows the drawing table; caseID is the case that it was opened from.
func (s *Shell) showTable(st store.Layouts, caseID string) {
	st.SetWho(s.who())
	if s.desk != nil {
		s.desk.Close()
		s.desk = nil
	}
	deps := drafting.Deps{
		Store: st, Go: s.deps.Go, Do: s.deps.Do, Canvas: s.w.Canvas, Key: s.key, Modifier: s.deps.Modifier, Shortcut: s.shortcut,
		Copy:      func(text string) { s.app.Clipboard().SetContent(text) },
		Clipboard: func() string { return s.app.Clipboard().Content() },
		Now:       s.deps.Now, Folder: s.deps.Folder, Back: s.Cases,
	}
	if caseID != "" {
		deps.Back = func() { s.leaveTable(caseID) }
		deps.Leave = "To the case"
		deps.Use = func() (string, error) { return s.useNewest(caseID) }
	}
	s.table = drafting.New(deps)
	s.tableOf = caseID
	s.over = noPage
	s.show()
}

// leaveTable goes back to the case that the table was opened from.
func (s *Shell) leaveTable(caseID string) {
	s.table = nil
	s.openCase(caseID)
}

// useNewest lets a case rest on the newest version of its layout.
func (s *Shell) useNewest(caseID string) (string, error) {
	on, err := s.book.LayoutOfCase(caseID)
	if err != nil {
		return "", err
	}
	if on.Version == on.Newest {
		return fmt.Sprintf("The case rests on version %d, the newest, already.", on.Version), nil
	}
	if err := s.book.UseNewestLayout(caseID, casebook.By{Who: s.who()}); err != nil {
		return "", err
	}
	return fmt.Sprintf("The case rests on version %d now. Readings keep the version that they were taken on.", on.Newest), nil
}

// drawerOf opens the drawing of a case's layout; nil for a case that is in no
// casebook.
func (s *Shell) drawerOf(caseID string) func() {
	if caseID == "" || s.book == nil {
		return nil
	}
	return func() { s.draw("", caseID) }
}
