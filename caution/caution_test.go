package caution_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windlane/caution"
	"windlane/quantity"
)

func at(h, m int) time.Time { return time.Date(2026, 4, 14, h, m, 0, 0, time.UTC) }

// quiet is a mild day with nothing to mind but what is always so.
func quiet() caution.Day {
	return caution.Day{
		Units: quantity.Metric, From: at(9, 0), Until: at(17, 0), Dusk: at(20, 30), Wind: 4, Gust: 6, Wave: 0.1, GustLimit: 12, WaveLimit: 0.3,
		HasWater: true, WaterC: 17, HasAir: true, AirC: 14, People: 1,
	}
}

func find(list []caution.Caution, key string) (caution.Caution, bool) {
	i := slices.IndexFunc(list, func(c caution.Caution) bool { return c.Key == key })
	if i < 0 {
		return caution.Caution{}, false
	}
	return list[i], true
}

// Each fact of the day brings its caution at its level, and without it the
// caution is not there (or is a note).
func TestEachFactBringsItsCaution(t *testing.T) {
	base := caution.Of(quiet())
	for _, c := range base {
		if c.Level != caution.Note {
			t.Errorf("a quiet day: %v %s: %s", c.Level, c.Key, c.Text)
		}
	}
	cases := []struct {
		key    string
		level  caution.Level
		change func(d *caution.Day)
		says   string
		always bool // a note on any day
	}{
		{"go_in", caution.Mind, func(d *caution.Day) { d.GoIn, d.Gust, d.GustAt = at(14, 20), 14, at(15, 0) }, "ashore by 14:20", false},
		{"go_in", caution.Now, func(d *caution.Day) { d.GoIn, d.Gust = at(9, 0), 14 }, "Stay ashore", false},
		{"go_in", caution.Mind, func(d *caution.Day) { d.GoIn, d.Wave = at(14, 20), 0.35 }, "Waves come to 35 cm", false},
		{"go_in", caution.Mind, func(d *caution.Day) { d.GoIn, d.Gust, d.LimitGiven = at(14, 20), 14, true }, "your limit is 12 m/s", false},
		{"go_in", caution.Mind, func(d *caution.Day) { d.GoIn, d.Gust = at(14, 20), 14 }, "the limit taken, as you set none, is 12 m/s", false},
		{"squalls", caution.Mind, func(d *caution.Day) { d.Squall, d.SquallAt = 10, at(14, 0) }, "Squalls to 10 m/s may come at 14:00", false},
		{"squalls", caution.Mind, func(d *caution.Day) { d.Squall, d.LimitGiven = 12, true }, "over the limit: your limit is 12 m/s", false},
		{"category", caution.Mind, func(d *caution.Day) { d.Squall = 12.1 }, "plate", false},
		{"category", caution.Now, func(d *caution.Day) { d.Squall = 18.1 }, "squalls to 18 m/s may come", false},
		{"fog", caution.Mind, func(d *caution.Day) { d.Fog = true }, "in sight of the jetty", false},
		{"fog", caution.Mind, func(d *caution.Day) { d.Fog, d.FogFrom = true, at(15, 0) }, "from 15:00: be ashore before it", false},
		{"fog", caution.Now, func(d *caution.Day) { d.Fog, d.FogAtFirst, d.FogUntil = true, true, at(11, 0) }, "until it lifts, by the forecast at 11:00", false},
		{"fog", caution.Now, func(d *caution.Day) { d.Fog, d.FogAtFirst = true, true }, "does not tell when", false},
		{"category", caution.Mind, func(d *caution.Day) { d.Gust, d.Rough, d.RoughFrom = 12.1, true, at(15, 0) }, "From 15:00 on rougher", false},
		{"fog", caution.Mind, func(d *caution.Day) { d.Visibility = 990 }, "down to 990 m", false},
		{"guessed_gusts", caution.Note, func(d *caution.Day) { d.GuessedGust = true }, "6 m/s at most", false},
		{"sit", caution.Note, func(d *caution.Day) { d.People = 0 }, "Sit to cast", true},
		{"alone", caution.Note, func(*caution.Day) {}, "on you", true},
		{"category", caution.Mind, func(d *caution.Day) { d.Gust = 12.1 }, "plate", false},
		{"category", caution.Mind, func(d *caution.Day) { d.Wind = 8.1 }, "plate", false},
		{"category", caution.Mind, func(d *caution.Day) { d.Wave = 0.31 }, "plate", false},
		{"category", caution.Now, func(d *caution.Day) { d.Gust = 18.1 }, "No day", false},
		{"category", caution.Now, func(d *caution.Day) { d.Wave = 2.1 }, "No day", false},
		{"thunder", caution.Mind, func(d *caution.Day) { d.Thunder, d.ThunderFrom = 1, at(15, 0) }, "Thunder is forecast from 15:00. Be ashore before it", false},
		{"thunder", caution.Mind, func(d *caution.Day) { d.Thunder, d.ThunderFrom = 0.6, at(15, 0) }, "likely from 15:00 (chance taken: 60 %). Be ashore", false},
		{"thunder", caution.Mind, func(d *caution.Day) { d.Thunder, d.ThunderFrom, d.ThunderMay = 0.7, at(15, 0), at(11, 0) }, "It may come from 11:00 on", false},
		{"thunder", caution.Mind, func(d *caution.Day) { d.Thunder = 0.59 }, "Thunder may come (chance taken: 59 %)", false},
		{"thunder", caution.Mind, func(d *caution.Day) { d.Thunder, d.ThunderFrom = 0.2, at(15, 0) }, "may come from 15:00 (chance taken: 20 %)", false},
		{"thunder", caution.Note, func(d *caution.Day) { d.Thunder, d.ThunderFrom = 0.19, at(15, 0) }, "small chance of thunder is forecast from 15:00 (chance taken: 19 %)", false},
		{"thunder", caution.Note, func(d *caution.Day) { d.Thunder = 0.001 }, "(chance taken: 1 %)", false},
		{"thunder", caution.Note, func(d *caution.Day) { d.Thunder = 0.05 }, "At the first thunder go in, rods down, and wait 30 minutes", false},
		{"thunder", caution.Now, func(d *caution.Day) { d.ThunderHeard = true }, "30 minutes", false},
		{"cold_water", caution.Mind, func(d *caution.Day) { d.WaterC = 9 }, "9 °C", true},
		{"cold_water", caution.Note, func(d *caution.Day) { d.HasWater = false }, "not known", true},
		{"cold_water", caution.Note, func(d *caution.Day) { d.WaterC, d.Returned = math.NaN(), true }, "not known", true},
		{"cold_water", caution.Mind, func(d *caution.Day) { d.HasWater, d.WaterLow, d.WaterHigh = false, 12, 20 }, "Water not measured, perhaps 12 °C to 20 °C: take it as cold", true},
		{"cold_water", caution.Mind, func(d *caution.Day) { d.HasWater, d.WaterLow = false, 12 }, "perhaps as cold as 12 °C", true},
		{"cold_water", caution.Mind, func(d *caution.Day) { d.HasWater, d.WaterLow, d.WaterHigh = false, 0, 6 }, "perhaps 0 °C to 6 °C", true},
		{"cold_water", caution.Note, func(d *caution.Day) { d.HasWater, d.WaterLow, d.WaterHigh = false, 15, 23 }, "perhaps 15 °C to 23 °C", true},
		{"cold_water", caution.Note, func(d *caution.Day) { d.HasWater, d.WaterLow = false, math.NaN() }, "not known", true},
		{"warm_water", caution.Note, func(d *caution.Day) { d.HasWater, d.WaterLow, d.WaterHigh, d.Returned = false, 15, 23, true }, "perhaps up to 23 °C", false},
		{"chill", caution.Mind, func(d *caution.Day) { d.AirC, d.Wind = 0, 7 }, "-6", false},
		{"dusk", caution.Mind, func(d *caution.Day) { d.Until = at(21, 0) }, "20:30", false},
		{"eyes", caution.Mind, func(d *caution.Day) { d.HeavyFlies = true }, "Glasses", true},
		{"two_rods", caution.Note, func(d *caution.Day) { d.People = 2 }, "right-hander", false},
		{"two_rods", caution.Mind, func(d *caution.Day) { d.People, d.HeavyFlies = 2, true }, "crosses", false},
		{"kill_cord", caution.Note, func(d *caution.Day) { d.Engine = true }, "before the engine", false},
		{"drogue", caution.Note, func(d *caution.Day) { d.Drogue = true }, "before the engine starts", false},
		{"anchor", caution.Note, func(d *caution.Day) { d.Anchor = true }, "by the bow only", false},
		{"algae", caution.Mind, func(d *caution.Day) { d.Algae = true }, "dogs", false},
		{"warm_water", caution.Mind, func(d *caution.Day) { d.Returned, d.WaterC = true, 20 }, "short", false},
		{"warm_water", caution.Mind, func(d *caution.Day) { d.Returned, d.WaterC = true, 22 }, "do not fish to put back", false},
		{"warm_water", caution.Now, func(d *caution.Day) { d.Returned, d.WaterC = true, 24 }, "leave the trout alone", false},
		{"word_ashore", caution.Note, func(*caution.Day) {}, "17:00", true},
		{"lifejacket", caution.Note, func(*caution.Day) {}, "jetty to jetty", true},
		{"way_home", caution.Note, func(*caution.Day) {}, "oars", true},
		{"clean", caution.Note, func(*caution.Day) {}, "dry", true},
		{"come_first", caution.Note, func(*caution.Day) {}, "weather service", true},
	}
	for _, c := range cases {
		d := quiet()
		c.change(&d)
		got, ok := find(caution.Of(d), c.key)
		if !ok || got.Level != c.level || !strings.Contains(got.Text, c.says) {
			t.Errorf("%s: %v %q, want %v with %q", c.key, got.Level, got.Text, c.level, c.says)
		}
		if _, there := find(base, c.key); there != c.always {
			t.Errorf("%s on a quiet day: %v", c.key, there)
		}
	}
}

// Whatever the day: the first defers to the water and the weather service, the
// rest fall from grave to light, every one has a reason and a source, none is
// twice there, and none promises.
func TestLaws(t *testing.T) {
	promise := regexp.MustCompile(`(?i)\bsafe(ly)?\b|guarantee|no danger|no risk|never mind|!`)
	rapid.Check(t, func(t *rapid.T) {
		f, b := rapid.Float64Range(-5, 30), rapid.Bool()
		d := caution.Day{
			Units: quantity.System(rapid.IntRange(0, 1).Draw(t, "units")), From: at(9, 0), Until: at(17, 0),
			Wind: math.Abs(f.Draw(t, "wind")), Gust: math.Abs(f.Draw(t, "gust")), Wave: math.Abs(f.Draw(t, "wave")) / 10,
			GustLimit: 12, WaveLimit: 0.3, LimitGiven: b.Draw(t, "limit given"), GuessedGust: b.Draw(t, "gust guessed"),
			Squall: math.Abs(f.Draw(t, "squall")), Fog: b.Draw(t, "fog"), Visibility: rapid.Float64Range(0, 2000).Draw(t, "visibility"),
			WaterLow: f.Draw(t, "low"), WaterHigh: f.Draw(t, "high"), Thunder: quantity.Probability(rapid.Float64Range(0, 1).Draw(t, "thunder")), ThunderHeard: b.Draw(t, "heard"),
			HasWater: b.Draw(t, "water"), WaterC: f.Draw(t, "waterC"), HasAir: b.Draw(t, "air"), AirC: f.Draw(t, "airC"),
			People: rapid.IntRange(0, 3).Draw(t, "people"), HeavyFlies: b.Draw(t, "heavy"), Engine: b.Draw(t, "engine"),
			Drogue: b.Draw(t, "drogue"), Anchor: b.Draw(t, "anchor"), Algae: b.Draw(t, "algae"), Returned: b.Draw(t, "returned"),
		}
		if b.Draw(t, "go in") {
			d.GoIn = at(rapid.IntRange(8, 16).Draw(t, "hour"), 0)
		}
		list := caution.Of(d)
		if list[0].Key != "come_first" {
			t.Fatalf("first is %s", list[0].Key)
		}
		seen := map[string]bool{}
		for i, c := range list {
			if i > 1 && c.Level > list[i-1].Level {
				t.Fatalf("%s (%v) after %s (%v)", c.Key, c.Level, list[i-1].Key, list[i-1].Level)
			}
			if c.Text == "" || c.Why == "" || c.Source == "" || seen[c.Key] {
				t.Fatalf("%+v", c)
			}
			seen[c.Key] = true
			if promise.MatchString(c.Text) || promise.MatchString(c.Why) {
				t.Fatalf("promises: %q %q", c.Text, c.Why)
			}
		}
	})
	if !promise.MatchString("it is safe to go") {
		t.Error("the guard against promises sees none")
	}
	// who is not alone, who sees a kilometre, and water that was measured
	two := quiet()
	two.People, two.Visibility, two.WaterLow = 2, 1000, 4
	for _, key := range []string{"alone", "fog", "cold_water", "squalls"} {
		if c, there := find(caution.Of(two), key); there && (key != "cold_water" || strings.Contains(c.Text, "perhaps")) {
			t.Errorf("%s: %s", key, c.Text)
		}
	}
	if c, _ := find(caution.Of(two), "two_rods"); strings.Contains(c.Text, "Sit to cast") {
		t.Errorf("said twice: %s", c.Text)
	}
	// what is said of nothing known is what is always true
	if list := caution.Of(caution.Day{}); len(list) < 5 {
		t.Errorf("%d cautions of a day nothing is known of", len(list))
	}
}

// Wind chill: JAG/TI index of 2001 (Joint Action Group for Temperature Indices),
// worked by hand from its formula, which is from memory.
func TestWindChill(t *testing.T) {
	for _, c := range []struct{ air, kmh, want float64 }{{5, 20, 1.07}, {0, 30, -6.47}} {
		got, ok := caution.WindChill(c.air, c.kmh/3.6)
		if !ok || math.Abs(got-c.want) > 0.01 {
			t.Errorf("%v °C, %v km/h: %v %v, want %v", c.air, c.kmh, got, ok, c.want)
		}
	}
	for _, c := range [][2]float64{{10.1, 8}, {5, 1.3}, {math.NaN(), 8}, {5, math.NaN()}} {
		if _, ok := caution.WindChill(c[0], c[1]); ok {
			t.Errorf("%v: outside the range and answered", c)
		}
	}
}

// Design categories: ISO 12217 and the Recreational Craft Directive, as owners'
// manuals print them: C wind 14, gusts 18 m/s, waves 2 m; D 8,
// 12, 0.3.
func TestCategories(t *testing.T) {
	if c := caution.CategoryC; c.Wind != 14 || c.Gust != 18 || c.Wave != 2 {
		t.Errorf("%+v", c)
	}
	if c := caution.CategoryD; c.Wind != 8 || c.Gust != 12 || c.Wave != 0.3 {
		t.Errorf("%+v", c)
	}
	if caution.CategoryD.Beyond(8, 12, 0.3) || !caution.CategoryD.Beyond(8.01, 0, 0) || !caution.CategoryD.Beyond(0, 12.01, 0) || !caution.CategoryD.Beyond(0, 0, 0.301) {
		t.Error("Beyond is not beyond")
	}
}

// Bands of warm water, ours, after Boyd et al. 2010 (N. Am. J. Fish. Manage.
// 30:898) and Brungs and Jones 1977: under 19 normal, 19 to 21 with care, over 21
// advised against, over 23 stop.
func TestRelease(t *testing.T) {
	for c, want := range map[float64]caution.Band{
		5: caution.Normal, 18.9: caution.Normal, 19: caution.WithCare, 21: caution.WithCare, 21.1: caution.NoReturn, 23: caution.NoReturn, 23.1: caution.Stop,
	} {
		if got := caution.Release(c); got != want {
			t.Errorf("%v °C: %s, want %s", c, got, want)
		}
	}
	if caution.Release(math.NaN()) != caution.Normal {
		t.Error("NaN has a band")
	}
}

// 30 seconds from flash to thunder are 10 km: sound goes 343 m/s at 20 °C.
func TestThirtySeconds(t *testing.T) {
	const soundAt20C = 343.0 // m/s, from memory
	if km := 30 * soundAt20C / 1000; math.Abs(km-10.3) > 0.05 {
		t.Errorf("30 s are %v km", km)
	}
	d := quiet()
	d.Thunder = 1
	if c, _ := find(caution.Of(d), "thunder"); !strings.Contains(c.Why, "10 km") || !strings.Contains(c.Text, "30 minutes") {
		t.Errorf("%+v", c)
	}
}
