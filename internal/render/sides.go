package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"windlane/brief"
)

// The print: A5 sides at 96 px to the inch, no letter under 9 pt. Each side is one
// drawing, so that the page's print and the PDF are the same. Every day takes three:
// where and when; what and how; the tick sheet for the back of the second. A long
// day is said more shortly, the least needed afloat first, and the foot of the
// third side says what stands on the page instead. What is never left out: the
// cautions, and each drift's hour, place, drogue, passes and where to lift.

const (
	sideW, sideH = 148 / 25.4 * 96, 210 / 25.4 * 96
	margin       = 24.0 // 6.3 mm
	wide         = sideW - 2*margin
	footY        = sideH - 24.0 // the foot of a side
	body, foot   = 13.0, 12.0   // 9.75 and 9 pt
)

// printSides are the three sides of a day's print.
func printSides(b brief.Brief) []*drawing {
	first, left := whereAndWhen(b)
	second, back := whatAndHow(b, left)
	return []*drawing{first, second, tickSheet(b, 3, back)}
}

// sheet is a side with its heading; it gives where its first block stands.
func sheet(heading string, number int) (d *drawing, y float64) {
	d = &drawing{w: sideW, h: sideH}
	d.say(margin, margin+12, shorten(settable(heading), wide-40, 18, true), letter{size: 18, bold: true})
	d.say(margin+wide, margin+12, strconv.Itoa(number), letter{size: 17, anchor: end})
	d.line(margin, margin+19, margin+wide, margin+19, pen{ink: black, width: 2.4})
	return d, margin + 25
}

// handed is what the first side leaves to the second.
type handed struct {
	mind   []brief.Caution // what there was no room for
	passes bool            // what each drift goes by
}

// whereAndWhen is the first side: what is gravest, the hours, the lake, the drifts.
func whereAndWhen(b brief.Brief) (*drawing, handed) {
	d, y := sheet(title(b), 1)
	put := func(block *drawing, gap float64) {
		d.place(margin, y, block)
		y += block.h + gap
	}
	put(paragraph(wide, body, "", b.Headline), 2)
	put(paragraph(wide, foot, "", b.Aim), 2)
	put(paragraph(wide, foot, "", b.First), 3)
	now, mind, _ := cautions(b)
	for _, c := range now {
		put(cautionBlock(wide, brief.Now, []brief.Caution{c}), 4)
	}
	if len(mind) > 0 { // whole where that takes two lines
		gravest := cautionBlock(wide, brief.Mind, mind[:1])
		if gravest.h > 2*foot*linePitch+10 {
			gravest = cautionBlock(wide, brief.Mind, headlines(mind[:1]))
		}
		put(gravest, 4)
		mind = mind[1:]
	}
	put(paperStrip(b), 5)

	// the drifts stand at the foot, as fully as the lake over them stays large enough
	var rows *drawing
	left := handed{}
	for _, try := range []struct {
		detail, lines int
		lake          float64
	}{{2, 0, 330}, {1, 0, 225}, {0, 0, 215}, {0, 2, 190}, {0, 1, 0}} {
		rows = driftRows(b, try.detail, try.lines)
		left.passes = try.detail == 0 && len(b.Drifts) > 0
		if footY-y-rows.h-6 >= try.lake {
			break
		}
	}
	// the lake at the left with what to mind beside it, or over the whole width
	room := footY - y - rows.h - 6
	const gap, least = 12.0, 150.0
	turn := paragraph(wide, body, turnWords(b), "")
	w := lakeWidth(b, room)
	if narrow := math.Min(w, wide-gap-least); lakeWidth(b, room-turn.h-4) < 1.15*narrow {
		w = narrow
	} else {
		put(turn, 4)
		w, room = wide, room-turn.h-4
	}
	lake := lakePicture(b, lakeStyle{w: w, high: room, label: foot, tab: 17, tight: true})
	d.place(margin, y, lake)
	if beside := wide - w - gap; beside > 0 {
		turn = paragraph(beside, body, turnWords(b), "")
		d.place(margin+w+gap, y, turn)
		at := turn.h + 6
		tries := [][]brief.Caution{mind} // all of them whole, else as many as go by their headlines
		for n := len(mind); n > 0; n-- {
			tries = append(tries, headlines(mind[:n]))
		}
		for _, some := range tries {
			if block := cautionBlock(beside, brief.Mind, some); len(some) > 0 && at+block.h <= room {
				d.place(margin+w+gap, y+at, block)
				lake.h = math.Max(lake.h, at+block.h)
				mind = mind[len(some):]
				break
			}
		}
	}
	left.mind = mind
	y += lake.h + 6
	d.place(margin, y, rows)
	return d, left
}

func turnWords(b brief.Brief) string {
	if len(b.Drifts) == 0 {
		return "No drift today. " + b.Turn
	}
	return b.Turn
}

// lakeWidth is how wide a lake is drawn that has so much height. [px]
func lakeWidth(b brief.Brief, high float64) float64 {
	t := turnedBy(b.Lake.WindFrom)
	low, far := lakeBox(b.Lake, t, b.Drifts)
	if !(far.y > low.y) || !(far.x > low.x) {
		return 200
	}
	return math.Max(230, math.Min(wide, (high-tightTop-tightFoot)*(far.x-low.x)/(far.y-low.y)+32))
}

// headlines are cautions by their first sentence: what to mind, without how.
func headlines(cs []brief.Caution) []brief.Caution {
	out := slices.Clone(cs)
	for i := range out {
		out[i].Text = firstSentence(out[i].Text)
	}
	return out
}

// driftRows is the table of the drifts: a line for each with its hour, minutes,
// drogue, start and where to lift; with detail 1 what it goes by under it, with 2
// also why. Cells have so many lines at the most; 0 is any.
func driftRows(b brief.Brief, detail, lines int) *drawing {
	if len(b.Drifts) == 0 {
		return waitRows(b)
	}
	u := b.Units
	hour := textWidth("00:00", foot, true) + 0.5 // the widest there is
	cols := []column{{w: 19, tab: true}, {head: "at", w: hour, bold: true}, {head: "min", w: 21, right: true, bold: true}, {head: "set-up", w: 56},
		{head: "begin"}, {head: "lift", w: hour, bold: true}, {head: "where it bears"}}
	t := ruledTable{cols: cols, lines: lines, under: 1}
	handIn := 0.0
	for _, dr := range b.Drifts {
		stop := stopOf(dr)
		bearing := "no landmark in sight"
		if stop.Landmark != "" {
			bearing = bare(stop.Landmark)
			if finite(float64(stop.Bearing)) {
				bearing += fmt.Sprintf(" %03.0f°", stop.Bearing.Degrees())
			}
			bearing += ", " + known(stop.Distance, u.Distance)
		}
		r := ruledRow{cells: []string{strconv.Itoa(dr.Number), clock(dr.Start), whole(dr.Minutes), strings.Join(filled(setUpLetter(b, dr.SetUp), map[bool]string{true: "drogue"}[dr.Drogue]), ", "), bare(dr.StartAt), clock(stop.At), bearing}}
		if dr.Drogue {
			handIn = math.Max(handIn, stop.At.Sub(stop.HandIn).Seconds())
		}
		if detail > 0 {
			var parts []string
			if dr.Motor >= 0.5 {
				parts = append(parts, "Motor "+whole(dr.Motor)+" min.")
			}
			if p := passesShort(dr); p != "" {
				parts = append(parts, sentence(p))
			}
			if detail > 1 {
				parts = append(parts, sentence(dr.Why))
			}
			r.under = strings.Join(parts, " ")
		}
		t.rows = append(t.rows, r)
	}
	t.share(4, 6)
	d := t.draw()
	if handIn > 0 {
		words := paragraph(wide, foot, "", "Drogue set where it says so: begin to hand it in "+whole(handIn)+" s before you lift, and before the engine.")
		d.place(0, d.h+1, words)
		d.h += words.h + 1
	}
	waits := waitRows(b)
	d.place(0, d.h+1, waits)
	d.h += waits.h
	return d
}

// waitRows are the hours that no drift fills, and why.
func waitRows(b brief.Brief) *drawing {
	var all []string
	for _, w := range b.Waits {
		all = append(all, waitWords(w))
	}
	return paragraph(wide, foot, "", strings.Join(all, " "))
}

// bare leaves the articles out, as in a table.
func bare(words string) string {
	return strings.TrimPrefix(strings.ReplaceAll(words, " of the ", " of "), "the ")
}

// stopOf is where a drift ends; a plan that does not say so ends it by its minutes.
func stopOf(dr brief.Drift) brief.Stop {
	s := dr.Stop
	if s.At.IsZero() {
		s.At = minute(dr, dr.Minutes)
	}
	if s.HandIn.IsZero() {
		s.HandIn = s.At
	}
	return s
}

// passesShort says "0–20 the shelf's edge, 19 to 8½ ft; 2–6 hedge 3, 11 to 17 ft".
func passesShort(dr brief.Drift) string {
	var all []string
	for _, p := range dr.Passes {
		a, z := whole(p.FromMinute), whole(p.ToMinute)
		if a != z {
			a += "–" + z
		}
		all = append(all, a+" "+p.What)
	}
	if len(all) == 0 {
		return ""
	}
	return "Min " + strings.Join(all, "; ")
}

// setUpLetter names a set-up on paper; empty where there is none.
func setUpLetter(b brief.Brief, i int) string {
	if i < 0 || i >= len(b.SetUps) {
		return ""
	}
	return string(rune('A' + i%26))
}

// second is how fully the second side is said.
type second struct {
	lines   int     // in a cell of the set-ups, 0 for any
	views   float64 // height of a drift's side view; 0 for none [px]
	cast    float64 // height of the side view of the first cast; 0 for none [px]
	full    bool    // the cautions whole, not by their headlines
	kit     bool    // else at the foot of the tick sheet
	unknown bool
	choices bool
}

// whatAndHow is the second side: the set-ups, what the flies and the boat do, what
// to hold to, and what to see to before leaving. It is said as fully as it fits;
// what it does not hold is given back for the foot of the third.
func whatAndHow(b brief.Brief, left handed) (*drawing, *drawing) {
	heading := "What and how, " + day(b)
	if len(b.SetUps) == 0 {
		heading = "Before you leave"
	}
	d, y := sheet(heading, 2)
	fits := func(s second) bool { return stacked(secondBlocks(b, left, s)) <= footY-y }
	var s second
	for _, s = range []second{{views: 54}, {views: 48}, {lines: 3, views: 48}, {lines: 3}, {lines: 2}, {lines: 1}} {
		if fits(s) {
			break
		}
	}
	for _, better := range []func(*second){
		func(s *second) { s.cast = 128 }, func(s *second) { s.kit = true }, func(s *second) { s.full = true },
		func(s *second) { s.cast = 168 }, func(s *second) { s.choices = true }, func(s *second) { s.unknown = true },
		func(s *second) { s.views = 78 }, func(s *second) { s.cast = 220 },
	} {
		if try := s; func() bool { better(&try); return fits(try) }() {
			s = try
		}
	}
	blocks := secondBlocks(b, left, s)
	gap := blockGap
	if n := len(blocks); n > 1 {
		gap += math.Min(8, math.Max(0, (footY-y-stacked(blocks))/float64(n-1)))
	}
	for _, block := range blocks {
		d.place(margin, y, block)
		y += block.h + gap
	}
	back := &drawing{w: wide}
	if !s.kit {
		back = kitBlock(b)
	}
	if words := pageWords(b, s); words != "" {
		more := paragraph(wide, foot, "On the page, day.html:", words)
		back.place(0, back.h+2, more)
		back.h += more.h + 2
	}
	return d, back
}

const blockGap = 5.0

func stacked(blocks []*drawing) float64 {
	h := 0.0
	for i, block := range blocks {
		if h += block.h; i > 0 {
			h += blockGap
		}
	}
	return h
}

// secondBlocks are the blocks of the second side in their order.
func secondBlocks(b brief.Brief, left handed, s second) []*drawing {
	var all []*drawing
	add := func(block *drawing) {
		if block != nil && block.h > 0 {
			all = append(all, block)
		}
	}
	add(setUpRows(b, s.lines))
	words := leaveItems(b, left, s.full)
	if s.cast > 0 && len(b.SetUps) > 0 && b.SetUps[0].Cast.Span > 0 {
		add(castAndTouch(b, s.cast))
	} else {
		words = append(touchItems(b), words...)
	}
	add(driftViews(b, left.passes, s.views))
	if s.choices {
		add(choiceRows(b))
	}
	if s.unknown {
		words = append(words, unknownItems(b)...)
	}
	add(twoColumns(words))
	if s.kit {
		add(kitBlock(b))
	}
	return all
}

// pageWords say what is not on paper.
func pageWords(b brief.Brief, s second) string {
	var more []string
	if len(b.Drifts) > 0 {
		more = append(more, "why each drift, what would change it")
	}
	if len(b.SetUps) > 1 {
		more = append(more, "the casts of all set-ups")
	}
	if !s.choices && len(b.Choices) > 0 {
		more = append(more, "other lines and counts")
	}
	if !s.unknown && len(b.NotKnown) > 0 {
		more = append(more, "what is not known")
	}
	if !s.full {
		more = append(more, "the cautions in full")
	}
	if len(more) == 0 {
		return ""
	}
	return sentence(strings.Join(more, ", "))
}

// setUpRows is the table of the set-ups.
func setUpRows(b brief.Brief, lines int) *drawing {
	if len(b.SetUps) == 0 {
		return nil
	}
	cols := []column{{w: 19, tab: true}, {head: "set-up, when", w: 100, bold: true}, {head: "line, leader", w: 0}, {head: "flies, deepest in " + b.Units.DepthUnit(), w: 0},
		{head: "count", w: 32, right: true, bold: true}, {head: "then", w: 104}}
	free := wide - 5*columnGap
	for _, c := range cols {
		free -= c.w
	}
	cols[2].w, cols[3].w = free*0.47, free*0.53
	t := ruledTable{cols: cols, lines: lines}
	for i, s := range b.SetUps {
		count := "none"
		if s.Count > 0 {
			count = whole(s.Count)
		}
		then := s.Pull
		if hang := s.Cast.HangEnd - s.Cast.PullEnd; hang >= 1 {
			then = strings.Join(filled(then, "hang "+whole(hang)+" s"), ", ")
		}
		var flies []string
		for _, f := range s.Flies {
			fly := f.Name
			if up := s.Length - f.FromTip; f.Role != "point" && up > 0.05 && finite(up) && s.Length > 0 {
				fly = b.Units.Depth(up) + " up " + fly
			}
			flies = append(flies, fly+" "+known(f.Deepest, b.Units.DepthFigure))
		}
		when := s.When
		if i > 0 && when == b.SetUps[i-1].When {
			when = "likewise"
		}
		t.rows = append(t.rows, ruledRow{cells: []string{setUpLetter(b, i), strings.Join(filled(s.Name, when), ", "), strings.Join(filled(s.Line, s.Leader), "; "),
			strings.Join(flies, "; "), count, then}})
	}
	return t.draw()
}

// choiceRows is the table of what else reaches them.
func choiceRows(b brief.Brief) *drawing {
	v := choicesView(b)
	if len(v.Rows) == 0 {
		return nil
	}
	t := ruledTable{cols: []column{{head: "what else reaches them", w: 136, bold: true}, {head: "how", w: 0}, {head: "count", w: 34, right: true},
		{head: "then at", w: 42, right: true}, {head: "deepest", w: 46, right: true}, {head: "s", w: 20, right: true}}}
	t.cols[1].w = wide - 5*columnGap
	for i, c := range t.cols {
		if i != 1 {
			t.cols[1].w -= c.w
		}
	}
	for _, r := range v.Rows[:min(len(v.Rows), 6)] { // the page and the text have them all
		t.rows = append(t.rows, ruledRow{cells: []string{r.Line, strings.Join(filled(r.How, r.When), "; "), r.Count, r.AtCount, r.Deepest, r.In}})
	}
	return t.draw()
}

// castAndTouch is the side view of the first set-up's cast, what to hold to beside it.
func castAndTouch(b brief.Brief, high float64) *drawing {
	const w, gap = 262.0, 14.0
	d := &drawing{w: wide, h: high}
	style := castPrint
	style.w, style.h = w, high
	d.place(0, 0, castSide(b, b.SetUps[0], style))
	y := 0.0
	for _, it := range touchItems(b) {
		y = d.flow(w+gap, y, wide-w-gap, foot, black, it[0], it[1]) + 2
	}
	d.h = math.Max(d.h, y)
	return d
}

// driftViews are the side views of the drifts with their numbers, three abreast; two
// abreast with what they go by beside them, where the first side had no room for
// that. Without room for pictures the words stand alone.
func driftViews(b brief.Brief, passes bool, high float64) *drawing {
	if len(b.Drifts) == 0 || high == 0 && !passes {
		return nil
	}
	d := &drawing{w: wide}
	const gap = 10.0
	abreast := 3
	if passes {
		abreast = 2
	}
	each := (wide - gap*float64(abreast-1)) / float64(abreast)
	view := each - 20
	if passes {
		view = 104
	}
	row := 0.0
	for i, dr := range b.Drifts {
		if i%abreast == 0 && i > 0 {
			d.h += row + 3
			row = 0
		}
		x, y, number := float64(i%abreast)*(each+gap), d.h, strconv.Itoa(dr.Number)
		if high > 0 {
			d.rect(x, y+3, 19, 15, black, noPen)
			d.say(x+9.5, y+15, number, letter{size: foot, bold: true, anchor: middle, ink: paper})
			d.place(x+20, y, driftSide(b, dr, view, high, foot))
			x += 20 + view + 4
		}
		row = math.Max(row, high)
		if !passes {
			continue
		}
		lead, words := "", passesShort(dr)
		if dr.Motor >= 0.5 {
			words = "Motor " + whole(dr.Motor) + " min. " + words
		}
		if high == 0 {
			lead = number + "."
		}
		w := each
		if high > 0 {
			w -= 20 + view + 4
		}
		row = math.Max(row, d.flow(x, y-2, w, foot, black, lead, sentence(words))-y)
	}
	d.h += row
	return d
}

func touchItems(b brief.Brief) [][2]string {
	var all [][2]string // lead and words
	for _, s := range b.Touch {
		lead, rest, found := strings.Cut(s, ":")
		if found && len(lead) < 24 {
			all = append(all, [2]string{lead + ":", rest})
		} else {
			all = append(all, [2]string{"", s})
		}
	}
	return all
}

func unknownItems(b brief.Brief) [][2]string {
	var all [][2]string
	for i, n := range b.NotKnown {
		if i == 0 {
			all = append(all, [2]string{"Not known:", lowered(n) + "."})
		} else {
			all = append(all, [2]string{"", n})
		}
	}
	return all
}

// leaveItems are what to mind and what to see to before leaving, gravest first.
func leaveItems(b brief.Brief, left handed, full bool) [][2]string {
	_, mind, notes := cautions(b)
	var all [][2]string
	words := func(c brief.Caution) (headline, rest string) {
		headline = firstSentence(c.Text)
		return headline, strings.TrimSpace(c.Text[len(headline):])
	}
	for _, c := range left.mind {
		headline, rest := words(c)
		if !full {
			rest = ""
		}
		all = append(all, [2]string{headline, rest})
	}
	if full { // how, of those whose headline stands on the first side
		for _, c := range mind[:len(mind)-len(left.mind)] {
			if headline, rest := words(c); rest != "" {
				all = append(all, [2]string{"", headline + " " + rest})
			}
		}
	}
	for i, c := range notes {
		headline, rest := words(c)
		if full {
			headline += " " + rest
		}
		lead := ""
		if i == 0 {
			lead = "Before you leave:"
		}
		all = append(all, [2]string{lead, sentence(strings.TrimSpace(headline))})
	}
	return all
}

func kitBlock(b brief.Brief) *drawing {
	if len(b.Kit) == 0 {
		return &drawing{w: wide}
	}
	return paragraph(wide, foot, "Take:", sentence(strings.Join(b.Kit, "; ")))
}

// sideTitle names a side to a screen reader.
func sideTitle(i, n int) string {
	if i == n-1 {
		return fmt.Sprintf("Side %d of %d: tick sheet, a row each quarter of an hour", i+1, n)
	}
	return fmt.Sprintf("Side %d of %d of the day plan's print", i+1, n)
}
