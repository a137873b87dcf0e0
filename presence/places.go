package presence

import (
	"math"

	"windlane/water"
)

// Feature is a kind of water that draws fish.
type Feature int

// The features.
const (
	DropOff       Feature = iota // an edge of the bed, marked or steep
	SunkenIsland                 // a rise under water
	WeedBed                      //
	Inflow                       //
	OldBed                       // a drowned stream or hedge
	Structure                    // jetty, dam, causeway, aerator, buoys, rocks
	RippleEdge                   // where calm meets ripple; a wind lane
	LeeShore                     // near the shore that the wind blows on to
	WindwardShore                // near the shore that it blows from
	features
)

// Ground is how much of each feature a spot has, 0 to 1. [1]
type Ground [features]float64

// Marks says which feature a marked place is; ok is false for places that draw
// no fish.
func Marks(kind water.Kind) (f Feature, ok bool) {
	switch kind {
	case water.DropOff, water.Shelf:
		return DropOff, true
	case water.SunkenIsland:
		return SunkenIsland, true
	case water.WeedBed:
		return WeedBed, true
	case water.Inflow:
		return Inflow, true
	case water.StreamBed, water.HedgeLine:
		return OldBed, true
	case water.Jetty, water.Dam, water.Causeway, water.Aerator, water.BuoyLine, water.Rock:
		return Structure, true
	case water.RippleEdge:
		return RippleEdge, true
	}
	return 0, false
}

// reach is the distance at which a feature's pull has fallen to a third. [m]
var reach = [features]float64{DropOff: 30, SunkenIsland: 40, WeedBed: 25, Inflow: 80, OldBed: 20, Structure: 25, RippleEdge: 25, LeeShore: 80, WindwardShore: 60}

// Pull is how much of a feature there is at a distance from it [m]. [1]
func (f Feature) Pull(distance float64) float64 { return pull(distance, reach[f]) }

func pull(distance, reach float64) float64 { return math.Exp(-square(distance / reach)) }

// Edge is how much of a drop-off a bed of a slope is: none under 0.04, all from
// 0.14. [1]
func Edge(slope float64) float64 { return ramp(slope, 0.04, 0.14) }

// gain is how much more a feature holds for a cause than plain water: twice as
// much at 1. [1] Common practice put into numbers by us, no source.
var gain = [features][causes]float64{
	DropOff:       {Midge: 0.5, Fry: 0.5, BedFood: 0.3, Suspended: 0.5, FreshStock: 0.2},
	SunkenIsland:  {Midge: 0.7, Fry: 0.5, BedFood: 0.5, Suspended: 0.6},
	WeedBed:       {Midge: 0.4, Fry: 1.2, BedFood: 1.2},
	Inflow:        {Midge: 0.2, Fry: 0.4, FreshStock: 0.4, Suspended: 0.4},
	OldBed:        {Midge: 0.4, Suspended: 0.3, BedFood: 0.2},
	Structure:     {Fry: 0.9, FreshStock: 0.5},
	RippleEdge:    {Midge: 0.6, Surface: 1.2, FreshStock: 0.2},
	LeeShore:      {Daphnia: 0.6, Surface: 0.5, Midge: 0.2},
	WindwardShore: {Surface: 0.6, Midge: 0.2},
}

// over is how well a cause likes a depth of water [m]. [1] Common practice put
// into numbers by us, no source.
func (c Cause) over(bed float64) float64 {
	switch c {
	case Midge:
		return 0.1 + 0.9*bell(bed, 4.5, 3)
	case Daphnia:
		return 0.1 + 0.9*ramp(bed, 2, 6)
	case Fry:
		return 0.1 + 0.9*bell(bed, 0, 3.5)
	case BedFood:
		return 0.05 + 0.95/(1+math.Exp((bed-3.5)/0.7))
	case FreshStock:
		return 0.2 + 0.8*bell(bed, 0, 6)
	case Surface:
		return 0.7
	default:
		return 0.1 + 0.9*ramp(bed, 1.5, 5)
	}
}

// toldOver is over for a depth that was told, which is about nowhere in
// particular. [1]
const toldOver = 0.7

// draw is the weight of each cause at a spot, before they are shared out, and
// their sum with the told depths', which is the spot's worth. [1]
func (p *Prior) draw(bed float64, s *Spot) (w [causes]float64, worth float64) {
	w = p.weights
	for f, g := range &gain {
		if much := s.Ground[f]; much > 0 {
			more := 0.0
			if p.aim == Biggest {
				more = bigGain[f]
			}
			for h := range w {
				w[h] *= 1 + (g[h]+more)*much
			}
		}
	}
	w[FreshStock] *= p.nearStocking(s)
	for h := range causes {
		w[h] *= h.over(bed)
		worth += w[h]
	}
	for _, t := range p.told {
		worth += t.share * toldOver
	}
	return w, worth
}

// nearStocking is how much more fresh stock there is at a spot for its distance
// to where they went in; they spread by 150 m and 100 m a day. [1]
func (p *Prior) nearStocking(s *Spot) float64 {
	best, placed := 0.0, false
	for _, in := range p.stocked {
		days := p.at.Sub(in.At).Hours() / 24
		if !in.HasPlace || days < 0 || days > 10 {
			continue
		}
		placed = true
		best = math.Max(best, pull(math.Hypot(s.X-in.X, s.Y-in.Y), 150+100*days))
	}
	if !placed {
		return 1
	}
	return 0.3 + 2.7*best
}
