package fluid

import "math"

// NormalDrag is the drag coefficient of a long smooth cylinder across the flow,
// on its diameter, at the Reynolds number re = |v_n| d / ν of the flow across
// it; by the independence principle (Hoerner, Fluid-Dynamic Drag, 1965) the
// flow along it changes nothing. [1]
//
//	C_d = 11 Re^-0.75 + 0.9 (1 - e^(-1000/Re)) + 1.2 (1 - e^(-(Re/4500)^0.7))
//
// Cheng, J. Hydraul. Eng. 139(6), 2013; fitted for 0.02 < Re < 2e5, within about
// 6 % of other correlations at the 10 to 1000 of a fly line. Below the range the
// formula is used as it stands; re <= 0 gives +Inf.
func NormalDrag(re float64) float64 {
	if !(re > 0) {
		return math.Inf(1)
	}
	return 11*power(re, -0.75) - 0.9*math.Expm1(-1000/re) - 1.2*math.Expm1(-power(re/4500, 0.7))
}

// axialFloor is the friction of a cylinder in flow along it alone,
// f = 2.3 ρ ν v_t, in the units of TangentialDrag. [1]
// 4π/ln(4νx/(U a²))-like with x about 10 m; Glauert and Lighthill, Proc. R. Soc.
// A 230, 1955 (from memory).
const axialFloor = 2.3

// TangentialDrag is the friction along a yawed cylinder as a multiple of
// viscosity: force per length = TangentialDrag(re) μ v_t, with re the Reynolds
// number of the flow across it. [1]
//
// The speed along a long yawed cylinder obeys the equation of a passive scalar
// with Prandtl number one (Sears, J. Aeronaut. Sci. 15, 1948, from memory), so
// the friction is π Nu at Pr = 1: Nu = 0.3 + 0.556 Re^½ (Churchill and
// Bernstein, J. Heat Transfer 99, 1977, whose last factor is 1 below Re 1e4),
// with a floor at the flow along it alone. Taylor (1952) gives half as much
// again: this is the least certain number under the line, by a factor of two.
func TangentialDrag(re float64) float64 {
	return max(axialFloor, math.Pi*(0.3+0.556*math.Sqrt(max(re, 0))))
}

// Cylinder is a length of line or leader in water.
type Cylinder struct {
	LinearDensity float64 // mass per length [kg/m]
	Diameter      float64 // [m]
}

// Density is the mass over the volume. [kg/m³]
func (c Cylinder) Density() float64 {
	return c.LinearDensity / (math.Pi / 4 * c.Diameter * c.Diameter)
}

// SinkSpeed is how fast the cylinder sinks by itself, lying level, positive
// down; negative when it rises. density [kg/m³], nu [m²/s]. [m/s]
func (c Cylinder) SinkSpeed(density, nu float64) float64 {
	w := (c.LinearDensity - density*math.Pi/4*c.Diameter*c.Diameter) * StandardGravity
	load, sign := math.Abs(w), math.Copysign(1, w)
	if load == 0 {
		return 0
	}
	lo, hi := 0.0, 1.0
	for c.drag(hi, density, nu) < load && hi < 1e3 {
		hi *= 2
	}
	for range 80 {
		if v := (lo + hi) / 2; c.drag(v, density, nu) < load {
			lo = v
		} else {
			hi = v
		}
	}
	return sign * (lo + hi) / 2
}

func (c Cylinder) drag(v, density, nu float64) float64 {
	if v == 0 {
		return 0
	}
	return 0.5 * density * c.Diameter * NormalDrag(v*c.Diameter/nu) * v * v
}

// DiameterFromSink is the diameter that makes a cylinder of a linear density
// [kg/m] sink level at a speed sink [m/s, positive down, may be negative or
// nought] in water of a density [kg/m³] and kinematic viscosity nu [m²/s].
// Weight falls and drag grows with diameter, so a sinking line has one answer;
// a rising one has the thicker root. ok is false when no diameter does it.
func DiameterFromSink(linearDensity, sink, density, nu float64) (d float64, ok bool) {
	if !(linearDensity > 0) || !(density > 0) || !(nu > 0) || math.IsNaN(sink) || math.IsInf(sink, 0) {
		return 0, false
	}
	neutral := math.Sqrt(4 * linearDensity / (math.Pi * density))
	excess := func(d float64) float64 { // of weight over drag; falls with d
		c := Cylinder{linearDensity, d}
		w := (linearDensity - density*math.Pi/4*d*d) * StandardGravity
		return w - math.Copysign(c.drag(math.Abs(sink), density, nu), sink)
	}
	lo, hi := 0.0, neutral
	if sink < 0 {
		for lo, hi = neutral, 2*neutral; excess(hi) > 0; lo, hi = hi, hi*2 {
			if hi > 1 {
				return 0, false
			}
		}
	} else if excess(neutral*1e-4) < 0 {
		return 0, false
	}
	for range 80 {
		if m := (lo + hi) / 2; excess(m) > 0 {
			lo = m
		} else {
			hi = m
		}
	}
	return (lo + hi) / 2, true
}
