package engine

import (
	"time"

	"github.com/paulmach/orb"

	"windlane/brief"
	"windlane/internal/wire"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

// planAnswer turns a plan into the edge's names, its words made where all words are.
func planAnswer(lake *water.Water, q plan.Question, p plan.Plan, units quantity.System) wire.PlanAnswer {
	e := edge{lake, units}
	a := wire.PlanAnswer{
		Status: string(p.Status), Reason: brief.PlanReason(p, q.Settings.Most), Drifts: []wire.PlannedDrift{}, Waits: []wire.PlannedWait{},
		Value: p.Value, FishingShare: p.FishingShare, EnergyLeft: p.EnergyLeft,
		GoIn: local(p.GoIn), HomeBy: p.Deadline.Format(time.TimeOnly), TurnHome: local(p.TurnHome), Home: local(p.Home),
		RideHome: e.ride(p.RideHome), Remarks: filled(lake.Remarks),
	}
	words := brief.Drifts(lake, p, units)
	for i, d := range p.Drifts {
		a.Drifts = append(a.Drifts, e.drift(d, words[i], q.Boat))
	}
	for _, w := range p.Waits {
		a.Waits = append(a.Waits, wire.PlannedWait{From: w.From.Format(time.TimeOnly), Until: w.Until.Format(time.TimeOnly), Reason: w.Reason})
	}
	return a
}

// local is a time by the lake's clock, null for one that does not come.
func local(t time.Time) *string {
	if t.IsZero() {
		return nil
	}
	s := t.Format(time.TimeOnly)
	return &s
}

// edge puts places of the plane back on the map, and into words.
type edge struct {
	lake  *water.Water
	units quantity.System
}

func (e edge) at(x, y float64) [2]float64 { return lonLat(e.lake.Plane, x, y) }

func (e edge) way(list []orb.Point) [][2]float64 {
	out := make([][2]float64, len(list))
	for i, p := range list {
		out[i] = e.at(p[0], p[1])
	}
	return out
}

func (e edge) ride(r plan.Ride) wire.PlannedRide {
	return wire.PlannedRide{Way: e.way(r.Way), Metres: r.Metres, Minutes: r.Time / 60}
}

func (e edge) drift(d plan.Drift, words brief.Drift, boat plan.Boat) wire.PlannedDrift {
	out := wire.PlannedDrift{
		Start: e.at(d.X, d.Y), StartAt: d.Start.Format(time.TimeOnly), Minutes: d.Minutes, Drogue: d.Drogue, SetUp: d.SetUp,
		Speed: d.Speed, Toward: d.Toward.Degrees(), Value: d.Value, Rate: d.Rate,
		MotorMinutes: d.Ride.Time / 60, Ride: e.ride(d.Ride), EndReason: string(d.Ending),
		Track: []wire.TrackStep{}, Passes: []wire.PlannedPass{}, Next: []wire.OtherDrift{},
		Why: words.Why, Words: words.Words,
		Fan: wire.PlannedFan{
			Left: e.way(d.Fan.Left), Right: e.way(d.Fan.Right),
			Short: e.at(d.Fan.Short[0], d.Fan.Short[1]), Long: e.at(d.Fan.Long[0], d.Fan.Long[1]), Safe: d.Fan.Safe,
		},
		Stop: wire.PlannedStop{At: d.Stop.At.Format(time.TimeOnly), HandIn: d.Stop.Lift.Format(time.TimeOnly), LonLat: e.at(d.Stop.X, d.Stop.Y), Landmark: d.Stop.Landmark},
	}
	if boat.Energy > 0 {
		out.EnergyShare = d.Ride.Time * boat.Power / boat.Energy
	}
	for _, p := range d.Track {
		out.Track = append(out.Track, wire.TrackStep{Minute: p.Minute, LonLat: e.at(p.X, p.Y), Depth: known(float64(p.Depth)), Sounded: p.Sounded})
	}
	for i, p := range d.Passes {
		out.Passes = append(out.Passes, wire.PlannedPass{From: p.From, To: p.To, What: words.Passes[i].What, Kind: p.Kind, Name: p.Name, Near: p.Near})
	}
	if d.Stop.Landmark != "" {
		bearing, distance := d.Stop.Bearing.Degrees(), d.Stop.Distance
		out.Stop.Bearing, out.Stop.Distance = &bearing, &distance
	}
	for _, o := range d.Next {
		out.Next = append(out.Next, e.other(o))
	}
	if c := d.Change; c != nil {
		out.Change = &wire.WindChange{Turn: c.Turn / degree, From: c.From.Degrees(), To: e.other(c.To), Words: words.Change}
	}
	return out
}

func (e edge) other(o plan.Option) wire.OtherDrift {
	return wire.OtherDrift{
		Start: e.at(o.X, o.Y), End: e.at(o.EndX, o.EndY), Minutes: o.Minutes, Value: o.Value, Rate: o.Rate,
		Where: brief.Where(e.lake.Places, e.units, o.X, o.Y),
	}
}
