package lists_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"halfsplit/fault/lists"
)

// mixed is a list of so many rows of truth and rubbish, and how many of each.
func mixed(rows int) (data string, truth, rubbish int) {
	r := rand.New(rand.NewPCG(10, 4))
	var b strings.Builder
	b.WriteString("module;group;U [mV];note\n")
	bad := []func() string{
		func() string { return "------" },
		func() string { return fmt.Sprintf("M%02d;%d;3650", 20+r.IntN(70), 1+r.IntN(8)) },
		func() string { return fmt.Sprintf("M%02d;%d;3650", 1+r.IntN(12), 9+r.IntN(90)) },
		func() string { return fmt.Sprintf("M%02d;%d;error %d", 1+r.IntN(12), 1+r.IntN(8), r.IntN(99)) },
		func() string { return fmt.Sprintf("M%02d;%d;", 1+r.IntN(12), 1+r.IntN(8)) },
		func() string { return fmt.Sprintf("M%02d;%d;36.50.1", 1+r.IntN(12), 1+r.IntN(8)) },
		func() string { return "M01;1;\"3650" },
		func() string { return "M01;1;3650;a;b;c" },
		func() string { return "M01;1;36\xFF50;" },
		func() string { return "page " + fmt.Sprint(r.IntN(99)) + " of 99" },
		func() string { return ";;;;;;;;;;;x" },
		func() string { return "M01;1;OL" },
		func() string { return "0,0,0" },
	}
	for range rows {
		if r.IntN(3) == 0 {
			b.WriteString(bad[r.IntN(len(bad))]() + "\r\n")
			rubbish++
			continue
		}
		fmt.Fprintf(&b, "M%02d;%d;%d;µ\r\n", 1+r.IntN(12), 1+r.IntN(8), 3600+r.IntN(100))
		truth++
	}
	return b.String(), truth, rubbish
}

// Ten thousand rows of rubbish and truth: each is taken or listed, none is lost, and
// none of the rubbish is taken.
func TestBuild_TenThousandRowsAreAccountedFor(t *testing.T) {
	data, truth, rubbish := mixed(10000)
	p := read(t, pack(8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8), data, nil)
	if p.Count != [6]int{lists.Taken: truth, lists.Listed: rubbish, lists.Heading: 1} || truth+rubbish != 10000 {
		t.Errorf("%v, want %d taken and %d listed", p.Count, truth, rubbish)
	}
	n := 0
	for _, g := range p.Groups {
		for _, v := range g.Volts {
			if v == v {
				n++
			}
		}
	}
	if n+len(p.Readings) != truth || p.Values != truth || len(p.Asks) != 0 {
		t.Errorf("%d groups and %d readings of %d rows, asked %q", n, len(p.Readings), truth, asked(p))
	}
	for _, r := range p.Listing() {
		if strings.HasSuffix(r.Text, "µ") {
			t.Errorf("line %d is true and was not read: %s", r.Line, r.Why)
		}
	}
}

// From bytes to what would be stored.
func BenchmarkTenThousandRows(b *testing.B) {
	data, _, _ := mixed(10000)
	c := pack(8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8)
	for b.Loop() {
		x, err := lists.Decode([]byte(data))
		if err != nil {
			b.Fatal(err)
		}
		if p := lists.Build(x, lists.Propose(x, c), c, lists.Options{}); p.Values == 0 {
			b.Fatal("nothing was read")
		}
	}
}

// Whatever the bytes and the mapping are, every line is accounted for.
func FuzzBuild(f *testing.F) {
	data, _, _ := mixed(40)
	for _, s := range []string{data, "3.622\n3.618\n", "Cell 1 (V),Cell 2 (V)\n3.6,3.7\n", "index;V\n0;3.6\n-1;3.6\n99999999999;3.6\n", "\xFF\xFEa\x00\n\x00", "\"a\nb\";1\n\"\"\"", "time;point;R/kΩ\n03/04/2026;M01+;OL\n",
		"M01 1 3622 mV\n", "\n\n;;;\n", "\"modul\ne\";1\n\"M0\n1\";3"} {
		f.Add([]byte(s), uint8(0), uint8(0))
	}
	f.Add([]byte("a;b\n1;2\n"), uint8(3), uint8(9))
	f.Fuzz(func(t *testing.T, data []byte, at, role uint8) {
		x, err := lists.Decode(data)
		if err != nil {
			return
		}
		c := pack(3, 2)
		m := lists.Propose(x, c)
		for _, edit := range []func(){
			func() {},
			func() { m.Order = forward(5) },
			func() { m = m.WithRole(int(at)%len(m.Columns), lists.Role(int(role)%len(lists.RoleNames))) },
			func() { m.Mark, m.Bare, m.Black = lists.CommaMark, "mV", "chassis" },
			func() { m = m.Parted(x, c, []rune{',', ';', '\t', ' ', 0}[at%5]) },
			func() { m = m.Headed(x, c, int(at)-1) },
		} {
			edit()
			p := lists.Build(x, m, c, lists.Options{Name: "f"})
			accounted(t, x, p)
			for _, r := range p.Readings {
				if r.State != "closed" || r.Value != r.Value {
					t.Fatalf("%+v", r)
				}
			}
		}
	})
}
