package edit_test

import (
	"strings"
	"testing"

	"halfsplit/topology/edit"
)

func set(t *testing.T, k edit.Kind, key, text string, sel ...string) (value string, several bool, err error) {
	t.Helper()
	l := pack(t, 12)
	f, ok := edit.FieldOf(k, key)
	if !ok {
		t.Fatalf("no field %s", key)
	}
	out, err := f.Set(l, sel, text)
	if err == nil {
		legal(t, out)
	}
	value, several = f.Value(out, sel)
	return value, several, err
}

func TestField_setAndGet(t *testing.T) {
	for _, tt := range []struct {
		kind            edit.Kind
		key, text, want string
		sel             []string
	}{
		{edit.ModuleKind, "mass_kg", " 12,5 kg", "12.5", []string{"M01", "M02", "L01"}},
		{edit.ModuleKind, "mass_kg", "", "", []string{"M01"}},
		{edit.ModuleKind, "monitor_index", "8-1", "8 to 1", []string{"M03"}},
		{edit.ModuleKind, "angle", "-0,124", "359.88", []string{"M03"}},
		{edit.ModuleKind, "series", "12", "12", []string{"M01", "M09"}},
		{edit.ModuleKind, "minus", "left", "left", []string{"M01", "M09"}},
		{edit.LinkKind, "minutes", "0", "0", []string{"L01", "SD"}},
		{edit.LinkKind, "torque_nm", "9,5 N m", "9.5", []string{"L01"}},
		{edit.LinkKind, "to", "M04.0", "M04-", []string{"L01"}},
		{edit.LinkKind, "kind", "cable", "cable", []string{"L01", "L02"}},
		{edit.BoardKind, "taps", "M02-, M02.5 M02+", "M02- M02.5 M02+", []string{"B1"}},
		{edit.PartKind, "over", "B1 L01", "B1 L01", []string{"cover"}},
		{edit.PartKind, "people", "2", "2", []string{"cover"}},
		{edit.LayoutKind, "nominal_volts", "402 V", "402", nil},
		{edit.LayoutKind, "front", "", "", nil},
		{edit.StackKind, "tier", "-1", "-1", []string{"A"}},
	} {
		got, several, err := set(t, tt.kind, tt.key, tt.text, tt.sel...)
		if err != nil || several || got != tt.want {
			t.Errorf("%s %q: %q %v", tt.key, tt.text, got, err)
		}
	}
}

func TestField_refusesInWords(t *testing.T) {
	for _, tt := range []struct {
		kind            edit.Kind
		key, text, want string
		sel             []string
	}{
		{edit.ModuleKind, "mass_kg", "heavy", `Mass: "heavy" is not a number`, []string{"M01"}},
		{edit.ModuleKind, "mass_kg", "0", "empty is for not known", []string{"M01"}},
		{edit.ModuleKind, "w", "9", "from 10 to", []string{"M01"}},
		{edit.ModuleKind, "series", "4", "board B1 senses M01.5, which M01 with 4 groups does not have", []string{"M01"}},
		{edit.ModuleKind, "minus", "up", "left, right, top and bottom", []string{"M01"}},
		{edit.ModuleKind, "x", "1e7", "from -1000000", []string{"M01"}},
		{edit.LinkKind, "to", "M02+", "both are M02+", []string{"L02"}},
		{edit.LinkKind, "torque_nm", "0", "from 0.01", []string{"L02"}},
		{edit.LinkKind, "minutes", "-1", "L02: Minutes to open it: from 0", []string{"L02", "SD"}},
		{edit.BoardKind, "taps", "M02.11", "M02 has taps .0 to .10", []string{"B1"}},
		{edit.PartKind, "over", "cover", "itself", []string{"cover"}},
		{edit.PartKind, "kind", "", "some kind in words", []string{"cover"}},
		{edit.LayoutKind, "seen_from", "beside", "above and below", nil},
	} {
		_, _, err := set(t, tt.kind, tt.key, tt.text, tt.sel...)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s %q: %v", tt.key, tt.text, err)
		}
	}
}

func TestField_severalValues(t *testing.T) {
	l := pack(t, 12)
	label, _ := edit.FieldOf(edit.ModuleKind, "label")
	if v, several := label.Value(l, edit.Selection{"M01", "M02"}); v != "" || !several {
		t.Errorf("%q %v", v, several)
	}
	if v, several := label.Value(l, edit.Selection{"M02", "M03", "K+"}); v != "" || several {
		t.Errorf("%q %v", v, several)
	}
	keys := map[string]bool{}
	for _, k := range []edit.Kind{edit.ModuleKind, edit.StackKind, edit.LinkKind, edit.BoardKind, edit.PartKind, edit.BondKind, edit.UnderlayKind, edit.LayoutKind} {
		for _, f := range edit.Fields(k) {
			if f.Name == "" || keys[string(k)+f.Key] {
				t.Errorf("%s: %+v", k, f)
			}
			keys[string(k)+f.Key] = true
		}
	}
}
