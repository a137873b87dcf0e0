package brief

import (
	"slices"
	"time"

	"windlane/almanac"
	"windlane/cast"
	"windlane/caution"
	"windlane/conditions"
	"windlane/drift"
	"windlane/forecast"
	"windlane/outing"
	"windlane/plan"
	"windlane/presence"
	"windlane/tackle"
	"windlane/water"
)

// Facts are what the day's steps have found, from which Of makes the words.
type Facts struct {
	Water     *water.Water
	Outing    *outing.Day
	Bag       *tackle.Bag
	Weather   *forecast.Forecast
	Sun       almanac.Times
	Hours     []HourFacts // the full hours afloat
	Rows      []HourFacts // each time the weather is told for, and the ends; without Belief
	Boats     []BoatFacts // bare first, then with each drogue
	Limits    plan.Limits
	Plan      plan.Plan
	Met       *plan.Observed // the wind just met, where the plan was turned to one
	Home      Point
	HomeNamed bool // Home is a jetty that the lake names
	SetUps    []SetUpFacts
	Reach     cast.Reached // what the bag can do at the first hours' depth
	ReachRigs []tackle.Rig // that its options' Rig counts in
	Cautions  []caution.Caution
	Aim       AimFacts

	Over       time.Time // thunder or fog ends the day then; zero: neither
	OverWhy    string    // "Thunder is likely"
	FogAtFirst bool      // at the first hour
	Lifts      time.Time // when that fog lifts by the forecast; zero: not in the hours
	Remarks    []string  // what of the day file means nothing on this lake or with this bag
}

// AimFacts is what the aim and the rod average changed.
type AimFacts struct {
	RodAverage float64   // taken, fish a rod and day [1]
	RodTold    bool      // else the usual one
	Blank      float64   // so long without an offer takes a factor e off a patch's worth [s]
	At         time.Time // the middle hour; zero when the aim changes no water
	OtherWater float64   // share of the best tenth of the lake then that is not of it for most fish [1]
	FirstElse  string    // the set-up that one would begin with for most fish; empty: the same
	Unmet      string    // why a way that was asked for is not among the set-ups; empty: it is
}

// HourFacts is one hour.
type HourFacts struct {
	At         time.Time
	Weather    forecast.Hour
	Conditions conditions.Conditions // in the middle of the widest water
	Belief     presence.Belief       // at a middling place of the water worth most
}

// BoatFacts is the boat bare or with one drogue.
type BoatFacts struct {
	Name     string
	Drogue   bool
	Fraction float64      // drift over wind at 10 m [1]
	SD       float64      // its standard error, if learned from the boat's own tracks; else 0 [1]
	Slip     float64      // off downwind, to the right positive [rad]
	Learned  float64      // as many seconds of them; 0: not learned [s]
	Setup    *drift.Setup // as measured; nil: not known, the fraction is a guess if it is not learned
}

// SetUpFacts is a set-up that was chosen, and the cast that was run for it.
type SetUpFacts struct {
	Rig      tackle.Rig
	Question cast.Question
	Answer   cast.Answer
	Band     cast.Band
	Checks   []tackle.Finding
	First    bool    // to be fished at its hours; else another way of fishing
	Spells   []Spell // the hours it is for, in order; none for another way
	Fresh    float64 // fresh water searched at their depth in an hour [m]
	Seconds  float64 // at their depth in a cast [s]
	Freshest bool    // no other way searches more there in those hours
}

// Spell is a run of Facts.Hours.
type Spell struct {
	From  int // the first
	Until int // one past the last
}

// At is whether a set-up is meant for an hour.
func (s SetUpFacts) At(hour int) bool {
	return slices.ContainsFunc(s.Spells, func(x Spell) bool { return x.From <= hour && hour < x.Until })
}
