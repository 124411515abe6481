package reaching_test

import (
	"context"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/fault/reach"
	"halfsplit/ui/command"
	"halfsplit/ui/hands"
	"halfsplit/ui/reaching"
	"halfsplit/ui/sample"
	"halfsplit/ui/theme"
)

// answer has three states: one that grows with the leak, one that stays, and one that
// names no place for the softest leak.
func answer(q reach.Question) reach.Answer {
	a := reach.Answer{Layout: "Estate, 14 modules", Modules: 14, Groups: 111, Strings: 1, Instrument: fault.Instrument{ID: "dmm"}, Trials: q.Trials, Seed: q.Seed, Ohms: []float64{1e3, 10e3, 100e3, 1e6, 5e6},
		Takes:  []string{"No test resistor was given."},
		States: []reach.State{{Name: "unbroken"}, {Name: "SD open", Open: []string{"SD"}, Least: 1, Most: 1}, {Name: "SD open, then L03 or L09", Open: []string{"SD"}, Choice: []string{"L03", "L09"}, Least: 6, Most: 9}}}
	n := q.Trials
	cell := func(low, mid, high float64) reach.Cell {
		return reach.Cell{Trials: n, Named: n, Half: reach.Quantiles{P5: low, Median: mid, P90: high, P95: high}, Modules: 1.4, First: n - 1, Inside: n, Measured: n, Readings: 10,
			Limited: []reach.Count{{What: "leak path", N: n}}, Verdicts: []reach.Count{{What: fault.Located, N: n}}}
	}
	none := math.Inf(1)
	a.Cells = [][]reach.Cell{{cell(0.9, 1, 1.1), cell(0.9, 1, 1.1), cell(0.9, 1.1, 1.4), cell(1.1, 2.6, 5), cell(2, 8, 12)},
		{cell(0.9, 0.98, 1), cell(0.9, 0.98, 1), cell(0.7, 0.98, 1), cell(0.9, 0.98, 1), cell(0.9, 0.98, 1.2)},
		{cell(0.5, 0.9, 1), cell(0.4, 0.9, 1), cell(0.5, 0.9, 1), cell(0.5, 0.9, none), cell(none, none, none)}}
	a.Cells[2][4].Named = n / 4
	return a
}

// A rig is the page in a window without a screen; work beside the window waits in jobs.
type rig struct {
	*reaching.Page
	w      fyne.Window
	jobs   []func()
	asked  reach.Question
	ctx    context.Context
	during func(progress func(done, total int)) // while it is simulated
	err    error
	back   int
	copied string
	folder string
	c      fault.Case
}

func open(t *testing.T, variant theme.Variant, size fyne.Size) *rig {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: variant})
	r := &rig{w: test.NewTempWindow(t, nil), folder: t.TempDir(), c: sample.Case()}
	r.Page = reaching.New(reaching.Deps{Case: func() fault.Case { return r.c }, Go: func(f func()) { r.jobs = append(r.jobs, f) }, Do: func(f func()) { f() },
		Run: func(ctx context.Context, q reach.Question, progress func(done, total int)) (reach.Answer, error) {
			r.ctx, r.asked = ctx, q
			if r.during != nil {
				r.during(progress)
			}
			if ctx.Err() != nil {
				return reach.Answer{}, ctx.Err()
			}
			return answer(q), r.err
		},
		Back: func() { r.back++ }, Copy: func(s string) { r.copied = s }, Folder: r.folder, Canvas: func() fyne.Canvas { return r.w.Canvas() }})
	r.w.SetPadded(false)
	r.w.SetContent(r.Content())
	r.w.Resize(size)
	r.Open()
	r.Focus()
	return r
}

var wide = fyne.NewSize(1280, 700)

func (r *rig) run() {
	for len(r.jobs) > 0 {
		f := r.jobs[0]
		r.jobs = r.jobs[1:]
		f()
	}
}

func (r *rig) text() string {
	var out []string
	for _, b := range r.Blocks() {
		out = append(out, b.Text+" "+b.Value)
	}
	return strings.ReplaceAll(strings.Join(out, "\n"), fault.ThinSpace, " ")
}

func (r *rig) want(t *testing.T, texts ...string) {
	t.Helper()
	for _, s := range texts {
		if !strings.Contains(r.text(), s) {
			t.Errorf("%q is missing in\n%s", s, r.text())
		}
	}
}

// chips are the buttons that can be seen.
func chips(o fyne.CanvasObject) (out []*command.Chip) {
	if !o.Visible() {
		return nil
	}
	switch c := o.(type) {
	case *command.Chip:
		return []*command.Chip{c}
	case *fyne.Container:
		for _, o := range c.Objects {
			out = append(out, chips(o)...)
		}
	case fyne.Widget:
		for _, o := range test.WidgetRenderer(c).Objects() {
			out = append(out, chips(o)...)
		}
	}
	return out
}

func label(c *command.Chip) string {
	if c.Command.Label != nil {
		return c.Command.Label()
	}
	return c.Command.Name
}

// press presses the button that says so.
func (r *rig) press(t *testing.T, name string) {
	t.Helper()
	var all []string
	for _, c := range chips(r.Content()) {
		if label(c) == name {
			c.Tapped(nil)
			return
		}
		all = append(all, label(c))
	}
	t.Fatalf("there is no button %q but %v", name, all)
}

// By keys alone: more packs, begin, look at the table, save both files, go back.
func TestPage_ByKeys(t *testing.T) {
	r := open(t, theme.Light, wide)
	r.want(t, "How small a place", "Packs of every leak size 20", "Nothing is measured and nothing recorded")
	hands.Type(t, r.w.Canvas(), "++-")
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	r.want(t, "50 packs of every leak size are being simulated", "0 %")
	r.during = func(progress func(int, int)) {
		progress(3, 12)
		r.want(t, "25 %")
	}
	r.run()
	if r.asked.Trials != 50 || len(r.asked.Layout.Modules) != len(r.c.Layout.Modules) || len(r.asked.Instruments) == 0 {
		t.Errorf("asked %+v", r.asked)
	}
	r.want(t, "Expected, not measured", "From the unbroken string a leak up to 100 kΩ is pinned to", "With SD open (1 min)", "50 packs with one hidden leak", "No test resistor was given")
	hands.Type(t, r.w.Canvas(), "lc")
	if !strings.Contains(r.copied, "half-width median (groups)") {
		t.Errorf("copied %q", r.copied)
	}
	hands.Type(t, r.w.Canvas(), "s")
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	table := filepath.Join(r.folder, "reach-estate-14-modules.csv")
	r.want(t, "Saved: "+table)
	f, err := os.Open(table)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if rows, err := csv.NewReader(f).ReadAll(); err != nil || len(rows) != 16 {
		t.Errorf("%d rows, %v", len(rows), err)
	}
	hands.Type(t, r.w.Canvas(), "p")
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	if data, err := os.ReadFile(filepath.Join(r.folder, "reach-estate-14-modules.png")); err != nil || !strings.HasPrefix(string(data), "\x89PNG") {
		t.Errorf("%v, %d bytes", err, len(data))
	}
	hands.Key(t, r.w.Canvas(), fyne.KeyEscape)
	if r.back != 1 {
		t.Errorf("Escape went back %d times", r.back)
	}
}

// By presses alone, with a file that is there already and a name that cannot be.
func TestPage_ByPresses(t *testing.T) {
	r := open(t, theme.Light, wide)
	r.press(t, "Fewer packs")
	r.press(t, "Simulate")
	r.run()
	r.want(t, "10 packs with one hidden leak")
	r.press(t, "As a table")
	r.press(t, "As a picture")
	old := filepath.Join(r.folder, "reach-estate-14-modules.csv")
	if err := os.WriteFile(old, []byte("kept"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.press(t, "Save the table …")
	r.press(t, "Save")
	if data, _ := os.ReadFile(old); string(data) != "kept" {
		t.Fatalf("it was written over: %q", data)
	}
	r.press(t, "Replace that file")
	if data, _ := os.ReadFile(old); !strings.HasPrefix(string(data), "state,") {
		t.Errorf("it was not replaced: %.40q", data)
	}
	r.press(t, "Save the picture …")
	r.press(t, "Leave")
	r.want(t, "Nothing was saved.")
	r.press(t, "Back")
	if r.back != 1 {
		t.Errorf("went back %d times", r.back)
	}
}

func TestPage_SavingWhatCannotBe(t *testing.T) {
	r := open(t, theme.Light, wide)
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	r.run()
	hands.Type(t, r.w.Canvas(), "s")
	hands.Type(t, r.w.Canvas(), ".doc")
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	if all, _ := os.ReadDir(r.folder); len(all) != 0 {
		t.Errorf("saved %v", all)
	}
	hands.Key(t, r.w.Canvas(), fyne.KeyEscape)
	if err := os.RemoveAll(r.folder); err != nil {
		t.Fatal(err)
	}
	hands.Type(t, r.w.Canvas(), "p")
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn, fyne.KeyEscape) // the folder is gone; still asked
	r.want(t, "Nothing was saved.")
	r.during = func(func(int, int)) { hands.Key(t, r.w.Canvas(), fyne.KeyReturn) }
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	r.run()
	r.want(t, "ended before it was done", "Below is the answer before it", "From the unbroken string")
	if r.back != 0 {
		t.Error("Escape from saving left the page")
	}
}

func TestPage_EndedAndLeftLeaveNothingRunning(t *testing.T) {
	r := open(t, theme.Light, wide)
	r.during = func(func(int, int)) { hands.Key(t, r.w.Canvas(), fyne.KeyEscape) }
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	r.run()
	if r.ctx.Err() == nil || r.back != 0 {
		t.Errorf("%v, back %d", r.ctx.Err(), r.back)
	}
	r.want(t, "ended before it was done")
	r.during = func(func(int, int)) { r.press(t, "End the simulation") }
	r.press(t, "Simulate")
	r.run()
	if r.ctx.Err() == nil {
		t.Error("the press did not end it")
	}
	r.during = func(func(int, int)) { r.Close() }
	r.press(t, "Simulate")
	r.run()
	if r.ctx.Err() == nil || strings.Contains(r.text(), "Expected, not measured") {
		t.Errorf("left: %v\n%s", r.ctx.Err(), r.text())
	}
}

func TestPage_SaysWhatIsWrong(t *testing.T) {
	r := open(t, theme.Light, wide)
	r.err = errors.New("L7: closing L7 would short 48.3 V")
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	r.run()
	r.want(t, "It could not be simulated: L7: closing L7 would short 48.3 V.")
	r.c.Layout.Modules = nil
	hands.Key(t, r.w.Canvas(), fyne.KeyReturn)
	r.want(t, "the pack is drawn first")
	if len(r.jobs) != 0 {
		t.Error("it simulates nothing at length")
	}
}

// The real simulation comes through the page.
func TestPage_WithTheSimulationItself(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	c := sample.Case()
	p := reaching.New(reaching.Deps{Case: func() fault.Case { return c }, Go: func(f func()) { f() }, Do: func(f func()) { f() }, Back: func() {},
		Run: func(ctx context.Context, q reach.Question, progress func(int, int)) (reach.Answer, error) {
			q.Ohms, q.Trials = []float64{10e3}, 2
			return reach.Run(ctx, q, progress)
		}})
	w := test.NewTempWindow(t, p.Content())
	w.Resize(wide)
	p.Open()
	w.Canvas().Focus(nil)
	for _, b := range chips(p.Content()) {
		if label(b) == "Simulate" {
			b.Tapped(nil)
		}
	}
	var all []string
	for _, b := range p.Blocks() {
		all = append(all, b.Text)
	}
	if s := strings.Join(all, "\n"); !strings.Contains(s, "From the unbroken string a leak") {
		t.Errorf("it says\n%s", s)
	}
}
