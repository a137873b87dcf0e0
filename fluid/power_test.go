package fluid

import (
	"math"
	"testing"
)

// math.Pow is the oracle: both within a few units in the last place.
func TestPower(t *testing.T) {
	for _, x := range []float64{1e-300, 1e-6, 0.02, 0.5, 1, 1.0001, 10, 4500, 2e5, 1e12} {
		for _, y := range []float64{-0.75, -0.1, 0, 0.3, 0.7, 1} {
			if got, want := power(x, y), math.Pow(x, y); math.Abs(got-want) > 1e-13*want {
				t.Errorf("%v^%v = %v, want %v", x, y, got, want)
			}
		}
	}
	if got := power(0, 0.7); got != 0 {
		t.Errorf("0^0.7 = %v", got)
	}
}
