package grid

import (
	"fmt"
	"math"
)

// Lines are the digital lines that run up-wind over a grid. From column i (row
// j when not AlongX) the next cell of the line stands Dir columns (rows) on and
// Shift[i] rows (columns) aside. The shift depends on that one index alone, so
// every cell lies on exactly one line: what is summed along lines costs one
// visit a cell, and nothing is smeared.
type Lines struct {
	AlongX bool    // columns are counted, rows shift
	Dir    int     // 1 or -1
	Step   float64 // length of a step along the line [m]
	Shift  []int   // -1, 0 or 1 for each column (row)
}

// UpWind lays the lines toward the angle a wind comes from. [rad]
func UpWind(g Grid, from float64) Lines {
	east, north := math.Sincos(from)
	if math.IsNaN(east) {
		panic(fmt.Sprintf("grid: no line runs toward %v", from))
	}
	l := Lines{AlongX: math.Abs(east) >= math.Abs(north), Dir: 1}
	major, minor, n := east, north, g.W
	if !l.AlongX {
		major, minor, n = north, east, g.H
	}
	if major < 0 {
		l.Dir = -1
	}
	t := minor / major
	l.Step = g.Cell * math.Sqrt(1+t*t)
	l.Shift = make([]int, n)
	for i := range l.Shift {
		l.Shift[i] = int(math.Floor(t*float64(i+l.Dir)+0.5) - math.Floor(t*float64(i)+0.5))
	}
	return l
}

// Fetch writes, for each wet cell, how far the water reaches from its centre
// toward the angle a wind comes from. [m] Cells that are not wet get 0; water
// ends at the grid's edge. The shore is taken half a step past the last wet
// cell of the line.
//
//	F(cell) = Step + F(next cell up-wind) while that is wet, else Step/2
//
// The distance down-wind is Fetch from the opposite angle.
func Fetch(g Grid, wet []bool, from float64, dst []float32) {
	g.need("mask", len(wet))
	g.need("field", len(dst))
	l := UpWind(g, from)
	// Rows and columns are visited so that the cell up-wind is always done. dst
	// counts whole steps first: whole numbers add exactly in float32.
	north := l.Dir > 0
	if l.AlongX {
		north = math.Cos(from) >= 0
	}
	for r := range g.H {
		j := r
		if north {
			j = g.H - 1 - r
		}
		if l.AlongX {
			countAlongRow(g, wet, l, j, dst)
		} else {
			countAcrossRow(g, wet, l, j, dst)
		}
	}
	step, half := float32(l.Step), float32(l.Step/2)
	for k, n := range dst {
		if n > 0 {
			dst[k] = float32(n*step) - half // never fused, so that FetchAt says the same
		}
	}
}

// FetchAt is Fetch at one cell, to the same bit, by a walk along its line.
func FetchAt(g Grid, wet []bool, from float64, k int) float32 {
	g.need("mask", len(wet))
	l := UpWind(g, from)
	i, j := k%g.W, k/g.W
	n := float32(0)
	for i >= 0 && j >= 0 && i < g.W && j < g.H && wet[j*g.W+i] {
		n++
		if l.AlongX {
			i, j = i+l.Dir, j+l.Shift[i]
		} else {
			i, j = i+l.Shift[j], j+l.Dir
		}
	}
	if n == 0 {
		return 0
	}
	return float32(n*float32(l.Step)) - float32(l.Step/2)
}

func countAlongRow(g Grid, wet []bool, l Lines, j int, dst []float32) {
	for c := range g.W {
		i := c
		if l.Dir > 0 {
			i = g.W - 1 - c
		}
		k := j*g.W + i
		if !wet[k] {
			dst[k] = 0
			continue
		}
		dst[k] = 1
		if a, b := i+l.Dir, j+l.Shift[i]; a >= 0 && a < g.W && b >= 0 && b < g.H {
			dst[k] += dst[b*g.W+a] // 0 on land
		}
	}
}

func countAcrossRow(g Grid, wet []bool, l Lines, j int, dst []float32) {
	row := dst[j*g.W : (j+1)*g.W]
	wet = wet[j*g.W : (j+1)*g.W]
	b := j + l.Dir
	var next []float32
	if b >= 0 && b < g.H {
		next = dst[b*g.W : (b+1)*g.W]
	}
	shift := l.Shift[j]
	for i := range row {
		if !wet[i] {
			row[i] = 0
			continue
		}
		row[i] = 1
		if a := i + shift; a >= 0 && a < len(next) {
			row[i] += next[a]
		}
	}
}
