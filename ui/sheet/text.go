package sheet

import "strings"

// Text writes blocks as plain text, for the clipboard. Folds that are closed
// leave out what they hold.
func Text(blocks []Block) string {
	var b strings.Builder
	line := func(s string) { b.WriteString(strings.TrimSpace(s)); b.WriteByte('\n') }
	for _, k := range blocks {
		switch k.Kind {
		case Title:
			b.WriteByte('\n')
			line(k.Text)
		case Row, Bar, Big:
			if k.Text == "" {
				line(k.Value)
			} else {
				line(k.Text + ": " + k.Value)
			}
		case Fold:
			line(k.Text + " (" + k.Value + ")")
		case Item:
			line("- " + k.Text)
		case Input:
			line(k.Text + ": [" + k.Value + "] " + k.Unit)
		case Leads, Tiles:
			for _, t := range k.Tiles {
				line(t.Name + ": " + t.Value)
			}
			if k.Value != "" {
				line("Test resistor: " + k.Value)
			}
		case Action:
			line(k.Text)
			if k.Value != "" {
				line("  " + k.Value)
			}
		case Step:
			line(k.Value + ". " + k.Text)
		case LeadPicture:
			for _, l := range k.Lead.lines() {
				line(l)
			}
		case Route:
			line(k.Text)
			if k.Value != "" {
				line("next " + k.Value)
			}
		case BenchField:
			line(k.Text + ": [" + k.Value + "] " + k.Unit)
			line(strings.TrimSpace(k.Ends[0] + " " + k.Ends[1]))
		case Echo:
			line(k.Text + ": " + strings.TrimSpace(k.Value+" "+k.Unit))
		case Halves:
			for _, half := range [][]Block{k.Left, k.Right} {
				if t := strings.TrimSpace(Text(half)); t != "" {
					line(t)
				}
			}
		case Pad:
		case Worked:
			line(k.Text)
			line("  " + k.Value)
		default:
			line(k.Text)
		}
	}
	return strings.TrimLeft(b.String(), "\n")
}
