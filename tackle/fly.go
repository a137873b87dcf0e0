package tackle

import (
	"math"

	"windlane/fluid"
)

// habit is how a kind of fly behaves when nothing is said of the one in hand.
type habit struct {
	sink     float64 // [m/s]
	density  float64 // of all of it, wet. [kg/m³]
	dragArea float64 // [m²]
}

// No table of flies was found in print: these are the author's estimates from
// the sizes in use and what their hooks weigh, to be replaced by a jar test. Surface tension, which holds a
// dry fly up, is in none of them.
var habits = map[Kind]habit{
	Lure:     {0.08, 1500, 9e-5},
	Booby:    {-0.12, 600, 9e-5},
	Blob:     {0.04, 1250, 1e-4},
	Nymph:    {0.09, 2000, 4e-5},
	Buzzer:   {0.13, 4000, 1.8e-5},
	Wet:      {0.06, 1800, 4.5e-5},
	Dry:      {-0.02, 950, 5e-5},
	Sedge:    {-0.06, 700, 7e-5},
	Fry:      {0.05, 1150, 1.3e-4},
	BungKind: {-0.3, 150, 3e-4},
}

// What stands in for a kind's own figures when a fly goes against its kind.
const (
	weightedSink    = 0.15   // [m/s]
	weightedDensity = 3000.0 // [kg/m³]
	sinkerDensity   = 1200.0 // a sinking fly of a floating kind. [kg/m³]
	floaterDensity  = 400.0  // a rising fly of a sinking kind. [kg/m³]
	flyRatedAt      = 10.0   // water of a jar test, near a lake's. [°C]
)

// AddedMass is the added mass coefficient of a small body, a sphere's in ideal
// flow. [1]
const AddedMass = 0.5

// kinded gives the fly with its kind's habits in place of what is not said, and
// the density that goes with them. [kg/m³]
func (f Fly) kinded() (Fly, float64) {
	h, ok := habits[f.Kind]
	if !ok {
		panic("tackle: fly of unknown kind " + string(f.Kind))
	}
	if f.DragArea == 0 {
		f.DragArea = h.dragArea
	}
	if f.Weighted {
		h.density = weightedDensity
		h.sink = weightedSink
	}
	rho := fluid.WaterDensity(flyRatedAt)
	switch {
	case f.Sink > 0 && h.density <= rho:
		h.density = sinkerDensity
	case f.Sink < 0 && h.density >= rho:
		h.density = floaterDensity
	}
	if f.Sink == 0 && f.Mass == 0 {
		f.Sink = h.sink
	}
	return f, h.density
}

// SinkSpeed is how fast the fly sinks alone, positive down, negative if it
// rises. [m/s]
func (f Fly) SinkSpeed() float64 {
	f, density := f.kinded()
	if f.Sink != 0 {
		return f.Sink
	}
	rho := fluid.WaterDensity(flyRatedAt)
	w := f.Mass * (1 - rho/density) * fluid.StandardGravity
	return math.Copysign(math.Sqrt(2*math.Abs(w)/(rho*f.DragArea)), w)
}

// WeightInWater is the fly's weight less the water it displaces, from its
// terminal speed w: ½ ρ C_d A w |w|; negative when it rises. [N]
func (f Fly) WeightInWater() float64 {
	w := f.SinkSpeed()
	f, _ = f.kinded()
	return 0.5 * fluid.WaterDensity(flyRatedAt) * f.DragArea * w * math.Abs(w)
}

// Body is the fly as mechanics wants it. Weight in water comes from the terminal
// speed, volume from that and from the fly's mass if it is said, else from the
// density of its kind. ok is false when a mass is said that is less than the
// fly's own weight in water, so that its volume would be negative.
func (f Fly) Body() (b Body, ok bool) {
	weight := f.WeightInWater()
	full, density := f.kinded()
	rho := fluid.WaterDensity(flyRatedAt)
	b = Body{Name: f.Name, DragArea: full.DragArea, AddedMass: AddedMass}
	if f.Mass > 0 && f.Sink != 0 {
		b.Mass = f.Mass
		b.Volume = (b.Mass - weight/fluid.StandardGravity) / rho
		return b, b.Volume > 0
	}
	b.Volume = weight / fluid.StandardGravity / (density - rho)
	b.Mass = density * b.Volume
	return b, true
}
