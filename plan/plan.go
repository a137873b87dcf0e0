// Package plan joins drifts into a day: where to begin each, with which drogue,
// when to lift it, what it passes, when to turn for home, and when to stay in.
//
// Every cell of the lake is a start; its drift is scored by the fresh water it
// covers, weighted by what the hour says that water is worth, in the mean over
// the winds the forecast holds possible. The drift with the most per minute, ride
// and drogue included, is taken, what it covers counts as fished, and so on to
// the end of the hours; then small changes are tried while they better the day. A
// limit of gusts or waves ends the day: it never bends a plan round it.
//
// Inputs are small: rasters on one grid, rows of wind, shapes in plane metres,
// numbers. Nothing here reads a file or a clock; the same question gives the
// same answer. The model page is docs/models/plan.md.
//
// plan may touch what stands before it in house_test.go and nothing of the rim.
package plan

import (
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/grid"
	"windlane/quantity"
)

// Question is what a day is planned from.
type Question struct {
	Lake     Lake
	Hours    []Hour    // in order, at any minute; the first at or before From, the last no more than an hour before Until
	From     time.Time // lines in the water no earlier
	Until    time.Time // back at Home no later
	Start    orb.Point // where the boat is at From, plane metres
	Home     orb.Point // the jetty, plane metres
	Boat     Boat
	Limits   Limits
	Settings Settings
	// Fished is the effort already on each cell at From: 1 means that water
	// has been covered once over. nil for untouched water. [1]
	Fished []float32
	// Blank is for how long the patch round each cell has been fished without an
	// offer by From; nil for not at all. [s] Fished gives both.
	Blank []float32
	// Others are the ways of other boats' drifts, in plane metres: not drifted
	// within 40 m of, and gone round under motor where that is not much farther.
	Others []orb.LineString
	// Observed is the wind just met; nil when there is only the forecast.
	Observed *Observed
}

// Observed is a wind measured or judged afloat, a mean of ten minutes or so. The
// forecast is turned and stretched to it then, and goes back to itself with
// Settings.Fade.
type Observed struct {
	At   time.Time
	Wind float64       // at 10 m [m/s]
	From quantity.From // [rad]
}

// Lake is the water at today's level. Of is the plain way to one.
type Lake struct {
	Grid    grid.Grid
	Wet     []bool    // cells that hold water
	Depth   []float32 // at today's level; NaN where it is not known, and any water is taken as deep enough [m]
	Sounded []bool    // cells near enough to a sounding to believe the depth; nil: all of them
	Places  []Place
	// Wave is the significant wave height in metres for a wind at 10 m in m/s, a
	// fetch and a depth in metres (+Inf where it is not known); nil leaves waves
	// unjudged.
	Wave func(wind, fetch, depth float64) float64
}

// Place is a feature of the lake.
type Place struct {
	Kind     string
	Name     string
	Shape    orb.Geometry // plane metres
	Radius   float64      // how far it reaches round its shape; 0 for the shape alone [m]
	KeepOff  float64      // a drift stays this far off; 0 where it may pass over [m]
	MotorOff float64      // under motor the boat stays this far off; 0 where it may pass over [m]
	Landmark bool         // can be seen from afar and is fit to take a bearing on
}

// Hour is the weather at a time and what the water is worth from then to the next.
type Hour struct {
	At      time.Time
	Wind    float64       // mean at 10 m [m/s]
	Gust    float64       // highest 3 s; 0 when not forecast [m/s]
	From    quantity.From // [rad]
	FromSD  float64       // standard deviation of the forecast direction [rad]
	SpeedSD float64       // standard deviation of the forecast speed as a share of it [1]
	// Shifting: the wind is variable or nobody knows where it comes from. From
	// means nothing then, and no drift is laid till the next hour. With less wind
	// than Limits.Calm it is a calm.
	Shifting bool
	Worth    []float32 // how much a cell's water is worth; NaN counts as 0 [1]
}

// Boat is what the planner needs to know of a boat.
type Boat struct {
	SetUps []SetUp // the bare boat first, then with each drogue
	Speed  float64 // under motor [m/s]
	Power  float64 // drawn by the motor at that speed; 0 when energy does not count [W]
	Energy float64 // in the battery or tank at From; 0 when it does not count [J]
}

// SetUp is the boat drifting, bare or with one drogue out.
type SetUp struct {
	Name       string
	Drogue     bool
	Motion     drift.Motion
	LeastDepth quantity.Depth // least depth it is drifted in [m]
	FractionSD float64        // how surely the motion's fraction is known, one standard deviation [1]
	SlipSD     float64        // and its slip [rad]
}

// Limits are the person's, and the water's own where it is stricter.
type Limits struct {
	Gust        float64    // the boat is ashore before gusts reach this [m/s]
	Wave        float64    // and before waves by the gust at the longest fetch reach this; 0 not judged [m]
	Pace        drift.Pace // speed wanted by the way of fishing
	Calm        float64    // below this mean wind no drift is planned [m/s]
	MarginTime  float64    // a drift ends this long before it would reach a shore [s]
	LeastMargin float64    // and no nearer to it than this [m]
	MotorDepth  float64    // least depth under motor [m]
	Reserve     float64    // share of the energy kept, and added to the ride home [1]
}

// DefaultLimits are the product's: gusts 12 m/s and waves 0.3 m (design
// category D of ISO 12217 as a ceiling, not a permission), shore margin 3 min of
// drift and at least 15 m, 0.6 m under motor, a quarter in reserve, the pace
// for lures. All but the category: common practice, no source.
func DefaultLimits() Limits {
	pace, _ := drift.Wanted(drift.Lures)
	return Limits{Gust: 12, Wave: 0.3, Pace: pace, Calm: 1, MarginTime: 180, LeastMargin: 15, MotorDepth: 0.6, Reserve: 0.25}
}

// Least depths of drifting: bare, as fry is fished close in; with a drogue that
// hangs 1 to 2 m down. [m] Common practice, no source.
const (
	LeastDepth       quantity.Depth = 0.7
	LeastDepthDrogue quantity.Depth = 1.3
)

// Settings are the planner's modelling choices.
type Settings struct {
	Swept     float64 // water covered by all rods [m²/s]
	Reach     float64 // radius round the boat in which it is covered [m]
	Recovery  float64 // covered water is fresh again by a factor e after this; 20 min at the least [s]
	Patch     float64 // fish lie in patches of this radius: what a drift finds holds that far round it [m]; 0 judges no patch
	Blank     float64 // a patch fished this long without an offer is worth a factor e less for the day [s]
	PutOut    float64 // to put a drogue out, or to settle without one [s]
	HandIn    float64 // to hand a drogue in, before the engine starts [s]
	Shortest  float64 // no drift is shorter [s]
	Longest   float64 // no drift is longer [s]
	PassWidth float64 // a place nearer than this is passed [m]
	DropOff   float64 // bed slope from which it is a drop-off [1]
	Fade      float64 // an observed wind's difference from the forecast fades by a factor e after this [s]
	Most      int     // drifts planned at the most; 0 for as many as the day holds, 1 for the next alone
	Tries     int     // changes tried to better the first plan; 0 for none
	Seed      uint64  // of the changes tried
}

// DefaultSettings: two rods cover 80 m² a minute within 18 m, fresh again after
// 45 min (30 to 60, common practice), patches of 80 to 150 m (common practice)
// that 45 min without an offer cast doubt on (a modelling choice), a drogue takes 1½ min each way, drifts
// last 6 to 60 min, 25 m is a cast, a slope of 0.09 an edge.
func DefaultSettings() Settings {
	return Settings{
		Swept: 80.0 / 60, Reach: 18, Recovery: 45 * 60, Patch: 120, Blank: 45 * 60, PutOut: 90, HandIn: 90,
		Shortest: 360, Longest: 3600, PassWidth: 25, DropOff: 0.09, Fade: 4 * 3600,
	}
}

// Status is how a plan came out.
type Status string

const (
	Whole            Status = "whole"             // the hours are filled
	CutShort         Status = "cut_short"         // something ends the day early
	GoIn             Status = "go_in"             // a limit ends the day: be ashore by then
	NothingReachable Status = "nothing_reachable" // no drift at all
)

// Plan is a day.
type Plan struct {
	Status Status
	Reason string // why, in a sentence; empty when whole
	Drifts []Drift
	Hours  []HourNote
	Waits  []Wait

	GoIn     time.Time // a limit is reached then: ashore before it; zero if never
	Deadline time.Time // home by then
	TurnHome time.Time // leave the last drift's end no later; zero without drifts
	RideHome Ride      // from the end of the last drift
	Home     time.Time // home then, if the plan is kept

	Value        float64 // fresh water covered by all drifts, by worth, mean over the winds [m²]
	FishingShare float64 // minutes drifting over minutes out [1]
	EnergyLeft   float64 // share of the energy left at home; 1 when it does not count [1]
}

// HourNote is one hour at a glance, from its time to the next's.
type HourNote struct {
	At       time.Time
	Calm     bool          // too little wind to drift
	Shifting bool          // the wind may come from anywhere: no drift is laid
	Over     bool          // over a limit
	SetUp    string        // what the pace wanted asks for
	Speed    float64       // drift with it [m/s]
	Verdict  drift.Verdict // of that speed
	Fetch    float64       // longest on the water that can be reached [m]
	Wave     float64       // significant, by the gust, at the end of that fetch; 0 when not judged [m]
	Best     []Option      // the best few distinct drifts begun then on fresh water, wherever the boat is; none looked for in less than a quarter of an hour
}

// Option is a drift that could be made.
type Option struct {
	X       float64 // start, east [m]
	Y       float64 // start, north [m]
	EndX    float64 // end, east [m]
	EndY    float64 // end, north [m]
	Minutes float64 // [min]
	Value   float64 // fresh water covered, by worth [m²]
	Rate    float64 // value for each minute, ride and drogue included [m²/min]
}

// Wait is time not spent drifting.
type Wait struct {
	From, Until time.Time
	Reason      string
}

// Ride is a way under motor, clear of shallows and places kept off.
type Ride struct {
	Way    []orb.Point // plane metres; empty when the boat stays where it is
	Metres float64     // [m]
	Time   float64     // [s]
}

// Ending is why a drift ends where it does.
type Ending string

const (
	AtShore   Ending = "shore"    // the margin to a shore
	AtShallow Ending = "shallow"  // too little water for the set-up
	AtKeepOff Ending = "keep_off" // a place kept off
	AtPoorer  Ending = "poorer"   // a fresh start is worth more than the water ahead
	AtLongest Ending = "longest"  // the longest drift allowed
	AtSpread  Ending = "spread"   // in one wind of four that the forecast holds possible, one of the three above
	AtTime    Ending = "time"     // the hours, or the way home
	AtWind    Ending = "wind"     // from then on the wind may come from anywhere
)

// Drift is one drift of the day.
type Drift struct {
	Ride     Ride // to its start
	Start    time.Time
	End      time.Time
	X        float64         // start, east [m]
	Y        float64         // start, north [m]
	Minutes  float64         // [min]
	SetUp    string          // name of the set-up
	Drogue   bool            // a drogue is out
	Speed    float64         // mean over the drift [m/s]
	Toward   quantity.Toward // from start to end [rad]
	Verdict  drift.Verdict   // of the speed against the pace wanted
	Track    []Point
	Passes   []Pass
	Stop     StopBar
	Ending   Ending
	Fan      Fan
	Value    float64  // fresh water covered, by worth [m²]
	Rate     float64  // value for each minute, ride and drogue included [m²/min]
	Next     []Option // the next best distinct drifts from the same moment
	Why      Why
	Change   *Change // what would make the next best better; nil if nothing within 60°
	RideHome float64 // from its end [s]
}

// Point is the boat at a minute of a drift.
type Point struct {
	Minute  float64        // since the start [min]
	X       float64        // east [m]
	Y       float64        // north [m]
	Depth   quantity.Depth // of the bed; NaN where it is not known [m]
	Sounded bool           // a sounding is near enough to believe the depth
	Worth   float64        // of the water round the boat [1]
}

// Pass is something a drift goes by. Depths are NaN where they are not known.
type Pass struct {
	From  float64        // first minute [min]
	To    float64        // last minute [min]
	Kind  string         // a place's kind, or DropOff, IslandEdge
	Name  string         // a place's name
	First quantity.Depth // bed at the first minute [m]
	Last  quantity.Depth // bed at the last [m]
	Least quantity.Depth // shallowest between [m]
	Most  quantity.Depth // deepest between [m]
	Near  float64        // nearest the boat comes; 0 when over it [m]
	Slope float64        // steepest bed on the way [1]
}

// Kinds of Pass that are found in the depths themselves.
const (
	DropOff    = "drop_off"
	IslandEdge = "island_edge"
)

// StopBar is where to stop.
type StopBar struct {
	At       time.Time
	Lift     time.Time // begin to hand the drogue in; At without one
	X        float64   // east [m]
	Y        float64   // north [m]
	Landmark string    // name of what to look at; empty when there is none
	Bearing  quantity.Toward
	Distance float64 // to the landmark [m]
}

// Fan is where the boat may go: of ten forecasts like this one, eight lie
// between the outer tracks in direction, and eight between the ends in speed.
type Fan struct {
	Left  []orb.Point // each minute, the wind as far backed as eight in ten go
	Right []orb.Point // and as far veered
	Short orb.Point   // end in the least wind
	Long  orb.Point   // end in the most
	Safe  float64     // share of the forecast's winds in which it stays clear to the end [1]
}

// Why is what speaks for a drift.
type Why struct {
	WorthRatio float64 // worth of its water over the mean of all water that can be drifted [1]
	Fresh      float64 // share of its value not lost to earlier drifts [1]
	BestFrom   float64 // its best stretch begins [min]
	BestTo     float64 // and ends [min]
	OverNext   float64 // its rate over the next best's; 0 when there is none [1]
}

// Change is the smallest turn of the wind that makes the next best drift better.
type Change struct {
	Turn float64       // clockwise (veering) positive [rad]
	From quantity.From // wind from there or beyond [rad]
	To   Option
}
