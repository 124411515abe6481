//go:build race

package locate

// raced shrinks simulations under the race detector, which is there to find
// races, not to measure.
const raced = true
