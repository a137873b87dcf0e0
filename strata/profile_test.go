package strata_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"windlane/strata"
)

// Seeds of the reader: good and bad files as people bring them.
var seeds = []struct {
	in   string
	want string // part of the error, or the depths and temperatures read
}{
	{"depth_m,temperature_c\n0,18\n5,17.5\n10,9\n", "0 5 10: 18 17.5 9"},
	{"# up and down again\nDepth;Temperature\n0;18\n10;9\n10;10\n5;17\n", "0 5 10: 18 17 9.5"},
	{"depth\ttemperature\n2\t12\n8\t11\n", "2 8: 12 11"},
	{"depth_ft,temperature_c\n0,18\n5,17\n", "it must be called depth_m or depth"},
	{"depth,temp\n0,18\n5,17\n", "it must be called temperature_c or temperature"},
	{"depth,temperature\n0,18\n-5,17\n", `line 3, depth: "-5" is out of range: allowed is 0 to 500`},
	{"depth,temperature\n0,64\n5,60\n", `line 2, temperature: "64" is out of range: allowed is -1 to 40`},
	{"depth,temperature\n0,18\n5,warm\n", `line 3, temperature: "warm" is not a number`},
	{"depth,temperature\n3,18\n3,17\n", "fewer than two depths"},
	{"depth,temperature\n", "fewer than two depths"},
	{"", "is empty"},
}

func said(p strata.Profile) string {
	return strings.Trim(fmt.Sprint(p.Depths), "[]") + ": " + strings.Trim(fmt.Sprint(p.Temperatures), "[]")
}

func TestReadProfile(t *testing.T) {
	if len(seeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, s := range seeds {
		p, err := strata.ReadProfile("lake.csv", strings.NewReader(s.in))
		got := said(p)
		if err != nil {
			got = err.Error()
		}
		if !strings.Contains(got, s.want) {
			t.Errorf("%q gave %q, want %q", s.in, got, s.want)
		}
	}
}

func TestProfileAt(t *testing.T) {
	p := profile(t, []float64{1, 5, 10}, []float64{18, 16, 6})
	for z, want := range map[float64]float64{0: 18, 1: 18, 3: 17, 5: 16, 7.5: 11, 10: 6, 40: 6} {
		near(t, "temperature", p.At(z), want, 1e-12)
	}
}

func TestMisfits(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		depths, values []float64
		lake           bool
		index          int
		field          string
	}{
		{[]float64{0}, []float64{10}, false, 0, "temperature"},
		{[]float64{0, 1}, []float64{10}, false, 1, "temperature"},
		{[]float64{0, 2, 2}, []float64{10, 9, 8}, false, 2, "depth"},
		{[]float64{0, nan}, []float64{10, 9}, false, 1, "depth"},
		{[]float64{0, 600}, []float64{10, 9}, false, 1, "depth"},
		{[]float64{0, 1}, []float64{10, nan}, false, 1, "temperature"},
		{[]float64{1, 2}, []float64{10, 9}, true, 0, "depth"},
		{[]float64{0, 2}, []float64{0, 0}, true, 0, "area"},
		{[]float64{0, 2, 4}, []float64{10, 5, 6}, true, 2, "area"},
		{[]float64{0, 2}, []float64{10, nan}, true, 1, "area"},
		{[]float64{0, 2, 1}, []float64{10, 5, 4}, true, 2, "depth"},
	} {
		_, err := strata.NewProfile(c.depths, c.values)
		if c.lake {
			_, err = strata.NewHypsography(c.depths, c.values)
		}
		var m *strata.Misfit
		if !errors.As(err, &m) || m.Index != c.index || m.Field != c.field || m.Problem == "" {
			t.Errorf("%v %v: %v", c.depths, c.values, err)
		}
	}
}

// Any profile that passes gives finite numbers in order.
func lawful(t *testing.T, p strata.Profile) {
	t.Helper()
	h := strata.Hypsography{Depths: []float64{0, 3, 12}, Areas: []float64{2e6, 1.5e6, 1e4}}
	for _, s := range []strata.Strata{strata.Of(p, h, strata.Wind{Speed: 4, Height: 10}), strata.Of(p, strata.Hypsography{}, strata.Wind{})} {
		for _, v := range []float64{s.Thermocline, s.SeasonalThermocline, s.MetalimnionTop, s.MetalimnionBottom, s.Schmidt, s.FrictionVelocity, s.Wedderburn, s.LakeNumber, s.Reduced} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%v: %+v", p, s)
			}
		}
		last := p.Depths[len(p.Depths)-1]
		if s.HasThermocline && (s.MetalimnionTop > s.Thermocline+1e-9 || s.Thermocline > s.MetalimnionBottom+1e-9 || s.SeasonalThermocline < s.Thermocline || s.SeasonalThermocline > last) {
			t.Fatalf("%v: out of order: %+v", p, s)
		}
	}
}

func TestEveryProfileIsLawful(t *testing.T) {
	for _, temperatures := range [][]float64{{18, 18, 18, 18}, {18, 17, 8, 7}, {0, 1, 2, 4}, {10, 20, 5, 25}, {7, 8, 9, 20}, {20, 5, 5, 5}, {20, 20, 20, 5}, {18, 8, 18, 8}} {
		for _, depths := range [][]float64{{0, 1, 2, 3}, {0, 0.01, 15, 300}, {2, 4, 9, 9.5}} {
			lawful(t, profile(t, depths, slices.Clone(temperatures)))
		}
	}
	lawful(t, profile(t, []float64{0, 8}, []float64{19, 9}))
}

func TestWinterAndSkin(t *testing.T) {
	h := small(t)
	// Under ice colder water lies on top, denser below: layered, though inversely.
	s := strata.Of(profile(t, []float64{0, 1, 2, 4, 7}, []float64{0.5, 2, 3, 3.8, 4}), h, strata.Wind{Speed: 3, Height: 10})
	if !s.HasThermocline || s.Schmidt <= 0 {
		t.Errorf("under ice: %+v", s)
	}
	// Half a degree is no layering.
	s = strata.Of(profile(t, []float64{0, 1, 2, 4, 7}, []float64{14.5, 14.4, 14.2, 14.1, 14}), h, strata.Wind{Speed: 3, Height: 10})
	if s.HasThermocline || s.Stratified || s.HasIndices {
		t.Errorf("mixed: %+v", s)
	}
	// Two degrees spread evenly over seven metres have no firm layer.
	s = strata.Of(profile(t, []float64{0, 1, 2, 4, 7}, []float64{14, 13.7, 13.4, 12.8, 11.9}), h, strata.Wind{Speed: 3, Height: 10})
	if !s.HasThermocline || s.Stratified {
		t.Errorf("gentle: %+v", s)
	}
	// A calm has no Wedderburn number.
	s = strata.Of(profile(t, []float64{0, 1, 2, 4, 7}, []float64{20, 20, 14, 9, 9}), h, strata.Wind{Height: 10})
	if !s.Stratified || s.HasIndices {
		t.Errorf("calm: %+v", s)
	}
}

func FuzzReadProfile(f *testing.F) {
	for _, s := range seeds {
		f.Add(s.in)
	}
	f.Fuzz(func(t *testing.T, in string) {
		p, err := strata.ReadProfile("fuzz.csv", strings.NewReader(in))
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		lawful(t, p)
	})
}

func BenchmarkOf(b *testing.B) {
	b.ReportAllocs()
	p := strata.Profile{Depths: []float64{0, 2, 4, 6, 8, 10, 15, 20}, Temperatures: []float64{19, 19, 18.5, 17, 13, 10, 8, 7.5}}
	h := strata.Hypsography{Depths: []float64{0, 5, 10, 22}, Areas: []float64{3e6, 2e6, 1e6, 0}}
	for b.Loop() {
		strata.Of(p, h, strata.Wind{Speed: 6, Height: 10})
	}
}
