package sheet

import "iter"

// keyCol is the share of the width that the keys have: their names are short, what they
// do is not.
const keyCol = 0.24

// Keys is the list of a page's keys: how each is written, and what it does.
func Keys(lines iter.Seq2[string, string]) []Block {
	b := []Block{{Kind: Title, Text: "Keys", Bold: true}, {Kind: Soft, Text: "Every key has a button or a press that does the same."}}
	for keys, help := range lines {
		b = append(b, Block{Kind: Row, Text: keys, Value: help + ".", Share: keyCol})
	}
	return b
}
