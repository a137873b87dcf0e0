package line

import (
	"math"
	"testing"
)

// random is splitmix64: a small generator that is the same everywhere.
type random uint64

func (r *random) next() float64 { // [0, 1)
	*r += 0x9E3779B97F4A7C15
	z := uint64(*r)
	z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
	z = (z ^ z>>27) * 0x94D049BB133111EB
	return float64((z^z>>31)>>11) / (1 << 53)
}

func (r *random) between(lo, hi float64) float64 { return lo + (hi-lo)*r.next() }

// residual is M(u-sv)/b less all forces, written straight from the model page,
// with tangents frozen at a shape. Everything lies deep.
func residual(s *Sim, q, shape []state, b float64, i int) (rx, rz float64) {
	pull := func(link int) (fx, fz float64) {
		l := &s.el[link]
		ax, az := (q[link].x-q[link-1].x)/l.rest, (q[link].z-q[link-1].z)/l.rest
		n := l.stiff * (ax*ax + az*az - 1) / 2
		return n * ax, n * az
	}
	fx, fz := plainDrag(s, q, shape, i)
	x, z := pull(i)
	fx, fz = fx-x, fz-z
	if i < s.end {
		x, z = pull(i + 1)
		fx, fz = fx+x, fz+z
	}
	ax, az := (q[i].vx-s.el[i].h.vx)/b, (q[i].vz-s.el[i].h.vz)/b
	weight := 0.0
	add := func(link int, a, c int) {
		m := &s.materials[s.el[link].section]
		half := s.el[link].rest / 2
		weight += (m.mu*gravity - m.buoy) * half
		tx, tz := shape[c].x-shape[a].x, shape[c].z-shape[a].z
		l := math.Hypot(tx, tz)
		tx, tz = tx/l, tz/l
		an := az*tx - ax*tz
		fx += m.ma * half * an * tz
		fz -= m.ma * half * an * tx
		fx -= m.mu * half * ax
		fz -= m.mu * half * az
	}
	if s.el[i].slow {
		add(i, i-1, i)
		if i < s.end {
			add(i+1, i, i+1)
		}
	} else {
		add(i, i-1, i+1)
		add(i+1, i-1, i+1)
	}
	fz -= weight
	if k := s.el[i].body; k >= 0 {
		bd := &s.bodies[k]
		fx -= (bd.mass + bd.added) * ax
		fz -= (bd.mass+bd.added)*az + bd.mass*gravity - bd.buoy
	}
	return fx, fz
}

// The rows are held to a plain residual and its central differences at random
// unsymmetric states, with tangents and friction coefficient frozen: the scheme
// leaves their change out, which keeps D symmetric.
func TestRowsAgainstFiniteDifferences(t *testing.T) {
	r := random(11)
	for trial := range 30 {
		s := build(Setup{
			Water: Water{Density: rho, KinematicViscosity: nu},
			Sections: []Section{
				{3, 1.4e-3, 1.1e-3, 500}, {1.5, 1e-4, 2.5e-4, 100},
			},
			Bodies: []Body{bodyFromSink("a", 0.1, 6e-8, 6e-5, rho), {"b", 0.6, 4e-5, 3e-8, 5e-5, 0.5}},
			Tip:    []TipMove{{}}, EntryDistance: 1, StopWithLineOut: 4, Sample: 1,
			Mesh: Mesh{Segment: 0.4, MaxStep: 1},
		})
		b := r.between(0.005, 0.3)
		x, z, angle := 0.0, -3.0, r.between(-0.5, 0.5)
		for i := range s.nxt {
			if i > 0 {
				angle += r.between(-0.15, 0.15)
				l := s.el[i].rest * r.between(0.999, 1.004)
				x, z = x+l*math.Cos(angle), z-l*math.Sin(angle)
			}
			s.nxt[i] = state{x, z, r.between(-0.5, 0.5), r.between(-0.5, 0.5)}
			s.el[i].h = state{vx: r.between(-0.5, 0.5), vz: r.between(-0.5, 0.5)}
			s.el[i].water = r.between(-0.3, 0.3)
		}
		for i := 1; i <= s.end; i++ {
			s.el[i].stiff = s.el[i].ea
			if r.next() < 0.3 {
				s.el[i].stiff = s.slack
			}
			s.el[i].ahead = 0
		}
		s.assemble(b)
		for i := 1; i <= s.end; i++ {
			s.el[i].ahead = s.el[i].stiff * s.el[i].eps // then the coupling is the true derivative
		}
		s.assemble(b)
		shape := append([]state(nil), s.nxt...)
		// a random direction, and the residual along it
		dir := make([]state, len(s.nxt))
		for i := 1; i < len(dir); i++ {
			dir[i] = state{vx: r.between(-1, 1), vz: r.between(-1, 1)}
		}
		moved := func(h float64) []state {
			q := append([]state(nil), shape...)
			for i := range q {
				q[i].vx += h * dir[i].vx
				q[i].vz += h * dir[i].vz
				q[i].x += h * b * dir[i].vx
				q[i].z += h * b * dir[i].vz
			}
			return q
		}
		const h = 1e-6
		plus, minus := moved(h), moved(-h)
		for i := 1; i <= s.end; i++ {
			row := &s.el[i]
			fx, fz := residual(s, shape, shape, b, i)
			scale := math.Abs(row.d11) + math.Abs(row.d22)
			if math.Hypot(fx-row.r1, fz-row.r2) > 1e-6*math.Hypot(fx, fz)+1e-8*scale {
				t.Fatalf("trial %d node %d of %d: residual %v, %v; want %v, %v", trial, i, s.end, row.r1, row.r2, fx, fz)
			}
			px, pz := residual(s, plus, shape, b, i)
			mx, mz := residual(s, minus, shape, b, i)
			gx := row.d11*dir[i].vx + row.d12*dir[i].vz - row.s11*dir[i-1].vx - row.s12*dir[i-1].vz
			gz := row.d12*dir[i].vx + row.d22*dir[i].vz - row.s12*dir[i-1].vx - row.s22*dir[i-1].vz
			if i < s.end {
				n := &s.el[i+1]
				gx -= n.s11*dir[i+1].vx + n.s12*dir[i+1].vz
				gz -= n.s12*dir[i+1].vx + n.s22*dir[i+1].vz
			}
			dx, dz := -(px-mx)/(2*h), -(pz-mz)/(2*h)
			if math.Hypot(dx-gx, dz-gz) > 1e-4*scale {
				t.Fatalf("trial %d node %d of %d: D·v is %v, %v; differences give %v, %v", trial, i, s.end, gx, gz, dx, dz)
			}
		}
		// and the elimination solves them
		before := append([]element(nil), s.el...)
		s.eliminate()
		s.correct(b)
		for i := 1; i <= s.end; i++ {
			row := before[i]
			dv := func(k int) (x, z float64) {
				if k == 0 {
					return 0, 0
				}
				return s.el[k].r1, s.el[k].r2
			}
			x, z := dv(i)
			ux, uz := dv(i - 1)
			gx, gz := row.d11*x+row.d12*z-row.s11*ux-row.s12*uz, row.d12*x+row.d22*z-row.s12*ux-row.s22*uz
			if i < s.end {
				n := before[i+1]
				ux, uz = dv(i + 1)
				gx, gz = gx-n.s11*ux-n.s12*uz, gz-n.s12*ux-n.s22*uz
			}
			if math.Hypot(gx-row.r1, gz-row.r2) > 1e-9*(math.Abs(row.d11)+math.Abs(row.d22)) {
				t.Fatalf("trial %d node %d: D·dv = %v, %v, want %v, %v", trial, i, gx, gz, row.r1, row.r2)
			}
		}
	}
}

// The wet shares are integrals over the link; so are their slopes.
func TestWetShares(t *testing.T) {
	ramp := func(z float64) float64 { return clamp(0.5-z/linkRamp, 0, 1) }
	r := random(5)
	for range 400 {
		za, zb := r.between(-0.02, 0.02), r.between(-0.02, 0.02)
		if r.next() < 0.3 {
			zb = za + r.between(-0.002, 0.002)
		}
		const n = 4000
		a, b := 0.0, 0.0
		for i := range n {
			u := (float64(i) + 0.5) / n
			h := ramp(za + u*(zb-za))
			a += 2 * (1 - u) * h / n
			b += 2 * u * h / n
		}
		w := wetShares(za, zb)
		within := 2e-4
		if math.Abs(zb-za) < 1e-3 { // taken at the middle
			within = 0.1
		}
		if math.Abs(w.a-a) > within || math.Abs(w.b-b) > within {
			t.Fatalf("wetShares(%v, %v) = %v, %v; want %v, %v", za, zb, w.a, w.b, a, b)
		}
		const h = 1e-7
		p, m := wetShares(za+h, zb+h), wetShares(za-h, zb-h)
		ka, kb := -(p.a-m.a)/(2*h), -(p.b-m.b)/(2*h)
		if math.Abs(ka-w.ka) > 0.02/linkRamp || math.Abs(kb-w.kb) > 0.02/linkRamp {
			t.Fatalf("wetShares(%v, %v): slopes %v, %v; differences give %v, %v", za, zb, w.ka, w.kb, ka, kb)
		}
	}
}
