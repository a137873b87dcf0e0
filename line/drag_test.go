package line

import (
	"math"
	"testing"

	"windlane/fluid"
)

// The table is the law within its range, and stays at its last value beyond:
// it does not begin again at the other end.
func TestDragTable(t *testing.T) {
	d := defaultDrag()
	for re := 0.02; re < 65000; re *= 1.37 {
		q, _, c := d.at(re)
		if want := re * fluid.NormalDrag(re); math.Abs(q/want-1) > 2e-3 {
			t.Errorf("Re %.4g: Re·C_d %v, the law %v", re, q, want)
		}
		if want := 2 * fluid.TangentialDrag(re); math.Abs(c/want-1) > 2e-3 {
			t.Errorf("Re %.4g: friction %v, the law %v", re, c, want)
		}
	}
	q0, slope0, c0 := d.at(65535.99)
	for _, re := range []float64{65536, 65537, 1e5, 1e9, 1e300, math.Inf(1), math.NaN()} {
		q, slope, c := d.at(re)
		if math.Abs(q/q0-1) > 1e-6 || math.Abs(slope/slope0-1) > 1e-6 || math.Abs(c/c0-1) > 1e-6 {
			t.Errorf("Re %v: %v, %v, %v; the table's end has %v, %v, %v", re, q, slope, c, q0, slope0, c0)
		}
	}
}

// The kernel cuts its index itself, and ends the table at the same place.
func TestKernelBeyondTheTable(t *testing.T) {
	s := deep(10, 0.5, sinking, rho, nil)
	push := func(v float64) float64 { // of the water on a node of a level line that sinks at v
		s.predict(0, 1, 1, 0)
		for i := range s.nxt {
			s.nxt[i] = s.cur[i]
			s.nxt[i].vz, s.el[i].h.vz = -v, -v
		}
		s.assemble(1)
		e := &s.el[s.end/2]
		return e.r2 + e.w
	}
	slow, fast := push(50), push(100) // Re of 43 000 and 87 000
	if slow <= 0 || fast < 1.5*slow {
		t.Errorf("at 50 m/s %v N, at 100 m/s %v N", slow, fast)
	}
}
