package water_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"windlane/geodesy"
	"windlane/water"
)

// sentence puts a checksum to it: XOR of the bytes between $ and *.
func sentence(format string, args ...any) string {
	body := fmt.Sprintf(format, args...)
	var x byte
	for i := range len(body) {
		x ^= body[i]
	}
	return fmt.Sprintf("$%s*%02X\n", body, x)
}

// minutes writes degrees as dddmm.mmmmm.
func minutes(deg float64) string {
	all := math.Round(math.Abs(deg) * 60e5)
	whole := math.Floor(all / 60e5)
	return fmt.Sprintf("%011.5f", 100*whole+(all-60e5*whole)/1e5)
}

// rmc is a fix in metres round the sea's origin, seconds after ten o'clock.
func rmc(x, y float64, t int) string {
	at := sea.Position(x, y)
	return sentence("GPRMC,10%02d%02d.00,A,%s,N,%s,W,1.0,90.0,150526,,,A", t/60, t%60, minutes(at.LatDeg)[1:], minutes(at.LonDeg))
}

func near(t *testing.T, what string, one water.Sounding, x, y, depth float64) {
	t.Helper()
	gx, gy := sea.XY(one.At)
	if math.Hypot(gx-x, gy-y) > 0.05 || math.Abs(one.Depth-depth) > 1e-9 {
		t.Errorf("%s: %.3f m at %.2f, %.2f; want %v at %v, %v", what, one.Depth, gx, gy, depth, x, y)
	}
}

func readLog(t *testing.T, how water.Taken, s string) *water.Soundings {
	t.Helper()
	log, err := how.ReadSoundings("log.nmea", strings.NewReader(s))
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// Reference: refdata/nmea, sentences as pynmea2 1.15.0 reads them. Each fix is
// put before each depth; the place and the depth below the surface must be its.
func TestSentencesAgainstReference(t *testing.T) {
	f, err := os.Open("../refdata/nmea/nmea0183_samples.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	value := func(said, name string) float64 {
		for part := range strings.SplitSeq(said, ";") {
			if key, v, _ := strings.Cut(part, "="); key == name {
				n, err := strconv.ParseFloat(v, 64)
				if err != nil {
					t.Fatal(err)
				}
				return n
			}
		}
		return math.NaN()
	}
	compared := 0
	for _, place := range rows[1:] {
		if place[1] != "RMC" && place[1] != "GGA" {
			continue
		}
		for _, sounding := range rows[1:] {
			want := value(sounding[2], "depth_meters")
			if sounding[1] == "DPT" { // a positive offset is the transducer's depth below the surface
				want = value(sounding[2], "depth") + math.Max(0, value(sounding[2], "offset"))
			}
			if want != want {
				continue
			}
			s := readLog(t, water.Taken{}, place[0]+"\r\n"+rows[12][0]+"\r\n"+sounding[0]+"\r\n")
			at := s.List[0].At
			if len(s.List) != 1 || math.Abs(at.LatDeg-value(place[2], "latitude")) > 1e-9 || math.Abs(at.LonDeg-value(place[2], "longitude")) > 1e-9 || math.Abs(s.List[0].Depth-want) > 1e-9 {
				t.Errorf("%s with %s: %+v, want %v m", place[0], sounding[0], s.List, want)
			}
			if place[1] == "RMC" && !strings.Contains(place[2], "datestamp="+s.Date) {
				t.Errorf("%s: date %q", place[0], s.Date)
			}
			compared++
		}
	}
	if compared < 12 {
		t.Errorf("%d compared", compared)
	}
	// The table's own example of a bad checksum (published.md there): refused by its line.
	_, err = water.ReadSoundings("log.nmea", strings.NewReader(rows[1][0]+"\n$SDDBT,7.8,f,2.4,M,1.3,F*00\n"))
	if err == nil || !strings.Contains(err.Error(), "log.nmea, line 2") || !strings.Contains(err.Error(), "has the checksum 00, and its letters give 0D") {
		t.Errorf("bad checksum: %v", err)
	}
}

// Depths have no time: they lie along the way between fixes, in their order.
func TestDepthsAlongTheWay(t *testing.T) {
	dbt := func(d float64) string { return sentence("SDDBT,,f,%.2f,M,,F", d) }
	log := dbt(9) + rmc(0, 0, 0) + dbt(4) + dbt(5) + dbt(6) + rmc(4, 0, 2) + dbt(7) + rmc(4, 6, 4) + dbt(8) + dbt(8.5)
	s := readLog(t, water.Taken{Transducer: 0.2, Drawdown: 0.6}, log)
	if len(s.List) != 5 || s.Date != "2026-05-15" {
		t.Fatalf("%d soundings on %s: %v", len(s.List), s.Date, s.List)
	}
	for i, want := range [][3]float64{{1, 0, 4.8}, {2, 0, 5.8}, {3, 0, 6.8}, {4, 3, 7.8}, {4, 6, 8.8}} {
		near(t, fmt.Sprint("depth ", i), s.List[i], want[0], want[1], want[2])
		if s.List[i].Track != 1 {
			t.Errorf("depth %d is of track %d", i, s.List[i].Track)
		}
	}
	if said := strings.Join(s.Remarks, "; "); said != "log.nmea: depths with no position near them in time, left out: 2 of 7" {
		t.Errorf("remarks %q", said)
	}
	// A minute and more without a fix, or 50 m: the way between is not known.
	s = readLog(t, water.Taken{}, rmc(0, 0, 0)+dbt(4)+rmc(3, 0, 2)+dbt(5)+dbt(5)+rmc(6, 0, 90)+dbt(6)+rmc(9, 0, 92)+dbt(7)+rmc(69, 0, 100)+dbt(8)+rmc(72, 0, 102))
	var tracks []int32
	for _, one := range s.List {
		tracks = append(tracks, one.Track)
	}
	if fmt.Sprint(tracks) != "[1 1 2 2 3]" {
		t.Errorf("tracks %v, want 1 1 2 2 3", tracks)
	}
	near(t, "after the last fix for a minute", s.List[1], 3, 0, 5)
	near(t, "after the gap", s.List[2], 7.5, 0, 6)
}

// Depths with an offset of their own, in feet, in fathoms, beside another kind,
// and with no bottom met.
func TestKindsOfDepths(t *testing.T) {
	way := func(depths string) string { return rmc(0, 0, 0) + depths + rmc(2, 0, 2) }
	for _, c := range []struct {
		name, depths string
		how          water.Taken
		want         []float64
		remark       string
	}{
		{"offset to the surface", sentence("SDDPT,4.2,0.3"), water.Taken{Transducer: 9}, []float64{4.5}, ""},
		{"offset to the keel", sentence("SDDPT,4.2,-0.3"), water.Taken{}, []float64{4.2}, "the keel's depth and not the transducer's"},
		{"offset to the keel, transducer told", sentence("SDDPT,4.2,-0.3"), water.Taken{Transducer: 0.25}, []float64{4.45}, ""},
		{"no offset", sentence("SDDPT,4.2,"), water.Taken{Transducer: 0.25}, []float64{4.45}, ""},
		{"metres before feet", sentence("SDDBT,99,f,4.2,M,99,F"), water.Taken{}, []float64{4.2}, "count from the transducer"},
		{"feet", sentence("SDDBT,10,f,,M,,F"), water.Taken{}, []float64{3.048}, "count from the transducer"},
		{"fathoms", sentence("SDDBT,,f,,M,2,F"), water.Taken{}, []float64{3.6576}, ""},
		{"DPT before DBT", sentence("SDDBT,,f,4,M,,F") + sentence("SDDPT,4,0.5,"), water.Taken{}, []float64{4.5}, ""},
		{"no bottom", sentence("SDDPT,,") + sentence("SDDPT,0.0,0.5") + sentence("SDDPT,3,0.5"), water.Taken{}, []float64{3.5}, "met no bottom, left out: 2 of 3"},
		{"other sentences, and words before them", "12:00:01 " + sentence("SDDPT,3,0.5") + sentence("YXMTW,14.5,C") + sentence("PXYZ,whatever") + "!AIVDM,1,1,,A,x,0*5C\n# mine\n\n", water.Taken{}, []float64{3.5}, ""},
	} {
		s := readLog(t, c.how, way(c.depths))
		if len(s.List) != len(c.want) {
			t.Errorf("%s: %v", c.name, s.List)
			continue
		}
		for i, d := range c.want {
			if math.Abs(s.List[i].Depth-d) > 1e-9 {
				t.Errorf("%s: depth %v, want %v", c.name, s.List[i].Depth, d)
			}
		}
		if said := strings.Join(s.Remarks, "; "); !strings.Contains(said, c.remark) || !strings.Contains(said, "full level") {
			t.Errorf("%s: remarks %q, want %q", c.name, said, c.remark)
		}
	}
}

// The three kinds of fix say the same place; void ones are left out; midnight
// and a day told late are borne.
func TestKindsOfFixes(t *testing.T) {
	dpt := sentence("SDDPT,4,0.3")
	fixes := map[string]string{
		"RMC":             sentence("GNRMC,101530.00,A,5300.1234,N,00100.5678,W,0.5,271.3,150526,,,A"),
		"GGA":             sentence("GPGGA,101530.00,5300.1234,N,00100.5678,W,1,08,0.9,5,M,46.9,M,,"),
		"GLL":             sentence("GPGLL,5300.1234,N,00100.5678,W,101530.00,A,A"),
		"GLL of old":      sentence("GPGLL,5300.1234,N,00100.5678,W"),
		"GLL, no status":  sentence("GPGLL,5300.1234,N,00100.5678,W,101530"),
		"all three of it": sentence("GPGGA,101530.00,5300.1234,N,00100.5678,W,1,08,0.9,5,M,46.9,M,,") + sentence("GNRMC,101530.00,A,5300.1234,N,00100.5678,W,0.5,271.3,150526,,,A") + sentence("GPGLL,5300.1234,N,00100.5678,W,101530.00,A,A"),
	}
	if len(fixes) != 6 {
		t.Fatal("fixes are missing")
	}
	for name, f := range fixes {
		s := readLog(t, water.Taken{}, f+dpt)
		if at := s.List[0].At; math.Abs(at.LatDeg-53.00205666667) > 1e-9 || math.Abs(at.LonDeg+1.00946333333) > 1e-9 {
			t.Errorf("%s: %v", name, at)
		}
	}
	void := sentence("GNRMC,101529.00,V,,,,,,,150526,,,N") + sentence("GPGGA,101529.00,,,,,0,,,,M,,M,,") + sentence("GPGLL,,,,,101529.00,V,N")
	s := readLog(t, water.Taken{}, void+fixes["RMC"]+dpt)
	if said := strings.Join(s.Remarks, "; "); !strings.Contains(said, "fixes that say they are void, left out: 3 of 4") {
		t.Errorf("remarks %q", said)
	}
	// One second from a GGA without a day to an RMC with one, and over midnight.
	gga := func(hms string, x float64) string {
		at := sea.Position(x, 0)
		return sentence("GPGGA,%s,%s,N,%s,W,1,8,1,0,M,0,M,,", hms, minutes(at.LatDeg)[1:], minutes(at.LonDeg))
	}
	start := sea.Position(0, 0)
	lateRMC := sentence("GPRMC,235959,A,%s,N,%s,W,1.0,90.0,150526,,,A", minutes(start.LatDeg)[1:], minutes(start.LonDeg))
	for name, log := range map[string]string{
		"a day told late":        gga("100001", 0) + dpt + rmc(2, 0, 2) + dpt + gga("100003", 4),
		"midnight":               gga("235959", 0) + dpt + gga("000000", 2) + dpt + gga("000001", 4),
		"midnight of a day told": lateRMC + dpt + gga("000000", 2) + dpt + gga("000001", 4),
		// The GGA of a fix that the RMC told already adds nothing, wherever the sounder puts in its depth.
		"one fix told twice": rmc(0, 0, 0) + dpt + gga("100000", 0) + rmc(2, 0, 2) + gga("100002", 2) + dpt + rmc(4, 0, 4),
	} {
		s := readLog(t, water.Taken{}, log)
		if len(s.List) != 2 || s.List[1].Track != 1 {
			t.Errorf("%s: %v", name, s.List)
			continue
		}
		near(t, name, s.List[0], 1, 0, 4.3)
		near(t, name, s.List[1], 3, 0, 4.3)
	}
}

// A fix that would need an impossible speed is dropped; a first one that was
// false is found out by those after it.
func TestJumps(t *testing.T) {
	dpt := sentence("SDDPT,4,0.3")
	var log strings.Builder
	for i := range 20 {
		x, y := 2*float64(i), 0.0
		if i == 7 || i == 8 {
			y = 400
		}
		log.WriteString(rmc(x, y, i) + dpt)
	}
	s := readLog(t, water.Taken{}, log.String())
	if said := strings.Join(s.Remarks, "; "); !strings.Contains(said, "over 15 m/s), left out: 2 of 20") || len(s.List) != 20 {
		t.Errorf("%d soundings, remarks %q", len(s.List), said)
	}
	for i, one := range s.List {
		if _, y := sea.XY(one.At); math.Abs(y) > 0.05 || one.Track != 1 {
			t.Errorf("sounding %d is %v m off the way, track %d", i, y, one.Track)
		}
	}
	log.Reset()
	log.WriteString(rmc(5000, 5000, 0) + dpt)
	for i := 1; i < 20; i++ {
		log.WriteString(rmc(2*float64(i), 0, i) + dpt)
	}
	s = readLog(t, water.Taken{}, log.String())
	if said := strings.Join(s.Remarks, "; "); !strings.Contains(said, "left out: 1 of 20") {
		t.Errorf("remarks %q", said)
	}
	for _, one := range s.List {
		if x, y := sea.XY(one.At); math.Hypot(x, y) > 50 {
			t.Errorf("a sounding at %v, %v", x, y)
		}
	}
}

// A few damaged lines are left out and counted; many, and the log is refused.
func TestDamagedLogs(t *testing.T) {
	dpt := sentence("SDDPT,4,0.3")
	var lines []string
	for i := range 30 {
		lines = append(lines, rmc(2*float64(i), 0, i), dpt)
	}
	whole := strings.Join(lines, "")
	with := func(damage string, at ...int) string {
		out := append([]string{}, lines...)
		for _, i := range at {
			out[i] = damage
		}
		return strings.Join(out, "")
	}
	for _, c := range []struct{ name, log, remark string }{
		{"a bad sum", with("$SDDPT,9.99,0.3*00\n", 21), "damaged sentences, not used: 1 of 60, the first on line 22 (has the checksum 00"},
		{"three", with("$SDDPT,9.99,0.3*00\n", 21, 31, 41), "damaged sentences, not used: 3 of 60, the first on line 22"},
		{"torn", with("$SDDPT,9.9\n", 59), "ends without its checksum"},
		{"no sentence", with("reboot\n", 10), "is no NMEA sentence"},
		{"minutes", with(sentence("GPGLL,5260.5,N,03000.0,W,100010,A"), 20), "is no place"},
		{"a side", with(sentence("GPGLL,5200.5,Q,03000.0,W,100010,A"), 20), "is neither N nor S"},
		{"a time", with(sentence("GPGLL,5200.5,N,03000.0,W,259999,A"), 20), "allowed is 0 to 23"},
		{"a date", with(sentence("GPRMC,100010,A,5200.5,N,03000.0,W,1,1,321326,,"), 20), "is no date"},
		{"a depth", with(sentence("SDDPT,-4,0.3"), 21), "allowed is 0 to 2000"},
		{"too short", with(sentence("SDDPT"), 21), "is too short"},
	} {
		s := readLog(t, water.Taken{}, c.log)
		if said := strings.Join(s.Remarks, "; "); !strings.Contains(said, c.remark) || len(s.List) < 27 {
			t.Errorf("%s: %d soundings, remarks %q, want %q", c.name, len(s.List), said, c.remark)
		}
		for _, one := range s.List {
			if math.Abs(one.Depth-4.3) > 1e-9 {
				t.Errorf("%s: a damaged depth of %v was used", c.name, one.Depth)
			}
		}
	}
	if s := readLog(t, water.Taken{}, stripSums(whole)); !strings.Contains(strings.Join(s.Remarks, "; "), "carry no checksum") {
		t.Errorf("without sums: %q", s.Remarks)
	}
	for _, c := range []struct{ name, log, says string }{
		{"four of sixty", with("$SDDPT,9.99,0.3*00\n", 21, 31, 41, 51), "line 22: \"$SDDPT,9.99,0.3*00\" has the checksum 00, and its letters give 6D; of 60 sentences 4 are damaged, more than one in 20"},
		{"no fix", strings.Repeat(dpt, 3), "RMC, GLL or GGA are looked for"},
		{"void", sentence("GNRMC,101529.00,V,,,,,,,150526,,,N") + dpt, "void"},
		{"no depth", lines[0] + lines[2], "DPT or DBT are looked for"},
		{"no bottom", lines[0] + sentence("SDDPT,,"), "met no bottom"},
		{"a depth before the fix", dpt + lines[0], "none of them with a position near it"},
	} {
		if _, err := water.ReadSoundings("log.nmea", strings.NewReader(c.log)); err == nil || !strings.HasPrefix(err.Error(), "log.nmea") || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
	for _, how := range []water.Taken{{Transducer: -1}, {Transducer: 20}, {Drawdown: -0.6}, {Drawdown: math.NaN()}} {
		if _, err := how.ReadSoundings("log.nmea", strings.NewReader(whole)); err == nil || !strings.Contains(err.Error(), "allowed is 0 to") {
			t.Errorf("%+v: %v", how, err)
		}
	}
	table := "lon,lat,depth_m,level_m\n-30,52,4,-1\n"
	if _, err := (water.Taken{Drawdown: 1}).ReadSoundings("bed.csv", strings.NewReader(table)); err == nil || !strings.Contains(err.Error(), "level_m: tells the water's level already") {
		t.Errorf("two levels: %v", err)
	}
	if s, err := (water.Taken{Drawdown: 1}).ReadSoundings("bed.csv", strings.NewReader("lon,lat,depth_m\n-30,52,4\n")); err != nil || s.List[0].Depth != 5 || len(s.Remarks) != 0 {
		t.Errorf("a table's level: %v", err)
	}
}

func stripSums(log string) string {
	var b strings.Builder
	for line := range strings.Lines(log) {
		body, _, _ := strings.Cut(line, "*")
		b.WriteString(body + "\n")
	}
	return b.String()
}

const gpxLog = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="me" xmlns="http://www.topografix.com/GPX/1/1" xmlns:s="urn:made-up">
 <wpt lat="52.001" lon="-30.001"><ele>80</ele><name>off the wall</name><extensions><s:depth>6.5</s:depth></extensions></wpt>
 <wpt lat="52.0012" lon="-30.001"><name>no depth here</name></wpt>
 <trk><trkseg>
  <trkpt lat="52.0000" lon="-30.0000"><time>2026-05-15T10:00:00Z</time><extensions><s:more><s:temp>11</s:temp><s:Depth>4.25</s:Depth></s:more></extensions></trkpt>
  <trkpt lat="52.0001" lon="-30.0000"><time>2026-05-15T10:00:10Z</time><extensions><depth>4.5</depth></extensions></trkpt>
  <trkpt lat="52.1000" lon="-30.0000"><time>2026-05-15T10:00:20Z</time><extensions><depth>9.5</depth></extensions></trkpt>
  <trkpt lat="52.0002" lon="-30.0000"><time>2026-05-15T10:00:30Z</time><extensions><depth>4.75</depth></extensions></trkpt>
 </trkseg><trkseg>
  <trkpt lat="52.0005" lon="-30.0003"><extensions><depth>5</depth></extensions></trkpt>
 </trkseg></trk>
</gpx>`

func TestGPX(t *testing.T) {
	s, err := (water.Taken{Drawdown: 0.5, Transducer: 0.25}).ReadSoundings("log.gpx", strings.NewReader(gpxLog))
	if err != nil {
		t.Fatal(err)
	}
	want := []water.Sounding{
		{At: geodesy.Position{LonDeg: -30.001, LatDeg: 52.001}, Depth: 7.25, Track: 1},
		{At: geodesy.Position{LonDeg: -30, LatDeg: 52}, Depth: 5, Track: 2},
		{At: geodesy.Position{LonDeg: -30, LatDeg: 52.0001}, Depth: 5.25, Track: 2},
		{At: geodesy.Position{LonDeg: -30, LatDeg: 52.0002}, Depth: 5.5, Track: 2},
		{At: geodesy.Position{LonDeg: -30.0003, LatDeg: 52.0005}, Depth: 5.75, Track: 3},
	}
	if fmt.Sprint(s.List) != fmt.Sprint(want) || s.Date != "2026-05-15" {
		t.Errorf("%s: %v\nwant %v", s.Date, s.List, want)
	}
	said := strings.Join(s.Remarks, "; ")
	for _, say := range []string{"over 15 m/s), left out: 1 of 6", "points without a depth, left out: 1 of 7"} {
		if !strings.Contains(said, say) || strings.Contains(said, "full level") {
			t.Errorf("remarks %q, want %q", said, say)
		}
	}
	point := func(inside string) string {
		return "<gpx>\n<wpt lat=\"52\" lon=\"-30\">" + inside + "</wpt>\n</gpx>"
	}
	for _, c := range []struct{ name, file, says string }{
		{"heights only", point("<ele>-4.5</ele>"), "has 1 points and none with a depth: it is looked for in a point's extensions, in an element named depth"},
		{"a depth out of its place", point("<depth>4.5</depth>"), "in a point's extensions"},
		{"no points", "<gpx></gpx>", "has no points"},
		{"another kind", "<kml><Placemark/></kml>", "\"kml\" is XML of another kind"},
		{"negative", point("<extensions><depth>-4.5</depth></extensions>"), "log.gpx, line 2, depth: \"-4.5\" is negative"},
		{"a word", point("<extensions><depth>deep</depth></extensions>"), "line 2, depth: \"deep\" is no depth: allowed is 0 to 2000"},
		{"too deep", point("<extensions><depth>2e9</depth></extensions>"), "allowed is 0 to 2000"},
		{"a time", point("<time>noon</time>"), "line 2, time: \"noon\""},
		{"no longitude", "<gpx><wpt lat=\"52\"/></gpx>", "wpt, lon"},
		{"metres", "<gpx><trk><trkseg><trkpt lat=\"5800000\" lon=\"4\"/></trkseg></trk></gpx>", "trkpt, lat: \"5800000\" is no place"},
		{"a point in a point", point("<wpt lat=\"1\" lon=\"1\"/>"), "lies within another"},
		{"cut off", gpxLog[:700], "is not XML"},
		{"nested", "<gpx>" + strings.Repeat("<a>", 100), "within more than 64"},
		{"other letters", "<?xml version=\"1.0\" encoding=\"latin1\"?><gpx/>", "is not XML"},
	} {
		if _, err := water.ReadSoundings("log.gpx", strings.NewReader(c.file)); err == nil || !strings.HasPrefix(err.Error(), "log.gpx") || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
}

// A log is a survey like any other.
func TestSurveyOfALog(t *testing.T) {
	var log strings.Builder
	second := 0
	for lane := range 9 {
		for step := range 150 {
			x, y := -400+100*float64(lane), -300+4*float64(step)
			log.WriteString(rmc(x, y, second%3600))
			log.WriteString(sentence("SDDPT,%.2f,0.30", 5+0.01*x))
			second++
		}
		second += 120
	}
	s := readLog(t, water.Taken{Drawdown: 0.7}, log.String())
	w := survey(t, drawn(t, rectangle(-500, -400, 500, 400)), water.Settings{Cell: 5}, s)
	for _, x := range []float64{-350, 0, 350} {
		if d, _ := w.Depth(onSea(w, x, 0)); math.Abs(float64(d)-(6+0.01*x)) > 0.06 {
			t.Errorf("%v m deep at %v, want %v", d, x, 6+0.01*x)
		}
	}
}

var logSeeds = []string{
	"$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n$SDDPT,4.2,0.3,50.0*65\n",
	"$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\n$SDDBT,13.8,f,4.2,M,2.3,F*3B\n",
	"$GPGLL,4807.038,N,01131.000,E\n$SDDBT,13.8,f,,M,2.3,F\n",
}

var gpxSeeds = []string{gpxLog, `<gpx><wpt lat="1" lon="2"><extensions><depth>3</depth></extensions></wpt></gpx>`}

func TestLogSeedsRead(t *testing.T) {
	if len(logSeeds) == 0 || len(gpxSeeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, s := range append(logSeeds, gpxSeeds...) {
		if got, err := water.ReadSoundings("seed", strings.NewReader(s)); err != nil || len(got.List) == 0 {
			t.Errorf("%q: %v", s, err)
		}
	}
}

func FuzzReadSoundingsNMEA(f *testing.F) {
	for _, s := range logSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(fuzzSoundings)
}

func FuzzReadSoundingsGPX(f *testing.F) {
	for _, s := range gpxSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(fuzzSoundings)
}

func BenchmarkReadNMEA(b *testing.B) {
	var log bytes.Buffer
	for i := range 50_000 {
		log.WriteString(rmc(float64(i%1000), float64(i/1000), i%3600))
		log.WriteString(sentence("SDDPT,%.2f,0.30", 5.0))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := water.ReadSoundings("log", bytes.NewReader(log.Bytes())); err != nil {
			b.Fatal(err)
		}
	}
}
