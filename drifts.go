package windlane

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"windlane/brief"
	"windlane/drift"
	"windlane/plan"
	"windlane/quantity"
	"windlane/tackle"
	"windlane/water"
	"windlane/waves"
)

// forecastSpread is how far a forecast of the evening before may be off: the
// direction [rad] and the speed [1], one standard deviation. A modelling choice.
const (
	directionSpread = 12 * math.Pi / 180
	speedSpread     = 0.18
)

// drifts asks the planner for the day.
func (d *day) drifts(ctx context.Context) error {
	home, named := d.home()
	limits := plan.DefaultLimits()
	if g := d.Outing.GustLimit; g > 0 {
		limits.Gust = g
	}
	limits.Pace = d.pace()
	q := plan.Question{
		Lake: plan.Of(d.lake, func(wind, fetch, depth float64) float64 {
			return waves.Default(waves.Water{Wind: wind, Fetch: fetch, Depth: math.Min(depth, 1e3)}).Height
		}),
		From:     d.Outing.From,
		Until:    d.Outing.Until,
		Start:    home,
		Home:     home,
		Boat:     d.boats,
		Limits:   limits,
		Settings: d.settings(),
	}
	for _, h := range d.facts.Rows {
		k := h.Conditions
		q.Hours = append(q.Hours, plan.Hour{
			At: h.At, Wind: k.Wind.Value, Gust: math.Max(k.Gust, h.Weather.Squall), From: k.From, Shifting: k.Shifting,
			FromSD: directionSpread, SpeedSD: speedSpread, Worth: d.worth[d.hourOf(h.At)],
		})
	}
	p, err := plan.Day(ctx, q)
	if err != nil {
		return fmt.Errorf("the plan: %w", err)
	}
	d.facts.Plan, d.facts.Limits, d.facts.HomeNamed = p, limits, named
	d.facts.Home = brief.Point{X: home[0], Y: home[1]}
	return nil
}

// hourOf is the full hour that holds a time.
func (d *day) hourOf(at time.Time) int {
	i := 0
	for i+1 < len(d.times) && !d.times[i+1].After(at) {
		i++
	}
	return i
}

// boat is the bag's boat and drogues as the planner wants them; without a boat,
// what published leeway says of a small open one.
func (d *day) boat() (plan.Boat, error) {
	b := d.Bag.Boat
	if b == nil {
		out := plan.Boat{Speed: tackle.Boat{Motor: tackle.Electric}.UnderWay()}
		add := func(name string, held bool, least quantity.Depth) {
			prior := drift.Prior(held)
			out.SetUps = append(out.SetUps, plan.SetUp{Name: name, Drogue: held, Motion: drift.Motion{Fraction: prior.Mean}, LeastDepth: least})
			d.facts.Boats = append(d.facts.Boats, brief.BoatFacts{Name: name, Drogue: held, Fraction: prior.Mean})
		}
		add("no drogue", false, plan.LeastDepth)
		for _, g := range d.Bag.Drogues {
			add(g.Name, true, plan.LeastDepthDrogue)
		}
		return out, nil
	}
	out := plan.Boat{Speed: b.UnderWay()}
	hull, err := drift.Boat{Length: b.Length, Freeboard: b.Freeboard, Draught: b.Draught, People: b.People, Mass: b.Laden()}.Setup()
	if err != nil {
		return out, fmt.Errorf("the bag's boat: %w", err)
	}
	add := func(name string, held bool, s drift.Setup, least quantity.Depth) {
		out.SetUps = append(out.SetUps, plan.SetUp{Name: name, Drogue: held, Motion: drift.Motion{Fraction: s.Fraction()}, LeastDepth: least})
		d.facts.Boats = append(d.facts.Boats, brief.BoatFacts{Name: name, Drogue: held, Fraction: s.Fraction(), Setup: &s})
	}
	add("no drogue", false, hull, plan.LeastDepth)
	for _, g := range d.Bag.Drogues {
		add(g.Name, true, hull.With(drogue(g)), plan.LeastDepthDrogue)
	}
	return out, nil
}

func drogue(g tackle.Drogue) drift.Drogue {
	switch {
	case g.Measured == tackle.Mouth:
		return drift.OpenMouth(g.RoundSize())
	case g.Shape == tackle.Square:
		return drift.FlatSquare(g.Size)
	}
	return drift.FlatRound(g.Size)
}

// pace is the drift that the way of fishing wants: the way asked for, else that
// of the set-up advised to start with, else lures'.
func (d *day) pace() drift.Pace {
	way := d.Outing.Way
	if way == "" && len(d.facts.SetUps) > 0 {
		way = d.facts.SetUps[0].Rig.Way
	}
	if p, ok := drift.Wanted(drift.Way(way)); ok {
		return p
	}
	p, _ := drift.Wanted(drift.Lures)
	return p
}

// home is the first jetty, or without one the middle of the widest water.
func (d *day) home() (orb.Point, bool) {
	if jetties := d.lake.PlacesOf(water.Jetty); len(jetties) > 0 {
		if line, ok := jetties[0].Shape.(orb.LineString); ok { // its end in the water
			return deeper(d, line[0], line[len(line)-1]), true
		}
		return jetties[0].Shape.Bound().Center(), true
	}
	best := d.facts.Hours[0].Conditions.Place
	return orb.Point{best.X, best.Y}, false
}

// deeper is the one of two points that lies in deeper water.
func deeper(d *day, a, b orb.Point) orb.Point {
	za, wetA := d.lake.Depth(a[0], a[1])
	zb, wetB := d.lake.Depth(b[0], b[1])
	if wetB && (!wetA || zb > za) {
		return b
	}
	return a
}

// settings are the planner's, but for drifts too short to learn anything from:
// under a quarter of an hour is some twenty casts. What a blank tells goes by the
// rod average.
func (d *day) settings() plan.Settings {
	s := plan.DefaultSettings()
	s.Shortest, s.Blank = 15*60, d.facts.Aim.Blank
	return s
}
