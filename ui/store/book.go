package store

import (
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
)

var _ Store = (*Book)(nil)

// A Book is one case of a casebook. Every command is on the disk when it
// returns.
type Book struct {
	book *casebook.Book
	id   string
	who  string
	now  fault.Case
	rev  int64

	steps *Steps // as last asked for; nil = something was recorded since
}

// NewBook opens a case of a casebook by its id there. The casebook stays its
// owner's to close.
func NewBook(b *casebook.Book, id string) (*Book, error) {
	s := &Book{book: b, id: id}
	return s, s.read()
}

// read takes the case as the casebook has it now.
func (s *Book) read() error {
	s.steps = nil // asked for again, even where the case cannot be read
	c, info, err := s.book.Case(s.id)
	if err == nil {
		s.hold(c, info)
	}
	return err
}

// hold takes a case that was read, as it is after a command.
func (s *Book) hold(c fault.Case, info casebook.Info) {
	s.steps = nil
	s.now, s.rev = c, info.Revision
	s.now.LayoutVersion = strconv.Itoa(info.Version)
}

// after reads the case again when a command worked.
func (s *Book) after(err error) error {
	if err != nil {
		return err
	}
	return s.read()
}

func (s *Book) by(why string) casebook.By { return casebook.By{Who: s.who, Why: why} }

// Case is the case as it stood after the last command.
func (s *Book) Case() fault.Case { return s.now }

// Lasting is true: every command is on the disk.
func (s *Book) Lasting() bool { return true }

// SetWho names who records.
func (s *Book) SetWho(name string) { s.who = name }

// AddReading records a reading.
func (s *Book) AddReading(r fault.Reading) (fault.Reading, error) {
	if r.Who == "" {
		r.Who = s.who
	}
	r, err := s.book.AddReading(s.id, r, s.by(""))
	return r, s.after(err)
}

// SupersedeReading records a correction.
func (s *Book) SupersedeReading(old string, r fault.Reading, why string) (fault.Reading, error) {
	if r.Who == "" {
		r.Who = s.who
	}
	r, err := s.book.SupersedeReading(s.id, old, r, s.by(why))
	return r, s.after(err)
}

// EnterGroupVolts records one group.
func (s *Book) EnterGroupVolts(module, state, instrument string, group int, volts float64) error {
	return s.TypeGroupVolts(module, state, instrument, group, volts, "")
}

// TypeGroupVolts records one group with what was typed.
func (s *Book) TypeGroupVolts(module, state, instrument string, group int, volts float64, typed string) error {
	return s.after(s.book.EnterGroupVolts(s.id, module, state, instrument, group, volts, s.by(typed)))
}

// RecordState adds a state and makes it the present one. The casebook gives no
// id twice, not even one that was undone: then the next number is tried.
func (s *Book) RecordState(st fault.State) (fault.State, error) {
	const most = 40
	wish, tried := st.ID, map[string]bool{}
	var first error
	for {
		got, err := s.book.RecordState(s.id, st, s.by(""))
		if err == nil {
			return got, s.read()
		}
		if first == nil {
			first = err
		}
		if casebook.KindOf(err) != casebook.Refused || len(tried) == most {
			return got, first
		}
		tried[st.ID] = true
		st.ID = unused(wish, func(id string) bool { return tried[id] })
	}
}

// SetNow makes an earlier state the present one.
func (s *Book) SetNow(state string) error {
	return s.after(s.book.SetNow(s.id, state, s.by("")))
}

// AddInstrument adds an instrument.
func (s *Book) AddInstrument(in fault.Instrument) error {
	return s.after(s.book.AddInstrument(s.id, in, s.by("")))
}

// AddResistor adds a test resistor.
func (s *Book) AddResistor(r fault.Resistor) error {
	return s.after(s.book.AddResistor(s.id, r, s.by("")))
}

// SaveFinding freezes a finding that was made from the case as it stands.
func (s *Book) SaveFinding(f fault.Finding) error {
	raw, err := format.WriteFinding(f)
	if err != nil {
		return err
	}
	return s.book.SaveFinding(s.id, s.rev, raw)
}

// AddPhoto keeps a picture in the casebook.
func (s *Book) AddPhoto(of, name string, data []byte) (Photo, error) {
	id, err := s.book.AddPhoto(s.id, of, name, data, s.by(""))
	if err = s.after(err); err != nil {
		return Photo{}, err
	}
	all, err := s.Photos()
	for _, p := range all {
		if p.ID == id {
			return p, err
		}
	}
	return Photo{ID: id, Of: of, Name: name, Size: int64(len(data)), Who: s.who}, err
}

// Photos are the photos of this case.
func (s *Book) Photos() ([]Photo, error) {
	all, err := s.book.Photos(s.id)
	var out []Photo
	for _, p := range all {
		out = append(out, Photo{ID: p.ID, Of: p.Kind, Name: p.Name, Size: p.Size, At: p.At, Who: p.Who})
	}
	return out, err
}

// PhotoData is a photo's bytes.
func (s *Book) PhotoData(id string) ([]byte, error) { return s.book.PhotoData(id) }

// Undo takes back the newest command of this case.
func (s *Book) Undo() (string, error) {
	name, err := s.book.Undo(s.id, s.by(""))
	return name, s.after(err)
}

// Redo does again what was undone last.
func (s *Book) Redo() (string, error) {
	name, err := s.book.Redo(s.id, s.by(""))
	return name, s.after(err)
}

// Steps are what can be undone and redone. The window asks with every key; the file
// is asked when something was recorded.
func (s *Book) Steps() Steps {
	if s.steps != nil {
		return *s.steps
	}
	var st Steps
	// A name that cannot be read is no step that can be offered.
	st.Undo, _ = s.book.UndoName(s.id)
	st.Redo, _ = s.book.RedoName(s.id)
	st.UndoState = strings.HasPrefix(st.Undo, "record ") || strings.HasPrefix(st.Undo, "present state")
	s.steps = &st
	return st
}
