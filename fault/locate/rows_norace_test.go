//go:build !race

package locate_test

const raced = false
