// Package command is what can be done in the window: each command with its
// keys, its words for the list of keys, and what it does. Buttons, keys and the
// list of keys are made of the same table, so that none of them can have what
// the others lack.
//
// It knows keys and words, not what a command does.
package command

import (
	"iter"
	"strings"

	"fyne.io/fyne/v2"
)

// A Command is one thing that can be done.
type Command struct {
	Name  string         // on its button
	Help  string         // in the list of keys, a sentence
	Keys  string         // how the keys are written in the list
	Runes string         // characters that do it
	Named []fyne.KeyName // keys without a character that do it
	Shift bool           // the named keys need Shift held
	Do    func()
	Label func() string // on its button, where that changes; nil = Name
	On    func() bool   // is it the chosen one of its group? nil = no such state
}

// StepLabel names what undo or redo would do on its button, shortened where it is
// long; "" is nothing.
func StepLabel(verb, name string) string {
	if name == "" {
		return verb
	}
	if r := []rune(name); len(r) > 22 {
		name = string(r[:21]) + "…"
	}
	return verb + ": " + name
}

// A Set is the window's commands.
type Set struct {
	list     []*Command
	Modifier func() fyne.KeyModifier   // the keys held; nil = none known
	Around   func(*fyne.KeyEvent) bool // keys of the window around, asked first; true = taken; nil = none

	// A page that is typed into takes its keys before the commands do, wherever
	// the focus is: true = taken. Nil = nothing is typed into.
	First    func(rune) bool
	FirstKey func(*fyne.KeyEvent) bool
}

// Add puts a command into the set and gives it back.
func (s *Set) Add(c *Command) *Command {
	s.list = append(s.list, c)
	return c
}

// List is every command, in the order of adding.
func (s *Set) List() []*Command { return s.list }

// Helped gives the keys and the words of every command that the list of keys has.
func (s *Set) Helped() iter.Seq2[string, string] {
	return func(yield func(keys, help string) bool) {
		for _, c := range s.list {
			if c.Help != "" && !yield(c.Keys, c.Help) {
				return
			}
		}
	}
}

// Rune does the command of a character and says whether there was one. Letters
// count in either case.
func (s *Set) Rune(r rune) bool {
	if s.First != nil && s.First(r) {
		return true
	}
	for _, c := range s.list {
		if c.Runes != "" && (strings.ContainsRune(c.Runes, r) || strings.ContainsRune(strings.ToLower(c.Runes), r) || strings.ContainsRune(strings.ToUpper(c.Runes), r)) {
			c.Do()
			return true
		}
	}
	return false
}

// Key does the command of a named key and says whether there was one.
func (s *Set) Key(k *fyne.KeyEvent) bool {
	if s.FirstKey != nil && s.FirstKey(k) {
		return true
	}
	if s.Around != nil && s.Around(k) {
		return true
	}
	shift := s.Shift()
	for _, c := range s.list {
		for _, n := range c.Named {
			if n == k.Name && c.Shift == shift {
				c.Do()
				return true
			}
		}
	}
	return false
}

// Shift says that Shift is held.
func (s *Set) Shift() bool {
	return s.Modifier != nil && s.Modifier()&fyne.KeyModifierShift != 0
}
