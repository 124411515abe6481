package cli_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/cli"
	"halfsplit/fault/format"
)

// write puts files into a folder of their own and returns the path of the first.
func write(t *testing.T, files ...string) string {
	t.Helper()
	dir := t.TempDir()
	for i := 0; i < len(files); i += 2 {
		if err := os.WriteFile(filepath.Join(dir, files[i]), []byte(files[i+1]), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, files[0])
}

const small = `{"format": "halfsplit-layout/1", "name": "bench", "modules": [{"id": "M01", "series": 2}, {"id": "M02", "series": 2}], "links": [{"id": "L1", "kind": "busbar", "from": "M01+", "to": "M02-"}, {"id": "K-", "kind": "contactor", "from": "M01-", "to": "pack-"}, {"id": "K+", "kind": "contactor", "from": "M02+", "to": "pack+"}]}`

func TestRun_ExitCodesAndOneLineErrors(t *testing.T) {
	caseOf := func(layout string) string { return `{"format": "halfsplit-case/1", "layout": ` + layout + `}` }
	broken := write(t, "c.json", `{"format": "halfsplit-case/1",`)
	tests := map[string]struct {
		args []string
		code int
		want string // in the output, or in the one line of errors
	}{
		"nothing":           {nil, 2, "no command given"},
		"help":              {[]string{"-h"}, 0, "halfsplit locate [-json] CASE.json"},
		"help of a command": {[]string{"check", "-h"}, 0, "usage: halfsplit check LAYOUT.json"},
		"unknown command":   {[]string{"roam"}, 2, `"roam" is no command`},
		"no file":           {[]string{"locate"}, 2, "no file given"},
		"two files":         {[]string{"locate", "a", "b"}, 2, "a second"},
		"unknown option":    {[]string{"locate", "-xml", "a"}, 2, `unknown option "-xml"`},
		"no such file":      {[]string{"locate", "no\nsuch.json"}, 2, `no\u000asuch.json: there is no such file`},
		"a folder":          {[]string{"check", t.TempDir()}, 2, "is a folder"},
		"broken":            {[]string{"locate", broken}, 2, broken + ": top level (line 1, column 31): the file ends"},
		"case":              {[]string{"locate", write(t, "c.json", caseOf(small))}, 0, "TOO FEW READINGS"},
		"case as JSON":      {[]string{"locate", "-json", write(t, "c.json", caseOf(small))}, 0, `"verdict": "too-few-readings"`},
		"json after":        {[]string{"locate", write(t, "c.json", caseOf(small)), "--json"}, 0, `"verdict": "too-few-readings"`},
		"layout":            {[]string{"check", write(t, "l.json", small)}, 0, "String M01: 2 modules, 4 groups in series, from M01 to M02."},
		"case as layout":    {[]string{"check", write(t, "l.json", caseOf(small))}, 2, `this is "halfsplit-case/1"`},
		"layout file":       {[]string{"locate", write(t, "c.json", `{"format": "halfsplit-case/1", "layout_file": "l.json"}`, "l.json", small)}, 0, "TOO FEW READINGS"},
		"layout file gone":  {[]string{"locate", write(t, "c.json", `{"format": "halfsplit-case/1", "layout_file": "l.json"}`)}, 2, "layout_file (line 1, column 47): "},
		"unknown field":     {[]string{"check", write(t, "l.json", strings.Replace(small, `"series"`, `"colour": 1, "series"`, 1))}, 0, "modules[0].colour is not known to this version; it is kept."},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			code, out, errs := run(tt.args...)
			if code != tt.code || !strings.Contains(out+errs, tt.want) {
				t.Errorf("exit %d, want %d with %q:\n%s%s", code, tt.code, tt.want, out, errs)
			}
			if code == 2 && (out != "" || strings.Count(errs, "\n") != 1) {
				t.Errorf("a refusal is one line on standard error: %q %q", out, errs)
			}
			if code == 0 && errs != "" {
				t.Errorf("errors with exit 0: %q", errs)
			}
		})
	}
}

func TestRun_EngineErrorsAreOneLine(t *testing.T) {
	p := cli.Program{Find: func(context.Context, fault.Case, []fault.Evidence) (fault.Finding, error) {
		return fault.Finding{}, errors.New("the layout has\n30000 groups")
	}}
	path := write(t, "c.json", `{"format": "halfsplit-case/1", "layout": `+small+`}`)
	code, out, errs := runWith(p.Run, "locate", path)
	if code != 2 || out != "" || strings.Count(errs, "\n") != 1 || !strings.HasPrefix(errs, path+": ") {
		t.Errorf("exit %d, output %q, errors %q", code, out, errs)
	}
}

// deaf refuses every write, like a full disk or a closed pipe.
type deaf struct{}

func (deaf) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestRun_OutputThatCannotBeWrittenIsAnError(t *testing.T) {
	var errs strings.Builder
	if code := cli.Run(context.Background(), []string{"-h"}, deaf{}, &errs); code != 2 || !strings.Contains(errs.String(), "no space left") {
		t.Errorf("exit %d, %q", code, errs.String())
	}
}

func TestDemo_EndsWithTheLineOnTheWindow(t *testing.T) {
	var out, errs strings.Builder
	if code := cli.Demo(context.Background(), &out, &errs); code != 0 || errs.Len() > 0 {
		t.Fatalf("exit %d, %s", code, errs.String())
	}
	page := out.String()
	checkPage(t, page)
	lines := strings.Split(strings.TrimSpace(page), "\n")
	if last := lines[len(lines)-1]; !strings.Contains(last, "window needs a display") {
		t.Errorf("last line %q", last)
	}
	for _, want := range []string{"NARROWED", "M12", "r3: superseded by r4"} {
		if !strings.Contains(page, want) {
			t.Errorf("the demo does not show %q", want)
		}
	}
}

// The demo's truth: one leak of 312 kohm, 94.2 groups above the negative end,
// in the seventh and eighth group of M12, beside the joint to M13.
func TestDemo_IsNarrowedAroundItsTruth(t *testing.T) {
	c, notes, err := format.ReadCase("demo", assets.Demo, nil)
	if err != nil || len(notes) > 0 {
		t.Fatal(err, notes)
	}
	file := filepath.Join(t.TempDir(), "demo.case.json")
	if err := os.WriteFile(file, assets.Demo, 0o600); err != nil {
		t.Fatal(err)
	}
	_, out, errs := run("locate", "-json", file)
	f, _, err := format.ReadFinding("demo", []byte(out))
	if err != nil {
		t.Fatal(err, errs)
	}
	if f.Verdict != fault.Narrowed || len(f.Leaks) != 1 {
		t.Fatalf("%s with %d leaks", f.Verdict, len(f.Leaks))
	}
	(&band{Truth: 94.2, Widest: 3}).holds(t, "position", f.Leaks[0].Position.Low, f.Leaks[0].Position.High)
	(&band{Truth: 312e3, Widest: .1}).resistance(t, "leak", f.Leaks[0].Ohms)
	if p := f.Leaks[0].Places; len(p) < 2 || p[0].ID != "M12" || p[1].ID != "M13" {
		t.Errorf("places %v", p)
	}
	odd := map[int]int{}
	for _, m := range c.Layout.Modules {
		odd[m.Series]++
	}
	if len(c.Layout.Stacks) != 2 || odd[7] != 1 || len(c.Layout.Modules) != 14 {
		t.Errorf("%d stacks, %d modules, %v", len(c.Layout.Stacks), len(c.Layout.Modules), odd)
	}
}

// A pack of 5,000 groups is checked and answered in plain words.
func TestRun_FiveThousandGroups(t *testing.T) {
	var mods, links []string
	for i := 1; i <= 625; i++ {
		mods = append(mods, fmt.Sprintf(`{"id": "M%03d", "series": 8}`, i))
		if i > 1 {
			links = append(links, fmt.Sprintf(`{"id": "L%03d", "kind": "busbar", "from": "M%03d+", "to": "M%03d-"}`, i-1, i-1, i))
		}
	}
	layout := `{"format": "halfsplit-layout/1", "modules": [` + strings.Join(mods, ",") + `], "links": [` + strings.Join(links, ",") + `,
		{"id": "K-", "kind": "contactor", "from": "M001-", "to": "pack-"}, {"id": "K+", "kind": "contactor", "from": "M625+", "to": "pack+"}]}`
	code, out, errs := run("check", write(t, "l.json", layout))
	if code != 0 || !strings.Contains(out, "625 modules, 5000 groups in series") {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	if raceDetector {
		t.Skip("the engine has one goroutine here, and smaller packs show it to the race detector")
	}
	path := write(t, "c.json", `{"format": "halfsplit-case/1", "layout": `+layout+`, "states": [{"id": "closed", "contactors": "open"}],
		"instruments": [{"id": "v", "kind": "voltmeter", "gain_pct": 0.5, "counts": 2, "input_ohms": 1e7, "input_tol_pct": 1, "ranges": [{"max": 30000, "count": 1}]}],
		"readings": [{"id": "r1", "state": "closed", "quantity": "volts", "red": "M625+", "black": "chassis", "value": 8000, "instrument": "v"},
		 {"id": "r2", "state": "closed", "quantity": "volts", "red": "M001-", "black": "chassis", "value": -10000, "instrument": "v"},
		 {"id": "r3", "state": "closed", "quantity": "volts", "red": "M625+", "black": "M001-", "value": 18100, "instrument": "v"}]}`)
	code, out, errs = run("locate", path)
	if code != 0 || !strings.Contains(out, "EQUIVALENT ONLY") {
		t.Errorf("exit %d: %.500s%s", code, out, errs)
	}
	checkPage(t, out)
}
