package format_test

import (
	"bytes"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"halfsplit/assets"
	"halfsplit/fault/format"
	"halfsplit/fault/format/damage"
)

func schemas(t testing.TB) (layout, aCase, finding *jsonschema.Schema) {
	t.Helper()
	c := jsonschema.NewCompiler()
	for id, raw := range map[string][]byte{
		"urn:halfsplit:layout:1": assets.LayoutSchema, "urn:halfsplit:case:1": assets.CaseSchema, "urn:halfsplit:finding:1": assets.FindingSchema,
	} {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
		if err != nil {
			t.Fatal(err)
		}
		if err := c.AddResource(id, doc); err != nil {
			t.Fatal(err)
		}
	}
	return c.MustCompile("urn:halfsplit:layout:1"), c.MustCompile("urn:halfsplit:case:1"), c.MustCompile("urn:halfsplit:finding:1")
}

// validate checks data against a schema; parsed is false where data is no JSON.
func validate(s *jsonschema.Schema, data []byte) (err error, parsed bool) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return err, false
	}
	return s.Validate(doc), true
}

func TestSchema_AcceptsEveryFileAndWhatIsWritten(t *testing.T) {
	layout, aCase, ofFinding := schemas(t)
	check := func(name string, s *jsonschema.Schema, data []byte) {
		t.Helper()
		if err, _ := validate(s, data); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	all := cases(t)
	all["full"] = []byte(full)
	for name, data := range all {
		check(name, aCase, data)
		c, _, err := format.ReadCase(name, data, nil)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := format.WriteCase(c)
		if err != nil {
			t.Fatal(err)
		}
		check(name+" written", aCase, raw)
		check(name+" layout", layout, layoutOf(t, name, data))
	}
	raw, err := format.WriteFinding(finding())
	if err != nil {
		t.Fatal(err)
	}
	check("finding", ofFinding, raw)
}

// Whatever a schema refuses, the reader refuses too.
func TestSchema_IsNeverStricterThanTheReader(t *testing.T) {
	layout, aCase, ofFinding := schemas(t)
	refused, both := 0, 0
	try := func(name string, s *jsonschema.Schema, data []byte, seed uint64, n int, read func([]byte) error) {
		for _, c := range damage.Copies(seed, data, n) {
			bad, parsed := validate(s, c.Data)
			if !parsed || bad == nil {
				continue
			}
			refused++
			if read(c.Data) != nil {
				both++
				continue
			}
			t.Errorf("%s, %s: the reader takes what the schema refuses: %v", name, c.What, bad)
		}
	}
	readCase := func(d []byte) error { _, _, err := format.ReadCase("x", d, nil); return err }
	try("full", aCase, []byte(full), 1, 480, readCase)
	for i, name := range []string{"S1", "S8b", "T12", "S11"} {
		data := cases(t)[name]
		try(name, aCase, data, uint64(10+i), 48, readCase)
		try(name, layout, layoutOf(t, name, data), uint64(20+i), 48, func(d []byte) error { _, _, err := format.ReadLayout("x", d); return err })
	}
	raw, err := format.WriteFinding(finding())
	if err != nil {
		t.Fatal(err)
	}
	try("finding", ofFinding, raw, 30, 240, func(d []byte) error { _, _, err := format.ReadFinding("x", d); return err })
	if refused < 200 {
		t.Errorf("only %d of the damaged copies were refused by a schema: too few to tell", refused)
	}
	t.Logf("%d copies refused by a schema, %d of them by the reader", refused, both)
}
