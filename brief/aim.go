package brief

import (
	"fmt"
	"math"
	"strings"

	"windlane/outing"
)

// aim says in a sentence or two what the aim changed; empty for most fish with
// no way asked for.
func (f Facts) aim() string {
	changed := ""
	switch f.Outing.Aim {
	case outing.Method:
		return fmt.Sprintf("Your way only: %s.", wayNames[f.Outing.Way]) + f.unmet()
	case outing.Surest:
		changed = "For the surest fish: water that is fair whatever they are on comes before water that may be best, and set-ups go by the chance of at least one offer"
	case outing.Biggest:
		changed = "For the biggest fish, by common practice and no figures: small fish and the bed count for more, new fish for less, edges and cover for more, bright water for less, and large flies come first"
	default:
		if f.Outing.Way != "" {
			return fmt.Sprintf("You asked for this way first: %s.", wayNames[f.Outing.Way]) + f.unmet()
		}
		return ""
	}
	var than []string
	if share := math.Round(100 * f.Aim.OtherWater); share >= 1 && !f.Aim.At.IsZero() {
		than = append(than, fmt.Sprintf("at %s %.0f %% of the best tenth of the lake would be other water", clock(f.Aim.At), share))
	}
	if f.Aim.FirstElse != "" {
		than = append(than, "one would begin with "+f.Aim.FirstElse)
	}
	if than == nil {
		return changed + ". For most fish the best water and the first set-up would be the same."
	}
	return changed + ". For most fish " + strings.Join(than, ", and ") + "."
}

// unmet says why a way that was asked for is not among the set-ups.
func (f Facts) unmet() string {
	if f.Aim.Unmet == "" {
		return ""
	}
	return " " + sentence(f.Aim.Unmet)
}

// quiet is how long without an offer on one depth is enough to change it: two
// thirds of what it takes to doubt a patch, to five minutes. [min]
func (f Facts) quiet() float64 {
	if !(f.Aim.Blank > 0) {
		return 30
	}
	return math.Max(10, 5*math.Round(f.Aim.Blank/60*2/3/5))
}
