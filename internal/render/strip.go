package render

import (
	"math"
	"strconv"

	"windlane/brief"
	"windlane/quantity"
)

// stripStyle is how wide and how large the hour strip is drawn.
type stripStyle struct {
	w       float64 // [px]
	label   float64 // room for the row's names [px]
	size    float64 // letters [px]
	small   float64
	band    float64 // figures of their depth [px]
	arrow   float64 // height of the wind's arrows [px]
	bar     float64 // height of the greatest light [px]
	ruling  float64 // height of the ruling [px]
	compass bool    // room for the wind's points
	abreast bool    // their depth as "4–8", else one figure over the other
}

var (
	stripNarrow = stripStyle{w: 344, label: 60, size: 15, small: 14, band: 15, arrow: 44, bar: 26, ruling: 60}
	stripWide   = stripStyle{w: 772, label: 96, size: 16, small: 15, band: 16, arrow: 44, bar: 26, ruling: 64, compass: true, abreast: true}
)

// hourStrip is the day at a glance: wind, gusts, chop, light, drift and their
// depth, a column for each hour. More hours than fit stand in two or more strips.
func hourStrip(b brief.Brief, st stripStyle) *drawing {
	perRow := int((st.w - st.label) / (st.small*1.62 + 1))
	n := len(b.Hours)
	if n == 0 {
		d := &drawing{w: st.w, h: st.size * 2}
		d.say(0, st.size*1.3, "No hours in this plan.", letter{size: st.size})
		return d
	}
	strips := (n + perRow - 1) / perRow
	each := (n + strips - 1) / strips
	all := &drawing{w: st.w}
	for from := 0; from < n; from += each {
		part := oneStrip(b, b.Hours[from:min(n, from+each)], each, st)
		if from > 0 {
			all.h += 18
		}
		all.place(0, all.h, part)
		all.h += part.h
	}
	return all
}

func oneStrip(b brief.Brief, hours []brief.Hour, columns int, st stripStyle) *drawing {
	u := b.Units
	d := &drawing{w: st.w}
	// a short day keeps columns of a readable width, at the left
	cw := math.Min((st.w-st.label)/float64(columns), st.w/5)
	right := st.label + cw*float64(len(hours))
	mid := func(i int) float64 { return st.label + cw*(float64(i)+0.5) }
	name := letter{size: st.size, bold: true}
	unit := letter{size: st.small, ink: grey}
	fig := letter{size: st.small + 0.5, anchor: middle}
	strong := letter{size: st.size, bold: true, anchor: middle}
	rule := func(y float64) { d.line(0, y, right, y, hairPen) }

	y := st.size + 2
	d.say(0, y, "hour", unit)
	for i, h := range hours {
		d.say(mid(i), y, strconv.Itoa(h.At.Hour()), strong)
	}
	y += 7
	d.line(0, y, right, y, pen{ink: black, width: 2})

	// wind: an arrow down the page when the wind is the lake picture's, turned when it is not
	arrow := st.arrow
	d.say(0, y+24, "wind", name)
	d.say(0, y+24+st.small*1.25, u.WindUnit(), unit)
	for i, h := range hours {
		if finite(h.Wind) && finite(float64(h.WindFrom)) && !h.Shifting {
			turn := quantity.Turn(quantity.Bearing(b.Lake.WindFrom), quantity.Bearing(h.WindFrom))
			// 8 px and 1.5 px a mph
			windArrow(d, mid(i), y+6+arrow/2, math.Min(arrow, 8+1.5*h.Wind/0.44704), turn, math.Min(5, cw/5))
		}
	}
	y += 6 + arrow + st.size + 2
	for i, h := range hours {
		d.say(mid(i), y, figure(h.Wind, u.WindFigure), strong)
	}
	if st.compass {
		y += st.small + 3
		d.say(0, y, "from", unit)
		for i, h := range hours {
			d.say(mid(i), y, windFrom(h), letter{size: st.small - 1, anchor: middle, ink: grey})
		}
	}
	y += st.small + 6
	d.say(0, y, "gusts", unit)
	for i, h := range hours {
		l := fig
		l.ink = grey
		if h.GustLimit {
			d.rect(mid(i)-cw/2+1, y-st.small-1.5, cw-2, st.small+7, mind, pen{ink: black, width: 1.2})
			l.ink, l.bold = onMind, true
		}
		d.say(mid(i), y, figure(h.Gust, u.WindFigure), l)
	}
	y += 9
	rule(y)

	d.say(0, y+st.size+3, "chop", name)
	d.say(0, y+st.size*2+4, u.WaveUnit(), unit)
	for i, h := range hours {
		height := 1.7 * waveHeight(h.Wave)
		if finite(h.Wave) {
			d.stroke(ripple(mid(i)-cw/2+1.5, mid(i)+cw/2-1.5, y+13, height, math.Min(cw-3, 26)), pen{ink: black, width: 1.7})
		}
		d.say(mid(i), y+st.size*2+4, figure(h.Wave, u.WaveFigure), fig)
	}
	y += st.size*2 + 11
	rule(y)

	d.say(0, y+st.size+4, "light", name)
	for i, h := range hours {
		if finite(h.Light) {
			t := math.Max(1, st.bar*math.Min(1, math.Max(0, h.Light)))
			d.rect(mid(i)-8, y+st.bar+6-t, 16, t, none, pen{ink: black, width: 1.5})
		}
	}
	y += st.bar + 11
	rule(y)

	d.say(0, y+st.size+3, "drift", name)
	if st.label > 80 {
		d.say(textWidth("drift ", st.size, true), y+st.size+3, u.DriftUnit(), unit)
	} else {
		d.say(0, y+st.size*2+4, u.DriftUnit(), unit)
	}
	for i, h := range hours {
		d.say(mid(i), y+st.size+3, figure(h.Drift, u.DriftFigure), fig)
	}
	y += st.size + 9
	// the hours with the drogue set, one bar each run
	said := false
	for i := 0; i < len(hours); i++ {
		j := i
		for j < len(hours) && hours[j].Drogue {
			j++
		}
		if j > i {
			d.rect(mid(i)-cw/2+2, y, cw*float64(j-i)-4, 4, black, noPen)
			if !said {
				words := "drogue set"
				x := math.Min(mid(i)-cw/2+2, right-textWidth(words, st.small, false))
				d.say(x, y+st.small+5, words, unit)
				said = true
			}
			i = j
		}
	}
	if !said {
		d.say(st.label+2, y+st.small+1, "no drogue", unit)
	}
	y += st.small + 11
	rule(y)

	y = depthRow(d, b, hours, st, y, cw, mid)
	d.h = y + 4
	return d
}

// paperStrip is the hour strip for paper, its rows as close as they can be read:
// arrow and figure stand side by side. A day of many hours shows every second or
// third of them; the page and the text have them all.
func paperStrip(b brief.Brief) *drawing {
	const w, label, size, most = wide, 70.0, foot, 15
	u := b.Units
	d := &drawing{w: w}
	var hours []brief.Hour
	each := (len(b.Hours) + most - 1) / most
	for i := 0; i < len(b.Hours); i += each {
		hours = append(hours, b.Hours[i])
	}
	if len(hours) == 0 {
		d.h = size * 2
		d.say(0, size*1.3, "No hours in this plan.", letter{size: size})
		return d
	}
	cw := math.Min((w-label)/float64(len(hours)), w/7)
	right := label + cw*float64(len(hours))
	mid := func(i int) float64 { return label + cw*(float64(i)+0.5) }
	name, plain := letter{size: size, bold: true}, letter{size: size, ink: grey}
	fig, strong := letter{size: size, anchor: middle}, letter{size: body, bold: true, anchor: middle}
	head := func(y float64, bold, unit string) {
		d.say(0, y, bold, name)
		d.say(textWidth(bold+" ", size, true), y, unit, plain)
	}
	y := body
	d.say(0, y, "hour", plain)
	for i, h := range hours {
		d.say(mid(i), y, strconv.Itoa(h.At.Hour()), strong)
	}
	y += 4.5
	d.line(0, y, right, y, pen{ink: black, width: 1.8})

	// wind: an arrow down the page when the wind is the lake picture's, turned when it is not
	head(y+17, "wind", u.WindUnit())
	for i, h := range hours {
		at := mid(i)
		if finite(h.Wind) && finite(float64(h.WindFrom)) && !h.Shifting {
			turn := quantity.Turn(quantity.Bearing(b.Lake.WindFrom), quantity.Bearing(h.WindFrom))
			windArrow(d, at-9, y+12.5, math.Min(20, 8+0.9*h.Wind/0.44704), turn, 4)
			at += 9
		}
		d.say(at, y+17, figure(h.Wind, u.WindFigure), strong)
	}
	y += 23
	d.say(0, y+11, "from", plain)
	for i, h := range hours {
		d.say(mid(i), y+11, windFrom(h), letter{size: size, anchor: middle, ink: grey})
	}
	y += 15
	d.say(0, y+11, "gusts", plain)
	for i, h := range hours {
		l := fig
		if h.GustLimit {
			d.rect(mid(i)-cw/2+1.5, y-0.5, cw-3, 14, paper, pen{ink: black, width: 1.6})
			l.bold = true
		}
		d.say(mid(i), y+11, figure(h.Gust, u.WindFigure), l)
	}
	y += 16
	d.line(0, y, right, y, hairPen)

	head(y+13, "chop", u.WaveUnit())
	for i, h := range hours {
		if finite(h.Wave) {
			d.stroke(ripple(mid(i)-cw/2+2, mid(i)-1, y+9, 1.4*waveHeight(h.Wave), 11), pen{ink: black, width: 1.5})
		}
		d.say(mid(i)+cw/4, y+13, figure(h.Wave, u.WaveFigure), fig)
	}
	y += 18
	d.line(0, y, right, y, hairPen)

	d.say(0, y+13, "light", name)
	for i, h := range hours {
		if finite(h.Light) {
			t := math.Max(1, 12*math.Min(1, math.Max(0, h.Light)))
			d.rect(mid(i)-8, y+15-t, 16, t, none, pen{ink: black, width: 1.4})
		}
	}
	y += 18
	d.line(0, y, right, y, hairPen)

	head(y+13, "drift", u.DriftUnit())
	for i, h := range hours {
		d.say(mid(i), y+13, figure(h.Drift, u.DriftFigure), fig)
	}
	y += 17
	set := false
	for i, h := range hours {
		if h.Drogue {
			set = true
			x0, x1 := mid(i)-cw/2, mid(i)+cw/2
			if i == 0 || !hours[i-1].Drogue {
				x0 += 2
			}
			if i == len(hours)-1 || !hours[i+1].Drogue {
				x1 -= 2
			}
			d.rect(x0, y+4, x1-x0, 4, black, noPen)
		}
	}
	d.say(0, y+10, map[bool]string{true: "drogue set", false: "no drogue"}[set], plain)
	y += 14
	d.line(0, y, right, y, hairPen)
	st := stripStyle{w: w, label: label, size: size, small: size, band: size, ruling: 30, abreast: true}
	d.h = depthRow(d, b, hours, st, y, cw, mid) + 1
	return d
}

// depthRow is the ruling of each hour, with the figures of their depth.
func depthRow(d *drawing, b brief.Brief, hours []brief.Hour, st stripStyle, y, cw float64, mid func(int) float64) float64 {
	u := b.Units
	deep := 0.0
	for _, h := range b.Hours {
		deep = math.Max(deep, beliefDepth(h.Belief, h.LayerDepth))
		for _, bd := range h.Bands {
			if finite(bd.Bottom) {
				deep = math.Max(deep, bd.Bottom+0.2)
			}
		}
	}
	lines := 0
	for _, h := range hours {
		lines = max(lines, len(h.Bands))
	}
	d.say(0, y+st.size+5, "their", letter{size: st.size, bold: true})
	d.say(0, y+st.size*2.15+5, "depth", letter{size: st.size, bold: true})
	d.say(0, y+st.size*3.3+5, u.DepthUnit(), letter{size: st.small, ink: grey})
	if deep > 0 {
		for i, h := range hours {
			s := side{d: d, x0: mid(i) - cw/2 + 1, x1: mid(i) + cw/2 - 1, y0: y + 6, y1: y + 6 + st.ruling, span: 1, deep: deep, u: u}
			s.ruling(h.Belief, h.LayerDepth, 3)
			for _, bd := range h.Bands {
				for _, depth := range []float64{bd.Top, bd.Bottom} {
					if finite(depth) {
						d.line(s.x0, s.y(depth), s.x1, s.y(depth), pen{ink: black, width: 2.2})
					}
				}
			}
		}
	}
	y += 6 + st.ruling
	strong := letter{size: st.band, bold: true, anchor: middle}
	pitch := st.band * 1.22
	high := 0.0
	abreast := st.abreast // all of them, or none
	for _, h := range hours {
		for _, bd := range h.Bands {
			both := figure(bd.Top, u.DepthFigure) + "–" + figure(bd.Bottom, u.DepthFigure)
			abreast = abreast && textWidth(both, st.band, true) < cw-2
		}
	}
	for i, h := range hours {
		at := y + st.band + 4
		if len(h.Bands) == 0 {
			d.say(mid(i), at, "–", strong)
			high = math.Max(high, at)
		}
		for k, bd := range h.Bands {
			if k > 0 && !abreast {
				at += 4
			}
			top, bottom := figure(bd.Top, u.DepthFigure), figure(bd.Bottom, u.DepthFigure)
			if abreast {
				d.say(mid(i), at, top+"–"+bottom, strong)
				at += pitch
			} else {
				d.say(mid(i), at, top, strong)
				d.say(mid(i), at+pitch, bottom, strong)
				at += 2 * pitch
			}
			high = math.Max(high, at-pitch)
		}
	}
	return math.Max(high, y+st.band+4) + 3
}

// figure is a figure for a narrow column: a dash where nobody knows.
func figure(v float64, say func(float64) string) string {
	if !finite(v) {
		return "–"
	}
	return say(v)
}

// windArrow points down the page, turned clockwise by turn: the way the air goes.
func windArrow(d *drawing, x, y, length, turn, head float64) {
	s, c := math.Sincos(turn)
	at := func(along, across float64) pt { return pt{x + across*c - along*s, y + across*s + along*c} }
	p := pen{ink: black, width: 2}
	d.stroke([]pt{at(-length/2, 0), at(length/2, 0)}, p)
	d.stroke([]pt{at(length/2-head, -head*0.85), at(length/2, 0), at(length/2-head, head*0.85)}, p)
}
