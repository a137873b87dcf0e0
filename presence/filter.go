package presence

import (
	"math"

	"windlane/quantity"
)

// Model is what a Filter takes for granted. DefaultModel gives the product's.
type Model struct {
	Bottom        float64   // depth of the bed, a whole number of layers [m]
	Layer         float64   // thickness of a layer [m]
	Sigmas        []float64 // spreads that the layer of fish may have [m]
	SigmaWeights  []float64 // chance of each spread, any scale [1]
	Background    float64   // share of the fish that lie anywhere, 0 to 1 [1]
	RateShape     float64   // of the day's level, a gamma [1]
	RateRate      float64   // of the same, so that the mean is shape/rate [s/m]
	RatePoints    int       // of the grid of levels
	Local         []float64 // multipliers of the level on this drift, scaled to mean 1 [1]
	LocalWeights  []float64 // chance of each, any scale [1]
	Renewal       float64   // rate at which the multiplier is drawn anew [1/min]
	Walk          float64   // sd of the centre's way in an hour [m]
	Leak          float64   // rate at which the centre is drawn anew from the prior [1/h]
	Prior         []float64 // weight of each layer for the centre, any scale; nil for all alike [1]
	TwoLayers     bool      // whether the companion of two layers is kept
	TwoLayerPrior float64   // chance of two layers before a cast [1]
}

// DefaultModel is the product's model over a bed [m], a little deeper than said
// where that is no whole number of layers. Its numbers are modelling choices, held
// by synthetic days (docs/models/presence.md); none was measured on fish.
func DefaultModel(bed float64) Model {
	return Model{
		Bottom: float64(Layers(bed)) * Layer, Layer: Layer,
		Sigmas: []float64{0.35, 0.6, 1.0, 1.7}, SigmaWeights: []float64{0.20, 0.35, 0.30, 0.15},
		Background: 0.12, RateShape: 1.6, RateRate: 200, RatePoints: 13,
		Local: []float64{0.1, 0.6, 1.6, 3.5}, LocalWeights: []float64{0.40, 0.25, 0.22, 0.13},
		Renewal: 1.0 / 60, Walk: 0.5, Leak: 0.12, TwoLayers: true, TwoLayerPrior: 0.3,
	}
}

// Layers is how many layers the model has.
func (m *Model) Layers() int { return int(math.Round(m.Bottom / m.Layer)) }

// Event is one fish that answered: a follow, tap and take by the same fish in one
// cast are one event.
type Event struct {
	HasDepth bool
	Depth    quantity.Depth // where, with HasDepth
	SD       float64        // how surely, above 0, with HasDepth [m]
	Exposure []float64      // of the phase or fly that it answered, by layer; nil: the whole cast's [s]
}

// Filter is what casts teach of one day: the depth of the fish, the spread of
// their layer, how freely they answer and how this drift compares. One Update is
// one cast, or a whole spell with its exposure summed and all its offers; between
// two of them Pass lets time go by. Undo is to build it anew from what was
// written down: it is a cache of the diary, never stored.
//
// It is the belief behind what is said about depth, and the answer to the ask
// presence. Which water to stay on is Drifts' business.
type Filter struct {
	model   Model
	centres int
	sigmas  []float64
	local   []float64 // multipliers at mean 1
	weights []float64 // of them
	prior   []float64 // of the centre now
	one     *lattice
	two     *companion // nil where there is none
	tried   []float64  // exposure by layer since the beginning [s]
	log     float64    // evidence of one layer
	h       []float64  // room
}

// New is a belief before a cast. It panics where the model's lists do not match
// or a number is outside what Model says.
func New(m Model) *Filter {
	f := &Filter{model: m, centres: m.Layers(), sigmas: m.Sigmas}
	switch {
	case !(m.Layer > 0) || f.centres < 1 || math.Abs(float64(f.centres)*m.Layer-m.Bottom) > 1e-6*m.Bottom:
		panic("presence: a bed needs a whole number of layers")
	case len(m.Sigmas) == 0 || len(m.Sigmas) != len(m.SigmaWeights) || len(m.Local) == 0 || len(m.Local) != len(m.LocalWeights):
		panic("presence: each spread and multiplier needs a weight")
	case !(m.Background >= 0 && m.Background <= 1 && m.RateShape > 0 && m.RateRate > 0 && m.RatePoints > 0 && m.Renewal >= 0 && m.Walk >= 0 && m.Leak >= 0):
		panic("presence: a model's number is out of its range")
	}
	g := spread(f.centres, &m)
	f.weights = scaled(m.LocalWeights)
	mean := dot(f.weights, m.Local)
	f.local = make([]float64, len(m.Local))
	for i, u := range m.Local {
		f.local[i] = u / mean
	}
	level, chance := rates(m.RatePoints, m.RateShape, m.RateRate)
	rate, states := outer(level, f.local), outer(chance, f.weights)
	f.SetPrior(m.Prior)
	f.one = newLattice(f.centres, m.Layer, g, rate, outer(f.prior, scaled(m.SigmaWeights)), states)
	f.tried, f.h = make([]float64, f.centres), make([]float64, f.centres)
	if m.TwoLayers {
		f.two = newCompanion(&m, f.prior, rate, states, pairDepthsOver(m.Bottom), pairApart)
	}
	return f
}

// spread is how thick fish lie in each layer by centre and spread. [1/m]
func spread(centres int, m *Model) []float64 {
	g := make([]float64, centres*len(m.Sigmas)*centres)
	for c := range centres {
		for s, sd := range m.Sigmas {
			row := g[(c*len(m.Sigmas)+s)*centres:][:centres]
			centred(row, m.Layer, (float64(c)+0.5)*m.Layer, sd)
			for i := range row {
				row[i] = (1-m.Background)*row[i] + m.Background/m.Bottom
			}
		}
	}
	return g
}

// outer is each of a times each of b.
func outer(a, b []float64) []float64 {
	out := make([]float64, 0, len(a)*len(b))
	for _, x := range a {
		for _, y := range b {
			out = append(out, x*y)
		}
	}
	return out
}

// SetPrior gives the conditions' prior of the hour, to which the belief leaks: a
// weight of each layer on any scale, nil for all alike. It should have a floor
// (Prior.Fill's has), or what it rules out can never be learned. It panics
// where the weights do not match or none is above 0.
func (f *Filter) SetPrior(weights []float64) {
	if weights == nil {
		weights = make([]float64, f.centres)
		for i := range weights {
			weights[i] = 1
		}
	}
	if len(weights) != f.centres {
		panic("presence: a prior needs a weight for each layer")
	}
	f.prior = scaled(weights)
	for _, w := range f.prior {
		if !(w >= 0 && w <= 1) {
			panic("presence: a prior needs weights of 0 or more, and one above")
		}
	}
	if f.two != nil {
		f.two.setPrior(f.prior, f.model.Layer)
	}
}

// Pass lets time go by [min]: the centre walks and leaks to the prior, the drift's
// multiplier is renewed.
func (f *Filter) Pass(minutes float64) {
	if !(minutes >= 0) {
		panic("presence: time does not run backwards")
	}
	stroll(f.one, f.centres, &f.model, f.prior, minutes)
	renewal := -math.Expm1(-f.model.Renewal * minutes)
	f.renew(renewal)
	if f.two != nil {
		f.two.leak(f.model.Leak*minutes/60, f.model.TwoLayerPrior)
	}
}

// Steps is of how many steps the walk over a time [min] is made: equal ones of a
// layer up or down, with a chance under a quarter each. After many times as many as would
// mix all layers there is no more to be had.
func (m *Model) Steps(minutes float64) int {
	chance := m.walked(minutes)
	if !(chance > 0) {
		return 0
	}
	return int(chance/0.25) + 1
}

// walked is the chance of a step up, and that of one down, over all steps.
func (m *Model) walked(minutes float64) float64 {
	all := float64(m.Layers() * m.Layers())
	return math.Min(m.Walk*m.Walk*minutes/60/(2*m.Layer*m.Layer), 2*all)
}

// stroll is the centre's walk and leak.
func stroll(l *lattice, centres int, m *Model, prior []float64, minutes float64) {
	if n := m.Steps(minutes); n > 0 {
		l.walk(m.walked(minutes)/float64(n), n, centres)
	}
	if leak := -math.Expm1(-m.Leak * minutes / 60); leak > 0 {
		l.leak(leak, prior)
	}
}

// Move takes the boat to other water: the multiplier is drawn anew.
func (f *Filter) Move() { f.renew(1) }

func (f *Filter) renew(chance float64) {
	if !(chance > 0) {
		return
	}
	f.one.renew(chance, f.weights)
	if f.two != nil {
		f.two.renew(chance, f.weights)
	}
}

// Update takes in a cast, or a spell: seconds of exposure by layer, already
// weighed by fly, phase and sight, and the fish that answered. It gives the
// logarithm of what it expected of just that (one layer). ok is false, and the belief
// as it was, when there was no exposure where a fish answered. It allocates
// nothing, and panics where an exposure does not match the layers.
func (f *Filter) Update(exposure []float64, events []Event) (logPredictive float64, ok bool) {
	check(f.centres, exposure, events)
	logPredictive, ok = f.one.update(exposure, events)
	if !ok {
		return logPredictive, false
	}
	if f.two != nil {
		f.two.update(exposure, events, logPredictive)
	}
	f.log += logPredictive
	for i, x := range exposure {
		f.tried[i] += x
	}
	return logPredictive, true
}

func check(layers int, exposure []float64, events []Event) {
	if len(exposure) != layers {
		panic("presence: an exposure needs the seconds of each layer")
	}
	for i := range events {
		if e := &events[i]; e.Exposure != nil && len(e.Exposure) != layers || e.HasDepth && !(e.SD > 0) {
			panic("presence: an offer needs the seconds of each layer, and a spread")
		}
	}
}

// Clone is a copy, for what-if.
func (f *Filter) Clone() *Filter {
	c := *f
	c.one = f.one.clone()
	c.tried, c.h = append([]float64(nil), f.tried...), append([]float64(nil), f.h...)
	if f.two != nil {
		c.two = f.two.clone()
	}
	return &c
}

// Model is what the filter takes for granted, as given.
func (f *Filter) Model() Model { return f.model }

// LogEvidence is the logarithm of what one layer expected of all that came. [1]
func (f *Filter) LogEvidence() float64 { return f.log }

// Centre is the chance of each layer to be the centre of the fish, by one layer.
// [1]
func (f *Filter) Centre() []float64 {
	out := make([]float64, f.centres)
	block := len(f.one.p) / f.centres
	for c := range out {
		for _, x := range f.one.p[c*block : (c+1)*block] {
			out[c] += x
		}
	}
	return out
}

// CentreSummary is the mean and sd of the centre (layers by their middles) and
// its quantiles (straight within a layer). [m]
func (f *Filter) CentreSummary(quantiles ...float64) (mean, sd float64, at []float64) {
	p := f.Centre()
	second := 0.0
	for i, x := range p {
		z := (float64(i) + 0.5) * f.model.Layer
		mean, second = mean+x*z, second+x*z*z
	}
	for _, q := range quantiles {
		at = append(at, quantile(p, f.model.Layer, q))
	}
	return mean, math.Sqrt(math.Max(0, second-mean*mean)), at
}

func quantile(p []float64, layer, q float64) float64 {
	sum := 0.0
	for i, x := range p {
		if sum+x >= q && x > 0 {
			return (float64(i) + (q-sum)/x) * layer
		}
		sum += x
	}
	return float64(len(p)) * layer
}

// Level is the mean and sd of the day's level of answering, one layer: offers a
// second of exposure where fish lie one to the metre of depth. [m/s]
func (f *Filter) Level() (mean, sd float64) {
	n := len(f.local)
	second := 0.0
	for i, x := range f.one.p {
		s := i % f.one.states
		a := f.one.rate[s-s%n] / f.local[0]
		mean, second = mean+x*a, second+x*a*a
	}
	return mean, math.Sqrt(math.Max(0, second-mean*mean))
}

// Here is the mean of this drift's multiplier, one layer: 1 is as elsewhere. [1]
func (f *Filter) Here() float64 {
	sum := 0.0
	for i, x := range f.one.p {
		sum += x * f.local[i%len(f.local)]
	}
	return sum
}

// Intensity writes what a second of exposure in each layer brings into h, over
// both models. It counts offers, seen or not. [1/s]
func (f *Filter) Intensity(h []float64) {
	if len(h) != f.centres {
		panic("presence: an intensity needs a value for each layer")
	}
	f.one.intensity(h)
	if f.two == nil || f.two.chance == 0 {
		return
	}
	f.two.l.intensity(f.h)
	for i, x := range f.h {
		h[i] += f.two.chance * (x - h[i])
	}
}

// Expect is how many offers a cast brings, over both models [1]; it allocates
// nothing. Where X is as fished, without what follows in the deep hide.
func (f *Filter) Expect(exposure []float64) float64 {
	check(f.centres, exposure, nil)
	n := f.one.expect(exposure)
	if f.two != nil {
		n += f.two.chance * (f.two.l.expect(exposure) - n)
	}
	return n
}

func (l *lattice) expect(x []float64) float64 {
	sum := 0.0
	for k := range l.profiles {
		sum += dot(x, l.g[k*l.layers:(k+1)*l.layers]) * dot(l.rate, l.p[k*l.states:(k+1)*l.states])
	}
	return sum
}
