package gpx_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"windlane/internal/gpx"
)

const whole = `<?xml version="1.0" encoding="UTF-8"?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="nobody">
<metadata><time>2001-01-01T00:00:00Z</time></metadata>
<wpt lat="52.5" lon="-14.5"><name>a mark</name></wpt>
<trk><trkseg>
<trkpt lat="52.61" lon="-14.62"><ele>12</ele><time>2026-05-02T09:00:00+01:00</time></trkpt>
<trkpt lat="52.62" lon="-14.63"><extensions><a><time>no time at all</time><n:Depth xmlns:n="x"> 4.2 </n:Depth></a></extensions></trkpt>
</trkseg><trkseg><trkpt lat="52.63" lon="-14.64"><time>2026-05-02T08:00:01.5</time></trkpt></trkseg></trk>
</gpx>`

// seeds are files and what is wrong with them; empty where nothing is.
var seeds = []struct{ file, problem string }{
	{whole, ""},
	{"<gpx></gpx>", ""},
	{"<kml></kml>", "another kind"},
	{"<gpx><trk>", "not XML"},
	{`<gpx><wpt lat="91" lon="0"/></gpx>`, "no place"},
	{`<gpx><wpt lat="1"/></gpx>`, "no place"},
	{`<gpx><wpt lat="1" lon="NaN"/></gpx>`, "no place"},
	{`<gpx><trkpt lat="1" lon="1"><time>noon</time></trkpt></gpx>`, "no time"},
	{`<gpx><trkpt lat="1" lon="1"><time>0001-01-01T00:00:00Z</time></trkpt></gpx>`, "out of range"},
	{`<gpx><wpt lat="1" lon="1"><depth>deep</depth></wpt></gpx>`, ""}, // not in extensions
	{`<gpx><wpt lat="1" lon="1"><extensions><depth>deep</depth></extensions></wpt></gpx>`, "no depth"},
	{`<gpx><wpt lat="1" lon="1"><extensions><depth>-4</depth></extensions></wpt></gpx>`, "positive down"},
	{`<gpx><wpt lat="1" lon="1"><extensions><depth>401</depth></extensions></wpt></gpx>`, "0 to 400"},
	{`<gpx><wpt lat="1" lon="1"><wpt lat="1" lon="1"/></wpt></gpx>`, "another point"},
	{"<gpx>" + strings.Repeat("<a>", 70) + strings.Repeat("</a>", 70) + "</gpx>", "within more than"},
}

func TestPoints(t *testing.T) {
	if len(seeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, c := range seeds {
		err := gpx.Read("f.gpx", []byte(c.file), 400, func(gpx.Point) {})
		if (err == nil) != (c.problem == "") || err != nil && (!strings.Contains(err.Error(), c.problem) || !strings.HasPrefix(err.Error(), "f.gpx, line ")) {
			t.Errorf("%.60s: %v, want %q", c.file, err, c.problem)
		}
	}
	var got []string
	if err := gpx.Read("f.gpx", []byte(whole), 400, func(p gpx.Point) {
		got = append(got, fmt.Sprintf("%s%d %v %v %s %v", p.Kind, p.Run, p.LatDeg, p.LonDeg, p.At.Format(time.RFC3339Nano), p.Depth))
	}); err != nil {
		t.Fatal(err)
	}
	want := "wpt0 52.5 -14.5 0001-01-01T00:00:00Z NaN|trkpt2 52.61 -14.62 2026-05-02T08:00:00Z NaN|trkpt2 52.62 -14.63 0001-01-01T00:00:00Z 4.2|trkpt3 52.63 -14.64 2026-05-02T08:00:01.5Z NaN"
	if strings.Join(got, "|") != want {
		t.Errorf("points\n%s\nwant\n%s", strings.Join(got, "|"), want)
	}
	if !gpx.Is([]byte(" \n<gpx>")) || gpx.Is([]byte("$GPRMC")) || gpx.Is(nil) {
		t.Error("XML is not told from what is none")
	}
}

func FuzzPoints(f *testing.F) {
	for _, c := range seeds {
		f.Add([]byte(c.file))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		gpx.Read("f.gpx", b, 400, func(p gpx.Point) {
			if !(math.Abs(p.LatDeg) <= 90 && math.Abs(p.LonDeg) <= 180) || p.Run < 0 || p.Depth < 0 || p.Depth > 400 {
				t.Errorf("%+v", p)
			}
		})
	})
}
