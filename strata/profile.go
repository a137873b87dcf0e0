package strata

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"windlane/internal/text"
)

// Profile is water temperature by depth. Make one with NewProfile or
// ReadProfile, which see to it that depths grow and everything is finite.
type Profile struct {
	Depths       []float64 // below the surface, growing [m]
	Temperatures []float64 // at each depth [°C]
}

// Hypsography is a lake's area by depth. The zero value is an unknown lake.
type Hypsography struct {
	Depths []float64 // below the surface, growing, the first 0 [m]
	Areas  []float64 // of the lake's level at each depth, never growing [m²]
}

// Misfit is a row that cannot be used.
type Misfit struct {
	Index   int    // of the row, from 0
	Field   string // depth, temperature or area
	Problem string // what is wrong and what is allowed
}

func (m *Misfit) Error() string { return fmt.Sprintf("%s %d: %s", m.Field, m.Index+1, m.Problem) }

// What a profile may hold. [m], [°C]
const (
	deepest = 500.0
	coldest = -1.0
	warmest = 40.0
)

// NewProfile takes two to 10 000 depths [m], 0 to 500 and growing, and the
// temperatures [°C] there, −1 to 40. The error is a *Misfit.
func NewProfile(depths, temperatures []float64) (Profile, error) {
	if len(depths) < 2 || len(depths) > 10_000 || len(temperatures) != len(depths) {
		return Profile{}, &Misfit{len(depths) - 1, "temperature", fmt.Sprintf("%d depths with %d temperatures: needed are 2 to 10000 of each", len(depths), len(temperatures))}
	}
	for i := range depths {
		if m := growing(depths, i); m != nil {
			return Profile{}, m
		}
		if t := temperatures[i]; !(t >= coldest && t <= warmest) {
			return Profile{}, &Misfit{i, "temperature", fmt.Sprintf("%g °C: allowed is %g to %g", t, coldest, warmest)}
		}
	}
	return Profile{depths, temperatures}, nil
}

// NewHypsography takes two to 10 000 depths [m], from 0, growing, and the areas
// [m²] there, the first above 0 and never growing downwards. The error is a
// *Misfit.
func NewHypsography(depths, areas []float64) (Hypsography, error) {
	if len(depths) < 2 || len(depths) > 10_000 || len(areas) != len(depths) {
		return Hypsography{}, &Misfit{len(depths) - 1, "area", fmt.Sprintf("%d depths with %d areas: needed are 2 to 10000 of each", len(depths), len(areas))}
	}
	for i, a := range areas {
		if m := growing(depths, i); m != nil {
			return Hypsography{}, m
		}
		switch {
		case i == 0 && depths[0] != 0:
			return Hypsography{}, &Misfit{0, "depth", "the first must be 0, the surface"}
		case i == 0 && !(a > 0 && a <= 1e12):
			return Hypsography{}, &Misfit{0, "area", fmt.Sprintf("%g m²: allowed is above 0 to 1e12", a)}
		case i > 0 && !(a >= 0 && a <= areas[i-1]):
			return Hypsography{}, &Misfit{i, "area", fmt.Sprintf("%g m²: allowed is 0 to the %g above it", a, areas[i-1])}
		}
	}
	return Hypsography{depths, areas}, nil
}

func growing(depths []float64, i int) error {
	switch d := depths[i]; {
	case !(d >= 0 && d <= deepest):
		return &Misfit{i, "depth", fmt.Sprintf("%g m: allowed is 0 to %g", d, deepest)}
	case i > 0 && d <= depths[i-1]:
		return &Misfit{i, "depth", fmt.Sprintf("%g m does not come below %g m: depths must grow", d, depths[i-1])}
	}
	return nil
}

// ReadProfile reads a table with the columns depth_m and temperature_c (or
// depth and temperature), in any order of rows: they are sorted, and rows at one
// depth averaged, so a sounding down and up again will do.
func ReadProfile(name string, r io.Reader) (Profile, error) {
	table, err := text.ReadTable(name, r, 1<<20)
	if err != nil {
		return Profile{}, err
	}
	depth, err := table.Need("depth_m", "depth")
	if err != nil {
		return Profile{}, err
	}
	temperature, err := table.Need("temperature_c", "temperature")
	if err != nil {
		return Profile{}, err
	}
	type row struct{ depth, temperature float64 }
	var rows []row
	for _, cells := range table.Rows {
		var at row
		if at.depth, err = cells.Number(depth, 0, deepest); err != nil {
			return Profile{}, err
		}
		if at.temperature, err = cells.Number(temperature, coldest, warmest); err != nil {
			return Profile{}, err
		}
		rows = append(rows, at)
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.depth, b.depth) })
	var p Profile
	for i := 0; i < len(rows); {
		j, sum := i, 0.0
		for ; j < len(rows) && rows[j].depth == rows[i].depth; j++ {
			sum += rows[j].temperature
		}
		p.Depths = append(p.Depths, rows[i].depth)
		p.Temperatures = append(p.Temperatures, sum/float64(j-i))
		i = j
	}
	if len(p.Depths) < 2 {
		return Profile{}, &text.Fault{File: name, Problem: "has fewer than two depths: a profile needs the surface and something below it"}
	}
	p, err = NewProfile(p.Depths, p.Temperatures)
	if err != nil {
		return Profile{}, fmt.Errorf("%s: %w", name, err)
	}
	return p, nil
}

// At is the temperature at a depth [m], straight between rows and even beyond
// them. [°C]
func (p Profile) At(depth float64) float64 { return interpolate(p.Depths, p.Temperatures, depth) }

// interpolate is linear between the xs, which grow, and even beyond them.
func interpolate(xs, ys []float64, x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	n, _ := slices.BinarySearch(xs, x)
	switch n {
	case 0:
		return ys[0]
	case len(xs):
		return ys[len(ys)-1]
	}
	return ys[n-1] + (ys[n]-ys[n-1])*(x-xs[n-1])/(xs[n]-xs[n-1])
}
