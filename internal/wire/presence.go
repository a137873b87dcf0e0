package wire

import (
	"encoding/json"
	"reflect"
)

// PresenceRequest asks what casts teach of where fish lie.
type PresenceRequest struct {
	Model PresenceModel  `json:"model"`
	Casts []PresenceCast `json:"casts" len:"0,4000"`
}

// PresenceModel is what is taken for granted; what is left out is the product's.
// The answer gives back the whole of it.
type PresenceModel struct {
	Bottom        *float64       `json:"bottom_m,omitempty" in:"[0.1,100]"`
	Layer         *float64       `json:"layer_m,omitempty" in:"[0.05,10]"`
	Sigmas        []float64      `json:"sigmas_m,omitempty" in:"[0.05,20]" len:"1,12"`
	SigmaWeights  []float64      `json:"sigma_weights,omitempty" in:"(0,1e6]" len:"1,12"`
	Background    *float64       `json:"background,omitempty" in:"[0,1]"`
	RateShape     *float64       `json:"rate_shape,omitempty" in:"[0.1,100]"`
	RateRate      *float64       `json:"rate_rate_s_per_m,omitempty" in:"[0.1,1e6]"`
	Local         []float64      `json:"local_u,omitempty" in:"(0,100]" len:"1,12"`
	LocalWeights  []float64      `json:"local_w,omitempty" in:"(0,1e6]" len:"1,12"`
	Renewal       *float64       `json:"local_renewal_per_min,omitempty" in:"[0,10]"`
	Walk          *float64       `json:"walk_sd_m_per_sqrt_h,omitempty" in:"[0,10]"`
	Leak          *float64       `json:"leak_per_h,omitempty" in:"[0,100]"`
	Prior         *PresencePrior `json:"prior_mu,omitempty"`
	RatePoints    *int           `json:"rate_points,omitempty" in:"[2,50]"`
	TwoLayer      *bool          `json:"two_layer,omitempty"`
	TwoLayerPrior *float64       `json:"two_layer_prior,omitempty" in:"[0,1]"`
}

// FlatPrior is the word for a prior that has all depths alike.
const FlatPrior = "flat on (0,bottom)"

// PresencePrior is FlatPrior, or a weight for each layer.
type PresencePrior struct {
	Weights []float64 // nil: all alike
}

func (p *PresencePrior) wants() string { return "a weight for each layer belongs here" }

func (p *PresencePrior) decode(raw json.RawMessage, path string) *Fault {
	switch kind(raw) {
	case "a text":
		var s string
		if json.Unmarshal(raw, &s) != nil || s != FlatPrior {
			return Refuse(path, "is %s: allowed are %q or a list with a weight for each layer", short(raw), FlatPrior)
		}
		return nil
	case "a list":
		var list struct {
			Weights []float64 `json:"weights" in:"[0,1e6]" len:"1,1000"`
		}
		return decodeInto(raw, &list.Weights, path, fieldOf(list, 0), func() { p.Weights = list.Weights })
	}
	return Refuse(path, "must be %q or a list with a weight for each layer, not %s", FlatPrior, short(raw))
}

// MarshalJSON writes it as it is read.
func (p PresencePrior) MarshalJSON() ([]byte, error) {
	if p.Weights == nil {
		return json.Marshal(FlatPrior)
	}
	return json.Marshal(p.Weights)
}

// PresenceCast is a cast, or a spell with its exposure summed.
type PresenceCast struct {
	T        float64         `json:"t_min" in:"[0,100000]"`
	Zone     int             `json:"zone" in:"[-1e9,1e9]"`
	Exposure []float64       `json:"exposure_s" in:"[0,1e6]" len:"1,1000"`
	Events   []PresenceEvent `json:"events" len:"0,200"`
}

// PresenceEvent is one fish that answered.
type PresenceEvent struct {
	Depth    NumberOrNull `json:"depth_m"`
	SD       NumberOrNull `json:"sd_m"`
	Exposure []float64    `json:"exposure_s,omitempty" in:"[0,1e6]" len:"1,1000"`
}

// NumberOrNull is a number that may be unknown, and then must be said to be.
type NumberOrNull struct {
	Known bool
	Value float64
}

func (n *NumberOrNull) wants() string { return "a number, or null where it is not known, belongs here" }

func (n *NumberOrNull) decode(raw json.RawMessage, path string) *Fault {
	if string(raw) == "null" {
		return nil
	}
	x, fault := number(raw, path, reflect.StructField{})
	n.Known, n.Value = fault == nil, x
	return fault
}

// PresenceAnswer answers PresenceRequest.
type PresenceAnswer struct {
	Mean        float64        `json:"depth_mean_m"`
	SD          float64        `json:"depth_sd_m"`
	Q25         float64        `json:"depth_q25_m"`
	Q50         float64        `json:"depth_q50_m"`
	Q75         float64        `json:"depth_q75_m"`
	Layers      []float64      `json:"layer_probability"`
	Rate        float64        `json:"rate_mean"`
	RateSD      float64        `json:"rate_sd"`
	Local       float64        `json:"local_mean"`
	Evidence    float64        `json:"log_evidence"`
	TwoLayer    float64        `json:"two_layer_probability"`
	Intensity   []float64      `json:"intensity_per_layer"`
	Bands       []PresenceBand `json:"bands"`
	HardlyTried bool           `json:"hardly_tried"`
	Model       PresenceModel  `json:"model"`
}

// PresenceBand is a range of depth and the share of what a fly brings there.
type PresenceBand struct {
	Top    float64 `json:"top_m"`
	Bottom float64 `json:"bottom_m"`
	Share  float64 `json:"share"`
}
