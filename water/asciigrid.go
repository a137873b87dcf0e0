package water

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"windlane/geodesy"
	"windlane/internal/text"
)

// isGrid says whether the text starts as an ESRI ASCII grid does.
func isGrid(b []byte) bool {
	word, _, _ := bytes.Cut(bytes.TrimLeft(b[:min(len(b), 1000)], " \t\r\n"), []byte(" "))
	word, _, _ = bytes.Cut(word, []byte("\t"))
	return slices.Contains(gridKeys, strings.ToLower(string(word)))
}

var gridKeys = []string{"ncols", "nrows", "xllcorner", "xllcenter", "yllcorner", "yllcenter", "cellsize", "nodata_value"}

// words reads a text word by word and knows the line.
type words struct {
	b    []byte
	at   int
	line int
}

func (w *words) next() string {
	for w.at < len(w.b) && w.b[w.at] <= ' ' {
		if w.b[w.at] == '\n' {
			w.line++
		}
		w.at++
	}
	start := w.at
	for w.at < len(w.b) && w.b[w.at] > ' ' {
		w.at++
	}
	return string(w.b[start:w.at])
}

// readGrid reads an ESRI ASCII grid: a header of names and numbers, then rows
// from north to south. A cell without data holds NODATA_value, -9999 if not said.
func readGrid(name string, b []byte) (*Soundings, error) {
	w := &words{b: b, line: 1}
	fault := func(field, value, problem string) error {
		return &text.Fault{File: name, Line: w.line, Field: field, Value: value, Problem: problem}
	}
	head := map[string]float64{"nodata_value": -9999}
	for {
		mark := *w
		key := strings.ToLower(w.next())
		if !slices.Contains(gridKeys, key) {
			*w = mark
			break
		}
		value := w.next()
		v, err := strconv.ParseFloat(value, 64)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) && key != "nodata_value" {
			return nil, fault(key, value, "is not a number")
		}
		head[key] = v
	}
	var cols, rows int
	for _, n := range []struct {
		key  string
		into *int
	}{{"ncols", &cols}, {"nrows", &rows}} {
		v, ok := head[n.key]
		if !ok || v != math.Floor(v) || v < 1 || v > mostValues {
			return nil, fault(n.key, "", fmt.Sprintf("must be in the header, a whole number from 1 to %d", mostValues))
		}
		*n.into = int(v)
	}
	if cols*rows > mostValues {
		return nil, tooMany(name, cols*rows, mostValues)
	}
	cell, ok := head["cellsize"]
	if !ok || !(cell > 0) {
		return nil, fault("cellsize", "", "must be in the header, in degrees, above 0")
	}
	corner := func(axis string) (first float64, err error) { // of the first cell's centre [deg]
		if v, ok := head[axis+"llcenter"]; ok {
			return v, nil
		}
		if v, ok := head[axis+"llcorner"]; ok {
			return v + cell/2, nil
		}
		return 0, fault(axis+"llcorner", "", fmt.Sprintf("must be in the header (or %sllcenter), in degrees", axis))
	}
	west, err := corner("x")
	if err != nil {
		return nil, err
	}
	south, err := corner("y")
	if err != nil {
		return nil, err
	}
	if west < -180 || south < -90 || west+float64(cols-1)*cell > 180 || south+float64(rows-1)*cell > 90 {
		return nil, &text.Fault{File: name, Field: "header", Problem: "is not in longitude and latitude: save the grid again in degrees (WGS 84, EPSG:4326)"}
	}
	s := &Soundings{Name: name, Remarks: []string{name + ": its values were taken as depths in metres at full level"}}
	for j := rows - 1; j >= 0; j-- {
		for i := range cols {
			value := w.next()
			v, err := strconv.ParseFloat(value, 64)
			field := fmt.Sprintf("column %d", i+1)
			switch {
			case value == "":
				return nil, fault("", "", fmt.Sprintf("ends early: %d columns of %d rows are %d values, row %d has %d", cols, rows, cols*rows, rows-j, i))
			case err == nil && (v == head["nodata_value"] || math.IsNaN(v)):
				continue
			case err != nil || v > deepest:
				return nil, fault(field, value, fmt.Sprintf("is not a depth: allowed is 0 to %v m, or the header's nodata_value", deepest))
			case v < 0:
				return nil, fault(field, value, "is negative: depths are positive down; if these are heights, turn their sign round and give land the nodata_value")
			}
			s.List = append(s.List, Sounding{At: geodesy.Position{LonDeg: west + float64(i)*cell, LatDeg: south + float64(j)*cell}, Depth: v, Track: int32(j)})
		}
	}
	if extra := w.next(); extra != "" {
		return nil, fault("", extra, fmt.Sprintf("stands after the last of the %d values", cols*rows))
	}
	if len(s.List) == 0 {
		return nil, &text.Fault{File: name, Problem: "holds no depth, only cells without data"}
	}
	return s, nil
}
