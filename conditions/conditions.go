// Package conditions says what a lake is like at an hour and a place: wind,
// waves, light, warmth, oxygen and drift, as one struct of numbers.
//
// It never fails. What nobody told is assumed and its spread widened: every
// guess stands in the table of docs/models/conditions.md, and Assumed names the
// ones made. Low and high are a range that the truth leaves one time in ten or
// so, by judgement, not by statistics.
package conditions

import (
	"math"
	"time"

	"windlane/almanac"
	"windlane/fluid"
	"windlane/forecast"
	"windlane/light"
	"windlane/quantity"
	"windlane/strata"
	"windlane/waves"
)

// Lake is what stays the same all day. Only Site is needed.
type Lake struct {
	Site     almanac.Site
	Altitude float64 // above the sea [m]; 0 costs 1 % of oxygen per 85 m

	MeanDepth float64 // today [m]; 0: unknown
	Across    float64 // a typical width [m]; 0: unknown
	Secchi    float64 // depth at which a white disc goes out of sight [m]; 0: unknown

	HasSurface bool               // Surface was measured, or told
	Surface    float64            // water temperature near the top [°C]
	Profile    strata.Profile     // measured lately; empty: none
	Areas      strata.Hypsography // empty: unknown

	// Fetch is the open water from a place towards where a wind comes from. [m]
	// The caller keeps one field per direction. nil: unknown.
	Fetch func(x, y float64, from quantity.From) float64
}

// Place is a spot on the lake, in metres on its plane.
type Place struct {
	X      float64 // east [m]
	Y      float64 // north [m]
	HasBed bool
	Bed    quantity.Depth // of the water here today
}

// Range is a number and how far it may be off.
type Range struct {
	Value float64 // in its field's unit [1]
	Low   float64 // [1]
	High  float64 // [1]
}

// Conditions is the lake at an hour and a place.
type Conditions struct {
	At      time.Time
	Place   Place
	Assumed []string // what nobody told, in plain words

	Wind     Range         // mean at 10 m over the water [m/s]
	Gust     float64       // told, or the usual one [m/s]
	GustTold bool          // the forecast told it
	From     quantity.From // meaningless when Shifting
	Shifting bool          // the wind is calm, variable or unknown
	Air      Range         // [°C]

	Sun      almanac.Sun
	Progress float64 // of the day: 0 at sunrise, 0.5 at noon, 1 at sunset; beyond them under 0 and over 1 [1]
	Season   float64 // of the year: 0 in midwinter, 0.5 in midsummer, either hemisphere [1]

	Daylight    Range   // on the water, broadband [W/m²]
	Reflectance float64 // part of it thrown back [1]
	Attenuation Range   // of light under water [1/m]

	Fetch      float64 // [m]; 0 when unknown
	Wave       Range   // significant height; least and most of three models [m]
	WavePeriod float64 // [s]
	WaveLength float64 // [m]

	Surface  Range   // water temperature near the top [°C]
	Layered  bool    // a firm layer was measured
	LayerTop float64 // where it begins here, tilted by the wind [m]; 0 when not Layered
	LayerEnd float64 // where it ends here [m]

	Skin       Range           // drift of the very surface [m/s]
	SkinToward quantity.Toward // downwind

	lake   *Lake
	strata strata.Strata
}

// Day is a lake on a date, with what is worked out once.
type Day struct {
	lake    *Lake
	weather *forecast.Forecast
	times   almanac.Times
	season  float64
}

// On is a lake under a forecast (nil: none) on the calendar date of date in its
// own zone. Both are kept and must not change afterwards.
func On(lake *Lake, weather *forecast.Forecast, date time.Time) *Day {
	return &Day{lake: lake, weather: weather, times: almanac.On(date, lake.Site), season: season(date, lake.Site.LatDeg)}
}

// Times are the turns of the day.
func (d *Day) Times() almanac.Times { return d.times }

// season is the part of the year gone since midwinter's solstice. [1]
func season(date time.Time, latitude float64) float64 {
	days := float64(date.YearDay() + 10) // 21 December
	if latitude < 0 {
		days += 182.6
	}
	return math.Mod(days/365.25, 1)
}

// At is the lake at a place and a moment, which may lie outside the forecast.
func (d *Day) At(place Place, at time.Time) Conditions {
	c := Conditions{At: at, Place: place, Season: d.season, lake: d.lake}
	var hour forecast.Hour
	told := false
	if d.weather != nil {
		hour, told = d.weather.At(at)
	}
	c.sky(d, hour)
	c.wind(hour, told)
	c.waves()
	c.water()
	return c
}

func (c *Conditions) assume(what string) { c.Assumed = append(c.Assumed, what) }

func (c *Conditions) sky(d *Day, hour forecast.Hour) {
	c.Sun = almanac.At(c.At, d.lake.Site)
	rise, set := d.times.Sunrise, d.times.Sunset
	if rise.IsZero() { // no turn of the day: count twelve hours about noon
		rise, set = d.times.Noon.Add(-6*time.Hour), d.times.Noon.Add(6*time.Hour)
	}
	// Two straight pieces, so that noon is the middle.
	if before := c.At.Sub(d.times.Noon); before < 0 {
		c.Progress = 0.5 + 0.5*before.Seconds()/d.times.Noon.Sub(rise).Seconds()
	} else {
		c.Progress = 0.5 + 0.5*before.Seconds()/set.Sub(d.times.Noon).Seconds()
	}

	cloud := Range{hour.Oktas, hour.Oktas - 1, hour.Oktas + 1}
	if !hour.HasCloud {
		cloud = Range{5, 0, 8}
		c.assume("cloud not told: 5 eighths taken, anything from clear to overcast allowed for")
	}
	c.Daylight.Value, c.Reflectance = light.Daylight(c.Sun.Elevation, cloud.Value)
	c.Daylight.Low, _ = light.Daylight(c.Sun.Elevation, cloud.High)
	c.Daylight.High, _ = light.Daylight(c.Sun.Elevation, cloud.Low)

	if s := d.lake.Secchi; s > 0 {
		c.Attenuation = Range{light.Attenuation(s), light.LeastSecchi / s, light.MostSecchi / s}
	} else {
		c.Attenuation = Range{light.Attenuation(2.5), light.LeastSecchi / 5, light.MostSecchi / 1.2}
		c.assume("clearness of the water not told: a white disc seen to 2.5 m taken, 1.2 to 5 m allowed for")
	}

	c.Air = Range{hour.AirC, hour.AirC - 2, hour.AirC + 2}
	if !hour.HasAir {
		t := seasonal(c.Season, d.lake)
		c.Air = Range{t, t - 8, t + 8}
		c.assume("air temperature not told: the season's taken")
	}
}

func (c *Conditions) wind(hour forecast.Hour, told bool) {
	if !told {
		hour.Speed = 4
		c.Wind, c.Shifting = Range{4, 0, 9}, true
		c.assume("wind not told: 4 m/s from anywhere taken, calm to 9 m/s allowed for")
	} else {
		// A forecast's mean wind over an hour is good to some 1.5 m/s (judgement).
		c.Wind = Range{hour.Speed, math.Max(0, hour.Speed-1.5), hour.Speed + 1.5}
		c.From, c.Shifting = hour.From, hour.Variable || hour.Calm
	}
	c.Gust, c.GustTold = math.Max(hour.Speed, hour.GustOrUsual()), told && hour.HasGust
	if told && !hour.HasGust && !hour.Calm {
		c.assume("gusts not told: 1.44 times the mean wind taken")
	}
	// The skin moves at 3 % of the wind (AMS Glossary, "wind drift"), 3.5 % at
	// long fetch (Wu 1975); the turn to the right, 10° on open water, is left out.
	c.Skin = Range{0.03 * c.Wind.Value, 0.025 * c.Wind.Low, 0.035 * c.Wind.High}
	c.SkinToward = c.From.Toward()
}

func (c *Conditions) waves() {
	depth := c.lake.MeanDepth
	if depth <= 0 && c.Place.HasBed {
		depth = float64(c.Place.Bed)
	}
	if depth <= 0 {
		depth = 6
		c.assume("depth not told: waves as over 6 m")
	}
	w := waves.Water{Wind: c.Wind.Value, Depth: depth}
	if c.lake.Fetch != nil && !c.Shifting {
		c.Fetch = c.lake.Fetch(c.Place.X, c.Place.Y, c.From)
		w.Fetch = c.Fetch
		c.Wave.Low, c.Wave.High = waves.Spread(w)
	} else {
		across := c.lake.Across
		if across <= 0 {
			across = 1000
		}
		w.Fetch = across / 2
		c.Wave.Low, _ = waves.Spread(waves.Water{Wind: c.Wind.Low, Fetch: across / 20, Depth: depth})
		_, c.Wave.High = waves.Spread(waves.Water{Wind: c.Wind.High, Fetch: across * 1.5, Depth: depth})
		if !c.Shifting {
			c.assume("open water up-wind not known: half the lake's width taken")
		}
	}
	wave := waves.Default(w)
	c.Wave.Value, c.WavePeriod = wave.Height, wave.Period
	c.WaveLength = waves.Length(wave.Period, depth)
}

// seasonal is a lake's surface temperature by the season, when nobody took it.
// [°C] A mean of 11 and a swing of 7.5 either way at 53° of latitude, warmest
// five weeks after midsummer; 0.45 K for a degree of latitude, 6.5 K per km of
// height. Common practice, no source: allow 4 K.
func seasonal(season float64, lake *Lake) float64 {
	lat := math.Abs(lake.Site.LatDeg)
	mean := 11 + 0.45*(53-lat) - 0.0065*lake.Altitude
	swing := 7.5 * math.Min(1, lat/40)
	return math.Max(1, mean-swing*math.Cos(2*math.Pi*(season-0.1)))
}

func (c *Conditions) water() {
	lake := c.lake
	if len(lake.Profile.Depths) > 1 {
		t := lake.Profile.At(0.5)
		c.Surface = Range{t, t - 1, t + 1}
		c.strata = strata.Of(lake.Profile, lake.Areas, strata.Wind{Speed: c.Wind.Value, Height: 10})
		c.Layered = c.strata.Stratified
		c.tilt()
		return
	}
	if lake.HasSurface {
		c.Surface = Range{lake.Surface, lake.Surface - 1, lake.Surface + 1}
	} else {
		t := seasonal(c.Season, lake)
		c.Surface = Range{t, math.Max(0, t-4), t + 4}
		c.assume("water temperature not told: the season's taken, 4 °C either way")
	}
	c.assume("no temperatures at depth: the water taken as mixed, colder and short of oxygen below allowed for")
}

// tilt moves the layer by the wind: down at the lee end, up at the windward
// one, in proportion between, once the wind has blown for some hours.
func (c *Conditions) tilt() {
	if !c.Layered {
		return
	}
	s := &c.strata
	c.LayerTop, c.LayerEnd = s.MetalimnionTop, s.MetalimnionBottom
	if !s.HasIndices || c.Fetch <= 0 || s.MetalimnionTop <= 0 {
		return
	}
	up := c.Fetch
	down := c.lake.Fetch(c.Place.X, c.Place.Y, quantity.From(c.From.Toward()))
	end := strata.Tilt(s.Reduced, s.MetalimnionTop, s.FrictionVelocity, up+down)
	shift := end * (up - down) / (up + down)
	shift = math.Max(-s.MetalimnionTop, math.Min(shift, s.MetalimnionTop)) // the formula is for small tilts
	c.LayerTop += shift
	c.LayerEnd += shift
}

// LightAt is the light left at a depth. [W/m²]
func (c *Conditions) LightAt(depth float64) Range {
	return Range{
		light.At(c.Daylight.Value, c.Reflectance, c.Attenuation.Value, depth),
		light.At(c.Daylight.Low, c.Reflectance, c.Attenuation.High, depth),
		light.At(c.Daylight.High, c.Reflectance, c.Attenuation.Low, depth),
	}
}

// TemperatureAt is the water's warmth at a depth. [°C] Without a profile it is
// the surface's, but in the warm half of the year it may be far colder below.
func (c *Conditions) TemperatureAt(depth float64) Range {
	if p := c.lake.Profile; len(p.Depths) > 1 {
		t := p.At(depth)
		off := 1.0
		if depth > p.Depths[len(p.Depths)-1] {
			off = 2
		}
		return Range{t, t - off, t + off}
	}
	low := c.Surface.Low
	if low > deepWater {
		low -= (low - deepWater) * ramp(depth, 3, 15)
	}
	return Range{c.Surface.Value, low, c.Surface.High}
}

// deepWater is what the bottom of a layered lake may have in summer. [°C]
const deepWater = 7.0

// OxygenAt is the oxygen at a depth. [g/m³], the same number as mg/L
// Saturated, give or take a sixth, where the water mixes. Under a firm layer
// nobody knows: from nothing to saturated. Without a profile that doubt comes
// in with depth and the warm half of the year.
func (c *Conditions) OxygenAt(depth float64) Range {
	saturated := fluid.OxygenSaturation(c.TemperatureAt(depth).Value, c.lake.Altitude)
	share := 0.0 // of the way from mixed water to water cut off from the air
	switch {
	case c.Layered:
		share = ramp(depth, c.LayerTop, math.Max(c.LayerEnd, c.LayerTop+0.5))
	case len(c.lake.Profile.Depths) > 1: // measured as mixed
	default:
		warm := 0.5 - 0.5*math.Cos(2*math.Pi*(c.Season-0.1))
		share = 0.6 * warm * ramp(depth, 4, 15)
	}
	return Range{
		Value: saturated * (1 - 0.5*share),
		Low:   saturated * (1 - share) * 5 / 6,
		High:  saturated * (1 + (1-share)/6),
	}
}

// ramp climbs from 0 at a to 1 at b.
func ramp(x, a, b float64) float64 { return math.Max(0, math.Min(1, (x-a)/(b-a))) }
