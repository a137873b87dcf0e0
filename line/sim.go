package line

import (
	"math"

	"windlane/fluid"
)

// Sim is one cast under way. Make it with New, drive it with Next, ask it where
// things are. It allocates nothing after New.
type Sim struct {
	setup     Setup
	materials []material
	bodies    []body
	control   control
	drag      *Drag

	tip, end, middle int
	cur, prv, nxt    []state
	el               []element // element 0 has no link
	wets             []wet
	flows            []flow
	below            []float64 // rest length from a node down to the end
	track            []int     // nodes of the bodies in their order, then the junction

	slack      float64
	drift      float64
	driftScale float64
	bedZ       float64

	phase      Phase
	begun      float64 // when the phase began
	phaseEnd   float64
	outBegun   float64 // line out then
	outEnd     float64 // and at the end of a retrieve
	out        float64
	t, before  float64 // this and the last step end
	lastDt, dt float64 // the last step; the next one proposed
	mostSteps  int
	ends       [3]float64
	force      [2]float64 // at the tip, at before and t
	touched    []float64  // when each tracked node first rested on the bed, or -1
	status     Status
	done       bool

	// Steps and Passes count what it took.
	Steps, Passes, NodePasses int
}

type body struct{ mass, buoy, drag, added float64 }

// New makes a cast ready at landing. The error is a *Fault that names the field.
func New(setup Setup) (*Sim, error) {
	if err := setup.Validate(); err != nil {
		return nil, err
	}
	return build(setup), nil
}

func build(setup Setup) *Sim {
	s := &Sim{setup: setup, control: setup.Mesh.control(), drag: setup.Drag}
	if s.drag == nil {
		s.drag = defaultDrag()
	}
	rho, nu := setup.Water.Density, setup.Water.KinematicViscosity
	for _, sec := range setup.Sections {
		area := math.Pi / 4 * sec.Diameter * sec.Diameter
		k := rho * nu / 2
		s.materials = append(s.materials, material{
			mu: sec.LinearDensity, buoy: rho * fluid.StandardGravity * area, k: k,
			kap: k * s.drag.axial * math.Pi * sec.Diameter / nu, idn: sec.Diameter / nu,
			ma: rho * area, ea: sec.AxialStiffness,
		})
	}
	for _, b := range setup.Bodies {
		s.bodies = append(s.bodies, body{b.Mass, rho * fluid.StandardGravity * b.Volume, 0.5 * rho * b.DragArea, b.AddedMass * rho * b.Volume})
	}
	s.slack = setup.SlackStiffness
	if s.slack == 0 {
		s.slack = defaultSlack
	}
	s.drift = setup.Water.Drift
	if s.drift != 0 {
		s.driftScale = 1 / setup.Water.DriftScale
	}
	s.bedZ = math.Inf(-1)
	if setup.Water.Bed > 0 {
		s.bedZ = -setup.Water.Bed
	}
	lengths, section := setup.Mesh.cuts(setup.Sections, setup.Bodies, rho)
	n := len(lengths)
	s.end = n
	span := setup.Count + setup.Hang + setup.Pull.duration(setup.length()-setup.StopWithLineOut)
	s.mostSteps = spareSteps + int(10*span/s.control.longest)
	s.cur, s.prv, s.nxt = make([]state, n+1), make([]state, n+1), make([]state, n+1)
	s.el, s.wets, s.flows = make([]element, n+1), make([]wet, n+1), make([]flow, n+1)
	s.below = make([]float64, n+1)
	for i := n; i >= 1; i-- {
		s.below[i-1] = s.below[i] + lengths[i-1]
	}
	s.below[0] = setup.length()
	for i := range s.el {
		s.el[i].body = -1
	}
	for k, b := range setup.Bodies {
		at := s.nearest(b.FromEnd)
		s.el[at].body = int32(k)
		s.track = append(s.track, at)
	}
	if len(setup.Sections) > 1 {
		s.track = append(s.track, s.nearest(setup.Sections[len(setup.Sections)-1].Length))
	}
	s.touched = make([]float64, len(s.track))
	for i := 1; i <= n; i++ {
		l := &s.el[i]
		l.section, l.taut = int32(section[i-1]), true
		l.ea = s.materials[l.section].ea
		s.setLink(i, lengths[i-1])
	}
	for i := 1; i <= n; i++ {
		s.setNode(i)
	}
	s.lay()
	return s
}

// nearest is the node that lies so far up from the point.
func (s *Sim) nearest(fromEnd float64) int {
	best := s.end
	for i := range s.below {
		if math.Abs(s.below[i]-fromEnd) < math.Abs(s.below[best]-fromEnd) {
			best = i
		}
	}
	return best
}

// lay puts the line straight from the tip to the surface at EntryDistance and
// along it, at rest, and begins the count.
func (s *Sim) lay() {
	h, e := s.setup.Tip[0].Height, s.setup.EntryDistance
	air := math.Hypot(h, e)
	total := s.below[0]
	for i := range s.cur {
		arc := total - s.below[i]
		p := state{x: e + arc - air}
		if arc < air {
			p = state{x: e * arc / air, z: h * (1 - arc/air)}
		}
		s.cur[i], s.prv[i] = p, p
	}
	s.out = total
	for i := range s.touched {
		s.touched[i] = -1
	}
	s.status = Running
	s.enter(Count)
	s.force[1] = s.forceNow()
	s.force[0] = s.force[1]
}

// enter begins a phase at the present time.
func (s *Sim) enter(p Phase) {
	s.phase, s.begun, s.outBegun, s.outEnd = p, s.t, s.out, s.out
	s.dt = s.control.first
	span := 0.0
	switch p {
	case Count:
		span = s.setup.Count
	case Retrieve:
		if span = s.setup.Pull.duration(s.out - s.setup.StopWithLineOut); span > 0 {
			s.outEnd = s.setup.StopWithLineOut
		}
	case Hang:
		span = s.setup.Hang
	}
	s.phaseEnd = s.t + span
	s.ends[p] = s.phaseEnd
}

// Next takes one step, or begins the next phase when one has ended (and steps
// into it, unless it is empty). It is false when the cast is over or has broken;
// Status then says which. After the step that ends a phase the state is that
// before the change.
func (s *Sim) Next() bool {
	if s.done {
		return false
	}
	if s.t >= s.phaseEnd {
		if s.phase == Hang {
			s.done, s.status = true, Complete
			return false
		}
		if s.enter(s.phase + 1); s.t >= s.phaseEnd {
			return true // an empty phase
		}
	}
	return s.advance()
}

// advance takes one step within the phase.
func (s *Sim) advance() bool {
	if s.Steps >= s.mostSteps {
		s.done, s.status = true, TooManySteps
		return false
	}
	event := s.nextEvent()
	limit := min(s.dt, s.control.longest)
	if s.phase != Count && s.buoyantNearSurface() {
		limit = min(limit, 0.1)
	}
	for {
		h, rem := limit, event-s.t
		end := s.t + h
		switch {
		case h >= rem*(1-1e-9):
			h, end = rem, event
		case 2*h > rem:
			h = rem / 2
			end = s.t + h
		}
		x, z := s.setup.BoatSpeed*end, s.tipHeight(end)
		err, passes, ok := s.step(h, x, z, s.lineOut(end))
		s.Passes += passes
		s.NodePasses += passes * (s.end - s.tip)
		if !ok {
			if limit = min(limit, h) / 4; limit < 1e-6 {
				s.done, s.status = true, Broken
				return false
			}
			continue
		}
		s.Steps++
		s.before, s.t = s.t, end
		grown := clamp(math.Cbrt(s.control.error/max(err, 1e-12)), 0.5, s.control.grow)
		if end == event {
			s.dt = s.control.first
			if end == s.phaseEnd && s.phase == Count { // kept for a count that goes on
				s.dt = min(max(limit, h*grown), 2*h)
			}
		} else {
			s.dt = h * grown
		}
		s.force[0], s.force[1] = s.force[1], s.forceNow()
		if s.bedZ > math.Inf(-1) {
			s.feelBed()
		}
		return true
	}
}

// feelBed notes the first time a tracked node rests on the bed.
func (s *Sim) feelBed() {
	for k, i := range s.track {
		if i > s.tip && s.touched[k] < 0 && s.cur[i].z < s.bedZ+1e-3 {
			s.touched[k] = s.t
		}
	}
}

// buoyantNearSurface is whether the end body floats and is about to be pulled under.
func (s *Sim) buoyantNearSurface() bool {
	n := &s.el[s.end]
	return n.body >= 0 && s.bodies[n.body].buoy > s.bodies[n.body].mass*fluid.StandardGravity && s.cur[s.end].z > -0.03
}

// Continue lets a cast that stands at the end of its count count on to a later time.
func (s *Sim) Continue(count float64) {
	if s.phase != Count || count < s.t {
		panic("line: Continue after the count, or back in time")
	}
	s.setup.Count, s.phaseEnd, s.ends[Count] = count, count, count
}

// Branch makes s the same cast as from, with another retrieve and hang to come.
// Both must come from the same Setup but for Pull, Count and Hang.
func (s *Sim) Branch(from *Sim, pull Pull, hang float64) {
	if len(s.cur) != len(from.cur) || len(s.track) != len(from.track) {
		panic("line: Branch from another line")
	}
	keep := *s
	*s = *from
	s.materials, s.bodies, s.below, s.track = keep.materials, keep.bodies, keep.below, keep.track
	s.cur, s.prv, s.nxt = keep.cur, keep.prv, keep.nxt
	s.el, s.wets, s.flows, s.touched = keep.el, keep.wets, keep.flows, keep.touched
	copy(s.cur, from.cur)
	copy(s.prv, from.prv)
	copy(s.el, from.el)
	copy(s.touched, from.touched)
	s.setup.Pull, s.setup.Hang = pull, hang
	s.Steps, s.Passes, s.NodePasses = 0, 0, 0
}

// spareSteps bounds the steps of a cast beyond ten times what its longest step
// would need; ordinary casts take some hundreds.
const spareSteps = 20_000

// lineOut is the line out at a time of this phase.
func (s *Sim) lineOut(t float64) float64 {
	switch {
	case s.phase == Count && s.setup.TakeIn:
		return max(s.outBegun-s.setup.BoatSpeed*(t-s.begun), min(s.outBegun, s.setup.StopWithLineOut))
	case s.phase == Retrieve:
		if t == s.phaseEnd {
			return s.outEnd
		}
		return max(s.outBegun-s.setup.Pull.taken(t-s.begun), s.outEnd)
	}
	return s.outBegun
}

// tipHeight follows the schedule: each entry begins with its phase and leads
// evenly from where the tip then is.
func (s *Sim) tipHeight(t float64) float64 {
	h := s.setup.Tip[0].Height
	for _, m := range s.setup.Tip[1:] {
		at, known := s.moveStart(m)
		if !known || t <= at {
			continue
		}
		h += (m.Height - h) * clamp((t-at)/max(m.Over, shortestMove), 0, 1)
	}
	return h
}

const shortestMove = 0.1 // [s]

// moveStart is when a move begins, if its phase has begun.
func (s *Sim) moveStart(m TipMove) (at float64, known bool) {
	switch {
	case m.From > s.phase:
		return 0, false
	case m.From == Count:
		return m.After, true
	}
	return s.ends[m.From-1] + m.After, true
}

// nextEvent is the next time a step must end at.
func (s *Sim) nextEvent() float64 {
	next := s.phaseEnd
	for _, m := range s.setup.Tip[1:] {
		if at, known := s.moveStart(m); known {
			for _, e := range [2]float64{at, at + max(m.Over, shortestMove)} {
				if e > s.t+1e-6 && e < next-1e-6 {
					next = e
				}
			}
		}
	}
	if p := s.setup.Pull; s.phase == Retrieve && p.Length > 0 && p.Speed > 0 {
		period, pull := p.Length/p.Speed, p.Length/p.PullSpeed
		k := math.Floor((s.t - s.begun + 1e-6) / period)
		for _, e := range [2]float64{s.begun + k*period + pull, s.begun + (k+1)*period} {
			if e > s.t+1e-6 && e < next-1e-6 {
				next = e
			}
		}
	}
	return next
}

// rampTime is how long a steady retrieve takes to come to speed. [s]
const rampTime = 0.3

// taken is the line taken in after a time.
func (p Pull) taken(t float64) float64 {
	if p.Length > 0 {
		period := p.Length / p.Speed
		k := math.Floor(t / period)
		u := min(1, (t-k*period)*p.PullSpeed/p.Length)
		return p.Length * (k + u*u*(3-2*u))
	}
	if t < rampTime {
		return p.Speed * t * t / (2 * rampTime)
	}
	return p.Speed * (t - rampTime/2)
}

// duration is how long taking in a length of line lasts.
func (p Pull) duration(length float64) float64 {
	if length <= 0 || p.Speed <= 0 {
		return 0
	}
	if p.Length > 0 {
		k := math.Floor(length/p.Length + 1e-12)
		part := length/p.Length - k
		lo, hi := 0.0, 1.0
		for range 60 {
			if u := (lo + hi) / 2; u*u*(3-2*u) < part {
				lo = u
			} else {
				hi = u
			}
		}
		if part <= 1e-12 { // a whole number of pulls ends with the last pull, not its rest
			return (k-1)*p.Length/p.Speed + p.Length/p.PullSpeed
		}
		return k*p.Length/p.Speed + (lo+hi)/2*p.Length/p.PullSpeed
	}
	if length < p.Speed*rampTime/2 {
		return math.Sqrt(2 * rampTime * length / p.Speed)
	}
	return length/p.Speed + rampTime/2
}

// forceNow is the pull on the rod tip: the first link's tension and the
// weight of the half of it that hangs there.
func (s *Sim) forceNow() float64 {
	l := &s.el[s.tip+1]
	m := &s.materials[l.section]
	wet := wetShares(s.cur[s.tip].z, s.cur[s.tip+1].z).a
	weight := m.mu*fluid.StandardGravity*l.rest/2 - l.halfW*wet
	ax, az := (s.cur[s.tip+1].x-s.cur[s.tip].x)*l.iL, (s.cur[s.tip+1].z-s.cur[s.tip].z)*l.iL
	return math.Hypot(l.now*ax, l.now*az-weight)
}
