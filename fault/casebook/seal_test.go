package casebook_test

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault/casebook"
)

// looked is what becomes of a file that somebody changed: "" if neither opening it
// nor an audit says that anything is wrong.
func looked(t *testing.T, path, head string) string {
	t.Helper()
	r, err := casebook.AuditFile(context.Background(), path, head)
	switch {
	case err != nil:
		return err.Error()
	case !r.Holds():
		return r.Problem
	case len(r.Notes) > 0: // it could not be compared with its seal: that is said, and is no finding
		return ""
	}
	return ""
}

// A thousand single bytes anywhere in a closed casebook, those that carry nothing
// among them: every change is found, or the file is refused.
func TestSeal_FindsEveryChangedByteOfTheFile(t *testing.T) {
	for name, path := range map[string]string{"closed": sample(t), "written as one file": oneOf(t)} {
		good := read(t, path)
		if what := looked(t, path, ""); what != "" {
			t.Fatalf("%s, unchanged: %s", name, what)
		}
		rng := rand.New(rand.NewPCG(6, 8))
		at := []int{0, 16, 18, 19, 20, 24, 27, 28, 40, 60, 68, 72, 80, 92, 95, 96, 99, 100, len(good) - 1}
		for len(at) < watched(rounds(500, 1000)) {
			at = append(at, rng.IntN(len(good)))
		}
		dir := t.TempDir()
		for _, i := range at {
			bad := append([]byte(nil), good...)
			bad[i] ^= 1 << rng.IntN(8)
			path := filepath.Join(dir, "changed.casebook")
			write(t, path, bad)
			if looked(t, path, "") == "" {
				t.Errorf("%s: byte %d of %d was %#x and is %#x, and nothing is found", name, i, len(good), good[i], bad[i])
			}
		}
	}
}

// oneOf is a case as one file.
func oneOf(t *testing.T) string {
	b := newBook(t)
	return oneFile(t, b, furnish(t, b))
}

// A file that is cut short or made longer, anywhere, is found.
func TestSeal_FindsTruncations(t *testing.T) {
	good := read(t, sample(t))
	rng := rand.New(rand.NewPCG(6, 9))
	cuts := []int{1, 99, 100, 4095, 4096, len(good) - 4096, len(good) - 1, len(good) + 1, len(good) + 4096}
	for range 30 {
		cuts = append(cuts, rng.IntN(len(good)/4096)*4096, 1+rng.IntN(len(good)-1))
	}
	for _, n := range cuts {
		path := filepath.Join(t.TempDir(), "cut.casebook")
		write(t, path, append(append([]byte(nil), good...), make([]byte, 4096)...)[:n])
		if looked(t, path, "") == "" {
			t.Errorf("cut to %d of %d bytes, and nothing is found", n, len(good))
		}
	}
}

// A casebook is sealed however it comes about and whatever was done in it; one that
// was not closed says so.
func TestSeal_IsThereWhenAFileIsClosed(t *testing.T) {
	b := newBook(t)
	id := furnish(t, b)
	if r := must(casebook.AuditFile(context.Background(), b.Path(), "")).or(t); !r.Holds() || !strings.Contains(strings.Join(r.Notes, "\n"), "not closed") {
		t.Errorf("while it is open: %+v", r)
	}
	saved := filepath.Join(t.TempDir(), "saved.casebook")
	check(t, b.SaveAs(context.Background(), saved, false))
	path := b.Path()
	check(t, b.Close())
	for range 2 {
		for name, p := range map[string]string{"closed": path, "saved as": saved} {
			if r := must(casebook.AuditFile(context.Background(), p, "")).or(t); !r.Holds() || strings.Contains(strings.Join(r.Notes, "\n"), "seal") {
				t.Errorf("%s: %+v", name, r)
			}
		}
		again := must(casebook.Open(path, casebook.Options{NoCopies: true})).or(t)
		must(again.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
		check(t, again.Close())
	}
}

// Whoever has a whole file can write a log that holds in itself, seal and all. The
// head that was printed before tells, whole or in short.
func TestAudit_RecomputedChainAgainstPrintedHead(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	printed := must(b.Head()).or(t)
	must(b.AddReading(id, volts("M01+", "chassis", 2), anna)).or(t)
	path := b.Path()
	check(t, b.Close())
	good := read(t, path)
	for _, h := range []string{printed.String(), printed.Short(), printed.Hash} {
		if what := looked(t, path, h); what != "" {
			t.Fatalf("unchanged, with %s: %s", h, what)
		}
	}
	forged := writeTemp(t, good)
	forge(t, forged)
	resealed := must(casebook.Open(forged, casebook.Options{NoCopies: true})).or(t)
	check(t, resealed.Close())
	if what := looked(t, forged, ""); what != "" {
		t.Fatalf("the forgery does not hold in itself, so that the test shows nothing: %s", what)
	}
	for _, h := range []string{printed.String(), printed.Short(), printed.Hash} {
		if what := looked(t, forged, h); !strings.Contains(what, "written anew") && !strings.Contains(what, "expected hash") {
			t.Errorf("with %s: %q", h, what)
		}
	}
	if what := looked(t, path, fmt.Sprintf("%d:%s", printed.Seq+40, printed.Hash)); !strings.Contains(what, "the log ends with event") {
		t.Errorf("%q", what)
	}
}

// forge changes the value of the first reading and computes the whole chain anew.
func forge(t *testing.T, path string) {
	t.Helper()
	db := rawOpen(t, path)
	must(db.Exec(`PRAGMA recursive_triggers = OFF; DROP TRIGGER events_kept_1; DROP TRIGGER readings_kept_1`)).or(t)
	must(db.Exec(`UPDATE readings SET value = 9 WHERE label = 'r1'; UPDATE events SET after = replace(after, '"value":1}', '"value":9}') WHERE kind = 'reading'`)).or(t)
	type row struct {
		seq, reverts int64
		f            [12]string
	}
	rows := must(db.Query(`SELECT seq, reverts, id, at, who, kind, name, subject, case_id, scope, before, after, why, prev FROM events ORDER BY seq`)).or(t)
	var all []row
	for rows.Next() {
		var r row
		into := []any{&r.seq, &r.reverts}
		for i := range r.f {
			into = append(into, &r.f[i])
		}
		check(t, rows.Scan(into...))
		all = append(all, r)
	}
	check(t, rows.Close())
	prev := strings.Repeat("0", 64)
	for _, r := range all {
		h := sha256.New()
		for _, field := range []string{"halfsplit-event/1", fmt.Sprint(r.seq), r.f[0], r.f[1], r.f[2], r.f[3], r.f[4], r.f[5], r.f[6], r.f[7], fmt.Sprint(r.reverts), r.f[8], r.f[9], r.f[10], prev} {
			var n [8]byte
			binary.BigEndian.PutUint64(n[:], uint64(len(field)))
			h.Write(n[:])
			h.Write([]byte(field))
		}
		sum := hex.EncodeToString(h.Sum(nil))
		must(db.Exec(`UPDATE events SET prev = ?, hash = ? WHERE seq = ?`, prev, sum, r.seq)).or(t)
		prev = sum
	}
	must(db.Exec(`UPDATE head SET hash = ?`, prev)).or(t)
	restoreGuards(t, db)
	check(t, db.Close())
}

func restoreGuards(t *testing.T, db *sql.DB) {
	t.Helper()
	must(db.Exec(`CREATE TRIGGER events_kept_1 BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events are only added'); END`)).or(t)
	must(db.Exec(`CREATE TRIGGER readings_kept_1 BEFORE UPDATE ON readings BEGIN SELECT RAISE(ABORT, 'readings are only added'); END`)).or(t)
}
