package start

import (
	"strings"

	"halfsplit/fault/casebook"
	"halfsplit/ui/sheet"
)

// Trouble is what the page says of a casebook that could not be opened: what is
// wrong, what was not touched, and what can be done. copies says that there are
// daily copies to open.
func Trouble(path string, err error, copies bool) []sheet.Block {
	title, what, todo := "The casebook cannot be opened", "The file was left as it is.", "Try again, open a copy, or open another casebook."
	switch casebook.KindOf(err) {
	case casebook.Damaged:
		title = "The casebook is damaged"
		what = "The file was left as it is and nothing was written to it. Keep it: more may be got out of it than can be shown here."
		todo = "Open the newest daily copy: it holds everything up to its day."
		if !copies {
			todo = "There are no daily copies beside it. Open a copy that was kept elsewhere, or begin a new casebook."
		}
	case casebook.Newer:
		title = "The casebook is from a newer version of Halfsplit"
		what = "The file was left as it is and nothing was written to it."
		todo = "Open it with the newer version, or open another casebook here."
	case casebook.Foreign:
		title = "The file is no casebook"
		what = "It belongs to something else, and was left as it is."
		todo = "Open another file, or begin a new casebook."
	case casebook.ReadOnly:
		title = "The casebook cannot be written"
		what = "Nothing was changed. Readings cannot be recorded in a file that cannot be written."
		todo = "Give this user the right to write to file and folder, or open a casebook that lies elsewhere."
	case casebook.Missing:
		title = "There is no casebook here"
		what = "Nothing was written."
		todo = "Begin a new casebook here, or open another."
	case casebook.Busy:
		title = "Another program holds the casebook"
		what = "Nothing was changed."
		todo = "Close the other program or wait a moment, then try again."
	case casebook.Full:
		title = "The disk is full"
		what = "Everything that was saved before is still there."
		todo = "Make room on the disk, then try again."
	}
	text := err.Error()
	if casebook.KindOf(err) == casebook.Damaged && !copies { // its error speaks of a copy that is not there
		text = "is damaged; it was left as it is"
	}
	if !strings.Contains(text, path) {
		text = path + ": " + text
	}
	return []sheet.Block{
		{Kind: sheet.Title, Text: title, Bold: true},
		{Kind: sheet.Para, Text: what},
		{Kind: sheet.Para, Text: todo, Bold: true},
		{Kind: sheet.Title, Text: "The file"},
		{Kind: sheet.Para, Text: ended(text)},
	}
}

// ended ends a text that begins with the name of a file: no letter of it is made
// large.
func ended(s string) string { return strings.TrimSuffix(s, ".") + "." }
