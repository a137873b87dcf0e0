package tackle

import (
	"math"

	"windlane/fluid"
)

// stuff is what a leader's material is.
type stuff struct {
	density   float64 // [kg/m³]
	strength  float64 // breaking stress of an ordinary one, dry, straight. [Pa]
	wetLosses float64 // share of strength lost when soaked. [1]
}

// Densities: nylon 6 as published (1130 to 1140), PVDF from memory. Strength:
// drawn nylon monofilament 600 to 900 MPa, from memory; where each material lies
// in it is a modelling choice. Wet nylon loses 10 to 15 %, from memory.
var stuffs = map[Material]stuff{
	Nylon:        {1140, 750e6, 0.12},
	Copolymer:    {1140, 900e6, 0.12},
	Fluorocarbon: {1780, 700e6, 0},
}

func (l Leader) stuff() stuff {
	s, ok := stuffs[l.Material]
	if !ok {
		panic("tackle: leader of unknown material " + string(l.Material))
	}
	return s
}

// Thickness is the diameter said, or the one of an ordinary leader of its
// strength: F = σ π d²/4. [m]
func (l Leader) Thickness() float64 {
	if l.Diameter > 0 {
		return l.Diameter
	}
	return math.Sqrt(4 * l.Strength / (math.Pi * l.stuff().strength))
}

// Straight is the strength said, or the one of an ordinary leader of its
// diameter, dry and without a knot. [N]
func (l Leader) Straight() float64 {
	if l.Strength > 0 {
		return l.Strength
	}
	return l.stuff().strength * area(l.Diameter)
}

// The share of straight strength that a knot keeps: poor ones about half,
// careful and lubricated ones up to 0.95 (general statements in print; no table
// by knot was found). The ordinary one is a modelling choice.
const (
	PoorKnot     = 0.50
	OrdinaryKnot = 0.75
)

// Knotted is what the leader holds in water, through a knot that keeps a share
// of its strength. [N]
func (l Leader) Knotted(share float64) float64 {
	return l.Straight() * share * (1 - l.stuff().wetLosses)
}

// Section is the leader in the water: LinearDensity, Diameter and the rest.
func (l Leader) Section() Section {
	d := l.Thickness()
	return section(l.Length, l.stuff().density*area(d), d, leaderStiffness)
}

// WeightInWater is the weight of a section less the water it displaces, per
// length, in water of t °C; negative when it floats. [N/m]
func (s Section) WeightInWater(t float64) float64 {
	return (s.LinearDensity - fluid.WaterDensity(t)*area(s.Diameter)) * fluid.StandardGravity
}
