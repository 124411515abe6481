package scene

import "strings"

// Wrap breaks a text into lines of at most width pixels, at plain spaces; a word that
// is longer than a line is broken where it must be. Nothing is ever cut off.
func Wrap(text string, width, size float64, bold bool, measure Measurer) []string {
	var lines []string
	for _, para := range strings.Split(text, "\n") {
		line := ""
		for _, word := range strings.FieldsFunc(para, func(r rune) bool { return r == ' ' || r == '\t' }) {
			try := word
			if line != "" {
				try = line + " " + word
			}
			if measure(try, size, bold) <= width {
				line = try
				continue
			}
			if line != "" {
				lines = append(lines, line)
			}
			for measure(word, size, bold) > width && len([]rune(word)) > 1 {
				n := fitting(word, width, size, bold, measure)
				lines = append(lines, string([]rune(word)[:n]))
				word = string([]rune(word)[n:])
			}
			line = word
		}
		lines = append(lines, line)
	}
	return lines
}

// fitting is how many characters of a word fit in width, at least one.
func fitting(word string, width, size float64, bold bool, measure Measurer) int {
	r := []rune(word)
	n := 1
	for n < len(r) && measure(string(r[:n+1]), size, bold) <= width {
		n++
	}
	return n
}

// Shorten fits a text into width, with an ellipsis where something is left off.
// The whole text must be readable elsewhere.
func Shorten(text string, width, size float64, bold bool, measure Measurer) string {
	if measure(text, size, bold) <= width {
		return text
	}
	r := []rune(text)
	for n := len(r) - 1; n > 0; n-- {
		if s := strings.TrimRight(string(r[:n]), " ,;:") + "…"; measure(s, size, bold) <= width {
			return s
		}
	}
	return ""
}
