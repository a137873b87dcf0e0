package water

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/geodesy"
	"windlane/grid"
	"windlane/quantity"
)

// Water is a surveyed lake at one level. Nothing changes it once made; At gives
// the same lake at another level.
type Water struct {
	Name   string
	Plane  geodesy.Plane
	Shore  orb.MultiPolygon // at full level, plane metres; islands are holes, and wind clockwise
	Places []Place          // on the plane
	Grid   grid.Grid
	// Full is the depth at full level, NaN off the water [m]; nil when there are
	// no soundings.
	Full []float32
	// Gap is the distance to the nearest sounding [m]; nil when there are none.
	Gap      []float32
	Drawdown float64  // how far today's surface lies below full level [m]
	Remarks  []string // what the person ought to know about the files and the survey

	inside   []bool    // the shore at full level, by cells
	wet      []bool    // today
	all      []sounded // what the bed was made of, before thinning
	trust    float64   // [m]
	trackGap float64   // [m]
	block    float64   // [m]
}

// At is the water with its surface drawn down by so many metres from full
// level: 0 up to less than its greatest depth. Without depths the level is kept
// but changes nothing.
func (w *Water) At(drawdown float64) (*Water, error) {
	if !(drawdown >= 0 && drawdown <= deepest) {
		return nil, fmt.Errorf("the drawdown is %v m: allowed is 0 (full) and more, positive down", drawdown)
	}
	at := *w
	at.Drawdown = drawdown
	at.wet = w.inside
	if w.Full == nil || drawdown == 0 {
		return &at, nil
	}
	at.wet = make([]bool, len(w.inside))
	for k, d := range w.Full {
		at.wet[k] = float64(d) > drawdown // false for NaN
	}
	if !slices.Contains(at.wet, true) {
		deepest := float32(0)
		for _, d := range w.Full {
			if d > deepest {
				deepest = d
			}
		}
		return nil, fmt.Errorf("the drawdown is %v m: no water is left, the deepest place known is %.1f m", drawdown, deepest)
	}
	return &at, nil
}

// HasDepths says whether there are soundings.
func (w *Water) HasDepths() bool { return w.Full != nil }

// Depth is today's depth at a place on the plane, between cell centres. On land
// and off the grid it is 0 and not wet, decided by whole cells; where depths are
// unknown it is NaN.
func (w *Water) Depth(x, y float64) (d quantity.Depth, wet bool) {
	k, ok := w.Grid.Index(x, y)
	if !ok || !w.wet[k] {
		return 0, false
	}
	if !w.HasDepths() {
		return quantity.Depth(math.NaN()), true
	}
	full, _ := w.Grid.Lookup(w.Full, x, y)
	return quantity.Depth(max(full-w.Drawdown, 0)), true
}

// Sounded says whether a sounding lies so near that the depth there is measured
// rather than guessed.
func (w *Water) Sounded(x, y float64) bool {
	k, ok := w.Grid.Index(x, y)
	return ok && w.HasDepths() && float64(w.Gap[k]) <= w.trust
}

// Wet marks the cells that hold water today. The slice belongs to the water.
func (w *Water) Wet() []bool { return w.wet }

// Depths is today's depth field: NaN off the water and where depths are unknown. [m]
func (w *Water) Depths() []float32 {
	out := make([]float32, w.Grid.Len())
	for k := range out {
		out[k] = float32(math.NaN())
		if w.wet[k] && w.HasDepths() {
			out[k] = w.Full[k] - float32(w.Drawdown)
		}
	}
	return out
}

// Area is the water's surface today, exact at full level, by cells below it. [m²]
func (w *Water) Area() float64 {
	if w.Drawdown == 0 || !w.HasDepths() {
		return planar.Area(w.Shore)
	}
	n := 0
	for _, wet := range w.wet {
		if wet {
			n++
		}
	}
	return float64(n) * w.Grid.Cell * w.Grid.Cell
}

// ShoreAt is the shoreline at today's level: the outline itself at full
// level, else the bed's contour. Outer rings wind anticlockwise, islands
// clockwise. It is worked out at each call.
func (w *Water) ShoreAt() orb.MultiPolygon {
	if w.Drawdown == 0 || !w.HasDepths() {
		return w.Shore
	}
	bed := slices.Clone(w.Full)
	for k, d := range bed {
		if d != d { // land lies at full level, at least
			bed[k] = 0
		}
	}
	return rings(grid.Contours(w.Grid, bed, w.Drawdown))
}

// ShoreDistance is how far each wet cell is from the nearest dry one, today. [m]
func (w *Water) ShoreDistance() []float32 { return grid.Distance(w.Grid, w.wet) }

// Fetch writes how far today's water reaches from each wet cell toward where the
// wind comes from. [m] See grid.Fetch; a million cells take milliseconds.
func (w *Water) Fetch(from quantity.From, dst []float32) {
	grid.Fetch(w.Grid, w.wet, float64(from), dst)
}

// FetchAt is Fetch at one place, without a field for it: 0 off the water. [m]
func (w *Water) FetchAt(x, y float64, from quantity.From) float64 {
	k, ok := w.Grid.Index(x, y)
	if !ok {
		return 0
	}
	return float64(grid.FetchAt(w.Grid, w.wet, float64(from), k))
}

// DropOff is how much of a drop-off each cell is, from 0 on an even bed to 1:
//
//	(slope - 0.04) / 0.10, within 0 and 1
//
// A modelling choice, not a published one. NaN off the water; nil without depths.
func (w *Water) DropOff() []float32 {
	if !w.HasDepths() {
		return nil
	}
	out := make([]float32, w.Grid.Len())
	grid.Slope(w.Grid, w.Full, out)
	for k, slope := range out {
		out[k] = min(max((slope-0.04)/0.10, 0), 1) // NaN stays NaN
	}
	return out
}

// Mounds is how far the bed rises above its mean within 40 m round each cell. [m]
// Negative in hollows. NaN off the water and within 40 m of the shore, where
// there is no bed all round to compare with; nil without depths.
func (w *Water) Mounds() []float32 {
	if !w.HasDepths() {
		return nil
	}
	const reach = 40.0 // [m]
	out := make([]float32, w.Grid.Len())
	grid.BoxMean(w.Grid, w.Full, 2*reach, out)
	offShore := grid.Distance(w.Grid, w.inside)
	for k := range out {
		out[k] -= w.Full[k]
		if offShore[k] < reach {
			out[k] = float32(math.NaN())
		}
	}
	return out
}

// PlacesOf gives the places of a kind.
func (w *Water) PlacesOf(kind Kind) []Place {
	var out []Place
	for _, p := range w.Places {
		if p.Kind == kind {
			out = append(out, p)
		}
	}
	return out
}
