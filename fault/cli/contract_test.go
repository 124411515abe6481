package cli_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cli"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
)

const casesDir = "../../testdata/cases"

// run runs a command of this build as main does.
func run(args ...string) (code int, out, errs string) { return runWith(cli.Run, args...) }

type runner func(context.Context, []string, io.Writer, io.Writer) int

func runWith(r runner, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = r(context.Background(), args, &o, &e)
	return code, o.String(), e.String()
}

// once asks the engine once and gives its answer again, so that one case can
// be printed in two ways for the price of one.
func once(find cli.Find) cli.Find {
	var f fault.Finding
	var err error
	var do sync.Once
	return func(ctx context.Context, c fault.Case, ev []fault.Evidence) (fault.Finding, error) {
		do.Do(func() { f, err = find(ctx, c, ev) })
		return f, err
	}
}

// The contract: every case file, through the command, gives the finding that
// is expected beside it, in print nothing that may not be said.
func TestLocate_EveryCaseGivesWhatIsExpected(t *testing.T) {
	for name, want := range expected(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(casesDir, name+".case.json")
			p := cli.Program{Find: once(locate.Find)}
			code, out, errs := runWith(p.Run, "locate", "-json", path)
			if code != 0 || errs != "" {
				t.Fatalf("exit %d, %s", code, errs)
			}
			f, notes, err := format.ReadFinding(name, []byte(out))
			if err != nil || len(notes) > 0 {
				t.Fatal(err, notes)
			}
			want.check(t, f)
			code, page, errs := runWith(p.Run, "locate", path)
			if code != 0 || errs != "" {
				t.Fatalf("exit %d, %s", code, errs)
			}
			checkPage(t, page)
			for _, w := range want.Says {
				if !strings.Contains(strings.Join(strings.Fields(f.Statement), " "), w) {
					t.Errorf("it does not say %q: %s", w, f.Statement)
				}
			}
			for _, w := range want.NeverSay {
				if strings.Contains(strings.ToLower(page), strings.ToLower(w)) {
					t.Errorf("it says %q", w)
				}
			}
			if t.Failed() {
				t.Logf("%s\n%s", want.About, f.Statement)
			}
		})
	}
}

func (e expect) check(t *testing.T, f fault.Finding) {
	t.Helper()
	if !slices.Contains(e.Verdict, f.Verdict) {
		t.Errorf("verdict %s, want one of %v", f.Verdict, e.Verdict)
	}
	if e.Leaks != nil && len(f.Leaks) != len(e.Leaks) {
		t.Errorf("%d leaks, want %d", len(f.Leaks), len(e.Leaks))
	}
	for i := range min(len(e.Leaks), len(f.Leaks)) {
		e.Leaks[i].check(t, fmt.Sprintf("leak %d", i+1), f.Leaks[i])
	}
	for _, s := range e.Sections {
		s.check(t, f.Sections)
	}
	for i, p := range f.Suspicion {
		if e.LeadingShareBelow > 0 && float64(p.Share) >= e.LeadingShareBelow {
			t.Errorf("suspicion of %s is %.3f, want below %g", p.ID, p.Share, e.LeadingShareBelow)
		}
		if i == 0 && slices.Contains(e.NeverLeading, p.ID) {
			t.Errorf("%s leads the suspicion", p.ID)
		}
	}
	for _, l := range f.Leaks {
		for _, p := range l.Places {
			if slices.Contains(e.NotAPlace, p.ID) {
				t.Errorf("%s is listed as a place, with %.3f", p.ID, p.Share)
			}
		}
	}
	if e.Closure && (len(f.Closure) == 0 || slices.ContainsFunc(f.Closure, func(c fault.Closure) bool { return !c.Passed })) {
		t.Errorf("closure %+v", f.Closure)
	}
	if e.ReferenceProved != nil && f.ReferenceProved != *e.ReferenceProved {
		t.Errorf("reference proved: %v", f.ReferenceProved)
	}
}

func (e expectLeak) check(t *testing.T, what string, l fault.Leak) {
	t.Helper()
	if e.If != "" && l.If != e.If {
		t.Errorf("%s is stated if %q, want if %q", what, l.If, e.If)
	}
	if e.First != "" && (len(l.Places) == 0 || l.Places[0].ID != e.First || float64(l.Places[0].Share) < e.FirstShare) {
		t.Errorf("%s: places %v, want %s first with %g", what, l.Places, e.First, e.FirstShare)
	}
	if e.Among != "" && !slices.ContainsFunc(l.Places, func(p fault.Share) bool { return p.ID == e.Among }) {
		t.Errorf("%s: places %v, want %s among them", what, l.Places, e.Among)
	}
	e.Position.holds(t, what+" position", l.Position.Low, l.Position.High)
	e.Electrical.holds(t, what+" electrical", l.Electrical.Low, l.Electrical.High)
	e.Ohms.resistance(t, what, l.Ohms)
}

func (e expectSection) check(t *testing.T, all []fault.SectionFinding) {
	t.Helper()
	what := e.State + " " + e.From
	i := slices.IndexFunc(all, func(s fault.SectionFinding) bool { return s.State == e.State && s.From == e.From })
	if i < 0 {
		t.Errorf("no section %s", what)
		return
	}
	e.Ohms.resistance(t, what, all[i].Ohms)
	e.ChassisVolts.holds(t, what+" chassis", all[i].ChassisVolts.Low, all[i].ChassisVolts.High)
}

var forbidden = regexp.MustCompile(`(?i)\b(safe|safely|unsafe|dead)\b|\bok to\b|NaN|\bInf\b`)

// checkPage checks what holds for everything that is printed for people.
func checkPage(t *testing.T, page string) {
	t.Helper()
	if w := forbidden.FindString(page); w != "" {
		t.Errorf("it says %q", w)
	}
	for _, line := range strings.Split(page, "\n") {
		if len([]rune(line)) > 80 && strings.Contains(strings.TrimSpace(line), " ") {
			t.Errorf("line longer than 80: %q", line)
		}
		if strings.TrimRight(line, " ") != line {
			t.Errorf("spaces at the end of %q", line)
		}
	}
}
