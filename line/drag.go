package line

import (
	"math"
	"sync"

	"windlane/fluid"
)

// Drag is a law of drag, tabulated: force per length across the flow
// ½ρνRe·C_d(Re)·v_n, along it ½ρν·c(Re)·v_t plus a quadratic part.
type Drag struct {
	cells [512]cell
	axial float64 // C_dax on the wetted girth πd, quadratic in v_t
}

// cell holds the two straight pieces of a sixteenth of an octave: value = a + Re·b.
type cell struct{ qa, qb, ca, cb float64 }

const (
	tableFloor = 1.0 / 65536 // least Re of the table; 32 octaves up from here
	tableEnd   = 65536.0     // where the table ends
	tableLast  = 65535.999   // a number in its last cell
	tableShift = 52 - 4      // 16 cells an octave
)

// newDrag tabulates a law: normal is C_d(Re), tangential the friction along the
// line over viscosity and speed (fluid.TangentialDrag), axial a constant
// coefficient on the wetted girth for friction that grows with the square. [1]
func newDrag(normal, tangential func(re float64) float64, axial float64) *Drag {
	d := &Drag{axial: axial}
	for octave := range 32 {
		scale := math.Ldexp(tableFloor, octave)
		for k := range 16 {
			re0, re1 := scale*(1+float64(k)/16), scale*(1+float64(k+1)/16)
			q0, q1 := re0*normal(re0), re1*normal(re1)
			c0, c1 := 2*tangential(re0), 2*tangential(re1)
			qb, cb := (q1-q0)/(re1-re0), (c1-c0)/(re1-re0)
			d.cells[math.Float64bits(re0)>>tableShift&511] = cell{q0 - re0*qb, qb, c0 - re0*cb, cb}
		}
	}
	return d
}

// ScaledDrag is the default law with both coefficients multiplied, for bands. [1]
func ScaledDrag(normal, tangential float64) *Drag {
	return newDrag(
		func(re float64) float64 { return normal * fluid.NormalDrag(re) },
		func(re float64) float64 { return tangential * fluid.TangentialDrag(re) }, 0)
}

var defaultDrag = sync.OnceValue(func() *Drag { return ScaledDrag(1, 1) })

// at looks up Re·C_d, its slope Re·d(Re·C_d)/dRe, and 2f/μv_t. The index is cut
// from the float's exponent and leading mantissa bits, so no logarithm is taken.
// Beyond the table, and for NaN, it is the value at the table's end.
func (d *Drag) at(re float64) (q, slope, c float64) {
	re += tableFloor
	if !(re < tableEnd) {
		re = tableLast
	}
	k := &d.cells[math.Float64bits(re)>>tableShift&511]
	slope = re * k.qb
	return k.qa + slope, slope, k.ca + re*k.cb
}
