// Package light says how much daylight falls on a lake, how much of it the
// surface throws back and how much is left at a depth.
//
// Elevations are the sun's without refraction, in radians; light is broadband
// downward irradiance unless a name says otherwise. NaN gives NaN. light may
// touch nothing else in the module.
package light

import "math"

// Base names the clear-sky model that Clear is.
const Base = "Haurwitz 1945"

// Clear is the daylight under a clear sky, Haurwitz's. [W/m²] It has been compared
// with measurements by others (Sandia report SAND2012-2389), and it keeps above
// nothing down to the horizon.
func Clear(elevation float64) float64 { return Haurwitz(elevation) }

// Haurwitz is the clear sky of Haurwitz 1945 and 1946 (J. Meteor. 2:154, 3:123):
// 1098 cos z exp(−0.059/cos z), nothing below the horizon. [W/m²] Some texts
// print 0.057, which is 0.4 % more at 30°.
func Haurwitz(elevation float64) float64 {
	c := math.Sin(elevation)
	if c <= 0 {
		return 0
	}
	return 1098 * c * math.Exp(-0.059/c)
}

// CloudFactor is what a cloud cover in eighths, 0 to 8, leaves of a clear sky's
// light: 1 − 0.75 (N/8)^3.4, Kasten and Czeplak 1980. [1]
func CloudFactor(oktas float64) float64 {
	return 1 - 0.75*math.Pow(clamp(oktas/8, 0, 1), 3.4)
}

// Twilight is the daylight about and under the horizon, where the base above
// knows nothing. [W/m²] Straight lines in the logarithm through 453 lx at 0°,
// 3.4 lx at −6°, 0.0083 lx at −12° and 0.00065 lx at −18°, a clear night without
// a moon (RCA Electro-Optics Handbook 1974, from memory), at 110 lm/W. Above
// the horizon it stays what it is there.
func Twilight(elevation float64) float64 {
	h := clamp(elevation*180/math.Pi, -18, 0)
	lux := [4]float64{453, 3.4, 0.0083, 0.00065}
	if math.IsNaN(h) {
		return h
	}
	i := min(int(-h/6), 2)
	f := -h/6 - float64(i)
	return math.Pow(lux[i], 1-f) * math.Pow(lux[i+1], f) / 110
}

// Index is the refractive index of fresh water for visible light. [1]
const Index = 1.333

// Reflectance is the part of the sun's own light that a flat surface throws
// back, unpolarised, by Fresnel's equations at the sun's incidence. [1], 0 to 1;
// 1 at and under the horizon. Waves lower it for suns under some 20°.
func Reflectance(elevation float64) float64 {
	if elevation <= 0 {
		return 1
	}
	return Fresnel(math.Pi/2-elevation, Index)
}

// Fresnel is the reflectance of unpolarised light at an incidence from the
// vertical [rad], 0 to π/2, on a medium of a refractive index. [1]
func Fresnel(incidence, index float64) float64 {
	cosI := math.Cos(incidence)
	cosT := math.Cos(Refracted(incidence, index))
	s := (cosI - index*cosT) / (cosI + index*cosT)
	p := (index*cosI - cosT) / (index*cosI + cosT)
	return (s*s + p*p) / 2
}

// Refracted is the angle from the vertical under the surface of light that
// arrives at an incidence [rad]. [rad] Snell's law
func Refracted(incidence, index float64) float64 { return math.Asin(math.Sin(incidence) / index) }

// SkyReflectance is the reflectance for light that comes evenly from the whole
// sky: Fresnel integrated over the hemisphere. [1]
const SkyReflectance = 0.0664

// Daylight is the light on the surface and the part thrown back, as a person
// afloat has it: the sun's light while it shows, the sky's for the share of it
// that cloud covers, twilight about the horizon. [W/m²], [1] Under a clear sky
// and a sun above 3° it is Clear and Reflectance.
//
// The sun shows for 1 − N/8 of the time: a choice, so that an overcast sky
// reflects as a sky and not as a low sun.
func Daylight(elevation, oktas float64) (surface, reflectance float64) {
	cloud := CloudFactor(oktas)
	sun, dusk := Clear(elevation)*cloud, Twilight(elevation)*cloud
	if sun < dusk {
		return dusk, SkyReflectance
	}
	shows := 1 - clamp(oktas/8, 0, 1)
	return sun, shows*Reflectance(elevation) + (1-shows)*SkyReflectance
}

// Coefficients of Attenuation: the product of attenuation and Secchi depth. [1]
const (
	PooleAtkins1929 = 1.7  // the default: sea and lake water of ordinary clarity (from memory)
	Holmes1970      = 1.44 // turbid coastal water (from memory)
	LeastSecchi     = 1.4  // the range between kinds of water
	MostSecchi      = 2.0
)

// Attenuation is the vertical attenuation coefficient of water in which a white
// disc goes out of sight at a Secchi depth [m], by Poole and Atkins 1929 (JMBA
// 16:297). [1/m] Nothing known (a depth of 0 or less) is a caller's mistake.
func Attenuation(secchi float64) float64 {
	if secchi <= 0 {
		panic("light: a Secchi depth must be above 0")
	}
	return PooleAtkins1929 / secchi
}

// At is the light left at a depth [m] of what falls on the surface, after
// reflectance and attenuation [1/m]: Beer and Lambert's law, the surface's
// light for depths above it. In the unit of surface.
func At(surface, reflectance, attenuation, depth float64) float64 {
	return surface * (1 - reflectance) * math.Exp(-attenuation*math.Max(depth, 0))
}

// Photons is the flux of light that plants use (400 to 700 nm) in broadband
// daylight [W/m²]: 2.114 µmol/J, Britton and Dodd 1976. [µmol/(m²·s)]
func Photons(broadband float64) float64 { return 2.114 * broadband }

func clamp(x, low, high float64) float64 {
	switch {
	case x < low:
		return low
	case x > high:
		return high
	}
	return x
}
