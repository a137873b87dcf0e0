package render

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"

	"windlane/brief"
	"windlane/demo"
	"windlane/internal/engine"
	"windlane/internal/wire"
	"windlane/quantity"
)

func onPaper(b brief.Brief) []string {
	all := []string{b.Headline, b.Turn, b.First}
	for _, c := range b.Cautions {
		all = append(all, firstSentence(c.Text))
	}
	for _, d := range b.Drifts {
		stop := stopOf(d)
		set := setUpLetter(b, d.SetUp)
		if d.Drogue {
			set += ", drogue"
		}
		begin := bare(d.StartAt)
		all = append(all, fmt.Sprintf("%d %s %s %s %s", d.Number, clock(d.Start), whole(d.Minutes), set, begin[:min(len(begin), 18)]))
		all = append(all, clock(stop.At)+" "+bare(stop.Landmark))
		all = append(all, fmt.Sprintf("%s %03.0f°", bare(stop.Landmark), stop.Bearing.Degrees()))
		for _, p := range d.Passes {
			all = append(all, p.What)
		}
	}
	for _, s := range b.SetUps {
		if s.Count > 0 {
			all = append(all, whole(s.Count))
		}
	}
	return filled(append(append(all, b.Kit...), b.Touch...)...)
}

func wordsOnPaper(b brief.Brief) string {
	var print strings.Builder
	for _, d := range printSides(b) {
		for _, m := range d.marks {
			if m.words != "" {
				print.WriteString(m.words + " ")
			}
		}
	}
	return spaces(print.String())
}

func TestPrintIsLegible(t *testing.T) {
	for name, b := range edgeBriefs() {
		for i, d := range printSides(b) {
			for _, m := range d.marks {
				if m.words != "" && m.size*pxToPt < 9 {
					t.Errorf("%s: side %d: %q has %.1f pt", name, i+1, m.words, m.size*pxToPt)
				}
			}
		}
	}
}

func TestPrintSides(t *testing.T) {
	for name, b := range edgeBriefs() {
		pdf := printOf(t, b)
		if got := len(regexp.MustCompile(`/Type /Page\b[^s]`).FindAll(pdf, -1)); got != 3 {
			t.Errorf("%s: %d sides, want 3", name, got)
		}
		// A5 is 148 mm by 210 mm (ISO 216)
		if !bytes.Contains(pdf, []byte("/MediaBox [0 0 419.53 595.28]")) {
			t.Errorf("%s: not A5", name)
		}
		if date := []byte("/CreationDate (D:20260414"); !bytes.Contains(pdf, date) && !b.From.IsZero() {
			t.Errorf("%s: the print's date is not the brief's", name)
		}
		if !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Contains(pdf, []byte("/FontFile2")) {
			t.Errorf("%s: no PDF with its fonts inside", name)
		}
	}
}

func TestDemoOnPaper(t *testing.T) {
	file := func(name string) wire.File {
		r, ok := demo.Open(name)
		if !ok {
			t.Fatalf("the demo has no %s", name)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		return wire.File{Name: name, Text: string(b)}
	}
	profile := file(demo.ProfileFile)
	b, fault := engine.Day(t.Context(), &wire.DayRequest{Outline: file(demo.OutlineFile), Soundings: []wire.File{file(demo.SoundingsFile)},
		Forecast: file(demo.ForecastFile), Code: "csv", Bag: file(demo.BagFile), Outing: file(demo.DayFile), Profile: &profile}, func(string) {})
	if fault != nil {
		t.Fatal(fault.Message)
	}
	if len(b.Drifts) < 5 || len(b.SetUps) < 4 {
		t.Errorf("%d drifts and %d set-ups: not the long day this test is for", len(b.Drifts), len(b.SetUps))
	}
	sides := printSides(*b)
	if len(sides) != 3 {
		t.Errorf("%d sides", len(sides))
	}
	paper := wordsOnPaper(*b)
	for _, s := range onPaper(*b) {
		if s = spaces(settable(strings.TrimSuffix(s, "."))); !strings.Contains(paper, s) {
			t.Errorf("the print lacks %q", s)
		}
	}
	views := 0
	for _, m := range sides[1].marks {
		if strings.HasSuffix(m.words, " min") && m.bold {
			views++
		}
	}
	// All of them or, on a day too long for that and for whole set-ups, the first
	// cast's view; what a drift passes is in words either way, as onPaper asks.
	if cast := strings.Contains(paper, "bed "); views != len(b.Drifts) && (views != 0 || !cast) {
		t.Errorf("%d side views of %d drifts, the first cast's: %v", views, len(b.Drifts), cast)
	}
	free(t, "demo", *b)
}

func TestTickSheet(t *testing.T) {
	for hours, columns := range map[int]int{1: 1, 9: 1, 12: 2, 20: 2} {
		b := exampleBrief()
		b.Until = b.From.Add(time.Duration(hours) * time.Hour)
		d := tickSheet(b, 3, &drawing{})
		seen := map[string]int{}
		for _, m := range d.marks {
			seen[m.words]++
		}
		for _, p := range places {
			if seen[p] != columns {
				t.Errorf("%d h: %q stands %d times, want %d", hours, p, seen[p], columns)
			}
		}
		for q := range hours * 4 {
			if at := clock(b.From.Add(time.Duration(q) * 15 * time.Minute)); seen[at] != 1 {
				t.Errorf("%d h: the quarter %s stands %d times", hours, at, seen[at])
			}
		}
	}
}

// Days of every make, by a fixed seed: any number of drifts and set-ups, long names,
// many cautions, a lake of any shape in any wind. Each has its three sides, no word
// covers another or leaves the paper, and nothing needed afloat is lost.
func TestAnyDayFitsOnPaper(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	some := func(n int) string {
		words := strings.Fields("the old drowned lane by the third marker off the north shore where the brook comes in under the willows")
		k := r.IntN(len(words) - n)
		return strings.Join(words[k:k+n], " ")
	}
	for round := range 40 {
		b := exampleBrief()
		if round%2 == 1 {
			b.Units = quantity.Metric
		}
		b.Hours = exampleHours(5, 1+r.IntN(17))
		b.From, b.Until = b.Hours[0].At, b.Hours[len(b.Hours)-1].At.Add(time.Hour)
		b.Lake.WindFrom = quantity.FromDegrees(float64(r.IntN(360)))
		stretch := 0.3 + 2*r.Float64()
		for _, rings := range [][][]brief.Point{b.Lake.Shore, b.Lake.Islands, b.Lake.NotSounded} {
			for _, ring := range rings {
				for i := range ring {
					ring[i].X *= stretch
				}
			}
		}
		b.Drifts = nil
		for i := range r.IntN(15) {
			d := exampleBrief().Drifts[i%3]
			d.Number, d.Start, d.SetUp = i+1, b.From.Add(time.Duration(i)*37*time.Minute), r.IntN(3)-1
			d.Stop.At, d.Stop.HandIn, d.Stop.Landmark = time.Time{}, time.Time{}, some(1+r.IntN(4))
			d.StartAt = "120 yd SSW of " + some(1+r.IntN(5))
			d.Passes = d.Passes[:0:0]
			for k := range r.IntN(4) {
				d.Passes = append(d.Passes, brief.Pass{FromMinute: float64(5 * k), ToMinute: float64(5*k + 4), What: some(2+r.IntN(3)) + ", 11 to 17 ft"})
			}
			b.Drifts = append(b.Drifts, d)
		}
		b.SetUps = nil
		for range r.IntN(7) {
			s := []brief.SetUp{exampleSetUp(), washing()}[r.IntN(2)]
			s.Name, s.When = some(1+r.IntN(4)), some(1+r.IntN(4))
			b.SetUps = append(b.SetUps, s)
		}
		for i := range r.IntN(18) {
			b.Cautions = append(b.Cautions, brief.Caution{Level: []brief.Level{brief.Note, brief.Note, brief.Mind}[r.IntN(3)], Text: fmt.Sprintf("%d %s %s. %s.", i, some(5), some(5), some(8))})
		}
		if r.IntN(4) == 0 {
			b.Cautions = append([]brief.Caution{{Level: brief.Now, Text: "Stay ashore: " + some(8)}}, b.Cautions...)
		}
		for range r.IntN(25) {
			b.Kit = append(b.Kit, some(3))
		}
		name := fmt.Sprintf("round %d: %d drifts, %d set-ups, %d cautions, %d hours", round, len(b.Drifts), len(b.SetUps), len(b.Cautions), len(b.Hours))
		sides := printSides(b)
		if len(sides) != 3 {
			t.Errorf("%s: %d sides", name, len(sides))
		}
		paper := wordsOnPaper(b)
		for _, c := range b.Cautions {
			if s := spaces(settable(strings.TrimSuffix(firstSentence(c.Text), "."))); !strings.Contains(paper, s) {
				t.Errorf("%s: the print lacks %q", name, s)
			}
		}
		for _, d := range b.Drifts {
			for _, s := range []string{fmt.Sprintf("%d %s %s ", d.Number, clock(d.Start), whole(d.Minutes)), clock(stopOf(d).At)} {
				if !strings.Contains(paper, s) {
					t.Errorf("%s: the print lacks %q", name, s)
				}
			}
			for _, p := range d.Passes {
				if !strings.Contains(paper, p.What) {
					t.Errorf("%s: the print lacks %q", name, p.What)
				}
			}
		}
		for i, d := range sides {
			freeOn(t, fmt.Sprintf("%s, side %d", name, i+1), d)
			for _, m := range d.marks {
				if m.words != "" && m.at.y > footY+1 {
					t.Errorf("%s, side %d: %q stands %.0f px below the foot", name, i+1, m.words, m.at.y-footY)
				}
			}
		}
	}
}
