package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"os"
	"strings"
	"testing"

	"windlane/internal/engine"
	"windlane/internal/wire"
)

// The drifts are told as one would in a boat, with the day's hours, and the next
// alone where that is asked for.
func TestPlanTells(t *testing.T) {
	cases := []struct {
		name      string
		args      []string
		says, not []string
	}{
		{"the evening before", []string{"--way", "lures"},
			[]string{"Drifts: Osmerley Water", "Wind WSW", "Gusts reach 25 mph", "Drift 1: ", "Drift 2: ", "Start at 52.", "You cross ", "from minute ", " ft going to ", "bed, ft", "Lift here ", " bears ", "Begin to hand the drogue in at", "Then motor ", "min home: turn by ", "Next best from here: ", "If the wind ", "Turn for home by "},
			[]string{"Set-ups", "Take", "Fish "}},
		{"with the set-ups", nil, []string{"Drift 1: ", "Fish "}, []string{"Set-ups"}},
		{"the next, in the wind just met", []string{"--way", "lures", "--next", "--at", "11:40", "--here", "52.617, -14.620", "--wind", "6 m/s from 230"},
			[]string{"Boat 11:40 to", "Wind SW 13 mph as met at 11:40; forecast SW", "Drift 1: 11:4", "min home"}, []string{"Drift 2"}},
		{"from a place by its name", []string{"--way", "lures", "--next", "--at", "11:40", "--here", "hump"}, []string{"Drift 1: 11:4"}, []string{"Drift 2"}},
		{"as the brief writes a position", []string{"--way", "lures", "--next", "--here", "52.61700° N, 14.62000° W"}, []string{"Drift 1: "}, []string{"Drift 2"}},
	}
	for _, c := range cases {
		got := typeIn("", append([]string{"plan", "--demo"}, c.args...)...)
		if got.code != exitFine || got.err != "" {
			t.Errorf("%s: code %d, %s", c.name, got.code, got.err)
		}
		flat := strings.Join(strings.Fields(got.out), " ")
		for _, s := range c.says {
			if !strings.Contains(flat, s) {
				t.Errorf("%s: does not say %q:\n%s", c.name, s, got.out)
			}
		}
		for _, s := range c.not {
			if strings.Contains(flat, s) {
				t.Errorf("%s: says %q:\n%s", c.name, s, got.out)
			}
		}
		if strings.ContainsAny(got.out, "\x1b\t\r") || strings.Contains(got.out, "NaN") || strings.Contains(got.out, "%!") {
			t.Errorf("%s: control codes or no number in\n%s", c.name, got.out)
		}
	}
}

// --json is the answer of the one door to the same question, and an earlier one
// of it, or day.json, is what was fished.
func TestPlanAgain(t *testing.T) {
	t.Chdir(t.TempDir())
	args := []string{"plan", "--demo", "--json", "--way", "lures", "--next", "--at", "09:20", "--here", "52.6160,-14.6015", "--wind", "5 m/s from 250", "--tries", "0", "--seed", "3"}
	none := 0
	r := &wire.DriftsRequest{
		At: "09:20", Start: &[2]float64{-14.6015, 52.6160}, Observed: &wire.ObservedWind{At: "09:20", Speed: 5, From: 250}, Way: "lures", Effort: "quick", Tries: &none, Seed: 3,
	}
	r.SetDay(demoRequest())
	line, err := json.Marshal(struct {
		ID  string `json:"id"`
		Ask string `json:"ask"`
		*wire.DriftsRequest
	}{"drifts", "drifts", r})
	if err != nil {
		t.Fatal(err)
	}
	got := typeIn("", args...)
	if want := string(engine.Answer(line)) + "\n"; got.code != exitFine || got.out != want || strings.Contains(want, `"error"`) {
		t.Fatalf("code %d %s\n%.300s\nwant\n%.300s", got.code, got.err, got.out, want)
	}
	start := func(s screen) string {
		t.Helper()
		var a struct {
			Answer struct {
				Drifts []struct {
					Start [2]float64 `json:"start_lonlat"`
				}
			}
		}
		if err := json.Unmarshal([]byte(s.out), &a); err != nil || len(a.Answer.Drifts) != 1 {
			t.Fatalf("%d drifts, %v: %s%.200s", len(a.Answer.Drifts), err, s.err, s.out)
		}
		b, _ := json.Marshal(a.Answer.Drifts[0].Start)
		return string(b)
	}
	if err := os.WriteFile("morning.json", []byte(got.out), 0o644); err != nil {
		t.Fatal(err)
	}
	// The same an hour on: the water just drifted is left alone.
	later := []string{"plan", "--demo", "--json", "--way", "lures", "--next", "--at", "09:50", "--here", "52.6160,-14.6015"}
	untouched, fished := typeIn("", later...), typeIn("", append(later, "--fished", "morning.json", "--hooked", "1")...)
	if a, b := start(untouched), start(fished); a == b {
		t.Errorf("from %s again, on water just fished", a)
	}
	if got := typeIn("", "demo", "--quiet", "--out", "day"); got.code != exitFine {
		t.Fatal(got.err)
	}
	for _, name := range []string{"day/day.json", "day/day.gpx"} {
		if got := typeIn("", append(later, "--fished", name)...); got.code != exitFine {
			t.Errorf("%s: %s", name, got.err)
		}
	}
}

// The drifts for a plotter and for a map, whole or not at all.
func TestPlanWrites(t *testing.T) {
	t.Chdir(t.TempDir())
	got := typeIn("", "plan", "--demo", "--way", "lures", "--next", "--quiet", "--gpx", "out/next.gpx", "--geojson", "next.geojson")
	if got.code != exitFine || got.out != "" || got.err != "" {
		t.Fatalf("code %d, %q %q", got.code, got.out, got.err)
	}
	gpx, err := os.ReadFile("out/next.gpx")
	if err != nil || !bytes.Contains(gpx, []byte("<gpx")) || xml.Unmarshal(gpx, new(struct{})) != nil {
		t.Errorf("GPX: %v, %.100s", err, gpx)
	}
	geo, err := os.ReadFile("next.geojson")
	if err != nil || !json.Valid(geo) || !bytes.Contains(geo, []byte("FeatureCollection")) {
		t.Errorf("GeoJSON: %v, %.100s", err, geo)
	}
	if err := os.Mkdir("taken.gpx", 0o755); err != nil {
		t.Fatal(err)
	}
	if got := typeIn("", "plan", "--demo", "--way", "lures", "--next", "--gpx", "taken.gpx"); got.code != exitInput || got.out != "" {
		t.Errorf("over a folder: code %d, %.100s", got.code, got.out)
	}
	if got := typeIn("", "plan", "--demo", "--way", "lures", "--at", "23:00", "--gpx", "late.gpx"); got.code != exitInput {
		t.Errorf("after the day: code %d", got.code)
	}
	if _, err := os.Stat("late.gpx"); err == nil {
		t.Error("a file was written of a plan that was refused")
	}
}

// What is typed badly is told by its flag, and what is allowed.
func TestPlanBadFlags(t *testing.T) {
	kitchen(t)
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"--lake", "--demo"}},
		{[]string{"--lake", "osmerley.geojson"}, []string{"--forecast, --bag, --day"}},
		{[]string{"--demo", "--bag", "bag.toml"}, []string{"--bag", "--demo"}},
		{[]string{"--demo", "--at", "9 o'clock"}, []string{`--at "9 o'clock"`, "09:00"}},
		{[]string{"--demo", "--at", "19:00"}, []string{`--at "19:00"`, "till 24 April 17:30"}},
		{[]string{"--demo", "--here", "nowhere"}, []string{`--here "nowhere"`, "the hump"}},
		{[]string{"--demo", "--way", "lures", "--here", "the reserve"}, []string{`--here "the reserve"`, "no motor runs"}},
		{[]string{"--demo", "--way", "lures", "--here", "10,10"}, []string{`--here "10,10"`, "off the lake"}},
		{[]string{"--demo", "--here", "100,10"}, []string{"--here", "latitude comes first"}},
		{[]string{"--demo", "--here", " "}, []string{"--here", "52.617,-14.620"}},
		{[]string{"--demo", "--wind", "6 m/s from 230"}, []string{"--wind", "--at"}},
		{[]string{"--demo", "--at", "11:40", "--wind", "6 m/s"}, []string{"--wind", "14 mph from SW"}},
		{[]string{"--demo", "--at", "11:40", "--wind", "6 parsec from SW"}, []string{"--wind", "parsec", "mph"}},
		{[]string{"--demo", "--at", "11:40", "--wind", "6 m/s from up"}, []string{"--wind", "up", "SW"}},
		{[]string{"--demo", "--at", "11:40", "--wind", "900 mph from SW"}, []string{`--wind "900 mph from SW"`, "0 to 60"}},
		{[]string{"--demo", "--way", "trolling"}, []string{`--way "trolling"`, "washing_line"}},
		{[]string{"--demo", "--tries=-4"}, []string{"--tries", "0 to 100000"}},
		{[]string{"--demo", "--seed=-4"}, []string{"--seed", "0 to"}},
		{[]string{"--demo", "--hooked", "1"}, []string{"--hooked 1", "--fished"}},
		{[]string{"--demo", "--fished", "nothing.json"}, []string{"nothing.json"}},
		{[]string{"--demo", "--way", "lures", "--fished", "bag.toml"}, []string{"--fished", "bag.toml"}},
		{[]string{"--demo", "--width", "5"}, []string{"--width 5", "60 to 200"}},
	} {
		got := typeIn("", append([]string{"plan"}, c.args...)...)
		if got.code != exitInput || got.out != "" || !strings.HasPrefix(got.err, "windlane: ") || strings.Count(strings.TrimSpace(got.err), "\n") > 1 {
			t.Errorf("%v: code %d, said %.100q\n%s", c.args, got.code, got.out, got.err)
		}
		for _, s := range c.says {
			if !strings.Contains(got.err, s) {
				t.Errorf("%v: does not say %q: %s", c.args, s, got.err)
			}
		}
	}
}

// saidSeeds are places and winds as people type them, and whether they are one.
var saidSeeds = []struct {
	text       string
	spot, wind bool
}{
	{"52.617,-14.620", true, false}, {"52.61700° N, 14.62000° W", true, false}, {"52.6 s 14 e", true, false}, {"the hump", true, false},
	{"91,0", false, false}, {"", false, false}, {"6 m/s from 230", true, true}, {"14 mph from SW", true, true}, {"NaN m/s from SW", true, false}, {"6 m/s from", true, false},
}

func TestSaid(t *testing.T) {
	for _, c := range saidSeeds {
		var s spot
		var w met
		if err := s.UnmarshalText([]byte(c.text)); (err == nil) != c.spot {
			t.Errorf("%q as a place: %+v, %v", c.text, s, err)
		}
		if err := w.UnmarshalText([]byte(c.text)); (err == nil) != c.wind {
			t.Errorf("%q as a wind: %+v, %v", c.text, w, err)
		}
	}
	var s spot
	if err := s.UnmarshalText([]byte("52.61700° S, 14.62000° W")); err != nil || *s.lonLat != [2]float64{-14.62, -52.617} {
		t.Errorf("%+v, %v", s, err)
	}
}

func FuzzSaid(f *testing.F) {
	for _, c := range saidSeeds {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var s spot
		if err := s.UnmarshalText([]byte(text)); err == nil && s.name == "" && (s.lonLat == nil || !(s.lonLat[0] >= -180 && s.lonLat[0] <= 180 && s.lonLat[1] >= -90 && s.lonLat[1] <= 90)) {
			t.Errorf("%q: %+v", text, s)
		}
		var w met
		if err := w.UnmarshalText([]byte(text)); err == nil && !(w.speed-w.speed == 0 && w.from.deg >= 0 && w.from.deg <= 360) {
			t.Errorf("%q: %+v", text, w)
		}
	})
}
