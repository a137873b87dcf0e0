package wire

import "time"

// DriftRequest asks how a boat will drift, from what one can measure of it and
// its drogue, and which ways of fishing that suits.
type DriftRequest struct {
	Wind     float64 `json:"wind_speed_m_s" in:"[0,60]"`
	WindFrom float64 `json:"wind_from_deg" in:"[-360,360]"`
	Boat     struct {
		Length    float64 `json:"length_m" in:"[2,15]"`
		Beam      float64 `json:"beam_m,omitempty" in:"[0.5,5]"`
		Freeboard float64 `json:"freeboard_m" in:"[0.1,2]"`
		Draught   float64 `json:"draught_m" in:"[0.05,1.5]"`
		People    int     `json:"people" in:"[0,12]"`
		Mass      float64 `json:"mass_kg" in:"[20,10000]"`
	} `json:"boat"`
	Drogue    *Drogue `json:"drogue,omitempty"`
	KeepBelow float64 `json:"keep_below_m_s,omitempty" in:"(0,3]"`
}

// Drogue is a drogue by its measure.
type Drogue struct {
	Shape    string  `json:"shape" one:"round|square"`
	Size     float64 `json:"size_m" in:"[0.2,5]"`
	Measured string  `json:"measured" one:"fabric|mouth"`
	Ropes    *Ropes  `json:"ropes,omitempty"`
}

// Ropes are a drogue's two ropes; uneven ones turn the track.
type Ropes struct {
	Bow    float64 `json:"bow_m" in:"[0.5,50]"`
	Stern  float64 `json:"stern_m" in:"[0.5,50]"`
	Spread float64 `json:"spread_m" in:"[0.3,10]"`
	Side   string  `json:"bow" one:"left|right"`
}

// DriftAnswer answers DriftRequest; with_drogue is null without one, kept_below
// without a speed to keep below.
type DriftAnswer struct {
	Bare  SteadyDrift  `json:"no_drogue"`
	Held  *SteadyDrift `json:"with_drogue"`
	Paces []WayPace    `json:"paces"`
	Kept  *KeptBelow   `json:"kept_below"`
}

// KeptBelow is what keeps a boat below a speed.
type KeptBelow struct {
	UseDrogue  bool     `json:"use_drogue"`
	Speed      float64  `json:"speed_m_s"`
	Verdict    string   `json:"verdict"`
	DrogueFrom *float64 `json:"drogue_from_wind_m_s"`
}

// SteadyDrift is a drift once it is steady.
type SteadyDrift struct {
	Speed      float64 `json:"speed_m_s"`
	Low        float64 `json:"speed_low_m_s"`
	High       float64 `json:"speed_high_m_s"`
	Toward     float64 `json:"toward_deg"`
	Slip       float64 `json:"slip_deg"`
	Fraction   float64 `json:"drift_fraction"`
	Settled    float64 `json:"settled_after_s"`
	DrogueLoad float64 `json:"drogue_load_n"`
}

// WayPace is the pace that a way of fishing wants, and what meets it.
type WayPace struct {
	Way        string   `json:"way"`
	Slow       float64  `json:"slow_m_s"`
	Fast       float64  `json:"fast_m_s"`
	UseDrogue  bool     `json:"use_drogue"`
	Speed      float64  `json:"speed_m_s"`
	Verdict    string   `json:"verdict"`
	DrogueFrom *float64 `json:"drogue_from_wind_m_s"`
}

// HourRequest asks what an hour at a place is like: sun, light and waves in one.
type HourRequest struct {
	At        time.Time `json:"at_utc"`
	Offset    int       `json:"utc_offset_min" in:"[-840,840]"`
	Latitude  float64   `json:"latitude_deg" in:"[-90,90]"`
	Longitude float64   `json:"longitude_deg" in:"[-180,180]"`
	Cloud     float64   `json:"cloud_oktas" in:"[0,8]"`
	Secchi    float64   `json:"secchi_m" in:"[0.05,50]"`
	Depths    []float64 `json:"depths_m" in:"[0,400]" len:"0,4000"`
	Wind      float64   `json:"wind_speed_m_s" in:"[0,60]"`
	Fetch     float64   `json:"fetch_m" in:"[0,500000]"`
	Depth     float64   `json:"depth_m" in:"(0,1000]"`
}

// HourAnswer answers HourRequest by the answers to the single questions.
type HourAnswer struct {
	Sun   SunAnswer      `json:"sun"`
	Times SunTimesAnswer `json:"sun_times"`
	Light LightAnswer    `json:"light"`
	Waves WavesAnswer    `json:"waves"`
}
