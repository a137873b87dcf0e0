package fluid_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"windlane/fluid"
)

// columns reads the named columns of a table in refdata/physics (its SOURCE.md
// says where each comes from). An empty table fails.
func columns(t *testing.T, file string, names ...string) [][]float64 {
	t.Helper()
	f, err := os.Open("../refdata/physics/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%s: %d rows, %v", file, len(rows), err)
	}
	out := make([][]float64, len(rows)-1)
	for _, name := range names {
		col := -1
		for i, h := range rows[0] {
			if h == name {
				col = i
			}
		}
		if col < 0 {
			t.Fatalf("%s has no column %s", file, name)
		}
		for r, row := range rows[1:] {
			v, err := strconv.ParseFloat(row[col], 64)
			if err != nil {
				t.Fatal(err)
			}
			out[r] = append(out[r], v)
		}
	}
	return out
}

func TestDensityAndViscosity(t *testing.T) {
	for _, r := range columns(t, "water_density_viscosity_0_30C.csv", "T_C", "rho_Kell1975_kg_m3", "rho_IAPWS95", "mu_Kestin1978_mPas", "mu_IAPWS2008_mPas") {
		rho, mu := fluid.WaterDensity(r[0]), fluid.WaterViscosity(r[0])*1000
		// own formula to the last printed digit; the modern ones within their known distance
		if math.Abs(rho-r[1]) > 0.6e-4 || math.Abs(rho-r[2]) > 0.005 {
			t.Errorf("%v °C: density %.5f, Kell %v, IAPWS-95 %v", r[0], rho, r[1], r[2])
		}
		if math.Abs(mu-r[3]) > 0.6e-4 || math.Abs(mu/r[4]-1) > 0.0015 {
			t.Errorf("%v °C: viscosity %.5f, Kestin %v, IAPWS 2008 %v mPa·s", r[0], mu, r[3], r[4])
		}
	}
	if nu := fluid.WaterKinematicViscosity(10); math.Abs(nu-1.30738e-6) > 1e-11 {
		t.Errorf("10 °C: %v m²/s, want 1.30738e-6 (Kestin 1978 over Kell 1975, worked by hand)", nu)
	}
	// Water is densest at 3.983 °C (IAPWS-95).
	densest := 0.0
	for c := 0.0; c < 10; c += 0.001 {
		if fluid.WaterDensity(c) > fluid.WaterDensity(densest) {
			densest = c
		}
	}
	if math.Abs(densest-3.983) > 0.01 {
		t.Errorf("densest at %v °C, want 3.983", densest)
	}
}

func TestOxygenSaturation(t *testing.T) {
	altitudes := []float64{0, 100, 250, 500, 1000, 2000}
	for _, r := range columns(t, "oxygen_saturation.csv", "T_C", "DO_mgL_alt_0m", "DO_mgL_alt_100m", "DO_mgL_alt_250m", "DO_mgL_alt_500m", "DO_mgL_alt_1000m", "DO_mgL_alt_2000m") {
		for i, h := range altitudes {
			if got := fluid.OxygenSaturation(r[0], h); math.Abs(got-r[i+1]) > 0.0006 {
				t.Errorf("%v °C, %v m: %.4f, want %v", r[0], h, got, r[i+1])
			}
		}
	}
	// A second hand on the same formula: streamMetabolizer's test value (USGS, CC0).
	if got := fluid.OxygenSaturationAt(21, 101325); math.Abs(got-8.914559) > 0.001 {
		t.Errorf("21 °C at one atmosphere: %.6f, want 8.914559", got)
	}
}

func TestAir(t *testing.T) {
	// ISO 2533 ratios; 1000 m also as printed by pvlib's alt2pres, 89 874.75 Pa.
	for h, want := range map[float64]float64{0: 1, 250: 0.97071, 500: 0.94213, 1000: 0.88699} {
		if got := fluid.StandardPressure(h) / fluid.StandardAtmosphere; math.Abs(got-want) > 1e-5 {
			t.Errorf("%v m: %v of sea level's pressure, want %v", h, got, want)
		}
	}
}

func TestOutsideTheRange(t *testing.T) {
	if fluid.WaterDensity(-5) != fluid.WaterDensity(0) || fluid.WaterViscosity(60) != fluid.WaterViscosity(40) || fluid.OxygenSaturation(-1, 0) != fluid.OxygenSaturation(0, 0) {
		t.Error("beyond the range the nearer end's value is promised")
	}
	for _, v := range []float64{fluid.WaterDensity(math.NaN()), fluid.WaterViscosity(math.NaN()), fluid.OxygenSaturation(math.NaN(), 0), fluid.OxygenSaturation(10, math.NaN())} {
		if !math.IsNaN(v) {
			t.Errorf("NaN gave %v", v)
		}
	}
}
