package render

import (
	"math"
	"time"

	"windlane/brief"
)

// tickSheet is for those who leave the phone ashore: a row each quarter of an
// hour, a column for each of the five places in the cast. At its foot stands what the
// second side had no room for.
func tickSheet(b brief.Brief, number int, back *drawing) *drawing {
	d, y := sheet("Tick sheet, "+title(b), number)
	y = d.flow(margin, y, wide, foot, black, "", "One stroke for each offer, under the place in the cast where it came: the kind's letter in its stead where you know it. Row left empty: fished, nothing came. Not fishing: strike the row out.")
	y += 4
	// the five kinds and their marks
	x := margin
	for i, k := range []string{"follow F", "pluck P", "missed M", "lost L", "landed N"} {
		kindMark(d, x+8, y+8, i)
		d.say(x+22, y+13, k, letter{size: body})
		x += wide / 5
	}
	y += 26

	quarters := ticks(b.From, b.Until)
	halves := 1
	if len(quarters) > 37 || (footY-y-55-back.h)/float64(len(quarters)) < 15.5 {
		halves = 2
	}
	per := (len(quarters) + halves - 1) / halves
	colW := (wide - 20*float64(halves-1)) / float64(halves)
	row := math.Min(30, (footY-y-55-back.h)/float64(per))
	d.place(margin, footY-back.h, back)
	for h := range halves {
		part := quarters[min(len(quarters), h*per):min(len(quarters), (h+1)*per)]
		tickColumn(d, margin+float64(h)*(colW+20), y, colW, row, part, halves == 1)
	}
	return d
}

// ticks are the quarters of an hour from one time to another, at most a day's.
func ticks(from, until time.Time) []time.Time {
	var out []time.Time
	for t := from.Truncate(15 * time.Minute); t.Before(until) && len(out) < 96; t = t.Add(15 * time.Minute) {
		out = append(out, t)
	}
	if len(out) == 0 {
		out = append(out, from)
	}
	return out
}

var places = [...]string{"drop", "early", "middle", "late", "hang"}

func tickColumn(d *drawing, x, y, w, row float64, quarters []time.Time, roomy bool) {
	const clockW = 40.0
	extra := 0.0
	if roomy {
		extra = 110 // for the drift, the rod, what was seen
	}
	each := (w - clockW - extra) / 5
	gx := x + clockW + extra
	// a cast, over its five places: down, along, up
	var way []pt
	for i := 0; i <= 60; i++ {
		f := float64(i) / 60
		depth := 1.0
		switch {
		case f < 0.2:
			depth = math.Sin(f / 0.2 * math.Pi / 2)
		case f > 0.86:
			depth = 1 - (f-0.86)/0.14
		}
		way = append(way, pt{gx + f*5*each, y + 6 + 22*depth})
	}
	d.stroke(ripple(gx, gx+5*each, y+6, 1.8, 13), pen{ink: black, width: 1.3})
	d.stroke(way, pen{ink: black, width: 2.2})
	d.hull(gx+5*each-12, y+5, 24)
	y += 32
	for i, p := range places {
		d.say(gx+(float64(i)+0.5)*each, y+14, p, letter{size: foot, bold: true, anchor: middle})
	}
	if roomy {
		d.say(x+clockW+4, y+14, "drift, rod", letter{size: foot, ink: grey})
	}
	y += 19
	d.line(x, y, x+w, y, pen{ink: black, width: 1.8})
	top := y
	for i, t := range quarters {
		l := letter{size: foot}
		if t.Minute() == 0 || i == 0 {
			l.bold = true
		}
		d.say(x, y+row/2+4.5, clock(t), l)
		y += row
		p := hairPen
		if t.Add(15*time.Minute).Minute() == 0 {
			p = pen{ink: black, width: 1.2}
		}
		d.line(x, y, x+w, y, p)
	}
	for i := range 6 {
		d.line(gx+float64(i)*each, top, gx+float64(i)*each, y, hairPen)
	}
	if roomy {
		d.line(x+clockW, top, x+clockW, y, hairPen)
	}
}

// kindMark draws what a fish did: the upper stroke is the fly's way, what hangs
// under it is the fish; ink grows towards the net.
func kindMark(d *drawing, x, y float64, kind int) {
	p := pen{ink: black, width: 1.8}
	top := y - 6
	switch kind {
	case 0: // follow: a curve that rises and stays clear
		d.line(x-7, top, x+7, top, p)
		d.stroke([]pt{{x - 6, y + 6}, {x - 1, y + 4.5}, {x + 3, y + 1.5}, {x + 6, y - 2.5}}, p)
	case 1: // pluck: an upright that touches
		d.line(x-7, top, x+7, top, p)
		d.line(x, top, x, y+6, p)
	case 2: // missed: an open ring
		d.line(x-7, top, x+7, top, p)
		d.circle(x, y+1.5, 4, none, p)
	case 3: // lost: a broken stroke, a half-filled ring
		d.line(x-7, top, x+1, top, p)
		d.line(x+4, top, x+7, top, p)
		d.circle(x, y+1.5, 4, none, p)
		var half []pt
		for i := 0; i <= 12; i++ {
			a := math.Pi/2 + math.Pi*float64(i)/12
			half = append(half, pt{x + 4*math.Cos(a), y + 1.5 + 4*math.Sin(a)})
		}
		d.shape(half, black, noPen)
	case 4: // landed: a full disc, a bar below
		d.line(x-7, top, x+7, top, p)
		d.circle(x, y+0.5, 4, black, p)
		d.line(x-7, y+8, x+7, y+8, p)
	}
}
