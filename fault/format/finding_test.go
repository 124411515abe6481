package format_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"halfsplit/fault"
	"halfsplit/fault/format"
)

func finding() fault.Finding {
	return fault.Finding{
		Format: format.FindingFormat, Engine: "test", Verdict: fault.Narrowed, Statement: "M02 or M03: less than 12 kohm, a < b & c.",
		Leaks: []fault.Leak{{
			String: "M01", Places: []fault.Share{{ID: "M02", Kind: fault.PlaceModule, Share: .7}, {ID: "M03", Kind: fault.PlaceModule, Share: .3}},
			Tap: fault.TapRange{Low: "M02.3", Mid: "M02.7", High: "M03.1"}, Position: fault.Interval{Low: 11, Mid: 15, High: 17},
			Ohms: fault.Bounded{Low: 0, Mid: fault.NoNumber, High: 12e3, Relation: fault.Less}, Several: .05,
		}},
		Suspicion:  []fault.Share{{ID: "M02", Kind: fault.PlaceModule, Share: .6999999}},
		Hypotheses: []fault.HypothesisShare{{Kind: fault.One, Share: 1}},
		Next:       []fault.NextTest{{Action: "open SD", State: fault.StateChange{Open: []string{"SD"}}}},
		Used:       []string{"r1"},
	}
}

func TestWriteFinding_ReadsBackEqual(t *testing.T) {
	raw, err := format.WriteFinding(finding())
	if err != nil {
		t.Fatal(err)
	}
	back, notes, err := format.ReadFinding("f", raw)
	if err != nil || len(notes) > 0 {
		t.Fatalf("%v %v\n%s", err, notes, raw)
	}
	want := finding()
	want.Suspicion[0].Share = .7 // six significant digits
	same := cmp.Comparer(func(a, b fault.Number) bool { return a == b || a != a && b != b })
	if d := cmp.Diff(want, back, same, cmpopts.EquateEmpty()); d != "" {
		t.Error(d)
	}
	if bytes.Contains(raw, []byte(`"doubts": null`)) || !bytes.Contains(raw, []byte(`"mid": null`)) {
		t.Errorf("lists must be lists and missing numbers null:\n%s", raw)
	}
	if !bytes.Contains(raw, []byte("a < b & c")) {
		t.Error("the statement is escaped as for a web page")
	}
}

func TestReadFinding_Refuses(t *testing.T) {
	raw, err := format.WriteFinding(finding())
	if err != nil {
		t.Fatal(err)
	}
	tests := map[string]struct{ old, new, want string }{
		"verdict":    {`"narrowed"`, `"certain"`, "verdict (line 4"},
		"relation":   {`"relation": "<"`, `"relation": "~"`, "leaks[0].ohms.relation"},
		"place kind": {`"kind": "module"`, `"kind": "cell"`, "leaks[0].places[0].kind"},
		"share":      {`"share": 0.3`, `"share": 1.3`, "leaks[0].places[1].share"},
		"missing":    {`"several": 0.05`, `"sevral": 0.05`, `"several" is missing`},
		"null list":  {`"doubts": []`, `"doubts": null`, "doubts"},
		"wrong case": {`"engine"`, `"Engine"`, `is written "engine"`},
		"newer":      {`finding/1`, `finding/2`, "newer than this program"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			bad := bytes.Replace(raw, []byte(tt.old), []byte(tt.new), 1)
			if bytes.Equal(bad, raw) {
				t.Fatalf("%s is not in the finding:\n%s", tt.old, raw)
			}
			if _, _, err := format.ReadFinding("f", bad); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
	more := bytes.Replace(raw, []byte(`"engine"`), []byte(`"later": 1, "engine"`), 1)
	if _, notes, err := format.ReadFinding("f", more); err != nil || len(notes) != 1 {
		t.Errorf("an unknown field is noted, not refused: %v %v", notes, err)
	}
}
