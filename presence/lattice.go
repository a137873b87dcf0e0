package presence

import "math"

// lattice is a belief over how fish lie by depth (profiles) and how freely they
// answer (states), as one probability for each pair. Every unknown that acts on
// another lies in it, so that nothing is sampled: the same casts give the same
// bits. After it is made it allocates nothing.
//
// A cast multiplies each pair by a marked Poisson process:
//
//	L = exp(−λE)·Π λeⱼ,  E = Σ X[l]·g[l],  eⱼ = Σ Xⱼ[l]·g[l]·N(dⱼ; z[l], sⱼ)
//
// X is the exposure of a layer [s], g how thick a profile has fish there [1/m], λ
// a state's rate [m/s], d and s an offer's depth and its spread [m]; an offer of
// unknown depth has no N.
type lattice struct {
	layers, profiles, states int
	layer                    float64   // thickness [m]
	g                        []float64 // profile by layer [1/m]
	rate, logRate            []float64 // of a state [m/s]
	p, next                  []float64 // profile by state
	exposed, offered         []float64 // room: E and Π eⱼ (scaled) of each profile
	seen                     []float64 // room: Xⱼ·N of each layer
	power                    []float64 // room: n·ln λ of each state, from its greatest
	total                    []float64 // room for what leaks
}

func newLattice(layers int, layer float64, g, rate, profiles, states []float64) *lattice {
	l := &lattice{layers: layers, profiles: len(profiles), states: len(states), layer: layer, g: g, rate: rate}
	l.logRate, l.power = make([]float64, l.states), make([]float64, l.states)
	for s, r := range rate {
		l.logRate[s] = math.Log(r)
	}
	n := l.profiles * l.states
	l.p, l.next, l.total = make([]float64, n), make([]float64, n), make([]float64, n)
	l.exposed, l.offered, l.seen = make([]float64, l.profiles), make([]float64, l.profiles), make([]float64, layers)
	for k, a := range profiles {
		for s, b := range states {
			l.p[k*l.states+s] = a * b
		}
	}
	return l
}

func (l *lattice) clone() *lattice {
	c := *l
	for _, s := range []*[]float64{&c.p, &c.next, &c.exposed, &c.offered, &c.seen, &c.power, &c.total} {
		*s = append([]float64(nil), *s...)
	}
	return &c
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

// update takes in a cast. The second result is false, and the belief as it was,
// when the offers could not have been under any pair.
func (l *lattice) update(x []float64, events []Event) (logPredictive float64, ok bool) {
	least, most := math.Inf(1), 0.0
	for k := range l.exposed {
		e := dot(x, l.g[k*l.layers:(k+1)*l.layers])
		l.exposed[k], l.offered[k] = e, 1
		least, most = math.Min(least, e), math.Max(most, e)
	}
	if most == 0 && len(events) == 0 {
		return 0, true
	}
	log := 0.0
	for i := range events {
		l.see(x, &events[i])
		top := 0.0
		for k := range l.offered {
			l.offered[k] *= dot(l.seen, l.g[k*l.layers:(k+1)*l.layers])
			top = math.Max(top, l.offered[k])
		}
		if !(top > 0) {
			return math.Inf(-1), false
		}
		for k := range l.offered {
			l.offered[k] /= top
		}
		log += math.Log(top)
	}
	// the greatest exponent is taken out, so that none is lost
	shift := math.Inf(-1)
	for s, r := range l.rate {
		l.power[s] = float64(len(events)) * l.logRate[s]
		shift = math.Max(shift, l.power[s]-r*least)
	}
	for s := range l.power {
		l.power[s] = shift - l.power[s]
	}
	sum := 0.0
	power := l.power[:len(l.rate)]
	for k, e := range l.exposed {
		from, to, offered := l.p[k*l.states:][:len(l.rate)], l.next[k*l.states:][:len(l.rate)], l.offered[k]
		for s, r := range l.rate {
			x := from[s] * offered * decay(r*e+power[s])
			to[s] = x
			sum += x
		}
	}
	if !(sum > 0) {
		return math.Inf(-1), false
	}
	whole := 1 / sum
	for i := range l.next {
		l.next[i] *= whole
	}
	l.p, l.next = l.next, l.p
	return log + shift + math.Log(sum), true
}

// decay is e^−x for x of 0 or more (−1e-12 is taken for 0), within 3e-14 of its
// size: faster than math.Exp, and the same natively and in WebAssembly. A cast asks
// for it once a pair.
func decay(x float64) float64 {
	if !(x < 745) {
		return 0
	}
	k := int(x * 64)
	r := x - float64(k)*(1.0/64)
	return wholes[k>>6] * parts[k&63] * (1 - r*(1-r*(1.0/2-r*(1.0/6-r*(1.0/24-r*(1.0/120))))))
}

// wholes and parts are e^−i and e^−i/64.
var wholes, parts = [745]float64(powers(1, 745)), [64]float64(powers(1.0/64, 64))

func powers(step float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Exp(-step * float64(i))
	}
	return out
}

// see fills seen with an offer's exposure, weighed by how near each layer is.
func (l *lattice) see(x []float64, e *Event) {
	if e.Exposure != nil {
		x = e.Exposure
	}
	copy(l.seen, x)
	if !e.HasDepth {
		return
	}
	for i := range l.seen {
		z := (float64(i) + 0.5) * l.layer
		l.seen[i] *= bell(z, float64(e.Depth), e.SD) / (e.SD * math.Sqrt(2*math.Pi))
	}
}

// walk moves the centre, the first part of a profile, a step up or down with a
// chance each, n times, reflected at surface and bed.
func (l *lattice) walk(chance float64, n, centres int) {
	block := len(l.p) / centres
	for range n {
		for c := range centres {
			here, to := l.p[c*block:(c+1)*block], l.next[c*block:(c+1)*block]
			up, down := here, here
			if c > 0 {
				up = l.p[(c-1)*block : c*block]
			}
			if c < centres-1 {
				down = l.p[(c+1)*block : (c+2)*block]
			}
			for i, x := range here {
				to[i] = x + chance*((up[i]-x)+(down[i]-x))
			}
		}
		l.p, l.next = l.next, l.p
	}
}

// leak draws the first part of a profile anew from a prior with a chance.
func (l *lattice) leak(chance float64, prior []float64) {
	block := len(l.p) / len(prior)
	total := l.total[:block]
	clear(total)
	for c := range prior {
		for i, x := range l.p[c*block : (c+1)*block] {
			total[i] += x
		}
	}
	for c, w := range prior {
		here, keep, w := l.p[c*block:][:len(total)], 1-chance, chance*w
		for i, t := range total {
			here[i] = keep*here[i] + w*t
		}
	}
}

// renew draws the last part of a state anew from weights with a chance.
func (l *lattice) renew(chance float64, weights []float64) {
	keep := 1 - chance
	for here := l.p; len(here) >= len(weights); here = here[len(weights):] {
		sum := 0.0
		for i := range weights {
			sum += here[i]
		}
		sum *= chance
		for i, w := range weights {
			here[i] = keep*here[i] + sum*w
		}
	}
}

// intensity writes E[λg] into h, by layer: offers a second of exposure. [1/s]
func (l *lattice) intensity(h []float64) {
	clear(h)
	for k := range l.profiles {
		w := dot(l.rate, l.p[k*l.states:(k+1)*l.states])
		for i, g := range l.g[k*l.layers : (k+1)*l.layers] {
			h[i] += w * g
		}
	}
}

// centred is the share of a bell about a centre in each layer, over its
// thickness, cut at surface and bed. [1/m]
func centred(dst []float64, layer, centre, sd float64) {
	bed := layer * float64(len(dst))
	whole := between(0, bed, centre, sd)
	for i := range dst {
		top := float64(i) * layer
		dst[i] = between(top, top+layer, centre, sd) / (whole * layer)
	}
}

// between is a normal's mass from a to b, taken on the side of its centre that
// keeps the digits of a thin tail.
func between(a, b, centre, sd float64) float64 {
	a, b = (a-centre)/(sd*math.Sqrt2), (b-centre)/(sd*math.Sqrt2)
	if a+b < 0 {
		a, b = -b, -a
	}
	return (math.Erfc(a) - math.Erfc(b)) / 2
}

// rates is a grid of a day's levels, even in the logarithm, with the chance of
// each by a gamma density of a shape and a rate [s/m].
func rates(n int, shape, rate float64) (level, chance []float64) {
	level, chance = make([]float64, n), make([]float64, n)
	top, sum := math.Inf(-1), 0.0
	for i := range level {
		level[i] = leastRate * math.Pow(mostRate/leastRate, float64(i)/math.Max(1, float64(n-1)))
		chance[i] = shape*math.Log(level[i]) - rate*level[i] // density × level, since the steps are even in its logarithm
		top = math.Max(top, chance[i])
	}
	for i := range chance {
		chance[i] = math.Exp(chance[i] - top)
		sum += chance[i]
	}
	for i := range chance {
		chance[i] /= sum
	}
	return level, chance
}

// The ends of the grid of levels. [m/s]
const (
	leastRate = 2.5e-4
	mostRate  = 0.06
)

// scaled is weights over their sum.
func scaled(weights []float64) []float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	out := make([]float64, len(weights))
	for i, w := range weights {
		out[i] = w / sum
	}
	return out
}
