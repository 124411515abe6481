package store

import (
	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

var _ Layouts = (*LayoutBook)(nil)

// A LayoutBook is one layout of a casebook. Every edit is on the disk when its command
// returns.
type LayoutBook struct {
	book  *casebook.Book
	id    string
	who   string
	now   topology.Layout
	info  LayoutInfo
	steps *Steps // as last asked for; nil = something was done since
}

// NewLayoutBook opens a layout of a casebook by its id there. The casebook stays its
// owner's to close.
func NewLayoutBook(b *casebook.Book, id string) (*LayoutBook, error) {
	s := &LayoutBook{book: b, id: id}
	return s, s.read()
}

// read takes the layout as the casebook has it now.
func (s *LayoutBook) read() error {
	s.steps = nil
	l, info, err := s.book.Layout(s.id)
	if err == nil {
		s.hold(l, info)
	}
	return err
}

func (s *LayoutBook) hold(l topology.Layout, info casebook.LayoutInfo) {
	s.now = l
	s.info = LayoutInfo{ID: info.ID, Name: info.Name, Version: info.Version, Draft: info.Draft, Next: info.Next, Cases: info.Cases}
}

func (s *LayoutBook) after(err error) error {
	if err != nil {
		return err
	}
	return s.read()
}

func (s *LayoutBook) by() casebook.By { return casebook.By{Who: s.who} }

// Layout is the drawing as it stood after the last command.
func (s *LayoutBook) Layout() topology.Layout { return s.now }

// Info says which version that is.
func (s *LayoutBook) Info() LayoutInfo { return s.info }

// Lasting is true: every edit is on the disk.
func (s *LayoutBook) Lasting() bool { return true }

// SetWho names who edits.
func (s *LayoutBook) SetWho(name string) { s.who = name }

// Save keeps a changed drawing.
func (s *LayoutBook) Save(l topology.Layout, name string) error {
	kept, err := s.book.EditLayout(s.id, l, name, s.by())
	if err != nil {
		return err
	}
	s.steps = nil
	info, err := s.book.LayoutInfo(s.id)
	if err == nil {
		s.hold(kept, info)
	}
	return err
}

// Undo takes back the newest step of this layout.
func (s *LayoutBook) Undo() (string, error) {
	name, err := s.book.Undo(s.id, s.by())
	return name, s.after(err)
}

// Redo does again what was undone last.
func (s *LayoutBook) Redo() (string, error) {
	name, err := s.book.Redo(s.id, s.by())
	return name, s.after(err)
}

// Steps are what can be undone and redone. The file is asked once after a command.
func (s *LayoutBook) Steps() Steps {
	if s.steps == nil {
		var st Steps
		// A name that cannot be read is no step that can be offered.
		st.Undo, st.Redo, _ = s.book.LayoutSteps(s.id)
		s.steps = &st
	}
	return *s.steps
}

// Versions are the versions that stand.
func (s *LayoutBook) Versions() ([]LayoutVersion, error) {
	all, err := s.book.LayoutVersions(s.id)
	var out []LayoutVersion
	for _, v := range all {
		out = append(out, LayoutVersion(v))
	}
	return out, err
}

// Version is one of them.
func (s *LayoutBook) Version(number int) (topology.Layout, error) {
	return s.book.LayoutVersion(s.id, number)
}

// AddPhoto keeps a photo in the casebook.
func (s *LayoutBook) AddPhoto(name string, data []byte) (string, error) {
	write, taken := s.BringPhoto(name, data)
	sha, err := write()
	if err == nil {
		taken()
	}
	return sha, err
}

// BringPhoto prepares it: the casebook may be written to from any thread.
func (s *LayoutBook) BringPhoto(name string, data []byte) (write func() (string, error), taken func()) {
	book, id, by := s.book, s.id, s.by()
	return func() (string, error) { return book.AddLayoutPhoto(id, name, data, by) }, func() { s.steps = nil }
}

// Photos are the photos of this layout.
func (s *LayoutBook) Photos() ([]LayoutPhoto, error) {
	all, err := s.book.LayoutPhotos(s.id)
	var out []LayoutPhoto
	for _, p := range all {
		out = append(out, LayoutPhoto{SHA: p.SHA256, Name: p.Name, Size: p.Size, At: p.At, Who: p.Who})
	}
	return out, err
}

// PhotoData is a photo's bytes.
func (s *LayoutBook) PhotoData(sha string) ([]byte, error) { return s.book.PhotoBytes(sha) }
