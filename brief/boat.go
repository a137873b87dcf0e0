package brief

import "fmt"

// source says what a set-up's drift figure rests on.
func (b BoatFacts) source() string {
	what := fmt.Sprintf("the drift without a drogue, %.1f %% of the wind", 100*b.Fraction)
	if b.Drogue {
		what = fmt.Sprintf("the drift with %s out, %.1f %% of the wind", b.Name, 100*b.Fraction)
	}
	switch {
	case b.Learned > 0 && b.Setup != nil:
		return fmt.Sprintf("%s: by %.0f min of the boat's own tracks, where its measures say %.1f", what, b.Learned/60, 100*b.Setup.Fraction())
	case b.Learned > 0:
		return fmt.Sprintf("%s: by %.0f min of the boat's own tracks", what, b.Learned/60)
	case b.Setup != nil:
		return what + ": by its measures, no track of its own yet"
	}
	return what + ": as published for small open boats; the bag says no boat"
}
