package cli_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault/cli"
	"halfsplit/fault/report"
)

func TestSheet_WritesAPDF(t *testing.T) {
	to := filepath.Join(t.TempDir(), "sheet.pdf")
	for _, what := range []string{"module", "group", "chassis", "insulation", "joint"} {
		for _, order := range []string{"electrical", "snake", "reverse"} {
			code, out, errs := run("sheet", "-paper", "letter", "-what", what, "-order="+order, casesDir+"/S1.case.json", to)
			if code != 0 || errs != "" {
				t.Fatalf("%s %s: exit %d, %s", what, order, code, errs)
			}
			data, err := os.ReadFile(to)
			if err != nil || !bytes.HasPrefix(data, []byte("%PDF-")) {
				t.Fatalf("%s %s: no PDF: %v", what, order, err)
			}
			// What it prints as the number is known to the case.
			_, number, _ := strings.Cut(out, "sheet ")
			number, _, _ = strings.Cut(number, " ")
			c, _, err := cli.ReadCase(casesDir + "/S1.case.json")
			if err != nil {
				t.Fatal(err)
			}
			if m, err := report.Recognise(c, number); err != nil || m.OtherNow || m.OtherCase {
				t.Errorf("%s %s: %s is %+v, %v", what, order, number, m, err)
			}
		}
	}
}

func TestSheet_ExpectedTakesTheFinding(t *testing.T) {
	to := filepath.Join(t.TempDir(), "sheet.pdf")
	if code, _, errs := run("sheet", "-what", "chassis", "-expected", casesDir+"/S1.case.json", to); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
}

func TestSheet_BadUse(t *testing.T) {
	dir := t.TempDir()
	pdf := filepath.Join(dir, "a.pdf")
	s1 := casesDir + "/S1.case.json"
	for _, c := range []struct {
		want string
		args []string
	}{
		{"0 files are given", []string{}},
		{"1 files are given", []string{s1}},
		{"ends in .pdf", []string{s1, filepath.Join(dir, "a.txt")}},
		{"there is no folder", []string{s1, filepath.Join(dir, "no", "a.pdf")}},
		{"-paper is a4 or letter", []string{"-paper", "a3", s1, pdf}},
		{"-what is module", []string{"-what=cells", s1, pdf}},
		{"-order is electrical", []string{"-order", "missing", s1, pdf}},
		{"-order needs a value", []string{s1, pdf, "-order"}},
		{`unknown option "-x"`, []string{"-x", s1, pdf}},
		{"there is no such file", []string{filepath.Join(dir, "no.case.json"), pdf}},
	} {
		code, out, errs := run(append([]string{"sheet"}, c.args...)...)
		if code != 2 || out != "" || !strings.Contains(errs, c.want) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%q: exit %d, %q, want %q", c.args, code, errs, c.want)
		}
		if _, err := os.Stat(pdf); err == nil {
			t.Errorf("%q: a file was written", c.args)
		}
	}
}
