package drift

import (
	"math"
	"slices"
)

// Spread is how well the figures of a drift are known: one standard deviation
// of the natural logarithm of each, taken as independent.
type Spread struct {
	Air     float64 // air drag area [1]
	Hull    float64 // hull drag area [1]
	Drogue  float64 // drogue drag area [1]
	Wind    float64 // wind at the boat over the wind at 10 m (height, roughness) [1]
	Current float64 // both currents, alike [1]
}

// StatedSpread is the product's: air 0.15 (Cd 0.9 to 1.2, people and side
// area as estimated), hull 0.27 (Cd 0.5 to 1.2 read as 5 to 95 %), drogue 0.15
// (CD0 0.60 to 0.85 and how well it fills), wind 0.04 (windage height ×/÷ 1.35),
// current 0.30 (a guess). The error of the wind forecast is not in it.
func StatedSpread() Spread { return Spread{0.15, 0.27, 0.15, 0.04, 0.30} }

// points is the number of points of the fixed quadrature of Band.
const points = 512

// normals are points of a five-dimensional Kronecker sequence through the
// inverse normal law: evenly spread, always the same, no random numbers.
// The steps are powers of 1/φ5, φ5 the root of x⁶ = x + 1 (Roberts 2018).
var normals = func() (z [points][5]float64) {
	const phi = 1.1347241384015194
	for i := range z {
		step := 1.0
		for d := range z[i] {
			step /= phi
			_, f := math.Modf(0.5 + step*float64(i+1))
			z[i][d] = math.Sqrt2 * math.Erfinv(2*f-1)
		}
	}
	return z
}()

// Band is the 5 and 95 % points of the drift speed over the ground under the
// spread, by a fixed quadrature of 512 points. It always holds the speed of
// Steady. It panics on values that Validate refuses. [m/s]
func (s Setup) Band(c Scene, k Spread) (low, high float64) {
	must(s.Validate(), c.Validate())
	var speeds [points]float64
	b := s.balance(c)
	for i, z := range normals {
		p := b
		p.a *= math.Exp(k.Air * z[0])
		p.h *= math.Exp(k.Hull * z[1])
		p.g *= math.Exp(k.Drogue * z[2])
		p.u = b.u.times(math.Exp(k.Wind * z[3]))
		current := math.Exp(k.Current * z[4])
		p.ch, p.cd = b.ch.times(current), b.cd.times(current)
		speeds[i] = p.solve().length()
	}
	slices.Sort(speeds[:])
	v := b.solve().length()
	return math.Min(v, quantile(speeds[:], 0.05)), math.Max(v, quantile(speeds[:], 0.95))
}

// quantile reads sorted values at share q, each standing for the middle of its share.
func quantile(sorted []float64, q float64) float64 {
	at := q*float64(len(sorted)) - 0.5
	i := int(math.Floor(at))
	i = max(0, min(i, len(sorted)-2))
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
