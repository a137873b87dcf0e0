package grid_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"windlane/grid"
)

func nan() float32 { return float32(math.NaN()) }

func field(g grid.Grid, f func(x, y float64) float64) []float32 {
	out := make([]float32, g.Len())
	for k := range out {
		out[k] = float32(f(g.Centre(k)))
	}
	return out
}

// rectangle runs anticlockwise.
func rectangle(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

func circle(x, y, r float64, corners int) orb.Ring {
	var ring orb.Ring
	for n := range corners {
		s, c := math.Sincos(2 * math.Pi * float64(n) / float64(corners))
		ring = append(ring, orb.Point{x + r*c, y + r*s})
	}
	return append(ring, ring[0])
}

func TestIndexAndCentreAgree(t *testing.T) {
	g := grid.Grid{W: 7, H: 5, X0: -20, Y0: 300, Cell: 2.5}
	for k := range g.Len() {
		if got, ok := g.Index(g.Centre(k)); !ok || got != k {
			t.Fatalf("cell %d finds itself at %d, %v", k, got, ok)
		}
	}
	if x, y := g.Centre(0); x != -18.75 || y != 301.25 {
		t.Errorf("cell 0 lies at (%v, %v): row 0 must be the south row", x, y)
	}
	for _, p := range []orb.Point{{-20.1, 301}, {-2.4, 301}, {-19, 299.9}, {-19, 312.6}, {math.NaN(), 301}, {-19, math.Inf(1)}} {
		if k, ok := g.Index(p[0], p[1]); ok {
			t.Errorf("%v is off the grid but lies in cell %d", p, k)
		}
	}
}

func TestOverCovers(t *testing.T) {
	g := grid.Over(orb.Bound{Min: orb.Point{-3, 4}, Max: orb.Point{17, 31}}, 5, 2)
	if want := (grid.Grid{W: 9, H: 11, X0: -15, Y0: -10, Cell: 5}); g != want {
		t.Errorf("%+v, want %+v", g, want)
	}
}

func TestLookup(t *testing.T) {
	g := grid.Grid{W: 6, H: 5, Cell: 10}
	f := field(g, func(x, y float64) float64 { return 2 + 0.5*x - 0.25*y + 0.01*x*y })
	for _, p := range []orb.Point{{5, 5}, {17, 23}, {44.9, 30}, {30, 20}} {
		want := 2 + 0.5*p[0] - 0.25*p[1] + 0.01*p[0]*p[1] // bilinear is exact here
		if got, ok := g.Lookup(f, p[0], p[1]); !ok || math.Abs(got-want) > 1e-5 {
			t.Errorf("at %v: %v, %v; want %v", p, got, ok, want)
		}
	}
	f[1*6+1] = nan() // centre (15, 15)
	if _, ok := g.Lookup(f, 14, 14); ok {
		t.Error("a value was read in a cell without one")
	}
	if got, ok := g.Lookup(f, 21, 15); !ok || got != float64(f[1*6+2]) {
		t.Errorf("beside a cell without a value: %v, %v; want %v", got, ok, f[1*6+2])
	}
	if got, ok := g.Lookup(f, 0.5, 49.5); !ok || got != float64(f[4*6]) {
		t.Errorf("in the corner: %v, %v; want %v", got, ok, f[4*6])
	}
	if _, ok := g.Lookup(f, 60.1, 5); ok {
		t.Error("a value was read off the grid")
	}
}

func TestInside(t *testing.T) {
	shape := orb.MultiPolygon{
		{rectangle(10, 10, 90, 70), rectangle(30, 30, 50, 50)},
		{rectangle(120, 10, 140, 20)},
	}
	g := grid.Over(shape.Bound(), 2.5, 2)
	mask := grid.Inside(g, shape)
	n := 0
	for k, in := range mask {
		x, y := g.Centre(k)
		if in != grid.Contains(shape, orb.Point{x, y}) {
			t.Fatalf("(%v, %v): mask says %v", x, y, in)
		}
		if in {
			n++
		}
	}
	if area := float64(n) * 6.25; area != 80*60-20*20+20*10 {
		t.Errorf("%v m² inside, want %v", area, 80*60-20*20+20*10)
	}
}

func TestInsideAgreesWithContains(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.Map(rapid.IntRange(0, 12), func(i int) float64 { return float64(i) })
		ring := make(orb.Ring, rapid.IntRange(3, 8).Draw(t, "n"))
		for i := range ring {
			ring[i] = orb.Point{whole.Draw(t, "x"), whole.Draw(t, "y")}
		}
		shape := orb.MultiPolygon{{append(ring, ring[0])}}
		g := grid.Grid{W: 14, H: 14, X0: -0.5, Y0: -0.5, Cell: 1}                         // centres fall on corners
		within := grid.Within(grid.Grid{W: 3, H: 4, X0: -0.5, Y0: 1.7, Cell: 2.1}, shape) // rows beside the shape and short of it
		for k, in := range grid.Inside(g, shape) {
			x, y := g.Centre(k)
			if p := (orb.Point{x, y}); in != grid.Contains(shape, p) || in != within(p) {
				t.Fatalf("(%v, %v): mask says %v, within %v", x, y, in, within(p))
			}
		}
	})
}

func TestDistanceAgainstEveryCell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := grid.Grid{W: rapid.IntRange(1, 15).Draw(t, "w"), H: rapid.IntRange(1, 15).Draw(t, "h"), Cell: 5}
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		inside := make([]bool, g.Len())
		for k := range inside {
			inside[k] = rapid.Float64Range(0, 1).Draw(t, "in") < share
		}
		for k, got := range grid.Distance(g, inside) {
			want := math.Inf(1)
			for l, in := range inside {
				if !in {
					want = min(want, 5*math.Hypot(float64(k%g.W-l%g.W), float64(k/g.W-l/g.W)))
				}
			}
			if math.Abs(float64(got)-want) > 1e-5*want || math.IsInf(want, 1) != math.IsInf(float64(got), 1) {
				t.Fatalf("cell %d: %v, want %v", k, got, want)
			}
		}
	})
}

func TestSlope(t *testing.T) {
	g := grid.Grid{W: 40, H: 30, Cell: 5}
	dst := make([]float32, g.Len())
	grid.Slope(g, field(g, func(x, y float64) float64 { return 3 + 0.03*x - 0.04*y }), dst)
	for k, v := range dst {
		i, j := k%g.W, k/g.W
		corner := (i == 0 || i == g.W-1) && (j == 0 || j == g.H-1)
		if math.Abs(float64(v)-0.05) > 1e-6 && !corner {
			t.Fatalf("a plane of slope 0.05 has %v at (%d, %d)", v, i, j)
		}
	}
	// On a paraboloid the central differences are exact.
	bowl := field(g, func(x, y float64) float64 { return 1e-3*x*x + 2e-3*y*y })
	grid.Slope(g, bowl, dst)
	k := 12*g.W + 20
	x, y := g.Centre(k)
	if want := math.Hypot(2e-3*x, 4e-3*y); math.Abs(float64(dst[k])-want) > 1e-5 {
		t.Errorf("slope %v, want %v", dst[k], want)
	}
	// The operator written out once, by hand, in the middle of a 3 by 3 grid:
	// north row 7 8 10, then 3 1 4, south row 5 2 6, cells of 1 m.
	three := grid.Grid{W: 3, H: 3, Cell: 1}
	out := make([]float32, 9)
	grid.Slope(three, []float32{5, 2, 6, 3, 1, 4, 7, 8, 10}, out)
	dx, dy := (10.+2*4+6-7-2*3-5)/8, (7.+2*8+10-5-2*2-6)/8
	if want := math.Hypot(dx, dy); math.Abs(float64(out[4])-want) > 1e-6 {
		t.Errorf("slope %v, want %v", out[4], want)
	}
	bowl[k] = nan()
	grid.Slope(g, bowl, dst)
	if v := dst[k]; v == v {
		t.Errorf("a cell without a value has slope %v", v)
	}
	if v := dst[k+1]; v != v {
		t.Error("a neighbour without a value took the slope away")
	}
}

func TestBoxMeanAgainstEveryCell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := grid.Grid{W: rapid.IntRange(1, 12).Draw(t, "w"), H: rapid.IntRange(1, 12).Draw(t, "h"), Cell: 10}
		f := make([]float32, g.Len())
		for k := range f {
			f[k] = float32(rapid.IntRange(0, 20).Draw(t, "v"))
			if f[k] == 20 {
				f[k] = nan()
			}
		}
		width := rapid.Float64Range(1, 150).Draw(t, "width")
		half := max(int(math.Round((width/10-1)/2)), 0)
		dst := make([]float32, g.Len())
		grid.BoxMean(g, f, width, dst)
		for k, got := range dst {
			sum, n := 0.0, 0
			for l, v := range f {
				if v == v && max(l%g.W-k%g.W, k%g.W-l%g.W) <= half && max(l/g.W-k/g.W, k/g.W-l/g.W) <= half {
					sum, n = sum+float64(v), n+1
				}
			}
			if f[k] != f[k] {
				if got == got {
					t.Fatalf("cell %d without a value has mean %v", k, got)
				}
			} else if want := sum / float64(n); !(math.Abs(float64(got)-want) < 1e-5) {
				t.Fatalf("cell %d: %v, want %v", k, got, want)
			}
		}
	})
}

func TestWrongLengthsPanic(t *testing.T) {
	g := grid.Grid{W: 3, H: 2, Cell: 1}
	six, five, mask := make([]float32, 6), make([]float32, 5), make([]bool, 5)
	for name, call := range map[string]func(){
		"Lookup":   func() { g.Lookup(five, 1, 1) },
		"Distance": func() { grid.Distance(g, mask) },
		"Fetch":    func() { grid.Fetch(g, mask, 0, six) },
		"Slope":    func() { grid.Slope(g, six, five) },
		"BoxMean":  func() { grid.BoxMean(g, five, 1, six) },
		"Contours": func() { grid.Contours(g, five, 1) },
		"Fill":     func() { grid.NewSurface(nil, nil).Fill(g, five) },
		"Surface":  func() { grid.NewSurface(make([][2]float64, 2), make([]float64, 3)) },
		"NaN":      func() { grid.NewSurface(make([][2]float64, 1), []float64{math.NaN()}) },
		"UpWind":   func() { grid.UpWind(g, math.NaN()) },
		"Over":     func() { grid.Over(orb.Bound{}, 0, 1) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			call()
		}()
	}
}

func BenchmarkDistanceMillion(b *testing.B) {
	g := grid.Grid{W: 1000, H: 1000, Cell: 5}
	inside := grid.Inside(g, orb.MultiPolygon{{circle(2500, 2500, 2400, 200), circle(2000, 2000, 200, 50)}})
	b.ReportAllocs()
	for b.Loop() {
		grid.Distance(g, inside)
	}
}
