package drift

import "math"

// Way is a way of fishing, by the pace of boat it wants.
type Way string

const (
	Lures       Way = "lures"        // sinking line, counted and pulled, hung
	PulledWets  Way = "pulled_wets"  // wet flies pulled on a sinking line
	ShortLine   Way = "short_line"   // short-lining, dibbling the top dropper
	WashingLine Way = "washing_line" // buoyant point, nymphs between
	Nymphs      Way = "nymphs"       // on a straight or barely moving line
	Bung        Way = "bung"         // flies at fixed depths below a float
	Dries       Way = "dries"        // dry flies cast ahead of rising fish
)

// Pace is the range of boat speeds that a way of fishing wants.
type Pace struct {
	Slow float64 // [m/s]
	Fast float64 // [m/s]
}

// Wanted is the pace a way of fishing wants of the boat. Common practice, no
// source. ok is false for a way it does not know.
func Wanted(way Way) (p Pace, ok bool) {
	perMinute := map[Way]Pace{
		Lures: {6, 12}, PulledWets: {12, 25}, ShortLine: {12, 25}, WashingLine: {4, 8},
		Nymphs: {3, 6}, Bung: {3, 6}, Dries: {3, 8},
	}
	p, ok = perMinute[way]
	return Pace{p.Slow / 60, p.Fast / 60}, ok
}

// Fraction is a drift as a share of the wind at 10 m, over the ground and so
// with the near-surface current in it, and how well it is known.
type Fraction struct {
	Mean float64 // [1]
	SD   float64 // [1]
}

// Prior is what to expect of a small open boat nothing else is known of: 6 %
// of the wind without, 4 % with a drogue, standard deviation a quarter.
// Published leeway of open boats is 2.5 to 6.5 % (Allen and Plourde 1999,
// relative to the water at 0.3 to 1 m); one drift with a position fix is worth
// more than this.
func Prior(drogue bool) Fraction {
	if drogue {
		return Fraction{0.04, 0.01}
	}
	return Fraction{0.06, 0.015}
}

// Verdict is how the best choice of drogue meets the pace wanted.
type Verdict string

const (
	Right   Verdict = "right"    // inside the pace wanted
	TooFast Verdict = "too_fast" // even the strongest hold leaves it too fast
	TooSlow Verdict = "too_slow" // even the bare boat is too slow
)

// Choose picks among drift fractions, the bare boat's first, the one for a
// wind: the bare boat if its speed is no faster than wanted (a drogue is work),
// else the fastest that is not too fast, else the slowest there is. The speed
// wanted decides, not the wind. It panics on no fractions.
func Choose(wind10 float64, fractions []float64, want Pace) (pick int, speed float64, verdict Verdict) {
	if len(fractions) == 0 {
		panic("drift: Choose needs at least the bare boat's fraction")
	}
	const hair = 1e-9 // so that a speed on the limit is the same choice on every machine
	pick = -1
	for i, f := range fractions {
		v := f * wind10
		if v > want.Fast+hair {
			continue
		}
		if i == 0 || pick < 0 || v > fractions[pick]*wind10+hair {
			pick = i
		}
		if i == 0 {
			break
		}
	}
	if pick < 0 {
		for i, f := range fractions {
			if pick < 0 || f < fractions[pick] {
				pick = i
			}
		}
	}
	speed = fractions[pick] * wind10
	switch {
	case speed > want.Fast+hair:
		verdict = TooFast
	case speed < want.Slow-hair:
		verdict = TooSlow
	default:
		verdict = Right
	}
	return pick, speed, verdict
}

// DrogueFrom is the wind at 10 m above which a bare boat of this fraction goes
// faster than wanted, and so a drogue begins to matter. +Inf for a fraction of 0. [m/s]
func DrogueFrom(fraction float64, want Pace) float64 {
	if fraction == 0 {
		return math.Inf(1)
	}
	return want.Fast / fraction
}
