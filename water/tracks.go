package water

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"windlane/grid"
)

const (
	leastLeg  = 5     // fewer soundings are no leg of their own
	mostLeg   = 5000  // a longer run is cut before its legs are looked for
	notTrack  = -1    // of soundings that do not follow each other
	windowGap = 5.0   // a leg left out is interpolated from what lies within so many gaps round it [1]
	leastPad  = 300.0 // and at least so far [m]
)

// TrackGap is how far apart the sounder's tracks lie on the sounded water, were
// they even; 0 without soundings. [m]
func (w *Water) TrackGap() float64 { return w.trackGap }

// Trust is how far from a sounding the bed counts as sounded. [m]
func (w *Water) Trust() float64 { return w.trust }

// Soundings is how many soundings the bed was made of, false bottoms left out.
func (w *Water) Soundings() int { return len(w.all) }

// Tracks is how many tracks or legs of tracks the sounder went along.
func (w *Water) Tracks() int { return len(w.legs()) }

// LeaveTrackOut is the leave-track-out error: each track in turn is left out, the
// bed under it interpolated from all the others and the shore, and compared with
// what was measured along it. It is too hard on the bed, since leaving a track
// out doubles the gap there; single soundings left out would flatter it far
// more, as their neighbours along the track would stay in.
type LeaveTrackOut struct {
	Tracks   int     // left out, one after the other
	Compared int     // soundings, thinned as for the bed
	RMSE     float64 // root of the mean squared error [m]
	P95      float64 // 19 in 20 are no farther off [m]
}

// LeaveTrackOut measures it. Not ok with fewer than two tracks, and where
// soundings follow no track, such as those of a grid. It makes the bed anew
// round each track: a second for some 50 000 soundings.
func (w *Water) LeaveTrackOut() (LeaveTrackOut, bool) {
	return w.leaveTrackOut(max(windowGap*w.trackGap, leastPad))
}

// leg is soundings in a row of one track that keeps its course.
type leg struct{ first, end int }

// legs are the tracks as their files tell them apart, cut where two soundings lie
// over 50 m apart, and where the way leaves its straight line by more than half
// the gap between tracks (Douglas and Peucker 1973, Cartographica 10:112): a log
// of lanes up and down the water is so many legs.
func (w *Water) legs() []leg {
	var out []leg
	tolerance := max(w.trackGap/2, 10)
	for i := 0; i < len(w.all); {
		n := i + 1
		for n < len(w.all) && n-i < mostLeg && w.all[n].track == w.all[i].track && away(w.all[n-1].at, w.all[n].at) <= trackBreak {
			n++
		}
		if w.all[i].track != notTrack {
			out = w.straight(out, leg{i, n}, tolerance)
		}
		i = n
	}
	return out
}

// straight adds the straight parts of a leg that have soundings enough.
func (w *Water) straight(out []leg, l leg, tolerance float64) []leg {
	if l.end-l.first < leastLeg {
		return out
	}
	a, b := w.all[l.first].at, w.all[l.end-1].at
	dx, dy := b[0]-a[0], b[1]-a[1]
	far, at := 0.0, -1
	for k := l.first + 1; k < l.end-1; k++ {
		p := w.all[k].at
		t := 0.0
		if d := dx*dx + dy*dy; d > 0 {
			t = min(max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/d, 0), 1)
		}
		if d := math.Hypot(a[0]+t*dx-p[0], a[1]+t*dy-p[1]); d > far {
			far, at = d, k
		}
	}
	if far <= tolerance {
		return append(out, l)
	}
	return w.straight(w.straight(out, leg{l.first, at}, tolerance), leg{at, l.end}, tolerance)
}

func away(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// leaveTrackOut interpolates each leg from what lies within pad round it.
func (w *Water) leaveTrackOut(pad float64) (LeaveTrackOut, bool) {
	legs := w.legs()
	if len(legs) < 2 {
		return LeaveTrackOut{}, false
	}
	zeros := w.zeros(shoreSpacing)
	fromShore := grid.Distance(w.Grid, w.inside)
	out := LeaveTrackOut{}
	var errors []float64
	for _, l := range legs {
		held := w.all[l.first:l.end]
		var b orb.Bound
		for i, one := range held {
			if i == 0 {
				b = orb.Point(one.at).Bound()
			}
			b = b.Extend(orb.Point(one.at))
		}
		near := b.Pad(pad)
		var rest []sounded
		for i, one := range w.all {
			if (i < l.first || i >= l.end) && near.Contains(one.at) {
				rest = append(rest, one)
			}
		}
		if len(rest) == 0 { // the only one far and wide
			continue
		}
		rest = thin(rest, w.block)
		var points [][2]float64
		var depths []float64
		for _, one := range rest {
			points, depths = append(points, one.at), append(depths, one.depth)
		}
		for _, p := range zeros {
			if near.Contains(p) {
				points, depths = append(points, p), append(depths, 0)
			}
		}
		surface := grid.NewSurface(points, depths)
		corners := surface.Triangles()
		compared := len(errors)
		triangle := int32(0)
		for _, one := range thin(held, w.block) {
			d, at, ok := surface.At(one.at[0], one.at[1], triangle)
			if triangle = at; !ok {
				continue
			}
			if c := corners[3*at:]; int(min(c[0], c[1], c[2])) >= len(rest) {
				d = w.bayDepth(one.at, rest, fromShore)
			}
			errors = append(errors, math.Abs(d-one.depth))
		}
		if len(errors) > compared {
			out.Tracks++
		}
	}
	if len(errors) == 0 {
		return out, false
	}
	out.Compared = len(errors)
	sum := 0.0
	for _, e := range errors {
		sum += e * e
	}
	out.RMSE = math.Sqrt(sum / float64(len(errors)))
	slices.Sort(errors)
	out.P95 = errors[len(errors)*95/100]
	return out, true
}

// bayDepth is slopingBays' rule for one place: the bank of the nearest sounding.
func (w *Water) bayDepth(at [2]float64, rest []sounded, fromShore []float32) float64 {
	g := w.Grid
	offShore := func(p [2]float64) float64 {
		k, ok := g.Index(p[0], p[1])
		if !ok {
			return 0
		}
		return float64(fromShore[k]) - g.Cell/2
	}
	off := offShore(at)
	if off < g.Cell {
		return 0
	}
	best := rest[0]
	for _, one := range rest {
		if away(one.at, at) < away(best.at, at) {
			best = one
		}
	}
	return best.depth * min(1, off/max(offShore(best.at), g.Cell))
}

// NotSounded is the share of today's water that lies farther from any sounding
// than counts as sounded; 1 without soundings. [1]
func (w *Water) NotSounded() float64 {
	wet, unsounded := 0, 0
	for k, in := range w.wet {
		if in {
			wet++
			if !w.HasDepths() || float64(w.Gap[k]) > w.trust {
				unsounded++
			}
		}
	}
	return float64(unsounded) / float64(wet)
}
