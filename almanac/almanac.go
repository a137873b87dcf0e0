// Package almanac says where the sun stands, and when it rises, stands highest
// and sets.
//
// Good from 1950 to 2060: position to 0.005°, times to 2 s where the sun
// crosses the horizon at a fair angle (docs/models/almanac.md says what was
// compared). almanac may touch quantity only.
package almanac

import (
	"math"
	"time"

	"windlane/quantity"
)

// Site is a place on the earth; height above sea matters too little to ask for.
type Site struct {
	LonDeg float64 // east positive [deg], −180 to 180
	LatDeg float64 // north positive [deg], −90 to 90
}

// Sun is where the sun's centre stands for somebody at a site.
type Sun struct {
	Elevation float64          // above the horizon, as without air [rad], negative at night
	Refracted float64          // as seen, lifted by air of 1010 hPa and 10 °C [rad]
	Azimuth   quantity.Bearing // clockwise from true north
}

// Elevations of the sun's centre, without air, at which a day turns. The upper
// edge shows when the centre is 50′ down: 34′ of refraction and 16′ of radius.
const (
	horizon = -0.8333 * math.Pi / 180 // sunrise and sunset [rad]
	civil   = -6 * math.Pi / 180      // civil dawn and dusk [rad]
)

const deg = math.Pi / 180

// dynamicalOffset is dynamical less universal time. It was 29 s in 1950 and is
// 69 s now; 40 s wrong moves the sun by 1.6″, so one value serves. [s]
const dynamicalOffset = 69

// At is where the sun stands at a moment.
//
// Longitude by Meeus, Astronomical Algorithms (2nd ed. 1998), ch. 25 (low
// accuracy) with the five larger perturbations of his Astronomical Formulae for
// Calculators, ch. 18 (from memory); leading terms of nutation, ch. 22; sidereal
// time 12.4; parallax 8.794″. Left out: earth rotation's wander against UTC
// (below 0.9 s, 0.004°) and the sun's ecliptic latitude (below 1.2″).
func At(at time.Time, where Site) Sun {
	alpha, delta, sidereal := equatorial(at)
	lat := where.LatDeg * deg
	sinD, cosD := math.Sincos(delta)
	sinL, cosL := math.Sincos(lat)
	sinH, cosH := math.Sincos(sidereal + where.LonDeg*deg - alpha)
	up := sinL*sinD + cosL*cosD*cosH
	north := cosL*sinD - sinL*cosD*cosH
	east := -cosD * sinH
	geocentric := math.Atan2(up, math.Hypot(north, east))
	e := geocentric - 8.794/3600*deg*math.Cos(geocentric)
	return Sun{
		Elevation: e,
		Refracted: e + Refraction(e),
		Azimuth:   quantity.Bearing(quantity.TowardVector(east, north)),
	}
}

// Refraction is by how much air of 1010 hPa and 10 °C lifts something at a true
// elevation [rad]. [rad] Sæmundsson 1986 (Sky & Telescope 72:70), as in Reda and
// Andreas 2004, eq. 42; good to 0.1′ above 15° and to some 0.5′ at the
// horizon, where the day's air may do ten times that. Below −2° it fades to nothing: the
// formula means nothing there and nobody sees that sun.
func Refraction(elevation float64) float64 {
	h := elevation / deg
	fade := 1.0
	if h < -2 {
		fade = math.Max(0, 1-(-2-h)/2)
		h = -2
	}
	r := 1.02 / 60 / math.Tan((h+10.3/(h+5.11))*deg)
	return math.Max(0, r) * fade * deg // at the zenith the formula dips 0.1″ below nothing
}

// equatorial gives apparent right ascension, declination and Greenwich apparent
// sidereal time, all [rad].
func equatorial(at time.Time) (alpha, delta, sidereal float64) {
	days := float64(at.Unix()-946728000)/86400 + float64(at.Nanosecond())/86400e9 // from 2000-01-01 12:00 UT
	T := (days + dynamicalOffset/86400.0) / 36525                                 // centuries from J2000

	L0 := turn(280.46646 + T*(36000.76983+T*0.0003032))
	M := turn(357.52911 + T*(35999.05029-T*0.0001537))
	C := (1.914602-T*(0.004817+T*0.000014))*math.Sin(M) + (0.019993-T*0.000101)*math.Sin(2*M) + 0.000289*math.Sin(3*M)
	// perturbations by Venus (two), Jupiter and the Moon, and one of long period, counted from 1900
	N := T + 1
	C += 0.00134*math.Cos(turn(153.23+22518.7541*N)) + 0.00154*math.Cos(turn(216.57+45037.5082*N)) +
		0.00200*math.Cos(turn(312.69+32964.3577*N)) + 0.00179*math.Sin(turn(350.74+N*(445267.1142-N*0.00144))) + 0.00178*math.Sin(turn(231.19+20.20*N))

	node := turn(125.04452 - 1934.136261*T) // of the Moon's orbit
	moon := turn(218.3165 + 481267.8813*T)
	dpsi := (-17.20*math.Sin(node) - 1.32*math.Sin(2*L0) - 0.23*math.Sin(2*moon) + 0.21*math.Sin(2*node)) / 3600
	deps := (9.20*math.Cos(node) + 0.57*math.Cos(2*L0) + 0.10*math.Cos(2*moon) - 0.09*math.Cos(2*node)) / 3600
	eps := (23.4392911 - 0.0130042*T + deps) * deg

	const aberration = 20.4898 / 3600
	lambda := L0 + (C+dpsi-aberration)*deg
	sinLam, cosLam := math.Sincos(lambda)
	sinE, cosE := math.Sincos(eps)
	alpha = math.Atan2(cosE*sinLam, cosLam)
	delta = math.Asin(sinE * sinLam)
	sidereal = turn(280.46061837+360.98564736629*days+T*T*0.000387933) + dpsi*cosE*deg
	return alpha, delta, sidereal
}

// turn takes whole turns off an angle in degrees and gives radians.
func turn(d float64) float64 { return math.Mod(d, 360) * deg }

// Times are the turns of a day, in UTC and whole seconds. One that does not
// happen (no dusk in a northern June, no sunrise in the polar night) is the
// zero Time: ask IsZero.
type Times struct {
	CivilDawn, Sunrise, Noon, Sunset, CivilDusk time.Time
}

// On gives the Times of the calendar date of date in its own zone: the noon is
// the sun's passage of the meridian nearest to twelve by the clock, and the
// others are those on either side of it. So a sunrise may have another date in
// UTC, and a very late dusk one on the local clock too.
func On(date time.Time, where Site) Times {
	y, m, d := date.Date()
	noon := transit(time.Date(y, m, d, 12, 0, 0, 0, date.Location()).UTC(), where)
	return Times{
		CivilDawn: crossing(noon, -12*time.Hour, civil, where),
		Sunrise:   crossing(noon, -12*time.Hour, horizon, where),
		Noon:      noon.Round(time.Second),
		Sunset:    crossing(noon, 12*time.Hour, horizon, where),
		CivilDusk: crossing(noon, 12*time.Hour, civil, where),
	}
}

// transit finds the passage of the meridian nearest to a moment.
func transit(at time.Time, where Site) time.Time {
	for range 4 { // each pass leaves some 1/365 of the error before it
		alpha, _, sidereal := equatorial(at)
		hourAngle := math.Remainder(sidereal+where.LonDeg*deg-alpha, 2*math.Pi)
		at = at.Add(-time.Duration(hourAngle / (2 * math.Pi) * float64(24*time.Hour)))
	}
	return at
}

// crossing finds when the sun passes an elevation between noon and the midnight
// half a day away; none if it stays on one side. On the one day a year where
// the sun only just touches it, the answer may be either.
func crossing(noon time.Time, half time.Duration, elevation float64, where Site) time.Time {
	above, below := time.Duration(0), half
	height := func(d time.Duration) float64 { return At(noon.Add(d), where).Elevation - elevation }
	if height(above) < 0 || height(below) > 0 {
		return time.Time{}
	}
	for range 20 { // 12 h / 2²⁰ is 0.04 s
		if mid := (above + below) / 2; height(mid) >= 0 {
			above = mid
		} else {
			below = mid
		}
	}
	return noon.Add(above).Round(time.Second)
}
