package shell

import (
	"fmt"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/remember"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// variant is the colours that are chosen.
func (s *Shell) variant() theme.Variant {
	v, _ := theme.ParseVariant(s.kept.Colours)
	return v
}

// applyLook shows what is chosen: colours, glove view, text size.
func (s *Shell) applyLook() {
	if s.deps.Scale != nil {
		s.deps.Scale(s.kept.Percent())
	}
	was, now := s.shown, s.kept.Percent()
	size := s.w.Canvas().Size()
	s.shown = now
	s.app.Settings().SetTheme(&theme.Theme{Force: s.variant(), Glove: s.kept.Glove, Scale: now})
	if s.deps.Scale != nil && was != 0 && was != now {
		s.keepSize(size, was)
	}
}

// keepSize leaves the window as large on the screen as it is when the text size
// changes. The toolkit follows some frames later, tells the size of before until then,
// and makes the window larger where a page that has not become narrow yet needs it: so
// changes in a row are reckoned from the first of them, and once they are over the
// window is held to it again.
func (s *Shell) keepSize(size fyne.Size, percent int) {
	s.resized.from(size, percent)
	s.w.Resize(s.resized.to(s.shown))
	s.settle(s.resized.changes, 8)
}

// settle holds the window to its size until it has it, or for so many moments.
func (s *Shell) settle(change, moments int) {
	if s.deps.After == nil {
		s.resized.whole = fyne.Size{}
		return
	}
	s.deps.After(func() {
		want, is := s.resized.to(s.shown), s.w.Canvas().Size()
		switch {
		case change != s.resized.changes: // another one holds it
		case moments == 0:
			s.resized.whole = fyne.Size{}
		default:
			if max(want.Width-is.Width, is.Width-want.Width, want.Height-is.Height, is.Height-want.Height) > 1 {
				s.w.Resize(want)
			}
			s.settle(change, moments-1)
		}
	})
}

// A resizing is a row of changes of the text size.
type resizing struct {
	whole   fyne.Size // the window before the first of them, at 100 %; zero = none is going on
	changes int
}

func (r *resizing) from(size fyne.Size, percent int) {
	r.changes++
	if r.whole.IsZero() {
		r.whole = fyne.NewSize(size.Width*float32(percent)/100, size.Height*float32(percent)/100)
	}
}

// to is the window's size at a text size.
func (r *resizing) to(percent int) fyne.Size {
	return fyne.NewSize(r.whole.Width*100/float32(percent), r.whole.Height*100/float32(percent))
}

func (s *Shell) restyle(v theme.Variant) {
	s.kept.Colours = v.String()
	s.save()
	s.applyLook()
}

// largerText is so many steps larger, or smaller.
func (s *Shell) largerText(steps int) { s.textSize(s.kept.Percent() + steps*remember.TextStep) }

// textSize sets the size in per cent, within its limits; 0 is the usual one.
func (s *Shell) textSize(percent int) {
	s.kept.Text = max(remember.LeastText, min(remember.MostText, percent))
	s.changedLook()
}

func (s *Shell) toggleGlove() {
	s.kept.Glove = !s.kept.Glove
	s.changedLook()
}

func (s *Shell) changedLook() {
	s.save()
	s.applyLook()
	s.look.fill()
	s.ground.Refresh()
}

// A look is the page of text size, colours and glove view.
type look struct {
	s    *Shell
	set  *command.Set
	page *form.Page
	list *focus
}

func newLook(s *Shell) *look {
	l := &look{s: s, set: &command.Set{Around: s.key}, page: form.NewPage(18)}
	add := func(name, keys, runes string, do func(), on func() bool, named ...fyne.KeyName) {
		l.set.Add(&command.Command{Name: name, Keys: keys, Runes: runes, Named: named, Do: do, On: on})
	}
	add("Back", "Esc", "", s.leavePage, nil, fyne.KeyEscape)
	add("Smaller", "-", "-", func() { s.largerText(-1) }, nil)
	add("Larger", "+", "+=", func() { s.largerText(1) }, nil)
	add("100 %", "0", "0", func() { s.textSize(0) }, nil)
	for i, name := range []string{"As the desktop says", "Light", "Dark", "High contrast"} {
		v := theme.Variant(i)
		key := string(rune('1' + i))
		add(name, key, key, func() { s.restyle(v); s.changedLook() }, func() bool { return s.variant() == v })
	}
	add("Glove view", "G", "g", s.toggleGlove, func() bool { return s.kept.Glove })
	add("Lock for wiping", "F10", "", s.toggleLock, nil)
	l.list = newFocus(l)
	l.fill()
	return l
}

// fill makes the page; its words change with what is chosen.
func (l *look) fill() {
	c := l.set.List()
	chips := func(from, to int) *fyne.Container {
		row := form.NewFlow()
		for _, x := range c[from:to] {
			row.Objects = append(row.Objects, command.NewChip(x, l.set))
		}
		return row
	}
	words := func(b ...sheet.Block) fyne.CanvasObject { return l.s.words(b) }
	glove := "off"
	if l.s.kept.Glove {
		glove = "on"
	}
	l.page.Set(
		chips(0, 1),
		words(sheet.Block{Kind: sheet.Title, Text: fmt.Sprintf("Text size: %d %%", l.s.kept.Percent()), Bold: true},
			sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("From %d to %d %%; Ctrl + and Ctrl - do the same everywhere.", remember.LeastText, remember.MostText)}),
		chips(1, 4),
		words(sheet.Block{Kind: sheet.Title, Text: "Colours", Bold: true}), chips(4, 8),
		words(sheet.Block{Kind: sheet.Title, Text: "Glove view: " + glove, Bold: true},
			sheet.Block{Kind: sheet.Soft, Text: "Everything that is pressed is larger, and so is the number in hand, where large text has not made them so already."}),
		chips(8, 9),
		words(sheet.Block{Kind: sheet.Title, Text: "Lock", Bold: true},
			sheet.Block{Kind: sheet.Soft, Text: "For a wet or dirty screen: no press and no key is taken until two opposite corners were held, or F10 is pressed. The emergency page stays reachable. In the glove view the button stands on top of every page."}),
		chips(9, 10))
}

// Content is what the window shows.
func (l *look) Content() fyne.CanvasObject { return l.list }

// Focus puts the keyboard on the page.
func (l *look) Focus() { l.s.w.Canvas().Focus(l.list) }

// words is a part of a page in words.
func (s *Shell) words(b []sheet.Block) *easel.Board {
	return easel.NewBoard(theme.Paper, 200, drawn(b))
}
