package store

import "halfsplit/topology"

// Layouts is the drawing of one pack, for whoever edits it. A command that returns
// an error changed nothing; the error is in plain words. Like Store it is called from
// one thread, PhotoData from any.
type Layouts interface {
	// Layout is the drawing as it stands. What a command gives back here is what was
	// kept, which may differ from what was given in form alone: −0 is 0.
	Layout() topology.Layout
	Info() LayoutInfo
	// Lasting says that an edit is still there when the window is closed.
	Lasting() bool
	// SetWho names who edits from now on; "" is nobody named.
	SetWho(name string)

	// Save keeps a changed drawing as one step under the name of the edit. What is so
	// already is no step. While nothing was read on the newest version it goes into
	// that; else it makes a new one, a draft.
	Save(l topology.Layout, name string) error
	Undo() (name string, err error)
	Redo() (name string, err error)
	Steps() Steps // of the drawing; none of them is a state

	// Versions are those that stand, the newest first.
	Versions() ([]LayoutVersion, error)
	// Version is the drawing in one of its versions, by its number.
	Version(number int) (topology.Layout, error)

	// AddPhoto keeps a photo, JPEG or PNG, with the layout and returns its SHA-256, by
	// which an underlay names it. It is a step of its own; a photo that is there
	// already is none.
	AddPhoto(name string, data []byte) (sha string, err error)
	// BringPhoto prepares AddPhoto of a large one: write may run beside the window, and
	// taken follows on its thread when write had no error.
	BringPhoto(name string, data []byte) (write func() (sha string, err error), taken func())
	// Photos are those of the layout, in the order in which they were added.
	Photos() ([]LayoutPhoto, error)
	// PhotoData is a photo's bytes as they were added, by SHA-256.
	PhotoData(sha string) ([]byte, error)
}

// A LayoutInfo says which layout it is.
type LayoutInfo struct {
	ID      string // in its casebook; "" = it is in none
	Name    string
	Version int  // from 1
	Draft   bool // nothing was read on this version yet
	Next    int  // the version that an edit begins where this one is no draft
	Cases   int  // that rest on any version
}

// A LayoutPhoto is a photo of a layout, without its bytes.
type LayoutPhoto struct {
	SHA, Name string
	Size      int64  // bytes
	At, Who   string // RFC 3339; "" = not recorded
}

// A LayoutVersion is one version of a layout, with what rests on it.
type LayoutVersion struct {
	Number   int
	Name     string // of the layout in this version
	Draft    bool   // nothing was read on it yet
	At, Who  string // of its last change, RFC 3339; "" = not recorded
	Cases    int    // that rest on it now
	Readings int    // that were read on it
	Lists    int    // of group volts, likewise
}
