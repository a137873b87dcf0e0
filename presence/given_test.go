package presence

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"windlane/grid"
	"windlane/water"
)

// Straight between the depths, level beyond; fish that hang over deep water are
// there over deeper water too, fish at the bed are not.
func TestGivenOver(t *testing.T) {
	bed := Given{Depths: []float64{1, 3, 5}, Weights: []float64{0, 1, 0.2}, FromBed: true}
	hanging := bed
	hanging.FromBed = false
	for _, c := range []struct{ bed, atBed, hanging float64 }{
		{0.5, 0, 0}, {1, 0, 0}, {2, 0.5, 0.5}, {3, 1, 1}, {4, 0.6, 1}, {5, 0.2, 1}, {50, 0.2, 1}, {math.NaN(), 0.4, 0.4},
	} {
		if a, b := bed.Over(c.bed), hanging.Over(c.bed); math.Abs(a-c.atBed) > 1e-12 || math.Abs(b-c.hanging) > 1e-12 {
			t.Errorf("over %v m: %v at the bed, %v hanging; want %v, %v", c.bed, a, b, c.atBed, c.hanging)
		}
	}
	if one := (Given{Depths: []float64{2}, Weights: []float64{3}}); one.Over(0) != 3 || one.Over(9) != 3 {
		t.Error("one depth is not level")
	}
	defer func() {
		if recover() == nil {
			t.Error("no depths are taken")
		}
	}()
	Given{}.Over(1)
}

// A kind's places draw within their reach, a named one alone, and a steep bed is a
// drop-off although nobody marked it.
func TestDrawOf(t *testing.T) {
	g := grid.Grid{W: 40, H: 20, Cell: 10}
	flat, steep := make([]float32, g.Len()), make([]float32, g.Len())
	for k := range flat {
		x, _ := g.Centre(k)
		flat[k], steep[k] = 5, float32(2+x/5)
	}
	places := []water.Place{
		{Kind: water.WeedBed, Name: "west", Shape: orb.Point{55, 105}, Radius: math.NaN()},
		{Kind: water.WeedBed, Name: "east", Shape: orb.Point{305, 105}, Radius: math.NaN()},
		{Kind: "gulls", Shape: orb.Point{205, 55}, Radius: math.NaN()},
	}
	at := func(depth []float32, x, y float64, draws ...Draw) float64 {
		dst := make([]float32, g.Len())
		DrawOf(g, depth, places, 0.5, draws, dst)
		k, _ := g.Index(x, y)
		return float64(dst[k])
	}
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	weed, gulls := Draw{Kind: water.WeedBed, Weight: 2}, Draw{Kind: "gulls", Weight: 1}
	near("nothing", at(flat, 55, 105), 0.5)
	near("over it", at(flat, 55, 105, weed), 2.5)
	near("at its usual reach", at(flat, 305, 105+30, weed), 0.5+2*math.Exp(-30*30/reach[WeedBed]/reach[WeedBed]))
	near("the other alone", at(flat, 55, 105, Draw{Kind: water.WeedBed, Name: "east", Weight: 2}), 0.5)
	near("a reach of its own", at(flat, 105, 105, Draw{Kind: water.WeedBed, Name: "west", Weight: 2, Reach: 50}), 0.5+2*math.Exp(-1))
	near("two kinds", at(flat, 205, 95, weed, gulls), 0.5+math.Exp(-1)+2*math.Exp(-(100.0*100+10*10)/reach[WeedBed]/reach[WeedBed]))
	near("a flat bed is no drop-off", at(flat, 205, 95, Draw{Kind: water.DropOff, Weight: 1}), 0.5)
	near("a steep one is", at(steep, 205, 95, Draw{Kind: water.DropOff, Weight: 1}), 1.5)
}
