package delaunay

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// triples lists triangles with the lowest corner first, in order.
func triples(corners []int32) [][3]int32 {
	var out [][3]int32
	for e := 0; e < len(corners); e += 3 {
		t := [3]int32{corners[e], corners[e+1], corners[e+2]}
		for t[0] > t[1] || t[0] > t[2] {
			t = [3]int32{t[1], t[2], t[0]}
		}
		out = append(out, t)
	}
	slices.SortFunc(out, func(a, b [3]int32) int { return slices.Compare(a[:], b[:]) })
	return out
}

// Reference: npm delaunator 5.1.0, see refdata/delaunay/SOURCE.md.
func TestAgainstReference(t *testing.T) {
	raw, err := os.ReadFile("../../refdata/delaunay/triangulations.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Name      string
		Points    [][2]float64
		Triangles []int32
	}
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) < 4 {
		t.Fatalf("%d cases, want 4", len(cases))
	}
	for _, c := range cases {
		got := Triangulate(c.Points)
		check(t, c.Points, got)
		for e := 0; e < len(c.Triangles); e += 3 { // theirs run the other way round
			c.Triangles[e], c.Triangles[e+1] = c.Triangles[e+1], c.Triangles[e]
		}
		want := triples(c.Triangles)
		if len(want) == 0 || !slices.Equal(triples(got.Corners), want) {
			t.Errorf("%s: %d triangles differ from the reference's %d", c.Name, len(got.Corners)/3, len(want))
		}
	}
}

type failer interface{ Fatalf(string, ...any) }

// check holds a triangulation to the laws, all decided exactly: every triangle
// turns left, twins agree, no far corner lies inside a neighbour's circle (which
// makes every circle empty: Delaunay's lemma), the hull is convex, every
// distinct point is used and Euler's count holds.
func check(t failer, points [][2]float64, m *Triangulation) {
	distinct := map[[2]float64]int32{}
	for i, p := range points {
		if _, ok := distinct[p]; !ok {
			distinct[p] = int32(i)
		}
	}
	if len(m.Corners)%3 != 0 || len(m.Twin) != len(m.Corners) {
		t.Fatalf("%d corners, %d twins", len(m.Corners), len(m.Twin))
	}
	if len(m.Corners) == 0 {
		var a, b *[2]float64
		for p := range distinct {
			switch {
			case a == nil:
				a = &p
			case b == nil:
				b = &p
			case exactOrient(*a, *b, p) != 0:
				t.Fatalf("no triangle, though %v, %v and %v are not in line", *a, *b, p)
			}
		}
		return
	}
	used := map[int32]bool{}
	hull := map[int32]int32{}
	for e := range m.Corners {
		e := int32(e)
		a, b := m.Corners[e], m.Corners[Next(e)]
		c := m.Corners[previous(e)]
		used[a] = true
		if distinct[points[a]] != a {
			t.Fatalf("point %d is used though %d came first at its place", a, distinct[points[a]])
		}
		if exactOrient(points[a], points[b], points[c]) <= 0 {
			t.Fatalf("triangle %d, %d, %d does not turn left", a, b, c)
		}
		twin := m.Twin[e]
		if twin == none {
			if _, twice := hull[a]; twice {
				t.Fatalf("the hull leaves %d twice", a)
			}
			hull[a] = b
			continue
		}
		if m.Twin[twin] != e || m.Corners[twin] != b || m.Corners[Next(twin)] != a {
			t.Fatalf("half-edges %d and %d are no twins", e, twin)
		}
		if d := m.Corners[previous(twin)]; exactInCircle(points[a], points[b], points[c], points[d]) > 0 {
			t.Fatalf("%d lies inside the circle of %d, %d, %d", d, a, b, c)
		}
	}
	if len(used) != len(distinct) {
		t.Fatalf("%d of %d distinct points are used", len(used), len(distinct))
	}
	start := m.Corners[slices.Index(m.Twin, none)]
	n := 0
	for a := start; ; n++ {
		b := hull[a]
		if exactOrient(points[a], points[b], points[hull[b]]) < 0 {
			t.Fatalf("the hull turns right at %d", b)
		}
		if a = b; a == start || n > len(hull) {
			break
		}
	}
	if n+1 != len(hull) {
		t.Fatalf("the hull is in pieces: %d of %d", n+1, len(hull))
	}
	if want := 2*len(used) - 2 - len(hull); len(m.Corners)/3 != want {
		t.Fatalf("%d triangles, want %d by Euler", len(m.Corners)/3, want)
	}
}

func TestLaws(t *testing.T) {
	coordinate := map[string]*rapid.Generator[float64]{
		"lattice":  rapid.Map(rapid.IntRange(-4, 4), func(i int) float64 { return float64(i) }),
		"tenths":   rapid.Map(rapid.IntRange(0, 8), func(i int) float64 { return 1000.1 + 0.1*float64(i) }),
		"even":     rapid.Float64Range(0, 1000),
		"any":      rapid.Float64Range(-math.MaxFloat64, math.MaxFloat64),
		"close by": rapid.Map(rapid.IntRange(0, 6), func(i int) float64 { return math.Float64frombits(math.Float64bits(7.3) + uint64(i)) }),
	}
	for _, name := range []string{"lattice", "tenths", "even", "any", "close by"} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			n := rapid.IntRange(0, 40).Draw(t, "n")
			points := make([][2]float64, n)
			for i := range points {
				points[i] = [2]float64{coordinate[name].Draw(t, "x"), coordinate[name].Draw(t, "y")}
			}
			check(t, points, Triangulate(points))
		}))
	}
}

func TestEasyToGetWrong(t *testing.T) {
	line := func(n int, dx, dy float64) (p [][2]float64) {
		for i := range n {
			p = append(p, [2]float64{10 + float64(i)*dx, 20 + float64(i)*dy})
		}
		return p
	}
	var square, circle [][2]float64
	for i := range 30 {
		for j := range 30 {
			square = append(square, [2]float64{float64(i), float64(j)})
		}
		s, c := math.Sincos(float64(i) * math.Pi / 15)
		circle = append(circle, [2]float64{c, s})
	}
	for name, c := range map[string]struct {
		points    [][2]float64
		triangles int
	}{
		"none":                   {nil, 0},
		"one":                    {line(1, 1, 0), 0},
		"two":                    {line(2, 1, 0), 0},
		"all the same":           {make([][2]float64, 9), 0},
		"in line, level":         {line(9, 1, 0), 0},
		"in line, upright":       {line(9, 0, 1), 0},
		"in line, sloping":       {line(9, 3, 1), 0},
		"in line but one":        {append(line(9, 3, 1), [2]float64{11, 0}), 8},
		"in line but one, other": {append(line(9, 3, 1), [2]float64{11, 90}), 8},
		"twice":                  {append(line(4, 1, 0), append(line(4, 1, 0), [2]float64{11, 0})...), 3},
		"lattice":                {square, 2 * 29 * 29},
		"circle":                 {circle, 28},
		"denormal":               {[][2]float64{{0, 0}, {5e-324, 0}, {0, 5e-324}, {5e-324, 5e-324}}, 2},
		"huge":                   {[][2]float64{{-1e308, -1e308}, {1e308, -1e308}, {1e308, 1e308}, {-1e308, 1e308}, {1, 1}}, 4},
	} {
		m := Triangulate(c.points)
		check(t, c.points, m)
		if len(m.Corners)/3 != c.triangles {
			t.Errorf("%s: %d triangles, want %d", name, len(m.Corners)/3, c.triangles)
		}
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1)} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("no panic at %v", bad)
				}
			}()
			Triangulate([][2]float64{{0, 0}, {bad, 1}, {1, 1}})
		}()
	}
}

// The filtered predicates must give the exact sign, most of all near zero.
func TestPredicates(t *testing.T) {
	decided := 0
	rapid.Check(t, func(t *rapid.T) {
		near := func(name string) float64 {
			return math.Float64frombits(math.Float64bits(rapid.SampledFrom([]float64{0.5, 12, 24}).Draw(t, name)) + rapid.Uint64Range(0, 8).Draw(t, name))
		}
		p := func(name string) [2]float64 { return [2]float64{near(name), near(name)} }
		a, b, c, d := p("a"), p("b"), p("c"), p("d")
		if got, want := orient(a, b, c), exactOrient(a, b, c); got != want {
			t.Fatalf("orient %d, want %d", got, want)
		}
		if got, want := inCircle(a, b, c, d), exactInCircle(a, b, c, d); got != want {
			t.Fatalf("inCircle %d, want %d", got, want)
		}
		if exactOrient(a, b, c) != 0 {
			decided++
		}
	})
	if decided == 0 {
		t.Error("every triple was in line")
	}
	// Places so nearly as far from o that rounding turns some about.
	ulps := func(x float64, n int) float64 { return math.Float64frombits(math.Float64bits(x) + uint64(n)) }
	about := 0
	for i := range 9 * 9 * 9 * 9 {
		a, b := [2]float64{ulps(0.6, i%9), ulps(1.8, i/9%9)}, [2]float64{ulps(1.8, i/81%9), ulps(0.6, i/729)}
		da, db := squared(a, [2]float64{}), squared(b, [2]float64{})
		want := closer(a, b, [2]float64{}, 0, 0) // equal distances given: only the exact answer is left
		if got := closer(a, b, [2]float64{}, da, db); got != want {
			t.Fatalf("closer(%v, %v) is %d, want %d", a, b, got, want)
		}
		if want < 0 != (da < db) {
			about++
		}
	}
	if about == 0 {
		t.Error("rounding turned no pair about")
	}
	// Signs, by hand.
	o, x, y := [2]float64{0, 0}, [2]float64{1, 0}, [2]float64{0, 1}
	if orient(o, x, y) != 1 || orient(o, y, x) != -1 || orient(o, x, [2]float64{2, 0}) != 0 {
		t.Error("orient has the wrong sign")
	}
	if inCircle(o, x, y, [2]float64{.5, .5}) != 1 || inCircle(o, x, y, [2]float64{1, 1.1}) != -1 || inCircle(o, x, y, [2]float64{1, 1}) != 0 {
		t.Error("inCircle has the wrong sign")
	}
	if exactInCircle(o, x, y, [2]float64{.5, .5}) != 1 || exactOrient(o, x, y) != 1 || closer(x, [2]float64{2, 0}, o, 1, 4) != -1 || closer(x, y, o, 1, 1) != 0 {
		t.Error("an exact predicate has the wrong sign")
	}
}

func random(n int) [][2]float64 {
	r := rand.New(rand.NewPCG(1, 2))
	p := make([][2]float64, n)
	for i := range p {
		p[i] = [2]float64{r.Float64() * 5000, r.Float64() * 5000}
	}
	return p
}

func BenchmarkTriangulate50k(b *testing.B) {
	p := random(50_000)
	b.ReportAllocs()
	for b.Loop() {
		Triangulate(p)
	}
}

// A lattice is the worst case: every circle passes through a fourth point.
func BenchmarkTriangulateLattice50k(b *testing.B) {
	var p [][2]float64
	for i := range 224 {
		for j := range 224 {
			p = append(p, [2]float64{0.1 * float64(i), 0.1 * float64(j)})
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		Triangulate(p)
	}
}
