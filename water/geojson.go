package water

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"windlane/internal/text"
)

// GeoJSON as RFC 7946 has it: a FeatureCollection, a Feature or a bare geometry,
// longitude first, WGS 84. Third and further numbers of a position are read
// over, foreign members ignored. Only what makes a file unreadable is refused
// here; whether rings make sense is decided in outline.go.

// feature is one Feature, or a bare geometry, of a GeoJSON text.
type feature struct {
	number     int          // from 1; 0 for a bare geometry
	shape      orb.Geometry // nil where the geometry is null
	properties map[string]any
}

// where names the feature to a person.
func (f feature) where() string {
	if f.number == 0 {
		return "geometry"
	}
	return fmt.Sprintf("feature %d", f.number)
}

type object struct {
	Type        string            `json:"type"`
	Name        json.RawMessage   `json:"name"`
	CRS         json.RawMessage   `json:"crs"`
	Features    []json.RawMessage `json:"features"`
	Geometry    json.RawMessage   `json:"geometry"`
	Properties  json.RawMessage   `json:"properties"`
	Coordinates json.RawMessage   `json:"coordinates"`
	Geometries  []json.RawMessage `json:"geometries"`
}

// decodeGeoJSON gives the features in order, and the collection's own name.
func decodeGeoJSON(file string, b []byte) (features []feature, name string, err error) {
	var top object
	if err := unmarshal(file, b, &top); err != nil {
		return nil, "", err
	}
	if err := checkCRS(file, top.CRS); err != nil {
		return nil, "", err
	}
	_ = json.Unmarshal(top.Name, &name) // foreign member: anything but a string is none
	switch top.Type {
	case "FeatureCollection":
		for i, raw := range top.Features {
			f, err := decodeFeature(file, i+1, raw)
			if err != nil {
				return nil, "", err
			}
			features = append(features, f)
		}
		return features, name, nil
	case "Feature":
		f, err := decodeFeature(file, 1, b)
		return []feature{f}, name, err
	}
	shape, err := decodeShape(file, "geometry", b, 0)
	return []feature{{shape: shape}}, name, err
}

func decodeFeature(file string, number int, raw json.RawMessage) (feature, error) {
	f := feature{number: number}
	var o object
	if err := unmarshal(file, raw, &o); err != nil {
		return f, within(err, f.where())
	}
	if o.Type != "Feature" {
		return f, &text.Fault{File: file, Field: f.where() + ", type", Value: o.Type, Problem: "is not Feature, the only thing a FeatureCollection may list"}
	}
	if !empty(o.Properties) {
		if err := unmarshal(file, o.Properties, &f.properties); err != nil {
			return f, within(err, f.where()+", properties")
		}
	}
	if empty(o.Geometry) {
		return f, nil
	}
	var err error
	f.shape, err = decodeShape(file, f.where(), o.Geometry, 0)
	return f, err
}

// decodeShape reads a geometry object. A collection may hold collections, a few deep.
func decodeShape(file, where string, raw json.RawMessage, depth int) (orb.Geometry, error) {
	var o object
	if err := unmarshal(file, raw, &o); err != nil {
		return nil, within(err, where)
	}
	fault := func(problem string) error {
		return &text.Fault{File: file, Field: where, Value: o.Type, Problem: problem}
	}
	if o.Type == "GeometryCollection" {
		if depth > 3 {
			return nil, fault("holds collections in collections: write them out flat")
		}
		shapes := orb.Collection{}
		for _, g := range o.Geometries {
			shape, err := decodeShape(file, where, g, depth+1)
			if err != nil {
				return nil, err
			}
			shapes = append(shapes, shape)
		}
		return shapes, nil
	}
	if o.Type == "" {
		return nil, fault("has no type: GeoJSON (RFC 7946) wants FeatureCollection, Feature or a geometry such as Polygon")
	}
	c := coordinates{b: o.Coordinates}
	var shape orb.Geometry
	switch o.Type {
	case "Point":
		shape = c.point()
	case "MultiPoint":
		shape = orb.MultiPoint(list(&c, "point", (*coordinates).point))
	case "LineString":
		shape = orb.LineString(list(&c, "position", (*coordinates).point))
	case "MultiLineString":
		shape = orb.MultiLineString(list(&c, "line", func(c *coordinates) orb.LineString { return list(c, "position", (*coordinates).point) }))
	case "Polygon":
		shape = c.polygon()
	case "MultiPolygon":
		shape = orb.MultiPolygon(list(&c, "polygon", (*coordinates).polygon))
	default:
		return nil, fault("is no type of GeoJSON (RFC 7946): Point, LineString, Polygon, their Multi forms and GeometryCollection are")
	}
	if c.problem != "" {
		return nil, &text.Fault{File: file, Field: strings.Join(append([]string{where}, c.path...), ", "), Problem: c.problem}
	}
	return shape, nil
}

// coordinates reads nested arrays of numbers and remembers where it stopped.
// encoding/json would read null as 0 and needs every level twice.
type coordinates struct {
	b       []byte
	at      int
	path    []string
	problem string
}

func (c *coordinates) polygon() orb.Polygon {
	return list(c, "ring", func(c *coordinates) orb.Ring { return list(c, "position", (*coordinates).point) })
}

// list reads an array of what one reads; the name and number of the one that
// fails is put on the path.
func list[T any](c *coordinates, name string, one func(*coordinates) T) []T {
	out := []T{}
	for more := c.open("a list of " + name + "s"); more; more = c.more() {
		v := one(c)
		if c.problem != "" {
			c.path = append([]string{fmt.Sprintf("%s %d", name, len(out)+1)}, c.path...)
			return out
		}
		out = append(out, v)
	}
	return out
}

func (c *coordinates) point() orb.Point {
	var p orb.Point
	n := 0
	for more := c.open("a position [longitude, latitude]"); more; more = c.more() {
		start := c.at
		for c.at < len(c.b) && strings.IndexByte("+-.0123456789eE", c.b[c.at]) >= 0 {
			c.at++
		}
		v, err := strconv.ParseFloat(string(c.b[start:c.at]), 64)
		if err != nil || math.IsInf(v, 0) {
			c.problem = "is not two finite numbers: longitude, then latitude"
			return p
		}
		if n < 2 {
			p[n] = v
		}
		n++
	}
	if c.problem == "" && n < 2 {
		c.problem = "is not two finite numbers: longitude, then latitude"
	}
	return p
}

// open steps into an array and says whether something is in it.
func (c *coordinates) open(what string) bool {
	if c.problem != "" {
		return false
	}
	if c.skip() != '[' {
		c.problem = "has no " + strings.TrimPrefix(what, "a ") + " where one belongs (coordinates)"
		return false
	}
	c.at++
	if c.skip() == ']' {
		c.at++
		return false
	}
	return true
}

// more steps over a comma, or out of the array.
func (c *coordinates) more() bool {
	if c.problem != "" {
		return false
	}
	switch c.skip() {
	case ',':
		c.at++
		c.skip()
		return true
	case ']':
		c.at++
		return false
	}
	c.problem = "holds something that is no number (coordinates)"
	return false
}

// skip passes white space and shows the next byte, 0 at the end.
func (c *coordinates) skip() byte {
	for c.at < len(c.b) {
		if b := c.b[c.at]; b != ' ' && b != '\n' && b != '\r' && b != '\t' {
			return b
		}
		c.at++
	}
	return 0
}

// checkCRS accepts the old "crs" member where it says what RFC 7946 says anyway.
func checkCRS(file string, raw json.RawMessage) error {
	if empty(raw) || bytes.Contains(raw, []byte("CRS84")) || bytes.Contains(raw, []byte("4326")) {
		return nil
	}
	return &text.Fault{File: file, Field: "crs", Value: string(raw), Problem: "is another reference system than WGS 84: save the file again in longitude and latitude (EPSG:4326)"}
}

func empty(raw json.RawMessage) bool { return len(raw) == 0 || string(raw) == "null" }

// unmarshal turns the decoder's errors into Faults with a line.
func unmarshal(file string, b []byte, into any) error {
	err := json.Unmarshal(b, into)
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &syntax):
		upTo := b[:min(int(syntax.Offset), len(b))]
		return &text.Fault{File: file, Line: 1 + bytes.Count(upTo, []byte{'\n'}), Problem: "is not JSON: " + syntax.Error()}
	case errors.As(err, &kind):
		return &text.Fault{File: file, Field: kind.Field, Value: kind.Value, Problem: "is not what GeoJSON (RFC 7946) has here"}
	}
	return &text.Fault{File: file, Problem: "is not JSON: " + err.Error()}
}

// within puts a place in front of a Fault's field.
func within(err error, where string) error {
	var f *text.Fault
	if errors.As(err, &f) {
		moved := *f
		moved.Field = strings.TrimSuffix(where+", "+f.Field, ", ")
		return &moved
	}
	return err
}

// EncodeShape writes a geometry as GeoJSON, numbers as short as they stay exact.
// A geometry of a type that GeoJSON lacks panics.
func EncodeShape(shape orb.Geometry) json.RawMessage {
	var b []byte
	switch s := shape.(type) {
	case orb.Collection:
		b = append(b, `{"type":"GeometryCollection","geometries":[`...)
		for i, g := range s {
			if i > 0 {
				b = append(b, ',')
			}
			b = append(b, EncodeShape(g)...)
		}
		return append(b, "]}"...)
	case orb.Point, orb.MultiPoint, orb.LineString, orb.MultiLineString, orb.Polygon, orb.MultiPolygon:
		b = fmt.Appendf(b, `{"type":%q,"coordinates":`, shape.GeoJSONType())
		return append(appendCoordinates(b, shape), '}')
	}
	panic(fmt.Sprintf("water: %T is no GeoJSON geometry", shape))
}

func appendCoordinates(b []byte, shape orb.Geometry) []byte {
	switch s := shape.(type) {
	case orb.Point:
		b = strconv.AppendFloat(append(b, '['), s[0], 'f', -1, 64)
		return append(strconv.AppendFloat(append(b, ','), s[1], 'f', -1, 64), ']')
	case orb.MultiPoint:
		return appendList(b, s)
	case orb.LineString:
		return appendList(b, s)
	case orb.Ring:
		return appendList(b, s)
	case orb.MultiLineString:
		return appendList(b, s)
	case orb.Polygon:
		return appendList(b, s)
	case orb.MultiPolygon:
		return appendList(b, s)
	}
	panic(fmt.Sprintf("water: %T has no coordinates", shape))
}

func appendList[T orb.Geometry](b []byte, items []T) []byte {
	b = append(b, '[')
	for i, item := range items {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendCoordinates(b, item)
	}
	return append(b, ']')
}
