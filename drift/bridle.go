package drift

import (
	"fmt"
	"math"
)

// Bridle is a drogue on two ropes from the gunwale to one point in the water.
type Bridle struct {
	Bow    float64 // rope from the forward cleat [m]
	Stern  float64 // rope from the after cleat [m]
	Spread float64 // between the cleats [m]
	Ahead  float64 // net push of wind and water ahead of midships, negative aft [m]
}

// Yaw is how far the boat turns off square to the wind until the drogue's pull
// meets the line of the net push, bow downwind positive:
//
//	xa = (L2²−L1²)/(2b), ya = √(L1²−(b/2−xa)²), yaw = atan((xe−xa)/ya)
//
// with x ahead of midships, L1 the bow rope, L2 the stern rope. Static
// geometry: the hull's own turning moment is left out. An error says when the
// ropes do not meet. [rad]
func (r Bridle) Yaw() (float64, error) {
	if !within(r.Spread, 0.1, 20) || !within(r.Bow, 0.1, 100) || !within(r.Stern, 0.1, 100) || !within(r.Ahead, -20, 20) {
		return 0, fmt.Errorf("drogue ropes %v and %v m, %v m apart, push %v m ahead: allowed are ropes 0.1 to 100, spread 0.1 to 20, push within 20", r.Bow, r.Stern, r.Spread, r.Ahead)
	}
	xa := (r.Stern*r.Stern - r.Bow*r.Bow) / (2 * r.Spread)
	ya2 := r.Bow*r.Bow - (r.Spread/2-xa)*(r.Spread/2-xa)
	if !(ya2 > 0) {
		return 0, fmt.Errorf("drogue ropes %v and %v m on cleats %v m apart cannot meet in one point", r.Bow, r.Stern, r.Spread)
	}
	return math.Atan((r.Ahead - xa) / math.Sqrt(ya2)), nil
}

// Ends is what air and water feel of a boat end on.
type Ends struct {
	AirArea  float64 // Cd·A above the water [m²]
	HullArea float64 // Cd·A below the water [m²]
}

// Slip is the drift's angle off downwind of a boat held at a yaw, positive
// toward the side its bow points to, by the balance of forces along and across
// the hull, each ½ρ·CA·|w|·w. Currents run with the wind. A drogue turns the
// sign: the hull sails a little, the drogue holds. The end-on areas are seldom
// known: take the pattern, not the decimals. It panics on values that Validate
// refuses. [rad]
func (s Setup) Slip(c Scene, ends Ends, yaw float64) float64 {
	must(s.Validate(), c.Validate())
	if !within(ends.AirArea, 1e-3, 1000) || !within(ends.HullArea, 1e-3, 1000) || !within(yaw, -math.Pi/2, math.Pi/2) {
		panic(fmt.Sprintf("drift: end-on areas %v and %v m², yaw %v rad", ends.AirArea, ends.HullArea, yaw))
	}
	b := s.balance(c)
	// x along the wind, y to the side the bow points to; the hull's long axis is
	// y turned downwind by the yaw.
	b.u, b.ch, b.cd = vector{b.u.length(), 0}, vector{c.AtHull.Speed, 0}, vector{c.AtDrogue.Speed, 0}
	sin, cos := math.Sincos(yaw)
	hull := func(side, end float64) matrix {
		// side·n nᵀ + end·l lᵀ with l = (sin, cos) along the hull, n = (cos, −sin) across it
		return matrix{side*cos*cos + end*sin*sin, (end - side) * sin * cos, side*sin*sin + end*cos*cos}
	}
	v := b.newton(hull(b.a, c.AirDensity/2*ends.AirArea), hull(b.h, c.WaterDensity/2*ends.HullArea))
	if v.length() == 0 {
		return 0
	}
	return math.Atan2(v.y, v.x)
}
