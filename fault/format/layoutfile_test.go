package format_test

import (
	"errors"
	"strings"
	"testing"

	"halfsplit/fault/format"
)

func TestReadCase_LayoutFile(t *testing.T) {
	const good = `{"format": "halfsplit-layout/1", "modules": [{"id": "M", "series": 2}], "spare": 1}`
	const withFile = `{"format": "halfsplit-case/1", "layout_file": "l.json", "states": [{"id": "s"}], "readings": [{"id": "r", "state": "s", "quantity": "volts", "red": "M+", "black": "M-", "value": 7}]}`
	open := func(data string, err error) func(string) ([]byte, error) {
		return func(path string) ([]byte, error) {
			if path != "l.json" {
				t.Errorf("asked for %q", path)
			}
			return []byte(data), err
		}
	}
	t.Run("read and named again", func(t *testing.T) {
		c, notes, err := format.ReadCase("c", []byte(withFile), open(good, nil))
		if err != nil || len(c.Layout.Modules) != 1 || c.LayoutFile != "l.json" {
			t.Fatalf("%v %+v", err, c.Layout)
		}
		if len(notes) != 1 || notes[0].File != "l.json" {
			t.Errorf("notes %v", notes)
		}
		raw, err := format.WriteCase(c)
		if err != nil || !strings.Contains(string(raw), `"layout_file": "l.json"`) || strings.Contains(string(raw), "modules") {
			t.Errorf("%v %s", err, raw)
		}
	})
	refused := map[string]struct {
		data string
		err  error
		file string
		want string
	}{
		"cannot be opened":   {"", errors.New("no such file"), "c", "no such file"},
		"is damaged":         {good[:20], nil, "l.json", "ends before"},
		"lacks a module":     {`{"format": "halfsplit-layout/1", "modules": []}`, nil, "c", "is not a node"},
		"takes an id":        {`{"format": "halfsplit-layout/1", "modules": [{"id": "s", "series": 1}]}`, nil, "c", "is taken by a module"},
		"is wrong in itself": {`{"format": "halfsplit-layout/1", "modules": [], "links": [{"id": "L", "kind": "busbar", "from": "M+", "to": "N-"}]}`, nil, "l.json", "is not a node"},
	}
	for name, tt := range refused {
		t.Run(name, func(t *testing.T) {
			_, _, err := format.ReadCase("c", []byte(withFile), open(tt.data, tt.err))
			var e *format.Error
			if !errors.As(err, &e) || e.File != tt.file || !strings.Contains(e.Reason, tt.want) {
				t.Errorf("got %v, want %q in %s", err, tt.want, tt.file)
			}
		})
	}
	t.Run("nothing to open with", func(t *testing.T) {
		if _, _, err := format.ReadCase("c", []byte(withFile), nil); err == nil {
			t.Error("no error")
		}
	})
}
