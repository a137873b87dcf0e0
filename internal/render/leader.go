package render

import (
	"math"
	"sort"

	"windlane/brief"
)

// leaderPicture is the leader to scale, from the hang mark to the point: all in
// one line, lengths above, names below.
func leaderPicture(b brief.Brief, su brief.SetUp, w float64) *drawing {
	const size = 15.0
	d := &drawing{w: w, h: 118}
	u := b.Units
	length := su.Length
	for _, f := range su.Flies {
		if finite(f.FromTip) {
			length = math.Max(length, f.FromTip)
		}
	}
	if !(length > 0) || !finite(length) {
		d.h = size * 2
		d.say(0, size*1.3, "No leader given.", letter{size: size})
		return d
	}
	back := 0.0 // from the tip back to the hang mark
	if finite(su.Hang) && su.Hang > length {
		back = su.Hang - length
	}
	stub := math.Max(back*0.12, length*0.06)
	x0, x1 := 2.0, w-14
	scale := (x1 - x0) / (back + stub + length)
	tip := x0 + scale*(back+stub)
	y := 50.0
	d.line(x0, y, tip, y, pen{ink: black, width: 5.5})
	d.line(tip, y, x1, y, pen{ink: black, width: 2})
	edges := []float64{}
	if back > 0 {
		m := tip - scale*back
		d.rect(m-3.5, y-11, 7, 22, paper, pen{ink: black, width: 2.2})
		d.take(m-5, y-12, m+5, y+12)
		edges = append(edges, m)
	}
	edges = append(edges, tip)
	marks := flyMarks(su.Flies)
	type hung struct {
		i int
		x float64
	}
	var order []hung
	for i, f := range su.Flies {
		if finite(f.FromTip) {
			order = append(order, hung{i, math.Max(tip, math.Min(x1, tip+scale*f.FromTip))})
		}
	}
	sort.SliceStable(order, func(a, c int) bool { return order[a].x < order[c].x })
	for _, o := range order {
		edges = append(edges, o.x)
	}
	if len(order) == 0 || x1-order[len(order)-1].x > 6 {
		edges = append(edges, x1)
	}
	// lengths above; each between its two strokes, shortened to the figure where tight
	top := 25.0
	d.line(edges[0], top, edges[len(edges)-1], top, inkPen)
	for i, x := range edges {
		d.line(x, top-5, x, top+5, inkPen)
		if i == 0 {
			continue
		}
		gap := (x - edges[i-1]) / scale
		if x-edges[i-1] < 3 {
			continue
		}
		mid := (x + edges[i-1]) / 2
		long := u.Cast(gap)
		if i == 1 && back > 0 {
			long += " to the mark"
		}
		l := letter{size: size, bold: true}
		_ = d.sayFree(long, l, spot{mid, top - 8, middle}) ||
			d.sayFree(u.Cast(gap), l, spot{mid, top - 8, middle}) ||
			d.sayFree(u.DepthFigure(gap), l, spot{mid, top - 8, middle})
	}
	// flies: the last on the line, the others on their droppers
	low := y
	for k, o := range order {
		f := su.Flies[o.i]
		fy := y
		if k < len(order)-1 || f.Role != "point" {
			fy = y + 24
			d.line(o.x, y, o.x, fy-6, pen{ink: black, width: 2})
		}
		d.fly(o.x, fy, 8, marks[o.i])
		d.take(o.x-9, fy-9, o.x+9, fy+9)
		low = math.Max(low, fy)
	}
	if back > 0 {
		d.sayFree("hang mark", letter{size: size}, spot{tip - scale*back - 4, y + 27, start}, spot{tip - scale*back, y + 27, middle})
	}
	d.sayFree("tip", letter{size: size}, spot{tip, y + 27, middle}, spot{tip - 4, y + 27, end}, spot{tip - 4, y + 46, middle})
	for k := len(order) - 1; k >= 0; k-- {
		o := order[k]
		f := su.Flies[o.i]
		name := f.Role
		if f.Name != "" && f.Name != f.Role {
			name += ", " + f.Name
		}
		name = shorten(settable(name), w-16, size, false)
		var spots []spot
		for row := range 5 {
			ny := low + 24 + 20*float64(row)
			spots = append(spots, spot{o.x, ny, middle}, spot{w - 2, ny, end}, spot{o.x + 6, ny, end}, spot{o.x - 6, ny, start})
			if o.x < w/2 {
				spots = append(spots, spot{2, ny, start})
			}
		}
		d.h = low + 24 + 5*20 + 8 // room to try in; cut to what was used below
		d.sayFree(name, letter{size: size}, spots...)
	}
	used := low + 20
	for _, t := range d.taken {
		used = math.Max(used, t.y1)
	}
	d.h = math.Ceil(used + 3)
	return d
}

// stillPicture is the line's true shape in the water at the end of the count,
// the same scale across and down: what the side view by the second cannot show.
func stillPicture(b brief.Brief, su brief.SetUp, w float64) *drawing {
	const size = 15.0
	u := b.Units
	shape := append([]brief.Sample{}, su.Cast.Still...)
	far, deep, up := 0.0, 0.0, 0.0
	n := 0
	for _, p := range shape {
		if finite(p.X) && finite(p.Depth) {
			far, deep, up = math.Max(far, p.X), math.Max(deep, p.Depth), math.Max(up, -p.Depth)
			n++
		}
	}
	if n < 2 || !(far > 0) {
		return nil
	}
	up = math.Min(up, 4)
	d := &drawing{w: w}
	left, right := 44.0, 34.0
	scale := (w - left - right) / far
	top := 26 + scale*up
	floor := math.Max(deep*1.25, 1.5)
	for _, bd := range su.Cast.Band { // their depth belongs in the picture, unless it is far below
		if finite(bd.Bottom) && bd.Bottom < floor*2.2 {
			floor = math.Max(floor, bd.Bottom*1.08)
		}
	}
	d.h = math.Ceil(top + scale*floor + 26)
	s := side{d: d, x0: left, x1: w - right, y0: top, y1: top + scale*floor, span: far, deep: floor, u: u}
	x := func(m float64) float64 { return s.x1 - scale*m } // the boat at the right, the wind to the left
	for _, bd := range su.Cast.Band {
		if !finite(bd.Top) || !finite(bd.Bottom) || bd.Top > floor {
			continue
		}
		y0, y1 := s.y(bd.Top), s.y(math.Min(bd.Bottom, floor))
		d.rect(s.x0, y0, s.x1-s.x0, y1-y0, tone, noPen)
		for _, y := range []float64{y0, y1} {
			d.line(s.x0, y, s.x1, y, pen{ink: teal, width: 2})
		}
	}
	hour, _ := hourAt(b, b.From)
	s.surface(math.Min(hour.Wave, 0.1))
	var ps []pt
	for _, p := range shape {
		if finite(p.X) && finite(p.Depth) {
			ps = append(ps, pt{x(p.X), s.y(math.Max(-up, p.Depth))})
		}
	}
	d.stroke(ps, pen{ink: paper, width: 7, round: true})
	d.stroke(ps, pen{ink: black, width: 2.4, round: true})
	d.takeAlong(ps, 4)
	d.hull(s.x1+10, s.y0-1, 40)
	d.take(s.x1-10, s.y0-10, s.x1+30, s.y0+3)
	marks := flyMarks(su.Flies)
	for i, f := range su.Flies {
		if p, ok := at(f.Path, su.Cast.CountEnd); ok && finite(p.X) && p.X >= 0 && p.X <= far*1.02 {
			fx, fy := x(p.X), s.y(math.Max(0, p.Depth))
			d.fly(fx, fy, 7, marks[i])
			d.take(fx-8, fy-8, fx+8, fy+8)
		}
	}
	skip := []float64{s.y0}
	d.say(s.x0-8, s.y0+5, u.DepthFigure(0), letter{size: 14, anchor: end, ink: grey})
	s.depths(14, 24, skip)
	// a scale, the same both ways
	length := niceLength(u.Cast, scale, w*0.3)
	if length > 0 {
		y := d.h - 9
		d.line(s.x0, y, s.x0+scale*length, y, pen{ink: black, width: 2})
		d.line(s.x0, y-5, s.x0, y+5, pen{ink: black, width: 2})
		d.line(s.x0+scale*length, y-5, s.x0+scale*length, y+5, pen{ink: black, width: 2})
		d.sayFree(u.Cast(length), letter{size: size, ink: grey}, spot{s.x0 + scale*length + 8, y + 5, start})
	}
	d.sayFree("wind to the left", letter{size: size - 1, ink: grey}, spot{w - 2, d.h - 4, end})
	d.sayFree("to scale, at the end of the count", letter{size: size - 1, ink: grey}, spot{s.x0, 15, start})
	return d
}

// niceLength is a round length that a scale shows, by how it is said. [m]
func niceLength(say func(float64) string, scale, most float64) float64 {
	best := 0.0
	for _, v := range []float64{0.9144 * 10, 0.9144 * 5, 0.3048 * 10, 0.3048 * 5, 0.3048 * 2, 0.3048} {
		if v*scale <= most && v > best {
			best = v
		}
	}
	if say(1) == "1 m" {
		best = 0
		for _, v := range []float64{10, 5, 2, 1, 0.5} {
			if v*scale <= most && v > best {
				best = v
			}
		}
	}
	return best
}
