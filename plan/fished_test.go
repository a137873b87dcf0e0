package plan

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"windlane/grid"
)

// What was covered is swept area times what is left of it by its age, wherever
// the drift ran, and lies within reach of it only.
func TestFished(t *testing.T) {
	g, s := grid.Grid{W: 100, H: 60, X0: -100, Y0: 50, Cell: 10}, DefaultSettings()
	bent := []orb.Point{{100, 200}, {250, 200}, {250, 200}, {250, 350}} // a position logged twice
	total := func(past ...Past) float64 {
		effort, _, err := Fished(g, s, past)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for k, e := range effort {
			x, y := g.Centre(k)
			if e > 0 && (x < 100-s.Reach-g.Cell || x > 250+s.Reach+g.Cell || y < 200-s.Reach-g.Cell || y > 350+s.Reach+g.Cell) {
				t.Fatalf("effort at (%v, %v), out of reach", x, y)
			}
			sum += float64(e) * g.Cell * g.Cell
		}
		return sum
	}
	const hour = 3600.0
	short := 30.0 // so short that its parts are of one age
	fresh := total(Past{Track: bent, Time: short})
	near(t, "covered just now", fresh, s.Swept*short*math.Exp(-short/2/s.Recovery), 1e-3*fresh)
	near(t, "an hour ago", total(Past{Track: bent, Time: short, Ago: hour}), fresh*math.Exp(-hour/s.Recovery), 1e-3*fresh)
	near(t, "an hour ago, fish hooked", total(Past{Track: bent, Time: short, Ago: hour, Hooked: true}), fresh*math.Exp(-hour/RestHooked), 5e-3*fresh)
	near(t, "two", total(Past{Track: bent, Time: short}, Past{Track: bent[:1], Time: short}), 2*fresh, 1e-3*fresh)
	// A long one has faded along its way: the integral of e^(-t/T).
	near(t, "an hour long", total(Past{Track: bent, Time: hour}), s.Swept*s.Recovery*-math.Expm1(-hour/s.Recovery), 2)
	if e, b, err := Fished(g, s, nil); e != nil || b != nil || err != nil {
		t.Errorf("nothing fished: %v, %v, %v", e, b, err)
	}
	if e, _, err := Fished(g, s, []Past{{Track: []orb.Point{{-5000, 0}}, Time: 60}}); err != nil || len(e) != g.Len() || e[0] != 0 {
		t.Errorf("off the map: %v", err)
	}
	for _, bad := range []Past{{}, {Track: bent, Time: -1}, {Track: bent, Time: math.NaN()}, {Track: bent, Ago: 1e6}} {
		if _, _, err := Fished(g, s, []Past{bad}); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

// Half of the way on half of the time: the pace is even, however the points lie.
func TestFishedAtAnEvenPace(t *testing.T) {
	g, s := grid.Grid{W: 100, H: 20, Cell: 10}, DefaultSettings()
	s.Recovery = 1e7
	effort, _, err := Fished(g, s, []Past{{Track: []orb.Point{{100, 100}, {110, 100}, {900, 100}}, Time: 3600}})
	if err != nil {
		t.Fatal(err)
	}
	west, east := 0.0, 0.0
	for k, e := range effort {
		if x, _ := g.Centre(k); x < 500 {
			west += float64(e)
		} else {
			east += float64(e)
		}
	}
	near(t, "west half over east half", west/east, 1, 0.01)
}

// A patch is fished blank for as long as the boat was within it, but not where
// fish were hooked, and what a day before has left counts in the next.
func TestFishedBlank(t *testing.T) {
	g, s := grid.Grid{W: 100, H: 60, Cell: 10}, DefaultSettings()
	at := orb.Point{505, 305}
	lay := func(hooked bool) []float32 {
		_, blank, err := Fished(g, s, []Past{{Track: []orb.Point{at}, Time: 1800, Ago: 7200, Hooked: hooked}})
		if err != nil {
			t.Fatal(err)
		}
		return blank
	}
	blank := lay(false)
	for k, b := range blank {
		x, y := g.Centre(k)
		want := 0.0
		if math.Hypot(x-at[0], y-at[1]) <= s.Patch {
			want = 1800
		}
		if math.Abs(float64(b)-want) > 0.01 {
			t.Fatalf("(%v, %v): %v s, want %v", x, y, b, want)
		}
	}
	for _, b := range lay(true) {
		if b != 0 {
			t.Fatal("a patch where fish were hooked is held blank")
		}
	}
	q := wholeDay(t, 10)
	q.Settings.Most = 1
	fresh := mustPlan(t, q)
	q.Blank = make([]float32, q.Lake.Grid.Len())
	for k := range q.Blank {
		q.Blank[k] = 2700
	}
	doubted := mustPlan(t, q)
	near(t, "worth by a doubt of one factor e", doubted.Drifts[0].Value/fresh.Drifts[0].Value, math.Exp(-1), 0.05)
}
