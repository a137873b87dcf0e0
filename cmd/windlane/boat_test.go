package main

import (
	"os"
	"slices"
	"strings"
	"testing"

	"windlane/tackle"
)

// The demo's way was made with 4.7 % of the wind and 7° to the right; the lines
// printed go into the bag as they stand, and the next answer begins from them.
func TestBoatLearns(t *testing.T) {
	kitchen(t)
	args := []string{"boat", "--bag", "bag.toml", "--track", "way.gpx", "--forecast", "forecast.csv", "--drogue", "big sheet"}
	got := typeIn("", args...)
	for _, s := range []string{"The boat with big sheet.", "by its measures", "to the right", "min under motor", "eight times in ten", `[[drogue]] name = "big sheet"`, "drift_percent = 4."} {
		if got.code != exitFine || !strings.Contains(got.out, s) {
			t.Fatalf("code %d, does not say %q: %s\n%s", got.code, s, got.err, got.out)
		}
	}
	_, lines, _ := strings.Cut(got.out, "For the bag")
	_, lines, _ = strings.Cut(lines, "\n\n")
	bag, err := os.ReadFile("bag.toml")
	if err != nil {
		t.Fatal(err)
	}
	taught := strings.Replace(string(bag), "name = \"big sheet\"\n", "name = \"big sheet\"\n"+lines, 1)
	read, err := tackle.ReadBag("bag.toml", strings.NewReader(taught))
	if err != nil {
		t.Fatal(err)
	}
	if l := read.Drogues[0].Drift; !(l.Fraction > 0.047-2*l.SD && l.Fraction < 0.047+2*l.SD) || !(l.Slip > 0) || !(l.SD < 0.004) {
		t.Errorf("learned %+v", l)
	}
	if err := os.WriteFile("bag.toml", []byte(taught), 0o644); err != nil {
		t.Fatal(err)
	}
	if got := typeIn("", args...); got.code != exitFine || !strings.Contains(got.out, "by its own tracks so far") {
		t.Errorf("code %d %s\n%s", got.code, got.err, got.out)
	}
	// a wind that was wrong by the whole compass teaches nothing, and that is said
	got = typeIn("", "boat", "--track", "way.gpx", "--wind", "3 m/s from E", "--units", "metric")
	if got.code != exitFine || !strings.Contains(got.out, "nothing was") || strings.Contains(got.out, "For the bag") {
		t.Errorf("code %d %s\n%s", got.code, got.err, got.out)
	}
}

func TestBoatBadFlags(t *testing.T) {
	kitchen(t)
	for _, c := range []struct {
		args []string
		says string
	}{
		{nil, "--track: is missing"},
		{[]string{"--track", "way.gpx"}, "--wind: is missing"},
		{[]string{"--track", "way.gpx", "--wind", "5 m/s"}, "is no wind: write its speed and where it comes from"},
		{[]string{"--track", "way.gpx", "--wind", "5 m/s from up"}, "is no bearing"},
		{[]string{"--track", "way.gpx", "--wind", "900 mph from N"}, `--wind "900 mph from N"`},
		{[]string{"--track", "way.gpx", "--wind", "5 m/s from N", "--forecast", "forecast.csv"}, "give one of them"},
		{[]string{"--track", "nothing.gpx", "--wind", "5 m/s from N"}, "nothing.gpx"},
		{[]string{"--track", "forecast.csv", "--wind", "5 m/s from N"}, "forecast.csv: is no track"},
		{[]string{"--demo", "--drogue", "gold"}, "the bag's drogues are big sheet, cone"},
		{[]string{"--demo", "--bag", "bag.toml"}, "--demo"},
	} {
		if got := typeIn("", append([]string{"boat"}, c.args...)...); got.code != exitInput || got.out != "" || !strings.Contains(got.err, c.says) {
			t.Errorf("%v: code %d, does not say %q: %s%s", c.args, got.code, c.says, got.err, got.out)
		}
	}
}

// Ropes and a speed to keep below.
func TestDriftKeptAndTurned(t *testing.T) {
	with := func(args []string, more ...string) []string { return slices.Concat(args, more) }
	drift := []string{"drift", "--wind", "9 mph", "--from", "SW"}
	held := with(drift, "--drogue", "5 ft", "--measured", "fabric")
	ropes := with(held, "--bow-rope", "15 ft", "--stern-rope", "17 ft", "--rope-spread", "10 ft")
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{with(held, "--below", "10 m/min"), exitFine, "Below 10 m/min: kept with the drogue out"},
		{with(held, "--below", "5 m/min"), exitFine, "Below 5 m/min: not kept even with the drogue out"},
		{with(held, "--below", "40 m/min"), exitFine, "Below 40 m/min: kept by the bare boat"},
		{with(drift, "--below", "5 m/min"), exitFine, "not kept even by the bare boat"},
		{with(ropes, "--bow", "left"), exitFine, "to the left of downwind"},
		{with(ropes, "--bow", "right"), exitFine, "to the right of downwind"},
		{ropes, exitInput, "one of them is missing"},
		{with(drift, "--bow", "left"), exitInput, "there is no drogue"},
		{with(held, "--bow-rope", "5 ft", "--stern-rope", "17 ft", "--rope-spread", "10 ft", "--bow", "left"), exitInput, "cannot meet in one point"},
		{with(held, "--below", "0"), exitInput, "--below"},
	} {
		got := typeIn("", c.args...)
		if got.code != c.code || !strings.Contains(got.out+got.err, c.says) {
			t.Errorf("%v: code %d, does not say %q: %s%s", c.args, got.code, c.says, got.err, got.out)
		}
	}
}
