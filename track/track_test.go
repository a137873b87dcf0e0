package track_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"windlane/track"
)

// sentence closes a sentence with its checksum.
func sentence(body string) string {
	var x byte
	for i := range len(body) {
		x ^= body[i]
	}
	return fmt.Sprintf("$%s*%02X\n", body, x)
}

var (
	aLog = sentence("GPGGA,235950,5236.0000,N,01437.0000,W,1,08,0.9,,,,,,") + // before the day is told
		sentence("GPRMC,235958,A,5236.0000,N,01437.0000,W,,,010526,,") +
		sentence("GPGGA,235958,5236.0001,N,01437.0000,W,1,08,0.9,,,,,,") + // the same second
		sentence("SDDPT,4.2,0.3") +
		sentence("GPGLL,5236.0010,N,01437.0000,W,000000,A") + // past midnight
		sentence("GPRMC,000002,V,,,,,,,020526,,") +
		sentence("GPRMC,000002.5,A,5236.0020,N,01437.0000,W,,,020526,,")
	aGPX = `<gpx><wpt lat="1" lon="1"/><trk><trkseg>
<trkpt lat="52.6" lon="-14.61"><time>2026-05-02T00:00:02Z</time></trkpt>
<trkpt lat="52.7" lon="-14.61"></trkpt>
<trkpt lat="52.5" lon="-14.61"><time>2026-05-02T00:00:00Z</time></trkpt>
<trkpt lat="52.9" lon="-14.61"><time>2026-05-02T00:00:00Z</time></trkpt>
</trkseg></trk></gpx>`
)

// seeds are files and what is wrong with them; empty where nothing is.
var seeds = []struct{ file, problem string }{
	{aLog, ""},
	{aGPX, ""},
	{"", "empty"},
	{"time,lat\n1,2\n", "no NMEA sentence"},
	{sentence("SDDPT,4.2,0.3"), "no position"},
	{sentence("GPRMC,000002,V,,,,,,,020526,,"), "void"},
	{sentence("GPGLL,5236.0010,N,01437.0000,W,000000,A"), "no day"},
	{sentence("GPRMC,000002,A,5236,N,01437,W,,,020526,,"), "two at least"},
	{aLog + "$GPGLL,5236.0010,N,01437.0000,W,000009,A*00\n", "cannot be trusted"},
	{`<gpx><trkpt lat="1" lon="1"/></gpx>`, "none with a time"},
	{`<gpx><wpt lat="1" lon="1"/></gpx>`, "no track"},
	{`<html></html>`, "another kind"},
}

func TestRead(t *testing.T) {
	if len(seeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, c := range seeds {
		_, err := track.Read("t", strings.NewReader(c.file))
		if (err == nil) != (c.problem == "") || err != nil && !strings.Contains(err.Error(), c.problem) {
			t.Errorf("%.70q: %v, want %q", c.file, err, c.problem)
		}
	}
	day := time.Date(2026, 5, 2, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		file    string
		at, lat []float64
		remarks []string
	}{
		{aLog, []float64{-2, 0, 2.5}, []float64{52.6, 52.6 + 0.001/60, 52.6 + 0.002/60}, []string{"void, left out: 1 of", "tells the day, left out: 1 of"}},
		{aGPX, []float64{0, 2}, []float64{52.5, 52.6}, []string{"marks", "without a time, left out: 1 of 5"}},
	} {
		got, err := track.Read("t", strings.NewReader(c.file))
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Fixes) != len(c.at) {
			t.Fatalf("fixes %+v", got.Fixes)
		}
		for i, f := range got.Fixes {
			if s := f.At.Sub(day).Seconds(); s != c.at[i] || math.Abs(f.Position.LatDeg-c.lat[i]) > 1e-9 {
				t.Errorf("fix %d at %v s, %v", i, s, f.Position)
			}
		}
		said := strings.Join(got.Remarks, "; ")
		for _, r := range c.remarks {
			if !strings.Contains(said, r) {
				t.Errorf("remarks %q lack %q", said, r)
			}
		}
	}
	// one damaged sentence in forty is left out and told; without sums a remark says so
	many := strings.Repeat(sentence("SDDPT,4.2,0.3"), 40)
	got, err := track.Read("t", strings.NewReader(aLog+many+"$GPGLL,5236.0010,N,01437.0000,W,000009,A*00\n"))
	if err != nil || len(got.Fixes) != 3 || !strings.Contains(strings.Join(got.Remarks, ""), "damaged sentences, not used: 1 of 48") {
		t.Errorf("%+v, %v", got, err)
	}
	plain := "$GPRMC,000002,A,5236,N,01437,W,,,020526,,\n$GPRMC,000003,A,5236,N,01437,W,,,020526,,\n"
	if got, err = track.Read("t", strings.NewReader(plain)); err != nil || !strings.Contains(strings.Join(got.Remarks, ""), "no checksum") {
		t.Errorf("%+v, %v", got, err)
	}
}

func FuzzRead(f *testing.F) {
	for _, c := range seeds {
		f.Add([]byte(c.file))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		got, err := track.Read("t", strings.NewReader(string(b)))
		if err != nil {
			return
		}
		for i, f := range got.Fixes {
			if !f.Position.Valid() || i > 0 && !f.At.After(got.Fixes[i-1].At) {
				t.Errorf("fix %d: %+v", i, f)
			}
		}
	})
}
