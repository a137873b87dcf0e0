package brief

import (
	"math"
	"strings"
	"testing"

	"windlane/conditions"
	"windlane/drift"
)

// What is said of each set-up's drift: where the figure is from, which way it
// slips, how soon it settles.
func TestSourceOfADrift(t *testing.T) {
	hull, err := drift.Boat{Length: 5, Freeboard: 0.55, Draught: 0.2, People: 2, Mass: 600}.Setup()
	if err != nil {
		t.Fatal(err)
	}
	f := Facts{Hours: []HourFacts{{Conditions: conditions.Conditions{Wind: conditions.Range{Value: 4}}}}}
	for _, c := range []struct {
		b         BoatFacts
		says, not string
	}{
		{BoatFacts{Fraction: 0.06}, "the drift without a drogue, 6.0 % of the wind: as published for small open boats; the bag says no boat", "steady"},
		{BoatFacts{Name: "sheet", Drogue: true, Fraction: 0.04, Slip: -4 * math.Pi / 180, Setup: &hull}, "the drift with sheet out, 4.0 % of the wind and 4° to the left of downwind: by its measures, no track of its own yet; steady some 17 s", "right"},
		{BoatFacts{Fraction: 0.051, SD: 0.003, Learned: 5100, Setup: &hull}, "5.1 % of the wind: by 85 min of the boat's own tracks, where its measures say 6.3; steady", "downwind"},
		{BoatFacts{Fraction: 0.051, SD: 0.003, Learned: 5100}, "by 85 min of the boat's own tracks", "measures"},
	} {
		if got := f.source(c.b); !strings.Contains(got, c.says) || strings.Contains(got, c.not) {
			t.Errorf("says %q, want %q and not %q", got, c.says, c.not)
		}
	}
	// a learned figure's spread is its own error's
	low, high := BoatFacts{Fraction: 0.05, SD: 0.003, Setup: &hull}.band(f.Hours[0].Conditions)
	if math.Abs(low-4*(0.05-1.645*0.003)) > 1e-12 || math.Abs(high-4*(0.05+1.645*0.003)) > 1e-12 {
		t.Errorf("band %v to %v m/s", low, high)
	}
}
