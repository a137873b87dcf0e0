package windlane

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"windlane/brief"
	"windlane/caution"
	"windlane/drift"
	"windlane/plan"
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
	// Likely thunder ends the day: nobody is afloat under it.
	until := d.Outing.Until
	if at := d.thunderFrom(caution.ThunderLikely); !at.IsZero() {
		d.facts.Thunder, until = at, at
	}
	d.facts.Limits, d.facts.HomeNamed, d.facts.Home = limits, named, brief.Point{X: home[0], Y: home[1]}
	if !until.After(d.Outing.From) {
		d.facts.Plan = plan.Plan{Status: plan.NothingReachable, GoIn: until, Deadline: until, Home: until}
		return nil
	}
	q := plan.Question{
		Lake: plan.Of(d.lake, func(wind, fetch, depth float64) float64 {
			return waves.Default(waves.Water{Wind: wind, Fetch: fetch, Depth: math.Min(depth, 1e3)}).Height
		}),
		From:     d.Outing.From,
		Until:    until,
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
	if d.now != nil {
		if err := d.fitNow(&q); err != nil {
			return err
		}
	}
	d.question = q
	p, err := plan.Day(ctx, q)
	if err != nil {
		return fmt.Errorf("the plan: %w", err)
	}
	if at := d.facts.Thunder; !at.IsZero() && (p.GoIn.IsZero() || at.Before(p.GoIn)) {
		p.GoIn = at
		if len(p.Drifts) > 0 {
			p.Status = plan.GoIn
		}
	}
	d.facts.Plan = p
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

// home is where the boat belongs, or without a jetty the middle of the widest water.
func (d *day) home() (orb.Point, bool) {
	if p, ok := plan.Landing(d.lake); ok {
		return p, true
	}
	best := d.facts.Hours[0].Conditions.Place
	return orb.Point{best.X, best.Y}, false
}

// settings are the planner's, but for drifts too short to learn anything from:
// under a quarter of an hour is some twenty casts. What a blank tells goes by the
// rod average.
func (d *day) settings() plan.Settings {
	s := plan.DefaultSettings()
	s.Shortest, s.Blank = 15*60, d.facts.Aim.Blank
	return s
}
