package plan

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"windlane/grid"
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

// motorNear is how near to a place a motor can be started. [m] See launch.
const motorNear = 30.0

// CannotLie says why no boat can be at a point and leave it, whatever the wind:
// it lies on land, or in a zone where no motor runs; empty where one can. wet are
// the lake's cells that hold water.
func CannotLie(l Lake, wet []bool, at orb.Point) string {
	best := math.Inf(1)
	for k, w := range wet {
		if w {
			x, y := l.Grid.Centre(k)
			best = math.Min(best, math.Hypot(x-at[0], y-at[1]))
		}
	}
	if best > math.Max(motorNear+l.Grid.Cell, 2*l.Grid.Cell) {
		return fmt.Sprintf("lies on land, %.0f m from the water", best)
	}
	for _, p := range l.Places {
		shape, ok := p.Shape.(orb.Polygon)
		if ok && p.MotorOff > 0 && grid.Contains(orb.MultiPolygon{shape}, at) {
			name := p.Name
			if name == "" {
				name = "a zone of kind " + p.Kind
			}
			return "lies in " + name + ", where no motor runs"
		}
	}
	return ""
}
