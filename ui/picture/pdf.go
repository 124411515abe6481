package picture

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"io"

	"codeberg.org/go-pdf/fpdf"

	"halfsplit/fault/report"
)

// WritePDF writes the page as PDF, with its fonts inside: lines as lines and text as
// text. The same page gives the same bytes.
func (s *Sheet) WritePDF(w io.Writer) error {
	f := report.BeginPDF(s.W, s.H, s.title, s.date)
	f.AddPage()
	f.SetLineJoinStyle("round")
	f.SetLineCapStyle("round")
	for i, m := range s.marks {
		if err := m.write(f, i); err != nil {
			return fmt.Errorf("the picture cannot be written as PDF: %w", err)
		}
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("the picture cannot be written as PDF: %w", err)
	}
	return nil
}

func rgb(c color.NRGBA) (r, g, b int) { return int(c.R), int(c.G), int(c.B) }

func (m mark) write(f *fpdf.Fpdf, number int) error {
	switch m.kind {
	case text:
		style := ""
		if m.bold {
			style = "B"
		} else if m.italic {
			style = "I"
		}
		f.SetFont(report.Family, style, m.size)
		f.SetTextColor(rgb(m.fill))
		f.Text(m.points[0].X(), m.points[0].Y(), m.text)
	case photo:
		var data bytes.Buffer
		if err := png.Encode(&data, m.image); err != nil {
			return err
		}
		name, o := fmt.Sprint("photo ", number), fpdf.ImageOptions{ImageType: "PNG"}
		f.RegisterImageOptionsReader(name, o, &data)
		a, size := m.points[0], m.points[1].Sub(m.points[0])
		f.ImageOptions(name, a.X(), a.Y(), size.X(), size.Y(), false, o, 0, "")
	default:
		m.path(f)
	}
	return f.Error()
}

// path writes a line, or an area with its edge.
func (m mark) path(f *fpdf.Fpdf) {
	style := ""
	if m.kind == polygon && m.fill.A > 0 {
		f.SetFillColor(rgb(m.fill))
		style = "F"
	}
	if m.line.A > 0 && m.width > 0 {
		f.SetDrawColor(rgb(m.line))
		f.SetLineWidth(m.width)
		style += "D"
	}
	if style == "" {
		return
	}
	f.MoveTo(m.points[0].X(), m.points[0].Y())
	for _, q := range m.points[1:] {
		f.LineTo(q.X(), q.Y())
	}
	if m.kind == polygon {
		f.ClosePath()
	}
	f.DrawPath(style)
}
