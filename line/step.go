package line

// The kernel: one step of the linearly implicit BDF2 scheme on node velocities.
// Rules of this file: no allocation, no bounds surprises, symbols as on the model
// page. Nodes run from the tip (the first still out) to the end at the point;
// link i joins node i-1 and node i. Everything is in SI units.

import (
	"math"

	"windlane/fluid"
)

// state is a node's place and velocity.
type state struct{ x, z, vx, vz float64 }

// node holds what a node's drag and weight are made of.
type node struct {
	m, w  float64 // mass; weight less buoyancy, all wet
	k     float64 // ρνl/2 of both halves
	idn   float64 // d/ν
	ma    float64 // added mass across, all wet
	water float64 // the water's own speed along x here, held through a step
	body  int32   // index of the body here, or -1
	slow  bool    // kinked, carries a body, or is the end: each side has its own tangent
}

// link holds a link's geometry, tension and what its wet halves weigh.
type link struct {
	ax, az   float64 // end-to-end vector over rest length
	eps      float64 // (|a|² - 1)/2
	fx, fz   float64 // the pull along it at the present guess
	tension  float64 // of this pass (force is tension·a)
	stiff    float64 // stiffness of this pass: taut or slack
	ahead    float64 // tension foreseen for the end of the step
	now, was float64 // tension accepted at the last two step ends
	rest, iL float64 // rest length, and one over it
	ea       float64
	halfW    float64 // buoyancy of half the link
	section  int32
	taut     bool // at the last step end
	near     bool // touches the surface
}

// flow is the water past a node in the frame of its tangent.
type flow struct{ tx, tz, vt, vn, re float64 }

// wet says which share of each half of a link is under water, and how much of
// the share is lost per metre of rise.
type wet struct{ a, b, ka, kb float64 }

// material is a section's numbers per metre.
type material struct{ mu, buoy, k, kap, idn, ma, ea float64 }

// row is a row of the block tridiagonal system, then of its elimination.
type row struct{ d11, d12, d22, r1, r2, s11, s12, s22 float64 }

// element is a node with the link above it: all that a pass needs of both in one
// place, so that the loops carry one pointer down the line.
type element struct {
	link
	node
	row
	h state // of the running step: places and velocities of BDF2
}

// ramps over which a link, and a body, pass from wet to dry. [m]
const linkRamp, bodyRamp = 0.006, 0.012

// bed contact: stiffness and friction per node, chosen so that a node rests
// within a millimetre of the bed; friction is Coulomb's, smoothed under 1 cm/s.
const bedStiffness, bedFriction, bedSlip = 5.0, 0.5, 0.01 // [N/m], [1], [m/s]

const maxPasses = 12

// airborne is how much the square of a move counts above the water, where no
// depth hangs on it: what is between rod and water swings in every strip. [1]
const airborne = 0.25

// setLink gives link i its rest length and updates its numbers.
func (s *Sim) setLink(i int, length float64) {
	l := &s.el[i]
	l.rest, l.iL = length, 1/length
	l.halfW = s.materials[l.section].buoy * length / 2
}

// setNode gathers node i from the links on its sides.
func (s *Sim) setNode(i int) {
	n := &s.el[i]
	a := &s.el[i]
	ma := &s.materials[a.section]
	ha := a.rest / 2
	n.m, n.w = ma.mu*ha, (ma.mu*fluid.StandardGravity-ma.buoy)*ha
	n.k, n.ma, n.idn = ma.k*ha, ma.ma*ha, ma.idn
	if i < s.end {
		b := &s.el[i+1]
		mb := &s.materials[b.section]
		hb := b.rest / 2
		n.m += mb.mu * hb
		n.w += (mb.mu*fluid.StandardGravity - mb.buoy) * hb
		n.k += mb.k * hb
		n.ma += mb.ma * hb
		n.slow = a.section != b.section || n.body >= 0
	} else {
		n.slow = true
	}
	if n.body >= 0 {
		n.m += s.bodies[n.body].mass
	}
}

// step advances by dt to a tip position and a length of line out. It returns
// how far the first pass moved a node (the step's error) and how many
// passes it took; ok is false, and the state as before, when numbers broke.
func (s *Sim) step(dt, tipX, tipZ, out float64) (err float64, passes int, ok bool) {
	s.payIn(out)
	w, b, c1, c2 := 0.0, dt, 1.0, 0.0
	if s.lastDt > 0 {
		w = dt / s.lastDt
		a0 := (1 + 2*w) / (1 + w)
		b, c1, c2 = dt/a0, (1+w)/a0, -w*w/((1+w)*a0)
	}
	s.predict(min(w, 1.5), b, c1, c2)
	tip := &s.nxt[s.tip]
	h := &s.el[s.tip].h
	tip.x, tip.z = tipX, tipZ
	tip.vx, tip.vz = (tipX-h.x)/b, (tipZ-h.z)/b
	for passes = 1; ; passes++ {
		s.assemble(b)
		s.eliminate()
		moved, switched, fine := s.correct(b)
		if !fine {
			return 0, passes, false
		}
		if passes == 1 {
			err = moved
		}
		// a link that goes taut or slack and moves next to nothing waits for the next step
		settled := moved <= s.control.again && (!switched || passes > 1 && moved <= s.control.again/16)
		if settled || passes == maxPasses {
			if passes == maxPasses && moved > 0.05 {
				return err, passes, false
			}
			break
		}
	}
	for i := s.tip + 1; i <= s.end; i++ {
		l := &s.el[i]
		l.was, l.now = l.now, l.tension
		l.taut = l.stiff == l.ea
	}
	s.prv, s.cur, s.nxt = s.cur, s.nxt, s.prv
	s.lastDt = dt
	s.out = out
	return err, passes, true
}

// payIn shortens the first link to leave out metres, joining it to the next
// while it is too short, never past a body.
func (s *Sim) payIn(out float64) {
	first := s.tip + 1
	if out == s.below[s.tip+1]+s.el[first].rest {
		return
	}
	for out-s.below[first] < s.control.shortest && first < s.end && s.el[first].body < 0 {
		s.cur[first], s.prv[first] = s.cur[s.tip], s.prv[s.tip]
		s.tip = first
		first++
	}
	s.setLink(first, max(out-s.below[first], 1e-6))
	s.setNode(first)
}

// predict sets the history terms and the first guess of every free node.
func (s *Sim) predict(w, b, c1, c2 float64) {
	n := s.end + 1
	el := s.el[s.tip:n]
	cur, prv, nxt := s.cur[s.tip:n], s.prv[s.tip:n], s.nxt[s.tip:n]
	slack := s.slack
	for i := range el {
		e, c, p, q := &el[i], &cur[i], &prv[i], &nxt[i]
		e.h.x, e.h.z = c1*c.x+c2*p.x, c1*c.z+c2*p.z
		e.h.vx, e.h.vz = c1*c.vx+c2*p.vx, c1*c.vz+c2*p.vz
		q.vx, q.vz = c.vx+w*(c.vx-p.vx), c.vz+w*(c.vz-p.vz)
		q.x, q.z = e.h.x+b*q.vx, e.h.z+b*q.vz
		e.ahead, e.stiff = 0, slack
		if e.taut {
			e.stiff = e.ea
			if t := e.now + w*(e.now-e.was); t > 0 {
				e.ahead = t
			}
		}
	}
	if s.drift != 0 {
		for i := range el { // e^x as 1 + Expm1, which has the same bits on every machine
			el[i].water = s.drift * (1 + math.Expm1(min(nxt[i].z, 0)*s.driftScale))
		}
	}
}

// assemble fills the rows: D dv = r at the present guess. Three loops, links, the
// water past the nodes, rows: short chains of operations overlap where one long
// one would wait for itself.
func (s *Sim) assemble(b float64) {
	lo := s.tip
	q := s.nxt[lo : s.end+1]
	el := s.el[lo : s.end+1]
	o := &q[0]
	was := o.z > -linkRamp
	for i := 1; i < len(q) && i < len(el); i++ {
		e, p := &el[i], &q[i]
		ax, az := (p.x-o.x)*e.iL, (p.z-o.z)*e.iL
		eps := 0.5 * (ax*ax + az*az - 1)
		tension := e.stiff * eps
		bl := b * e.iL
		k, g := e.stiff*bl, e.ahead*bl
		kx := k * ax
		e.s11, e.s12, e.s22 = kx*ax+g, kx*az, k*az*az+g
		e.ax, e.az, e.eps = ax, az, eps
		e.fx, e.fz = tension*ax, tension*az
		is := p.z > -linkRamp
		e.near = is || was
		if e.near {
			s.wets[lo+i] = wetShares(o.z, p.z)
		}
		o, was = p, is
	}
	flows := s.flows[lo : s.end+1]
	for i := 1; i+1 < len(q) && i < len(el) && i < len(flows); i++ {
		u, e, f := &q[i], &el[i], &flows[i]
		tx, tz := q[i+1].x-q[i-1].x, q[i+1].z-q[i-1].z
		inv := 1 / math.Sqrt(tx*tx+tz*tz+1e-18)
		tx *= inv
		tz *= inv
		vx := u.vx - e.water
		f.tx, f.tz = tx, tz
		f.vt = vx*tx + u.vz*tz
		vn := u.vz*tx - vx*tz
		f.vn = vn
		f.re = math.Abs(vn)*e.idn + tableFloor
	}
	ib := 1 / b
	cells := &s.drag.cells
	bed := s.bedZ
	if s.drag.axial > 0 { // friction by the square is left to the slow rows
		bed = math.Inf(1)
	}
	e := &el[1]
	for i := 2; i < len(q) && i < len(el) && i <= len(flows); i++ {
		below, u, w := &el[i], &q[i-1], &flows[i-1]
		if e.near || below.near || e.slow || u.z < bed {
			s.assembleSlow(lo+i-1, b)
			e = below
			continue
		}
		re := w.re
		if !(re < tableEnd) {
			re = tableLast
		}
		c := &cells[math.Float64bits(re)>>tableShift&511]
		slope := re * c.qb
		qn := c.qa + slope
		ct := e.k * (c.ca + re*c.cb)
		mb, am := e.m*ib, e.ma*ib
		ex, ez := u.vx-e.h.vx, u.vz-e.h.vz
		tx, tz := w.tx, w.tz
		fn := e.k*qn*w.vn + am*(ez*tx-ex*tz)
		ft := ct * w.vt
		e.r1 = below.fx - e.fx - mb*ex + fn*tz - ft*tx
		e.r2 = below.fz - e.fz - mb*ez - fn*tx - ft*tz - e.w
		dn := am + e.k*(qn+slope)
		df := ct - dn
		dn += mb
		dx := df * tx
		e.d11 = dn + dx*tx + e.s11 + below.s11
		e.d12 = dx*tz + e.s12 + below.s12
		e.d22 = dn + df*tz*tz + e.s22 + below.s22
		e = below
	}
	s.assembleSlow(s.end, b)
}

// assembleSlow is assemble for a node in the air or at the surface or the bed,
// with a body or a kink, or at the end.
func (s *Sim) assembleSlow(i int, b float64) {
	e, u := &s.el[i], &s.nxt[i]
	r := &e.row
	ib := 1 / b
	ex, ez := (u.vx-e.h.vx)*ib, (u.vz-e.h.vz)*ib
	wetA, stiff := 1.0, 0.0
	if e.near {
		w := &s.wets[i]
		wetA, stiff = w.b, e.halfW*w.kb
	}
	fx := -e.m*ex - e.fx
	fz := -e.m*(ez+fluid.StandardGravity) - e.fz + e.halfW*wetA
	d11, d12, d22 := e.m*ib+r.s11, r.s12, e.m*ib+r.s22
	wetB := 0.0
	below := e
	if i < s.end {
		below = &s.el[i+1]
		wetB = 1
		if below.near {
			w := &s.wets[i+1]
			wetB = w.a
			stiff += below.halfW * w.ka
		}
		fz += below.halfW*wetB + below.fz
		fx += below.fx
		d11, d12, d22 = d11+below.s11, d12+below.s12, d22+below.s22
	}
	r.d11, r.d12, r.d22, r.r1, r.r2 = d11, d12, d22+stiff*b, fx, fz
	if wetA+wetB > 0 || e.body >= 0 {
		vx, vz := u.vx-e.water, u.vz
		ma := &s.materials[e.section]
		la, lb := e.rest/2*wetA, below.rest/2*wetB
		switch {
		case i == s.end:
			s.side(r, ma, la, e.ax, e.az, vx, vz, ex, ez, ib)
		case e.slow:
			s.side(r, ma, la, e.ax, e.az, vx, vz, ex, ez, ib)
			s.side(r, &s.materials[below.section], lb, below.ax, below.az, vx, vz, ex, ez, ib)
		default:
			s.side(r, ma, la+lb, s.nxt[i+1].x-s.nxt[i-1].x, s.nxt[i+1].z-s.nxt[i-1].z, vx, vz, ex, ez, ib)
		}
		if e.body >= 0 {
			s.bodies[e.body].add(r, u.z, vx, vz, ex, ez, b)
		}
	}
	if deep := s.bedZ - u.z; deep > 0 {
		load := bedStiffness * deep
		rub := bedFriction * load / math.Hypot(u.vx, bedSlip)
		r.r2 += load
		r.d22 += bedStiffness * b
		r.r1 -= rub * u.vx
		r.d11 += rub
	}
}

// add adds a body's buoyancy, drag and added mass to its node's row.
func (bd *body) add(r *row, z, vx, vz, ex, ez, b float64) {
	wet := clamp(0.5-z/bodyRamp, 0, 1)
	if wet == 0 {
		return
	}
	r.r2 += bd.buoy * wet
	if wet < 1 {
		r.d22 += bd.buoy / bodyRamp * b
	}
	v := math.Sqrt(vx*vx + vz*vz)
	c, am := bd.drag*wet, bd.added*wet
	r.r1 -= c*v*vx + am*ex
	r.r2 -= c*v*vz + am*ez
	d := c*v + am/b
	r.d11 += d
	r.d22 += d
	if v > 0 {
		c /= v
		r.d11 += c * vx * vx
		r.d12 += c * vx * vz
		r.d22 += c * vz * vz
	}
}

// side adds to a row the drag and added mass of l metres of a material along a
// tangent.
func (s *Sim) side(r *row, m *material, l, tx, tz, vx, vz, ex, ez, ib float64) {
	if l == 0 {
		return
	}
	inv := 1 / math.Sqrt(tx*tx+tz*tz+1e-18)
	tx *= inv
	tz *= inv
	vt := vx*tx + vz*tz
	vn := vz*tx - vx*tz
	q, slope, c := s.drag.at(math.Abs(vn) * m.idn)
	k := m.k * l
	av := m.kap * l * math.Abs(vt)
	ct := k*c + av
	added := m.ma * l
	fn := k*q*vn + added*(ez*tx-ex*tz)
	ft := ct * vt
	dn := k*(q+slope) + added*ib
	df := ct + av - dn
	r.r1 += fn*tz - ft*tx
	r.r2 -= fn*tx + ft*tz
	r.d11 += dn + df*tx*tx
	r.d12 += df * tx * tz
	r.d22 += dn + df*tz*tz
}

// eliminate works from both ends to the middle (two independent chains). A row
// eliminated from its neighbour across the coupling S keeps y = D⁻¹r in r and
// W = S D⁻¹ in the place of D and s11, for the way back. All that can is done
// while the division runs; written out thrice, as a call costs 5 % in wasm.
func (s *Sim) eliminate() {
	el := s.el[s.tip+1 : s.end+1]
	i, j := 0, len(el)-1
	a, c := &el[i], &el[j]
	for ; i+1 < j; i, j = i+1, j-1 {
		to, up := &el[i+1], &el[j-1]
		{
			s11, s12, s22 := to.s11, to.s12, to.s22
			a11, a12, a22, r1, r2 := a.d11, a.d12, a.d22, a.r1, a.r2
			inv := 1 / (a11*a22 - a12*a12)
			w11, w12 := s11*a22-s12*a12, s12*a11-s11*a12
			w21, w22 := s12*a22-s22*a12, s22*a11-s12*a12
			to.d11 -= (w11*s11 + w12*s12) * inv
			to.d12 -= (w11*s12 + w12*s22) * inv
			to.d22 -= (w21*s12 + w22*s22) * inv
			to.r1 += (w11*r1 + w12*r2) * inv
			to.r2 += (w21*r1 + w22*r2) * inv
			a.r1, a.r2 = (a22*r1-a12*r2)*inv, (a11*r2-a12*r1)*inv
			a.d11, a.d12, a.d22, a.s11 = w11*inv, w12*inv, w21*inv, w22*inv
		}
		{
			s11, s12, s22 := c.s11, c.s12, c.s22
			a11, a12, a22, r1, r2 := c.d11, c.d12, c.d22, c.r1, c.r2
			inv := 1 / (a11*a22 - a12*a12)
			w11, w12 := s11*a22-s12*a12, s12*a11-s11*a12
			w21, w22 := s12*a22-s22*a12, s22*a11-s12*a12
			up.d11 -= (w11*s11 + w12*s12) * inv
			up.d12 -= (w11*s12 + w12*s22) * inv
			up.d22 -= (w21*s12 + w22*s22) * inv
			up.r1 += (w11*r1 + w12*r2) * inv
			up.r2 += (w21*r1 + w22*r2) * inv
			c.r1, c.r2 = (a22*r1-a12*r2)*inv, (a11*r2-a12*r1)*inv
			c.d11, c.d12, c.d22, c.s11 = w11*inv, w12*inv, w21*inv, w22*inv
		}
		a, c = to, up
	}
	if i < j { // one row above the middle is left
		s11, s12, s22 := c.s11, c.s12, c.s22
		a11, a12, a22, r1, r2 := a.d11, a.d12, a.d22, a.r1, a.r2
		inv := 1 / (a11*a22 - a12*a12)
		w11, w12 := s11*a22-s12*a12, s12*a11-s11*a12
		w21, w22 := s12*a22-s22*a12, s22*a11-s12*a12
		c.d11 -= (w11*s11 + w12*s12) * inv
		c.d12 -= (w11*s12 + w12*s22) * inv
		c.d22 -= (w21*s12 + w22*s22) * inv
		c.r1 += (w11*r1 + w12*r2) * inv
		c.r2 += (w21*r1 + w22*r2) * inv
		a.r1, a.r2 = (a22*r1-a12*r2)*inv, (a11*r2-a12*r1)*inv
		a.d11, a.d12, a.d22, a.s11 = w11*inv, w12*inv, w21*inv, w22*inv
	}
	inv := 1 / (c.d11*c.d22 - c.d12*c.d12)
	c.r1, c.r2 = (c.d22*c.r1-c.d12*c.r2)*inv, (c.d11*c.r2-c.d12*c.r1)*inv
	s.middle = s.tip + 1 + j
}

// correct applies the solution: velocities, places, tensions, and which links
// are taut. moved is the farthest that a node went, half of that in the air.
func (s *Sim) correct(b float64) (moved float64, switched, ok bool) {
	el := s.el[s.tip : s.end+1]
	i := s.middle - s.tip - 1
	j := i + 2
	u1, u2 := el[i+1].r1, el[i+1].r2
	v1, v2 := u1, u2
	for i >= 1 || j < len(el) { // outwards on both sides
		if i >= 1 {
			r := &el[i]
			u1, u2 = r.r1+r.d11*u1+r.d22*u2, r.r2+r.d12*u1+r.s11*u2
			r.r1, r.r2 = u1, u2
			i--
		}
		if j < len(el) {
			r := &el[j]
			v1, v2 = r.r1+r.d11*v1+r.d22*v2, r.r2+r.d12*v1+r.s11*v2
			r.r1, r.r2 = v1, v2
			j++
		}
	}
	q := s.nxt[s.tip : s.end+1]
	px, pz := 0.0, 0.0
	sum, most := 0.0, 0.0
	slack := s.slack
	for i := 1; i < len(el) && i < len(q); i++ {
		e, u := &el[i], &q[i]
		dx, dz := e.r1, e.r2
		u.vx += dx
		u.vz += dz
		u.x += b * dx
		u.z += b * dz
		far := dx*dx + dz*dz
		if u.z > 0 {
			far *= airborne
		}
		if far > most {
			most = far
		}
		sum += far
		eps := e.eps + b*e.iL*(e.ax*(dx-px)+e.az*(dz-pz))
		px, pz = dx, dz
		tension := e.stiff * eps
		if e.stiff != slack {
			if eps < 0 {
				switched = switched || tension < -1e-3
				e.stiff = slack
				tension = slack * eps
			}
		} else if eps > 0 {
			switched = switched || eps > 1e-5
			e.stiff = e.ea
			tension = e.ea * eps
		}
		e.tension, e.ahead = tension, tension
		if tension < 0 {
			e.ahead = 0
		}
	}
	return math.Sqrt(most) * b, switched, sum*b*b < 1e6
}

// wetShares gives, for a link from za down to zb (heights), which share of each
// half is under water by the lever rule, and how fast it falls as the link rises.
// The water's edge is a straight ramp linkRamp wide.
func wetShares(za, zb float64) wet {
	if za > linkRamp && zb > linkRamp {
		return wet{}
	}
	dz := zb - za
	if math.Abs(dz) < 1e-3 {
		z := (za + zb) / 2
		w := clamp(0.5-z/linkRamp, 0, 1)
		k := 0.0
		if w > 0 && w < 1 {
			k = 1 / linkRamp
		}
		return wet{w, w, k, k}
	}
	h1a, h2a := rampIntegrals(za)
	h1b, h2b := rampIntegrals(zb)
	whole := (h1b - h1a) / dz
	second := h1b/dz - (h2b-h2a)/(dz*dz) // ∫ s h ds
	ha, hb := clamp(0.5-za/linkRamp, 0, 1), clamp(0.5-zb/linkRamp, 0, 1)
	return wet{
		a: clamp(2*(whole-second), 0, 1), b: clamp(2*second, 0, 1),
		// -∫(1-s) h' ds and -∫ s h' ds, doubled as the shares are
		ka: max(0, 2*(ha-whole)/dz), kb: max(0, 2*(whole-hb)/dz),
	}
}

// rampIntegrals are the first and second integrals of the ramp from 0 to z.
func rampIntegrals(z float64) (h1, h2 float64) {
	const d = linkRamp
	switch {
	case z <= -d/2:
		return z + d/8, z*z/2 + z*d/8 + d*d/48
	case z >= d/2:
		return d / 8, z*d/8 - d*d/48
	}
	return z/2 - z*z/(2*d), z*z/4 - z*z*z/(6*d)
}

// clamp keeps v between lo and hi. Plain ifs, as min and max are calls in wasm.
func clamp(v, lo, hi float64) float64 {
	if v < lo {
		return lo
	}
	if v > hi {
		return hi
	}
	return v
}
