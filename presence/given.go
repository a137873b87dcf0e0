package presence

import (
	"math"

	"windlane/grid"
	"windlane/water"
)

// Given is what somebody says of where fish lie, in place of Expect: a weight by
// depth, straight between the depths given and level beyond them.
type Given struct {
	Depths  []float64 // rising [m]
	Weights []float64 // of each depth, 0 or more [1]
	// FromBed: fish keep to the bed, and its depth is what counts. Else they hang
	// at these depths below the surface, over any bed that is no shallower.
	FromBed bool
}

// Over is the weight of water over a bed [m]: the bed's own, or of fish that hang
// in the water the greatest from the surface to the bed. NaN, a bed that nobody
// knows, has the mean of the weights. [1] It panics where depths and weights do
// not match.
func (g Given) Over(bed float64) float64 {
	if len(g.Depths) != len(g.Weights) || len(g.Depths) == 0 {
		panic("presence: a weight for each depth is needed")
	}
	n := len(g.Depths)
	switch {
	case bed != bed:
		sum := 0.0
		for _, w := range g.Weights {
			sum += w
		}
		return sum / float64(n)
	case bed <= g.Depths[0]:
		return g.Weights[0]
	}
	most, at := g.Weights[0], g.Weights[n-1]
	for i := 1; i < n; i++ {
		if bed <= g.Depths[i] {
			a, b := g.Depths[i-1], g.Depths[i]
			at = g.Weights[i-1] + (bed-a)/(b-a)*(g.Weights[i]-g.Weights[i-1])
			break
		}
		most = math.Max(most, g.Weights[i])
	}
	if g.FromBed {
		return at
	}
	return math.Max(most, at)
}

// Draw is how much more the water near places of a kind is worth.
type Draw struct {
	Kind   water.Kind
	Name   string  // the one place of that name; empty: all of the kind
	Weight float64 // beside the open water's [1]
	Reach  float64 // distance at which it has fallen to a third; 0: the kind's usual one [m]
}

// otherReach is the reach of a kind that Marks does not know. [m]
const otherReach = 40.0

// DrawOf writes what each cell's water is worth for the places near it:
//
//	open + Σ weight·e^−(distance/reach)²
//
// with, for drop-offs that are not named, the bed's own steepness where that is
// more. depth is today's [m], NaN on land and where nobody knows it. [1]
func DrawOf(g grid.Grid, depth []float32, places []water.Place, open float64, draws []Draw, dst []float32) {
	if len(depth) != g.Len() || len(dst) != g.Len() {
		panic("presence: a lake needs a depth and a value for each cell")
	}
	for k := range dst {
		dst[k] = float32(open)
	}
	away := make([]bool, g.Len())
	for _, d := range draws {
		for k := range away {
			away[k] = true
		}
		for _, p := range places {
			if p.Shape != nil && p.Kind == d.Kind && (d.Name == "" || p.Name == d.Name) {
				mark(g, away, p.Shape, p.Radius)
			}
		}
		far := d.Reach
		if far == 0 {
			far = otherReach
			if f, ok := Marks(d.Kind); ok {
				far = reach[f]
			}
		}
		var slope []float32
		if d.Kind == water.DropOff && d.Name == "" {
			slope = make([]float32, g.Len())
			grid.Slope(g, depth, slope)
		}
		for k, distance := range grid.Distance(g, away) {
			f := pull(float64(distance), far)
			if slope != nil && slope[k] == slope[k] {
				f = math.Max(f, Edge(float64(slope[k])))
			}
			dst[k] += float32(d.Weight * f)
		}
	}
}
