package locate

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/fault/format"
	"halfsplit/topology"
)

// caseFile reads one of the worked cases.
func caseFile(t testing.TB, name string) fault.Case {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/cases/" + name + ".case.json")
	if err != nil {
		t.Fatal(err)
	}
	c, _, err := format.ReadCase(name, raw, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func next(t testing.TB, c fault.Case) fault.Finding {
	t.Helper()
	f, err := Find(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// boarded is a pack of eight modules with a board each and one leak, read closed.
func boarded(t testing.TB, at int, ohms float64, change func(c *fault.Case)) *job {
	t.Helper()
	rng := rand.New(rand.NewPCG(41, 1))
	j := &job{trial: trialOf(rng, boardedChain(rng, 8, 8))}
	j.hide(rng, at, ohms)
	if change != nil {
		change(&j.c)
	}
	j.bench = j.trial.bench(t, rng)
	neg, pos := j.ends("closed")
	j.read(t, j.bench, "closed", pos, "chassis", "")
	j.read(t, j.bench, "closed", neg, "chassis", "")
	return j
}

// texts is everything that a person reads of the proposals.
func texts(f fault.Finding) string {
	out := []string{f.Stop}
	for _, n := range f.Next {
		out = append(out, n.Action, n.Why)
		out = append(out, n.NotChecked...)
		out = append(out, n.Cautions...)
		for _, x := range n.Then {
			out = append(out, x.If, x.Action)
		}
	}
	for _, h := range f.HeldBack {
		out = append(out, h.Action, h.Why)
	}
	return strings.Join(out, "\n")
}

func opens(f fault.Finding) (links []string) {
	for _, n := range f.Next {
		links = append(links, n.State.Open...)
	}
	return links
}

// The unbroken string: the disconnect first, with the reading after it, what it would
// show, and the gap before it is touched.
func TestNext_UnbrokenString(t *testing.T) {
	f := next(t, caseFile(t, "S1-closed-only"))
	if len(f.Next) == 0 || f.Next[0].Kind != fault.TestOpen || !slices.Equal(f.Next[0].State.Open, []string{"SD"}) {
		t.Fatalf("%+v %s", f.Next, f.Stop)
	}
	n := f.Next[0]
	if n.Black != "chassis" || n.Instrument != "dmm" || n.Range != 600 || !(n.Bits > 0.2) || !(n.Minutes >= 2) || len(n.Then) == 0 {
		t.Errorf("%+v", n)
	}
	// the reading that the split case has at that terminal lies within
	split := caseFile(t, "S1")
	for _, r := range split.Readings {
		if v := fault.Number(r.Value); r.State != "closed" && r.Red == n.Red && r.Black == "chassis" && r.Resistor == nil && (v < n.Expected.Low || v > n.Expected.High) {
			t.Errorf("%s reads %v, expected %v", r.ID, r.Value, n.Expected)
		}
	}
	if n.GapVolts.Low > 20.5 || n.GapVolts.High < 19.5 {
		t.Errorf("the gap reads 20 V on the meter, expected %v", n.GapVolts)
	}
	for _, want := range []string{"SD is open, read across its gap", "stays live, expected, not measured", "No monitoring boards are drawn", `Opening L01, L02 … L11`, "record all boards as unplugged or none fitted"} {
		if !strings.Contains(texts(f), want) {
			t.Errorf("nothing says %q:\n%s", want, texts(f))
		}
	}
}

// Link openings wait for what was not recorded.
func TestNext_HeldBack(t *testing.T) {
	for _, x := range []struct {
		name, why string
		change    func(s *fault.State)
	}{
		{"contactors", "contactors are not recorded", func(s *fault.State) { s.Contactors = "" }},
		{"contactors closed", "contactors are recorded closed", func(s *fault.State) { s.Contactors = fault.Closed }},
		{"monitor", "insulation monitor is not recorded", func(s *fault.State) { s.Monitor = "" }},
		{"something joined", "ench supply is recorded as connected", func(s *fault.State) { s.Connected = []string{"bench supply"} }},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := caseFile(t, "S1-closed-only")
			c.States = slices.Clone(c.States)
			x.change(&c.States[slices.IndexFunc(c.States, func(s fault.State) bool { return s.ID == c.Now })])
			f := next(t, c)
			if got := opens(f); len(got) > 0 || len(f.HeldBack) != 1 || !strings.Contains(f.HeldBack[0].Why, x.why) {
				t.Errorf("opens %v, held back %+v", got, f.HeldBack)
			}
			if len(f.Next) == 0 && !strings.Contains(f.Stop, "held back") {
				t.Errorf("stop: %q", f.Stop)
			}
		})
	}
}

// With the boards recorded out, every link may be proposed.
func TestNext_BoardsOut(t *testing.T) {
	c := caseFile(t, "S1")
	c.States = slices.Clone(c.States)
	for i := range c.States {
		c.States[i].Boards = fault.BoardsOut
	}
	f := next(t, c)
	if len(f.HeldBack) > 0 || strings.Contains(texts(f), "No monitoring boards") {
		t.Errorf("%+v\n%s", f.HeldBack, texts(f))
	}
}

// A board that joins both sides of a link is unplugged before the link is opened.
func TestNext_BoardAcrossALink(t *testing.T) {
	j := boarded(t, 20, 90e3, func(c *fault.Case) {
		c.Layout.Boards = nil
		for _, pair := range [][2]string{{"M01", "M02"}, {"M03", "M04"}, {"M04", "M05"}, {"M06", "M07"}} {
			minutes := 3.0
			c.Layout.Boards = append(c.Layout.Boards, topology.Board{ID: "B" + pair[0][1:], Taps: []string{pair[0] + "-", pair[0] + "+", pair[1] + "-", pair[1] + "+"}, Minutes: &minutes})
		}
	})
	spanned := map[string]string{"L01": "B01", "L03": "B03", "SD": "B04", "L06": "B06"}
	for j.steps < 12 {
		f := find(t, j.trial)
		if f.Stop != "" || len(f.Next) == 0 {
			break
		}
		s, _ := j.c.State(j.c.Now)
		for _, n := range f.Next {
			for _, l := range n.State.Open {
				if b := spanned[l]; b != "" && s.Plugged(b) && !slices.Contains(n.State.Unplugged, b) {
					t.Errorf("%s: %s is across %s and on its taps", n.Action, b, l)
				}
			}
		}
		j.do(t, f.Next[0])
	}
	if j.steps < 2 {
		t.Errorf("%d steps only", j.steps)
	}
}

// The workshop's own minutes decide.
func TestNext_OwnMinutes(t *testing.T) {
	c := caseFile(t, "S3-closed-only")
	c.States = slices.Clone(c.States)
	for i := range c.States {
		c.States[i].Boards = fault.BoardsOut
	}
	before := next(t, c)
	c.Minutes = map[string]float64{"SD": 300, "L08": 1}
	after := next(t, c)
	if !slices.Equal(before.Next[0].State.Open, []string{"SD"}) || !slices.Equal(after.Next[0].State.Open, []string{"L08"}) {
		t.Errorf("%v, then %v", before.Next[0].State, after.Next[0].State)
	}
}

// A healthy pack whose chassis reference is not proved: the reading that proves it.
func TestNext_Proof(t *testing.T) {
	c := caseFile(t, "S11-unproved")
	f := next(t, c)
	if len(f.Next) != 1 {
		t.Fatalf("%+v %s", f.Next, f.Stop)
	}
	n := f.Next[0]
	if n.Black == n.ResistorTo || n.ResistorFrom == n.Red || n.Resistor == "" || math.Abs(float64(n.Expected.Low+n.Expected.High)/2+306.6) > 2 {
		t.Errorf("%+v", n)
	}
	c.Readings = append(slices.Clone(c.Readings), fault.Reading{ID: "proof", State: c.Now, Quantity: fault.Volts, Red: n.Red, Black: n.Black, Value: -306.6, Instrument: n.Instrument,
		Resistor: &fault.Fitted{ID: n.Resistor, From: n.ResistorFrom, To: n.ResistorTo}})
	if f := next(t, c); f.Verdict != fault.NoLeakTestProved || len(f.Next) > 0 || f.Stop == "" {
		t.Errorf("%s %+v %s", f.Verdict, f.Next, f.Stop)
	}
}

// Too few readings: the other end of the section that has one, then nothing else.
func TestNext_FirstReadings(t *testing.T) {
	c := caseFile(t, "S1-closed-only")
	all := c.Readings
	c.Readings = nil
	f := next(t, c)
	if len(f.Next) != 2 || f.Next[0].Red != "M12+" || f.Next[1].Red != "M01-" || f.Next[0].Range != 600 {
		t.Fatalf("%+v", f.Next)
	}
	for _, r := range all {
		if r.Red == "M12+" && r.Black == "chassis" && r.Resistor == nil {
			c.Readings = []fault.Reading{r}
		}
	}
	if f = next(t, c); len(f.Next) != 1 || f.Next[0].Red != "M01-" {
		t.Errorf("%+v", f.Next)
	}
	c.Now = ""
	if f = next(t, c); len(f.Next) > 0 || !strings.Contains(f.Stop, "present state is not recorded") {
		t.Errorf("%+v %s", f.Next, f.Stop)
	}
}

// Readings that do not fit are taken again.
func TestNext_Repeat(t *testing.T) {
	c := caseFile(t, "S1")
	c.Readings = slices.Clone(c.Readings)
	for i := range c.Readings {
		if r := &c.Readings[i]; r.State == c.Now && r.Resistor == nil && r.Black == "chassis" {
			r.Value, r.Raw = -r.Value, ""
			f := next(t, c)
			if f.Verdict == fault.Inconsistent && (len(f.Next) == 0 || f.Next[0].Kind != fault.TestRepeat) {
				t.Errorf("%s: %+v %s", r.ID, f.Next, f.Stop)
			}
			r.Value = -r.Value
		}
	}
}

// The leak's size, where there is only a bound: a resistor that stands it, or why not.
func TestNext_Sizing(t *testing.T) {
	c := caseFile(t, "S2-closed-only")
	c.Readings = slices.DeleteFunc(slices.Clone(c.Readings), func(r fault.Reading) bool { return r.Resistor != nil })
	c.Resistors = []fault.Resistor{{ID: "small", Ohms: 47e3, TolPct: 1, Watts: 1, MaxVolts: 1000}, {ID: "big", Ohms: 100e3, TolPct: 1, Watts: 5, MaxVolts: 1000}}
	f := next(t, c)
	at := slices.IndexFunc(f.Next, func(n fault.NextTest) bool { return n.Resistor != "" })
	if at < 0 {
		t.Fatalf("%+v", f.Next)
	}
	n := f.Next[at]
	if n.Resistor != "big" || !(n.Watts > 0.2 && n.Watts < 2.5) || !(n.Across > 150 && n.Across < 360) {
		t.Errorf("%+v", n)
	}
	c.Resistors = c.Resistors[:1]
	if f = next(t, c); slices.ContainsFunc(f.Next, func(n fault.NextTest) bool { return n.Resistor != "" }) || !strings.Contains(texts(f), "No test resistor is recorded") {
		t.Errorf("%+v %+v", f.Next, f.HeldBack)
	}
}

// What is off the string now is not sized: the reading would say nothing of it.
func TestNext_NoSizingOfWhatIsUnplugged(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 1))
	j := &job{trial: trialOf(rng, boardedChain(rng, 8, 8))}
	j.pack.Leaks = []circuit.Leak{{At: "M06.4", Ohms: 4e3, OnlyWithBoard: "B06"}}
	j.bench = j.trial.bench(t, rng)
	neg, pos := j.ends("closed")
	for _, red := range []string{pos, neg} {
		j.read(t, j.bench, "closed", red, "chassis", "")
	}
	j.do(t, fault.NextTest{State: fault.StateChange{Unplugged: []string{"B06"}}, Red: pos, Black: "chassis"})
	j.read(t, j.bench, j.c.Now, neg, "chassis", "")
	f := find(t, j.trial)
	if len(f.Suspicion) == 0 || f.Suspicion[0].ID != "B06" {
		t.Fatalf("%s %+v", f.Statement, f.Suspicion)
	}
	for _, n := range f.Next {
		if n.Resistor != "" {
			t.Errorf("%s: the board that leaks is unplugged", n.Action)
		}
	}
}

// The same case gives the same proposals, and no word that skims as a promise.
func TestNext_SameBytesAndWords(t *testing.T) {
	never := regexp.MustCompile(`(?i)\bsafe|\bdead\b|ok to touch|harmless|no danger`)
	for _, name := range []string{"S1-closed-only", "S1", "S2", "S3-closed-only", "S3", "S5", "S8a", "S11-unproved", "T07-split"} {
		c := caseFile(t, name)
		f := next(t, c)
		x, err := json.Marshal(f.Next)
		if err != nil {
			t.Fatal(err)
		}
		if y, _ := json.Marshal(next(t, c).Next); string(x) != string(y) {
			t.Errorf("%s: not the same twice", name)
		}
		if m := never.FindString(texts(f)); m != "" {
			t.Errorf("%s says %q", name, m)
		}
		if len(f.Next) == 0 && f.Stop == "" {
			t.Errorf("%s: nothing to do and no reason", name)
		}
		for _, n := range f.Next {
			if n.Red == "" || n.Black == "" || n.Action == "" || n.Why == "" {
				t.Errorf("%s: %+v", name, n)
			}
		}
	}
}

// A reading that was taken again, shows the same and still does not fit is not asked
// for a third time: something else is then wrong.
func TestNext_NoThirdTime(t *testing.T) {
	c := caseFile(t, "S1")
	c.Readings = slices.Clone(c.Readings)
	bad := slices.IndexFunc(c.Readings, func(r fault.Reading) bool {
		return r.State == c.Now && r.Resistor == nil && r.Black == "chassis" && math.Abs(r.Value) > 60
	})
	c.Readings[bad].Value, c.Readings[bad].Raw = c.Readings[bad].Value/2, ""
	again := c.Readings[bad]
	again.ID = "again"
	c.Readings = append(c.Readings, again)
	f := next(t, c)
	if f.Verdict != fault.Inconsistent {
		t.Fatalf("the pair was explained: %s", f.Statement)
	}
	for _, n := range f.Next {
		if n.Red == again.Red && n.Black == again.Black && n.Resistor == "" {
			t.Errorf("%s: it was read twice alike", n.Action)
		}
	}
	if len(f.Next) == 0 && !strings.Contains(f.Stop, "agree, and still do not fit") {
		t.Errorf("stop: %q", f.Stop)
	}
}
