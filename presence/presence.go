// Package presence says how likely fish are at each depth, and where on the
// lake, before anybody has cast: from the hour's conditions, the season, what is
// seen and what is told.
//
// Nobody has published the depth of fish by the hour in a stocked lake. What
// stands here is a modelling choice: a mixture of named reasons for fish to be
// somewhere (causes.go), each with its own depth rule, counted from the surface
// or from the bed, its own water (places.go) and its own weight; times what
// warmth, oxygen and light let a trout bear; over a floor of 0.15, so that no
// wrong rule can rule a depth out. All of it is shown with its weight and reason,
// and the diary corrects it: Filter and Drifts are what casts teach (filter.go,
// two.go, drifts.go).
//
// presence knows the lake's conditions and its places; it reads nothing and
// draws nothing by chance.
package presence

import (
	"math"
	"time"

	"windlane/conditions"
	"windlane/quantity"
)

// Layer is the thickness of the layers of a Belief. [m]
const Layer = 0.25

// Floor is what every layer has before the peak of the rules, scaled to 1, comes
// on top. Without it one wrong rule about light could not be unlearned in a day.
// [1] Modelling choice.
const Floor = 0.15

// deepest is the depth down to which rules are worked out; below, its value. [m]
const deepest = 40.0

// Day is what a person knows of the day. The zero value is nothing.
type Day struct {
	Seen       []Seen
	Told       []Told
	Stocked    []Stocking
	BrightDays int // days of strong sun before this one, running
	Aim        Aim
}

// Seen is a sign and how surely it was seen.
type Seen struct {
	Sign  Sign
	Trust quantity.Probability
}

// Told is hearsay: what they are on, the depth they are taken at, how many a rod
// lands, or several of these.
type Told struct {
	HasCause bool
	Cause    Cause

	HasDepth bool
	Top      float64 // [m], from the surface, or above the bed with FromBed
	Bottom   float64 // [m], at least Top; with FromBed the nearer to the bed is Top
	FromBed  bool

	HasRodAverage bool
	RodAverage    float64 // fish that a rod lands in a day, 0 or more [1]

	Trust quantity.Probability
}

// Stocking is fresh fish put in. Where gives their place.
type Stocking struct {
	At       time.Time
	HasPlace bool
	X        float64 // east on the lake's plane [m]
	Y        float64 // north [m]
}

// Prior is what to expect at an hour, over any bed.
type Prior struct {
	weights [causes]float64 // of each cause; sum 1 with the told depths' [1]
	told    []toldDepth     // hearsay about depths, with its share
	rules   [causes]rule
	stocked []Stocking
	at      time.Time

	bearable []float64 // what warmth, oxygen and light leave at each layer [1]
	remarks  []string  // where and why that is little

	aim              Aim
	takes            float64   // expected in a day on water of the mean worth, for Surest [1]
	chances, lambdas []float64 // room for certain
}

// toldDepth is a depth that was told, as one more part of the mixture.
type toldDepth struct {
	share      float64 // of the whole [1]
	centre, sd float64 // from the surface, or above the bed with fromBed [m]
	fromBed    bool
	trust      float64 // [1]
}

func (t *toldDepth) depth(bed float64) float64 {
	if t.fromBed {
		return clamp(bed-t.centre, 0, bed)
	}
	return clamp(t.centre, 0, bed)
}

// Expect works out the prior of an hour. Trusts are cut to 0 to 1.
func Expect(c conditions.Conditions, day Day) *Prior {
	p := &Prior{at: c.At, stocked: day.Stocked, aim: day.Aim, takes: day.RodAverage()}
	p.weigh(&c, &day)
	p.rule(&c, &day)
	p.bear(&c, day.BrightDays)
	left := 1.0
	for _, t := range day.Told {
		trust := clamp(float64(t.Trust), 0, 1)
		if !t.HasDepth || !(t.Bottom >= t.Top) || !(trust > 0) {
			continue
		}
		// A hearsay that is fully trusted takes 0.6 of what is left to the rules.
		p.told = append(p.told, toldDepth{
			share: 0.6 * trust, trust: trust, fromBed: t.FromBed,
			centre: (t.Top + t.Bottom) / 2, sd: math.Max(0.4, (t.Bottom-t.Top)/2),
		})
		left *= 1 - 0.6*trust
	}
	rest := 1.0
	for i := range p.told { // each takes its share of what the ones before it left
		p.told[i].share, rest = rest*p.told[i].share, rest*(1-p.told[i].share)
	}
	for h := range p.weights {
		p.weights[h] *= left
	}
	p.chances, p.lambdas = make([]float64, 0, int(causes)+len(p.told)), make([]float64, 0, int(causes)+len(p.told))
	return p
}

// bear works out how well a trout bears each depth.
//
// Warmth: full from 10 to 17 °C (rainbow's laboratory optimum 13.1 to 19.0,
// Brungs and Jones 1977; brown grow fastest at 10 to 15, J. Exp. Biol. 22:145,
// 1946), a bell of 2.5 K above (19 °C, rainbow's chronic criterion: 0.73; 23:
// 0.06) and 4 K below. Oxygen: half at 4.5 g/m³, slope 0.6 (EPA 440/5-86-003:
// moderate harm at 5, severe at 4). Dark: half the distance at which prey is
// seen is lost a little under 0.16 W/m² (18 lx: Hansen et al. 2013). Glare:
// above 100 W/m² (30 for the biggest fish) a bell of 1.2 in the logarithm, the more the more days of
// strong sun came before and the flatter the water; a modelling choice that the
// trade's "top three or four feet are poor after days of strong sun" checks.
func (p *Prior) bear(c *conditions.Conditions, brightDays int) {
	n := int(deepest / Layer)
	p.bearable = make([]float64, n)
	glare := math.Min(1, 0.3+0.2*float64(max(0, brightDays))) / (1 + c.Wave.Value/0.3)
	from := glareFrom
	if p.aim == Biggest {
		from = bigGlareFrom
	}
	warm, airless, bright := false, false, false
	for i := range n {
		z := (float64(i) + 0.5) * Layer
		warmth := over(c.TemperatureAt(z), func(t float64) float64 {
			return math.Exp(-square(math.Max(0, t-17)/2.5)/2 - square(math.Max(0, 10-t)/4)/2)
		})
		oxygen := over(c.OxygenAt(z), func(o float64) float64 { return 1 / (1 + math.Exp((4.5-o)/0.6)) })
		l := math.Log(math.Max(1e-9, c.LightAt(z).Value))
		dark := math.Exp(-square(math.Max(0, math.Log(0.16)-l)/1.2) / 2)
		glaring := math.Exp(-square(math.Max(0, l-math.Log(from))/1.2) / 2)
		p.bearable[i] = math.Pow(warmth, 0.7) * oxygen * math.Sqrt(dark) * math.Pow(glaring, glare)
		warm = warm || warmth < 0.7 && c.TemperatureAt(z).Value > 17
		airless = airless || oxygen < 0.7
		bright = bright || math.Pow(glaring, glare) < 0.7
	}
	switch {
	case bright && p.aim == Biggest:
		p.remarks = append(p.remarks, "much light: big fish keep down, and the top of the water counts for less")
	case bright:
		p.remarks = append(p.remarks, "bright sun: the top of the water counts for less")
	}
	if warm {
		p.remarks = append(p.remarks, "warm water: trout look for cooler, or feed less")
	}
	if airless {
		p.remarks = append(p.remarks, "deep water may be short of oxygen: it counts for less")
	}
}

// over is a rule's mean over a range: its value twice, its ends once.
func over(r conditions.Range, rule func(float64) float64) float64 {
	return (rule(r.Low) + 2*rule(r.Value) + rule(r.High)) / 4
}

// Spot is a place to ask about.
type Spot struct {
	HasBed bool
	Bed    quantity.Depth // of the water today
	Ground Ground         // what is near
	X      float64        // on the lake's plane, for fresh stock [m]
	Y      float64        // [m]
}

// Belief is what to expect at one spot.
type Belief struct {
	Bed     quantity.Depth
	Density []float64 // of fish by layer from the surface down; times Layer it sums to 1 [1/m]
	Bands   []Band    // their depth: one range, or two where there are two likely depths
	Mean    float64   // depth [m]
	SD      float64   // of the depth [m]
	Worth   float64   // how much this spot is worth against others at this hour, by the mean over the causes [1]
	Parts   []Part    // what it is made of, the weightiest first
	Remarks []string  // what else counts, in plain words
}

// Band is a range of depth from the surface, and the share of fish expected there.
type Band struct {
	Top    float64 // [m]
	Bottom float64 // [m]
	Share  float64 // [1]
}

// Part is one cause in a belief.
type Part struct {
	Name    string
	Weight  float64 // share here; all sum to 1 [1]
	Low     float64 // with odds half as good [1]
	High    float64 // with odds twice as good [1]
	FromBed bool    // its depth is kept from the bed, not from the surface
	Centre  float64 // depth from the surface here [m]
	SD      float64 // of that depth [m]
	Why     string  // in plain words
}

// assumedBed is the depth taken where nobody sounded. [m]
const assumedBed = 6.0

// At is what to expect at a spot.
func (p *Prior) At(s Spot) Belief {
	b := Belief{Remarks: p.remarks}
	if !s.HasBed {
		s.Bed = assumedBed
		b.Remarks = append([]string{"depth here not sounded: a guess taken"}, p.remarks...)
	}
	bed := clamp(float64(s.Bed), Layer, 500)
	s.Bed = quantity.Depth(bed)
	b.Bed = s.Bed
	b.Density = make([]float64, Layers(bed))
	b.Worth = p.Fill(b.Density, s)
	draw, worth := p.draw(bed, &s)
	for h, w := range draw {
		w /= worth
		if w < 0.005 {
			continue
		}
		r := p.rules[h]
		b.Parts = append(b.Parts, part(Cause(h).String(), w, r.fromBed, r.depth(bed), r.sd, r.why))
	}
	for _, t := range p.told {
		b.Parts = append(b.Parts, part("told", t.share*toldOver/worth, t.fromBed, t.depth(bed), t.sd, "a depth that was told, "+trusted(t.trust)))
	}
	sortParts(b.Parts)
	for i, d := range b.Density {
		z, dz := layer(i, bed)
		b.Mean += d * dz * z
		b.SD += d * dz * z * z
	}
	b.SD = math.Sqrt(math.Max(0, b.SD-b.Mean*b.Mean))
	b.Bands = Bands(b.Density, bed)
	return b
}

func part(name string, w float64, fromBed bool, centre, sd float64, why string) Part {
	return Part{name, w, w / (2 - w), 2 * w / (1 + w), fromBed, centre, sd, why}
}

func trusted(t float64) string {
	switch {
	case t >= 0.75:
		return "well trusted"
	case t >= 0.4:
		return "half trusted"
	}
	return "little trusted"
}

// Layers is how many layers there are over a bed [m]; the last may be thinner.
func Layers(bed float64) int { return max(1, int(math.Ceil(bed/Layer-1e-9))) }

// layer gives the middle of layer i over a bed, and its thickness. [m]
func layer(i int, bed float64) (middle, thickness float64) {
	top := float64(i) * Layer
	thickness = math.Min(Layer, bed-top)
	return top + thickness/2, thickness
}

// Fill writes the density at a spot into dst, which must have Layers of its bed
// [1/m], and gives the spot's worth [1]. It allocates nothing. The bed must be
// known.
func (p *Prior) Fill(dst []float64, s Spot) (worth float64) {
	bed := float64(s.Bed)
	if len(dst) != Layers(bed) {
		panic("presence: a density needs as many layers as Layers says")
	}
	clear(dst)
	draw, worth := p.draw(bed, &s)
	for h, w := range draw {
		r := &p.rules[h]
		add(dst, bed, w, r.depth(bed), r.sd)
	}
	for i := range p.told {
		t := &p.told[i]
		add(dst, bed, t.share*toldOver, t.depth(bed), t.sd)
	}
	// a log-linear pool (Genest and Zidek 1986, from memory): mixture times what can be borne,
	// its peak scaled to 1, over the floor
	peak := 0.0
	for i := range dst {
		dst[i] *= p.bearable[min(i, len(p.bearable)-1)]
		peak = math.Max(peak, dst[i])
	}
	sum := 0.0
	for i := range dst {
		if peak > 0 {
			dst[i] /= peak
		}
		dst[i] += Floor
		_, dz := layer(i, bed)
		sum += dst[i] * dz
	}
	for i := range dst {
		dst[i] /= sum
	}
	return worth
}

// add puts a bell of a weight into a density, cut at the surface and the bed.
func add(dst []float64, bed, weight, centre, sd float64) {
	sum := 0.0
	for i := range dst {
		z, dz := layer(i, bed)
		sum += bell(z, centre, sd) * dz
	}
	if sum <= 0 {
		return
	}
	for i := range dst {
		z, _ := layer(i, bed)
		dst[i] += weight * bell(z, centre, sd) / sum
	}
}

func bell(z, centre, sd float64) float64 { return math.Exp(-square((z-centre)/sd) / 2) }

func square(x float64) float64 { return x * x }

func clamp(x, low, high float64) float64 { return math.Max(low, math.Min(x, high)) }

// ramp climbs from 0 at a to 1 at b.
func ramp(x, a, b float64) float64 { return clamp((x-a)/(b-a), 0, 1) }
