// Package store is what the window needs of the case that it records into: the
// case as it stands, the few commands that change it, and their undo by name.
// Memory keeps a case for as long as the window is open; Book writes every
// command into a casebook before it returns.
//
// It knows no widget and computes nothing from readings. Everything here is
// called from one thread.
package store

import "halfsplit/fault"

// A Store holds one case. A command that returns an error changed nothing; the
// error is in plain words.
type Store interface {
	// Case is the case as it stands.
	Case() fault.Case
	// Lasting says that what is recorded is still there when the window is
	// closed.
	Lasting() bool
	// SetWho names who records from now on; "" is nobody named.
	SetWho(name string)

	// AddReading records a reading and returns it with the id that it got.
	AddReading(r fault.Reading) (fault.Reading, error)
	// SupersedeReading records a correction of an earlier reading, which stays.
	SupersedeReading(old string, r fault.Reading, why string) (fault.Reading, error)
	// AddList prepares the recording of a list as one step: write may run beside the
	// window, and taken follows on its thread when write had no error.
	AddList(l List) (write, taken func() error)
	// EnterGroupVolts records the volts of one group, counted from 1 at the
	// module's negative end.
	EnterGroupVolts(module, state, instrument string, group int, volts float64) error
	// TypeGroupVolts is EnterGroupVolts with what the log says of it: the
	// keystrokes, and why it replaces what the group had.
	TypeGroupVolts(module, state, instrument string, group int, volts float64, typed string) error
	// RecordState adds a state and makes it the present one. An id that is
	// taken gets a number.
	RecordState(s fault.State) (fault.State, error)
	// SetNow makes an earlier state the present one again.
	SetNow(state string) error
	AddInstrument(in fault.Instrument) error
	AddResistor(r fault.Resistor) error
	// ReviseInstrument puts the description of an instrument right, under its name;
	// ReviseResistor that of a test resistor. The old one stays in the history.
	ReviseInstrument(in fault.Instrument) error
	ReviseResistor(r fault.Resistor) error
	// AddProvings records entries of the proving log as one step.
	AddProvings(list []fault.Proving) error
	// AddNoted records what a person saw at a place and returns it with the id
	// that it got.
	AddNoted(n fault.Noted) (fault.Noted, error)
	// WithdrawNoted strikes out something that was noted, for a reason.
	WithdrawNoted(id, why string) error
	// AddMakeSafe records one entry of the make-safe record and returns it with the
	// id that it got. It supersedes what stood for its item, which stays.
	AddMakeSafe(m fault.MakeSafe) (fault.MakeSafe, error)
	// SetMinutes records how many minutes a link or board takes to reach and open
	// or unplug in this workshop, from 0 to fault.MostMinutes, in place of the
	// layout's; nil takes that back. What is so already is no step.
	SetMinutes(id string, minutes *float64) error
	// SaveFinding keeps a finding that was computed from the case as it stands.
	SaveFinding(f fault.Finding) error

	// AddPhoto keeps a picture of what of names, such as "reading:r3" or
	// "module:M07"; "" is the case as a whole. name is its note, or its file's name.
	AddPhoto(of, name string, data []byte) (Photo, error)
	// Photos are the photos of the case, in the order in which they were added.
	Photos() ([]Photo, error)
	// PhotoData is a photo's bytes, as they were added.
	PhotoData(id string) ([]byte, error)

	// Draft is what was kept beside the case under a name, "" for nothing: work in
	// hand, such as a run of readings, that is no evidence.
	Draft(name string) string
	// KeepDraft keeps it in place of what was there.
	KeepDraft(name, text string) error

	Undo() (name string, err error)
	Redo() (name string, err error)
	Steps() Steps
}

// A Photo is a picture of the case, without its bytes.
type Photo struct {
	ID, Of, Name string
	Size         int64  // bytes
	At, Who      string // RFC 3339; "" = not recorded
}

// Steps are what can be undone and redone.
type Steps struct {
	Undo, Redo string // the commands' names; "" = nothing
	UndoState  bool   // Undo would take back a recorded state
}
