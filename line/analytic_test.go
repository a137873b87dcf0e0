package line

import (
	"math"
	"testing"

	"windlane/fluid"
)

const rho, nu, gravity = 999.70, 1.30738e-6, fluid.StandardGravity

// deep is a bare line with its tip 5 m down, along x.
func deep(length, segment float64, sec Section, density float64, drag *Drag, bodies ...Body) *Sim {
	sec.Length = length
	s := build(Setup{
		Water: Water{Density: density, KinematicViscosity: nu}, Sections: []Section{sec}, Bodies: bodies,
		Tip: []TipMove{{}}, EntryDistance: 1e-9, StopWithLineOut: length,
		Mesh: Mesh{Segment: segment, MaxStep: 1, Ungraded: true}, Sample: 1, Drag: drag,
	})
	for i := range s.cur {
		s.cur[i] = state{x: length - s.below[i], z: -5}
	}
	copy(s.prv, s.cur)
	return s
}

var sinking = Section{LinearDensity: 1.488164e-3, Diameter: 1.132446e-3, AxialStiffness: 500}

// bodyFromSink makes a body of a volume [m³] and drag area [m²] that falls
// alone at speed sink, positive down. [m/s]
func bodyFromSink(name string, sink, volume, dragArea, density float64) Body {
	load := 0.5 * density * dragArea * sink * math.Abs(sink)
	return Body{Name: name, Mass: density*volume + load/gravity, Volume: volume, DragArea: dragArea, AddedMass: 0.5}
}

// constantDrag is the towed-cable law of constant coefficients: cd on the
// diameter across the flow, axial on the wetted girth along it. [1]
func constantDrag(cd, axial float64) *Drag {
	return newDrag(func(float64) float64 { return cd }, func(float64) float64 { return 0 }, axial)
}

// runCount steps to the end of the count; false if the line broke.
func runCount(s *Sim) bool {
	for s.phase == Count && s.t < s.phaseEnd {
		if !s.Next() {
			return false
		}
	}
	return true
}

func march(t testing.TB, s *Sim, until, dt float64, tip func(t float64) (x, z float64), see func()) {
	t.Helper()
	for s.t < until-dt/2 {
		s.t += dt
		x, z := tip(s.t)
		if _, _, ok := s.step(dt, x, z, s.out); !ok {
			t.Fatalf("broke at %v s", s.t)
		}
		if see != nil {
			see()
		}
	}
}

func still(float64) (x, z float64) { return 0, -5 }

// A level line far from its ends sinks at the terminal speed of its section.
func TestFreeSink(t *testing.T) {
	want := fluid.Cylinder{LinearDensity: sinking.LinearDensity, Diameter: sinking.Diameter}.SinkSpeed(rho, nu)
	for _, dt := range []float64{0.005, 0.02, 0.1} {
		s := deep(40, 0.5, sinking, rho, nil)
		march(t, s, 5, dt, still, nil)
		if got := -s.cur[s.end/2].vz; math.Abs(got/want-1) > 2e-4 {
			t.Errorf("dt %v: sinks at %v, want %v", dt, got, want)
		}
	}
}

// A hanging line between two fixed points is a catenary; second order in the mesh.
func TestCatenary(t *testing.T) {
	const span, length = 6.0, 10.0
	lo, hi := 0.5, 10.0 // of a in 2a sinh(span/2a) = length
	for range 80 {
		if a := (lo + hi) / 2; 2*a*math.Sinh(span/2/a) > length {
			lo = a
		} else {
			hi = a
		}
	}
	want := lo * (math.Cosh(span/2/lo) - 1)
	anchor := Body{Name: "anchor", Mass: 1e9, Volume: 1e9 / rho}
	stiff := sinking
	stiff.AxialStiffness = 1e5
	var errs []float64
	for _, seg := range []float64{1, 0.5, 0.25} {
		s := deep(length, seg, stiff, rho, nil, anchor)
		for i := range s.cur {
			arc := length - s.below[i]
			half := math.Sqrt(length*length-span*span) / 2
			s.cur[i] = state{x: arc * span / length, z: -5 - half*(1-math.Abs(2*arc/length-1))}
		}
		copy(s.prv, s.cur)
		march(t, s, 400, 0.1, still, nil)
		sag := 0.0
		for _, c := range s.cur {
			sag = max(sag, -5-c.z)
		}
		errs = append(errs, math.Abs(sag/want-1))
	}
	t.Logf("sag %v m, errors %.3g", want, errs)
	if errs[0] > 0.01 || errs[2] > 0.001 {
		t.Errorf("sag errors %v, want under 1 %% at 1 m and 0.1 %% at 0.25 m", errs)
	}
	order(t, "catenary", errs, 1.7)
}

// order fails if halving the step does not divide the error by about 2^p.
func order(t *testing.T, name string, errs []float64, p float64) {
	t.Helper()
	for i := 1; i < len(errs); i++ {
		if got := math.Log2(errs[i-1] / errs[i]); got < p {
			t.Errorf("%s: order of convergence %.2f, want at least %v (errors %v)", name, got, p, errs)
		}
	}
}

// A long line towed steadily lies straight at the critical angle
// w' cos φ = ½ρ d C_d(U sin φ) U² sin²φ (Pode 1951, from memory).
func TestTowedCriticalAngle(t *testing.T) {
	weight := (sinking.LinearDensity - rho*math.Pi/4*sinking.Diameter*sinking.Diameter) * gravity
	// The prototype's own figures at these speeds.
	for u, deg := range map[float64]float64{0.3: 14.4452, 0.5: 8.70868, 0.8: 5.45177, 1.0: 4.36304} {
		lo, hi := 0.0, math.Pi/2
		for range 60 {
			phi := (lo + hi) / 2
			v := u * math.Sin(phi)
			if 0.5*rho*sinking.Diameter*fluid.NormalDrag(v*sinking.Diameter/nu)*v*v < weight*math.Cos(phi) {
				lo = phi
			} else {
				hi = phi
			}
		}
		if math.Abs(lo*180/math.Pi-deg) > 0.005 {
			t.Errorf("U %v: critical angle %v°, want %v", u, lo*180/math.Pi, deg)
		}
		s := deep(20, 0.5, sinking, rho, nil)
		march(t, s, 500, 0.1, func(t float64) (x, z float64) { return -u * t, -5 }, nil)
		for _, i := range []int{5, 20, 35} {
			a, b := s.cur[i-1], s.cur[i+1]
			if got := math.Atan2(a.z-b.z, b.x-a.x); math.Abs(got/lo-1) > 1e-3 {
				t.Errorf("U %v: node %d trails at %.4f°, want %.4f°", u, i, got*180/math.Pi, lo*180/math.Pi)
			}
		}
	}
}

// period is the time of one swing of the end, from crossings of x = 0.
func period(t *testing.T, s *Sim, dt, until float64) float64 {
	t.Helper()
	var crossings []float64
	was := s.cur[s.end].x
	march(t, s, until, dt, still, func() {
		x := s.cur[s.end].x
		if was > 0 && x <= 0 {
			crossings = append(crossings, s.t-dt*x/(x-was))
		}
		was = x
	})
	n := len(crossings)
	if n < 3 {
		t.Fatalf("%d swings", n)
	}
	return (crossings[n-1] - crossings[0]) / float64(n-1)
}

// A bob in a vacuum: T = 2π√(L/g) (1 + θ²/16); second order in the step.
func TestPendulum(t *testing.T) {
	const length, theta = 2.0, 0.1
	want := 2 * math.Pi * math.Sqrt(length/gravity) * (1 + theta*theta/16)
	var errs []float64
	for _, dt := range []float64{0.04, 0.02, 0.01} {
		s := deep(length, 2, Section{LinearDensity: 1e-9, Diameter: 1e-4, AxialStiffness: 5e4}, 1e-9, nil, Body{Name: "bob", Mass: 0.1})
		s.cur[1] = state{x: length * math.Sin(theta), z: -5 - length*math.Cos(theta)}
		copy(s.prv, s.cur)
		errs = append(errs, math.Abs(period(t, s, dt, 20)/want-1))
	}
	t.Logf("period errors %.2g", errs)
	if errs[2] > 1e-3 {
		t.Errorf("period errors %v", errs)
	}
	order(t, "pendulum", errs, 1.7)
}

// A chain hung by one end: first mode J0(2.405√(s/L)), T = 4π/2.404826 √(L/g)
// (Bernoulli 1732, from memory); second order in the mesh.
func TestHangingChain(t *testing.T) {
	const length, root = 2.0, 2.404826
	want := 4 * math.Pi / root * math.Sqrt(length/gravity)
	var errs []float64
	for _, seg := range []float64{0.4, 0.2, 0.1} {
		s := deep(length, seg, Section{LinearDensity: 1e-2, Diameter: 1e-3, AxialStiffness: 5e4}, 1e-9, nil)
		x := func(i int) float64 { return 0.01 * math.J0(root*math.Sqrt(s.below[i]/length)) }
		z := -5.0
		s.cur[0] = state{z: z}
		for i := 1; i <= s.end; i++ {
			z -= math.Sqrt(seg*seg - (x(i)-x(i-1))*(x(i)-x(i-1)))
			s.cur[i] = state{x: x(i), z: z}
		}
		copy(s.prv, s.cur)
		errs = append(errs, math.Abs(period(t, s, 0.001, 8)/want-1))
	}
	t.Logf("period errors %.2g", errs)
	if errs[2] > 2e-3 {
		t.Errorf("period errors %v", errs)
	}
	order(t, "chain", errs, 1.7)
}

// What a sinking line loses in height it gives to the water or keeps as motion.
func TestEnergy(t *testing.T) {
	for _, c := range []struct{ dt, limit float64 }{{0.02, 0.003}, {0.05, 0.008}} {
		fly := bodyFromSink("fly", 0.15, 6e-8, 6e-5, rho)
		s := deep(12, 0.5, sinking, rho, nil, fly)
		height := func() (e float64) {
			for i := 1; i <= s.end; i++ {
				w := s.el[i].w
				if s.el[i].body >= 0 {
					w += s.bodies[0].mass*gravity - s.bodies[0].buoy
				}
				e += w * s.cur[i].z
			}
			return e
		}
		start := height()
		spent, was := 0.0, 0.0
		march(t, s, 30, c.dt, still, func() {
			power := 0.0
			for i := 1; i <= s.end; i++ {
				u := s.cur[i]
				fx, fz := plainDrag(s, s.cur, s.cur, i)
				power -= fx*u.vx + fz*u.vz
			}
			spent += (power + was) / 2 * c.dt
			was = power
		})
		kinetic := 0.0
		for i := 1; i <= s.end; i++ {
			u := s.cur[i]
			kinetic += 0.5 * s.el[i].m * (u.vx*u.vx + u.vz*u.vz)
		}
		lost := start - height()
		if off := math.Abs(lost-spent-kinetic) / lost; off > c.limit || lost <= 0 {
			t.Errorf("dt %v: lost %v J, drag took %v, motion %v: %.3f %% unaccounted", c.dt, lost, spent, kinetic, off*100)
		} else {
			t.Logf("dt %v: %.3f %% unaccounted", c.dt, off*100)
		}
	}
}

// plainDrag is the drag on a node in deep still water, written straight from
// the model page, with the tangents and the friction coefficient of another state.
func plainDrag(s *Sim, q, shape []state, i int) (fx, fz float64) {
	u, was := q[i], shape[i] // through the water
	u.vx, was.vx = u.vx-s.el[i].water, was.vx-s.el[i].water
	half := func(link int, tx, tz, length float64) {
		m := &s.materials[s.el[link].section]
		l := math.Hypot(tx, tz)
		tx, tz = tx/l, tz/l
		vt, vn := u.vx*tx+u.vz*tz, u.vz*tx-u.vx*tz
		re, _, _ := s.drag.at(math.Abs(vn) * m.idn) // Re C_d
		_, _, c := s.drag.at(math.Abs(was.vz*tx-was.vx*tz) * m.idn)
		k := rho * nu / 2 * length
		ft, fn := k*c*vt, k*re*vn
		fx += fn*tz - ft*tx
		fz -= fn*tx + ft*tz
	}
	along := func(a, b int) (x, z float64) { return shape[b].x - shape[a].x, shape[b].z - shape[a].z }
	switch {
	case i == s.end:
		x, z := along(i-1, i)
		half(i, x, z, s.el[i].rest/2)
	case s.el[i].section != s.el[i+1].section || s.el[i].body >= 0:
		x, z := along(i-1, i)
		half(i, x, z, s.el[i].rest/2)
		x, z = along(i, i+1)
		half(i+1, x, z, s.el[i+1].rest/2)
	default:
		x, z := along(i-1, i+1)
		half(i, x, z, (s.el[i].rest+s.el[i+1].rest)/2)
	}
	if b := s.el[i].body; b >= 0 {
		v := math.Hypot(u.vx, u.vz)
		fx -= s.bodies[b].drag * v * u.vx
		fz -= s.bodies[b].drag * v * u.vz
	}
	return fx, fz
}
