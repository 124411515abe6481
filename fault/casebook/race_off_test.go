//go:build !race

package casebook_test

// slowed says that the race detector watches.
const slowed = false
