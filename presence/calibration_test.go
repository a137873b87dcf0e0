package presence

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"windlane/quantity"
)

// world is a day drawn from a Filter's own prior: where the fish are and how
// they answer, walking, leaking and renewing as the model says.
type world struct {
	m             Model
	f             *Filter // for its grids only
	rng           *rand.Rand
	centre, sigma int
	level, local  int
	levels        []float64
}

func pick(rng *rand.Rand, chance []float64) int {
	x := rng.Float64()
	for i, p := range chance {
		if x -= p; x < 0 {
			return i
		}
	}
	return len(chance) - 1
}

func newWorld(m Model, rng *rand.Rand) *world {
	w := &world{m: m, f: New(m), rng: rng}
	levels, chance := rates(m.RatePoints, m.RateShape, m.RateRate)
	w.levels = levels
	w.centre, w.sigma = pick(rng, w.f.prior), pick(rng, scaled(m.SigmaWeights))
	w.level, w.local = pick(rng, chance), pick(rng, w.f.weights)
	return w
}

func (w *world) pass(minutes float64) {
	n := w.m.Steps(minutes)
	for range n {
		step := pick(w.rng, []float64{w.m.walked(minutes) / float64(n), w.m.walked(minutes) / float64(n), 1})
		if to := w.centre + []int{-1, 1, 0}[step]; to >= 0 && to < w.f.centres {
			w.centre = to
		}
	}
	if w.rng.Float64() < -math.Expm1(-w.m.Leak*minutes/60) {
		w.centre = pick(w.rng, w.f.prior)
	}
	if w.rng.Float64() < -math.Expm1(-w.m.Renewal*minutes) {
		w.local = pick(w.rng, w.f.weights)
	}
}

// answers are the fish of a cast: how many by Poisson, where by exposure, read
// with an sd of .45 m; one in five is not placed.
func (w *world) answers(x []float64) (events []Event) {
	k := w.centre*len(w.m.Sigmas) + w.sigma
	g := w.f.one.g[k*w.f.centres : (k+1)*w.f.centres]
	lambda := w.levels[w.level] * w.f.local[w.local] * dot(x, g)
	weight := make([]float64, len(x))
	for i := range x {
		weight[i] = x[i] * g[i]
	}
	for t := -math.Log(1 - w.rng.Float64()); t < lambda; t -= math.Log(1 - w.rng.Float64()) {
		z := (float64(pick(w.rng, scaled(weight))) + 0.5) * w.m.Layer
		if w.rng.Float64() < 0.2 {
			events = append(events, Event{})
			continue
		}
		events = append(events, Event{HasDepth: true, Depth: quantity.Depth(z + 0.45*w.rng.NormFloat64()), SD: 0.45})
	}
	return events
}

// rank is the randomised probability integral transform of a truth on a grid:
// uniform on (0, 1) when the belief is calibrated (Talts et al. 2018, arXiv
// 1804.06788; Modrák et al. 2023).
func rank(p []float64, truth int, rng *rand.Rand) float64 {
	sum := 0.0
	for _, x := range p[:truth] {
		sum += x
	}
	return sum + p[truth]*rng.Float64()
}

// calibration is how the ranks of so many days lie: p values of chi-square in 20
// bins for each unknown, and how often the 50 and the 90 % interval held the centre.
type calibration struct {
	centre, spread, level, local float64 // p values
	half, most                   float64 // coverage of the centre
}

// calibrate fishes days of 60 casts with two moves in each. blind leaves every
// cast without an answer out, as a careless diary would: a belief that must fail.
func calibrate(days int, seed uint64, blind bool) calibration {
	m := DefaultModel(8)
	m.TwoLayers = false
	rng := rand.New(rand.NewPCG(seed, 4))
	var ranks [4][]float64
	in50, in90 := 0, 0
	for range days {
		w := newWorld(m, rng)
		f := New(m)
		for c := range 60 {
			minutes := 1 + 5*rng.Float64()
			w.pass(minutes)
			f.Pass(minutes)
			if c == 20 || c == 40 {
				w.local = pick(rng, f.weights)
				f.Move()
			}
			top := 6 * rng.Float64()
			x := sweep(top, top+0.5+3*rng.Float64()).exposure
			if e := w.answers(x); len(e) > 0 || !blind {
				f.Update(x, e)
			}
		}
		spread, level, local := make([]float64, len(m.Sigmas)), make([]float64, m.RatePoints), make([]float64, len(m.Local))
		for i, x := range f.one.p {
			spread[i/f.one.states%len(spread)] += x
			level[i%f.one.states/len(local)] += x
			local[i%len(local)] += x
		}
		r := rank(f.Centre(), w.centre, rng)
		if math.Abs(r-0.5) < 0.25 {
			in50++
		}
		if math.Abs(r-0.5) < 0.45 {
			in90++
		}
		for i, r := range []float64{r, rank(spread, w.sigma, rng), rank(level, w.level, rng), rank(local, w.local, rng)} {
			ranks[i] = append(ranks[i], r)
		}
	}
	n := float64(days)
	return calibration{even(ranks[0]), even(ranks[1]), even(ranks[2]), even(ranks[3]), float64(in50) / n, float64(in90) / n}
}

// even is the p value of ranks being uniform, by chi-square in 20 bins.
func even(ranks []float64) float64 {
	var bins [20]float64
	for _, r := range ranks {
		bins[min(19, int(20*r))]++
	}
	want, chi := float64(len(ranks))/20, 0.0
	for _, n := range bins {
		chi += (n - want) * (n - want) / want
	}
	return distuv.ChiSquared{K: 19}.Survival(chi)
}

// 300 days from the filter's own prior: every unknown lies in its belief as often as it
// says. The benchmark does 3 000.
func TestCalibration(t *testing.T) {
	c := calibrate(300, 1, false)
	t.Logf("%+v", c)
	for name, p := range map[string]float64{"centre": c.centre, "spread": c.spread, "level": c.level, "local": c.local} {
		if !(p > 0.01) {
			t.Errorf("%s: p = %.4f", name, p)
		}
	}
	if math.Abs(c.half-0.5) > 0.09 || math.Abs(c.most-0.9) > 0.06 { // three standard errors
		t.Errorf("the 50 %% interval holds %.3f, the 90 %% one %.3f", c.half, c.most)
	}
	if c := calibrate(300, 1, true); c.level > 1e-6 {
		t.Errorf("a diary without its blanks passes: %+v", c)
	}
}

// calibrateDrifts is the same for Drifts: four stretches of 15 casts, the second and
// the last the same water, gone back to after 12 minutes' ride each time. Ranks of
// the centre, the level, and the last stretch's class and on/off together. blind
// as above.
func calibrateDrifts(days int, seed uint64, blind bool) (centre, level, stretch float64) {
	m, s := DriftsModel(8), DefaultSpells()
	m.Local, m.LocalWeights, m.Renewal, m.TwoLayers = []float64{1}, []float64{1}, 0, false
	rng := rand.New(rand.NewPCG(seed, 5))
	var ranks [3][]float64
	for range days {
		w := newWorld(m, rng)
		d := NewDrifts(m, s)
		z := [3]int{} // truth of three waters: class and on/off
		for i := range z {
			z[i] = pick(rng, d.New())
		}
		turn := func(minutes float64) { // all waters turn, fished or not
			for i, at := range z {
				only := make(Stretch, len(d.New()))
				only[at] = 1
				z[i] = pick(rng, d.Later(only, minutes))
			}
		}
		var kept Stretch
		since := 0.0
		for leg, water := range []int{0, 1, 2, 1} {
			if leg > 0 {
				if leg == 2 {
					kept, since = d.Here(), 0
				}
				w.pass(12)
				turn(12)
				d.Pass(12)
				since += 12
				to := d.New()
				if leg == 3 {
					to = d.Later(kept, since)
				}
				d.Arrive(to)
			}
			for range 15 {
				minutes := 1 + 3*rng.Float64()
				w.pass(minutes)
				turn(minutes)
				d.Pass(minutes)
				since += minutes
				top := 6 * rng.Float64()
				x := sweep(top, top+0.5+3*rng.Float64()).exposure
				w.f.local[0] = []float64{s.On, s.Off}[z[water]%2]
				if e := w.answers(x); len(e) > 0 || !blind {
					d.Update(x, e)
				}
			}
		}
		block := len(d.l.p) / d.centres
		centres, levels := make([]float64, d.centres), make([]float64, m.RatePoints)
		for i, x := range d.l.p {
			centres[i/block] += x
			levels[i%d.l.states/len(d.here)] += x
		}
		for i, r := range []float64{rank(centres, w.centre, rng), rank(levels, w.level, rng), rank(d.Here(), z[1], rng)} {
			ranks[i] = append(ranks[i], r)
		}
	}
	return even(ranks[0]), even(ranks[1]), even(ranks[2])
}

// A stretch is kept when the boat leaves, and right again when it is back. What is
// kept leaves out that later casts elsewhere say more of the level, so that this is
// an approximation: it must show at no more than chance over 300 days.
func TestCalibrationOfDrifts(t *testing.T) {
	centre, level, stretch := calibrateDrifts(300, 1, false)
	t.Logf("p: centre %.3f, level %.3f, stretch %.3f", centre, level, stretch)
	if !(centre > 0.01 && level > 0.01 && stretch > 0.01) {
		t.Errorf("p: centre %.4f, level %.4f, stretch %.4f", centre, level, stretch)
	}
	if _, level, stretch := calibrateDrifts(100, 1, true); level > 1e-6 || stretch > 0.01 {
		t.Errorf("a diary without its blanks passes: level %.4f, stretch %.4f", level, stretch)
	}
}

// BenchmarkCalibration is 3 000 days; its p values are the figures of
// docs/models/presence-filter.md. Run it with -benchtime 1x.
func BenchmarkCalibration(b *testing.B) {
	for b.Loop() {
		c := calibrate(3000, 2, false)
		b.ReportMetric(c.centre, "p-centre")
		b.ReportMetric(c.spread, "p-spread")
		b.ReportMetric(c.level, "p-level")
		b.ReportMetric(c.local, "p-local")
		b.ReportMetric(c.half, "in-50%")
		centre, level, stretch := calibrateDrifts(3000, 2, false)
		b.ReportMetric(centre, "p-drifts-centre")
		b.ReportMetric(level, "p-drifts-level")
		b.ReportMetric(stretch, "p-drifts-stretch")
		b.ReportMetric(c.most, "in-90%")
	}
}
