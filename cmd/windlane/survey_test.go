package main

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"windlane/demo"
	"windlane/water"
)

const theLog = demo.LogFile

func surveyed(t *testing.T, args ...string) screen {
	t.Helper()
	return typeIn("", append([]string{"survey", "--lake", demo.OutlineFile, "--soundings", demo.SoundingsFile}, args...)...)
}

func copyOf(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A day's log goes to the end of a survey, and what is thin is told by place.
func TestSurveyAsYouGo(t *testing.T) {
	kitchen(t)
	got := surveyed(t, "--add", theLog, "--into", "mine.csv", "--drawdown", "0.3 m", "--geojson", "thin.geojson", "--cells", "bed.csv")
	if got.code != exitFine || got.err != "" {
		t.Fatalf("code %d %s", got.code, got.err)
	}
	for _, say := range []string{"Osmerley Water, 1091 acres", "Added to mine.csv: ", "soundings of sounder.nmea, 2027-04-24", "Not sounded:", "; before it was", "Leave-track-out: off by ",
		"Still to be sounded", "by the reserve", "acres", "the hump", "damaged sentences, not used: 1 of", "false bottoms, left out"} {
		if !strings.Contains(got.out, say) {
			t.Errorf("does not say %q:\n%s", say, got.out)
		}
	}
	if strings.Count(got.out, "damaged sentences") != 1 {
		t.Errorf("said twice:\n%s", got.out)
	}
	one := copyOf(t, "mine.csv")
	if !strings.HasPrefix(string(one), "lon,lat,depth_m,level_m,track,date,drawdown_m,source,log\n") || strings.Count(string(one), ",2027-04-24,0.3,sounder.nmea,") != bytes.Count(one, []byte("\n"))-1 {
		t.Errorf("%.300s", one)
	}
	// What was added is read by any command as it was brought to full level.
	s, err := water.ReadSoundings("mine.csv", bytes.NewReader(one))
	log, err2 := water.Taken{Drawdown: 0.3}.ReadSoundings(theLog, bytes.NewReader(copyOf(t, theLog)))
	if err != nil || err2 != nil || s.List[0].Depth-log.List[0].Depth > 0.006 || len(s.List) < len(log.List)*9/10 || len(s.Remarks) != 0 {
		t.Errorf("%v, %v: %d of %d, %v and %v", err, err2, len(s.List), len(log.List), s.List[0], log.List[0])
	}
	var patches struct {
		Features []struct {
			Properties map[string]any
			Geometry   struct{ Type string }
		}
	}
	if err := json.Unmarshal(copyOf(t, "thin.geojson"), &patches); err != nil || len(patches.Features) < 3 || patches.Features[0].Geometry.Type != "MultiPolygon" || patches.Features[0].Properties["where"] == "" {
		t.Errorf("%v: %d patches", err, len(patches.Features))
	}
	if cells := copyOf(t, "bed.csv"); bytes.Count(cells, []byte("\n")) < 10_000 || !strings.HasPrefix(string(cells), "lon,lat,depth_m,from_sounding_m,sounded,drop_off,mound_m\n") {
		t.Errorf("%.200s", cells)
	}
	// The bed's cells are soundings themselves, to whoever wants them so.
	if s, err := water.ReadSoundings("bed.csv", bytes.NewReader(copyOf(t, "bed.csv"))); err != nil || len(s.List) < 10_000 {
		t.Errorf("%v", err)
	}

	// The same log, also under another name and line ends, is refused; nothing changes.
	if err := os.WriteFile("copy.nmea", bytes.ReplaceAll(copyOf(t, theLog), []byte("\r\n"), []byte("\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	for name, say := range map[string]string{theLog: "is in mine.csv already, as sounder.nmea of 2027-04-24", "copy.nmea": "soundings are in mine.csv already"} {
		got := surveyed(t, "--add", name, "--into", "mine.csv", "--drawdown", "0.3 m", "--json")
		if got.code != exitInput || !strings.Contains(got.err, say) || !strings.Contains(got.out, `{"id":"survey","error":{`) {
			t.Errorf("%s: code %d %s%s", name, got.code, got.out, got.err)
		}
	}
	if !bytes.Equal(copyOf(t, "mine.csv"), one) {
		t.Error("a refused log changed the survey")
	}

	// Another day, told no date by its log; the file alone is named; the last row is torn.
	if err := os.WriteFile("mine.csv", one[:len(one)-9], 0o644); err != nil {
		t.Fatal(err)
	}
	other := "lon,lat,depth_m\n-14.62,52.617,9\n-14.6201,52.617,9\n"
	if err := os.WriteFile("other.csv", []byte(other), 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"survey", "--lake", demo.OutlineFile, "--soundings", "mine.csv", "--add", "other.csv"}
	if got := typeIn("", args...); got.code != exitInput || !strings.Contains(got.err, "tells no date: say the day it was taken with --date") {
		t.Errorf("code %d %s", got.code, got.err)
	}
	got = typeIn("", append(args, "--date", "2027-05-02", "--json")...)
	if got.code != exitFine || !strings.Contains(got.out, `"added":{"log":"other.csv","date":"2027-05-02","soundings":2,"into":"mine.csv"}`) || !strings.Contains(got.out, "was cut short, and left out") {
		t.Errorf("code %d %s%.600s", got.code, got.err, got.out)
	}
	two := copyOf(t, "mine.csv")
	var report struct{ Answer struct{ Soundings int } }
	if strings.Contains(got.out, water.NotSoundedRemark) {
		t.Errorf("the share not sounded is told twice:\n%.900s", got.out)
	}
	// Each row counts once, but for false bottoms.
	if rows := bytes.Count(two, []byte("\n")) - 1; json.Unmarshal([]byte(got.out), &report) != nil || report.Answer.Soundings > rows || report.Answer.Soundings < rows*9/10 {
		t.Errorf("%d soundings of %d rows", report.Answer.Soundings, rows)
	}
	if kept := one[:bytes.LastIndexByte(one[:len(one)-1], '\n')+1]; !bytes.HasPrefix(two, kept) || bytes.Count(two[len(kept):], []byte("\n")) != 2 {
		t.Errorf("after the torn row: %.300s", two[len(two)-300:])
	}
	leftovers(t, 0)
	// A day is planned from it.
	if got := typeIn("", "day", "--lake", demo.OutlineFile, "--soundings", "mine.csv", "--forecast", demo.ForecastFile, "--bag", demo.BagFile, "--day", demo.DayFile, "--cell", "40 m", "--json"); got.code != exitFine {
		t.Errorf("code %d %s", got.code, got.err)
	}
}

// leftovers counts files that were begun beside a place and not put there.
func leftovers(t *testing.T, want int) {
	t.Helper()
	if names, err := filepath.Glob(".windlane-*"); err != nil || len(names) != want {
		t.Errorf("left behind: %v", names)
	}
}

func TestSurveyRefusals(t *testing.T) {
	kitchen(t)
	lake := []string{"--lake", demo.OutlineFile}
	depths := append(lake, "--soundings", demo.SoundingsFile)
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"--lake: is missing", "--demo"}},
		{[]string{"--demo", "--lake", demo.OutlineFile}, []string{"--demo"}},
		{append(depths, "--cell", "1 m"), []string{`--cell "1 m"`, "2 to 50 m"}},
		{append(depths, "--into", "x.csv"), []string{`--into "x.csv"`, "--add"}},
		{append(lake, "--add", theLog), []string{"--into: is missing"}},
		{append(depths, "--drawdown", "1 ft"), []string{"--drawdown", "--add"}},
		{append(depths, "--add", theLog, "--into", "x.csv", "--drawdown=-1"), []string{`--drawdown "-1"`, "0 (full) and more"}},
		{append(depths, "--add", theLog, "--into", "x.csv", "--transducer=-1"), []string{`--transducer "-1"`}},
		{append(depths, "--add", theLog, "--into", "x.csv", "--transducer", "90 ft"), []string{"transducer's depth", "0 to 10 m"}},
		{append(depths, "--add", theLog, "--into", "x.csv", "--date", "yesterday"), []string{`--date "yesterday"`, "2026-05-15"}},
		{append(depths, "--add", theLog, "--into", "x.csv", "--date", "2026-05-15"), []string{"the log itself says 2027-04-24"}},
		{append(depths, "--add", "none.nmea", "--into", "x.csv"), []string{"none.nmea: no such file"}},
		{append(depths, "--add", theLog), []string{demo.SoundingsFile, "is not the first line of a survey that windlane has begun", "name a new file"}},
		{append(depths, "--add", theLog, "--into", filepath.Join("none", "x.csv")), []string{"cannot write", "none"}},
		{append(depths, "--add", theLog, "--into", "."), []string{".: is a directory"}},
		{append(lake, "--soundings", "none.csv"), []string{"none.csv: no such file"}},
		{append(lake, "--soundings", demo.BagFile), []string{demo.BagFile + ", line 3"}},
		{[]string{"--lake", demo.BagFile}, []string{demo.BagFile, "is not JSON"}},
	} {
		got := typeIn("", append([]string{"survey"}, c.args...)...)
		if got.code != exitInput || got.out != "" {
			t.Errorf("%v: code %d %s", c.args, got.code, got.out)
		}
		for _, say := range c.says {
			if !strings.Contains(got.err, say) {
				t.Errorf("%v: %q does not say %q", c.args, got.err, say)
			}
		}
		if _, err := os.Stat("x.csv"); err == nil {
			t.Fatalf("%v: wrote a survey", c.args)
		}
	}
	leftovers(t, 0)
}

// The old file stays whole until the new one is on the disk, and is left alone if
// somebody else has written to it meanwhile.
func TestSurveyIsReplacedWhole(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("real.csv", nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.csv", "mine.csv"); err != nil {
		t.Fatal(err)
	}
	g, err := openGrown("mine.csv")
	if err != nil {
		t.Fatal(err)
	}
	if err := g.replace([]byte("new\n")); err != nil || string(copyOf(t, "real.csv")) != "new\n" {
		t.Errorf("%v: %s", err, copyOf(t, "real.csv"))
	}
	if info, err := os.Lstat("mine.csv"); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Error("a link to the survey was written over")
	}
	if info, _ := os.Stat("real.csv"); info.Mode().Perm() != 0o600 {
		t.Errorf("its mode is %v now", info.Mode())
	}
	if err := g.replace([]byte("other\n")); err == nil || !strings.Contains(err.Error(), "was changed by somebody else") || string(copyOf(t, "real.csv")) != "new\n" {
		t.Errorf("%v: %s", err, copyOf(t, "real.csv"))
	}
	leftovers(t, 0)
}

// A GeoTIFF is brought to the engine as a table.
func TestBringGeoTIFF(t *testing.T) {
	f, err := bringDepths(filepath.Join("..", "..", "refdata", "geotiff", "utm_none.tif"))
	if err != nil || f.Name != "utm_none.tif" || !strings.HasPrefix(f.Text, "lon,lat,depth_m,level_m,track\n") || strings.Count(f.Text, "\n") != 428 {
		t.Errorf("%v: %.200s", err, f.Text)
	}
	if _, err := bringDepths(filepath.Join("..", "..", "refdata", "geotiff", "zstd.tif")); err == nil || !strings.Contains(err.Error(), "zstd.tif, Compression") {
		t.Errorf("%v", err)
	}
}
