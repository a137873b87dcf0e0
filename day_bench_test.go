package windlane_test

import (
	"bytes"
	"context"
	"testing"

	"windlane"
	"windlane/demo"
	"windlane/forecast"
	"windlane/outing"
	"windlane/strata"
	"windlane/tackle"
	"windlane/water"
)

// demoInputs reads the demo's files as a person's.
func demoInputs(t testing.TB) windlane.Inputs {
	t.Helper()
	read := func(name string) (string, *bytes.Reader) {
		r, ok := demo.Open(name)
		if !ok {
			t.Fatalf("the demo has no %s", name)
		}
		return name, r
	}
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	var in windlane.Inputs
	var err error
	name, r := read(demo.OutlineFile)
	in.Outline, err = water.ReadOutline(name, r)
	must(err)
	name, r = read(demo.SoundingsFile)
	soundings, err := water.ReadSoundings(name, r)
	must(err)
	in.Soundings = append(in.Soundings, soundings)
	name, r = read(demo.DayFile)
	in.Outing, err = outing.ReadDay(name, r)
	must(err)
	name, r = read(demo.ForecastFile)
	in.Weather, err = forecast.ReadCSV(name, r, in.Outing.Zone)
	must(err)
	name, r = read(demo.BagFile)
	in.Bag, err = tackle.ReadBag(name, r)
	must(err)
	name, r = read(demo.ProfileFile)
	profile, err := strata.ReadProfile(name, r)
	must(err)
	in.Profile = &profile
	return in
}

// BenchmarkDay is the whole plan of the demo's day, files read.
func BenchmarkDay(b *testing.B) {
	in := demoInputs(b)
	for b.Loop() {
		if _, err := windlane.Day(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}
