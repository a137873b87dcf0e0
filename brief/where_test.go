package brief

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"windlane/quantity"
	"windlane/water"
)

// A place is told by the nearest point of what it is near to, not by its corners.
func TestWhereGoesByTheNearestPoint(t *testing.T) {
	places := []water.Place{
		{Kind: water.Causeway, Name: "the old road", Shape: orb.LineString{{0, 0}, {1000, 0}}},
		{Kind: water.Shelf, Name: "the flats", Shape: orb.Polygon{{{2000, 0}, {3000, 0}, {3000, 1000}, {2000, 1000}, {2000, 0}}}},
	}
	for at, want := range map[orb.Point]string{
		{500, 50}:   "50 m N of the old road",
		{500, -20}:  "by the old road",
		{2500, 500}: "by the flats",
		{3100, 500}: "100 m E of the flats",
		{1000, 300}: "300 m N of the old road",
	} {
		if got := Where(places, quantity.Metric, at[0], at[1]); strings.ReplaceAll(got, "\u00a0", " ") != want {
			t.Errorf("%v: %q, want %q", at, got, want)
		}
	}
}
