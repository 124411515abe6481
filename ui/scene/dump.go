package scene

import (
	"fmt"
	"strings"

	"halfsplit/ui/palette"
)

var kindNames = [...]string{"box", "area", "path", "label", "photo"}

// String names a paint as the text pictures print it.
func (p Paint) String() string {
	switch {
	case p.None():
		return "-"
	case p.Scale == palette.NoScale:
		return p.Role.String()
	case p.OnData:
		return fmt.Sprintf("on %s(%.2f)", p.Scale, p.Value)
	}
	return fmt.Sprintf("%s(%.2f)", p.Scale, p.Value)
}

// Dump writes the drawing as text, one shape a line in screen pixels, for tests
// to compare.
func (l *List) Dump(v View) string {
	var b strings.Builder
	for _, s := range l.Shapes {
		fmt.Fprintf(&b, "%-5s", kindNames[s.Kind])
		for _, p := range s.Points {
			q := v.Screen(p)
			fmt.Fprintf(&b, " %.0f,%.0f", q.X()+0, q.Y()+0)
		}
		if s.Kind == Label {
			weight := ""
			if s.Bold {
				weight += " bold"
			}
			if s.Italic {
				weight += " italic"
			}
			fmt.Fprintf(&b, " %q %s %.0f%s", s.Text, s.Fill, s.Size, weight)
		} else {
			fmt.Fprintf(&b, " fill %s line %s %.3g", s.Fill, s.Line, s.Width)
		}
		if s.ID != "" {
			fmt.Fprintf(&b, " [%s]", s.ID)
		}
		b.WriteByte('\n')
	}
	return strings.ReplaceAll(b.String(), "-0,", "0,")
}
