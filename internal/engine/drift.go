package engine

import (
	"time"

	"windlane/drift"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/tackle"
)

func boatAfloat(r *wire.DriftRequest) (wire.DriftAnswer, *wire.Fault) {
	b := r.Boat
	boat := drift.Boat{Length: b.Length, Beam: b.Beam, Freeboard: b.Freeboard, Draught: b.Draught, People: b.People, Mass: b.Mass}
	bare, err := boat.Setup()
	if err != nil {
		return wire.DriftAnswer{}, wire.Refuse("boat", "%v", err)
	}
	scene := drift.OnLake(r.Wind, quantity.FromDegrees(r.WindFrom))
	a := wire.DriftAnswer{Bare: steady(bare, scene), Paces: []wire.WayPace{}}
	fractions := []float64{a.Bare.Fraction}
	if r.Drogue != nil {
		s := bare.With(drogueOf(*r.Drogue))
		held := steady(s, scene)
		if ropes := r.Drogue.Ropes; ropes != nil {
			yaw, err := drift.Bridle{Bow: ropes.Bow, Stern: ropes.Stern, Spread: ropes.Spread}.Yaw()
			if err != nil {
				return wire.DriftAnswer{}, wire.Refuse("drogue.ropes", "%v", err)
			}
			held.Slip = s.Slip(scene, boat.Ends(), yaw) / degree
			if ropes.Side == "left" {
				held.Slip = -held.Slip
			}
			held.Toward = quantity.TowardDegrees(held.Toward + held.Slip).Degrees()
		}
		a.Held = &held
		fractions = append(fractions, held.Fraction)
	}
	for _, way := range tackle.Ways {
		want, _ := drift.Wanted(drift.Way(way))
		pick, speed, verdict := drift.Choose(r.Wind, fractions, want)
		a.Paces = append(a.Paces, wire.WayPace{
			Way: string(way), Slow: want.Slow, Fast: want.Fast, UseDrogue: pick > 0, Speed: speed, Verdict: string(verdict),
			DrogueFrom: known(drift.DrogueFrom(fractions[0], want)),
		})
	}
	if r.KeepBelow > 0 {
		want := drift.Pace{Fast: r.KeepBelow}
		pick, speed, verdict := drift.Choose(r.Wind, fractions, want)
		a.Kept = &wire.KeptBelow{UseDrogue: pick > 0, Speed: speed, Verdict: string(verdict), DrogueFrom: known(drift.DrogueFrom(fractions[0], want))}
	}
	return a, nil
}

func drogueOf(d wire.Drogue) drift.Drogue {
	g := tackle.Drogue{Shape: tackle.Shape(d.Shape), Size: d.Size, Measured: tackle.Measure(d.Measured)}
	switch {
	case g.Measured == tackle.Mouth:
		return drift.OpenMouth(g.RoundSize())
	case g.Shape == tackle.Square:
		return drift.FlatSquare(g.Size)
	}
	return drift.FlatRound(g.Size)
}

func steady(s drift.Setup, scene drift.Scene) wire.SteadyDrift {
	d := s.Steady(scene)
	low, high := s.Band(scene, drift.StatedSpread())
	return wire.SteadyDrift{
		Speed: d.Speed, Low: low, High: high, Toward: d.Toward.Degrees(), Fraction: s.Fraction(),
		Settled: s.Settle(scene), DrogueLoad: d.DrogueLoad,
	}
}

// hour is the single questions of an hour, asked together.
func hour(r *wire.HourRequest) (a wire.HourAnswer, fault *wire.Fault) {
	if a.Sun, fault = sun(&wire.SunRequest{At: r.At, Latitude: r.Latitude, Longitude: r.Longitude}); fault != nil {
		return a, fault
	}
	date := r.At.In(time.FixedZone("", r.Offset*60)).Format(time.DateOnly)
	if a.Times, fault = sunTimes(&wire.SunTimesRequest{Date: date, Offset: r.Offset, Latitude: r.Latitude, Longitude: r.Longitude}); fault != nil {
		return a, fault
	}
	if a.Light, fault = lightAt(&wire.LightRequest{Elevation: a.Sun.Elevation, Cloud: r.Cloud, Secchi: r.Secchi, Depths: r.Depths}); fault != nil {
		return a, fault
	}
	a.Waves, fault = wavesAt(&wire.WavesRequest{Wind: r.Wind, Fetch: r.Fetch, Depth: r.Depth})
	return a, fault
}
