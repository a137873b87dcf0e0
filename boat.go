package windlane

import (
	"fmt"
	"math"

	"windlane/brief"
	"windlane/drift"
	"windlane/plan"
	"windlane/tackle"
)

// Adrift is the bag's boat bare or with one drogue, and how it answers the wind.
type Adrift struct {
	Name     string // "no drogue", or the drogue's
	Drogue   bool
	Expected drift.Expected
	Source   Source
	Time     float64      // of drifting that a figure by Tracks rests on [s]
	Setup    *drift.Setup // as measured; nil without a boat
}

// Source is what a drift figure comes from, the best there is.
type Source string

// The sources.
const (
	Tracks    Source = "tracks"    // the boat's own, as the bag gives them
	Measures  Source = "measures"  // its length, sides, people and drogue
	Published Source = "published" // leeway of small open boats
)

// NoDrogue is the name of the bare boat.
const NoDrogue = "no drogue"

// mostRemembered is the longest that a figure learned on another day counts for
// against a track of today: loading and forecasts differ by the day. [s] A
// modelling choice.
const mostRemembered = 30 * 60

// SetUpsAdrift are the bag's boat bare and with each drogue: by its own tracks,
// else by its measures and ropes, without a boat by published leeway.
func SetUpsAdrift(bag *tackle.Bag) ([]Adrift, error) {
	b := bag.Boat
	if b == nil {
		out := []Adrift{{Name: NoDrogue, Expected: drift.ExpectedOf(false), Source: Published}}
		for _, g := range bag.Drogues {
			out = append(out, Adrift{Name: g.Name, Drogue: true, Expected: drift.ExpectedOf(true), Source: Published}.learned(g.Drift))
		}
		return out, nil
	}
	boat := drift.Boat{Length: b.Length, Beam: b.Beam, Freeboard: b.Freeboard, Draught: b.Draught, People: b.People, Mass: b.Laden()}
	hull, err := boat.Setup()
	if err != nil {
		return nil, fmt.Errorf("the bag's boat: %w", err)
	}
	out := []Adrift{Adrift{Name: NoDrogue, Expected: hull.Expected(), Source: Measures, Setup: &hull}.learned(b.Drift)}
	for _, g := range bag.Drogues {
		s := hull.With(drogue(g))
		e := s.Expected()
		if e.Slip, err = slip(s, boat.Ends(), g.Ropes); err != nil {
			return nil, fmt.Errorf("the bag's drogue %s: %w", g.Name, err)
		}
		out = append(out, Adrift{Name: g.Name, Drogue: true, Expected: e, Source: Measures, Setup: &s}.learned(g.Drift))
	}
	return out, nil
}

// learned is the set-up by its own tracks, if the bag gives what they said.
func (a Adrift) learned(l tackle.Learned) Adrift {
	if l.Fraction > 0 {
		a.Source, a.Time = Tracks, l.Time
		a.Expected = drift.Expected{
			Fraction: drift.Fraction{Mean: l.Fraction, SD: l.SD}, Slip: l.Slip, SlipSD: l.SlipSD,
			Worth: math.Max(drift.PriorWorth, math.Min(l.Time, mostRemembered)),
		}
	}
	return a
}

// slip is how a drogue's ropes turn the track off downwind, to the right
// positive; the pattern rather than the decimals. [rad]
func slip(s drift.Setup, ends drift.Ends, r *tackle.Ropes) (float64, error) {
	if r == nil {
		return 0, nil
	}
	yaw, err := drift.Bridle{Bow: r.Bow, Stern: r.Stern, Spread: r.Spread}.Yaw()
	if err != nil {
		return 0, err
	}
	toBow := s.Slip(drift.OnLake(1, 0), ends, yaw)
	if r.Right {
		return toBow, nil
	}
	return -toBow, nil
}

// boat is the bag's boat and drogues as the planner wants them.
func (d *day) boat() (plan.Boat, error) {
	adrift, err := SetUpsAdrift(d.Bag)
	if err != nil {
		return plan.Boat{}, err
	}
	var out plan.Boat
	if b := d.Bag.Boat; b != nil {
		out.Speed, out.Power, out.Energy = b.UnderWay(), b.Power, b.Energy
	} else { // unsaid: the slowest, as with a motor that is not said
		out.Speed = tackle.Boat{}.UnderWay()
	}
	for _, a := range adrift {
		least := plan.LeastDepth
		if a.Drogue {
			least = plan.LeastDepthDrogue
		}
		f := a.Expected.Fraction
		out.SetUps = append(out.SetUps, plan.SetUp{Name: a.Name, Drogue: a.Drogue, Motion: drift.Motion{Fraction: f.Mean, Slip: a.Expected.Slip}, LeastDepth: least, FractionSD: f.SD, SlipSD: a.Expected.SlipSD})
		facts := brief.BoatFacts{Name: a.Name, Drogue: a.Drogue, Fraction: f.Mean, Slip: a.Expected.Slip, Setup: a.Setup}
		if a.Source == Tracks {
			facts.SD, facts.Learned = f.SD, a.Time
		}
		d.facts.Boats = append(d.facts.Boats, facts)
	}
	return out, nil
}

func drogue(g tackle.Drogue) drift.Drogue {
	switch {
	case g.Measured == tackle.Mouth:
		return drift.OpenMouth(g.RoundSize())
	case g.Shape == tackle.Square:
		return drift.FlatSquare(g.Size)
	}
	return drift.FlatRound(g.Size)
}
