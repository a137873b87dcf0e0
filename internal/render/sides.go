package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"windlane/brief"
)

// The print: A5 sides at 96 px to the inch. Each side is one drawing, so that the
// page's print and the PDF are the same. Two sides for a usual day (more where a
// long day does not fit), then the tick sheet for the back. No letter under 9 pt.

const (
	sideW, sideH = 148 / 25.4 * 96, 210 / 25.4 * 96
	margin       = 38.0
	wide         = sideW - 2*margin
	body, foot   = 13.0, 12.0 // 9.75 and 9 pt
)

// sheet lays blocks one under the other, on as many sides as they take.
type sheet struct {
	sides []*drawing
	y     float64
	more  string // the heading of a side that goes on
}

func (s *sheet) turn(heading string) {
	d := &drawing{w: sideW, h: sideH}
	d.say(margin, margin+14, shorten(settable(heading), wide-40, 20, true), letter{size: 20, bold: true})
	d.say(margin+wide, margin+14, strconv.Itoa(len(s.sides)+1), letter{size: 19, anchor: end})
	d.line(margin, margin+24, margin+wide, margin+24, pen{ink: black, width: 2.6})
	s.sides = append(s.sides, d)
	s.y = margin + 34
}

func (s *sheet) side() *drawing { return s.sides[len(s.sides)-1] }

// left is the height that is free on this side. [px]
func (s *sheet) left() float64 { return sideH - 30 - s.y }

// put places a block, on a new side where it does not fit.
func (s *sheet) put(block *drawing, gap float64) {
	if block == nil || block.h <= 0 {
		return
	}
	if block.h > s.left() && s.y > margin+40 {
		s.turn(s.more)
	}
	s.side().place(margin, s.y, block)
	s.y += block.h + gap
}

// printSides are the sides of the day's print in their order: three (the last the
// tick sheet) where the day is short enough, else four and more, with the lake
// larger and a card for each drift. The side view of the cast gives way a little
// where that saves a side.
func printSides(b brief.Brief) []*drawing {
	fewest := func(long bool) []*drawing {
		var best []*drawing
		for _, h := range []float64{264, 236, 212, 190} {
			style := castPrint
			style.h = h
			if sides := sidesWith(b, style, long); best == nil || len(sides) < len(best) {
				best = sides
			}
			if len(best) <= 3 {
				break
			}
		}
		return best
	}
	short := fewest(false)
	if len(short) <= 3 {
		return short
	}
	if long := fewest(true); len(long) <= len(short) {
		return long
	}
	return short
}

func sidesWith(b brief.Brief, style castStyle, long bool) []*drawing {
	s := &sheet{more: title(b) + ", more"}
	s.turn(title(b))
	s.put(paragraph(wide, body, "", b.Headline), 6)
	now, mind, notes := cautions(b)
	for _, c := range now {
		s.put(cautionBlock(brief.Now, []brief.Caution{c}), 5)
	}
	if len(mind) > 2 { // what to mind stands in the box, how to among the notes
		for i, c := range mind {
			if first := firstSentence(c.Text); first != c.Text {
				notes = append(notes, c)
				mind[i].Text = first
			}
		}
	}
	if len(mind) > 0 {
		s.put(cautionBlock(brief.Mind, mind), 5)
	}
	s.y += 2
	s.put(hourStrip(b, stripPrint), 8)
	var rest *drawing
	if long {
		s.wholeLake(b)
		s.turn("Drifts")
		for _, row := range driftCards(b, s.left()) {
			s.put(row, 6)
		}
		s.put(paragraph(wide, body, b.Turn, ""), 8)
	} else {
		rest = s.lakeAndDrifts(b)
	}

	if len(b.SetUps) > 0 {
		s.turn(deskHeading(b))
	}
	s.put(rest, 8)
	for i, su := range b.SetUps {
		if i == 0 {
			s.put(setUpLead(b, su), 2)
			s.put(castSide(b, su, style), 2)
			s.put(paragraph(wide, foot, "", aside(b, su)+" "+checksAloud(su)), 8)
			continue
		}
		lead := su.Name
		if su.When != "" {
			lead += ", " + su.When
		}
		s.put(paragraph(wide, foot, lead+".", tell(b, su)+" "+whole(su.In)+" s of "+whole(su.Cycle)+" at their depth."), 4)
	}
	s.put(choiceBlock(b), 8)
	if !long {
		s.put(driftSides(b), 6)
	}
	s.put(foots(b), 4)
	s.more = "Before you leave"
	for i, n := range notes {
		lead := ""
		if i == 0 {
			lead = "Before you leave."
		}
		s.put(paragraph(wide, foot, lead, sentence(n.Text)), 2)
	}
	kit := paragraph(wide, foot, "Take:", sentence(strings.Join(b.Kit, "; ")))
	if len(b.Kit) == 0 {
		kit.h = 0
	}
	if kit.h <= s.left() { // else at the foot of the tick sheet
		s.put(kit, 0)
		kit.h = 0
	}
	s.sides = append(s.sides, tickSheet(b, len(s.sides)+1, kit))
	return s.sides
}

func deskHeading(b brief.Brief) string {
	if b.SetUps[0].Count > 0 {
		return "Depth, count, hang"
	}
	return "Depth and way"
}

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
	pitch := size * 1.23
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
func cautionBlock(level brief.Level, cs []brief.Caution) *drawing {
	const bar = 20.0
	size := body
	if len(cs) > 2 {
		size = foot
	}
	d := &drawing{w: wide}
	fill, ink := paper, black
	if level == brief.Now {
		fill, ink = black, paper
	}
	words := &drawing{w: wide}
	y := 5.0
	for _, c := range cs {
		// the first sentence is what to mind, the rest how
		lead, rest := c.Text, ""
		if level != brief.Now {
			lead = firstSentence(c.Text)
			rest = c.Text[len(lead):]
		}
		y = words.flow(bar+11, y, wide-bar-20, size, ink, lead, rest) + 1
	}
	d.h = y + 5
	d.rect(1, 1, wide-2, d.h-2, fill, pen{ink: black, width: 2})
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

// lakeAndDrifts fills the rest of the first side: the lake at the left, the drifts
// in words at the right, as fully as they fit. What does not fit is given back.
func (s *sheet) lakeAndDrifts(b brief.Brief) *drawing {
	if s.left() < 210 {
		s.turn(s.more)
	}
	room := s.left()
	lw := lakeWidth(b, room)
	lake := lakePicture(b, lakeStyle{w: lw, high: room, label: 12.5, tab: 21})
	s.side().place(margin, s.y, lake)
	x, w := margin+lw+13, wide-lw-13
	turn := paragraph(w, body, b.Turn, "")
	if len(b.Drifts) == 0 {
		turn = paragraph(w, body, "No drift today. "+b.Turn, "")
	}
	// each drift as fully as all of them fit, the first ones first
	detail := make([]int, len(b.Drifts))
	height := func() float64 {
		sum := turn.h + 4
		for i, dr := range b.Drifts {
			sum += driftWords(b, dr, w, detail[i]).h + 4
		}
		return sum
	}
	for level := 1; level <= 3; level++ {
		for i := range detail {
			if detail[i] != level-1 {
				continue
			}
			if detail[i] = level; height() > room {
				detail[i] = level - 1
			}
		}
	}
	d := &drawing{w: w}
	n, y := 0, 0.0
	for ; n < len(b.Drifts); n++ {
		block := driftWords(b, b.Drifts[n], w, detail[n])
		if y+block.h > room {
			break
		}
		d.place(0, y, block)
		y += block.h + 4
	}
	var over *drawing
	if n == len(b.Drifts) && y+4+turn.h <= room {
		d.line(0, y+1, w, y+1, hairPen)
		d.place(0, y+4, turn)
	} else {
		over = &drawing{w: wide}
		for _, dr := range b.Drifts[n:] {
			block := driftWords(b, dr, wide, 1)
			over.place(0, over.h, block)
			over.h += block.h + 4
		}
		rest := paragraph(wide, body, b.Turn, "")
		over.place(0, over.h, rest)
		over.h += rest.h
	}
	s.side().place(x, s.y, d)
	s.y += math.Max(lake.h, room) + 4
	return over
}

// wholeLake gives the lake what is left of a side.
func (s *sheet) wholeLake(b brief.Brief) {
	if s.left() < 190 {
		s.turn(s.more)
	}
	s.put(lakePicture(b, lakeStyle{w: wide, high: s.left() - 1, label: 12.5, tab: 21, tight: s.left() < 330}), 0)
}

// driftCards are the drifts two abreast, each its words over its side view, as
// fully as they fit the room together; said in short where they do not.
func driftCards(b brief.Brief, room float64) []*drawing {
	const gap = 18.0
	cw := (wide - gap) / 2
	turn := paragraph(wide, body, b.Turn, "")
	var rows []*drawing
	for _, try := range []struct {
		detail int
		view   float64
	}{{3, 84}, {2, 80}, {1, 76}, {1, 64}} {
		rows = nil
		sum := turn.h
		for i, dr := range b.Drifts {
			if i%2 == 0 {
				rows = append(rows, &drawing{w: wide})
			}
			row, x := rows[len(rows)-1], float64(i%2)*(cw+gap)
			words := driftWords(b, dr, cw, try.detail)
			row.place(x, 0, words)
			row.place(x, words.h+1, driftSide(b, dr, cw, try.view, 12))
			row.h = math.Max(row.h, words.h+try.view+1)
		}
		for _, r := range rows {
			sum += r.h + 6
		}
		if sum <= room {
			break
		}
	}
	return rows
}

// lakeWidth gives a tall lake less width, and the words beside it more. [px]
func lakeWidth(b brief.Brief, high float64) float64 {
	t := turnedBy(b.Lake.WindFrom)
	low, far := lakeBox(b.Lake, t, b.Drifts)
	if !(far.y > low.y) || !(far.x > low.x) {
		return 200
	}
	return math.Max(190, math.Min(285, (high-75)*(far.x-low.x)/(far.y-low.y)+50))
}

// driftWords is one drift in words: its number, hour and end; from 1 on where to
// start, from 2 on what it passes, from 3 on why.
func driftWords(b brief.Brief, dr brief.Drift, w float64, detail int) *drawing {
	d := &drawing{w: w}
	d.line(0, 0.5, w, 0.5, hairPen)
	number := strconv.Itoa(dr.Number)
	tab := math.Max(19, textWidth(number, 14, true)+9)
	d.rect(0, 5, tab, 19, black, noPen)
	d.say(tab/2, 19.5, number, letter{size: 14, bold: true, anchor: middle, ink: paper})
	d.say(tab+7, 19.5, shorten(clock(dr.Start)+", "+whole(dr.Minutes)+" min, "+known(dr.Length, b.Units.Distance), w-tab-7, body, true), letter{size: body, bold: true})
	var parts []string
	if detail >= 1 && dr.StartAt != "" {
		parts = append(parts, sentence("Start "+dr.StartAt))
	}
	end := dr.End
	if detail >= 2 {
		for _, p := range dr.Passes {
			parts = append(parts, capital(minutes(p))+" "+sentence(p.What))
		}
		parts = append(parts, map[bool]string{true: "Drogue set.", false: "No drogue."}[dr.Drogue])
		if dr.Motor >= 0.5 {
			parts = append(parts, "Motor "+whole(dr.Motor)+" min.")
		}
	} else {
		end = firstSentence(end)
	}
	if detail >= 3 {
		parts = append(parts, sentence(dr.Why))
	}
	y := 27.0
	if len(parts) > 0 {
		y = d.flow(0, y, w, foot, black, "", strings.Join(parts, " "))
	}
	if end != "" {
		y = d.flow(0, y, w, foot, black, sentence(end), "")
	}
	d.h = y + 2
	return d
}

// setUpLead says what is in hand, over the side view.
func setUpLead(b brief.Brief, su brief.SetUp) *drawing {
	d := &drawing{w: wide}
	lead := su.Name
	if su.When != "" {
		lead += ": " + su.When
	}
	d.h = d.flow(0, 0, wide, 15, black, lead+".", tell(b, su))
	d.h = d.flow(0, d.h, wide, foot, black, "", sentence(strings.Join(filled(su.Line, su.Leader), "; "))+" "+leaderWords(b, su))
	return d
}

func checksAloud(su brief.SetUp) string {
	var out []string
	for _, c := range su.Checks {
		if c.Level != "good" {
			out = append(out, capital(c.Level)+": "+sentence(c.Text))
		}
	}
	return strings.Join(out, " ")
}

// choiceBlock is the table of what else reaches them. The commonest retrieve is
// said once, over the table.
func choiceBlock(b brief.Brief) *drawing {
	v := choicesView(b)
	if len(v.Rows) == 0 {
		return nil
	}
	common := commonRetrieve(b.Choices)
	d := &drawing{w: wide}
	v.Rows = v.Rows[:min(len(v.Rows), 6)] // the page and the text have them all
	whenW := 0.0
	for _, r := range v.Rows {
		if r.When != "" {
			whenW = 126
		}
	}
	x := wide - whenW
	heads := []struct {
		words string
		x     float64
		a     anchor
	}{{"Line, fly", 0, start}, {"Count", x - 164, end}, {"At count", x - 108, end}, {"Deepest", x - 56, end}, {"s there", x - 8, end}, {"When", x + 5, start}}
	if whenW == 0 {
		heads = heads[:5]
	}
	y := 0.0
	if common != "" {
		y = d.flow(0, 0, wide, foot, grey, "", capital(common)+", unless another retrieve is said. Depths in "+v.Depth+".")
	}
	for _, h := range heads {
		d.say(h.x, y+12, h.words, letter{size: foot, ink: grey, anchor: h.a})
	}
	y += 17
	d.line(0, y, wide, y, pen{ink: black, width: 1.6})
	for i, r := range v.Rows {
		l := letter{size: body, bold: r.First}
		c := b.Choices[i]
		if c.Retrieve == common {
			c.Retrieve = ""
		}
		lines := wrap(settable(strings.Join(filled(c.Line, c.Retrieve, c.Fly), ", ")), x-200, body, r.First)
		when := wrap(settable(r.When), whenW-5, body, r.First)
		n := max(len(lines), len(when), 1)
		for k := range n {
			at := y + 14.5 + float64(k)*body*1.2
			if k < len(lines) {
				d.say(0, at, lines[k], l)
			}
			if k < len(when) {
				d.say(x+5, at, when[k], l)
			}
		}
		for i, c := range []string{r.Count, r.AtCount, r.Deepest, r.In} {
			e := l
			e.anchor = end
			d.say(heads[i+1].x, y+14.5, c, e)
		}
		y += 19 + float64(n-1)*body*1.2
		d.line(0, y, wide, y, hairPen)
	}
	d.h = y + 2
	return d
}

// commonRetrieve is the retrieve of most choices; empty where none is said twice.
func commonRetrieve(cs []brief.Choice) string {
	best, most := "", 1
	for _, c := range cs {
		n := 0
		for _, o := range cs {
			if o.Retrieve == c.Retrieve {
				n++
			}
		}
		if n > most && c.Retrieve != "" {
			best, most = c.Retrieve, n
		}
	}
	return best
}

// driftSides are the side views, three to a row.
func driftSides(b brief.Brief) *drawing {
	if len(b.Drifts) == 0 {
		return nil
	}
	d := &drawing{w: wide}
	const each, gap, tall = 152.0, 13.5, 84.0
	for i, dr := range b.Drifts {
		x, y := float64(i%3)*(each+gap), float64(i/3)*(tall+8)
		d.place(x, y, driftSide(b, dr, each, tall, 12))
		number := strconv.Itoa(dr.Number)
		tab := math.Max(16, textWidth(number, 12, true)+6)
		d.rect(x, y+tall-16, tab, 16, black, noPen)
		d.say(x+tab/2, y+tall-3.6, number, letter{size: 12, bold: true, anchor: middle, ink: paper})
		d.h = y + tall
	}
	return d
}

// foots are, under a rule, what to hold to through the day and what is not
// known, in two columns of about one height.
func foots(b brief.Brief) *drawing {
	var all [][2]string // lead and words
	for _, s := range b.Touch {
		lead, rest, found := strings.Cut(s, ":")
		if found && len(lead) < 24 {
			all = append(all, [2]string{lead + ":", rest})
		} else {
			all = append(all, [2]string{"", s})
		}
	}
	for i, n := range b.NotKnown {
		lead := ""
		if i == 0 {
			lead = "Not known:"
			n = lowered(n) + "."
		}
		all = append(all, [2]string{lead, n})
	}
	if len(all) == 0 {
		return nil
	}
	const gap = 18.0
	cw := (wide - gap) / 2
	heights, sum := make([]float64, len(all)), 0.0
	for i, a := range all {
		probe := &drawing{}
		heights[i] = probe.flow(0, 0, cw, foot, black, a[0], a[1]) + 2
		sum += heights[i]
	}
	d := &drawing{w: wide}
	d.line(0, 1, wide, 1, pen{ink: black, width: 1.8})
	x, y, run := 0.0, 5.0, 0.0
	for i, a := range all {
		if x == 0 && i > 0 && run+heights[i]/2 > sum/2 {
			x, y = cw+gap, 5
		}
		run += heights[i]
		y = d.flow(x, y, cw, foot, black, a[0], a[1]) + 2
		d.h = math.Max(d.h, y)
	}
	return d
}

// sideTitle names a side to a screen reader.
func sideTitle(i, n int) string {
	if i == n-1 {
		return fmt.Sprintf("Side %d of %d: tick sheet, a row each quarter of an hour", i+1, n)
	}
	return fmt.Sprintf("Side %d of %d of the day plan's print", i+1, n)
}
