// Package tackle holds what is in the boat: lines, leaders, flies, rods, boat
// and drogues, what of them is tied on now, and what each of them is in water:
// mass, diameter, strength, drag.
//
// Zero means "not said" in every optional number; the fields say what stands in
// for it. Lines that sink, and flies that sink, have a positive Sink.
package tackle

// Profile is the shape in which a line sinks.
type Profile string

// The profiles, by shape.
const (
	Even          Profile = "even"           // one sink rate
	TipFirst      Profile = "tip_first"      // the end sinks fastest, slower toward the rod
	BellyFirst    Profile = "belly_first"    // the middle of the head sinks first and the line bows
	SinkTip       Profile = "sink_tip"       // floats, with so many feet at the end that sink
	Floating      Profile = "floating"       // floats
	BarelySinking Profile = "barely_sinking" // under 1 in/s
)

// Profiles lists every profile.
var Profiles = []Profile{Even, TipFirst, BellyFirst, SinkTip, Floating, BarelySinking}

// Line is a fly line as its label describes it, and as its owner has measured it.
type Line struct {
	Name    string
	Class   int // number of the line standard (AFTMA 1961), 1 to 15
	Profile Profile

	Sink     float64 // rated sink, positive down: of the end if tip first, of the belly if belly first, of the sinking end of a sink tip; 0 for a floating line. [m/s]
	SlowSink float64 // sink of the slowest part, for tip first and belly first; 0: SlowShare of Sink. [m/s]
	RatedAt  float64 // water temperature that Sink holds at; 0: DefaultRatedAt. [°C]

	Length  float64 // the whole line; 0: DefaultLineLength. [m]
	SinkTip float64 // the end that sinks, sink tips only. [m]
	Head    float64 // thick fore part; the thinner running line lies behind it. 0: as thick all along. [m]

	Measured Measured // outranks the label
}

// Measured is what the owner has found out about a line with a ruler, a pair of
// scales or a watch. Each outranks the label.
type Measured struct {
	Diameter      float64 // of the head. [m]
	LinearDensity float64 // mass per length of the head. [kg/m]
	DropDepth     float64 // depth reached by a level piece of it ... [m]
	DropTime      float64 // ... in this time ... [s]
	DropAt        float64 // ... in water of this temperature; 0: DefaultRatedAt. [°C]
}

// Material is what a leader is made of.
type Material string

// The materials of leaders.
const (
	Nylon        Material = "nylon"
	Copolymer    Material = "copolymer" // nylons drawn together: thinner for its strength
	Fluorocarbon Material = "fluorocarbon"
)

// Materials lists every material.
var Materials = []Material{Nylon, Copolymer, Fluorocarbon}

// Leader is what joins line and flies: one material and diameter from the tip of
// the line to the point fly.
type Leader struct {
	Name     string
	Material Material
	Diameter float64   // 0: from the strength. [m]
	Strength float64   // straight pull, dry, no knot; 0: from the diameter. [N]
	Length   float64   // tip of the line to the point fly. [m]
	Droppers []float64 // distances up from the point, nearest first. [m]
}

// Kind is what sort of fly it is.
type Kind string

// The kinds of fly.
const (
	Lure     Kind = "lure"
	Booby    Kind = "booby" // buoyant eyes
	Blob     Kind = "blob"
	Nymph    Kind = "nymph"
	Buzzer   Kind = "buzzer" // pupa of a midge
	Wet      Kind = "wet"
	Dry      Kind = "dry"
	Sedge    Kind = "sedge" // buoyant, skated or waked
	Fry      Kind = "fry"
	BungKind Kind = "bung" // the float itself
)

// Kinds lists every kind of fly.
var Kinds = []Kind{Lure, Booby, Blob, Nymph, Buzzer, Wet, Dry, Sedge, Fry, BungKind}

// Fly is one pattern, by how it behaves in water.
type Fly struct {
	Name       string
	Kind       Kind
	Sink       float64 // speed at which it sinks alone, positive down, negative if it rises; 0: from Mass, or the kind's own. [m/s]
	Mass       float64 // dry, with its hook; 0: from Sink and the density of its kind. [kg]
	DragArea   float64 // Cd·A of it, any side; 0: the kind's own. [m²]
	Length     float64 // overall; 0: not known. [m]
	HookLength float64 // overall; 0: not known. [m]
	Weighted   bool    // lead, bead or heavy wire added
	Tandem     bool    // two hooks in line
}

// Rod is a rod.
type Rod struct {
	Name   string
	Length float64 // [m]
	Class  int     // line number it is made for
	MadeUp string  // the rig it stands made up with; empty: it lies in its bag
}

// Motor is what moves the boat when it is not drifting.
type Motor string

// The motors.
const (
	Oars     Motor = "oars"
	Electric Motor = "electric"
	Petrol   Motor = "petrol"
)

// Motors lists every motor. One that is not said is the empty word: then the
// slower reading holds wherever one is needed. Rides are reckoned at the pace of
// oars, and cautions are given as for an engine.
var Motors = []Motor{Oars, Electric, Petrol}

// Boat is the boat.
type Boat struct {
	Name      string
	Length    float64 // overall. [m]
	Beam      float64 // greatest breadth; 0: not known. [m]
	Freeboard float64 // height of the side above water, mean of bow, middle and stern, laden. [m]
	Draught   float64 // hull only, laden. [m]
	Mass      float64 // hull, motor and gear, without people, which Laden adds; 0: not known. [kg]
	People    int     // seated
	Motor     Motor
	Speed     float64 // under the motor or oars; 0: UnderWay's. [m/s]
	Power     float64 // that the motor draws at that speed; 0: not known. [W]
	Energy    float64 // in the battery, as much as may be drawn, or in the tank; 0: not known. [J]
	Anchor    bool    // an anchor is aboard
	Drift     Learned // without a drogue
}

// Learned is how the boat drifts by its own tracks. Each set-up has its own.
type Learned struct {
	Fraction float64 // of the wind at 10 m, over the ground; 0: not learned. [1]
	SD       float64 // its standard error. [1]
	Slip     float64 // off downwind, to the right positive. [rad]
	SlipSD   float64 // its standard error. [rad]
	Time     float64 // of drifting that it rests on. [s]
}

// Ropes are the two ropes of a drogue.
type Ropes struct {
	Bow    float64 // from the forward cleat. [m]
	Stern  float64 // from the after cleat. [m]
	Spread float64 // between the cleats. [m]
	Right  bool    // looking downwind, the bow is on the right
}

// Measure says what a drogue's size was taken of.
type Measure string

// The ways to measure a drogue. The same number of feet differs by 1.8 in drag
// between them, so it has to be asked.
const (
	Fabric Measure = "fabric" // the cloth laid flat
	Mouth  Measure = "mouth"  // the open mouth as it pulls
)

// Shape is the outline of a drogue's cloth or mouth.
type Shape string

// The shapes of drogues.
const (
	Round  Shape = "round"
	Square Shape = "square"
)

// Drogue is a sea anchor drawn behind the boat.
type Drogue struct {
	Name     string
	Shape    Shape
	Size     float64 // diameter if round, side if square. [m]
	Measured Measure
	Ropes    *Ropes  // nil: not said, taken as even
	Drift    Learned // of the boat with it out
}

// Way is a way of fishing; each has its own depth rule and clock. The words are
// those of drift, which knows the pace of boat that each wants.
type Way string

// The ways of fishing.
const (
	Lures       Way = "lures"        // sinking line: counted down, pulled, hung
	PulledWets  Way = "pulled_wets"  // the same with wet flies, which want a faster boat
	ShortLine   Way = "short_line"   // short line, the top dropper dibbled
	WashingLine Way = "washing_line" // buoyant point, nymphs hung between
	Nymphs      Way = "nymphs"       // straight or barely moving line
	Bung        Way = "bung"         // flies at fixed depths under a float
	Dries       Way = "dries"        // dry flies, cast ahead of rising fish
)

// Ways lists every way of fishing.
var Ways = []Way{Lures, PulledWets, ShortLine, WashingLine, Nymphs, Bung, Dries}

// Mounted is a fly tied on.
type Mounted struct {
	Fly       Fly
	FromPoint float64 // distance up the leader from the point; 0: the point fly. [m]
}

// Rig is a set-up: what is tied on, and how it is fished.
type Rig struct {
	Name   string
	Rod    Rod
	Line   Line
	Leader Leader
	Flies  []Mounted // the point fly first, then up the leader
	Way    Way
}

// Bag is everything owned. Names are unique within each list.
type Bag struct {
	Rods    []Rod
	Lines   []Line
	Leaders []Leader
	Flies   []Fly
	Rigs    []Rig
	Boat    *Boat // nil: not said
	Drogues []Drogue
	Rules   []Rules  // of the waters fished
	Remarks []string // what the reader assumed or found strange
}

// Section is a length of line or leader of one kind, as mechanics wants it.
type Section struct {
	Length         float64 // [m]
	LinearDensity  float64 // mass per length in air. [kg/m]
	Diameter       float64 // [m]
	AxialStiffness float64 // tension per unit strain. [N]
}

// Body is a fly as mechanics wants it.
type Body struct {
	Name      string
	FromPoint float64 // [m]
	Mass      float64 // [kg]
	Volume    float64 // [m³]
	DragArea  float64 // Cd·A. [m²]
	AddedMass float64 // added mass coefficient: mass of water moved, per mass of water displaced. [1]
}
