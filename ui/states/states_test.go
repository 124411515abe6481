package states_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
)

func pack(edit func(*fault.Case)) *facts.Pack {
	f, c := sample.Finding(), sample.Case()
	if edit != nil {
		edit(&c)
	}
	return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
}

var legalID = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)

func TestApply_OneThingChanges(t *testing.T) {
	wet := true
	was := fault.State{ID: "s", Open: []string{"SD"}, Unplugged: []string{"B1"}, Removed: []string{"M03"}, Monitor: fault.MonitorConnected, Wet: &wet}
	for name, c := range map[string]struct {
		change states.Change
		want   func(*fault.State)
		verb   string
	}{
		"open":        {states.Change{Kind: states.Open, ID: "L10"}, func(s *fault.State) { s.ID, s.Open = "L10_open", []string{"SD", "L10"} }, "Record L10 as opened"},
		"close":       {states.Change{Kind: states.Close, ID: "SD"}, func(s *fault.State) { s.ID, s.Open = "SD_closed", []string{} }, "Record SD as closed"},
		"contactor":   {states.Change{Kind: states.Open, ID: "K+"}, func(s *fault.State) { s.ID, s.Open = "K_pos_open", []string{"SD", "K+"} }, "Record K+ as opened"},
		"unplug":      {states.Change{Kind: states.Unplug, ID: "B2"}, func(s *fault.State) { s.ID, s.Unplugged = "B2_unplugged", []string{"B1", "B2"} }, "Record B2 as unplugged"},
		"plug":        {states.Change{Kind: states.Plug, ID: "B1"}, func(s *fault.State) { s.ID, s.Unplugged = "B1_plugged", []string{} }, "Record B1 as plugged in"},
		"all out":     {states.Change{Kind: states.Boards, To: fault.BoardsOut}, func(s *fault.State) { s.ID, s.Boards = "boards_out", fault.BoardsOut }, "Record all boards as unplugged, or none fitted"},
		"boards back": {states.Change{Kind: states.Boards}, func(s *fault.State) { s.ID, s.Unplugged = "boards_in_or_not_known", nil }, "Record boards as plugged or not known"},
		"remove":      {states.Change{Kind: states.Remove, ID: "M01"}, func(s *fault.State) { s.ID, s.Removed = "M01_removed", []string{"M03", "M01"} }, "Record M01 as removed"},
		"put back":    {states.Change{Kind: states.PutBack, ID: "M03"}, func(s *fault.State) { s.ID, s.Removed = "M03_back", []string{} }, "Record M03 as put back"},
		"contactors":  {states.Change{Kind: states.Contactors, To: fault.Open}, func(s *fault.State) { s.ID, s.Contactors = "contactors_open", fault.Open }, "Record contactors as open"},
		"monitor":     {states.Change{Kind: states.Monitor, To: fault.MonitorActive}, func(s *fault.State) { s.ID, s.Monitor = "monitor_active", fault.MonitorActive }, "Record monitor as active"},
	} {
		t.Run(name, func(t *testing.T) {
			want := was
			c.want(&want)
			got := states.Apply(topology.Layout{}, was, c.change)
			if d := cmp.Diff(want, got); d != "" {
				t.Error(d)
			}
			if !legalID.MatchString(got.ID) {
				t.Errorf("%q is no id", got.ID)
			}
			if c.change.Verb() != c.verb {
				t.Errorf("the button says %q", c.change.Verb())
			}
		})
	}
	if len(was.Open) != 1 || was.Open[0] != "SD" {
		t.Errorf("the state before was changed: %v", was.Open)
	}
}

// One board plugged in where all were out leaves the others that are drawn out.
func TestApply_PluggedInAfterAllWereOut(t *testing.T) {
	l := topology.Layout{Boards: []topology.Board{{ID: "B1"}, {ID: "B2"}, {ID: "B3"}}}
	was := fault.State{ID: "s", Boards: fault.BoardsOut, Unplugged: []string{"B3"}, Open: []string{"SD"}}
	got := states.Apply(l, was, states.Change{Kind: states.Plug, ID: "B2"})
	want := fault.State{ID: "B2_plugged", Unplugged: []string{"B3", "B1"}, Open: []string{"SD"}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if len(was.Unplugged) != 1 {
		t.Errorf("the state before was changed: %v", was.Unplugged)
	}
}

// All boards can be recorded out in one step, drawn or not, and that taken back in
// one, from the list of the whole pack and from a board alike.
func TestOffers_AllBoardsTogether(t *testing.T) {
	out, back := states.Change{Kind: states.Boards, To: fault.BoardsOut}, states.Change{Kind: states.Boards}
	two := []topology.Board{{ID: "B1", Taps: []string{"M03.0", "M03.1"}}, {ID: "B2", Taps: []string{"M03.4"}}}
	count := func(list []states.Change, kinds ...states.Kind) (n int) {
		for _, c := range list {
			if slices.Contains(kinds, c.Kind) {
				n++
			}
		}
		return n
	}
	for name, x := range map[string]struct {
		boards    []topology.Board
		out       bool
		selected  string
		own, rest []states.Change // about boards
	}{
		"none drawn":              {nil, false, "", nil, []states.Change{out}},
		"none drawn, out":         {nil, true, "", nil, []states.Change{back}},
		"drawn":                   {two, false, "", nil, []states.Change{{Kind: states.Unplug, ID: "B1"}, {Kind: states.Unplug, ID: "B2"}, out}},
		"drawn, out":              {two, true, "", nil, []states.Change{back}},
		"a module's, out":         {two, true, "module:M03", []states.Change{back}, nil},
		"the board selected, out": {two, true, "board:B2", []states.Change{back}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			own, rest := states.Offers(pack(func(c *fault.Case) {
				c.Layout.Boards = x.boards
				if x.out {
					c.States[1].Boards = fault.BoardsOut
				}
			}), x.selected)
			for _, l := range []struct{ got, want []states.Change }{{own, x.own}, {rest, x.rest}} {
				if n := count(l.got, states.Boards, states.Unplug, states.Plug); n != len(l.want) {
					t.Errorf("%d changes of boards, want %v", n, l.want)
				}
				for _, w := range l.want {
					if !slices.Contains(l.got, w) {
						t.Errorf("%q is not offered", w.Verb())
					}
				}
			}
		})
	}
	if said := out.Said(); said != "all boards recorded as unplugged, or none fitted" {
		t.Error(said)
	}
	if said := back.Said(); said != "boards recorded as plugged or not known" {
		t.Error(said)
	}
}

func TestOffers_TheSelectedFirst(t *testing.T) {
	p := pack(func(c *fault.Case) { c.Layout.Boards = []topology.Board{{ID: "B1", Taps: []string{"M03.0", "M03.1"}}} })
	own, rest := states.Offers(p, "module:M03")
	if len(own) != 2 || own[0].Verb() != "Record M03 as removed" || own[1].Verb() != "Record B1 as unplugged" {
		t.Errorf("M03 offers %v", own)
	}
	said := ""
	for _, c := range rest {
		said += c.Verb() + ";"
	}
	for _, want := range []string{"contactors as closed", "monitor as active", "SD as closed"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not offered: %s", want, said)
		}
	}
	if strings.Contains(said, "B1") || strings.Contains(said, "contactors as open") {
		t.Errorf("offered twice, or as it is already: %s", said)
	}
}

func text(b []sheet.Block) string { return strings.ReplaceAll(sheet.Text(b), "\u2009", " ") }

func TestPreview_SaysWhatWouldBeLive(t *testing.T) {
	for name, c := range map[string]struct {
		edit   func(*fault.Case)
		change states.Change
		want   []string
	}{
		"open": {func(c *fault.Case) { c.Layout.Boards = []topology.Board{{ID: "B1", Taps: []string{"M02.8"}}} }, states.Change{Kind: states.Open, ID: "L02"},
			[]string{"Nothing is recorded yet", "Recorded: SD, L02 open", "expected, not measured", "M01- to M02+: 58.5 V", "Not known before both sides are read", "Board B1 is not recorded unplugged", "Modules cannot be switched off"}},
		"no boards drawn": {nil, states.Change{Kind: states.Open, ID: "L02"}, []string{"No boards are drawn"}},
		"all boards out": {nil, states.Change{Kind: states.Boards, To: fault.BoardsOut},
			[]string{"Record all boards as unplugged, or none fitted?", "Nothing is recorded yet", "Recorded: SD open, all boards unplugged or none fitted, contactors open", "with its sense leads at the cell end"}},
		"boards back": {func(c *fault.Case) { c.States[1].Boards = fault.BoardsOut }, states.Change{Kind: states.Boards},
			[]string{"Record boards as plugged or not known?", "Recorded: SD open, contactors open", "No board counts as unplugged then"}},
		"close":           {nil, states.Change{Kind: states.Close, ID: "SD"}, []string{"Red M07+, black M08-", "Measure the gap before it is closed"}},
		"monitor":         {nil, states.Change{Kind: states.Monitor, To: fault.MonitorActive}, []string{"no reading to chassis says anything"}},
		"state not known": {func(c *fault.Case) { c.Now = "" }, states.Change{Kind: states.Open, ID: "SD"}, []string{"present state is not known", "contactors not recorded"}},
		"partial layout":  {func(c *fault.Case) { c.Layout.Links[0].To = "M99-" }, states.Change{Kind: states.Open, ID: "L02"}, []string{"Not known; treat all as live"}},
	} {
		t.Run(name, func(t *testing.T) {
			got := text(states.Preview(pack(c.edit), c.change))
			for _, w := range c.want {
				if !strings.Contains(got, w) {
					t.Errorf("lacks %q:\n%s", w, got)
				}
			}
			if regexp.MustCompile(`(?i)\b(safe|dead|ok to touch)\b`).MatchString(got) {
				t.Errorf("says what it must not:\n%s", got)
			}
		})
	}
}

// With all boards out none is warned of, drawn or not.
func TestPreview_NoBoardBridgesWhenAllAreOut(t *testing.T) {
	for name, boards := range map[string][]topology.Board{"drawn": {{ID: "B1", Taps: []string{"M02.8"}}}, "not drawn": nil} {
		said := func(word string) string {
			return text(states.Preview(pack(func(c *fault.Case) { c.Layout.Boards, c.States[1].Boards = boards, word }), states.Change{Kind: states.Open, ID: "L02"}))
		}
		if got := said(""); !strings.Contains(got, "bridge") {
			t.Errorf("%s: a board that may bridge the gap is not warned of:\n%s", name, got)
		}
		if got := said(fault.BoardsOut); strings.Contains(got, "bridge") {
			t.Errorf("%s: a board is warned of that is out:\n%s", name, got)
		}
	}
}

// The finding's own word on the gap is taken where it proposes this very step.
func TestPreview_GapOfTheFindingsProposal(t *testing.T) {
	f, c := sample.Finding(), sample.Case()
	f.Next[0].State.Open = []string{"L10"}
	c.Layout.Links[9].ID = "L10"
	p := facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
	if got := text(states.Preview(p, states.Change{Kind: states.Open, ID: "L10"})); !strings.Contains(got, "When it is open: 9.0 to 14.0 V") {
		t.Errorf("the sheet says\n%s", got)
	}
}
