package tackle

import (
	"fmt"
	"math"

	"windlane/fluid"
	"windlane/quantity"
)

// Level is how a finding is meant.
type Level string

// The levels.
const (
	Good Level = "good"
	Mind Level = "mind" // it can be done; know this
	No   Level = "no"   // it will go wrong, or is not allowed
)

// About is what a finding is about.
type About string

// What findings are about.
const (
	AboutLine     About = "line"
	AboutLeader   About = "leader"
	AboutTurnOver About = "turn-over"
	AboutDroppers About = "droppers"
	AboutStrength About = "strength"
	AboutRules    About = "rules"
)

// Finding is one thing found in looking over a set-up, with its reason.
type Finding struct {
	Level Level
	About About
	Text  string
}

// Situation is what a set-up is looked over for.
type Situation struct {
	Wind     float64 // mean at 10 m, as the boat drifts and the cast goes with it. [m/s]
	Fish     float64 // mass of the heaviest fish looked for; 0: not asked. [kg]
	Anchored bool
	Rules    []Rules
	Units    quantity.System
}

// Check looks over a set-up: label, turn-over in this wind, droppers, strength
// and rules. Every part answers, if only with good.
func (r Rig) Check(s Situation) []Finding {
	out := r.Line.Check(s.Units)
	out = append(out, r.Leader.Check(s.Units)...)
	out = append(out, r.checkTurnOver(s)...)
	out = append(out, r.checkDroppers(s.Units)...)
	out = append(out, r.checkStrength(s)...)
	for _, rules := range s.Rules {
		out = append(out, rules.Check(r, s.Anchored, s.Units)...)
	}
	return out
}

// Check says whether label and measurements of a line go together.
func (l Line) Check(u quantity.System) []Finding {
	var out []Finding
	mind := func(format string, args ...any) {
		out = append(out, Finding{Mind, AboutLine, fmt.Sprintf(format, args...)})
	}
	h := l.head()
	density := fluid.Cylinder{LinearDensity: h.linearDensity, Diameter: h.diameter}.Density()
	if density > ImplausibleDensity {
		mind("a #%d line sinking at %s would be of %.0f kg/m³, denser than any coating (about %.0f at most): in truth it is heavier per yard than its class, or slower than its label. Depths hold if the label does. Its diameter, its weight or a timed drop would settle it",
			l.Class, u.Sink(h.sink), density, ImplausibleDensity)
	}
	m := l.Measured
	if m.DropTime > 0 && l.Sink > 0 {
		if label := l.labelSinkAt(h.ratedAt); math.Abs(h.sink/label-1) > 0.1 {
			mind("by the watch it sinks at %s, by its label at %s: the watch is used", u.Sink(h.sink), u.Sink(label))
		}
	}
	if m.Diameter > 0 || m.LinearDensity > 0 {
		_, low, high := ClassMass(l.Class)
		mass := h.linearDensity * 9.144
		if mass < low || mass > high {
			mind("by measure its first 30 ft weigh %.3g g, outside the %.3g to %.3g g of a #%d: it casts as a #%d", mass*1000, low*1000, high*1000, l.Class, nearestClass(mass))
		}
	}
	if l.Profile == Floating && density >= 1000 {
		mind("its diameter and weight give %.0f kg/m³: it sinks", density)
	}
	if m.Diameter > 0 && m.LinearDensity > 0 && m.DropTime > 0 {
		mind("diameter, weight and drop are one measurement too many: the diameter is left out")
	}
	if out == nil {
		out = []Finding{{Good, AboutLine, fmt.Sprintf("class and sink go together: %.2g mm thick, %.0f kg/m³", h.diameter*1000, density)}}
	}
	return out
}

// labelSinkAt is the sink that the label alone gives at t °C.
func (l Line) labelSinkAt(t float64) float64 {
	l.Measured = Measured{}
	return l.SinkAt(t)
}

func nearestClass(mass float64) int {
	best, off := 1, math.Inf(1)
	for n := 1; n <= 15; n++ {
		if m, _, _ := ClassMass(n); math.Abs(m-mass) < off {
			best, off = n, math.Abs(m-mass)
		}
	}
	return best
}

// The breaking stress that a leader's strength and diameter may imply; drawn
// nylon has 600 to 900 MPa (from memory), the rest is room for optimism. [Pa]
const (
	leastStress = 350e6
	mostStress  = 1300e6
)

// Check says whether strength and diameter of a leader go together.
func (l Leader) Check(u quantity.System) []Finding {
	stress := l.Straight() / area(l.Thickness())
	if stress < leastStress || stress > mostStress {
		word := "strong"
		if stress < leastStress {
			word = "weak"
		}
		return []Finding{{Mind, AboutLeader, fmt.Sprintf("%s at %.2g mm is very %s for its thickness: look at the spool again", u.Strain(l.Straight()), l.Thickness()*1000, word)}}
	}
	return []Finding{{Good, AboutLeader, fmt.Sprintf("%s at %.2g mm", u.Strain(l.Straight()), l.Thickness()*1000)}}
}

// The turn-over rule: each fly asks for some of a line's class beyond a #5, and
// the leader may be some rod lengths long, less with bulky flies. Set so that two
// big lures ask for a #8 outfit; common practice, no source.
const (
	bareClass     = 5.0
	bigLure       = 0.030 // shorter lures count as small. [m]
	easyLeader    = 2.0   // rod lengths, no flies to speak of. [1]
	leaderPerLoad = 0.15  // rod lengths lost per unit of load. [1]
	calmWind      = 2.0   // below it no wind helps a long leader over. [m/s]
	strongWind    = 8.0   // above it the back cast suffers and loops tangle. [m/s]
)

// turnOverLoad is how many line classes beyond a #5 a fly asks for. [1]
func (f Fly) turnOverLoad() float64 {
	load := 0.3
	switch f.Kind {
	case Lure, Fry:
		load = 1.5
		if f.Length > 0 && f.Length < bigLure {
			load = 0.9
		}
	case Booby, Blob, BungKind:
		load = 0.9
	}
	if f.Weighted {
		load += 0.3
	}
	return load
}

func (r Rig) checkTurnOver(s Situation) []Finding {
	var out []Finding
	find := func(l Level, format string, args ...any) {
		out = append(out, Finding{l, AboutTurnOver, fmt.Sprintf(format, args...)})
	}
	class := r.Line.Class
	if r.Rod.Class > 0 && r.Rod.Class < class {
		class = r.Rod.Class
	}
	load := 0.0
	for _, m := range r.Flies {
		load += m.Fly.turnOverLoad()
	}
	wants := bareClass + load
	if s.Wind > strongWind {
		wants += 0.5
	}
	switch over := wants - float64(class); {
	case over <= 0.05:
		find(Good, "a #%d outfit turns these flies over", class)
	case over <= 1.05:
		find(Mind, "these flies want a #%.0f outfit, this is a #%d: shorter casts, or one fly fewer", math.Ceil(wants-0.05), class)
	default:
		find(No, "these flies want a #%.0f outfit, this is a #%d: they will fold back on the leader", math.Ceil(wants-0.05), class)
	}
	if d := r.Rod.Class - r.Line.Class; r.Rod.Class > 0 && (d > 1 || d < -1) {
		find(Mind, "a #%d line on a #%d rod", r.Line.Class, r.Rod.Class)
	}
	if r.Rod.Length > 0 {
		easy := (easyLeader - leaderPerLoad*load) * r.Rod.Length
		why := ""
		switch {
		case s.Wind < calmWind:
			easy, why = easy*0.8, " with so little wind to carry it"
		case s.Wind > strongWind:
			easy, why = easy*0.8, " in so much wind"
		}
		if r.Leader.Length > easy {
			find(Mind, "a leader of %s is long for these flies%s: up to %s goes over easily", s.Units.Depth(r.Leader.Length), why, s.Units.Depth(easy))
		}
	}
	return out
}

// Spacing and landing; common practice, no source.
const (
	tangleSpacing = 0.45 // nearer flies foul each other. [m]
	dropperToLine = 0.30 // least room above the top dropper, to lift and hang. [m]
)

func (r Rig) checkDroppers(u quantity.System) []Finding {
	var out []Finding
	mind := func(format string, args ...any) {
		out = append(out, Finding{Mind, AboutDroppers, fmt.Sprintf(format, args...)})
	}
	for i := 1; i < len(r.Flies); i++ {
		if gap := r.Flies[i].FromPoint - r.Flies[i-1].FromPoint; gap < tangleSpacing {
			mind("%s and %s are only %s apart: they will tangle", r.Flies[i-1].Fly.Name, r.Flies[i].Fly.Name, small(u, gap))
		}
	}
	if n := len(r.Flies); n > 0 {
		top := r.Flies[n-1].FromPoint
		if top > 0 && r.Leader.Length-top < dropperToLine {
			mind("the top dropper is %s below the line: leave room to lift it", small(u, r.Leader.Length-top))
		}
		if r.Rod.Length > 0 && top > r.Rod.Length {
			mind("with the top dropper at the tip ring the point is still %s out, more than the rod: a fish on the point will not come to the net", u.Depth(top))
		}
	}
	if out == nil {
		out = []Finding{{Good, AboutDroppers, "well apart"}}
	}
	return out
}

// Strength; common practice, no source: 8 lb or more for big lures, and the pull
// of a fish about its weight out of water, with half as much again for a jerk.
const (
	lureStrength = 35.58577 // 8 lb. [N]
	lureLeast    = 26.68933 // 6 lb. [N]
	jerk         = 1.5
	coreStrength = 89 // a fly line's core, commonly 20 lb (from memory). [N]
)

func (r Rig) checkStrength(s Situation) []Finding {
	var out []Finding
	find := func(l Level, format string, args ...any) {
		out = append(out, Finding{l, AboutStrength, fmt.Sprintf(format, args...)})
	}
	u, straight := s.Units, r.Leader.Straight()
	for _, m := range r.Flies {
		big := (m.Fly.Kind == Lure || m.Fly.Kind == Fry) && (m.Fly.Length == 0 || m.Fly.Length >= bigLure)
		if !big || straight >= lureStrength-0.01 {
			continue
		}
		level := Mind
		if straight < lureLeast {
			level = No
		}
		find(level, "%s is a big lure on %s: %s or more stands the takes", m.Fly.Name, u.Strain(straight), u.Strain(lureStrength))
		break
	}
	holds, poor := r.Leader.Knotted(OrdinaryKnot), r.Leader.Knotted(PoorKnot)
	if s.Fish > 0 {
		pull := s.Fish * 9.80665
		switch {
		case holds < pull:
			find(No, "an ordinary knot in it holds %s wet: less than the weight of the fish looked for", u.Strain(holds))
		case holds < jerk*pull:
			find(Mind, "an ordinary knot in it holds %s wet: a jerk of the fish looked for can break it, a poor knot (%s) will", u.Strain(holds), u.Strain(poor))
		}
	}
	if straight > coreStrength {
		find(Mind, "a leader of %s is stronger than the core of most fly lines: a snag takes the line", u.Strain(straight))
	}
	if out == nil {
		out = []Finding{{Good, AboutStrength, fmt.Sprintf("an ordinary knot in it holds %s wet, a poor one %s", u.Strain(holds), u.Strain(poor))}}
	}
	return out
}
