package wire

import "time"

// DriftsRequest asks for the drifts alone of a day from files, or of what is left
// of it once afloat. The answer is a PlanAnswer.
type DriftsRequest struct {
	Outline   File    `json:"outline"`
	Soundings []File  `json:"soundings" len:"0,40"`
	Forecast  File    `json:"forecast"`
	Code      string  `json:"forecast_form" one:"csv|taf|metar"`
	Bag       File    `json:"bag"`
	Outing    File    `json:"day"`
	Profile   *File   `json:"profile,omitempty"`
	Cell      float64 `json:"cell_m,omitempty" in:"[2,50]"`

	At       string        `json:"at_local,omitempty" len:"4,19"`
	Start    *[2]float64   `json:"start,omitempty"`
	Place    string        `json:"start_place,omitempty" len:"1,200"`
	Observed *ObservedWind `json:"observed,omitempty"`
	Way      string        `json:"way,omitempty"`
	Earlier  *File         `json:"earlier,omitempty"`
	Hooked   []int         `json:"hooked,omitempty" in:"[1,1000]" len:"0,200"`
	Fished   []FishedDrift `json:"already_fished,omitempty" len:"0,500"`
	Seed     int           `json:"seed,omitempty" in:"[0,1e9]"`
	Effort   string        `json:"effort,omitempty" one:"quick|full"`
	Tries    *int          `json:"tries,omitempty" in:"[0,100000]"`
}

// Day is the day that the drifts are of.
func (r *DriftsRequest) Day() *DayRequest {
	return &DayRequest{r.Outline, r.Soundings, r.Forecast, r.Code, r.Bag, r.Outing, r.Profile, r.Cell}
}

// SetDay puts the day in that the drifts are of.
func (r *DriftsRequest) SetDay(d *DayRequest) {
	r.Outline, r.Soundings, r.Forecast, r.Code = d.Outline, d.Soundings, d.Forecast, d.Code
	r.Bag, r.Outing, r.Profile, r.Cell = d.Bag, d.Outing, d.Profile, d.Cell
}

// Earlier is what the door once answered to plan, drifts or day, as far as it
// says where the boat went and when. It is read loosely: the rest is of no use.
type Earlier struct {
	Answer *Earlier // where the whole line was kept
	Lake   struct {
		Origin *[2]float64 `json:"origin_lonlat_deg"`
	}
	Drifts []struct {
		StartAt string    `json:"start_local"`
		Start   time.Time `json:"start"`
		Minutes float64   `json:"minutes"`
		Long    float64   `json:"minutes_min"`
		Track   []struct {
			Min    float64     `json:"min"`
			LonLat *[2]float64 `json:"lonlat"`
			Minute float64     `json:"minute_min"`
			At     struct {
				X float64 `json:"x_m"`
				Y float64 `json:"y_m"`
			} `json:"at"`
		}
	}
}
