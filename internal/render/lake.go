package render

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"windlane/brief"
	"windlane/quantity"
)

// lakeStyle is how large the lake is drawn.
type lakeStyle struct {
	w, high float64 // width, greatest height [px]
	label   float64 // words [px]
	tab     float64 // a drift's number [px]
	tight   bool    // paper: no room kept for arrow and scale, fewer names
	north   bool    // north up, else the wind blows down the page
}

var (
	lakePhone = lakeStyle{w: 344, high: 560, label: 15, tab: 26}
	lakeNorth = lakeStyle{w: 344, high: 560, label: 15, tab: 26, north: true}
	lakeDrift = lakeStyle{w: 344, high: 230, label: 15, tab: 26} // round one drift
)

// small is the size of the lesser words; on paper no letter is smaller than the label.
func (st lakeStyle) small() float64 {
	if st.tight {
		return st.label
	}
	return st.label - 1
}

// strokes is how thick the drifts are drawn, against the page's.
func (st lakeStyle) strokes() float64 {
	if st.tight {
		return 0.7
	}
	return 1
}

// turned maps the lake's plane to the page so that the wind blows down it.
type turned struct {
	right, down [2]float64 // unit vectors of the page, east and north
	scale       float64    // [px/m]
	x, y        float64    // where the plane's origin falls [px]
}

// turnedBy turns so that a wind from f blows down the page; north up where unknown.
func turnedBy(f quantity.From) turned {
	down, north := f.Toward().Vector()
	if !finite(down) || !finite(north) {
		down, north = 0, -1
	}
	return turned{right: [2]float64{-north, down}, down: [2]float64{down, north}, scale: 1}
}

func (t turned) at(p brief.Point) pt {
	return pt{t.x + t.scale*(p.X*t.right[0]+p.Y*t.right[1]), t.y + t.scale*(p.X*t.down[0]+p.Y*t.down[1])}
}

func (t turned) line(ps []brief.Point) []pt {
	out := make([]pt, 0, len(ps))
	for _, p := range ps {
		if finite(p.X) && finite(p.Y) {
			out = append(out, t.at(p))
		}
	}
	return thin(out, 0.35)
}

// What a tight picture keeps free above and below the lake. [px]
const tightTop, tightFoot = 27.0, 9.0

// lakePicture is the water from above, the wind blowing down the page or north up.
func lakePicture(b brief.Brief, st lakeStyle) *drawing {
	d := &drawing{w: st.w}
	t := turnedBy(b.Lake.WindFrom)
	if st.north {
		t = turnedBy(0)
	}
	low, high := lakeBox(b.Lake, t, b.Drifts)
	pad, top, foot := 16.0, st.label*2.6, st.label*3.4
	if st.tight {
		top, foot = tightTop, tightFoot
	}
	wind := windLines(b.Lake.WindText, st)
	if len(wind) > 1 {
		top += st.label * 1.2
	}
	if !(high.x > low.x) || !(high.y > low.y) {
		words := &drawing{w: d.w}
		d.h = words.flow(pad, pad, d.w-2*pad, st.label, black, "", "The lake's outline is not known here.") + pad
		d.rect(0, 0, d.w, d.h, tone, noPen)
		d.place(0, 0, words)
		return d
	}
	t.scale = math.Min((st.w-2*pad)/(high.x-low.x), (st.high-top-foot)/(high.y-low.y))
	d.h = math.Ceil(top + foot + t.scale*(high.y-low.y))
	t.x = st.w/2 - t.scale*(low.x+high.x)/2
	t.y = top - t.scale*low.y
	if len(b.Drifts) > 5 && !st.tight {
		st.tab *= 0.8
	}
	chart(d, t, b, st, wind, b.Drifts)
	return d
}

// farApart tells whether a drift is too short on the picture of the whole lake to
// be read there, so that it needs a chart of its own.
func farApart(b brief.Brief, dr brief.Drift) bool {
	t := turnedBy(b.Lake.WindFrom)
	low, high := lakeBox(b.Lake, t, b.Drifts)
	scale := math.Min((lakePhone.w-32)/(high.x-low.x), (lakePhone.high-90)/(high.y-low.y))
	return len(b.Lake.Shore) > 0 && dr.Length > 0 && dr.Length*scale < 90
}

// driftChart is the water round one drift, its own wind blowing down the page.
func driftChart(b brief.Brief, dr brief.Drift, st lakeStyle) *drawing {
	d := &drawing{w: st.w, h: st.high}
	t := turnedBy(b.Lake.WindFrom)
	if h, ok := hourAt(b, dr.Start); ok {
		t = turnedBy(h.WindFrom)
	}
	low, high := lakeBox(brief.Lake{Shore: [][]brief.Point{{}}}, t, []brief.Drift{dr})
	if !(high.x >= low.x) || !(high.y > low.y) {
		return nil
	}
	pad, top, foot := 56.0, st.tab+8, st.label*2.4
	t.scale = math.Min((st.w-2*pad)/math.Max(high.x-low.x, 60), (st.high-top-foot)/math.Max(high.y-low.y, 60))
	t.x = st.w/2 - t.scale*(low.x+high.x)/2
	t.y = top - t.scale*low.y
	chart(d, t, b, st, nil, []brief.Drift{dr})
	return d
}

// chart draws what the frame holds: ground, drifts, then words where there is room.
func chart(d *drawing, t turned, b brief.Brief, st lakeStyle, wind []string, drifts []brief.Drift) {
	l := b.Lake
	d.rect(0, 0, d.w, d.h, tone, noPen)
	for _, ring := range l.Shore {
		d.shape(t.line(ring), paper, noPen)
	}
	contours := append([]brief.Contour{}, l.Contours...)
	sort.SliceStable(contours, func(i, j int) bool { return contours[i].Depth < contours[j].Depth })
	for i, c := range contours {
		for _, line := range c.Lines {
			p := pen{ink: teal, width: contourWidth(i)}
			if st.tight { // small and grey: the drifts come first
				p = pen{ink: hair, width: 0.4 + contourWidth(i)/2}
			}
			d.stroke(t.line(line), p)
		}
	}
	for _, ring := range l.NotSounded { // leaning dots, where nobody knows the bed
		ps := t.line(ring)
		for _, h := range hatch(ps, 8) {
			d.line(h[0].x, h[0].y, h[1].x, h[1].y, pen{ink: grey, width: 1.3, dash: []float64{0.1, 4.5}, round: true})
		}
		d.shape(ps, none, pen{ink: grey, width: 1.6, dash: []float64{0.1, 4.5}, round: true})
	}
	for _, ring := range l.Islands {
		d.shape(t.line(ring), tone, pen{ink: black, width: 2.4, round: true})
	}
	for _, p := range l.Places {
		if keepOff(p.Kind) && len(p.Line) > 2 {
			ps := t.line(p.Line)
			for _, h := range hatch(ps, 7) {
				d.line(h[0].x, h[0].y, h[1].x, h[1].y, pen{ink: black, width: 1.1})
			}
			d.shape(ps, none, pen{ink: black, width: 1.1})
		}
	}
	for _, ring := range l.Shore {
		d.shape(t.line(ring), none, pen{ink: black, width: 3, round: true})
	}
	for _, p := range l.Places {
		placeStrokes(d, t, p)
	}
	d.clip(box{0, 0, d.w, d.h})

	edge := 2.0
	if len(wind) > 0 {
		turn := 0.0
		if st.north {
			turn = float64(b.Lake.WindFrom)
		}
		edge = topEdge(d, wind, st, turn)
	}
	if len(wind) == 0 {
		d.rect(0.5, 0.5, d.w-1, d.h-1, none, hairPen)
	}
	before := len(d.taken)
	northAndScale(d, t, l, b.Units, st, len(wind) == 0)
	tracks(d, t, drifts, st, edge, d.taken[before:len(d.taken):len(d.taken)])
	wanted := ranked(l.Places, drifts)
	if len(wind) > 0 { // the whole lake: the names that matter most
		most := 10
		if st.tight {
			most = 5
		}
		wanted = wanted[:min(len(wanted), most)]
	}
	for _, p := range wanted {
		placeWords(d, t, p, st)
	}
	for _, ring := range l.NotSounded {
		if c, ok := centre(t.line(ring)); ok && c.x > 0 && c.x < d.w && c.y > 0 && c.y < d.h {
			said := around(d, c, 4, "not sounded", letter{size: st.small(), ink: grey, halo: true})
			if said && st.tight {
				break
			}
		}
	}
	contourFigures(d, t, b.Units, contours, st)
}

func contourWidth(i int) float64 { return math.Min(2, []float64{0.7, 1, 1.5, 2}[min(i, 3)]) }

// lakeBox is the extent of all that is drawn, in turned metres.
func lakeBox(l brief.Lake, t turned, drifts []brief.Drift) (low, high pt) {
	low, high = pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	grow := func(ps []brief.Point) {
		for _, p := range ps {
			if q := t.at(p); finite(q.x) && finite(q.y) {
				low = pt{math.Min(low.x, q.x), math.Min(low.y, q.y)}
				high = pt{math.Max(high.x, q.x), math.Max(high.y, q.y)}
			}
		}
	}
	for _, ring := range l.Shore {
		grow(ring)
	}
	if len(l.Shore) == 0 {
		grow([]brief.Point{l.Low, l.High, {X: l.Low.X, Y: l.High.Y}, {X: l.High.X, Y: l.Low.Y}})
	}
	for _, d := range drifts {
		for _, s := range d.Track {
			grow([]brief.Point{s.At})
		}
		for _, edge := range d.Fan {
			grow(edge)
		}
	}
	return low, high
}

// windLines is what the wind does on one line, or its change on a second.
func windLines(words string, st lakeStyle) []string {
	words = settable(words)
	if room := st.w - 96; textWidth(words, st.label+1, true) > room {
		first, rest, cut := strings.Cut(words, ", ")
		if !cut {
			first, rest = words, ""
		}
		return filled(shorten(first, room, st.label+1, true), shorten(rest, st.w-16, st.label, false))
	}
	return filled(words)
}

// topEdge says the wind, with arrows down the page turned clockwise by so much; it
// gives the height it took.
func topEdge(d *drawing, words []string, st lakeStyle, turn float64) float64 {
	half, depth := 0.0, st.label*1.7
	for i, s := range words {
		l := letter{size: st.label + 1, bold: true, anchor: middle}
		if i > 0 {
			l = letter{size: st.label, anchor: middle}
			depth += st.label * 1.2
		} else {
			half = textWidth(s, st.label+1, true)/2 + 14
		}
		d.say(d.w/2, st.label*(1.5+1.2*float64(i)), s, l)
	}
	arrow := func(x float64) {
		if finite(turn) {
			windArrow(d, x, 2.5+st.label*0.85, st.label*1.7-5, turn, 6)
		}
	}
	for _, x := range []float64{0.09, 0.29} {
		if x*d.w < d.w/2-half {
			arrow(x * d.w)
			arrow((1 - x) * d.w)
		}
	}
	d.take(0, 0, d.w, depth+st.label*0.2)
	return depth + st.label*0.2
}

// northAndScale: the arrow to the north at the right foot, the scale at the left; on
// paper in corners without water. Where lines run under them they are cased in paper.
func northAndScale(d *drawing, t turned, l brief.Lake, u quantity.System, st lakeStyle, cased bool) {
	stroke := func(ps []pt, p pen) {
		if cased {
			d.stroke(ps, pen{ink: paper, width: p.width + 5})
		}
		d.stroke(ps, p)
	}
	// north on the page is (right·n, down·n)
	n := pt{t.right[1], t.down[1]}
	r := st.label * 1.0
	north, scale := pt{d.w - r - 22, d.h - r - 12}, pt{12, d.h - 14}
	words, length := scaleOf(d, t, u)
	reach := length + 7 + textWidth(words, st.label-1, false)
	if st.tight {
		around := func(p pt) box { return box{p.x - r - 16, p.y - r - 4, p.x + r + 12, p.y + r + 4} }
		along := func(p pt) box { return box{p.x - 6, p.y - 9, p.x + reach + 6, p.y + 9} }
		for _, p := range []pt{scale, {d.w - 12 - reach, scale.y}, {d.w - 12 - reach, 38}, {12, 38}} {
			if d.dry(t, l, along(p)) {
				scale = p
				break
			}
		}
		found := false
		for _, clear := range []func(box) bool{func(b box) bool { return d.dry(t, l, b) }, d.free, func(box) bool { return true }} {
			for _, p := range []pt{{d.w - r - 18, d.h - r - 8}, {r + 22, d.h - r - 8}, {d.w - r - 18, r + 34}, {r + 22, r + 34}} {
				if !found && clear(around(p)) && !around(p).meets(along(scale)) { // any corner rather than on the scale
					north, found = p, true
				}
			}
		}
	}
	x, y := north.x, north.y
	tip, tail := pt{x + n.x*r, y + n.y*r}, pt{x - n.x*r, y - n.y*r}
	side := pt{-n.y, n.x}
	p := pen{ink: black, width: 2.4}
	stroke([]pt{tail, tip}, p)
	k := r * 0.55
	stroke([]pt{{tip.x - n.x*k + side.x*k*0.8, tip.y - n.y*k + side.y*k*0.8}, tip, {tip.x - n.x*k - side.x*k*0.8, tip.y - n.y*k - side.y*k*0.8}}, p)
	d.take(x-r, y-r, x+r, y+r)
	// the letter stands off the shaft, towards the middle of the picture
	off := st.label * 0.95
	at := pt{x + side.x*off, y + side.y*off}
	if side.x > 0.3 || math.Abs(side.x) <= 0.3 && side.y > 0 {
		at = pt{x - side.x*off, y - side.y*off}
	}
	d.say(at.x, at.y+st.label*0.36, "N", letter{size: st.label + 2, bold: true, anchor: middle, halo: cased})

	if length > 0 {
		x, y := scale.x, scale.y
		stroke([]pt{{x, y}, {x + length, y}}, pen{ink: black, width: 2})
		stroke([]pt{{x, y - 5}, {x, y + 5}}, pen{ink: black, width: 2})
		stroke([]pt{{x + length, y - 5}, {x + length, y + 5}}, pen{ink: black, width: 2})
		d.say(x+length+7, y+st.label*0.36, words, letter{size: st.small(), ink: grey, halo: true})
		d.take(x-2, y-7, x+length, y+7)
	}
}

// scaleOf is a round length that the picture has room for, in words and on it. [px]
func scaleOf(d *drawing, t turned, u quantity.System) (words string, length float64) {
	unit, name := 0.9144, " yd"
	if u == quantity.Metric {
		unit, name = 1, " m"
	}
	for _, v := range []float64{10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000} {
		if v*unit*t.scale <= math.Min(0.26*d.w, 92) {
			words, length = strconv.Itoa(int(v))+name, v*unit*t.scale
		}
	}
	return words, length
}

// dry tells whether a box of the picture holds no water and no words.
func (d *drawing) dry(t turned, l brief.Lake, b box) bool {
	if !d.free(b) {
		return false
	}
	middle := pt{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2}
	wet := false
	for _, ring := range l.Shore {
		ps := t.line(ring)
		if len(clipLine(ps, b)) > 0 {
			return false
		}
		for i, p := range ps { // even-odd, along the level line to the right
			q := ps[(i+1)%len(ps)]
			if (p.y > middle.y) != (q.y > middle.y) && middle.x < p.x+(middle.y-p.y)/(q.y-p.y)*(q.x-p.x) {
				wet = !wet
			}
		}
	}
	return !wet
}

// tracks draws the drifts: the way, a tick each five minutes, the spread, the bar
// where one lifts, and the number at the start, clear of what stands already.
func tracks(d *drawing, t turned, drifts []brief.Drift, st lakeStyle, edge float64, stood []box) {
	type drawn struct {
		ps   []pt
		n    int
		bar  [2]pt
		stop brief.Stop
	}
	var all []drawn
	k := st.strokes()
	for _, dr := range drifts {
		for _, edge := range dr.Fan {
			d.stroke(t.line(edge), pen{ink: black, width: 1.2, dash: []float64{5, 3.5}})
		}
	}
	for _, dr := range drifts {
		var ps []pt
		for _, s := range dr.Track {
			if p := t.at(s.At); finite(p.x) && finite(p.y) {
				ps = append(ps, p)
			}
		}
		if len(ps) < 2 {
			continue
		}
		d.stroke(thin(ps, 0.3), pen{ink: paper, width: 8 * k})
		d.stroke(thin(ps, 0.3), pen{ink: black, width: 3.2 * k})
		every := tickEvery(ps, dr.Minutes)
		for i, s := range dr.Track {
			if i == 0 || i >= len(ps)-1 || !finite(s.Minute) || s.Minute < 1 || math.Mod(s.Minute+1e-9, every) > 1e-6 {
				continue
			}
			n := across(ps[i-1], ps[i+1])
			d.line(ps[i].x-n.x*7*k, ps[i].y-n.y*7*k, ps[i].x+n.x*7*k, ps[i].y+n.y*7*k, pen{ink: black, width: 2 * k})
		}
		last := ps[len(ps)-1]
		n := across(ps[max(0, len(ps)-4)], last)
		half := 14 * k
		for _, edge := range dr.Fan {
			if e := t.line(edge); len(e) > 0 {
				half = math.Max(half, math.Min(60, math.Hypot(e[len(e)-1].x-last.x, e[len(e)-1].y-last.y)+6*k))
			}
		}
		a, z := pt{last.x - n.x*half, last.y - n.y*half}, pt{last.x + n.x*half, last.y + n.y*half}
		d.stroke([]pt{a, z}, pen{ink: paper, width: 10 * k})
		d.stroke([]pt{a, z}, pen{ink: black, width: 6 * k})
		d.takeAlong([]pt{a, z}, 4)
		all = append(all, drawn{ps, dr.Number, [2]pt{a, z}, stopOf(dr)})
	}
	for _, a := range all {
		d.takeAlong(a.ps, 5)
	}
	// drifts that start at one place share a tab
	type tab struct {
		at    pt
		words string
	}
	var tabs []tab
	for _, a := range all {
		shared := false
		for i, o := range tabs {
			if math.Hypot(o.at.x-a.ps[0].x, o.at.y-a.ps[0].y) < st.tab*0.6 {
				tabs[i].words += ", " + strconv.Itoa(a.n)
				shared = true
				break
			}
		}
		if !shared {
			tabs = append(tabs, tab{a.ps[0], strconv.Itoa(a.n)})
		}
	}
	for _, a := range tabs {
		b := tabBox(d, a.at, a.words, st.tab, edge, stood)
		d.rect(b.x0-2, b.y0-2, b.x1-b.x0+4, st.tab+4, paper, noPen)
		d.rect(b.x0, b.y0, b.x1-b.x0, st.tab, black, noPen)
		d.add(mark{words: a.words, at: pt{(b.x0 + b.x1) / 2, b.y0 + st.tab*0.76}, size: st.tab * 0.72, bold: true, anchor: middle, ink: paper})
		d.take(b.x0, b.y0, b.x1, b.y1)
		stood = append(stood, b)
	}
	for _, a := range all { // when to lift, and on what bearing where there is one drift
		words := clock(a.stop.At)
		if len(all) == 1 {
			words = "lift " + words
			bearing(d, t, a.ps[len(a.ps)-1], a.stop, st)
		}
		y := st.small() * 0.35
		var spots []spot
		for _, tip := range a.bar {
			beside := spot{tip.x + 5, tip.y + y, start}
			if tip.x < (a.bar[0].x+a.bar[1].x)/2 {
				beside = spot{tip.x - 5, tip.y + y, end}
			}
			spots = append(spots, beside, spot{tip.x, tip.y + 6 + 2*y, middle}, spot{tip.x, tip.y - 7, middle})
		}
		d.sayFree(words, letter{size: st.small(), bold: true, halo: true}, spots...)
	}
}

// bearing is a broken arrow from where one lifts towards the landmark to look at,
// as far as the picture goes.
func bearing(d *drawing, t turned, from pt, stop brief.Stop, st lakeStyle) {
	east, north := stop.Bearing.Vector()
	to := pt{east*t.right[0] + north*t.right[1], east*t.down[0] + north*t.down[1]}
	if stop.Landmark == "" || !finite(to.x) || !finite(to.y) {
		return
	}
	length := 74.0
	if finite(stop.Distance) {
		length = math.Min(length, stop.Distance*t.scale)
	}
	for _, wall := range [][2]float64{{to.x, from.x - 6}, {-to.x, d.w - 6 - from.x}, {to.y, from.y - 6}, {-to.y, d.h - 6 - from.y}} {
		if wall[0] < 0 {
			length = math.Min(length, -wall[1]/wall[0])
		}
	}
	if length < 18 {
		return
	}
	a, z := pt{from.x + 9*to.x, from.y + 9*to.y}, pt{from.x + length*to.x, from.y + length*to.y}
	line := []pt{a, z}
	d.stroke(line, pen{ink: paper, width: 6})
	d.stroke(line, pen{ink: black, width: 1.8, dash: []float64{7, 3}})
	head := []pt{{z.x - 7*to.x - 4*to.y, z.y - 7*to.y + 4*to.x}, z, {z.x - 7*to.x + 4*to.y, z.y - 7*to.y - 4*to.x}}
	d.stroke(head, pen{ink: black, width: 1.8})
	d.takeAlong(line, 3)
	words := shorten(settable(fmt.Sprintf("%s %03.0f°", bare(stop.Landmark), stop.Bearing.Degrees())), d.w*0.5, st.small(), false)
	l := letter{size: st.small(), halo: true}
	if around(d, z, 6, words, l) {
		return
	}
	for _, y := range []float64{z.y - 8, z.y + 8 + 0.7*l.size, z.y - 8 - l.size} { // along the picture's edge
		if d.sayFree(words, l, spot{4, y, start}, spot{d.w - 4, y, end}) {
			return
		}
	}
}

// tickEvery is how many minutes lie between the ticks of a track: five, more
// where they would run together.
func tickEvery(ps []pt, minutes float64) float64 {
	length := 0.0
	for i := 1; i < len(ps); i++ {
		length += math.Hypot(ps[i].x-ps[i-1].x, ps[i].y-ps[i-1].y)
	}
	for _, every := range []float64{5, 10, 15, 30} {
		if length/minutes*every >= 7 {
			return every
		}
	}
	return math.Inf(1)
}

// tabBox finds where a drift's number stands: above the start, else beside it,
// clear of the other numbers, the top edge and the picture's sides.
func tabBox(d *drawing, at pt, words string, high, edge float64, stood []box) box {
	h, w := high/2, math.Max(high, textWidth(words, high*0.72, true)+high*0.4)/2
	var first box
	offs := []pt{{0, -h}, {-w - 4, 0}, {w + 4, 0}, {-w - 4, -h - 6}, {w + 4, -h - 6}, {0, -3*h - 3},
		{-2*w - 7, -h}, {2*w + 7, -h}, {-w - 4, h + 6}, {w + 4, h + 6}, {0, h + 2}, {0, 3*h + 4}}
	for far := 1.0; far < 7; far++ { // further and further off
		for _, p := range []pt{{-1, 0}, {1, 0}, {0, 1}, {-1, 1}, {1, 1}, {0, -1}, {-1, -1}, {1, -1}} {
			offs = append(offs, pt{p.x * (w + 12*far), p.y * (h + 12*far)})
		}
	}
	for i, off := range offs {
		b := box{at.x + off.x - w, at.y + off.y - h, at.x + off.x + w, at.y + off.y + h}
		if i == 0 {
			first = b
		}
		clear := b.y0 >= edge && b.x0 >= 1 && b.x1 <= d.w-1 && b.y1 <= d.h-1
		for _, o := range stood {
			clear = clear && !o.meets(box{b.x0 - 1, b.y0 - 1, b.x1 + 1, b.y1 + 1})
		}
		if clear {
			return b
		}
	}
	return first
}

// across is the unit vector square to the way from a to b.
func across(a, b pt) pt {
	dx, dy := b.x-a.x, b.y-a.y
	l := math.Hypot(dx, dy)
	if l == 0 {
		return pt{1, 0}
	}
	return pt{-dy / l, dx / l}
}

func centre(ps []pt) (pt, bool) {
	if len(ps) == 0 {
		return pt{}, false
	}
	var c pt
	for _, p := range ps {
		c.x += p.x / float64(len(ps))
		c.y += p.y / float64(len(ps))
	}
	return c, true
}

// around tries words on all sides of a place.
func around(d *drawing, p pt, gap float64, words string, l letter) bool {
	var spots []spot
	for _, g := range []float64{gap, gap + 8, gap + 18} {
		spots = append(spots,
			spot{p.x + g, p.y + l.size*0.35, start}, spot{p.x - g, p.y + l.size*0.35, end},
			spot{p.x, p.y + g + l.size*0.75, middle}, spot{p.x, p.y - g, middle},
			spot{p.x + g*0.8, p.y + g + l.size*0.6, start}, spot{p.x - g*0.8, p.y + g + l.size*0.6, end},
			spot{p.x + g*0.8, p.y - g*0.8, start}, spot{p.x - g*0.8, p.y - g*0.8, end})
	}
	return d.sayFree(settable(words), l, spots...)
}

// contourFigures writes each depth once on its longest line, where nothing stands.
func contourFigures(d *drawing, t turned, u quantity.System, cs []brief.Contour, st lakeStyle) {
	for _, c := range cs {
		var best []pt
		length := 0.0
		var inFrame [][]pt
		for _, line := range c.Lines {
			inFrame = append(inFrame, clipLine(t.line(line), box{0, 0, d.w, d.h})...)
		}
		for _, ps := range inFrame {
			sum := 0.0
			for i := 1; i < len(ps); i++ {
				sum += math.Hypot(ps[i].x-ps[i-1].x, ps[i].y-ps[i-1].y)
			}
			if sum > length {
				best, length = ps, sum
			}
		}
		if length < 40 {
			continue
		}
		// from the lower left of the lake, as far as needed along the line
		from := 0
		for i, p := range best {
			if p.y-p.x > best[from].y-best[from].x {
				from = i
			}
		}
		for k := range best {
			p := best[(from+k)%len(best)]
			if d.sayFree(u.DepthFigure(c.Depth), letter{size: st.small(), bold: true, ink: teal, halo: true}, spot{p.x, p.y + st.label*0.33, middle}) {
				break
			}
		}
	}
}
