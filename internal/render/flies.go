package render

import (
	"math"

	"windlane/brief"
)

// flyMark is how one fly is told from the others: by line, by mark, by colour.
type flyMark struct {
	shape  shape
	ink    ink
	dash   []float64
	dotted bool
}

type shape uint8

const (
	diamond shape = iota
	ring
	triangle
	square
)

// flyMarks gives each fly of a set-up its own: the point a diamond and a firm
// line, a dropper a ring and dashes, the middle a triangle and dots, one more a square.
func flyMarks(flies []brief.Fly) []flyMark {
	style := map[shape]flyMark{
		diamond:  {shape: diamond, ink: fly1},
		ring:     {shape: ring, ink: fly2, dash: []float64{9, 6}},
		triangle: {shape: triangle, ink: fly3, dash: []float64{2, 6}, dotted: true},
		square:   {shape: square, ink: grey, dash: []float64{14, 4, 3, 4}},
	}
	used := map[shape]bool{}
	out := make([]flyMark, len(flies))
	for i, f := range flies {
		order := []shape{ring, triangle, square}
		switch f.Role {
		case "point":
			order = []shape{diamond, ring, triangle, square}
		case "middle":
			order = []shape{triangle, ring, square}
		}
		s := order[len(order)-1]
		for _, try := range order {
			if !used[try] {
				s = try
				break
			}
		}
		used[s] = true
		out[i] = style[s]
	}
	return out
}

// fly draws a fly's mark of radius r.
func (d *drawing) fly(x, y, r float64, f flyMark) {
	edge := pen{ink: black, width: 1.2}
	switch f.shape {
	case diamond:
		d.shape([]pt{{x, y - r - 3}, {x + r + 3, y}, {x, y + r + 3}, {x - r - 3, y}}, paper, noPen)
		d.shape([]pt{{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}}, f.ink, edge)
	case ring:
		d.circle(x, y, r+2, paper, noPen)
		d.circle(x, y, r*0.9, f.ink, edge)
		d.circle(x, y, r*0.42, paper, pen{ink: black, width: 0.8})
	case triangle:
		d.shape([]pt{{x, y - r - 4}, {x + r + 3, y + r*0.8 + 2}, {x - r - 3, y + r*0.8 + 2}}, paper, noPen)
		d.shape([]pt{{x, y - r}, {x + r*0.95, y + r*0.75}, {x - r*0.95, y + r*0.75}}, f.ink, edge)
	case square:
		d.rect(x-r-2, y-r-2, 2*r+4, 2*r+4, paper, noPen)
		d.rect(x-r*0.8, y-r*0.8, r*1.6, r*1.6, paper, pen{ink: black, width: 2.4})
	}
}

// castStyle is how large a cast is drawn.
type castStyle struct {
	w, h  float64 // with the rail [px]
	scale float64 // figures on scales [px]
	label float64 // words [px]
	band  float64 // figures of their depth [px]
	flag  float64 // figures of the flies [px]
	right float64 // room at the right edge [px]
}

var (
	castNarrow = castStyle{w: 344, h: 308, scale: 14, label: 15, band: 19, flag: 21, right: 63}
	castWide   = castStyle{w: 772, h: 470, scale: 15, label: 16, band: 20, flag: 23, right: 74}
	castPrint  = castStyle{w: 262, h: 150, scale: 12, label: 12, band: 15, flag: 16, right: 54}
)

// castSide is the side view under one cast with its rail: seconds across, the
// flies' paths thin, and thick where they lie at their depth.
func castSide(b brief.Brief, su brief.SetUp, st castStyle) *drawing {
	d := &drawing{w: st.w, h: st.h}
	u, c := b.Units, su.Cast
	span := c.Span
	if !(span > 0) || !finite(span) {
		d.h = st.label * 2
		d.say(0, st.label*1.3, "No cast was worked out for this set-up.", letter{size: st.label})
		return d
	}
	left := 40.0
	for _, bd := range c.Band {
		for _, v := range []float64{bd.Top, bd.Bottom} {
			if finite(v) {
				left = math.Max(left, 14+textWidth(u.DepthFigure(v), st.band, true))
			}
		}
	}
	deep, bedShown := castDepth(su)
	s := side{d: d, x0: left, x1: st.w - st.right, y0: st.label*1.35 + 12, y1: st.h - 42, span: span, deep: deep, u: u}

	if finite(c.Bed) && bedShown {
		y := s.y(c.Bed)
		s.ruling(c.Belief, c.LayerDepth, 5)
		d.rect(s.x0, y, s.x1-s.x0, s.y1-y, tone, noPen)
		run := []pt{{s.x0, y}, {s.x1, y}}
		s.hachures(run)
		d.stroke(run, pen{ink: black, width: 3})
	} else {
		s.ruling(c.Belief, c.LayerDepth, 5)
	}
	figures := s.bandLines(c.Band, st.band)
	s.depths(st.scale, 56, figures)
	d.sayFree(u.DepthUnit(), letter{size: st.scale, ink: grey}, spot{s.x0 - 8, s.y0 - st.scale*0.75, end})
	// the surface breaks at the right where the boat lies
	hour, _ := hourAt(b, b.From)
	s.surface(hour.Wave)

	marks := flyMarks(su.Flies)
	for i := len(su.Flies) - 1; i >= 0; i-- {
		s.path(su.Flies[i].Path, c.Band, marks[i])
	}
	s.secondTicks(su)
	d.hull(s.x1-4, s.y0-1, math.Min(46, st.w/8))
	d.take(s.x1-30, s.y0-10, s.x1+20, s.y0+2)

	// words above the surface: what is out, the hang mark, the boat
	words := letter{size: st.label, halo: true}
	above := s.y0 - 15
	d.sayFree("boat", words, spot{s.x1 - 4, above, middle}, spot{st.w - 2, above, end})
	if su.Out > 0 && finite(su.Out) {
		d.sayFree(u.Cast(su.Out)+" out", words, spot{s.x0, above, start})
	}
	if c.HangEnd-c.PullEnd >= 1 {
		x := s.x(c.PullEnd)
		foot := s.y1
		if p, ok := shallowestAt(su.Flies, c.PullEnd); ok {
			foot = s.y(p)
		}
		d.line(x, s.y0-8, x, foot-6, pen{ink: black, width: 1.4, dash: []float64{1.6, 3.2}})
		said := "hang"
		if su.Hang > 0 {
			said = u.Cast(su.Hang)
		}
		d.sayFree(said, words, spot{x, above, middle}, spot{x - 6, above, end})
	}
	s.countMarks(su, marks, st)
	s.rail(su, st)
	s.bedWords(c, bedShown, st)
	return d
}

// castDepth is how deep a cast is drawn, and whether that reaches the bed. [m]
func castDepth(su brief.SetUp) (deep float64, bedShown bool) {
	c := su.Cast
	deep = 1.8
	for _, f := range su.Flies {
		for _, p := range f.Path {
			if finite(p.Depth) {
				deep = math.Max(deep, p.Depth+0.6)
			}
		}
	}
	deep = math.Max(deep, beliefDepth(c.Belief, c.LayerDepth)+0.3)
	for _, b := range c.Band {
		if finite(b.Bottom) {
			deep = math.Max(deep, b.Bottom+0.5)
		}
	}
	if finite(c.Bed) && c.Bed > 0 && c.Bed*1.06 < deep*4/3 {
		return math.Max(deep, c.Bed*1.06), true
	}
	return deep, false
}

func shallowestAt(flies []brief.Fly, second float64) (float64, bool) {
	best, ok := math.Inf(1), false
	for _, f := range flies {
		if p, in := at(f.Path, second); in && p.Depth < best {
			best, ok = p.Depth, true
		}
	}
	return best, ok
}

// path draws where a fly goes: thin ink, a sleeve where it lies at their depth.
func (s side) path(path []brief.Sample, bs []brief.Band, f flyMark) {
	var all []pt
	var runs [][]pt
	var in []bool
	for i, p := range path {
		if !finite(p.Second) || !finite(p.Depth) || p.Second > s.span*1.0001 {
			continue
		}
		here := pt{s.x(p.Second), s.y(math.Max(0, p.Depth))}
		if len(all) > 0 {
			prev := path[i-1]
			cuts := []float64{0}
			for _, b := range bs {
				for _, edge := range []float64{b.Top, b.Bottom} {
					if (prev.Depth < edge) != (p.Depth < edge) {
						cuts = append(cuts, (edge-prev.Depth)/(p.Depth-prev.Depth))
					}
				}
			}
			cuts = append(cuts, 1)
			sortFloats(cuts)
			for k := 1; k < len(cuts); k++ {
				a, z := cuts[k-1], cuts[k]
				if z <= a {
					continue
				}
				is := inside(bs, prev.Depth+(a+z)/2*(p.Depth-prev.Depth))
				from := all[len(all)-1]
				p0 := pt{from.x + a*(here.x-from.x), from.y + a*(here.y-from.y)}
				p1 := pt{from.x + z*(here.x-from.x), from.y + z*(here.y-from.y)}
				if n := len(runs); n > 0 && in[n-1] == is {
					runs[n-1] = append(runs[n-1], p1)
				} else {
					runs, in = append(runs, []pt{p0, p1}), append(in, is)
				}
			}
		}
		all = append(all, here)
	}
	s.d.stroke(thin(all, 0.15), pen{ink: paper, width: 7, round: true})
	for i, r := range runs {
		if r = thin(r, 0.15); in[i] {
			s.d.stroke(r, pen{ink: paper, width: 11.5})
		}
	}
	for i, r := range runs {
		if r = thin(r, 0.15); in[i] {
			s.d.stroke(r, pen{ink: black, width: 7.8, dash: f.dash})
			if !f.dotted {
				s.d.stroke(r, pen{ink: f.ink, width: 5, dash: f.dash})
			}
		} else {
			s.d.stroke(r, pen{ink: black, width: 2.2, dash: f.dash})
		}
	}
	s.d.takeAlong(all, 4)
}

// secondTicks are small strokes each 5 s of the count on the point's way.
func (s side) secondTicks(su brief.SetUp) {
	point, ok := pointFly(su)
	if !ok {
		return
	}
	for t := 5.0; t < su.Cast.CountEnd-1; t += 5 {
		if p, in := at(point.Path, t); in {
			x, y := s.x(t), s.y(math.Max(0, p.Depth))
			s.d.line(x, y-5.5, x, y+5.5, inkPen)
		}
	}
}

// countMarks puts each fly's mark where it is when the count ends (or at its
// deepest, where the way has no count) and its depth at the right edge.
func (s side) countMarks(su brief.SetUp, marks []flyMark, st castStyle) {
	d, c := s.d, su.Cast
	type flag struct {
		i       int
		y, at   float64
		x       float64
		figures string
	}
	var flags []flag
	for i, f := range su.Flies {
		var p brief.Sample
		ok := false
		if su.Count > 0 {
			p, ok = at(f.Path, c.CountEnd)
		} else {
			p, ok = lowest(f.Path, (c.CountEnd+c.PullEnd)/2)
		}
		if !ok {
			continue
		}
		y := s.y(math.Max(0, p.Depth))
		flags = append(flags, flag{i: i, y: y, at: y, x: s.x(p.Second), figures: s.u.DepthFigure(math.Max(0, p.Depth))})
	}
	if su.Count > 0 {
		x := s.x(c.CountEnd)
		top := s.y1
		for _, f := range flags {
			top = math.Min(top, f.y)
		}
		d.line(x, top, x, s.y1, pen{ink: black, width: 1.4, dash: []float64{1.6, 3.2}})
	}
	s.giveOrTake(su)
	// figures at the right edge keep their distance and are joined by a hair
	gap := st.flag * 1.15
	for pass := 0; pass < 50; pass++ {
		moved := false
		for a := range flags {
			for z := range flags {
				if a != z && (flags[a].y < flags[z].y || flags[a].y == flags[z].y && a > z) && flags[z].at-flags[a].at < gap-0.01 {
					push := (gap - (flags[z].at - flags[a].at)) / 2
					flags[a].at -= push
					flags[z].at += push
					moved = true
				}
			}
		}
		lift := 0.0
		for _, f := range flags {
			lift = math.Max(lift, s.y0+8-f.at)
		}
		if lift > 0 {
			for i := range flags {
				if flags[i].at < s.y0+8 {
					flags[i].at = s.y0 + 8
					moved = true
				}
			}
		}
		if !moved {
			break
		}
	}
	low := 0.0
	for _, f := range flags {
		x := s.x1 + 6
		d.stroke([]pt{{s.x1 - 1, f.y}, {x, f.at}, {x + 4, f.at}}, pen{ink: black, width: 1})
		d.fly(x+11, f.at, 7, marks[f.i])
		d.say(x+21, f.at+st.flag*0.34, f.figures, letter{size: st.flag, bold: true})
		low = math.Max(low, f.at)
	}
	for k := len(flags) - 1; k >= 0; k-- {
		f := flags[k]
		d.fly(f.x, f.y, 8, marks[f.i])
		d.take(f.x-9, f.y-9, f.x+9, f.y+9)
	}
	if len(flags) > 0 {
		note := "deepest"
		if su.Count > 0 {
			note = "at " + whole(su.Count) + " s"
		}
		d.say(s.x1+8, low+st.flag*0.4+st.scale*1.15, note, letter{size: st.scale, ink: grey})
	}
	// names beside the marks, where there is room
	for _, f := range flags {
		role := su.Flies[f.i].Role
		d.sayFree(role, letter{size: st.label, bold: true, halo: true},
			spot{f.x + 14, f.y - 9, start}, spot{f.x + 14, f.y + 16, start}, spot{f.x - 13, f.y + 17, end},
			spot{f.x - 14, f.y - 10, end}, spot{f.x + 14, f.y + 30, start}, spot{f.x - 12, f.y + 32, end})
	}
}

// giveOrTake is how far the point may lie off, a bar where it is deepest.
func (s side) giveOrTake(su brief.SetUp) {
	d, c := s.d, su.Cast
	point, ok := pointFly(su)
	if !ok || !finite(c.Low) || !finite(c.High) || !(c.Low > 0 || c.High > 0) {
		return
	}
	p, ok := lowest(point.Path, (c.CountEnd+c.PullEnd)/2)
	if !ok {
		return
	}
	x, y0, y1 := s.x(p.Second), s.y(math.Max(0, p.Depth-c.Low)), s.y(math.Min(s.deep, p.Depth+c.High))
	d.line(x, y0, x, y1, pen{ink: paper, width: 5})
	d.line(x, y0, x, y1, pen{ink: black, width: 1.8})
	for _, y := range []float64{y0, y1} {
		d.line(x-6, y, x+6, y, pen{ink: paper, width: 5})
		d.line(x-5, y, x+5, y, pen{ink: black, width: 1.8})
	}
	d.take(x-6, y0-2, x+6, y1+2)
}

// lowest is where a path is at its deepest; of places that differ by less than
// 5 cm, the one nearest to a second.
func lowest(path []brief.Sample, second float64) (best brief.Sample, ok bool) {
	deepest := math.Inf(-1)
	for _, p := range path {
		if finite(p.Depth) && finite(p.Second) {
			deepest = math.Max(deepest, p.Depth)
		}
	}
	for _, p := range path {
		if finite(p.Second) && p.Depth >= deepest-0.05 && (!ok || math.Abs(p.Second-second) < math.Abs(best.Second-second)) {
			best, ok = p, true
		}
	}
	return best, ok
}

// rail is the ruler of what the hands do: ticks to count, dashes to pull, a line
// to hang, a wedge at the count wanted.
func (s side) rail(su brief.SetUp, st castStyle) {
	d, c := s.d, su.Cast
	y := s.y1
	d.line(0, y, st.w, y, pen{ink: black, width: 1.8})
	word := y + 16 + st.label
	if su.Count > 0 {
		for t := 0.0; t < c.CountEnd-0.5; t++ {
			tick := 7.0
			if math.Mod(t, 5) == 0 {
				tick = 12
			}
			d.line(s.x(t), y, s.x(t), y+tick, inkPen)
		}
		x := s.x(c.CountEnd)
		d.shape([]pt{{x - 9, y}, {x + 9, y}, {x, y + 16}}, black, noPen)
		d.say(x, y+18+20, whole(su.Count), letter{size: 22, bold: true, anchor: middle})
		for t := 5.0; t < c.CountEnd; t += 5 {
			d.sayFree(whole(t), letter{size: st.scale, ink: grey}, spot{s.x(t), y + 13 + st.scale, middle})
		}
	}
	if c.PullEnd > c.CountEnd {
		x0, x1 := s.x(c.CountEnd), s.x(c.PullEnd)
		from := x0 + 3
		if su.Count > 0 {
			from = x0 + 11
		}
		switch pitch := c.PullEvery / s.span * (s.x1 - s.x0); {
		case pulling(su) == "let lie":
			d.line(from, y+8, x1-2, y+8, pen{ink: black, width: 2, dash: []float64{1, 6}})
		case pitch >= 3.5:
			for x := x0; x+pitch*0.4 <= x1; x += pitch {
				if x >= from {
					d.rect(x, y+6, pitch*0.58, 5, black, noPen)
				}
			}
		default:
			d.rect(from, y+6, x1-2-from, 5, black, noPen)
		}
		d.sayFree(pulling(su), letter{size: st.label}, spot{(x0 + x1) / 2, word, middle}, spot{x1 - 4, word, end}, spot{(x0+x1)/2 + 14, word, middle})
	}
	if c.HangEnd > c.PullEnd {
		x0, x1 := s.x(c.PullEnd), s.x(c.HangEnd)
		d.line(x0+4, y+8, x1, y+8, pen{ink: black, width: 2})
		d.sayFree("hang", letter{size: st.label}, spot{(x0 + x1) / 2, word, middle}, spot{x0 + 2, word, start}, spot{x1 + 12, word, middle})
	}
	d.sayFree("s", letter{size: st.scale, ink: grey}, spot{s.x0 - 8, y + 13 + st.scale, end})
}

func (s side) bedWords(c brief.CastPicture, shown bool, st castStyle) {
	d, l := s.d, letter{size: st.scale, bold: true}
	x := s.x1 + 4
	switch {
	case finite(c.Bed) && shown:
		y := math.Min(s.y(c.Bed)+st.scale*0.35, s.y1-4)
		d.sayFree("bed "+s.u.DepthFigure(c.Bed), l, spot{x, y, start}, spot{x, s.y1 - 4, start}, spot{s.x1 - 6, s.y(c.Bed) - 5, end})
	case finite(c.Bed):
		for i := range 3 { // the water goes on: break marks at the foot
			m := s.x0 + (s.x1-s.x0)*(float64(i)+0.5)/3
			d.stroke([]pt{{m - 9, s.y1 - 12}, {m - 2, s.y1 - 5}, {m + 2, s.y1 - 12}, {m + 9, s.y1 - 5}}, inkPen)
		}
		d.sayFree("bed "+s.u.DepthFigure(c.Bed), l, spot{x, s.y1 - 5, start}, spot{s.x1 - 6, s.y1 - 8, end})
	default:
		l.bold, l.ink, l.halo = false, grey, true
		d.sayFree("bed not known", l, spot{s.x1 - 6, s.y1 - 7, end}, spot{s.x0 + 6, s.y1 - 7, start})
	}
}
