package brief

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/outing"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

const ft = 0.3048

func TestCrossing(t *testing.T) {
	known := Facts{Outing: &outing.Day{}, Water: &water.Water{Full: []float32{}}}
	unknown := Facts{Outing: &outing.Day{}, Water: &water.Water{}}
	metric := Facts{Outing: &outing.Day{Units: quantity.Metric}, Water: known.Water}
	nan := quantity.Depth(math.NaN())
	even := plan.Pass{From: 12, To: 16.2, Kind: plan.IslandEdge, First: 9 * ft, Last: 20 * ft, Least: 9 * ft, Most: 20 * ft}
	hump := plan.Pass{From: 0.2, To: 29.8, Kind: "sunken_island", Name: "the hump", First: 24 * ft, Last: 27 * ft, Least: 12 * ft, Most: 27 * ft}
	hole := plan.Pass{From: 3, To: 3.2, Kind: "stream_bed", First: 10 * ft, Last: 10 * ft, Least: 10 * ft, Most: 19 * ft}
	buoys := plan.Pass{From: 4, To: 9, Kind: "buoy_line", Name: "dam buoys", Near: 22, First: nan, Last: nan, Least: nan, Most: nan}
	for _, c := range []struct {
		f    Facts
		p    plan.Pass
		want string
	}{
		{known, even, "cross the island's edge from minute 12 to 16, in 9 ft going to 20"},
		{metric, even, "cross the island's edge from minute 12 to 16, in 2.7 m going to 6.1"},
		{unknown, even, "cross the island's edge from minute 12 to 16"},
		{known, hump, "cross the hump (sunken island) all the way, in 24 ft going to 27, rising to 12 on the way"},
		{known, hole, "cross the old stream bed at minute 3, in 10 ft, falling to 19 on the way"},
		{known, buoys, "pass 20 yd off dam buoys from minute 4 to 9"},
	} {
		if got := c.f.crossing(c.p, 30); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A drift is told from setting out to what comes after it; the last one ends at home.
func TestInWords(t *testing.T) {
	at := func(h, m int) time.Time { return time.Date(2026, 5, 2, h, m, 0, 0, time.UTC) }
	jetty := []water.Place{{Kind: water.Jetty, Name: "the jetty", Shape: orb.Point{0, 0}}}
	first := plan.Drift{
		Ride: plan.Ride{Time: 210}, Start: at(9, 4), End: at(9, 42), X: 400, Minutes: 38, SetUp: "cone", Drogue: true, Speed: 0.2, Toward: quantity.TowardDegrees(90),
		Passes: []plan.Pass{{From: 12, To: 16, Kind: plan.IslandEdge}},
		Stop:   plan.StopBar{At: at(9, 42), Lift: at(9, 41), Landmark: "the jetty", Bearing: quantity.TowardDegrees(215), Distance: 400},
		Next:   []plan.Option{{X: 0, Y: 300, Minutes: 34.5}},
	}
	second := plan.Drift{Ride: plan.Ride{Time: 420}, Start: at(9, 52), End: at(10, 12), X: 10, Minutes: 20, SetUp: "no drogue", Speed: 0.3, Stop: plan.StopBar{At: at(10, 12), Lift: at(10, 12)}}
	f := Facts{Outing: &outing.Day{}, Water: &water.Water{Places: jetty}, Plan: plan.Plan{
		Drifts: []plan.Drift{first, second}, RideHome: plan.Ride{Time: 250}, TurnHome: at(11, 50),
	}}
	if got, want := f.inWords(first, 0), "Motor 4 min and start 440 yd E of the jetty, drogue set (cone), 38 min E at 0.4 mph. "+
		"You cross the island's edge from minute 12 to 16. Lift here 09:42: the jetty bears 215° (SW), 440 yd off. "+
		"Begin to hand the drogue in at 09:41, before the engine. Then motor 7 min to drift 2."; got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
	if got, want := f.inWords(second, 1), "Motor 7 min and start by the jetty, no drogue, 20 min N at 0.7 mph. Lift here 10:12. From there it is 5 min home: turn by 11:50."; got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
	if got := f.nextBest(first); got != "Next best from here: 330 yd N of the jetty, 35 min." {
		t.Errorf("next best: %q", got)
	}
	f.Plan.Waits = []plan.Wait{{From: at(9, 43), Until: at(9, 50), Reason: "too little wind to drift"}}
	if got := f.after(0); got != "Then wait till 09:50: too little wind to drift." {
		t.Errorf("after it: %q", got)
	}
}

// Whatever came of a plan, it says why.
func TestPlanReason(t *testing.T) {
	home := time.Date(2026, 5, 2, 16, 50, 0, 0, time.UTC)
	for _, c := range []struct {
		p    plan.Plan
		most int
		want string
	}{
		{plan.Plan{Reason: "too little wind to drift from 09:00"}, 1, "too little wind to drift from 09:00"},
		{plan.Plan{Home: home}, 0, "the hours are filled: home at 16:50"},
		{plan.Plan{Home: home, Drifts: make([]plan.Drift, 1)}, 1, "the next drift alone was asked for"},
		{plan.Plan{Home: home, Drifts: make([]plan.Drift, 3)}, 3, "the 3 drifts that were asked for"},
		{plan.Plan{Home: home, Drifts: make([]plan.Drift, 2)}, 3, "the hours are filled: home at 16:50"},
	} {
		if got := PlanReason(c.p, c.most); got != c.want || strings.TrimSpace(got) == "" {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
