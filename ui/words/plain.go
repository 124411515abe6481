package words

import "strings"

// plainly replaces the characters that findings may use and the window's font
// lacks.
var plainly = strings.NewReplacer("\u2212", "-", "\u2264", "at most ", "\u2265", "at least ", "\u2248", "about ", "\u2192", "to", "\u221e", "no end", "\u2260", "not ")

// Plain writes a text with characters that the window's font has.
func Plain(s string) string { return plainly.Replace(s) }
