package locate_test

import (
	"flag"
	"fmt"
	"runtime/debug"
	"strings"
	"testing"
)

// A rec is one run of a row's test with one seed. It collects what fails
// instead of stopping, so that a row that waits for the engine can be run too.
type rec struct {
	seed  uint64
	fails []string
	soft  map[string]*tally
}

// A tally counts what may miss now and then: a 95 % interval does not always
// cover.
type tally struct {
	n      int
	missed []string
}

// abort ends a run whose further checks make no sense.
type abort struct{}

func (k *rec) errorf(format string, args ...any) {
	k.fails = append(k.fails, fmt.Sprintf("seed %d: ", k.seed)+fmt.Sprintf(format, args...))
}

// Errorf is what a check of a finding calls.
func (k *rec) Errorf(format string, args ...any) { k.errorf(format, args...) }

func (k *rec) fatalf(format string, args ...any) {
	k.errorf(format, args...)
	panic(abort{})
}

// mostly notes something that holds in 95 of 100 runs.
func (k *rec) mostly(what string, ok bool, format string, args ...any) {
	t := k.soft[what]
	if t == nil {
		t = &tally{}
		k.soft[what] = t
	}
	t.n++
	if !ok {
		t.missed = append(t.missed, fmt.Sprintf("seed %d: %s: ", k.seed, what)+fmt.Sprintf(format, args...))
	}
}

// run takes one seed through a row; a panic of the engine is a failure.
func (k *rec) run(body func(k *rec)) {
	defer func() {
		if p := recover(); p != nil {
			if _, meant := p.(abort); !meant {
				k.errorf("panic: %v at %s", p, where(string(debug.Stack())))
			}
		}
	}()
	body(k)
}

// where is the engine's first line in a stack.
func where(stack string) string {
	_, after, _ := strings.Cut(stack, "panic(")
	for line := range strings.Lines(after) {
		if strings.Contains(line, "/fault/locate/") {
			return strings.TrimSpace(line[strings.LastIndex(line, "/")+1:])
		}
	}
	return "a place not known"
}

// allowed is how many of n may miss what holds in 95 %: more would happen by
// chance in less than one of fifty.
func allowed(n int) int {
	part, sum := 1.0, 0.0 // binomial terms
	for i := 0; i < n; i++ {
		part *= 0.95
	}
	for m := 0; ; m++ {
		if sum += part; 1-sum < 0.02 {
			return m
		}
		part *= float64(n-m) / float64(m+1) * 0.05 / 0.95
	}
}

// seeds is how many packs each row is tried on: ten with -full, fewer in
// between.
func seeds() int {
	switch {
	case raced:
		return 1
	case flag.Lookup("full").Value.String() == "true":
		return 10
	case testing.Short():
		return 2
	}
	return 3
}

// row runs a row's test on several packs. One that waits for the engine is
// skipped as long as it fails, and fails when it passes: then it must come off
// the list.
func row(t *testing.T, body func(k *rec)) {
	t.Helper()
	lacking, waits := waiting[t.Name()]
	var fails []string
	soft := map[string]*tally{}
	for seed := 1; seed <= seeds() && !(waits && len(fails) > 0); seed++ {
		k := &rec{seed: uint64(seed), soft: soft}
		k.run(body)
		fails = append(fails, k.fails...)
	}
	for _, s := range soft {
		if len(s.missed) > allowed(s.n) {
			fails = append(fails, s.missed...)
		}
	}
	switch {
	case waits && len(fails) == 0 && seeds() >= 3:
		t.Errorf("passes now: take it off the waiting list, where it lacks %q", lacking)
	case waits && len(fails) == 0:
		t.Skipf("waiting (too few packs to tell): %s", lacking)
	case waits:
		t.Skipf("waiting: %s\n%s", lacking, strings.Join(fails[:min(len(fails), 12)], "\n"))
	}
	for _, f := range fails {
		t.Error(f)
	}
}

func TestRows_AllowedMisses(t *testing.T) {
	for n, want := range map[int]int{1: 1, 4: 1, 10: 2, 100: 10} {
		if got := allowed(n); got != want {
			t.Errorf("of %d: %d, want %d", n, got, want)
		}
	}
}
