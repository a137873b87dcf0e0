package water_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"windlane/water"
)

const grownHead = "lon,lat,depth_m,level_m,track,date,drawdown_m,source,log\n"

func grown(t *testing.T, text string) *water.Grown {
	t.Helper()
	g, err := water.ReadGrown("mine.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// dayLog is a log of a lane at x, in metres round the sea's origin.
func dayLog(name, fingerprint string, x float64) water.Log {
	s := &water.Soundings{Name: name}
	for y := 0.0; y < 100; y += 5 {
		s.List = append(s.List, water.Sounding{At: sea.Position(x, y), Depth: 4 + y/100, Track: 1})
	}
	return water.Log{Soundings: s, Date: "2026-05-15", Drawdown: 0.6, Fingerprint: fingerprint}
}

// A survey grows by rows at its end; no earlier byte is changed; what is in it
// reads as it was put there.
func TestSurveyGrows(t *testing.T) {
	one, err := grown(t, "").Add(dayLog("a, b.nmea", "00000000000a", 0))
	if err != nil || !strings.HasPrefix(string(one), grownHead) {
		t.Fatalf("%v: %.200s", err, one)
	}
	g := grown(t, string(one))
	two, err := g.Add(dayLog("c.gpx", "00000000000b", 20))
	if err != nil || !bytes.HasPrefix(two, one) || bytes.Count(two, []byte("\n")) != 41 {
		t.Fatalf("%v: %d lines", err, bytes.Count(two, []byte("\n")))
	}
	if again, _ := g.Add(dayLog("c.gpx", "00000000000b", 20)); !bytes.Equal(again, two) {
		t.Error("adding changed what is there")
	}
	s := grown(t, string(two)).Soundings
	if len(s.List) != 40 || len(s.Remarks) != 0 || s.List[0].Track == s.List[20].Track {
		t.Errorf("%d soundings, remarks %q", len(s.List), s.Remarks)
	}
	near(t, "the last", s.List[39], 20, 95, 4.95)
	// Written by a person's editor with other ends of lines it is the same survey.
	if g := grown(t, strings.ReplaceAll(string(two), "\n", "\r\n")); len(g.Soundings.List) != 40 || g.Torn != 0 {
		t.Errorf("%+v", g)
	}
}

// The same log is refused: by its fingerprint, and under another by its places.
func TestTheSameLogTwice(t *testing.T) {
	one, err := grown(t, "").Add(dayLog("a.nmea", "00000000000a", 0))
	if err != nil {
		t.Fatal(err)
	}
	for name, log := range map[string]water.Log{
		"is in mine.csv already, as a.nmea of 2026-05-15":    dayLog("other.nmea", "00000000000a", 40),
		"20 of its 20 soundings are in mine.csv already":     dayLog("copy.nmea", "00000000000c", 0),
		"copy.nmea: 20 of its 20 soundings are in mine.csv ": dayLog("copy.nmea", "00000000000c", 0),
	} {
		if _, err := grown(t, string(one)).Add(log); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%v, want %q", err, name)
		}
	}
}

// A last row cut short is left out and told; one that lacks only its end is kept.
func TestTornLastRow(t *testing.T) {
	one, err := grown(t, "").Add(dayLog("a.nmea", "00000000000a", 0))
	if err != nil {
		t.Fatal(err)
	}
	last := len(one) - 1 - bytes.LastIndexByte(one[:len(one)-1], '\n') // of the last row, with its end
	for cut := 1; cut < last; cut++ {
		g := grown(t, string(one[:len(one)-cut]))
		want, torn := 19, 21
		if cut == 1 {
			want, torn = 20, 0
		}
		if len(g.Soundings.List) != want || g.Torn != torn {
			t.Fatalf("%d bytes cut: %d soundings, torn %d", cut, len(g.Soundings.List), g.Torn)
		}
		two, err := g.Add(dayLog("b.nmea", "00000000000b", 20))
		if err != nil || !bytes.HasPrefix(two, one[:len(one)-last]) {
			t.Fatalf("%d bytes cut: %v", cut, err)
		}
		if s := grown(t, string(two)).Soundings; len(s.List) != want+20 {
			t.Fatalf("%d bytes cut: %d soundings", cut, len(s.List))
		}
	}
	for cut := 1; cut < len(grownHead); cut++ { // of the header alone
		g := grown(t, grownHead[:cut])
		if out, err := g.Add(dayLog("b.nmea", "00000000000b", 20)); err != nil || !strings.HasPrefix(string(out), grownHead) {
			t.Fatalf("a header of %d bytes: %v\n%.100s", cut, err, out)
		}
	}
}

func TestOtherFilesDoNotGrow(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"lon,lat,depth_m\n-30,52,4\n", "mine.csv, line 1: \"lon,lat,depth_m\" is not the first line of a survey that windlane has begun"},
		{"\x00\x01", "is not the first line"},
		{grownHead + "-30,52,deep,0,1,2026-05-15,0,a,00000000000a\n", "mine.csv, line 2, depth_m: \"deep\""},
		{grownHead + "-30,52,4,0,1\n-30,52,4,0,1,2026-05-15,0,a,00000000000a\n", "line 2: has 5 cells"},
	} {
		if _, err := water.ReadGrown("mine.csv", []byte(c.text)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
}

// Clean takes a log as the survey would.
func TestClean(t *testing.T) {
	var at [][3]float64
	for y := -450.0; y < 450; y += 4 {
		d := 6.0
		if y == -2 {
			d = 1
		}
		at = append(at, [3]float64{0, y, d})
	}
	w := survey(t, drawn(t, rectangle(-500, -400, 500, 400)), water.Settings{})
	got, err := w.Clean(measured(t, at))
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(got.Remarks, "; ")
	if len(got.List) != 199 || !strings.Contains(said, "left out: 25 of 225") || !strings.Contains(said, "false bottoms, left out: 1 of 200") || len(w.Remarks) != 1 {
		t.Errorf("%d left, remarks %q; the water's %q", len(got.List), said, w.Remarks)
	}
	near(t, "the first", got.List[0], 0, -398, 6)
	if _, err := w.Clean(measured(t, [][3]float64{{9000, 0, 5}})); err == nil {
		t.Error("a log of another water is cleaned")
	}
	back, err := water.ReadSoundings("again.csv", bytes.NewReader(got.Table()))
	if err != nil || len(back.List) != 199 || len(back.Remarks) != 0 || fmt.Sprint(back.List[7]) != fmt.Sprint(got.List[7]) {
		t.Errorf("%v: a table of %d", err, len(back.List))
	}
}

func FuzzReadGrown(f *testing.F) {
	f.Add([]byte(grownHead))
	f.Add([]byte(grownHead + "-30.0000000,52.0000000,4.00,0,00000000000a.1,2026-05-15,0.6,a.nmea,00000000000a\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		g, err := water.ReadGrown("fuzz", b)
		if err != nil {
			return
		}
		if out, err := g.Add(dayLog("b.nmea", "ffffffffffff", 20)); err == nil {
			if again, err := water.ReadGrown("fuzz", out); err != nil || again.Torn != 0 {
				t.Errorf("what was added cannot be read: %v", err)
			}
		}
	})
}
