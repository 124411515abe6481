package report

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/topology"
)

// A sheet's number is digits alone, so that it is typed on a number pad: one for the
// kind, one for the order, six of a hash over the state, the points and the set-up,
// three of a hash over the case's title. It is worked out and not drawn from a list:
// the same request on the same case has the same number in every run and on every
// machine, and a case finds what a number stands for by making the numbers of all
// that it could have printed.
const digits = 11

func number(c *fault.Case, s fault.State, r Request, points []series.Point) string {
	return fmt.Sprintf("%d%d-%06d-%03d", 1+slices.Index(series.Kinds, r.Kind), 1+slices.Index(Orders, r.Order), content(s, r, keys(points)), ofCase(c))
}

// keys is one text for a list of points.
func keys(points []series.Point) string {
	var b strings.Builder
	for _, p := range points {
		b.WriteString(p.Key())
		b.WriteByte('\n')
	}
	return b.String()
}

// content hashes what a sheet is of: kind and order, all that is recorded of the state, the test
// resistor, and each box's two leads in order.
func content(s fault.State, r Request, points string) uint64 {
	return hashed(1e6, string(r.Kind), string(r.Order), r.Stack, s.ID, list(s.Open), list(s.Unplugged), list(s.Removed), list(s.Connected), s.Contactors, s.Monitor, s.Boards, flag(s.Wet), flag(s.Torqued), r.Resistor, points)
}

func ofCase(c *fault.Case) uint64 { return hashed(1e3, c.Title) }

// hashed is a number below n of all parts, each with its length.
func hashed(n uint64, parts ...string) uint64 {
	h := sha256.New()
	for _, p := range parts {
		fmt.Fprintf(h, "%d:%s", len(p), p)
	}
	return binary.BigEndian.Uint64(h.Sum(nil)) % n
}

func list(ids []string) string {
	ids = slices.Clone(ids)
	slices.Sort(ids)
	return strings.Join(ids, "\n")
}

func flag(b *bool) string {
	if b == nil {
		return "not recorded"
	}
	return fmt.Sprint(*b)
}

// A Match is what a case knows of a sheet's number.
type Match struct {
	Request
	Boxes     []series.Point // in the sheet's order
	OtherCase bool           // it was printed from a case of another title
	OtherNow  bool           // it was printed for another state than the present one
	state     fault.State
	now       string
}

// Recognise finds the sheet that a number stands for among all that this case could
// have printed. Its error is in plain words.
func Recognise(c fault.Case, typed string) (Match, error) {
	want, err := parse(typed)
	if err != nil {
		return Match{}, err
	}
	net, _ := topology.Compile(c.Layout)
	r := Request{Kind: series.Kinds[want[0]-1], Order: Orders[want[1]-1]}
	stacks := []string{""}
	if r.Order == series.OneStack {
		stacks = nil
		for _, s := range net.Layout.Stacks {
			stacks = append(stacks, s.ID)
		}
	}
	for _, state := range states(&c) {
		for _, r.Stack = range stacks {
			for _, r.Chassis = range chassisPoints(net, r.Kind) {
				points := r.points(net, state)
				all := keys(points)
				for _, r.Resistor = range resistors(&c, r.Kind) {
					if content(state, r, all) != want[2] {
						continue
					}
					r.State = state.ID
					return Match{Request: r, Boxes: points, OtherCase: ofCase(&c) != want[3], OtherNow: state.ID != c.Now, state: state, now: c.Now}, nil
				}
			}
		}
	}
	return Match{}, fmt.Errorf("no sheet with this number was printed from this case as it stands. Look at the digits again; a sheet of another case, or from before the layout changed, is not known here")
}

// parse takes the digits apart: kind, order, content, case.
func parse(typed string) ([4]uint64, error) {
	only := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		if strings.ContainsRune(" -.\u2009\u00a0–", r) {
			return -1
		}
		return 'x'
	}, typed)
	var v [4]uint64
	switch {
	case only == "":
		return v, fmt.Errorf("no number was typed; it stands at the top right of the sheet")
	case strings.Contains(only, "x"):
		return v, fmt.Errorf("a sheet's number has digits alone, such as 31-482915-507")
	case len(only) != digits:
		return v, fmt.Errorf("a sheet's number has %d digits, such as 31-482915-507, and this has %d", digits, len(only))
	}
	fmt.Sscanf(only, "%1d%1d%6d%3d", &v[0], &v[1], &v[2], &v[3])
	if v[0] < 1 || v[0] > uint64(len(series.Kinds)) || v[1] < 1 || v[1] > uint64(len(Orders)) {
		return v, fmt.Errorf("no sheet has a number that begins with %s", only[:2])
	}
	return v, nil
}

// states are the case's, the present one first; a case without one printed for none.
func states(c *fault.Case) []fault.State {
	out := slices.Clone(c.States)
	slices.SortStableFunc(out, func(a, b fault.State) int {
		return cmp.Compare(boolInt(a.ID != c.Now), boolInt(b.ID != c.Now))
	})
	if _, ok := c.State(c.Now); !ok {
		out = append(out, fault.State{})
	}
	return out
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

func chassisPoints(net *topology.Net, k series.Kind) []string {
	out := []string{""}
	if k == series.ToChassis || k == series.Insulation {
		for _, p := range net.Layout.Chassis {
			out = append(out, "chassis:"+p.ID)
		}
	}
	return out
}

func resistors(c *fault.Case, k series.Kind) []string {
	out := []string{""}
	if k == series.ToChassis {
		for _, r := range c.Resistors {
			out = append(out, r.ID)
		}
	}
	return out
}

// Say tells what does not go together with the case as it stands, in sentences;
// nothing where all does.
func (m Match) Say() string {
	var s []string
	if m.OtherCase {
		s = append(s, "This sheet was printed from a case of another title: look at its head before values are entered here.")
	}
	if m.OtherNow {
		now := "the present state is " + m.now
		if m.now == "" {
			now = "the present state is not recorded"
		}
		s = append(s, fmt.Sprintf("This sheet was printed for state %s (%s); %s. The values can be entered for %s.", m.State, stateWords(m.state), now, m.State))
	}
	return strings.Join(s, " ")
}
