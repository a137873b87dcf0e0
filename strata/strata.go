// Package strata says how a lake lies in layers: where the thermocline is, how
// firm the layers are against mixing, and what the wind does to them.
//
// The indices are those of Read et al. 2011 (Environ. Model. Softw. 26:1325),
// with its constants and its step of 0.1 m, so that numbers can be compared.
// Its density formula (Martin and McCutcheon 1999) lies 0.03 kg/m³ above
// fluid.WaterDensity everywhere, which cancels in differences.
// strata may touch fluid and internal/text only.
package strata

import (
	"math"
	"slices"
)

const (
	g      = 9.81 // [m/s²]
	dz     = 0.1  // step of the sums over depth [m]
	mixed  = 1.0  // less difference than this from top to bottom is no layering [K]
	steep  = 0.1  // density gradient where the metalimnion ends [kg/m³ per m]
	unique = 0.15 // a second peak of the gradient counts above this share of the highest [1]
)

// Wind is what moves the surface.
type Wind struct {
	Speed  float64 // [m/s], 0 or more
	Height float64 // of that speed above the water [m], 0.1 or more; less counts as 0.1
}

// Strata is a lake's layers under a wind. What does not exist is 0 and its Has
// is false.
type Strata struct {
	Stratified bool // 1 K or more from top to bottom, and a gradient of 0.1 kg/m³ per m or more

	HasThermocline      bool    // 1 K or more from top to bottom, denser below
	Thermocline         float64 // depth of the steepest density gradient [m]
	SeasonalThermocline float64 // the deepest of the steep ones [m]
	MetalimnionTop      float64 // where the layer about Thermocline begins [m]
	MetalimnionBottom   float64 // and ends [m]

	HasLake          bool    // the hypsography was known
	Schmidt          float64 // Schmidt stability: work to mix the lake [J/m²]
	FrictionVelocity float64 // of the water [m/s]

	HasIndices bool    // a thermocline, a lake and a wind
	Wedderburn float64 // above 1 the layers tilt a little, below 0.5 deep water comes up at the windward end [1]
	LakeNumber float64 // the same for the whole lake's shape [1]
	Reduced    float64 // reduced gravity between the layers [m/s²]
}

// Of studies a profile in a lake under a wind.
func Of(p Profile, lake Hypsography, wind Wind) Strata {
	var s Strata
	d := gradients(p)
	s.thermoclines(p, d)
	if len(lake.Areas) == 0 {
		s.FrictionVelocity = FrictionVelocity(wind, density(p.Temperatures[0]))
		return s
	}
	s.HasLake = true
	s.Schmidt = Schmidt(p, lake)
	if !s.HasThermocline {
		s.FrictionVelocity = FrictionVelocity(wind, layerDensity(p, lake, 0, bottom(p, lake)))
		return s
	}
	upper := layerDensity(p, lake, 0, s.MetalimnionTop)
	lower := layerDensity(p, lake, s.MetalimnionBottom, p.Depths[len(p.Depths)-1]) // as far as was measured
	s.FrictionVelocity = FrictionVelocity(wind, upper)
	s.Reduced = g * (lower - upper) / lower
	if s.FrictionVelocity > 0 && s.Reduced > 0 {
		s.HasIndices = true
		s.Wedderburn = Wedderburn(s.Reduced, s.MetalimnionTop, s.FrictionVelocity, 2*math.Sqrt(lake.Areas[0]/math.Pi))
		s.LakeNumber = LakeNumber(lake, s.FrictionVelocity, s.Schmidt, s.MetalimnionTop, s.MetalimnionBottom, lower)
	}
	return s
}

// density is that of fresh water by Martin and McCutcheon 1999. [kg/m³]
func density(t float64) float64 {
	return 1000 * (1 - (t+288.9414)*(t-3.9863)*(t-3.9863)/(508929.2*(t+68.12963)))
}

// gradients are the density gradients between neighbouring depths. [kg/m³ per m]
func gradients(p Profile) []float64 {
	d := make([]float64, len(p.Depths)-1)
	for i := range d {
		d[i] = (density(p.Temperatures[i+1]) - density(p.Temperatures[i])) / (p.Depths[i+1] - p.Depths[i])
	}
	return d
}

func (s *Strata) thermoclines(p Profile, d []float64) {
	least, most := p.Temperatures[0], p.Temperatures[0]
	for _, t := range p.Temperatures {
		least, most = math.Min(least, t), math.Max(most, t)
	}
	top := 0
	for i := range d {
		if d[i] > d[top] {
			top = i
		}
	}
	if most-least < mixed || d[top] <= 0 {
		return
	}
	s.HasThermocline, s.Stratified = true, d[top] >= steep
	s.Thermocline = weigh(p, d, top)
	s.SeasonalThermocline = s.Thermocline
	for i := len(d) - 2; i > top+1; i-- { // the lowest separate peak
		if d[i] > d[i-1] && d[i] >= d[i+1] && d[i] > math.Max(unique*d[top], steep) {
			s.SeasonalThermocline = math.Max(s.Thermocline, weigh(p, d, i))
			break
		}
	}
	s.MetalimnionTop, s.MetalimnionBottom = Metalimnion(p, s.Thermocline)
}

// weigh places the thermocline within step i of the profile: between its two
// depths, nearer to the neighbour with the steeper gradient; in the middle at
// the ends of the profile.
func weigh(p Profile, d []float64, i int) float64 {
	above, below := p.Depths[i], p.Depths[i+1]
	if i == 0 || i == len(d)-1 || d[i] == d[i-1] || d[i] == d[i+1] {
		return (above + below) / 2
	}
	up := (above - p.Depths[i-1]) / (d[i] - d[i-1])
	down := (below - above) / (d[i] - d[i+1])
	return (below*down + above*up) / (down + up)
}

// Metalimnion is the layer about a thermocline at a depth [m] in which density
// grows by more than 0.1 kg/m³ per m. [m] Its ends lie between the first step
// away from the thermocline that grows by less and the least steep of the
// steps before it: not always that step's neighbour, but so it is in the
// reference.
func Metalimnion(p Profile, thermocline float64) (top, bottom float64) {
	d := gradients(p)
	here := interpolate(middles(p), d, thermocline)
	if here <= steep {
		return thermocline, thermocline
	}
	top, bottom = p.Depths[0], p.Depths[len(p.Depths)-1]
	z, least := thermocline, here
	for i, m := range middles(p) {
		if m <= thermocline {
			continue
		}
		if d[i] < steep {
			bottom = z + (m-z)*(least-steep)/(least-d[i])
			break
		}
		if d[i] < least {
			z, least = m, d[i]
		}
	}
	z, least = thermocline, here
	for i, m := range slices.Backward(middles(p)) {
		if m >= thermocline {
			continue
		}
		if d[i] < steep {
			top = z + (m-z)*(least-steep)/(least-d[i])
			break
		}
		if d[i] < least {
			z, least = m, d[i]
		}
	}
	return top, bottom
}

// middles are the depths where each of the gradients holds. [m]
func middles(p Profile) []float64 {
	m := make([]float64, len(p.Depths)-1)
	for i := range m {
		m[i] = (p.Depths[i] + p.Depths[i+1]) / 2
	}
	return m
}

// bottom is the depth that sums over the lake go to.
func bottom(p Profile, lake Hypsography) float64 {
	return math.Max(p.Depths[len(p.Depths)-1], lake.Depths[len(lake.Depths)-1])
}

// areaAt is 0 under the hypsography's last depth.
func areaAt(lake Hypsography, z float64) float64 {
	if n := len(lake.Depths) - 1; z > lake.Depths[n]+1e-9 {
		return 0
	}
	return interpolate(lake.Depths, lake.Areas, z)
}

// overDepth calls f every dz from a to b.
func overDepth(a, b float64, f func(z float64)) {
	n := int(math.Floor((b-a)/dz + 1e-9))
	for i := 0; i <= n; i++ {
		f(a + float64(i)*dz)
	}
}

// layerDensity is the mean density from depth a to b, by volume.
func layerDensity(p Profile, lake Hypsography, a, b float64) float64 {
	mass, volume := 0.0, 0.0
	overDepth(a, b, func(z float64) {
		area := areaAt(lake, z)
		mass += area * density(p.At(z))
		volume += area
	})
	if volume == 0 { // under the lake's last area
		return density(p.At(a))
	}
	return mass / volume
}

// centroid is the depth of the lake's centre of volume down to a depth. [m]
func centroid(lake Hypsography, to float64) float64 {
	moment, volume := 0.0, 0.0
	overDepth(0, to, func(z float64) {
		area := areaAt(lake, z)
		moment += z * area
		volume += area
	})
	return moment / volume
}

// Schmidt is the Schmidt stability, the work that would mix the lake without
// heating it: g/A₀ ∫ ρ(z) (z − z_v) A(z) dz. [J/m²] (Idso 1973; Read et al.
// 2011) The profile is held even beyond its ends.
func Schmidt(p Profile, lake Hypsography) float64 {
	rho := make([]float64, len(p.Depths)) // density is interpolated here, as in the reference
	for i, t := range p.Temperatures {
		rho[i] = density(t)
	}
	zv, sum := centroid(lake, bottom(p, lake)), 0.0
	overDepth(0, bottom(p, lake), func(z float64) {
		sum += interpolate(p.Depths, rho, z) * (z - zv) * areaAt(lake, z)
	})
	return sum * dz * g / lake.Areas[0]
}

// FrictionVelocity is the shear velocity that a wind gives to water of a density
// [kg/m³]. [m/s] Drag coefficient 0.001 under 5 m/s and 0.0015 from there (it
// jumps by 22 %), air of 1.2 kg/m³, a log profile between heights.
func FrictionVelocity(wind Wind, density float64) float64 {
	cd := 0.001
	if wind.Speed >= 5 {
		cd = 0.0015
	}
	u := wind.Speed / (1 - math.Sqrt(cd)/0.4*math.Log(10/math.Max(wind.Height, 0.1)))
	return math.Sqrt(cd * 1.2 * u * u / density)
}

// Wedderburn is g′h²/(u*²L), for reduced gravity [m/s²], depth of the upper
// layer [m], friction velocity [m/s] and length along the wind [m]. [1]
// Thompson and Imberger 1980; 1 and more: the layers tilt a little; 0.5 and
// less: the lower layer comes up at the windward end.
func Wedderburn(reduced, depth, friction, length float64) float64 {
	return reduced * depth * depth / (friction * friction * length)
}

// LakeNumber is Wedderburn's for a lake's own shape (Imberger and Patterson
// 1990), from Schmidt [J/m²], the metalimnion's top and bottom [m] and the lower
// layer's density [kg/m³]. [1]
func LakeNumber(lake Hypsography, friction, schmidt, top, bottom, density float64) float64 {
	a0 := lake.Areas[0]
	zv := centroid(lake, lake.Depths[len(lake.Depths)-1])
	return schmidt * a0 * (top + bottom) / (2 * density * friction * friction * a0 * math.Sqrt(a0) * zv)
}

// Tilt is by how much a steady wind lowers the layer's top at the lee end, and
// raises it at the windward one: u*²L/(2g′h). [m] Spigel and Imberger 1980, from
// memory; for tilts small against depth.
func Tilt(reduced, depth, friction, length float64) float64 {
	return friction * friction * length / (2 * reduced * depth)
}
