package drift_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"windlane/drift"
	"windlane/quantity"
)

// dice is a small generator of our own, the same on every machine: the splitmix
// of Steele, Lea and Flood 2014 (from memory).
type dice uint64

func (d *dice) uniform() float64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return (float64((z^z>>31)>>11) + 0.5) / (1 << 53)
}

func (d *dice) normal() float64 { return math.Sqrt2 * math.Erfinv(2*d.uniform()-1) }

// drifting makes the track of a boat.
type drifting struct {
	fraction, slip float64     // the boat's own
	wind           *drift.Wind // as told
	minutes        float64
	every          float64 // seconds between fixes
	noise, noiseAR float64 // of the receiver [m], and the time it takes to forget [s]
	pace, turn, ar float64 // how the wind of the moment wanders about the told one [1], [rad], [s]
}

func (k drifting) track(d *dice) []drift.Fix {
	const dt = 1.0
	var out []drift.Fix
	x, y := 0.0, 0.0
	nx, ny := k.noise*d.normal(), k.noise*d.normal()
	p, a := k.pace*d.normal(), k.turn*d.normal()
	step := func(v, sd, time float64) float64 {
		if time == 0 {
			return sd * d.normal()
		}
		r := math.Exp(-dt / time)
		return r*v + math.Sqrt(1-r*r)*sd*d.normal()
	}
	next := 0.0
	for t := 0.0; t <= 60*k.minutes; t += dt {
		if t >= next {
			out = append(out, drift.Fix{T: t, X: x + nx, Y: y + ny})
			next += k.every
		}
		e, n := k.wind.At(t)
		f, s, c := k.fraction*math.Exp(p), math.Sin(k.slip+a), math.Cos(k.slip+a)
		x, y = x+f*dt*(c*e+s*n), y+f*dt*(c*n-s*e) // clockwise: to the right of downwind
		nx, ny = step(nx, k.noise, k.noiseAR), step(ny, k.noise, k.noiseAR)
		p, a = step(p, k.pace, k.ar), step(a, k.turn, k.ar)
	}
	return out
}

func windOf(t *testing.T, rows ...drift.Row) *drift.Wind {
	t.Helper()
	w, err := drift.NewWind(rows)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func hours(t *testing.T, speed, from, turn float64) *drift.Wind {
	return windOf(t, drift.Row{T: 0, Speed: speed, From: quantity.FromDegrees(from)},
		drift.Row{T: 3600, Speed: speed * 1.2, From: quantity.FromDegrees(from + turn)},
		drift.Row{T: 7200, Speed: speed, From: quantity.FromDegrees(from + 2*turn)})
}

// A boat lying to the right of downwind slips to the right: plus, by the contract.
func TestSlipSign(t *testing.T) {
	l := drift.Learner{Expected: drift.Expected{Fraction: drift.Fraction{Mean: 0.06, SD: 0.01}, SlipSD: 0.3, Worth: 1}}
	for range 10 {
		if got := l.Add(drift.Velocity{East: 0.1, North: 0.2}, drift.Velocity{North: 4}, 150); got != drift.Heard {
			t.Fatalf("a drift was %s", got)
		}
	}
	near(t, "slip", l.Learned().Slip/deg, math.Atan2(1, 2)/deg, 0.05)
	near(t, "fraction", l.Learned().Fraction.Mean, math.Hypot(0.1, 0.2)/4, 1e-4)
}

// Tracks of known boats, with a receiver 3 m out that takes a minute to change
// its mind and a wind that turns and grows.
func TestLearnsFromTracks(t *testing.T) {
	d := dice(7)
	for _, c := range []struct {
		drogue         bool
		fraction, slip float64
	}{{false, 0.0635, 12 * deg}, {false, 0.045, -20 * deg}, {true, 0.035, -4 * deg}, {true, 0.05, 6 * deg}} {
		for _, every := range []float64{1, 5, 30} {
			k := drifting{fraction: c.fraction, slip: c.slip, wind: hours(t, 4, 340, 25), minutes: 50, every: every, noise: 3, noiseAR: 60}
			l := drift.Learner{Expected: drift.ExpectedOf(c.drogue)}
			h := l.AddTrack(k.track(&d), k.wind)
			if h.Heard < 44*60 || h.Heard+h.Settling+h.TooShort < 49*60 {
				t.Errorf("of 50 min were %+v", h)
			}
			a := l.Learned()
			near(t, "fraction", a.Fraction.Mean, c.fraction, 2.5*a.Fraction.SD)
			near(t, "slip", a.Slip/deg, c.slip/deg, 2.5*a.SlipSD/deg)
			if a.Fraction.SD > 0.09*a.Fraction.Mean || a.Fraction.SD < 0.02*a.Fraction.Mean {
				t.Errorf("standard error %v of %v after 50 min", a.Fraction.SD, a.Fraction.Mean)
			}
			if lane := a.Lane(400); lane < 10 || lane > 120 {
				t.Errorf("a lane of 400 m is %v m wide to either side", lane)
			}
		}
	}
}

// Nine in ten of the intervals hold the truth, for boats drawn from what is
// expected of them, in winds that wander by a tenth and 6° about the told one
// over 10 min; not many fewer when they wander twice as slowly.
func TestIntervalsHoldTheTruth(t *testing.T) {
	for _, c := range []struct {
		minutes, wander float64
		least, most     float64
	}{{10, 600, 0.83, 0.96}, {40, 600, 0.85, 0.97}, {90, 600, 0.86, 0.98}, {40, 1200, 0.82, 0.96}} {
		const runs = 250
		d, e := dice(3), drift.ExpectedOf(false)
		paces, slips := 0, 0
		for range runs {
			k := drifting{minutes: c.minutes, wind: hours(t, 4, 200, 15), every: 10, noise: 3, noiseAR: 60, pace: 0.1, turn: 6 * deg, ar: c.wander}
			k.fraction, k.slip = math.Max(0.02, e.Fraction.Mean+e.Fraction.SD*d.normal()), e.SlipSD*d.normal()
			l := drift.Learner{Expected: e}
			l.AddTrack(k.track(&d), k.wind)
			a := l.Learned()
			if math.Abs(a.Fraction.Mean-k.fraction) < 1.645*a.Fraction.SD {
				paces++
			}
			if math.Abs(a.Slip-k.slip) < 1.645*a.SlipSD {
				slips++
			}
		}
		for what, n := range map[string]int{"fraction": paces, "slip": slips} {
			if share := float64(n) / runs; share < c.least || share > c.most {
				t.Errorf("%v min, wander of %v s: the %s was within its nine-in-ten range %.3f of the time", c.minutes, c.wander, what, share)
			}
		}
	}
}

// A second way to the same figure: least squares on east and north parts, by
// another library's QR factors, with the weights that forgetting gives.
func TestAgainstLeastSquares(t *testing.T) {
	d := dice(11)
	for range 20 {
		e := drift.Expected{Fraction: drift.Fraction{Mean: 0.06, SD: 0.015}, SlipSD: 0.2, Worth: 600}
		l := drift.Learner{Expected: e}
		const n = 60
		a, b := mat.NewDense(2*n, 2, nil), mat.NewVecDense(2*n, nil)
		total := 0.0
		for i := range n {
			toward := 2 * math.Pi * d.uniform()
			w := drift.Velocity{East: (2 + 5*d.uniform()) * math.Sin(toward)}
			w.North = w.East / math.Tan(toward)
			v := drift.Velocity{East: 0.06*w.East + 0.01*w.North + 0.02*d.normal(), North: 0.06*w.North - 0.01*w.East + 0.02*d.normal()}
			seconds := 100 + 100*d.uniform()
			total += seconds
			weight := math.Sqrt(seconds * math.Exp(total/drift.Memory)) // older ones count less
			if l.Add(v, w, seconds) != drift.Heard {
				weight = 0
			}
			a.SetRow(2*i, []float64{weight * w.East, weight * w.North})
			a.SetRow(2*i+1, []float64{weight * w.North, -weight * w.East})
			b.SetVec(2*i, weight*v.East)
			b.SetVec(2*i+1, weight*v.North)
		}
		var z mat.VecDense
		if err := z.SolveVec(a, b); err != nil {
			t.Fatal(err)
		}
		got := l.Learned()
		old := e.Worth / (e.Worth + got.Time)
		x, y := old*0.06+(1-old)*z.AtVec(0), (1-old)*z.AtVec(1)
		near(t, "fraction", got.Fraction.Mean, math.Hypot(x, y), 1e-12)
		near(t, "slip", got.Slip, math.Atan2(y, x), 1e-11)
	}
}

// Ten minutes heard weigh as much as what was expected.
func TestExpectationIsWorthTenMinutes(t *testing.T) {
	for _, wind := range []float64{2, 9} { // whatever the wind
		l := drift.Learner{Expected: drift.ExpectedOf(false)}
		before := l.Learned()
		near(t, "nothing heard", before.Fraction.Mean, 0.06, 1e-15)
		near(t, "nothing heard, its error", before.Fraction.SD, 0.015, 1e-15)
		near(t, "nothing heard, slip", before.SlipSD/deg, 15, 1e-12)
		for range 4 {
			l.Add(drift.Velocity{East: 0.04 * wind}, drift.Velocity{East: wind}, 150)
		}
		near(t, "half and half", l.Learned().Fraction.Mean, 0.05, 0.0003)
		if sd := l.Learned().Fraction.SD; sd >= 0.75*0.015 || sd <= 0.5*0.015 {
			t.Errorf("ten minutes in, the error is %v of the 0.015 there was", sd)
		}
	}
}

func TestForgets(t *testing.T) {
	l := drift.Learner{Expected: drift.ExpectedOf(false)}
	hear := func(fraction, minutes float64) {
		for range int(minutes / 2) {
			l.Add(drift.Velocity{East: fraction * 4}, drift.Velocity{East: 4}, 120)
		}
	}
	hear(0.06, 60)
	before := l.State
	l.Forget(drift.Memory)
	near(t, "time after one memory", l.State.Time, before.Time/math.E, 1e-9)
	near(t, "stretches after one memory", l.State.Stretches, before.Stretches/math.E, 1e-12)
	if drift.Memory < 2*3600 || drift.Memory > 3*3600 {
		t.Errorf("memory of %v s", drift.Memory)
	}
	hear(0.03, 600)
	near(t, "a new load, ten hours on", l.Learned().Fraction.Mean, 0.03, 0.003)
	near(t, "never more than its memory", l.Learned().Time, drift.Memory, 0.03*drift.Memory)
}

// What is no drift is not learned from, and does not move what is.
func TestWhatIsNoDrift(t *testing.T) {
	d := dice(5)
	k := drifting{fraction: 0.06, slip: 0.1, wind: hours(t, 5, 270, 0), minutes: 60, every: 5, noise: 1, noiseAR: 60}
	clean := k.track(&d)
	learn := func(fixes []drift.Fix) (drift.Learned, drift.Hearing) {
		l := drift.Learner{Expected: drift.ExpectedOf(false)}
		h := l.AddTrack(fixes, k.wind)
		return l.Learned(), h
	}
	want, _ := learn(clean)
	// moved is the clean track, shifted from one minute to another by so much,
	// and by the whole of it afterwards.
	moved := func(from, until, speed float64) []drift.Fix {
		out := make([]drift.Fix, len(clean))
		for i, f := range clean {
			f.X += speed * 60 * (math.Max(from, math.Min(until, f.T/60)) - from)
			out[i] = f
		}
		return out
	}
	index := func(second float64) (i int) {
		for clean[i].T < second {
			i++
		}
		return i
	}
	stayed := make([]drift.Fix, len(clean)) // at anchor from minute 20 to 40
	stop, on := clean[index(1200)], clean[index(2400)]
	for i, f := range clean {
		switch {
		case f.T > 1200 && f.T < 2400:
			f.X, f.Y = stop.X+d.normal(), stop.Y+d.normal()
		case f.T >= 2400:
			f.X, f.Y = f.X-on.X+stop.X, f.Y-on.Y+stop.Y
		}
		stayed[i] = f
	}
	spikes := moved(0, 0, 0)
	for i := 20; i < len(spikes); i += 40 {
		spikes[i].Y += 80
	}
	step := moved(0, 0, 0)
	for i := range step {
		if step[i].T > 1000 {
			step[i].Y += 25
		}
	}
	var gap []drift.Fix
	for _, f := range clean {
		if f.T < 1200 || f.T > 2000 {
			gap = append(gap, f)
		}
	}
	for name, c := range map[string]struct {
		fixes []drift.Fix
		left  func(drift.Hearing) float64
		least float64
	}{
		"under motor":  {moved(20, 26, 2.5), func(h drift.Hearing) float64 { return h.Motoring }, 300},
		"settling":     {moved(20, 26, 2.5), func(h drift.Hearing) float64 { return h.Settling }, 250},
		"rowed":        {moved(20, 30, 0.6), func(h drift.Hearing) float64 { return h.Odd }, 300},
		"at anchor":    {stayed, func(h drift.Hearing) float64 { return h.Still }, 900},
		"lone spikes":  {spikes, func(h drift.Hearing) float64 { return h.Heard }, 3200},
		"a step aside": {step, func(h drift.Hearing) float64 { return h.Jumped }, 150},
		"a gap":        {gap, func(h drift.Hearing) float64 { return h.Gap }, 700},
	} {
		got, h := learn(c.fixes)
		if left := c.left(h); left < c.least {
			t.Errorf("%s: %v s of it, want %v: %+v", name, left, c.least, h)
		}
		near(t, name+" fraction", got.Fraction.Mean, want.Fraction.Mean, 0.015*want.Fraction.Mean)
		near(t, name+" slip", got.Slip, want.Slip, 0.02)
	}
	// before it has settled a boat is slower: heard from the first second, the
	// figure would be lower
	slow := drift.Learner{Expected: drift.ExpectedOf(false)}
	for _, c := range []struct {
		boat, wind drift.Velocity
		want       drift.Judged
	}{
		{drift.Velocity{East: 0.05}, drift.Velocity{East: 1}, drift.Calm},
		{drift.Velocity{East: 1.1}, drift.Velocity{East: 10}, drift.Motoring},
		{drift.Velocity{East: 0.01}, drift.Velocity{East: 4}, drift.Still},
		{drift.Velocity{East: -0.2}, drift.Velocity{East: 4}, drift.Odd},
		{drift.Velocity{North: 0.2}, drift.Velocity{East: 4}, drift.Odd},
		{drift.Velocity{East: 0.2, North: 0.1}, drift.Velocity{East: 4}, drift.Heard},
	} {
		if got := slow.Add(c.boat, c.wind, 150); got != c.want {
			t.Errorf("%v in %v is %s, want %s", c.boat, c.wind, got, c.want)
		}
	}
	if l := (&drift.Learner{Expected: drift.ExpectedOf(true)}); l.AddTrack(nil, k.wind) != (drift.Hearing{}) || l.State != (drift.State{}) {
		t.Error("no track taught something")
	}
}

// Two mornings two hundred years apart are heard in no more time than one, and
// as much is made of the second as if it stood alone.
func TestALongGap(t *testing.T) {
	const apart = 6.3e9
	w := windOf(t, drift.Row{T: 0, Speed: 4}, drift.Row{T: 2 * apart, Speed: 4})
	one := drifting{fraction: 0.05, wind: w, minutes: 30, every: 5, noise: 1, noiseAR: 60}
	d := dice(4)
	first, second := one.track(&d), one.track(&d)
	both := slices.Clone(first)
	for _, f := range second {
		f.T += apart
		both = append(both, f)
	}
	alone, long := drift.Learner{Expected: drift.ExpectedOf(false)}, drift.Learner{Expected: drift.ExpectedOf(false)}
	alone.AddTrack(second, w)
	h := long.AddTrack(both, w)
	near(t, "heard", h.Heard, 2*27.5*60, 300)
	near(t, "gap", h.Gap, apart-1800, 120)
	near(t, "fraction", long.Learned().Fraction.Mean, alone.Learned().Fraction.Mean, 0.0005)
	near(t, "time", long.Learned().Time, alone.Learned().Time, 200)
}

// Whatever the fixes, learning comes to an end with figures that may be used, and
// every second of the track is told of.
func TestHearsAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now, x, y := 0.0, 0.0, 0.0
		var fixes []drift.Fix
		for range rapid.IntRange(0, 120).Draw(t, "fixes") {
			now += rapid.SampledFrom([]float64{0, 0.1, 1, 7, 30, 60, 61, 170, 200, 4000, 1e8}).Draw(t, "after")
			pace := rapid.SampledFrom([]float64{0, 0.1, 0.3, 0.9, 3, 1e4}).Draw(t, "pace")
			x, y = x+pace*rapid.Float64Range(-10, 30).Draw(t, "x"), y+pace*rapid.Float64Range(-10, 10).Draw(t, "y")
			fixes = append(fixes, drift.Fix{T: now, X: x, Y: y})
		}
		w, err := drift.NewWind([]drift.Row{{T: 0, Speed: rapid.Float64Range(0, 40).Draw(t, "wind"), From: quantity.FromDegrees(270)}})
		if err != nil {
			t.Fatal(err)
		}
		l := drift.Learner{Expected: drift.ExpectedOf(false)}
		h := l.AddTrack(fixes, w)
		a := l.Learned()
		for _, v := range []float64{a.Fraction.Mean, a.Fraction.SD, a.SlipSD, a.PaceScatter, a.SlipScatter} {
			if !(v > 0 && v < 3) {
				t.Fatalf("%+v after %+v", a, h)
			}
		}
		if a.Motion().Validate() != nil || a.Fraction.Mean < 0.01 || a.Fraction.Mean > 0.15 || a.Time > h.Heard+1e-9 {
			t.Fatalf("%+v", a)
		}
		told := h.Heard + h.Motoring + h.Settling + h.Still + h.Calm + h.Odd + h.Jumped + h.Gap + h.TooShort
		if n := len(fixes); n > 0 && math.Abs(told-30*math.Floor((fixes[n-1].T-fixes[0].T)/30)) > 1e-6*told+1e-6 {
			t.Fatalf("told of %v s of %v: %+v", told, fixes[n-1].T-fixes[0].T, h)
		}
	})
}

// The time left out at the head of a drift is enough for the typical boat, bare
// or with any of the prototype's drogues, from the lightest wind learned in.
func TestSettledWhenHeard(t *testing.T) {
	for name, d := range drogues {
		if s := prototype().With(d).Settle(drift.OnLake(1.5, 0)); s > 90 || s < 10 {
			t.Errorf("%s settles in %v s", name, s)
		}
	}
	w := hours(t, 4, 0, 0)
	fixes := drifting{fraction: 0.06, wind: w, minutes: 20, every: 10}.track(new(dice))
	if h := (&drift.Learner{Expected: drift.ExpectedOf(false)}).AddTrack(fixes, w); h.Settling != 90 || h.Heard+h.TooShort != 20*60-90 {
		t.Errorf("of twenty minutes %+v", h)
	}
}

// What was learned is carried on from its State as if it had never been put away.
func TestStateIsAllThatIsRemembered(t *testing.T) {
	d := dice(9)
	k := drifting{fraction: 0.05, wind: hours(t, 5, 100, 30), minutes: 47, every: 7, noise: 3, noiseAR: 60, pace: 0.1, turn: 0.1, ar: 600}
	one, two := k.track(&d), k.track(&d)
	whole := drift.Learner{Expected: drift.ExpectedOf(true)}
	whole.AddTrack(one, k.wind)
	kept, err := json.Marshal(whole.State)
	if err != nil {
		t.Fatal(err)
	}
	whole.AddTrack(two, k.wind)
	again := drift.Learner{Expected: drift.ExpectedOf(true)}
	if err := json.Unmarshal(kept, &again.State); err != nil {
		t.Fatal(err)
	}
	again.AddTrack(two, k.wind)
	if again != whole {
		t.Errorf("put away and taken out: %+v, else %+v", again.State, whole.State)
	}
}

// What the areas say of a boat holds their stated spread.
func TestExpectedOfAreas(t *testing.T) {
	e := prototype().Expected()
	near(t, "mean", e.Fraction.Mean, prototype().Fraction(), 1e-15)
	if e.Validate() != nil || e.Fraction.SD < 0.1*e.Fraction.Mean || e.Fraction.SD > 0.25*e.Fraction.Mean {
		t.Errorf("expected %+v: %v", e, e.Validate())
	}
	if (drift.Expected{}).Validate() == nil {
		t.Error("nothing expected: no error")
	}
	for _, bad := range []func(){
		func() { (&drift.Learner{}).Learned() },
		func() { (&drift.Learner{}).Add(drift.Velocity{East: math.NaN()}, drift.Velocity{East: 3}, 100) },
		func() {
			(&drift.Learner{}).AddTrack([]drift.Fix{{T: 1}, {T: 0}}, hours(t, 3, 0, 0))
		},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Error("no panic")
				}
			}()
			bad()
		}()
	}
}

func TestLearningAllocatesNothing(t *testing.T) {
	d := dice(2)
	k := drifting{fraction: 0.05, wind: hours(t, 5, 100, 30), minutes: 20, every: 1, noise: 3, noiseAR: 60}
	fixes := k.track(&d)
	l := drift.Learner{Expected: drift.ExpectedOf(false)}
	if n := testing.AllocsPerRun(20, func() { l.AddTrack(fixes, k.wind); l.Learned() }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// An hour's track at a fix a second.
func BenchmarkLearnAnHour(b *testing.B) {
	d := dice(2)
	w, err := drift.NewWind([]drift.Row{{T: 0, Speed: 4}, {T: 7200, Speed: 5}})
	if err != nil {
		b.Fatal(err)
	}
	fixes := drifting{fraction: 0.05, wind: w, minutes: 60, every: 1, noise: 3, noiseAR: 60}.track(&d)
	l := drift.Learner{Expected: drift.ExpectedOf(false)}
	b.ReportAllocs()
	for b.Loop() {
		l.AddTrack(fixes, w)
	}
}
