package waves_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"windlane/waves"
)

// TestTable compares with refdata/physics/fetch_waves.csv: the published
// equations computed by another hand (SOURCE.md).
func TestTable(t *testing.T) {
	f, err := os.Open("../refdata/physics/fetch_waves.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		cell := func(name string) float64 {
			for i, h := range rows[0] {
				if h == name {
					v, err := strconv.ParseFloat(row[i], 64)
					if err != nil {
						t.Fatal(err)
					}
					return v
				}
			}
			t.Fatalf("no column %s", name)
			return 0
		}
		w := waves.Water{Wind: cell("U10_m_s"), Fetch: cell("F_m"), Depth: cell("d_m")}
		cem, shallow, yv := waves.CEM(w), waves.SPM84Shallow(w), waves.YoungVerhagen(w)
		for _, c := range []struct {
			name      string
			got, want float64
		}{
			{"CEM height", cem.Height, cell("CEM_Hm0_m")}, {"CEM period", cem.Period, cell("CEM_Tp_s")},
			{"SPM 84 shallow height", shallow.Height, cell("SPM84shallow_Hm0_m")}, {"period", shallow.Period, cell("SPM84shallow_Ts_s")},
			{"Young-Verhagen height", yv.Height, cell("YV96_Hm0_m")}, {"period", yv.Period, cell("YV96_Tp_s")},
			{"length", waves.Length(yv.Period, w.Depth), cell("L_YV_m")},
		} {
			if math.Abs(c.got-c.want) > 2e-4 {
				t.Errorf("%+v: %s %.4f, want %v", w, c.name, c.got, c.want)
			}
		}
		low, high := waves.Spread(w)
		if d := waves.Default(w).Height; d < low || d > high {
			t.Errorf("%+v: default height %v outside %v to %v", w, d, low, high)
		}
	}
}

// The manuals' limits: fully grown seas, and CEM's longest period in shallow water.
func TestLimits(t *testing.T) {
	const g, wind = 9.81, 4.0
	open := waves.Water{Wind: wind, Fetch: 1e7, Depth: 1e4}
	u := math.Sqrt((1.1+0.035*wind)*1e-3) * wind
	if got := waves.CEM(open); math.Abs(got.Height-211.5*u*u/g) > 1e-9 || math.Abs(got.Period-239.8*u/g) > 1e-9 {
		t.Errorf("CEM fully grown: %+v", got)
	}
	if got := waves.CEM(waves.Water{Wind: 12, Fetch: 2e4, Depth: 0.5}).Period; math.Abs(got-9.78*math.Sqrt(0.5/g)) > 1e-9 {
		t.Errorf("CEM in half a metre: %v s", got)
	}
}

func TestLength(t *testing.T) {
	// The linear dispersion relation, ω² = gk tanh kd, solved to 1e-4 by another
	// hand; L_YV_m of fetch_waves.csv likewise.
	for _, c := range []struct{ period, depth, want float64 }{{2, 3, 6.2163}, {2.7, 5, 11.2949}, {2, 300, 6.2452}} {
		if got := waves.Length(c.period, c.depth); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("T %v d %v: %v m, want %v", c.period, c.depth, got, c.want)
		}
	}
	// It satisfies its own equation from ankle depth to the ocean.
	for period := 0.2; period < 9; period *= 1.3 {
		for depth := 0.05; depth < 500; depth *= 2 {
			k := 2 * math.Pi / waves.Length(period, depth)
			w := 2 * math.Pi / period
			if off := 9.81*k*math.Tanh(k*depth)/(w*w) - 1; math.Abs(off) > 1e-9 {
				t.Fatalf("T %v d %v: off by %v", period, depth, off)
			}
		}
	}
}

// More wind, more fetch and more depth never make a lower or shorter wave.
func TestGrowth(t *testing.T) {
	models := map[string]func(waves.Water) waves.Waves{"CEM": waves.CEM, "SPM 84 shallow": waves.SPM84Shallow, "Young-Verhagen": waves.YoungVerhagen}
	for name, model := range models {
		for wind := 0.5; wind < 25; wind *= 1.4 {
			for fetch := 50.0; fetch < 40e3; fetch *= 2 {
				for depth := 0.5; depth < 60; depth *= 2 {
					at := model(waves.Water{wind, fetch, depth})
					if !(at.Height > 0 && at.Period > 0) {
						t.Fatalf("%s: %v m/s over %v m gives %+v", name, wind, fetch, at)
					}
					for _, more := range []waves.Water{{wind * 1.1, fetch, depth}, {wind, fetch * 1.1, depth}, {wind, fetch, depth * 1.1}} {
						b := model(more)
						if b.Height < at.Height*(1-1e-9) || b.Period < at.Period*(1-1e-9) {
							t.Errorf("%s: %+v is less than at %v %v %v: %+v, %+v", name, more, wind, fetch, depth, b, at)
						}
					}
				}
			}
		}
	}
}

func TestNoWaves(t *testing.T) {
	for _, w := range []waves.Water{{}, {Wind: 5, Fetch: 1000}, {Wind: 5, Depth: 10}, {Fetch: 1000, Depth: 10}, {Wind: -1, Fetch: 1000, Depth: 10}, {Wind: 1e-9, Fetch: 1e4, Depth: 10}} {
		low, high := waves.Spread(w)
		if waves.Default(w) != (waves.Waves{}) || low != 0 || high != 0 {
			t.Errorf("%+v makes waves: %+v, %v to %v", w, waves.Default(w), low, high)
		}
	}
	if waves.Length(0, 5) != 0 {
		t.Error("no wave has no length")
	}
	if low, high := waves.Spread(waves.Water{Wind: math.NaN(), Fetch: 1, Depth: 1}); !math.IsNaN(low) || !math.IsNaN(high) {
		t.Errorf("NaN wind gave %v to %v", low, high)
	}
}

func TestAllocatesNothing(t *testing.T) {
	w := waves.Water{Wind: 6, Fetch: 2000, Depth: 8}
	if n := testing.AllocsPerRun(100, func() {
		waves.Spread(w)
		waves.Length(waves.Default(w).Period, w.Depth)
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkSpread(b *testing.B) {
	b.ReportAllocs()
	w := waves.Water{Wind: 6, Fetch: 2000, Depth: 8}
	for b.Loop() {
		waves.Spread(w)
	}
}
