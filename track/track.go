// Package track reads where a boat has been: GPX 1.1 tracks and NMEA 0183 logs.
//
// A fix is a place and a time, no more: a receiver's own speed is noise at the
// pace of a drift, and is not read. track may touch geodesy and the plain readers
// under internal.
package track

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"time"

	"windlane/geodesy"
	"windlane/internal/gpx"
	"windlane/internal/nmea"
	"windlane/internal/text"
)

// Limits of a file that a person brings.
const (
	largest    = 32 << 20  // [bytes]
	mostFixes  = 1_000_000 // eleven days at one a second
	mostDamage = 20        // one sentence in so many may be damaged
	deepest    = 12_000.0  // a depth told beside a fix is not used, and not judged [m]
)

// Fix is where the boat was at a time.
type Fix struct {
	At       time.Time
	Position geodesy.Position
}

// Track is a boat's way, in order of time, no time twice.
type Track struct {
	Name    string
	Fixes   []Fix
	Remarks []string // what was left out
}

// Read reads a track: GPX by its points with a time (trkpt, else rtept; marks
// are no track), NMEA by its RMC, GLL and GGA, the day by the RMC. Of sentences that
// tell the same second the first counts. Damaged sentences are left out; more than one in
// twenty, or fewer than two fixes, is a text.Fault.
func Read(name string, r io.Reader) (*Track, error) {
	b, err := text.ReadAll(name, r, largest)
	if err != nil {
		return nil, err
	}
	t := &Track{Name: name}
	if gpx.Is(b) {
		err = t.readGPX(b)
	} else {
		err = t.readNMEA(b)
	}
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(t.Fixes, func(a, b Fix) int { return a.At.Compare(b.At) })
	t.Fixes = slices.CompactFunc(t.Fixes, func(a, b Fix) bool { return a.At.Equal(b.At) })
	switch {
	case len(t.Fixes) < 2:
		return nil, t.fault("has one fix in it: a track needs two at least")
	case len(t.Fixes) > mostFixes:
		return nil, t.fault(fmt.Sprintf("has %d fixes: allowed are %d; split it", len(t.Fixes), mostFixes))
	}
	return t, nil
}

func (t *Track) fault(problem string) error { return &text.Fault{File: t.Name, Problem: problem} }

func (t *Track) remark(n, of int, what string) {
	if n > 0 {
		t.Remarks = append(t.Remarks, fmt.Sprintf("%s: %s: %d of %d", t.Name, what, n, of))
	}
}

func (t *Track) readGPX(b []byte) error {
	var route []Fix
	points, marks, timeless := 0, 0, 0
	err := gpx.Read(t.Name, b, deepest, func(p gpx.Point) {
		points++
		f := Fix{p.At, geodesy.Position{LonDeg: p.LonDeg, LatDeg: p.LatDeg}}
		switch {
		case p.Kind == "wpt":
			marks++
		case p.At.IsZero():
			timeless++
		case p.Kind == "rtept":
			route = append(route, f)
		default:
			t.Fixes = append(t.Fixes, f)
		}
	})
	if err != nil {
		return err
	}
	if len(t.Fixes) == 0 {
		t.Fixes = route
	}
	if len(t.Fixes) == 0 {
		problem := "has no track in it: points named trkpt are looked for"
		if timeless > 0 {
			problem = fmt.Sprintf("has %d points and none with a time: a boat's pace cannot be had from them", timeless)
		}
		return t.fault(problem)
	}
	t.remark(marks, points, "marks, which are no track, left out")
	t.remark(timeless, points, "points without a time, left out")
	return nil
}

func (t *Track) readNMEA(b []byte) error {
	summed := bytes.Contains(b, []byte("*"))
	sentences, damaged, void, undated, number, day := 0, 0, 0, 0, 0, 0
	last := 0.0 // second of the day
	var first *text.Fault
	for line := range bytes.Lines(b) {
		number++
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' || line[0] == '!' { // ! is another kind of sentence
			continue
		}
		sentences++
		s, fault := nmea.Split(string(line), summed)
		var f nmea.Fix
		is := false
		if fault == nil {
			f, is, fault = s.Fix()
		}
		switch {
		case fault != nil:
			if damaged++; first == nil {
				first = &text.Fault{File: t.Name, Line: number, Field: fault.Field, Value: fault.Value, Problem: fault.Problem}
			}
			continue
		case !is:
			continue
		case f.Void:
			void++
			continue
		}
		if f.Day != 0 {
			day = f.Day
		} else if f.Second < last-43200 { // past midnight, and the RMC has yet to say so
			day++
		}
		if day == 0 || f.Second != f.Second {
			undated++
			continue
		}
		last = f.Second
		at := time.Unix(int64(day)*86400, int64(f.Second*1e9)).UTC()
		t.Fixes = append(t.Fixes, Fix{at, geodesy.Position{LonDeg: f.LonDeg, LatDeg: f.LatDeg}})
	}
	switch {
	case sentences == 0:
		return t.fault("is no track: GPX 1.1 or a log of NMEA 0183 sentences is read, and it has none")
	case damaged == sentences:
		return t.fault("is no track: GPX 1.1 or a log of NMEA 0183 sentences is read. Line " + fmt.Sprint(first.Line) + " " + first.Problem)
	case first != nil && damaged*mostDamage > sentences:
		first.Problem += fmt.Sprintf("; of %d sentences %d are damaged, more than one in %d: the log cannot be trusted", sentences, damaged, mostDamage)
		return first
	case len(t.Fixes) == 0 && undated > 0:
		return t.fault("tells no day: the time of a fix comes from its RMC sentences, and it has none before its fixes")
	case len(t.Fixes) == 0 && void > 0:
		return t.fault("has no position in it: all its fixes say that they are void")
	case len(t.Fixes) == 0:
		return t.fault("has no position in it: sentences RMC, GLL or GGA are looked for, or a GPX file's points")
	}
	if damaged > 0 {
		t.Remarks = append(t.Remarks, fmt.Sprintf("%s: damaged sentences, not used: %d of %d, the first on line %d (%s)", t.Name, damaged, sentences, first.Line, first.Problem))
	}
	if !summed {
		t.Remarks = append(t.Remarks, t.Name+": its sentences carry no checksum, so a damaged one cannot be told")
	}
	t.remark(void, void+undated+len(t.Fixes), "fixes that say they are void, left out")
	t.remark(undated, void+undated+len(t.Fixes), "fixes before the first that tells the day, left out")
	return nil
}
