package start

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/csvout"
	"halfsplit/ui/command"
	"halfsplit/ui/files"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// headField is where a case file carries the head of the log that it was written at.
const headField = "log_head"

// withHead puts the head among the further fields of a case file.
func withHead(c fault.Case, h casebook.Head) (fault.Case, error) {
	raw, err := json.Marshal(map[string]any{"event": h.Seq, "sha256": h.Hash})
	if err != nil {
		return c, err
	}
	further := map[string]json.RawMessage{headField: raw}
	for name, v := range c.Extra {
		if name != headField {
			further[name] = v
		}
	}
	c.Extra = further
	return c, nil
}

// chosenCase is the case that is chosen; ok is false if none is.
func (v *View) chosenCase() (s casebook.CaseSummary, ok bool) {
	kind, id, _ := strings.Cut(v.chosen, ":")
	for _, c := range v.cases {
		if kind == "case" && c.ID == id {
			return c, true
		}
	}
	v.say("No case is chosen.")
	return s, false
}

// openOneFile writes the chosen case out as one file.
func (v *View) openOneFile() {
	c, ok := v.chosenCase()
	if !ok {
		return
	}
	book, by := v.book, v.by()
	v.browse(toExport, files.Name(c.Title, BookEnding), nil)
	v.files.ending, v.files.title = BookEnding, "Export as one file"
	v.files.text = "The file holds this case alone: layouts, readings with all that was superseded or withdrawn, photos, and its history. Import takes it into another casebook. Choose the folder in the list, and a name."
	v.files.put = func(path string, over bool) (string, error) {
		from, file, err := book.WriteOne(context.Background(), c.ID, path, over, by)
		return fmt.Sprintf("Written: %s. This casebook is at event %s, the file at %s.", path, from.Short(), file.Short()), err
	}
	v.show(filesPage)
	v.focusFirst()
}

// openTable writes the chosen case's values out as a table.
func (v *View) openTable() {
	c, ok := v.chosenCase()
	if !ok {
		return
	}
	r, err := v.book.Record(c.ID)
	var data bytes.Buffer
	if err == nil {
		err = csvout.Write(&data, r)
	}
	if err != nil {
		v.fail("It cannot be exported", err)
		return
	}
	v.browse(toExport, files.Name(c.Title, ".csv"), data.Bytes())
	v.files.ending, v.files.title = ".csv", "Readings as CSV"
	v.files.text = fmt.Sprintf("%s and %s, with all that was superseded or withdrawn. Every line ends with the log's newest event, %s.",
		Count(len(r.Readings), "reading"), Count(len(r.Volts), "group value"), r.Head.Short())
	v.show(filesPage)
	v.focusFirst()
}

// isBook says that a file is a casebook, by how such files begin.
func isBook(path string) bool {
	const begins = "SQLite format 3\x00"
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, len(begins))
	_, err = io.ReadFull(f, head)
	return err == nil && string(head) == begins
}

// A taking is a casebook file that a case is taken in from.
type taking struct {
	path  string
	cases []casebook.CaseSummary // to choose from
	stop  context.CancelFunc     // nil = nothing is under way
	done  *casebook.Brought      // what came of it
	head  casebook.Head          // of the casebook after it
}

// takeFrom looks which cases a casebook file holds, and takes in the only one.
func (v *View) takeFrom(path string) {
	v.taking = taking{path: path}
	v.wait(func(context.Context) func() {
		cases, err := casebook.CasesIn(path)
		return func() {
			switch {
			case err != nil:
				v.notTaken(err)
			case len(cases) == 0:
				v.notTaken(fmt.Errorf("%s: holds no case", path))
			case len(cases) == 1:
				v.takeIn(cases[0].ID)
			default:
				v.taking.cases = cases
				v.say("Choose the case to take in.")
				v.show(takingPage)
			}
		}
	})
}

// wait runs something beside the window, which a person can stop; what it returns
// runs on the window's thread.
func (v *View) wait(do func(context.Context) func()) {
	ctx, stop := context.WithCancel(context.Background())
	v.taking.stop = stop
	v.say("Taking in " + v.taking.path + " …")
	v.show(takingPage)
	v.deps.Go(func() {
		after := do(ctx)
		v.deps.Do(func() {
			stop()
			v.taking.stop = nil
			after()
		})
	})
}

func (v *View) takeIn(id string) {
	book, path, by := v.book, v.taking.path, v.by()
	v.taking.cases = nil
	v.wait(func(ctx context.Context) func() {
		got, err := book.TakeIn(ctx, path, id, by)
		head, headErr := book.Head()
		if err == nil {
			err = headErr
		}
		return func() {
			if err != nil {
				v.notTaken(err)
				return
			}
			v.taking.done, v.taking.head = &got, head
			v.wish, v.detail = "case:"+got.CaseID, true
			v.search.SetText("")
			v.say(takenWords(got))
			v.show(takingPage)
			v.load()
			v.Focus()
		}
	})
}

// takenWords is one sentence about what came in.
func takenWords(got casebook.Brought) string {
	switch {
	case got.Nothing:
		return "Everything in that file is here already: nothing was changed."
	case got.New:
		return "Taken in: the case " + CaseName(got.Title) + "."
	}
	return "Taken in: " + got.What() + "."
}

// notTaken goes back to the search for a file and says why.
func (v *View) notTaken(err error) {
	v.page = detailsPage
	v.refuseImport(v.taking.path, err)
}

// takingThings are the page about a file that is taken in.
func (v *View) takingThings() []fyne.CanvasObject {
	t := &v.taking
	switch {
	case t.done != nil:
		return v.takenThings(*t.done)
	case t.stop != nil:
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Taking in", Bold: true}, {Kind: sheet.Para, Text: t.path},
			{Kind: sheet.Para, Text: "The file is checked first, event by event. What comes in does so as a whole or not at all."}}),
			v.row(v.button("Stop", "Esc", true, v.back))}
	}
	things := []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Which case is to come in?", Bold: true},
		{Kind: sheet.Para, Text: t.path + " holds " + Count(len(t.cases), "case") + "."}})}
	for i, c := range t.cases {
		things = append(things, v.row(v.button(CaseName(c.Title)+", "+Count(c.Readings, "reading"), "", i == 0, func() { v.takeIn(c.ID) })))
	}
	return append(things, v.row(v.button("Leave", "Esc", false, v.back)))
}

func (v *View) takenThings(got casebook.Brought) []fyne.CanvasObject {
	b := []sheet.Block{{Kind: sheet.Title, Text: CaseName(got.Title), Bold: true}, {Kind: sheet.Para, Text: takenWords(got)}}
	if !got.Nothing {
		for _, k := range got.Rows {
			b = append(b, sheet.Block{Kind: sheet.Row, Text: words.Sentence(k.Word)[:len(k.Word)], Value: fmt.Sprint(k.N)})
		}
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "History", Value: Count(got.Events, "event") + " of the other log"})
	}
	if len(got.Said) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "To know"})
		for _, s := range got.Said {
			b = append(b, sheet.Block{Kind: sheet.Item, Text: s})
		}
	}
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "Logs"}, sheet.Block{Kind: sheet.Row, Text: "It came from", Value: got.From.Short()})
	if got.File.Known() {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "The file", Value: got.File.Short()})
	}
	b = append(b, sheet.Block{Kind: sheet.Row, Text: "This casebook", Value: v.taking.head.Short()})
	if !got.Nothing && !got.New {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Undo in the case takes back what came in, as a whole."})
	}
	return []fyne.CanvasObject{v.words(b), v.row(v.button("Open this case", "", true, func() { v.deps.Case(got.CaseID) }), v.button("Close", "Esc", false, v.back))}
}

// stopTaking ends what is under way; it says whether anything was.
func (v *View) stopTaking() bool {
	if v.page != takingPage || v.taking.stop == nil {
		return false
	}
	v.taking.stop()
	v.say("Stopped. Nothing is taken in unless it was complete already.")
	return true
}

// oneFileCommands are the ways of a case out and in besides the case file.
func (v *View) oneFileCommands(add func(*command.Command)) {
	add(&command.Command{Name: "One file", Help: "Write the chosen case as one file, with photos and history, for another casebook", Keys: "E", Runes: "e", Do: func() { v.act(v.openOneFile) }})
	add(&command.Command{Name: "CSV", Help: "Write all values of the chosen case as a table", Keys: "C", Runes: "c", Do: func() { v.act(v.openTable) }})
	add(&command.Command{Name: "Sign-offs", Help: "Who signed what of the chosen case, and to sign", Keys: "S", Runes: "s", Do: func() { v.act(v.openSigning) }})
}
