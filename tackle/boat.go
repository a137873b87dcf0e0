package tackle

// person is the mass of one person with clothes and gear. [kg] Common practice, no source
const person = 80.0

// Laden is the boat's mass with its people; 0 when the boat's own is not known. [kg]
func (b Boat) Laden() float64 {
	if b.Mass == 0 {
		return 0
	}
	return b.Mass + person*float64(b.People)
}

// UnderWay is the boat's speed through calm water: as told, else the usual one
// of its motor; of oars, the slowest, when nothing is said of a motor. [m/s]
// Common practice, no source
func (b Boat) UnderWay() float64 {
	switch {
	case b.Speed > 0:
		return b.Speed
	case b.Motor == Electric:
		return 1.5
	case b.Motor == Petrol:
		return 2.5
	}
	return 0.8
}

// HasEngine is whether cautions speak of an engine: so long as the bag does not
// say oars, as one that is not said may be there.
func (b Boat) HasEngine() bool { return b.Motor != Oars }
