package render

import (
	"math"
	"strings"

	"windlane/brief"
)

// The blocks that a side of the print is made of: paragraphs, boxes, tables.

// paragraph sets words to a width, with a bold lead.
func paragraph(w, size float64, lead, words string) *drawing {
	d := &drawing{w: w}
	d.h = d.flow(0, 0, w, size, black, lead, words)
	return d
}

// flow sets a bold lead and words from the line below y; it gives the foot.
func (d *drawing) flow(x, y, w, size float64, colour ink, lead, words string) float64 {
	type word struct {
		s    string
		bold bool
	}
	var all []word
	for _, f := range strings.Fields(settable(lead)) {
		all = append(all, word{f, true})
	}
	for _, f := range strings.Fields(settable(words)) {
		all = append(all, word{f, false})
	}
	space := textWidth(" ", size, false)
	pitch := size * linePitch
	at := x
	run, runAt, runBold := "", x, false
	put := func() {
		if run != "" {
			d.say(runAt, y+size, run, letter{size: size, bold: runBold, ink: colour})
		}
		run = ""
	}
	for _, f := range all {
		n := textWidth(f.s, size, f.bold)
		if at > x && at+n > x+w {
			put()
			y += pitch
			at = x
		}
		if run != "" && runBold == f.bold {
			run += " " + f.s
		} else {
			put()
			run, runAt, runBold = f.s, at, f.bold
		}
		at = runAt + textWidth(run, size, runBold) + space
	}
	if run != "" {
		put()
		y += pitch
	}
	return y
}

// cautionBlock is a box with wedge stripes: open for what to mind, solid for now.
func cautionBlock(w float64, level brief.Level, cs []brief.Caution) *drawing {
	const bar = 16.0
	d := &drawing{w: w}
	fill, ink := paper, black
	if level == brief.Now {
		fill, ink = black, paper
	}
	words := &drawing{w: w}
	y := 4.0
	for _, c := range cs {
		// the first sentence is what to mind, the rest how
		lead, rest := c.Text, ""
		if level != brief.Now {
			lead = firstSentence(c.Text)
			rest = c.Text[len(lead):]
		}
		y = words.flow(bar+8, y, w-bar-14, foot, ink, lead, rest) + 1
	}
	d.h = y + 4
	d.rect(1, 1, w-2, d.h-2, fill, pen{ink: black, width: 2})
	for x := -d.h; x < bar; x += 11 { // wedge stripes, cut at the bar's edges
		d.shape(clipBar(x, d.h, bar), ink, noPen)
	}
	d.place(0, 0, words)
	return d
}

// clipBar is one leaning stripe 5.5 px wide within a bar.
func clipBar(x, h, bar float64) []pt {
	ps := []pt{{x, h - 2}, {x + h - 4, 2}, {x + h + 1.5, 2}, {x + 5.5, h - 2}}
	for _, side := range []struct{ edge, sign float64 }{{2, 1}, {bar, -1}} { // Sutherland and Hodgman 1974
		var out []pt
		for i, a := range ps {
			b := ps[(i+1)%len(ps)]
			inA, inB := side.sign*(a.x-side.edge) >= 0, side.sign*(b.x-side.edge) >= 0
			if inA {
				out = append(out, a)
			}
			if inA != inB {
				f := (side.edge - a.x) / (b.x - a.x)
				out = append(out, pt{side.edge, a.y + f*(b.y-a.y)})
			}
		}
		ps = out
		if len(ps) == 0 {
			break
		}
	}
	return ps
}

// linePitch is from line to line, over the size of the letters. [1]
const linePitch = 1.15

// columnGap parts the columns of a table. [px]
const columnGap = 5.5

// column is one of a table on paper.
type column struct {
	head  string
	w     float64 // [px]
	right bool    // figures
	bold  bool
	tab   bool // a number or letter on black
}

type ruledRow struct {
	cells []string
	under string // words under the cells
}

// ruledTable is a table on paper: a head, a firm line, a hair under each row.
type ruledTable struct {
	cols  []column
	rows  []ruledRow
	lines int // in a cell at the most; 0 is any
	under int // the column that the words under a row begin at
}

// share gives two columns what the others leave of the width, by what they hold.
func (t *ruledTable) share(a, b int) {
	longest := func(i int) float64 {
		w := textWidth(t.cols[i].head, foot, false)
		for _, r := range t.rows {
			w = math.Max(w, textWidth(settable(r.cells[i]), foot, t.cols[i].bold)+0.5)
		}
		return w
	}
	free := wide - columnGap*float64(len(t.cols)-1)
	for i, c := range t.cols {
		if i != a && i != b {
			free -= c.w
		}
	}
	wa, wb := longest(a), longest(b)
	if spare := free - wa - wb; spare >= 0 {
		t.cols[a].w, t.cols[b].w = wa+spare/2, wb+spare/2
		return
	}
	wa = math.Min(math.Max(wa/(wa+wb), 0.3), 0.7) * free
	t.cols[a].w, t.cols[b].w = wa, free-wa
}

func (t ruledTable) draw() *drawing {
	const pitch = foot * linePitch
	d := &drawing{w: wide}
	x := make([]float64, len(t.cols))
	at := 0.0
	for i, c := range t.cols {
		x[i] = at
		at += c.w + columnGap
	}
	say := func(i int, y float64, words string, l letter) {
		if t.cols[i].right {
			l.anchor = end
			d.say(x[i]+t.cols[i].w, y, words, l)
		} else {
			d.say(x[i], y, words, l)
		}
	}
	y := foot
	for i, c := range t.cols {
		say(i, y, c.head, letter{size: foot, ink: grey})
	}
	y += 4
	d.line(0, y, wide, y, pen{ink: black, width: 1.6})
	for _, r := range t.rows {
		n := 1
		for i, cell := range r.cells {
			c := t.cols[i]
			cell = settable(cell)
			if c.tab {
				d.rect(x[i], y+2.5, c.w, 14.5, black, noPen)
				d.say(x[i]+c.w/2, y+14, cell, letter{size: foot, bold: true, anchor: middle, ink: paper})
				continue
			}
			lines := cellLines(cell, c, t.lines)
			for k, line := range lines {
				say(i, y+13+float64(k)*pitch, line, letter{size: foot, bold: c.bold})
			}
			n = max(n, len(lines))
		}
		y += 4 + float64(n)*pitch
		if r.under != "" {
			y = d.flow(x[t.under], y-1, wide-x[t.under], foot, black, "", r.under)
		}
		y += 1
		d.line(0, y, wide, y, hairPen)
	}
	d.h = y + 1
	return d
}

// cellLines are the lines of a cell, the last one shortened where there are too many.
func cellLines(words string, c column, most int) []string {
	lines := wrap(words, c.w, foot, c.bold)
	if most > 0 && len(lines) > most {
		lines = append(lines[:most-1:most-1], strings.Join(lines[most-1:], " "))
	}
	for i := range lines {
		lines[i] = shorten(lines[i], c.w, foot, c.bold)
	}
	return lines
}

// twoColumns sets items, each a bold lead and words, under a firm line in two
// columns of about one height.
func twoColumns(all [][2]string) *drawing {
	if len(all) == 0 {
		return nil
	}
	const gap = 16.0
	cw := (wide - gap) / 2
	heights, sum := make([]float64, len(all)), 0.0
	for i, a := range all {
		probe := &drawing{}
		heights[i] = probe.flow(0, 0, cw, foot, black, a[0], a[1]) + 1
		sum += heights[i]
	}
	// the first column as high as leaves the higher of the two lowest
	split, best, run := 0, math.Inf(1), 0.0
	for i, h := range heights {
		run += h
		if high := math.Max(run, sum-run); high < best {
			split, best = i+1, high
		}
	}
	d := &drawing{w: wide}
	d.line(0, 1, wide, 1, pen{ink: black, width: 1.6})
	x, y := 0.0, 3.0
	for i, a := range all {
		if i == split {
			x, y = cw+gap, 3
		}
		y = d.flow(x, y, cw, foot, black, a[0], a[1]) + 1
		d.h = math.Max(d.h, y)
	}
	return d
}
