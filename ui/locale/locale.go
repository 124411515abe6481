// Package locale names a language where the environment names none. The window
// toolkit reads the environment when the program is loaded, cannot read the
// language "C", and says so on standard error.
//
// Importing the package does it, for this process alone. It works because Go
// initialises packages in the order of their import paths as soon as what they
// import is ready: this one needs package os only, the toolkit's much more.
package locale

import "os"

// init runs before the toolkit's own.
func init() { Name(os.Getenv, os.Setenv) }

// Name sets the language to English where it is C, POSIX, or not set.
func Name(get func(string) string, set func(string, string) error) {
	for _, k := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		v := get(k)
		if v == "" {
			continue
		}
		if none(v) {
			set(k, "en_US.UTF-8")
		}
		return // the first that is set counts
	}
	set("LANG", "en_US.UTF-8")
}

// none says that a locale names no language: C, POSIX, with or without an
// encoding.
func none(v string) bool {
	for i, c := range v {
		if c == '.' || c == '@' {
			v = v[:i]
			break
		}
	}
	return v == "C" || v == "POSIX"
}
