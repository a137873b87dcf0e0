package water

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"

	"windlane/geodesy"
	"windlane/internal/gpx"
	"windlane/internal/text"
	"windlane/internal/tiff"
)

// What a soundings file may be at most.
const (
	soundingsBytes = 64 << 20
	mostRows       = 500_000   // of a table
	mostValues     = 1_000_000 // of a grid
	deepest        = 2000.0    // no lake is deeper [m]
	mostTransducer = 10.0      // [m]
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
	Date    string // of the first one, as 2026-05-15 (UTC); empty when the file tells none
	Remarks []string
}

// Taken says of a file what the file itself does not. The zero value takes
// depths as below the surface at full level.
type Taken struct {
	Drawdown   float64 // how far the surface lay below full level when the depths were taken [m]
	Transducer float64 // how deep the sounder's transducer hung; added to depths that a log counts from it [m]
}

// ReadSoundings reads depths in any of these forms, told by their content:
//
//   - a CSV table with columns lon and lat in degrees (WGS 84), and depth_m or
//     depth_ft, positive down. level_m or level_ft, if there, is the water's level
//     when the depth was taken, relative to full and so mostly negative; depths
//     are brought to full level by it. track, if there, tells tracks apart.
//   - a GPX 1.1 file, its points with a depth (gpx.go)
//   - an NMEA 0183 log of fixes and depths (nmea.go)
//   - an ESRI ASCII grid, corner and cell width in degrees, or a GeoTIFF of one
//     band (geotiff.go): depths in metres at full level
//
// At most 64 MB, half a million rows or points, a million cells.
func ReadSoundings(name string, r io.Reader) (*Soundings, error) {
	return Taken{}.ReadSoundings(name, r)
}

// ReadSoundings reads depths that were taken so; see the function of that name.
// A drawdown is refused for a table that has its own level, and a transducer
// for anything but a log.
func (how Taken) ReadSoundings(name string, r io.Reader) (*Soundings, error) {
	for _, one := range []struct {
		what string
		v    float64
		most float64
	}{{"drawdown", how.Drawdown, deepest}, {"transducer's depth", how.Transducer, mostTransducer}} {
		if !(one.v >= 0 && one.v <= one.most) {
			return nil, fmt.Errorf("the %s is %v m: allowed is 0 to %v m, positive down", one.what, one.v, one.most)
		}
	}
	s, err := how.read(name, r)
	if err != nil {
		return nil, err
	}
	for i := range s.List {
		s.List[i].Depth += how.Drawdown
	}
	return s, nil
}

func (how Taken) read(name string, r io.Reader) (*Soundings, error) {
	start := bufio.NewReader(r)
	first, _ := start.Peek(4) // what is too short, or cannot be read, is found so below
	grid, log := false, false
	var b []byte
	var err error
	if tiff.Is(first) {
		grid = true
	} else if b, err = text.ReadAll(name, start, soundingsBytes); err != nil {
		return nil, err
	}
	grid = grid || isGrid(b)
	log = !grid && (gpx.Is(b) || isNMEA(b))
	if how.Transducer != 0 && !log {
		return nil, &text.Fault{File: name, Problem: "is no sounder's log (GPX, NMEA 0183): its depths are below the surface, and a transducer's depth changes nothing"}
	}
	switch {
	case grid && b == nil:
		return readGeoTIFF(name, start)
	case grid:
		return readGrid(name, b)
	case gpx.Is(b):
		return how.readGPX(name, b)
	case log:
		return how.readNMEA(name, b)
	}
	return how.readTable(name, b)
}

func (how Taken) readTable(name string, b []byte) (*Soundings, error) {
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
	if level >= 0 && how.Drawdown != 0 {
		return nil, &text.Fault{File: name, Line: 1, Field: table.Header[level], Problem: "tells the water's level already: leave out the drawdown, or the column"}
	}
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
	if level < 0 && how.Drawdown == 0 {
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
