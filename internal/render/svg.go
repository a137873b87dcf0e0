package render

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// svg writes a drawing as one inline element. Colours are classes that page.css
// ties to the tokens, so that day, night and print share the markup. With a
// title it is one picture to a screen reader; without one it is hidden from it.
func (d *drawing) svg(class, title string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="%s" viewBox="0 0 %s %s" width="%s" height="%s" xmlns="http://www.w3.org/2000/svg"`,
		class, px(d.w), px(d.h), px(d.w), px(d.h))
	if title == "" {
		b.WriteString(` aria-hidden="true">`)
	} else {
		fmt.Fprintf(&b, ` role="img" aria-label="%s">`, html.EscapeString(plain(title)))
	}
	for _, m := range d.marks {
		if m.words != "" {
			m.svgWords(&b)
			continue
		}
		b.WriteString(`<path class="`)
		if m.pen.ink != none {
			b.WriteString("s-" + inkNames[m.pen.ink])
			if m.pen.round {
				b.WriteString(" cap")
			}
			b.WriteByte(' ')
		}
		if m.fill != none {
			b.WriteString("f-" + inkNames[m.fill])
		} else {
			b.WriteString("f-no")
		}
		b.WriteByte('"')
		if m.pen.ink != none {
			fmt.Fprintf(&b, ` stroke-width="%s"`, px2(m.pen.width))
			if len(m.pen.dash) > 0 {
				dash := make([]string, len(m.pen.dash))
				for i, v := range m.pen.dash {
					dash[i] = px(v)
				}
				fmt.Fprintf(&b, ` stroke-dasharray="%s"`, strings.Join(dash, " "))
			}
		}
		b.WriteString(` d="`)
		m.path.svg(&b)
		b.WriteString(`"/>`)
	}
	b.WriteString("</svg>")
	return b.String()
}

func (m mark) svgWords(b *strings.Builder) {
	class := "f-" + inkNames[m.ink]
	if m.bold {
		class += " b"
	}
	if m.halo {
		class += " halo"
	}
	switch m.anchor {
	case middle:
		class += " mid"
	case end:
		class += " end"
	}
	fmt.Fprintf(b, `<text class="%s" x="%s" y="%s" font-size="%s">%s</text>`,
		class, px(m.at.x), px(m.at.y), px(m.size), html.EscapeString(plain(m.words)))
}

func (o outline) svg(b *strings.Builder) {
	last := verb(255)
	for _, s := range o {
		n := 1
		switch s.verb {
		case moveTo:
			b.WriteByte('M')
		case lineTo:
			if last == lineTo {
				b.WriteByte(' ')
			} else {
				b.WriteByte('L')
			}
		case curveTo:
			b.WriteByte('C')
			n = 3
		case closed:
			b.WriteByte('Z')
			n = 0
		}
		for i := range n {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(px(s.p[i].x) + " " + px(s.p[i].y))
		}
		last = s.verb
	}
}

// px writes a length to a tenth of a pixel.
func px(v float64) string { return short(math.Round(v*10)/10, 1) }

// px2 writes a width to a hundredth of a pixel.
func px2(v float64) string { return short(math.Round(v*100)/100, 2) }

func short(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if decimals > 0 {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}
