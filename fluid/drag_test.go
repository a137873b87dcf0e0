package fluid_test

import (
	"math"
	"testing"

	"windlane/fluid"
)

// Two other correlations of the drag of a cylinder across the flow: a fit to
// the data in Panton, Incompressible Flow, 4th ed. (Sharpe's constants, read), and
// Sucker and Brauer 1975 (from memory). Cheng's formula is held to lie within
// 8 % of the nearer of them at the Reynolds numbers of a fly line.
func TestNormalDragAgainstOtherCorrelations(t *testing.T) {
	table := []struct{ re, cheng, panton, sucker, within float64 }{
		{1, 11.9, 11.8, 9.9, 0.08},
		{10, 2.87, 3.02, 2.67, 0.08},
		{30, 1.79, 1.86, 1.86, 0.08},
		{100, 1.33, 1.32, 1.45, 0.08},
		{300, 1.19, 1.12, 1.22, 0.08},
		{1000, 0.98, 1.05, 0.96, 0.08},
	}
	for _, c := range table {
		got := fluid.NormalDrag(c.re)
		if math.Abs(got-c.cheng) > 0.006*c.cheng {
			t.Errorf("NormalDrag(%g) = %.4f, want %g of Cheng 2013", c.re, got, c.cheng)
		}
		nearest := min(math.Abs(got/c.panton-1), math.Abs(got/c.sucker-1))
		if nearest > c.within {
			t.Errorf("NormalDrag(%g) = %.3f is %.0f %% off both %g and %g", c.re, got, nearest*100, c.panton, c.sucker)
		}
	}
	if !math.IsInf(fluid.NormalDrag(0), 1) {
		t.Error("NormalDrag(0) is finite")
	}
}

func TestTangentialDragAgainstHilpert(t *testing.T) {
	// Hilpert's 0.683 Re^0.466 at Re 66 (from memory): 4.81 against 4.82 here.
	hilpert := math.Pi * 0.683 * math.Pow(66, 0.466)
	if got := fluid.TangentialDrag(66); math.Abs(got/hilpert-1) > 0.01 {
		t.Errorf("TangentialDrag(66) = %.3f, Hilpert gives %.3f", got, hilpert)
	}
	// Taylor 1952 (from memory): 5.4 in ½ρ(..)√(d ν v_n) v_t is 1.55 times as much.
	if ratio := 5.4 / 2 * math.Sqrt(66) / fluid.TangentialDrag(66); ratio < 1.4 || ratio > 1.6 {
		t.Errorf("Taylor's friction is %.2f times ours, want about 1.45 to 1.55", ratio)
	}
	if got := fluid.TangentialDrag(0); got != 2.3 {
		t.Errorf("TangentialDrag(0) = %v, want the floor 2.3", got)
	}
	if a, b := fluid.TangentialDrag(0.6), fluid.TangentialDrag(0.7); a > b {
		t.Error("TangentialDrag falls with Re")
	}
}

// Diameter from class mass and rated sink at 10 °C: the line model's own table
// (computed by its prototype, not measured).
func TestDiameterFromSink(t *testing.T) {
	const rho, nu, inch = 999.70, 1.30738e-6, 0.0254
	grains := func(gr float64) float64 { return gr * 64.79891e-6 / 9.144 }
	table := []struct{ grains, sink, mm, density float64 }{
		{210, 1.5, 1.301, 1120}, {210, 3, 1.132, 1477}, {210, 5, 0.833, 2731}, {210, 7, 0.554, 6171},
		{185, 3, 1.046, 1527}, {185, 7, 0.487, 7051}, {140, 5, 0.590, 3633}, {140, 7, 0.358, 9867},
	}
	for _, c := range table {
		d, ok := fluid.DiameterFromSink(grains(c.grains), c.sink*inch, rho, nu)
		cyl := fluid.Cylinder{LinearDensity: grains(c.grains), Diameter: d}
		if !ok || math.Abs(d*1e3-c.mm) > 0.0006 || math.Abs(cyl.Density()/c.density-1) > 0.003 {
			t.Errorf("%g gr at %g in/s: %.4f mm, %.0f kg/m³, %v; want %g, %g", c.grains, c.sink, d*1e3, cyl.Density(), ok, c.mm, c.density)
		}
		if v := cyl.SinkSpeed(rho, nu); math.Abs(v/(c.sink*inch)-1) > 1e-9 {
			t.Errorf("%g gr: sinks at %v, want its rating %v back", c.grains, v, c.sink*inch)
		}
	}
	// A floating line has the thicker root, and rises at the speed asked for.
	d, ok := fluid.DiameterFromSink(grains(210), -0.03, rho, nu)
	if v := (fluid.Cylinder{LinearDensity: grains(210), Diameter: d}).SinkSpeed(rho, nu); !ok || math.Abs(v+0.03) > 1e-9 {
		t.Errorf("a rising line: %v mm, %v m/s, %v", d*1e3, v, ok)
	}
	for _, bad := range [][4]float64{{0, 0.1, rho, nu}, {1e-3, math.NaN(), rho, nu}, {1e-3, 0.1, 0, nu}, {1e-3, 1e6, rho, nu}} {
		if d, ok := fluid.DiameterFromSink(bad[0], bad[1], bad[2], bad[3]); ok {
			t.Errorf("DiameterFromSink(%v) = %v, want none", bad, d)
		}
	}
	// Leaders: nylon 0.25 mm of 1140 kg/m³ 7.7 mm/s, fluorocarbon of 1780 27 mm/s.
	for _, c := range []struct{ density, mm, want float64 }{{1140, 0.25, 7.7e-3}, {1780, 0.25, 27e-3}, {1140, 0.20, 5.8e-3}, {1780, 0.20, 21e-3}} {
		d := c.mm * 1e-3
		v := fluid.Cylinder{LinearDensity: c.density * math.Pi / 4 * d * d, Diameter: d}.SinkSpeed(rho, nu)
		if math.Abs(v/c.want-1) > 0.03 {
			t.Errorf("leader %g mm %g kg/m³ sinks at %.2f mm/s, want %.2f", c.mm, c.density, v*1e3, c.want*1e3)
		}
	}
}
