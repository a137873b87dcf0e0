package plan

import (
	"math"

	"windlane/water"
)

// Distances that a drift and a motor stay off, where the lake's file gives
// none. [m] Common practice, no source; the water's own rules come first.
const (
	offZone    = 30.0 // a place where no boat drifts
	offAngler  = 50.0 // somebody fishing from the bank, for boat and for flies
	offBuoys   = 15.0 // buoys and rocks, for a drogue's ropes
	besides    = 5.0  // what is not motored into
	offBoats   = 40.0 // another boat's drift, two casts
	castRadius = 18.0 // where flies from the boat fall, added to offAngler
)

// Of is a surveyed water at its level, as the planner takes it. Wave may be nil.
func Of(w *water.Water, wave func(wind, fetch, depth float64) float64) Lake {
	l := Lake{Grid: w.Grid, Wet: w.Wet(), Depth: w.Depths(), Sounded: make([]bool, w.Grid.Len()), Wave: wave}
	for k := range l.Sounded {
		l.Sounded[k] = w.Sounded(w.Grid.Centre(k))
	}
	for _, p := range w.Places {
		if p.Kind != water.Shoreline {
			l.Places = append(l.Places, placed(p))
		}
	}
	return l
}

// placed says what a place means to a boat.
func placed(p water.Place) Place {
	given := func(v, otherwise float64) float64 {
		if math.IsNaN(v) {
			return otherwise
		}
		return v
	}
	out := Place{Kind: string(p.Kind), Name: p.Name, Shape: p.Shape, Radius: given(p.Radius, 0), KeepOff: given(p.KeepOff, 0)}
	switch p.Kind {
	case water.BankAngler:
		out.MotorOff = given(p.KeepOff, offAngler)
		out.KeepOff = out.MotorOff + castRadius
	case water.Buoy, water.BuoyLine, water.Rock:
		out.KeepOff, out.MotorOff = given(p.KeepOff, offBuoys), besides
	}
	if p.NoDrift { // its inside whatever the distance
		out.KeepOff = math.Max(out.KeepOff, math.Max(besides, given(p.KeepOff, offZone)))
	}
	if p.NoMotor {
		out.MotorOff = math.Max(out.MotorOff, besides)
	}
	// A distance that is given is kept under motor too, but for what one lands at
	// and a zone through which motors are let.
	if through := p.Kind == water.NoGo && !p.NoMotor; p.Kind != water.Jetty && !through {
		out.MotorOff = math.Max(out.MotorOff, given(p.KeepOff, 0))
	}
	switch p.Kind {
	case water.Jetty, water.Dam, water.Island: // a causeway is drowned
		out.Landmark = true
	default:
		out.Landmark = !p.Kind.Known() // a tower, a church: somebody thought it worth marking
	}
	return out
}
