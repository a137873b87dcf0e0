package drift

import (
	"fmt"
	"math"
)

// Drag coefficients of a small open boat and of drogues, each with its spread
// and source. A coefficient means nothing without the area it belongs to.
const (
	// CdAir is for a boat beam on and its people. [1] 0.9 to 1.2 (OCIMF and
	// Isherwood style figures for vessels beam on, from memory, wide).
	CdAir = 1.1
	// PersonArea is the side area of one seated person above the gunwale. [m²]
	// 0.30 to 0.45; with CdAir 0.39 m² (Hoerner 1965 ch. 3: 0.4 to 0.6, from memory).
	PersonArea = 0.35
	// CdHull is for the lateral area length × draught. [1] 0.5 round bilge to
	// 1.2 hard chine (Hoerner 1965 ch. 10, from memory, wide).
	CdHull = 1.0
	// CdFlat is a flat canopy's coefficient on its flat fabric area. [1]
	// 0.75 to 0.80 (Knacke 1992, NWC TP 6575, table 5-1, from memory).
	CdFlat = 0.75
	// CdMouth is an open bag's or cone's coefficient on the area of its open
	// mouth. [1] A hollow hemisphere open to the stream has 1.42 on that area
	// (textbook table); less some spill.
	CdMouth = 1.35
	// InflatedShare is an open flat canopy's mouth over its flat diameter. [1]
	// (Knacke 1992, from memory.)
	InflatedShare = 0.7
	// WindageHeight is where the wind on a small open boat with seated people is taken. [m]
	WindageHeight = 0.8
	// CdAirEnd is for a boat end on and its people, on beam × freeboard and
	// PersonArea. [1] (physics.json of refdata/drift, an estimate.)
	CdAirEnd = 0.8
	// CdHullEnd is for beam × draught, a hull moving along itself. [1] (The same.)
	CdHullEnd = 0.25
	// BeamShare is the beam of a small open boat over its length. [1] Common
	// practice, no source: about a third.
	BeamShare = 0.34
	// SwayShare is the water a small hull carries sideways over the boat's own
	// mass. [1] An estimate (280 kg with 600 kg).
	SwayShare = 280.0 / 600
)

// Boat is what one can measure of a boat on its trailer.
type Boat struct {
	Length    float64 // [m]
	Beam      float64 // 0: BeamShare of the length; only Ends reads it [m]
	Freeboard float64 // mean height of the side above the water, laden [m]
	Draught   float64 // mean depth of the hull below the water, laden [m]
	People    int     // seated
	Mass      float64 // boat, engine, battery and people [kg]
}

// Setup is the boat's drag areas with the drogue in the boat:
// air (length × freeboard + 0.35 m² a person) × CdAir, hull length × draught × CdHull.
// An error says what is out of range.
func (b Boat) Setup() (Setup, error) {
	switch {
	case !within(b.Length, 2, 15):
		return Setup{}, fmt.Errorf("boat length %v m: allowed is 2 to 15", b.Length)
	case b.Beam != 0 && !within(b.Beam, 0.5, 5):
		return Setup{}, fmt.Errorf("boat beam %v m: allowed is 0.5 to 5", b.Beam)
	case !within(b.Freeboard, 0.1, 2):
		return Setup{}, fmt.Errorf("boat freeboard %v m: allowed is 0.1 to 2", b.Freeboard)
	case !within(b.Draught, 0.05, 1.5):
		return Setup{}, fmt.Errorf("boat draught %v m: allowed is 0.05 to 1.5", b.Draught)
	case b.People < 0 || b.People > 12:
		return Setup{}, fmt.Errorf("people in the boat %d: allowed is 0 to 12", b.People)
	case !within(b.Mass, 0, 1e5):
		return Setup{}, fmt.Errorf("boat mass %v kg: allowed is 0 to 100 000", b.Mass)
	}
	return Setup{
		AirArea:       CdAir * (b.Length*b.Freeboard + PersonArea*float64(b.People)),
		HullArea:      CdHull * b.Length * b.Draught,
		WindageHeight: WindageHeight,
		Mass:          b.Mass * (1 + SwayShare),
	}, nil
}

// Ends is the boat end on, for Slip: it sails along itself more easily than
// across, which is what turns the track of a boat that lies askew. It takes what
// Setup takes.
func (b Boat) Ends() Ends {
	beam := b.Beam
	if beam == 0 {
		beam = BeamShare * b.Length
	}
	return Ends{
		AirArea:  CdAirEnd * (beam*b.Freeboard + PersonArea*float64(b.People)),
		HullArea: CdHullEnd * beam * b.Draught,
	}
}

// Drogue is a drogue's drag area and the water it holds when it is out.
type Drogue struct {
	Area  float64 // Cd·A [m²]
	Water float64 // [kg]
}

// FlatRound is a round canopy by the diameter of its flat fabric. [m]
func FlatRound(diameter float64) Drogue {
	return Drogue{CdFlat * math.Pi * diameter * diameter / 4, held(InflatedShare * diameter)}
}

// FlatSquare is a square canopy by the side of its flat fabric. [m]
func FlatSquare(side float64) Drogue {
	// the round one of the same fabric holds the same water
	return Drogue{CdFlat * side * side, held(InflatedShare * side * 2 / math.Sqrt(math.Pi))}
}

// OpenMouth is a bag or cone by the diameter of its open mouth. The same
// figure on a label means 1.8 times the drag of FlatRound: ask which is meant. [m]
func OpenMouth(diameter float64) Drogue {
	return Drogue{CdMouth * math.Pi * diameter * diameter / 4, held(diameter)}
}

// held is half a ball of water of the mouth's diameter. [kg]
func held(diameter float64) float64 { return 1000 * 2.0 / 3 * math.Pi * math.Pow(diameter/2, 3) }

// With is the set-up with a drogue out.
func (s Setup) With(d Drogue) Setup {
	s.DrogueArea, s.DrogueWater = d.Area, d.Water
	return s
}
