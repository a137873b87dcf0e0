package windlane

import (
	"math"
	"strings"
	"time"

	"windlane/caution"
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
		for _, group := range strings.Fields(w.Weather) {
			c.Fog = c.Fog || group == "FG" || group == "FZFG" || group == "PRFG" // shallow and patchy fog left out
		}
		c.GuessedGust = c.GuessedGust || !w.HasGust
		c.HasAir = c.HasAir && w.HasAir
		c.Wind = math.Max(c.Wind, k.Wind.Value)
		c.AirC = math.Min(c.AirC, k.Air.Value)
		c.WaterC = math.Min(c.WaterC, k.Surface.Value)
		c.WaterLow = math.Min(c.WaterLow, k.Surface.Low)
		c.WaterHigh = math.Max(c.WaterHigh, k.Surface.High)
	}
	c.ThunderMay = d.thunderFrom(min(c.Thunder, caution.ThunderPossible))
	c.ThunderFrom = d.thunderFrom(min(c.Thunder, caution.ThunderLikely))
	if p.GoIn.Equal(d.facts.Thunder) { // its own caution says so
		c.GoIn = time.Time{}
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
