package demo_test

import (
	"io"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"windlane/forecast"
	"windlane/outing"
	"windlane/strata"
	"windlane/tackle"
	"windlane/track"
	"windlane/water"
)

// Every example in docs/formats.md reads as it stands, by the reader of the
// heading it is under.
func TestExamplesOfTheFormatsRead(t *testing.T) {
	page, err := os.ReadFile("../docs/formats.md")
	if err != nil {
		t.Fatal(err)
	}
	zone := time.FixedZone("", 3600)
	readers := map[string]func(name string, r io.Reader) error{
		"Outline":   func(n string, r io.Reader) error { _, err := water.ReadOutline(n, r); return err },
		"Soundings": func(n string, r io.Reader) error { _, err := water.ReadSoundings(n, r); return err },
		"Forecast":  func(n string, r io.Reader) error { _, err := forecast.ReadCSV(n, r, zone); return err },
		"TAF": func(n string, r io.Reader) error {
			_, err := forecast.ReadTAF(n, r, time.Date(2026, 5, 2, 9, 0, 0, 0, zone))
			return err
		},
		"Boat track":        func(n string, r io.Reader) error { _, err := track.Read(n, r); return err },
		"Water temperature": func(n string, r io.Reader) error { _, err := strata.ReadProfile(n, r); return err },
		"The bag":           func(n string, r io.Reader) error { _, err := tackle.ReadBag(n, r); return err },
		"The day":           func(n string, r io.Reader) error { _, err := outing.ReadDay(n, r); return err },
	}
	read := 0
	example := regexp.MustCompile("(?s)```[a-z]+\n(.*?)```")
	for _, section := range strings.Split(string(page), "\n## ")[1:] {
		heading, body, _ := strings.Cut(section, "\n")
		for name, reader := range readers {
			if !strings.HasPrefix(heading, name) {
				continue
			}
			for _, m := range example.FindAllStringSubmatch(body, -1) {
				if err := reader(heading, strings.NewReader(m[1])); err != nil {
					t.Error(err)
				}
				read++
			}
		}
	}
	if want := len(readers) + 3; read != want { // soundings have four
		t.Errorf("%d examples were read, want %d", read, want)
	}
}
