package windlane

import (
	"math"
	"strings"
	"time"

	"windlane/caution"
	"windlane/forecast"
	"windlane/quantity"
	"windlane/tackle"
)

// thunderFrom is when thunder is first told with a chance; zero when with none
// so great, or for a chance of nought.
func (d *day) thunderFrom(chance quantity.Probability) time.Time {
	for _, h := range d.facts.Rows {
		if chance > 0 && h.Weather.ThunderChance >= chance {
			return h.At
		}
	}
	return time.Time{}
}

// foggy is whether a row of the weather tells of fog, shallow and patchy fog left out.
func foggy(w forecast.Hour) bool {
	if w.HasVisibility && w.Visibility < caution.FogBelow {
		return true
	}
	for _, group := range strings.Fields(w.Weather) {
		if group == "FG" || group == "FZFG" || group == "PRFG" {
			return true
		}
	}
	return false
}

// afloat is the part of the hours in which the sky lets one be on the water: not
// before a morning's fog lifts, not under likely thunder, nor in a fog that comes
// later. What it finds goes into the facts. A modelling choice, the cautious one.
func (d *day) afloat() (from, until time.Time) {
	f := &d.facts
	from, until = d.Outing.From, d.Outing.Until
	end := func(at time.Time, why string) {
		if at.Before(until) || f.Over.IsZero() {
			f.Over, f.OverWhy, until = at, why, at
		}
	}
	if at := d.thunderFrom(caution.ThunderLikely); !at.IsZero() {
		end(at, "Thunder is likely")
	}
	inFog := len(f.Rows) > 0 && foggy(f.Rows[0].Weather)
	f.FogAtFirst = inFog
	for _, h := range f.Rows {
		switch fog := foggy(h.Weather); {
		case inFog && !fog:
			from, f.Lifts, inFog = h.At, h.At, false
		case !inFog && fog && h.At.Before(until):
			end(h.At, "Fog is forecast")
		}
	}
	if inFog {
		end(from, "Fog is forecast")
	}
	return from, until
}

// over says what of the sky ends the day, as the planner says its reasons.
func (d *day) over() string {
	return strings.ToLower(d.facts.OverWhy) + " from " + d.facts.Over.Format("15:04") + " on"
}

// whatToMind gathers what the day asks a person to mind. The day's worst is
// looked for in the hours afloat, to the end of what was asked for: a plan that
// goes in early does not make the afternoon calm.
func (d *day) whatToMind() error {
	p := d.facts.Plan
	c := caution.Day{
		Units: d.Outing.Units,
		From:  d.Outing.From, Until: p.Deadline,
		Dusk:      d.facts.Sun.CivilDusk,
		GoIn:      p.GoIn,
		GustLimit: d.facts.Limits.Gust, WaveLimit: d.facts.Limits.Wave, LimitGiven: d.Outing.GustLimit > 0,
		HasWater: d.Profile != nil || d.Outing.HasWater, WaterC: math.Inf(1), WaterLow: math.Inf(1), WaterHigh: math.Inf(-1),
		HasAir: true, AirC: math.Inf(1),
		Engine: true, Returned: true,
		Drogue: len(d.Bag.Drogues) > 0,
		Algae:  d.Outing.Algae, ThunderHeard: d.Outing.ThunderHeard,
	}
	for _, h := range d.facts.Rows {
		k, w := h.Conditions, h.Weather
		if k.Gust > c.Gust {
			c.Gust, c.GustAt = k.Gust, h.At
		}
		if w.Squall > c.Squall {
			c.Squall, c.SquallAt = w.Squall, h.At
		}
		c.Thunder = max(c.Thunder, w.ThunderChance)
		if w.HasVisibility && (c.Visibility == 0 || w.Visibility < c.Visibility) {
			c.Visibility = w.Visibility
		}
		if foggy(w) && !c.Fog {
			c.Fog, c.FogFrom = true, h.At
		}
		if !c.Rough && caution.CategoryD.Beyond(k.Wind.Value, math.Max(k.Gust, w.Squall), 0) {
			c.Rough, c.RoughFrom = true, h.At
		}
		c.GuessedGust = c.GuessedGust || !w.HasGust
		c.HasAir = c.HasAir && w.HasAir
		c.Wind = math.Max(c.Wind, k.Wind.Value)
		c.AirC = math.Min(c.AirC, k.Air.Value)
		c.WaterC = math.Min(c.WaterC, k.Surface.Value)
		c.WaterLow = math.Min(c.WaterLow, k.Surface.Low)
		c.WaterHigh = math.Max(c.WaterHigh, k.Surface.High)
	}
	switch {
	case c.Thunder >= caution.ThunderLikely:
		c.ThunderFrom, c.ThunderMay = d.thunderFrom(caution.ThunderLikely), d.thunderFrom(caution.ThunderPossible)
	case c.Thunder >= caution.ThunderPossible:
		c.ThunderFrom = d.thunderFrom(caution.ThunderPossible)
	default:
		c.ThunderFrom = d.thunderFrom(min(c.Thunder, 1e-9))
	}
	c.FogAtFirst, c.FogUntil = d.facts.FogAtFirst, d.facts.Lifts
	if p.GoIn.Equal(d.facts.Over) { // its own caution says so
		c.GoIn = time.Time{}
	}
	if !c.Until.After(c.From) { // stay ashore: there is no time to be back by
		c.Until = d.Outing.Until
	}
	for _, n := range p.Hours {
		if n.Wave > c.Wave {
			c.Wave, c.WaveAt = n.Wave, n.At
		}
	}
	if b := d.Bag.Boat; b != nil {
		c.People, c.Engine, c.Anchor = b.People, b.HasEngine(), b.Anchor
	}
	for _, s := range d.facts.SetUps {
		c.HeavyFlies = c.HeavyFlies || s.Rig.Way == tackle.Lures
	}
	d.facts.Cautions = caution.Of(c)
	return nil
}
