package ui

import (
	"context"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"halfsplit/fault"
	"halfsplit/ui/theme"
)

// Metadata names the program to Fyne, and says that it calls the window's
// thread through fyne.Do only.
func Metadata() fyne.AppMetadata {
	return fyne.AppMetadata{ID: "org.halfsplit.desk", Name: "Halfsplit", Version: "0.1.0", Migrations: map[string]bool{"fyneDo": true}}
}

// whoKey is the preference that keeps who is here.
const whoKey = "who"

// Run opens the window on a case and returns when it is closed.
func Run(a fyne.App, c fault.Case, v theme.Variant, find func(context.Context, fault.Case) (fault.Finding, error)) {
	restyle := func(v theme.Variant) { a.Settings().SetTheme(&theme.Theme{Force: v}) }
	restyle(v)
	w := a.NewWindow("Halfsplit: " + title(c))
	d := NewDesk(Deps{
		Case: c, Find: find, Variant: v, Restyle: restyle,
		Now: time.Now, Glide: Glide,
		Who: a.Preferences().String(whoKey), SaveWho: func(name string) { a.Preferences().SetString(whoKey, name) },
		Copy:   func(s string) { a.Clipboard().SetContent(s) },
		Canvas: w.Canvas,
		Modifier: func() fyne.KeyModifier {
			if drv, ok := a.Driver().(desktop.Driver); ok {
				return drv.CurrentKeyModifiers()
			}
			return 0
		},
	})
	w.SetPadded(false)
	w.SetContent(d.Content())
	w.Resize(fyne.NewSize(1280, 800))
	w.Canvas().SetOnTypedRune(d.TypedRune)
	w.Canvas().SetOnTypedKey(d.TypedKey)
	for _, s := range Shortcuts() {
		w.Canvas().AddShortcut(s, func(s fyne.Shortcut) { d.Shortcut(s) })
	}
	w.SetOnClosed(d.Close)
	d.Focus()
	w.ShowAndRun()
}

func title(c fault.Case) string {
	if c.Title != "" {
		return c.Title
	}
	return "a case without a title"
}
