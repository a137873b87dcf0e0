package presence

import "math"

// Drifts is what casts teach of where to stay: as Filter, but this drift's worth is
// one of four classes, and on each the fish come on and go off in spells. It is
// kept beside the Filter, fed with the same casts, and asked one thing: stay here,
// go back to water fished before, or on to new water. What is said about depth is
// the Filter's.
//
// Minutes have it all: a stretch's index is what may be had from it, counted in
// minutes on water of the mean worth.
type Drifts struct {
	model   Model
	spells  Spells
	centres int
	prior   []float64
	level   []float64 // of the day [m/s]
	l       *lattice
	keep    []float64 // chance by class that on or off is not drawn anew; room
	here    []float64 // room: of class and on/off
}

// Spells is what Drifts takes for granted of a drift's worth.
type Spells struct {
	Share   []float64 // of the time that fish are on, in each class, under 1 [1]
	Chances []float64 // of each class, any scale [1]
	On      float64   // multiplier of the level while they are on [1]
	Off     float64   // while they are off [1]
	Length  float64   // of a spell on, in the mean [min]
}

// DefaultSpells are the four classes of synthetic days; modelling choices.
func DefaultSpells() Spells {
	return Spells{Share: []float64{0.04, 0.18, 0.40, 0.68}, Chances: []float64{0.30, 0.25, 0.25, 0.20}, On: 3, Off: 0.25, Length: 20}
}

// MoveRule is when to leave a stretch. DefaultMoveRule gives the product's.
type MoveRule struct {
	Ride  float64 // minutes lost by going elsewhere [min]
	Worth float64 // of a minute anywhere, in minutes on water of the mean worth [1]
	Guard float64 // minutes without an answer before leaving is thought of [min]
	Least float64 // minutes left under which nobody moves [min]
}

// DefaultMoveRule is the rule for so many rods in the boat; its guard is shorter
// when two rods search.
func DefaultMoveRule(rods int) MoveRule {
	r := MoveRule{Ride: 12, Worth: 1, Guard: 22, Least: 30}
	if rods > 1 {
		r.Guard = 15
	}
	return r
}

// Stretch is what is believed of one stretch of water: the chance of each class
// with the fish on and off, on first. It is kept when the boat leaves and handed
// back when it returns.
type Stretch []float64

// DriftsModel is the model that the rule was tried with: DefaultModel, at nine
// levels of a slightly higher mean.
func DriftsModel(bed float64) Model {
	m := DefaultModel(bed)
	m.RatePoints, m.RateRate = 9, 180
	return m
}

// NewDrifts is the belief before a cast on new water. Of the model it takes all
// but Local, Renewal and TwoLayers. It panics where lists do not match.
func NewDrifts(m Model, s Spells) *Drifts {
	if len(s.Share) == 0 || len(s.Share) != len(s.Chances) || !(s.On > 0 && s.Off > 0 && s.Length > 0) {
		panic("presence: each class of drift needs a share and a chance")
	}
	for _, f := range s.Share {
		if !(f >= 0 && f < 1) {
			panic("presence: a share of time lies from 0 to under 1")
		}
	}
	m.Local, m.LocalWeights, m.TwoLayers = []float64{1}, []float64{1}, false
	f := New(m) // for its checks and its prior
	d := &Drifts{model: m, spells: s, centres: f.centres, prior: f.prior}
	level, chance := rates(m.RatePoints, m.RateShape, m.RateRate)
	worth := make([]float64, 2*len(s.Share))
	for c := range s.Share {
		worth[2*c], worth[2*c+1] = s.On, s.Off
	}
	d.level = level
	d.keep, d.here = make([]float64, len(s.Share)), make([]float64, len(worth))
	d.l = newLattice(f.centres, m.Layer, f.one.g, outer(level, worth), outer(f.prior, scaled(m.SigmaWeights)), outer(chance, d.New()))
	return d
}

// SetPrior gives the conditions' prior of the hour, as Filter.SetPrior.
func (d *Drifts) SetPrior(weights []float64) {
	f := Filter{model: d.model, centres: d.centres}
	f.SetPrior(weights)
	d.prior = f.prior
}

// New is a stretch that nobody has fished.
func (d *Drifts) New() Stretch { return d.NewOf(d.spells.Chances) }

// NewOf is a stretch of which something is known besides: the chance of each
// class, on any scale.
func (d *Drifts) NewOf(chances []float64) Stretch {
	if len(chances) != len(d.spells.Share) {
		panic("presence: each class of drift needs a chance")
	}
	q := make(Stretch, 0, 2*len(chances))
	for c, w := range scaled(chances) {
		f := d.spells.Share[c]
		q = append(q, w*f, w*(1-f))
	}
	return q
}

// Marked is a stretch with a mark of how good it looks, on the scale of Share,
// read with an error of so much:
//
//	p(c|y) ∝ w·N(y; f, √(error² + .1²))
func (d *Drifts) Marked(mark, errorSD float64) Stretch {
	w := make([]float64, len(d.spells.Share))
	sd, top := math.Hypot(errorSD, 0.1), math.Inf(-1)
	for c, f := range d.spells.Share {
		w[c] = math.Log(d.spells.Chances[c]) - square((mark-f)/sd)/2
		top = math.Max(top, w[c])
	}
	for c := range w {
		w[c] = math.Exp(w[c] - top)
	}
	return d.NewOf(w)
}

// turning is the rate at which a class forgets whether fish were on. [1/min]
func (s *Spells) turning(class int) float64 { return 1 / (s.Length * (1 - s.Share[class])) }

// Later is what a stretch is believed to be after so many minutes without a cast
// on it [min]: whether fish are on is forgotten, its class is not.
func (d *Drifts) Later(q Stretch, minutes float64) Stretch {
	out := append(Stretch(nil), q...)
	for c, f := range d.spells.Share {
		p := q[2*c] + q[2*c+1]
		out[2*c] = f*p + (q[2*c]-f*p)*math.Exp(-minutes*d.spells.turning(c))
		out[2*c+1] = p - out[2*c]
	}
	return out
}

// Pass lets time go by [min]. It allocates nothing.
func (d *Drifts) Pass(minutes float64) {
	if !(minutes >= 0) {
		panic("presence: time does not run backwards")
	}
	if minutes == 0 {
		return
	}
	stroll(d.l, d.centres, &d.model, d.prior, minutes)
	for c := range d.keep {
		d.keep[c] = math.Exp(-minutes * d.spells.turning(c))
	}
	for a := 0; a < len(d.l.p); a += len(d.here) {
		here := d.l.p[a : a+len(d.here)]
		for c, f := range d.spells.Share {
			p := here[2*c] + here[2*c+1]
			on := f*p + (here[2*c]-f*p)*d.keep[c]
			here[2*c], here[2*c+1] = on, p-on
		}
	}
}

// Update takes in a cast or a spell, as Filter.Update. It allocates nothing.
func (d *Drifts) Update(exposure []float64, events []Event) (logPredictive float64, ok bool) {
	check(d.centres, exposure, events)
	return d.l.update(exposure, events)
}

// Expect is how many offers a cast brings on this stretch now. [1]
func (d *Drifts) Expect(exposure []float64) float64 {
	check(d.centres, exposure, nil)
	return d.l.expect(exposure)
}

// Here is what is believed of this stretch: keep it when leaving, with the time.
func (d *Drifts) Here() Stretch {
	q := make(Stretch, len(d.here))
	for i, x := range d.l.p {
		q[i%len(q)] += x
	}
	return q
}

// Arrive takes the boat to a stretch: New's, or one kept and made Later. What is
// known of depth and level stays; let the ride's time Pass before.
func (d *Drifts) Arrive(q Stretch) {
	if len(q) != len(d.here) {
		panic("presence: a stretch of other classes")
	}
	for a := 0; a < len(d.l.p); a += len(q) {
		here := d.l.p[a : a+len(q)]
		sum := 0.0
		for _, x := range here {
			sum += x
		}
		for i, w := range q {
			here[i] = sum * w
		}
	}
}

// worthHere is Here with each level counted by what the rig in use would bring at
// it: what a minute here is worth, not how likely it is.
func (d *Drifts) worthHere(exposure []float64) Stretch {
	n := len(d.here)
	chance, brings := make([]float64, len(d.level)), make([]float64, len(d.level))
	for k := range d.l.profiles {
		e := dot(exposure, d.l.g[k*d.l.layers:(k+1)*d.l.layers])
		for s, x := range d.l.p[k*d.l.states : (k+1)*d.l.states] {
			chance[s/n] += x
			brings[s/n] += x * e
		}
	}
	q := make(Stretch, n)
	for i, x := range d.l.p {
		if a := i % d.l.states / n; chance[a] > 0 {
			q[i%n] += x * d.level[a] * brings[a] / chance[a]
		}
	}
	sum := 0.0
	for _, x := range q {
		sum += x
	}
	if !(sum > 0) {
		return d.Here()
	}
	for i := range q {
		q[i] /= sum
	}
	return q
}

// stays are the times a stay is thought of. [min]
var stays = []float64{6, 12, 20, 30, 45, 60, 90, 120, 180}

// gain is the most that a stretch may bring over a stay anywhere in the minutes
// that are left: max over τ of U(τ) − u*τ,
//
//	U(τ) = Σ q(off + Df)τ + (q_on − qf)·D(1 − e^(−rτ))/r,  D = on − off
//
// below 0 where even the best stay is a loss. [min on water of the mean worth]
func (d *Drifts) gain(q Stretch, left, worth float64) float64 {
	best := math.Inf(-1)
	step := d.spells.On - d.spells.Off
	for _, t := range stays {
		if t > left {
			break
		}
		u := -worth * t
		for c, f := range d.spells.Share {
			p, r := q[2*c]+q[2*c+1], d.spells.turning(c)
			u += p*(d.spells.Off+step*f)*t - (q[2*c]-p*f)*step*math.Expm1(-r*t)/r
		}
		best = math.Max(best, u)
	}
	return best
}

// Move is what the rule says.
type Move struct {
	Leave bool
	To    int     // among the stretches that were offered, with Leave; -1 is new water
	Stay  float64 // index of staying [min]
	Go    float64 // index of the best that was offered [min]
}

// Judge says whether to stay: others are stretches fished before or marked, as they
// will be on arrival; new water is always on offer, and worth nothing at the
// least. exposure is what a cast with the rig in use gives [s], quiet the minutes
// since any rod in the boat had an answer, left those left of the day [min].
// Indices are compared in millionths, and the first stands at a tie.
func (d *Drifts) Judge(rule MoveRule, exposure []float64, others []Stretch, quiet, left float64) Move {
	check(d.centres, exposure, nil)
	m := Move{To: -1, Stay: math.Max(0, d.gain(d.worthHere(exposure), left, rule.Worth))}
	index := func(q Stretch) float64 { return d.gain(q, left-rule.Ride, rule.Worth) - rule.Ride*rule.Worth }
	m.Go = math.Max(0, index(d.New()))
	for j, q := range others {
		if a := index(q); math.Round(a*1e6) > math.Round(m.Go*1e6) {
			m.Go, m.To = a, j
		}
	}
	m.Leave = quiet >= rule.Guard && left >= rule.Least && (m.Stay == 0 || math.Round(m.Go*1e6) > math.Round(m.Stay*1e6))
	return m
}
