package brief

import (
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
	Home      Point
	HomeNamed bool // Home is a jetty that the lake names
	SetUps    []SetUpFacts
	Reach     cast.Reached // what the bag can do at the first hours' depth
	ReachRigs []tackle.Rig // that its options' Rig counts in
	Cautions  []caution.Caution
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
	Setup    *drift.Setup // nil: not known, the fraction is a guess
}

// SetUpFacts is a set-up that was chosen, and the cast that was run for it.
type SetUpFacts struct {
	Rig      tackle.Rig
	Question cast.Question
	Answer   cast.Answer
	Band     cast.Band
	Checks   []tackle.Finding
	First    bool    // to be fished at its hours; else another way of fishing
	From     int     // first of Hours it is for
	Until    int     // and one past the last
	Fresh    float64 // fresh water searched at their depth in an hour [m]
	Seconds  float64 // at their depth in a cast [s]
}
