package presence

import (
	"math"
	"slices"
)

// companion is a belief that fish hold in two layers, kept beside the one of one
// layer: with offers high up and deep down and little effort between, one layer
// puts them in the middle, where none was met. Pairs of depths half a metre apart
// from 0.25 m down, at least 1.5 m from one another, with a share of .35 or .65
// in the upper one; in the top 12 m, below which nobody fishes fly tackle. The
// centres stand; they leak to the prior a little faster
// than one layer does (.25 an hour where that has .12).
type companion struct {
	l      *lattice
	pairs  []pair
	prior  []float64 // of the pairs now
	chance float64   // that there are two layers
}

type pair struct{ upper, lower, share float64 }

// Modelling choices. With a spread of .5 instead the intensity moves by a third.
const (
	pairFirst  = 0.25 // [m]
	pairStep   = 0.5  // [m]
	pairApart  = 1.5  // [m]
	pairDepths = 24
	pairSpread = 0.6 // [m]
	pairLeak   = 0.25 / 0.12
)

// MostPairs is the most pairs of two layers that a Filter keeps, in 12 m of water
// and more.
const MostPairs = (pairDepths - pairApart/pairStep) * (pairDepths - pairApart/pairStep + 1)

// pairDepthsOver is the depths of pairs over a bed. [m]
func pairDepthsOver(bed float64) (depths []float64) {
	for i := range pairDepths {
		if z := pairFirst + pairStep*float64(i); z < bed-1e-9 {
			depths = append(depths, z)
		}
	}
	return depths
}

// newCompanion is nil where the depths are too few for two layers.
func newCompanion(m *Model, prior, rate, states, depths []float64, apart float64) *companion {
	c := &companion{chance: m.TwoLayerPrior}
	n := m.Layers()
	var g []float64
	upper, lower := make([]float64, n), make([]float64, n)
	for a, za := range depths {
		for _, zb := range depths[a+1:] {
			if zb-za < apart-1e-9 {
				continue
			}
			centred(upper, m.Layer, za, pairSpread)
			centred(lower, m.Layer, zb, pairSpread)
			for _, share := range []float64{0.35, 0.65} {
				c.pairs = append(c.pairs, pair{za, zb, share})
				for i := range n {
					g = append(g, (1-m.Background)*(share*upper[i]+(1-share)*lower[i])+m.Background/m.Bottom)
				}
			}
		}
	}
	if len(c.pairs) == 0 {
		return nil
	}
	c.prior = make([]float64, len(c.pairs))
	c.setPrior(prior, m.Layer)
	c.l = newLattice(n, m.Layer, g, rate, c.prior, states)
	return c
}

// setPrior weighs a pair by its shares of what the prior has at its depths.
func (c *companion) setPrior(prior []float64, layer float64) {
	at := func(z float64) float64 { // straight between the layers' middles
		x := clamp(z/layer-0.5, 0, float64(len(prior)-1))
		i := min(int(x), len(prior)-2)
		if i < 0 {
			return prior[0]
		}
		return prior[i] + (x-float64(i))*(prior[i+1]-prior[i])
	}
	sum := 0.0
	weights := make([]float64, len(c.pairs))
	for i, p := range c.pairs {
		weights[i] = p.share*at(p.upper) + (1-p.share)*at(p.lower)
		sum += weights[i]
	}
	if !(sum > 0) { // the prior has nothing where a pair could be
		for i := range weights {
			weights[i] = 1
		}
	}
	c.prior = scaled(weights)
}

func (c *companion) clone() *companion {
	d := *c
	d.l = c.l.clone()
	return &d
}

// leak lets a time pass that is worth so much of the one layer's leak.
func (c *companion) leak(worth, prior float64) {
	if !(worth > 0) {
		return
	}
	c.l.leak(-math.Expm1(-pairLeak*worth), c.prior)
	c.chance += -math.Expm1(-worth) * (prior - c.chance)
}

func (c *companion) renew(chance float64, weights []float64) { c.l.renew(chance, weights) }

// update takes in a cast of which one layer expected so much.
func (c *companion) update(x []float64, events []Event, one float64) {
	two, ok := c.l.update(x, events)
	if !ok {
		c.chance = 0
		return
	}
	top := math.Max(one, two)
	a, b := (1-c.chance)*math.Exp(one-top), c.chance*math.Exp(two-top)
	c.chance = b / (a + b)
}

// TwoLayers is the chance that fish hold in two layers. [1]
func (f *Filter) TwoLayers() float64 {
	if f.two == nil {
		return 0
	}
	return f.two.chance
}

// Lie is where fish are to be looked for, for words: a band that holds half of
// what a fly brings, or two bands and never the water between.
type Lie struct {
	Bands []Band
	// HardlyTried: where it is likeliest a fly has hardly been, so that it is not
	// known to hold fish; it is only not ruled out.
	HardlyTried bool
}

// A place is hardly tried while fewer offers than this would have been expected
// from all that was fished, had the fish been there. [1] Modelling choice.
const hardlyTried = 0.5

// Lie says where fish are to be looked for. Two layers that are likelier than not,
// with a low between them under 0.6 of the lesser peak, are two bands.
func (f *Filter) Lie() Lie {
	h := make([]float64, f.centres)
	f.Intensity(h)
	if f.TwoLayers() > 0.5 {
		two := make([]float64, f.centres)
		f.two.l.intensity(two)
		if bands := apart(two, f.model.Layer); bands != nil {
			return Lie{Bands: bands, HardlyTried: f.hardly(bands[0].middle()) || f.hardly(bands[1].middle())}
		}
	}
	bed := f.model.Bottom
	d := make([]float64, Layers(bed))
	sum := 0.0
	for i := range d {
		z, dz := layer(i, bed)
		d[i] = h[min(int(z/f.model.Layer), len(h)-1)]
		sum += d[i] * dz
	}
	for i := range d {
		d[i] /= sum
	}
	l := Lie{Bands: Bands(d, bed)}
	peak := slices.MaxFunc(l.Bands, func(a, b Band) int { return int(round(a.Share) - round(b.Share)) })
	l.HardlyTried = f.hardly(peak.middle())
	return l
}

func (b Band) middle() float64 { return (b.Top + b.Bottom) / 2 }

// hardly says whether water has hardly been tried.
func (f *Filter) hardly(z float64) bool { return f.Expected(z) < hardlyTried }

// Expected is how many offers all that was fished would have brought, had fish of
// the day's mean level and the companion's spread lain about a depth [m]. [1]
func (f *Filter) Expected(depth float64) float64 {
	centred(f.h, f.model.Layer, depth, pairSpread)
	level, _ := f.Level()
	sum := 0.0
	for i, x := range f.tried {
		sum += x * ((1-f.model.Background)*f.h[i] + f.model.Background/f.model.Bottom)
	}
	return level * sum
}

// apart is the two bands of an intensity with two humps, each the shortest that
// holds half of its own side of the low between; nil where the low is not low.
func apart(h []float64, layer float64) []Band {
	var peaks []int
	for i := range h {
		if (i == 0 || round9(h[i]) > round9(h[i-1])) && (i == len(h)-1 || round9(h[i]) >= round9(h[i+1])) {
			peaks = append(peaks, i)
		}
	}
	slices.SortStableFunc(peaks, func(a, b int) int { return int(round9(h[b]) - round9(h[a])) })
	for _, second := range peaks[min(1, len(peaks)):] {
		a, b := min(peaks[0], second), max(peaks[0], second)
		low := a
		for i := a; i <= b; i++ {
			if h[i] < h[low] {
				low = i
			}
		}
		if h[low] < 0.6*h[second] {
			whole := 0.0
			for _, x := range h {
				whole += x
			}
			return []Band{half(h, 0, low, layer, whole), half(h, low+1, len(h), layer, whole)}
		}
	}
	return nil
}

// round9 makes intensities whole numbers, so that an ulp decides nothing.
func round9(x float64) int64 { return int64(x*1e9 + 0.5) }

// half is the shortest run of layers from a to before b that holds half of them.
func half(h []float64, a, b int, layer, whole float64) Band {
	sum := 0.0
	for _, x := range h[a:b] {
		sum += x
	}
	best := Band{float64(a) * layer, float64(b) * layer, sum / whole}
	for i := a; i < b; i++ {
		share := 0.0
		for j := i; j < b; j++ {
			share += h[j]
			if share >= sum/2*(1-1e-9) {
				if r := (Band{float64(i) * layer, float64(j+1) * layer, share / whole}); better(r, best) {
					best = r
				}
				break
			}
		}
	}
	return best
}
