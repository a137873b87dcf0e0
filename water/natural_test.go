//go:build outside

package water_test

// A natural outline with islands, read out of a registry package at test time
// and never kept: npm world-atlas (made from Natural Earth, public domain), put
// in place by `make outside`. It has no lakes, so land stands in for water and
// what it encloses for islands: lines as nature and people drew them, moved to
// open ocean at the size of a lake. Which land they are is neither said nor used.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/grid"
	"windlane/quantity"
	"windlane/water"
)

const (
	naturalFile = "../browser/node_modules/world-atlas/countries-10m.json"
	lakeWidth   = 6000.0 // greater side of the bound [m]
)

// naturalOutlines are the polygons with islands and at least a hundred corners,
// in metres round 0, the longest shore first.
func naturalOutlines(t *testing.T) []orb.Polygon {
	raw, err := os.ReadFile(naturalFile)
	if err != nil {
		t.Fatalf("%v: `make outside` installs it", err)
	}
	var topology struct {
		Transform struct{ Scale, Translate orb.Point }
		Arcs      [][]orb.Point
		Objects   map[string]struct {
			Geometries []struct {
				Type string
				Arcs json.RawMessage
			}
		}
	}
	if err := json.Unmarshal(raw, &topology); err != nil {
		t.Fatal(err)
	}
	for _, arc := range topology.Arcs { // each position is the step from the one before
		var at orb.Point
		for i, step := range arc {
			at = orb.Point{at[0] + step[0], at[1] + step[1]}
			for axis := range 2 {
				arc[i][axis] = at[axis]*topology.Transform.Scale[axis] + topology.Transform.Translate[axis]
			}
		}
	}
	var out []orb.Polygon
	for _, g := range topology.Objects["countries"].Geometries {
		var polygons [][][]int
		if g.Type == "Polygon" {
			polygons = make([][][]int, 1)
			err = json.Unmarshal(g.Arcs, &polygons[0])
		} else {
			err = json.Unmarshal(g.Arcs, &polygons)
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, rings := range polygons {
			var p orb.Polygon
			for _, arcs := range rings {
				var ring orb.Ring
				for _, a := range arcs { // ^a stands for arc a backwards; arcs share their ends
					arc := topology.Arcs[max(a, ^a)]
					if a < 0 {
						arc = slices.Clone(arc)
						slices.Reverse(arc)
					}
					ring = append(ring, arc[min(len(ring), 1):]...)
				}
				p = append(p, ring)
			}
			if len(p) > 1 && len(p[0]) >= 100 {
				out = append(out, toLake(p))
			}
		}
	}
	slices.SortStableFunc(out, func(a, b orb.Polygon) int { return len(b[0]) - len(a[0]) })
	if len(out) < 5 {
		t.Fatalf("%d outlines with islands: the package is not what it was", len(out))
	}
	return out
}

func toLake(p orb.Polygon) orb.Polygon {
	b := p.Bound()
	narrow := math.Cos(b.Center()[1] * math.Pi / 180)
	scale := lakeWidth / max((b.Max[0]-b.Min[0])*narrow, b.Max[1]-b.Min[1])
	for _, ring := range p {
		for i, c := range ring {
			ring[i] = orb.Point{(c[0] - b.Center()[0]) * narrow * scale, (c[1] - b.Center()[1]) * scale}
		}
	}
	return p
}

// Reference: the areas of the same outlines, in their order, by GDAL 3.6.2 (MIT
// licence; Debian's gdal-bin) on 25 November 2026. Each was written as GeoJSON
// where drawn puts it, brought onto a transverse Mercator plane round its middle by
// ogr2ogr (PROJ), and measured by ogrinfo's OGR_GEOM_AREA. [m²]
var gdalAreas = []float64{10597333.94, 19712420.73, 8522706.48, 8829648.21, 17166894.80, 7883062.40, 8438135.82, 13989527.30, 10643158.23, 14646343.20}

func TestNaturalOutlines(t *testing.T) {
	shapes := naturalOutlines(t)
	if len(shapes) != len(gdalAreas) {
		t.Fatalf("%d outlines, %d areas", len(shapes), len(gdalAreas))
	}
	for n, shape := range shapes {
		t.Run(fmt.Sprintf("outline %d, %d corners, %d islands", n+1, len(shape[0]), len(shape)-1), func(t *testing.T) {
			o := drawn(t, shape...)
			rings := 0
			for _, r := range shape {
				if planar.Area(r) != 0 { // some have an island there and back along one line
					rings++
				}
			}
			if len(o.Shore) != 1 || len(o.Shore[0]) != rings || rings < 2 {
				t.Fatalf("%d waters, %d islands; want %d islands", len(o.Shore), len(o.Shore[0])-1, rings-1)
			}
			t.Log(o.Remarks)
			w := survey(t, o, water.Settings{Cell: 10})
			want := math.Abs(planar.Area(shape[0]))
			for _, island := range shape[1:] {
				want -= math.Abs(planar.Area(island))
			}
			if got := w.Area(); math.Abs(got/want-1) > 1e-5 {
				t.Errorf("area %.0f m², want %.0f", got, want)
			}
			if got := w.Area(); math.Abs(got/gdalAreas[n]-1) > 1e-6 {
				t.Errorf("area %.2f m², by GDAL %.2f", got, gdalAreas[n])
			}
			cells := 0
			for _, wet := range w.Wet() {
				if wet {
					cells++
				}
			}
			if got := 100 * float64(cells); math.Abs(got/want-1) > 0.01 {
				t.Errorf("%.0f m² in cells, want %.0f", got, want)
			}
			islandsAreLand(t, w)
			fetchMeetsRays(t, w)
			levelsFit(t, o, w)
		})
	}
}

func islandsAreLand(t *testing.T, w *water.Water) {
	looked := 0
	for _, island := range w.Shore[0][1:] {
		c, _ := planar.CentroidArea(island)
		if !grid.Contains(orb.MultiPolygon{{island}}, c) {
			continue
		}
		looked++
		if grid.Contains(w.Shore, c) {
			t.Errorf("the middle of an island at %v is water", c)
		}
		// From the water west of it, the way east ends at the island.
		b := island.Bound()
		west := orb.Point{b.Min[0] - 1, c[1]}
		if grid.Contains(w.Shore, west) {
			if ray := rays(w, west[0], west[1], 90)[0]; ray > c[0]-west[0] {
				t.Errorf("a ray of %.0f m runs through the island %.0f m off", ray, c[0]-west[0])
			}
		}
	}
	if looked == 0 {
		t.Error("no island was looked at")
	}
}

func fetchMeetsRays(t *testing.T, w *water.Water) {
	dst := make([]float32, w.Grid.Len())
	var off []float64
	for deg := 10; deg < 360; deg += 70 {
		from := quantity.FromDegrees(float64(deg))
		w.Fetch(from, dst)
		for k := 0; k < len(dst); k += 997 {
			if w.Wet()[k] {
				x, y := w.Grid.Centre(k)
				off = append(off, math.Abs(float64(dst[k])-grid.Ray(w.Shore, orb.Point{x, y}, float64(from))))
			}
		}
	}
	slices.Sort(off)
	median, p90 := off[len(off)/2], off[len(off)*9/10]
	t.Logf("fetch: %d compared, half within %.1f m, nine tenths within %.1f m", len(off), median, p90)
	if len(off) < 300 || median > 6 || p90 > 30 {
		t.Errorf("fetch: %d compared, half within %.1f m, nine tenths within %.1f m", len(off), median, p90)
	}
}

// levelsFit sounds an invented bed, falling by 1 in 20 from every shore to 12 m,
// and draws the water down on it.
func levelsFit(t *testing.T, o *water.Outline, plain *water.Water) {
	var b bytes.Buffer
	b.WriteString("lon,lat,depth_m,level_m\n")
	shore := plain.ShoreDistance()
	for k, d := range shore {
		if i, j := k%plain.Grid.W, k/plain.Grid.W; d > 15 && i%5 == 0 && j%2 == 0 {
			at := plain.Plane.Position(plain.Grid.Centre(k))
			fmt.Fprintf(&b, "%.9f,%.9f,%.3f,0\n", at.LonDeg, at.LatDeg, min(12, (float64(d)-5)/20))
		}
	}
	s, err := water.ReadSoundings("bed.csv", &b)
	if err != nil {
		t.Fatal(err)
	}
	full := survey(t, o, water.Settings{Cell: 10}, s)
	var off []float64
	for k, d := range full.Full {
		if full.Wet()[k] != (d == d) {
			t.Fatalf("cell %d of the water has depth %v", k, d)
		}
		if d == d {
			off = append(off, math.Abs(float64(d)-min(12, (float64(shore[k])-5)/20)))
		}
	}
	slices.Sort(off)
	if p90 := off[len(off)*9/10]; p90 > 0.5 {
		t.Errorf("nine tenths of the bed within %.2f m", p90)
	}
	before := full.Area()
	for _, drawdown := range []float64{1, 3} {
		low, err := full.At(drawdown)
		if err != nil {
			t.Fatal(err)
		}
		left := low.ShoreAt()
		if got := planar.Area(left); low.Area() >= before || math.Abs(got/low.Area()-1) > 0.03 {
			t.Errorf("drawn down %v m: %.0f m² in cells (%.0f before), %.0f within its shore", drawdown, low.Area(), before, got)
		}
		before = low.Area()
		for _, p := range left {
			for k, ring := range p {
				if want := []orb.Orientation{orb.CCW, orb.CW}[min(k, 1)]; ring.Orientation() != want {
					t.Fatalf("ring %d of a shore winds the wrong way", k)
				}
			}
		}
	}
}
