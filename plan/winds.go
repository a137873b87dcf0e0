package plan

import (
	"math"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/quantity"
)

// winds are the nine points of a three by three Gauss-Hermite rule over the
// forecast's error: direction and speed in standard deviations, and the weight.
// A mean over them is the mean over a normal error up to its fifth power.
var winds = func() (w [9][3]float64) {
	nodes, weights := [3]float64{-math.Sqrt(3), 0, math.Sqrt(3)}, [3]float64{1.0 / 6, 2.0 / 3, 1.0 / 6}
	for i := range w {
		w[i] = [3]float64{nodes[i/3], nodes[i%3], weights[i/3] * weights[i%3]}
	}
	return w
}()

// turned is a set-up's motion in a wind that differs from the forecast by a
// turn clockwise and a share of its speed: the same as turning and stretching
// the track.
func (p *planner) turned(setUp int, turn, stretch float64) drift.Motion {
	m := p.q.Boat.SetUps[setUp].Motion
	m.Fraction = math.Min(1, m.Fraction*math.Max(0, stretch))
	m.Slip = math.Remainder(m.Slip+turn, 2*math.Pi)
	return m
}

// spread is how far a drift may turn [rad] and stretch [1] off what is planned,
// one standard deviation: by the forecast of its hour, and by how well the boat is
// known.
func (p *planner) spread(f followed) (turn, stretch float64) {
	h, s := p.q.Hours[p.hourOf(f.start)], p.q.Boat.SetUps[f.setUp]
	turn, stretch = math.Hypot(h.FromSD, s.SlipSD), h.SpeedSD
	if s.Motion.Fraction > 0 {
		stretch = math.Hypot(stretch, s.FractionSD/s.Motion.Fraction)
	}
	return turn, stretch
}

// tick is how far apart the points of an air run lie. [s]
const tick = 10.0

// airRun is how far the air has gone since a drift began, every tick. The track
// of any boat begun then is it, turned and scaled.
type airRun struct {
	start float64   // [s]
	e, n  []float64 // [m]
}

// airFrom is the run from a start for some time at least, the last one again
// when it will do.
func (p *planner) airFrom(start, time float64) airRun {
	want := int(time/tick) + 2
	if p.air.start != start || len(p.air.e) < want {
		if p.air.start != start {
			p.air = airRun{start: start, e: p.air.e[:0], n: p.air.n[:0]}
		}
		e0, n0 := p.wind.Run(start)
		for i := len(p.air.e); i < want; i++ {
			e, n := p.wind.Run(start + float64(i)*tick)
			p.air.e, p.air.n = append(p.air.e, e-e0), append(p.air.n, n-n0)
		}
	}
	return p.air
}

// by is a motion as the matrix that turns and scales an air run.
type by struct{ c, s float64 }

func motionOf(m drift.Motion) by {
	sin, cos := math.Sincos(m.Slip)
	return by{m.Fraction * cos, m.Fraction * sin}
}

// at is how far the boat has gone after some seconds, linear between ticks. [m]
func (a airRun) at(m by, after float64) (east, north float64) {
	i := int(after / tick)
	f := after/tick - float64(i)
	e, n := a.e[i]+f*(a.e[i+1]-a.e[i]), a.n[i]+f*(a.n[i+1]-a.n[i])
	return m.c*e + m.s*n, m.c*n - m.s*e
}

// pacing is the time that takes a boat at most some metres, no longer than a minute.
func (p *planner) pacing(m drift.Motion, start, time, metres float64) float64 {
	return math.Min(60, metres/math.Max(m.Fraction*p.wind.Strongest(start, start+time), 1e-6))
}

// along visits a drift in steps: the cell at the middle of each, how long after
// the start that is, and how long the step lasts.
func (p *planner) along(air airRun, m by, x, y, time, step float64, visit func(k int, after, seconds float64)) {
	for at := 0.0; at < time; at += step {
		seconds := math.Min(step, time-at)
		e, n := air.at(m, at+seconds/2)
		if k, ok := p.a.g.Index(x+e, y+n); ok {
			visit(k, at+seconds/2, seconds)
		}
	}
}

// observe turns and stretches the forecast to the wind just met, less the
// further ahead it looks, and narrows its spread by as much. Where the forecast
// knows no direction, the wind met is all there is for that hour.
func observe(q Question) Question {
	o := q.Observed
	if o == nil {
		return q
	}
	// what the forecast says for that moment
	i := 0
	for i+1 < len(q.Hours) && !q.Hours[i+1].At.After(o.At) {
		i++
	}
	was := q.Hours[i]
	e, n := vector(was)
	if i+1 < len(q.Hours) && !q.Hours[i+1].Shifting && !was.Shifting {
		next := q.Hours[i+1]
		f := math.Max(0, o.At.Sub(was.At).Seconds()/next.At.Sub(was.At).Seconds())
		e1, n1 := vector(next)
		e, n = e+f*(e1-e), n+f*(n1-n)
	}
	speed := math.Hypot(e, n)
	turn, stretch := 0.0, 1.0
	if !was.Shifting && speed > 0.5 {
		turn = math.Remainder(float64(o.From)-float64(quantity.TowardVector(e, n).From()), 2*math.Pi)
		stretch = math.Max(1.0/3, math.Min(3, o.Wind/speed))
	}
	hours := append([]Hour(nil), q.Hours...)
	for j := range hours {
		h := &hours[j]
		kept := math.Exp(-math.Max(0, h.At.Sub(o.At).Seconds()) / q.Settings.Fade)
		if j == i && (was.Shifting || speed <= 0.5) {
			h.Shifting, h.From, h.Wind = false, o.From, o.Wind
		} else {
			h.From = quantity.FromDegrees((float64(h.From) + kept*turn) * 180 / math.Pi)
			h.Wind *= math.Pow(stretch, kept)
			h.Gust *= math.Max(1, math.Pow(stretch, kept)) // a light hour takes nothing off a gust
		}
		narrow := func(sd, seen float64) float64 {
			return math.Min(sd, math.Sqrt(sd*sd*(1-kept*kept)+seen*seen*kept*kept))
		}
		h.FromSD, h.SpeedSD = narrow(h.FromSD, observedTurn), narrow(h.SpeedSD, observedSpeed)
	}
	q.Hours = hours
	return q
}

// How well a wind is judged afloat, one standard deviation: a modelling choice. [rad], [1]
const (
	observedTurn  = 5 * math.Pi / 180
	observedSpeed = 0.1
)

// vector is an hour's wind toward east and north. [m/s]
func vector(h Hour) (east, north float64) {
	e, n := h.From.Toward().Vector()
	return h.Wind * e, h.Wind * n
}

// place is a drift's place some seconds after its start, exactly.
func (p *planner) place(x, y float64, m drift.Motion, start, after float64) orb.Point {
	e, n := m.Path(p.wind, start, start+after)
	return orb.Point{x + e, y + n}
}
