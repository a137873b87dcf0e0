// Package waves says how high the wind makes a lake, from the wind, the open
// water it blows over and the depth.
//
// Rival models stand side by side under their authors' names; Default says
// which one is shown and why, and Spread how far they disagree, which is the
// honest band. waves may touch nothing else in the module.
package waves

import "math"

// Water is what makes the waves at a point. Nothing (a calm, a point on the
// windward shore, no depth) makes none; NaN makes NaN.
type Water struct {
	Wind  float64 // mean over the water at 10 m [m/s], 0 to 30
	Fetch float64 // open water upwind, straight [m], up to 50 km
	Depth float64 // mean along the fetch [m]
}

// Waves is a sea state.
type Waves struct {
	Height float64 // significant: mean of the highest third, crest to trough [m]
	Period float64 // of the spectrum's peak, or significant in SPM84Shallow [s]
}

const g = 9.81 // as in the manuals these come from [m/s²]

// Name of the model that Default is.
const Name = "Young and Verhagen 1996"

// Default is YoungVerhagen: measured on a shallow lake over the fetches that
// lakes have, with depth in both height and period. CEM's period is some 30 %
// shorter than everybody's at such fetches; SPM's adjusted wind goes further
// than the data at light winds.
func Default(w Water) Waves { return YoungVerhagen(w) }

// Spread is the least and the greatest significant height of CEM, SPM84Shallow
// and YoungVerhagen. [m]
func Spread(w Water) (low, high float64) {
	a, b, c := CEM(w).Height, SPM84Shallow(w).Height, YoungVerhagen(w).Height
	return math.Min(a, math.Min(b, c)), math.Max(a, math.Max(b, c))
}

// CEM is the Coastal Engineering Manual (EM 1110-2-1100, 2002), part II-2,
// equations II-2-36 to 38: growth with the friction velocity, deep water, the
// period held to 9.78 √(d/g) in shallow water.
func CEM(w Water) Waves {
	if w.flat() {
		return Waves{}
	}
	u := math.Sqrt((1.1+0.035*w.Wind)*1e-3) * w.Wind // friction velocity [m/s]
	x := g * w.Fetch / (u * u)
	h := math.Min(0.0413*math.Sqrt(x), 211.5) * u * u / g
	t := math.Min(0.651*math.Cbrt(x), 239.8) * u / g
	return Waves{h, math.Min(t, 9.78*math.Sqrt(w.Depth/g))}
}

// adjusted is the wind stress factor of the Shore Protection Manual 1984,
// equation 3-28. [m/s]
func adjusted(wind float64) float64 { return 0.71 * math.Pow(wind, 1.23) }

// SPM84Shallow is the Shore Protection Manual 1984, equations 3-39 and 3-40:
// water of even depth.
func SPM84Shallow(w Water) Waves {
	if w.flat() {
		return Waves{}
	}
	u := adjusted(w.Wind)
	x, d := g*w.Fetch/(u*u), g*w.Depth/(u*u)
	a := math.Tanh(0.530 * math.Pow(d, 0.75))
	b := math.Tanh(0.833 * math.Pow(d, 0.375))
	return Waves{
		Height: 0.283 * a * math.Tanh(0.00565*math.Sqrt(x)/a) * u * u / g,
		Period: 7.54 * b * math.Tanh(0.0379*math.Cbrt(x)/b) * u / g,
	}
}

// YoungVerhagen is Young and Verhagen 1996 (Coastal Engineering 29:47),
// equations 22 to 29 (numbers from memory): fetch limited, water of even depth,
// fitted on a shallow lake, 2 m deep and 20 km long, with deep water as its limit.
func YoungVerhagen(w Water) Waves {
	if w.flat() {
		return Waves{}
	}
	u2 := w.Wind * w.Wind
	x, d := g*w.Fetch/u2, g*w.Depth/u2
	a1 := math.Tanh(0.493 * math.Pow(d, 0.75))
	b1 := 3.13e-3 * math.Pow(x, 0.57)
	a2 := math.Tanh(0.331 * math.Pow(d, 1.01))
	b2 := 5.215e-4 * math.Pow(x, 0.73)
	energy := 3.64e-3 * math.Pow(a1*math.Tanh(b1/a1), 1.74)   // g² E/U⁴
	frequency := 0.133 * math.Pow(a2*math.Tanh(b2/a2), -0.37) // f U/g
	return Waves{Height: 4 * math.Sqrt(energy) * u2 / g, Period: w.Wind / (frequency * g)}
}

// flat is true where no waves can be; the least wind that counts keeps the
// powers above finite.
func (w Water) flat() bool { return w.Wind < 0.05 || w.Fetch <= 0 || w.Depth <= 0 }

// Length is the length of a wave of a period [s] in water of a depth [m], by the
// linear dispersion relation ω² = gk tanh(kd). [m]
func Length(period, depth float64) float64 {
	if period <= 0 || depth <= 0 {
		return 0
	}
	// x = kd solves x tanh x = q; Newton from above, from Eckart's start, which is within 5 %
	q := 4 * math.Pi * math.Pi / (period * period) * depth / g
	x := q / math.Sqrt(math.Tanh(q))
	for range 5 {
		t := math.Tanh(x)
		x -= (x*t - q) / (t + x*(1-t*t))
	}
	return 2 * math.Pi * depth / x
}
