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
	Water    string          `json:"water"`
	Units    quantity.System `json:"units"`
	From     time.Time       `json:"from"` // first hour afloat, in the water's own clock
	Until    time.Time       `json:"until"`
	Headline string          `json:"headline"` // "Boat 09:00 to 17:30. Start with the 3 in/s line, count 24, drift 1."
	Status   string          `json:"status"`   // whole, cut_short, go_in, nothing_reachable
	Reason   string          `json:"reason"`   // why the status, a sentence; empty when whole
	Aim      string          `json:"aim"`      // what the aim changed, a sentence or two; empty for most fish by any way

	First    string    `json:"first"`    // what comes before this page: rules, warden, weather service
	Cautions []Caution `json:"cautions"` // gravest first; why a day is not whole stands at the head of its level
	Hours    []Hour    `json:"hours"`
	Lie      []Lie     `json:"lie"` // where they lie and why: early, and in the middle of the day
	Lake     Lake      `json:"lake"`
	Drifts   []Drift   `json:"drifts"`
	Waits    []Wait    `json:"waits"`   // time afloat that no drift fills
	SetUps   []SetUp   `json:"set_ups"` // the set-ups advised, the first to start with
	Choices  []Choice  `json:"choices"`
	Turn     string    `json:"turn"`      // when to turn for home, and why
	RideHome []Point   `json:"ride_home"` // the way home under motor from the end of the last drift
	Kit      []string  `json:"kit"`
	Touch    []string  `json:"touch"`     // keep in touch, hang, move: short rules for the day
	Others   []string  `json:"others"`    // other good lines, hour by hour, for who is elsewhere
	NotKnown []string  `json:"not_known"` // what the plan could not know, in plain words
	Sources  []string  `json:"sources"`   // which part computed what, from what
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
	Level  Level  `json:"level"`
	Text   string `json:"text"` // what to do
	Why    string `json:"why"`
	Source string `json:"source"`
}

// Hour is one column of the hour strip.
type Hour struct {
	At         time.Time     `json:"at"`
	WindFrom   quantity.From `json:"wind_from_deg"`  // means nothing when Shifting
	Shifting   bool          `json:"wind_shifting"`  // variable or calm: from anywhere
	Wind       float64       `json:"wind_m_s"`       // mean at 10 m [m/s]
	Gust       float64       `json:"gust_m_s"`       // [m/s]
	GustTold   bool          `json:"gust_told"`      // else the usual one for the mean
	GustLimit  bool          `json:"gust_limit"`     // the gust is over the person's limit
	Wave       float64       `json:"wave_m"`         // significant height in the middle of the widest water [m]
	WaveLow    float64       `json:"wave_low_m"`     // least of the models [m]
	WaveHigh   float64       `json:"wave_high_m"`    // most of the models [m]
	Light      float64       `json:"light"`          // share of the brightest hour's light just under the surface [1]
	DriftBare  float64       `json:"drift_bare_m_s"` // without the drogue [m/s]
	Drift      float64       `json:"drift_m_s"`      // as advised this hour [m/s]
	DriftLow   float64       `json:"drift_low_m_s"`  // [m/s]
	DriftHigh  float64       `json:"drift_high_m_s"` // [m/s]
	Drogue     bool          `json:"drogue"`         // advised in
	AirC       float64       `json:"air_c"`          // [°C]
	LayerDepth float64       `json:"layer_depth_m"`  // thickness of one layer of Belief [m]
	Belief     []float64     `json:"belief"`         // how likely fish are in each layer from the surface down, the greatest 1 [1]
	Bands      []Band        `json:"bands"`          // their depth; two when there are two likely depths
}

// Band is a range of depth, from the surface.
type Band struct {
	Top    float64 `json:"top_m"`    // [m]
	Bottom float64 `json:"bottom_m"` // [m]
}

// Lie is what speaks for the depths of one hour.
type Lie struct {
	At      time.Time `json:"at"`
	Bed     float64   `json:"bed_m"` // of the middling place asked about [m]
	Reasons []Reason  `json:"reasons"`
	Remarks []string  `json:"remarks"`
}

// Reason is one of the things fish may be there for.
type Reason struct {
	Name    string  `json:"name"`
	Share   float64 `json:"share"`   // of what is expected [1]
	Low     float64 `json:"low"`     // were its odds half as good [1]
	High    float64 `json:"high"`    // were they twice as good [1]
	Depth   float64 `json:"depth_m"` // the middle of where it puts them, from the surface [m]
	FromBed bool    `json:"from_bed"`
	Why     string  `json:"why"`
}

// Point is a place on the plane of the lake: metres east and north of its origin.
type Point struct {
	X float64 `json:"x_m"` // [m]
	Y float64 `json:"y_m"` // [m]
}

// Lake is the picture of the water, north up; whoever draws it turns it.
type Lake struct {
	WindFrom   quantity.From `json:"wind_from_deg"` // that the picture is turned to: the wind blows down the page
	WindText   string        `json:"wind_text"`     // "SW 9 mph, backing S 15"
	Shore      [][]Point     `json:"shore"`         // today's shoreline rings, the water on the left of outer rings
	Islands    [][]Point     `json:"islands"`
	Contours   []Contour     `json:"contours"`
	Places     []Place       `json:"places"`
	NotSounded [][]Point     `json:"not_sounded"`       // rings round water that nobody has sounded
	Low        Point         `json:"low"`               // corners of the water's box
	High       Point         `json:"high"`              // corners of the water's box
	Origin     [2]float64    `json:"origin_lonlat_deg"` // where the plane's zero lies, degrees east and north [deg]
}

// Contour is one line of equal depth below today's surface.
type Contour struct {
	Depth float64   `json:"depth_m"` // [m]
	Lines [][]Point `json:"lines"`
}

// Place is a feature of the lake to draw: a point, a line or a ring by its Kind.
type Place struct {
	Kind   string  `json:"kind"`
	Name   string  `json:"name"`
	Line   []Point `json:"line"`
	Closed bool    `json:"closed"`
}

// Drift is one drift of the plan.
type Drift struct {
	Number  int        `json:"number"`
	Start   time.Time  `json:"start"`
	Minutes float64    `json:"minutes_min"` // [min]
	Length  float64    `json:"length_m"`    // over the ground [m]
	Motor   float64    `json:"motor_min"`   // motoring to its start [min]
	Speed   float64    `json:"speed_m_s"`   // [m/s]
	Drogue  bool       `json:"drogue"`
	SetUp   int        `json:"set_up"` // which of Brief.SetUps
	Track   []Step     `json:"track"`
	Fan     [][]Point  `json:"fan"`  // left and right edge of the spread that holds 8 in 10
	Ride    []Point    `json:"ride"` // the way to its start under motor; empty where the boat stays
	Passes  []Pass     `json:"passes"`
	StartAt string     `json:"start_at"`   // "480 yd NE of the jetty": where to begin, in words
	LonLat  [2]float64 `json:"lonlat_deg"` // of the start, degrees east and north [deg]
	Stop    Stop       `json:"stop"`       // where and when to lift
	End     string     `json:"end"`        // the same in words: "Lift here 10:42: the jetty bears 016° (NNE), 100 yd off."
	EndBy   string     `json:"end_by"`     // margin, time, …
	Why     string     `json:"why"`
	Next    string     `json:"next_best"` // where else one might begin, best first
	Change  string     `json:"change"`    // what would change it
	Words   string     `json:"in_words"`  // from setting out to what comes after it, in a few sentences
}

// Stop is where a drift ends: by the clock, and by a landmark's bearing.
type Stop struct {
	At       time.Time       `json:"at"`
	HandIn   time.Time       `json:"hand_in"`     // begin to hand the drogue in; At without one
	Landmark string          `json:"landmark"`    // what to look at; empty when nothing fit is in sight
	Bearing  quantity.Toward `json:"bearing_deg"` // of the landmark from the boat
	Distance float64         `json:"distance_m"`  // to the landmark [m]
}

// Wait is time afloat between or instead of drifts, and why.
type Wait struct {
	From   time.Time `json:"from"`
	Until  time.Time `json:"until"`
	Reason string    `json:"reason"`
}

// Step is one minute of a drift.
type Step struct {
	Minute  float64 `json:"minute_min"` // [min]
	At      Point   `json:"at"`
	Bed     float64 `json:"bed_m"` // depth of the bed below today's surface [m]; NaN where nobody knows
	Sounded bool    `json:"sounded"`
}

// Pass is something the drift goes by.
type Pass struct {
	FromMinute float64 `json:"from_minute_min"` // [min]
	ToMinute   float64 `json:"to_minute_min"`   // [min]
	What       string  `json:"what"`            // "drop-off, 11 to 17 ft"
}

// SetUp is one rod made ready: what is tied on, how it is fished, where its flies go.
type SetUp struct {
	Name     string      `json:"name"` // "#8, 3 in/s line, two lures"
	Way      string      `json:"way"`  // counted sinking line, washing line, …
	Line     string      `json:"line"`
	Leader   string      `json:"leader"`
	Flies    []Fly       `json:"flies"`
	Hang     float64     `json:"hang_m"`   // hang mark, from the point fly [m]
	Length   float64     `json:"length_m"` // leader, tip of the line to the point [m]
	Count    float64     `json:"count_s"`  // seconds to count before pulling; 0 where the way has no count [s]
	Pull     string      `json:"pull"`     // "pull 12 in, 27 a minute"
	Out      float64     `json:"out_m"`    // line and leader out at landing [m]
	Cycle    float64     `json:"cycle_s"`  // seconds from landing to landing [s]
	In       float64     `json:"in_s"`     // seconds at their depth in a cast, the better fly [s]
	Searched float64     `json:"searched"` // fresh water searched at their depth in an hour, relative to the best [1]
	When     string      `json:"when"`     // "start here", "from 13:00", "before 10:30"
	Rule     string      `json:"rule"`     // the way's depth rule in words
	Cast     CastPicture `json:"cast"`
	Checks   []Check     `json:"checks"`
	Why      string      `json:"why"`
}

// Fly is one fly on the leader.
type Fly struct {
	Role    string   `json:"role"` // point, dropper, middle, top dropper
	Name    string   `json:"name"`
	FromTip float64  `json:"from_tip_m"` // down the leader from the tip of the line [m]
	AtCount float64  `json:"at_count_m"` // depth when the count ends [m]
	Deepest float64  `json:"deepest_m"`  // [m]
	AtHang  float64  `json:"at_hang_m"`  // depth at the end of the hang [m]
	In      float64  `json:"in_s"`       // seconds at their depth [s]
	Path    []Sample `json:"path"`
}

// Sample is where a fly is at a second of the cast.
type Sample struct {
	Second float64 `json:"second_s"` // [s]
	Depth  float64 `json:"depth_m"`  // [m]
	X      float64 `json:"x_m"`      // from the rod tip, downwind [m]
}

// CastPicture is the side view under one cast.
type CastPicture struct {
	Span       float64   `json:"span_s"`       // seconds drawn [s]
	CountEnd   float64   `json:"count_end_s"`  // [s]
	PullEnd    float64   `json:"pull_end_s"`   // [s]
	HangEnd    float64   `json:"hang_end_s"`   // [s]
	PullEvery  float64   `json:"pull_every_s"` // seconds from pull to pull; 0 for a steady retrieve [s]
	Band       []Band    `json:"band"`
	Belief     []float64 `json:"belief"`        // as Hour.Belief [1]
	LayerDepth float64   `json:"layer_depth_m"` // [m]
	Bed        float64   `json:"bed_m"`         // NaN where unknown [m]
	Low        float64   `json:"low_m"`         // how much shallower the point may be [m]
	High       float64   `json:"high_m"`        // how much deeper the point may be [m]
	RuleDepth  float64   `json:"rule_depth_m"`  // n in/s times t seconds [m]
	RuleText   string    `json:"rule_text"`     // why it differs
	Still      []Sample  `json:"still"`         // the line's true shape at the end of the count: X against Depth
}

// Check is one check of a set-up.
type Check struct {
	Level string `json:"level"` // good, mind, no
	Text  string `json:"text"`
}

// Choice is one row of the table of what else reaches them: line, count, retrieve.
type Choice struct {
	Line     string  `json:"line"`
	Fly      string  `json:"fly"`     // the fly that does best
	Count    float64 `json:"count_s"` // [s]
	Retrieve string  `json:"retrieve"`
	AtCount  float64 `json:"at_count_m"`   // that fly's depth when the count ends [m]
	Rule     float64 `json:"rule_depth_m"` // the angler's rule, rating times count; 0 where it has none [m]
	Why      string  `json:"why"`          // why AtCount is not Rule
	Deepest  float64 `json:"deepest_m"`    // of its flies [m]
	In       float64 `json:"in_s"`         // seconds of its flies at their depth [s]
	Hour     float64 `json:"hour"`         // fresh water searched in an hour, the best 1 [1]
	When     string  `json:"when"`
}
