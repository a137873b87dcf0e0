package grid_test

import (
	"bufio"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"windlane/grid"
	"windlane/internal/text"
)

func table(t *testing.T, path string) [][]float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	tab, err := text.ReadTable(path, f, 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]float64
	for _, r := range tab.Rows {
		row := make([]float64, len(tab.Header))
		for c := range row {
			if row[c], err = r.Number(c, -1e6, 1e6); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func soundings(t *testing.T) *grid.Surface {
	var points [][2]float64
	var values []float64
	for _, r := range table(t, "../refdata/water/soundings.csv") {
		points = append(points, [2]float64{r[0], r[1]})
		values = append(values, r[2])
	}
	if len(points) != 60 {
		t.Fatalf("%d soundings, want 60", len(points))
	}
	return grid.NewSurface(points, values)
}

// Reference: refdata/water/soundings_expected.csv, SciPy's linear interpolation
// (refdata/water/SOURCE.md): (500, 400) 11.94415, (250, 300)
// 12.41412, (905, 90) 8.24876.
func TestSurfaceAgainstSciPy(t *testing.T) {
	s := soundings(t)
	rows := table(t, "../refdata/water/soundings_expected.csv")
	if len(rows) != 6 {
		t.Fatalf("%d rows, want 6", len(rows))
	}
	one := make([]float32, 1)
	for _, r := range rows {
		s.Fill(grid.Grid{W: 1, H: 1, X0: r[0] - 0.5, Y0: r[1] - 0.5, Cell: 1}, one)
		if math.Abs(float64(one[0])-r[2]) > 6e-6 {
			t.Errorf("at (%v, %v): %v, want %v", r[0], r[1], one[0], r[2])
		}
	}
}

// Reference: refdata/water/grid_linear_gdal.asc, gdal_grid's linear method on
// the same soundings, 20 by 16 cells of 50 m, north row first.
func TestSurfaceAgainstGDAL(t *testing.T) {
	f, err := os.Open("../refdata/water/grid_linear_gdal.asc")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	words := bufio.NewScanner(f)
	words.Split(bufio.ScanWords)
	var want []float64
	for n := 0; words.Scan(); n++ {
		if n < 12 { // six header lines of a name and a number
			continue
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(words.Text()), 64)
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, v)
	}
	g := grid.Grid{W: 20, H: 16, Cell: 50}
	if len(want) != g.Len() {
		t.Fatalf("%d cells, want %d", len(want), g.Len())
	}
	got := make([]float32, g.Len())
	soundings(t).Fill(g, got)
	worst := 0.0
	for k, v := range got {
		worst = max(worst, math.Abs(float64(v)-want[(g.H-1-k/g.W)*g.W+k%g.W]))
	}
	if !(worst < 2e-6) { // what float32 holds of 12 m
		t.Errorf("off by up to %v m", worst)
	}
}

// A plane comes back exactly; no value leaves the range of the points; the
// inside of the hull is filled without a gap; equal points do no harm.
func TestSurfaceLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 30).Draw(t, "n")
		var points [][2]float64
		var plane, heap []float64
		for range n {
			p := [2]float64{rapid.Float64Range(0, 100).Draw(t, "x"), rapid.Float64Range(0, 100).Draw(t, "y")}
			if rapid.Bool().Draw(t, "round") {
				p = [2]float64{math.Round(p[0]/5) * 5, math.Round(p[1]/5) * 5}
			}
			points = append(points, p)
			plane = append(plane, 3+0.1*p[0]-0.2*p[1])
			heap = append(heap, rapid.Float64Range(0, 20).Draw(t, "v"))
		}
		g := grid.Grid{W: 40, H: 40, Cell: 2.5}
		dst := make([]float32, g.Len())
		grid.NewSurface(points, plane).Fill(g, dst)
		for k, v := range dst {
			x, y := g.Centre(k)
			if v == v && math.Abs(float64(v)-(3+0.1*x-0.2*y)) > 1e-4 {
				t.Fatalf("the plane is %v at (%v, %v)", v, x, y)
			}
		}
		s := grid.NewSurface(points, heap)
		s.Fill(g, dst)
		for j := range g.H { // rows of a convex hull have no gaps
			gaps, in := 0, false
			for i := range g.W {
				v := dst[j*g.W+i]
				if v == v && !in {
					gaps++
				}
				if in = v == v; in && !(v >= 0 && v <= 20) {
					t.Fatalf("a value of %v", v)
				}
			}
			if gaps > 1 {
				t.Fatalf("row %d is filled in %d pieces", j, gaps)
			}
		}
	})
}

func TestSurfaceOfNothing(t *testing.T) {
	g := grid.Grid{W: 2, H: 2, Cell: 1}
	dst := make([]float32, 4)
	grid.NewSurface([][2]float64{{0, 0}, {1, 1}, {2, 2}}, []float64{1, 2, 3}).Fill(g, dst)
	for _, v := range dst {
		if v == v {
			t.Errorf("points in line gave %v", v)
		}
	}
}

func TestFillAllocatesNothing(t *testing.T) {
	s := soundings(t)
	g := grid.Grid{W: 100, H: 80, Cell: 10}
	dst := make([]float32, g.Len())
	if n := testing.AllocsPerRun(5, func() { s.Fill(g, dst) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// 50 000 soundings to a million cells, triangles included.
func BenchmarkSurface50kToMillion(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	points := make([][2]float64, 50_000)
	values := make([]float64, len(points))
	for i := range points {
		points[i] = [2]float64{r.Float64() * 5000, r.Float64() * 5000}
		values[i] = r.Float64() * 20
	}
	g := grid.Grid{W: 1000, H: 1000, Cell: 5}
	dst := make([]float32, g.Len())
	b.ReportAllocs()
	for b.Loop() {
		grid.NewSurface(points, values).Fill(g, dst)
	}
}
