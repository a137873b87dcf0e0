package render

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/brief"
	"windlane/geodesy"
	reader "windlane/internal/gpx"
	"windlane/water"
)

func chartsOf(t *testing.T, b brief.Brief) (gpx, geo string) {
	t.Helper()
	var g, j bytes.Buffer
	if err := errors.Join(GPX(&g, b), GeoJSON(&j, b)); err != nil {
		t.Fatal(err)
	}
	return g.String(), j.String()
}

// GPX 1.1 by its schema (http://www.topografix.com/GPX/1/1/gpx.xsd, read in a
// stored copy): each type is an xsd:sequence, so its children stand in this order.
var gpxOrder = map[string][]string{
	"gpx":      {"metadata", "wpt", "rte", "trk", "extensions"},
	"metadata": {"name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"},
	"wpt":      {"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type", "fix", "sat", "hdop", "vdop", "pdop", "ageofdgpsdata", "dgpsid", "extensions"},
	"rte":      {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "rtept"},
	"trk":      {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"},
	"trkseg":   {"trkpt", "extensions"},
}

// The children that may come more than once.
var gpxMany = map[string]bool{"wpt": true, "rte": true, "trk": true, "rtept": true, "trkseg": true, "trkpt": true, "link": true}

var (
	xsdDecimal  = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)$`) // XML Schema 1.0 part 2, 3.2.3: no exponent
	xsdDateTime = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$`)
)

// gpxFaults reads a file as a stream of tags, knowing nothing of what wrote it,
// and counts the elements it saw.
func gpxFaults(file string) (seen map[string]int, faults []string) {
	seen = map[string]int{}
	bad := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	type open struct {
		name, last string
	}
	var stack []open
	words := ""
	in := xml.NewDecoder(strings.NewReader(file))
	for {
		token, err := in.Token()
		if err == io.EOF {
			return seen, faults
		}
		if err != nil {
			bad("%v", err)
			return seen, faults
		}
		switch e := token.(type) {
		case xml.CharData:
			words += string(e)
		case xml.StartElement:
			words = ""
			name := e.Name.Local
			seen[name]++
			if e.Name.Space != "http://www.topografix.com/GPX/1/1" {
				bad("%s is of the namespace %q", name, e.Name.Space)
			}
			attrs := map[string]string{}
			for _, a := range e.Attr {
				attrs[a.Name.Local] = a.Value
			}
			if len(stack) == 0 {
				if name != "gpx" || attrs["version"] != "1.1" || attrs["creator"] == "" {
					bad("the root is %s, version %q by %q", name, attrs["version"], attrs["creator"])
				}
			} else {
				parent := &stack[len(stack)-1]
				kind := parent.name
				if kind == "rtept" || kind == "trkpt" {
					kind = "wpt"
				}
				order := gpxOrder[kind]
				i, before := slices.Index(order, name), slices.Index(order, parent.last)
				switch {
				case i < 0:
					bad("%s in %s is unknown", name, parent.name)
				case i < before:
					bad("%s in %s after %s", name, parent.name, parent.last)
				case i == before && !gpxMany[name]:
					bad("%s in %s twice", name, parent.name)
				}
				parent.last = name
			}
			if name == "wpt" || name == "rtept" || name == "trkpt" {
				for attr, most := range map[string]float64{"lat": 90, "lon": 180} {
					v, err := strconv.ParseFloat(attrs[attr], 64)
					if err != nil || !xsdDecimal.MatchString(attrs[attr]) || math.Abs(v) > most || attr == "lon" && v == 180 {
						bad("%s has %s %q", name, attr, attrs[attr])
					}
				}
			}
			stack = append(stack, open{name: name})
		case xml.EndElement:
			switch e.Name.Local {
			case "time":
				if !xsdDateTime.MatchString(words) {
					bad("time %q", words)
				}
			case "number":
				if n, err := strconv.Atoi(words); err != nil || n < 0 {
					bad("number %q", words)
				}
			}
			stack = stack[:len(stack)-1]
		}
	}
}

func TestGPXKeepsItsSchema(t *testing.T) {
	for name, b := range edgeBriefs() {
		b.Lake.Origin = [2]float64{-0.00001, -33.5} // near the meridian, where a figure would want an exponent
		file, _ := chartsOf(t, b)
		seen, faults := gpxFaults(file)
		if len(faults) > 0 {
			t.Errorf("%s: %q", name, faults)
		}
		if n := len(b.Drifts); seen["trk"] != n || seen["wpt"] != 2*n || seen["metadata"] != 1 {
			t.Errorf("%s: %d drifts, but %v", name, n, seen)
		}
	}
	// The check itself: each of these faults is found.
	file, _ := chartsOf(t, exampleBrief())
	for from, to := range map[string]string{
		`version="1.1"`: `version="1.0"`, `creator="windlane"`: ``, `/GPX/1/1"`: `/GPX/1/0"`, ` lat="`: ` latitude="`, `lon="-`: `lon="-1e-05`,
		`<type>start</type>`: `<type>start</type><name>again</name>`, `<number>1</number>`: `<number>first</number>`, `Z</time>`: `+01:00</time>`,
	} {
		if mangled := strings.Replace(file, from, to, 1); mangled == file {
			t.Errorf("no %s in the file", from)
		} else if _, faults := gpxFaults(mangled); len(faults) == 0 {
			t.Errorf("%s for %s is not found out", to, from)
		}
	}
}

// What a plotter shows lies where the plan has it, at its hour, under its name.
func TestGPXFollowsThePlan(t *testing.T) {
	b := exampleBrief()
	file, _ := chartsOf(t, b)
	type point struct {
		Lat  float64   `xml:"lat,attr"`
		Lon  float64   `xml:"lon,attr"`
		Time time.Time `xml:"time"`
		Name string    `xml:"name"`
		Desc string    `xml:"desc"`
	}
	var got struct {
		Wpt []point `xml:"wpt"`
		Rte []struct {
			Name  string  `xml:"name"`
			Rtept []point `xml:"rtept"`
		} `xml:"rte"`
		Trk []struct {
			Name string `xml:"name"`
			Desc string `xml:"desc"`
			Seg  []struct {
				Trkpt []point `xml:"trkpt"`
			} `xml:"trkseg"`
		} `xml:"trk"`
	}
	if err := xml.Unmarshal([]byte(file), &got); err != nil {
		t.Fatal(err)
	}
	plane := geodesy.NewPlane(geodesy.Position{LonDeg: b.Lake.Origin[0], LatDeg: b.Lake.Origin[1]})
	off := func(p point, want brief.Point) float64 {
		x, y := plane.XY(geodesy.Position{LonDeg: p.Lon, LatDeg: p.Lat})
		return math.Hypot(x-want.X, y-want.Y)
	}
	if len(got.Trk) != 3 || len(got.Rte) != 4 || len(got.Wpt) != 6 {
		t.Fatalf("%d tracks, %d routes, %d waypoints", len(got.Trk), len(got.Rte), len(got.Wpt))
	}
	for i, d := range b.Drifts {
		track := got.Trk[i].Seg[0].Trkpt
		if len(track) != len(d.Track) {
			t.Fatalf("drift %d: %d points of %d", d.Number, len(track), len(d.Track))
		}
		for j, s := range d.Track {
			if o := off(track[j], s.At); o > 0.1 {
				t.Errorf("drift %d, minute %v: %.2f m off", d.Number, s.Minute, o)
			}
			if want := d.Start.Add(time.Duration(s.Minute * float64(time.Minute))); track[j].Time.Sub(want).Abs() > time.Second {
				t.Errorf("drift %d, minute %v: at %v, not %v", d.Number, s.Minute, track[j].Time, want)
			}
		}
		first, last := got.Wpt[2*i], got.Wpt[2*i+1]
		if off(first, d.Track[0].At) > 0.1 || off(last, d.Track[len(d.Track)-1].At) > 0.1 {
			t.Errorf("drift %d: its waypoints lie elsewhere", d.Number)
		}
		if !strings.Contains(first.Name, clock(d.Start)) || !strings.HasPrefix(first.Name, strconv.Itoa(d.Number)+" start") || last.Desc != d.End {
			t.Errorf("drift %d: %q, %q", d.Number, first.Name, last.Desc)
		}
		for _, p := range d.Passes {
			if !strings.Contains(got.Trk[i].Desc, p.What) {
				t.Errorf("drift %d does not say %q", d.Number, p.What)
			}
		}
		route := got.Rte[i].Rtept
		if len(d.Ride) > 0 && off(route[0], d.Ride[0]) > 0.1 {
			t.Errorf("route %d does not begin where the boat lies", i+1)
		}
		if off(route[len(route)-1], d.Track[len(d.Track)-1].At) > 0.1 {
			t.Errorf("route %d does not end where to lift", i+1)
		}
		if n := slices.IndexFunc(route, func(p point) bool { return p.Name == first.Name }); n != max(0, len(d.Ride)-1) {
			t.Errorf("route %d reaches the start at its point %d", i+1, n)
		}
	}
	// the reader of sounders' and plotters' tracks finds the same points
	kinds, minutes := map[string]int{}, 0
	if err := reader.Read("day.gpx", []byte(file), 100, func(p reader.Point) {
		kinds[p.Kind]++
		if p.Kind == "trkpt" && !p.At.IsZero() {
			minutes++
		}
	}); err != nil {
		t.Error(err)
	}
	steps := 0
	for _, d := range b.Drifts {
		steps += len(d.Track)
	}
	if kinds["wpt"] != 6 || kinds["trkpt"] != steps || minutes != steps || kinds["rtept"] < 12 {
		t.Errorf("the reader of tracks found %v, %d with their time", kinds, minutes)
	}
	if home := got.Rte[3]; home.Name != homeName || off(home.Rtept[1], b.RideHome[1]) > 0.1 {
		t.Errorf("home: %+v", home)
	}
}

// RFC 7946, read by the reader of lakes: put a shore to it and each feature is a
// place of that lake, where the plan has it.
func TestGeoJSONReadsBack(t *testing.T) {
	b := exampleBrief()
	_, file := chartsOf(t, b)
	var all map[string]any
	if err := json.Unmarshal([]byte(file), &all); err != nil {
		t.Fatal(err)
	}
	features := all["features"].([]any)
	kinds := map[string]int{}
	for _, f := range features {
		m := f.(map[string]any)
		g, p := m["geometry"].(map[string]any), m["properties"].(map[string]any)
		kinds[p["kind"].(string)]++
		if m["type"] != "Feature" || g["type"] == "" || p["name"] == "" {
			t.Errorf("%v", m)
		}
		if g["type"] != "Polygon" {
			continue
		}
		// section 3.1.6: closed, four positions or more, the outer ring counter-clockwise
		for _, r := range g["coordinates"].([]any) {
			var ring orb.Ring
			for _, at := range r.([]any) {
				pair := at.([]any)
				ring = append(ring, orb.Point{pair[0].(float64), pair[1].(float64)})
			}
			if len(ring) < 4 || !ring.Closed() || ring.Orientation() != orb.CCW {
				t.Errorf("%v: %d positions, closed %v, orientation %v", p["name"], len(ring), ring.Closed(), ring.Orientation())
			}
		}
	}
	if want := map[string]int{"spread": 3, "drift": 3, "start": 3, "lift": 3, "ride": 3}; fmt.Sprint(kinds) != fmt.Sprint(want) {
		t.Errorf("%v, not %v", kinds, want)
	}

	shore := map[string]any{"type": "Feature", "properties": map[string]any{"kind": "shoreline"},
		"geometry": map[string]any{"type": "Polygon", "coordinates": [][][2]float64{{{-30.27, 52.49}, {-30.23, 52.49}, {-30.23, 52.51}, {-30.27, 52.51}, {-30.27, 52.49}}}}}
	all["features"] = append(features, shore)
	with, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	lake, err := water.ReadOutline("day.geojson", bytes.NewReader(with))
	if err != nil {
		t.Fatal(err)
	}
	if len(lake.Places) != len(features) {
		t.Fatalf("%d of %d features came back: %q", len(lake.Places), len(features), lake.Remarks)
	}
	plane := geodesy.NewPlane(geodesy.Position{LonDeg: -30.25, LatDeg: 52.5})
	starts := 0
	for _, p := range lake.Places {
		for _, d := range b.Drifts {
			if p.Kind == "start" && p.Name == startName(d) {
				starts++
				at := p.Shape.(orb.Point)
				x, y := plane.XY(geodesy.Position{LonDeg: at[0], LatDeg: at[1]})
				if off := math.Hypot(x-d.Track[0].At.X, y-d.Track[0].At.Y); off > 0.1 {
					t.Errorf("%s: %.2f m off", p.Name, off)
				}
			}
		}
	}
	if starts != len(b.Drifts) {
		t.Errorf("%d starts of %d came back", starts, len(b.Drifts))
	}
}

// A spread drawn the other way round, and one that is none.
func TestSpreadIsARing(t *testing.T) {
	b := exampleBrief()
	b.Drifts[0].Fan[0], b.Drifts[0].Fan[1] = b.Drifts[0].Fan[1], b.Drifts[0].Fan[0]
	b.Drifts[1].Fan = nil
	b.Drifts[2].Fan = [][]brief.Point{{{X: 1, Y: 2}}, {{X: 1, Y: 2}, {X: math.NaN(), Y: 2}}}
	c, err := chartOf(b)
	if err != nil {
		t.Fatal(err)
	}
	if ring := c.fan(b.Drifts[0].Fan); len(ring) < 70 || func() bool {
		r := orb.Ring{}
		for _, p := range ring {
			r = append(r, p)
		}
		return r.Orientation() != orb.CCW
	}() {
		t.Errorf("%d positions, or the wrong way round", len(ring))
	}
	for _, d := range b.Drifts[1:] {
		if ring := c.fan(d.Fan); ring != nil {
			t.Errorf("drift %d: a ring of %d positions from nothing", d.Number, len(ring))
		}
	}
}

func TestChartsOfNowhere(t *testing.T) {
	for _, origin := range [][2]float64{{}, {math.NaN(), 1}, {181, 1}, {1, 91}} {
		b := exampleBrief()
		b.Lake.Origin = origin
		var out bytes.Buffer
		if err := GPX(&out, b); !errors.Is(err, errNowhere) || out.Len() > 0 {
			t.Errorf("GPX of %v: %v", origin, err)
		}
		if err := GeoJSON(&out, b); !errors.Is(err, errNowhere) || out.Len() > 0 {
			t.Errorf("GeoJSON of %v: %v", origin, err)
		}
	}
}
