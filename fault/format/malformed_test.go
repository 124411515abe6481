package format_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault/format"
)

// Every kind of refusal has a file of its own in testdata/malformed, made from
// none-wrong.case.json, and its place and reason in expected.json.
func TestRead_RefusesWithPlaceAndReason(t *testing.T) {
	dir := filepath.Join(testdata, "malformed")
	raw, err := os.ReadFile(filepath.Join(dir, "expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	var expected map[string]struct{ Place, Reason string }
	if err := json.Unmarshal(raw, &expected); err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.*.json"))
	if len(files) != len(expected)+1 {
		t.Errorf("%d files, %d expectations; only none-wrong.case.json has none", len(files), len(expected))
	}
	for name, want := range expected {
		t.Run(name, func(t *testing.T) {
			_, err := readAny(filepath.Join(dir, name))
			var e *format.Error
			if !errors.As(err, &e) {
				t.Fatalf("got %v, want a *format.Error", err)
			}
			if e.Place != want.Place || !strings.Contains(e.Reason, want.Reason) {
				t.Errorf("got  %s: %s\nwant %s: … %s …", e.Place, e.Reason, want.Place, want.Reason)
			}
			if e.Line < 1 || e.Column < 1 || e.File != name {
				t.Errorf("line %d, column %d, file %q", e.Line, e.Column, e.File)
			}
			if s := err.Error(); strings.ContainsAny(s, "\n\r") || !strings.HasPrefix(s, name+": ") {
				t.Errorf("not one line that begins with the file: %q", s)
			}
		})
	}
	if _, err := readAny(filepath.Join(dir, "none-wrong.case.json")); err != nil {
		t.Errorf("the file that the others were made from: %v", err)
	}
}

func readAny(path string) (any, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	name := filepath.Base(path)
	if strings.HasSuffix(name, ".layout.json") {
		l, _, err := format.ReadLayout(name, data)
		return l, err
	}
	c, _, err := format.ReadCase(name, data, func(p string) ([]byte, error) {
		return os.ReadFile(filepath.Join(filepath.Dir(path), p))
	})
	return c, err
}

func TestError_LineAndColumn(t *testing.T) {
	tests := map[string]struct {
		data         string
		line, column int
	}{
		"first line":            {`{"format": 1}`, 1, 12},
		"third line":            {"{\n\n  \"format\": 1}", 3, 13},
		"columns in characters": {"{\"über\": \"ß\", \"format\": 1}", 1, 25},
		"after a mark":          {"\ufeff{\"format\": 1}", 1, 12},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			_, _, err := format.ReadLayout("x", []byte(tt.data))
			var e *format.Error
			if !errors.As(err, &e) || e.Line != tt.line || e.Column != tt.column {
				t.Errorf("got %v, want line %d, column %d", err, tt.line, tt.column)
			}
		})
	}
}

// The error that stands first in the file is told, whatever the order in which
// the reader asks for its fields.
func TestRead_FirstErrorInTheFileWins(t *testing.T) {
	_, _, err := format.ReadLayout("x", []byte(`{"format":"halfsplit-layout/1","links":7,"modules":7,"name":7}`))
	var e *format.Error
	if !errors.As(err, &e) || e.Place != "links" {
		t.Errorf("got %v, want the error in links", err)
	}
}
