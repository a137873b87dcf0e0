package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/grid"
	"windlane/quantity"
)

var day = time.Date(2026, 5, 14, 0, 0, 0, 0, time.UTC)

func clock(h, m int) time.Time {
	return day.Add(time.Duration(h)*time.Hour + time.Duration(m)*time.Minute)
}

func degrees(d float64) float64 { return d * math.Pi / 180 }

// pool is a rectangular lake w × h m in cells of 10 m, 5 m deep, with four cells
// of land round it; its south-west corner is (0, 0).
func pool(w, h float64) Lake {
	const cell, land = 10.0, 4
	g := grid.Grid{W: int(w/cell) + 2*land, H: int(h/cell) + 2*land, X0: -land * cell, Y0: -land * cell, Cell: cell}
	l := Lake{Grid: g, Wet: make([]bool, g.Len()), Depth: make([]float32, g.Len())}
	for k := range l.Depth {
		l.Depth[k] = float32(math.NaN())
		if x, y := g.Centre(k); x > 0 && x < w && y > 0 && y < h {
			l.Wet[k], l.Depth[k] = true, 5
		}
	}
	return l
}

// everywhere is a worth by place.
func everywhere(l Lake, f func(x, y float64) float64) []float32 {
	out := make([]float32, l.Grid.Len())
	for k := range out {
		x, y := l.Grid.Centre(k)
		out[k] = float32(f(x, y))
	}
	return out
}

// ask is a plain question on a lake: one wind from 9 to 17, a bare boat that
// drifts at 6 % and one drogue at 4 %, the jetty where it is told.
func ask(l Lake, wind, from float64, home orb.Point, worth []float32) Question {
	q := Question{
		Lake: l, From: clock(9, 0), Until: clock(17, 0), Start: home, Home: home,
		Boat: Boat{SetUps: []SetUp{
			{Name: "bare", Motion: drift.Motion{Fraction: 0.06}, LeastDepth: LeastDepth},
			{Name: "drogue", Drogue: true, Motion: drift.Motion{Fraction: 0.04}, LeastDepth: LeastDepthDrogue},
		}, Speed: 1.8},
		Limits: DefaultLimits(), Settings: DefaultSettings(),
	}
	for h := 9; h <= 17; h++ {
		q.Hours = append(q.Hours, Hour{At: clock(h, 0), Wind: wind, Gust: 1.4 * wind, From: quantity.FromDegrees(from), FromSD: degrees(10), SpeedSD: 0.2, Worth: worth})
	}
	return q
}

// medium is the invented lake of 563 ha with islands: depth grows by 1 m in 20
// from the shore to 12 m, the better water follows the 4 m contour.
func medium(t testing.TB, cell float64) (Lake, []float32) {
	t.Helper()
	b, err := os.ReadFile("../refdata/drift/lake_medium.geojson")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Features []struct {
			Properties struct{ Kind, ID string }
			Geometry   struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
	}
	if err := json.Unmarshal(b, &file); err != nil {
		t.Fatal(err)
	}
	// the file's own projection
	const a, f, lat0 = 6378137.0, 1 / 298.257223563, 52 * math.Pi / 180
	e2 := f * (2 - f)
	v := math.Sqrt(1 - e2*math.Sin(lat0)*math.Sin(lat0))
	xy := func(p [2]float64) orb.Point {
		return orb.Point{degrees(p[0]+30) * a / v * math.Cos(lat0), degrees(p[1]-52) * a * (1 - e2) / (v * v * v)}
	}
	var water orb.MultiPolygon
	var l Lake
	for _, feature := range file.Features {
		var rings [][][2]float64
		var line [][2]float64
		var point [2]float64
		var shape orb.Geometry
		switch feature.Geometry.Type {
		case "Polygon":
			err = json.Unmarshal(feature.Geometry.Coordinates, &rings)
			var p orb.Polygon
			for _, r := range rings {
				var ring orb.Ring
				for _, c := range r {
					ring = append(ring, xy(c))
				}
				p = append(p, ring)
			}
			shape = p
		case "LineString":
			err = json.Unmarshal(feature.Geometry.Coordinates, &line)
			var s orb.LineString
			for _, c := range line {
				s = append(s, xy(c))
			}
			shape = s
		case "Point":
			err = json.Unmarshal(feature.Geometry.Coordinates, &point)
			shape = xy(point)
		}
		if err != nil {
			t.Fatal(err)
		}
		place := Place{Kind: feature.Properties.Kind, Name: feature.Properties.ID, Shape: shape, Landmark: feature.Properties.Kind == "jetty"}
		switch place.Kind {
		case "shoreline":
			water = append(water, shape.(orb.Polygon))
			continue
		case "no_go":
			place.KeepOff, place.MotorOff = 30, 5
		case "bank_angler":
			place.KeepOff, place.MotorOff = 50, 50
		case "buoy_line":
			place.KeepOff, place.MotorOff = 15, 5
		}
		l.Places = append(l.Places, place)
	}
	if len(water) == 0 || len(l.Places) < 10 {
		t.Fatal("the lake has no shore or no places")
	}
	l.Grid = grid.Over(water.Bound(), cell, 2)
	inside := grid.Inside(l.Grid, water)
	shore := grid.Distance(l.Grid, inside)
	l.Wet, l.Depth = inside, make([]float32, l.Grid.Len())
	worth := make([]float32, l.Grid.Len())
	for k, d := range shore {
		l.Depth[k] = float32(math.NaN())
		if inside[k] {
			l.Depth[k] = min(12, d/20)
			worth[k] = float32(0.1 + math.Exp(-math.Pow(float64(l.Depth[k])-4, 2)/2))
		}
	}
	return l, worth
}

// wholeDay is a day on that lake with a wind that turns.
func wholeDay(t testing.TB, cell float64) Question {
	l, worth := medium(t, cell)
	home := orb.Point{}
	for _, p := range l.Places {
		if p.Kind == "jetty" {
			home = p.Shape.(orb.Point)
		}
	}
	q := ask(l, 5, 240, home, worth)
	for i := range q.Hours {
		q.Hours[i].Wind = 4 + 0.4*float64(i)
		q.Hours[i].Gust = 1.4 * q.Hours[i].Wind
		q.Hours[i].From = quantity.FromDegrees(225 + 8*float64(i))
	}
	return q
}

// A whole day's plan, with and without tries to better it: value is what the
// plan is worth [1e3 m²].
func BenchmarkDay(b *testing.B) {
	for _, tries := range []int{0, 300, 2000} {
		q := wholeDay(b, 10)
		q.Settings.Tries, q.Settings.Shortest = tries, 15*60 // as a day is planned
		b.Run(fmt.Sprintf("%d tries", tries), func(b *testing.B) {
			b.ReportAllocs()
			value := 0.0
			for b.Loop() {
				p, err := Day(b.Context(), q)
				if err != nil {
					b.Fatal(err)
				}
				value = p.Value
			}
			b.ReportMetric(value/1000, "value")
		})
	}
}

// The next drift from where the boat is: rides to everywhere, the worth of three
// hours, the starts, the best of them followed in nine winds and told. The wide
// lake is the same in 1.74 times its size, 1,700 ha.
func BenchmarkNext(b *testing.B) {
	for _, c := range []struct {
		name  string
		wide  bool
		turns bool
	}{{"turning wind", false, true}, {"steady wind", false, false}, {"1700 ha", true, true}} {
		q := wholeDay(b, 10)
		if c.wide {
			const by = 1.74
			q = wholeDay(b, 10/by)
			g := &q.Lake.Grid
			g.X0, g.Y0, g.Cell = g.X0*by, g.Y0*by, 10
			q.Home = orb.Point{q.Home[0] * by, q.Home[1] * by}
			q.Start, q.Lake.Places = q.Home, nil
		}
		q.Settings.Most = 1
		if !c.turns {
			for i := range q.Hours {
				q.Hours[i].From, q.Hours[i].Wind = q.Hours[0].From, q.Hours[0].Wind
			}
		}
		p := newPlanner(q)
		jetty, _ := p.a.launch(p.q.Home)
		p.a.motorFrom(jetty, &p.home)
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if d := p.fish(b.Context(), nil); len(d.drifts) != 1 {
					b.Fatal(d.stopped)
				}
			}
		})
	}
}

func BenchmarkScan(b *testing.B) {
	p := newPlanner(wholeDay(b, 10))
	jetty, _ := p.a.launch(p.q.Home)
	p.a.motorFrom(jetty, &p.home)
	b.ReportAllocs()
	for b.Loop() {
		p.scan(0, &p.home)
	}
}

func BenchmarkMotorFrom(b *testing.B) {
	p := newPlanner(wholeDay(b, 10))
	jetty, _ := p.a.launch(p.q.Home)
	b.ReportAllocs()
	for b.Loop() {
		p.a.motorFrom(jetty, &p.home)
	}
}

func BenchmarkGround(b *testing.B) {
	q := wholeDay(b, 10)
	b.ReportAllocs()
	for b.Loop() {
		newGround(q)
	}
}
