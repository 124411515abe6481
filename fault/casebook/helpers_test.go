package casebook_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
	"halfsplit/topology"
)

const testdata = "../../testdata"

// caseFiles are the case files of the repository by name.
func caseFiles(t testing.TB) map[string][]byte {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(testdata, "cases", "*.case.json"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no case files: %v", err)
	}
	out := map[string][]byte{}
	for _, p := range paths {
		data, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(p), ".case.json")] = data
	}
	return out
}

func caseFile(t testing.TB, name string) fault.Case {
	t.Helper()
	c, _, err := format.ReadCase(name, caseFiles(t)[name], nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// fixed are options with a clock that moves a second at a look and ids that
// count: the same commands give the same file.
func fixed() casebook.Options { return fixedAs("0000", 10) }

// fixedAs has ids of its own, and begins at another hour.
func fixedAs(part string, hour int) casebook.Options {
	var ticks, ids atomic.Int64
	start := time.Date(2026, 3, 2, hour, 0, 0, 0, time.UTC)
	return casebook.Options{
		Now:   func() time.Time { return start.Add(time.Duration(ticks.Add(1)) * time.Second) },
		NewID: func() string { return fmt.Sprintf("019cae3c-%s-7000-8000-%012d", part, ids.Add(1)) },
	}
}

var anna = casebook.By{Who: "Anna"}

func why(reason string) casebook.By { return casebook.By{Who: "Anna", Why: reason} }

// newBook is an empty casebook in a folder of its own, which does not wait for
// the disk: most tests are about something else.
func newBook(t testing.TB) *casebook.Book {
	t.Helper()
	b := must(casebook.Create(filepath.Join(t.TempDir(), "shop.casebook"), casebook.Options{NoCopies: true})).do(t, closing)
	hasty(t, b)
	return b
}

func hasty(t testing.TB, b *casebook.Book) {
	t.Helper()
	must(b.Writer().Exec("PRAGMA synchronous = OFF")).or(t)
}

func closing(t testing.TB, b *casebook.Book) {
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
}

func reopen(t testing.TB, b *casebook.Book) *casebook.Book {
	t.Helper()
	check(t, b.Close())
	b = must(casebook.Open(b.Path(), casebook.Options{NoCopies: true})).do(t, closing)
	hasty(t, b)
	return b
}

// got is a result that a test cannot go on without.
type got[T any] struct {
	v   T
	err error
}

func must[T any](v T, err error) got[T] { return got[T]{v, err} }

func (g got[T]) or(t testing.TB) T {
	t.Helper()
	check(t, g.err)
	return g.v
}

func (g got[T]) do(t testing.TB, f func(testing.TB, T)) T {
	t.Helper()
	check(t, g.err)
	f(t, g.v)
	return g.v
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// wantKind wants an error of a kind, in one line of plain words.
func wantKind(t testing.TB, err error, kind casebook.Kind, words string) {
	t.Helper()
	if err == nil || casebook.KindOf(err) != kind || !strings.Contains(err.Error(), words) || strings.Contains(err.Error(), "\n") {
		t.Errorf("error %q of kind %d, want kind %d with %q", err, casebook.KindOf(err), kind, words)
	}
}

// holds audits a book and wants everything to hold.
func holds(t testing.TB, b *casebook.Book) casebook.Report {
	t.Helper()
	r := must(b.Audit(context.Background(), "")).or(t)
	if !r.Holds() {
		t.Fatalf("the audit says: %s", r.Problem)
	}
	return r
}

func same(t testing.TB, want, got fault.Case) {
	t.Helper()
	if d := cmp.Diff(want, got, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); d != "" {
		t.Error(d)
	}
}

// bench is a small pack: three modules of two groups, a disconnect, a board.
func bench() topology.Layout {
	l, _, err := format.ReadLayout("bench", []byte(`{"format": "halfsplit-layout/1", "name": "bench pack",
 "modules": [{"id": "M01", "series": 2, "x": 0}, {"id": "M02", "series": 2, "x": 400}, {"id": "M03", "series": 2, "x": 800}],
 "links": [{"id": "L1", "kind": "busbar", "from": "M01+", "to": "M02-"}, {"id": "SD", "kind": "disconnect", "from": "M02+", "to": "M03-"},
  {"id": "K-", "kind": "contactor", "from": "M01-", "to": "pack-"}, {"id": "K+", "kind": "contactor", "from": "M03+", "to": "pack+"}],
 "boards": [{"id": "B1", "taps": ["M01.0", "M01.1", "M01.2"]}], "chassis": [{"id": "tray"}]}`))
	if err != nil {
		panic(err)
	}
	return l
}

// begun is what a case begins with on the bench pack.
func begun(title string) fault.Case {
	return fault.Case{
		Title: title, Now: "closed",
		States:      []fault.State{{ID: "closed", Contactors: fault.Open, Monitor: fault.MonitorDisconnected}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: .5, Counts: 2, InputOhms: 1e7, Ranges: []fault.Range{{Max: 6, Count: .001}, {Max: 60, Count: .01}}}},
		Resistors:   []fault.Resistor{{ID: "R200k", Ohms: 2e5, TolPct: 1, Watts: 2}},
	}
}

// newCase begins a case on a layout of its own.
func newCase(t testing.TB, b *casebook.Book) (caseID, layoutID string) {
	t.Helper()
	layoutID = must(b.ImportLayout(bench(), nil, anna)).or(t)
	return must(b.NewCase(layoutID, begun("case"), anna)).or(t), layoutID
}

func volts(red, black string, v float64) fault.Reading {
	return fault.Reading{State: "closed", Quantity: fault.Volts, Red: red, Black: black, Value: v, Instrument: "dmm"}
}

func theCase(t testing.TB, b *casebook.Book, id string) fault.Case {
	t.Helper()
	c, _, err := b.Case(id)
	check(t, err)
	return c
}
