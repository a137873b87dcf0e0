package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"windlane/water"
)

// Where a boat can be: on the water and at its edge, but not in a zone, nor well ashore.
func TestCannotLie(t *testing.T) {
	q := plain(t)
	g := q.Lake.Grid
	wet := func(k int) bool { return k >= 0 && k < g.Len() && q.Lake.Wet[k] }
	middle, _ := g.Index(q.Home[0], q.Home[1])
	if !wet(middle) {
		t.Fatal("the scene's home is not on the water")
	}
	if why := CannotLie(q.Lake, q.Lake.Wet, q.Home); why != "" {
		t.Errorf("on the water: %s", why)
	}
	off := orb.Point{g.X0 - 100, q.Home[1]}
	if why := CannotLie(q.Lake, q.Lake.Wet, off); !strings.Contains(why, "on land") {
		t.Errorf("off the lake: %q", why)
	}
	zone := orb.Bound{Min: orb.Point{q.Home[0] - 20, q.Home[1] - 20}, Max: orb.Point{q.Home[0] + 20, q.Home[1] + 20}}.ToPolygon()
	q.Lake.Places = []Place{placed(water.Place{Kind: water.NoGo, Name: "the reserve", Shape: zone, NoDrift: true, NoMotor: true, KeepOff: math.NaN(), Radius: math.NaN()})}
	if why := CannotLie(q.Lake, q.Lake.Wet, q.Home); !strings.Contains(why, "the reserve") {
		t.Errorf("in a zone: %q", why)
	}
	q.Lake.Places[0].Name = ""
	if why := CannotLie(q.Lake, q.Lake.Wet, q.Home); !strings.Contains(why, "no_go") {
		t.Errorf("in a zone without a name: %q", why)
	}
	q.Lake.Places[0].MotorOff = 0
	if why := CannotLie(q.Lake, q.Lake.Wet, q.Home); why != "" {
		t.Errorf("in a zone that lets motors through: %s", why)
	}
}

// The jetty's end in deeper water.
func TestLanding(t *testing.T) {
	w := surveyed(t)
	p, ok := Landing(w)
	if !ok {
		t.Fatal("the lake's file has a jetty")
	}
	if k, on := w.Grid.Index(p[0], p[1]); !on || !w.Wet()[k] {
		t.Errorf("the jetty ends at %v, not on the water", p)
	}
	w.Places = nil
	if _, ok := Landing(w); ok {
		t.Error("a jetty where there is none")
	}
	inland, deep := orb.Point{w.Grid.X0 + 1, w.Grid.Y0 + 1}, p
	for _, line := range []orb.LineString{{inland, deep}, {deep, inland}} {
		w.Places = []water.Place{{Kind: water.Jetty, Shape: line}}
		if got, _ := Landing(w); got != deep {
			t.Errorf("%v lands at %v", line, got)
		}
	}
	// Both ends on the water, which is the deeper the farther east.
	w.Full = make([]float32, w.Grid.Len())
	for k := range w.Full {
		x, _ := w.Grid.Centre(k)
		w.Full[k] = float32(5 + (x-p[0])/1000)
	}
	east := p
	for k, wet := range w.Wet() {
		if x, y := w.Grid.Centre(k); wet && x > east[0]+100 {
			east = orb.Point{x, y}
			break
		}
	}
	if east == p {
		t.Fatal("no water east of the jetty")
	}
	for _, line := range []orb.LineString{{p, east}, {east, p}} {
		w.Places = []water.Place{{Kind: water.Jetty, Shape: line}}
		if got, _ := Landing(w); got != east {
			t.Errorf("%v lands at %v, in shallower water", line, got)
		}
	}
}
