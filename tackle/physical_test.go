package tackle_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"windlane/fluid"
	"windlane/internal/text"
	"windlane/quantity"
	"windlane/tackle"
)

const inch = 0.0254 // [m]

func table(t *testing.T, path string) *text.Table {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	tab, err := text.ReadTable(path, strings.NewReader(string(b)), 1<<16)
	if err != nil {
		t.Fatal(err)
	}
	if len(tab.Rows) == 0 {
		t.Fatalf("%s holds no rows", path)
	}
	return tab
}

func cell(t *testing.T, tab *text.Table, r text.Row, col string) float64 {
	t.Helper()
	c, err := tab.Need(col)
	if err != nil {
		t.Fatal(err)
	}
	v, err := r.Number(c, -1e9, 1e9)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tol)
	}
}

// Source: the line standard, refdata/tackle/SOURCE.md.
func TestClassMass(t *testing.T) {
	tab := table(t, "../refdata/tackle/line_standard.csv")
	if len(tab.Rows) != 15 {
		t.Fatalf("%d classes, want 15", len(tab.Rows))
	}
	for _, r := range tab.Rows {
		n := int(cell(t, tab, r, "number"))
		mass, low, high := tackle.ClassMass(n)
		near(t, "grams", mass*1000, cell(t, tab, r, "grams"), 1e-3)
		near(t, "grains", mass/64.79891e-6, cell(t, tab, r, "grains"), 1e-9)
		near(t, "low grains", low/64.79891e-6, cell(t, tab, r, "low_grains"), 1e-9)
		near(t, "high grains", high/64.79891e-6, cell(t, tab, r, "high_grains"), 1e-9)
		near(t, "g per m", tackle.ClassLinearDensity(n)*1000, cell(t, tab, r, "g_per_m_first_30ft"), 1e-4)
	}
}

// density is what mass and diameter of a piece imply. [kg/m³]
func density(s tackle.Section) float64 {
	return fluid.Cylinder{LinearDensity: s.LinearDensity, Diameter: s.Diameter}.Density()
}

// Source: an earlier writing of the same equations, refdata/tackle/SOURCE.md.
func TestDiameterFromLabel(t *testing.T) {
	tab := table(t, "../refdata/tackle/line_diameters.csv")
	for _, r := range tab.Rows {
		l := tackle.Line{Class: int(cell(t, tab, r, "class")), Profile: tackle.Even, Sink: cell(t, tab, r, "sink_in_s") * inch, RatedAt: 10}
		s := l.Sections(15)
		if len(s) != 1 {
			t.Fatalf("an even line has %d pieces", len(s))
		}
		near(t, "diameter mm", s[0].Diameter*1000, cell(t, tab, r, "diameter_mm"), 0.0006)
		near(t, "density", density(s[0]), cell(t, tab, r, "density_kg_m3"), 0.002*density(s[0]))
		near(t, "weight in water mN/m", s[0].WeightInWater(10)*1000, cell(t, tab, r, "weight_mn_m"), 0.05)
		near(t, "sink", s[0].SinkAt(10), l.Sink, 1e-9)
	}
}

// Source: the same prototype: a #8 labelled at 20 °C sinks more slowly at 10 °C.
func TestColdWaterSlowsALine(t *testing.T) {
	for label, want := range map[float64]float64{1.5: 1.42, 3: 2.91, 5: 4.88, 7: 6.82} {
		l := tackle.Line{Class: 8, Profile: tackle.Even, Sink: label * inch, RatedAt: 20}
		near(t, "in/s at 10 °C", l.SinkAt(10)/inch, want, 0.005)
	}
}

// Source: the same prototype, with 1140 and 1780 kg/m³ at 10 °C; and, with another
// drag law (Sucker and Brauer 1975, from memory), 6.6 and 23.4 mm/s at 0.20 mm: the
// laws part by an eighth there.
func TestLeaderSinks(t *testing.T) {
	cases := []struct {
		material         tackle.Material
		mm, want, within float64 // mm, mm/s
	}{
		{tackle.Nylon, 0.25, 7.7, 0.05}, {tackle.Fluorocarbon, 0.25, 27, 0.2},
		{tackle.Nylon, 0.20, 5.8, 0.05}, {tackle.Fluorocarbon, 0.20, 21, 0.2},
		{tackle.Nylon, 0.20, 6.6, 0.85}, {tackle.Fluorocarbon, 0.20, 23.4, 2.9},
	}
	for _, c := range cases {
		s := tackle.Leader{Material: c.material, Diameter: c.mm / 1000, Length: 3}.Section()
		near(t, string(c.material)+" mm/s", s.SinkAt(10)*1000, c.want, c.within)
	}
	w := tackle.Leader{Material: tackle.Nylon, Diameter: 0.00025, Length: 3}.Section().WeightInWater(10)
	near(t, "nylon in water mN/m", w*1000, 0.07, 0.005)
	const film = 2 * 0.073 // what the surface holds of a dry thread: twice its tension (from memory) [N/m]
	if w*1000 > film {
		t.Error("the surface film should hold a nylon leader a thousand times over")
	}
}

// Source: the reference casts' fly masses and volumes (same prototype): drag area
// and terminal speed in, mass and volume out.
func TestFlyBody(t *testing.T) {
	b, ok := tackle.Fly{Name: "point", Kind: tackle.Nymph, Weighted: true, Sink: 0.20, DragArea: 6e-5}.Body()
	if !ok {
		t.Fatal("no body")
	}
	near(t, "mass", b.Mass, 1.83466e-4, 1e-8)
	near(t, "volume", b.Volume, 6.11554e-8, 1e-12)
	near(t, "added mass", b.AddedMass, 0.5, 0)

	// A sinking fly of a floating kind is an ordinary dressing of 1200 kg/m³.
	b, _ = tackle.Fly{Kind: tackle.Dry, Sink: 0.05, DragArea: 5e-5}.Body()
	near(t, "mass", b.Mass, 3.81705e-5, 1e-9)
	near(t, "volume", b.Volume, 3.18088e-8, 1e-12)

	// A rising fly of a sinking kind: 400 kg/m³.
	b, _ = tackle.Fly{Kind: tackle.Lure, Sink: -0.15, DragArea: 8e-5}.Body()
	near(t, "mass", b.Mass, 6.11952e-5, 1e-9)
	near(t, "volume", b.Volume, 1.52988e-7, 1e-11)
}

// Every kind, as it is and both ways against its kind, has a body whose terminal
// speed is the one that went in.
func TestEveryFlyHasABody(t *testing.T) {
	rho := fluid.WaterDensity(10)
	n := 0
	for _, kind := range tackle.Kinds {
		for _, f := range []tackle.Fly{{Kind: kind}, {Kind: kind, Sink: 0.1}, {Kind: kind, Sink: -0.1}, {Kind: kind, Weighted: true}, {Kind: kind, Mass: 3e-4}} {
			b, ok := f.Body()
			if !ok || !(b.Mass > 0) || !(b.Volume > 0) || !(b.DragArea > 0) {
				t.Errorf("%+v: body %+v, %v", f, b, ok)
				continue
			}
			n++
			w := (b.Mass - rho*b.Volume) * fluid.StandardGravity
			v := math.Copysign(math.Sqrt(2*math.Abs(w)/(rho*b.DragArea)), w)
			near(t, string(kind)+" terminal speed", v, f.SinkSpeed(), 1e-9)
		}
	}
	if n != 5*len(tackle.Kinds) || n == 0 {
		t.Errorf("%d bodies", n)
	}
	if _, ok := (tackle.Fly{Kind: tackle.Lure, Mass: 1e-6, Sink: 0.5}).Body(); ok {
		t.Error("a fly lighter than its weight in water has a body")
	}
}

// Any two of mass, diameter and sink give the third, whichever were measured.
func TestMeasuredOutranksLabel(t *testing.T) {
	label := tackle.Line{Class: 8, Profile: tackle.Even, Sink: 3 * inch, RatedAt: 10}
	whole := label.Sections(10)[0]
	heavier := tackle.Line{Class: 7, Profile: tackle.Even, Sink: 3 * inch, RatedAt: 10}

	byScales := heavier
	byScales.Measured = tackle.Measured{LinearDensity: whole.LinearDensity}
	near(t, "diameter by scales", byScales.Sections(10)[0].Diameter, whole.Diameter, 1e-9)

	byRuler := heavier
	byRuler.Measured = tackle.Measured{Diameter: whole.Diameter}
	near(t, "mass by ruler", byRuler.Sections(10)[0].LinearDensity, whole.LinearDensity, 1e-9)

	byBoth := heavier
	byBoth.Sink = 7 * inch
	byBoth.Measured = tackle.Measured{LinearDensity: whole.LinearDensity, Diameter: whole.Diameter}
	near(t, "sink by both", byBoth.SinkAt(10), 3*inch, 1e-9)

	byWatch := label
	byWatch.Sink = 7 * inch
	byWatch.Measured = tackle.Measured{DropDepth: 60 * inch, DropTime: 20, DropAt: 10}
	near(t, "diameter by watch", byWatch.Sections(10)[0].Diameter, whole.Diameter, 1e-9)
}

// Laws that hold over every profile: the pieces add up, end at the line's end,
// and sink (or float) as the profile says.
func TestSections(t *testing.T) {
	const out = 18.0
	for _, p := range tackle.Profiles {
		l := tackle.Line{Class: 8, Profile: p, Sink: 3 * inch, SinkTip: 3, Head: 11}
		if p == tackle.Floating {
			l.Sink = 0
		}
		s := l.Sections(out)
		sum := 0.0
		for _, piece := range s {
			sum += piece.Length
			if !(piece.LinearDensity > 0 && piece.Diameter > 0 && density(piece) > 0 && piece.AxialStiffness > 0) {
				t.Errorf("%s: piece %+v", p, piece)
			}
		}
		near(t, string(p)+" length", sum, out, 1e-9)
		last, first := s[len(s)-1], s[0]
		if first.Diameter >= last.Diameter && p != tackle.SinkTip && p != tackle.TipFirst {
			t.Errorf("%s: the running line is no thinner than the head", p)
		}
		switch p {
		case tackle.Even, tackle.BarelySinking:
			near(t, string(p), last.SinkAt(tackle.DefaultRatedAt), 3*inch, 1e-9)
		case tackle.TipFirst:
			for i := 1; i < len(s); i++ {
				if s[i].SinkAt(10) <= s[i-1].SinkAt(10) {
					t.Errorf("tip first: piece %d sinks no faster than the one behind", i)
				}
			}
		case tackle.BellyFirst:
			mid := s[len(s)-4].SinkAt(10)
			if mid <= last.SinkAt(10) || mid <= s[1].SinkAt(10) {
				t.Errorf("belly first: the belly sinks at %v, end %v, back %v", mid, last.SinkAt(10), s[1].SinkAt(10))
			}
		case tackle.SinkTip:
			near(t, "sink tip", last.SinkAt(tackle.DefaultRatedAt), 3*inch, 1e-9)
			near(t, "sink tip length", last.Length, 3, 1e-9)
			if s[len(s)-2].SinkAt(10) >= 0 {
				t.Error("behind a sink tip the line must float")
			}
		case tackle.Floating:
			if last.SinkAt(10) >= 0 || density(last) >= 1000 {
				t.Errorf("a floating line sinks: %+v", last)
			}
		}
	}
	if got := (tackle.Line{Class: 7, Profile: tackle.Floating}).Sections(100); got[0].Length != tackle.DefaultLineLength {
		t.Errorf("more than the whole line is out: %v", got)
	}
	if got := (tackle.Line{Class: 7, Profile: tackle.BarelySinking}).SinkAt(15); math.Abs(got-tackle.DefaultBarelySinking) > 1e-9 {
		t.Errorf("a barely sinking line without a rate sinks at %v", got)
	}
}

func TestRigSections(t *testing.T) {
	r := tackle.Rig{
		Line:   tackle.Line{Class: 7, Profile: tackle.Even, Sink: 3 * inch},
		Leader: tackle.Leader{Material: tackle.Fluorocarbon, Diameter: 0.00026, Length: 4},
		Flies:  []tackle.Mounted{{Fly: tackle.Fly{Name: "a", Kind: tackle.Lure}}, {Fly: tackle.Fly{Name: "b", Kind: tackle.Blob}, FromPoint: 2.5}},
	}
	s := r.Sections(16)
	if len(s) != 2 || s[0].Length != 12 || s[1].Length != 4 || density(s[1]) < 1700 {
		t.Errorf("16 m out: %+v", s)
	}
	if s := r.Sections(3); len(s) != 1 || s[0].Length != 3 {
		t.Errorf("3 m out: %+v", s)
	}
	bodies, ok := r.Bodies()
	if !ok || len(bodies) != 2 || bodies[1].FromPoint != 2.5 || bodies[1].Name != "b" {
		t.Errorf("bodies %+v", bodies)
	}
}

// Published scaling of strength, F ~ d², and the range for drawn nylon: 29.5 to
// 44.2 N at 0.25 mm (600 to 900 MPa, from memory).
func TestLeaderStrength(t *testing.T) {
	thin := tackle.Leader{Material: tackle.Nylon, Diameter: 0.00020}
	thick := tackle.Leader{Material: tackle.Nylon, Diameter: 0.00025}
	near(t, "scaling", thick.Straight()/thin.Straight(), 1.5625, 1e-12)
	if f := thick.Straight(); f < 29.5 || f > 44.2 {
		t.Errorf("nylon of 0.25 mm breaks at %v N", f)
	}
	back := tackle.Leader{Material: tackle.Nylon, Strength: thick.Straight()}
	near(t, "diameter from strength", back.Thickness(), 0.00025, 1e-12)
	if k := thick.Knotted(tackle.PoorKnot); k >= thick.Straight()/2 {
		t.Errorf("a poor knot in wet nylon holds %v of %v N", k, thick.Straight())
	}
}

func TestDrogueOfTheSameArea(t *testing.T) {
	side := tackle.Drogue{Shape: tackle.Square, Size: 1.2}
	near(t, "area", math.Pi/4*math.Pow(side.RoundSize(), 2), 1.44, 1e-12)
	near(t, "round", tackle.Drogue{Shape: tackle.Round, Size: 1.2}.RoundSize(), 1.2, 0)
}

// A line timed absurdly fast, or of an absurd label, still has sections of finite
// numbers, and Check says that there is no such line.
func TestAbsurdlyFastLine(t *testing.T) {
	for _, profile := range tackle.Profiles {
		if profile == tackle.Floating {
			continue
		}
		for _, m := range []tackle.Measured{{DropDepth: 10, DropTime: 1}, {DropDepth: 1, DropTime: 1e-300}, {DropDepth: 10, DropTime: 1, LinearDensity: 1e-6}} {
			l := tackle.Line{Class: 7, Profile: profile, Sink: 0.1, SinkTip: 3, Measured: m}
			for _, s := range l.Sections(20) {
				if !(s.Diameter > 0) || !(s.LinearDensity > 0) || math.IsInf(density(s), 0) {
					t.Errorf("%s, %+v: %+v", profile, m, s)
				}
			}
			if v := l.SinkAt(10); math.IsNaN(v) || v <= 0 {
				t.Errorf("%s, %+v sinks at %v m/s", profile, m, v)
			}
			if found := l.Check(quantity.Trade); found[0].Level == tackle.Good {
				t.Errorf("%s, %+v: %v", profile, m, found)
			}
		}
	}
}
