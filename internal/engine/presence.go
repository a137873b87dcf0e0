package engine

import (
	"fmt"
	"math"

	"windlane/internal/wire"
	"windlane/presence"
	"windlane/quantity"
)

// Limits of one question: 160 layers, 200 000 pairs of a profile and a state, and
// so many pairs times steps of time and casts, some seconds of work.
const (
	mostLayers = 160
	mostPairs  = 200_000
	mostWork   = 4e9
)

// usualBed is the bed of a presence question that gives none. [m]
const usualBed = 8.0

// presenceOf fishes a day's casts, after what the model expects.
func presenceOf(r *wire.PresenceRequest) (a wire.PresenceAnswer, fault *wire.Fault) {
	m, fault := presenceModel(&r.Model)
	if fault != nil {
		return a, fault
	}
	layers := m.Layers()
	if fault := castsFit(r, m); fault != nil {
		return a, fault
	}
	f := presence.New(*m)
	events := []presence.Event{}
	at := 0.0
	for i := range r.Casts {
		c := &r.Casts[i]
		f.Pass(c.T - at)
		at = c.T
		if i > 0 && c.Zone != r.Casts[i-1].Zone {
			f.Move()
		}
		events = events[:0]
		for j := range c.Events {
			e := &c.Events[j]
			events = append(events, presence.Event{HasDepth: e.Depth.Known, Depth: quantity.Depth(e.Depth.Value), SD: e.SD.Value, Exposure: e.Exposure})
		}
		if _, ok := f.Update(c.Exposure, events); !ok {
			return a, wire.Refuse(fieldAt("casts", i, "events"), "could not have been: by exposure_s no fly was where a fish answered")
		}
	}
	mean, sd, q := f.CentreSummary(0.25, 0.5, 0.75)
	a = wire.PresenceAnswer{
		Mean: mean, SD: sd, Q25: q[0], Q50: q[1], Q75: q[2], Layers: f.Centre(), Local: f.Here(),
		Evidence: f.LogEvidence(), TwoLayer: f.TwoLayers(), Intensity: make([]float64, layers), Bands: []wire.PresenceBand{}, Model: modelTold(m),
	}
	a.Rate, a.RateSD = f.Level()
	f.Intensity(a.Intensity)
	lie := f.Lie()
	a.HardlyTried = lie.HardlyTried
	for _, b := range lie.Bands {
		a.Bands = append(a.Bands, wire.PresenceBand{Top: b.Top, Bottom: b.Bottom, Share: b.Share})
	}
	return a, nil
}

// presenceModel is the product's model with what was given in its place.
func presenceModel(g *wire.PresenceModel) (*presence.Model, *wire.Fault) {
	m := presence.DefaultModel(usualBed)
	for _, x := range []struct {
		given *float64
		into  *float64
	}{
		{g.Bottom, &m.Bottom}, {g.Layer, &m.Layer}, {g.Background, &m.Background}, {g.RateShape, &m.RateShape}, {g.RateRate, &m.RateRate},
		{g.Renewal, &m.Renewal}, {g.Walk, &m.Walk}, {g.Leak, &m.Leak}, {g.TwoLayerPrior, &m.TwoLayerPrior},
	} {
		if x.given != nil {
			*x.into = *x.given
		}
	}
	for _, x := range []struct {
		given []float64
		into  *[]float64
	}{{g.Sigmas, &m.Sigmas}, {g.SigmaWeights, &m.SigmaWeights}, {g.Local, &m.Local}, {g.LocalWeights, &m.LocalWeights}} {
		if x.given != nil {
			*x.into = x.given
		}
	}
	if g.RatePoints != nil {
		m.RatePoints = *g.RatePoints
	}
	if g.TwoLayer != nil {
		m.TwoLayers = *g.TwoLayer
	}
	n := m.Layers()
	switch {
	case n < 1 || n > mostLayers || math.Abs(float64(n)*m.Layer-m.Bottom) > 1e-9*m.Bottom:
		return nil, wire.Refuse("model.bottom_m", "is %g: allowed is a whole number of layers of %g m, 1 to %d", m.Bottom, m.Layer, mostLayers)
	case len(m.Sigmas) != len(m.SigmaWeights):
		return nil, wire.Refuse("model.sigma_weights", "has %d entries: one for each of the %d spreads is needed", len(m.SigmaWeights), len(m.Sigmas))
	case len(m.Local) != len(m.LocalWeights):
		return nil, wire.Refuse("model.local_w", "has %d entries: one for each of the %d of local_u is needed", len(m.LocalWeights), len(m.Local))
	case pairs(&m) > mostPairs:
		return nil, wire.Refuse("model.rate_points", "is too much here: layers × spreads (and pairs of layers) × levels × multipliers may be %d, not %d", mostPairs, pairs(&m))
	}
	if g.Prior != nil && g.Prior.Weights != nil {
		sum := 0.0
		for _, w := range g.Prior.Weights {
			sum += w
		}
		if len(g.Prior.Weights) != n || !(sum > 0) {
			return nil, wire.Refuse("model.prior_mu", "has %d weights that sum to %g: one for each of the %d layers is needed, not all 0", len(g.Prior.Weights), sum, n)
		}
		m.Prior = g.Prior.Weights
	}
	return &m, nil
}

// pairs is the most that one pass over a belief touches.
func pairs(m *presence.Model) int {
	profiles := m.Layers() * len(m.Sigmas)
	if m.TwoLayers {
		profiles += presence.MostPairs
	}
	return profiles * m.RatePoints * len(m.Local)
}

// castsFit says which cast does not fit the model.
func castsFit(r *wire.PresenceRequest, m *presence.Model) *wire.Fault {
	layers, at, passes := m.Layers(), 0.0, 0.0
	for i := range r.Casts {
		c := &r.Casts[i]
		switch {
		case c.T < at:
			return wire.Refuse(fieldAt("casts", i, "t_min"), "is %g: before the cast ahead of it, at %g; casts belong in order of time", c.T, at)
		case len(c.Exposure) != layers:
			return wire.Refuse(fieldAt("casts", i, "exposure_s"), "has %d entries: one for each of the %d layers is needed", len(c.Exposure), layers)
		}
		for j := range c.Events {
			e := &c.Events[j]
			field := func(name string) string { return fieldAt("casts", i, fmt.Sprintf("events[%d].%s", j, name)) }
			switch {
			case e.Depth.Known && !(e.Depth.Value >= 0 && e.Depth.Value <= m.Bottom):
				return wire.Refuse(field("depth_m"), "is %g: allowed is 0 to the bottom, %g, or null", e.Depth.Value, m.Bottom)
			case e.SD.Known && !(e.SD.Value >= 0.01 && e.SD.Value <= 50):
				return wire.Refuse(field("sd_m"), "is %g: allowed is 0.01 to 50, or null with a depth of null", e.SD.Value)
			case e.Depth.Known && !e.SD.Known:
				return wire.Refuse(field("sd_m"), "is null: a depth that is known needs how surely, 0.01 to 50")
			case e.Exposure != nil && len(e.Exposure) != layers:
				return wire.Refuse(field("exposure_s"), "has %d entries: one for each of the %d layers is needed", len(e.Exposure), layers)
			}
		}
		passes += 6 + float64(m.Steps(c.T-at)+len(c.Events))
		at = c.T
	}
	if passes*float64(pairs(m)) > mostWork {
		return wire.Refuse("casts", "are too much work for this model: coarser layers, fewer levels or less time between casts are needed")
	}
	return nil
}

// modelTold is the whole model as it was used.
func modelTold(m *presence.Model) wire.PresenceModel {
	return wire.PresenceModel{
		Bottom: &m.Bottom, Layer: &m.Layer, Sigmas: m.Sigmas, SigmaWeights: m.SigmaWeights, Background: &m.Background,
		RateShape: &m.RateShape, RateRate: &m.RateRate, Local: m.Local, LocalWeights: m.LocalWeights, Renewal: &m.Renewal,
		Walk: &m.Walk, Leak: &m.Leak, Prior: &wire.PresencePrior{Weights: m.Prior}, RatePoints: &m.RatePoints, TwoLayer: &m.TwoLayers, TwoLayerPrior: &m.TwoLayerPrior,
	}
}
