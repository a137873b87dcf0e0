package presence

import "math"

// Aim is what the person wants of the day, as far as it changes where to look.
type Aim int

// The aims.
const (
	Most    Aim = iota // as many as may be: the mean over the causes
	Surest             // one for everybody: what holds up whatever they are on
	Biggest            // a big one: other odds, edges, less light
)

// UsualRodAverage is what a rod lands in a day on a stocked lake when nobody
// says: two to four (common practice, no source). [1]
const UsualRodAverage = 3.0

// leastRodAverage stands for a lake on which nobody is said to catch. [1]
const leastRodAverage = 0.1

// RodAverage is what a rod may land in a day [1]: what was told, each by its
// trust, and UsualRodAverage by what doubt is left, as a geometric mean. One who
// is fully trusted is believed; two half trusted count for three quarters.
func (d *Day) RodAverage() float64 {
	log, trusts, doubt := 0.0, 0.0, 1.0
	for _, t := range d.Told {
		trust := clamp(float64(t.Trust), 0, 1)
		if !t.HasRodAverage || !(t.RodAverage >= 0) || !(trust > 0) {
			continue
		}
		log += trust * math.Log(math.Max(leastRodAverage, t.RodAverage)/UsualRodAverage)
		trusts += trust
		doubt *= 1 - trust
	}
	if trusts == 0 {
		return UsualRodAverage
	}
	return UsualRodAverage * math.Exp((1-doubt)*log/trusts)
}

// Certain is the number of fish, expected for sure, that leaves the same chance
// of none as takes[i] expected with the chance chances[i]:
//
//	−ln Σ pᵢ e^(−λᵢ), chances scaled to sum 1
//
// with fish met one by one, independently (Poisson). No more than the mean
// Σ pᵢ λᵢ, and as much when all λ are equal; small takes add up as the mean does.
// The chance of at least one is 1 − e^(−Certain). [1]
func Certain(chances, takes []float64) float64 {
	if len(chances) != len(takes) {
		panic("presence: a chance is needed for each number of takes")
	}
	least := math.Inf(1) // counted from it, so that no exponential is lost
	for _, l := range takes {
		least = math.Min(least, l)
	}
	none, sum := 0.0, 0.0
	for i, p := range chances {
		none += p * math.Expm1(least-takes[i])
		sum += p
	}
	if !(sum > 0) {
		return 0
	}
	return least - math.Log1p(none/sum)
}

// certain is the worth of a spot that leaves the same chance of none as its
// worth with each cause does, when so many takes are expected on water worth
// mean. draw is as Prior.draw gives it.
func (p *Prior) certain(draw *[causes]float64, takes, mean float64) float64 {
	chances, lambdas := p.chances[:0], p.lambdas[:0]
	for h, w := range draw {
		if chance := p.weights[h]; chance > 0 {
			chances, lambdas = append(chances, chance), append(lambdas, takes*w/chance/mean)
		}
	}
	for _, t := range p.told {
		chances, lambdas = append(chances, t.share), append(lambdas, takes*toldOver/mean)
	}
	p.chances, p.lambdas = chances, lambdas
	return Certain(chances, lambdas) * mean / takes
}

// Thickness is how thick a reason puts the fish in each of n layers from the
// surface down, over a bed [m]; nothing below it. [1/m]
func (p Part) Thickness(n int, bed float64) []float64 {
	all := make([]float64, Layers(math.Max(Layer, bed)))
	add(all, math.Max(Layer, bed), 1, p.Centre, p.SD)
	out := make([]float64, n)
	copy(out, all)
	return out
}

// big is by how much the odds of a cause are multiplied for the biggest fish.
// [1] Those that grew on in the lake eat small fish and live on the bed, new ones
// are of one size. Common practice put into numbers by us, no source.
var big = [causes]float64{Midge: 1, Daphnia: 0.7, Fry: 3, BedFood: 1.5, FreshStock: 0.25, Surface: 0.7, Suspended: 1}

// bigGain is what a feature holds for the biggest fish besides gain, whatever
// they are on. [1] Common practice put into numbers by us, no source.
var bigGain = [features]float64{DropOff: 0.5, SunkenIsland: 0.3, Inflow: 0.3, OldBed: 0.3, Structure: 0.5}

// The light from which glare counts [W/m²]: big fish shun it sooner. Modelling
// choices, see bear.
const (
	glareFrom    = 100.0
	bigGlareFrom = 30.0
)
