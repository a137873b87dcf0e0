package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"windlane"
	"windlane/drift"
	"windlane/forecast"
	"windlane/geodesy"
	"windlane/internal/text"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/tackle"
	tracks "windlane/track"
)

// farthest a fix may lie from the middle of the first track: beyond it, it is the
// receiver's fault. [m]
const farthest = 50_000.0

// oneLane is the length of drift that a lane's width is told for. [m]
const oneLane = 400.0

// learnDrift hears the tracks of one set-up, after what the bag expects of it.
func learnDrift(r *wire.LearnDriftRequest) (a wire.LearnDriftAnswer, fault *wire.Fault) {
	a = wire.LearnDriftAnswer{Status: "nothing_heard", Track: []wire.TrackPart{}, Remarks: []string{}}
	boat, fault := setUpAdrift(r)
	if fault != nil {
		return a, fault
	}
	runs := make([]*tracks.Track, len(r.Tracks))
	for i, f := range r.Tracks {
		t, err := tracks.Read(f.Name, strings.NewReader(f.Text))
		if err != nil {
			return a, wire.Refuse(fmt.Sprintf("tracks[%d]", i), "%v", err)
		}
		runs[i] = t
		a.Remarks = append(a.Remarks, t.Remarks...)
	}
	slices.SortStableFunc(runs, func(p, q *tracks.Track) int { return p.Fixes[0].At.Compare(q.Fixes[0].At) })
	epoch := runs[0].Fixes[0].At
	until := epoch
	for _, t := range runs {
		if last := t.Fixes[len(t.Fixes)-1].At; last.After(until) {
			until = last
		}
	}
	wind, remarks, fault := windOver(r, epoch, until)
	if fault != nil {
		return a, fault
	}
	a.Remarks = append(a.Remarks, remarks...)

	l := drift.Learner{Expected: boat.Expected}
	plane := geodesy.NewPlane(middle(runs[0]))
	var heard drift.Hearing
	last := 0.0
	for _, t := range runs {
		fixes, far := fixesOn(plane, t, epoch)
		if far > 0 {
			a.Remarks = append(a.Remarks, fmt.Sprintf("%s: fixes more than %.0f km from the rest, left out: %d of %d", t.Name, farthest/1000, far, len(t.Fixes)))
		}
		if len(fixes) == 0 {
			continue
		}
		l.Forget(fixes[0].T - last)
		last = fixes[len(fixes)-1].T
		heard = sum(heard, l.AddTrack(fixes, wind))
	}
	for _, p := range parts(heard) {
		if p.Minutes > 0 {
			a.Track = append(a.Track, p)
		}
	}
	a.SetUp = boat.Name
	e := boat.Expected
	a.Expected = wire.DriftFigure{
		Source: string(boat.Source), Fraction: e.Fraction.Mean, FractionSD: e.Fraction.SD,
		Slip: e.Slip / degree, SlipSD: e.SlipSD / degree, Minutes: boat.Time / 60,
	}
	if heard.Heard == 0 {
		return a, nil
	}
	a.Status = "learned"
	got := l.Learned()
	seconds := got.Time
	if boat.Source == windlane.Tracks {
		seconds += e.Worth
	}
	a.Learned = &wire.DriftFigure{
		Source: string(windlane.Tracks), Fraction: got.Fraction.Mean, FractionSD: got.Fraction.SD,
		Slip: got.Slip / degree, SlipSD: got.SlipSD / degree, Minutes: seconds / 60,
	}
	a.Scatter = &wire.DriftScatter{Pace: got.PaceScatter, Slip: got.SlipScatter / degree, Lane: got.Lane(oneLane)}
	a.Lines = fmt.Sprintf("drift_percent = %.2f\ndrift_percent_sd = %.2f\nslip_deg = %.1f\nslip_deg_sd = %.1f\ndrift_minutes = %.0f\n",
		100*got.Fraction.Mean, math.Max(0.01, 100*got.Fraction.SD), a.Learned.Slip, math.Max(0.1, a.Learned.SlipSD), math.Max(1, seconds/60))
	return a, nil
}

// setUpAdrift is the bag's set-up that was out; without a bag, what is published.
func setUpAdrift(r *wire.LearnDriftRequest) (windlane.Adrift, *wire.Fault) {
	bag := &tackle.Bag{}
	if r.Bag != nil {
		var err error
		if bag, err = tackle.ReadBag(r.Bag.Name, strings.NewReader(r.Bag.Text)); err != nil {
			return windlane.Adrift{}, wire.Refuse("bag", "%v", err)
		}
	} else if r.Drogue != "" { // the drogue has a name only
		bag.Drogues = []tackle.Drogue{{Name: r.Drogue}}
	}
	all, err := windlane.SetUpsAdrift(bag)
	if err != nil {
		return windlane.Adrift{}, wire.Refuse("bag", "%v", err)
	}
	var names []string
	for _, a := range all {
		if !a.Drogue && r.Drogue == "" || a.Drogue && a.Name == r.Drogue {
			return a, nil
		}
		if a.Drogue {
			names = append(names, a.Name)
		}
	}
	if len(names) == 0 {
		names = []string{"none"}
	}
	return windlane.Adrift{}, wire.Refuse("drogue", "is %q: the bag's drogues are %s", r.Drogue, strings.Join(names, ", "))
}

// windOver is the wind from the first fix to the last, in seconds after the first.
func windOver(r *wire.LearnDriftRequest, from, until time.Time) (w *drift.Wind, remarks []string, fault *wire.Fault) {
	var rows []drift.Row
	switch {
	case (len(r.Wind) > 0) == (r.Forecast != nil):
		return nil, nil, wire.Refuse("wind", "or forecast belongs here, and not both: the wind over the track")
	case r.Forecast != nil:
		f, err := readForecast(r, from)
		if err == nil {
			err = f.Cover(from, until)
		}
		if err != nil {
			var said *text.Fault
			if errors.As(err, &said) {
				return nil, nil, wire.Refuse("forecast", "%v", said)
			}
			return nil, nil, wire.Refuse("forecast", "%s: %v", r.Forecast.Name, err)
		}
		for _, h := range f.Hours {
			row := drift.Row{T: h.At.Sub(from).Seconds(), Speed: h.Speed, From: h.From}
			if h.Variable || h.Calm { // from all sides: a drift in it says nothing
				row.Speed = 0
			}
			rows = append(rows, row)
		}
		remarks = f.Remarks
	default:
		for i, x := range r.Wind {
			if i > 0 && !x.At.After(r.Wind[i-1].At) {
				return nil, nil, wire.Refuse(fieldAt("wind", i, "at_utc"), "is not later than the row before: rows belong in order of time")
			}
			rows = append(rows, drift.Row{T: x.At.Sub(from).Seconds(), Speed: x.Speed, From: quantity.FromDegrees(x.From)})
		}
	}
	w, err := drift.NewWind(rows)
	if err != nil {
		return nil, nil, wire.Refuse("wind", "%v", err)
	}
	if len(rows) > 1 && !w.Covers(0, until.Sub(from).Seconds()) {
		return nil, nil, wire.Refuse("wind", "does not cover the track, which runs from %s to %s; one row alone holds throughout", from.Format(time.RFC3339), until.Format(time.RFC3339))
	}
	return w, remarks, nil
}

func readForecast(r *wire.LearnDriftRequest, day time.Time) (*forecast.Forecast, error) {
	in := strings.NewReader(r.Forecast.Text)
	switch r.Code {
	case "taf":
		return forecast.ReadTAF(r.Forecast.Name, in, day)
	case "metar":
		return forecast.ReadMETAR(r.Forecast.Name, in, day)
	}
	return forecast.ReadCSV(r.Forecast.Name, in, time.FixedZone("", r.Offset*60))
}

// middle is the median place of a track, which no false fix moves.
func middle(t *tracks.Track) geodesy.Position {
	var lon, lat []float64
	for _, f := range t.Fixes {
		lon, lat = append(lon, f.Position.LonDeg), append(lat, f.Position.LatDeg)
	}
	slices.Sort(lon)
	slices.Sort(lat)
	return geodesy.Position{LonDeg: lon[len(lon)/2], LatDeg: lat[len(lat)/2]}
}

// fixesOn lays a track on the plane, and says how many fixes lie too far off.
func fixesOn(plane geodesy.Plane, t *tracks.Track, epoch time.Time) (out []drift.Fix, far int) {
	for _, f := range t.Fixes {
		x, y := plane.XY(f.Position)
		if !(math.Hypot(x, y) <= farthest) {
			far++
			continue
		}
		out = append(out, drift.Fix{T: f.At.Sub(epoch).Seconds(), X: x, Y: y})
	}
	return out, far
}

func sum(a, b drift.Hearing) drift.Hearing {
	return drift.Hearing{
		Heard: a.Heard + b.Heard, Motoring: a.Motoring + b.Motoring, Settling: a.Settling + b.Settling, Still: a.Still + b.Still, Calm: a.Calm + b.Calm,
		Odd: a.Odd + b.Odd, Jumped: a.Jumped + b.Jumped, Gap: a.Gap + b.Gap, TooShort: a.TooShort + b.TooShort,
	}
}

func parts(h drift.Hearing) []wire.TrackPart {
	return []wire.TrackPart{
		{Was: string(drift.Heard), Minutes: h.Heard / 60}, {Was: string(drift.Motoring), Minutes: h.Motoring / 60}, {Was: string(drift.Settling), Minutes: h.Settling / 60},
		{Was: string(drift.Still), Minutes: h.Still / 60}, {Was: string(drift.Calm), Minutes: h.Calm / 60}, {Was: string(drift.Odd), Minutes: h.Odd / 60},
		{Was: string(drift.Jumped), Minutes: h.Jumped / 60}, {Was: string(drift.Gap), Minutes: h.Gap / 60}, {Was: string(drift.TooShort), Minutes: h.TooShort / 60},
	}
}
