package render

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode"

	"charm.land/lipgloss/v2"
	"codeberg.org/go-pdf/fpdf"

	"windlane/brief"
)

func textOf(t *testing.T, b brief.Brief, width int) string {
	t.Helper()
	var out bytes.Buffer
	if err := Text(&out, b, width); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func pageOf(t *testing.T, b brief.Brief) string {
	t.Helper()
	var out bytes.Buffer
	if err := HTML(&out, b); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func printOf(t *testing.T, b brief.Brief) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := PDF(&out, b); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// unsaid are traces of a number that was not one, or of a broken format.
var unsaid = regexp.MustCompile(`NaN|[+-]Inf|%!|<nil>|\d[eE][+-]\d`)

// withoutData leaves out the font.
func withoutData(s string) string {
	return regexp.MustCompile(`base64,[A-Za-z0-9+/=]*`).ReplaceAllString(s, "")
}

var svgs = regexp.MustCompile(`(?s)<svg.*?</svg>`)

// read is the page as it is read out: no style, no pictures, no tags.
func read(page string) string {
	s := regexp.MustCompile(`(?s)<style>.*?</style>`).ReplaceAllString(page, "")
	s = svgs.ReplaceAllString(s, " ")
	s = regexp.MustCompile(`<[^>]*>`).ReplaceAllString(s, " ")
	return spaces(strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&", "&#34;", `"`, "&#39;", "'", "&#43;", "+").Replace(s))
}

func spaces(s string) string { return strings.Join(strings.Fields(s), " ") }

// must are the sentences that the text and the page may not drop.
func must(b brief.Brief) []string {
	all := []string{b.Headline, b.Reason, b.Turn, b.First}
	for _, c := range b.Cautions {
		all = append(all, c.Text)
	}
	for _, d := range b.Drifts {
		all = append(all, d.End, d.Why, d.Change)
		for _, p := range d.Passes {
			all = append(all, p.What)
		}
	}
	return filled(append(append(append(all, b.NotKnown...), b.Kit...), b.Touch...)...)
}

// onPaper are the words that the print may not drop, however long the day: the
// cautions by their headlines, and each drift's hour, minutes, where to begin, what
// it passes, where to lift.
func TestNothingIsDropped(t *testing.T) {
	compared := 0
	for name, b := range edgeBriefs() {
		text, page, paper := spaces(textOf(t, b, 80)), read(pageOf(t, b)), wordsOnPaper(b)
		for _, s := range must(b) {
			compared++
			s = spaces(strings.TrimSuffix(s, "."))
			if !strings.Contains(text, s) {
				t.Errorf("%s: the text lacks %q", name, s)
			}
			if !strings.Contains(page, s) {
				t.Errorf("%s: the page lacks %q", name, s)
			}
		}
		for _, s := range onPaper(b) {
			compared++
			if s = spaces(settable(strings.TrimSuffix(s, "."))); !strings.Contains(paper, s) {
				t.Errorf("%s: the print lacks %q", name, s)
			}
		}
		for _, d := range b.Drifts {
			compared++
			head := fmt.Sprintf("%d %s, %s min", d.Number, clock(d.Start), whole(d.Minutes))
			if !strings.Contains(text, fmt.Sprintf("Drift %d: ", d.Number)) || !strings.Contains(page, head) {
				t.Errorf("%s: drift %d is missing in a format", name, d.Number)
			}
		}
		for _, s := range b.SetUps {
			compared++
			if words := spaces(tell(b, s)); !strings.Contains(text, words) || !strings.Contains(page, words) {
				t.Errorf("%s: %q is missing in a format", name, words)
			}
		}
		for _, c := range append(append([]string{}, b.Sources...), checkTexts(b)...) {
			compared++
			if !strings.Contains(text, spaces(c)) || !strings.Contains(page, spaces(c)) {
				t.Errorf("%s: %q is missing", name, c)
			}
		}
	}
	if compared < 100 {
		t.Errorf("compared %d sentences only", compared)
	}
}

func checkTexts(b brief.Brief) []string {
	var out []string
	for _, s := range b.SetUps {
		for _, c := range s.Checks {
			out = append(out, c.Text)
		}
	}
	return out
}

func TestNoFormatSaysNaN(t *testing.T) {
	for name, b := range edgeBriefs() {
		for _, s := range []string{textOf(t, b, 80), withoutData(pageOf(t, b))} {
			if m := unsaid.FindString(s); m != "" {
				i := strings.Index(s, m)
				t.Errorf("%s: %q in %q", name, m, s[max(0, i-60):min(len(s), i+60)])
			}
		}
	}
}

func TestSameBriefSameBytes(t *testing.T) {
	for name, b := range edgeBriefs() {
		text, page := textOf(t, b, 80), pageOf(t, b)
		if text != textOf(t, b, 80) || page != pageOf(t, b) {
			t.Errorf("%s: the same brief gave another text or page", name)
		}
		if !bytes.Equal(printOf(t, b), printOf(t, b)) {
			t.Errorf("%s: the same brief gave another print", name)
		}
	}
}

func TestTextKeepsItsWidth(t *testing.T) {
	lines := 0
	for name, b := range edgeBriefs() {
		for _, width := range []int{10, 60, 80, 132} {
			for _, l := range strings.Split(textOf(t, b, width), "\n") {
				lines++
				if n := lipgloss.Width(l); n > max(60, width) {
					t.Errorf("%s: a line of %d columns at width %d: %q", name, n, width, l)
				}
				if l != strings.TrimRight(l, " ") {
					t.Errorf("%s: blanks at the end of %q", name, l)
				}
			}
		}
	}
	if lines < 500 {
		t.Errorf("looked at %d lines only", lines)
	}
}

// A name from a file must not steer a terminal, close a tag or open a script.
func TestNamesFromFilesAreInert(t *testing.T) {
	b := exampleBrief()
	evil := "\x1b[31m</style><script>alert(1)</script>\x07\"'><svg onload=x>"
	b.Water, b.Headline, b.Drifts[0].StartAt, b.Drifts[0].Passes[0].What = evil, evil, evil, evil
	b.SetUps[0].Name, b.SetUps[0].Flies[0].Name, b.SetUps[0].Flies[0].Role, b.Lake.Places[0].Name, b.Lake.WindText = evil, evil, evil, evil, evil
	for _, r := range textOf(t, b, 80) {
		if unicode.IsControl(r) && r != '\n' {
			t.Fatalf("the text holds the control code %U", r)
		}
	}
	page := pageOf(t, b)
	if strings.Contains(page, "<script") || strings.Contains(page, "<svg onload") {
		t.Error("a name became markup")
	}
	for _, s := range svgs.FindAllString(page, -1) {
		wellFormed(t, "evil names", s)
	}
}

func wellFormed(t *testing.T, name, s string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(s))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Errorf("%s: an SVG is not well-formed: %v", name, err)
			return
		}
	}
}

func TestPageStandsAlone(t *testing.T) {
	for name, b := range edgeBriefs() {
		page := pageOf(t, b)
		if m := regexp.MustCompile(`(?i)<script|<link|<img|<iframe|@import|\shref=|\ssrc=|url\((?:[^d]|d[^a])`).FindString(page); m != "" {
			t.Errorf("%s: the page reaches out: %q", name, m)
		}
		bare := strings.ReplaceAll(page, `xmlns="http://www.w3.org/2000/svg"`, "")
		if strings.Contains(withoutData(bare), "//") {
			t.Errorf("%s: an address in the page", name)
		}
		pictures := svgs.FindAllString(page, -1)
		if len(pictures) < 3 {
			t.Errorf("%s: %d pictures only", name, len(pictures))
		}
		for _, s := range pictures {
			wellFormed(t, name, s)
			if !strings.Contains(s, `role="img" aria-label="`) && !strings.Contains(s, `aria-hidden="true"`) {
				t.Errorf("%s: a picture has no name: %.120s", name, s)
			}
		}
	}
}

// pictures are all drawings of a brief, by name.
func pictures(b brief.Brief) map[string]*drawing {
	all := map[string]*drawing{
		"strip, narrow": hourStrip(b, stripNarrow), "strip, wide": hourStrip(b, stripWide),
		"strip, print": paperStrip(b), "lake": lakePicture(b, lakePhone), "lake, north up": lakePicture(b, lakeNorth),
	}
	for _, d := range b.Drifts {
		if c := driftChart(b, d, lakeDrift); c != nil {
			all[fmt.Sprintf("chart %d", d.Number)] = c
		}
		all[fmt.Sprintf("drift %d", d.Number)] = driftSide(b, d, 344, 132, 14)
	}
	for i, s := range b.SetUps {
		all[fmt.Sprintf("cast %d, narrow", i+1)] = castSide(b, s, castNarrow)
		all[fmt.Sprintf("cast %d, wide", i+1)] = castSide(b, s, castWide)
		all[fmt.Sprintf("leader %d", i+1)] = leaderPicture(b, s, 344)
		if d := stillPicture(b, s, 344); d != nil {
			all[fmt.Sprintf("still %d", i+1)] = d
		}
	}
	for i, d := range printSides(b) {
		all[fmt.Sprintf("side %d", i+1)] = d
	}
	return all
}

// Words cover no words and are not cut off, by the font's own widths; the browser
// test looks at the same once more with a browser's eyes.
func TestWordsAreFreeAndWhole(t *testing.T) {
	words := 0
	for name, b := range edgeBriefs() {
		words += free(t, name, b)
	}
	if words < 1000 {
		t.Errorf("looked at %d words only", words)
	}
}

func free(t *testing.T, name string, b brief.Brief) (words int) {
	t.Helper()
	for picture, d := range pictures(b) {
		words += freeOn(t, name+": "+picture, d)
	}
	return words
}

// freeOn looks at the words of one drawing.
func freeOn(t *testing.T, name string, d *drawing) (words int) {
	t.Helper()
	var boxes []box
	var said []string
	for _, m := range d.marks {
		if m.words == "" {
			continue
		}
		words++
		at := wordsBox(m.at.x, m.at.y, m.words, letter{size: m.size, bold: m.bold, anchor: m.anchor})
		at = box{at.x0 + 1, at.y0 + 1, at.x1 - 1, at.y1 - 1}
		if at.x0 < -1 || at.y0 < -1 || at.x1 > d.w+1 || at.y1 > d.h+1 {
			t.Errorf("%s: %q is cut off: %.0f in %.0f x %.0f", name, m.words, at, d.w, d.h)
		}
		for i, o := range boxes {
			if o.meets(at) {
				t.Errorf("%s: %q covers %q", name, m.words, said[i])
			}
		}
		boxes, said = append(boxes, at), append(said, m.words)
	}
	return words
}

// No letter of the print is under 9 pt.
var number = regexp.MustCompile(`\d+(?:\.\d+)?½?|½`)

// Whatever figure a picture shows in ink can be read as text beside it. Grey
// figures are the rulers' own.
func TestFiguresAreAlsoText(t *testing.T) {
	compared := 0
	for name, b := range edgeBriefs() {
		beside := map[string]bool{}
		for _, n := range number.FindAllString(read(pageOf(t, b)), -1) {
			beside[strings.TrimLeft(n, "0")] = true
		}
		for picture, d := range pictures(b) {
			if strings.HasPrefix(picture, "side") {
				continue
			}
			for _, m := range d.marks {
				if m.words == "" || m.ink == grey {
					continue
				}
				for _, n := range number.FindAllString(m.words, -1) {
					compared++
					if !beside[strings.TrimLeft(n, "0")] {
						t.Errorf("%s: %s shows %q, which is nowhere in the text", name, picture, m.words)
					}
				}
			}
		}
	}
	if compared < 300 {
		t.Errorf("compared %d figures only", compared)
	}
}

// Two sides and the tick sheet, whatever the day.
// The demo's own day, end to end: its long day of many drifts and set-ups loses
// neither picture nor word that is needed afloat.
// A drift's own chart has its number, its spread, a tick each five minutes, and the
// bar with the hour and the landmark's bearing.
// What nobody has sounded is dotted and hatched, and no firm bed is drawn there.
// A minute stands once in a drift's table, its last one too.
// Our widths against the print library's own reading of the font.
func TestTextWidth(t *testing.T) {
	p := fpdf.New("P", "pt", "A4", "")
	p.AddUTF8FontFromBytes("h", "", bytes.Clone(fontRegular))
	p.AddUTF8FontFromBytes("h", "B", bytes.Clone(fontBold))
	for _, s := range []string{"0123456789", "½ ¼ ° × – …", "Drop-off, 11 to 17 ft", "WSW", "Größe, é"} {
		for style, bold := range map[string]bool{"": false, "B": true} {
			p.SetFont("h", style, 100)
			if got, want := textWidth(s, 100, bold), p.GetStringWidth(s); math.Abs(got-want) > 0.5 {
				t.Errorf("%q, bold %v: %v wide, the library says %v", s, bold, got, want)
			}
		}
	}
	if got := settable("wind ≥ 20 → home ✓"); got != "wind at least  20 to home ?" {
		t.Errorf("settable gave %q", got)
	}
}

// Contrast by WCAG 2.2 (relative luminance; 1.4.6 asks 7 of text at level AAA,
// 1.4.3 asks 4.5): every ink that words are set in, on each ground, day and night.
func TestInksAreReadable(t *testing.T) {
	token := regexp.MustCompile(`--([a-z0-9-]+):#([0-9A-F]{3,6})\b`)
	blocks := regexp.MustCompile(`(?s):root\{[^}]*\}`).FindAllString(pageCSS, -1)
	if len(blocks) != 3 {
		t.Fatalf("found %d palettes, want day, night and print", len(blocks))
	}
	for i, block := range blocks {
		light := map[string]float64{}
		for _, m := range token.FindAllStringSubmatch(block, -1) {
			light[m[1]] = luminance(t, m[2])
		}
		for _, pair := range []struct {
			ink, ground string
			least       float64
		}{{"ink", "paper", 7}, {"ink", "tone", 7}, {"ink2", "paper", 7}, {"ink2", "tone", 7}, {"on-mind", "mind", 7}, {"belief", "paper", 4.5}} {
			a, ok := light[pair.ink]
			b, found := light[pair.ground]
			if !ok || !found {
				t.Errorf("palette %d lacks %s or %s", i, pair.ink, pair.ground)
			}
			if c := (math.Max(a, b) + 0.05) / (math.Min(a, b) + 0.05); c < pair.least {
				t.Errorf("palette %d: %s on %s has %.1f, want %.1f", i, pair.ink, pair.ground, c, pair.least)
			}
		}
	}
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		sum += weight * linear(float64(v)/255)
	}
	return sum
}

// Whatever numbers a brief holds, each format is made and says no NaN.
func TestWildNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	wild := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-12, 1e300, -1e300, 37}
	for round := range 60 {
		b := exampleBrief()
		spoil(reflect.ValueOf(&b).Elem(), func(v reflect.Value) {
			if r.Float64() < 0.03 {
				v.SetFloat(wild[r.IntN(len(wild))])
			}
		})
		text, page := textOf(t, b, 80), withoutData(pageOf(t, b))
		if round%4 == 0 {
			printOf(t, b)
		}
		for _, s := range []string{text, page} {
			for _, m := range []string{"NaN", "+Inf", "-Inf", "%!", "<nil>"} {
				if i := strings.Index(s, m); i >= 0 {
					t.Fatalf("round %d: %q in %q", round, m, s[max(0, i-60):min(len(s), i+60)])
				}
			}
		}
	}
}

func spoil(v reflect.Value, each func(reflect.Value)) {
	switch v.Kind() {
	case reflect.Float64:
		each(v)
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return
		}
		for i := range v.NumField() {
			spoil(v.Field(i), each)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			spoil(v.Index(i), each)
		}
	}
}

// TestWritten writes every edge of a brief in every format; with WINDLANE_OUT
// set they stay there, to be looked at or opened by the browser's tests.
func TestWritten(t *testing.T) {
	dir := os.Getenv("WINDLANE_OUT")
	if dir == "" {
		dir = t.TempDir()
	}
	for name, b := range edgeBriefs() {
		name = strings.Trim(regexp.MustCompile(`[^a-z0-9]+`).ReplaceAllString(name, "-"), "-")
		for ext, data := range map[string][]byte{".txt": []byte(textOf(t, b, 80)), ".html": []byte(pageOf(t, b)), ".pdf": printOf(t, b)} {
			if err := os.WriteFile(filepath.Join(dir, name+ext), data, 0o644); err != nil {
				t.Fatal(err)
			}
			if len(data) == 0 {
				t.Errorf("%s%s is empty", name, ext)
			}
		}
	}
}

func BenchmarkHTML(b *testing.B) {
	day := exampleBrief()
	b.ReportAllocs()
	for b.Loop() {
		if err := HTML(io.Discard, day); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPDF(b *testing.B) {
	day := exampleBrief()
	b.ReportAllocs()
	for b.Loop() {
		if err := PDF(io.Discard, day); err != nil {
			b.Fatal(err)
		}
	}
}
