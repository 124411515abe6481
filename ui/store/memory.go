package store

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

var _ Store = (*Memory)(nil)

// A Memory keeps a case in memory: for a case that was opened from a file, and
// for tests. Ids are never given twice, not even after an undo.
type Memory struct {
	now   fault.Case
	done  []step
	taken []step // that were undone
	who   string
	ids   map[string]bool // ever given to anything that is recorded
	saved []fault.Finding

	photos []photo
	given  int // photos ever added
	drafts map[string]string
}

// A photo with its bytes.
type photo struct {
	Photo
	data []byte
}

// A step is one command: the case before and after it.
type step struct {
	name          string
	before, after fault.Case
	state         bool
	photo         *photo // that it added
}

// NewMemory starts from a case.
func NewMemory(c fault.Case) *Memory {
	m := &Memory{now: c, ids: map[string]bool{}}
	for _, r := range c.Readings {
		m.ids[r.ID] = true
	}
	for _, s := range c.States {
		m.ids[s.ID] = true
	}
	for _, n := range c.Noted {
		m.ids[n.ID] = true
	}
	for _, e := range c.MakeSafe {
		m.ids[e.ID] = true
	}
	return m
}

// Case is the case as it stands.
func (m *Memory) Case() fault.Case { return m.now }

// Lasting is false: what was recorded goes with the window.
func (m *Memory) Lasting() bool { return false }

// SetWho names who records.
func (m *Memory) SetWho(name string) { m.who = name }

func (m *Memory) do(name string, state bool, after fault.Case) {
	m.done = append(m.done, step{name: name, before: m.now, after: after, state: state})
	m.taken = nil
	m.now = after
}

// stamped gives a reading the next free id and who took it.
func (m *Memory) stamped(r fault.Reading) (fault.Reading, error) {
	if _, ok := m.now.State(r.State); !ok {
		return r, fmt.Errorf("there is no state %q in this case: record the present state first", r.State)
	}
	if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) {
		return r, errors.New("a reading needs a number")
	}
	if r.ID == "" {
		for n := 1; r.ID == "" || m.ids[r.ID]; n++ {
			r.ID = "r" + strconv.Itoa(n)
		}
	}
	if r.Who == "" {
		r.Who = m.who
	}
	return r, nil
}

// AddReading records a reading.
func (m *Memory) AddReading(r fault.Reading) (fault.Reading, error) {
	return m.add(r, Name(r))
}

func (m *Memory) add(r fault.Reading, name string) (fault.Reading, error) {
	r, err := m.stamped(r)
	if err != nil {
		return r, err
	}
	c, err := m.now.With(r)
	if err != nil {
		return r, err
	}
	m.ids[r.ID] = true
	m.do(name, false, c)
	return r, nil
}

// SupersedeReading records a correction.
func (m *Memory) SupersedeReading(old string, r fault.Reading, why string) (fault.Reading, error) {
	was, ok := m.now.Reading(old)
	if !ok {
		return r, fmt.Errorf("there is no reading %q in this case", old)
	}
	if strings.TrimSpace(why) == "" {
		return r, errors.New("a correction needs a reason")
	}
	if by, done := m.now.Superseded()[old]; done {
		return r, fmt.Errorf("%s was replaced by %s already: correct that one", old, by.ID)
	}
	r.Supersedes, r.Why = old, why
	if r.Stands != "" && r.Value == was.Value {
		return m.add(r, "keep as read: "+Name(was))
	}
	return m.add(r, Name(was)+" -> "+value(r))
}

// EnterGroupVolts puts one group into the module's newest list of that state and
// instrument, or begins one.
func (m *Memory) EnterGroupVolts(module, state, instrument string, group int, volts float64) error {
	series := 0
	for _, mod := range m.now.Layout.Modules {
		if mod.ID == module {
			series = mod.Series
		}
	}
	if group < 1 || group > series {
		return fmt.Errorf("module %s has no group %d", module, group)
	}
	if _, ok := m.now.State(state); !ok {
		return fmt.Errorf("there is no state %q in this case: record the present state first", state)
	}
	c := m.now
	c.GroupVolts = append([]fault.GroupVolts(nil), c.GroupVolts...)
	at := -1
	for i, g := range c.GroupVolts {
		if g.Module == module && g.State == state && g.Instrument == instrument {
			at = i
		}
	}
	if at < 0 {
		g := fault.GroupVolts{Module: module, State: state, Instrument: instrument, Source: "by hand", Volts: make([]float64, series)}
		for k := range g.Volts {
			g.Volts[k] = math.NaN()
		}
		c.GroupVolts = append(c.GroupVolts, g)
		at = len(c.GroupVolts) - 1
	}
	list := append([]float64(nil), c.GroupVolts[at].Volts...)
	for len(list) < series {
		list = append(list, math.NaN())
	}
	list[group-1] = volts
	c.GroupVolts[at].Volts = list
	m.do(groupName(module, group, volts), false, c)
	return nil
}

// TypeGroupVolts puts one group into the list; memory keeps no log of keystrokes.
func (m *Memory) TypeGroupVolts(module, state, instrument string, group int, volts float64, _ string) error {
	return m.EnterGroupVolts(module, state, instrument, group, volts)
}

// RecordState adds a state and makes it the present one.
func (m *Memory) RecordState(s fault.State) (fault.State, error) {
	s.ID = unused(s.ID, func(id string) bool { return m.ids[id] })
	m.ids[s.ID] = true
	c := m.now
	c.States = append(c.States[:len(c.States):len(c.States)], s)
	c.Now = s.ID
	m.do("record state "+s.ID, true, c)
	return s, nil
}

// SetNow makes an earlier state the present one.
func (m *Memory) SetNow(state string) error {
	if _, ok := m.now.State(state); !ok && state != "" {
		return fmt.Errorf("there is no state %q in this case", state)
	}
	if state == m.now.Now {
		return nil
	}
	c := m.now
	c.Now = state
	m.do("present state "+state, true, c)
	return nil
}

// AddInstrument adds an instrument.
func (m *Memory) AddInstrument(in fault.Instrument) error {
	if _, ok := m.now.Instrument(in.ID); ok || in.ID == "" {
		return fmt.Errorf("an instrument needs a name that none has yet, and %q is not one", in.ID)
	}
	c := m.now
	c.Instruments = append(c.Instruments[:len(c.Instruments):len(c.Instruments)], in)
	m.do("instrument "+in.ID, false, c)
	return nil
}

// AddResistor adds a test resistor.
func (m *Memory) AddResistor(r fault.Resistor) error {
	if _, ok := m.now.Resistor(r.ID); ok || r.ID == "" {
		return fmt.Errorf("a test resistor needs a name that none has yet, and %q is not one", r.ID)
	}
	c := m.now
	c.Resistors = append(c.Resistors[:len(c.Resistors):len(c.Resistors)], r)
	m.do("test resistor "+r.ID, false, c)
	return nil
}

// SaveFinding keeps a finding while the window is open.
func (m *Memory) SaveFinding(f fault.Finding) error {
	m.saved = append(m.saved, f)
	return nil
}

// AddPhoto keeps a picture while the window is open.
func (m *Memory) AddPhoto(of, name string, data []byte) (Photo, error) {
	if len(data) == 0 {
		return Photo{}, errors.New("this photo is empty")
	}
	m.given++
	p := photo{Photo{ID: "p" + strconv.Itoa(m.given), Of: of, Name: name, Size: int64(len(data)), Who: m.who}, append([]byte(nil), data...)}
	m.do("photo "+name, false, m.now)
	m.done[len(m.done)-1].photo = &p
	m.photos = append(m.photos, p)
	return p.Photo, nil
}

// Photos are the photos of the case.
func (m *Memory) Photos() ([]Photo, error) {
	var out []Photo
	for _, p := range m.photos {
		out = append(out, p.Photo)
	}
	return out, nil
}

// PhotoData is a photo's bytes.
func (m *Memory) PhotoData(id string) ([]byte, error) {
	for _, p := range m.photos {
		if p.ID == id {
			return p.data, nil
		}
	}
	return nil, fmt.Errorf("there is no photo %q in this case", id)
}

// Undo takes back the newest command.
func (m *Memory) Undo() (string, error) {
	if len(m.done) == 0 {
		return "", errors.New("there is nothing to undo")
	}
	s := m.done[len(m.done)-1]
	m.done = m.done[:len(m.done)-1]
	m.taken = append(m.taken, s)
	m.now = s.before
	if s.photo != nil {
		m.photos = m.photos[:len(m.photos)-1]
	}
	return s.name, nil
}

// Redo does again what was undone last.
func (m *Memory) Redo() (string, error) {
	if len(m.taken) == 0 {
		return "", errors.New("there is nothing to redo")
	}
	s := m.taken[len(m.taken)-1]
	m.taken = m.taken[:len(m.taken)-1]
	m.done = append(m.done, s)
	m.now = s.after
	if s.photo != nil {
		m.photos = append(m.photos, *s.photo)
	}
	return s.name, nil
}

// Steps are what can be undone and redone.
func (m *Memory) Steps() Steps {
	var s Steps
	if n := len(m.done); n > 0 {
		s.Undo, s.UndoState = m.done[n-1].name, m.done[n-1].state
	}
	if n := len(m.taken); n > 0 {
		s.Redo = m.taken[n-1].name
	}
	return s
}
