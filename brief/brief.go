// Package brief holds a day's plan as words, tables and figures, before any
// format: everything a page, a print or a terminal shows of it, and nothing else.
// The sentences are made here; numbers stay SI for whoever draws them.
//
// brief may touch every package on its left; nothing on its left knows it.
package brief

import (
	"time"

	"windlane/quantity"
)

// Brief is the plan of one day.
type Brief struct {
	Water    string
	Units    quantity.System
	From     time.Time // first hour afloat, in the water's own clock
	Until    time.Time
	Headline string // "Boat 09:00 to 17:30. Start with the 3 in/s line, count 24, drift 1."
	Status   string // whole, cut_short, go_in, nothing_reachable
	Reason   string // why the status, a sentence; empty when whole

	Cautions []Caution // gravest first
	Hours    []Hour
	Lake     Lake
	Drifts   []Drift
	SetUps   []SetUp // the set-ups advised, the first to start with
	Choices  []Choice
	Turn     string // when to turn for home, and why
	Kit      []string
	Touch    []string // keep in touch, hang, move: short rules for the day
	NotKnown []string // what the plan could not know, in plain words
	Sources  []string // which part computed what, from what
}

// Level is how grave a caution is.
type Level string

// The three levels of caution, the gravest last.
const (
	Note Level = "note"
	Mind Level = "mind"
	Now  Level = "now"
)

// Caution is one thing to mind, with where it comes from.
type Caution struct {
	Level  Level
	Text   string
	Source string
}

// Hour is one column of the hour strip.
type Hour struct {
	At         time.Time
	WindFrom   quantity.From
	Wind       float64   // mean at 10 m [m/s]
	Gust       float64   // [m/s]
	GustLimit  bool      // the gust is over the person's limit
	Wave       float64   // significant height where the drifts are [m]
	WaveLow    float64   // least of the models [m]
	WaveHigh   float64   // most of the models [m]
	Light      float64   // share of the brightest hour's light just under the surface [1]
	DriftBare  float64   // without the drogue [m/s]
	Drift      float64   // as advised this hour [m/s]
	DriftLow   float64   // [m/s]
	DriftHigh  float64   // [m/s]
	Drogue     bool      // advised in
	AirC       float64   // [°C]
	LayerDepth float64   // thickness of one layer of Belief [m]
	Belief     []float64 // how likely fish are in each layer from the surface down, the greatest 1 [1]
	Bands      []Band    // their depth; two when there are two likely depths
}

// Band is a range of depth, from the surface.
type Band struct {
	Top    float64 // [m]
	Bottom float64 // [m]
}

// Point is a place on the plane of the lake: metres east and north of its origin.
type Point struct {
	X float64 // [m]
	Y float64 // [m]
}

// Lake is the picture of the water, north up; whoever draws it turns it.
type Lake struct {
	WindFrom   quantity.From // that the picture is turned to: the wind blows down the page
	WindText   string        // "SW 9 mph, backing S 15"
	Shore      [][]Point     // today's shoreline rings, the water on the left of outer rings
	Islands    [][]Point
	Contours   []Contour
	Places     []Place
	NotSounded [][]Point // rings round water that nobody has sounded
	Low, High  Point     // corners of the water's box
}

// Contour is one line of equal depth below today's surface.
type Contour struct {
	Depth float64 // [m]
	Lines [][]Point
}

// Place is a feature of the lake to draw: a point, a line or a ring by its Kind.
type Place struct {
	Kind   string
	Name   string
	Line   []Point
	Closed bool
}

// Drift is one drift of the plan.
type Drift struct {
	Number  int
	Start   time.Time
	Minutes float64 // [min]
	Length  float64 // over the ground [m]
	Motor   float64 // motoring to its start [min]
	Speed   float64 // [m/s]
	Drogue  bool
	SetUp   int // which of Brief.SetUps
	Track   []Step
	Fan     [][]Point // left and right edge of the spread that holds 8 in 10
	Passes  []Pass
	StartAt string     // "480 yd NE of the jetty": where to begin, in words
	LonLat  [2]float64 // of the start, degrees east and north [deg]
	End     string     // "Lift here 10:42, with the island's edge at ESE"
	EndBy   string     // margin, time, …
	Why     string
	Change  string // what would change it
}

// Step is one minute of a drift.
type Step struct {
	Minute  float64 // [min]
	At      Point
	Bed     float64 // depth of the bed below today's surface [m]; NaN where nobody knows
	Sounded bool
}

// Pass is something the drift goes by.
type Pass struct {
	FromMinute float64 // [min]
	ToMinute   float64 // [min]
	What       string  // "drop-off, 11 to 17 ft"
}

// SetUp is one rod made ready: what is tied on, how it is fished, where its flies go.
type SetUp struct {
	Name     string // "#8, 3 in/s line, two lures"
	Way      string // counted sinking line, washing line, …
	Line     string
	Leader   string
	Flies    []Fly
	Hang     float64 // hang mark, from the point fly [m]
	Length   float64 // leader, tip of the line to the point [m]
	Count    float64 // seconds to count before pulling; 0 where the way has no count [s]
	Pull     string  // "pull 12 in, 27 a minute"
	Out      float64 // line and leader out at landing [m]
	Cycle    float64 // seconds from landing to landing [s]
	In       float64 // seconds at their depth in a cast, the better fly [s]
	Searched float64 // fresh water searched at their depth in an hour, relative to the best [1]
	When     string  // "start here", "from 13:00", "before 10:30"
	Rule     string  // the way's depth rule in words
	Cast     CastPicture
	Checks   []Check
	Why      string
}

// Fly is one fly on the leader.
type Fly struct {
	Role    string // point, dropper, middle, top dropper
	Name    string
	FromTip float64 // down the leader from the tip of the line [m]
	AtCount float64 // depth when the count ends [m]
	Deepest float64 // [m]
	AtHang  float64 // depth at the end of the hang [m]
	In      float64 // seconds at their depth [s]
	Path    []Sample
}

// Sample is where a fly is at a second of the cast.
type Sample struct {
	Second float64 // [s]
	Depth  float64 // [m]
	X      float64 // from the rod tip, downwind [m]
}

// CastPicture is the side view under one cast.
type CastPicture struct {
	Span       float64 // seconds drawn [s]
	CountEnd   float64 // [s]
	PullEnd    float64 // [s]
	HangEnd    float64 // [s]
	PullEvery  float64 // seconds from pull to pull; 0 for a steady retrieve [s]
	Band       []Band
	Belief     []float64 // as Hour.Belief [1]
	LayerDepth float64   // [m]
	Bed        float64   // NaN where unknown [m]
	Low        float64   // how much shallower the point may be [m]
	High       float64   // how much deeper the point may be [m]
	RuleDepth  float64   // n in/s times t seconds [m]
	RuleText   string    // why it differs
	Still      []Sample  // the line's true shape at the end of the count: X against Depth
}

// Check is one check of a set-up.
type Check struct {
	Level string // good, mind, no
	Text  string
}

// Choice is one row of the table of what else reaches them: line, count, retrieve.
type Choice struct {
	Line     string
	Fly      string  // the fly that does best
	Count    float64 // [s]
	Retrieve string
	AtCount  float64 // that fly's depth when the count ends [m]
	Deepest  float64 // [m]
	In       float64 // seconds at their depth [s]
	Hour     float64 // fresh water searched in an hour, the best 1 [1]
	When     string
}
