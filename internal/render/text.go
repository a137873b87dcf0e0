package render

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"

	"charm.land/lipgloss/v2"

	"windlane/brief"
)

// Text writes the plan as plain UTF-8 for a terminal of width columns (60 at
// least), a pipe or a line printer: no colour, no control codes, whole in grey.
// The error is the writer's.
func Text(w io.Writer, b brief.Brief, width int) error {
	b = tame(b)
	t := &teller{width: max(60, width)}
	t.head(b)
	t.hours(b)
	t.lake(b)
	t.lie(b)
	for _, d := range b.Drifts {
		t.drift(b, d)
	}
	if len(b.Drifts) == 0 {
		t.section("Drifts")
		t.say(0, "No drift today.")
	}
	t.waits(b)
	if len(b.Others) > 0 {
		t.section("Other lines, if you are elsewhere")
		for _, s := range b.Others {
			t.hang("- ", 2, s)
		}
	}
	t.setUps(b)
	t.choices(b)
	t.day(b)
	_, err := io.WriteString(w, t.out.String())
	return err
}

// Drifts writes the drifts alone, as somebody would tell them in the boat: for a
// plan of them without the rest of the day. Otherwise as Text.
func Drifts(w io.Writer, b brief.Brief, width int) error {
	b = tame(b)
	t := &teller{width: max(60, width)}
	t.title("Drifts: ", b)
	t.say(0, b.Headline)
	if b.Lake.WindText != "" {
		t.say(0, "Wind "+sentence(b.Lake.WindText))
	}
	t.say(0, b.First)
	if b.Reason != "" && len(b.Drifts) > 0 { // else the headline says it
		t.gap()
		t.hang("MIND", 6, b.Reason)
	}
	for _, d := range b.Drifts {
		bold, _ := driftLine(b, d)
		t.section(fmt.Sprintf("Drift %d: %s", d.Number, bold))
		t.say(0, d.Words)
		if p := lonLat(d); p != "" {
			t.say(0, "Start at "+p+".")
		}
		if name := setUpName(b, d); name != "" {
			t.say(0, "Fish "+name+".")
		}
		t.profile(b, d)
		t.why(b, d)
	}
	t.waits(b)
	if b.Turn != "" {
		t.gap()
		t.say(0, b.Turn)
	}
	_, err := io.WriteString(w, t.out.String())
	return err
}

// teller sets lines one under the other.
type teller struct {
	width int
	out   strings.Builder
}

// plain keeps words from a file from steering a terminal.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

func (t *teller) line(s string) { t.out.WriteString(strings.TrimRight(plain(s), " ") + "\n") }

func (t *teller) gap() {
	if s := t.out.String(); s != "" && !strings.HasSuffix(s, "\n\n") {
		t.out.WriteByte('\n')
	}
}

func (t *teller) section(name string) {
	t.gap()
	t.line(name)
	t.line(strings.Repeat("-", min(t.width, lipgloss.Width(name))))
}

// say wraps a paragraph, at most 100 columns wide, indented.
func (t *teller) say(indent int, s string) { t.hang("", indent, s) }

// hang wraps a paragraph beside a word that stands out at its left.
func (t *teller) hang(word string, indent int, s string) {
	indent = max(indent, 0)
	room := max(20, min(t.width, 100)-indent)
	lead := word + strings.Repeat(" ", max(0, indent-lipgloss.Width(word)))
	for _, l := range wrapColumns(plain(s), room) {
		t.line(lead + l)
		lead = strings.Repeat(" ", indent)
	}
}

func wrapColumns(s string, room int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(s) {
		switch {
		case line == "":
			line = w
		case lipgloss.Width(line)+1+lipgloss.Width(w) <= room:
			line += " " + w
		default:
			lines, line = append(lines, line), w
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func pad(s string, n int, right bool) string {
	s = plain(s)
	gap := strings.Repeat(" ", max(0, n-lipgloss.Width(s)))
	if right {
		return gap + s
	}
	return s + gap
}

// title heads a page.
func (t *teller) title(what string, b brief.Brief) {
	name := what + title(b)
	t.say(0, name)
	t.line(strings.Repeat("=", min(t.width, 100, lipgloss.Width(name))))
}

func (t *teller) waits(b brief.Brief) {
	if len(b.Waits) > 0 {
		t.section("Not drifting")
		for _, w := range b.Waits {
			t.hang("- ", 2, waitWords(w))
		}
	}
}

func (t *teller) head(b brief.Brief) {
	t.title("Day plan: ", b)
	t.say(0, b.Headline)
	if b.Aim != "" {
		t.say(0, b.Aim)
	}
	if b.First != "" {
		t.say(0, b.First)
	}
	t.gap()
	now, mind, _ := cautions(b)
	for _, c := range now {
		t.hang("NOW!", 6, fromSource(c))
	}
	for _, c := range mind {
		t.hang("MIND", 6, fromSource(c))
	}
}

func fromSource(c brief.Caution) string {
	if c.Source == "" {
		return c.Text
	}
	return c.Text + " (from " + c.Source + ")"
}

// strokes are the ruling in letters, hardly to likeliest.
var strokes = [...]string{"   ", "┄┄┄", "───", "━━━"}

func stroke(v float64) string {
	switch {
	case !(v >= 0.12):
		return strokes[0]
	case v < 0.4:
		return strokes[1]
	case v < 0.75:
		return strokes[2]
	}
	return strokes[3]
}

func (t *teller) hours(b brief.Brief) {
	t.section("The day by the hour")
	if len(b.Hours) == 0 {
		t.say(0, "No hours in this plan.")
		return
	}
	const label, column = 16, 5
	per := max(1, (t.width-label)/column)
	limit := false
	for from := 0; from < len(b.Hours); from += per {
		if from > 0 {
			t.gap()
		}
		hours := b.Hours[from:min(len(b.Hours), from+per)]
		t.hourRows(b, hours, label, column)
		for _, h := range hours {
			limit = limit || h.GustLimit
		}
	}
	if limit {
		t.say(0, "! over the limit")
	}
	t.say(0, "More ink, likelier: "+strokes[1]+" hardly, "+strokes[2]+" likely, "+strokes[3]+" likeliest. Their depth holds half of what is expected.")
}

func (t *teller) hourRows(b brief.Brief, hours []brief.Hour, label, column int) {
	u := b.Units
	row := func(name string, cell func(brief.Hour) string) {
		s := pad(name, label-1, false)
		for _, h := range hours {
			s += pad(cell(h), column, true)
		}
		t.line(s)
	}
	row("hour", func(h brief.Hour) string { return strconv.Itoa(h.At.Hour()) })
	row("wind from", func(h brief.Hour) string {
		if !finite(float64(h.WindFrom)) {
			return "?"
		}
		return windFrom(h)
	})
	row("wind, "+u.WindUnit(), func(h brief.Hour) string { return figure(h.Wind, u.WindFigure) })
	row("gusts", func(h brief.Hour) string {
		if h.GustLimit {
			return figure(h.Gust, u.WindFigure) + "!"
		}
		return figure(h.Gust, u.WindFigure)
	})
	row("chop, "+u.WaveUnit(), func(h brief.Hour) string { return figure(h.Wave, u.WaveFigure) })
	row("  least", func(h brief.Hour) string { return figure(h.WaveLow, u.WaveFigure) })
	row("  most", func(h brief.Hour) string { return figure(h.WaveHigh, u.WaveFigure) })
	row("light, %", func(h brief.Hour) string { return figure(h.Light*100, func(v float64) string { return whole(v) }) })
	row("drift, "+u.DriftUnit(), func(h brief.Hour) string { return figure(h.Drift, u.DriftFigure) })
	row("  drogue", func(h brief.Hour) string { return drogueWord(h.Drogue) })
	row("  without it", func(h brief.Hour) string { return figure(h.DriftBare, u.DriftFigure) })
	row("air, °C", func(h brief.Hour) string { return figure(h.AirC, func(v float64) string { return whole(v) }) })
	most := 1
	for _, h := range hours {
		most = max(most, len(h.Bands))
	}
	for k := range most {
		name, to := "their depth, "+u.DepthUnit(), "  to"
		if k > 0 {
			name = "  or"
		}
		row(name, func(h brief.Hour) string {
			if k >= len(h.Bands) {
				return "-"
			}
			return figure(h.Bands[k].Top, u.DepthFigure)
		})
		row(to, func(h brief.Hour) string {
			if k >= len(h.Bands) {
				return "-"
			}
			return figure(h.Bands[k].Bottom, u.DepthFigure)
		})
	}
	// the ruling: a row each foot or half metre, as far down as anything is likely
	deep := 0.0
	for _, h := range b.Hours {
		deep = math.Max(deep, beliefDepth(h.Belief, h.LayerDepth))
	}
	if deep <= 0 {
		return
	}
	t.gap()
	step := stepOf(u, deep, 20)
	for top := 0.0; top < deep-1e-9; top += step {
		name := pad(u.DepthFigure(top), 4, true)
		if top == 0 {
			name = pad("0", 4, true) + " " + u.DepthUnit()
		}
		row(name, func(h brief.Hour) string { return stroke(meanBelief(h.Belief, h.LayerDepth, top, top+step)) })
	}
}

func (t *teller) lake(b brief.Brief) {
	t.section("The lake")
	if b.Lake.WindText != "" {
		t.say(0, "Wind "+sentence(b.Lake.WindText))
	}
	t.say(0, contourWords(b))
	var places []string
	for _, p := range b.Lake.Places {
		places = append(places, brief.Named(p.Kind, p.Name))
	}
	if len(places) > 0 {
		t.say(0, "Drawn on it: "+strings.Join(places, ", ")+".")
	}
}

func (t *teller) drift(b brief.Brief, d brief.Drift) {
	bold, rest := driftLine(b, d)
	t.section(fmt.Sprintf("Drift %d: %s", d.Number, bold))
	t.say(0, sentence(rest))
	if d.StartAt != "" || lonLat(d) != "" {
		s := "Start " + d.StartAt
		if p := lonLat(d); p != "" {
			s += " (" + p + ")"
		}
		t.say(0, sentence(s))
	}
	if name := setUpName(b, d); name != "" {
		t.say(0, "Fish "+name+".")
	}
	t.profile(b, d)
	for _, p := range d.Passes {
		t.hang(minutes(p), 14, sentence(p.What))
	}
	if d.End != "" {
		t.hang(">>", 3, sentence(d.End))
	}
	t.why(b, d)
}

// profile sets minutes across and the bed below.
func (t *teller) profile(b brief.Brief, d brief.Drift) {
	mins, bed := "min", "bed, "+b.Units.DepthUnit()
	row := []string{pad(mins, 9, false), pad(bed, 9, false)}
	guessed := false
	flush := func() {
		if len(row[0]) > 9 {
			t.line(row[0])
			t.line(row[1])
		}
		row = []string{pad(mins, 9, false), pad(bed, 9, false)}
	}
	for _, r := range driftTable(b, d).rows {
		figure := r[1]
		if figure == unknown {
			figure = "?"
		} else if cut, ok := strings.CutSuffix(figure, ", not sounded"); ok {
			figure = cut + "*"
			guessed = true
		}
		if lipgloss.Width(row[0])+6 > t.width {
			flush()
		}
		row[0] += pad(r[0], 6, true)
		row[1] += pad(figure, 6, true)
	}
	flush()
	if guessed {
		t.say(0, "* not sounded")
	}
}

// why says what speaks for a drift and what would change it.
func (t *teller) why(b brief.Brief, d brief.Drift) {
	t.say(0, d.Why)
	t.say(0, d.Next)
	t.say(0, d.Change)
	t.say(0, spread(b, d))
}

// lie tells what speaks for their depth.
func (t *teller) lie(b brief.Brief) {
	for _, l := range b.Lie {
		if len(l.Reasons) > 0 {
			t.section(lieTitle(l))
			t.table(0, lieTable(b, l))
			for _, s := range l.Remarks {
				t.say(0, sentence(s))
			}
		}
	}
}

func (t *teller) setUps(b brief.Brief) {
	t.section("Set-ups")
	if len(b.SetUps) == 0 {
		t.say(0, "No set-up is advised.")
	}
	for i, s := range b.SetUps {
		if i > 0 {
			t.gap()
		}
		name := s.Name
		if s.When != "" {
			name += ": " + s.When
		}
		t.hang(strconv.Itoa(i+1)+".", 3, name)
		t.say(3, ">> "+tell(b, s))
		t.say(3, way(s))
		t.say(3, sentence(capital(strings.Join(filled(s.Line, s.Leader), "; ")))+" "+leaderWords(b, s))
		t.table(3, fliesTable(b, s))
		paths := pathTable(b, s, stepSeconds(s.Cast.Span))
		for _, r := range paths.rows {
			for i := range r {
				r[i] = strings.Replace(r[i], ", at their depth", " ━", 1)
			}
		}
		t.table(3, paths)
		if len(paths.rows) > 0 && s.In > 0 {
			t.say(3, "━ at their depth")
		}
		t.say(3, aside(b, s))
		if len(s.Cast.Still) > 1 {
			t.say(3, "In the water at the end of the count: "+lowered(stillWords(b, s))+".")
		}
		for _, c := range checks(s) {
			t.hang("   "+capital(c.Level), 9, c.Text)
		}
	}
}

func filled(all ...string) []string {
	var out []string
	for _, s := range all {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// stepSeconds is how far apart a cast's rows stand. [s]
func stepSeconds(span float64) float64 {
	if span > 65 {
		return 10
	}
	return 5
}

// table sets columns as wide as their cells. Where that is too wide a column of
// words is wrapped first, then the heads, then whatever is widest.
func (t *teller) table(indent int, tb table) {
	if len(tb.rows) == 0 {
		return
	}
	rows := append([][]string{tb.head}, tb.rows...)
	wide, least := make([]int, len(tb.head)), make([]int, len(tb.head))
	for k, r := range rows {
		for i, c := range r {
			wide[i] = max(wide[i], lipgloss.Width(plain(c)))
			if k > 0 {
				least[i] = max(least[i], lipgloss.Width(plain(c)))
			}
			for _, word := range strings.Fields(c) {
				least[i] = max(least[i], lipgloss.Width(word))
			}
		}
	}
	over := indent - 2 - t.width
	for _, n := range wide {
		over += n + 2
	}
	shrink := func(may func(i int) bool) {
		for over > 0 {
			most := -1
			for i := range wide {
				if may(i) && (most < 0 || wide[i] > wide[most]) {
					most = i
				}
			}
			if most < 0 {
				return
			}
			wide[most]--
			over--
		}
	}
	shrink(func(i int) bool { return tb.isWords(i) && wide[i] > 26 })
	shrink(func(i int) bool { return !tb.isWords(i) && wide[i] > least[i] })
	shrink(func(i int) bool { return wide[i] > 8 })
	t.gap()
	for _, r := range rows {
		cells := make([][]string, len(r))
		lines := 1
		for i, c := range r {
			cells[i] = wrapColumns(plain(c), wide[i])
			lines = max(lines, len(cells[i]))
		}
		for k := range lines {
			s := strings.Repeat(" ", indent)
			for i := range r {
				cell := ""
				if k < len(cells[i]) {
					cell = cells[i][k]
				}
				s += pad(cell, wide[i], !tb.isWords(i)) + "  "
			}
			t.line(s)
		}
	}
	t.gap()
}

func (t *teller) choices(b brief.Brief) {
	v := choicesView(b)
	if len(v.Rows) == 0 {
		return
	}
	t.section("What else reaches them")
	tb := table{head: []string{"Count", "At count, " + v.Depth, "Deepest, " + v.Depth, "At depth, s", "Fresh water", "Line, retrieve, fly; when"},
		words: []bool{false, false, false, false, false, true}}
	for _, r := range v.Rows {
		s := strings.Join(filled(r.Line, r.How), ", ")
		if r.When != "" {
			s += "; " + r.When
		}
		tb.row(r.Count, r.AtCount, r.Deepest, r.In, r.H, s)
	}
	t.table(0, tb)
	t.say(0, "Fresh water: searched at their depth in an hour by a moving fly, the best 100 %.")
}

func (t *teller) day(b brief.Brief) {
	if _, _, notes := cautions(b); len(notes) > 0 {
		t.section("Before you leave")
		for _, c := range notes {
			t.hang("-", 2, fromSource(c))
		}
	}
	if len(b.Kit) > 0 {
		t.section("Take")
		half := t.width / 2
		for i := 0; i < len(b.Kit); i++ {
			left := "[ ] " + b.Kit[i]
			if i+1 < len(b.Kit) && lipgloss.Width(left) < half-1 && lipgloss.Width(b.Kit[i+1])+4 <= half {
				t.line(pad(left, half, false) + "[ ] " + b.Kit[i+1])
				i++
				continue
			}
			t.hang("[ ]", 4, b.Kit[i])
		}
	}
	list := func(name string, items []string) {
		if len(items) > 0 {
			t.section(name)
			for _, s := range items {
				t.hang("-", 2, s)
			}
		}
	}
	touch := b.Touch
	if b.Turn != "" {
		touch = append(append([]string{}, touch...), b.Turn)
	}
	list("Through the day", touch)
	list("Not known", b.NotKnown)
	list("Where the figures come from", b.Sources)
}
