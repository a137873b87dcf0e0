// Package cast is one cast in the trade's words: a rig thrown so far from a
// boat that drifts so fast, counted, pulled and hung, answered as the depth of
// each fly in time; and the search over casts for the depth where fish are.
//
// Ways of fishing that sink, wash or hang a line go through the mechanics of
// package line; a bung, dry flies and the short line have rules of their own.
// docs/models/cast.md has the rules, the measure of water searched and the
// assumptions.
package cast

import (
	"windlane/line"
	"windlane/quantity"
	"windlane/tackle"
)

// Kind is how the line is taken in.
type Kind string

// The kinds of retrieve.
const (
	Steady        Kind = "steady"          // long even draws, or roly-poly
	Strips        Kind = "strips"          // pull and pause
	FigureOfEight Kind = "figure_of_eight" // slow and even, in the palm
	Still         Kind = "still"           // nothing taken in but slack, for a time
)

// Kinds lists every kind of retrieve.
var Kinds = []Kind{Steady, Strips, FigureOfEight, Still}

// Retrieve is how the line is taken in.
type Retrieve struct {
	Kind       Kind
	Speed      float64 // mean, relative to the boat [m/s]; 0 for Still
	Strip      float64 // length of one strip, Strips only [m]
	StripSpeed float64 // mean speed within a strip, Strips only; 0: twice Speed [m/s]
	For        float64 // time the flies are left, Still only, and for bung and dry flies [s]
}

// Stage is one part of the hang: the rod goes to a height and waits there.
type Stage struct {
	Height float64 // of the tip above water [m]
	Over   float64 // time taken to get there [s]
	Hold   float64 // wait there [s]
}

// Question is one cast.
type Question struct {
	Rig       tackle.Rig
	Way       tackle.Way // empty: the rig's own; empty there too: Lures
	LineOut   float64    // rod tip to point fly when the flies land [m]
	TipHeight float64    // of the rod tip above water in count and retrieve [m]
	Hang      []Stage    // one after another; none is no hang
	HangMark  float64    // of line outside the tip ring, leader not counted, when the hang begins [m]
	Angle     float64    // between cast and drift [rad]; depths are computed up to MostAngle
	BoatSpeed float64    // of the drift, over the ground [m/s]
	// Current is the wind-driven one at the surface, the way the boat drifts; it
	// dies away over CurrentScale to deep water that is still over the ground.
	// The rules of bung, dries and short line take all water as still. [m/s]
	Current      float64
	CurrentScale float64 // depth over which the current falls by a factor e; not asked without one [m]
	Count        float64 // [s]
	LeaveSlack   bool    // no line is taken in while counting, and the drift folds it
	Retrieve     Retrieve
	Temperature  float64   // of the water [°C]
	Bed          float64   // depth of the bed; 0: not in reach [m]
	Recast       float64   // from lifting off to flies landing; 0: DefaultRecast [s]
	Moments      []float64 // at which the line is drawn, besides the ends of the phases [s]
	Units        quantity.System
	NoSpread     bool // the low and high depths are left out, and are the depth itself
}

// What stands in for what is not said, and what bounds a question.
const (
	// DefaultRecast is between the 12 and 20 s of common practice. [s]
	DefaultRecast = 16.0
	// MostAngle is how far off the drift the plane of the line still holds: 30°.
	// Beyond it the belly is three-dimensional. [rad]
	MostAngle = 0.5235987755982988
	// LayerDepth is the thickness of the layers that time is counted in. [m]
	LayerDepth = 0.25

	// entry is how far out the line meets the water at landing. [m] An
	// assumption; a metre either way moves depths near the boat only.
	entry = 2.0
	// sample is the time between the points of a path. [s]
	sample = 0.25
)

// Point is a fly at a moment.
type Point struct {
	T       float64        // since landing [s]
	Phase   line.Phase     // count, retrieve or hang
	FromTip float64        // downwind of the rod tip [m]
	Depth   quantity.Depth // [m]
	Low     quantity.Depth // shallowest and deepest within what is not known well:
	High    quantity.Depth // sink ±10 %, drag ±10 %, friction ½ to 2 times [m]
	Speed   float64        // through the water [m/s]
}

// FlyPath is what one fly does.
type FlyPath struct {
	Name         string
	FromPoint    float64 // distance up from the point [m]
	Points       []Point
	CountEnd     quantity.Depth // depth there [m]
	RetrieveEnd  quantity.Depth // and there [m]
	HangEnd      quantity.Depth // and there [m]
	Deepest      quantity.Depth // [m]
	DeepestAt    float64        // [s]
	DeepestPhase line.Phase
	OnBed        bool
	OnBedAt      float64      // [s]
	Seconds      [3][]float64 // time in each LayerDepth from the surface, by phase [s]
	Searched     [3][]float64 // the same, each second times Meeting of the fly's speed [m]
}

// Drawing is the line at a moment, true to scale, tip first.
type Drawing struct {
	T       float64 // [s]
	Phase   line.Phase
	FromTip []float64 // downwind of the rod tip [m]
	Depth   []float64 // negative above water [m]
}

// Rule is the angler's rule, depth = rating times seconds, beside the computed depth.
type Rule struct {
	Depth   quantity.Depth // by the rule, for the middle of the line [m]
	Middle  quantity.Depth // computed, deepest part of the line at the end of the count [m]
	Point   quantity.Depth // computed, the point fly then [m]
	Reasons []string       // why they differ, and when the point goes deeper after; none when they agree and it does not
}

// Status says whether there are depths, and if not, why.
type Status string

// The statuses of an answer. Any other says how the line broke off.
const (
	Complete Status = "complete"
	TooWide  Status = "the cast lies more than 30° off the drift: its belly is three-dimensional, so no depths are given"
)

// Answer is what a cast does.
type Answer struct {
	Status      Status
	Way         tackle.Way
	Flies       []FlyPath // as the rig has them, the point first
	Rule        *Rule     // counted sinking lines only
	CountEnd    float64   // [s]
	RetrieveEnd float64   // [s]
	HangEnd     float64   // [s]
	Cycle       float64   // from one landing to the next [s]
	Slack       float64   // line that the drift folds under the boat during the count [m]
	TakenIn     float64   // line taken in during the count [m]
	Contact     bool      // the point fly comes to follow the hand
	ContactTime float64   // after the retrieve begins [s]
	Drawings    []Drawing
	Remarks     []Remark
	Steps       int // of the solver, 0 for a rule
}

// Remark is something the person should know, with its reason.
type Remark struct {
	About About
	Text  string
}

// About is what a remark is about.
type About string

// What remarks are about.
const (
	AboutPace      About = "pace"      // retrieve against boat
	AboutLabel     About = "label"     // the line's rating
	AboutSlack     About = "slack"     // drift against line
	AboutAngle     About = "angle"     // cast across the drift
	AboutBed       About = "bed"       // something reaches it
	AboutBuoyancy  About = "buoyancy"  // a washing line's point, a dropper
	AboutSurface   About = "surface"   // a light leader may not break it
	AboutCertainty About = "certainty" // how far to trust the depths
	AboutRule      About = "rule"      // a closed rule's assumptions
	AboutHang      About = "hang"      // mark, leader and rod
)

// Run answers a question. The error is a *Fault that names the field.
func Run(q Question) (Answer, error) {
	q = q.settled()
	if err := q.Validate(); err != nil {
		return Answer{}, err
	}
	switch q.Way {
	case tackle.Bung:
		return q.bung(), nil
	case tackle.Dries:
		return q.dries(), nil
	case tackle.ShortLine:
		return q.shortLine(), nil
	}
	return q.simulate()
}

// settled fills in what was left to its default.
func (q Question) settled() Question {
	if q.Way == "" {
		q.Way = q.Rig.Way
	}
	if q.Way == "" {
		q.Way = tackle.Lures
	}
	if q.Recast == 0 {
		q.Recast = DefaultRecast
	}
	if q.Retrieve.Kind == "" {
		q.Retrieve.Kind = Steady
	}
	if q.Retrieve.Kind == Strips && q.Retrieve.StripSpeed == 0 {
		q.Retrieve.StripSpeed = 2 * q.Retrieve.Speed
	}
	return q
}

// counted is whether a way counts a sinking line down and pulls it.
func counted(way tackle.Way) bool { return way == tackle.Lures || way == tackle.PulledWets }
