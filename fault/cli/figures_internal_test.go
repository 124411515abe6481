package cli

import (
	"strings"
	"testing"

	"halfsplit/fault"
)

func TestFigures(t *testing.T) {
	iv := func(low, mid, high fault.Number) fault.Interval {
		return fault.Interval{Low: low, Mid: mid, High: high}
	}
	eq := func(low, mid, high fault.Number) fault.Bounded {
		return fault.Bounded{Low: low, Mid: mid, High: high, Relation: fault.Equal}
	}
	none := fault.NoNumber
	tests := map[string]struct{ got, want string }{
		"two digits of the width":    {volts(iv(240.13, 241.7, 243.26), "M01-"), "241.7 V above M01- (240.1 to 243.3)"},
		"ends outward":               {volts(iv(65.06, 66, 67.01), "x"), "66.0 V above x (65.0 to 67.1)"},
		"never finer than 2 places":  {volts(iv(241.7295, 241.7314, 241.7333), "x"), "241.73 V above x (241.72 to 241.74)"},
		"exact ends stay":            {volts(iv(66, 67, 68), "x"), "67.0 V above x (66.0 to 68.0)"},
		"no width":                   {volts(iv(20.5, 20.5, 20.5), "x"), "20.50 V above x (20.50 to 20.50)"},
		"a wide interval":            {volts(iv(-260, 12, 300), "x"), "12 V above x (-260 to 300)"},
		"no potential":               {volts(iv(none, none, none), "x"), "not determined"},
		"kilohms":                    {bounded(eq(177161, 179557, 183040)), "179.6 kΩ (177.1 to 183.1)"},
		"megohms":                    {bounded(eq(65.8e6, 66.7e6, 67.6e6)), "66.7 MΩ (65.8 to 67.6)"},
		"ohms":                       {bounded(eq(749.8, 803.6, 855.6)), "804 Ω (749 to 856)"},
		"less":                       {bounded(fault.Bounded{Low: 0, Mid: none, High: 12345, Relation: fault.Less}), "less than 12.4 kΩ"},
		"more":                       {bounded(fault.Bounded{Low: 3.4e9, Mid: none, High: none, Relation: fault.Greater}), "more than 3.40 GΩ"},
		"more, rounded down":         {bounded(fault.Bounded{Low: 3456e3, Mid: none, High: none, Relation: fault.Greater}), "more than 3.45 MΩ"},
		"no resistance":              {bounded(eq(none, none, none)), "not determined"},
		"an open end":                {bounded(eq(5e6, 5.3e6, none)), "5.30 MΩ (from 5.00 MΩ, no upper end)"},
		"share":                      {percent(.934), "93 %"},
		"never certain":              {percent(1), ">99 %"},
		"never impossible":           {percent(0), "<1 %"},
		"no share":                   {percent(none), "? %"},
		"consecutive readings":       {run([]string{"r2", "r3", "r4", "r7", "r8", "x", "y1"}), "r2 to r4 r7 r8 x y1"},
		"readings that do not count": {run([]string{"a", "b", "r9", "r10", "r11", "r013", "r014"}), "a b r9 to r11 r013 r014"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
}

func TestPage_WrapsWithoutPartingNumberAndUnit(t *testing.T) {
	var b strings.Builder
	p := &page{out: &b}
	text := strings.Repeat("word ", 12) + "behind no more than 178 kΩ. Then 5 % of it."
	p.item("Label", "%s", text)
	p.item("a label that is too long", "and its text")
	p.item("", "%s", "a text that\nbreaks \u202e lines")
	want := `  Label          word word word word word word word word word word word word
                 behind no more than 178 kΩ. Then 5 % of it.
  a label that is too long  and its text
  a text that\u000abreaks \u202e lines
`
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
	b.Reset()
	p.item("", "%s", strings.Repeat("x", 69)+" no 178 kΩ.")
	if lines := strings.Split(b.String(), "\n"); lines[1] != "  178 kΩ." {
		t.Errorf("number and unit are parted: %q", b.String())
	}
}
