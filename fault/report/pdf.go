package report

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
)

// WritePDF writes the sheet as PDF, with its fonts inside. The same sheet gives the
// same bytes.
func (s *Sheet) WritePDF(w io.Writer) error {
	pages := s.Pages()
	f := BeginPDF(pages[0].W, pages[0].H, "Bench sheet "+s.Number+" "+s.Title, s.At)
	for _, p := range pages {
		f.AddPage()
		for _, m := range p.Marks {
			m.write(f)
		}
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("the sheet cannot be written as PDF: %w", err)
	}
	return nil
}

// Family is the name of the fonts inside of a PDF that BeginPDF began.
const Family = "sheet"

// BeginPDF begins a PDF of pages of so many mm, without margins, with the fonts inside
// it: regular, bold (B) and italic (I). The same pages at the same time give the same
// bytes; the zero time is none, and not the machine's.
func BeginPDF(w, h float64, title string, at time.Time) *fpdf.Fpdf {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: w, Ht: h}})
	f.SetCatalogSort(true)
	if at.IsZero() {
		at = time.Unix(0, 0).UTC() // fpdf would write the machine's time
	}
	f.SetCreationDate(at)
	f.SetModificationDate(at)
	f.SetTitle(Drawable(title), true)
	f.SetCreator("Halfsplit", false)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.AddUTF8FontFromBytes(Family, "", liberationsansregular.TTF)
	f.AddUTF8FontFromBytes(Family, "B", liberationsansbold.TTF)
	f.AddUTF8FontFromBytes(Family, "I", liberationsansitalic.TTF)
	return f
}

func (m Mark) write(f *fpdf.Fpdf) {
	grey := level(m.Grey)
	if m.Kind == Text {
		style := ""
		if m.Bold {
			style = "B"
		} else if m.Italic {
			style = "I"
		}
		f.SetFont(Family, style, m.Size)
		f.SetTextColor(grey, grey, grey)
		x := m.Points[0][0]
		switch wide := m.Wide(); m.Align {
		case 0:
			x -= wide / 2
		case 1:
			x -= wide
		}
		f.Text(x, m.Points[0][1], m.Text)
		return
	}
	f.SetDrawColor(grey, grey, grey)
	f.SetLineWidth(m.Width)
	if m.Kind == Line {
		f.MoveTo(m.Points[0][0], m.Points[0][1])
		for _, q := range m.Points[1:] {
			f.LineTo(q[0], q[1])
		}
		f.DrawPath("D")
		return
	}
	style := ""
	if m.Fill >= 0 {
		g := level(m.Fill)
		f.SetFillColor(g, g, g)
		style = "F"
	}
	if m.Width > 0 {
		style += "D"
	}
	if style == "" {
		return
	}
	pts := make([]fpdf.PointType, len(m.Points))
	for i, q := range m.Points {
		pts[i] = fpdf.PointType{X: q[0], Y: q[1]}
	}
	f.Polygon(pts, style)
}

func level(grey float64) int { return int(grey*255 + 0.5) }
