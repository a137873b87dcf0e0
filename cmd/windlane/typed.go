package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"windlane/quantity"
)

// typed is a quantity as a person typed it, with or without its unit, and what
// it is in SI. One that was not typed is the empty text and 0.
type typed struct {
	si   float64
	text string
}

// given is whether anything was typed, if only by a default.
func (t typed) given() bool    { return t.text != "" }
func (t typed) String() string { return t.text }

func (t *typed) parse(b []byte, kind func(string) (float64, error)) error {
	v, err := kind(string(b))
	*t = typed{v, string(b)}
	return err
}

// The kinds of quantity.
type (
	length   struct{ typed }
	speed    struct{ typed }
	span     struct{ typed } // of time
	angle    struct{ typed }
	mass     struct{ typed }
	strength struct{ typed }
	degrees  struct{ typed } // of temperature
)

func (q *length) UnmarshalText(b []byte) error   { return q.parse(b, quantity.Length.Parse) }
func (q *speed) UnmarshalText(b []byte) error    { return q.parse(b, quantity.Speed.Parse) }
func (q *span) UnmarshalText(b []byte) error     { return q.parse(b, quantity.Time.Parse) }
func (q *angle) UnmarshalText(b []byte) error    { return q.parse(b, quantity.Angle.Parse) }
func (q *mass) UnmarshalText(b []byte) error     { return q.parse(b, quantity.Mass.Parse) }
func (q *strength) UnmarshalText(b []byte) error { return q.parse(b, quantity.Force.Parse) }
func (q *degrees) UnmarshalText(b []byte) error  { return q.parse(b, quantity.ParseTemperature) }

// bearing is where a wind comes from: a point of the compass or degrees.
type bearing struct {
	deg  float64
	text string
}

func (q *bearing) UnmarshalText(b []byte) error {
	s := strings.ToUpper(strings.TrimSpace(string(b)))
	q.text = string(b)
	for deg := 0.0; deg < 360; deg += 22.5 {
		if quantity.Bearing(quantity.FromDegrees(deg)).Compass() == s {
			q.deg = deg
			return nil
		}
	}
	v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSuffix(s, "DEG"), "°"), 64)
	if err != nil || !(v >= 0 && v <= 360) {
		return fmt.Errorf("%q is no bearing: write a point such as SW or WSW, or degrees from 0 to 360", b)
	}
	q.deg = v
	return nil
}

// between is a range of depths: "7-10 ft", "2 to 3 m".
type between struct {
	top, bottom float64 // [m]
	text        string
}

func (q *between) UnmarshalText(b []byte) error {
	q.text = string(b)
	bad := fmt.Errorf("%q is no range of depths: write the top, the bottom and a unit, such as \"7-10 ft\" or \"2 to 3 m\"", b)
	a, z, ok := strings.Cut(strings.ReplaceAll(string(b), " to ", "-"), "-")
	if !ok {
		return bad
	}
	bottom, err := quantity.Length.Parse(z)
	if err != nil {
		return bad
	}
	a = strings.TrimSpace(a)
	if _, err := strconv.ParseFloat(a, 64); err == nil { // the unit at the end is meant for both
		a += " " + strings.TrimLeft(strings.TrimSpace(z), "0123456789.eE+- ")
	}
	top, err := quantity.Length.Parse(a)
	if err != nil {
		return bad
	}
	q.top, q.bottom = top, bottom
	return nil
}

// moment is a time by the lake's clock or with its offset.
type moment struct {
	time.Time
	local bool // no offset was typed
}

func (q *moment) UnmarshalText(b []byte) error {
	s := strings.Replace(strings.TrimSpace(string(b)), " ", "T", 1)
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if t, err := time.Parse(form, s); err == nil {
			q.Time = t
			return nil
		}
	}
	t, err := time.Parse("2006-01-02T15:04", s)
	if err != nil {
		return fmt.Errorf("%q is no time: write \"2026-04-14 15:00\" by the lake's clock, or \"2026-04-14T14:00Z\"", b)
	}
	q.Time, q.local = t, true
	return nil
}

// offset is the lake's clock less UTC: +01:00.
type offset struct{ minutes int }

func (q *offset) UnmarshalText(b []byte) error {
	t, err := time.Parse("-07:00", strings.TrimSpace(string(b)))
	if err != nil {
		return fmt.Errorf("%q is no offset from UTC: write it as +01:00 or -05:00", b)
	}
	_, seconds := t.Zone()
	q.minutes = seconds / 60
	return nil
}
