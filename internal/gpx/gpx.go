// Package gpx walks through the points of a GPX 1.1 file (the public schema of
// topografix.com): where each is, when, in which run, and how deep. It knows no
// trade.
//
// A depth has no element of its own in GPX: it is looked for as an element named
// depth, of any namespace and at any level, in a point's extensions; metres,
// positive down. ele is a height above the sea and never taken for a depth.
package gpx

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

// mostNested elements stand within each other in any GPX file worth reading.
const mostNested = 64

// Point is a wpt, rtept or trkpt.
type Point struct {
	Kind   string    // the element's name
	LatDeg float64   // [°]
	LonDeg float64   // [°]
	At     time.Time // zero when not told
	Depth  float64   // NaN when not told [m]
	Run    int       // one for each trkseg or rte, from 1; 0 for a wpt
}

// Is says whether a file looks like XML.
func Is(b []byte) bool {
	return bytes.HasPrefix(bytes.TrimSpace(b[:min(len(b), 1000)]), []byte("<"))
}

// Read calls visit with each point of a file, in order. What is wrong, a depth
// beyond deepest among it, is a text.Fault that says the line.
func Read(name string, b []byte, deepest float64, visit func(Point)) error {
	w := walk{name: name, dec: xml.NewDecoder(bytes.NewReader(b)), deepest: deepest, visit: visit, run: 1}
	for {
		token, err := w.dec.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		var bad *xml.SyntaxError
		switch {
		case errors.As(err, &bad):
			return &text.Fault{File: name, Line: bad.Line, Problem: "is not XML: " + bad.Msg}
		case err != nil:
			return w.fault("", "", "is not XML: "+err.Error())
		}
		switch e := token.(type) {
		case xml.StartElement:
			err = w.start(e)
		case xml.EndElement:
			w.end()
		case xml.CharData:
			err = w.words(string(bytes.TrimSpace(e)))
		}
		if err != nil {
			return err
		}
	}
}

type walk struct {
	name    string
	dec     *xml.Decoder
	visit   func(Point)
	deepest float64  // [m]
	open    []string // elements round the place where it stands
	run     int
	point   *Point
	nested  int // how many elements are round the point
}

func (w *walk) fault(field, value, problem string) error {
	line, _ := w.dec.InputPos()
	return &text.Fault{File: w.name, Line: line, Field: field, Value: value, Problem: problem}
}

func (w *walk) start(e xml.StartElement) error {
	name := e.Name.Local
	if len(w.open) == 0 && name != "gpx" {
		return w.fault("", name, "is XML of another kind: GPX 1.1 is read, whose first element is gpx")
	}
	w.open = append(w.open, name)
	if len(w.open) > mostNested {
		return w.fault(name, "", fmt.Sprintf("lies within more than %d others", mostNested))
	}
	switch name {
	case "trkseg", "rte":
		w.run++
	case "wpt", "rtept", "trkpt":
		if w.point != nil {
			return w.fault(name, "", "lies within another point")
		}
		p := &Point{Kind: name, Depth: math.NaN()}
		if name != "wpt" {
			p.Run = w.run
		}
		if err := w.degrees(e, "lat", 90, &p.LatDeg); err != nil {
			return err
		}
		if err := w.degrees(e, "lon", 180, &p.LonDeg); err != nil {
			return err
		}
		w.point, w.nested = p, len(w.open)
	}
	return nil
}

func (w *walk) degrees(e xml.StartElement, name string, most float64, into *float64) error {
	said := ""
	for _, a := range e.Attr {
		if a.Name.Local == name {
			said = a.Value
		}
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(said), 64)
	if err != nil || !(math.Abs(v) <= most) {
		return w.fault(e.Name.Local+", "+name, said, fmt.Sprintf("is no place: degrees from %v to %v belong here", -most, most))
	}
	*into = v
	return nil
}

func (w *walk) end() {
	if w.point != nil && len(w.open) == w.nested {
		w.visit(*w.point)
		w.point = nil
	}
	w.open = w.open[:len(w.open)-1]
}

// words takes the text of a point's time or depth.
func (w *walk) words(s string) error {
	if w.point == nil || s == "" || len(w.open) <= w.nested {
		return nil
	}
	inside := w.open[w.nested:]
	name := inside[len(inside)-1]
	switch {
	case len(inside) == 1 && name == "time":
		t, err := time.Parse(time.RFC3339, s)
		if err != nil {
			if t, err = time.Parse("2006-01-02T15:04:05", s); err != nil { // as some write UTC
				return w.fault("time", s, "is no time: 2026-05-15T10:15:30Z is how GPX writes it")
			}
		}
		if t.Year() < 1980 || t.Year() >= 2200 {
			return w.fault("time", s, "is out of range: allowed are the years 1980 to 2199")
		}
		w.point.At = t.UTC()
	case inside[0] == "extensions" && strings.EqualFold(name, "depth"):
		v, err := strconv.ParseFloat(s, 64)
		switch {
		case err == nil && v < 0 && v >= -w.deepest:
			return w.fault("depth", s, "is negative: depths are positive down, in metres")
		case err != nil || !(v >= 0 && v <= w.deepest):
			return w.fault("depth", s, fmt.Sprintf("is no depth: allowed is 0 to %v, in metres", w.deepest))
		}
		w.point.Depth = v
	}
	return nil
}
