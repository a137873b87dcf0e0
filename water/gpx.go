package water

import (
	"fmt"
	"math"
	"time"

	"windlane/geodesy"
	"windlane/internal/gpx"
	"windlane/internal/text"
)

type gpxPoint struct {
	fix
	depth float64 // [m]
	date  string
	track int32
	kind  string // of element
}

// readGPX takes the points that tell a depth.
func (how Taken) readGPX(name string, b []byte) (*Soundings, error) {
	var found []gpxPoint
	bare := 0 // points without a depth
	err := gpx.Read(name, b, deepest, func(p gpx.Point) {
		if p.Depth != p.Depth {
			bare++
			return
		}
		q := gpxPoint{fix: fix{geodesy.Position{LonDeg: p.LonDeg, LatDeg: p.LatDeg}, math.NaN()}, depth: p.Depth, kind: p.Kind, track: int32(p.Run)}
		if !p.At.IsZero() {
			q.t, q.date = float64(p.At.UnixMilli())/1000, p.At.Format(time.DateOnly)
		}
		found = append(found, q)
	})
	if err != nil {
		return nil, err
	}
	if len(found) == 0 {
		problem := "has no points in it: wpt, rtept and trkpt are looked for"
		if bare > 0 {
			problem = fmt.Sprintf("has %d points and none with a depth: it is looked for in a point's extensions, in an element named depth, in metres; ele is no depth", bare)
		}
		return nil, &text.Fault{File: name, Problem: problem}
	}
	if len(found) > mostRows {
		return nil, tooMany(name, len(found), mostRows)
	}
	return how.gpxSoundings(name, found, bare), nil
}

// gpxSoundings leaves out what the boat jumped to, track by track.
func (how Taken) gpxSoundings(name string, found []gpxPoint, bare int) *Soundings {
	s := &Soundings{Name: name}
	next := int32(0)
	dropped := 0
	for i := 0; i < len(found); {
		n := i + 1
		for n < len(found) && found[n].track == found[i].track {
			n++
		}
		run := found[i:n]
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
		s.Remarks = append(s.Remarks, jumps(name, dropped, len(found)))
	}
	if bare > 0 {
		s.Remarks = append(s.Remarks, fmt.Sprintf("%s: points without a depth, left out: %d of %d", name, bare, bare+len(found)))
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
