package render

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"

	"windlane/brief"
	"windlane/demo"
	"windlane/internal/engine"
	"windlane/internal/wire"
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
	if views != len(b.Drifts) {
		t.Errorf("%d side views of %d drifts", views, len(b.Drifts))
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
