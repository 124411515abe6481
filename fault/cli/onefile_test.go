//go:build cgo

package cli_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault/casebook"
)

// A case goes out of one casebook and comes into another, twice, by the commands
// alone; what was printed tells a later audit what the log must contain.
func TestOneFile_OutAndIn(t *testing.T) {
	from, _ := demoBook(t)
	dir := t.TempDir()
	to, file, table := filepath.Join(dir, "other.casebook"), filepath.Join(dir, "case.halfsplit"), filepath.Join(dir, "case.csv")
	b, err := casebook.Create(to, casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	src, err := casebook.CasesIn(from)
	if err != nil || len(src) != 1 {
		t.Fatal(src, err)
	}
	title := src[0].Title
	said := func(want string, args ...string) string {
		t.Helper()
		code, out, errs := run(args...)
		if code != 0 || errs != "" || !strings.Contains(out, want) {
			t.Fatalf("%v: exit %d, want %q:\n%s%s", args, code, want, out, errs)
		}
		checkPage(t, out)
		return out
	}
	out := said("Written: ", "export", from, title, file)
	short := regexp.MustCompile(`-head\s+(\d+:[0-9a-f]{16})`).FindStringSubmatch(out)
	if short == nil {
		t.Fatal(out)
	}
	said("0 events", "audit", "-head", short[1], from)
	said("the rows are what it recorded", "audit", file)
	out = said("Taken in: the case", "import", to, file)
	if !strings.Contains(out, "readings") || !strings.Contains(out, "history") {
		t.Error(out)
	}
	said("Everything in", "import", to, file)
	said("Everything in", "import", to, file, src[0].ID[:13])
	said("Written: ", "csv", to, title, table)
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil || len(lines) != 1+src[0].Readings+groups(t, to) {
		t.Errorf("%d lines: %v", len(lines), err)
	}
	head := slices.Index(lines[0], "log_head")
	if r, err := casebook.AuditFile(t.Context(), to, lines[len(lines)-1][head]); err != nil || !r.Holds() {
		t.Errorf("the head of the table: %v, %q", err, r.Problem)
	}
}

// groups are the group values of the one case.
func groups(t *testing.T, path string) int {
	t.Helper()
	b, err := casebook.Open(path, casebook.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	all, err := b.Cases("")
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	r, err := b.Record(all[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	return len(r.Volts)
}

// A refusal is one line that says what and where, and leaves nothing behind.
func TestOneFile_Refusals(t *testing.T) {
	book, _ := demoBook(t)
	there := write(t, "there", "kept")
	none := filepath.Join(t.TempDir(), "none")
	garbage := write(t, "garbage", strings.Repeat("no casebook ", 200))
	for name, tt := range map[string]struct {
		args []string
		want string
	}{
		"no such case":   {[]string{"export", book, "another", none}, "no case has the title or key “another”"},
		"there already":  {[]string{"export", book, "019", there}, "no case has the title"},
		"over a file":    {[]string{"csv", book, onlyCase(t, book), there}, there + ": is there already"},
		"export over":    {[]string{"export", book, onlyCase(t, book), there}, there + ": is there already"},
		"no folder":      {[]string{"export", book, onlyCase(t, book), filepath.Join(none, "x")}, "its folder does not exist"},
		"too few":        {[]string{"export", book}, "usage: halfsplit export CASEBOOK CASE OUT"},
		"option":         {[]string{"csv", "-x", book}, `unknown option "-x"`},
		"no book":        {[]string{"import", none, book}, "there is no such file"},
		"no file":        {[]string{"import", book, none}, "there is no such file"},
		"itself":         {[]string{"import", book, book}, "is the casebook that is open"},
		"garbage":        {[]string{"import", book, garbage}, "is no casebook"},
		"no such case 2": {[]string{"import", book, book, "xx"}, "no case has the title or key “xx”"},
	} {
		t.Run(name, func(t *testing.T) {
			code, out, errs := run(tt.args...)
			if code != 2 || out != "" || strings.Count(errs, "\n") != 1 || !strings.Contains(errs, tt.want) {
				t.Errorf("exit %d, %q and %q, want %q", code, out, errs, tt.want)
			}
		})
	}
	if data, err := os.ReadFile(there); err != nil || string(data) != "kept" {
		t.Errorf("%q, %v", data, err)
	}
	if _, err := os.Lstat(none); err == nil {
		t.Error("something was left behind")
	}
}

func onlyCase(t *testing.T, path string) string {
	t.Helper()
	all, err := casebook.CasesIn(path)
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	return all[0].ID
}
