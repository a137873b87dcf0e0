package water_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/geodesy"
	"windlane/grid"
	"windlane/quantity"
	"windlane/water"
)

// sea is where every made-up water lies: open ocean.
var sea = geodesy.NewPlane(geodesy.Position{LonDeg: -30, LatDeg: 52})

// drawn makes an outline of rings in metres round the sea's origin.
func drawn(t testing.TB, rings ...orb.Ring) *water.Outline {
	t.Helper()
	var p orb.Polygon
	for _, r := range rings {
		var degrees orb.Ring
		for _, c := range r {
			at := sea.Position(c[0], c[1])
			degrees = append(degrees, orb.Point{at.LonDeg, at.LatDeg})
		}
		p = append(p, degrees)
	}
	return outline(t, string(water.EncodeShape(p)))
}

func circle(x, y, r float64) orb.Ring {
	var ring orb.Ring
	for n := range 256 {
		s, c := math.Sincos(2 * math.Pi * float64(n) / 256)
		ring = append(ring, orb.Point{x + r*c, y + r*s})
	}
	return append(ring, ring[0])
}

func rectangle(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// measured makes a soundings file of places in metres.
func measured(t testing.TB, xyd [][3]float64) *water.Soundings {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("lon,lat,depth_m,level_m\n")
	for _, s := range xyd {
		at := sea.Position(s[0], s[1])
		fmt.Fprintf(&b, "%.9f,%.9f,%.4f,0\n", at.LonDeg, at.LatDeg, s[2])
	}
	s, err := water.ReadSoundings("tracks.csv", &b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func survey(t testing.TB, o *water.Outline, s water.Settings, files ...*water.Soundings) *water.Water {
	t.Helper()
	w, err := water.Survey(o, files, s)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// rays is the exact distance from a place to today's shore toward each bearing.
func rays(w *water.Water, x, y float64, from ...float64) []float64 {
	shore := w.ShoreAt()
	var out []float64
	for _, deg := range from {
		out = append(out, grid.Ray(shore, orb.Point{x, y}, deg*math.Pi/180))
	}
	return out
}

// onSea finds a place of the sea's plane on the water's own.
func onSea(w *water.Water, x, y float64) (float64, float64) { return w.Plane.XY(sea.Position(x, y)) }

// A cone has closed forms: depth falls evenly to the middle, its shore at any
// drawdown is a circle, its fetch a chord.
func TestConeClosedForms(t *testing.T) {
	const r, deep = 600.0, 12.0
	depth := func(x, y float64) float64 { return deep * (1 - math.Hypot(x, y)/r) }
	var at [][3]float64
	for x := -600.0; x <= 600; x += 15 {
		for y := -600.0; y <= 600; y += 15 {
			if d := depth(x, y); d > 0.3 {
				at = append(at, [3]float64{x, y, d})
			}
		}
	}
	full := survey(t, drawn(t, circle(0, 0, r)), water.Settings{Cell: 5}, measured(t, at))
	for _, p := range [][2]float64{{100, 0}, {-200, 200}, {0, -500}, {590, 0}} {
		x, y := onSea(full, p[0], p[1])
		if d, wet := full.Depth(x, y); !wet || math.Abs(float64(d)-depth(p[0], p[1])) > 0.1 {
			t.Errorf("depth at %v: %v, %v; want %v", p, d, wet, depth(p[0], p[1]))
		}
		if !full.Sounded(x, y) {
			t.Errorf("%v is not sounded", p)
		}
	}
	if x, y := onSea(full, 610, 0); full.Sounded(x+100, y) {
		t.Error("land 100 m off is sounded")
	}
	for _, drawdown := range []float64{0, 1, 3, 8} {
		w, err := full.At(drawdown)
		if err != nil {
			t.Fatal(err)
		}
		left := r * (1 - drawdown/deep)
		want := math.Pi * left * left
		if got := w.Area(); math.Abs(got/want-1) > 0.01 {
			t.Errorf("drawn down %v m: %.0f m², want %.0f", drawdown, got, want)
		}
		shore := w.ShoreAt()
		if got := planar.Area(shore); len(shore) != 1 || len(shore[0]) != 1 || math.Abs(got/want-1) > 0.01 {
			t.Errorf("drawn down %v m: a shore round %.0f m², want %.0f", drawdown, got, want)
		}
		x, y := onSea(w, 100, 0)
		if d, _ := w.Depth(x, y); math.Abs(float64(d)-(depth(100, 0)-drawdown)) > 0.1 {
			t.Errorf("drawn down %v m: depth %v at (100, 0)", drawdown, d)
		}
		if got := rays(w, x, y, 90, 270); math.Abs(got[0]-(left-100)) > 6 || math.Abs(got[1]-(left+100)) > 6 {
			t.Errorf("drawn down %v m: %v m east and west, want %v and %v", drawdown, got, left-100, left+100)
		}
		k, _ := w.Grid.Index(x, y)
		dst := make([]float32, w.Grid.Len())
		w.Fetch(quantity.FromDegrees(90), dst)
		if math.Abs(float64(dst[k])-(left-100)) > 8 {
			t.Errorf("drawn down %v m: a fetch of %v m, want %v", drawdown, dst[k], left-100)
		}
		if d := w.ShoreDistance()[k]; math.Abs(float64(d)-(left-100)) > 10 {
			t.Errorf("drawn down %v m: %v m to the shore, want %v", drawdown, d, left-100)
		}
		if d := w.Depths()[k]; math.Abs(float64(d)-(depth(100, 0)-drawdown)) > 0.15 {
			t.Errorf("drawn down %v m: the field says %v", drawdown, d)
		}
	}
	x, y := onSea(full, 590, 0)
	low, _ := full.At(3)
	if d, wet := low.Depth(x, y); wet || d != 0 {
		t.Errorf("the dry bank is %v deep", d)
	}
	if full.Drawdown != 0 || full.Area() < 1.1e6 {
		t.Error("drawing down changed the water it was asked of")
	}
	// The cone's slope is 0.02, below any drop-off; its point stands out by nothing.
	k, _ := full.Grid.Index(onSea(full, 200, 200))
	if s := full.DropOff()[k]; s != 0 {
		t.Errorf("an even bed is a drop-off of %v", s)
	}
	for _, bad := range []float64{-1, math.NaN(), 12.5, math.Inf(1)} {
		if _, err := full.At(bad); err == nil || !strings.Contains(err.Error(), "drawdown") {
			t.Errorf("drawn down %v m: %v", bad, err)
		}
	}
}

// A trough with an island that joins the shore when drawn down, a shelf with an
// edge, and a mound.
func TestDropOffMoundAndIslands(t *testing.T) {
	bed := func(x, y float64) float64 {
		d := 6.0
		if x > 0 {
			d = min(6+0.1*x, 10) // an edge of slope 0.1 from 0 to 40 m east
		}
		d -= 3 * math.Exp(-(math.Pow(x+300, 2)+math.Pow(y, 2))/(2*20*20)) // a mound 3 m high
		return min(d, 0.2*min(600-math.Abs(x), 400-math.Abs(y)))          // banks of 1 in 5
	}
	var at [][3]float64
	for x := -597.0; x < 600; x += 6 {
		for y := -397.0; y < 400; y += 6 {
			at = append(at, [3]float64{x, y, bed(x, y)})
		}
	}
	w := survey(t, drawn(t, rectangle(-600, -400, 600, 400)), water.Settings{Cell: 5, Block: 5}, measured(t, at))
	drop, mound := w.DropOff(), w.Mounds()
	look := func(field []float32, x, y float64) float64 {
		k, _ := w.Grid.Index(onSea(w, x, y))
		return float64(field[k])
	}
	if got := look(drop, 20, 100); math.Abs(got-0.6) > 0.1 { // (0.10 - 0.04) / 0.10
		t.Errorf("drop-off %v on the edge, want 0.6", got)
	}
	if got := look(drop, 200, 100); got != 0 {
		t.Errorf("drop-off %v on the flat", got)
	}
	if got := look(drop, 0, 395); got != 1 {
		t.Errorf("drop-off %v on the bank, want 1", got)
	}
	if got := look(mound, -300, 0); got < 1.5 || got > 3 {
		t.Errorf("the mound stands %v m out", got)
	}
	if got := look(mound, 200, 100); math.Abs(got) > 0.05 {
		t.Errorf("the flat stands %v m out", got)
	}
	// Where the bank is too steep for the cells, the shore stays where it was.
	if high, err := w.At(0.3); err != nil || math.Abs(planar.Area(high.ShoreAt())/high.Area()-1) > 0.01 || len(high.ShoreAt()) != 1 {
		t.Errorf("drawn down 0.3 m: %v, %.0f m² in cells, %.0f within the shore", err, high.Area(), planar.Area(high.ShoreAt()))
	}
	low, err := w.At(4) // the mound's top, 3 m deep, is an island
	if err != nil {
		t.Fatal(err)
	}
	shore := low.ShoreAt()
	if len(shore) != 1 || len(shore[0]) != 2 || shore[0][0].Orientation() != orb.CCW || shore[0][1].Orientation() != orb.CW {
		t.Fatalf("drawn down to the mound: %d waters", len(shore))
	}
	x, y := onSea(w, -300, 0)
	if _, wet := low.Depth(x, y); wet || grid.Contains(shore, orb.Point{x, y}) {
		t.Error("the mound's top is still wet")
	}
	none := survey(t, drawn(t, rectangle(0, 0, 900, 900)), water.Settings{})
	if none.DropOff() != nil || none.Mounds() != nil {
		t.Error("a bed nobody knows has features")
	}
}

// An invented bed, sounded as a boat would: tracks 60 m apart, noise of 0.06 m
// and 0.6 %, one false bottom in 250. Prototype on another invented bed: 0.26 m
// with the spike filter, 0.36 without (docs/models/water.md).
func TestSurveyOfTracks(t *testing.T) {
	bed := func(x, y float64) float64 {
		d := 14 - 5e-6*(x*x+3*y*y) + 2*math.Sin(x/210)*math.Cos(y/160)
		d -= 3 * math.Exp(-(math.Pow(x-400, 2)+math.Pow(y+150, 2))/(2*60*60))
		return min(d, 0.08*(1000-math.Hypot(x, 1.6*y)))
	}
	var ring orb.Ring
	for n := range 400 {
		s, c := math.Sincos(2 * math.Pi * float64(n) / 400)
		ring = append(ring, orb.Point{1000 * c, 1000 / 1.6 * s})
	}
	ring = append(ring, ring[0])
	r := rand.New(rand.NewPCG(7, 8))
	var at [][3]float64
	for x := -990.0; x < 1000; x += 60 {
		for y := -700.0; y < 700; y += 4 {
			if d := bed(x, y); d > 0.5 {
				d = max(d*(1+0.006*r.NormFloat64())+0.06*r.NormFloat64(), 0)
				if r.IntN(250) == 0 {
					d *= 0.3 + 0.3*r.Float64()
				}
				at = append(at, [3]float64{x + 1.5*r.NormFloat64(), y, d})
			}
		}
	}
	o := drawn(t, append(ring, ring[0]))
	file := measured(t, at)
	rms := func(s water.Settings) (float64, *water.Water) {
		w := survey(t, o, s, file)
		sum, n := 0.0, 0
		for k, in := range w.Wet() {
			if in {
				x, y := sea.XY(w.Plane.Position(w.Grid.Centre(k)))
				sum, n = sum+math.Pow(float64(w.Full[k])-max(bed(x, y), 0), 2), n+1
			}
		}
		return math.Sqrt(sum / float64(n)), w
	}
	filtered, w := rms(water.Settings{Cell: 5})
	raw, _ := rms(water.Settings{Cell: 5, KeepSpikes: true})
	t.Logf("%d soundings: off by %.3f m, %.3f m with false bottoms left in", len(at), filtered, raw)
	if filtered > 0.2 || raw < filtered+0.02 {
		t.Errorf("off by %.3f m, %.3f m with false bottoms left in", filtered, raw)
	}
	if !strings.Contains(strings.Join(w.Remarks, "; "), "false bottoms, left out: ") {
		t.Errorf("remarks %q do not count the false bottoms", w.Remarks)
	}
	for k, d := range w.Full {
		if w.Wet()[k] != (d == d) || d < 0 || d > 20 {
			t.Fatalf("cell %d is %v deep", k, d)
		}
	}
	again, _ := rms(water.Settings{Cell: 5})
	if again != filtered {
		t.Error("the same files gave another bed")
	}
}

// A bay in which nobody sounded: triangles between its banks alone would make it
// flat at depth 0.
func TestUnsoundedBayIsNotFlat(t *testing.T) {
	// 1200 by 800 m, and a bay 150 m wide and 500 m long running east.
	ring := orb.Ring{{0, 0}, {1200, 0}, {1200, 300}, {1700, 300}, {1700, 450}, {1200, 450}, {1200, 800}, {0, 800}, {0, 0}}
	var at [][3]float64
	for x := 20.0; x < 1190; x += 40 {
		for y := 10.0; y < 800; y += 5 {
			at = append(at, [3]float64{x, y, min(8, 0.1*min(x, y, 800-y, max(1200-x, 20)))})
		}
	}
	o := drawn(t, ring)
	w := survey(t, o, water.Settings{Cell: 5}, measured(t, at))
	for _, x := range []float64{1300, 1450, 1650} {
		px, py := onSea(w, x, 375)
		d, wet := w.Depth(px, py)
		if !wet || d < 0.5 || d > 8 {
			t.Errorf("%v m into the bay it is %v m deep", x-1200, d)
		}
		if w.Sounded(px, py) {
			t.Errorf("%v m into the bay it counts as sounded", x-1200)
		}
	}
	low, err := w.At(0.5)
	if err != nil {
		t.Fatal(err)
	}
	if px, py := onSea(w, 1450, 375); !grid.Contains(low.ShoreAt(), orb.Point{px, py}) {
		t.Error("half a metre of drawdown dries the bay")
	}
	// The shore itself stays at 0, and what was sounded is not touched.
	if d, _ := w.Depth(onSea(w, 1450, 302)); d > 0.5 {
		t.Errorf("the bay is %v deep at its bank", d)
	}
	if d, _ := w.Depth(onSea(w, 600, 400)); math.Abs(float64(d)-8) > 0.1 {
		t.Errorf("the middle is %v deep, want 8", d)
	}
}

func TestSurveyWithoutSoundings(t *testing.T) {
	w := survey(t, drawn(t, rectangle(0, 0, 1500, 1000), rectangle(500, 400, 700, 600)), water.Settings{Drawdown: 2})
	if w.HasDepths() || w.Full != nil || w.Gap != nil || w.Drawdown != 2 {
		t.Error("depths out of nowhere")
	}
	if !strings.Contains(strings.Join(w.Remarks, "; "), "depths are unknown") {
		t.Errorf("remarks %q do not say that depths are unknown", w.Remarks)
	}
	x, y := onSea(w, 250, 500)
	if d, wet := w.Depth(x, y); !wet || !math.IsNaN(float64(d)) || w.Sounded(x, y) {
		t.Errorf("depth %v, wet %v; want an unknown depth on the water", d, wet)
	}
	if _, wet := w.Depth(onSea(w, 600, 500)); wet {
		t.Error("the island is wet")
	}
	if math.Abs(w.Area()/(1500*1000-200*200)-1) > 1e-6 {
		t.Errorf("area %v", w.Area())
	}
	if got := rays(w, x, y, 90, 0); math.Abs(got[0]-250) > 0.5 || math.Abs(got[1]-500) > 0.5 {
		t.Errorf("rays %v, want 250 (the island) and 500", got)
	}
	for _, d := range w.Depths() {
		if d == d {
			t.Fatal("the depth field holds a depth")
		}
	}
	if w.Grid.Cell != 10 || survey(t, drawn(t, rectangle(0, 0, 500, 500)), water.Settings{}).Grid.Cell != 5 {
		t.Error("the cell should be 10 m, and 5 m on a small water")
	}
}

func TestSurveyRefuses(t *testing.T) {
	o := drawn(t, rectangle(0, 0, 1500, 1000))
	small := drawn(t, rectangle(0, 0, 3, 3))
	file := func(text string) *water.Soundings {
		s, err := water.ReadSoundings("depths.csv", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for _, c := range []struct {
		name  string
		o     *water.Outline
		s     water.Settings
		files []*water.Soundings
		want  string
	}{
		{"other continent", o, water.Settings{}, []*water.Soundings{file("lon,lat,depth_m\n140,-30,4\n140,-30.1,5\n")}, "none of its 2 soundings lies on the water, the nearest is 17427 km"},
		{"next valley", o, water.Settings{}, []*water.Soundings{file("lon,lat,depth_m\n-29.9,52,4\n")}, "depths.csv: none of its 1 soundings lies on the water, the nearest is 61"},
		{"swapped", o, water.Settings{}, []*water.Soundings{file("lon,lat,depth_m\n52.004,-29.99,4\n")}, "swapped"},
		{"negative drawdown", o, water.Settings{Drawdown: -1}, nil, "drawdown is -1 m: allowed is 0"},
		{"large cell", o, water.Settings{Cell: 500}, nil, "cell is 500 m: allowed is 1 to 100 m"},
		{"NaN", o, water.Settings{Block: math.NaN()}, nil, "block is NaN"},
		{"trust", o, water.Settings{Trust: -3}, nil, "trust is -3 m"},
		{"too fine", drawn(t, rectangle(0, 0, 50_000, 50_000)), water.Settings{Cell: 5}, nil, "set 26 m or more"},
		{"no soundings in it", o, water.Settings{}, []*water.Soundings{{Name: "depths.csv"}}, "depths.csv: holds no sounding"},
		{"tiny", small, water.Settings{Cell: 50}, nil, "set a smaller cell"},
	} {
		if _, err := water.Survey(c.o, c.files, c.s); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	// The shore itself decides, not the cells: 2 m inside, 2 m outside.
	near := survey(t, drawn(t, rectangle(0, 0, 1500, 1000)), water.Settings{Cell: 10}, measured(t, [][3]float64{{2, 500, 3}, {-2, 500, 3}, {1498, 503, 3}, {1502, 503, 3}}))
	if said := strings.Join(near.Remarks, "; "); !strings.Contains(said, "left out: 2 of 4") || !strings.Contains(said, "% of the water, where the bed is guessed") {
		t.Errorf("remarks %q", near.Remarks)
	}
	// The same where the middle of the cell at the shore lies on the water.
	near = survey(t, drawn(t, rectangle(0, 0, 1514, 1000)), water.Settings{Cell: 10}, measured(t, [][3]float64{{2, 500, 3}, {-2, 500, 3}, {1512, 503, 3}, {1516, 503, 3}}))
	if said := strings.Join(near.Remarks, "; "); !strings.Contains(said, "left out: 2 of 4") {
		t.Errorf("remarks %q", said)
	}
	one := survey(t, o, water.Settings{}, measured(t, [][3]float64{{700, 500, 9}}))
	if d, wet := one.Depth(onSea(one, 700, 500)); !wet || math.Abs(float64(d)-9) > 0.3 {
		t.Errorf("a single sounding of 9 m gives %v", d)
	}
	// Some off the water: left out and counted.
	w := survey(t, o, water.Settings{}, file("lon,lat,depth_m\n-29.99,52.004,4\n-29.985,52.004,5\n-29.9,52,4\n140,-30,3\n"))
	if !strings.Contains(strings.Join(w.Remarks, "; "), "soundings outside the outline, left out: 2 of 4") {
		t.Errorf("remarks %q", w.Remarks)
	}
	if d, _ := w.Depth(w.Plane.XY(geodesy.Position{LonDeg: -29.99, LatDeg: 52.004})); math.Abs(float64(d)-4) > 0.2 {
		t.Errorf("depth %v at a sounding of 4 m", d)
	}
}

// Reference: refdata/water/soundings_small.csv, invented, taken at -0.60 m. Each
// tenth sounding is held back and must be met by the bed of the others.
func TestSmallLake(t *testing.T) {
	o := outlineFile(t, "lake_small.geojson")
	raw, err := os.ReadFile("../refdata/water/soundings_small.csv")
	if err != nil {
		t.Fatal(err)
	}
	file, err := water.ReadSoundings("soundings_small.csv", bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	if len(file.List) < 5000 || math.Abs(file.List[0].Depth-1.34) > 1e-9 { // 0.74 m at -0.60
		t.Fatalf("%d soundings, the first %v", len(file.List), file.List[0])
	}
	kept := &water.Soundings{Name: file.Name}
	var held []water.Sounding
	for i, s := range file.List {
		if i%10 == 5 {
			held = append(held, s)
		} else {
			kept.List = append(kept.List, s)
		}
	}
	w := survey(t, o, water.Settings{}, kept)
	if math.Abs(w.Area()/1e4-57.7) > 0.2 {
		t.Errorf("%.2f ha, want 57.7", w.Area()/1e4)
	}
	var off []float64
	for _, s := range held {
		if d, wet := w.Depth(w.Plane.XY(s.At)); wet {
			off = append(off, math.Abs(float64(d)-s.Depth))
		}
	}
	slices.Sort(off)
	median, p90 := off[len(off)/2], off[len(off)*9/10]
	t.Logf("%d held back: half within %.3f m, nine tenths within %.3f m", len(off), median, p90)
	if len(off) < len(held)*9/10 || median > 0.15 || p90 > 0.45 {
		t.Errorf("%d of %d on the water: half within %.3f m, nine tenths within %.3f m", len(off), len(held), median, p90)
	}
	for _, remark := range w.Remarks {
		t.Log(remark)
	}
}

// Any machine makes the same bed: one diagonal taken the other way would show
// here. The sum is our own, of 25 November 2026; it changes with the method.
func TestSameBedEverywhere(t *testing.T) {
	raw, err := os.ReadFile("../refdata/water/soundings_small.csv")
	if err != nil {
		t.Fatal(err)
	}
	file, err := water.ReadSoundings("soundings_small.csv", bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	var lattice [][3]float64 // squares have two diagonals
	for x := 20.0; x < 1000; x += 20 {
		for y := 20.0; y < 1000; y += 20 {
			lattice = append(lattice, [3]float64{x, y, 5 + math.Abs(math.Remainder(7*x+11*y, 400))/100})
		}
	}
	for _, c := range []struct {
		name string
		w    *water.Water
		want float64
	}{
		{"small lake", survey(t, outlineFile(t, "lake_small.geojson"), water.Settings{}, file), 184886.1200314},
		{"lattice", survey(t, drawn(t, rectangle(0, 0, 1000, 1000)), water.Settings{Cell: 7, Block: 1}, measured(t, lattice)), 117602.1041757},
	} {
		sum := 0.0
		for _, d := range c.w.Full {
			if d == d {
				sum += float64(d)
			}
		}
		if math.Abs(sum/c.want-1) > 1e-9 {
			t.Errorf("%s: the depths add up to %.7f, not %.7f", c.name, sum, c.want)
		}
	}
}

// An outline of 200 000 corners comes in whole, and is surveyed like any other.
func TestOutlineOfManyCorners(t *testing.T) {
	const n = 200_000
	ring := make(orb.Ring, n, n+1)
	for i := range ring {
		a := 2 * math.Pi * float64(i) / n
		r := 900*(1+0.2*math.Sin(3*a)) + 3*math.Sin(900*a)
		ring[i] = orb.Point{r * math.Cos(a), r * math.Sin(a)}
	}
	o := drawn(t, append(ring, ring[0]))
	if got := len(o.Shore[0][0]); got != n+1 || len(o.Remarks) != 0 {
		t.Fatalf("%d corners, remarks %q", got, o.Remarks)
	}
	w := survey(t, o, water.Settings{Cell: 10}, measured(t, [][3]float64{{0, 0, 9}, {100, 0, 9}, {0, 100, 8}}))
	if want := math.Pi * 900 * 900 * (1 + 0.02); math.Abs(w.Area()/want-1) > 1e-4 { // (1/2)∫r² da
		t.Errorf("area %.0f m², want %.0f", w.Area(), want)
	}
}

func TestOutlineOfTooManyCorners(t *testing.T) {
	many := `{"type":"Polygon","coordinates":[[` + strings.Repeat("[-30,52],[-30.01,52],", 150_001) + "[-30,52.01],[-30,52]]]}"
	if _, err := water.ReadOutline("lake.geojson", strings.NewReader(many)); err == nil || !strings.Contains(err.Error(), "lake.geojson: has more than 300000 positions") {
		t.Errorf("%v", err)
	}
}

// Soundings that are all 0 are no bed.
func TestNoDepth(t *testing.T) {
	o := drawn(t, rectangle(0, 0, 900, 900))
	_, err := water.Survey(o, []*water.Soundings{measured(t, [][3]float64{{100, 100, 0}, {300, 300, 0}})}, water.Settings{})
	if err == nil || !strings.Contains(err.Error(), "tracks.csv: all its 2 soundings are 0 deep") {
		t.Errorf("%v", err)
	}
	// All on one line: a bed all the same, and a word about it.
	var line [][3]float64
	for x := 100.0; x < 800; x += 5 {
		line = append(line, [3]float64{x, x + 3*math.Sin(x), 6})
	}
	w := survey(t, o, water.Settings{}, measured(t, line))
	if said := strings.Join(w.Remarks, "; "); !strings.Contains(said, "all lie along one line") || w.NotSounded() < 0.7 {
		t.Errorf("remarks %q, %.2f not sounded", said, w.NotSounded())
	}
	if d, wet := w.Depth(onSea(w, 450, 450)); !wet || math.Abs(float64(d)-6) > 0.2 {
		t.Errorf("%v deep on the line", d)
	}
}

// The raster's fetch against exact rays on the medium lake, in twelve directions;
// the tolerance is that of refdata/water/fetch.json.
func TestFetchFieldAgainstRays(t *testing.T) {
	w := survey(t, outlineFile(t, "lake_medium.geojson"), water.Settings{Cell: 10})
	dst := make([]float32, w.Grid.Len())
	var off []float64
	for deg := 0; deg < 360; deg += 30 {
		from := quantity.FromDegrees(float64(deg))
		w.Fetch(from, dst)
		for k := 0; k < len(dst); k += 37 {
			if w.Wet()[k] {
				x, y := w.Grid.Centre(k)
				off = append(off, math.Abs(float64(dst[k])-grid.Ray(w.Shore, orb.Point{x, y}, float64(from))))
			}
		}
	}
	slices.Sort(off)
	if median, p95 := off[len(off)/2], off[len(off)*95/100]; len(off) < 10_000 || median > 3 || p95 > 12 {
		t.Errorf("%d compared: median %.2f m, 95 %% within %.2f m; want 3 and 12", len(off), median, p95)
	}
}

// 50 000 soundings along tracks, from the file to depths on a million cells.
func BenchmarkSurvey50kToMillion(b *testing.B) {
	o := drawn(b, circle(0, 0, 2800))
	var file bytes.Buffer
	file.WriteString("lon,lat,depth_m,level_m\n")
	r := rand.New(rand.NewPCG(9, 10))
	n := 0
	for x := -2790.0; x < 2800; x += 60 {
		for y := -2790.0; y < 2790; y += 8.2 {
			if math.Hypot(x, y) < 2790 {
				at := sea.Position(x+r.NormFloat64(), y+r.NormFloat64())
				fmt.Fprintf(&file, "%.7f,%.7f,%.2f,0\n", at.LonDeg, at.LatDeg, 8+4*math.Sin(x/300)*math.Cos(y/200)+0.06*r.NormFloat64())
				n++
			}
		}
	}
	read := func() *water.Soundings {
		s, err := water.ReadSoundings("tracks.csv", bytes.NewReader(file.Bytes()))
		if err != nil {
			b.Fatal(err)
		}
		return s
	}
	w := survey(b, o, water.Settings{Cell: 5}, read())
	b.Logf("%d soundings, %d cells, %d wet", n, w.Grid.Len(), len(slices.DeleteFunc(slices.Clone(w.Wet()), func(in bool) bool { return !in })))
	b.Run("read", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			read()
		}
	})
	b.Run("survey", func(b *testing.B) {
		s := read()
		b.ReportAllocs()
		for b.Loop() {
			survey(b, o, water.Settings{Cell: 5}, s)
		}
	})
	b.Run("fetch in 36 directions", func(b *testing.B) {
		dst := make([]float32, w.Grid.Len())
		b.ReportAllocs()
		for b.Loop() {
			for deg := range 36 {
				w.Fetch(quantity.FromDegrees(float64(10*deg)), dst)
			}
		}
	})
	b.Run("shoreline drawn down", func(b *testing.B) {
		low, err := w.At(6)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportAllocs()
		for b.Loop() {
			low.ShoreAt()
		}
	})
}

func BenchmarkReadOutline(b *testing.B) {
	raw, err := os.ReadFile("../refdata/water/lake_medium.geojson")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := water.ReadOutline("lake", bytes.NewReader(raw)); err != nil {
			b.Fatal(err)
		}
	}
}
