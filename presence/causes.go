package presence

import (
	"cmp"
	"math"
	"slices"

	"windlane/conditions"
)

// Cause is a reason for fish to be where they are.
type Cause int

// The causes. Their depth rules, seasons and waters are common practice with no
// source, put into numbers by us.
const (
	Midge      Cause = iota // buzzers, from the bed to the surface through the day
	Daphnia                 // at a light, which sinks as the sun climbs
	Fry                     // small fish near cover and the margins
	BedFood                 // corixa, snail, shrimp: on the bed, in shallow water
	FreshStock              // newly put in, near the top and near their place
	Surface                 // sedge, and flies blown from the land
	Suspended               // hanging at a layer of water, for no reason we know
	causes
)

var names = [causes]string{"midge", "daphnia", "fry", "corixa and snail", "fresh stock", "sedge and land flies", "suspended"}

func (c Cause) String() string {
	if c < 0 || c >= causes {
		return "unknown"
	}
	return names[c]
}

// Sign is what a person sees, or finds in a spooned stomach.
type Sign int

// The signs.
const (
	Rising         Sign = iota // fish at the surface
	MidgeHatching              // buzzers coming off
	BirdsLow                   // swallows, swifts or gulls picking at the surface
	BirdsDiving                // terns or grebes at small fish
	FryScattering              // small fish breaking the surface
	SedgesOut                  // sedges on the water
	LandFlies                  // flies blown on from the land
	SpoonedMidge               // found in a stomach, as are those below
	SpoonedDaphnia             //
	SpoonedFry                 //
	SpoonedBedFood             //
	SpoonedSurface             //
	signs
)

// times is by how much a sign, fully trusted, multiplies the odds of a cause.
// [1] Common practice put into numbers by us, no source.
var times = [signs][causes]float64{
	Rising:         {Midge: 2, FreshStock: 1.5, Surface: 3},
	MidgeHatching:  {Midge: 4},
	BirdsLow:       {Midge: 2.5, Surface: 1.5},
	BirdsDiving:    {Fry: 4},
	FryScattering:  {Fry: 6},
	SedgesOut:      {Surface: 5},
	LandFlies:      {Surface: 5},
	SpoonedMidge:   {Midge: 8},
	SpoonedDaphnia: {Daphnia: 8},
	SpoonedFry:     {Fry: 8},
	SpoonedBedFood: {BedFood: 8},
	SpoonedSurface: {Surface: 8},
}

// toldTimes is the same for a cause that was told. [1]
const toldTimes = 5.0

// season is the weight of a cause by the part of the year since midwinter. [1]
// 0.25 is late March, 0.5 midsummer, 0.75 late September.
func (c Cause) season(s float64) float64 {
	switch c {
	case Midge:
		return 0.10 + 1.0*yearly(s, 0.40, 0.12) + 0.3*yearly(s, 0.68, 0.08)
	case Daphnia:
		return 0.05 + 0.9*yearly(s, 0.53, 0.11)
	case Fry:
		return 0.03 + 0.8*yearly(s, 0.75, 0.08)
	case BedFood:
		return 0.15 + 0.4*yearly(s, 0.78, 0.12) + 0.2*yearly(s, 0.25, 0.10)
	case FreshStock:
		return 0.15 // a stocked lake whose stocking was not told
	case Surface:
		return 0.02 + 0.4*yearly(s, 0.57, 0.12)
	default:
		return 0.35
	}
}

// yearly is a bell that goes round the year.
func yearly(s, centre, sd float64) float64 {
	d := math.Mod(s-centre+1.5, 1) - 0.5
	return bell(d, 0, sd)
}

// weigh sets the weights of the causes at this hour.
func (p *Prior) weigh(c *conditions.Conditions, day *Day) {
	for h := range causes {
		p.weights[h] = h.season(c.Season)
	}
	if len(day.Stocked) > 0 {
		p.weights[FreshStock] = 0
		for _, s := range day.Stocked {
			// in full for three days, over by the tenth
			if days := c.At.Sub(s.At).Hours() / 24; days >= 0 {
				p.weights[FreshStock] += 0.9 * (1 - ramp(days, 3, 10))
			}
		}
	}
	p.weights[Surface] *= 0.5 + 2.5*ramp(c.Progress, 0.8, 0.95) // the evening rise
	if c.Wind.Value >= 4 {
		p.weights[Surface] *= 1.5 // land flies need a wind
	}
	if c.Layered {
		p.weights[Suspended] *= 1.5
	}
	for _, s := range day.Seen {
		if s.Sign < 0 || s.Sign >= signs {
			panic("presence: no such sign")
		}
		for h, f := range times[s.Sign] {
			if f > 0 {
				p.weights[h] *= 1 + clamp(float64(s.Trust), 0, 1)*(f-1)
			}
		}
	}
	for _, t := range day.Told {
		if t.HasCause {
			if t.Cause < 0 || t.Cause >= causes {
				panic("presence: no such cause")
			}
			p.weights[t.Cause] *= 1 + clamp(float64(t.Trust), 0, 1)*(toldTimes-1)
		}
	}
	sum := 0.0
	for h := range p.weights {
		if p.aim == Biggest {
			p.weights[h] *= big[h]
		}
		sum += p.weights[h]
	}
	for h := range p.weights {
		p.weights[h] /= sum
	}
}

// rule is where a cause puts fish, at one hour.
type rule struct {
	fromBed bool
	rises   float64 // share of the way up from the bed; only with climbs [1]
	climbs  bool    // between bed and surface by rises
	centre  float64 // from the surface, or above the bed with fromBed [m]
	sd      float64 // [m]
	why     string
}

// depth is the rule's centre over a bed, from the surface. [m]
func (r *rule) depth(bed float64) float64 {
	z := r.centre
	switch {
	case r.climbs:
		z = 0.6 + (1-r.rises)*math.Max(0, math.Min(bed, 8)-1.2)
	case r.fromBed:
		z = bed - r.centre
	}
	return clamp(z, 0.1, math.Max(0.1, bed-0.1))
}

// daphniaLight is the light that daphnia, and fish on them, keep to. [W/m²] With
// a Secchi depth of 3 m: 17 ft down under a high clear sun, 8 ft when overcast,
// at the top by dusk. Modelling choice.
const daphniaLight = 50.0

// rule sets where each cause puts fish at this hour.
func (p *Prior) rule(c *conditions.Conditions, day *Day) {
	up := ramp(c.Progress, 0.05, 0.9)
	for _, s := range day.Seen {
		if s.Sign == MidgeHatching || s.Sign == Rising {
			up = math.Min(1, up+0.4*clamp(float64(s.Trust), 0, 1))
		}
	}
	up = up * up * (3 - 2*up)
	p.rules[Midge] = rule{climbs: true, rises: up, fromBed: up < 0.5, sd: 1, why: climbing(up)}

	depth := func(light float64, k float64) float64 {
		return clamp(math.Log(math.Max(1e-9, light*(1-c.Reflectance)/daphniaLight))/k, 0.3, 15)
	}
	z := depth(c.Daylight.Value, c.Attenuation.Value)
	shallow, deep := depth(c.Daylight.Low, c.Attenuation.High), depth(c.Daylight.High, c.Attenuation.Low)
	why := "daphnia keep to a light: up near the top in this one"
	if z > 2 {
		why = "daphnia keep to a light: well down in this one"
	}
	p.rules[Daphnia] = rule{centre: z, sd: math.Hypot(clamp(1.2/c.Attenuation.Value, 0.6, 2), (deep-shallow)/4), why: why}

	p.rules[Fry] = rule{centre: 1, sd: 0.9, why: "small fish keep to the top near cover"}
	p.rules[BedFood] = rule{fromBed: true, centre: 0.4, sd: 0.5, why: "corixa, snail and shrimp live on the bed"}
	p.rules[FreshStock] = rule{centre: 0.9, sd: 0.6, why: "new fish swim near the top for some days"}
	p.rules[Surface] = rule{centre: 0.1, sd: 0.4, why: "flies on the surface"}
	p.rules[Suspended] = rule{centre: 2.6, sd: 1.6, why: "nothing known: a middling depth is a start"}
	if c.Layered {
		p.rules[Suspended] = rule{centre: math.Max(0.5, c.LayerTop-0.7), sd: 1.2, why: "hanging just above the cold layer"}
	}
}

func climbing(up float64) string {
	switch {
	case up < 0.2:
		return "midge climb from the bed through the day: still near the bed"
	case up < 0.8:
		return "midge climb from the bed through the day: about half way up"
	}
	return "midge climb from the bed through the day: up near the top"
}

func sortParts(parts []Part) {
	slices.SortStableFunc(parts, func(a, b Part) int { return cmp.Compare(round(b.Weight), round(a.Weight)) })
}
