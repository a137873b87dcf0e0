package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"windlane"
	"windlane/brief"
	"windlane/geodesy"
	"windlane/internal/wire"
	"windlane/plan"
	"windlane/quantity"
	"windlane/tackle"
	tracks "windlane/track"
)

func driftsOf(r *wire.DriftsRequest) (wire.PlanAnswer, *wire.Fault) {
	_, a, fault := Drifts(context.Background(), r, nil)
	return a, fault
}

// Drifts reads the files of a day and plans its drifts alone. It gives the brief
// of them too, for whoever shows it; progress as in Day.
func Drifts(ctx context.Context, r *wire.DriftsRequest, progress func(step string)) (*brief.Brief, wire.PlanAnswer, *wire.Fault) {
	if fault := through(r); fault != nil {
		return nil, wire.PlanAnswer{}, fault
	}
	in, fault := inputsOf(r.Day(), progress)
	if fault != nil {
		return nil, wire.PlanAnswer{}, fault
	}
	now, fault := nowOf(r, in)
	if fault != nil {
		return nil, wire.PlanAnswer{}, fault
	}
	p, err := windlane.Drifts(ctx, in, now)
	if err != nil {
		return nil, wire.PlanAnswer{}, unfit(err)
	}
	return p.Brief, planAnswer(p.Lake, p.Question, p.Plan, in.Outing.Units), nil
}

// through refuses of a request made in Go what the door would refuse of its JSON.
func through[Request any](r *Request) *wire.Fault {
	raw, err := json.Marshal(r)
	if err != nil {
		return wire.Refuse("", "%v", err)
	}
	return wire.Decode(raw, new(Request), "")
}

// nowOf is what is known afloat.
func nowOf(r *wire.DriftsRequest, in windlane.Inputs) (windlane.Afloat, *wire.Fault) {
	now := windlane.Afloat{Place: r.Place, Tries: r.Tries, Seed: uint64(r.Seed), Way: tackle.Way(r.Way)}
	if r.Way != "" && !slices.Contains(tackle.Ways, now.Way) {
		return now, wire.Refuse("way", "is %q: allowed are %s", r.Way, words(tackle.Ways))
	}
	if r.Effort == "quick" {
		now.Most = 1
		if r.Tries == nil {
			none := 0
			now.Tries = &none
		}
	}
	from := in.Outing.From.In(in.Outing.Zone)
	clock := clockOf{time.Date(from.Year(), from.Month(), from.Day(), 0, 0, 0, 0, in.Outing.Zone)}
	if r.At != "" {
		at, fault := clock.at(r.At, "at_local")
		if fault != nil {
			return now, fault
		}
		now.At, from = at, at
	}
	if r.Start != nil {
		if r.Place != "" {
			return now, wire.Refuse("start_place", "stands beside start: give one of them")
		}
		p, fault := position(*r.Start, "start")
		if fault != nil {
			return now, fault
		}
		now.Here = &p
	}
	if r.Observed != nil {
		o, fault := observedOf(r.Observed, clock, from)
		if fault != nil {
			return now, fault
		}
		now.Observed = o
	}
	var fault *wire.Fault
	if now.Past, fault = pastOf(r, clock, from); fault != nil {
		return now, fault
	}
	for i, d := range r.Fished {
		track, time, fault := drifted(d, fmt.Sprintf("already_fished[%d]", i))
		if fault != nil {
			return now, fault
		}
		now.Past = append(now.Past, windlane.Past{Track: track, Time: time, Ago: 60 * d.MinutesAgo, Hooked: d.Hooked})
	}
	return now, nil
}

// observedOf is the wind just met, at or before the hours asked for.
func observedOf(o *wire.ObservedWind, clock clockOf, from time.Time) (*plan.Observed, *wire.Fault) {
	at, fault := clock.at(o.At, "observed.at_local")
	if fault != nil {
		return nil, fault
	}
	if at.After(from) || from.Sub(at) > 24*time.Hour {
		return nil, wire.Refuse("observed.at_local", "is %q: a wind that was met belongs here, at %s or within 24 h before", o.At, from.Format("15:04"))
	}
	return &plan.Observed{At: at, Wind: o.Speed, From: quantity.FromDegrees(o.From)}, nil
}

// underMotor is the pace from which a boat on its way is taken to motor. [m/s]
// Common practice, no source.
const underMotor = 1.0

// pastOf is what was drifted by now, by an earlier plan or by the boat's own track.
func pastOf(r *wire.DriftsRequest, clock clockOf, now time.Time) ([]windlane.Past, *wire.Fault) {
	if r.Earlier == nil {
		if len(r.Hooked) > 0 {
			return nil, wire.Refuse("hooked", "counts the drifts of an earlier plan: bring it as earlier, or say hooked in already_fished")
		}
		return nil, nil
	}
	read := pastOfPlan
	if text := strings.TrimSpace(r.Earlier.Text); !strings.HasPrefix(text, "{") {
		read = pastOfTrack
	}
	past, fault := read(r, clock, now)
	if fault != nil {
		return nil, fault
	}
	for _, n := range r.Hooked {
		if n > len(past) {
			return nil, wire.Refuse("hooked", "counts drift %d: by %s, %s has %d", n, now.Format("15:04"), r.Earlier.Name, len(past))
		}
		past[n-1].Hooked = true
	}
	return past, nil
}

// pastOfTrack is where the boat went slower than under motor, of the last day.
func pastOfTrack(r *wire.DriftsRequest, _ clockOf, now time.Time) ([]windlane.Past, *wire.Fault) {
	t, err := tracks.Read(r.Earlier.Name, strings.NewReader(r.Earlier.Text))
	if err != nil {
		return nil, wire.Refuse("earlier", "%v", err)
	}
	t.Fixes = slices.DeleteFunc(t.Fixes, func(f tracks.Fix) bool { return f.At.After(now) || now.Sub(f.At) > 24*time.Hour })
	var past []windlane.Past
	for _, part := range t.Slow(underMotor) {
		last := part[len(part)-1].At
		one := windlane.Past{Time: last.Sub(part[0].At).Seconds(), Ago: now.Sub(last).Seconds()}
		for _, f := range part {
			one.Track = append(one.Track, f.Position)
		}
		past = append(past, one)
	}
	if past == nil {
		return nil, wire.Refuse("earlier", "%s: holds no drift of the day before %s: fixes over three minutes or more, slower than %v m/s, are looked for", r.Earlier.Name, now.Format("2006-01-02 15:04"), underMotor)
	}
	return past, nil
}

// pastOfPlan is what an earlier plan had done by now: of each drift the minutes before.
func pastOfPlan(r *wire.DriftsRequest, clock clockOf, now time.Time) ([]windlane.Past, *wire.Fault) {
	unfit := func(format string, args ...any) *wire.Fault {
		return wire.Refuse("earlier", "%s: %s", r.Earlier.Name, fmt.Sprintf(format, args...))
	}
	var e wire.Earlier
	if err := json.Unmarshal([]byte(r.Earlier.Text), &e); err != nil {
		return nil, unfit("is no answer of windlane's: %v: bring what plan or day printed with --json, day.json, or the boat's own track as GPX or NMEA", err)
	}
	if e.Answer != nil {
		e = *e.Answer
	}
	if len(e.Drifts) == 0 {
		return nil, unfit("holds no drifts: bring what plan or day printed with --json, day.json, or the boat's own track as GPX or NMEA")
	}
	var plane *geodesy.Plane
	if o := e.Lake.Origin; o != nil {
		at := geodesy.Position{LonDeg: o[0], LatDeg: o[1]}
		if !at.Valid() || math.Abs(at.LatDeg) > 85 {
			return nil, unfit("its lake lies at %v, which is no place for one", at)
		}
		p := geodesy.NewPlane(at)
		plane = &p
	}
	var past []windlane.Past
	for i, d := range e.Drifts {
		start, minutes := d.Start, math.Max(d.Minutes, d.Long)
		if d.StartAt != "" {
			var fault *wire.Fault
			if start, fault = clock.at(d.StartAt, "earlier"); fault != nil {
				return nil, unfit("drift %d %s", i+1, fault.Message)
			}
		}
		done := math.Min(minutes, now.Sub(start).Minutes())
		if done <= 0 {
			continue
		}
		one := windlane.Past{Time: 60 * done, Ago: now.Sub(start).Seconds() - 60*done}
		for _, s := range d.Track {
			switch at := math.Max(s.Min, s.Minute); {
			case at > done && len(one.Track) > 0:
			case s.LonLat != nil:
				one.Track = append(one.Track, geodesy.Position{LonDeg: s.LonLat[0], LatDeg: s.LonLat[1]})
			case plane != nil:
				one.Track = append(one.Track, plane.Position(s.At.X, s.At.Y))
			}
		}
		if len(one.Track) == 0 || !(one.Ago+one.Time <= 86400) {
			return nil, unfit("drift %d has no track, or none of today's", i+1)
		}
		for _, p := range one.Track {
			if !p.Valid() {
				return nil, unfit("drift %d runs through %v, which is no place", i+1, p)
			}
		}
		past = append(past, one)
	}
	if past == nil {
		return nil, unfit("none of its drifts begins before %s", now.Format("2006-01-02 15:04"))
	}
	return past, nil
}
