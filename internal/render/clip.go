package render

import "math"

// clip keeps of a drawing what lies inside a frame: fills are cut to it, strokes
// end at it, words and rings stay where they lie inside whole.
func (d *drawing) clip(f box) {
	var out []mark
	for _, m := range d.marks {
		if m.words != "" {
			if b := wordsBox(m.at.x, m.at.y, m.words, letter{size: m.size, bold: m.bold, anchor: m.anchor}); b.x0 >= f.x0 && b.x1 <= f.x1 && b.y0 >= f.y0 && b.y1 <= f.y1 {
				out = append(out, m)
			}
			continue
		}
		ps, ring, straight := m.path.points()
		if len(ps) == 0 {
			continue
		}
		low, high := extent(ps)
		switch {
		case low.x >= f.x0 && high.x <= f.x1 && low.y >= f.y0 && high.y <= f.y1:
			out = append(out, m)
		case high.x < f.x0 || low.x > f.x1 || high.y < f.y0 || low.y > f.y1 || !straight:
			continue
		default:
			if m.fill != none {
				if cut := clipRing(ps, f); len(cut) > 2 {
					out = append(out, mark{path: chain(cut, true), fill: m.fill})
				}
			}
			if m.pen.ink != none {
				if ring {
					ps = append(ps, ps[0])
				}
				for _, run := range clipLine(ps, f) {
					out = append(out, mark{path: chain(run, false), pen: m.pen})
				}
			}
		}
	}
	d.marks = out
}

// points are the places of a path, whether it is closed, and whether all its
// pieces are straight.
func (o outline) points() (ps []pt, ring, straight bool) {
	straight = true
	for _, s := range o {
		switch s.verb {
		case moveTo, lineTo:
			ps = append(ps, s.p[0])
		case curveTo:
			ps = append(ps, s.p[:]...)
			straight = false
		case closed:
			ring = true
		}
	}
	return ps, ring, straight
}

func extent(ps []pt) (low, high pt) {
	low, high = ps[0], ps[0]
	for _, p := range ps {
		low = pt{math.Min(low.x, p.x), math.Min(low.y, p.y)}
		high = pt{math.Max(high.x, p.x), math.Max(high.y, p.y)}
	}
	return low, high
}

// clipRing cuts a ring to a frame (Sutherland and Hodgman 1974).
func clipRing(ps []pt, f box) []pt {
	sides := []struct {
		inside func(p pt) bool
		cross  func(a, b pt) pt
	}{
		{func(p pt) bool { return p.x >= f.x0 }, func(a, b pt) pt { return atX(a, b, f.x0) }},
		{func(p pt) bool { return p.x <= f.x1 }, func(a, b pt) pt { return atX(a, b, f.x1) }},
		{func(p pt) bool { return p.y >= f.y0 }, func(a, b pt) pt { return atY(a, b, f.y0) }},
		{func(p pt) bool { return p.y <= f.y1 }, func(a, b pt) pt { return atY(a, b, f.y1) }},
	}
	for _, s := range sides {
		var out []pt
		for i, a := range ps {
			b := ps[(i+1)%len(ps)]
			if s.inside(a) {
				out = append(out, a)
			}
			if s.inside(a) != s.inside(b) {
				out = append(out, s.cross(a, b))
			}
		}
		if ps = out; len(ps) == 0 {
			return nil
		}
	}
	return ps
}

func atX(a, b pt, x float64) pt { return pt{x, a.y + (x-a.x)/(b.x-a.x)*(b.y-a.y)} }
func atY(a, b pt, y float64) pt { return pt{a.x + (y-a.y)/(b.y-a.y)*(b.x-a.x), y} }

// clipLine cuts a line to a frame (Liang and Barsky 1984); it may fall into runs.
func clipLine(ps []pt, f box) [][]pt {
	var runs [][]pt
	for i := 1; i < len(ps); i++ {
		a, b := ps[i-1], ps[i]
		t0, t1 := 0.0, 1.0
		for _, e := range [][2]float64{{a.x - b.x, a.x - f.x0}, {b.x - a.x, f.x1 - a.x}, {a.y - b.y, a.y - f.y0}, {b.y - a.y, f.y1 - a.y}} {
			switch p, q := e[0], e[1]; {
			case p == 0 && q < 0:
				t0 = 2
			case p < 0:
				t0 = math.Max(t0, q/p)
			case p > 0:
				t1 = math.Min(t1, q/p)
			}
		}
		if t0 >= t1 {
			continue
		}
		from, to := pt{a.x + t0*(b.x-a.x), a.y + t0*(b.y-a.y)}, pt{a.x + t1*(b.x-a.x), a.y + t1*(b.y-a.y)}
		if n := len(runs); n > 0 && t0 == 0 && runs[n-1][len(runs[n-1])-1] == a {
			runs[n-1] = append(runs[n-1], to)
		} else {
			runs = append(runs, []pt{from, to})
		}
	}
	return runs
}
