package shell

import (
	"cmp"
	"fmt"
	"time"

	"halfsplit/fault/casebook"
	"halfsplit/ui/drafting"
	"halfsplit/ui/start"
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
	if last := lastDrawing + caseID; caseID != "" {
		s.setLast(last)
	} else {
		s.setLast(lastLayout + layoutID)
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
		Now:       s.deps.Now, Folder: s.deps.Folder, Back: s.Cases, Who: s.who,
	}
	if s.book != nil && st.Info().ID != "" {
		deps.Others = func() ([]drafting.Other, error) { return s.otherLayouts(st.Info().ID) }
		deps.Other = s.book.ExportLayout
	}
	if caseID != "" {
		deps.Back = func() { s.leaveTable(caseID) }
		deps.Leave = "To the case"
		deps.CaseVersion = func() (int, error) {
			on, err := s.book.LayoutOfCase(caseID)
			return on.Version, err
		}
		deps.Use = func(who, why string) (string, error) { return s.useNewest(caseID, who, why) }
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

// otherLayouts are those of the casebook but one.
func (s *Shell) otherLayouts(but string) ([]drafting.Other, error) {
	all, err := s.book.Layouts()
	var out []drafting.Other
	for _, l := range all {
		if l.ID != but {
			row := start.LayoutRow(l, time.Time{}, nil)
			out = append(out, drafting.Other{ID: l.ID, Name: row.Title, About: row.About + ". " + row.Text})
		}
	}
	return out, err
}

// useNewest lets a case rest on the newest version of its layout; why is the reason
// of a person by name where the drawing alone does not carry it.
func (s *Shell) useNewest(caseID, who, why string) (string, error) {
	on, err := s.book.LayoutOfCase(caseID)
	if err != nil {
		return "", err
	}
	if on.Version == on.Newest {
		return fmt.Sprintf("The case rests on version %d, the newest, already.", on.Version), nil
	}
	if err := s.book.UseNewestLayout(caseID, casebook.By{Who: cmp.Or(who, s.who()), Why: why}); err != nil {
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
