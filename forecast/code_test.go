package forecast_test

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"windlane/forecast"
)

var mid = time.Date(2026, 4, 15, 12, 0, 0, 0, time.UTC)

// metarSeeds are the fuzz target's corpus.
var metarSeeds = []string{
	"METAR XXAA 151020Z AUTO 24015G27KT 200V280 9999 -RA SCT020 BKN040CB 12/08 Q1009 NOSIG=",
	"METAR COR XXAA 151020Z VRB02KT CAVOK M02/M05 A2992\nSPECI XXAA 151035Z 00000KT 0500 +TSRA FEW010 OVC020 M00/ Q0999 RMK 24030KT",
	"XXAA 151020Z P99KT", "METAR XXAA 151020Z NIL=", "XXAA 319999Z 24015KT", "XXAA 151020Z 99915KT 24010G05KT P6SM 1 1/2SM R27/1200 ///// ",
}

func metar(t *testing.T, groups string) *forecast.Forecast {
	t.Helper()
	f, err := forecast.ReadMETAR("m.txt", strings.NewReader("METAR XXAA 151020Z "+groups), mid)
	if err != nil {
		t.Fatalf("%s: %v", groups, err)
	}
	return f
}

// Source: decodings of these groups by a public parser (metar-taf-parser 9.1.3,
// run elsewhere), except that its "calm from north" is not copied; WMO-No. 306
// FM 15 for the rest.
func TestGroups(t *testing.T) {
	h := metar(t, "24004MPS").Hours[0]
	near(t, "24004MPS", h.Speed, 4, 1e-12)
	near(t, "24004MPS", h.From.Degrees(), 240, 1e-9)

	f := metar(t, "24015G27KT 200V280")
	h = f.Hours[0]
	near(t, "15 kn", h.Speed, 7.717, 5e-4)
	near(t, "27 kn", h.Gust, 13.890, 5e-4)
	if !h.HasGust || len(f.Remarks) != 1 || !strings.Contains(f.Remarks[0], "200V280") {
		t.Errorf("%+v, %v", h, f.Remarks)
	}
	h = metar(t, "VRB02KT").Hours[0]
	near(t, "2 kn", h.Speed, 1.029, 5e-4)
	if !h.Variable || h.Calm {
		t.Errorf("VRB02KT: %+v", h)
	}
	h = metar(t, "00000KT").Hours[0]
	if !h.Calm || h.Variable || h.Speed != 0 {
		t.Errorf("00000KT: %+v", h)
	}
	if e, n := h.Vector(); e != 0 || n != 0 {
		t.Errorf("a calm goes %v, %v", e, n)
	}
	h = metar(t, "31008KT M02/M05 A2992").Hours[0]
	near(t, "8 kn", h.Speed, 4.116, 5e-4)
	near(t, "M02", h.AirC, -2, 0)
	near(t, "A2992", h.PressureHPa, 1013.2, 0.05)
	h = metar(t, "24004KT CAVOK 12/08 Q1009").Hours[0]
	near(t, "CAVOK", h.Visibility, 10000, 0)
	near(t, "Q1009", h.PressureHPa, 1009, 0)
	if !h.HasCloud || h.Oktas != 0 || h.ThunderChance > 0 {
		t.Errorf("CAVOK: %+v", h)
	}
	h = metar(t, "18036KMH").Hours[0]
	near(t, "36 km/h", h.Speed, 10, 1e-9)
	f = metar(t, "180P99KT")
	near(t, "P99", f.Hours[0].Speed, 99*knot, 1e-9)
	if len(f.Remarks) != 1 || !strings.Contains(f.Remarks[0], "above that figure") {
		t.Errorf("P99: %v", f.Remarks)
	}
	h = metar(t, "24015KT 4000 +TSRA FEW010 SCT020CB BKN040").Hours[0]
	if h.ThunderChance != 1 || h.Weather != "+TSRA" {
		t.Errorf("thunder: %+v", h)
	}
	near(t, "fullest layer", h.Oktas, 6, 0)
	near(t, "visibility", h.Visibility, 4000, 0)
	near(t, "fullest layer first", metar(t, "24015KT OVC010 FEW040").Hours[0].Oktas, 8, 0)
	if h = metar(t, "24015KT RETS OVC020").Hours[0]; h.ThunderChance > 0 {
		t.Error("recent thunder is taken for present")
	}
	f = metar(t, "24015G10KT BLAH 99// 9999 NOSIG TEMPO 24030G50KT RMK TS")
	if h = f.Hours[0]; h.HasGust || h.ThunderChance > 0 || math.Abs(h.Speed-15*knot) > 1e-9 {
		t.Errorf("odd groups: %+v", h)
	}
	if got := strings.Join(f.Remarks, "; "); !strings.Contains(got, "BLAH: not understood") || !strings.Contains(got, "below the mean") || strings.Contains(got, "24030") {
		t.Errorf("remarks %v", f.Remarks)
	}
}

// Source: the Aviation Weather Center's own decoding, refdata/forecast/SOURCE.md.
func TestReadMETAR(t *testing.T) {
	tab, cell := table(t, "../refdata/forecast/metar_expected.csv")
	for _, r := range tab.Rows {
		at, err := time.Parse(time.RFC3339, cell(r, "at_utc"))
		if err != nil {
			t.Fatal(err)
		}
		f, err := forecast.ReadMETAR("m.txt", strings.NewReader(cell(r, "raw")), at.AddDate(0, 0, 3))
		if err != nil || len(f.Hours) != 1 {
			t.Errorf("%s: %v", cell(r, "raw"), err)
			continue
		}
		h := f.Hours[0]
		number := func(name string) float64 {
			v, err := r.Number(tab.Column(name), -100, 1000)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		if !h.At.Equal(at) {
			t.Errorf("%s: at %v, want %v", cell(r, "raw"), h.At, at)
		}
		near(t, "from", h.From.Degrees(), number("from_deg"), 1e-9)
		near(t, "speed", h.Speed, number("speed_kn")*knot, 1e-9)
		near(t, "air", h.AirC, number("air_c"), 0)
		near(t, "pressure", h.PressureHPa/33.863886, number("pressure_inhg"), 0.005)
		near(t, "visibility", h.Visibility, min(number("visibility_miles")*1609.344, 10000), 10)
	}
}

func TestManyMETARs(t *testing.T) {
	in := "METAR XXAA 151120Z 24010KT=\nMETAR XXAA 151020Z 24008KT=\nMETAR XXAA 150920Z NIL=\nMETAR COR XXAA 151020Z 24009KT\nXXAA 301020Z 24007KT"
	f, err := forecast.ReadMETAR("m.txt", strings.NewReader(in), mid)
	if err != nil || len(f.Hours) != 3 {
		t.Fatalf("%v, %+v", err, f)
	}
	// The nearest 30th to 15 April noon is in April: 15 days on, 16 back.
	if !f.Hours[2].At.Equal(time.Date(2026, 4, 30, 10, 20, 0, 0, time.UTC)) {
		t.Errorf("the 30th: %v", f.Hours[2].At)
	}
	near(t, "corrected", f.Hours[0].Speed, 9*knot, 1e-9)
	for _, bad := range []string{"", "no weather here", "METAR XXAA 151020Z NIL=", "XXAA 329999Z 24010KT"} {
		if _, err := forecast.ReadMETAR("m.txt", strings.NewReader(bad), mid); err == nil {
			t.Errorf("%q reads", bad)
		}
	}
}

// tafSeeds are the fuzz target's corpus.
var tafSeeds = []string{
	"TAF XXAA 150500Z 1506/1512 24008KT 9999 SCT030 BECMG 1508/1510 26015G25KT PROB30 TEMPO 1509/1512 4000 TSRA SCT030CB=",
	"TAF AMD XXAA 150500Z 1506/1524 VRB02KT CAVOK FM151130 20010MPS NSW BKN020 PROB40 1518/1524 P99KT",
	"TAF XXAA 150500Z NIL=", "TAF XXAA 150500Z 1506/1512 CNL", "TAF XXAA 150500Z 1506/1506 24008KT", "TAF XXAA 150500Z 1506/1512 24008KT BECMG", "TAF XXAA 150500Z 1506/1512 24008KT FM999999",
}

// Source: decoding of this text by a public parser (metar-taf-parser 9.1.3, run
// elsewhere): base 240/8, becoming 260/15G25 between 08 and 10Z, 30 % temporary
// thunderstorm with rain 09 to 12Z.
func TestReadTAF(t *testing.T) {
	f, err := forecast.ReadTAF("t.txt", strings.NewReader(tafSeeds[0]), mid)
	if err != nil {
		t.Fatal(err)
	}
	at := func(h, m int) forecast.Hour {
		got, ok := f.At(time.Date(2026, 4, 15, h, m, 0, 0, time.UTC))
		if !ok {
			t.Fatalf("%02d:%02d is not covered", h, m)
		}
		return got
	}
	for _, hr := range []int{6, 7, 8} {
		near(t, "before", at(hr, 0).Speed, 8*knot, 1e-9)
		near(t, "before", at(hr, 0).From.Degrees(), 240, 1e-9)
	}
	for _, hr := range []int{10, 11, 12} {
		near(t, "after", at(hr, 0).Speed, 15*knot, 1e-9)
		near(t, "after", at(hr, 0).Gust, 25*knot, 1e-9)
		near(t, "after", at(hr, 0).From.Degrees(), 260, 1e-9)
	}
	if h := at(9, 0); h.Speed < 8*knot || h.Speed > 15*knot || h.From.Degrees() < 240 || h.From.Degrees() > 260 {
		t.Errorf("in between: %+v", h)
	}
	if h := at(8, 0); h.ThunderChance > 0 {
		t.Errorf("thunder before its time: %+v", h)
	}
	if h := at(9, 0); h.ThunderChance != 0.3 || !strings.Contains(h.Weather, "(TSRA)") {
		t.Errorf("30 %% thunder: %+v", h)
	}
	if at(12, 0).ThunderChance > 0 {
		t.Error("thunder after its time")
	}
	if f.Raw != tafSeeds[0] {
		t.Error("the raw text is not kept")
	}

	f, err = forecast.ReadTAF("t.txt", strings.NewReader(tafSeeds[1]), mid)
	if err != nil {
		t.Fatal(err)
	}
	if h := at(11, 29); !h.Variable {
		t.Errorf("a minute before FM: %+v", h)
	}
	near(t, "FM with minutes", at(11, 30).Speed, 10, 1e-9)
	if last := f.Hours[len(f.Hours)-1].At; !last.Equal(time.Date(2026, 4, 16, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("hour 24 is %v", last)
	}
}

// Source: the Aviation Weather Center's own decoding, refdata/forecast/SOURCE.md.
// It shows what a BECMG names from the beginning of its span, here it is reached
// at the end.
func TestTAFsAsTheirIssuerDecodesThem(t *testing.T) {
	b, err := os.ReadFile("../refdata/forecast/taf.txt")
	if err != nil {
		t.Fatal(err)
	}
	raws := strings.Split(strings.TrimSpace(string(b)), "\n")[1:]
	tab, cell := table(t, "../refdata/forecast/taf_expected.csv")
	compared := 0
	for _, r := range tab.Rows {
		when := func(name string) time.Time {
			s := cell(r, name)
			if s == "" {
				return time.Time{}
			}
			at, err := time.Parse(time.RFC3339, s)
			if err != nil {
				t.Fatal(err)
			}
			return at
		}
		n, err := r.Number(tab.Column("forecast"), 1, float64(len(raws)))
		if err != nil {
			t.Fatal(err)
		}
		begin, until := when("from_utc"), when("until_utc")
		f, err := forecast.ReadTAF("t.txt", strings.NewReader(raws[int(n)-1]), begin)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		if !when("complete_utc").IsZero() {
			begin = when("complete_utc")
		}
		deg, _ := r.Number(tab.Column("from_deg"), 0, 360)
		kn, _ := r.Number(tab.Column("speed_kn"), 0, 99)
		for at := begin; at.Before(until.Add(-time.Minute)); at = at.Add(29 * time.Minute) {
			h, ok := f.At(at)
			if !ok {
				t.Errorf("%s is not covered", at)
				continue
			}
			compared++
			near(t, at.String()+" speed", h.Speed, kn*knot, 1e-9)
			if h.Variable != (deg == 0) {
				t.Errorf("%s: variable %v", at, h.Variable)
			} else if deg > 0 {
				near(t, at.String()+" from", h.From.Degrees(), deg, 1e-9)
			}
			if gust := cell(r, "gust_kn"); h.HasGust != (gust != "") {
				t.Errorf("%s: gust %v, want %q", at, h.HasGust, gust)
			}
		}
	}
	if compared < 200 {
		t.Errorf("%d times compared", compared)
	}
}

func TestTAFFaults(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"empty", "", "is empty"},
		{"prose", "a fine day with a breeze", "holds no forecast: TAF, station"},
		{"missing", tafSeeds[2], "holds no forecast"},
		{"cancelled", tafSeeds[3], "holds no forecast"},
		{"no time", tafSeeds[4], "is no span: day and hour"},
		{"no span", "TAF XXAA 150500Z 24008KT", `t.txt, line 1: "24008KT" is no span`},
		{"no wind", "TAF XXAA 150500Z 1506/1512 9999", "tells no wind"},
		{"change without span", tafSeeds[5], "lacks its span"},
		{"bad FM", tafSeeds[6], "is not FM, day"},
		{"bad issue", "TAF XXAA 159900Z 1506/1512 24008KT", "is not a day, hour and minute"},
	}
	for _, c := range cases {
		_, err := forecast.ReadTAF("t.txt", strings.NewReader(c.in), mid)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\nwant %q", c.name, err, c.want)
		}
	}
	early, late := "TAF XXAA 150500Z 1506/1512 24008KT=\n", "TAF XXAA 151100Z 1512/1518 24009KT=\n"
	for _, both := range []string{early + late, late + early} {
		f, err := forecast.ReadTAF("t.txt", strings.NewReader(both), mid)
		if err != nil || math.Abs(f.Hours[0].Speed-9*knot) > 1e-9 || len(f.Remarks) != 1 {
			t.Errorf("two forecasts: %v, %+v", err, f)
		}
	}
}

// The seeds of the fuzz targets: which of them read.
func TestSeeds(t *testing.T) {
	for _, c := range []struct {
		name  string
		seeds []string
		reads []bool
		read  func(in string) error
	}{
		{"METAR", metarSeeds, []bool{true, true, false, false, false, true}, func(in string) error {
			_, err := forecast.ReadMETAR("m.txt", strings.NewReader(in), mid)
			return err
		}},
		{"TAF", tafSeeds, []bool{true, true, false, false, false, false, false}, func(in string) error {
			_, err := forecast.ReadTAF("t.txt", strings.NewReader(in), mid)
			return err
		}},
		{"table", csvSeeds, []bool{true, true, true, false, false, false}, func(in string) error {
			_, err := forecast.ReadCSV("w.csv", strings.NewReader(in), bst)
			return err
		}},
	} {
		if len(c.seeds) == 0 || len(c.seeds) != len(c.reads) {
			t.Errorf("%s: %d seeds, %d are known to read or not", c.name, len(c.seeds), len(c.reads))
			continue
		}
		for i, s := range c.seeds {
			if err := c.read(s); (err == nil) != c.reads[i] {
				t.Errorf("%s seed %d: %v", c.name, i, err)
			}
		}
	}
}

func FuzzReadMETAR(f *testing.F) {
	for _, s := range metarSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		fc, err := forecast.ReadMETAR("fuzz", strings.NewReader(s), mid)
		checkRead(t, fc, err)
	})
}

func FuzzReadTAF(f *testing.F) {
	for _, s := range tafSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		fc, err := forecast.ReadTAF("fuzz", strings.NewReader(s), mid)
		checkRead(t, fc, err)
	})
}
