// Package outing is the day as the person means to fish it: the date, the hours
// afloat, the aim, what is seen and what is told.
package outing

import (
	"fmt"
	"io"
	"regexp"
	"time"

	"windlane/internal/text"
	"windlane/quantity"
	"windlane/tackle"
)

// Aim is what the person wants of the day.
type Aim string

// The aims.
const (
	Most    Aim = "most"    // as many as may be
	Surest  Aim = "surest"  // one for everybody in the boat
	Biggest Aim = "biggest" // a big one, never mind the rest
	Method  Aim = "method"  // my way of fishing, whatever comes
)

// Sign is something seen, or found in a spooned stomach.
type Sign string

// The signs.
const (
	Rising         Sign = "rising"         // fish at the surface
	MidgeHatching  Sign = "midge_hatching" // buzzers coming off
	BirdsLow       Sign = "birds_low"      // swallows, swifts or gulls picking at the surface
	BirdsDiving    Sign = "birds_diving"   // terns or grebes at small fish
	FryScattering  Sign = "fry_scattering" // small fish breaking the surface
	SedgesOut      Sign = "sedges_out"
	LandFlies      Sign = "land_flies"    // blown on from the land
	SpoonedMidge   Sign = "spooned_midge" // found in a stomach, as are those below
	SpoonedDaphnia Sign = "spooned_daphnia"
	SpoonedFry     Sign = "spooned_fry"
	SpoonedBedFood Sign = "spooned_bed_food" // corixa, snail, shrimp
	SpoonedSurface Sign = "spooned_surface"
)

// signs lists every sign.
var signs = []Sign{Rising, MidgeHatching, BirdsLow, BirdsDiving, FryScattering, SedgesOut, LandFlies,
	SpoonedMidge, SpoonedDaphnia, SpoonedFry, SpoonedBedFood, SpoonedSurface}

// Cause is what fish are said to be on.
type Cause string

// The causes.
const (
	Midge      Cause = "midge"
	Daphnia    Cause = "daphnia"
	Fry        Cause = "fry"
	BedFood    Cause = "bed_food"
	FreshStock Cause = "fresh_stock"
	Surface    Cause = "surface"
	Suspended  Cause = "suspended"
)

// causes lists every cause.
var causes = []Cause{Midge, Daphnia, Fry, BedFood, FreshStock, Surface, Suspended}

// Told is one thing that somebody said, with what it is worth. Parts that were
// not said are zero; Trust is how far to believe it.
type Told struct {
	Text       string // as it was said
	Trust      quantity.Probability
	Cause      Cause
	HasDepth   bool
	Top        float64 // of the depth they are taken at; above the bed if FromBed. [m]
	Bottom     float64 // [m]
	FromBed    bool
	Way        tackle.Way
	Place      string    // name of a place on the lake
	Stocked    time.Time // when fish were put in, at Place if it says one
	RodAverage float64   // fish per rod and day lately, if HasRodAverage. [1]

	HasRodAverage bool
}

// Day is the outing.
type Day struct {
	From     time.Time // first hour afloat, in Zone
	Until    time.Time
	Zone     *time.Location
	Aim      Aim
	Way      tackle.Way // asked for; empty: any. Said when Aim is Method
	Units    quantity.System
	Secchi   float64 // depth at which a white disc goes out of sight; 0: not known. [m]
	Drawdown float64 // level below full, 0 or more. [m]

	HasWater   bool
	WaterC     float64 // water temperature near the top. [°C]
	GustLimit  float64 // gusts that the person will not fish in; 0: not said. [m/s]
	BrightDays int     // days of strong sun running before this one
	Algae      bool    // a bloom of blue-green algae is seen or posted
	Seen       []Sign
	Told       []Told

	ThunderHeard bool // in the last half hour before setting out
}

const dayLimit = 64 << 10 // [bytes]

var (
	clock  = regexp.MustCompile(`^([01]?\d|2[0-3]):([0-5]\d)$`)
	offset = regexp.MustCompile(`^([+-])(\d{2}):([0-5]\d)$`)
)

// defaultTrust is what hearsay is worth when nobody says: half. [1]
const defaultTrust = 0.5

// ReadDay reads a day from a TOML file; docs/formats.md gives its keys. What is
// wrong or unknown is a text.Fault that says the line.
func ReadDay(name string, r io.Reader) (*Day, error) {
	root, err := text.ReadTOML(name, r, dayLimit)
	if err != nil {
		return nil, err
	}
	metres := func(low, high float64) text.Range {
		return text.Range{Parse: quantity.Length.Parse, Low: low, High: high, Unit: "m"}
	}
	d := &Day{
		Aim:        Aim(root.Word("aim", string(Most), string(Most), string(Surest), string(Biggest), string(Method))),
		Way:        tackle.Way(root.Word("way", "", words(tackle.Ways)...)),
		Secchi:     root.Quantity("secchi", metres(0.1, 30)),
		Drawdown:   root.Quantity("drawdown", text.Range{Parse: below, Low: 0, High: 100, Unit: "m"}),
		HasWater:   root.Has("water_temperature"),
		WaterC:     root.Quantity("water_temperature", text.Range{Parse: quantity.ParseTemperature, Low: 0, High: 35, Unit: "°C"}),
		GustLimit:  root.Quantity("gust_limit", text.Range{Parse: quantity.Speed.Parse, Low: 3, High: 30, Unit: "m/s"}),
		BrightDays: root.Whole("bright_days", 0, 0, 60),

		Algae:        root.Yes("algae"),
		ThunderHeard: root.Yes("thunder_heard"),
	}
	if root.Word("units", "trade", "trade", "metric") == "metric" {
		d.Units = quantity.Metric
	}
	d.Zone = zone(root)
	d.From, d.Until = hours(root, d.Zone)
	for _, s := range root.Texts("seen") {
		if known := words(signs); !member(known, s) {
			root.Refuse("seen", fmt.Sprintf("%q is no sign known here: allowed are %v", s, known))
		}
		d.Seen = append(d.Seen, Sign(s))
	}
	for _, t := range root.Tables("told") {
		d.Told = append(d.Told, told(t, d))
		t.Done()
	}
	if d.Aim == Method && d.Way == "" {
		root.Refuse("aim", "method needs the way: say which, as in way = \"washing_line\"")
	}
	if err := root.Done(); err != nil {
		return nil, err
	}
	return d, nil
}

// below reads the level below full. A level above it would drown a shore that
// the survey has no ground for.
func below(s string) (float64, error) {
	v, err := quantity.Length.Parse(s)
	if v < 0 {
		err = fmt.Errorf("%q is a level above full, and nothing was surveyed there: allowed is 0 to 100 m below it; leave it out when the lake is full or over", s)
	}
	return v, err
}

// zone reads utc_offset. A zone's name would need a table of the world's clocks.
func zone(r *text.Record) *time.Location {
	s := r.Plain("utc_offset")
	if s == "Z" {
		return time.UTC
	}
	m := offset.FindStringSubmatch(s)
	var shift time.Duration
	if m != nil {
		shift, _ = time.ParseDuration(m[2] + "h" + m[3] + "m")
	}
	if m == nil || shift > 14*time.Hour {
		r.Refuse("utc_offset", `must say how far the lake's clock is from UTC, as in "+01:00" or "-05:00"`)
		return time.UTC
	}
	if m[1] == "-" {
		shift = -shift
	}
	return time.FixedZone("", int(shift.Seconds()))
}

func hours(r *text.Record, zone *time.Location) (from, until time.Time) {
	date, ok := day(r, "date", zone)
	if !ok {
		r.Refuse("date", "must be the day, as in date = 2026-04-18")
	}
	at := func(key string) time.Time {
		m := clock.FindStringSubmatch(r.Plain(key))
		if m == nil {
			r.Refuse(key, "must be a time of the lake's clock, as in \"09:30\"")
			return date
		}
		d, _ := time.ParseDuration(m[1] + "h" + m[2] + "m")
		return date.Add(d)
	}
	from, until = at("from"), at("until")
	if !until.After(from) {
		r.Refuse("until", "must be later than from, on the same day")
	}
	return from, until
}

func day(r *text.Record, key string, zone *time.Location) (t time.Time, ok bool) {
	t, err := time.ParseInLocation("2006-01-02", r.Plain(key), zone)
	return t, err == nil && t.Year() >= 1900 && t.Year() < 2200
}

func told(r *text.Record, d *Day) Told {
	share := text.Range{Parse: text.Bare, Low: 0, High: 1}
	t := Told{
		Text:    r.Text("text"),
		Cause:   Cause(r.Word("cause", "", words(causes)...)),
		Way:     tackle.Way(r.Word("way", "", words(tackle.Ways)...)),
		Place:   r.Text("place"),
		FromBed: r.Yes("from_bed"),
		Trust:   defaultTrust,
	}
	if v := r.Quantity("trust", share); r.Has("trust") {
		t.Trust = quantity.Probability(v)
	}
	if t.HasRodAverage = r.Has("rod_average"); t.HasRodAverage {
		t.RodAverage = r.Quantity("rod_average", text.Range{Parse: text.Bare, Low: 0, High: 100})
	}
	if depth := r.Quantities("depth", text.Range{Parse: quantity.Length.Parse, Low: 0, High: 100, Unit: "m"}); r.Has("depth") {
		if len(depth) != 2 || depth[1] < depth[0] {
			r.Refuse("depth", `must be two depths, the upper first, as in ["6 ft", "10 ft"]`)
		} else {
			t.HasDepth, t.Top, t.Bottom = true, depth[0], depth[1]
		}
	}
	if r.Has("stocked") {
		at, ok := day(r, "stocked", d.Zone)
		if !ok || at.After(d.From) {
			r.Refuse("stocked", "must be the day that fish were put in, not after this one, as in stocked = 2026-04-14")
		}
		t.Stocked = at
	}
	if t.FromBed && !t.HasDepth {
		r.Refuse("from_bed", "is about a depth: say depth too")
	}
	if t.Cause == "" && !t.HasDepth && t.Way == "" && t.Place == "" && t.Stocked.IsZero() && !t.HasRodAverage {
		r.Refuse("", "says nothing that can be used: one of cause, depth, way, place, stocked, rod_average is needed")
	}
	return t
}

func words[T ~string](list []T) []string {
	var out []string
	for _, x := range list {
		out = append(out, string(x))
	}
	return out
}

func member(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
