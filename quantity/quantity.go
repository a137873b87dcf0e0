// Package quantity holds the few types whose meaning is the trap, the units
// that people type, and the words that numbers become.
//
// Everything inside windlane is SI, float64 and radians; the unit stands in
// square brackets in the doc comment. Only bearings, depths and probabilities
// are types of their own: a wind direction is where it comes from while a drift
// is where it goes to, a depth grows downwards while a height grows upwards, and
// a probability is not any other number.
//
// quantity may touch nothing else in the module.
package quantity

import (
	"math"
	"strconv"
)

// Bearing is an angle clockwise from true north. [rad], 0 up to 2π
type Bearing float64

// From is the bearing something comes from, as winds are given. [rad]
type From Bearing

// Toward is the bearing something goes to, as drifts are given. [rad]
type Toward Bearing

// Depth is a distance below today's surface, positive down. [m]
type Depth float64

// Probability lies between 0 and 1.
type Probability float64

// FromDegrees makes a From of an angle in degrees, any turn of the circle.
func FromDegrees(deg float64) From { return From(wrap(deg * math.Pi / 180)) }

// TowardDegrees makes a Toward of an angle in degrees, any turn of the circle.
func TowardDegrees(deg float64) Toward { return Toward(wrap(deg * math.Pi / 180)) }

// Toward turns round: the bearing a wind from f blows to.
func (f From) Toward() Toward { return Toward(wrap(float64(f) + math.Pi)) }

// From turns round: the bearing that something going to t comes from.
func (t Toward) From() From { return From(wrap(float64(t) + math.Pi)) }

// Degrees is the bearing in degrees, 0 up to 360.
func (f From) Degrees() float64 { return degrees(float64(f)) }

// Degrees is the bearing in degrees, 0 up to 360.
func (t Toward) Degrees() float64 { return degrees(float64(t)) }

// Vector is the unit vector of the bearing: east, north.
func (t Toward) Vector() (east, north float64) {
	s, c := math.Sincos(float64(t))
	return s, c
}

// TowardVector is the bearing of the vector (east, north); north for the zero vector.
func TowardVector(east, north float64) Toward { return Toward(wrap(math.Atan2(east, north))) }

// Turn is the signed angle from a to b, clockwise positive. [rad], −π up to π
func Turn(a, b Bearing) float64 {
	d := math.Mod(float64(b-a), 2*math.Pi)
	switch {
	case d >= math.Pi:
		d -= 2 * math.Pi
	case d < -math.Pi:
		d += 2 * math.Pi
	}
	return d
}

var points = [16]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}

// Compass is the nearest of the sixteen points: "N", "NNE" …
func (b Bearing) Compass() string {
	return points[int(math.Floor(wrap(float64(b))/(math.Pi/8)+0.5))%16]
}

func wrap(rad float64) float64 {
	rad = math.Mod(rad, 2*math.Pi)
	if rad < 0 {
		rad += 2 * math.Pi
	}
	if rad >= 2*math.Pi { // a tiny negative angle rounds up to a full turn
		rad = 0
	}
	return rad
}

func degrees(rad float64) float64 {
	d := wrap(rad) * 180 / math.Pi
	if d >= 360 {
		d = 0
	}
	return d
}

// MarshalJSON writes the bearing in degrees: its JSON name ends in _deg.
func (f From) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, f.Degrees(), 'g', -1, 64), nil
}

// MarshalJSON writes the bearing in degrees: its JSON name ends in _deg.
func (t Toward) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, t.Degrees(), 'g', -1, 64), nil
}
