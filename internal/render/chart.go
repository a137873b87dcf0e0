package render

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"windlane/brief"
	"windlane/geodesy"
)

// The day's drifts for a chart plotter or a phone's map: GPX 1.1 and GeoJSON
// (RFC 7946), in degrees on WGS 84 with six decimals (0.1 m). What nobody knows
// is left out; a day without drifts is a file without any.

// errNowhere: the drifts are metres on a plane, and the brief must say where it lies.
var errNowhere = errors.New("render: the brief does not say where on the earth its lake lies")

// charted is what both files are made from.
type charted struct {
	brief brief.Brief
	plane geodesy.Plane
}

func chartOf(b brief.Brief) (charted, error) {
	b = tame(b)
	at := geodesy.Position{LonDeg: b.Lake.Origin[0], LatDeg: b.Lake.Origin[1]}
	if !at.Valid() || at == (geodesy.Position{}) {
		return charted{}, errNowhere
	}
	return charted{b, geodesy.NewPlane(at)}, nil
}

// lonLat is a place in degrees, longitude first; false where it is not known.
func (c charted) lonLat(p brief.Point) ([2]float64, bool) {
	if !finite(p.X) || !finite(p.Y) {
		return [2]float64{}, false
	}
	at := c.plane.Position(p.X, p.Y)
	six := func(v float64) float64 { return math.Round(v*1e6) / 1e6 }
	lon := six(at.LonDeg)
	if lon == 180 { // GPX stops short of it
		lon = -180
	}
	return [2]float64{lon, six(at.LatDeg)}, true
}

// line is a way in degrees without places that are not known or said twice running.
func (c charted) line(ps []brief.Point) [][2]float64 {
	out := [][2]float64{}
	for _, p := range ps {
		if at, ok := c.lonLat(p); ok && (len(out) == 0 || out[len(out)-1] != at) {
			out = append(out, at)
		}
	}
	return out
}

func trackOf(d brief.Drift) []brief.Point {
	out := make([]brief.Point, len(d.Track))
	for i, s := range d.Track {
		out[i] = s.At
	}
	return out
}

// minute is the clock at a minute of a drift, to the second.
func minute(d brief.Drift, m float64) time.Time {
	if !finite(m) {
		return d.Start
	}
	return d.Start.Add(time.Duration(math.Round(m*60)) * time.Second)
}

// The names that a plotter shows: short, with the clock.
func startName(d brief.Drift) string { return whole(float64(d.Number)) + " start " + clock(d.Start) }
func liftName(d brief.Drift) string {
	return whole(float64(d.Number)) + " lift " + clock(minute(d, d.Minutes))
}
func driftName(d brief.Drift) string {
	return "Drift " + whole(float64(d.Number)) + ", " + clock(d.Start) + " to " + clock(minute(d, d.Minutes))
}
func rideName(d brief.Drift) string {
	return "Motor to drift " + whole(float64(d.Number)) + ", " + whole(math.Max(1, d.Motor)) + " min"
}

const homeName = "Motor home"

// startWords are what to do at a start.
func startWords(b brief.Brief, d brief.Drift) string {
	bold, rest := driftLine(b, d)
	words := bold + ", " + rest + "."
	if d.StartAt != "" {
		words = sentence("Start "+d.StartAt) + " " + words
	}
	if name := setUpName(b, d); name != "" {
		words += " Fish " + sentence(name)
	}
	return words
}

// passWords are what a drift goes by, minute by minute, and why it is taken.
func passWords(d brief.Drift) string {
	var parts []string
	for _, p := range d.Passes {
		parts = append(parts, capital(minutes(p))+": "+sentence(p.What))
	}
	return strings.Join(append(parts, filled(d.Why, d.Next, d.Change)...), " ")
}

// GPX writes the day's drifts as GPX 1.1: a waypoint where each starts and where
// to lift, a route each that leads there under motor and on down the drift, a
// track each with the clock at every minute, and the ride home. Times are UTC, as
// GPX has them; names carry the lake's own clock. The error is the writer's, or
// says that the brief's lake lies nowhere.
func GPX(w io.Writer, b brief.Brief) error {
	c, err := chartOf(b)
	if err != nil {
		return err
	}
	b = c.brief
	g := gpx{Version: "1.1", Creator: "windlane", Space: "http://www.topografix.com/GPX/1/1",
		Metadata: gpxMetadata{Name: plain("Day plan: " + title(b)), Desc: plain(strings.Join(filled(b.Headline, b.First), " "))}}
	for _, d := range b.Drifts {
		var trk gpxTrack
		trk.Name, trk.Desc, trk.Number, trk.Type = driftName(d), plain(startWords(b, d)+" "+passWords(d)), d.Number, "drift"
		for _, s := range d.Track {
			if at, ok := c.lonLat(s.At); ok {
				p := gpxAt(at)
				p.Time = utc(minute(d, s.Minute))
				trk.Points = append(trk.Points, p)
			}
		}
		if len(trk.Points) == 0 {
			continue
		}
		from, to := trk.Points[0], trk.Points[len(trk.Points)-1]
		from.Name, from.Desc, from.Type = startName(d), plain(startWords(b, d)), "start"
		to.Name, to.Desc, to.Type = liftName(d), plain(d.End), "lift"
		g.Points = append(g.Points, from, to)
		g.Tracks = append(g.Tracks, trk)

		rte := gpxRoute{Name: driftName(d), Desc: plain(passWords(d)), Number: d.Number, Type: "drift"}
		for _, at := range c.line(d.Ride) {
			if p := gpxAt(at); p.Lon != from.Lon || p.Lat != from.Lat {
				rte.Points = append(rte.Points, p)
			}
		}
		rte.Points = append(rte.Points, from)
		for i, s := range d.Track { // between start and end, each five minutes
			if at, ok := c.lonLat(s.At); ok && i > 0 && i < len(d.Track)-1 && math.Mod(s.Minute, 5) < 1e-9 {
				p := gpxAt(at)
				p.Time, p.Name = utc(minute(d, s.Minute)), whole(float64(d.Number))+" at "+clock(minute(d, s.Minute))
				rte.Points = append(rte.Points, p)
			}
		}
		if len(trk.Points) > 1 {
			rte.Points = append(rte.Points, to)
		}
		g.Routes = append(g.Routes, rte)
	}
	if home := c.line(b.RideHome); len(home) > 1 {
		rte := gpxRoute{Name: homeName, Desc: plain(b.Turn), Number: len(b.Drifts) + 1, Type: "ride"}
		for _, at := range home {
			rte.Points = append(rte.Points, gpxAt(at))
		}
		g.Routes = append(g.Routes, rte)
	}
	out, err := xml.MarshalIndent(g, "", " ")
	if err != nil {
		return err
	}
	_, err = w.Write(append([]byte(xml.Header), append(out, '\n')...))
	return err
}

func gpxAt(at [2]float64) gpxPoint { return gpxPoint{Lon: degrees(at[0]), Lat: degrees(at[1])} }

func utc(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// GPX 1.1 as far as it is written here. The schema is a sequence: the fields
// stand in its order, and a test holds them to it.
type gpx struct {
	XMLName  xml.Name    `xml:"gpx"`
	Version  string      `xml:"version,attr"`
	Creator  string      `xml:"creator,attr"`
	Space    string      `xml:"xmlns,attr"`
	Metadata gpxMetadata `xml:"metadata"`
	Points   []gpxPoint  `xml:"wpt"`
	Routes   []gpxRoute  `xml:"rte"`
	Tracks   []gpxTrack  `xml:"trk"`
}

type gpxMetadata struct {
	Name string `xml:"name"`
	Desc string `xml:"desc,omitempty"`
}

type gpxPoint struct {
	Lat  degrees `xml:"lat,attr"`
	Lon  degrees `xml:"lon,attr"`
	Time string  `xml:"time,omitempty"`
	Name string  `xml:"name,omitempty"`
	Desc string  `xml:"desc,omitempty"`
	Type string  `xml:"type,omitempty"`
}

// degrees are written as a decimal: the schema knows no exponent.
type degrees float64

func (v degrees) MarshalXMLAttr(name xml.Name) (xml.Attr, error) {
	return xml.Attr{Name: name, Value: strconv.FormatFloat(float64(v), 'f', 6, 64)}, nil
}

type gpxRoute struct {
	Name   string     `xml:"name"`
	Desc   string     `xml:"desc,omitempty"`
	Number int        `xml:"number"`
	Type   string     `xml:"type"`
	Points []gpxPoint `xml:"rtept"`
}

type gpxTrack struct {
	Name   string     `xml:"name"`
	Desc   string     `xml:"desc,omitempty"`
	Number int        `xml:"number"`
	Type   string     `xml:"type"`
	Points []gpxPoint `xml:"trkseg>trkpt"`
}

// GeoJSON writes the day's drifts as a feature collection of RFC 7946: for each
// drift its spread (a polygon), its way, where it starts and where to lift, and
// the ride to it; and the ride home. The kind of a feature says which it is.
// Errors are GPX's.
func GeoJSON(w io.Writer, b brief.Brief) error {
	c, err := chartOf(b)
	if err != nil {
		return err
	}
	b = c.brief
	all := collection{Type: "FeatureCollection", Name: plain(title(b)), Features: []feature{}}
	add := func(p properties, kind string, coordinates any) {
		p.Desc = plain(p.Desc)
		all.Features = append(all.Features, feature{"Feature", p, geometry{kind, coordinates}})
	}
	for _, d := range b.Drifts {
		from, until := utc(d.Start), utc(minute(d, d.Minutes))
		if ride := c.line(d.Ride); len(ride) > 1 {
			add(properties{Kind: "ride", Number: d.Number, Name: rideName(d), Until: from}, "LineString", ride)
		}
		if ring := c.fan(d.Fan); ring != nil {
			add(properties{Kind: "spread", Number: d.Number, Name: "Spread of drift " + whole(float64(d.Number)),
				Desc: "Of ten winds that the forecast allows, eight keep the boat within it.", From: from, Until: until}, "Polygon", [][][2]float64{ring})
		}
		way := c.line(trackOf(d))
		if len(way) == 0 {
			continue
		}
		if len(way) > 1 {
			add(properties{Kind: "drift", Number: d.Number, Name: driftName(d), Desc: startWords(b, d) + " " + passWords(d), From: from, Until: until}, "LineString", way)
		}
		add(properties{Kind: "start", Number: d.Number, Name: startName(d), Desc: startWords(b, d), From: from}, "Point", way[0])
		add(properties{Kind: "lift", Number: d.Number, Name: liftName(d), Desc: d.End, Until: until}, "Point", way[len(way)-1])
	}
	if home := c.line(b.RideHome); len(home) > 1 {
		add(properties{Kind: "ride", Name: homeName, Desc: b.Turn}, "LineString", home)
	}
	return json.NewEncoder(w).Encode(all)
}

// fan is the ring round where a boat may go, counter-clockwise as RFC 7946 has
// outer rings; nil where there is no area.
func (c charted) fan(edges [][]brief.Point) [][2]float64 {
	if len(edges) != 2 {
		return nil
	}
	ring := append([]brief.Point{}, edges[0]...)
	for i := len(edges[1]) - 1; i >= 0; i-- {
		ring = append(ring, edges[1][i])
	}
	out := c.line(ring)
	if len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	if len(out) < 3 {
		return nil
	}
	twice := 0.0 // the area, in degrees from the first corner: small differences
	for i := 1; i+1 < len(out); i++ {
		a, b := out[i], out[i+1]
		twice += (a[0]-out[0][0])*(b[1]-out[0][1]) - (b[0]-out[0][0])*(a[1]-out[0][1])
	}
	if twice < 0 {
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return append(out, out[0])
}

type collection struct {
	Type     string    `json:"type"`
	Name     string    `json:"name"`
	Features []feature `json:"features"`
}

type feature struct {
	Type       string     `json:"type"`
	Properties properties `json:"properties"`
	Geometry   geometry   `json:"geometry"`
}

type properties struct {
	Kind   string `json:"kind"`             // start, lift, drift, spread, ride
	Number int    `json:"number,omitempty"` // of the drift
	Name   string `json:"name"`
	Desc   string `json:"desc,omitempty"`
	From   string `json:"from_utc,omitempty"`
	Until  string `json:"until_utc,omitempty"`
}

type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}
