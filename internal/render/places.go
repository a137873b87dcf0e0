package render

import (
	"math"
	"sort"
	"strings"

	"windlane/brief"
)

// Features of the lake, each drawn by its kind; one of an unknown kind is a small
// open square with its name.

func isKind(kind string, parts ...string) bool {
	k := strings.ToLower(kind)
	for _, p := range parts {
		if strings.Contains(k, p) {
			return true
		}
	}
	return false
}

func keepOff(kind string) bool { return isKind(kind, "keep", "no_go", "no-go", "no go", "reserve") }

func placeStrokes(d *drawing, t turned, p brief.Place) {
	ps := t.line(p.Line)
	if len(ps) == 0 {
		return
	}
	switch {
	case keepOff(p.Kind):
		if len(ps) < 3 {
			d.stroke(ps, pen{ink: black, width: 2, dash: []float64{3, 3}})
		}
	case isKind(p.Kind, "buoy"):
		d.stroke(closeRing(ps, p.Closed), pen{ink: black, width: 1.6, dash: []float64{1.6, 3.4}})
		for _, q := range buoyPlaces(ps) {
			d.circle(q.x, q.y, 4.6, paper, pen{ink: black, width: 2.2})
			d.take(q.x-5, q.y-5, q.x+5, q.y+5)
		}
	case isKind(p.Kind, "weed"):
		ps = closeRing(ps, p.Closed)
		for _, q := range along(ps, 7) { // leaning strokes, every other one short
			d.line(q.x-3, q.y+5, q.x+3, q.y-6, pen{ink: black, width: 1.5})
			d.line(q.x-1, q.y+5, q.x-4, q.y-3, pen{ink: black, width: 1.5})
		}
		d.takeAlong(ps, 5)
	case isKind(p.Kind, "jetty", "pontoon", "slip", "pier", "harbour"):
		if len(ps) == 1 {
			d.rect(ps[0].x-3.5, ps[0].y-8, 7, 16, black, pen{ink: paper, width: 1.5})
			d.take(ps[0].x-4, ps[0].y-9, ps[0].x+4, ps[0].y+9)
		} else {
			d.stroke(ps, pen{ink: black, width: 6})
			d.takeAlong(ps, 4)
		}
	case isKind(p.Kind, "inflow", "outflow"):
		q := ps[len(ps)/2]
		for _, dy := range []float64{-5, 0, 5} {
			d.stroke(ripple(q.x-8, q.x+8, q.y+dy, 3, 8), pen{ink: black, width: 1.5})
		}
		d.take(q.x-9, q.y-8, q.x+9, q.y+8)
	case len(ps) > 1:
		d.stroke(closeRing(ps, p.Closed), pen{ink: grey, width: 1.2, dash: []float64{6, 3, 1.5, 3}})
	default:
		d.rect(ps[0].x-4, ps[0].y-4, 8, 8, paper, pen{ink: black, width: 1.8})
		d.take(ps[0].x-5, ps[0].y-5, ps[0].x+5, ps[0].y+5)
	}
}

// placeWords names a place where there is room; the table beside the picture
// names them all.
func placeWords(d *drawing, t turned, p brief.Place, st lakeStyle) {
	ps := t.line(p.Line)
	c, ok := centre(ps)
	if !ok {
		return
	}
	if runs := clipLine(ps, box{0, 0, d.w, d.h}); len(runs) > 0 { // what the frame shows of it
		c, _ = centre(runs[0])
		ps = runs[0]
	} else if c.x < 0 || c.y < 0 || c.x > d.w || c.y > d.h {
		return
	}
	name := p.Name
	if name == "" {
		name = kindWords(p.Kind)
	}
	name = shorten(settable(name), d.w*0.42, st.label, false)
	l := letter{size: st.label, halo: true, bold: keepOff(p.Kind)}
	gap := 9.0
	if len(ps) > 2 && keepOff(p.Kind) {
		if d.sayFree(name, l, spot{c.x, c.y + l.size*0.35, middle}) {
			return
		}
	}
	if around(d, c, gap, name, l) {
		return
	}
	for _, q := range []pt{ps[len(ps)-1], ps[0]} {
		if around(d, q, gap, name, l) {
			return
		}
	}
}

// ranked puts the places whose names matter most first: home, what to keep off,
// what the drifts' words name, what the boat may meet; one of each name.
func ranked(ps []brief.Place, drifts []brief.Drift) []brief.Place {
	var words strings.Builder
	for _, d := range drifts {
		words.WriteString(d.StartAt + " " + d.End + " " + d.Change + " ")
		for _, p := range d.Passes {
			words.WriteString(p.What + " ")
		}
	}
	said := words.String()
	rank := func(p brief.Place) int {
		switch {
		case isKind(p.Kind, "jetty"):
			return 0
		case keepOff(p.Kind):
			return 1
		case p.Name != "" && strings.Contains(said, p.Name):
			return 2
		case isKind(p.Kind, "buoy", "weed", "island", "rock"):
			return 3
		}
		return 4
	}
	out := append([]brief.Place{}, ps...)
	sort.SliceStable(out, func(i, j int) bool { return rank(out[i]) < rank(out[j]) })
	return out
}

func closeRing(ps []pt, closed bool) []pt {
	if closed && len(ps) > 2 {
		return append(append([]pt{}, ps...), ps[0])
	}
	return ps
}

// buoyPlaces keeps buoys from running into each other.
func buoyPlaces(ps []pt) []pt {
	var out []pt
	for _, p := range ps {
		if n := len(out); n == 0 || math.Hypot(p.x-out[n-1].x, p.y-out[n-1].y) > 12 {
			out = append(out, p)
		}
	}
	return out
}

// along gives places each step px along a line.
func along(ps []pt, step float64) []pt {
	if len(ps) == 1 {
		return []pt{{ps[0].x - step, ps[0].y}, ps[0], {ps[0].x + step, ps[0].y}}
	}
	var out []pt
	next := step / 2
	for i := 1; i < len(ps) && len(out) < 2000; i++ {
		a, b := ps[i-1], ps[i]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		for ; next < l && len(out) < 2000; next += step {
			out = append(out, pt{a.x + next/l*(b.x-a.x), a.y + next/l*(b.y-a.y)})
		}
		next -= l
	}
	return out
}
