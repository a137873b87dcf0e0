package nmea_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"windlane/internal/nmea"
)

// What another program makes of the same sentences: refdata/nmea/SOURCE.md.
func TestAgainstAnotherReader(t *testing.T) {
	f, err := os.Open("../../refdata/nmea/nmea0183_samples.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	places, depths, others := 0, 0, 0
	for _, row := range rows[1:] {
		s, fault := nmea.Split(row[0], true)
		if fault != nil || s.Kind != row[1] {
			t.Errorf("%s: %+v, %+v", row[0], s, fault)
			continue
		}
		fix, is, fault := s.Fix()
		if fault != nil {
			t.Errorf("%s: %+v", row[0], fault)
		}
		depth, sounded, fault := s.Depth(400, 10)
		if fault != nil {
			t.Errorf("%s: %+v", row[0], fault)
		}
		if !is && !sounded {
			others++
			continue
		}
		for _, pair := range strings.Split(row[2], ";") {
			key, said, _ := strings.Cut(pair, "=")
			var got, want float64
			switch key {
			case "depth", "depth_meters":
				got = depth.Metres
				depths++
			case "offset":
				got = depth.Offset
			case "latitude":
				got = fix.LatDeg
			case "longitude":
				got = fix.LonDeg
			case "timestamp":
				at, err := time.Parse("15:04:05", said[:8])
				if err != nil {
					t.Fatal(err)
				}
				got, want = math.Floor(fix.Second), float64(at.Hour()*3600+at.Minute()*60+at.Second())
			case "datestamp":
				at, err := time.Parse(time.DateOnly, said)
				if err != nil {
					t.Fatal(err)
				}
				got, want = float64(fix.Day), float64(at.Unix()/86400)
			default:
				continue
			}
			if want == 0 {
				if want, err = strconv.ParseFloat(said, 64); err != nil {
					t.Fatal(err)
				}
			}
			places++
			if !(math.Abs(got-want) <= 1e-9) {
				t.Errorf("%s: %s is %v, want %v", row[0], key, got, want)
			}
		}
	}
	if places < 10 || depths < 4 || others < 2 {
		t.Errorf("%d figures, %d of them depths, and %d other sentences compared", places, depths, others)
	}
}

// seeds are sentences and what is wrong with them; empty where nothing is.
var seeds = []struct{ line, problem string }{
	{"$GPGLL,5230.00,N,01430.00,W,101530,A*3C", ""},
	{"12:00:01 $GNRMC,235959.50,A,5230.00,S,01430.00,E,,,151126,,*36", ""},
	{"$GPGLL,5230.00,N,01430.00,W,101530,A*3F", "checksum"},
	{"$GPGLL,5230.00,N,01430.00,W,101530,A", "without its checksum"},
	{"$GPGLL,5260.00,N,01430.00,W,101530,A*39", "degrees and minutes"},
	{"$GPGLL,5230.00,X,01430.00,W,101530,A*2A", "neither"},
	{"$GPGLL,5230.00,N,01430.00,W,251530,A*3A", "out of range"},
	{"$GPGLL,5230.00,N*34", "too short"},
	{"$GPRMC,101530,A,5230.00,N,01430.00,W,,,990026,,*0F", "no date"},
	{"no sentence", "no NMEA"},
	{"$PXYZ,1*16", ""},
}

func TestSentences(t *testing.T) {
	if len(seeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, c := range seeds {
		s, fault := nmea.Split(c.line, true)
		if fault == nil {
			_, _, fault = s.Fix()
		}
		if fault == nil {
			_, _, fault = s.Depth(400, 10)
		}
		if (fault == nil) != (c.problem == "") || fault != nil && !strings.Contains(fault.Problem, c.problem) {
			t.Errorf("%s: %+v, want %q", c.line, fault, c.problem)
		}
	}
	s, _ := nmea.Split(seeds[1].line, true)
	if f, is, _ := s.Fix(); !is || f.Second != 86399.5 || f.LatDeg != -52.5 || f.LonDeg != 14.5 || f.Day != int(time.Date(2026, 11, 15, 0, 0, 0, 0, time.UTC).Unix()/86400) {
		t.Errorf("%+v", f)
	}
}

func FuzzSentence(f *testing.F) {
	for _, c := range seeds {
		f.Add(c.line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		s, fault := nmea.Split(line, false)
		if fault != nil {
			return
		}
		if d, is, fault := s.Depth(400, 10); is && fault == nil && (d.Metres <= 0 || d.Metres > 400.001 || !(math.Abs(d.Offset) <= 10)) {
			t.Errorf("%q is %+v", line, d)
		}
		if fix, is, fault := s.Fix(); is && fault == nil && !fix.Void && !(math.Abs(fix.LatDeg) <= 90 && math.Abs(fix.LonDeg) <= 180 && !(fix.Second > 86461)) {
			t.Errorf("%q is at %+v", line, fix)
		}
	})
}
