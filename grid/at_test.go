package grid_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"windlane/grid"
)

// Reference: SciPy's linear interpolation, as in TestSurfaceAgainstSciPy; and the
// filled field at every cell's centre, wherever the search begins.
func TestAtAgainstSciPyAndFill(t *testing.T) {
	s := soundings(t)
	rows := table(t, "../refdata/water/soundings_expected.csv")
	if len(rows) != 6 {
		t.Fatalf("%d rows, want 6", len(rows))
	}
	for _, r := range rows {
		if v, _, ok := s.At(r[0], r[1], 0); !ok || math.Abs(v-r[2]) > 6e-6 {
			t.Errorf("at (%v, %v): %v, %v; want %v", r[0], r[1], v, ok, r[2])
		}
	}
	g := grid.Grid{W: 60, H: 50, X0: -100, Y0: -100, Cell: 20}
	filled := make([]float32, g.Len())
	s.Fill(g, filled)
	r := rand.New(rand.NewPCG(3, 4))
	near, inside := int32(0), 0
	for k, want := range filled {
		x, y := g.Centre(k)
		if k%3 == 0 {
			near = int32(r.IntN(len(s.Triangles()) / 3))
		}
		v, at, ok := s.At(x, y, near)
		if ok != (want == want) || ok && math.Abs(v-float64(want)) > 1e-5 {
			t.Fatalf("cell %d: %v, %v; the field says %v", k, v, ok, want)
		}
		if ok {
			near = at
			inside++
		}
	}
	if inside < 500 {
		t.Errorf("%d cells were compared", inside)
	}
	if _, _, ok := grid.NewSurface([][2]float64{{0, 0}, {1, 1}}, []float64{1, 2}).At(0, 0, 0); ok {
		t.Error("two points make a surface")
	}
	if v, _, ok := s.At(500, 400, 1<<30); !ok || math.Abs(v-rows[0][2]) > 6e-6 && math.Abs(v-11.94415) > 6e-6 {
		t.Errorf("begun nowhere: %v, %v", v, ok)
	}
}

// A lattice has four corners on every circle, and points of the search on its edges.
func TestAtOnALattice(t *testing.T) {
	var points [][2]float64
	var values []float64
	for j := range 20 {
		for i := range 20 {
			points = append(points, [2]float64{float64(i), float64(j)})
			values = append(values, 3*float64(i)-2*float64(j))
		}
	}
	s := grid.NewSurface(points, values)
	near := int32(0)
	for y := 0.0; y <= 19; y += 0.25 {
		for x := 0.0; x <= 19; x += 0.25 {
			v, at, ok := s.At(x, y, near)
			if !ok || math.Abs(v-(3*x-2*y)) > 1e-9 {
				t.Fatalf("(%v, %v): %v, %v", x, y, v, ok)
			}
			near = at
		}
	}
}
