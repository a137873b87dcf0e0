package engine

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"windlane/drift"
	"windlane/geodesy"
	"windlane/internal/text"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/water"
)

func fetch(r *wire.FetchRequest) (wire.FetchAnswer, *wire.Fault) {
	outline, fault := readOutline(r.Outline)
	if fault != nil {
		return wire.FetchAnswer{}, fault
	}
	from := make([]quantity.From, len(r.WindFrom))
	for i, deg := range r.WindFrom {
		from[i] = quantity.FromDegrees(deg)
	}
	reach, ok := outline.Fetch(geodesy.Position{LonDeg: r.Longitude, LatDeg: r.Latitude}, from)
	if !ok {
		return wire.FetchAnswer{}, wire.Refuse("longitude_deg", "and latitude_deg give %v, %v, which lies on land: a place on the water belongs here", r.Longitude, r.Latitude)
	}
	return wire.FetchAnswer{Fetch: reach}, nil
}

func track(r *wire.TrackRequest) (wire.TrackAnswer, *wire.Fault) {
	outline, fault := readOutline(r.Outline)
	if fault != nil {
		return wire.TrackAnswer{}, fault
	}
	start, fault := position(r.Start, "start")
	if fault != nil {
		return wire.TrackAnswer{}, fault
	}
	rows := make([]drift.Row, len(r.Wind))
	for i, w := range r.Wind {
		if i > 0 && !w.At.After(r.Wind[i-1].At) {
			return wire.TrackAnswer{}, wire.Refuse(fieldAt("wind", i, "at_utc"), "is not later than the row before: rows belong in order of time")
		}
		rows[i] = drift.Row{T: w.At.Sub(r.StartAt).Seconds(), Speed: w.Speed, From: quantity.FromDegrees(w.From)}
	}
	wind, err := drift.NewWind(rows)
	if err != nil {
		return wire.TrackAnswer{}, wire.Refuse("wind", "%v", err)
	}
	if !wind.Covers(0, r.Max) {
		return wire.TrackAnswer{}, wire.Refuse("wind", "runs from %s to %s: it must cover start_utc to start_utc + max_s", r.Wind[0].At.Format("15:04:05"), r.Wind[len(r.Wind)-1].At.Format("15:04:05"))
	}
	plane := geodesy.NewPlane(start)
	rings, _ := outline.On(plane)
	shore, err := drift.NewShore(rings)
	if err != nil {
		return wire.TrackAnswer{}, wire.Refuse("outline", "%v", err)
	}
	points, end, err := drift.Run{
		Wind:   wind,
		Motion: drift.Motion{Fraction: r.Fraction, Slip: r.Slip * degree},
		Max:    r.Max,
		Margin: r.Margin,
		Clear:  shore.Clear,
	}.Track(nil)
	switch {
	case errors.Is(err, drift.ErrOnLand):
		return wire.TrackAnswer{}, wire.Refuse("start", "lies on land: a drift begins on the water")
	case err != nil:
		return wire.TrackAnswer{}, wire.Refuse("", "%v", err)
	}
	a := wire.TrackAnswer{Points: make([]wire.TrackPoint, len(points))}
	for i, p := range points {
		a.Points[i] = wire.TrackPoint{T: p.T, LonLat: lonLat(plane, p.X, p.Y), X: p.X, Y: p.Y}
	}
	a.End = wire.TrackEnd{T: end.T, LonLat: lonLat(plane, end.X, end.Y), Reason: string(end.Reason)}
	return a, nil
}

// position is a [lon, lat] of the edge.
func position(at [2]float64, field string) (geodesy.Position, *wire.Fault) {
	p := geodesy.Position{LonDeg: at[0], LatDeg: at[1]}
	if !p.Valid() {
		return p, wire.Refuse(field, "is %v: longitude -180 to 180 and latitude -90 to 90, in degrees, belong here in that order", at)
	}
	return p, nil
}

// positions is a track of the edge.
func positions(track [][2]float64, field string) ([]geodesy.Position, *wire.Fault) {
	out := make([]geodesy.Position, len(track))
	for i, at := range track {
		var fault *wire.Fault
		if out[i], fault = position(at, fmt.Sprintf("%s[%d]", field, i)); fault != nil {
			return nil, fault
		}
	}
	return out, nil
}

func lonLat(plane geodesy.Plane, x, y float64) [2]float64 {
	p := plane.Position(x, y)
	return [2]float64{p.LonDeg, p.LatDeg}
}

func readOutline(raw json.RawMessage) (*water.Outline, *wire.Fault) {
	outline, err := water.ReadOutline("outline", bytes.NewReader(raw))
	if err != nil {
		return nil, fileFault("outline", err)
	}
	return outline, nil
}

// fileFault turns what is wrong in a file into what is wrong with its field.
func fileFault(field string, err error) *wire.Fault {
	var f *text.Fault
	if errors.As(err, &f) {
		g := *f
		g.File = "it"
		return wire.Refuse(field, "cannot be used: %v", &g)
	}
	return wire.Refuse(field, "cannot be used: %v", err)
}
