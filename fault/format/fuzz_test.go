package format_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

func seedAll(f *testing.F) {
	for _, data := range cases(f) {
		f.Add(data)
	}
	f.Add([]byte(full))
	paths, _ := filepath.Glob(filepath.Join(testdata, "malformed", "*.*.json"))
	for _, p := range paths {
		data, err := os.ReadFile(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
}

// A case file is refused, or read so that it can be written and read again.
func FuzzReadCase(f *testing.F) {
	seedAll(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		c, _, err := format.ReadCase("f", data, nil)
		if err != nil {
			return
		}
		if !json.Valid(trimMark(data)) {
			t.Fatal("read what is no JSON")
		}
		raw, err := format.WriteCase(c)
		if err != nil {
			t.Fatal(err)
		}
		again, _, err := format.ReadCase("f", raw, nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, raw)
		}
		if d := cmp.Diff(c, again, cmpopts.EquateNaNs()); d != "" {
			t.Error(d)
		}
	})
}

// A layout file is refused, or read so that it compiles and can be written and
// read again.
func FuzzReadLayout(f *testing.F) {
	for name, data := range cases(f) {
		f.Add(layoutOf(f, name, data))
	}
	f.Add(layoutOf(f, "full", []byte(full)))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, _, err := format.ReadLayout("f", data)
		if err != nil {
			return
		}
		topology.Compile(l)
		raw, err := format.WriteLayout(l)
		if err != nil {
			t.Fatal(err)
		}
		again, _, err := format.ReadLayout("f", raw)
		if err != nil {
			t.Fatalf("%v\n%s", err, raw)
		}
		if d := cmp.Diff(l, again); d != "" {
			t.Error(d)
		}
		file, as, err := format.KeepLayout(l)
		if err != nil || !bytes.Equal(file, raw) || !cmp.Equal(l, as) {
			t.Errorf("kept otherwise than written: %v", err)
		}
	})
}

func trimMark(data []byte) []byte {
	if len(data) > 2 && string(data[:3]) == "\ufeff" {
		return data[3:]
	}
	return data
}
