package diary

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"windlane/internal/text"
	"windlane/tackle"
)

// made is an id as whoever writes an entry makes it: a UUID (RFC 9562; version 7
// sorts by time) or a ULID (26 of Crockford's base 32).
var made = regexp.MustCompile(`^([0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}|[0-7][0-9A-HJKMNP-TV-Z]{25})$`)

// Check says what of an entry cannot be, as a *text.Fault without a file; nil if
// it may stand in a diary. Ranges keep out what is impossible, not what is unwise.
func (e Event) Check() error {
	c := &checker{}
	c.id("id", e.ID)
	day, err := time.Parse(time.DateOnly, e.Day)
	if err != nil {
		c.refuse("day", e.Day, "is no date: write it as 2026-05-02")
	}
	c.moment("at_utc", e.At)
	// A lake's clock is at most 14 hours from UTC, and a day's fishing may pass midnight.
	if off := e.At.Sub(day); err == nil && c.fault == nil && (off < -24*time.Hour || off > 48*time.Hour) {
		c.refuse("at_utc", e.At.Format(time.RFC3339), "is not on the day "+e.Day+" or next to it")
	}
	c.lonLat("lonlat", e.LonLat)
	c.what("", e.What, e.At)
	if c.fault != nil {
		return c.fault
	}
	return nil
}

// checker keeps the first fault.
type checker struct{ fault *text.Fault }

func (c *checker) refuse(field, value, problem string) {
	if c.fault == nil {
		c.fault = &text.Fault{Field: field, Value: value, Problem: problem}
	}
}

func (c *checker) id(field, id string) {
	if !made.MatchString(id) {
		c.refuse(field, id, "is no id: a UUID in lower case or a ULID in upper case belongs here")
	}
}

func (c *checker) moment(field string, t time.Time) {
	_, offset := t.Zone()
	if offset != 0 || t.Nanosecond()%1e6 != 0 || t.Year() < 1970 || t.Year() > 9999 {
		c.refuse(field, t.Format(time.RFC3339Nano), "must be UTC in whole milliseconds, from 1970 on")
	}
}

func (c *checker) lonLat(field string, at *[2]float64) {
	if at != nil && !(math.Abs(at[0]) <= 180 && math.Abs(at[1]) <= 90) {
		c.refuse(field, fmt.Sprint(*at), "is no position: longitude -180 to 180 comes first, then latitude -90 to 90")
	}
}

func (c *checker) words(field, s string, most int) {
	if !utf8.ValidString(s) || utf8.RuneCountInString(s) > most || strings.ContainsFunc(s, unicode.IsControl) {
		c.refuse(field, s, fmt.Sprintf("must be at most %d letters on one line", most))
	}
}

func (c *checker) number(field string, v *float64, low, high float64) {
	if v != nil && !(*v >= low && *v <= high) {
		c.refuse(field, fmt.Sprint(*v), fmt.Sprintf("is out of range: allowed is %g to %g", low, high))
	}
}

func (c *checker) whole(field string, v, low, high int) {
	if v < low || v > high {
		c.refuse(field, fmt.Sprint(v), fmt.Sprintf("is out of range: allowed is %d to %d", low, high))
	}
}

func one[T ~string](c *checker, field string, v T, of []T) {
	if !slices.Contains(of, v) {
		c.refuse(field, string(v), fmt.Sprintf("is not one of %v", of))
	}
}

var retrieves = []string{"steady", "strips", "figure_of_eight", "still"}

func (c *checker) retrieve(field string, r *Retrieve) {
	if r == nil {
		return
	}
	one(c, field+".kind", r.Kind, retrieves)
	c.number(field+".speed_m_s", r.SpeedMS, 0, 3)
	c.number(field+".strip_m", r.StripM, 0.02, 3)
	c.number(field+".still_for_s", r.StillS, 0, 3600)
}

// what checks the matter under a path such as "correction.instead".
func (c *checker) what(path string, w What, at time.Time) {
	kind := w.Kind()
	if kind == "" {
		c.refuse(strings.TrimSuffix(path, "."), "", "must have exactly one matter, such as \"spell_begun\" or \"offer\"")
		return
	}
	path += kind
	switch {
	case w.DayBegun != nil:
		c.words(path+".water", w.DayBegun.Water, 100)
		c.whole(path+".rods", w.DayBegun.Rods, 0, 8)
		if m := w.DayBegun.UTCOffsetMin; m != nil {
			c.whole(path+".utc_offset_min", *m, -14*60, 14*60)
		}
	case w.SpellBegun != nil:
		s := w.SpellBegun
		c.whole(path+".rod", s.Rod, 1, 8)
		c.words(path+".rig", s.Rig, 200)
		if s.Way != "" {
			one(c, path+".way", s.Way, tackle.Ways)
		}
		c.whole(path+".flies", len(s.Flies), 0, 4)
		for _, f := range s.Flies {
			one(c, path+".flies", f, tackle.Kinds)
		}
		c.number(path+".count_s", s.CountS, 0, 600)
		c.retrieve(path+".retrieve", s.Retrieve)
	case w.SpellClosed != nil:
		s := w.SpellClosed
		c.id(path+".spell", s.Spell)
		c.number(path+".not_fishing_s", &s.NotFishingS, 0, 86400)
		c.whole(path+".void_casts", s.VoidCasts, 0, 5000)
		if s.Casts != nil {
			c.whole(path+".casts", *s.Casts, 0, 5000)
			c.whole(path+".void_casts", s.VoidCasts, 0, *s.Casts)
		} else if s.Estimated {
			c.refuse(path+".estimated", "true", "has no casts that it could be of")
		}
	case w.Cast != nil:
		c.whole(path+".rod", w.Cast.Rod, 1, 8)
		c.number(path+".count_s", w.Cast.CountS, 0, 600)
		c.retrieve(path+".retrieve", w.Cast.Retrieve)
	case w.Void != nil:
		c.whole(path+".rod", w.Void.Rod, 1, 8)
		c.whole(path+".casts", w.Void.Casts, 1, 5000)
	case w.Offer != nil:
		o := w.Offer
		c.whole(path+".rod", o.Rod, 1, 8)
		one(c, path+".kind", o.Kind, Responses)
		one(c, path+".place", o.Place, Places)
		if o.Fly != "" {
			one(c, path+".fly", o.Fly, Flies)
		}
		if o.Spell != "" {
			c.id(path+".spell", o.Spell)
		}
		if o.Fish == nil {
			return
		}
		if o.Kind != Landed && o.Kind != Lost {
			c.refuse(path+".fish", "", "belongs to a fish lost or landed, not to a "+string(o.Kind))
		}
		c.words(path+".fish.species", o.Fish.Species, 60)
		c.number(path+".fish.length_m", o.Fish.LengthM, 0.01, 2)
		c.number(path+".fish.weight_kg", o.Fish.WeightKg, 0.001, 60)
	case w.DriftBegun != nil:
		c.words(path+".place", w.DriftBegun.Place, 100)
	case w.DriftEnded != nil:
		c.words(path+".why", w.DriftEnded.Why, 100)
	case w.Pause != nil:
		c.whole(path+".rod", w.Pause.Rod, 0, 8)
		c.moment(path+".until_utc", w.Pause.Until)
		one(c, path+".why", w.Pause.Why, Whys)
		if d := w.Pause.Until.Sub(at); d < 0 || d > 24*time.Hour {
			c.refuse(path+".until_utc", w.Pause.Until.Format(time.RFC3339), "must be after it began, and within a day")
		}
	case w.Note != nil:
		if w.Note.Text == "" {
			c.refuse(path+".text", "", "is missing: a note says something")
		}
		c.words(path+".text", w.Note.Text, 2000)
	case w.Temperature != nil:
		if w.Temperature.C == nil {
			c.refuse(path+".temperature_c", "", "is missing: degrees Celsius belong here")
		}
		c.number(path+".temperature_c", w.Temperature.C, -2, 40)
		c.number(path+".depth_m", &w.Temperature.DepthM, 0, 200)
	case w.Correction != nil:
		c.id(path+".of", w.Correction.Of)
		if in := w.Correction.Instead; in != nil {
			if in.Correction != nil {
				c.refuse(path+".instead", "", "cannot be another correction: take the first one back")
				return
			}
			c.moment(path+".instead.at_utc", in.At)
			c.lonLat(path+".instead.lonlat", in.LonLat)
			c.what(path+".instead.", in.What, in.At)
		}
	}
}
