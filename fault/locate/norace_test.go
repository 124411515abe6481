//go:build !race

package locate

const raced = false
