package water

import (
	"fmt"
	"math"

	"windlane/geodesy"
)

// How a boat may move, for telling a true fix from a false one.
const (
	fastestBoat = 15.0 // faster than any boat on a stocked water [m/s]
	fixScatter  = 10.0 // two fixes of one place may lie so far apart [m]
	agreeing    = 5    // fixes in a row that fit each other are believed against those before
	longestGap  = 60.0 // the boat's way between fixes longer apart is not known [s]
)

// fix is where a boat was, and when.
type fix struct {
	at geodesy.Position
	t  float64 // since 1970, or since some midnight; NaN when not told [s]
}

// honest marks the fixes that a boat can have gone through in their order. One
// that lies too far off for the time since the last good one is false, unless
// five in a row say the same; then those before it were, if they were fewer.
// begins marks the fixes where the way starts anew.
func honest(fixes []fix) (good, begins []bool, dropped int) {
	good, begins = make([]bool, len(fixes)), make([]bool, len(fixes))
	last, since := -1, 0 // the last good one, and where its stretch of the way began
	var rivals []int     // fixes that fit each other and not the last
	for i := range fixes {
		if last < 0 || fits(fixes[last], fixes[i]) {
			good[i], begins[i] = true, last < 0
			last, rivals = i, rivals[:0]
			continue
		}
		if n := len(rivals); n > 0 && !fits(fixes[rivals[n-1]], fixes[i]) {
			rivals = rivals[:0]
		}
		if rivals = append(rivals, i); len(rivals) < agreeing {
			continue
		}
		n := 0
		for k := since; k <= last; k++ {
			if good[k] {
				n++
			}
		}
		if n < agreeing {
			for k := since; k <= last; k++ {
				good[k], begins[k] = false, false
			}
		}
		for _, k := range rivals {
			good[k] = true
		}
		begins[rivals[0]] = true
		last, since, rivals = i, rivals[0], rivals[:0]
	}
	for _, g := range good {
		if !g {
			dropped++
		}
	}
	return good, begins, dropped
}

// fits says whether a boat may go from a to b in the time between. Without both
// times anything may be.
func fits(a, b fix) bool {
	dt := math.Abs(b.t - a.t)
	return dt != dt || metresBetween(a.at, b.at) <= fastestBoat*max(dt, 1)+fixScatter
}

// metresBetween is the distance between positions near each other, to one part in a
// thousand over some kilometres: on the local sphere. [m]
func metresBetween(a, b geodesy.Position) float64 {
	const metres = 111_200.0 // in a degree
	dx := math.Remainder(b.LonDeg-a.LonDeg, 360) * math.Cos((a.LatDeg+b.LatDeg)/2*math.Pi/180)
	return metres * math.Hypot(dx, b.LatDeg-a.LatDeg)
}

// jumps is the remark on fixes left out.
func jumps(name string, dropped, of int) string {
	return fmt.Sprintf("%s: fixes that a boat would have to jump to (over %v m/s), left out: %d of %d", name, fastestBoat, dropped, of)
}
