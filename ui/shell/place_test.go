package shell

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui"
)

// What is typed is in the file before the window closes, and the next start has it
// in the same field of the same reading.
func TestShell_AnEntryOutlivesTheProgram(t *testing.T) {
	path := shop(t)
	r := run(t, path, nil)
	r.key(fyne.KeyReturn, fyne.KeyHome, fyne.KeyReturn)
	r.typed("28.9")
	data, err := os.ReadFile(path + "-window.json")
	if err != nil || !strings.Contains(string(data), `"28.9"`) {
		t.Fatalf("what is typed is not kept yet: %v\n%s", err, data)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}

	r = run(t, path, nil)
	if r.desk == nil || r.desk.Selected() != "module:M01" {
		t.Fatal("the second start is not at the module")
	}
	r.typed("8")
	r.key(fyne.KeyReturn)
	id := r.kept.Last(r.book.Path())
	c, _, err := r.book.Case(id)
	if err != nil {
		t.Fatal(err)
	}
	if last := c.Readings[len(c.Readings)-1]; last.Raw != "28.98" || last.Red != "M01+" || last.Black != "M01-" {
		t.Errorf("recorded %+v", last)
	}
	saved := len(c.Readings)

	// The program ended after the reading was recorded and before its place was
	// kept: it is not proposed again.
	var at ui.Place
	if err := json.Unmarshal(r.kept.Places[id], &at); err != nil {
		t.Fatal(err)
	}
	if at.Form.Red != "M02+" || !at.Entering {
		t.Fatalf("after the reading the place is %+v", at)
	}
	at.Form.Module, at.Form.Red, at.Form.Black, at.Form.Raw = "M01", "M01+", "M01-", "28.98"
	r.keepPlace(id, at)
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = run(t, path, nil)
	if r.desk.Selected() != "module:M02" {
		t.Errorf("the third start is at %s", r.desk.Selected())
	}
	r.key(fyne.KeyReturn)
	if c, _, err = r.book.Case(id); err != nil || len(c.Readings) != saved {
		t.Errorf("the reading was recorded twice, or %v", err)
	}
}

// A place that the case no longer has, or that cannot be read, is left alone.
func TestShell_APlaceThatIsGone(t *testing.T) {
	path := shop(t)
	r := run(t, path, nil)
	r.key(fyne.KeyReturn)
	id := r.kept.Last(r.book.Path())
	for _, raw := range []string{`{"entering":true,"form":{"Kind":0,"Module":"M99","Red":"M99+","Black":"M99-","Raw":"1"}}`, `{"form":7}`, `{"selected":"module:M99"}`, `[]`} {
		if r.kept.Places == nil {
			r.kept.Places = map[string]json.RawMessage{}
		}
		r.kept.Places[id] = json.RawMessage(raw)
		r.late = true
		if err := r.Close(); err != nil {
			t.Fatal(err)
		}
		r = run(t, path, nil)
		if r.desk == nil {
			t.Fatalf("%s: the case does not open", raw)
		}
		r.key(fyne.KeyReturn)
		r.typed("3")
		r.key(fyne.KeyEscape)
	}
}
