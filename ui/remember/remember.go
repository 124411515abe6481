// Package remember keeps how a person likes the window and where they were: the
// text size, the colours, the glove view, how the window is divided, the last
// open case of each casebook, where a person was in a case with what was typed
// there and not saved, and a copy of the emergency page for when the casebook
// cannot be opened. It is one small JSON file that is replaced as a whole; nothing
// that was recorded is in it, and whatever is wrong with it counts as nothing
// remembered.
package remember

import (
	"encoding/json"
	"os"
	"path/filepath"

	"halfsplit/ui/files"
)

// Text sizes in per cent of the usual one.
const (
	LeastText = 100
	MostText  = 250
	TextStep  = 25
)

// A State is what is remembered.
type State struct {
	Text      int               `json:"text,omitempty"`      // per cent; 0 = 100
	Glove     bool              `json:"glove,omitempty"`     // the glove view is on
	Colours   string            `json:"colours,omitempty"`   // name of a theme variant
	Cases     map[string]string `json:"cases,omitempty"`     // last open case by the casebook's path; "" = the list
	Ruler     int               `json:"ruler,omitempty"`     // the ruler's share of the height, per cent; 0 = what it needs
	Sheet     int               `json:"sheet,omitempty"`     // the sheet's width; 0 = by the window's width
	Who       string            `json:"who,omitempty"`       // who was here last
	Emergency string            `json:"emergency,omitempty"` // the workshop's page, as the casebook holds it

	Meters map[string]string `json:"meters,omitempty"` // addresses of connected meters, by serial number or name

	Places map[string]json.RawMessage `json:"places,omitempty"` // where a person was, by the case's id
}

// Percent is the text size within its limits.
func (s State) Percent() int {
	if s.Text == 0 {
		return LeastText
	}
	return max(LeastText, min(MostText, s.Text))
}

// Last is the last open case of a casebook, "" for none.
func (s State) Last(book string) string { return s.Cases[whole(book)] }

// SetLast remembers the open case of a casebook; "" is the list.
func (s *State) SetLast(book, id string) {
	if s.Cases == nil {
		s.Cases = map[string]string{}
	}
	if id == "" {
		delete(s.Cases, whole(book))
		return
	}
	s.Cases[whole(book)] = id
}

func whole(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// Load reads the file; one that is missing or broken is nothing remembered.
func Load(path string) State {
	var s State
	if data, err := os.ReadFile(path); err != nil || json.Unmarshal(data, &s) != nil {
		return State{}
	}
	return s
}

// Save replaces the file.
func Save(path string, s State) error {
	data, err := json.MarshalIndent(s, "", " ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return files.Write(path, data, true)
}
