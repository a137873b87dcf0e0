package render

import (
	"math"

	"windlane/brief"
	"windlane/quantity"
)

// The side view: across is time, down is depth. One set of strokes for a drift
// (minutes) and a cast (seconds).

var (
	noPen   = pen{}
	inkPen  = pen{ink: black, width: 1.4}
	hairPen = pen{ink: hair, width: 1}
)

// side maps time and depth to the drawing.
type side struct {
	d              *drawing
	x0, x1, y0, y1 float64 // the water's box; y0 is the surface [px]
	span           float64 // time across, minutes or seconds
	deep           float64 // depth at y1 [m]
	u              quantity.System
}

func (s side) x(t float64) float64     { return s.x0 + t/s.span*(s.x1-s.x0) }
func (s side) y(depth float64) float64 { return s.y0 + depth/s.deep*(s.y1-s.y0) }

// surface is the water's face, with the hour's chop; straight in a calm.
func (s side) surface(wave float64) {
	s.d.stroke(ripple(s.x0, s.x1, s.y0, waveHeight(wave), 13), pen{ink: black, width: 1.6})
}

// waveHeight is how high a wave is drawn: 1.6 px for a breeze's ripple to 6 px a foot.
func waveHeight(m float64) float64 {
	if !finite(m) || m < 0.01 {
		return 0
	}
	return math.Min(7, 1.2+4.8*m/0.3048)
}

func ripple(x0, x1, y, height, length float64) []pt {
	if height == 0 {
		return []pt{{x0, y}, {x1, y}}
	}
	var ps []pt
	n := int(math.Max(1, math.Round((x1-x0)/length)))
	for i := 0; i <= n*8; i++ {
		f := float64(i) / float64(n*8)
		ps = append(ps, pt{x0 + f*(x1-x0), y - height/2*math.Sin(2*math.Pi*f*float64(n))})
	}
	return ps
}

// depths writes the scale at the left, figures at least room apart. skip keeps them
// out of the way of others.
func (s side) depths(size, room float64, skip []float64) {
	step := scaleStep(s.u, s.deep, s.y1-s.y0, room)
	for k := 0; ; k++ {
		depth := float64(k) * step
		if !(depth <= s.deep*1.0001) {
			break
		}
		y := s.y(depth)
		near := false
		for _, other := range skip {
			near = near || math.Abs(y-other) < size*1.15
		}
		if !near && (k == 0 || y < s.y1-2) {
			s.d.say(s.x0-8, y+size*0.33, s.u.DepthFigure(depth), letter{size: size, anchor: end, ink: grey})
		}
	}
}

// scaleStep is the least round step whose figures stand at least room px apart. [m]
func scaleStep(u quantity.System, deep, height, room float64) float64 {
	return stepOf(u, deep, int(math.Max(1, math.Floor(height/room))))
}

// ruling draws belief: a stroke for each layer, thicker where they are likelier.
// Layers are joined until the pitch is at least least px; no stroke is more than
// 44 % of its pitch. What lies over it (the bed) is drawn after it.
func (s side) ruling(belief []float64, layer, least float64) {
	pitch := (s.y1 - s.y0) / s.deep * layer
	if len(belief) == 0 || !(pitch > 0) {
		return
	}
	group := int(math.Ceil(least/pitch - 1e-9))
	greatest := 0.0
	for top := 0; top < len(belief); top += group {
		greatest = math.Max(greatest, meanBelief(belief, layer, float64(top)*layer, float64(top+group)*layer))
	}
	if !(greatest > 0) {
		return
	}
	for top := 0; top < len(belief); top += group {
		v := meanBelief(belief, layer, float64(top)*layer, float64(top+group)*layer) / greatest
		y := s.y((float64(top) + float64(group)/2) * layer)
		if w := math.Min(0.44*pitch*float64(group), 4.4) * v; finite(v) && w >= 0.22 && y < s.y1-1 {
			s.d.line(s.x0, y, s.x1, y, pen{ink: teal, width: w})
		}
	}
}

// bandLines are the two firm lines of each range that holds half of them, with a
// bracket and its figures at the left. It gives the heights its figures took.
func (s side) bandLines(bs []brief.Band, size float64) []float64 {
	var ys []float64
	for _, b := range bs {
		if !finite(b.Top) || !finite(b.Bottom) || b.Top > s.deep {
			continue
		}
		top, bottom := s.y(math.Max(0, b.Top)), s.y(math.Min(b.Bottom, s.deep))
		for _, y := range []float64{top, bottom} {
			s.d.line(s.x0, y, s.x1, y, pen{ink: teal, width: 2.4})
		}
		s.d.rect(s.x0-7, top-1.2, 7, bottom-top+2.4, teal, noPen)
		yt, yb := top, bottom
		if gap := size * 1.02; yb-yt < gap { // figures pushed apart, about their middle
			mid := (yt + yb) / 2
			yt, yb = mid-gap/2, mid+gap/2
		}
		if yt < s.y0+size*0.2 {
			yb += s.y0 + size*0.2 - yt
			yt = s.y0 + size*0.2
		}
		if n := len(ys); n > 0 && yt-ys[n-1] < size*1.02 {
			yb += ys[n-1] + size*1.02 - yt
			yt = ys[n-1] + size*1.02
		}
		for i, y := range []float64{yt, yb} {
			depth := b.Top
			if i == 1 {
				depth = b.Bottom
			}
			s.d.say(s.x0-10, y+size*0.34, s.u.DepthFigure(depth), letter{size: size, bold: true, anchor: end})
			ys = append(ys, y)
		}
	}
	return ys
}

// bed draws the bed along a time: firm with hachures where sounded, dotted where
// it is only guessed, nothing where nobody knows.
func (s side) bed(ts, beds []float64, sounded []bool) {
	var run []pt
	var firm bool
	flush := func() {
		if len(run) > 1 {
			ps := append(append([]pt{}, run...), pt{run[len(run)-1].x, s.y1}, pt{run[0].x, s.y1})
			s.d.shape(ps, tone, noPen)
			if firm {
				s.hachures(run)
				s.d.stroke(run, pen{ink: black, width: 3})
			} else {
				s.d.stroke(run, pen{ink: black, width: 2.6, dash: []float64{0.1, 5.5}, round: true})
			}
		}
		run = nil
	}
	for i := range ts {
		if !finite(beds[i]) || !finite(ts[i]) {
			flush()
			continue
		}
		p := pt{s.x(ts[i]), math.Min(s.y1, s.y(math.Max(0, beds[i])))}
		if len(run) > 0 && firm != sounded[i] {
			run = append(run, p)
			flush()
		}
		firm = sounded[i]
		run = append(run, p)
	}
	flush()
}

// notSounded hatches with leaning dots what nobody has sounded: below the bed where
// it is guessed from afar, along the foot where not even that can be said.
func (s side) notSounded(ts, beds []float64, sounded []bool, size float64) {
	for i := 1; i < len(ts); {
		if !finite(ts[i]) || !finite(ts[i-1]) || sounded[i] && finite(beds[i]) {
			i++
			continue
		}
		from := i - 1
		var top []pt
		for ; i < len(ts) && finite(ts[i]) && !(sounded[i] && finite(beds[i])); i++ {
		}
		known := false
		for k := from; k < i; k++ {
			y := s.y1 - 9
			if finite(beds[k]) {
				y, known = math.Min(s.y1-1, s.y(math.Max(0, beds[k]))+2), true
			}
			top = append(top, pt{s.x(ts[k]), y})
		}
		ring := append(top, pt{top[len(top)-1].x, s.y1}, pt{top[0].x, s.y1})
		for _, h := range hatch(ring, 6) {
			s.d.line(h[0].x, h[0].y, h[1].x, h[1].y, pen{ink: grey, width: 1.3, dash: []float64{0.1, 4}, round: true})
		}
		if words := (letter{size: size, ink: grey, halo: true}); known || len(top) < len(ts) {
			if mid, w := (top[0].x+top[len(top)-1].x)/2, textWidth("not sounded", size, false); w < top[len(top)-1].x-top[0].x+20 {
				s.d.sayFree("not sounded", words, spot{mid, s.y1 - 4, middle})
			}
		}
	}
}

// hachures are the short leaning strokes under a sounded bed.
func (s side) hachures(run []pt) {
	next := run[0].x + 4
	for i := 1; i < len(run); i++ {
		a, b := run[i-1], run[i]
		for ; next < b.x && b.x > a.x; next += 8 {
			y := a.y + (next-a.x)/(b.x-a.x)*(b.y-a.y)
			if y+8 < s.y1 && next-5 > s.x0 {
				s.d.line(next, y+1, next-5, y+9, pen{ink: black, width: 1})
			}
		}
	}
}

// hull is the boat, seen from the side, its keel on the surface at x.
func (d *drawing) hull(x, y, w float64) {
	d.shape([]pt{{x - w/2, y - w/5}, {x + w/2, y - w/5}, {x + w*0.36, y + w/22}, {x - w*0.36, y + w/22}}, black, noPen)
}

// driftSide is the side view under one drift: minutes across, the bed, where they
// lie, what it passes, and the bar where one lifts.
func driftSide(b brief.Brief, dr brief.Drift, w, h float64, size float64) *drawing {
	d := &drawing{w: w, h: h}
	u := b.Units
	hour, ok := hourAt(b, dr.Start)
	deepest, anyBed := 0.0, false
	var ts, beds []float64
	var sounded []bool
	last := dr.Minutes
	for _, st := range dr.Track {
		ts, beds, sounded = append(ts, st.Minute), append(beds, st.Bed), append(sounded, st.Sounded)
		if finite(st.Bed) {
			deepest, anyBed = math.Max(deepest, st.Bed), true
		}
		if finite(st.Minute) {
			last = math.Max(last, st.Minute)
		}
	}
	if !(last > 0) {
		last = 1
	}
	want := beliefDepth(hour.Belief, hour.LayerDepth)
	for _, bd := range hour.Bands {
		if finite(bd.Bottom) {
			want = math.Max(want, bd.Bottom+0.6)
		}
	}
	want = math.Max(want+0.3, 1.8)
	deep := want
	if anyBed {
		deep = math.Max(deepest*1.1, 1.8)
		if len(hour.Belief) > 0 {
			deep = math.Min(deep, 2*want)
		}
	}
	left := 30.0
	if u == quantity.Metric {
		left = 36
	}
	s := side{d: d, x0: left, x1: w - 12, y0: 14, y1: h - size - 10, span: last, deep: deep, u: u}
	ticks := 6.0
	if h < 60 { // on paper
		s.y0, s.y1, ticks = 10, h-size-3, 4
	}
	s.d.say(s.x0-8, s.y0+size*0.33, u.DepthFigure(0), letter{size: size, anchor: end, ink: grey})
	if ticks < 6 {
		s.depths(size, (s.y1-s.y0)/2, []float64{s.y0})
	} else {
		s.depths(size, size*1.5, []float64{s.y0})
	}
	if ok {
		s.ruling(hour.Belief, hour.LayerDepth, 3.4)
		for _, bd := range hour.Bands { // their depth
			for _, depth := range []float64{bd.Top, bd.Bottom} {
				if finite(depth) && depth <= deep {
					s.d.line(s.x0, s.y(depth), s.x1, s.y(depth), pen{ink: teal, width: 2})
				}
			}
		}
	}
	s.bed(ts, beds, sounded)
	s.notSounded(ts, beds, sounded, size)
	if !anyBed {
		s.d.sayFree("bed not known", letter{size: size, ink: grey, halo: true}, spot{(s.x0 + s.x1) / 2, s.y1 - 9, middle})
	}
	if anyBed && deepest > deep { // the bed goes on below: break marks at the foot
		for i := range ts {
			if finite(beds[i]) && beds[i] > deep && i%6 == 3 {
				x := s.x(ts[i])
				s.d.stroke([]pt{{x - 5, s.y1 - 8}, {x - 1, s.y1 - 3}, {x + 1, s.y1 - 8}, {x + 5, s.y1 - 3}}, inkPen)
			}
		}
	}
	s.castsAlong(b, dr, last)
	s.surface(hour.Wave)
	for _, p := range dr.Passes {
		x0, x1 := s.x(math.Max(0, p.FromMinute)), s.x(math.Min(last, p.ToMinute))
		if finite(x0) && finite(x1) && x1 >= x0 && x1-x0 < 0.8*(s.x1-s.x0) {
			x1 = math.Max(x1, x0+3)
			s.d.rect(x0, s.y0-math.Min(12, s.y0), x1-x0, 4, black, noPen)
		}
	}
	s.d.line(s.x0, s.y1, s.x1, s.y1, pen{ink: black, width: 1.6})
	step := 10.0
	if last <= 12 {
		step = 5
	}
	for m := 0.0; m <= last+1e-9; m += step / 2 {
		long := math.Mod(m, step) < 1e-9
		tick := ticks / 2
		if long {
			tick = ticks
		}
		s.d.line(s.x(m), s.y1, s.x(m), s.y1+tick, inkPen)
	}
	foot := s.y1 + size + ticks - 1
	s.d.say(w-2, foot, whole(last)+" min", letter{size: size, bold: true, anchor: end})
	for m := 0.0; m <= last+1e-9; m += step {
		s.d.sayFree(whole(m), letter{size: size, ink: grey}, spot{s.x(m), foot, middle})
	}
	s.d.rect(s.x1-1, 4, 7, s.y1-4, black, noPen)
	return d
}

// castsAlong draws what the flies do under a drift: one cast each five minutes,
// at the drift's own pace of time.
func (s side) castsAlong(b brief.Brief, dr brief.Drift, last float64) {
	if dr.SetUp < 0 || dr.SetUp >= len(b.SetUps) {
		return
	}
	for start := 0.5; start < last; start += 5 {
		for i, f := range b.SetUps[dr.SetUp].Flies {
			if i == 2 { // two tell enough at this size
				break
			}
			var ps []pt
			for _, p := range f.Path {
				at := start + p.Second/60
				if !finite(at) || !finite(p.Depth) || at > last {
					continue
				}
				ps = append(ps, pt{s.x(at), s.y(math.Min(math.Max(p.Depth, 0), s.deep))})
			}
			line := pen{ink: black, width: 1.4}
			if i == 1 {
				line.dash = []float64{3, 2}
			}
			if len(ps) > 1 {
				s.d.stroke(thin(ps, 0.3), line)
			}
		}
	}
}
