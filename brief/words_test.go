package brief

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/cast"
	"windlane/conditions"
	"windlane/outing"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

func TestSentence(t *testing.T) {
	for in, want := range map[string]string{
		"":                        "",
		"a thing":                 "A thing.",
		"élan, or none.":          "Élan, or none.",
		"bag.toml, line 3: wrong": "bag.toml, line 3: wrong.",
		"lake/north.csv is empty": "lake/north.csv is empty.",
		"no soundings: unknown":   "No soundings: unknown.",
	} {
		if got := sentence(in); got != want {
			t.Errorf("sentence(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestPullsAHandCanMake(t *testing.T) {
	for _, u := range []quantity.System{quantity.Trade, quantity.Metric} {
		for v := 0.13; v < 0.55; v += 0.01 {
			strip, said := stripOf(u, v)
			if perSecond := v / strip; perSecond > 1.02 || !strings.ContainsAny(said, "0123456789") {
				t.Errorf("%v m/s in pulls of %s: %.2f a second", v, said, perSecond)
			}
		}
	}
	if got := pull(quantity.Trade, cast.Retrieve{Kind: cast.Steady, Speed: 0.254}); got != "12 in pulls, 50 a minute (10 in/s)" {
		t.Errorf("0.254 m/s is said %q", got)
	}
	if got := pull(quantity.Metric, cast.Retrieve{Kind: cast.FigureOfEight, Speed: 0.06}); got != "figure-of-eight, 6 cm/s" {
		t.Errorf("0.06 m/s is said %q", got)
	}
}

func TestNamed(t *testing.T) {
	for _, c := range []struct{ kind, name, want string }{
		{"weed_bed", "head weed", "head weed"},
		{"sunken_island", "the hump", "the hump (sunken island)"},
		{"drop_off", "the shelf's edge", "the shelf's edge"},
		{"stream_bed", "", "old stream bed"},
		{"bell_tower", "St Ann", "St Ann (bell tower)"},
	} {
		if got := Named(c.kind, c.name); got != c.want {
			t.Errorf("%s %q is called %q, want %q", c.kind, c.name, got, c.want)
		}
	}
}

func TestWindText(t *testing.T) {
	f := Facts{Outing: &outing.Day{}}
	for _, c := range []struct {
		a, b   float64
		va, vb float64
		want   string
	}{
		{270, 200, 4, 7, "W 9 mph, backing to SSW 16"},
		{340, 20, 4, 4, "NNW 9 mph, veering to NNE 9"}, // across north
		{20, 340, 4, 4, "NNE 9 mph, backing to NNW 9"},
		{270, 272, 4, 6, "W 9 mph, then 13"},
		{270, 270, 4, 4, "W 9 mph"},
	} {
		if got := f.windText(blowing(c.a, c.va, false), blowing(c.b, c.vb, false)); got != c.want {
			t.Errorf("from %v at %v to %v at %v: %q, want %q", c.a, c.va, c.b, c.vb, got, c.want)
		}
	}
	// A wind from nowhere in particular has no point of the compass.
	if got := f.windText(blowing(0, 0.9, true), blowing(225, 3.1, false)); got != "variable 2 mph, then SW 7" {
		t.Errorf("variable, then SW: %q", got)
	}
	if got := f.windText(blowing(0, 0.9, true), blowing(225, 0.9, true)); got != "variable 2 mph" {
		t.Errorf("variable: %q", got)
	}
}

func blowing(from, wind float64, shifting bool) (c conditions.Conditions) {
	c.From, c.Wind.Value, c.Shifting = quantity.FromDegrees(from), wind, shifting
	return c
}

// What would make another start better says where it is, not the same place again.
func TestChangeIsElsewhere(t *testing.T) {
	f := Facts{Outing: &outing.Day{}, Water: &water.Water{Places: []water.Place{{Kind: water.Shelf, Name: "the shelf", Shape: orb.LineString{{0, 0}, {10, 0}, {60, 0}}}}}}
	d := plan.Drift{X: 0, Y: 5, Change: &plan.Change{Turn: 0.3, From: quantity.FromDegrees(270), To: plan.Option{X: 55, Y: 5}}}
	if got := f.change(d); got != "If the wind veers to W or beyond, start 60 yd E of this start instead." {
		t.Error(got)
	}
	d.Change.To.X = 200
	if got := f.change(d); !strings.HasSuffix(got, "E of the shelf instead.") {
		t.Error(got)
	}
}

// A depth that nobody knows is null in JSON, never a number.
func TestUnknownIsNull(t *testing.T) {
	b, err := json.Marshal(Brief{
		From:   time.Unix(0, 0),
		Drifts: []Drift{{Track: []Step{{Bed: math.NaN()}, {Bed: 3, Sounded: true}}}},
		SetUps: []SetUp{{Cast: CastPicture{Bed: math.NaN()}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := string(b); strings.Count(got, `"bed_m":null`) != 2 || strings.Count(got, `"bed_m":3`) != 1 {
		t.Errorf("beds are written %s", got)
	}
}

// A set-up may serve the morning and again the evening.
func TestWhen(t *testing.T) {
	f := Facts{Outing: &outing.Day{}}
	for h := range 10 {
		f.Hours = append(f.Hours, HourFacts{At: time.Date(2026, 5, 2, 8+h, 0, 0, 0, time.UTC)})
	}
	for want, spells := range map[string][]Spell{
		"all day":                 {{0, 10}},
		"start here, until 10:00": {{0, 2}},
		"start here, until 10:00, again from 15:00":     {{0, 2}, {7, 10}},
		"10:00 to 12:00, again 14:00 to 15:00":          {{2, 4}, {6, 7}},
		"start here, until 10:00, again 12:00 to 14:00": {{0, 2}, {4, 6}},
	} {
		s := SetUpFacts{First: true, Spells: spells}
		if got := f.when(s); got != want {
			t.Errorf("%v: %q, want %q", spells, got, want)
		}
		if !s.At(spells[0].From) || s.At(spells[0].Until) {
			t.Errorf("%v: at %d %v, at %d %v", spells, spells[0].From, s.At(spells[0].From), spells[0].Until, s.At(spells[0].Until))
		}
	}
	if got := f.when(SetUpFacts{}); got != "another way, if they want it" {
		t.Error(got)
	}
}
