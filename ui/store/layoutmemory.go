package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"sync"

	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
	"halfsplit/topology"
)

var _ Layouts = (*LayoutMemory)(nil)

// A LayoutMemory keeps a drawing for as long as the window is open: for one that was
// opened from a file, and for tests.
type LayoutMemory struct {
	now   topology.Layout
	file  []byte // now, as a file
	who   string
	done  []layoutStep
	taken []layoutStep // that were undone

	shown []LayoutPhoto // that stand, in the order of their adding
	mu    sync.Mutex
	data  map[string][]byte // of every photo ever added
}

// A layoutStep is one command with what it led from and to.
type layoutStep struct {
	name          string
	before, after drawing
}

// A drawing is all that a step can change.
type drawing struct {
	layout topology.Layout
	file   []byte
	shown  []LayoutPhoto
}

// NewLayoutMemory starts from a layout.
func NewLayoutMemory(l topology.Layout) (*LayoutMemory, error) {
	m := &LayoutMemory{data: map[string][]byte{}}
	l, file, err := kept(l)
	m.now, m.file = l, file
	return m, err
}

// kept is a layout as a file holds it.
func kept(l topology.Layout) (topology.Layout, []byte, error) {
	raw, as, err := format.KeepLayout(l)
	var e *format.Error
	switch {
	case errors.As(err, &e):
		return l, nil, errors.New("this layout cannot be saved: " + format.OneLine(e.Place+": "+e.Reason))
	case err != nil:
		return l, nil, errors.New("this layout cannot be saved: a number is missing or without bound")
	}
	return as, raw, nil
}

// Layout is the drawing as it stands.
func (m *LayoutMemory) Layout() topology.Layout { return m.now }

// Info is that of a draft that no case rests on.
func (m *LayoutMemory) Info() LayoutInfo {
	return LayoutInfo{Name: m.now.Name, Version: 1, Draft: true, Next: 2}
}

// Lasting is false: what was drawn goes with the window.
func (m *LayoutMemory) Lasting() bool { return false }

// SetWho names who edits.
func (m *LayoutMemory) SetWho(name string) { m.who = name }

func (m *LayoutMemory) drawing() drawing { return drawing{m.now, m.file, m.shown} }

func (m *LayoutMemory) do(name string, after drawing) {
	m.done, m.taken = append(m.done, layoutStep{name, m.drawing(), after}), nil
	m.set(after)
}

func (m *LayoutMemory) set(d drawing) { m.now, m.file, m.shown = d.layout, d.file, d.shown }

// Save keeps a changed drawing.
func (m *LayoutMemory) Save(l topology.Layout, name string) error {
	l, file, err := kept(l)
	if err != nil || bytes.Equal(file, m.file) {
		return err
	}
	m.do(name, drawing{l, file, m.shown})
	return nil
}

// Undo takes back the newest step.
func (m *LayoutMemory) Undo() (string, error) {
	if len(m.done) == 0 {
		return "", errors.New("there is nothing to undo")
	}
	s := m.done[len(m.done)-1]
	m.done, m.taken = m.done[:len(m.done)-1], append(m.taken, s)
	m.set(s.before)
	return s.name, nil
}

// Redo does again what was undone last.
func (m *LayoutMemory) Redo() (string, error) {
	if len(m.taken) == 0 {
		return "", errors.New("there is nothing to redo")
	}
	s := m.taken[len(m.taken)-1]
	m.taken, m.done = m.taken[:len(m.taken)-1], append(m.done, s)
	m.set(s.after)
	return s.name, nil
}

// Steps are what can be undone and redone.
func (m *LayoutMemory) Steps() (st Steps) {
	if n := len(m.done); n > 0 {
		st.Undo = m.done[n-1].name
	}
	if n := len(m.taken); n > 0 {
		st.Redo = m.taken[n-1].name
	}
	return st
}

// Versions are one: nothing is ever read on it.
func (m *LayoutMemory) Versions() ([]LayoutVersion, error) {
	return []LayoutVersion{{Number: 1, Name: m.now.Name, Draft: true}}, nil
}

// Version is the drawing as it stands.
func (m *LayoutMemory) Version(number int) (topology.Layout, error) {
	if number != 1 {
		return topology.Layout{}, fmt.Errorf("this layout has no version %d", number)
	}
	return m.now, nil
}

// AddPhoto keeps a photo while the window is open.
func (m *LayoutMemory) AddPhoto(name string, data []byte) (string, error) {
	if err := casebook.GoodLayoutPhoto(data); err != nil {
		return "", err
	}
	sum := sha256.Sum256(data)
	sha := hex.EncodeToString(sum[:])
	if slices.ContainsFunc(m.shown, func(p LayoutPhoto) bool { return p.SHA == sha }) {
		return sha, nil
	}
	m.mu.Lock()
	m.data[sha] = bytes.Clone(data)
	m.mu.Unlock()
	after := m.drawing()
	after.shown = append(slices.Clone(m.shown), LayoutPhoto{SHA: sha, Name: name, Size: int64(len(data)), Who: m.who})
	m.do("photo "+name, after)
	return sha, nil
}

// BringPhoto adds the photo when it is taken; write checks it.
func (m *LayoutMemory) BringPhoto(name string, data []byte) (write func() (string, error), taken func()) {
	write = func() (string, error) {
		sum := sha256.Sum256(data)
		return hex.EncodeToString(sum[:]), casebook.GoodLayoutPhoto(data)
	}
	return write, func() { _, _ = m.AddPhoto(name, data) } // write has checked it the same way
}

// Photos are the photos of this layout.
func (m *LayoutMemory) Photos() ([]LayoutPhoto, error) { return slices.Clone(m.shown), nil }

// PhotoData is a photo's bytes.
func (m *LayoutMemory) PhotoData(sha string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	data, ok := m.data[sha]
	if !ok {
		return nil, errors.New("this photo is not here: it did not come with the layout")
	}
	return bytes.Clone(data), nil
}
