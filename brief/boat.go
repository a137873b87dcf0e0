package brief

import (
	"fmt"
	"math"

	"windlane/drift"
)

// source says what a set-up's drift figure rests on, how soon it settles in the
// first hours' wind, and which way its ropes or its habit turn it.
func (f Facts) source(b BoatFacts) string {
	out := fmt.Sprintf("the drift without a drogue, %.1f %% of the wind", 100*b.Fraction)
	if b.Drogue {
		out = fmt.Sprintf("the drift with %s out, %.1f %% of the wind", b.Name, 100*b.Fraction)
	}
	if deg := b.Slip * 180 / math.Pi; math.Abs(deg) >= 0.5 {
		side := "right"
		if deg < 0 {
			side = "left"
		}
		out += fmt.Sprintf(" and %.0f° to the %s of downwind", math.Abs(deg), side)
	}
	switch {
	case b.Learned > 0 && b.Setup != nil:
		out += fmt.Sprintf(": by %.0f min of the boat's own tracks, where its measures say %.1f", b.Learned/60, 100*b.Setup.Fraction())
	case b.Learned > 0:
		out += fmt.Sprintf(": by %.0f min of the boat's own tracks", b.Learned/60)
	case b.Setup != nil:
		out += ": by its measures, no track of its own yet"
	default:
		out += ": as published for small open boats; the bag says no boat"
	}
	if b.Setup != nil && b.Setup.Mass > 0 && len(f.Hours) > 0 {
		if s := b.Setup.Settle(drift.OnLake(f.Hours[0].Conditions.Wind.Value, 0)); s > 0 {
			out += fmt.Sprintf("; steady some %.0f s after it is let go in the first hour's wind", s)
		}
	}
	return out
}
