//go:build race

package casebook_test

// slowed says that the race detector watches: it looks at what goes on at once, and
// what is repeated at random is repeated in the pass without it.
const slowed = true
