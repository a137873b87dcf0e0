package windlane

import (
	"math"

	"windlane/caution"
	"windlane/tackle"
)

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
		GustLimit: d.facts.Limits.Gust, WaveLimit: d.facts.Limits.Wave,
		HasWater: true, WaterC: math.Inf(1),
		HasAir: true, AirC: math.Inf(1),
		Engine: true, Returned: true,
		Drogue: len(d.Bag.Drogues) > 0,
	}
	for i, h := range d.facts.Hours {
		k := h.Conditions
		if k.Gust > c.Gust {
			c.Gust, c.GustAt = k.Gust, h.At
		}
		if i < len(p.Hours) && p.Hours[i].Wave > c.Wave {
			c.Wave, c.WaveAt = p.Hours[i].Wave, h.At
		}
		if h.Weather.Thunder && !c.Thunder {
			c.Thunder, c.ThunderFrom = true, h.At
		}
		c.Wind = math.Max(c.Wind, k.Wind.Value)
		c.AirC = math.Min(c.AirC, k.Air.Value)
		c.WaterC = math.Min(c.WaterC, k.Surface.Value)
	}
	if b := d.Bag.Boat; b != nil {
		c.People, c.Engine, c.Anchor = b.People, b.Motor != tackle.Oars, b.Anchor
	}
	for _, s := range d.facts.SetUps {
		c.HeavyFlies = c.HeavyFlies || s.Rig.Way == tackle.Lures
	}
	d.facts.Cautions = caution.Of(c)
	return nil
}
