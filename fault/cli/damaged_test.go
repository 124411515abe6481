package cli_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"halfsplit/assets"
	"halfsplit/fault/format/damage"
)

// damaged names the cases that copies are made of: every kind of content, and
// few enough to be done in seconds.
var damaged = []string{"S1", "S1-socket", "S2", "S5", "S8a", "S8b", "S11", "S11-bad-clip", "T02-two-meters", "T07-split", "T12", "empty"}

// Damaged copies of the case files, through the command: exit 2 with one line
// and nothing else, or exit 0 with a finding that its schema accepts.
func TestLocate_DamagedCopies(t *testing.T) {
	schema := findingSchema(t)
	var refused, answered atomic.Int64
	t.Run("copies", func(t *testing.T) {
		for i, name := range damaged {
			data, err := os.ReadFile(filepath.Join(casesDir, name+".case.json"))
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range damage.Copies(uint64(100+i), data, 12) {
				t.Run(name, func(t *testing.T) {
					t.Parallel()
					if locateDamaged(t, schema, c) {
						answered.Add(1)
					} else {
						refused.Add(1)
					}
				})
			}
		}
	})
	copies := refused.Load() + answered.Load()
	if copies < 120 || refused.Load() < copies/4 || answered.Load() < copies/20 {
		t.Errorf("%d copies, %d refused: the damage tells too little", copies, refused.Load())
	}
	t.Logf("%d copies: %d refused, %d answered", copies, refused.Load(), answered.Load())
}

// locateDamaged says whether the copy was answered rather than refused.
func locateDamaged(t *testing.T, schema *jsonschema.Schema, c damage.Copy) bool {
	t.Helper()
	file := write(t, "copy.case.json", string(c.Data))
	code, out, errs := run("locate", "-json", file)
	switch code {
	case 2:
		if out != "" || strings.Count(errs, "\n") != 1 || !strings.HasSuffix(errs, "\n") || !strings.HasPrefix(errs, file+": ") {
			t.Errorf("%s: output %q, errors %q", c.What, out, errs)
		}
	case 0:
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(out))
		if err == nil {
			err = schema.Validate(doc)
		}
		if err != nil || errs != "" {
			t.Errorf("%s: %v %s", c.What, err, errs)
		}
	default:
		t.Errorf("%s: exit %d, %s", c.What, code, errs)
	}
	return code == 0
}

func findingSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(assets.FindingSchema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:halfsplit:finding:1", doc); err != nil {
		t.Fatal(err)
	}
	return c.MustCompile("urn:halfsplit:finding:1")
}
