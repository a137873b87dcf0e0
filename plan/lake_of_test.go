package plan

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"windlane/water"
)

func surveyed(t *testing.T) *water.Water {
	t.Helper()
	f, err := os.Open("../refdata/drift/lake_medium.geojson")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	o, err := water.ReadOutline("lake_medium.geojson", f)
	if err != nil {
		t.Fatal(err)
	}
	w, err := water.Survey(o, nil, water.Settings{Cell: 10})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A lake as its file has it, nothing known of its bed: a plan all the same,
// that says of no depth that it is known.
func TestLakeWithoutSoundings(t *testing.T) {
	w := surveyed(t)
	l := Of(w, nil)
	q := wholeDay(t, 10)
	worth := everywhere(l, func(_, _ float64) float64 { return 1 })
	q.Lake, q.Fished = l, nil
	for _, p := range w.Places {
		if p.Kind == water.Jetty {
			q.Start = p.Shape.Bound().Center()
			q.Home = q.Start
		}
	}
	for i := range q.Hours {
		q.Hours[i].Worth = worth
	}
	q.Until = clock(12, 0)
	p := mustPlan(t, q)
	if len(p.Drifts) == 0 || p.Status != Whole {
		t.Fatalf("%s %q", p.Status, p.Reason)
	}
	for _, d := range p.Drifts {
		for _, pt := range d.Track {
			if pt.Sounded || !math.IsNaN(float64(pt.Depth)) {
				t.Fatalf("a depth is said to be known: %+v", pt)
			}
		}
		if d.Stop.Landmark == "" {
			t.Error("no landmark")
		}
	}
}

// What a place's kind means to a boat.
func TestPlacesOfTheLake(t *testing.T) {
	kinds := map[string][]Place{}
	for _, p := range Of(surveyed(t), nil).Places {
		kinds[p.Kind] = append(kinds[p.Kind], p)
	}
	if len(kinds["shoreline"]) != 0 || len(kinds["no_go"]) == 0 {
		t.Fatalf("%d shorelines, %d zones", len(kinds["shoreline"]), len(kinds["no_go"]))
	}
	for kind, want := range map[string][2]float64{"no_go": {30, 5}, "bank_angler": {68, 50}, "buoy_line": {15, 5}, "weed_bed": {0, 0}, "jetty": {0, 0}} {
		for _, p := range kinds[kind] {
			if p.KeepOff != want[0] || p.MotorOff != want[1] {
				t.Errorf("%s: off %v and %v m, want %v", kind, p.KeepOff, p.MotorOff, want)
			}
		}
	}
	if len(kinds["sunken_island"]) == 0 || kinds["sunken_island"][0].Radius < 10 {
		t.Errorf("sunken islands %+v", kinds["sunken_island"])
	}
	if p := placed(water.Place{Kind: "tower", KeepOff: math.NaN(), Radius: math.NaN()}); !p.Landmark || p.KeepOff != 0 || p.Radius != 0 {
		t.Errorf("tower %+v", p)
	}
	if p := placed(water.Place{Kind: water.WeedBed, KeepOff: 40, NoDrift: true, Radius: math.NaN()}); p.KeepOff != 40 || p.MotorOff != 40 {
		t.Errorf("weed kept off %+v", p)
	}
	if p := placed(water.Place{Kind: water.Jetty, KeepOff: 20, Radius: math.NaN()}); p.KeepOff != 20 || p.MotorOff != 0 {
		t.Errorf("jetty %+v", p)
	}
	if p := placed(water.Place{Kind: water.NoGo, KeepOff: 40, NoDrift: true, Radius: math.NaN()}); p.MotorOff != 0 { // "motor": true
		t.Errorf("motored through %+v", p)
	}
}

// No distance to keep is no way through: the inside of a zone is kept off, adrift
// and under motor, and a zone smaller than a cell is not overlooked.
func TestInsideIsAlwaysKeptOff(t *testing.T) {
	for _, size := range []float64{0, 1, 60} {
		corner := orb.Point{450, 250} // of four cells
		shape := orb.Bound{Min: corner, Max: orb.Point{corner[0] + size, corner[1] + size}}.ToPolygon()
		zone := placed(water.Place{Kind: water.NoGo, Shape: shape, KeepOff: 0, NoDrift: true, NoMotor: true, Radius: math.NaN()})
		q := plain(t)
		q.Lake.Places = []Place{zone}
		a := newGround(q)
		for _, at := range []orb.Point{corner, {corner[0] + size, corner[1] + size}, {corner[0] + size/2, corner[1] + size/2}} {
			if k, _ := a.g.Index(at[0], at[1]); !a.off[k] || a.motor[k] {
				t.Errorf("%v m: at %v off %v, motor %v", size, at, a.off[k], a.motor[k])
			}
		}
		q.Lake.Places[0] = placed(water.Place{Kind: water.NoGo, Shape: shape, KeepOff: 0, NoDrift: true, Radius: math.NaN()})
		a = newGround(q)
		if k, _ := a.g.Index(corner[0], corner[1]); !a.off[k] || !a.motor[k] {
			t.Errorf("%v m, motors let through: off %v, motor %v", size, a.off[k], a.motor[k])
		}
	}
}

// A place with a radius reaches that far round its point.
func TestRadius(t *testing.T) {
	q := plain(t)
	q.Lake.Places = []Place{{Kind: "rock", Shape: q.Home, Radius: 100, KeepOff: 50}}
	a := newGround(q)
	for k, off := range a.off {
		x, y := a.g.Centre(k)
		border := k%a.g.W == 0 || k%a.g.W == a.g.W-1 || k < a.g.W || k >= a.g.Len()-a.g.W
		if want := math.Hypot(x-q.Home[0], y-q.Home[1]) < 150 || border; off != want {
			t.Fatalf("(%v, %v): kept off %v", x, y, off)
		}
	}
}

// The decisions of one day, the same on every target (run this natively and as
// WebAssembly). They change when the model does, and then on purpose.
func TestDecisions(t *testing.T) {
	p := mustPlan(t, wholeDay(t, 10))
	var b strings.Builder
	for _, d := range p.Drifts {
		fmt.Fprintf(&b, "%s (%.0f, %.0f) %.0f s %s\n", d.Start.Format("15:04:05"), d.X, d.Y, d.Minutes*60, d.Ending)
	}
	if got := b.String(); got != decisions {
		t.Errorf("decided\n%s\nbefore\n%s", got, decisions)
	}
	near(t, "value of the first", p.Drifts[0].Value/firstValue, 1, 1e-9)
}

const (
	firstValue = 405.66764478096366 // m²
	decisions  = `09:01:54 (2175, 585) 394 s poorer
09:13:51 (2375, 835) 849 s poorer
09:33:40 (2225, 995) 787 s poorer
09:57:45 (1525, 1085) 1155 s poorer
10:23:51 (1355, 1285) 1044 s poorer
10:48:06 (1305, 1745) 1650 s spread
11:19:32 (1685, 1895) 741 s spread
11:35:17 (1855, 1935) 783 s poorer
11:55:08 (1965, 2405) 630 s spread
12:10:12 (1955, 2395) 709 s spread
12:34:40 (2755, 1645) 1011 s poorer
12:56:22 (2865, 1865) 661 s spread
13:13:34 (3335, 1785) 1422 s spread
13:40:19 (3655, 1835) 383 s spread
13:51:15 (3605, 1825) 546 s spread
14:13:54 (2805, 1435) 891 s poorer
14:38:53 (2525, 1905) 1712 s spread
15:11:32 (3075, 1855) 645 s spread
15:25:36 (3215, 1825) 678 s poorer
15:52:12 (2915, 605) 1539 s spread
16:20:54 (3325, 515) 427 s shore
16:31:42 (3485, 545) 388 s shore
`
)
