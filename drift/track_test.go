package drift_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"windlane/drift"
	"windlane/quantity"
)

// The invented lakes' own projection (their GeoJSON's note): x = (lon+30) N
// cos(lat0), y = (lat−52) M, with the WGS 84 radii at latitude 52.
func lakeXY(lon, lat float64) orb.Point {
	const a, f, lat0 = 6378137.0, 1 / 298.257223563, 52 * math.Pi / 180
	e2 := f * (2 - f)
	w := math.Sqrt(1 - e2*math.Sin(lat0)*math.Sin(lat0))
	return orb.Point{(lon + 30) * math.Pi / 180 * a / w * math.Cos(lat0), (lat - 52) * math.Pi / 180 * a * (1 - e2) / (w * w * w)}
}

func mediumLake(t testing.TB) *drift.Shore {
	t.Helper()
	b, err := os.ReadFile("../refdata/drift/lake_medium.geojson")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Features []struct {
			Properties struct{ Kind string }
			Geometry   struct{ Coordinates json.RawMessage }
		}
	}
	if err := json.Unmarshal(b, &file); err != nil {
		t.Fatal(err)
	}
	for _, f := range file.Features {
		if f.Properties.Kind != "shoreline" {
			continue
		}
		var rings [][][2]float64
		if err := json.Unmarshal(f.Geometry.Coordinates, &rings); err != nil {
			t.Fatal(err)
		}
		var water orb.Polygon
		for _, ring := range rings {
			var r orb.Ring
			for _, p := range ring {
				r = append(r, lakeXY(p[0], p[1]))
			}
			water = append(water, r)
		}
		s, err := drift.NewShore(orb.MultiPolygon{water})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	t.Fatal("no shoreline in the file")
	return nil
}

func hourly(t testing.TB, name string) *drift.Wind {
	var rs []drift.Row
	tt, ok := t.(*testing.T)
	if !ok {
		w, err := drift.NewWind([]drift.Row{{T: 0, Speed: 5, From: quantity.FromDegrees(240)}, {T: 24 * 3600, Speed: 6, From: quantity.FromDegrees(260)}})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	for _, r := range rows(tt, "wind_"+name+".csv") {
		hour, _, _ := strings.Cut(r["hour_local"], ":")
		rs = append(rs, drift.Row{T: 3600 * num(tt, hour), Speed: num(tt, r["speed10_ms"]), From: quantity.FromDegrees(num(tt, r["dir_from_deg"]))})
	}
	w, err := drift.NewWind(rs)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// 48 drifts of an invented lake with islands, four days' winds, by another
// program (Euler steps of 1 s); its stated tolerances.
func TestReferenceTracks(t *testing.T) {
	b, err := os.ReadFile("../refdata/drift/drifts.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		ToleranceM float64 `json:"tolerance_m"`
		ToleranceS float64 `json:"tolerance_s"`
		Drifts     []struct {
			Fraction  float64      `json:"drift_fraction"`
			Duration  float64      `json:"duration_s"`
			End       [2]float64   `json:"end_xy"`
			StartHour float64      `json:"start_hour"`
			Start     [2]float64   `json:"start_xy"`
			LonLat    [2]float64   `json:"start_lonlat"`
			StoppedBy string       `json:"stopped_by"`
			Track     [][3]float64 `json:"track_min_x_y"`
			Wind      string
		}
	}
	if err := json.Unmarshal(b, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Drifts) != 48 || file.ToleranceM != 2 || file.ToleranceS != 15 {
		t.Fatalf("%d drifts, tolerances %v m and %v s", len(file.Drifts), file.ToleranceM, file.ToleranceS)
	}
	shore := mediumLake(t)
	worstM, worstS, stops := 0.0, 0.0, map[string]int{}
	for i, want := range file.Drifts {
		p := lakeXY(want.LonLat[0], want.LonLat[1])
		if math.Hypot(p[0]-want.Start[0], p[1]-want.Start[1]) > 0.05 {
			t.Fatalf("drift %d: the projection is not the file's", i)
		}
		points, end, err := drift.Run{
			Wind: hourly(t, want.Wind), Motion: drift.Motion{Fraction: want.Fraction}, X: want.Start[0], Y: want.Start[1],
			Start: 3600 * want.StartHour, Max: 3600, Margin: 40, Clear: shore.Clear,
		}.Track(nil)
		if err != nil {
			t.Fatalf("drift %d: %v", i, err)
		}
		if string(end.Reason) != want.StoppedBy {
			t.Errorf("drift %d ended by %s, want %s", i, end.Reason, want.StoppedBy)
		}
		stops[want.StoppedBy]++
		worstS = max(worstS, math.Abs(end.T-want.Duration))
		worstM = max(worstM, math.Hypot(end.X-want.End[0], end.Y-want.End[1]))
		if len(points) != int(end.T/60)+1 {
			t.Errorf("drift %d: %d points in %v s", i, len(points), end.T)
		}
		if len(want.Track) == 0 {
			t.Fatalf("drift %d has no track", i)
		}
		for _, q := range want.Track {
			if m := int(q[0]); m < len(points) {
				worstM = max(worstM, math.Hypot(points[m].X-q[1], points[m].Y-q[2]))
			}
		}
	}
	t.Logf("worst of %d drifts (%v): %.2f m, %.1f s", len(file.Drifts), stops, worstM, worstS)
	if worstM > file.ToleranceM || worstS > file.ToleranceS {
		t.Errorf("worst difference %.2f m, %.1f s", worstM, worstS)
	}
	if stops["time"] == 0 || stops["margin"] == 0 {
		t.Error("one reason was never seen")
	}
}

// box is a square lake of 1 km with an island of 100 m in the middle.
func box(t testing.TB) *drift.Shore {
	t.Helper()
	s, err := drift.NewShore(orb.MultiPolygon{{
		{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}, {0, 0}},
		{{450, 450}, {450, 550}, {550, 550}, {550, 450}}, // not closed, on purpose
	}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func steadyWind(t testing.TB, speed, from float64) *drift.Wind {
	t.Helper()
	w, err := drift.NewWind([]drift.Row{{T: 0, Speed: speed, From: quantity.FromDegrees(from)}, {T: 1e5, Speed: speed, From: quantity.FromDegrees(from)}})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestShoreDistance(t *testing.T) {
	s := box(t)
	for _, c := range []struct{ x, y, want float64 }{
		{100, 500, 100}, {440, 500, 10}, {500, 500, -50}, {-30, -40, -50}, {400, 400, math.Hypot(50, 50)}, {999, 1, 1},
		{500, 1200, -200}, {1200, 500, -200}, {-5, 500, -5},
	} {
		near(t, "clear", s.Clear(c.x, c.y), c.want, 1e-9)
	}
	// against every edge looked at in turn
	lake := mediumLake(t)
	for i := range 200 {
		x, y := 10+math.Mod(float64(i)*617.33, 4200), 10+math.Mod(float64(i)*311.7, 2300)
		d := lake.Clear(x, y)
		for k := range 8 { // no point of a circle of that radius lies on the other side
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			r := math.Abs(d) * 0.999
			if got := lake.Clear(x+r*sin, y+r*cos); got*d < 0 {
				t.Fatalf("(%v, %v): %v m to the shore, but it is crossed at %v m", x, y, d, r)
			}
		}
	}
	if _, err := drift.NewShore(nil); err == nil {
		t.Error("no rings: no error")
	}
}

func TestKnownTracks(t *testing.T) {
	run := drift.Run{Wind: steadyWind(t, 5, 270), Motion: drift.Motion{Fraction: 0.04}, X: 100, Y: 200, Max: 1800, Margin: 40, Clear: box(t).Clear}
	_, end, err := run.Track(nil)
	if err != nil || end.Reason != drift.ByTime {
		t.Fatalf("%v %v", end, err)
	}
	near(t, "end x", end.X, 460, 1e-9)
	near(t, "end y", end.Y, 200, 1e-9)

	run.Max = 5000 // 1000 − 40 − 100 = 860 m at 0.2 m/s
	points, end, _ := run.Track(nil)
	if end.Reason != drift.ByMargin || len(points) != 72 {
		t.Fatalf("%v, %d points", end, len(points))
	}
	near(t, "margin after", end.T, 4300, 1e-4)

	run.Margin = 0
	_, end, _ = run.Track(nil)
	if end.Reason != drift.ByShore {
		t.Fatalf("%v", end)
	}
	near(t, "ashore after", end.T, 4500, 1e-4)

	run.Y, run.Margin = 500, 40 // onto the island
	_, end, _ = run.Track(nil)
	if end.Reason != drift.ByMargin {
		t.Fatalf("%v", end)
	}
	near(t, "island margin at", end.X, 410, 1e-4)

	run.Motion.Slip, run.Y = math.Pi/2, 900 // right of downwind: south
	_, end, _ = run.Track(nil)
	near(t, "slip to the right", end.X, 100, 1e-6)
	near(t, "slip ends at", end.Y, 40, 1e-3)

	run.X, run.Y = 20, 500
	points, end, err = run.Track(nil)
	if err != nil || end.Reason != drift.ByMargin || end.T != 0 || len(points) != 1 {
		t.Errorf("inside the margin: %v, %d points, %v", end, len(points), err)
	}
	for _, p := range [][2]float64{{500, 500}, {-1, 20}} {
		run.X, run.Y = p[0], p[1]
		if _, _, err := run.Track(nil); !errors.Is(err, drift.ErrOnLand) {
			t.Errorf("start at %v: %v", p, err)
		}
	}
	run.X, run.Y, run.Start = 100, 200, 9.9e4
	if _, _, err := run.Track(nil); err == nil || !strings.Contains(err.Error(), "cover") {
		t.Errorf("past the wind's last row: %v", err)
	}
	run.Start, run.Max = 0, math.NaN()
	if _, _, err := run.Track(nil); err == nil {
		t.Error("NaN s: no error")
	}
}

// The wind across north goes the short way, as a vector, and its run is the
// integral of At.
func TestWindIsAVector(t *testing.T) {
	w, err := drift.NewWind([]drift.Row{{T: 0, Speed: 4, From: quantity.FromDegrees(350)}, {T: 3600, Speed: 4, From: quantity.FromDegrees(30)}})
	if err != nil {
		t.Fatal(err)
	}
	e, n := w.At(1800)
	near(t, "half way from", quantity.TowardVector(e, n).From().Degrees(), 10, 1e-9)
	near(t, "half way speed", math.Hypot(e, n), 4*math.Cos(20*deg), 1e-12)
	rapid.Check(t, func(t *rapid.T) {
		var rs []drift.Row
		at := 0.0
		for range rapid.IntRange(1, 5).Draw(t, "rows") {
			at += rapid.Float64Range(60, 4000).Draw(t, "gap")
			rs = append(rs, drift.Row{T: at, Speed: rapid.Float64Range(0, 15).Draw(t, "speed"), From: quantity.From(rapid.Float64Range(0, 6.28).Draw(t, "from"))})
		}
		w, err := drift.NewWind(rs)
		if err != nil {
			t.Fatal(err)
		}
		from := rapid.Float64Range(-2000, at+2000).Draw(t, "a")
		to := from + rapid.Float64Range(0, 3000).Draw(t, "b")
		const n = 3000
		var se, sn float64
		for i := range n {
			e, north := w.At(from + (to-from)*(float64(i)+0.5)/n)
			se, sn = se+e*(to-from)/n, sn+north*(to-from)/n
			if math.Hypot(e, north) > w.Strongest(from, to)+1e-9 {
				t.Fatalf("%v m/s is over the strongest, %v", math.Hypot(e, north), w.Strongest(from, to))
			}
		}
		e0, n0 := w.Run(from)
		e1, n1 := w.Run(to)
		// at a row the middle rule errs by up to the step² × the bend
		if step := (to - from) / n; math.Hypot(e1-e0-se, n1-n0-sn) > 0.01+5*step*step {
			t.Fatalf("run (%v, %v), integral (%v, %v)", e1-e0, n1-n0, se, sn)
		}
	})
	for name, bad := range map[string][]drift.Row{
		"none": nil, "order": {{T: 5}, {T: 5}}, "speed": {{Speed: -1}}, "NaN": {{Speed: math.NaN()}}, "direction": {{From: quantity.From(math.Inf(1))}},
	} {
		if _, err := drift.NewWind(bad); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// Laws of any track on the lake: it keeps the margin, ends in time, its points
// stand at whole minutes, and a track ended by the margin lies on it.
func TestTrackLaws(t *testing.T) {
	shore := mediumLake(t)
	rapid.Check(t, func(t *rapid.T) {
		w, err := drift.NewWind([]drift.Row{
			{T: 0, Speed: rapid.Float64Range(0, 14).Draw(t, "speed"), From: quantity.From(rapid.Float64Range(0, 6.28).Draw(t, "from"))},
			{T: 7200, Speed: rapid.Float64Range(0, 14).Draw(t, "later"), From: quantity.From(rapid.Float64Range(0, 6.28).Draw(t, "later from"))},
		})
		if err != nil {
			t.Fatal(err)
		}
		run := drift.Run{
			Wind: w, Motion: drift.Motion{Fraction: rapid.Float64Range(0.02, 0.08).Draw(t, "fraction"), Slip: rapid.Float64Range(-0.4, 0.4).Draw(t, "slip")},
			X: rapid.Float64Range(0, 4200).Draw(t, "x"), Y: rapid.Float64Range(0, 2300).Draw(t, "y"),
			Max: rapid.Float64Range(0, 7200).Draw(t, "max"), Margin: rapid.Float64Range(0, 60).Draw(t, "margin"), Clear: shore.Clear,
		}
		points, end, err := run.Track(nil)
		if errors.Is(err, drift.ErrOnLand) {
			if shore.Clear(run.X, run.Y) > 0 {
				t.Fatal("on the water, said to be on land")
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range points {
			if p.T != 60*float64(i) || p.T > end.T {
				t.Fatalf("point %d at %v s, end %v", i, p.T, end.T)
			}
			if end.T > 0 && p.T < end.T && shore.Clear(p.X, p.Y) < run.Margin-0.5 {
				t.Fatalf("%v m from the shore at %v s", shore.Clear(p.X, p.Y), p.T)
			}
		}
		switch end.Reason {
		case drift.ByTime:
			if end.T != run.Max {
				t.Fatalf("ended by time at %v of %v", end.T, run.Max)
			}
		case drift.ByMargin, drift.ByShore:
			if end.T > 0 && math.Abs(shore.Clear(end.X, end.Y)-run.Margin) > 0.5 {
				t.Fatalf("ended by %s %v m from the shore, margin %v", end.Reason, shore.Clear(end.X, end.Y), run.Margin)
			}
			if (end.Reason == drift.ByShore) != (run.Margin == 0) {
				t.Fatalf("%s with margin %v", end.Reason, run.Margin)
			}
		default:
			t.Fatalf("reason %q", end.Reason)
		}
	})
}

func TestTrackAllocatesNothing(t *testing.T) {
	run := drift.Run{Wind: steadyWind(t, 5, 270), Motion: drift.Motion{Fraction: 0.04}, X: 100, Y: 200, Max: 5000, Margin: 40, Clear: box(t).Clear}
	dst := make([]drift.Point, 0, 200)
	if n := testing.AllocsPerRun(50, func() { dst, _, _ = run.Track(dst[:0]) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkTrack(b *testing.B) {
	run := drift.Run{Wind: hourly(b, ""), Motion: drift.Motion{Fraction: 0.0635}, X: 500, Y: 1000, Start: 9 * 3600, Max: 3600, Margin: 40, Clear: mediumLake(b).Clear}
	dst := make([]drift.Point, 0, 200)
	b.ReportAllocs()
	for b.Loop() {
		dst, _, _ = run.Track(dst[:0])
	}
}

func BenchmarkPath(b *testing.B) {
	w, m := hourly(b, ""), drift.Motion{Fraction: 0.0635, Slip: 0.1}
	b.ReportAllocs()
	for b.Loop() {
		m.Path(w, 1000, 2000)
	}
}
