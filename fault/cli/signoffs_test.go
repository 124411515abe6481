//go:build cgo

package cli_test

import (
	"strings"
	"testing"

	"halfsplit/fault/casebook"
)

// The list says of each sign-off whether what was signed is still so.
func TestSignOffs_SayWhatIsOfAnEarlierState(t *testing.T) {
	path, _ := demoBook(t)
	id := onlyCase(t, path)
	b, err := casebook.Open(path, casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	things, err := b.Signables(id)
	for i, s := range things {
		if err == nil {
			_, err = b.Sign(id, s, "Ben Example", []string{"technician", "supervisor", "customer", "witness", "insurer"}[i], "seen", casebook.By{})
		}
	}
	if err == nil {
		err = b.SetTitle(id, "another title", casebook.By{})
	}
	if err == nil {
		err = b.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	code, out, errs := run("signoffs", path, "another title")
	if code != 0 || errs != "" || strings.Count(out, "of an earlier state") != 1 || strings.Count(out, "what was signed is unchanged") != len(things)-1 || len(things) < 3 {
		t.Errorf("exit %d, %d signed:\n%s%s", code, len(things), out, errs)
	}
	checkPage(t, out)
	if code, _, errs := run("signoffs", path); code != 2 || !strings.Contains(errs, "usage: halfsplit signoffs CASEBOOK CASE") {
		t.Errorf("exit %d, %q", code, errs)
	}
}
