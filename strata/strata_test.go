package strata_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"windlane/strata"
)

// Expected values: rLakeAnalyzer 1.12.0 run in R 4.2.2 on the same inputs, the
// Schmidt stability also by an independent hand
// (refdata/physics/SOURCE.md). Numbers only; that programme is GPL.

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.8g, want %.8g", what, got, want)
	}
}

func profile(t *testing.T, depths, temperatures []float64) strata.Profile {
	t.Helper()
	p, err := strata.NewProfile(depths, temperatures)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func lake(t *testing.T, depths, areas []float64) strata.Hypsography {
	t.Helper()
	h, err := strata.NewHypsography(depths, areas)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// small is the seven-metre pond of the reference examples.
func small(t *testing.T) strata.Hypsography {
	return lake(t, []float64{0, 2.3, 2.5, 4.2, 5.8, 7}, []float64{1000, 900, 864, 820, 200, 10})
}

func TestSchmidt(t *testing.T) {
	p := profile(t, []float64{0, 1, 2, 3, 4, 5, 6}, []float64{28, 27, 26.4, 26, 25.4, 24, 23.3})
	near(t, "Schmidt stability", strata.Schmidt(p, small(t)), 23.76960595, 1e-6)

	// A box of two layers: g (ρ₂ − ρ₁) h (H − h)/2; 998.2 and 999.7 kg/m³ are
	// 20.17 and 10.28 °C by the package's density, the step is spread over 0.2 m.
	// The sum has both ends whole, which is 1 % here and 3 % in the pond above.
	box := lake(t, []float64{0, 20}, []float64{1e6, 1e6})
	p = profile(t, []float64{0, 7.9, 8.1, 20}, []float64{20.1658, 20.1658, 10.2795, 10.2795})
	near(t, "box", strata.Schmidt(p, box), 706.32, 10)

	// Mixed water needs no work.
	p = profile(t, []float64{0, 20}, []float64{12, 12})
	near(t, "mixed", strata.Schmidt(p, box), 0, 1e-6)
}

func TestIndices(t *testing.T) {
	const g = 9.81
	near(t, "Wedderburn", strata.Wedderburn(g*3.1/999.31, 5.5, .0028, 2*math.Sqrt(80300/math.Pi)), 367.2205, 1e-3)
	near(t, "Wedderburn", strata.Wedderburn(g*1.5/999.1, 2.4, .0032, 2*math.Sqrt(120000/math.Pi)), 21.19474, 1e-4)
	near(t, "Lake number", strata.LakeNumber(small(t), .0032, 140, 1.34, 4.32, 999.3), 472.136, 1e-3)
	near(t, "Lake number", strata.LakeNumber(small(t), .0024, 153, 1.54, 4.33, 999.32), 951.308, 1e-3)
	near(t, "friction velocity", strata.FrictionVelocity(strata.Wind{Speed: 5, Height: 10}, 998), .00671492, 1e-8)
	near(t, "friction velocity", strata.FrictionVelocity(strata.Wind{Speed: 4.5, Height: 10}, 998), .00493444, 1e-8)
	near(t, "friction velocity", strata.FrictionVelocity(strata.Wind{Speed: 8, Height: 2}, 998.5), .0127240, 1e-7)
}

// Spigel and Imberger 1980, worked by hand from its formulas: 8 m/s, layers of 8
// and 12 m, 5 km.
func TestTilt(t *testing.T) {
	friction, reduced := math.Sqrt(.0015*1.2*64/((998.6+999.85)/2)), 9.81*(999.85-998.6)/999.85
	near(t, "u*", friction, .010737, 1e-6)
	near(t, "W", strata.Wedderburn(reduced, 8, friction, 5000), 1.3613, 5e-4)
	near(t, "tilt", strata.Tilt(reduced, 8, friction, 5000), 2.938, 1e-3)
	near(t, "tilt by W", strata.Tilt(reduced, 8, friction, 5000), 8/(2*strata.Wedderburn(reduced, 8, friction, 5000)), 1e-9)
}

func TestThermocline(t *testing.T) {
	temperatures := []float64{22.51, 22.42, 22.4, 22.4, 22.4, 22.36, 22.3, 22.21, 22.11, 21.23, 16.42, 15.15, 14.24, 13.35, 10.94, 10.43, 10.36, 9.94, 9.45, 9.1, 8.91, 8.58, 8.43}
	depths := []float64{0, .5, 1, 1.5}
	for z := 2.0; z <= 20; z++ {
		depths = append(depths, z)
	}
	p := profile(t, depths, temperatures)
	s := strata.Of(p, strata.Hypsography{}, strata.Wind{Speed: 3, Height: 10})
	near(t, "thermocline", s.Thermocline, 7.50212, 1e-4)
	near(t, "seasonal thermocline", s.SeasonalThermocline, 11.40725, 1e-4)
	near(t, "metalimnion top", s.MetalimnionTop, 5.9437, 1e-4)
	near(t, "metalimnion bottom", s.MetalimnionBottom, 11.0914, 1e-4)
	top, bottom := strata.Metalimnion(p, s.SeasonalThermocline)
	near(t, "seasonal metalimnion top", top, 9.4211, 1e-4)
	near(t, "seasonal metalimnion bottom", bottom, 12.2427, 1e-4)
	if !s.Stratified || s.HasLake || s.HasIndices {
		t.Errorf("%+v", s)
	}
}

func column(t *testing.T, file string, col int) []float64 {
	t.Helper()
	f, err := os.Open("../refdata/physics/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 3 {
		t.Fatalf("%s: %d rows, %v", file, len(rows), err)
	}
	var out []float64
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[col], 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

// A measured day in a measured lake.
func TestOneDay(t *testing.T) {
	p := profile(t, column(t, "stratification_profile_one_day.csv", 0), column(t, "stratification_profile_one_day.csv", 1))
	h := lake(t, column(t, "stratification_hypsography.csv", 0), column(t, "stratification_hypsography.csv", 1))
	s := strata.Of(p, h, strata.Wind{Speed: 3.7524, Height: 2})
	near(t, "thermocline", s.Thermocline, 7.2998, 1e-4)
	near(t, "metalimnion top", s.MetalimnionTop, 5.7470, 1e-4)
	near(t, "metalimnion bottom", s.MetalimnionBottom, 11.3360, 1e-4)
	near(t, "Schmidt stability", s.Schmidt, 360.271, 1e-3)
	near(t, "friction velocity", s.FrictionVelocity, .00471403, 1e-8)
	near(t, "Wedderburn", s.Wedderburn, 28.737, 1e-3)
	near(t, "Lake number", s.LakeNumber, 25.553, 1e-3)
	if !s.Stratified || !s.HasLake || !s.HasIndices {
		t.Errorf("%+v", s)
	}
}
