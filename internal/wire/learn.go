package wire

import "time"

// LearnDriftRequest asks what a boat's own tracks say of its drift with one
// set-up. The wind comes by rows or by a forecast's file, one of the two.
type LearnDriftRequest struct {
	Bag      *File     `json:"bag,omitempty"`
	Drogue   string    `json:"drogue,omitempty" len:"1,200"`
	Tracks   []File    `json:"tracks" len:"1,40"`
	Wind     []WindRow `json:"wind,omitempty" len:"1,5000"`
	Forecast *File     `json:"forecast,omitempty"`
	Code     string    `json:"forecast_form,omitempty" one:"csv|taf|metar"`
	Offset   int       `json:"utc_offset_min,omitempty" in:"[-840,840]"`
}

// WindRow is the mean wind at 10 m at a time.
type WindRow struct {
	At    time.Time `json:"at_utc"`
	Speed float64   `json:"speed_m_s" in:"[0,60]"`
	From  float64   `json:"from_deg" in:"[-360,360]"`
}

// LearnDriftAnswer answers LearnDriftRequest.
type LearnDriftAnswer struct {
	Status   string        `json:"status"`
	SetUp    string        `json:"set_up"`
	Expected DriftFigure   `json:"expected"`
	Learned  *DriftFigure  `json:"learned"`
	Scatter  *DriftScatter `json:"scatter"`
	Track    []TrackPart   `json:"track"`
	Lines    string        `json:"bag_lines"`
	Remarks  []string      `json:"remarks"`
}

// DriftScatter is how ten-minute means lie round a learned drift.
type DriftScatter struct {
	Pace float64 `json:"pace_share"`
	Slip float64 `json:"slip_deg"`
	Lane float64 `json:"lane_400_m"`
}

// DriftFigure is a drift as a share of the wind at 10 m, and its slip.
type DriftFigure struct {
	Source     string  `json:"source"`
	Fraction   float64 `json:"drift_fraction"`
	FractionSD float64 `json:"drift_fraction_sd"`
	Slip       float64 `json:"slip_deg"`
	SlipSD     float64 `json:"slip_deg_sd"`
	Minutes    float64 `json:"minutes"`
}

// TrackPart is how many minutes of the tracks were what.
type TrackPart struct {
	Was     string  `json:"was"`
	Minutes float64 `json:"minutes"`
}
