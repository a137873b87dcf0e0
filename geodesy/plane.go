// Package geodesy turns positions on the earth into metres on a plane and back,
// and measures distance and bearing between positions. Everything is on the
// WGS 84 ellipsoid (NIMA TR8350.2, 2000): a = 6378137 m, 1/f = 298.257223563.
//
// Positions are in degrees because every file that holds them holds degrees;
// all else is SI and radians. Formulas, their reach and the tests that hold
// them: docs/models/geodesy.md.
package geodesy

import (
	"fmt"
	"math"
)

const (
	equatorRadius = 6378137.0           // a [m]
	flattening    = 1 / 298.257223563   // f [1]
	meanRadius    = 6371008.7714        // (2a+b)/3 [m]
	degree        = math.Pi / 180       // [rad]
	metresMaximum = equatorRadius * 1e3 // past this a plane coordinate is a caller's mistake [m]
)

// Position is a place on the WGS 84 ellipsoid.
type Position struct {
	LonDeg float64 // [deg] east positive, -180 to 180
	LatDeg float64 // [deg] north positive, -90 to 90
}

// Valid says whether both numbers are finite and in range.
func (p Position) Valid() bool {
	return math.Abs(p.LonDeg) <= 180 && math.Abs(p.LatDeg) <= 90
}

func (p Position) String() string { return fmt.Sprintf("%.6f, %.6f", p.LonDeg, p.LatDeg) }

// Plane is a map of the country round its origin: x metres east, y metres north.
// It is a transverse Mercator projection with scale 1 on the meridian of the
// origin, so shapes and angles are true and lengths are too long by the factor
// 1 + x²/2R²: 1.2e-6 at 10 km, 3.1e-5 at 50 km. Grid north differs from true
// north by about (lon - origin lon)·sin(lat): 0.1° at 9 km east in latitude 52.
type Plane struct {
	origin Position
	north0 float64 // y of the origin above the equator [m]
}

// NewPlane makes the plane round origin. An origin that is not Valid panics.
func NewPlane(origin Position) Plane {
	if !origin.Valid() {
		panic(fmt.Sprintf("geodesy: no plane can have its origin at %v", origin))
	}
	p := Plane{origin: origin}
	_, p.north0 = mercator(origin.LatDeg*degree, 0)
	return p
}

// Origin is the position of x = 0, y = 0.
func (p Plane) Origin() Position { return p.origin }

// XY gives metres east and north of the origin. Within 3000 km of the origin's
// meridian it is right to a micrometre; it loses meaning 90° away from it.
func (p Plane) XY(at Position) (x, y float64) {
	x, y = mercator(at.LatDeg*degree, wrapDegrees(at.LonDeg-p.origin.LonDeg)*degree)
	return x, y - p.north0
}

// Position is the inverse of XY.
func (p Plane) Position(x, y float64) Position {
	if !(math.Abs(x) <= metresMaximum && math.Abs(y) <= metresMaximum) {
		panic(fmt.Sprintf("geodesy: (%v, %v) m is on no plane", x, y))
	}
	lat, lon := inverseMercator(x, y+p.north0)
	return Position{LonDeg: wrapDegrees(lon/degree + p.origin.LonDeg), LatDeg: lat / degree}
}

// The Krüger series in the third flattening n, to n⁴ (Krüger 1912; Karney 2011,
// J. Geodesy 85:475, eqs 12, 14, 35, 36). The next term is 1e-7 m or less.
const n = flattening / (2 - flattening)

const rectifyingRadius = equatorRadius / (1 + n) * (1 + n*n/4 + n*n*n*n/64)

var (
	alpha = [4]float64{
		n/2 - 2*n*n/3 + 5*n*n*n/16 + 41*n*n*n*n/180,
		13*n*n/48 - 3*n*n*n/5 + 557*n*n*n*n/1440,
		61*n*n*n/240 - 103*n*n*n*n/140,
		49561 * n * n * n * n / 161280,
	}
	beta = [4]float64{
		n/2 - 2*n*n/3 + 37*n*n*n/96 - n*n*n*n/360,
		n*n/48 + n*n*n/15 - 437*n*n*n*n/1440,
		17*n*n*n/480 - 37*n*n*n*n/840,
		4397 * n * n * n * n / 161280,
	}
	eccentricity = math.Sqrt(flattening * (2 - flattening))
)

// mercator projects latitude φ and longitude λ east of the central meridian. [rad] -> [m]
func mercator(φ, λ float64) (x, y float64) {
	τ := conformal(math.Tan(φ))
	sinλ, cosλ := math.Sincos(λ)
	ξ := math.Atan2(τ, cosλ)
	η := math.Asinh(sinλ / math.Hypot(τ, cosλ))
	x, y = η, ξ
	for j, a := range alpha {
		k := 2 * float64(j+1)
		s, c := math.Sincos(k * ξ)
		y += a * s * math.Cosh(k*η)
		x += a * c * math.Sinh(k*η)
	}
	return rectifyingRadius * x, rectifyingRadius * y
}

func inverseMercator(x, y float64) (φ, λ float64) {
	ξ, η := y/rectifyingRadius, x/rectifyingRadius
	ξ1, η1 := ξ, η
	for j, b := range beta {
		k := 2 * float64(j+1)
		s, c := math.Sincos(k * ξ)
		ξ1 -= b * s * math.Cosh(k*η)
		η1 -= b * c * math.Sinh(k*η)
	}
	s, c := math.Sincos(ξ1)
	sh := math.Sinh(η1)
	λ = math.Atan2(sh, c)
	return math.Atan(geographic(s / math.Hypot(sh, c))), λ
}

// conformal turns the tangent of the latitude into that of the conformal
// latitude (Karney 2011, eqs 7 to 9).
func conformal(τ float64) float64 {
	σ := math.Sinh(eccentricity * math.Atanh(eccentricity*τ/math.Hypot(1, τ)))
	return τ*math.Hypot(1, σ) - σ*math.Hypot(1, τ)
}

// geographic inverts conformal by Newton's method (Karney 2011, eqs 19 to 21).
// Two steps reach full precision; five is the ceiling.
func geographic(want float64) float64 {
	if math.Abs(want) > 1e12 { // the pole, to a micrometre
		return want
	}
	e2 := eccentricity * eccentricity
	τ := want / math.Sqrt(1-e2)
	for range 5 {
		at := conformal(τ)
		step := (want - at) / math.Hypot(1, at) * (1 + (1-e2)*τ*τ) / ((1 - e2) * math.Hypot(1, τ))
		τ += step
		if math.Abs(step) <= 1e-15*math.Max(1, math.Abs(τ)) {
			break
		}
	}
	return τ
}

// wrapDegrees brings an angle into -180 to 180.
func wrapDegrees(d float64) float64 {
	if d >= -180 && d <= 180 {
		return d
	}
	return math.Remainder(d, 360)
}
