package wire

import (
	"bytes"
	"encoding/json"
	"reflect"
)

// PlanRequest asks for the drifts of a day, from numbers alone.
type PlanRequest struct {
	Water    PlanWater `json:"water"`
	Drawdown float64   `json:"drawdown_m" in:"[0,100]"`
	Date     string    `json:"date" len:"10,10"`
	From     string    `json:"from_local" len:"4,19"`
	Until    string    `json:"until_local" len:"4,19"`
	Offset   int       `json:"utc_offset_min" in:"[-840,840]"`
	Wind     []PlanRow `json:"wind" len:"1,2000"`
	Boat     struct {
		SetUps []BoatSetUp `json:"set_ups" len:"1,8"`
	} `json:"boat"`
	Motor struct {
		Speed  float64 `json:"speed_m_s" in:"[0.3,10]"`
		Power  float64 `json:"power_w,omitempty" in:"(0,1e5]"`
		Energy float64 `json:"energy_j,omitempty" in:"(0,1e10]"`
	} `json:"motor"`
	Limits   PlanLimits     `json:"limits,omitempty"`
	Settings PlanSettings   `json:"settings,omitempty"`
	Presence []DepthWeights `json:"presence,omitempty" len:"1,200"`
	Open     *float64       `json:"open_weight,omitempty" in:"[0,1000]"`
	Marks    []MarkWeight   `json:"mark_weights,omitempty" len:"0,200"`
	Fished   []FishedDrift  `json:"already_fished,omitempty" len:"0,500"`
	Others   [][][2]float64 `json:"other_drifts,omitempty" len:"0,200"`
	Start    *[2]float64    `json:"start,omitempty"`
	Home     *[2]float64    `json:"home,omitempty"`
	Observed *ObservedWind  `json:"observed,omitempty"`
	Seed     int            `json:"seed,omitempty" in:"[0,1e9]"`
	Effort   string         `json:"effort,omitempty" one:"quick|full"`
	Tries    *int           `json:"tries,omitempty" in:"[0,100000]"`
	Units    string         `json:"units,omitempty" one:"trade|metric"`
}

// PlanWater is the lake, sent along: the door keeps none. An outline alone may
// stand for it.
type PlanWater struct {
	Outline   json.RawMessage `json:"outline"`
	Soundings Triples         `json:"soundings,omitempty"`
	Cell      float64         `json:"cell_m,omitempty" in:"[2,50]"`
}

func (w *PlanWater) decode(raw json.RawMessage, path string) *Fault {
	if kind(raw) == "a text" {
		return Refuse(path, "is %s, a name: this door keeps no waters, so send the lake along, as {outline, soundings}", short(raw))
	}
	if _, fields, fault := object(raw, path); fault == nil && fields["type"] != nil { // GeoJSON has it, we have not
		w.Outline = raw
		return nil
	}
	return decodeStruct(raw, reflect.ValueOf(w).Elem(), path, nil)
}

// Triples are soundings, each [longitude, latitude, depth in metres].
type Triples [][3]float64

// decode reads tens of thousands without a look at each by its name, but for the
// one that is at fault.
func (t *Triples) decode(raw json.RawMessage, path string) *Fault {
	const most = 500_000
	var loose [][]float64
	if bytes.IndexByte(raw, 'n') < 0 && json.Unmarshal(raw, &loose) == nil && len(loose) <= most { // no null, which would be read as 0
		list := make(Triples, len(loose))
		whole := true
		for i, one := range loose {
			whole = whole && len(one) == 3 && copy(list[i][:], one) == 3
		}
		if whole {
			*t = list
			return nil
		}
	}
	var strict struct {
		List [][3]float64 `json:"list" len:"0,500000"`
	}
	return decodeInto(raw, &strict.List, path, fieldOf(strict, 0), func() { *t = strict.List })
}

// PlanRow is the forecast at a time.
type PlanRow struct {
	At       string  `json:"at_local" len:"4,19"`
	Speed    float64 `json:"speed_m_s" in:"[0,60]"`
	Gust     float64 `json:"gust_m_s,omitempty" in:"[0,100]"`
	From     float64 `json:"from_deg" in:"[-360,360]"`
	FromSD   float64 `json:"from_sd_deg,omitempty" in:"[0,180]"`
	SpeedSD  float64 `json:"speed_rel_sd,omitempty" in:"[0,2]"`
	Shifting bool    `json:"shifting,omitempty"`
}

// ObservedWind is the wind just met afloat.
type ObservedWind struct {
	At    string  `json:"at_local" len:"4,19"`
	Speed float64 `json:"speed_m_s" in:"[0,60]"`
	From  float64 `json:"from_deg" in:"[-360,360]"`
}

// BoatSetUp is the boat bare or with one drogue: its drift as learned, or its
// drag areas.
type BoatSetUp struct {
	Name       string     `json:"name" len:"1,80"`
	Drogue     bool       `json:"drogue"`
	Fraction   *float64   `json:"drift_fraction,omitempty" in:"(0,1]"`
	Slip       float64    `json:"slip_deg,omitempty" in:"[-90,90]"`
	FractionSD float64    `json:"drift_fraction_sd,omitempty" in:"[0,1]"`
	SlipSD     float64    `json:"slip_deg_sd,omitempty" in:"[0,90]"`
	Areas      *DragAreas `json:"areas,omitempty"`
	LeastDepth float64    `json:"least_depth_m,omitempty" in:"[0.2,10]"`
}

// DragAreas are drag coefficients times areas.
type DragAreas struct {
	Air           float64 `json:"air_drag_area_m2" in:"(0,200]"`
	Hull          float64 `json:"hull_drag_area_m2" in:"(0,200]"`
	Drogue        float64 `json:"drogue_drag_area_m2,omitempty" in:"[0,200]"`
	WindageHeight float64 `json:"windage_height_m,omitempty" in:"[0.01,20]"`
}

// PlanLimits are the person's; what is left out is the product's.
type PlanLimits struct {
	Gust        *float64 `json:"gust_m_s,omitempty" in:"[1,40]"`
	Wave        *float64 `json:"wave_m,omitempty" in:"[0,5]"`
	MarginTime  *float64 `json:"margin_s,omitempty" in:"[0,3600]"`
	LeastMargin *float64 `json:"least_margin_m,omitempty" in:"[1,500]"`
	DriftDepth  *float64 `json:"drift_depth_m,omitempty" in:"[0.2,10]"`
	DrogueDepth *float64 `json:"drogue_depth_m,omitempty" in:"[0.2,10]"`
	MotorDepth  *float64 `json:"motor_depth_m,omitempty" in:"[0.1,10]"`
	Calm        *float64 `json:"calm_m_s,omitempty" in:"[0,5]"`
	Reserve     *float64 `json:"reserve_share,omitempty" in:"[0,0.9]"`
	Pace        *struct {
		Slow float64 `json:"slow_m_s" in:"[0,2]"`
		Fast float64 `json:"fast_m_s" in:"[0.01,2]"`
	} `json:"speed_wanted,omitempty"`
}

// PlanSettings are the planner's modelling choices; what is left out is the product's.
type PlanSettings struct {
	Swept    *float64 `json:"swept_m2_s,omitempty" in:"[0.001,1000]"`
	Reach    *float64 `json:"reach_m,omitempty" in:"[1,200]"`
	Recovery *float64 `json:"recovery_s,omitempty" in:"[1200,1e7]"`
	Patch    *float64 `json:"patch_m,omitempty" in:"[0,2000]"`
	Blank    *float64 `json:"blank_s,omitempty" in:"[1,1e7]"`
	PutOut   *float64 `json:"put_out_s,omitempty" in:"[0,3600]"`
	HandIn   *float64 `json:"hand_in_s,omitempty" in:"[0,3600]"`
	Shortest *float64 `json:"shortest_s,omitempty" in:"[60,1e5]"`
	Longest  *float64 `json:"longest_s,omitempty" in:"[60,1e5]"`
}

// DepthWeights is what water is worth by its depth from a time on.
type DepthWeights struct {
	At      string `json:"at_local" len:"4,19"`
	From    string `json:"depth_from,omitempty" one:"bed|surface"`
	Weights []struct {
		Depth  float64 `json:"depth_m" in:"[0,400]"`
		Weight float64 `json:"weight" in:"[0,1000]"`
	} `json:"weights" len:"1,200"`
	Marks []MarkWeight `json:"mark_weights,omitempty" len:"0,200"`
}

// MarkWeight is what the water near places of a kind is worth more.
type MarkWeight struct {
	Kind   string  `json:"kind" len:"1,80"`
	Name   string  `json:"name,omitempty" len:"1,200"`
	Weight float64 `json:"weight" in:"[0,1000]"`
	Reach  float64 `json:"reach_m,omitempty" in:"[1,2000]"`
}

// FishedDrift is a drift made before from_local.
type FishedDrift struct {
	Track      FishedTrack `json:"track"`
	Minutes    *float64    `json:"minutes,omitempty" in:"[0,1440]"`
	MinutesAgo float64     `json:"minutes_ago" in:"[0,1440]"`
	Hooked     bool        `json:"hooked,omitempty"`
}

// FishedTrack is a way as places, or as the track of a drift that was answered.
type FishedTrack struct {
	Way     [][2]float64
	Minutes *float64 // that the track says it took; nil: it says none
}

// MarshalJSON writes the places, for requests made in Go.
func (t FishedTrack) MarshalJSON() ([]byte, error) { return json.Marshal(t.Way) }

func (t *FishedTrack) decode(raw json.RawMessage, path string) *Fault {
	var items []json.RawMessage
	if json.Unmarshal(raw, &items) == nil && len(items) > 0 && kind(items[0]) == "an object" {
		var answered struct {
			Steps []struct {
				Minute  float64    `json:"min" in:"[0,1440]"`
				LonLat  [2]float64 `json:"lonlat"`
				Depth   unread     `json:"depth_m,omitempty"`
				Sounded unread     `json:"sounded,omitempty"`
			} `json:"steps" len:"1,5000"`
		}
		return decodeInto(raw, &answered.Steps, path, fieldOf(answered, 0), func() {
			for _, s := range answered.Steps {
				t.Way = append(t.Way, s.LonLat)
				t.Minutes = &s.Minute
			}
		})
	}
	var places struct {
		Way [][2]float64 `json:"way" len:"1,5000"`
	}
	return decodeInto(raw, &places.Way, path, fieldOf(places, 0), func() { t.Way = places.Way })
}

// unread is a field of an answer sent back, of no use here.
type unread struct{}

func (*unread) decode(json.RawMessage, string) *Fault { return nil }

// PlanAnswer answers PlanRequest; null where there is none.
type PlanAnswer struct {
	Status       string         `json:"status"`
	Reason       string         `json:"reason"`
	Drifts       []PlannedDrift `json:"drifts"`
	Waits        []PlannedWait  `json:"waits"`
	Value        float64        `json:"value"`
	FishingShare float64        `json:"fishing_share"`
	EnergyLeft   float64        `json:"energy_left_share"`
	GoIn         *string        `json:"go_in_local"`
	HomeBy       string         `json:"home_by_local"`
	TurnHome     *string        `json:"turn_home_local"`
	Home         *string        `json:"home_local"`
	RideHome     PlannedRide    `json:"ride_home"`
	Remarks      []string       `json:"remarks"`
}

// PlannedDrift is one drift of a plan.
type PlannedDrift struct {
	Start        [2]float64    `json:"start_lonlat"`
	StartAt      string        `json:"start_local"`
	Minutes      float64       `json:"minutes"`
	Drogue       bool          `json:"drogue"`
	SetUp        string        `json:"set_up"`
	Speed        float64       `json:"speed_m_s"`
	Toward       float64       `json:"toward_deg"`
	Track        []TrackStep   `json:"track"`
	Passes       []PlannedPass `json:"passes"`
	Value        float64       `json:"value"`
	Rate         float64       `json:"value_per_min"`
	MotorMinutes float64       `json:"motor_minutes"`
	EnergyShare  float64       `json:"energy_share"`
	Ride         PlannedRide   `json:"ride"`
	Fan          PlannedFan    `json:"fan"`
	Stop         PlannedStop   `json:"stop"`
	EndReason    string        `json:"end_reason"`
	Why          string        `json:"why"`
	Next         []OtherDrift  `json:"next_best"`
	Change       *WindChange   `json:"change"`
	Words        string        `json:"in_words"`
}

// TrackStep is the boat at a minute of a drift.
type TrackStep struct {
	Minute  float64    `json:"min"`
	LonLat  [2]float64 `json:"lonlat"`
	Depth   *float64   `json:"depth_m"`
	Sounded bool       `json:"sounded"`
}

// PlannedPass is something that a drift goes by.
type PlannedPass struct {
	From float64 `json:"minute_from"`
	To   float64 `json:"minute_to"`
	What string  `json:"what"`
	Kind string  `json:"kind"`
	Name string  `json:"name"`
	Near float64 `json:"nearest_m"`
}

// PlannedRide is a way under motor.
type PlannedRide struct {
	Way     [][2]float64 `json:"way_lonlat"`
	Metres  float64      `json:"length_m"`
	Minutes float64      `json:"minutes"`
}

// PlannedFan is where the boat may go.
type PlannedFan struct {
	Left  [][2]float64 `json:"left_lonlat"`
	Right [][2]float64 `json:"right_lonlat"`
	Short [2]float64   `json:"short_lonlat"`
	Long  [2]float64   `json:"long_lonlat"`
	Safe  float64      `json:"clear_share"`
}

// PlannedStop is where and when to stop.
type PlannedStop struct {
	At       string     `json:"at_local"`
	HandIn   string     `json:"hand_in_local"`
	LonLat   [2]float64 `json:"lonlat"`
	Landmark string     `json:"landmark"`
	Bearing  *float64   `json:"bearing_deg"`
	Distance *float64   `json:"distance_m"`
}

// OtherDrift is a drift that could be made instead.
type OtherDrift struct {
	Start   [2]float64 `json:"start_lonlat"`
	End     [2]float64 `json:"end_lonlat"`
	Minutes float64    `json:"minutes"`
	Value   float64    `json:"value"`
	Rate    float64    `json:"value_per_min"`
	Where   string     `json:"where"`
}

// WindChange is the turn of the wind that makes another drift the better one.
type WindChange struct {
	Turn  float64    `json:"turn_deg"`
	From  float64    `json:"from_deg"`
	To    OtherDrift `json:"to"`
	Words string     `json:"in_words"`
}

// PlannedWait is time that no drift fills.
type PlannedWait struct {
	From   string `json:"from_local"`
	Until  string `json:"until_local"`
	Reason string `json:"reason"`
}
