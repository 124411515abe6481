package ui

import "fyne.io/fyne/v2"

// Metadata names the program to Fyne, and says that it calls the window's
// thread through fyne.Do only.
func Metadata() fyne.AppMetadata {
	return fyne.AppMetadata{ID: "org.halfsplit.desk", Name: "Halfsplit", Version: "0.1.0", Migrations: map[string]bool{"fyneDo": true}}
}
