package drift

import (
	"math"
	"slices"
)

// Fix is where the boat was at a time.
type Fix struct {
	T float64 // on the wind's clock [s]
	X float64 // east on a plane [m]
	Y float64 // north on it [m]
}

// A track is looked at in pieces, and learned from by legs of some pieces: a
// receiver's own speed, and anything under two minutes, is noise at the pace of
// a drift.
const (
	piece    = 30.0
	legOf    = 5 // pieces
	settle   = 90.0
	handIn   = 3     // pieces: the drogue comes in before the motor starts
	longest  = 180.0 // time without a fix that is bridged
	smear    = 15.0  // fixes this near to a time stand for it
	mostNear = 64    // of them
	jump     = 0.4   // a piece this much faster or slower than its leg. [m/s]
)

// Hearing is what became of a track, in seconds of each verdict.
type Hearing struct {
	Heard    float64 // learned from [s]
	Motoring float64 // [s]
	Settling float64 // [s]
	Still    float64 // [s]
	Calm     float64 // [s]
	Odd      float64 // [s]
	Jumped   float64 // [s]
	Gap      float64 // [s]
	TooShort float64 // [s]
}

func (h *Hearing) add(what Judged, seconds float64) {
	switch what {
	case Heard:
		h.Heard += seconds
	case Motoring:
		h.Motoring += seconds
	case Settling:
		h.Settling += seconds
	case Still:
		h.Still += seconds
	case Calm:
		h.Calm += seconds
	case Odd:
		h.Odd += seconds
	case Jumped:
		h.Jumped += seconds
	case Gap:
		h.Gap += seconds
	case TooShort:
		h.TooShort += seconds
	}
}

// leg is a run of pieces.
type leg struct {
	n        int
	start    float64 // [s]
	from, to vector  // [m]
	v        [legOf]vector
}

// means are a whole leg's velocity over the ground and the wind's mean over it,
// and whether it is a drift.
func (g *leg) means(wind *Wind) (boat, air Velocity, what Judged) {
	const seconds = legOf * piece
	v := g.to.minus(g.from).times(1 / seconds)
	e0, n0 := wind.Run(g.start)
	e1, n1 := wind.Run(g.start + seconds)
	boat, air = Velocity{v.x, v.y}, Velocity{(e1 - e0) / seconds, (n1 - n0) / seconds}
	_, _, _, what = judge(boat, air)
	for _, p := range g.v {
		if what == Heard && p.minus(v).length() > jump {
			what = Jumped
		}
	}
	return boat, air, what
}

// AddTrack hears a track in a wind, the same set-up all along it. The boat's
// velocity is its way over legs of 2½ minutes, each end the median of the fixes
// within a quarter of a minute. What is faster than UnderMotor, the 1½ minutes
// after it (settling, drogue out) and before it (drogue in), legs with jumps,
// gaps of over three minutes, and what Add lets pass are left out; so are the
// legs next to one at anchor or rowed, which may be half of that. Fixes must be in
// order of time, else it panics. It allocates nothing.
func (l *Learner) AddTrack(fixes []Fix, wind *Wind) (h Hearing) {
	l.Break()
	defer l.Break()
	if len(fixes) == 0 {
		return h
	}
	for i := 1; i < len(fixes); i++ {
		if !(fixes[i].T >= fixes[i-1].T) {
			panic("drift: the fixes of a track must be in order of time")
		}
	}
	var now, done leg // the one being drifted; one waiting for what follows it
	hear := func() {
		if done.n > 0 {
			boat, air, _ := done.means(wind)
			h.add(l.Add(boat, air, legOf*piece), legOf*piece)
			done.n = 0
		}
	}
	drop := func(g *leg, what Judged) {
		h.add(what, float64(g.n)*piece)
		l.Forget(float64(g.n) * piece)
		g.n = 0
	}
	quiet, near, amiss := 0.0, 0, false
	start, end := fixes[0].T, fixes[len(fixes)-1].T
	from, known := at(fixes, &near, start)
	for k := 1; start+float64(k)*piece <= end; k++ {
		t := start + float64(k)*piece
		to, found := at(fixes, &near, t)
		v := to.minus(from).times(1 / piece)
		switch {
		case !known || !found:
			hear()
			drop(&now, TooShort)
			l.pass(&h, Gap, 1)
			quiet = 0
			if n := int((fixes[near].T - t) / piece); n > 1 && !found { // years in one step
				l.pass(&h, Gap, float64(n-1))
				k += n - 1
			}
		case v.length() > UnderMotor:
			if now.n >= handIn {
				hear()
			}
			drop(&done, Settling)
			drop(&now, Settling)
			l.pass(&h, Motoring, 1)
			quiet = 0
		case quiet < settle:
			quiet += piece
			h.add(Settling, piece)
			l.Forget(piece)
		default:
			if now.n == 0 {
				now.start, now.from = t-piece, from
			}
			now.v[now.n], now.to = v, to
			if now.n++; now.n < legOf {
				break
			}
			_, _, what := now.means(wind)
			switch {
			case what == Still || what == Odd:
				drop(&done, Settling)
				drop(&now, what)
				l.Break()
			case what == Heard && !amiss:
				hear()
				done, now.n = now, 0
			case what == Heard:
				drop(&now, Settling)
			default:
				hear()
				drop(&now, what)
			}
			amiss = what == Still || what == Odd
		}
		from, known = to, found
	}
	hear()
	drop(&now, TooShort)
	return h
}

// pass lets so many pieces go by that break the drift.
func (l *Learner) pass(h *Hearing, what Judged, pieces float64) {
	h.add(what, pieces*piece)
	l.Break()
	l.Forget(pieces * piece)
}

// at is where the boat was at a time: the median of the fixes near it, else
// between those before and after, if they are not too far apart. first is the
// first fix that may be near; times asked for must grow.
func at(fixes []Fix, first *int, t float64) (vector, bool) {
	i := *first
	for i < len(fixes) && fixes[i].T < t-smear {
		i++
	}
	*first = i
	j := i
	for j < len(fixes) && fixes[j].T <= t+smear {
		j++
	}
	if n := j - i; n > 0 && (n > 1 || math.Abs(fixes[i].T-t) < 1) {
		var x, y [mostNear]float64
		step := (n + mostNear - 1) / mostNear
		m := 0
		for k := i; k < j; k += step {
			x[m], y[m] = fixes[k].X, fixes[k].Y
			m++
		}
		return vector{median(x[:m]), median(y[:m])}, true
	}
	// few fixes: along the line between the two that stand round t
	b := i
	for b < len(fixes) && fixes[b].T < t {
		b++
	}
	if b == len(fixes) || b == 0 && fixes[b].T > t || b > 0 && fixes[b].T-fixes[b-1].T > longest {
		return vector{}, false
	}
	if b == 0 {
		return vector{fixes[0].X, fixes[0].Y}, true
	}
	p, q := fixes[b-1], fixes[b]
	f := (t - p.T) / (q.T - p.T)
	return vector{p.X + f*(q.X-p.X), p.Y + f*(q.Y-p.Y)}, true
}

func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
