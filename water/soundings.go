package water

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"windlane/geodesy"
	"windlane/internal/text"
)

// What a soundings file may be at most.
const (
	soundingsBytes = 64 << 20
	mostRows       = 500_000   // of a table
	mostValues     = 1_000_000 // of a grid
	deepest        = 2000.0    // no lake is deeper [m]
)

// Sounding is one measured depth.
type Sounding struct {
	At    geodesy.Position
	Depth float64 // below the surface at full level [m]
	Track int32   // soundings of one track follow each other along it
}

// Soundings are the depths of one file, in its order.
type Soundings struct {
	Name    string // of the file
	List    []Sounding
	Remarks []string
}

// ReadSoundings reads depths, as a CSV table or an ESRI ASCII grid, whichever
// the content shows; at most 64 MB, half a million rows or a million cells.
//
// The table has columns lon and lat in degrees (WGS 84), and depth_m or
// depth_ft, positive down. level_m or level_ft, if there, is the water's level
// when the depth was taken, relative to full and so mostly negative; depths are
// brought to full level by it. track, if there, tells tracks apart.
//
// The grid's corner and cell width must be in degrees. Its values are depths in
// metres at full level.
func ReadSoundings(name string, r io.Reader) (*Soundings, error) {
	b, err := text.ReadAll(name, r, soundingsBytes)
	if err != nil {
		return nil, err
	}
	if isGrid(b) {
		return readGrid(name, b)
	}
	return readTable(name, b)
}

func readTable(name string, b []byte) (*Soundings, error) {
	table, err := text.ReadTable(name, bytes.NewReader(b), soundingsBytes)
	if err != nil {
		return nil, err
	}
	lon, err := table.Need("lon", "longitude", "lon_deg", "longitude_deg")
	if err != nil {
		return nil, err
	}
	lat, err := table.Need("lat", "latitude", "lat_deg", "latitude_deg")
	if err != nil {
		return nil, err
	}
	depth, depthUnit := unitColumn(table, "depth")
	if depth < 0 {
		problem := "lacks a column: it must be called depth_m or depth_ft"
		if table.Column("depth") >= 0 {
			problem = "has depths without a unit: call the column depth_m or depth_ft"
		}
		return nil, &text.Fault{File: name, Line: 1, Value: strings.Join(table.Header, ","), Problem: problem}
	}
	level, levelUnit := unitColumn(table, "level")
	track := table.Column("track")
	if len(table.Rows) > mostRows {
		return nil, tooMany(name, len(table.Rows), mostRows)
	}
	if len(table.Rows) == 0 {
		return nil, &text.Fault{File: name, Problem: "has a header but no soundings under it"}
	}
	s := &Soundings{Name: name, List: make([]Sounding, 0, len(table.Rows))}
	tracks := map[string]int32{}
	for _, row := range table.Rows {
		var one Sounding
		if one.At.LonDeg, err = row.Number(lon, -180, 180); err != nil {
			return nil, err
		}
		if one.At.LatDeg, err = row.Number(lat, -90, 90); err != nil {
			return nil, err
		}
		if v, err := strconv.ParseFloat(row.Cell(depth), 64); err == nil && v < 0 {
			return nil, row.Fault(depth, "is negative: depths are positive down; if these are heights, turn their sign round, and leave out what is above the water")
		}
		if one.Depth, err = row.Number(depth, 0, deepest/depthUnit); err != nil {
			return nil, err
		}
		one.Depth *= depthUnit
		if level >= 0 {
			l, err := row.Number(level, -deepest/levelUnit, 20/levelUnit)
			if err != nil {
				return nil, err
			}
			one.Depth -= l * levelUnit
		}
		if track >= 0 {
			key := row.Cell(track)
			number, seen := tracks[key]
			if !seen {
				number = int32(len(tracks))
				tracks[key] = number
			}
			one.Track = number
		}
		s.List = append(s.List, one)
	}
	if level < 0 {
		s.Remarks = append(s.Remarks, name+" has no column level_m: its depths were taken as at full level")
	}
	return s, nil
}

// unitColumn finds a column in metres or feet, and its unit. [m]
func unitColumn(table *text.Table, what string) (col int, unit float64) {
	if c := table.Column(what + "_m"); c >= 0 {
		return c, 1
	}
	return table.Column(what + "_ft"), 0.3048
}

func tooMany(name string, n, most int) error {
	return &text.Fault{File: name, Problem: fmt.Sprintf("has %d soundings: allowed are %d; thin them out to one in every few metres", n, most)}
}

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
