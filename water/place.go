package water

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"windlane/internal/text"
)

// Kind says what a place on the water is, as the `kind` property of its feature
// has it. Kinds that are not listed here are kept and shown as plain places.
type Kind string

const (
	Shoreline    Kind = "shoreline"
	Island       Kind = "island" // a polygon that lies in the water as a hole would
	DropOff      Kind = "drop_off"
	SunkenIsland Kind = "sunken_island"
	WeedBed      Kind = "weed_bed"
	Buoy         Kind = "buoy"
	BuoyLine     Kind = "buoy_line"
	Inflow       Kind = "inflow"
	Dam          Kind = "dam"
	Jetty        Kind = "jetty"
	BankAngler   Kind = "bank_angler"
	NoGo         Kind = "no_go"
	Rock         Kind = "rock"
	Shelf        Kind = "shelf"
	StreamBed    Kind = "stream_bed"
	Causeway     Kind = "causeway"
	HedgeLine    Kind = "hedge_line"
	Aerator      Kind = "aerator"
	RippleEdge   Kind = "ripple_edge"
)

// Known says whether windlane knows what to make of the kind.
func (k Kind) Known() bool {
	switch k {
	case Shoreline, Island, DropOff, SunkenIsland, WeedBed, Buoy, BuoyLine, Inflow, Dam, Jetty, BankAngler,
		NoGo, Rock, Shelf, StreamBed, Causeway, HedgeLine, Aerator, RippleEdge:
		return true
	}
	return false
}

// Place is a feature of the water. In an Outline its shape is in degrees, in a
// Water in metres on the plane. Figures that the person did not give are NaN.
type Place struct {
	Kind     Kind
	Name     string // `name`, else `id`, else empty
	Shape    orb.Geometry
	KeepOff  float64 // `keep_off_m`: distance to stay away [m]
	Radius   float64 // `radius_m`: how far it reaches round its point [m]
	TopDepth float64 // `top_depth_m`: its least depth at full level [m]
	DepthMin float64 // `depth_min_m`: where it starts, at full level [m]
	DepthMax float64 // `depth_max_m`: where it ends, at full level [m]
	NoDrift  bool    // `drift: false`; of a no_go place unless it says true
	NoMotor  bool    // `motor: false`; likewise
}

// place reads a feature's properties.
func place(file string, f feature) (Place, error) {
	p := Place{Shape: f.shape}
	fault := func(key string, problem string) error {
		return &text.Fault{File: file, Field: f.where() + ", " + key, Value: fmt.Sprint(f.properties[key]), Problem: problem}
	}
	// In a fixed order, so that of two mistakes the same one is named every time.
	for _, word := range []struct {
		key  string
		into *string
	}{{"kind", (*string)(&p.Kind)}, {"name", &p.Name}} {
		switch v := f.properties[word.key].(type) {
		case nil:
		case string:
			*word.into = strings.TrimSpace(v)
		default:
			return p, fault(word.key, "is not a word")
		}
	}
	p.Kind = Kind(strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(string(p.Kind))))
	if id, ok := f.properties["id"].(string); ok && p.Name == "" {
		p.Name = id
	}
	for _, figure := range []struct {
		key  string
		into *float64
	}{{"keep_off_m", &p.KeepOff}, {"radius_m", &p.Radius}, {"top_depth_m", &p.TopDepth}, {"depth_min_m", &p.DepthMin}, {"depth_max_m", &p.DepthMax}} {
		*figure.into = math.NaN()
		switch v := f.properties[figure.key].(type) {
		case nil:
		case float64:
			if v < 0 || v > 10_000 {
				return p, fault(figure.key, "is out of range: allowed is 0 to 10000 m")
			}
			*figure.into = v
		default:
			return p, fault(figure.key, "is not a number of metres")
		}
	}
	p.NoDrift, p.NoMotor = p.Kind == NoGo, p.Kind == NoGo
	for _, flag := range []struct {
		key  string
		into *bool
	}{{"drift", &p.NoDrift}, {"motor", &p.NoMotor}} {
		switch v := f.properties[flag.key].(type) {
		case nil:
		case bool:
			*flag.into = !v
		default:
			return p, fault(flag.key, "is neither true nor false")
		}
	}
	return p, nil
}
