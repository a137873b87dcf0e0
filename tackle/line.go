package tackle

import (
	"fmt"
	"math"

	"windlane/fluid"
)

// What stands in for what a label does not say. None is published; each is a
// modelling choice.
const (
	// DefaultRatedAt is the water temperature that a label's sink is taken to
	// hold at: no label says; were it 5 or 25 °C, the sink would be 3 to 4 % off. [°C]
	DefaultRatedAt = 15.0
	// DefaultLineLength is the length of a fly line, 30 yd. [m]
	DefaultLineLength = 27.432
	// DefaultHead is the length over which a graded line changes. [m]
	DefaultHead = 12.0
	// DefaultBarelySinking is the sink of a barely sinking line, ½ in/s. [m/s]
	DefaultBarelySinking = 0.0127
	// SlowShare is the sink of the slowest part of a graded line, as a share of
	// its rated sink. [1]
	SlowShare = 0.6
	// RunningShare is the mass per length of running line, as a share of the
	// head's; it is of the same stuff, so it sinks more slowly. [1]
	RunningShare = 0.45
	// FloatingDensity is the density of a floating line, 0.85 of water. [kg/m³]
	FloatingDensity = 850.0
	// ImplausibleDensity is the density above which no coating can be: filled
	// plastics end well below it, solid iron is 7900. [kg/m³]
	ImplausibleDensity = 3500.0

	lineStiffness   = 500.0 // EA of a fly line's core. [N]
	leaderStiffness = 100.0 // EA of a leader: 2 GPa on a quarter of a millimetre. [N]
)

const grain = 64.79891e-6 // [kg], by definition

// classGrains is the mass of the first 30 ft (9.144 m), level tip left out, and
// the tolerance either way, by number of the line standard (AFTMA 1961), as read
// in public reproductions of it; tolerances of 13 to 15 from memory.
var classGrains = [16][2]float64{
	1: {60, 6}, {80, 6}, {100, 6}, {120, 6}, {140, 6}, {160, 8}, {185, 8}, {210, 8},
	9: {240, 10}, {280, 10}, {330, 12}, {380, 12}, {450, 12}, {500, 12}, {550, 12},
}

// ClassMass is the mass of the first 30 ft of a line of a class from 1 to 15,
// and the least and most that the standard allows. [kg]
func ClassMass(class int) (mass, low, high float64) {
	checkClass(class)
	g, tol := classGrains[class][0], classGrains[class][1]
	return g * grain, (g - tol) * grain, (g + tol) * grain
}

// ClassLinearDensity is ClassMass over 30 ft. [kg/m]
func ClassLinearDensity(class int) float64 {
	m, _, _ := ClassMass(class)
	return m / 9.144
}

func checkClass(class int) {
	if class < 1 || class > 15 {
		panic(fmt.Sprintf("tackle: line class %d: the standard has 1 to 15", class))
	}
}

// head is the line at its fastest part: the coating that label and measurements
// describe together.
type head struct {
	linearDensity float64 // [kg/m]
	diameter      float64 // [m]
	sink          float64 // at ratedAt. [m/s]
	ratedAt       float64 // [°C]
}

// head settles mass, diameter and sink, of which any two give the third (weight
// in water = drag of a level cylinder). A timed drop outranks the label's sink. A
// measured mass outranks the class; a measured diameter alone outranks it too,
// as sink is what decides depth. Diameter and mass measured, with no drop,
// outrank the label's sink; with a drop the diameter has no say.
func (l Line) head() head {
	m := l.Measured
	h := head{sink: l.Sink, ratedAt: l.RatedAt}
	if h.ratedAt == 0 {
		h.ratedAt = DefaultRatedAt
	}
	if l.Profile == BarelySinking && h.sink == 0 {
		h.sink = DefaultBarelySinking
	}
	dropped := m.DropDepth > 0 && m.DropTime > 0
	if dropped {
		h.sink, h.ratedAt = m.DropDepth/m.DropTime, m.DropAt
		if h.ratedAt == 0 {
			h.ratedAt = DefaultRatedAt
		}
	}
	rho, nu := fluid.WaterDensity(h.ratedAt), fluid.WaterKinematicViscosity(h.ratedAt)
	h.linearDensity = m.LinearDensity
	switch {
	case m.Diameter > 0 && m.LinearDensity > 0 && !dropped:
		h.diameter = m.Diameter
		h.sink = fluid.Cylinder{LinearDensity: h.linearDensity, Diameter: h.diameter}.SinkSpeed(rho, nu)
		return h
	case m.Diameter > 0 && m.LinearDensity == 0 && l.Profile != Floating:
		h.diameter = m.Diameter
		drag := 0.5 * rho * h.diameter * fluid.NormalDrag(h.sink*h.diameter/nu) * h.sink * h.sink
		h.linearDensity = rho*area(h.diameter) + drag/fluid.StandardGravity
		return h
	}
	if h.linearDensity == 0 {
		h.linearDensity = ClassLinearDensity(l.Class)
	}
	if l.Profile == Floating {
		h.diameter = m.Diameter
		if h.diameter == 0 {
			h.diameter = diameterOf(h.linearDensity, FloatingDensity)
		}
		h.sink = fluid.Cylinder{LinearDensity: h.linearDensity, Diameter: h.diameter}.SinkSpeed(rho, nu)
		return h
	}
	h.diameter = sinker(h.linearDensity, h.sink, h.ratedAt)
	return h
}

// sinker is the diameter of a line of a linear density that sinks at a speed in
// water of t °C. Of one that is faster than any line of that mass it is a hair's:
// Check says that there is none.
func sinker(linearDensity, sink, t float64) float64 {
	if !(linearDensity > 0) || !(sink >= 0) {
		panic(fmt.Sprintf("tackle: no line of %g kg/m sinks at %g m/s", linearDensity, sink))
	}
	rho := fluid.WaterDensity(t)
	d, ok := fluid.DiameterFromSink(linearDensity, sink, rho, fluid.WaterKinematicViscosity(t))
	if !ok {
		return hair * diameterOf(linearDensity, rho)
	}
	return d
}

// hair is under the diameter of any line, as a share of one that hangs still. [1]
const hair = 1e-4

func area(d float64) float64 { return math.Pi / 4 * d * d }

func diameterOf(linearDensity, density float64) float64 {
	return math.Sqrt(4 * linearDensity / (math.Pi * density))
}

func section(length, linearDensity, diameter, stiffness float64) Section {
	return Section{Length: length, LinearDensity: linearDensity, Diameter: diameter, AxialStiffness: stiffness}
}

// gradedPieces is into how many level pieces a graded head is cut.
const gradedPieces = 8

// Sections are the pieces of the line outside the rod tip when out metres of it
// are out, from the rod tip to its own end. [m] Water temperature changes none
// of them. out is cut to the line's length. A line that Check calls impossible
// still has sections; one with a class outside 1 to 15 panics.
func (l Line) Sections(out float64) []Section {
	h := l.head()
	thick := l.Head
	if thick == 0 {
		thick = l.WholeLength()
	}
	var pieces []Section // from the line's end toward the rod
	add := func(length, mu, d float64) { pieces = append(pieces, section(length, mu, d, lineStiffness)) }
	switch l.Profile {
	case TipFirst, BellyFirst:
		slow := l.SlowSink
		if slow == 0 {
			slow = SlowShare * h.sink
		}
		graded := l.Head
		if graded == 0 {
			graded = DefaultHead
		}
		for i := range gradedPieces {
			s := (float64(i) + 0.5) / gradedPieces // 0 at the line's end
			fast := 1 - s
			if l.Profile == BellyFirst {
				fast = 1 - math.Abs(2*s-1)
			}
			add(graded/gradedPieces, h.linearDensity, sinker(h.linearDensity, slow+(h.sink-slow)*fast, h.ratedAt))
		}
		if l.Head == 0 {
			add(math.Inf(1), h.linearDensity, sinker(h.linearDensity, slow, h.ratedAt))
		}
	case SinkTip:
		add(l.SinkTip, h.linearDensity, h.diameter)
		mu := h.linearDensity
		if l.Class > 0 {
			mu = ClassLinearDensity(l.Class)
		}
		add(max(thick-l.SinkTip, 0), mu, diameterOf(mu, FloatingDensity))
	default:
		add(thick, h.linearDensity, h.diameter)
	}
	back := pieces[len(pieces)-1]
	add(math.Inf(1), back.LinearDensity*RunningShare, back.Diameter*math.Sqrt(RunningShare))

	left := min(out, l.WholeLength())
	var sections []Section
	for _, p := range pieces {
		if p.Length = min(p.Length, left); p.Length <= 0 {
			continue
		}
		left -= p.Length
		sections = append(sections, p)
	}
	for i, j := 0, len(sections)-1; i < j; i, j = i+1, j-1 {
		sections[i], sections[j] = sections[j], sections[i]
	}
	return sections
}

// WholeLength is the length of the line, or the usual one. [m]
func (l Line) WholeLength() float64 {
	if l.Length > 0 {
		return l.Length
	}
	return DefaultLineLength
}

// SinkAt is how fast the fastest part of the line sinks in water of t °C,
// positive down, negative for a floating line held under. [m/s]
func (l Line) SinkAt(t float64) float64 {
	h := l.head()
	return Section{LinearDensity: h.linearDensity, Diameter: h.diameter}.SinkAt(t)
}

// SinkAt is how fast a level piece sinks in water of t °C, wetted, positive
// down. [m/s]
func (s Section) SinkAt(t float64) float64 {
	c := fluid.Cylinder{LinearDensity: s.LinearDensity, Diameter: s.Diameter}
	return c.SinkSpeed(fluid.WaterDensity(t), fluid.WaterKinematicViscosity(t))
}
