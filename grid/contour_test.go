package grid_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"pgregory.net/rapid"

	"windlane/grid"
)

// Closed form: a cone's contours are circles.
func TestContoursOfACone(t *testing.T) {
	g := grid.Grid{W: 101, H: 101, X0: -505, Y0: -505, Cell: 10}
	hill := field(g, func(x, y float64) float64 { return 100 - math.Hypot(x, y)/5 })
	lines := grid.Contours(g, hill, 40)
	if len(lines) != 1 {
		t.Fatalf("%d lines, want 1", len(lines))
	}
	ring := orb.Ring(lines[0])
	if ring[0] != ring[len(ring)-1] || ring.Orientation() != orb.CCW {
		t.Error("the line round a hill must be closed and run anticlockwise")
	}
	if area := planar.Area(ring); math.Abs(area/(math.Pi*300*300)-1) > 1e-3 {
		t.Errorf("area %v, want that of a circle of 300 m", area)
	}
	for k := range hill {
		hill[k] = -hill[k]
	}
	if pit := grid.Contours(g, hill, -40); len(pit) != 1 || orb.Ring(pit[0]).Orientation() != orb.CW {
		t.Error("the line round a pit must run clockwise")
	}
	if none := grid.Contours(g, hill, 1000); none != nil {
		t.Errorf("%d lines at a level that is not reached", len(none))
	}
}

// Both ways through a saddle, on four cells: north row 0 1 (then 0 9), south row
// 1 0. The bilinear surface has its saddle at 0.5, and at 0.9.
func TestContoursAtASaddle(t *testing.T) {
	g := grid.Grid{W: 2, H: 2, Cell: 1}
	count := func(lines []orb.LineString, west bool) (n int) {
		for _, l := range lines {
			for _, p := range l[1:] {
				// Does a line join the south crossing with the west one?
				if (l[0][1] == 0.5 && p[0] == 0.5 || l[0][0] == 0.5 && p[1] == 0.5) == west {
					n++
				}
			}
		}
		return n
	}
	low := grid.Contours(g, []float32{1, 0, 0, 1}, 0.6) // above the saddle: the high corners apart
	if len(low) != 2 || count(low, true) != 1 {
		t.Errorf("high corners joined over a saddle that is too low: %v", low)
	}
	high := grid.Contours(g, []float32{1, 0, 0, 9}, 0.8) // below the saddle: joined
	if len(high) != 2 || count(high, true) != 0 {
		t.Errorf("high corners apart though the saddle is higher: %v", high)
	}
}

// On any field: each point lies at the level between two centres, lines end
// only at the edge, at cells without a value or in themselves, and the number
// of crossings is what the cells say.
func TestContourLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := grid.Grid{W: rapid.IntRange(2, 9).Draw(t, "w"), H: rapid.IntRange(2, 9).Draw(t, "h"), Cell: 1}
		f := make([]float32, g.Len())
		holes := rapid.Bool().Draw(t, "holes")
		for k := range f {
			f[k] = float32(rapid.IntRange(0, 9).Draw(t, "v"))
			if holes && f[k] == 9 {
				f[k] = nan()
			}
		}
		level := float64(rapid.IntRange(0, 18).Draw(t, "level")) / 2
		whole := level == math.Floor(level)
		crossings := 0
		for _, line := range grid.Contours(g, f, level) {
			closed := line[0] == line[len(line)-1]
			crossings += len(line)
			if closed {
				crossings--
			}
			for n, p := range line {
				v, ok := g.Lookup(f, p[0], p[1])
				if !holes && (!ok || math.Abs(v-level) > 1e-5) {
					t.Fatalf("%v lies at %v, not %v", p, v, level)
				}
				edge := p[0] == 0.5 || p[1] == 0.5 || p[0] == float64(g.W)-0.5 || p[1] == float64(g.H)-0.5
				if !closed && (n == 0 || n == len(line)-1) && !edge && !holes {
					t.Fatalf("a line ends in the middle, at %v", p)
				}
				if n > 0 && math.Hypot(p[0]-line[n-1][0], p[1]-line[n-1][1]) > math.Sqrt2+1e-9 {
					t.Fatalf("a line jumps to %v", p)
				}
			}
			if closed && !holes && !whole { // high on the left
				mid := orb.Point{(line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2}
				dx, dy := line[1][0]-line[0][0], line[1][1]-line[0][1]
				d := 1e-3 / math.Hypot(dx, dy)
				left, _ := g.Lookup(f, mid[0]-d*dy, mid[1]+d*dx)
				right, _ := g.Lookup(f, mid[0]+d*dy, mid[1]-d*dx)
				if left < right-1e-5 {
					t.Fatalf("%v on the left of a line, %v on its right", left, right)
				}
			}
		}
		want := 0
		for k, v := range f {
			if k%g.W+1 < g.W && (float64(v) >= level) != (float64(f[k+1]) >= level) {
				want++
			}
			if k/g.W+1 < g.H && (float64(v) >= level) != (float64(f[k+g.W]) >= level) {
				want++
			}
		}
		if !holes && !whole && crossings != want {
			t.Fatalf("%d crossings, want %d", crossings, want)
		}
	})
}
