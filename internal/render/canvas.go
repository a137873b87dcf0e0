package render

import (
	"math"
)

// The canvas: a drawing is a list of strokes, fills and words, made once and
// written by two back ends (svg.go, pdf.go). Lengths are px, 96 to the inch,
// x to the right and y down. Nothing here knows what a lake or a fly is.

// ink names a colour by its use; each back end has its own value for it.
type ink uint8

const (
	none ink = iota
	paper
	tone
	black
	grey
	hair
	teal // belief
	fly1
	fly2
	fly3
	mind
	onMind
)

// inkNames are the tokens of page.css, in the order of the constants.
var inkNames = [...]string{"", "paper", "tone", "ink", "ink2", "hair", "belief", "fly1", "fly2", "fly3", "mind", "on-mind"}

// pt is a place on the drawing. [px]
type pt struct{ x, y float64 }

// verb is what a piece of a path does.
type verb uint8

const (
	moveTo verb = iota
	lineTo
	curveTo
	closed
)

type piece struct {
	verb verb
	p    [3]pt
}

// outline is a path of straight and curved pieces.
type outline []piece

func (o *outline) move(x, y float64) { *o = append(*o, piece{moveTo, [3]pt{{x, y}}}) }
func (o *outline) line(x, y float64) { *o = append(*o, piece{lineTo, [3]pt{{x, y}}}) }
func (o *outline) close()            { *o = append(*o, piece{verb: closed}) }

func chain(ps []pt, close bool) outline {
	var o outline
	for i, p := range ps {
		if i == 0 {
			o.move(p.x, p.y)
		} else {
			o.line(p.x, p.y)
		}
	}
	if close && len(ps) > 0 {
		o.close()
	}
	return o
}

// pen is how a line is drawn.
type pen struct {
	ink   ink
	width float64   // [px]
	dash  []float64 // on, off, … [px]
	round bool      // round ends, else flat
}

// mark is one thing on a drawing: a path when it has pieces, else words.
type mark struct {
	path outline
	pen  pen
	fill ink

	words  string
	at     pt
	size   float64
	bold   bool
	anchor anchor
	ink    ink
	halo   bool // paper round the letters, where they cross lines
}

type anchor uint8

const (
	start anchor = iota
	middle
	end
)

// box is a rectangle that is taken.
type box struct{ x0, y0, x1, y1 float64 }

func (a box) meets(b box) bool {
	return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

// drawing is a picture of w by h.
type drawing struct {
	w, h  float64
	marks []mark
	taken []box // where words and other things stand that words must not cover
}

// add keeps a mark unless a coordinate is not a number: an unknown is never drawn.
func (d *drawing) add(m mark) {
	for _, s := range m.path {
		for _, p := range s.p {
			if !finite(p.x) || !finite(p.y) {
				return
			}
		}
	}
	if !finite(m.at.x) || !finite(m.at.y) {
		return
	}
	d.marks = append(d.marks, m)
}

func (d *drawing) line(x0, y0, x1, y1 float64, p pen) {
	d.stroke([]pt{{x0, y0}, {x1, y1}}, p)
}

func (d *drawing) stroke(ps []pt, p pen) {
	if len(ps) > 1 {
		d.add(mark{path: chain(ps, false), pen: p})
	}
}

func (d *drawing) shape(ps []pt, fill ink, p pen) {
	if len(ps) > 1 {
		d.add(mark{path: chain(ps, true), pen: p, fill: fill})
	}
}

func (d *drawing) rect(x, y, w, h float64, fill ink, p pen) {
	d.shape([]pt{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, fill, p)
}

// circle is four cubic arcs; the handle 0.5523 is the usual one, off by 0.03 %.
func (d *drawing) circle(x, y, r float64, fill ink, p pen) {
	k := 0.5523 * r
	o := outline{
		{moveTo, [3]pt{{x + r, y}}},
		{curveTo, [3]pt{{x + r, y + k}, {x + k, y + r}, {x, y + r}}},
		{curveTo, [3]pt{{x - k, y + r}, {x - r, y + k}, {x - r, y}}},
		{curveTo, [3]pt{{x - r, y - k}, {x - k, y - r}, {x, y - r}}},
		{curveTo, [3]pt{{x + k, y - r}, {x + r, y - k}, {x + r, y}}},
		{verb: closed},
	}
	d.add(mark{path: o, pen: p, fill: fill})
}

// letter is how words are set.
type letter struct {
	size   float64
	bold   bool
	anchor anchor
	ink    ink // none means black
	halo   bool
}

// say puts words with their baseline at y.
func (d *drawing) say(x, y float64, words string, l letter) {
	if words == "" {
		return
	}
	if l.ink == none {
		l.ink = black
	}
	d.taken = append(d.taken, wordsBox(x, y, words, l))
	d.add(mark{words: words, at: pt{x, y}, size: l.size, bold: l.bold, anchor: l.anchor, ink: l.ink, halo: l.halo})
}

// spot is a place to try for words.
type spot struct {
	x, y   float64
	anchor anchor
}

// sayFree puts words at the first spot where they cover nothing and stay on the
// drawing. It tells whether there was one; where not, they are not drawn.
func (d *drawing) sayFree(words string, l letter, spots ...spot) bool {
	for _, s := range spots {
		l.anchor = s.anchor
		if b := wordsBox(s.x, s.y, words, l); d.free(b) {
			d.say(s.x, s.y, words, l)
			return true
		}
	}
	return false
}

func (d *drawing) free(b box) bool {
	if !finite(b.x0) || !finite(b.y0) || b.x0 < 1 || b.y0 < 1 || b.x1 > d.w-1 || b.y1 > d.h-1 {
		return false
	}
	for _, t := range d.taken {
		if b.meets(t) {
			return false
		}
	}
	return true
}

func (d *drawing) take(x0, y0, x1, y1 float64) { d.taken = append(d.taken, box{x0, y0, x1, y1}) }

// takeAlong keeps words off a line.
func (d *drawing) takeAlong(ps []pt, half float64) {
	for i := 1; i < len(ps); i++ {
		a, b := ps[i-1], ps[i]
		n := int(math.Ceil(math.Hypot(b.x-a.x, b.y-a.y)/8)) + 1
		if n > 1000 {
			continue
		}
		for k := 0; k <= n; k++ {
			f := float64(k) / float64(n)
			x, y := a.x+f*(b.x-a.x), a.y+f*(b.y-a.y)
			d.take(x-half, y-half, x+half, y+half)
		}
	}
}

// place puts another drawing on this one with its corner at x, y.
func (d *drawing) place(x, y float64, other *drawing) {
	for _, m := range other.marks {
		m.at = pt{m.at.x + x, m.at.y + y}
		moved := make(outline, len(m.path))
		for i, s := range m.path {
			for j := range s.p {
				s.p[j] = pt{s.p[j].x + x, s.p[j].y + y}
			}
			moved[i] = s
		}
		m.path = moved
		d.marks = append(d.marks, m)
	}
	for _, t := range other.taken {
		d.take(t.x0+x, t.y0+y, t.x1+x, t.y1+y)
	}
}

// wordsBox is the room words take: capitals up, tails down.
func wordsBox(x, y float64, words string, l letter) box {
	w := textWidth(words, l.size, l.bold)
	switch l.anchor {
	case middle:
		x -= w / 2
	case end:
		x -= w
	}
	return box{x - 1, y - 0.74*l.size, x + w + 1, y + 0.2*l.size}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// hatch gives the strokes that fill a ring (even-odd) with leaning lines, pitch px apart.
func hatch(ring []pt, pitch float64) [][2]pt {
	if len(ring) < 3 {
		return nil
	}
	// turned by 55° the strokes lie level
	s, c := math.Sincos(55 * math.Pi / 180)
	turned := make([]pt, len(ring))
	low, high := math.Inf(1), math.Inf(-1)
	for i, p := range ring {
		turned[i] = pt{p.x*c - p.y*s, p.x*s + p.y*c}
		low, high = math.Min(low, turned[i].y), math.Max(high, turned[i].y)
	}
	if !finite(low) || !finite(high) || (high-low)/pitch > 2000 {
		return nil
	}
	var out [][2]pt
	for y := math.Ceil(low/pitch) * pitch; y < high; y += pitch {
		var xs []float64
		for i, a := range turned {
			b := turned[(i+1)%len(turned)]
			if (a.y > y) != (b.y > y) {
				xs = append(xs, a.x+(y-a.y)/(b.y-a.y)*(b.x-a.x))
			}
		}
		sortFloats(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			out = append(out, [2]pt{
				{xs[i]*c + y*s, -xs[i]*s + y*c},
				{xs[i+1]*c + y*s, -xs[i+1]*s + y*c},
			})
		}
	}
	return out
}

// thin drops the points of a line that lie within tolerance of the rest
// (Douglas and Peucker 1973).
func thin(ps []pt, tolerance float64) []pt {
	if len(ps) < 3 {
		return ps
	}
	keep := make([]bool, len(ps))
	keep[0], keep[len(ps)-1] = true, true
	stack := [][2]int{{0, len(ps) - 1}}
	for len(stack) > 0 {
		a, b := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		far, at := tolerance, -1
		for i := a + 1; i < b; i++ {
			if v := fromSegment(ps[i], ps[a], ps[b]); v > far {
				far, at = v, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{a, at}, [2]int{at, b})
		}
	}
	var out []pt
	for i, k := range keep {
		if k {
			out = append(out, ps[i])
		}
	}
	return out
}

func fromSegment(p, a, b pt) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = math.Max(0, math.Min(1, ((p.x-a.x)*dx+(p.y-a.y)*dy)/l))
	}
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}
