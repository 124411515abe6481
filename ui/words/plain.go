package words

import (
	"regexp"
	"strings"
)

// plainly replaces the characters that findings may use and the window's font
// lacks.
var plainly = strings.NewReplacer("\u2212", "-", "\u2264", "at most ", "\u2265", "at least ", "\u2248", "about ", "\u2192", "to", "\u221e", "no end", "\u2260", "not ")

// valueUnit is a value with a plain space before its unit.
var valueUnit = regexp.MustCompile(`(\d) (mV|V|mA|A|[kMG]?Ω|%|min|W)`)

// Plain writes a text with characters that the window's font has, and ties
// values to their units so that no line breaks between them.
func Plain(s string) string { return valueUnit.ReplaceAllString(plainly.Replace(s), "$1"+Thin+"$2") }
