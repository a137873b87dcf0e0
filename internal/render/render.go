// Package render draws a day's plan: as text for a terminal or a printer, as one
// page that needs nothing else, and as A5 sides in PDF.
//
// The brief is its only input. The pictures are made once, on a small canvas
// (canvas.go), and written as SVG or PDF (svg.go, pdf.go). Their language: across is
// time, down is depth; belief is ruled, a stroke each half foot, thicker where fish
// are likelier; a fly's path is thin, and thick where it lies at their depth; ink
// carries and colour only helps; what nobody knows is not drawn. Whatever a picture
// says stands in a table or a sentence beside it.
package render

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"strings"

	"windlane/brief"
)

//go:embed page.css
var pageCSS string

//go:embed page.html
var pageHTML string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"firstSentence": firstSentence,
	"rest":          func(s string) string { return strings.TrimSpace(s[len(firstSentence(s)):]) },
}).Parse(pageHTML))

// HTML writes the plan as one page that needs no other file, no network and no
// script: day by default, night where the reader's device asks for it, and A5
// sides when printed. The error is the writer's.
func HTML(w io.Writer, b brief.Brief) error {
	b = tame(b)
	v := view{
		Title: title(b),
		Brief: b,
		Style: template.CSS(strings.Replace(pageCSS, "FONT", base64.StdEncoding.EncodeToString(fontPage), 1)),
	}
	v.Now, v.Mind, v.Notes = cautions(b)
	v.StripNarrow = picture(hourStrip(b, stripNarrow), "narrow", "Wind, gusts, chop, light, drift and their depth, hour by hour; the table below has the figures")
	v.StripWide = picture(hourStrip(b, stripWide), "wide", "Wind, gusts, chop, light, drift and their depth, hour by hour; the table below has the figures")
	v.HourTables = []template.HTML{markup(hoursTable(b)), markup(beliefTable(b))}
	v.Lake = picture(lakePicture(b, lakePhone), "wind-down", lakeTitle(b))
	v.LakeNorth = picture(lakePicture(b, lakeNorth), "north-up", strings.Replace(lakeTitle(b), "the wind blowing down the page", "north up", 1))
	v.Places, v.Contours = markup(placesTable(b)), contourWords(b)
	for _, d := range b.Drifts {
		bold, rest := driftLine(b, d)
		dv := driftView{Drift: d, Bold: bold, Rest: rest, SetUp: setUpName(b, d),
			Picture: picture(driftSide(b, d, 344, 132, 14), "", driftTitle(d)),
			Table:   markup(driftTable(b, d)), Spread: spread(b, d), Place: lonLat(d)}
		if farApart(b, d) {
			if c := driftChart(b, d, lakeDrift); c != nil {
				dv.Chart = picture(c, "", chartTitle(d))
			}
		}
		for _, p := range d.Passes {
			dv.Passes = append(dv.Passes, passView{minutes(p), sentence(p.What)})
		}
		v.Drifts = append(v.Drifts, dv)
	}
	for i, s := range b.SetUps {
		sv := setUpView{SetUp: s, Number: i + 1, WayWords: way(s), Tell: tell(b, s), Aside: aside(b, s),
			Narrow: picture(castSide(b, s, castNarrow), "narrow", castTitle(b, s)),
			Wide:   picture(castSide(b, s, castWide), "wide", castTitle(b, s)),
			Leader: picture(leaderPicture(b, s, 344), "cap", "The leader to scale: "+leaderWords(b, s)),
			Flies:  fliesMarkup(b, s), Paths: markup(pathTable(b, s, 5)), LeaderWords: leaderWords(b, s)}
		if still := stillPicture(b, s, 344); still != nil {
			sv.Still = picture(still, "cap", "The line in the water at the end of the count, to scale: "+stillWords(b, s))
			sv.StillWords = stillWords(b, s)
		}
		for _, c := range checks(s) {
			sv.Checks = append(sv.Checks, checkView{c.Level, capital(c.Level), c.Text})
		}
		v.SetUps = append(v.SetUps, sv)
	}
	for _, w := range b.Waits {
		v.Waits = append(v.Waits, waitWords(w))
	}
	for _, l := range b.Lie {
		if len(l.Reasons) > 0 {
			v.Lie = append(v.Lie, lieView{lieTitle(l), markup(lieTable(b, l)), l.Remarks})
		}
	}
	v.Choices = choicesView(b)
	sides := printSides(b)
	for i, d := range sides {
		v.Sides = append(v.Sides, picture(d, "side", sideTitle(i, len(sides))))
	}
	var all bytes.Buffer
	if err := page.Execute(&all, v); err != nil {
		return err
	}
	_, err := w.Write(all.Bytes())
	return err
}

// view is what the page's template reads.
type view struct {
	Title, Contours        string
	Brief                  brief.Brief
	Style                  template.CSS
	StripNarrow, StripWide template.HTML
	Lake, LakeNorth        template.HTML
	HourTables             []template.HTML
	Places                 template.HTML
	Drifts                 []driftView
	SetUps                 []setUpView
	Now, Mind, Notes       []brief.Caution
	Choices                choices
	Sides                  []template.HTML
	Lie                    []lieView
	Waits                  []string
}

type lieView struct {
	Title   string
	Table   template.HTML
	Remarks []string
}

type driftView struct {
	brief.Drift
	Bold, Rest, SetUp, Spread, Place string
	Chart, Picture, Table            template.HTML
	Passes                           []passView
}

type passView struct{ Minutes, What string }

type setUpView struct {
	brief.SetUp
	Number                      int
	WayWords, Tell, Aside       string
	LeaderWords, StillWords     string
	Narrow, Wide, Leader, Still template.HTML
	Flies, Paths                template.HTML
	Checks                      []checkView
}

type checkView struct{ Level, Word, Text string }

// choices is the table of what else reaches them, with its units in the head.
type choices struct {
	Depth string
	Rows  []choiceRow
}

type choiceRow struct {
	Line, How, When                string
	Count, AtCount, Deepest, In, H string
	First                          bool
}

func choicesView(b brief.Brief) choices {
	u := b.Units
	c := choices{Depth: u.DepthUnit()}
	for _, r := range b.Choices {
		row := choiceRow{Line: r.Line, How: r.Retrieve, When: r.When, Count: whole(r.Count),
			AtCount: known(r.AtCount, u.DepthFigure), Deepest: known(r.Deepest, u.DepthFigure), In: whole(r.In), H: percent(r.Hour)}
		if !(r.Count > 0) {
			row.Count, row.AtCount = "none", "–"
		}
		if r.Fly != "" {
			row.How += ", " + r.Fly
		}
		row.First = strings.Contains(r.When, "start")
		c.Rows = append(c.Rows, row)
	}
	return c
}

func title(b brief.Brief) string {
	if b.Water == "" {
		return day(b)
	}
	return b.Water + ", " + day(b)
}

// cautions sorts them by level.
func cautions(b brief.Brief) (now, mind, notes []brief.Caution) {
	for _, c := range b.Cautions {
		switch c.Level {
		case brief.Now:
			now = append(now, c)
		case brief.Mind:
			mind = append(mind, c)
		default:
			notes = append(notes, c)
		}
	}
	return now, mind, notes
}

// checks puts what stands against a set-up first, and what is good in one.
func checks(s brief.SetUp) []brief.Check {
	var out []brief.Check
	var good []string
	for _, level := range []string{"no", "mind"} {
		for _, c := range s.Checks {
			if c.Level == level {
				out = append(out, c)
			}
		}
	}
	for _, c := range s.Checks {
		if c.Level != "no" && c.Level != "mind" {
			good = append(good, sentence(c.Text))
		}
	}
	if len(good) > 0 {
		out = append(out, brief.Check{Level: "good", Text: strings.Join(good, " ")})
	}
	return out
}

func setUpName(b brief.Brief, d brief.Drift) string {
	if d.SetUp < 0 || d.SetUp >= len(b.SetUps) {
		return ""
	}
	return b.SetUps[d.SetUp].Name
}

func picture(d *drawing, class, title string) template.HTML {
	return template.HTML(d.svg(class, title))
}

// markup writes a table for a page. Its first column heads the rows.
func markup(t table) template.HTML {
	if len(t.rows) == 0 {
		return ""
	}
	var b strings.Builder
	esc := template.HTMLEscapeString
	b.WriteString(`<div class="scroll" role="group" tabindex="0" aria-label="` + esc(t.caption) + `"><table><caption>` + esc(t.caption) + `</caption><thead><tr>`)
	for i, h := range t.head {
		b.WriteString(`<th scope="col"` + align(t, i) + `>` + esc(h) + `</th>`)
	}
	b.WriteString(`</tr></thead><tbody>`)
	for _, r := range t.rows {
		b.WriteString("<tr>")
		for i, c := range r {
			if i == 0 {
				b.WriteString(`<th scope="row"` + align(t, i) + `>` + esc(c) + `</th>`)
			} else {
				b.WriteString(`<td` + align(t, i) + `>` + esc(c) + `</td>`)
			}
		}
		b.WriteString("</tr>")
	}
	b.WriteString("</tbody></table></div>")
	return template.HTML(b.String())
}

func align(t table, column int) string {
	if t.isWords(column) {
		return ""
	}
	return ` class="n"`
}

// fliesMarkup is the table of flies, each with its mark.
func fliesMarkup(b brief.Brief, s brief.SetUp) template.HTML {
	t := fliesTable(b, s)
	h := string(markup(t))
	for i, m := range flyMarks(s.Flies) {
		d := &drawing{w: 20, h: 20}
		d.fly(10, 10, 7, m)
		cell := `<th scope="row">` + template.HTMLEscapeString(t.rows[i][0]) + "</th>"
		h = strings.Replace(h, cell, strings.Replace(cell, `row">`, `row" class="fly">`+d.svg("mark", ""), 1), 1)
	}
	return template.HTML(h)
}
