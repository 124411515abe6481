//go:build !race

package cli_test

// raceDetector says that the race detector watches, which costs a factor of ten.
const raceDetector = false
