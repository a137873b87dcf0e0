package water

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"windlane/internal/text"
)

// GPX 1.1 (the public schema of topografix.com). A depth has no element of its
// own there: it is looked for as an element named depth, of any namespace and at
// any level, in the extensions of a wpt, rtept or trkpt; metres, positive down.
// ele is a height above the sea and never taken for a depth.

// mostNested elements stand within each other in any GPX file worth reading.
const mostNested = 64

func isXML(b []byte) bool {
	return bytes.HasPrefix(bytes.TrimSpace(b[:min(len(b), 1000)]), []byte("<"))
}

// gpxReader walks through the elements of a file.
type gpxReader struct {
	name  string
	dec   *xml.Decoder
	open  []string // elements round the place where it stands
	track int32    // the next one's number
	point *gpxPoint
	found []gpxPoint
	// points without a depth
	bare int
}

type gpxPoint struct {
	fix
	depth  float64 // NaN when there is none [m]
	date   string
	track  int32
	kind   string // of element
	nested int    // how many elements are round it
}

func (how Taken) readGPX(name string, b []byte) (*Soundings, error) {
	g := &gpxReader{name: name, dec: xml.NewDecoder(bytes.NewReader(b)), track: 1}
	for {
		token, err := g.dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *xml.SyntaxError
		switch {
		case errors.As(err, &bad):
			return nil, &text.Fault{File: name, Line: bad.Line, Problem: "is not XML: " + bad.Msg}
		case err != nil:
			return nil, g.fault("", "", "is not XML: "+err.Error())
		}
		switch e := token.(type) {
		case xml.StartElement:
			err = g.start(e)
		case xml.EndElement:
			g.end()
		case xml.CharData:
			err = g.words(string(bytes.TrimSpace(e)))
		}
		if err != nil {
			return nil, err
		}
	}
	if len(g.found) == 0 {
		problem := "has no points in it: wpt, rtept and trkpt are looked for"
		if g.bare > 0 {
			problem = fmt.Sprintf("has %d points and none with a depth: it is looked for in a point's extensions, in an element named depth, in metres; ele is no depth", g.bare)
		}
		return nil, &text.Fault{File: name, Problem: problem}
	}
	if len(g.found) > mostRows {
		return nil, tooMany(name, len(g.found), mostRows)
	}
	return how.gpxSoundings(name, g), nil
}

func (g *gpxReader) fault(field, value, problem string) error {
	line, _ := g.dec.InputPos()
	return &text.Fault{File: g.name, Line: line, Field: field, Value: value, Problem: problem}
}

func (g *gpxReader) start(e xml.StartElement) error {
	name := e.Name.Local
	if len(g.open) == 0 && name != "gpx" {
		return g.fault("", name, "is XML of another kind: GPX 1.1 is read, whose first element is gpx")
	}
	g.open = append(g.open, name)
	if len(g.open) > mostNested {
		return g.fault(name, "", fmt.Sprintf("lies within more than %d others", mostNested))
	}
	switch name {
	case "trkseg", "rte":
		g.track++
	case "wpt", "rtept", "trkpt":
		if g.point != nil {
			return g.fault(name, "", "lies within another point")
		}
		p := &gpxPoint{fix: fix{t: math.NaN()}, depth: math.NaN(), kind: name, nested: len(g.open)}
		if name != "wpt" { // these are one lot, numbered 0
			p.track = g.track
		}
		for _, part := range []struct {
			name string
			into *float64
			most float64
		}{{"lat", &p.at.LatDeg, 90}, {"lon", &p.at.LonDeg, 180}} {
			said := ""
			for _, a := range e.Attr {
				if a.Name.Local == part.name {
					said = a.Value
				}
			}
			v, err := strconv.ParseFloat(strings.TrimSpace(said), 64)
			if err != nil || !(math.Abs(v) <= part.most) {
				return g.fault(name+", "+part.name, said, fmt.Sprintf("is no place: degrees from %v to %v belong here", -part.most, part.most))
			}
			*part.into = v
		}
		g.point = p
	}
	return nil
}

func (g *gpxReader) end() {
	if p := g.point; p != nil && len(g.open) == p.nested {
		if p.depth == p.depth {
			g.found = append(g.found, *p)
		} else {
			g.bare++
		}
		g.point = nil
	}
	g.open = g.open[:len(g.open)-1]
}

// words takes the text of a point's time or depth.
func (g *gpxReader) words(s string) error {
	p := g.point
	if p == nil || s == "" || len(g.open) <= p.nested {
		return nil
	}
	inside := g.open[p.nested:]
	name := inside[len(inside)-1]
	switch {
	case len(inside) == 1 && name == "time":
		t, err := time.Parse(time.RFC3339, s)
		if err != nil {
			if t, err = time.Parse("2006-01-02T15:04:05", s); err != nil {
				return g.fault("time", s, "is no time: 2026-05-15T10:15:30Z is how GPX writes it")
			}
		}
		p.t = float64(t.UnixMilli()) / 1000
		p.date = t.UTC().Format(time.DateOnly)
	case inside[0] == "extensions" && strings.EqualFold(name, "depth"):
		v, err := strconv.ParseFloat(s, 64)
		switch {
		case err == nil && v < 0 && v >= -deepest:
			return g.fault("depth", s, "is negative: depths are positive down, in metres")
		case err != nil || !(v >= 0 && v <= deepest):
			return g.fault("depth", s, fmt.Sprintf("is no depth: allowed is 0 to %v, in metres", deepest))
		}
		p.depth = v
	}
	return nil
}

// gpxSoundings leaves out what the boat jumped to, track by track.
func (how Taken) gpxSoundings(name string, g *gpxReader) *Soundings {
	s := &Soundings{Name: name}
	next := int32(0)
	dropped := 0
	for i := 0; i < len(g.found); {
		n := i + 1
		for n < len(g.found) && g.found[n].track == g.found[i].track {
			n++
		}
		run := g.found[i:n]
		fixes := make([]fix, len(run))
		for k, p := range run {
			fixes[k] = p.fix
			if p.kind == "wpt" { // marks, taken in any order
				fixes[k].t = math.NaN()
			}
		}
		good, begins, d := honest(fixes)
		dropped += d
		for k, p := range run {
			if begins[k] {
				next++
			}
			if good[k] {
				s.List = append(s.List, Sounding{At: p.at, Depth: p.depth + how.Transducer, Track: next})
				if s.Date == "" {
					s.Date = p.date
				}
			}
		}
		i = n
	}
	if dropped > 0 {
		s.Remarks = append(s.Remarks, jumps(name, dropped, len(g.found)))
	}
	if g.bare > 0 {
		s.Remarks = append(s.Remarks, fmt.Sprintf("%s: points without a depth, left out: %d of %d", name, g.bare, g.bare+len(g.found)))
	}
	how.levelRemark(s)
	return s
}

// levelRemark says what a log's depths were taken as.
func (how Taken) levelRemark(s *Soundings) {
	if how.Drawdown == 0 {
		s.Remarks = append(s.Remarks, s.Name+" tells no level: its depths were taken as at full level")
	}
}
