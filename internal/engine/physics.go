package engine

import (
	"errors"
	"fmt"
	"math"
	"time"

	"windlane/almanac"
	"windlane/drift"
	"windlane/fluid"
	"windlane/internal/wire"
	"windlane/light"
	"windlane/quantity"
	"windlane/strata"
	"windlane/waves"
)

const degree = math.Pi / 180

func waterProperties(r *wire.WaterPropertiesRequest) (wire.WaterPropertiesAnswer, *wire.Fault) {
	return wire.WaterPropertiesAnswer{
		Density:            fluid.WaterDensity(r.Temperature),
		DynamicViscosity:   fluid.WaterViscosity(r.Temperature),
		KinematicViscosity: fluid.WaterKinematicViscosity(r.Temperature),
		Oxygen:             fluid.OxygenSaturation(r.Temperature, r.Altitude),
	}, nil
}

func sun(r *wire.SunRequest) (wire.SunAnswer, *wire.Fault) {
	s := almanac.At(r.At.UTC(), almanac.Site{LonDeg: r.Longitude, LatDeg: r.Latitude})
	return wire.SunAnswer{
		Elevation: s.Elevation / degree,
		Refracted: s.Refracted / degree,
		Azimuth:   float64(s.Azimuth) / degree,
	}, nil
}

func sunTimes(r *wire.SunTimesRequest) (wire.SunTimesAnswer, *wire.Fault) {
	zone := time.FixedZone("", r.Offset*60)
	date, err := time.ParseInLocation(time.DateOnly, r.Date, zone)
	if err != nil {
		return wire.SunTimesAnswer{}, wire.Refuse("date", "is %q: a date such as 2026-04-14 belongs here", r.Date)
	}
	t := almanac.On(date, almanac.Site{LonDeg: r.Longitude, LatDeg: r.Latitude})
	return wire.SunTimesAnswer{
		Dawn:    stamp(t.CivilDawn),
		Sunrise: stamp(t.Sunrise),
		Noon:    stamp(t.Noon),
		Sunset:  stamp(t.Sunset),
		Dusk:    stamp(t.CivilDusk),
	}, nil
}

// stamp writes a time in UTC, null for one that does not happen.
func stamp(t time.Time) *string {
	if t.IsZero() {
		return nil
	}
	s := t.UTC().Format(time.RFC3339)
	return &s
}

// fieldAt names an entry of a list of objects: wind[3].at_utc.
func fieldAt(list string, i int, field string) string {
	return fmt.Sprintf("%s[%d].%s", list, i, field)
}

// known is a number, or null where there is none.
func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func lightAt(r *wire.LightRequest) (wire.LightAnswer, *wire.Fault) {
	elevation := r.Elevation * degree
	a := wire.LightAnswer{
		Surface:     light.Clear(elevation) * light.CloudFactor(r.Cloud),
		Base:        light.Base,
		Reflectance: light.Reflectance(elevation),
		Attenuation: light.Attenuation(r.Secchi),
		AtDepths:    make([]float64, len(r.Depths)),
	}
	for i, z := range r.Depths {
		a.AtDepths[i] = light.At(a.Surface, a.Reflectance, a.Attenuation, z)
	}
	return a, nil
}

func wavesAt(r *wire.WavesRequest) (wire.WavesAnswer, *wire.Fault) {
	w := waves.Water{Wind: r.Wind, Fetch: r.Fetch, Depth: r.Depth}
	sea := waves.Default(w)
	low, high := waves.Spread(w)
	return wire.WavesAnswer{
		Height: sea.Height,
		Period: sea.Period,
		Length: waves.Length(sea.Period, r.Depth),
		Low:    low,
		High:   high,
		Model:  waves.Name,
	}, nil
}

func stratification(r *wire.StratificationRequest) (wire.StratificationAnswer, *wire.Fault) {
	if len(r.Depths) != len(r.Temperatures) {
		return wire.StratificationAnswer{}, wire.Refuse("temperatures_c", "has %d entries where depths_m has %d: one temperature a depth", len(r.Temperatures), len(r.Depths))
	}
	profile, err := strata.NewProfile(r.Depths, r.Temperatures)
	if err != nil {
		return wire.StratificationAnswer{}, misfit(err, map[string]string{"depth": "depths_m[%d]", "temperature": "temperatures_c[%d]"})
	}
	depths, areas := make([]float64, len(r.Hypsography)), make([]float64, len(r.Hypsography))
	for i, h := range r.Hypsography {
		depths[i], areas[i] = h.Depth, h.Area
	}
	lake, err := strata.NewHypsography(depths, areas)
	if err != nil {
		return wire.StratificationAnswer{}, misfit(err, map[string]string{"depth": "hypsography[%d].depth_m", "area": "hypsography[%d].area_m2"})
	}
	s := strata.Of(profile, lake, strata.Wind{Speed: r.Wind, Height: r.WindHeight})
	a := wire.StratificationAnswer{Schmidt: s.Schmidt, FrictionVelocity: s.FrictionVelocity, Stratified: s.Stratified}
	if s.HasThermocline {
		a.Thermocline, a.Seasonal = known(s.Thermocline), known(s.SeasonalThermocline)
		a.MetalimnionTop, a.MetalimnionBase = known(s.MetalimnionTop), known(s.MetalimnionBottom)
	}
	if s.HasIndices {
		a.Wedderburn, a.LakeNumber = known(s.Wedderburn), known(s.LakeNumber)
	}
	return a, nil
}

// misfit turns a row that cannot be used into the field it came from.
func misfit(err error, fields map[string]string) *wire.Fault {
	var m *strata.Misfit
	if errors.As(err, &m) {
		return wire.Refuse(fmt.Sprintf(fields[m.Field], max(m.Index, 0)), "%s", m.Problem)
	}
	return wire.Refuse("", "%v", err)
}

func boatDrift(r *wire.BoatDriftRequest) (wire.BoatDriftAnswer, *wire.Fault) {
	toward := quantity.TowardDegrees(r.CurrentToward)
	atDrogue := r.Current
	if r.DrogueCurrent != nil {
		atDrogue = *r.DrogueCurrent
	}
	boat := drift.Setup{AirArea: r.AirArea, HullArea: r.HullArea, DrogueArea: r.DrogueArea, WindageHeight: r.WindageHeight}
	scene := drift.Scene{
		Wind:         r.Wind,
		From:         quantity.FromDegrees(r.WindFrom),
		AirDensity:   r.AirDensity,
		WaterDensity: r.WaterDensity,
		AtHull:       drift.Flow{Speed: r.Current, Toward: toward},
		AtDrogue:     drift.Flow{Speed: atDrogue, Toward: toward},
	}
	if err := errors.Join(boat.Validate(), scene.Validate()); err != nil {
		return wire.BoatDriftAnswer{}, wire.Refuse("", "%v", err)
	}
	d := boat.Steady(scene)
	low, high := boat.Band(scene, drift.StatedSpread())
	return wire.BoatDriftAnswer{
		Speed:        d.Speed,
		Toward:       d.Toward.Degrees(),
		Low:          low,
		High:         high,
		DrogueLoad:   d.DrogueLoad,
		ThroughWater: d.ThroughWater,
	}, nil
}
