package engine

import (
	"errors"

	"windlane/internal/wire"
	"windlane/line"
)

var phases = map[string]line.Phase{"count": line.Count, "retrieve": line.Retrieve, "hang": line.Hang}

func lineInWater(r *wire.LineRequest) (wire.LineAnswer, *wire.Fault) {
	setup := line.Setup{
		Water: line.Water{
			Density: r.Water.Density, KinematicViscosity: r.Water.KinematicViscosity,
			Drift: r.Water.Drift, DriftScale: r.Water.DriftScale, Bed: r.Water.Bed,
		},
		Tip:             []line.TipMove{{From: line.Count, Height: r.TipHeight.Constant}},
		EntryDistance:   r.EntryDistance,
		BoatSpeed:       r.BoatSpeed,
		Count:           r.Count,
		TakeIn:          r.TakeIn,
		Pull:            line.Pull{Speed: r.Retrieve.Speed, Length: r.Retrieve.PullLength, PullSpeed: r.Retrieve.PullSpeed},
		StopWithLineOut: r.StopWithLineOut,
		Hang:            r.Hang,
		SlackStiffness:  r.SlackStiffness,
		Mesh:            line.Mesh{Segment: r.Segment, MaxStep: r.MaxStep},
		Sample:          r.Sample,
	}
	for _, s := range r.Sections {
		setup.Sections = append(setup.Sections, line.Section{Length: s.Length, LinearDensity: s.Linear, Diameter: s.Diameter, AxialStiffness: s.Stiffness})
	}
	for _, b := range r.Bodies {
		setup.Bodies = append(setup.Bodies, line.Body{Name: b.Name, FromEnd: b.FromEnd, Mass: b.Mass, Volume: b.Volume, DragArea: b.DragArea, AddedMass: b.AddedMass})
	}
	if r.TipHeight.Changes != nil {
		setup.Tip = nil
		for _, c := range r.TipHeight.Changes {
			setup.Tip = append(setup.Tip, line.TipMove{From: phases[c.FromPhase], Height: c.Height, Over: c.Over, After: c.After})
		}
	}
	if (r.Water.Drift != 0) != (r.Water.DriftScale != 0) {
		return wire.LineAnswer{}, wire.Refuse("water.drift_scale_m", "and drift_m_s belong together: a current and the depth over which it falls by a factor e, or neither")
	}
	result, err := line.Run(setup)
	if err != nil {
		return wire.LineAnswer{}, lineFault(err)
	}
	a := wire.LineAnswer{Samples: make([]wire.LineSample, 0, len(result.Samples)), Status: string(result.Status), Steps: result.Steps}
	for _, s := range result.Samples {
		a.Samples = append(a.Samples, lineSample(s, result.Names))
	}
	for i, s := range result.Ends {
		end := lineSample(s, result.Names)
		*[]**wire.LineSample{&a.Events.CountEnd, &a.Events.RetrieveEnd, &a.Events.HangEnd}[i] = &end
	}
	return a, nil
}

func lineFault(err error) *wire.Fault {
	var f *line.Fault
	if errors.As(err, &f) {
		return wire.Refuse(f.Field, "%s", f.Message)
	}
	return wire.Refuse("", "%v", err)
}

func lineSample(s line.Sample, names []string) wire.LineSample {
	out := wire.LineSample{T: s.T, Phase: s.Phase.String(), TipForce: s.Force, LineOut: s.LineOut, Deepest: s.Deepest + 0, Depth: map[string]float64{}, X: map[string]float64{}}
	for i, n := range names {
		out.Depth[n], out.X[n] = s.Depth[i]+0, s.FromTip[i]+0 // never a minus nought
	}
	return out
}
