//go:build race

package locate_test

// raced shrinks the rows under the race detector, which looks for races.
const raced = true
