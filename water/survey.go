package water

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/geodesy"
	"windlane/grid"
)

// Settings say how a survey is made. The zero value is a good one.
type Settings struct {
	Cell       float64 // width of a grid cell; 0 means 10 m, 5 m on waters under 1 km² [m]
	Drawdown   float64 // how far today's surface lies below full level [m]
	Block      float64 // soundings are thinned to one in a square this wide; 0 means a fifth of the gap between tracks, 2 to 12 m [m]
	Trust      float64 // the bed is taken as sounded this far from a sounding; 0 means six tenths of that gap, 20 to 60 m [m]
	KeepSpikes bool    // leave false bottoms in
}

// What Survey does; the reasons stand in docs/models/water.md.
const (
	mostCells    = 4_000_000
	shoreSpacing = 8.0     // between the zeros on the shore, at most [m]
	mostZeros    = 200_000 // on the shore
	spikeWindow  = 5       // soundings before and after
	spikeFactor  = 3       // robust standard deviations
	spikeFloor   = 0.1     // least standard deviation [m]
	trackBreak   = 50.0    // farther apart, two soundings are not along one track [m]
	worthSaying  = 0.1     // a share of the water not sounded [1]
	sameWater    = 60.0    // farther from any sounding, water says nothing about the gap between tracks [m]
)

// NotSoundedRemark begins the remark on how much of the water is not sounded.
const NotSoundedRemark = "not sounded: "

// Survey lays outline and soundings on a plane and makes the bed of them. With
// no soundings the water has a shore and no depths, and says so in Remarks. It
// refuses settings out of range, and a file of soundings none of which lies on
// the water.
func Survey(o *Outline, files []*Soundings, s Settings) (*Water, error) {
	w := &Water{Name: o.Name, Plane: geodesy.NewPlane(o.Centre()), Remarks: slices.Clone(o.Remarks)}
	w.Shore, w.Places = o.On(w.Plane)
	w.Shore = projected(w.Shore, snap).(orb.MultiPolygon)
	area := planar.Area(w.Shore)
	if err := s.settle(area, w.Shore.Bound()); err != nil {
		return nil, err
	}
	w.Grid = grid.Over(w.Shore.Bound(), s.Cell, 2)
	w.inside = grid.Inside(w.Grid, w.Shore)
	if !slices.Contains(w.inside, true) {
		return nil, fmt.Errorf("the water is smaller than a grid cell of %v m: set a smaller cell", s.Cell)
	}
	var all []sounded
	tracks := int32(0) // of the files before: each file numbers its own
	for _, f := range files {
		found, err := w.lay(f, s)
		if err != nil {
			return nil, err
		}
		next := tracks
		for i := range found {
			if t := &found[i].track; *t != notTrack {
				*t += tracks
				next = max(next, *t+1)
			}
		}
		tracks = next
		all = append(all, found...)
	}
	if len(all) == 0 {
		w.Remarks = append(w.Remarks, "there are no soundings: depths are unknown, and the water's level changes nothing")
	} else {
		w.gaps(all)
		gap := w.gapOfTracks(all)
		if s.Block == 0 {
			s.Block = min(max(gap/5, 2), 12)
		}
		if s.Trust == 0 {
			s.Trust = min(max(0.6*gap, 20), sameWater)
		}
		w.all, w.trackGap, w.trust, w.block = all, gap, s.Trust, s.Block
		w.bed(all, s.Block)
		if inLine(all) {
			w.Remarks = append(w.Remarks, "the soundings all lie along one line: beside it the bed is guessed from the shore")
		}
	}
	at, err := w.At(s.Drawdown)
	if err == nil && w.HasDepths() {
		if share := at.NotSounded(); share > worthSaying {
			at.Remarks = append(at.Remarks, fmt.Sprintf(NotSoundedRemark+"%.0f %% of the water, where the bed is guessed", 100*share))
		}
	}
	return at, err
}

func (s *Settings) settle(area float64, b orb.Bound) error {
	if s.Cell == 0 {
		s.Cell = 10
		if area < 1e6 {
			s.Cell = 5
		}
	}
	for _, one := range []struct {
		name     string
		v        float64
		optional bool
		most     float64
	}{{"cell", s.Cell, false, 100}, {"block", s.Block, true, 200}, {"trust", s.Trust, true, 1000}} {
		if !(one.v >= 1 && one.v <= one.most || one.optional && one.v == 0) {
			return fmt.Errorf("the survey's %s is %v m: allowed is 1 to %v m", one.name, one.v, one.most)
		}
	}
	width, height := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	if n := width / s.Cell * height / s.Cell; n > mostCells {
		return fmt.Errorf("the survey's cell of %v m makes %.0f cells: allowed are %d, so set %.0f m or more", s.Cell, n, mostCells, math.Ceil(math.Sqrt(width*height/mostCells)))
	}
	return nil
}

// snap brings a place to the nearest 1024th of a metre. The last bits of sines
// differ between machines, and which of two diagonals divides a square may hang
// on them; so every machine makes the same bed.
func snap(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]*1024) / 1024, math.Round(p[1]*1024) / 1024}
}

// sounded is a sounding on the plane.
type sounded struct {
	at    [2]float64 // [m]
	depth float64    // at full level [m]
	track int32
}

// lay puts a file's soundings on the plane, without those off the water and
// without spikes.
func (w *Water) lay(f *Soundings, s Settings) ([]sounded, error) {
	w.Remarks = append(w.Remarks, f.Remarks...)
	onShore := make([]bool, w.Grid.Len()) // cells near enough to the shore for a closer look
	for _, p := range w.zeros(w.Grid.Cell) {
		k, _ := w.Grid.Index(p[0], p[1])
		for _, d := range [9]int{0, 1, -1, w.Grid.W, -w.Grid.W, w.Grid.W + 1, w.Grid.W - 1, 1 - w.Grid.W, -1 - w.Grid.W} {
			if k+d >= 0 && k+d < len(onShore) {
				onShore[k+d] = true
			}
		}
	}
	var in []sounded
	off := 0
	within := grid.Within(w.Grid, w.Shore)
	for _, one := range f.List {
		x, y := w.Plane.XY(one.At)
		p := snap(orb.Point{x, y})
		k, ok := w.Grid.Index(p[0], p[1])
		if !ok || onShore[k] && !within(p) || !onShore[k] && !w.inside[k] {
			off++
			continue
		}
		in = append(in, sounded{p, max(one.Depth, 0), one.Track})
	}
	if len(in) == 0 {
		return nil, w.strange(f)
	}
	if off > 0 {
		w.Remarks = append(w.Remarks, fmt.Sprintf("%s: soundings outside the outline, left out: %d of %d", f.Name, off, len(f.List)))
	}
	if !slices.ContainsFunc(in, func(s sounded) bool { return s.depth > 0 }) {
		return nil, fmt.Errorf("%s: all its %d soundings are 0 deep: a water with no depth is no bed; leave the file out", f.Name, len(in))
	}
	if !alongTracks(in) {
		for i := range in {
			in[i].track = notTrack
		}
		return in, nil
	}
	if s.KeepSpikes {
		return in, nil
	}
	kept := despike(in)
	if n := len(in) - len(kept); n > 0 {
		w.Remarks = append(w.Remarks, fmt.Sprintf("%s: false bottoms, left out: %d of %d", f.Name, n, len(in)))
	}
	return kept, nil
}

// strange says how far off the soundings of a file are, and whether they would
// fit with longitude and latitude swapped.
func (w *Water) strange(f *Soundings) error {
	if len(f.List) == 0 {
		return fmt.Errorf("%s: holds no sounding", f.Name)
	}
	origin := w.Plane.Origin()
	least, swaps := math.Inf(1), 0
	for _, one := range f.List {
		least = min(least, geodesy.Distance(origin, one.At))
		swapped := geodesy.Position{LonDeg: one.At.LatDeg, LatDeg: one.At.LonDeg}
		if swapped.Valid() && geodesy.Distance(origin, swapped) < greatestExtent {
			swaps++
		}
	}
	hint := "are they of another water?"
	if 2*swaps > len(f.List) {
		hint = "its longitudes and latitudes are swapped: name the two columns the other way round"
	}
	away := fmt.Sprintf("%.0f m", least)
	if least >= 10e3 {
		away = fmt.Sprintf("%.0f km", least/1000)
	}
	return fmt.Errorf("%s: none of its %d soundings lies on the water, the nearest is %s from its middle: %s", f.Name, len(f.List), away, hint)
}

// alongTracks says whether soundings follow each other along tracks: half of
// them are much nearer to the one before than even spacing would have them.
func alongTracks(in []sounded) bool {
	if len(in) < 4*spikeWindow {
		return false
	}
	var b orb.Bound
	for i, one := range in {
		if i == 0 {
			b = orb.Point(one.at).Bound()
		}
		b = b.Extend(orb.Point(one.at))
	}
	// A single track has no width of its own.
	even := math.Sqrt(max(b.Max[0]-b.Min[0], trackBreak) * max(b.Max[1]-b.Min[1], trackBreak) / float64(len(in)))
	return step(in) < even/2
}

// step is the median distance from a sounding to the next. [m]
func step(in []sounded) float64 {
	steps := make([]float64, 0, len(in))
	for i := 1; i < len(in); i++ {
		steps = append(steps, math.Hypot(in[i].at[0]-in[i-1].at[0], in[i].at[1]-in[i-1].at[1]))
	}
	if len(steps) == 0 {
		return 0
	}
	return median(steps)
}

// inLine says whether no sounding lies farther than the break of a track from
// the line along which they are spread widest.
func inLine(all []sounded) bool {
	n := float64(len(all))
	var mx, my, xx, xy, yy float64
	for _, one := range all {
		mx, my = mx+one.at[0]/n, my+one.at[1]/n
	}
	for _, one := range all {
		dx, dy := one.at[0]-mx, one.at[1]-my
		xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
	}
	east, north := math.Cos(math.Atan2(2*xy, xx-yy)/2), math.Sin(math.Atan2(2*xy, xx-yy)/2)
	return !slices.ContainsFunc(all, func(one sounded) bool {
		return math.Abs((one.at[0]-mx)*north-(one.at[1]-my)*east) > trackBreak/2
	})
}

// gaps works out how far each cell is from a sounding.
func (w *Water) gaps(all []sounded) {
	unsounded := make([]bool, w.Grid.Len())
	for k := range unsounded {
		unsounded[k] = true
	}
	for _, one := range all {
		if k, ok := w.Grid.Index(one.at[0], one.at[1]); ok {
			unsounded[k] = false
		}
	}
	w.Gap = grid.Distance(w.Grid, unsounded)
}

// gapOfTracks is how far tracks lie apart, were they even: the water near soundings
// shared out among them, each with the step to the next as its other side. [m]
func (w *Water) gapOfTracks(all []sounded) float64 {
	cells := 0
	for k, in := range w.inside {
		if in && w.Gap[k] <= sameWater {
			cells++
		}
	}
	each := float64(cells) * w.Grid.Cell * w.Grid.Cell / float64(len(all))
	return max(each/max(step(all), 0.1), math.Sqrt(each))
}

// despike leaves out soundings that stand apart from the median of those before
// and after them along the track (Hampel's filter; Pearson 2002, IEEE Trans.
// Control Syst. Technol. 10:55).
func despike(in []sounded) []sounded {
	kept := make([]sounded, 0, len(in))
	var depths, apart []float64
	for i, one := range in {
		depths, apart = depths[:0], apart[:0]
		for _, dir := range [2]int{-1, 1} {
			for k := 1; k <= spikeWindow; k++ {
				at, before := i+dir*k, i+dir*(k-1)
				if at < 0 || at >= len(in) || in[at].track != one.track ||
					math.Hypot(in[at].at[0]-in[before].at[0], in[at].at[1]-in[before].at[1]) > trackBreak {
					break
				}
				depths = append(depths, in[at].depth)
			}
		}
		if len(depths) >= spikeWindow {
			depths = append(depths, one.depth)
			m := median(depths)
			for _, d := range depths {
				apart = append(apart, math.Abs(d-m))
			}
			// 1.4826: from the median of absolute deviations to a standard deviation.
			if math.Abs(one.depth-m) > spikeFactor*max(1.4826*median(apart), spikeFloor) {
				continue
			}
		}
		kept = append(kept, one)
	}
	return kept
}

// median sorts v.
func median(v []float64) float64 {
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// thin keeps, of the soundings in each square, the one of median depth where it
// was taken, or the mean of the middle two. The order is that of the squares,
// from south to north.
func thin(in []sounded, block float64) []sounded {
	in = slices.Clone(in)
	square := func(s sounded) (row, col float64) {
		return math.Floor(s.at[1] / block), math.Floor(s.at[0] / block)
	}
	slices.SortStableFunc(in, func(a, b sounded) int {
		ra, ca := square(a)
		rb, cb := square(b)
		return cmp.Or(cmp.Compare(ra, rb), cmp.Compare(ca, cb), cmp.Compare(a.depth, b.depth))
	})
	var out []sounded
	for i := 0; i < len(in); {
		r, c := square(in[i])
		n := i + 1
		for n < len(in) {
			if rn, cn := square(in[n]); rn != r || cn != c {
				break
			}
			n++
		}
		a, b := in[i+(n-i-1)/2], in[i+(n-i)/2]
		out = append(out, sounded{[2]float64{(a.at[0] + b.at[0]) / 2, (a.at[1] + b.at[1]) / 2}, (a.depth + b.depth) / 2, a.track})
		i = n
	}
	return out
}

// zeros are the corners of the shore and points between them, no farther apart
// than the spacing.
func (w *Water) zeros(spacing float64) [][2]float64 {
	length := planar.Length(w.Shore)
	spacing = max(spacing, length/mostZeros)
	var out [][2]float64
	for _, polygon := range w.Shore {
		for _, ring := range polygon {
			for e := 1; e < len(ring); e++ {
				a, b := ring[e-1], ring[e]
				n := math.Ceil(math.Hypot(b[0]-a[0], b[1]-a[1]) / spacing)
				for i := 0.0; i < n; i++ {
					out = append(out, snap(orb.Point{a[0] + i/n*(b[0]-a[0]), a[1] + i/n*(b[1]-a[1])}))
				}
			}
		}
	}
	return out
}

// bed makes the depth field: flat triangles between the thinned soundings and
// zeros all along the shore, so that nothing is extrapolated.
func (w *Water) bed(all []sounded, block float64) {
	g := w.Grid
	var points [][2]float64
	var depths []float64
	for _, one := range thin(all, block) {
		points, depths = append(points, one.at), append(depths, one.depth)
	}
	measured := len(points)
	for _, p := range w.zeros(shoreSpacing) {
		points, depths = append(points, p), append(depths, 0)
	}
	surface := grid.NewSurface(points, depths)
	if more, deep := w.slopingBays(surface, points, depths, measured); len(more) > 0 {
		points, depths = append(points, more...), append(depths, deep...)
		surface = grid.NewSurface(points, depths)
	}
	w.Full = make([]float32, g.Len())
	surface.Fill(g, w.Full)
	for k, in := range w.inside {
		switch {
		case !in:
			w.Full[k] = float32(math.NaN())
		case w.Full[k] != w.Full[k]: // on the very edge of the outermost triangle
			w.Full[k] = 0
		}
	}
}

// slopingBays finds the triangles whose three corners all lie on the shore. They
// would make an unsounded bay flat at depth 0, dry at any drawdown. A point in
// the middle of each is given the bank of the nearest sounding instead: its
// depth in the measure of the distances of the two from the shore, no deeper
// than the sounding. Such water stays marked as not sounded by Gap.
func (w *Water) slopingBays(surface *grid.Surface, points [][2]float64, depths []float64, measured int) (more [][2]float64, deep []float64) {
	g := w.Grid
	fromShore := grid.Distance(g, w.inside)
	offShore := func(k int) float64 { return float64(fromShore[k]) - g.Cell/2 }
	free := make([]bool, g.Len()) // of thinned soundings
	holds := map[int]int{}        // cell: the deepest of them in it
	for k := range free {
		free[k] = true
	}
	for i := range measured {
		if k, ok := g.Index(points[i][0], points[i][1]); ok {
			free[k] = false
			if old, taken := holds[k]; !taken || depths[i] > depths[old] {
				holds[k] = i
			}
		}
	}
	nearest := grid.Nearest(g, free)
	corners := surface.Triangles()
	for e := 0; e < len(corners); e += 3 {
		a, b, c := corners[e], corners[e+1], corners[e+2]
		if int(a) < measured || int(b) < measured || int(c) < measured {
			continue
		}
		p := snap(orb.Point{(points[a][0] + points[b][0] + points[c][0]) / 3, (points[a][1] + points[b][1] + points[c][1]) / 3})
		k, ok := g.Index(p[0], p[1])
		if !ok || !w.inside[k] || offShore(k) < g.Cell {
			continue
		}
		at := int(nearest[k])
		bank := max(offShore(at), g.Cell)
		more = append(more, p)
		deep = append(deep, depths[holds[at]]*min(1, offShore(k)/bank))
	}
	return more, deep
}
