// Package water is the lake as surveyed: outline, islands, places, bed and
// level, and what follows from them at any level: depth, shore, fetch, slope.
//
// Files come in degrees (Outline, Soundings); Survey lays them on a plane in
// metres (Water). Depths in a Water are below the surface at full level unless
// a name says today's. Bad files return an error that says file, feature or
// line, and what to do; what was mended on the way stands in Remarks. How it is
// done and how well: docs/models/water.md.
package water

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/geodesy"
	"windlane/grid"
	"windlane/internal/text"
	"windlane/quantity"
)

// What an outline file may be at most, and what a lake is.
const (
	outlineBytes   = 32 << 20
	outlineCorners = 300_000
	greatestExtent = 200e3 // corner to corner [m]
	greatestLat    = 85.0  // [deg]
	placesWithin   = 20e3  // farther from the water a place is left out [m]
	touch          = 1e-8  // shores this near each other touch: a millimetre [deg]
	leastRing      = 1e-12 // area of a ring that is none: 0.01 m² [deg²]
	smallLoop      = 1e-3  // of a ring's area, a loop this small may be cut off [1]
	mostLoops      = 100
)

// Outline is a water's shore and places as a person drew them, in degrees.
type Outline struct {
	Name string // of the water; empty when the file gives none
	// Shore holds the waters, each an outer ring (anticlockwise) and its islands
	// (clockwise), closed. Longitudes run on past 180 where a water lies across it.
	Shore   orb.MultiPolygon
	Places  []Place
	Remarks []string // what was mended or left out
}

// ReadOutline reads GeoJSON (RFC 7946). The shore is every Polygon or
// MultiPolygon of kind `shoreline`; when there is none, every one without a
// kind. Islands are holes, polygons of kind `island`, or polygons that lie in
// another's water. All other features are places. At most 32 MB and 300 000 positions.
func ReadOutline(name string, r io.Reader) (*Outline, error) {
	b, err := text.ReadAll(name, r, outlineBytes)
	if err != nil {
		return nil, err
	}
	features, collection, err := decodeGeoJSON(name, b)
	if err != nil {
		return nil, err
	}
	t := &tidy{file: name}
	var shores, islands, others []feature
	var places []Place
	title := ""
	marked := false // does any feature say that it is the shoreline?
	kinds := make([]Place, len(features))
	for i, f := range features {
		if kinds[i], err = place(name, f); err != nil {
			return nil, err
		}
		marked = marked || kinds[i].Kind == Shoreline
	}
	for i, f := range features {
		kind := kinds[i].Kind
		switch {
		case f.shape == nil:
			t.remark("%s has no geometry and was left out", f.where())
		case kind == Shoreline || !marked && kind == "" && polygonal(f.shape):
			shores = append(shores, f)
			title = cmp.Or(title, named(f))
		case kind == Island && polygonal(f.shape):
			islands = append(islands, f)
		default:
			places, others = append(places, kinds[i]), append(others, f)
		}
	}
	if len(shores) == 0 {
		return nil, &text.Fault{File: name, Problem: "has no shoreline: one Polygon or MultiPolygon must be there, with the property kind set to shoreline if others are too"}
	}
	o := &Outline{Name: cmp.Or(title, collection)}
	if o.Shore, err = t.shore(shores, islands); err != nil {
		return nil, err
	}
	if err := t.places(o, places, others); err != nil {
		return nil, err
	}
	if t.closed > 0 {
		t.remark("rings that were not closed, and now are: %d", t.closed)
	}
	if t.turned > 0 {
		t.remark("rings that wound the wrong way (RFC 7946), and were turned: %d", t.turned)
	}
	if t.doubled > 0 {
		t.remark("positions that stood twice in a row, and were left out once: %d", t.doubled)
	}
	if t.wrapped {
		t.remark("the water lies across the 180° meridian; it was kept in one piece")
	}
	o.Remarks = t.remarks
	return o, nil
}

func polygonal(shape orb.Geometry) bool {
	switch shape.(type) {
	case orb.Polygon, orb.MultiPolygon:
		return true
	}
	return false
}

func named(f feature) string {
	s, _ := f.properties["name"].(string)
	return strings.TrimSpace(s)
}

// tidy mends what can be mended in a file and counts it.
type tidy struct {
	file           string
	closed, turned int
	doubled        int
	corners        int
	wrapped        bool
	remarks        []string
	anchor         float64 // longitude that all others are brought near [deg]
	anchored       bool
	shoreBound     orb.Bound
}

func (t *tidy) remark(format string, a ...any) {
	t.remarks = append(t.remarks, fmt.Sprintf(format, a...))
}

func (t *tidy) fault(where, problem string) error {
	return &text.Fault{File: t.file, Field: where, Problem: problem}
}

// basin is one polygon of the shore with the feature that it came from.
type basin struct {
	where   string
	polygon orb.Polygon
	area    float64 // of the outer ring [deg²]
}

// shore makes clean polygons of the features and fits islands into them.
func (t *tidy) shore(shores, islands []feature) (orb.MultiPolygon, error) {
	var basins []basin
	for _, f := range shores {
		found, err := t.basins(f)
		if err != nil {
			return nil, err
		}
		basins = append(basins, found...)
	}
	var holes []basin
	for _, f := range islands {
		found, err := t.basins(f)
		if err != nil {
			return nil, err
		}
		holes = append(holes, found...)
	}
	// Large before small, so that what lies in another comes after it.
	slices.SortStableFunc(basins, func(a, b basin) int { return cmp.Compare(b.area, a.area) })
	var whole []basin
	for _, b := range basins {
		into := slices.IndexFunc(whole, func(w basin) bool { return share(b.polygon[0], w.polygon) == 1 })
		switch {
		case into < 0:
			whole = append(whole, b)
		case b.area > (1-1e-9)*whole[into].area:
			t.remark("%s is drawn twice and counted once", b.where)
		default:
			t.remark("%s lies in the water of %s and was taken as an island", b.where, whole[into].where)
			whole[into].polygon = append(whole[into].polygon, turned(b.polygon[0]))
		}
	}
	for _, h := range holes {
		into := slices.IndexFunc(whole, func(w basin) bool { return share(h.polygon[0], w.polygon) > 0.5 })
		if into < 0 {
			t.remark("%s is an island that does not lie in the water and was left out", h.where)
			continue
		}
		whole[into].polygon = append(whole[into].polygon, turned(h.polygon[0]))
	}
	if err := t.uncross(whole); err != nil {
		return nil, err
	}
	var shore orb.MultiPolygon
	for _, b := range whole {
		for _, hole := range b.polygon[1:] {
			if share(hole, orb.Polygon{b.polygon[0]}) <= 0.5 {
				return nil, t.fault(b.where, fmt.Sprintf("has an island near %.6f, %.6f that lies outside its shore: draw islands inside", hole[0][0], hole[0][1]))
			}
		}
		shore = append(shore, b.polygon)
	}
	t.shoreBound = shore.Bound()
	// Measured from corner to corner, wherever it lies on the round of the earth.
	low, high := t.shoreBound.Min, t.shoreBound.Max
	width := high[0] - low[0]
	d := geodesy.Distance(geodesy.Position{LatDeg: low[1]}, geodesy.Position{LonDeg: min(width, 180), LatDeg: high[1]})
	if d > greatestExtent {
		return nil, t.fault(basins[0].where, fmt.Sprintf("reaches over %.0f km: a water may reach over %.0f km at most; is it the right polygon, are longitude and latitude in order?", d/1000, greatestExtent/1000))
	}
	return shore, nil
}

// basins cleans the polygons of one feature.
func (t *tidy) basins(f feature) ([]basin, error) {
	var polygons orb.MultiPolygon
	switch s := f.shape.(type) {
	case orb.Polygon:
		polygons = orb.MultiPolygon{s}
	case orb.MultiPolygon:
		polygons = s
	case orb.LineString:
		if len(s) < 4 || s[0] != s[len(s)-1] {
			return nil, t.fault(f.where(), "is an open line: draw the shoreline as a Polygon")
		}
		t.remark("%s is a closed line and was taken as a Polygon", f.where())
		polygons = orb.MultiPolygon{{orb.Ring(s)}}
	default:
		return nil, t.fault(f.where(), fmt.Sprintf("is a %s: draw the shoreline as a Polygon or MultiPolygon", f.shape.GeoJSONType()))
	}
	if len(polygons) == 0 {
		return nil, t.fault(f.where(), "has no polygon in it")
	}
	var out []basin
	for i, p := range polygons {
		where := f.where()
		if len(polygons) > 1 {
			where += fmt.Sprintf(", polygon %d", i+1)
		}
		if len(p) == 0 {
			return nil, t.fault(where, "has no ring in it")
		}
		var clean orb.Polygon
		for k, ring := range p {
			at := fmt.Sprintf("%s, ring %d", where, k+1)
			r, err := t.ring(at, ring)
			if err != nil {
				return nil, err
			}
			if problem := nothing(r); problem != "" {
				if k == 0 && len(polygons) == 1 {
					return nil, t.fault(at, problem+": draw the shore all the way round")
				}
				t.remark("%s %s and was left out", at, problem)
				if k == 0 {
					break // its islands with it
				}
				continue
			}
			want := orb.CCW
			if k > 0 {
				want = orb.CW
			}
			if r.Orientation() != want {
				t.turned++
				r.Reverse()
			}
			clean = append(clean, r)
		}
		if clean != nil {
			out = append(out, basin{where, clean, math.Abs(planar.Area(clean[0]))})
		}
	}
	if len(out) == 0 {
		return nil, t.fault(f.where(), "encloses no water in any of its polygons")
	}
	return out, nil
}

// ring checks and cleans one ring: positions in range and near each other, none
// twice in a row, closed.
func (t *tidy) ring(where string, ring orb.Ring) (orb.Ring, error) {
	out := make(orb.Ring, 0, len(ring)+1)
	edge := 0 // positions in a row on the 180° meridian
	for i, p := range ring {
		at := fmt.Sprintf("%s, position %d", where, i+1)
		if err := t.position(at, p); err != nil {
			return nil, err
		}
		if t.corners++; t.corners > outlineCorners {
			return nil, t.fault("", fmt.Sprintf("has more than %d positions: thin it out to a few metres between them", outlineCorners))
		}
		if edge++; math.Abs(p[0]) != 180 {
			edge = 0
		}
		if edge > 1 && p[1] != ring[i-1][1] {
			return nil, t.fault(at, "runs along the 180° meridian, where the water seems to be cut in two: draw it in one piece, its longitudes running on past 180")
		}
		p[0] = t.near(p[0])
		if n := len(out); n > 0 && out[n-1] == p {
			t.doubled++
			continue
		}
		out = append(out, p)
	}
	if len(out) > 1 && out[0] != out[len(out)-1] {
		t.closed++
		out = append(out, out[0])
	}
	return out, nil
}

// nothing says why a ring encloses nothing; empty when it does enclose something.
func nothing(r orb.Ring) string {
	if len(r) < 4 {
		return "has fewer than three corners"
	}
	if math.Abs(planar.Area(r)) < leastRing {
		return "encloses no area"
	}
	return ""
}

// position refuses what is on no map, and says what the mistake may be.
func (t *tidy) position(at string, p orb.Point) error {
	value := fmt.Sprintf("%v, %v", p[0], p[1])
	fault := func(problem string) error {
		return &text.Fault{File: t.file, Field: at, Value: value, Problem: problem}
	}
	switch {
	case math.Abs(p[1]) > 90 && math.Abs(p[1]) <= 180 && math.Abs(p[0]) <= 90:
		return fault("has a latitude over 90: longitude and latitude seem to be swapped; GeoJSON has longitude first")
	case math.Abs(p[1]) > 90 || math.Abs(p[0]) > 360:
		return fault("is out of range: longitude is -180 to 180, latitude -90 to 90, in degrees; metres on a map must be converted first")
	case math.Abs(p[1]) > greatestLat:
		return fault(fmt.Sprintf("lies beyond latitude %v, too near the pole for a plane in metres", greatestLat))
	}
	return nil
}

// near brings a longitude within half a turn of the first one in the file.
func (t *tidy) near(lon float64) float64 {
	if !t.anchored {
		t.anchor, t.anchored = lon, true
	}
	if math.Abs(lon-t.anchor) > 180 {
		t.wrapped = true
		lon = t.anchor + math.Remainder(lon-t.anchor, 360)
	}
	return lon
}

// share is how much of a ring lies in the water of a polygon or touches it, by
// up to fifty of its corners: 0 to 1.
func share(ring orb.Ring, p orb.Polygon) float64 {
	water := orb.MultiPolygon{p}
	in, of := 0.0, 0.0
	for i := 0; i < len(ring); i += 1 + len(ring)/50 {
		if of++; grid.Contains(water, ring[i]) || grid.ToEdge(water, ring[i]) <= touch {
			in++
		}
	}
	return in / of
}

func turned(r orb.Ring) orb.Ring {
	r = slices.Clone(r)
	if r.Orientation() != orb.CW {
		r.Reverse()
	}
	return r
}

// uncross cuts small loops off rings that cross themselves, as lines drawn or
// simplified by a program often do, and refuses every other crossing.
func (t *tidy) uncross(basins []basin) error {
	cut, lost := 0, 0.0
	for {
		x, found := crossing(basins)
		if !found {
			break
		}
		if x.a.of != x.b.of {
			a, b := basins[min(x.a.of, x.b.of)].where, basins[max(x.a.of, x.b.of)].where
			return t.fault(a, fmt.Sprintf("crosses %s near %.6f, %.6f: waters must lie beside or within each other", b, x.at[0], x.at[1]))
		}
		b := basins[x.a.of]
		ring := b.polygon[x.a.ring]
		i, j := min(x.a.end, x.b.end), max(x.a.end, x.b.end)
		loop := append(append(orb.Ring{x.at}, ring[i:j]...), x.at)
		rest := append(append(slices.Clone(ring[:i]), x.at), ring[j:]...)
		small, large := math.Abs(planar.Area(loop)), math.Abs(planar.Area(rest))
		if large < small {
			loop, rest, small, large = rest, loop, large, small
		}
		if x.a.ring != x.b.ring || small > smallLoop*large || cut == mostLoops {
			return t.fault(b.where, fmt.Sprintf("has shores that cross near %.6f, %.6f: draw shore and islands so that they never cross", x.at[0], x.at[1]))
		}
		b.polygon[x.a.ring] = rest
		cut++
		lost += small * 111e3 * 111e3 * math.Cos(x.at[1]*math.Pi/180)
	}
	if cut > 0 {
		t.remark("small loops where a shore crossed itself, and were cut off: %d, %.0f m² in all", cut, lost)
	}
	return nil
}

// shoreEdge is an edge of a ring of a basin.
type shoreEdge struct {
	p, q     orb.Point // west to east
	of, ring int
	end      int // index in the ring of the edge's second corner
}

// cross is a place where two edges cross.
type cross struct {
	a, b shoreEdge
	at   orb.Point
}

// crossing finds two edges that cross, by sweeping from west to east over the
// edges of all rings. Edges that only touch do not cross.
func crossing(basins []basin) (x cross, found bool) {
	var edges []shoreEdge
	for i, basin := range basins {
		for k, ring := range basin.polygon {
			for e := 1; e < len(ring); e++ {
				p, q := ring[e-1], ring[e]
				if p[0] > q[0] {
					p, q = q, p
				}
				edges = append(edges, shoreEdge{p, q, i, k, e})
			}
		}
	}
	slices.SortStableFunc(edges, func(a, b shoreEdge) int { return cmp.Compare(a.p[0], b.p[0]) })
	var open []shoreEdge
	for _, e := range edges {
		kept := open[:0]
		for _, f := range open {
			if f.q[0] < e.p[0] {
				continue
			}
			kept = append(kept, f)
			if max(e.p[1], e.q[1]) < min(f.p[1], f.q[1]) || max(f.p[1], f.q[1]) < min(e.p[1], e.q[1]) {
				continue
			}
			d1, d2, d3, d4 := aside(e.p, e.q, f.p), aside(e.p, e.q, f.q), aside(f.p, f.q, e.p), aside(f.p, f.q, e.q)
			if apart(d1, d2) && apart(d3, d4) {
				s := d3 / (d3 - d4)
				return cross{e, f, orb.Point{e.p[0] + s*(e.q[0]-e.p[0]), e.p[1] + s*(e.q[1]-e.p[1])}}, true
			}
		}
		open = append(kept, e)
	}
	return x, false
}

// aside is how far r lies left of the line from p to q. [deg]
func aside(p, q, r orb.Point) float64 {
	dx, dy := q[0]-p[0], q[1]-p[1]
	return (dx*(r[1]-p[1]) - dy*(r[0]-p[0])) / math.Hypot(dx, dy)
}

func apart(a, b float64) bool { return a > touch && b < -touch || a < -touch && b > touch }

// places checks the other features and keeps those that belong to the water.
func (t *tidy) places(o *Outline, places []Place, from []feature) error {
	near := t.shoreBound
	pad := placesWithin / 111e3 // [deg]
	padLon := pad / math.Cos(near.Center()[1]*math.Pi/180)
	far := 0
	for i, p := range places {
		shape, err := t.shape(from[i].where(), p.Shape)
		if err != nil {
			return err
		}
		p.Shape = shape
		b := shape.Bound()
		if b.IsEmpty() {
			t.remark("%s has nothing in it and was left out", from[i].where())
			continue
		}
		if b.Min[0] > near.Max[0]+padLon || b.Max[0] < near.Min[0]-padLon || b.Min[1] > near.Max[1]+pad || b.Max[1] < near.Min[1]-pad {
			if far++; far == 1 {
				t.remark("%s (%s) lies more than %.0f km from the water and was left out: are its longitude and latitude in order?", from[i].where(), cmp.Or(string(p.Kind), p.Name, "a place"), placesWithin/1000)
			}
			continue
		}
		o.Places = append(o.Places, p)
	}
	if far > 1 {
		t.remark("%d further places lie as far off and were left out", far-1)
	}
	return nil
}

// shape checks every position of a place and closes its rings.
func (t *tidy) shape(where string, shape orb.Geometry) (orb.Geometry, error) {
	line := func(points []orb.Point, least int, what string) ([]orb.Point, error) {
		out := make([]orb.Point, len(points))
		for i, p := range points {
			if err := t.position(fmt.Sprintf("%s, position %d", where, i+1), p); err != nil {
				return nil, err
			}
			out[i] = orb.Point{t.near(p[0]), p[1]}
		}
		if len(out) < least {
			return nil, t.fault(where, fmt.Sprintf("is a %s of %d positions: it needs %d", what, len(out), least))
		}
		return out, nil
	}
	polygon := func(p orb.Polygon) (orb.Polygon, error) {
		out := make(orb.Polygon, len(p))
		for k, ring := range p {
			r, err := line(ring, 3, "ring")
			if err != nil {
				return nil, err
			}
			if r[0] != r[len(r)-1] {
				r = append(r, r[0])
			}
			if len(r) < 4 {
				return nil, t.fault(where, "is a ring with fewer than three corners")
			}
			out[k] = r
		}
		return out, nil
	}
	switch s := shape.(type) {
	case orb.Point:
		l, err := line([]orb.Point{s}, 1, "point")
		if err != nil {
			return nil, err
		}
		return l[0], nil
	case orb.MultiPoint:
		l, err := line(s, 0, "list of points")
		return orb.MultiPoint(l), err
	case orb.LineString:
		l, err := line(s, 2, "line")
		return orb.LineString(l), err
	case orb.MultiLineString:
		out := make(orb.MultiLineString, len(s))
		for k, one := range s {
			l, err := line(one, 2, "line")
			if err != nil {
				return nil, err
			}
			out[k] = l
		}
		return out, nil
	case orb.Polygon:
		return polygon(s)
	case orb.MultiPolygon:
		out := make(orb.MultiPolygon, len(s))
		for k, one := range s {
			p, err := polygon(one)
			if err != nil {
				return nil, err
			}
			out[k] = p
		}
		return out, nil
	case orb.Collection:
		out := make(orb.Collection, len(s))
		for k, one := range s {
			g, err := t.shape(where, one)
			if err != nil {
				return nil, err
			}
			out[k] = g
		}
		return out, nil
	}
	panic(fmt.Sprintf("water: %T out of a GeoJSON file", shape))
}

// Centre is the middle of the outline's bound.
func (o *Outline) Centre() geodesy.Position {
	c := o.Shore.Bound().Center()
	return geodesy.Position{LonDeg: math.Remainder(c[0], 360), LatDeg: c[1]}
}

// On lays the outline on a plane: its shore and places in metres.
func (o *Outline) On(plane geodesy.Plane) (shore orb.MultiPolygon, places []Place) {
	onto := func(p orb.Point) orb.Point {
		x, y := plane.XY(geodesy.Position{LonDeg: p[0], LatDeg: p[1]})
		return orb.Point{x, y}
	}
	shore = projected(o.Shore, onto).(orb.MultiPolygon)
	for _, p := range o.Places {
		p.Shape = projected(p.Shape, onto)
		places = append(places, p)
	}
	return shore, places
}

// projected is a copy of a geometry with every point moved.
func projected(shape orb.Geometry, onto func(orb.Point) orb.Point) orb.Geometry {
	points := func(in []orb.Point) []orb.Point {
		out := make([]orb.Point, len(in))
		for i, p := range in {
			out[i] = onto(p)
		}
		return out
	}
	polygon := func(in orb.Polygon) orb.Polygon {
		out := make(orb.Polygon, len(in))
		for i, r := range in {
			out[i] = points(r)
		}
		return out
	}
	switch s := shape.(type) {
	case orb.Point:
		return onto(s)
	case orb.MultiPoint:
		return orb.MultiPoint(points(s))
	case orb.LineString:
		return orb.LineString(points(s))
	case orb.MultiLineString:
		out := make(orb.MultiLineString, len(s))
		for i, l := range s {
			out[i] = points(l)
		}
		return out
	case orb.Polygon:
		return polygon(s)
	case orb.MultiPolygon:
		out := make(orb.MultiPolygon, len(s))
		for i, p := range s {
			out[i] = polygon(p)
		}
		return out
	case orb.Collection:
		out := make(orb.Collection, len(s))
		for i, g := range s {
			out[i] = projected(g, onto)
		}
		return out
	}
	panic(fmt.Sprintf("water: %T out of a GeoJSON file", shape))
}

// Fetch is how far the water reaches from a place toward where each wind comes
// from: the exact distance to the first shore, islands included, on the plane
// whose origin is the place. [m] ok is false when the place is not on the water.
func (o *Outline) Fetch(at geodesy.Position, from []quantity.From) (fetch []float64, ok bool) {
	shore, _ := (&Outline{Shore: o.Shore}).On(geodesy.NewPlane(at))
	if !grid.Contains(shore, orb.Point{}) {
		return nil, false
	}
	fetch = make([]float64, len(from))
	for i, f := range from {
		fetch[i] = grid.Ray(shore, orb.Point{}, float64(f))
	}
	return fetch, true
}
