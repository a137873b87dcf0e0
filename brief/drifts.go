package brief

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"

	"windlane/conditions"
	"windlane/grid"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

// notSounded is the distance to the nearest sounding beyond which the bed is
// drawn as not sounded. [m]
const notSounded = 45.0

// lake is the picture of the water.
func (f Facts) lake() Lake {
	w := f.Water
	origin := w.Plane.Origin()
	l := Lake{Origin: [2]float64{origin.LonDeg, origin.LatDeg}, Low: Point{w.Shore.Bound().Min[0], w.Shore.Bound().Min[1]}, High: Point{w.Shore.Bound().Max[0], w.Shore.Bound().Max[1]}}
	if n := len(f.Hours); n > 0 {
		first, last := f.Hours[0].Conditions, f.Hours[n-1].Conditions
		l.WindFrom = f.Hours[n/2].Conditions.From
		l.WindText = f.windText(first, last)
		if m := f.Met; m != nil {
			l.WindText = fmt.Sprintf("%s %s as met at %s; forecast %s", quantity.Bearing(m.From).Compass(), f.units().Wind(m.Wind), clock(m.At), l.WindText)
		}
	}
	for _, polygon := range w.ShoreAt() {
		for i, ring := range polygon {
			points := ringPoints(orb.Geometry(ring), w.Grid.Cell/3)
			if i == 0 {
				l.Shore = append(l.Shore, points)
			} else {
				l.Islands = append(l.Islands, points)
			}
		}
	}
	for _, p := range w.Places {
		l.Places = append(l.Places, drawn(p)...)
	}
	if !w.HasDepths() {
		return l
	}
	depths := w.Depths()
	gap := make([]float32, len(depths))
	for k, z := range depths {
		if z != z {
			depths[k] = 0
		} else {
			gap[k] = w.Gap[k]
		}
	}
	for _, level := range f.levels() {
		c := Contour{Depth: level}
		for _, line := range grid.Contours(w.Grid, depths, level) {
			if planar.Length(line) > 60 {
				c.Lines = append(c.Lines, points(simplify.DouglasPeucker(w.Grid.Cell/3).LineString(line.Clone())))
			}
		}
		if len(c.Lines) > 0 {
			l.Contours = append(l.Contours, c)
		}
	}
	for _, line := range grid.Contours(w.Grid, gap, notSounded) {
		if ring := orb.Ring(line); len(ring) > 3 && math.Abs(planar.Area(ring)) > 6000 {
			l.NotSounded = append(l.NotSounded, points(simplify.DouglasPeucker(w.Grid.Cell/2).LineString(line.Clone())))
		}
	}
	return l
}

// levels are the depths whose contours are drawn: each 5 ft to 20 ft and each 10
// below, or 2, 4, 6, 8, 12 … m.
func (f Facts) levels() []float64 {
	if f.units() == quantity.Metric {
		return []float64{2, 4, 6, 8, 12, 16, 20, 30}
	}
	const ft = 0.3048
	return []float64{5 * ft, 10 * ft, 15 * ft, 20 * ft, 30 * ft, 40 * ft, 60 * ft, 80 * ft}
}

// windText says "SW 9 mph, backing to S 15", or "variable 2 mph, then SW 7".
func (f Facts) windText(first, last conditions.Conditions) string {
	u := f.units()
	va, vb := first.Wind.Value, last.Wind.Value
	point := func(c conditions.Conditions) string {
		if c.Shifting {
			return "variable"
		}
		return quantity.Bearing(c.From).Compass()
	}
	from, to := point(first), point(last)
	out := from + " " + u.Wind(va)
	turn := quantity.Turn(quantity.Bearing(first.From), quantity.Bearing(last.From))
	switch {
	case first.Shifting != last.Shifting:
		out += ", then " + to + " " + u.WindFigure(vb)
	case from == to:
		if u.WindFigure(va) != u.WindFigure(vb) {
			out += ", then " + u.WindFigure(vb)
		}
	case turn < 0:
		out += ", backing to " + to + " " + u.WindFigure(vb)
	default:
		out += ", veering to " + to + " " + u.WindFigure(vb)
	}
	return out
}

func ringPoints(g orb.Geometry, tolerance float64) []Point {
	ring := g.(orb.Ring)
	return points(simplify.DouglasPeucker(tolerance).LineString(orb.LineString(ring).Clone()))
}

func points(line []orb.Point) []Point {
	out := make([]Point, len(line))
	for i, p := range line {
		out[i] = Point{p[0], p[1]}
	}
	return out
}

// drawn is a place as points, lines and rings.
func drawn(p water.Place) []Place {
	one := func(line []orb.Point, closed bool) Place {
		return Place{Kind: string(p.Kind), Name: p.Name, Line: points(line), Closed: closed}
	}
	switch s := p.Shape.(type) {
	case orb.Point:
		return []Place{one([]orb.Point{s}, false)}
	case orb.MultiPoint:
		return []Place{one(s, false)}
	case orb.LineString:
		return []Place{one(s, false)}
	case orb.MultiLineString:
		var out []Place
		for _, l := range s {
			out = append(out, one(l, false))
		}
		return out
	case orb.Polygon:
		if len(s) > 0 {
			return []Place{one(s[0], true)}
		}
	case orb.MultiPolygon:
		var out []Place
		for _, polygon := range s {
			if len(polygon) > 0 {
				out = append(out, one(polygon[0], true))
			}
		}
		return out
	}
	return nil
}

func (f Facts) drifts() []Drift {
	var out []Drift
	for i, d := range f.Plan.Drifts {
		o := Drift{
			Number: i + 1, Start: d.Start, Minutes: d.Minutes, Motor: d.Ride.Time / 60, Speed: d.Speed, Drogue: d.Drogue,
			SetUp: f.setUpAt(d), EndBy: string(d.Ending), StartAt: f.where(d.X, d.Y),
			Why: f.why(d), Next: f.nextBest(d), Change: f.change(d), End: f.end(d), Words: f.inWords(d, i),
		}
		at := f.Water.Plane.Position(d.X, d.Y)
		o.LonLat = [2]float64{at.LonDeg, at.LatDeg}
		for j, p := range d.Track {
			bed := float64(p.Depth)
			if !f.Water.HasDepths() {
				bed = math.NaN()
			}
			o.Track = append(o.Track, Step{p.Minute, Point{p.X, p.Y}, bed, p.Sounded})
			if j > 0 {
				o.Length += math.Hypot(p.X-d.Track[j-1].X, p.Y-d.Track[j-1].Y)
			}
		}
		o.Fan = [][]Point{points(d.Fan.Left), points(d.Fan.Right)}
		o.Ride = points(d.Ride.Way)
		o.Stop = Stop{d.Stop.At, d.Stop.Lift, d.Stop.Landmark, d.Stop.Bearing, d.Stop.Distance}
		for _, p := range d.Passes {
			o.Passes = append(o.Passes, Pass{p.From, p.To, f.pass(p)})
		}
		out = append(out, o)
	}
	return out
}

// setUpAt is the set-up meant for a drift's hour.
func (f Facts) setUpAt(d plan.Drift) int {
	hour := 0
	for hour+1 < len(f.Hours) && !f.Hours[hour+1].At.After(d.Start) {
		hour++
	}
	for i, s := range f.SetUps {
		if s.At(hour) {
			return i
		}
	}
	return 0
}

func (f Facts) where(x, y float64) string { return Where(f.Water.Places, f.units(), x, y) }

// Where says a place on the lake, in metres on its plane, by the nearest one that
// has a name, or the jetty or dam; empty when there is none.
func Where(places []water.Place, u quantity.System, x, y float64) string {
	best, name := math.Inf(1), ""
	var from orb.Point
	for _, p := range places {
		if p.Name == "" && p.Kind != water.Jetty && p.Kind != water.Dam {
			continue
		}
		c := nearest(p.Shape, orb.Point{x, y})
		d := math.Hypot(x-c[0], y-c[1])
		if d < best {
			best, from, name = d, c, called(string(p.Kind), p.Name)
		}
	}
	if name == "" {
		return ""
	}
	if best < 25 {
		return "by " + name
	}
	dir := quantity.Bearing(quantity.TowardVector(x-from[0], y-from[1])).Compass()
	return u.Distance(best) + " " + dir + " of " + name
}

// nearest is the point of a shape nearest to another: itself inside an area, else
// on a side or at a corner.
func nearest(shape orb.Geometry, p orb.Point) orb.Point {
	switch s := shape.(type) {
	case orb.Polygon:
		if grid.Contains(orb.MultiPolygon{s}, p) {
			return p
		}
	case orb.MultiPolygon:
		if grid.Contains(s, p) {
			return p
		}
	}
	best, at := math.Inf(1), shape.Bound().Center()
	for _, place := range drawn(water.Place{Shape: shape}) {
		for i, q := range place.Line {
			from := place.Line[max(0, i-1)]
			ex, ey := q.X-from.X, q.Y-from.Y
			f := 0.0
			if l := ex*ex + ey*ey; l > 0 {
				f = max(0, min(1, ((p[0]-from.X)*ex+(p[1]-from.Y)*ey)/l))
			}
			c := orb.Point{from.X + f*ex, from.Y + f*ey}
			if d := math.Hypot(c[0]-p[0], c[1]-p[1]); d < best {
				best, at = d, c
			}
		}
	}
	return at
}

// kindNames is how people say the kinds of place.
var kindNames = map[string]string{
	"drop_off": "drop-off", "sunken_island": "sunken island", "weed_bed": "weed", "buoy": "buoy", "buoy_line": "buoy line",
	"inflow": "inflow", "dam": "dam", "jetty": "jetty", "bank_angler": "bank angler", "no_go": "keep off", "rock": "rock",
	"shelf": "shelf", "stream_bed": "old stream bed", "causeway": "causeway", "hedge_line": "old hedge", "aerator": "aerator",
	"ripple_edge": "ripple edge", "island_edge": "island's edge", "island": "island",
}

// called is a place as it is said: its name, or its kind.
func called(kind, name string) string {
	if name != "" {
		return name
	}
	if said, ok := kindNames[kind]; ok {
		return "the " + said
	}
	return "the " + strings.ReplaceAll(kind, "_", " ")
}

// Named is a place by its name, with its kind where the name does not tell it.
func Named(kind, name string) string {
	said := kindNames[kind]
	if said == "" {
		said = strings.ReplaceAll(kind, "_", " ")
	}
	if name == "" {
		return said
	}
	for _, word := range strings.FieldsFunc(said, func(r rune) bool { return r == ' ' || r == '-' }) {
		if len(word) > 2 && strings.Contains(strings.ToLower(name), word) {
			return name
		}
	}
	if kind == "drop_off" && strings.Contains(name, "edge") {
		return name
	}
	return name + " (" + said + ")"
}

// pass says what a drift goes by, with the bed there.
func (f Facts) pass(p plan.Pass) string {
	u := f.units()
	what := Named(p.Kind, p.Name)
	if !f.Water.HasDepths() {
		return what
	}
	a, b := u.DepthFigure(float64(p.First)), u.DepthFigure(float64(p.Last))
	switch {
	case p.Kind == plan.DropOff && a != b:
		return what + ", " + a + " to " + b + " " + u.DepthUnit()
	case p.Most-p.Least > 1:
		return what + ", " + u.DepthFigure(float64(p.Least)) + " to " + u.DepthFigure(float64(p.Most)) + " " + u.DepthUnit()
	}
	return what + ", " + u.Depth(float64(p.First))
}

func (f Facts) end(d plan.Drift) string {
	s := d.Stop
	out := "Lift here " + clock(s.At)
	if s.Landmark != "" {
		out += fmt.Sprintf(": %s bears %03.0f° (%s), %s off", s.Landmark, s.Bearing.Degrees(), quantity.Bearing(s.Bearing).Compass(), f.units().Distance(s.Distance))
	}
	if d.Drogue {
		out += fmt.Sprintf(". Begin to hand the drogue in at %s, before the engine", clock(s.Lift))
	}
	return out + "."
}

func (f Facts) why(d plan.Drift) string {
	var parts []string
	switch w := d.Why; {
	case w.WorthRatio >= 1.15:
		parts = append(parts, fmt.Sprintf("its water is worth %.1f times the lake's mean", w.WorthRatio))
	case w.WorthRatio > 0:
		parts = append(parts, "a long run over ordinary water")
	}
	if d.Why.BestTo-d.Why.BestFrom >= 2 && d.Why.BestTo-d.Why.BestFrom < d.Minutes-3 {
		parts = append(parts, fmt.Sprintf("best from minute %.0f to %.0f", d.Why.BestFrom, d.Why.BestTo))
	}
	if d.Why.Fresh < 0.85 {
		parts = append(parts, fmt.Sprintf("partly fished already: %.0f %% of it is fresh", 100*d.Why.Fresh))
	}
	if r := d.Why.OverNext; r > 1.02 {
		parts = append(parts, fmt.Sprintf("%.0f %% more a minute than the next best, ride included", 100*(r-1)))
	} else if r > 0 {
		parts = append(parts, "hardly better than the next best")
	}
	switch d.Verdict {
	case "too_fast":
		too := "faster than this way of fishing wants"
		if d.Drogue {
			too += ", even with the drogue"
		}
		parts = append(parts, too)
	case "too_slow":
		parts = append(parts, "slower than this way of fishing wants")
	}
	if d.Fan.Safe < 0.9 {
		parts = append(parts, fmt.Sprintf("clear to the end in %.0f of 10 of the winds the forecast allows", 10*d.Fan.Safe))
	}
	return sentence(strings.Join(parts, "; "))
}

func (f Facts) change(d plan.Drift) string {
	c := d.Change
	if c == nil {
		return ""
	}
	turn := "veers"
	if c.Turn < 0 {
		turn = "backs"
	}
	out := fmt.Sprintf("If the wind %s to %s or beyond, start", turn, quantity.Bearing(c.From).Compass())
	if at := f.elsewhere(d, c.To.X, c.To.Y); at != "" {
		return out + " " + at + " instead."
	}
	return out + " on the next best line instead."
}

// elsewhere says a place other than a drift's start: by that start where both are
// by the same place.
func (f Facts) elsewhere(d plan.Drift, x, y float64) string {
	at := f.where(x, y)
	if away := math.Hypot(x-d.X, y-d.Y); at == f.where(d.X, d.Y) && away > 0 {
		return f.units().Distance(away) + " " + quantity.Bearing(quantity.TowardVector(x-d.X, y-d.Y)).Compass() + " of this start"
	}
	return at
}
