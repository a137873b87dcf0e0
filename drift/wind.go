package drift

import (
	"fmt"
	"math"
	"sort"

	"windlane/quantity"
)

// Row is the mean wind at 10 m at one time.
type Row struct {
	T     float64       // on the caller's clock [s]
	Speed float64       // [m/s]
	From  quantity.From // [rad]
}

// Wind is a wind over time, the same over the whole lake: a vector, linear
// between its rows, so that it turns the short way and across north. Before the
// first and after the last row it holds their values.
type Wind struct {
	t      []float64 // [s]
	e, n   []float64 // wind vector toward east, north at each row [m/s]
	re, rn []float64 // run of the wind from the first row to each row [m]
}

// NewWind makes a wind of rows in rising order of time.
func NewWind(rows []Row) (*Wind, error) {
	if len(rows) == 0 {
		return nil, fmt.Errorf("wind: no rows: at least one is needed")
	}
	w := &Wind{}
	for i, r := range rows {
		switch {
		case !within(r.T, -1e12, 1e12):
			return nil, fmt.Errorf("wind row %d: time %v s", i+1, r.T)
		case i > 0 && !(r.T > rows[i-1].T):
			return nil, fmt.Errorf("wind row %d: its time must be later than the row before", i+1)
		case !within(r.Speed, 0, 100):
			return nil, fmt.Errorf("wind row %d: speed %v m/s: allowed is 0 to 100", i+1, r.Speed)
		case !within(float64(r.From), -7, 7):
			return nil, fmt.Errorf("wind row %d: from %v rad: allowed is one turn", i+1, float64(r.From))
		}
		e, n := r.From.Toward().Vector()
		w.t, w.e, w.n = append(w.t, r.T), append(w.e, r.Speed*e), append(w.n, r.Speed*n)
		var re, rn float64
		if i > 0 {
			dt := w.t[i] - w.t[i-1]
			re = w.re[i-1] + dt*(w.e[i-1]+w.e[i])/2
			rn = w.rn[i-1] + dt*(w.n[i-1]+w.n[i])/2
		}
		w.re, w.rn = append(w.re, re), append(w.rn, rn)
	}
	return w, nil
}

// Covers says whether rows stand at or before from and at or after to. [s]
func (w *Wind) Covers(from, to float64) bool { return w.t[0] <= from && to <= w.t[len(w.t)-1] }

// At is the wind vector at a time, toward east and north. [m/s]
func (w *Wind) At(t float64) (east, north float64) {
	i, f := w.between(t)
	if i < 0 {
		return w.e[0], w.n[0]
	}
	if i == len(w.t)-1 {
		return w.e[i], w.n[i]
	}
	return w.e[i] + f*(w.e[i+1]-w.e[i]), w.n[i] + f*(w.n[i+1]-w.n[i])
}

// Run is how far the air has gone from the first row to a time: the exact
// integral of At, negative before the first row. [m]
func (w *Wind) Run(t float64) (east, north float64) {
	i, f := w.between(t)
	if i < 0 {
		dt := t - w.t[0]
		return dt * w.e[0], dt * w.n[0]
	}
	dt := t - w.t[i]
	if i == len(w.t)-1 {
		return w.re[i] + dt*w.e[i], w.rn[i] + dt*w.n[i]
	}
	return w.re[i] + dt*(w.e[i]+f/2*(w.e[i+1]-w.e[i])), w.rn[i] + dt*(w.n[i]+f/2*(w.n[i+1]-w.n[i]))
}

// Strongest is a bound on the mean wind between two times. [m/s]
func (w *Wind) Strongest(from, to float64) float64 {
	e, n := w.At(from)
	most := math.Hypot(e, n)
	e, n = w.At(to)
	most = math.Max(most, math.Hypot(e, n))
	for i, t := range w.t { // between rows the length of a linear vector is convex
		if t > from && t < to {
			most = math.Max(most, math.Hypot(w.e[i], w.n[i]))
		}
	}
	return most
}

// between finds the row at or before t (-1 before the first) and the share of
// the way to the next.
func (w *Wind) between(t float64) (int, float64) {
	i := sort.Search(len(w.t), func(i int) bool { return w.t[i] > t }) - 1
	if i < 0 || i == len(w.t)-1 {
		return i, 0
	}
	return i, (t - w.t[i]) / (w.t[i+1] - w.t[i])
}

// Motion is how a boat answers the wind: its drift over the ground as a share
// of the wind at 10 m, and its slip off downwind.
type Motion struct {
	Fraction float64 // [1]
	Slip     float64 // to the right of downwind positive [rad]
}

// Validate says what is out of range.
func (m Motion) Validate() error {
	if !within(m.Fraction, 0, 1) || !within(m.Slip, -math.Pi, math.Pi) {
		return fmt.Errorf("drift fraction %v, slip %v rad: allowed are 0 to 1 and half a turn either way", m.Fraction, m.Slip)
	}
	return nil
}

// Path is where the boat has got to, from one time to another: fraction × the
// run of the wind, turned by the slip. All drifts that begin at one time are
// this one curve laid at their starts. [m]
func (m Motion) Path(w *Wind, from, to float64) (east, north float64) {
	sin, cos := math.Sincos(m.Slip)
	return m.path(w, from, to, sin, cos)
}

func (m Motion) path(w *Wind, from, to, sin, cos float64) (east, north float64) {
	e0, n0 := w.Run(from)
	e1, n1 := w.Run(to)
	v := vector{e1 - e0, n1 - n0}.times(m.Fraction).turned(cos, -sin) // clockwise: right of downwind
	return v.x, v.y
}
