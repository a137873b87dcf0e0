package presence

import (
	"math"

	"github.com/paulmach/orb"

	"windlane/grid"
	"windlane/quantity"
	"windlane/water"
)

// Field is the lake as fish see it, cell by cell: what stays the same all day,
// and the shores, which change with the wind. Make one with Lay.
type Field struct {
	grid   grid.Grid
	depth  []float32
	ground [features][]float32 // nil: none of it anywhere [1]
}

// Lay works out the features of a lake's cells: marked places on the plane, and
// edges of the bed from its depths today [m], NaN or less than 0 on land.
func Lay(g grid.Grid, depth []float32, places []water.Place) *Field {
	if len(depth) != g.Len() {
		panic("presence: a lake needs a depth for each cell")
	}
	f := &Field{grid: g, depth: depth}
	var marked [features][]bool // true away from the feature, as grid.Distance wants it
	for _, p := range places {
		k, ok := Marks(p.Kind)
		if !ok || p.Shape == nil {
			continue
		}
		if marked[k] == nil {
			marked[k] = make([]bool, g.Len())
			for i := range marked[k] {
				marked[k][i] = true
			}
		}
		mark(g, marked[k], p.Shape, p.Radius)
	}
	for k, away := range marked {
		if away == nil {
			continue
		}
		f.ground[k] = make([]float32, g.Len())
		for i, d := range grid.Distance(g, away) {
			f.ground[k][i] = float32(Feature(k).Pull(float64(d)))
		}
	}
	slope := make([]float32, g.Len())
	grid.Slope(g, depth, slope)
	if f.ground[DropOff] == nil {
		f.ground[DropOff] = make([]float32, g.Len())
	}
	for i, s := range slope {
		if e := float32(Edge(float64(s))); e > f.ground[DropOff][i] {
			f.ground[DropOff][i] = e
		}
	}
	return f
}

// mark clears the cells of a shape: a polygon's inside, the cells along a line,
// the cells within a radius [m] of a point (NaN: the one it lies in).
func mark(g grid.Grid, away []bool, shape orb.Geometry, radius float64) {
	at := func(p orb.Point) {
		if k, ok := g.Index(p[0], p[1]); ok {
			away[k] = false
		}
		if !(radius > g.Cell/2) {
			return
		}
		for k := range away {
			if x, y := g.Centre(k); math.Hypot(x-p[0], y-p[1]) <= radius {
				away[k] = false
			}
		}
	}
	along := func(line orb.LineString) {
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			n := math.Ceil(math.Hypot(b[0]-a[0], b[1]-a[1]) / (g.Cell / 2))
			for s := 0.0; s <= n; s++ {
				t := s / math.Max(n, 1)
				if k, ok := g.Index(a[0]+t*(b[0]-a[0]), a[1]+t*(b[1]-a[1])); ok {
					away[k] = false
				}
			}
		}
	}
	inside := func(m orb.MultiPolygon) {
		for k, in := range grid.Inside(g, m) {
			if in {
				away[k] = false
			}
		}
		for _, p := range m { // a sliver between cell centres still counts
			along(orb.LineString(p[0]))
		}
	}
	switch s := shape.(type) {
	case orb.Point:
		at(s)
	case orb.MultiPoint:
		for _, p := range s {
			at(p)
		}
	case orb.LineString:
		along(s)
	case orb.MultiLineString:
		for _, l := range s {
			along(l)
		}
	case orb.Polygon:
		inside(orb.MultiPolygon{s})
	case orb.MultiPolygon:
		inside(s)
	}
}

// Shores sets the shores for a wind, by the open water of each cell up and down
// it [m]; nil for both when it blows from nowhere in particular.
func (f *Field) Shores(up, down []float32) {
	if up == nil && down == nil {
		f.ground[LeeShore], f.ground[WindwardShore] = nil, nil
		return
	}
	if len(up) != len(f.depth) || len(down) != len(f.depth) {
		panic("presence: shores need a value for each cell")
	}
	set := func(k Feature, water []float32) {
		if f.ground[k] == nil {
			f.ground[k] = make([]float32, len(f.depth))
		}
		for i, d := range water {
			f.ground[k][i] = float32(k.Pull(float64(d)))
		}
	}
	set(LeeShore, down)
	set(WindwardShore, up)
}

// Spot is a cell as a place to ask about; ok is false on land.
func (f *Field) Spot(k int) (s Spot, ok bool) {
	d := float64(f.depth[k])
	if !(d > 0) {
		return s, false
	}
	s.HasBed, s.Bed = true, quantity.Depth(d)
	s.X, s.Y = f.grid.Centre(k)
	for i, g := range &f.ground {
		if g != nil {
			s.Ground[i] = float64(g[k])
		}
	}
	return s, true
}

// Worths writes each cell's worth at an hour, 0 on land. [1] For the surest fish
// it is the worth that leaves the same chance of none when it is certain, where
// as many are expected on water of the lake's mean worth as a rod lands in a day
// (Certain, Day.RodAverage); else the mean over the causes. It allocates nothing,
// and wants its Prior for itself.
func (f *Field) Worths(p *Prior, dst []float32) {
	if len(dst) != len(f.depth) {
		panic("presence: worths need a value for each cell")
	}
	sum, n := 0.0, 0
	for k := range dst {
		dst[k] = 0
		if s, ok := f.Spot(k); ok {
			_, worth := p.draw(float64(s.Bed), &s)
			dst[k] = float32(worth)
			sum, n = sum+worth, n+1
		}
	}
	if p.aim != Surest || !(sum > 0) {
		return
	}
	for k := range dst {
		if s, ok := f.Spot(k); ok {
			draw, _ := p.draw(float64(s.Bed), &s)
			dst[k] = float32(p.certain(&draw, p.takes, sum/float64(n)))
		}
	}
}
