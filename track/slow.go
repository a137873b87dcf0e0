package track

import (
	"time"

	"windlane/geodesy"
)

// What tells a drift from a ride.
const (
	paceOver = time.Minute     // a pace is taken over this long: a receiver's noise is metres
	leastLie = 3 * time.Minute // nothing shorter is a drift
	lostFor  = 5 * time.Minute // without a fix for longer, nobody knows where the boat was
)

// Slow gives the parts of a track along which the boat went slower than a speed
// [m/s], as it does adrift and not under motor. A pace is that of the straight
// way over a minute or more; parts under three minutes are left out.
func (t *Track) Slow(speed float64) [][]Fix {
	var parts [][]Fix
	var part []Fix
	end := func() {
		if n := len(part); n > 0 && part[n-1].At.Sub(part[0].At) >= leastLie {
			parts = append(parts, part)
		}
		part = nil
	}
	for i := 0; i+1 < len(t.Fixes); {
		next := i + 1
		for next+1 < len(t.Fixes) && t.Fixes[next].At.Sub(t.Fixes[i].At) < paceOver {
			next++
		}
		a, b := t.Fixes[i], t.Fixes[next]
		took := b.At.Sub(a.At)
		if took > lostFor || geodesy.Distance(a.Position, b.Position) > speed*took.Seconds() {
			end()
		} else {
			if part == nil {
				part = append(part, a)
			}
			part = append(part, t.Fixes[i+1:next+1]...)
		}
		i = next
	}
	end()
	return parts
}
