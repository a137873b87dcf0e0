// Package drift says where a boat lying broadside goes on the wind: how fast,
// which way, how surely, and along which track until a shore or a time ends it.
//
// The boat is a balance of drags: the wind pushes what stands above the water;
// the hull and a drogue hold it back. The drogue may lie in slower water than
// the hull. Everything is a closed form or a few Newton steps; nothing is
// stepped through time.
//
// A leeway figure measured against the ground (a learned fraction, or Prior)
// already holds the near-surface current: it is never added a second time. Only
// Setup.Steady, which works in areas, is given currents, and those are the
// currents at the depth of the hull and of the drogue, not the skin drift of 3 %.
//
// The model page is docs/models/drift.md. drift may touch quantity, geodesy and
// fluid, and reads no file, clock or lake.
package drift

import (
	"fmt"
	"math"

	"windlane/quantity"
)

// Roughness is the roughness length of open water, z0. [m] (Stull 1988, from memory.)
const Roughness = 2e-4

// Near-surface current as a fraction of the wind at 10 m. [1] A modelling
// guess: the skin moves at about 3 % (AMS Glossary, "wind drift") and the speed
// falls fast in the top metre; a hull draws 0.2 m, a drogue hangs 1 to 2 m deep.
const (
	HullCurrent   = 0.015
	DrogueCurrent = 0.007
)

// AtHeight is the wind at height z from the wind at 10 m by the neutral log law
// over open water, U(z) = U10 ln(z/z0)/ln(10/z0). z at least 0.01 m, else it panics. [m/s]
func AtHeight(wind10, z float64) float64 {
	if !(z >= 0.01) {
		panic(fmt.Sprintf("drift: windage height %v m: at least 0.01 m", z))
	}
	return wind10 * math.Log(z/Roughness) / math.Log(10/Roughness)
}

// Setup is a boat lying broadside, as air and water feel it.
type Setup struct {
	AirArea       float64 // Cd·A of boat and people above the water, beam on [m²]
	HullArea      float64 // Cd·A of the hull below the water, beam on [m²]
	DrogueArea    float64 // Cd·A of the drogue; 0 when it is in the boat [m²]
	WindageHeight float64 // height at which the wind on boat and people is taken [m]
	Mass          float64 // boat, people, gear and the water the hull carries sideways; only Settle reads it [kg]
	DrogueWater   float64 // water held in the drogue; only Settle reads it [kg]
}

// Flow is a horizontal movement of water.
type Flow struct {
	Speed  float64         // [m/s]
	Toward quantity.Toward // [rad]
}

// Scene is the air and the water round a boat.
type Scene struct {
	Wind         float64       // mean wind at 10 m over the water [m/s]
	From         quantity.From // [rad]
	AirDensity   float64       // [kg/m³]
	WaterDensity float64       // [kg/m³]
	AtHull       Flow          // current at the depth of the hull
	AtDrogue     Flow          // current at the depth of the drogue
}

// Drift is a boat's steady drift.
type Drift struct {
	Speed        float64         // over the ground [m/s]
	Toward       quantity.Toward // over the ground; downwind when the boat lies still [rad]
	ThroughWater float64         // against the water at the hull [m/s]
	DrogueLoad   float64         // pull of the drogue on its ropes [N]
	WindForce    float64         // push of the wind on boat and people [N]
}

// Validate says what is out of range.
func (s Setup) Validate() error {
	switch {
	case !within(s.AirArea, 0.01, 1000):
		return fmt.Errorf("air drag area %v m²: allowed is 0.01 to 1000", s.AirArea)
	case !within(s.HullArea, 0.01, 1000):
		return fmt.Errorf("hull drag area %v m²: allowed is 0.01 to 1000", s.HullArea)
	case !within(s.DrogueArea, 0, 1000):
		return fmt.Errorf("drogue drag area %v m²: allowed is 0 to 1000", s.DrogueArea)
	case !within(s.WindageHeight, 0.01, 100):
		return fmt.Errorf("windage height %v m: allowed is 0.01 to 100", s.WindageHeight)
	case !within(s.Mass, 0, 1e6) || !within(s.DrogueWater, 0, 1e6):
		return fmt.Errorf("mass %v kg, water in the drogue %v kg: allowed is 0 to 1e6", s.Mass, s.DrogueWater)
	}
	return nil
}

// Validate says what is out of range.
func (c Scene) Validate() error {
	switch {
	case !within(c.Wind, 0, 100):
		return fmt.Errorf("wind %v m/s: allowed is 0 to 100", c.Wind)
	case !within(float64(c.From), -7, 7):
		return fmt.Errorf("wind from %v rad: allowed is one turn", float64(c.From))
	case !within(c.AirDensity, 0.5, 2):
		return fmt.Errorf("air density %v kg/m³: allowed is 0.5 to 2", c.AirDensity)
	case !within(c.WaterDensity, 900, 1100):
		return fmt.Errorf("water density %v kg/m³: allowed is 900 to 1100", c.WaterDensity)
	case !within(c.AtHull.Speed, 0, 10) || !within(c.AtDrogue.Speed, 0, 10):
		return fmt.Errorf("current %v and %v m/s: allowed is 0 to 10", c.AtHull.Speed, c.AtDrogue.Speed)
	case !within(float64(c.AtHull.Toward), -7, 7) || !within(float64(c.AtDrogue.Toward), -7, 7):
		return fmt.Errorf("current toward %v and %v rad: allowed is one turn", float64(c.AtHull.Toward), float64(c.AtDrogue.Toward))
	}
	return nil
}

// within is false for NaN.
func within(v, low, high float64) bool { return v >= low && v <= high }

func must(errs ...error) {
	for _, err := range errs {
		if err != nil {
			panic("drift: " + err.Error())
		}
	}
}

// OnLake is the scene on a lake with nothing known of its currents: they run
// with the wind at HullCurrent and DrogueCurrent. Then the drift is exactly
// proportional to the wind. Densities of air at 15 °C and of fresh water.
func OnLake(wind10 float64, from quantity.From) Scene {
	return Scene{
		Wind: wind10, From: from, AirDensity: 1.225, WaterDensity: 1000,
		AtHull:   Flow{HullCurrent * wind10, from.Toward()},
		AtDrogue: Flow{DrogueCurrent * wind10, from.Toward()},
	}
}

// Steady is the drift when wind and water have balanced:
//
//	½ρa·CAa·|u−V|(u−V) = ½ρw·CAh·|V−ch|(V−ch) + ½ρw·CAd·|V−cd|(V−cd)
//
// as vectors, with u the wind at the windage height (log law) and c the
// currents. The boat is taken to lie square to what blows on it. It panics on
// values that Validate refuses.
func (s Setup) Steady(c Scene) Drift {
	must(s.Validate(), c.Validate())
	b := s.balance(c)
	v := b.solve()
	through, pull, push := v.minus(b.ch), v.minus(b.cd), b.u.minus(v)
	d := Drift{
		Speed:        v.length(),
		Toward:       c.From.Toward(),
		ThroughWater: through.length(),
		DrogueLoad:   b.g * pull.length() * pull.length(),
		WindForce:    b.a * push.length() * push.length(),
	}
	if d.Speed > 0 {
		d.Toward = quantity.TowardVector(v.x, v.y)
	}
	return d
}

// Fraction is the steady drift as a share of the wind at 10 m on a lake (OnLake). [1]
func (s Setup) Fraction() float64 { return s.Steady(OnLake(1, 0)).Speed }

// Settle is the time from rest to 95 % of the steady drift in a wind that
// begins at once, with the currents' share along the wind. Exact for that case:
// the motion is a Riccati equation with roots V1, V2 of the balance,
//
//	t95 = −τ ln(0.05·V1/(R(V2−0.95·V1))), R = V1/V2, τ = m/(2√(B²−AC))
//
// Zero without wind. It panics on values that Validate refuses. [s]
func (s Setup) Settle(c Scene) float64 {
	must(s.Validate(), c.Validate())
	b := s.balance(c)
	e, n := c.From.Toward().Vector()
	w := vector{e, n}
	q := quadratic(b.a, b.h, b.g, b.u.dot(w), b.ch.dot(w), b.cd.dot(w))
	v1, v2 := q.roots()
	if !(v1 > 0) || !(v2 < 0) {
		return 0
	}
	tau := (s.Mass + s.DrogueWater) / (2 * q.root)
	r := v1 / v2
	return -tau * math.Log(0.05*v1/(r*(v2-0.95*v1)))
}

// balance is the problem of Steady in numbers: half density times drag area,
// and the three velocities.
type balance struct {
	a, h, g   float64 // [kg/m]
	u, ch, cd vector  // [m/s]
}

func (s Setup) balance(c Scene) balance {
	e, n := c.From.Toward().Vector()
	u := AtHeight(c.Wind, s.WindageHeight)
	he, hn := c.AtHull.Toward.Vector()
	de, dn := c.AtDrogue.Toward.Vector()
	return balance{
		a: c.AirDensity / 2 * s.AirArea, h: c.WaterDensity / 2 * s.HullArea, g: c.WaterDensity / 2 * s.DrogueArea,
		u:  vector{u * e, u * n},
		ch: vector{c.AtHull.Speed * he, c.AtHull.Speed * hn},
		cd: vector{c.AtDrogue.Speed * de, c.AtDrogue.Speed * dn},
	}
}

// solve takes the closed form where there is one, Newton's steps elsewhere.
func (b balance) solve() vector {
	if b.g == 0 || b.ch == b.cd {
		// One water: seen from it the drift is the wind over 1 + k.
		k := math.Sqrt((b.h + b.g) / b.a)
		return b.ch.plus(b.u.minus(b.ch).times(1 / (1 + k)))
	}
	if u := b.u.length(); u > 0 {
		along := b.u.times(1 / u)
		ch, cd := b.ch.dot(along), b.cd.dot(along)
		crosswise := math.Abs(along.cross(b.ch)) + math.Abs(along.cross(b.cd))
		if crosswise <= 1e-12*u {
			// Valid only where the boat is slower than the wind and faster than both waters.
			if v, _ := quadratic(b.a, b.h, b.g, u, ch, cd).roots(); u > v && v >= ch && v >= cd {
				return along.times(v)
			}
		}
	}
	return b.newton(same(b.a), same(b.h))
}

// quad is the balance in one line, A V² − 2B V + C = 0, with root = √(B²−AC).
type quad struct{ a, b, c, root float64 }

func quadratic(a, h, g, u, ch, cd float64) quad {
	q := quad{a: h + g - a, b: h*ch + g*cd - a*u, c: h*ch*ch + g*cd*cd - a*u*u}
	q.root = math.Sqrt(math.Max(0, q.b*q.b-q.a*q.c))
	return q
}

// roots are V1 = (B+√)/A and V2 = (B−√)/A, each in the form that does not
// subtract like from like.
func (q quad) roots() (v1, v2 float64) {
	if q.b < 0 {
		return q.c / (q.b - q.root), (q.b - q.root) / q.a
	}
	return (q.b + q.root) / q.a, q.c / (q.b + q.root)
}

// vector is east and north, or ahead and abeam. [m/s]
type vector struct{ x, y float64 }

func (p vector) plus(q vector) vector       { return vector{p.x + q.x, p.y + q.y} }
func (p vector) minus(q vector) vector      { return vector{p.x - q.x, p.y - q.y} }
func (p vector) times(k float64) vector     { return vector{k * p.x, k * p.y} }
func (p vector) dot(q vector) float64       { return p.x*q.x + p.y*q.y }
func (p vector) cross(q vector) float64     { return p.x*q.y - p.y*q.x }
func (p vector) length() float64            { return math.Sqrt(p.x*p.x + p.y*p.y) }
func (p vector) turned(c, s float64) vector { return vector{c*p.x - s*p.y, s*p.x + c*p.y} }

// matrix is a symmetric drag, ½ρ·CA by direction: force = |w|·M·w. [kg/m]
type matrix struct{ xx, xy, yy float64 }

func same(k float64) matrix { return matrix{k, 0, k} }

func (m matrix) on(w vector) vector { return vector{m.xx*w.x + m.xy*w.y, m.xy*w.x + m.yy*w.y} }

// newton finds V where the forces balance. With the same drag in every
// direction this is the minimum of a strictly convex function (a sum of cubes
// of distances), so there is one answer; steps are halved until the residual
// falls.
func (b balance) newton(air, hull matrix) vector {
	drogue := same(b.g)
	residual := func(v vector) vector {
		w, p, q := b.u.minus(v), v.minus(b.ch), v.minus(b.cd)
		return hull.on(p).times(p.length()).plus(drogue.on(q).times(q.length())).minus(air.on(w).times(w.length()))
	}
	scale := b.u.length() + b.ch.length() + b.cd.length()
	if scale == 0 {
		return vector{}
	}
	mean := b.ch.times(b.h).plus(b.cd.times(b.g)).times(1 / (b.h + b.g))
	v := mean.plus(b.u.minus(mean).times(1 / (1 + math.Sqrt((b.h+b.g)/b.a))))
	r := residual(v)
	for range 60 {
		var jxx, jxy, jyx, jyy float64
		add := func(m matrix, w vector) {
			l := w.length()
			if l == 0 {
				return
			}
			// d(|w| M w)/dw = |w| M + (M w) wᵀ/|w|
			f := m.on(w)
			jxx += l*m.xx + f.x*w.x/l
			jxy += l*m.xy + f.x*w.y/l
			jyx += l*m.xy + f.y*w.x/l
			jyy += l*m.yy + f.y*w.y/l
		}
		add(air, b.u.minus(v))
		add(hull, v.minus(b.ch))
		add(drogue, v.minus(b.cd))
		det := jxx*jyy - jxy*jyx
		if det == 0 {
			break
		}
		step := vector{(jyy*r.x - jxy*r.y) / det, (jxx*r.y - jyx*r.x) / det}
		next, rest := v, r
		for k := 1.0; k > 1e-12; k /= 2 {
			next = v.minus(step.times(k))
			if rest = residual(next); rest.length() < r.length() {
				break
			}
		}
		moved := next.minus(v).length()
		if rest.length() >= r.length() || moved <= 1e-15*scale {
			break
		}
		v, r = next, rest
	}
	return v
}
