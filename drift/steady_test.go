package drift_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"windlane/drift"
	"windlane/quantity"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, tol)
	}
}

// rows reads a reference table by its header and fails when it has no rows.
func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../refdata/drift/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = cells[i]
		}
		out = append(out, row)
	}
	if len(out) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return out
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// still is air over water at rest, taken at the height of the windage.
func still(wind float64) drift.Scene {
	return drift.Scene{Wind: wind, From: quantity.FromDegrees(270), AirDensity: 1.2466, WaterDensity: 999.70}
}

// The boat of drift_example.csv (refdata/drift/SOURCE.md): 5 m, freeboard 0.55 m, two seated people,
// draught 0.20 m.
func publishedBoat(t *testing.T) drift.Setup {
	t.Helper()
	s, err := drift.Boat{Length: 5, Freeboard: 0.55, Draught: 0.20, People: 2, Mass: 600}.Setup()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "air drag area", s.AirArea, 3.795, 1e-12)
	near(t, "hull drag area", s.HullArea, 1.0, 1e-12)
	return s
}

// Worked example, drift_example.csv, computed and not published: speed
// relative to the water, drogue tension and wind force.
func TestWorkedExample(t *testing.T) {
	boat := publishedBoat(t)
	profiled := 0
	for _, r := range rows(t, "drift_example.csv") {
		s, u := boat, num(t, r["Ua_m_s"])
		s.DrogueArea = num(t, r["CdA_drogue_m2"])
		s.WindageHeight = 10 // the wind is given where the boat is
		c := still(u)
		if u != 4.5 { // by the log law from 4.5 m/s at 10 m to 1 m
			s.WindageHeight, c.Wind = 1, 4.5
			near(t, "wind at 1 m", drift.AtHeight(4.5, 1), u, 1e-4)
			profiled++
		}
		d := s.Steady(c)
		near(t, r["case"]+" "+r["drogue"], d.Speed, num(t, r["V_rel_water_m_s"]), 1e-4)
		near(t, r["case"]+" "+r["drogue"]+" tension", d.DrogueLoad, num(t, r["drogue_tension_N"]), 0.02)
		near(t, r["case"]+" "+r["drogue"]+" wind force", d.WindForce, num(t, r["wind_force_N"]), 0.02)
		near(t, "toward", d.Toward.Degrees(), 90, 1e-9)
	}
	if profiled == 0 {
		t.Error("no row went through the log law")
	}
}

// Log law: the formula of Stull 1988, worked by hand.
func TestLogLaw(t *testing.T) {
	for z, want := range map[float64]float64{1: 0.78719, 2: 0.85125, 3: 0.88872, 10: 1} {
		near(t, "U(z)/U10", drift.AtHeight(1, z), want, 1e-5)
	}
	near(t, "U(0.8)/U10 (refdata/drift/SOURCE.md, prototype)", drift.AtHeight(1, 0.8), 0.767, 5e-4)
}

// prototype is the boat of physics.json.
func prototype() drift.Setup {
	return drift.Setup{AirArea: 3.3, HullArea: 0.85, WindageHeight: 0.8, Mass: 880}
}

var drogues = map[string]drift.Drogue{
	"none": {}, "1.2m flat canopy": drift.FlatRound(1.2), "1.5m flat canopy": drift.FlatRound(1.5),
	"1.2m mouth": drift.OpenMouth(1.2), "1.5m mouth": drift.OpenMouth(1.5),
}

// Prototype figures: drift, relax time (through t95) and drag areas.
func TestPrototypeBalance(t *testing.T) {
	b, err := os.ReadFile("../refdata/drift/physics.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Rows []struct {
			CdA    float64
			Drogue string
			T95    float64 `json:"t95_from_rest_s"`
			U10    float64
			V      float64 `json:"v_ms"`
		}
	}
	if err := json.Unmarshal(b, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Rows) == 0 {
		t.Fatal("physics.json has no rows")
	}
	for _, r := range file.Rows {
		d, ok := drogues[r.Drogue]
		if !ok {
			t.Fatalf("unknown drogue %q", r.Drogue)
		}
		near(t, r.Drogue+" area", d.Area, r.CdA, 1e-4)
		s, c := prototype().With(d), drift.OnLake(r.U10, 0)
		near(t, r.Drogue+" drift", s.Steady(c).Speed, r.V, 1.1e-5)
		near(t, r.Drogue+" t95", s.Settle(c), r.T95, 0.03)
	}
}

// The prototype of refdata/drift/SOURCE.md: percent of the wind, cut by the drogue, and the 5 to 95 %
// band of another sampling of assumed ranges (ours is a little wider).
func TestTypicalBoat(t *testing.T) {
	bare := prototype().Fraction()
	for name, want := range map[string]struct{ percent, cut, low, high float64 }{
		"none":             {6.35, 0, 5.2, 7.9},
		"1.2m flat canopy": {4.59, 28, 4.0, 5.4},
		"1.5m flat canopy": {4.12, 35, 3.6, 4.8},
		"1.2m mouth":       {3.96, 38, 3.5, 4.7},
		"1.5m mouth":       {3.47, 45, 3.05, 4.1},
	} {
		s := prototype().With(drogues[name])
		f := s.Fraction()
		near(t, name+" % of wind", 100*f, want.percent, 0.006)
		near(t, name+" cut %", 100*(1-f/bare), want.cut, 0.6)
		low, high := s.Band(drift.OnLake(5, 0), drift.StatedSpread())
		near(t, name+" low %", 100*low/5, want.low, 0.55)
		near(t, name+" high %", 100*high/5, want.high, 0.55)
		if 100*low/5 > want.low+0.05 || 100*high/5 < want.high-0.05 {
			t.Errorf("%s: band %.2f to %.2f %% is narrower than the prototype's %.2f to %.2f", name, 20*low, 20*high, want.low, want.high)
		}
	}
}

// Leeway of open boats: Allen and Plourde 1999 by way of sar_leeway_bounds.csv.
// It is relative to the water at 0.3 to 1 m, taken as moving at 0.8 % of the wind.
func TestAgainstPublishedLeeway(t *testing.T) {
	lowest, highest := math.Inf(1), 0.0
	var ratios []float64
	slope := map[string]float64{}
	for _, r := range rows(t, "sar_leeway_bounds.csv") {
		slope[r["class"]] = num(t, r["dw_slope_pct"])
	}
	for _, class := range []string{"SKIFF-1", "SKIFF-2", "SKIFF-4", "SPORT-BOAT", "OPEN-CENTRE-CONSOLE"} {
		v, ok := slope[class]
		if !ok {
			t.Fatalf("no class %s", class)
		}
		lowest, highest = min(lowest, v), max(highest, v)
	}
	for _, pair := range [][2]string{{"LIFE-RAFT-DB-12", "LIFE-RAFT-DB-15"}, {"LIFE-RAFT-SB-7", "LIFE-RAFT-SB-8"}, {"LIFE-RAFT-NB-2", "LIFE-RAFT-NB-3"}} {
		ratios = append(ratios, slope[pair[1]]/slope[pair[0]])
	}
	near(t, "lowest slope", lowest, 2.52, 1e-9)
	near(t, "highest slope", highest, 6.54, 1e-9)

	leeway := 100*prototype().Fraction() - 0.8
	if leeway < lowest || leeway > highest {
		t.Errorf("leeway %.2f %% of the wind is outside %.2f to %.2f", leeway, lowest, highest)
	}
	near(t, "leeway relative to the water at 0.3 to 1 m (refdata/drift/SOURCE.md, prototype)", leeway, 5.55, 0.01)
	published := 100 * publishedBoat(t).Steady(still(4.5)).Speed / 4.5
	if published < lowest || published > highest {
		t.Errorf("leeway of the worked example %.2f %% is outside %.2f to %.2f", published, lowest, highest)
	}
	// pairs of rafts with and without a drogue: between the most and the least of them
	least, most := slices.Min(ratios), slices.Max(ratios)
	near(t, "a drogue leaves rafts at least", least, 1.91/3.75, 1e-9)
	near(t, "a drogue leaves rafts at most", most, 2.31/2.96, 1e-9)
	for name, d := range drogues {
		if name == "none" {
			continue
		}
		ratio := prototype().With(d).Fraction() / prototype().Fraction()
		if ratio < least || ratio > most {
			t.Errorf("%s leaves %.2f of the drift: rafts kept %.2f", name, ratio, ratios)
		}
	}
	if p := drift.Prior(false); p.Mean != 0.06 || p.SD != 0.25*p.Mean {
		t.Errorf("prior without a drogue %v", p)
	}
	if p := drift.Prior(true); p.Mean != 0.04 || p.SD != 0.25*p.Mean {
		t.Errorf("prior with a drogue %v", p)
	}
}

// The current is counted once: adding the current at the hull to a leeway
// through the water gives the ground speed, and adding 3 % more would not.
func TestCurrentCountsOnce(t *testing.T) {
	s := prototype()
	d := s.Steady(drift.OnLake(5, 0))
	near(t, "through the water + current at the hull", d.ThroughWater+5*drift.HullCurrent, d.Speed, 1e-12)
	near(t, "Fraction", s.Fraction()*5, d.Speed, 1e-12)
}

// Vector example worked by hand (refdata/drift/SOURCE.md): 0.1427 m/s through the water toward
// 090 and a current of 0.045 m/s toward 110 give 0.1856 m/s toward 094.76.
// There the wind blows toward 090 as felt from the moving water, so the true
// wind is that and the current together.
func TestCurrentAtAnAngle(t *testing.T) {
	s := publishedBoat(t)
	s.WindageHeight = 10
	s.DrogueArea = 1.6875
	current := drift.Flow{Speed: 0.045, Toward: quantity.TowardDegrees(110)}
	ce, cn := current.Toward.Vector()
	e, n := 3.5423+0.045*ce, 0.045*cn
	c := still(math.Hypot(e, n))
	c.From = quantity.TowardVector(e, n).From()
	c.AtHull, c.AtDrogue = current, current
	d := s.Steady(c)
	near(t, "through the water", d.ThroughWater, 0.1427, 1e-4)
	near(t, "speed", d.Speed, 0.1856, 1e-4)
	near(t, "toward", d.Toward.Degrees(), 94.76, 0.01)
}

// The closed form against a plain integration of m dV/dt by Runge and Kutta.
func TestClosedFormAgainstIntegration(t *testing.T) {
	for name, d := range drogues {
		s, c := prototype().With(d), drift.OnLake(6, 0)
		a, h, g := 1.225/2*s.AirArea, 500*s.HullArea, 500*s.DrogueArea
		u, ch, cd := drift.AtHeight(6, 0.8), 6*drift.HullCurrent, 6*drift.DrogueCurrent
		signed := func(w float64) float64 { return w * math.Abs(w) }
		rate := func(v float64) float64 {
			return (a*signed(u-v) - h*signed(v-ch) - g*signed(v-cd)) / (s.Mass + s.DrogueWater)
		}
		const dt = 0.02
		v, t95, want := 0.0, 0.0, s.Steady(c).Speed
		for i := range 20000 {
			k1 := rate(v)
			k2 := rate(v + dt/2*k1)
			k3 := rate(v + dt/2*k2)
			k4 := rate(v + dt*k3)
			v += dt / 6 * (k1 + 2*k2 + 2*k3 + k4)
			if t95 == 0 && v >= 0.95*want {
				t95 = float64(i+1) * dt
			}
		}
		near(t, name+" steady", v, want, 1e-9)
		// From rest the boat is slower than the water at first, where the closed
		// form has the hull's drag the wrong way round: 2 % is allowed.
		near(t, name+" t95", s.Settle(c), t95, 0.02*t95+dt)
	}
}

func scenes(t *rapid.T) (drift.Setup, drift.Scene) {
	s := drift.Setup{
		AirArea: rapid.Float64Range(0.5, 8).Draw(t, "air"), HullArea: rapid.Float64Range(0.2, 4).Draw(t, "hull"),
		DrogueArea: rapid.Float64Range(0, 6).Draw(t, "drogue"), WindageHeight: rapid.Float64Range(0.3, 3).Draw(t, "height"),
	}
	return s, still(rapid.Float64Range(0, 25).Draw(t, "wind"))
}

// What any balance of drags obeys on water at rest.
func TestInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, c := scenes(t)
		d := s.Steady(c)
		double := c
		double.Wind = 2 * c.Wind
		if got := s.Steady(double).Speed; math.Abs(got-2*d.Speed) > 1e-12*(1+got) {
			t.Fatalf("not linear in the wind: %v then %v", d.Speed, got)
		}
		if d.Speed > c.Wind {
			t.Fatalf("drift %v faster than the wind %v", d.Speed, c.Wind)
		}
		if d.DrogueLoad > d.WindForce*(1+1e-9) {
			t.Fatalf("drogue load %v over the wind's push %v", d.DrogueLoad, d.WindForce)
		}
		bigger := s
		bigger.DrogueArea = 2*s.DrogueArea + 0.01
		slower := bigger.Steady(c).Speed
		if c.Wind > 1e-3 && !(slower < d.Speed) {
			t.Fatalf("a bigger drogue does not slow: %v then %v", d.Speed, slower)
		}
		bigger.DrogueArea = 2 * s.DrogueArea
		if got := bigger.Steady(c).Speed; c.Wind > 1e-3 && got <= d.Speed/2 {
			t.Fatalf("doubling the drogue halves the drift: %v to %v", d.Speed, got)
		}
		low, high := s.Band(c, drift.StatedSpread())
		if low > d.Speed || high < d.Speed || (c.Wind > 1 && !(low < high)) {
			t.Fatalf("band %v to %v does not hold %v", low, high, d.Speed)
		}
	})
}

// Whatever the currents, the forces balance and turning the whole scene turns
// the answer.
func TestForcesBalanceInAnyCurrent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, c := scenes(t)
		angle := rapid.Float64Range(0, 2*math.Pi)
		c.AtHull = drift.Flow{Speed: rapid.Float64Range(0, 0.5).Draw(t, "hull current"), Toward: quantity.Toward(angle.Draw(t, "hull toward"))}
		c.AtDrogue = drift.Flow{Speed: rapid.Float64Range(0, 0.5).Draw(t, "drogue current"), Toward: quantity.Toward(angle.Draw(t, "drogue toward"))}
		d := s.Steady(c)
		e, n := d.Toward.Vector()
		v := [2]float64{d.Speed * e, d.Speed * n}
		force := func(k, speed float64, toward quantity.Toward, sign float64) (fe, fn float64) {
			e, n := toward.Vector()
			we, wn := sign*(speed*e-v[0]), sign*(speed*n-v[1])
			l := math.Hypot(we, wn)
			return sign * k * l * we, sign * k * l * wn
		}
		ae, an := force(c.AirDensity/2*s.AirArea, drift.AtHeight(c.Wind, s.WindageHeight), c.From.Toward(), 1)
		he, hn := force(c.WaterDensity/2*s.HullArea, c.AtHull.Speed, c.AtHull.Toward, 1)
		ge, gn := force(c.WaterDensity/2*s.DrogueArea, c.AtDrogue.Speed, c.AtDrogue.Toward, 1)
		scale := 1e-6 + math.Hypot(ae, an) + math.Hypot(he, hn) + math.Hypot(ge, gn)
		if rest := math.Hypot(ae+he+ge, an+hn+gn); rest > 1e-7*scale {
			t.Fatalf("forces leave %v N of %v", rest, scale)
		}
		turn := angle.Draw(t, "turn")
		r := c
		r.From += quantity.From(turn)
		r.AtHull.Toward += quantity.Toward(turn)
		r.AtDrogue.Toward += quantity.Toward(turn)
		for _, b := range []*float64{(*float64)(&r.From), (*float64)(&r.AtHull.Toward), (*float64)(&r.AtDrogue.Toward)} {
			*b = math.Mod(*b, 2*math.Pi)
		}
		if got := s.Steady(r).Speed; math.Abs(got-d.Speed) > 1e-7*(1e-3+d.Speed) {
			t.Fatalf("turned by %v the speed is %v, was %v", turn, got, d.Speed)
		}
	})
}

// Along one line, but with the hull's water faster than the boat, or running
// upwind: the quadratic has the wrong signs there and may not be used. The
// answer is the root of the signed balance, found here by halving.
func TestCurrentsThatTurnTheSigns(t *testing.T) {
	s := prototype().With(drift.FlatRound(1.5))
	compared := 0
	for _, ch := range []float64{-0.4, 0.05, 0.3, 0.6} {
		for _, cd := range []float64{-0.2, 0, 0.4} {
			c := still(2)
			along := func(v float64) drift.Flow {
				if v < 0 {
					return drift.Flow{Speed: -v, Toward: quantity.Toward(c.From)}
				}
				return drift.Flow{Speed: v, Toward: c.From.Toward()}
			}
			c.AtHull, c.AtDrogue = along(ch), along(cd)
			signed := func(w float64) float64 { return w * math.Abs(w) }
			low, high := -2.0, 2.0
			for high-low > 1e-12 {
				v := (low + high) / 2
				if c.AirDensity*s.AirArea*signed(drift.AtHeight(2, 0.8)-v) > c.WaterDensity*(s.HullArea*signed(v-ch)+s.DrogueArea*signed(v-cd)) {
					low = v
				} else {
					high = v
				}
			}
			d := s.Steady(c)
			near(t, "speed", d.Speed, math.Abs(low), 1e-9)
			compared++
		}
	}
	if compared != 12 {
		t.Errorf("%d compared", compared)
	}
}

// The band is the same bits each time, and its half is where half of it lies.
func TestBandIsSteady(t *testing.T) {
	s, c := prototype(), drift.OnLake(4.5, 1)
	l1, h1 := s.Band(c, drift.StatedSpread())
	l2, h2 := s.Band(c, drift.StatedSpread())
	if l1 != l2 || h1 != h2 {
		t.Error("the same band differs")
	}
	l0, h0 := s.Band(c, drift.Spread{})
	near(t, "no spread, low", l0, s.Steady(c).Speed, 1e-12)
	near(t, "no spread, high", h0, s.Steady(c).Speed, 1e-12)
	// One lognormal factor alone, in a current-free water: the drift is its
	// multiple, so the band is exp(±1.6449 sd) (normal quantile, from memory).
	one := still(4.5)
	low, high := s.Band(one, drift.Spread{Wind: 0.2})
	near(t, "low of one factor", low/s.Steady(one).Speed, math.Exp(-1.6449*0.2), 0.02)
	near(t, "high of one factor", high/s.Steady(one).Speed, math.Exp(1.6449*0.2), 0.02)
}

func TestRefusals(t *testing.T) {
	good := prototype()
	for name, s := range map[string]drift.Setup{
		"no air":   {HullArea: 1, WindageHeight: 1},
		"no hull":  {AirArea: 1, WindageHeight: 1},
		"NaN":      {AirArea: math.NaN(), HullArea: 1, WindageHeight: 1},
		"negative": {AirArea: 1, HullArea: 1, DrogueArea: -1, WindageHeight: 1},
		"height":   {AirArea: 1, HullArea: 1},
	} {
		if s.Validate() == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if err := good.Validate(); err != nil {
		t.Error(err)
	}
	for name, c := range map[string]drift.Scene{
		"no air":   {Wind: 4, WaterDensity: 1000},
		"Inf wind": {Wind: math.Inf(1), AirDensity: 1.2, WaterDensity: 1000},
		"current":  {Wind: 4, AirDensity: 1.2, WaterDensity: 1000, AtHull: drift.Flow{Speed: -1}},
	} {
		if c.Validate() == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := (drift.Boat{Length: 50, Freeboard: 1, Draught: 1}).Setup(); err == nil {
		t.Error("a 50 m boat: no error")
	}
	defer func() {
		if recover() == nil {
			t.Error("Steady of nothing did not panic")
		}
	}()
	drift.Setup{}.Steady(drift.Scene{})
}

func BenchmarkSteady(b *testing.B) {
	s, c := prototype().With(drift.FlatRound(1.5)), drift.OnLake(5, 1)
	b.ReportAllocs()
	for b.Loop() {
		s.Steady(c)
	}
}

func BenchmarkSteadyCrossCurrent(b *testing.B) {
	s, c := prototype().With(drift.FlatRound(1.5)), drift.OnLake(5, 1)
	c.AtDrogue.Toward += 0.5
	b.ReportAllocs()
	for b.Loop() {
		s.Steady(c)
	}
}

func BenchmarkBand(b *testing.B) {
	s, c, k := prototype().With(drift.FlatRound(1.5)), drift.OnLake(5, 1), drift.StatedSpread()
	b.ReportAllocs()
	for b.Loop() {
		s.Band(c, k)
	}
}

func TestSteadyAllocatesNothing(t *testing.T) {
	s, c := prototype().With(drift.FlatRound(1.5)), drift.OnLake(5, 1)
	if n := testing.AllocsPerRun(50, func() { s.Steady(c); s.Band(c, drift.StatedSpread()) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
