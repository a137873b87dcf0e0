package water_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

// dense sounds a bed every few metres, between shores.
func dense(t *testing.T, o *water.Outline, b orb.Bound, step float64, bed func(x, y float64) float64) *water.Water {
	var at [][3]float64
	for x := b.Min[0] + step/2; x < b.Max[0]; x += step {
		for y := b.Min[1] + step/2; y < b.Max[1]; y += step {
			if d := bed(x, y); d > 0 {
				at = append(at, [3]float64{x, y, d})
			}
		}
	}
	return survey(t, o, water.Settings{Cell: 5, Block: 1, Trust: 30}, measured(t, at))
}

// Planes, a cone, a step and a round mound have drop-off indices and rises in
// closed form.
func TestDropOffAndMoundsClosedForms(t *testing.T) {
	bound := orb.Bound{Min: orb.Point{-220, -220}, Max: orb.Point{220, 220}}
	square := drawn(t, rectangle(-220, -220, 220, 220))
	const sigma, high = 22.0, 3.0
	for _, c := range []struct {
		name   string
		bed    func(x, y float64) float64
		x, y   float64
		index  float64 // of the drop-off
		rise   float64
		within float64 // of the rise
	}{
		{"a plane of 0.09", func(x, _ float64) float64 { return 40 + 0.09*x }, 20, -30, 0.5, 0, 0.02},
		{"a plane of 0.04 by 0.03", func(x, y float64) float64 { return 40 + 0.04*x - 0.03*y }, 50, 20, 0.1, 0, 0.02},
		{"a plane of 0.2", func(x, _ float64) float64 { return 70 + 0.2*x }, 20, 30, 1, 0, 0.03},
		// Down a cone of 0.1 the mean over a square is a little deeper than its middle.
		{"a cone of 0.1", func(x, y float64) float64 { return 10 + 0.1*math.Hypot(x, y) }, 150, 0, 0.6, 0, 0.3},
		// Half the square stands 4 m deeper, but for the step's own cell.
		{"a step of 4 m", func(x, _ float64) float64 {
			if x < 0 {
				return 6
			}
			return 10
		}, -4, 0, 1, 4 * 0.5, 0.15},
		// The mean of a round mound over a square of 17 cells, 85 m.
		{"a mound", func(x, y float64) float64 { return 8 - high*math.Exp(-(x*x+y*y)/(2*sigma*sigma)) }, 0, 0, 0,
			high * (1 - math.Pow(sigma*math.Sqrt(2*math.Pi)*math.Erf(42.5/(sigma*math.Sqrt2))/85, 2)), 0.08},
	} {
		w := dense(t, square, bound, 5, c.bed)
		k, _ := w.Grid.Index(onSea(w, c.x, c.y))
		if got := float64(w.DropOff()[k]); math.Abs(got-c.index) > 0.05 {
			t.Errorf("%s: drop-off %.3f, want %.3f", c.name, got, c.index)
		}
		if got := float64(w.Mounds()[k]); math.Abs(got-c.rise) > c.within {
			t.Errorf("%s: rises %.3f m, want %.3f", c.name, got, c.rise)
		}
	}
}

// On a circle and a rectangle the distance to the shore and the fetch toward 36
// directions have closed forms, at full level and drawn down.
func TestDistanceAndFetchClosedForms(t *testing.T) {
	const r, deep = 500.0, 10.0
	cone := dense(t, drawn(t, circle(0, 0, r)), orb.Bound{Min: orb.Point{-r, -r}, Max: orb.Point{r, r}}, 12, func(x, y float64) float64 { return deep * (1 - math.Hypot(x, y)/r) })
	const a, b = 700.0, 400.0
	box := survey(t, drawn(t, rectangle(-a/2, -b/2, a/2, b/2)), water.Settings{Cell: 5})
	for _, c := range []struct {
		name     string
		w        *water.Water
		drawdown float64
		off      func(x, y float64) float64              // distance to the shore
		chord    func(x, y, east, north float64) float64 // fetch toward
	}{
		{"circle", cone, 0, func(x, y float64) float64 { return r - math.Hypot(x, y) }, chordOf(r)},
		{"circle drawn down 4 m", cone, 4, func(x, y float64) float64 { return 0.6*r - math.Hypot(x, y) }, chordOf(0.6 * r)},
		{"rectangle", box, 0, func(x, y float64) float64 { return min(a/2-math.Abs(x), b/2-math.Abs(y)) },
			func(x, y, east, north float64) float64 {
				return min((a/2-x*math.Copysign(1, east))/math.Abs(east), (b/2-y*math.Copysign(1, north))/math.Abs(north))
			}},
	} {
		w, err := c.w.At(c.drawdown)
		if err != nil {
			t.Fatal(err)
		}
		var distance, fetch []float64
		shore := w.ShoreDistance()
		places := map[int][2]float64{} // some cells, but for those whose centre lies a hair outside
		for k := 0; k < w.Grid.Len(); k += 11 {
			x, y := sea.XY(w.Plane.Position(w.Grid.Centre(k)))
			if w.Wet()[k] && c.off(x, y) >= 0 {
				places[k] = [2]float64{x, y}
				// Cells count from centre to centre: half a cell more.
				distance = append(distance, math.Abs(float64(shore[k])-w.Grid.Cell/2-c.off(x, y)))
			}
		}
		dst := make([]float32, w.Grid.Len())
		for deg := 0; deg < 360; deg += 10 {
			w.Fetch(quantity.FromDegrees(float64(deg)), dst)
			east, north := math.Sincos(float64(deg) * math.Pi / 180)
			for k, at := range places {
				fetch = append(fetch, math.Abs(float64(dst[k])-c.chord(at[0], at[1], east, north)))
			}
		}
		slices.Sort(distance)
		slices.Sort(fetch)
		if len(fetch) < 30_000 || fetch[len(fetch)/2] > 3 || fetch[len(fetch)*95/100] > 12 || distance[len(distance)*95/100] > 3.5 || distance[len(distance)-1] > 8 {
			t.Errorf("%s: %d fetches, half within %.1f m, 95 %% within %.1f; distances 95 %% within %.1f, all within %.1f", c.name, len(fetch),
				fetch[len(fetch)/2], fetch[len(fetch)*95/100], distance[len(distance)*95/100], distance[len(distance)-1])
		}
	}
}

func chordOf(r float64) func(x, y, east, north float64) float64 {
	return func(x, y, east, north float64) float64 {
		s := x*east + y*north
		return math.Sqrt(max(s*s+r*r-x*x-y*y, 0)) - s
	}
}

// Two basins with a sill between, and a jetty on a shelf. Drawn down, the sill and
// then the shelf fall dry, and everything that hangs on the level follows: shore,
// fetch, what is drifted and motored over, whether the jetty can be left.
func TestDrawdownReachesThePlan(t *testing.T) {
	bed := func(x, y float64) float64 {
		d := min(8, 0.1*min(900-math.Abs(x), 400-math.Abs(y)))
		d = min(d, 2.2+0.05*max(math.Abs(x-200)-20, 0)) // the sill, north to south
		if y < -330 {
			d = min(d, 3)
		}
		return d
	}
	o := drawn(t, rectangle(-900, -400, 900, 400))
	at := sea.Position(-500, -392)
	nan := math.NaN()
	o.Places = append(o.Places, water.Place{Kind: water.Jetty, Shape: orb.Point{at.LonDeg, at.LatDeg}, KeepOff: nan, Radius: nan, TopDepth: nan, DepthMin: nan, DepthMax: nan})
	full := dense(t, o, orb.Bound{Min: orb.Point{-900, -400}, Max: orb.Point{900, 400}}, 20, bed)
	clock := func(h int) time.Time { return time.Date(2026, 5, 14, h, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		drawdown float64
		status   plan.Status
		reason   string
		fetch    float64 // from the west at (600, 0)
	}{
		{0, plan.Whole, "", 1500},
		{1, plan.Whole, "", 1490},
		{1.9, plan.NothingReachable, "", 1481},
		{2.7, plan.NothingReachable, "the jetty cannot be left at this level", 373},
	} {
		w, err := full.At(c.drawdown)
		if err != nil {
			t.Fatal(err)
		}
		home, ok := plan.Landing(w)
		if !ok {
			t.Fatal("no jetty")
		}
		q := plan.Question{
			Lake: plan.Of(w, nil), From: clock(9), Until: clock(11), Start: home, Home: home,
			Boat:   plan.Boat{SetUps: []plan.SetUp{{Name: "bare", Motion: drift.Motion{Fraction: 0.05}, LeastDepth: plan.LeastDepth}}, Speed: 2},
			Limits: plan.DefaultLimits(), Settings: plan.DefaultSettings(),
		}
		worth := make([]float32, w.Grid.Len()) // only the basin beyond the sill is worth fishing
		for k := range worth {
			if x, _ := sea.XY(w.Plane.Position(w.Grid.Centre(k))); x > 300 {
				worth[k] = 1
			}
		}
		for h := 9; h <= 11; h++ {
			q.Hours = append(q.Hours, plan.Hour{At: clock(h), Wind: 4, Gust: 6, From: quantity.FromDegrees(270), FromSD: 0.1, SpeedSD: 0.1, Worth: worth})
		}
		p, err := plan.Day(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		if p.Status != c.status || !strings.Contains(p.Reason, c.reason) || (len(p.Drifts) > 0) != (c.status == plan.Whole) {
			t.Errorf("drawn down %v m: %s %q, %d drifts", c.drawdown, p.Status, p.Reason, len(p.Drifts))
		}
		for _, d := range p.Drifts {
			for _, pt := range d.Track {
				x, y := sea.XY(w.Plane.Position(pt.X, pt.Y))
				if today := bed(x, y) - c.drawdown; today < float64(plan.LeastDepth)-0.3 {
					t.Fatalf("drawn down %v m: drifts over %.2f m at %.0f, %.0f", c.drawdown, today, x, y)
				}
			}
		}
		k, _ := w.Grid.Index(onSea(w, 600, 0))
		dst := make([]float32, w.Grid.Len())
		w.Fetch(quantity.FromDegrees(270), dst)
		if math.Abs(float64(dst[k])-c.fetch) > 12 {
			t.Errorf("drawn down %v m: a fetch of %.0f m, want %.0f", c.drawdown, dst[k], c.fetch)
		}
		waters := 1
		if c.drawdown > 2.2 {
			waters = 2
		}
		if shore := w.ShoreAt(); len(shore) != waters {
			t.Errorf("drawn down %v m: %d waters, want %d", c.drawdown, len(shore), waters)
		}
	}
}
