package presence_test

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/grid"
	"windlane/presence"
	"windlane/water"
)

// basin is 400 by 400 m of water 4 m deep with land all round, a steep edge to
// 9 m on its eastern side.
func basin() (grid.Grid, []float32) {
	g := grid.Grid{W: 44, H: 44, X0: -20, Y0: -20, Cell: 10}
	depth := make([]float32, g.Len())
	for k := range depth {
		x, y := g.Centre(k)
		switch {
		case x < 0 || y < 0 || x > 400 || y > 400:
			depth[k] = float32(math.NaN())
		case x > 300:
			depth[k] = 9
		default:
			depth[k] = 4
		}
	}
	return g, depth
}

func TestWorths(t *testing.T) {
	g, depth := basin()
	nan := math.NaN()
	places := []water.Place{
		{Kind: water.WeedBed, Shape: orb.Polygon{{{50, 50}, {90, 50}, {90, 90}, {50, 90}, {50, 50}}}, Radius: nan},
		{Kind: water.StreamBed, Shape: orb.LineString{{10, 200}, {250, 200}}, Radius: nan},
		{Kind: water.SunkenIsland, Shape: orb.Point{200, 350}, Radius: 30},
		{Kind: water.NoGo, Shape: orb.Point{250, 50}, Radius: 30},
	}
	f := presence.Lay(g, depth, places)
	at := func(x, y float64) int {
		k, ok := g.Index(x, y)
		if !ok {
			t.Fatalf("%v, %v lies off the grid", x, y)
		}
		return k
	}
	for _, c := range []struct {
		x, y    float64
		feature presence.Feature
		least   float64
	}{{70, 70, presence.WeedBed, 1}, {95, 70, presence.WeedBed, 0.8}, {130, 205, presence.OldBed, 0.75}, {225, 350, presence.SunkenIsland, 1}, {300, 150, presence.DropOff, 1}} {
		s, ok := f.Spot(at(c.x, c.y))
		if !ok || s.Ground[c.feature] < c.least-0.01 {
			t.Errorf("at %v, %v: %v of feature %d, want %v", c.x, c.y, s.Ground[c.feature], c.feature, c.least)
		}
	}
	if plain, ok := f.Spot(at(250, 55)); !ok || plain.Ground[presence.WeedBed] > 0.01 || plain.Ground[presence.Structure] != 0 {
		t.Errorf("plain water has %v", plain.Ground)
	}
	if _, ok := f.Spot(at(-15, 100)); ok {
		t.Error("land is a spot")
	}

	p := expect(lake(), clock(time.September, 20, 12), 5, 4, presence.Day{})
	worth := make([]float32, g.Len())
	f.Worths(p, worth)
	if worth[at(-15, 100)] != 0 {
		t.Error("land is worth something")
	}
	if weed, plain := worth[at(70, 70)], worth[at(200, 150)]; !(weed > 1.3*plain) {
		t.Errorf("weed %v, plain water %v in September", weed, plain)
	}
	s, _ := f.Spot(at(70, 70))
	if b := p.At(s); math.Abs(b.Worth-float64(worth[at(70, 70)])) > 1e-6 {
		t.Errorf("a spot is worth %v, its cell %v", b.Worth, worth[at(70, 70)])
	}

	// The wind from the west: the eastern shore is the one it blows on to.
	wet := make([]bool, g.Len())
	for k := range wet {
		wet[k] = depth[k] > 0
	}
	up, down := make([]float32, g.Len()), make([]float32, g.Len())
	grid.Fetch(g, wet, 3*math.Pi/2, up)
	grid.Fetch(g, wet, math.Pi/2, down)
	f.Shores(up, down)
	lee, _ := f.Spot(at(395, 200))
	off, _ := f.Spot(at(5, 250))
	if !(lee.Ground[presence.LeeShore] > 0.9 && lee.Ground[presence.WindwardShore] < 0.01 && off.Ground[presence.WindwardShore] > 0.9 && off.Ground[presence.LeeShore] < 0.01) {
		t.Errorf("shores: %v at the lee, %v at the windward one", lee.Ground, off.Ground)
	}

	f.Shores(nil, nil)
	if s, _ := f.Spot(at(395, 200)); s.Ground[presence.LeeShore] != 0 {
		t.Error("a shifting wind leaves a lee shore")
	}

	if n := testing.AllocsPerRun(5, func() { f.Worths(p, worth) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func TestEdge(t *testing.T) {
	for slope, want := range map[float64]float64{0: 0, 0.04: 0, 0.09: 0.5, 0.14: 1, 2: 1} {
		if got := presence.Edge(slope); math.Abs(got-want) > 1e-12 {
			t.Errorf("a slope of %v is %v of an edge, want %v", slope, got, want)
		}
	}
}

func BenchmarkWorths(b *testing.B) {
	b.ReportAllocs()
	g, depth := basin()
	f := presence.Lay(g, depth, []water.Place{{Kind: water.WeedBed, Shape: orb.Point{100, 100}, Radius: 20}})
	p := expect(lake(), clock(time.June, 1, 11), 5, 4, presence.Day{})
	dst := make([]float32, g.Len())
	for b.Loop() {
		f.Worths(p, dst)
	}
}
