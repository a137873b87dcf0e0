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
	m, w   float64 // mass; weight less buoyancy, all wet
	k, kap float64 // ρνl/2 of both halves; and times C_dax π d/ν
	idn    float64 // d/ν
	ma     float64 // added mass across, all wet
	iS     float64 // 1/(L_i + L_{i+1})
	body   int32   // index of the body here, or -1
	slow   bool    // kinked, carries a body, or is the end: each side has its own tangent
}

// link holds a link's geometry, tension and what its wet halves weigh.
type link struct {
	ax, az   float64 // end-to-end vector over rest length
	eps      float64 // (|a|² - 1)/2
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

// wet says which share of each half of a link is under water, and how much of
// the share is lost per metre of rise.
type wet struct{ a, b, ka, kb float64 }

// material is a section's numbers per metre.
type material struct{ mu, buoy, k, kap, idn, ma, ea float64 }

// row is a row of the block tridiagonal system, then of its elimination.
type row struct{ d11, d12, d22, r1, r2, s11, s12, s22 float64 }

// ramps over which a link, and a body, pass from wet to dry. [m]
const linkRamp, bodyRamp = 0.006, 0.012

// bed contact: stiffness and friction per node, chosen so that a node rests
// within a millimetre of the bed; friction is Coulomb's, smoothed under 1 cm/s.
const bedStiffness, bedFriction, bedSlip = 5.0, 0.5, 0.01 // [N/m], [1], [m/s]

const maxPasses = 8

// setLink gives link i its rest length and updates its numbers.
func (s *Sim) setLink(i int, length float64) {
	l := &s.links[i]
	l.rest, l.iL = length, 1/length
	l.halfW = s.materials[l.section].buoy * length / 2
}

// setNode gathers node i from the links on its sides.
func (s *Sim) setNode(i int) {
	n := &s.nodes[i]
	a := &s.links[i]
	ma := &s.materials[a.section]
	ha := a.rest / 2
	n.m, n.w = ma.mu*ha, (ma.mu*fluid.StandardGravity-ma.buoy)*ha
	n.k, n.kap, n.ma, n.idn = ma.k*ha, ma.kap*ha, ma.ma*ha, ma.idn
	n.iS = 0
	if i < s.end {
		b := &s.links[i+1]
		mb := &s.materials[b.section]
		hb := b.rest / 2
		n.m += mb.mu * hb
		n.w += (mb.mu*fluid.StandardGravity - mb.buoy) * hb
		n.k += mb.k * hb
		n.kap += mb.kap * hb
		n.ma += mb.ma * hb
		n.iS = 1 / (a.rest + b.rest)
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
	h := &s.hist[s.tip]
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
		if (moved <= s.control.again && !switched) || passes == maxPasses {
			if passes == maxPasses && moved > 0.05 {
				return err, passes, false
			}
			break
		}
	}
	for i := s.tip + 1; i <= s.end; i++ {
		l := &s.links[i]
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
	if out == s.below[s.tip+1]+s.links[first].rest {
		return
	}
	for out-s.below[first] < s.control.shortest && first < s.end && s.nodes[first].body < 0 {
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
	cur, prv, nxt, hist := s.cur[s.tip:n], s.prv[s.tip:n], s.nxt[s.tip:n], s.hist[s.tip:n]
	for i := range cur {
		c, p, q, h := &cur[i], &prv[i], &nxt[i], &hist[i]
		h.x, h.z = c1*c.x+c2*p.x, c1*c.z+c2*p.z
		h.vx, h.vz = c1*c.vx+c2*p.vx, c1*c.vz+c2*p.vz
		q.vx, q.vz = c.vx+w*(c.vx-p.vx), c.vz+w*(c.vz-p.vz)
		q.x, q.z = h.x+b*q.vx, h.z+b*q.vz
	}
	links := s.links[s.tip+1 : n]
	for i := range links {
		l := &links[i]
		l.ahead, l.stiff = 0, s.slack
		if l.taut {
			l.ahead, l.stiff = max(0, l.now+w*(l.now-l.was)), l.ea
		}
	}
}

// assemble fills the rows: D dv = r at the present guess. Links first, then nodes.
func (s *Sim) assemble(b float64) {
	lo := s.tip
	q := s.nxt[lo : s.end+1]
	m := len(q)
	links, rows, nodes, hist := s.links[lo:][:m], s.rows[lo:][:m], s.nodes[lo:][:m], s.hist[lo:][:m]
	for i := 1; i < len(q); i++ {
		l, r, p, o := &links[i], &rows[i], &q[i], &q[i-1]
		ax, az := (p.x-o.x)*l.iL, (p.z-o.z)*l.iL
		eps := 0.5 * (ax*ax + az*az - 1)
		tension := l.stiff * eps
		bl := b * l.iL
		e, g := l.stiff*bl, l.ahead*bl
		r.s11, r.s12, r.s22 = e*ax*ax+g, e*ax*az, e*az*az+g
		l.ax, l.az, l.eps, l.tension = ax, az, eps, tension
		l.near = p.z > -linkRamp || o.z > -linkRamp
		if l.near {
			s.wets[lo+i] = wetShares(o.z, p.z)
		}
	}
	ib := 1 / b
	cells := &s.drag.cells
	bed := s.bedZ
	if s.drift != 0 {
		bed = math.Inf(1) // every node is slow in a current
	}
	for i := 1; i < len(q)-1; i++ {
		nd, u, r := &nodes[i], &q[i], &rows[i]
		l, below, rb := &links[i], &links[i+1], &rows[i+1]
		if l.near || below.near || nd.slow || u.z < bed {
			s.assembleSlow(lo+i, b)
			continue
		}
		tx, tz := q[i+1].x-q[i-1].x, q[i+1].z-q[i-1].z
		tt := tx*tx + tz*tz
		qq := tt * nd.iS * nd.iS
		inv := (1.875 - qq*(1.25-0.375*qq)) * nd.iS // 1/√ by its series
		if !(qq > 0.9 && qq < 1.1) {
			inv = 1 / math.Sqrt(tt+1e-18)
		}
		tx *= inv
		tz *= inv
		vt := u.vx*tx + u.vz*tz
		vn := u.vz*tx - u.vx*tz
		bits := math.Float64bits(math.Abs(vn)*nd.idn + tableFloor)
		c := &cells[(bits>>tableShift-tableBase)&511]
		f := math.Float64frombits(bits&(1<<52-1) | oneBits)
		slope := f * c.qb
		qn := c.qa + slope
		av := nd.kap * math.Abs(vt)
		ct := nd.k*(c.ca+f*c.cb) + av
		h := &hist[i]
		ex, ez := (u.vx-h.vx)*ib, (u.vz-h.vz)*ib
		fn := nd.k*qn*vn + nd.ma*(ez*tx-ex*tz)
		ft := ct * vt
		r.r1 = below.tension*below.ax - l.tension*l.ax - nd.m*ex + fn*tz - ft*tx
		r.r2 = below.tension*below.az - l.tension*l.az - nd.m*ez - fn*tx - ft*tz - nd.w
		dn := (nd.m+nd.ma)*ib + nd.k*(qn+slope)
		df := nd.m*ib + ct + av - dn
		dx := df * tx
		r.d11 = dn + dx*tx + r.s11 + rb.s11
		r.d12 = dx*tz + r.s12 + rb.s12
		r.d22 = dn + df*tz*tz + r.s22 + rb.s22
	}
	s.assembleSlow(s.end, b)
}

// assembleSlow is assemble for a node in the air or at the surface or the bed,
// with a body or a kink, at the end, or in a current.
func (s *Sim) assembleSlow(i int, b float64) {
	nd, l, r, u, h := &s.nodes[i], &s.links[i], &s.rows[i], &s.nxt[i], &s.hist[i]
	ib := 1 / b
	ex, ez := (u.vx-h.vx)*ib, (u.vz-h.vz)*ib
	wetA, stiff := 1.0, 0.0
	if l.near {
		w := &s.wets[i]
		wetA, stiff = w.b, l.halfW*w.kb
	}
	fx := -nd.m*ex - l.tension*l.ax
	fz := -nd.m*(ez+fluid.StandardGravity) - l.tension*l.az + l.halfW*wetA
	d11, d12, d22 := nd.m*ib+r.s11, r.s12, nd.m*ib+r.s22
	wetB := 0.0
	below := l
	if i < s.end {
		below = &s.links[i+1]
		rb := &s.rows[i+1]
		wetB = 1
		if below.near {
			w := &s.wets[i+1]
			wetB = w.a
			stiff += below.halfW * w.ka
		}
		fz += below.halfW*wetB + below.tension*below.az
		fx += below.tension * below.ax
		d11, d12, d22 = d11+rb.s11, d12+rb.s12, d22+rb.s22
	}
	r.d11, r.d12, r.d22, r.r1, r.r2 = d11, d12, d22+stiff*b, fx, fz
	if wetA+wetB > 0 || nd.body >= 0 {
		vx, vz := u.vx, u.vz
		if s.drift != 0 {
			vx -= s.drift * math.Exp(min(u.z, 0)*s.driftScale)
		}
		ma := &s.materials[l.section]
		la, lb := l.rest/2*wetA, below.rest/2*wetB
		switch {
		case i == s.end:
			s.side(r, ma, la, l.ax, l.az, vx, vz, ex, ez, ib)
		case nd.slow:
			s.side(r, ma, la, l.ax, l.az, vx, vz, ex, ez, ib)
			s.side(r, &s.materials[below.section], lb, below.ax, below.az, vx, vz, ex, ez, ib)
		default:
			s.side(r, ma, la+lb, s.nxt[i+1].x-s.nxt[i-1].x, s.nxt[i+1].z-s.nxt[i-1].z, vx, vz, ex, ez, ib)
		}
		if nd.body >= 0 {
			s.bodies[nd.body].add(r, u.z, vx, vz, ex, ez, b)
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
// W = S D⁻¹ in the place of D and s11, for the way back.
func (s *Sim) eliminate() {
	rows := s.rows[s.tip+1 : s.end+1]
	i, j := 0, len(rows)-1
	for ; i+1 < j; i, j = i+1, j-1 {
		a, to := &rows[i], &rows[i+1]
		c, up := &rows[j], &rows[j-1]
		inv := 1 / (a.d11*a.d22 - a.d12*a.d12)
		jnv := 1 / (c.d11*c.d22 - c.d12*c.d12)
		{
			s11, s12, s22 := to.s11, to.s12, to.s22
			i11, i12, i22 := a.d22*inv, -a.d12*inv, a.d11*inv
			w11, w12 := s11*i11+s12*i12, s11*i12+s12*i22
			w21, w22 := s12*i11+s22*i12, s12*i12+s22*i22
			r1, r2 := a.r1, a.r2
			to.d11 -= w11*s11 + w12*s12
			to.d12 -= w11*s12 + w12*s22
			to.d22 -= w21*s12 + w22*s22
			to.r1 += w11*r1 + w12*r2
			to.r2 += w21*r1 + w22*r2
			a.r1, a.r2 = i11*r1+i12*r2, i12*r1+i22*r2
			a.d11, a.d12, a.d22, a.s11 = w11, w12, w21, w22
		}
		{
			s11, s12, s22 := c.s11, c.s12, c.s22
			i11, i12, i22 := c.d22*jnv, -c.d12*jnv, c.d11*jnv
			w11, w12 := s11*i11+s12*i12, s11*i12+s12*i22
			w21, w22 := s12*i11+s22*i12, s12*i12+s22*i22
			r1, r2 := c.r1, c.r2
			up.d11 -= w11*s11 + w12*s12
			up.d12 -= w11*s12 + w12*s22
			up.d22 -= w21*s12 + w22*s22
			up.r1 += w11*r1 + w12*r2
			up.r2 += w21*r1 + w22*r2
			c.r1, c.r2 = i11*r1+i12*r2, i12*r1+i22*r2
			c.d11, c.d12, c.d22, c.s11 = w11, w12, w21, w22
		}
	}
	if i < j { // one row above the middle is left
		a, to := &rows[i], &rows[j]
		inv := 1 / (a.d11*a.d22 - a.d12*a.d12)
		s11, s12, s22 := to.s11, to.s12, to.s22
		i11, i12, i22 := a.d22*inv, -a.d12*inv, a.d11*inv
		w11, w12 := s11*i11+s12*i12, s11*i12+s12*i22
		w21, w22 := s12*i11+s22*i12, s12*i12+s22*i22
		to.d11 -= w11*s11 + w12*s12
		to.d12 -= w11*s12 + w12*s22
		to.d22 -= w21*s12 + w22*s22
		to.r1 += w11*a.r1 + w12*a.r2
		to.r2 += w21*a.r1 + w22*a.r2
		a.r1, a.r2 = i11*a.r1+i12*a.r2, i12*a.r1+i22*a.r2
		a.d11, a.d12, a.d22, a.s11 = w11, w12, w21, w22
	}
	m := &rows[j]
	inv := 1 / (m.d11*m.d22 - m.d12*m.d12)
	m.r1, m.r2 = (m.d22*m.r1-m.d12*m.r2)*inv, (m.d11*m.r2-m.d12*m.r1)*inv
	s.middle = s.tip + 1 + j
}

// correct applies the solution: velocities, places, tensions, and which links
// are taut. moved is the farthest that a node went.
func (s *Sim) correct(b float64) (moved float64, switched, ok bool) {
	rows := s.rows[s.tip : s.end+1]
	i := s.middle - s.tip - 1
	j := i + 2
	u1, u2 := rows[i+1].r1, rows[i+1].r2
	v1, v2 := u1, u2
	for i >= 1 || j < len(rows) { // outwards on both sides
		if i >= 1 {
			r := &rows[i]
			u1, u2 = r.r1+r.d11*u1+r.d22*u2, r.r2+r.d12*u1+r.s11*u2
			r.r1, r.r2 = u1, u2
			i--
		}
		if j < len(rows) {
			r := &rows[j]
			v1, v2 = r.r1+r.d11*v1+r.d22*v2, r.r2+r.d12*v1+r.s11*v2
			r.r1, r.r2 = v1, v2
			j++
		}
	}
	m := len(rows)
	q, links := s.nxt[s.tip:][:m], s.links[s.tip:][:m]
	px, pz := 0.0, 0.0
	sum, most := 0.0, 0.0
	for i := 1; i < m; i++ {
		dx, dz := rows[i].r1, rows[i].r2
		u := &q[i]
		u.vx += dx
		u.vz += dz
		u.x += b * dx
		u.z += b * dz
		far := dx*dx + dz*dz
		if far > most {
			most = far
		}
		sum += far
		l := &links[i]
		eps := l.eps + b*l.iL*(l.ax*(dx-px)+l.az*(dz-pz))
		px, pz = dx, dz
		tension := l.stiff * eps
		if l.stiff != s.slack {
			if eps < 0 {
				switched = switched || tension < -1e-3
				l.stiff = s.slack
				tension = s.slack * eps
			}
		} else if eps > 0 {
			switched = switched || eps > 1e-5
			l.stiff = l.ea
			tension = l.ea * eps
		}
		l.tension, l.ahead = tension, tension
		if tension < 0 {
			l.ahead = 0
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

func clamp(v, lo, hi float64) float64 { return max(lo, min(hi, v)) }
