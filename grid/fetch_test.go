package grid_test

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"windlane/grid"
	"windlane/internal/text"
)

const degree = math.Pi / 180

func decode(t *testing.T, path string, into any) {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(raw, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// Reference: refdata/water/synthetic_lake_island*, made with the Shapely
// library (refdata/water/SOURCE.md).
func TestRayAgainstReference(t *testing.T) {
	var lake struct {
		Outer, Hole orb.Ring
		Area        float64 `json:"area_m2"`
	}
	decode(t, "../refdata/water/synthetic_lake_island.json", &lake)
	shape := orb.MultiPolygon{{lake.Outer, lake.Hole}}
	f, err := os.Open("../refdata/water/synthetic_lake_island_fetch.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	tab, err := text.ReadTable(f.Name(), f, 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	if len(tab.Rows) != 36 {
		t.Fatalf("%d rays, want 36", len(tab.Rows))
	}
	for _, row := range tab.Rows {
		var v [4]float64
		for c := range v {
			if v[c], err = row.Number(c, 0, 1e5); err != nil {
				t.Fatal(err)
			}
		}
		if got := grid.Ray(shape, orb.Point{v[0], v[1]}, v[2]*degree); math.Abs(got-v[3]) > 6e-4 {
			t.Errorf("from (%v, %v) toward %v: %v, want %v", v[0], v[1], v[2], got, v[3])
		}
	}
	if grid.Contains(shape, orb.Point{3300, 2300}) || !grid.Contains(shape, orb.Point{1000, 1000}) {
		t.Error("the island is water or the water land")
	}
	g := grid.Over(shape.Bound(), 10, 1)
	n := 0
	for _, in := range grid.Inside(g, shape) {
		if in {
			n++
		}
	}
	if area := 100 * float64(n); math.Abs(area/lake.Area-1) > 2e-4 {
		t.Errorf("area %v m², want %v", area, lake.Area)
	}
}

// Closed forms: a chord of a circle, the sides of a rectangle, and the weighted
// means of 15 rays of effective fetch (Saville 1954, as in the Shore Protection Manual 1977).
func TestRayClosedForms(t *testing.T) {
	round := orb.MultiPolygon{{circle(0, 0, 2500, 20000)}}
	long := orb.MultiPolygon{{rectangle(0, -500, 10000, 500)}}
	effective := func(length func(a float64) float64) float64 {
		var sum, weight float64
		for n := -7; n <= 7; n++ {
			a := float64(n) * 6 * degree
			sum += length(a) * math.Cos(a) * math.Cos(a)
			weight += math.Cos(a)
		}
		return sum / weight
	}
	for n := -7; n <= 7; n++ {
		a := float64(n) * 6 * degree
		if got, want := grid.Ray(round, orb.Point{0, -2500 + 1e-4}, a), 5000*math.Cos(a); math.Abs(got-want) > 0.01 {
			t.Errorf("chord toward %v: %v, want %v", a, got, want)
		}
	}
	if got := effective(func(a float64) float64 { return grid.Ray(round, orb.Point{0, -2500 + 1e-4}, a) }); math.Abs(got-4168.2) > 0.05 {
		t.Errorf("circle: %v, want 4168.2", got)
	}
	if got := effective(func(a float64) float64 { return grid.Ray(long, orb.Point{1e-6, 0}, math.Pi/2+a) }); math.Abs(got-2404.1) > 0.05 {
		t.Errorf("rectangle: %v, want 2404.1", got)
	}
}

func TestRayAtTheEdges(t *testing.T) {
	shape := orb.MultiPolygon{{rectangle(0, 0, 10, 10), rectangle(4, 4, 6, 6)}}
	for _, c := range []struct {
		p      orb.Point
		toward float64
		want   float64
	}{
		{orb.Point{5, 2}, 0, 2},               // the island stops it
		{orb.Point{1, 4}, 90, 3},              // along the island's south shore
		{orb.Point{1, 1}, 45, 3 * math.Sqrt2}, // at the island's corner
		{orb.Point{3, 0}, 90, 0},              // on the shore, along it
		{orb.Point{0, 5}, 270, 0},
		{orb.Point{-2, 5}, 270, math.Inf(1)},
		{orb.Point{-2, 5}, 90, 2},
	} {
		if got := grid.Ray(shape, c.p, c.toward*degree); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("from %v toward %v: %v, want %v", c.p, c.toward, got, c.want)
		}
	}
	if got := grid.ToEdge(shape, orb.Point{3, 3}); math.Abs(got-math.Sqrt2) > 1e-12 {
		t.Errorf("to the island's corner: %v", got)
	}
	if got := grid.ToEdge(shape, orb.Point{5, 1}); got != 1 {
		t.Errorf("to the south shore: %v, want 1", got)
	}
}

// Every cell's fetch is that of its own digital line, walked by itself.
func TestFetchIsItsLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := grid.Grid{W: rapid.IntRange(1, 14).Draw(t, "w"), H: rapid.IntRange(1, 14).Draw(t, "h"), Cell: 5}
		wet := make([]bool, g.Len())
		for k := range wet {
			wet[k] = rapid.IntRange(0, 5).Draw(t, "wet") > 0
		}
		from := rapid.Float64Range(-7, 7).Draw(t, "from")
		dst := make([]float32, g.Len())
		for k := range dst {
			dst[k] = -1
		}
		grid.Fetch(g, wet, from, dst)
		l := grid.UpWind(g, from)
		entered := map[int]int{}
		for k := range dst {
			i, j, n := k%g.W, k/g.W, 0
			for i >= 0 && j >= 0 && i < g.W && j < g.H && wet[j*g.W+i] {
				n++
				if l.AlongX {
					i, j = i+l.Dir, j+l.Shift[i]
				} else {
					i, j = i+l.Shift[j], j+l.Dir
				}
				if n == 1 {
					entered[j*1000+i]++
				}
			}
			want := 0.0
			if n > 0 {
				want = (float64(n) - 0.5) * l.Step
			}
			if math.Abs(float64(dst[k])-want) > 1e-4 {
				t.Fatalf("cell %d: %v, want %v", k, dst[k], want)
			}
			if got := grid.FetchAt(g, wet, from, k); got != dst[k] {
				t.Fatalf("cell %d alone: %v, in the field %v", k, got, dst[k])
			}
		}
		for k, n := range entered {
			if n > 1 {
				t.Fatalf("%d lines run into cell (%d, %d)", n, k%1000, k/1000)
			}
		}
		if east, north := math.Sincos(from); l.Step < 5 || l.Step > 5*math.Sqrt2+1e-9 || l.AlongX != (math.Abs(east) >= math.Abs(north)) {
			t.Fatalf("lines %+v toward %v", l, from)
		}
	})
}

func TestFetchOnARectangle(t *testing.T) {
	shape := orb.MultiPolygon{{rectangle(0, 0, 2000, 1000)}}
	g := grid.Over(shape.Bound(), 10, 1)
	wet := grid.Inside(g, shape)
	dst := make([]float32, g.Len())
	k, _ := g.Index(505, 305)
	for from, want := range map[float64]float64{0: 695, 90: 1495, 180: 305, 270: 505, 45: 695 * math.Sqrt2, 225: 305 * math.Sqrt2} {
		grid.Fetch(g, wet, from*degree, dst)
		if math.Abs(float64(dst[k])-want) > 1e-2 {
			t.Errorf("from %v: %v, want %v", from, dst[k], want)
		}
	}
}

// On a circle, over all cells and 36 directions: against the exact chord.
func TestFetchOnACircle(t *testing.T) {
	const r = 1000.0
	shape := orb.MultiPolygon{{circle(0, 0, r, 3000)}}
	g := grid.Over(shape.Bound(), 10, 1)
	wet := grid.Inside(g, shape)
	dst := make([]float32, g.Len())
	var off []float64
	for deg := 0; deg < 360; deg += 10 {
		east, north := math.Sincos(float64(deg) * degree)
		grid.Fetch(g, wet, float64(deg)*degree, dst)
		for k, in := range wet {
			if in {
				x, y := g.Centre(k)
				s := x*east + y*north
				off = append(off, math.Abs(float64(dst[k])-(math.Sqrt(s*s+r*r-x*x-y*y)-s)))
			}
		}
	}
	slices.Sort(off)
	if median, p95 := off[len(off)/2], off[len(off)*95/100]; len(off) < 1e6 || median > 3 || p95 > 12 {
		t.Errorf("%d cells: median %v m, 95 %% within %v m; want 3 and 12", len(off), median, p95)
	}
}

func TestFetchAllocatesOnlyItsLine(t *testing.T) {
	for _, w := range []int{20, 200} {
		g := grid.Grid{W: w, H: w, Cell: 5}
		wet, dst := make([]bool, g.Len()), make([]float32, g.Len())
		if n := testing.AllocsPerRun(5, func() { grid.Fetch(g, wet, 1, dst) }); n > 1 {
			t.Errorf("%d cells: %v allocations, want one", g.Len(), n)
		}
	}
}

func BenchmarkFetch36Million(b *testing.B) {
	g := grid.Grid{W: 1000, H: 1000, Cell: 5}
	wet := grid.Inside(g, orb.MultiPolygon{{circle(2500, 2500, 2490, 200), circle(2000, 2000, 200, 50)}})
	dst := make([]float32, g.Len())
	b.ReportAllocs()
	for b.Loop() {
		for deg := range 36 {
			grid.Fetch(g, wet, float64(deg)*10*degree, dst)
		}
	}
}
