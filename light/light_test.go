package light_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"windlane/light"
)

const deg = math.Pi / 180

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestSurface(t *testing.T) {
	// pvlib's test_haurwitz (Sandia SAND2012-2389)
	for h, want := range map[float64]float64{-1: 0, 0: 0, 5: 48.6299, 10: 135.7417, 30: 487.8941, 50: 778.7667, 90: 1035.0920} {
		near(t, "Haurwitz", light.Haurwitz(h*deg), want, 1e-3)
	}
	near(t, "clear base", light.Clear(30*deg), 487.8941, 1e-3)
	// Kasten and Czeplak 1980, by the eighth
	for n, want := range []float64{1, .9994, .9933, .9733, .9290, .8483, .7180, .5237, .2500} {
		near(t, "cloud factor", light.CloudFactor(float64(n)), want, 1e-4)
	}
	near(t, "nine eighths", light.CloudFactor(9), 0.25, 1e-12)
}

func TestTwilight(t *testing.T) {
	for h, want := range map[float64]float64{5: 453, 0: 453, -6: 3.4, -12: 0.0083, -18: 0.00065, -50: 0.00065} {
		near(t, "twilight in lx", light.Twilight(h*deg)*110/want, 1, 1e-9)
	}
	// Daylight never jumps as the sun goes down, and never grows.
	last, _ := light.Daylight(20*deg, 3)
	for h := 20.0; h > -25; h -= 0.01 {
		now, r := light.Daylight(h*deg, 3)
		if now > last || now < last*0.97 || r < 0 || r > 1 {
			t.Fatalf("at %.2f°: %v after %v, reflectance %v", h, now, last, r)
		}
		last = now
	}
}

func TestFresnel(t *testing.T) {
	f, err := os.Open("../refdata/physics/fresnel_water.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	// columns: incidence, n 1.333: R Rs Rp refraction, n 1.34: the same
	for _, row := range rows[1:] {
		var v [9]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		near(t, row[0]+"° on 1.333", light.Fresnel(v[0]*deg, 1.333), v[1], 0.6e-5)
		near(t, row[0]+"° on 1.34", light.Fresnel(v[0]*deg, 1.34), v[5], 0.6e-5)
		near(t, row[0]+"° bent", light.Refracted(v[0]*deg, 1.333)/deg, v[4], 1e-5)
		if v[0] < 90 {
			near(t, row[0]+"° as an elevation", light.Reflectance((90-v[0])*deg), v[1], 0.6e-5)
		}
	}
	// The sky's reflectance is Fresnel over the hemisphere, weighted by sin 2θ.
	sum, n := 0.0, 20000
	for i := range n {
		a := (float64(i) + 0.5) / float64(n) * math.Pi / 2
		sum += light.Fresnel(a, light.Index) * math.Sin(2*a) * math.Pi / 2 / float64(n)
	}
	near(t, "even sky", light.SkyReflectance, sum, 1e-4)
	near(t, "sun under the horizon", light.Reflectance(-0.1), 1, 0)
}

// The whole chain worked by hand from its formulas (Haurwitz 1945, Fresnel, Poole
// and Atkins 1929, Britton and Dodd 1976): sun 30° up, clear, Secchi 3 m, at 3 m.
func TestChain(t *testing.T) {
	surface, r := light.Daylight(30*deg, 0)
	near(t, "surface", surface, 487.894, 1e-3)
	near(t, "reflectance", r, 0.05969, 1e-5)
	k := light.Attenuation(3)
	near(t, "attenuation", k, 0.5667, 1e-4)
	near(t, "just under", light.At(surface, r, k, 0), 458.77, 0.1)
	near(t, "photons just under", light.Photons(light.At(surface, r, k, 0)), 969.8, 0.1)
	near(t, "photons at 3 m", light.Photons(light.At(surface, r, k, 3)), 177.2, 0.1)
	near(t, "1 % depth", math.Log(100)/k, 8.127, 1e-3)
	near(t, "at the disc", light.At(1, 0, k, 3), 0.183, 1e-3)
	near(t, "800 W/m²", light.Photons(800), 1691.2, 1e-9)

	overcast, sky := light.Daylight(30*deg, 8)
	near(t, "overcast", overcast, 487.894/4, 1e-3)
	near(t, "an overcast sky reflects as a sky", sky, light.SkyReflectance, 1e-12)
}

func TestNaNAndMistakes(t *testing.T) {
	nan := math.NaN()
	for what, v := range map[string]float64{"Haurwitz": light.Haurwitz(nan), "CloudFactor": light.CloudFactor(nan), "Twilight": light.Twilight(nan), "Reflectance": light.Reflectance(nan), "At": light.At(1, 0, 1, nan)} {
		if !math.IsNaN(v) {
			t.Errorf("%s of NaN is %v", what, v)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a Secchi depth of 0 passed")
		}
	}()
	light.Attenuation(0)
}

func BenchmarkDaylightAtDepth(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		s, r := light.Daylight(0.5, 4)
		light.At(s, r, 0.57, 3)
	}
}
