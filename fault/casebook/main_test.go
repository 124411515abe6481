package casebook_test

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

var full = flag.Bool("full", false, "run kills and random walks at full size")

// rounds is how often a test repeats what is random.
func rounds(reduced, all int) int {
	if *full {
		return all
	}
	return reduced
}

// watched is a fifth of the rounds under the race detector.
func watched(rounds int) int {
	if slowed {
		return max(1, rounds/5)
	}
	return rounds
}

// childVar makes the test binary a program that works on a casebook and tells
// what it has done, so that a test can kill it.
const childVar = "CASEBOOK_TEST_CHILD"

func TestMain(m *testing.M) {
	flag.Parse()
	if job := os.Getenv(childVar); job != "" {
		if err := children[job](flag.Args()); err != nil {
			fmt.Println("error:", err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	if err := flag.Set("rapid.checks", fmt.Sprint(watched(rounds(15, 100)))); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}

// children are the programs by name.
var children = map[string]func(args []string) error{
	"enter":   childEnters,
	"take in": childTakesIn,
	"draw":    childDraws,
}
