package windlane

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"windlane/brief"
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
	from, until := d.afloat()
	d.facts.Limits, d.facts.HomeNamed, d.facts.Home = limits, named, brief.Point{X: home[0], Y: home[1]}
	if !until.After(from) {
		d.facts.Plan = plan.Plan{Status: plan.NothingReachable, Reason: d.over(), GoIn: until, Deadline: until, Home: until}
		return nil
	}
	q := plan.Question{
		Lake: plan.Of(d.lake, func(wind, fetch, depth float64) float64 {
			return waves.Default(waves.Water{Wind: wind, Fetch: fetch, Depth: math.Min(depth, 1e3)}).Height
		}),
		From:     from,
		Until:    until,
		Start:    home,
		Home:     home,
		Boat:     d.boats,
		Limits:   limits,
		Settings: d.settings(),
	}
	for i, h := range d.facts.Rows {
		if i+1 < len(d.facts.Rows) && !d.facts.Rows[i+1].At.After(from) {
			continue // before the fog lifts
		}
		k := h.Conditions
		q.Hours = append(q.Hours, plan.Hour{
			At: h.At, Wind: k.Wind.Value, Gust: math.Max(k.Gust, h.Weather.Squall), From: k.From, Shifting: k.Shifting,
			FromSD: directionSpread, SpeedSD: speedSpread, Worth: d.worth[d.hourOf(h.At)],
		})
	}
	if err := d.fitHome(q); err != nil {
		return err
	}
	if d.now != nil {
		if err := d.fitNow(&q); err != nil {
			return err
		}
	}
	d.question, d.facts.Met = q, q.Observed
	p, err := plan.Day(ctx, q)
	if err != nil {
		return fmt.Errorf("the plan: %w", err)
	}
	if from.After(d.Outing.From) {
		p.Waits = append([]plan.Wait{{From: d.Outing.From, Until: from, Reason: "fog: stay ashore until it lifts"}}, p.Waits...)
	}
	if at := d.facts.Over; !at.IsZero() && (p.GoIn.IsZero() || at.Before(p.GoIn)) {
		p.GoIn, p.Reason = at, d.over()
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

// fitHome says when the jetty lies where no boat can be at any level.
func (d *day) fitHome(q plan.Question) error {
	wet := q.Lake.Wet
	if full, err := d.lake.At(0); err == nil {
		wet = full.Wet()
	}
	q.Lake.Places = nil // it may stand in a zone
	if why := plan.CannotLie(q.Lake, wet, q.Home); why != "" {
		return &Misfit{"Outline", fmt.Sprintf("%s: its jetty %s: it belongs at the shore", cmp.Or(d.lake.Name, "the lake"), why)}
	}
	return nil
}

// tries are the changes tried on a day's first plan: some tenths of a second,
// worth up to a part in a hundred, more where the battery is small.
const tries = 300

// settings are the planner's, but for drifts too short to learn anything from:
// under a quarter of an hour is some twenty casts. What a blank tells goes by the
// rod average.
func (d *day) settings() plan.Settings {
	s := plan.DefaultSettings()
	s.Shortest, s.Blank, s.Tries = 15*60, d.facts.Aim.Blank, tries
	return s
}
