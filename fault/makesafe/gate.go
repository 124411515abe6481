package makesafe

import (
	"errors"
	"slices"
	"strings"

	"halfsplit/fault"
)

// Lacking is what stands before the order of removal is printed or followed: what
// the record lacks or where it does not fit, and what leaves the electrical path
// open. path are these last, as sentences. Nothing else waits for it: recording,
// viewing, undoing and exporting never do.
func Lacking(c *fault.Case, expect func(point string) Expected, today string, path []string) []Remark {
	var out []Remark
	for _, r := range Review(c, expect, today) {
		if r.Lacks {
			out = append(out, r)
		}
	}
	for _, p := range path {
		out = append(out, Remark{Text: p, Lacks: true})
	}
	return out
}

// Uncovered is what still stands before the next step: what is lacking and is not
// answered by the reason that a named person wrote. A reason answers what was
// lacking when it was written, and nothing that came later.
func Uncovered(c *fault.Case, lacking []Remark) []Remark {
	reason, ok := c.SafeNow(fault.SafeReason)
	if !ok || reason.Who == "" {
		return lacking
	}
	return slices.DeleteFunc(slices.Clone(lacking), func(r Remark) bool { return slices.Contains(reason.Lacked, r.Text) })
}

// Texts are the sentences of remarks, as a reason keeps them.
func Texts(list []Remark) (out []string) {
	for _, r := range list {
		out = append(out, r.Text)
	}
	return out
}

// leastWords is what a reason needs to be a sentence.
const leastWords = 5

// Reason says why a text is no reason: one by a named person, of a sentence at
// least.
func Reason(who, text string) error {
	switch words := strings.Fields(text); {
	case strings.TrimSpace(who) == "":
		return errors.New("a reason stands under a name: say who is here first")
	case len(words) < leastWords:
		return errors.New("a reason is a sentence at least: say what stands in for what is lacking, and who decided")
	case different(words) < leastWords-1:
		return errors.New("this says the same word again; a reason is a sentence")
	}
	return nil
}

func different(words []string) int {
	seen := map[string]bool{}
	for _, w := range words {
		seen[strings.ToLower(w)] = true
	}
	return len(seen)
}
