package main

import "windlane/quantity"

// Quantities as people type them, with or without their unit. They are SI inside.
type (
	length float64
	speed  float64
	span   float64 // of time
	angle  float64
	degree float64 // of temperature
)

func (q *length) UnmarshalText(b []byte) error { return parse(b, quantity.Length, (*float64)(q)) }
func (q *speed) UnmarshalText(b []byte) error  { return parse(b, quantity.Speed, (*float64)(q)) }
func (q *span) UnmarshalText(b []byte) error   { return parse(b, quantity.Time, (*float64)(q)) }
func (q *angle) UnmarshalText(b []byte) error  { return parse(b, quantity.Angle, (*float64)(q)) }

func (q *degree) UnmarshalText(b []byte) error {
	v, err := quantity.ParseTemperature(string(b))
	*q = degree(v)
	return err
}

func parse(b []byte, kind quantity.Kind, into *float64) error {
	v, err := kind.Parse(string(b))
	*into = v
	return err
}
