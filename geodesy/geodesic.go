package geodesy

import (
	"math"

	"windlane/quantity"
)

// Distance is the length of the shortest line between a and b on the ellipsoid.
// [m] Better than a millimetre (Vincenty 1975), except between places nearly on
// opposite sides of the earth, where the series does not settle and the great
// circle on the mean sphere is given instead, right to 0.6 %. NaN if a position
// is not Valid.
func Distance(a, b Position) float64 {
	s, _ := inverse(a, b)
	return s
}

// InitialBearing is the direction in which the shortest line from a to b sets
// out; north when they are the same place, NaN if a position is not Valid.
func InitialBearing(a, b Position) quantity.Toward {
	_, azimuth := inverse(a, b)
	if azimuth < 0 {
		azimuth += 2 * math.Pi
	}
	return quantity.Toward(azimuth)
}

// inverse solves the inverse geodesic problem: distance [m] and initial azimuth
// [rad]. T. Vincenty 1975, Survey Review 23(176):88-93, eqs 3, 4, 10, 11, 13 to
// 20. Symbols as there: U reduced latitude, λ longitude difference on the
// auxiliary sphere, σ arc on it, α azimuth at the equator.
func inverse(p, q Position) (s, azimuth float64) {
	if !p.Valid() || !q.Valid() {
		return math.NaN(), math.NaN()
	}
	const f, b = flattening, equatorRadius * (1 - flattening)
	L := wrapDegrees(q.LonDeg-p.LonDeg) * degree
	sinU1, cosU1 := reduced(p.LatDeg)
	sinU2, cosU2 := reduced(q.LatDeg)
	λ := L
	for range 100 {
		sinλ, cosλ := math.Sincos(λ)
		x, y := cosU2*sinλ, cosU1*sinU2-sinU1*cosU2*cosλ
		sinσ := math.Hypot(x, y)
		cosσ := sinU1*sinU2 + cosU1*cosU2*cosλ
		if sinσ == 0 && cosσ > 0 {
			return 0, 0
		}
		σ := math.Atan2(sinσ, cosσ)
		sinα := 0.0
		if sinσ != 0 {
			sinα = cosU1 * cosU2 * sinλ / sinσ
		}
		cos2α := 1 - sinα*sinα
		cos2σm := 0.0
		if cos2α > 1e-15 {
			cos2σm = cosσ - 2*sinU1*sinU2/cos2α
		}
		C := f / 16 * cos2α * (4 + f*(4-3*cos2α))
		before := λ
		λ = L + (1-C)*f*sinα*(σ+C*sinσ*(cos2σm+C*cosσ*(2*cos2σm*cos2σm-1)))
		if math.Abs(λ) > math.Pi {
			break
		}
		if math.Abs(λ-before) > 1e-13 {
			continue
		}
		u2 := cos2α * f * (2 - f) / ((1 - f) * (1 - f))
		A := 1 + u2/16384*(4096+u2*(-768+u2*(320-175*u2)))
		B := u2 / 1024 * (256 + u2*(-128+u2*(74-47*u2)))
		Δσ := B * sinσ * (cos2σm + B/4*(cosσ*(2*cos2σm*cos2σm-1)-
			B/6*cos2σm*(4*sinσ*sinσ-3)*(4*cos2σm*cos2σm-3)))
		return b * A * (σ - Δσ), math.Atan2(x, y)
	}
	return greatCircle(p, q)
}

// reduced gives sine and cosine of the reduced latitude.
func reduced(latDeg float64) (sin, cos float64) {
	s, c := math.Sincos(latDeg * degree)
	s *= 1 - flattening
	h := math.Hypot(s, c)
	return s / h, c / h
}

// greatCircle is the spherical answer, by the tangent formula that keeps its
// digits at both ends.
func greatCircle(p, q Position) (s, azimuth float64) {
	s1, c1 := math.Sincos(p.LatDeg * degree)
	s2, c2 := math.Sincos(q.LatDeg * degree)
	sinL, cosL := math.Sincos(wrapDegrees(q.LonDeg-p.LonDeg) * degree)
	x, y := c2*sinL, c1*s2-s1*c2*cosL
	return meanRadius * math.Atan2(math.Hypot(x, y), s1*s2+c1*c2*cosL), math.Atan2(x, y)
}
