package plan

import (
	"github.com/paulmach/orb"

	"windlane/water"
)

// Landing is where a boat of this water belongs: its first jetty, the end in
// deeper water where it is drawn as a line; false without one.
func Landing(w *water.Water) (orb.Point, bool) {
	jetties := w.PlacesOf(water.Jetty)
	if len(jetties) == 0 {
		return orb.Point{}, false
	}
	line, ok := jetties[0].Shape.(orb.LineString)
	if !ok || len(line) == 0 {
		return jetties[0].Shape.Bound().Center(), true
	}
	a, b := line[0], line[len(line)-1]
	za, wetA := w.Depth(a[0], a[1])
	zb, wetB := w.Depth(b[0], b[1])
	if wetB && (!wetA || zb > za) {
		return b, true
	}
	return a, true
}
