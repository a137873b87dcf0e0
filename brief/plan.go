package brief

import (
	"fmt"
	"math"
	"strings"

	"windlane/outing"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

// The drifts of a plan as somebody in the boat would tell them.

// Drifts tells the drifts of a plan alone, without the rest of a day.
func Drifts(w *water.Water, p plan.Plan, u quantity.System) []Drift {
	return Facts{Water: w, Plan: p, Outing: &outing.Day{Units: u}}.drifts()
}

// PlanReason is why a plan came out as it did, never empty. most is how many
// drifts were asked for, 0 for as many as the day holds.
func PlanReason(p plan.Plan, most int) string {
	switch {
	case p.Reason != "":
		return p.Reason
	case most == 1:
		return "the next drift alone was asked for"
	case most > 1 && len(p.Drifts) == most:
		return fmt.Sprintf("the %d drifts that were asked for", most)
	}
	return "the hours are filled: home at " + clock(p.Home)
}

// inWords tells a drift from setting out to what comes after it.
func (f Facts) inWords(d plan.Drift, i int) string {
	u := f.units()
	start := "Start"
	if at := f.where(d.X, d.Y); at != "" {
		start += " " + at
	}
	if ride := d.Ride.Time / 60; ride >= 0.5 {
		start = "Motor " + minutes(ride) + " and start" + strings.TrimPrefix(start, "Start")
	}
	held := "no drogue"
	if d.Drogue {
		held = "drogue set"
		if d.SetUp != "" && !strings.Contains(d.SetUp, "drogue") {
			held += " (" + d.SetUp + ")"
		}
	}
	out := fmt.Sprintf("%s, %s, %s %s at %s.", start, held, minutes(d.Minutes), quantity.Bearing(d.Toward).Compass(), u.Drift(d.Speed))
	var passes []string
	for _, p := range d.Passes {
		passes = append(passes, f.crossing(p, d.Minutes))
	}
	if len(passes) > 0 {
		out += " You " + strings.Join(passes, "; ") + "."
	}
	out += " " + f.end(d)
	return out + " " + f.after(i)
}

// crossing says "cross the island's edge from minute 12 to 16, in 9 ft going to 20".
func (f Facts) crossing(p plan.Pass, minutes float64) string {
	u := f.units()
	out := "cross " + the(p.Kind, p.Name)
	if near := u.Distance(p.Near); p.Near > 0 && near != u.Distance(0) {
		out = "pass " + near + " off " + the(p.Kind, p.Name)
	}
	a, z := math.Round(p.From), math.Round(p.To)
	switch {
	case a <= 0 && z >= math.Round(minutes):
		out += " all the way"
	case a == z:
		out += fmt.Sprintf(" at minute %.0f", a)
	default:
		out += fmt.Sprintf(" from minute %.0f to %.0f", a, z)
	}
	if !f.Water.HasDepths() || p.First != p.First || p.Last != p.Last {
		return out
	}
	first, last := u.DepthFigure(float64(p.First)), u.DepthFigure(float64(p.Last))
	out += ", in " + first + " " + u.DepthUnit()
	if first != last {
		out += " going to " + last
	}
	// what lies between them, where it is another depth by a metre
	switch {
	case p.Least < min(p.First, p.Last)-1:
		out += ", rising to " + u.DepthFigure(float64(p.Least)) + " on the way"
	case p.Most > max(p.First, p.Last)+1:
		out += ", falling to " + u.DepthFigure(float64(p.Most)) + " on the way"
	}
	return out
}

// the is a place as it stands within a sentence, its kind told where its name does not.
func the(kind, name string) string {
	said := Named(kind, name)
	if name == "" {
		return "the " + said
	}
	return said
}

// after is what comes when a drift is over.
func (f Facts) after(i int) string {
	p := f.Plan
	if i+1 < len(p.Drifts) {
		next := p.Drifts[i+1]
		for _, w := range p.Waits {
			if !w.From.Before(p.Drifts[i].End) && !w.Until.After(next.Start) {
				return fmt.Sprintf("Then wait till %s: %s.", clock(w.Until), w.Reason)
			}
		}
		if ride := next.Ride.Time / 60; ride >= 0.5 {
			return fmt.Sprintf("Then motor %s to drift %d.", minutes(ride), i+2)
		}
		return fmt.Sprintf("Drift %d begins there.", i+2)
	}
	return fmt.Sprintf("From there it is %s home: turn by %s.", minutes(math.Max(1, math.Ceil(p.RideHome.Time/60))), clock(p.TurnHome))
}

// nextBest is where else one might have begun, best first.
func (f Facts) nextBest(d plan.Drift) string {
	var list []string
	for _, o := range d.Next {
		if at := f.elsewhere(d, o.X, o.Y); at != "" {
			list = append(list, at+", "+minutes(o.Minutes))
		}
	}
	if len(list) == 0 {
		return ""
	}
	return "Next best from here: " + strings.Join(list, "; ") + "."
}

// minutes says whole minutes, half a one and more up as everywhere.
func minutes(v float64) string { return fmt.Sprintf("%.0f min", math.Round(v)) }
