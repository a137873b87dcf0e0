package render

import (
	"bytes"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"windlane/brief"
)

// pxToPt: the canvas counts 96 px to the inch, a PDF 72 pt.
const pxToPt = 0.75

// greys are the inks of a print: black on white, no fill but a tone of 7 %.
var greys = [...]int{none: 0, paper: 255, tone: 237, black: 0, grey: 0x22, hair: 0x77, teal: 0x33, fly1: 0, fly2: 0, fly3: 0, mind: 255, onMind: 0}

// PDF writes the plan for paper: A5 sides, the last a tick sheet for their back,
// vector drawings and embedded fonts, black on white. The same brief gives the
// same bytes: the document's date is the brief's. The error is the writer's or
// the library's.
func PDF(w io.Writer, b brief.Brief) error {
	b = tame(b)
	sides := printSides(b)
	p := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: fpdf.SizeType{Wd: sideW * pxToPt, Ht: sideH * pxToPt}})
	p.SetCatalogSort(true)
	date := b.From.UTC()
	if date.IsZero() { // the library takes no date for the present
		date = time.Unix(0, 0).UTC()
	}
	p.SetCreationDate(date)
	p.SetModificationDate(date)
	p.SetTitle("Day plan: "+settable(title(b)), true)
	p.SetLang("en")
	p.SetProducer("windlane", true)
	p.SetMargins(0, 0, 0)
	p.SetAutoPageBreak(false, 0)
	p.AddUTF8FontFromBytes("hyperlegible", "", bytes.Clone(fontRegular))
	p.AddUTF8FontFromBytes("hyperlegible", "B", bytes.Clone(fontBold))
	p.SetLineJoinStyle("round")
	for _, d := range sides {
		p.AddPage()
		d.pdf(p)
	}
	var all bytes.Buffer
	if err := p.Output(&all); err != nil {
		return err
	}
	_, err := w.Write(all.Bytes())
	return err
}

// pdf writes a drawing on the current page.
func (d *drawing) pdf(p *fpdf.Fpdf) {
	for _, m := range d.marks {
		if m.words != "" {
			m.pdfWords(p)
			continue
		}
		style := ""
		if m.fill != none {
			p.SetFillColor(greys[m.fill], greys[m.fill], greys[m.fill])
			style = "F"
		}
		if m.pen.ink != none {
			g := greys[m.pen.ink]
			p.SetDrawColor(g, g, g)
			p.SetLineWidth(m.pen.width * pxToPt)
			capStyle := "butt"
			if m.pen.round {
				capStyle = "round"
			}
			p.SetLineCapStyle(capStyle)
			dash := make([]float64, len(m.pen.dash))
			for i, v := range m.pen.dash {
				dash[i] = v * pxToPt
			}
			p.SetDashPattern(dash, 0)
			style += "D"
		}
		if style == "" {
			continue
		}
		for _, s := range m.path {
			switch s.verb {
			case moveTo:
				p.MoveTo(s.p[0].x*pxToPt, s.p[0].y*pxToPt)
			case lineTo:
				p.LineTo(s.p[0].x*pxToPt, s.p[0].y*pxToPt)
			case curveTo:
				p.CurveBezierCubicTo(s.p[0].x*pxToPt, s.p[0].y*pxToPt, s.p[1].x*pxToPt, s.p[1].y*pxToPt, s.p[2].x*pxToPt, s.p[2].y*pxToPt)
			case closed:
				p.ClosePath()
			}
		}
		p.DrawPath(style)
	}
}

func (m mark) pdfWords(p *fpdf.Fpdf) {
	words := settable(m.words)
	style := ""
	if m.bold {
		style = "B"
	}
	p.SetFont("hyperlegible", style, m.size*pxToPt)
	x := m.at.x
	switch w := textWidth(words, m.size, m.bold); m.anchor {
	case middle:
		x -= w / 2
	case end:
		x -= w
	}
	if m.halo { // the letters' edge in paper first, then the letters
		p.SetDashPattern(nil, 0)
		p.SetDrawColor(255, 255, 255)
		p.SetLineWidth(4.5 * pxToPt)
		p.SetTextColor(255, 255, 255)
		p.SetTextRenderingMode(2)
		p.Text(x*pxToPt, m.at.y*pxToPt, words)
		p.SetTextRenderingMode(0)
	}
	g := greys[m.ink]
	p.SetTextColor(g, g, g)
	p.Text(x*pxToPt, m.at.y*pxToPt, words)
}
