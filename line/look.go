package line

import "math"

// Status says why a cast stopped.
type Status string

// The ways a cast stops. Running is one under way.
const (
	Running      Status = "running"
	Complete     Status = "complete"
	Broken       Status = "broken: no time step, however short, kept the line together"
	TooManySteps Status = "stopped: the line shook so fast that too many steps were needed"
)

// Status says why the cast stopped, or Running.
func (s *Sim) Status() Status { return s.status }

// Time is the end of the last step. [s]
func (s *Sim) Time() float64 { return s.t }

// Before is the end of the step before; places are known between the two. [s]
func (s *Sim) Before() float64 { return s.before }

// Phase is the part of the cast the last step belongs to.
func (s *Sim) Phase() Phase { return s.phase }

// PhaseEnd is when the present phase ends. [s]
func (s *Sim) PhaseEnd() float64 { return s.phaseEnd }

// LineOut is the line out at a time of the last step. [m]
func (s *Sim) LineOut(t float64) float64 { return s.lineOut(t) }

// TipForce is the pull on the rod tip at a time of the last step. [N]
func (s *Sim) TipForce(t float64) float64 {
	if t >= s.t || s.lastDt == 0 {
		return s.force[1]
	}
	f := clamp((t-s.before)/(s.t-s.before), 0, 1)
	return s.force[0] + f*(s.force[1]-s.force[0])
}

// Place is where a tracked place is at a time of the last step: how far
// downwind of the rod tip, and its depth, positive down. [m] Tracked are the
// bodies in their order, then the junction, the last section boundary, if any.
// A junction that has come in through the tip ring is at the tip.
func (s *Sim) Place(k int, t float64) (fromTip, depth float64) {
	x, z := s.at(max(s.track[k], s.tip), t)
	return x - s.setup.BoatSpeed*t, -z
}

// Deepest is the depth of the deepest node at a time of the last step. [m]
func (s *Sim) Deepest(t float64) float64 {
	least := math.Inf(1)
	for i := s.tip; i <= s.end; i++ {
		_, z := s.at(i, t)
		least = min(least, z)
	}
	return -least
}

// DeepestLine is Deepest without the last section, the leader, if there are several. [m]
func (s *Sim) DeepestLine(t float64) float64 {
	last := s.end
	if len(s.materials) > 1 {
		last = max(s.track[len(s.track)-1], s.tip)
	}
	least := math.Inf(1)
	for i := s.tip; i <= last; i++ {
		_, z := s.at(i, t)
		least = min(least, z)
	}
	return -least
}

// Shape appends the whole line at a time of the last step, tip first: how far
// downwind of the tip, and depth. [m]
func (s *Sim) Shape(t float64, fromTip, depth []float64) (x, d []float64) {
	x0, _ := s.at(s.tip, t)
	for i := s.tip; i <= s.end; i++ {
		x, z := s.at(i, t)
		fromTip, depth = append(fromTip, x-x0), append(depth, -z)
	}
	return fromTip, depth
}

// OnBed is when a tracked place first rested on the bed, if it did. [s]
func (s *Sim) OnBed(k int) (t float64, ok bool) { return s.touched[k], s.touched[k] >= 0 }

// at is a node's place by the cubic through both ends of the last step.
func (s *Sim) at(i int, t float64) (x, z float64) {
	c := &s.cur[i]
	h := s.t - s.before
	if t >= s.t || h <= 0 {
		return c.x, c.z
	}
	p := &s.prv[i]
	u := clamp((t-s.before)/h, 0, 1)
	v := 1 - u
	a, b := v*v*(1+2*u), u*u*(3-2*u)
	da, db := u*v*v*h, u*u*v*h
	return a*p.x + b*c.x + da*p.vx - db*c.vx, a*p.z + b*c.z + da*p.vz - db*c.vz
}
