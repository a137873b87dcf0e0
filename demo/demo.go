// Package demo is an invented day on an invented lake, as the files that a
// person would bring: nothing in it is a real water, and it lies in open ocean
// so that nobody takes it for one.
//
// The files are made in memory, the same bytes on every machine: coordinates and
// depths are rounded as they are written. demo may touch nothing else in the
// module, so that it brings files as anybody would.
package demo

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"sync"
)

// Name is the name of the lake.
const Name = "Osmerley Water"

// File is one file of the day.
type File struct {
	Name string
	What string // what is in it, a few words
	Data []byte
}

// The names of the files.
const (
	OutlineFile   = "osmerley.geojson"
	SoundingsFile = "osmerley-soundings.csv"
	ForecastFile  = "forecast.csv"
	TAFFile       = "taf.txt"
	BagFile       = "bag.toml"
	ProfileFile   = "profile.csv"
	DayFile       = "day.toml"
	LogFile       = "sounder.nmea"
	WayFile       = "way.gpx"
)

// files makes them all, once.
var files = sync.OnceValue(func() []File {
	l := newLake()
	return []File{
		{OutlineFile, "the lake's outline, islands and places", l.outline()},
		{SoundingsFile, "depths that a boat sounded", l.soundings()},
		{ForecastFile, "the weather by the hour", []byte(forecastCSV)},
		{TAFFile, "the same day as an aerodrome forecast", []byte(tafText)},
		{BagFile, "the tackle, the boat and its drogues", []byte(bagTOML)},
		{ProfileFile, "water temperature by depth", []byte(profileCSV)},
		{DayFile, "the date, the hours, what is seen and told", []byte(dayTOML)},
		{LogFile, "a sounder's log, to add to the survey", l.log()},
		{WayFile, "the boat's way that morning, the big sheet out", l.way()},
	}
})

// Files are the files of the day. What they hold may be changed by the caller.
func Files() []File {
	out := make([]File, 0, len(files()))
	for _, f := range files() {
		f.Data = bytes.Clone(f.Data)
		out = append(out, f)
	}
	return out
}

// Open reads one of the files; ok is false when there is none of the name.
func Open(name string) (r *bytes.Reader, ok bool) {
	for _, f := range files() {
		if f.Name == name {
			return bytes.NewReader(f.Data), true
		}
	}
	return nil, false
}

// degrees writes a point as longitude and latitude, to a tenth of a metre.
func degrees(p point) (lon, lat string) {
	round := func(v float64) string { return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', 6, 64) }
	return round(originLon + p.x/perLon), round(originLat + p.y/perLat)
}

// geojson writes features one to a line.
type geojson struct {
	bytes.Buffer
	features int
}

// add writes a feature; more is further properties, each with its comma before.
func (g *geojson) add(kind, name, more, geometry string, parts ...[]point) {
	if g.features++; g.features > 1 {
		g.WriteString(",\n")
	}
	fmt.Fprintf(g, `{"type":"Feature","properties":{"kind":%q`, kind)
	if name != "" {
		fmt.Fprintf(g, `,"name":%q`, name)
	}
	fmt.Fprintf(g, `%s},"geometry":{"type":%q,"coordinates":`, more, geometry)
	switch geometry {
	case "Point":
		g.position(parts[0][0])
	case "LineString":
		g.line(parts[0])
	default:
		g.WriteByte('[')
		for i, ring := range parts {
			if i > 0 {
				g.WriteByte(',')
			}
			if ring[0] != ring[len(ring)-1] {
				ring = append(ring[:len(ring):len(ring)], ring[0])
			}
			g.line(ring)
		}
		g.WriteByte(']')
	}
	g.WriteString("}}")
}

func (g *geojson) position(p point) {
	lon, lat := degrees(p)
	fmt.Fprintf(g, "[%s,%s]", lon, lat)
}

func (g *geojson) line(line []point) {
	g.WriteByte('[')
	for i, p := range line {
		if i > 0 {
			g.WriteByte(',')
		}
		g.position(p)
	}
	g.WriteByte(']')
}

func (l *lake) outline() []byte {
	g := &geojson{}
	fmt.Fprintf(g, "{\"type\":\"FeatureCollection\",\"name\":%q,\"features\":[\n", Name)
	g.add("shoreline", Name, "", "Polygon", append([][]point{l.shore}, l.islands...)...)
	g.add("dam", "the dam", "", "LineString", []point{damNorth, damSouth})
	g.add("no_go", "dam water", "", "Polygon", append([]point{damSouth, damNorth}, reversed(damKeepOff)...))
	g.add("buoy_line", "dam buoys", `,"keep_off_m":20`, "LineString", damKeepOff)
	g.add("no_go", "the reserve", `,"motor":false,"drift":false`, "Polygon", reserve)
	g.add("jetty", "the jetty", `,"keep_off_m":40`, "Point", []point{jetty})
	g.add("inflow", "the brook", "", "Point", []point{streams[0].bed[0]})
	g.add("inflow", "the rill", "", "Point", []point{streams[1].bed[0]})
	g.add("stream_bed", "the brook's old bed", "", "LineString", streams[0].bed)
	g.add("stream_bed", "the rill's old bed", "", "LineString", streams[1].bed)
	g.add("causeway", "the drowned lane", "", "LineString", causeway)
	for i, h := range hedgeLines {
		g.add("hedge_line", fmt.Sprintf("hedge %d", i+1), "", "LineString", h)
	}
	g.add("shelf", "the shelf", `,"depth_min_m":2,"depth_max_m":3`, "Polygon", shelfRing)
	g.add("drop_off", "the shelf's edge", `,"depth_min_m":3,"depth_max_m":8`, "LineString", shelfRing[4*4:])
	g.add("sunken_island", "the hump", fmt.Sprintf(`,"radius_m":%g,"top_depth_m":%g`, sunkenRadius, sunkenTop), "Point", []point{sunkenIsland})
	for i, w := range weedBeds {
		g.add("weed_bed", []string{"head weed", "arm weed", "bay weed"}[i], "", "Polygon", w)
	}
	for i, a := range aerators {
		g.add("aerator", fmt.Sprintf("aerator %d", i+1), `,"radius_m":25,"keep_off_m":15`, "Point", []point{a})
	}
	g.add("rock", "tip of the long island", `,"keep_off_m":15`, "Point", []point{{-300, 322}})
	g.add("bank_angler", "south bank stand", `,"keep_off_m":50`, "LineString", l.shore[len(l.shore)-60:len(l.shore)-20])
	g.WriteString("\n]}\n")
	return g.Bytes()
}

func reversed(line []point) []point {
	out := make([]point, 0, len(line))
	for i := len(line) - 1; i >= 0; i-- {
		out = append(out, line[i])
	}
	return out
}

func (l *lake) soundings() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s, sounded from a boat in September, water %.1f m under full\n", Name, -surveyLevel)
	b.WriteString("lon,lat,depth_m,track,level_m\n")
	for _, s := range l.survey() {
		lon, lat := degrees(s.at)
		fmt.Fprintf(&b, "%s,%s,%s,%d,%.1f\n", lon, lat, strconv.FormatFloat(math.Round(s.depth*100)/100, 'f', 2, 64), s.track, surveyLevel)
	}
	return b.Bytes()
}
