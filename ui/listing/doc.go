// Package listing is the page on which a list that was made elsewhere is taken in:
// columns that were pasted, or a file. It shows what was understood as lines that are
// changed by keys and by presses, what would be stored row by row, and every row that
// was not read; then one command stores all.
//
// It reads no list itself: package fault/lists does, and fault/lists/order weighs how a
// monitor counts. Both run beside the window; so does the storing. It knows fingers and
// keys, and no SQL.
package listing
