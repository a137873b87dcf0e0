package wire

import (
	"encoding/json"
	"time"
)

// WaterPropertiesRequest asks what fresh water is like at a temperature and height.
type WaterPropertiesRequest struct {
	Temperature float64 `json:"temperature_c" in:"[0,40]"`
	Altitude    float64 `json:"altitude_m" in:"[-430,5000]"`
}

// WaterPropertiesAnswer answers WaterPropertiesRequest.
type WaterPropertiesAnswer struct {
	Density            float64 `json:"density_kg_m3"`
	DynamicViscosity   float64 `json:"dynamic_viscosity_pa_s"`
	KinematicViscosity float64 `json:"kinematic_viscosity_m2_s"`
	Oxygen             float64 `json:"oxygen_saturation_mg_l"`
}

// SunRequest asks where the sun stands.
type SunRequest struct {
	At        time.Time `json:"at_utc"`
	Latitude  float64   `json:"latitude_deg" in:"[-90,90]"`
	Longitude float64   `json:"longitude_deg" in:"[-180,180]"`
}

// SunAnswer answers SunRequest.
type SunAnswer struct {
	Elevation float64 `json:"elevation_deg"`
	Refracted float64 `json:"elevation_refracted_deg"`
	Azimuth   float64 `json:"azimuth_deg"`
}

// SunTimesRequest asks when the sun rises and sets on a local date.
type SunTimesRequest struct {
	Date      string  `json:"date" len:"10,10"`
	Offset    int     `json:"utc_offset_min" in:"[-840,840]"`
	Latitude  float64 `json:"latitude_deg" in:"[-90,90]"`
	Longitude float64 `json:"longitude_deg" in:"[-180,180]"`
}

// SunTimesAnswer answers SunTimesRequest; null where there is none.
type SunTimesAnswer struct {
	Dawn    *string `json:"civil_dawn_utc"`
	Sunrise *string `json:"sunrise_utc"`
	Noon    *string `json:"noon_utc"`
	Sunset  *string `json:"sunset_utc"`
	Dusk    *string `json:"civil_dusk_utc"`
}

// LightRequest asks how much light reaches a depth.
type LightRequest struct {
	Elevation float64   `json:"sun_elevation_deg" in:"[-90,90]"`
	Cloud     float64   `json:"cloud_oktas" in:"[0,8]"`
	Secchi    float64   `json:"secchi_m" in:"[0.05,50]"`
	Depths    []float64 `json:"depths_m" in:"[0,400]" len:"0,4000"`
}

// LightAnswer answers LightRequest.
type LightAnswer struct {
	Surface     float64   `json:"surface_w_m2"`
	Base        string    `json:"clear_sky_base"`
	Reflectance float64   `json:"reflectance"`
	Attenuation float64   `json:"attenuation_per_m"`
	AtDepths    []float64 `json:"at_depths_w_m2"`
}

// WavesRequest asks how high the waves grow.
type WavesRequest struct {
	Wind  float64 `json:"wind_speed_m_s" in:"[0,60]"`
	Fetch float64 `json:"fetch_m" in:"[0,500000]"`
	Depth float64 `json:"depth_m" in:"(0,1000]"`
}

// WavesAnswer answers WavesRequest by the model it names.
type WavesAnswer struct {
	Height float64 `json:"height_m"`
	Period float64 `json:"period_s"`
	Length float64 `json:"length_m"`
	Low    float64 `json:"height_low_m"`
	High   float64 `json:"height_high_m"`
	Model  string  `json:"model"`
}

// StratificationRequest asks how the water is layered.
type StratificationRequest struct {
	Depths       []float64 `json:"depths_m" in:"[0,500]" len:"2,2000"`
	Temperatures []float64 `json:"temperatures_c" in:"[-1,45]" len:"2,2000"`
	Hypsography  []struct {
		Depth float64 `json:"depth_m" in:"[0,500]"`
		Area  float64 `json:"area_m2" in:"[0,1e12]"`
	} `json:"hypsography" len:"2,2000"`
	Wind       float64 `json:"wind_speed_m_s" in:"[0,60]"`
	WindHeight float64 `json:"wind_height_m" in:"(0,100]"`
}

// StratificationAnswer answers StratificationRequest; null where there is none.
type StratificationAnswer struct {
	Thermocline      *float64 `json:"thermocline_m"`
	Seasonal         *float64 `json:"seasonal_thermocline_m"`
	MetalimnionTop   *float64 `json:"metalimnion_top_m"`
	MetalimnionBase  *float64 `json:"metalimnion_bottom_m"`
	Schmidt          float64  `json:"schmidt_j_m2"`
	FrictionVelocity float64  `json:"friction_velocity_m_s"`
	Wedderburn       *float64 `json:"wedderburn"`
	LakeNumber       *float64 `json:"lake_number"`
	Stratified       bool     `json:"stratified"`
}

// BoatDriftRequest asks how fast a boat drifts, and where to.
type BoatDriftRequest struct {
	Wind          float64  `json:"wind_speed_m_s" in:"[0,60]"`
	WindFrom      float64  `json:"wind_from_deg" in:"[-360,360]"`
	AirArea       float64  `json:"air_drag_area_m2" in:"(0,200]"`
	HullArea      float64  `json:"hull_drag_area_m2" in:"(0,200]"`
	DrogueArea    float64  `json:"drogue_drag_area_m2" in:"[0,200]"`
	WindageHeight float64  `json:"windage_height_m" in:"[0.01,20]"`
	AirDensity    float64  `json:"air_density_kg_m3" in:"[0.5,2]"`
	WaterDensity  float64  `json:"water_density_kg_m3" in:"[900,1100]"`
	Current       float64  `json:"current_m_s" in:"[0,5]"`
	CurrentToward float64  `json:"current_toward_deg" in:"[-360,360]"`
	DrogueCurrent *float64 `json:"drogue_current_m_s,omitempty" in:"[0,5]"`
}

// BoatDriftAnswer answers BoatDriftRequest.
type BoatDriftAnswer struct {
	Speed        float64 `json:"speed_m_s"`
	Toward       float64 `json:"toward_deg"`
	Low          float64 `json:"speed_low_m_s"`
	High         float64 `json:"speed_high_m_s"`
	DrogueLoad   float64 `json:"drogue_load_n"`
	ThroughWater float64 `json:"through_water_m_s"`
}

// FetchRequest asks how far the wind blows over water to a place.
type FetchRequest struct {
	Outline   json.RawMessage `json:"outline"`
	Longitude float64         `json:"longitude_deg" in:"[-180,180]"`
	Latitude  float64         `json:"latitude_deg" in:"[-90,90]"`
	WindFrom  []float64       `json:"wind_from_deg" in:"[-360,360]" len:"1,3600"`
}

// FetchAnswer answers FetchRequest, one fetch a wind.
type FetchAnswer struct {
	Fetch []float64 `json:"fetch_m"`
}

// TrackRequest asks where the boat will go.
type TrackRequest struct {
	Outline json.RawMessage `json:"outline"`
	Start   [2]float64      `json:"start"`
	StartAt time.Time       `json:"start_utc"`
	Wind    []struct {
		At    time.Time `json:"at_utc"`
		Speed float64   `json:"speed_m_s" in:"[0,60]"`
		From  float64   `json:"from_deg" in:"[-360,360]"`
	} `json:"wind" len:"1,2000"`
	Fraction float64 `json:"drift_fraction" in:"[0,1]"`
	Slip     float64 `json:"slip_deg" in:"[-90,90]"`
	Max      float64 `json:"max_s" in:"(0,172800]"`
	Margin   float64 `json:"margin_m" in:"[0,5000]"`
}

// TrackAnswer answers TrackRequest.
type TrackAnswer struct {
	Points []TrackPoint `json:"points"`
	End    TrackEnd     `json:"end"`
}

// TrackPoint is where the boat is after so many seconds.
type TrackPoint struct {
	T      float64    `json:"t_s"`
	LonLat [2]float64 `json:"lonlat"`
	X      float64    `json:"x_m"`
	Y      float64    `json:"y_m"`
}

// TrackEnd is where and why the drift ends.
type TrackEnd struct {
	T      float64    `json:"t_s"`
	LonLat [2]float64 `json:"lonlat"`
	Reason string     `json:"reason"`
}

// LineRequest asks what a line and its flies do in the water: physics only. Its
// ranges are the line package's own, which checks them under these names.
type LineRequest struct {
	Water struct {
		Density            float64 `json:"density_kg_m3"`
		KinematicViscosity float64 `json:"kinematic_viscosity_m2_s"`
		Drift              float64 `json:"drift_m_s,omitempty"`
		DriftScale         float64 `json:"drift_scale_m,omitempty" in:"(0,100]"`
		Bed                float64 `json:"bed_m,omitempty" in:"(0,500]"`
	} `json:"water"`
	Sections []struct {
		Length    float64 `json:"length_m"`
		Linear    float64 `json:"linear_density_kg_m"`
		Diameter  float64 `json:"diameter_m"`
		Stiffness float64 `json:"axial_stiffness_n"`
	} `json:"sections" len:"1,40"`
	Bodies []struct {
		Name      string  `json:"name" len:"1,40"`
		FromEnd   float64 `json:"from_end_m"`
		Mass      float64 `json:"mass_kg"`
		Volume    float64 `json:"volume_m3"`
		DragArea  float64 `json:"drag_area_m2"`
		AddedMass float64 `json:"added_mass"`
	} `json:"bodies" len:"0,8"`
	TipHeight     TipHeight `json:"tip_height_m"`
	EntryDistance float64   `json:"entry_distance_m"`
	BoatSpeed     float64   `json:"boat_speed_m_s"`
	Count         float64   `json:"count_s"`
	TakeIn        bool      `json:"take_in_during_count"`
	Retrieve      struct {
		Speed      float64 `json:"speed_m_s"`
		PullLength float64 `json:"pull_length_m"`
		PullSpeed  float64 `json:"pull_speed_m_s"`
	} `json:"retrieve"`
	StopWithLineOut float64 `json:"stop_with_line_out_m"`
	Hang            float64 `json:"hang_s"`
	SlackStiffness  float64 `json:"slack_stiffness_n" in:"(0,1]"`
	Segment         float64 `json:"segment_m" in:"(0,5]"`
	MaxStep         float64 `json:"max_step_s" in:"(0,2]"`
	Sample          float64 `json:"sample_s"`
}

// TipHeight is the rod tip's height above the water: one number, or a height
// from a phase on, reached over so many seconds.
type TipHeight struct {
	Constant float64
	Changes  []TipChange
}

// TipChange is one change of the rod tip's height.
type TipChange struct {
	FromPhase string  `json:"from_phase" one:"count|retrieve|hang"`
	Height    float64 `json:"height_m" in:"[0,10]"`
	Over      float64 `json:"over_s" in:"[0,600]"`
	After     float64 `json:"after_s,omitempty" in:"[0,600]"`
}

func (h *TipHeight) decode(raw json.RawMessage, path string) *Fault {
	if kind(raw) == "a number" {
		var one struct {
			Height float64 `json:"h" in:"[0,10]"`
		}
		f := fieldOf(one, 0)
		x, fault := number(raw, path, f)
		h.Constant = x
		return fault
	}
	if kind(raw) != "a list" {
		return Refuse(path, "must be a height of 0 to 10, or a list of {from_phase, height_m, over_s}, not %s", short(raw))
	}
	var list struct {
		Changes []TipChange `json:"changes" len:"1,12"`
	}
	return decodeInto(raw, &list.Changes, path, fieldOf(list, 0), func() { h.Changes = list.Changes })
}

// LineAnswer answers LineRequest.
type LineAnswer struct {
	Samples []LineSample `json:"samples"`
	Events  LineEvents   `json:"events"`
	Status  string       `json:"status"`
	Steps   int          `json:"steps"`
}

// LineEvents are the states at the exact ends of the phases.
type LineEvents struct {
	CountEnd    *LineSample `json:"count_end"`
	RetrieveEnd *LineSample `json:"retrieve_end"`
	HangEnd     *LineSample `json:"hang_end"`
}

// LineSample is the line at one moment.
type LineSample struct {
	T        float64            `json:"t_s"`
	Phase    string             `json:"phase"`
	TipForce float64            `json:"tip_force_n"`
	LineOut  float64            `json:"line_out_m"`
	Deepest  float64            `json:"deepest_m"`
	Depth    map[string]float64 `json:"depth_m"`
	X        map[string]float64 `json:"x_from_tip_m"`
}

// File is a text file as a person brought it.
type File struct {
	Name string `json:"name" len:"1,400"`
	Text string `json:"text"`
}

// DayRequest asks for the plan of a day: the files of docs/formats.md, as text.
// The answer is a brief.Brief.
type DayRequest struct {
	Outline   File    `json:"outline"`
	Soundings []File  `json:"soundings" len:"0,40"`
	Forecast  File    `json:"forecast"`
	Code      string  `json:"forecast_form" one:"csv|taf|metar"`
	Bag       File    `json:"bag"`
	Outing    File    `json:"day"`
	Profile   *File   `json:"profile,omitempty"`
	Cell      float64 `json:"cell_m,omitempty" in:"[2,50]"`
}
