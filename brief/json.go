package brief

import (
	"encoding/json"
	"math"
)

// A depth that nobody knows is NaN here and null in JSON.

// MarshalJSON writes a step with its bed, null where nobody knows it.
func (s Step) MarshalJSON() ([]byte, error) {
	type plain Step
	return json.Marshal(struct {
		plain
		Bed *float64 `json:"bed_m"` // [m]
	}{plain(s), known(s.Bed)})
}

// MarshalJSON writes a picture with its bed, null where nobody knows it.
func (c CastPicture) MarshalJSON() ([]byte, error) {
	type plain CastPicture
	return json.Marshal(struct {
		plain
		Bed *float64 `json:"bed_m"` // [m]
	}{plain(c), known(c.Bed)})
}

func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
