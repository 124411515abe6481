package cli

import (
	"context"
	"io"

	"halfsplit/fault/casebook"
)

const signOffsUsage = "CASEBOOK CASE"

// signOffs lists who signed what of a case.
func (p Program) signOffs(_ context.Context, args []string, out io.Writer) (int, error) {
	return ofCase("signoffs", signOffsUsage, args, 2, func(_ []string, b *casebook.Book, c casebook.CaseSummary) error {
		all, err := b.SignOffs(c.ID)
		if err != nil {
			return err
		}
		h, err := b.Head()
		if err != nil {
			return err
		}
		printSignOffs(&page{out: out}, c.Title, all, h)
		return nil
	})
}

func printSignOffs(w *page, title string, all []casebook.SignOff, h casebook.Head) {
	w.heading("Sign-offs of the case %s: %d.", quoted(title), len(all))
	headItem(w, "casebook at", h)
	for _, s := range all {
		w.heading("%s, %s, %s UTC", s.Name, s.Role, moment(s.At))
		w.item("signed", "%s", s.Said)
		if s.Note != "" {
			w.item("remark", "%s", s.Note)
		}
		switch {
		case s.Withdrawn != nil:
			w.item("now", "taken back on %s UTC; it is kept here", moment(s.Withdrawn.At))
		case s.Matches:
			w.item("now", "what was signed is unchanged")
		default:
			w.item("now", "of an earlier state: what was signed has changed since")
		}
		w.item("content", "event %d, with the hash", s.Event)
		w.item("", "%s", s.SHA256)
	}
}
