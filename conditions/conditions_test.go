package conditions_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"windlane/almanac"
	"windlane/conditions"
	"windlane/forecast"
	"windlane/light"
	"windlane/quantity"
	"windlane/strata"
	"windlane/waves"
)

// Values are held where they are computed (waves, light, strata, almanac); here
// the wiring, the assumptions and what widens the spread.

var date = time.Date(2026, 5, 1, 0, 0, 0, 0, time.FixedZone("", 3600))

func at(hour float64) time.Time { return date.Add(time.Duration(hour * float64(time.Hour))) }

// told is a lake and a day of which everything is known: 3 km long, the wind
// blowing along it from the west.
func told(t *testing.T) (*conditions.Lake, *forecast.Forecast) {
	t.Helper()
	profile, err := strata.NewProfile([]float64{0, 2, 4, 6, 8, 10, 15}, []float64{18, 18, 17.5, 16.8, 12, 9.5, 8})
	if err != nil {
		t.Fatal(err)
	}
	areas, err := strata.NewHypsography([]float64{0, 5, 10, 16}, []float64{3e6, 2e6, 1e6, 1e4})
	if err != nil {
		t.Fatal(err)
	}
	lake := &conditions.Lake{
		Site: almanac.Site{LonDeg: -1, LatDeg: 53}, Altitude: 85, MeanDepth: 8, Across: 2000, Secchi: 3,
		Profile: profile, Areas: areas,
		Fetch: func(x, y float64, from quantity.From) float64 {
			return 1500 - x*math.Sin(float64(from)) // the shores lie at x −1500 and 1500
		},
	}
	weather := &forecast.Forecast{}
	for h := range 24 {
		weather.Hours = append(weather.Hours, forecast.Hour{At: at(float64(h)), Speed: 6, Gust: 10, HasGust: true, From: quantity.FromDegrees(270), AirC: 14, HasAir: true, Oktas: 4, HasCloud: true})
	}
	return lake, weather
}

func TestEverythingTold(t *testing.T) {
	lake, weather := told(t)
	day := conditions.On(lake, weather, date)
	c := day.At(conditions.Place{X: 500, HasBed: true, Bed: 5}, at(13))
	if len(c.Assumed) != 0 {
		t.Errorf("assumed %q", c.Assumed)
	}
	if math.Abs(c.Fetch-2000) > 1e-9 {
		t.Fatalf("fetch %v, want 2000", c.Fetch)
	}
	want := waves.Default(waves.Water{Wind: 6, Fetch: 2000, Depth: 8})
	if c.Wave.Value != want.Height || c.WavePeriod != want.Period || c.Gust != 10 {
		t.Errorf("%+v", c)
	}
	surface, r := light.Daylight(c.Sun.Elevation, 4)
	if got := c.LightAt(3).Value; math.Abs(got-light.At(surface, r, light.Attenuation(3), 3)) > 1e-12 {
		t.Errorf("light at 3 m %v", got)
	}
	if got := c.TemperatureAt(7).Value; math.Abs(got-14.4) > 1e-9 {
		t.Errorf("at 7 m %v °C, want 14.4", got)
	}
	if math.Abs(c.SkinToward.Degrees()-90) > 1e-9 || math.Abs(c.Skin.Value-0.18) > 1e-12 {
		t.Errorf("the skin goes %v toward %v", c.Skin, c.SkinToward.Degrees())
	}
	if math.Abs(c.Progress-0.5) > 0.01 || math.Abs(c.Season-130.0/365) > 0.01 {
		t.Errorf("13:00 on 1 May is %v of the day, %v of the year", c.Progress, c.Season)
	}
}

func TestProgress(t *testing.T) {
	lake, weather := told(t)
	day := conditions.On(lake, weather, date)
	for want, moment := range map[float64]time.Time{0: day.Times().Sunrise, 0.5: day.Times().Noon, 1: day.Times().Sunset} {
		if got := day.At(conditions.Place{}, moment).Progress; math.Abs(got-want) > 1e-9 {
			t.Errorf("progress %v, want %v", got, want)
		}
	}
	// where the sun never rises or never sets there is still a day
	for _, d := range []time.Time{time.Date(2026, 12, 21, 0, 0, 0, 0, time.UTC), time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC)} {
		north := conditions.On(&conditions.Lake{Site: almanac.Site{LonDeg: 0, LatDeg: 70}}, nil, d)
		if p := north.At(conditions.Place{}, d.Add(15*time.Hour)).Progress; math.Abs(p-0.75) > 0.02 {
			t.Errorf("70° N at 15:00: progress %v", p)
		}
	}
	south := conditions.On(&conditions.Lake{Site: almanac.Site{LonDeg: 175, LatDeg: -41}}, nil, date)
	if s := south.At(conditions.Place{}, at(12)).Season; math.Abs(s-0.86) > 0.01 {
		t.Errorf("1 May in the south is %v of the year since midwinter, want 0.86", s)
	}
}

// The lee end has its layer deeper, the windward end shallower.
func TestTilt(t *testing.T) {
	lake, weather := told(t)
	day := conditions.On(lake, weather, date)
	lee, middle, windward := day.At(conditions.Place{X: 1400}, at(13)), day.At(conditions.Place{}, at(13)), day.At(conditions.Place{X: -1400}, at(13))
	if !(middle.Layered && lee.LayerTop > middle.LayerTop+0.05 && windward.LayerTop < middle.LayerTop-0.05) {
		t.Errorf("layer at %.2f, %.2f, %.2f m from windward to lee", windward.LayerTop, middle.LayerTop, lee.LayerTop)
	}
	if above, below := middle.OxygenAt(2), middle.OxygenAt(14); !(above.Low > 7 && below.Low == 0 && below.High > 9 && below.Value < above.Value) {
		t.Errorf("oxygen %v above and %v below the layer", above, below)
	}
}

// ranges are all that a Conditions can tell, by name.
func ranges(c *conditions.Conditions) map[string]conditions.Range {
	m := map[string]conditions.Range{"wind": c.Wind, "air": c.Air, "daylight": c.Daylight, "attenuation": c.Attenuation, "wave": c.Wave, "surface": c.Surface, "skin": c.Skin}
	for _, z := range []float64{0, 0.5, 3, 8, 20, 100} {
		m[fmt.Sprint("light at ", z)] = c.LightAt(z)
		m[fmt.Sprint("temperature at ", z)] = c.TemperatureAt(z)
		m[fmt.Sprint("oxygen at ", z)] = c.OxygenAt(z)
	}
	return m
}

// Taking away anything that was told never narrows a range, never fails, and
// is owned up to.
func TestMissingDataWidens(t *testing.T) {
	full, _ := told(t)
	place := conditions.Place{X: 500, HasBed: true, Bed: 5}
	cases := map[string]struct {
		take  func(*conditions.Lake, *forecast.Forecast)
		owned string
		wider string
	}{
		"cloud":       {func(_ *conditions.Lake, f *forecast.Forecast) { each(f, func(h *forecast.Hour) { h.HasCloud = false }) }, "cloud", "daylight"},
		"air":         {func(_ *conditions.Lake, f *forecast.Forecast) { each(f, func(h *forecast.Hour) { h.HasAir = false }) }, "air temperature", "air"},
		"wind":        {func(_ *conditions.Lake, f *forecast.Forecast) { f.Hours = nil }, "wind not told", "wave"},
		"secchi":      {func(l *conditions.Lake, _ *forecast.Forecast) { l.Secchi = 0 }, "clearness", "attenuation"},
		"fetch":       {func(l *conditions.Lake, _ *forecast.Forecast) { l.Fetch = nil }, "open water", "wave"},
		"temperature": {func(l *conditions.Lake, _ *forecast.Forecast) { l.Profile = strata.Profile{} }, "water temperature", "temperature at 8"},
	}
	for name, c := range cases {
		_, weather := told(t)
		before := conditions.On(full, weather, date).At(place, at(13))
		lake := *full
		c.take(&lake, weather)
		after := conditions.On(&lake, weather, date).At(place, at(13))
		if !strings.Contains(strings.Join(after.Assumed, "; "), c.owned) {
			t.Errorf("%s: assumed %q", name, after.Assumed)
		}
		was, is := ranges(&before)[c.wider], ranges(&after)[c.wider]
		if !(is.High-is.Low > was.High-was.Low) {
			t.Errorf("%s: %s was %v, is %v", name, c.wider, was, is)
		}
	}
}

// A gust nobody told is the usual one, and is owned up to; in a calm there is none to guess.
func TestGustNotTold(t *testing.T) {
	lake, weather := told(t)
	at13 := func() conditions.Conditions { return conditions.On(lake, weather, date).At(conditions.Place{}, at(13)) }
	owned := func(c conditions.Conditions) bool {
		return strings.Contains(strings.Join(c.Assumed, "; "), "gusts not told: 1.44")
	}
	if c := at13(); !c.GustTold || owned(c) || c.Gust != 10 {
		t.Errorf("told: %v %v %v", c.GustTold, c.Gust, c.Assumed)
	}
	each(weather, func(h *forecast.Hour) { h.HasGust = false })
	if c := at13(); c.GustTold || !owned(c) || math.Abs(c.Gust-1.4375*6) > 0.005 {
		t.Errorf("not told: %v %v %v", c.GustTold, c.Gust, c.Assumed)
	}
	each(weather, func(h *forecast.Hour) { h.Speed, h.Calm = 0, true })
	if c := at13(); c.GustTold || owned(c) {
		t.Errorf("calm: %v %v", c.Gust, c.Assumed)
	}
	weather.Hours = nil
	if c := at13(); c.GustTold || owned(c) {
		t.Errorf("no wind told: %v", c.Assumed)
	}
}

func each(f *forecast.Forecast, change func(*forecast.Hour)) {
	for i := range f.Hours {
		change(&f.Hours[i])
	}
}

func TestNothingToldNeverFails(t *testing.T) {
	n := 0
	for _, lat := range []float64{-66, -41, 0, 53, 70} {
		for month := time.January; month <= time.December; month++ {
			lake := &conditions.Lake{Site: almanac.Site{LatDeg: lat}}
			day := conditions.On(lake, nil, time.Date(2026, month, 15, 0, 0, 0, 0, time.UTC))
			for h := range 24 {
				c := day.At(conditions.Place{}, time.Date(2026, month, 15, h, 0, 0, 0, time.UTC))
				for name, r := range ranges(&c) {
					n++
					if !(r.Low <= r.Value && r.Value <= r.High) || math.IsInf(r.High, 0) {
						t.Fatalf("%v° in %v at %d h: %s %+v", lat, month, h, name, r)
					}
				}
				if len(c.Assumed) < 5 {
					t.Fatalf("only assumed %q", c.Assumed)
				}
			}
		}
	}
	if n == 0 {
		t.Error("nothing was compared")
	}
}

func TestSameBits(t *testing.T) {
	lake, weather := told(t)
	a := conditions.On(lake, weather, date).At(conditions.Place{X: 3}, at(9.3))
	b := conditions.On(lake, weather, date).At(conditions.Place{X: 3}, at(9.3))
	if !reflect.DeepEqual(ranges(&a), ranges(&b)) {
		t.Error("the same day gave two answers")
	}
}

func BenchmarkAt(b *testing.B) {
	b.ReportAllocs()
	lake := &conditions.Lake{Site: almanac.Site{LonDeg: -1, LatDeg: 53}, Secchi: 3, Fetch: func(x, y float64, from quantity.From) float64 { return 1500 }}
	weather := &forecast.Forecast{Hours: []forecast.Hour{{At: at(0), Speed: 6}, {At: at(24), Speed: 6}}}
	day := conditions.On(lake, weather, date)
	for b.Loop() {
		day.At(conditions.Place{X: 500}, at(11.5))
	}
}
