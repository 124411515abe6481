package ui

import "fyne.io/fyne/v2"

// Metadata names the program to Fyne, and says that it calls the window's
// thread through fyne.Do only. It gives no ID: with one the toolkit writes a file of
// preferences at every end, which nothing here reads, and complains at the next
// start if that was cut off.
func Metadata() fyne.AppMetadata {
	return fyne.AppMetadata{Name: "Halfsplit", Version: "0.1.0", Migrations: map[string]bool{"fyneDo": true}}
}
