package drift

import (
	"fmt"
	"math"
)

// What learning takes for granted. Modelling choices; docs/models/drift.md gives
// the reasons.
const (
	// Memory is how long ago a drift counts a factor e less. [s]
	Memory = 2.5 * 3600
	// PriorWorth is how long a drift the expectation weighs as much as. [s]
	PriorWorth = 600.0
	// stretch is the time over whose means the scatter is judged: long enough
	// for the receiver's noise to be gone, as long as a lane is drifted. [s]
	stretch = 600.0
	// wander is how many stretches one independent look at the wind takes, when
	// the wind of the moment wanders about the given one with a time of 10 min:
	// 1 + 2·Σ of the correlations of ten-minute means of such a wind. [1]
	wander = 2.72
	// scatter is the spread of such means to expect, as a share of the drift and
	// in radians. [1]
	scatter = 0.10
	// scatterWorth is how many degrees of freedom that expectation stands for. [1]
	scatterWorth = 4.0
	// UnderMotor is the speed over the ground from which no boat is adrift. [m/s]
	UnderMotor = 1.0
	// leastWind is the wind below which a drift says nothing of the boat. [m/s]
	leastWind = 1.5
	// A leg slower than this share of the wind is at anchor, aground or tied up,
	// a faster one rowed or under motor: published leeway is 2.5 to 6.5 %, drogues
	// to half of that. [1]
	leastFraction, mostFraction = 0.01, 0.15
	// mostSlip is the angle off downwind beyond which a leg is no drift. [rad]
	mostSlip = math.Pi / 3
)

// Expected is what is thought of a set-up before its own tracks are heard.
type Expected struct {
	Fraction Fraction
	Slip     float64 // to the right of downwind positive [rad]
	SlipSD   float64 // [rad]
	Worth    float64 // it weighs as much as a drift of this length [s]
}

// ExpectedOf is what to expect of a boat nothing else is known of: Prior, and no
// slip, give or take 15° bare and 6° with a drogue (published divergence of bare
// boats is 6 to 23°, Allen and Plourde 1999; a drogue holds a boat to a few).
func ExpectedOf(drogue bool) Expected {
	e := Expected{Fraction: Prior(drogue), SlipSD: 15 * math.Pi / 180, Worth: PriorWorth}
	if drogue {
		e.SlipSD = 6 * math.Pi / 180
	}
	return e
}

// Expected is what the boat's areas say, with their StatedSpread; the slip as in
// ExpectedOf. It panics on values that Validate refuses.
func (s Setup) Expected() Expected {
	e := ExpectedOf(s.DrogueArea > 0)
	low, high := s.Band(OnLake(1, 0), StatedSpread())
	e.Fraction = Fraction{s.Fraction(), (high - low) / (2 * 1.6449)}
	return e
}

// Validate says what is out of range.
func (e Expected) Validate() error {
	if !within(e.Fraction.Mean, 0.005, 0.2) || !within(e.Fraction.SD, 1e-5, 0.2) || !within(e.Slip, -math.Pi/2, math.Pi/2) || !within(e.SlipSD, 1e-4, math.Pi) || !within(e.Worth, 1, 1e6) {
		return fmt.Errorf("expected drift %v ± %v of the wind, slip %v ± %v rad, worth %v s: out of range", e.Fraction.Mean, e.Fraction.SD, e.Slip, e.SlipSD, e.Worth)
	}
	return nil
}

// Velocity is a horizontal velocity.
type Velocity struct {
	East  float64 // [m/s]
	North float64 // [m/s]
}

// Learner learns how one set-up of a boat drifts from its tracks. Its State is
// all it remembers.
type Learner struct {
	Expected Expected
	State    State
}

// State is what a Learner has heard so far: plain figures, to be kept and put
// back. All of it fades with Memory. Along and across are of the wind, across
// positive to the right of downwind.
type State struct {
	Time   float64 // drifted [s]
	Wind2  float64 // Σ |W|²·dt [m²/s]
	Along  float64 // Σ v·W·dt, along [m²/s]
	Across float64 // the same, across [m²/s]

	Stretches  float64 // how many ten-minute means [1]
	MeanWind2  float64 // Σ of their wind squared [m²/s²]
	WindAlong  float64 // Σ of their wind times drift, along [m²/s²]
	WindAcross float64 // the same, across [m²/s²]
	Along2     float64 // Σ of their drift squared, along [m²/s²]
	Across2    float64 // the same, across [m²/s²]
	Crosswise  float64 // Σ of drift along times across [m²/s²]

	// The stretch being drifted.
	PartTime   float64 // [s]
	PartWind   float64 // Σ |W|·dt [m]
	PartAlong  float64 // Σ drift·dt, along [m]
	PartAcross float64 // the same, across [m]
}

// Learned is what a Learner has made of it.
type Learned struct {
	Fraction Fraction // of the wind that was given, with its standard error
	Slip     float64  // to the right of downwind positive [rad]
	SlipSD   float64  // its standard error [rad]
	Time     float64  // drifted, faded with Memory; what was expected is beside it [s]
	// How ten-minute means of the drift lie round it, one standard deviation:
	// what makes a lane wide.
	PaceScatter float64 // as a share of the drift [1]
	SlipScatter float64 // [rad]
}

// Judged is what became of a piece of a track.
type Judged string

// What a piece of a track may be.
const (
	Heard    Judged = "heard"    // learned from
	Motoring Judged = "motoring" // faster than UnderMotor
	Settling Judged = "settling" // not yet settled, or the drogue coming in before the motor
	Still    Judged = "still"    // at anchor, aground or tied up
	Calm     Judged = "calm"     // too little wind to say anything
	Odd      Judged = "odd"      // across or against the wind, or faster than a boat drifts
	Jumped   Judged = "jumped"   // the receiver's fault
	Gap      Judged = "gap"      // no fixes
	TooShort Judged = "short"    // the odd minute at an end
)

// Add hears one velocity over the ground in one mean wind at 10 m, held for so
// many seconds: the mean of two or three minutes, by displacement. What is no
// drift is only let pass. [s]
func (l *Learner) Add(boat, wind Velocity, seconds float64) Judged {
	if !within(seconds, 0, 1e6) || !within(math.Hypot(wind.East, wind.North), 0, 100) || !within(math.Hypot(boat.East, boat.North), 0, 1e3) {
		panic(fmt.Sprintf("drift: learning from %v in %v over %v s", boat, wind, seconds))
	}
	l.Forget(seconds)
	along, across, w, what := judge(boat, wind)
	if what != Heard {
		return what
	}
	s := &l.State
	s.Time += seconds
	s.Wind2 += seconds * w * w
	s.Along += seconds * along * w
	s.Across += seconds * across * w
	s.PartTime += seconds
	s.PartWind += seconds * w
	s.PartAlong += seconds * along
	s.PartAcross += seconds * across
	if s.PartTime >= stretch {
		h, a, c := s.PartWind/s.PartTime, s.PartAlong/s.PartTime, s.PartAcross/s.PartTime
		s.Stretches++
		s.MeanWind2 += h * h
		s.WindAlong += h * a
		s.WindAcross += h * c
		s.Along2 += a * a
		s.Across2 += c * c
		s.Crosswise += a * c
		l.Break()
	}
	return Heard
}

// judge turns a velocity into the wind's frame and says whether it is a drift.
func judge(boat, wind Velocity) (along, across, w float64, what Judged) {
	w = math.Hypot(wind.East, wind.North)
	if w < leastWind {
		return 0, 0, w, Calm
	}
	along = (boat.East*wind.East + boat.North*wind.North) / w
	across = (boat.East*wind.North - boat.North*wind.East) / w
	what = Heard
	switch speed := math.Hypot(along, across); {
	case speed > UnderMotor:
		what = Motoring
	case speed < leastFraction*w:
		what = Still
	case speed > mostFraction*w || along < speed*math.Cos(mostSlip):
		what = Odd
	}
	return along, across, w, what
}

// Break ends a drift: what comes next does not follow on from it.
func (l *Learner) Break() {
	s := &l.State
	s.PartTime, s.PartWind, s.PartAlong, s.PartAcross = 0, 0, 0, 0
}

// Forget lets time pass in which nothing is heard. [s]
func (l *Learner) Forget(seconds float64) {
	if !(seconds > 0) {
		return
	}
	k := math.Exp(-seconds / Memory)
	s := &l.State
	for _, sum := range [...]*float64{
		&s.Time, &s.Wind2, &s.Along, &s.Across,
		&s.Stretches, &s.MeanWind2, &s.WindAlong, &s.WindAcross, &s.Along2, &s.Across2, &s.Crosswise,
	} {
		*sum *= k
	}
}

// Learned is what is known now: with the winds W and velocities v heard, as
// complex numbers,
//
//	z = (Σ v·conj(W)·dt / Σ |W|²·dt · T + z₀·T₀) / (T + T₀)
//
// T the time heard, z₀ what was expected and T₀ its worth; |z| is the fraction,
// its angle the slip. Its error is that of the expectation and of the means heard,
// each by its weight; the latter's is judged by how ten-minute means lie about the fit.
// A steady error of the wind given is in z and not in its error. It panics on an
// expectation that Validate refuses.
func (l *Learner) Learned() Learned {
	must(l.Expected.Validate())
	e, s := l.Expected, &l.State
	sin, cos := math.Sincos(e.Slip)
	before := vector{e.Fraction.Mean * cos, e.Fraction.Mean * sin} // along, to the right
	heard := before
	if s.Wind2 > 0 {
		heard = vector{s.Along / s.Wind2, s.Across / s.Wind2}
	}
	old := e.Worth / (e.Worth + s.Time)
	z := before.times(old).plus(heard.times(1 - old))
	f := z.length()
	out := Learned{Fraction: Fraction{Mean: f}, Slip: math.Atan2(z.y, z.x), Time: s.Time}

	// scatter of the stretches about what was heard, along and across the drift
	sin, cos = math.Sincos(out.Slip)
	pace, slip := l.scatter(heard, cos, sin, f), l.scatter(heard, -sin, cos, f)
	out.PaceScatter, out.SlipScatter = math.Sqrt(pace)/f, math.Sqrt(slip)/f
	looks := (s.Time/stretch + wander - 1) / wander
	fresh := (1 - old) * (1 - old) / looks
	kept := old * old
	out.Fraction.SD = math.Sqrt(kept*e.Fraction.SD*e.Fraction.SD + fresh*pace)
	sd := e.Fraction.Mean * e.SlipSD
	out.SlipSD = math.Sqrt(kept*sd*sd+fresh*slip) / f
	return out
}

// scatter is the variance of ten-minute means about z in a direction, as a share
// of the wind, mixed with the one to expect of a drift of fraction f.
func (l *Learner) scatter(z vector, x, y, f float64) float64 {
	s := &l.State
	n, squares := s.Stretches, 0.0
	if n > 1 {
		// Σ (x·(a − z_a·h) + y·(c − z_c·h))², expanded
		p := x*z.x + y*z.y
		sum := x*x*s.Along2 + y*y*s.Across2 + 2*x*y*s.Crosswise - 2*p*(x*s.WindAlong+y*s.WindAcross) + p*p*s.MeanWind2
		squares = math.Max(0, sum) * n / s.MeanWind2
	}
	freedom := math.Max(0, n*(n-1)/(n+wander-1)) // less what the fit has taken
	expected := scatter * f
	return (scatterWorth*expected*expected + squares) / (scatterWorth + freedom)
}

// Motion is how the boat answers the wind by what was learned.
func (l Learned) Motion() Motion { return Motion{Fraction: l.Fraction.Mean, Slip: l.Slip} }

// Lane is how far to either side of the line drawn a drift of some length may
// end, eight times in ten. [m]
func (l Learned) Lane(length float64) float64 {
	return 1.2816 * length * math.Hypot(l.SlipSD, l.SlipScatter)
}
