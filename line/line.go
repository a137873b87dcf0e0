// Package line is the mechanics of a fly line, its leader and its flies in the
// water under a drifting boat: weight, buoyancy, drag across and along, added
// mass, tension, the surface and the bed, in the vertical plane along the drift.
//
// A Setup says what is tied on, how it is laid and what the hand does; Run
// answers with depths in time; Sim does the same step by step, and lets many
// retrieves branch from one countdown. docs/models/line.md has the equations.
//
// x runs downwind from where the rod tip stood when the flies landed, the way
// the boat drifts; z runs up from the surface. Depths in results are positive
// down. line sees fluid and nothing else of the module.
package line

// Water is what the line hangs in.
type Water struct {
	Density            float64 // [kg/m³]
	KinematicViscosity float64 // [m²/s]
	Drift              float64 // surface current along x, relative to the deep water [m/s]; may be 0
	DriftScale         float64 // depth over which the current falls by a factor e [m]
	Bed                float64 // depth of the bed [m]; 0 means out of reach
}

// Section is a length of line or leader, alike all through.
type Section struct {
	Length         float64 // [m]
	LinearDensity  float64 // mass per length [kg/m]
	Diameter       float64 // [m]
	AxialStiffness float64 // EA, tension over strain [N]
}

// Body is a fly, a bung or a shot on the line.
type Body struct {
	Name      string
	FromEnd   float64 // distance up from the point [m]
	Mass      float64 // [kg]
	Volume    float64 // [m³]
	DragArea  float64 // drag coefficient times area, alike all round [m²]
	AddedMass float64 // added mass over the mass of water displaced [1]
}

// Phase is a part of a cast.
type Phase int

// The parts of a cast in their order.
const (
	Count Phase = iota
	Retrieve
	Hang
)

func (p Phase) String() string { return [...]string{"count", "retrieve", "hang"}[p] }

// TipMove is one line of the rod tip's schedule: from a phase on, the tip goes
// evenly to a height and stays there.
type TipMove struct {
	From   Phase
	After  float64 // wait after the phase begins [s]
	Height float64 // above the surface [m]
	Over   float64 // time taken to get there [s]; under 0.1 s counts as 0.1 s
}

// Pull is how line is taken in.
type Pull struct {
	Speed     float64 // mean speed relative to the rod tip [m/s]; 0 takes nothing in
	Length    float64 // of one strip [m]; 0 is a steady retrieve
	PullSpeed float64 // mean speed within a strip [m/s], at least Speed
}

// Preset is one of three meshes graded to the kinks.
type Preset int

// Presets, finest first. Against a converged run of ordinary casts every depth
// is within about 2 cm (Fine), 5 cm (Mid), 8 cm (Fast).
const (
	Fine Preset = iota
	Mid
	Fast
)

// Mesh says how finely the line is cut and how long a step may be. The zero
// Mesh is Fine.
type Mesh struct {
	Preset   Preset
	Segment  float64 // [m]; above 0 a mesh of even segments instead of a preset
	MaxStep  float64 // longest time step with Segment [s]
	Ungraded bool    // with Segment: the end is not cut finer
}

// Setup is everything one cast needs.
type Setup struct {
	Water           Water
	Sections        []Section // from the rod tip to the point, all that is out at landing
	Bodies          []Body    // up to MaxBodies, in any order
	Tip             []TipMove // the first gives the height at landing
	EntryDistance   float64   // from below the tip to where the line meets the surface at landing [m]
	BoatSpeed       float64   // of the tip along x [m/s], 0 or more
	Count           float64   // [s]
	TakeIn          bool      // during the count line is taken in at BoatSpeed
	Pull            Pull
	StopWithLineOut float64 // the retrieve ends with this much line out [m]
	Hang            float64 // [s]
	SlackStiffness  float64 // stiffness of a slack link [N]; 0 means 2 mN
	Mesh            Mesh
	Sample          float64 // time between samples [s]
	Drag            *Drag   // nil means the correlations of package fluid
}

// MaxBodies is how many bodies a line may carry.
const MaxBodies = 4

// defaultSlack is the stiffness of a slack link: the Euler load of a coating
// of 0.2 GPa and 1.1 mm over folds of 0.3 m is a few mN (from memory). [N]
const defaultSlack = 0.002

// length is all that is out at landing. [m]
func (s *Setup) length() float64 {
	sum := 0.0
	for _, sec := range s.Sections {
		sum += sec.Length
	}
	return sum
}
