package water_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"windlane/water"
)

const asciiGrid = `ncols 3
nrows 2
xllcorner -30.0
yllcorner 52.0
cellsize 0.001
NODATA_value -9999
1.5 2.5 -9999
4 5 6
`

func TestReadSoundings(t *testing.T) {
	type sounding struct{ lon, lat, depth float64 }
	for _, c := range []struct {
		name, text string
		want       []sounding
		remark     string
	}{
		{"plain", "lon,lat,depth_m\n-29.99,52.001,4.5\n-29.98,52.002,0\n", []sounding{{-29.99, 52.001, 4.5}, {-29.98, 52.002, 0}}, "no column level_m"},
		{"feet", "Longitude;Latitude;Depth_ft\n-29.99;52.001;10\n", []sounding{{-29.99, 52.001, 3.048}}, "full level"},
		{"level", "lat\tlon\tdepth_m\tlevel_m\n52.001\t-29.99\t4.5\t-0.6\n52.001\t-29.98\t4.5\t0.1\n", []sounding{{-29.99, 52.001, 5.1}, {-29.98, 52.001, 4.4}}, ""},
		{"level in feet", "lon,lat,depth_ft,level_ft\n-29.99,52.001,10,-2\n", []sounding{{-29.99, 52.001, 12 * 0.3048}}, ""},
		{"remarks, more columns", "# from the boat\nlon_deg,lat_deg,x,depth_m,track\n-29.99,52.001,7,4.5,a\n-29.98,52.001,7,5,b\n", []sounding{{-29.99, 52.001, 4.5}, {-29.98, 52.001, 5}}, "full level"},
		// ESRI ASCII grid: the first row is the north row, a corner is half a cell
		// south-west of a centre (ESRI ASCII raster format).
		{"grid", asciiGrid, []sounding{{-29.9995, 52.0005, 4}, {-29.9985, 52.0005, 5}, {-29.9975, 52.0005, 6}, {-29.9995, 52.0015, 1.5}, {-29.9985, 52.0015, 2.5}}, "full level"},
		{"grid by centres", "NCOLS 2\r\nNROWS 1\r\nXLLCENTER -30\r\nYLLCENTER 52\r\nCELLSIZE 0.001\r\n7 -9999\r\n", []sounding{{-30, 52, 7}}, "full level"},
		{"grid, other void", "ncols 2\nnrows 1\nxllcorner -30\nyllcorner 52\ncellsize 0.002\nnodata_value -1\n-1 3", []sounding{{-29.997, 52.001, 3}}, "full level"},
		{"grid, void is no number", "ncols 2\nnrows 1\nxllcorner -30\nyllcorner 52\ncellsize 0.002\nnodata_value nan\nNaN 3", []sounding{{-29.997, 52.001, 3}}, "full level"},
	} {
		s, err := water.ReadSoundings("depths", strings.NewReader(c.text))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := map[string]bool{}
		for _, one := range s.List {
			got[fmt.Sprintf("%.6f %.6f %.6f", one.At.LonDeg, one.At.LatDeg, one.Depth)] = true
		}
		for _, one := range c.want {
			if !got[fmt.Sprintf("%.6f %.6f %.6f", one.lon, one.lat, one.depth)] || len(s.List) != len(c.want) {
				t.Errorf("%s: %v is not among %v", c.name, one, s.List)
			}
		}
		if all := strings.Join(s.Remarks, "; "); !strings.Contains(all, c.remark) || c.remark == "" && all != "" {
			t.Errorf("%s: remarks %q, want %q", c.name, all, c.remark)
		}
	}
}

func TestSoundingsThatAreRefused(t *testing.T) {
	for _, c := range []struct{ name, text, where, advice string }{
		{"empty", "", "depths", "is empty"},
		{"header alone", "lon,lat,depth_m\n", "depths", "no soundings under it"},
		{"no unit", "lon,lat,depth\n-30,52,4\n", "line 1", "call the column depth_m or depth_ft"},
		{"no depth", "lon,lat,z\n-30,52,4\n", "line 1", "depth_m or depth_ft"},
		{"no longitude", "x,lat,depth_m\n-30,52,4\n", "line 1", "must be called lon or longitude"},
		{"no latitude", "lon,y,depth_m\n-30,52,4\n", "line 1", "must be called lat"},
		{"negative", "lon,lat,depth_m\n-30,52,4\n-30,52,-4.5\n", `line 3, depth_m: "-4.5"`, "turn their sign round"},
		{"too deep", "lon,lat,depth_m\n-30,52,20000\n", "line 2, depth_m", "allowed is 0 to 2000"},
		{"word", "lon,lat,depth_m\n-30,52,deep\n", "line 2, depth_m", "is not a number"},
		{"NaN", "lon,lat,depth_m\n-30,52,NaN\n", "line 2, depth_m", "is not a number"},
		{"metres", "lon,lat,depth_m\n430000,52,4\n", "line 2, lon", "allowed is -180 to 180"},
		{"swapped", "lon,lat,depth_m\n52,-130,4\n", "line 2, lat", "allowed is -90 to 90"},
		{"level", "lon,lat,depth_m,level_m\n-30,52,4,300\n", "line 2, level_m", "out of range"},
		{"cells", "lon,lat,depth_m\n-30,52\n", "line 2", "2 cells where the header has 3"},
		{"grid without rows", "ncols 3\nxllcorner 1\n", "nrows", "whole number"},
		{"grid of half a column", "ncols 3.5\nnrows 2\n", "ncols", "whole number"},
		{"grid too large", "ncols 5000\nnrows 5000\ncellsize 1\n", "depths", "allowed are 1000000"},
		{"grid without cell", "ncols 3\nnrows 2\nxllcorner 1\nyllcorner 1\n1 2 3 4 5 6", "cellsize", "in degrees"},
		{"grid without corner", "ncols 3\nnrows 2\ncellsize 0.001\nyllcorner 1\n1 2 3 4 5 6", "xllcorner", "xllcenter"},
		{"grid in metres", "ncols 3\nnrows 2\nxllcorner 430000\nyllcorner 310000\ncellsize 5\n1 2 3 4 5 6", "header", "EPSG:4326"},
		{"grid cut off", strings.TrimSuffix(asciiGrid, "6\n"), "line 8", "ends early: 3 columns of 2 rows are 6 values, row 2 has 2"},
		{"grid with more", asciiGrid + "7", `line 9: "7"`, "after the last of the 6 values"},
		{"grid of heights", strings.Replace(asciiGrid, "2.5", "-2.5", 1), "line 7, column 2", "turn their sign round"},
		{"grid of words", strings.Replace(asciiGrid, "2.5", "deep", 1), "line 7, column 2", "is not a depth"},
		{"grid beyond depth", strings.Replace(asciiGrid, "2.5", "1e300", 1), "line 7, column 2", "0 to 2000 m"},
		{"grid of nothing", "ncols 2\nnrows 1\nxllcorner -30\nyllcorner 52\ncellsize 0.001\n-9999 -9999", "depths", "holds no depth"},
		{"grid header word", "ncols three\n", "ncols", "is not a number"},
		{"binary", "lon\x00", "depths", "not a text file"},
	} {
		s, err := water.ReadSoundings("depths", strings.NewReader(c.text))
		if err == nil {
			t.Errorf("%s: read as %v", c.name, s.List)
			continue
		}
		if s := err.Error(); !strings.Contains(s, c.where) || !strings.Contains(s, c.advice) {
			t.Errorf("%s: %q does not say %q and %q", c.name, s, c.where, c.advice)
		}
	}
	var many bytes.Buffer
	many.WriteString("lon,lat,depth_m\n")
	many.Write(bytes.Repeat([]byte("1,1,1\n"), 500_001))
	if _, err := water.ReadSoundings("depths", &many); err == nil || !strings.Contains(err.Error(), "500001 soundings: allowed are 500000") {
		t.Errorf("half a million and one soundings: %v", err)
	}
}

// Soundings on a grid are no track: nothing is taken for a false bottom.
func TestGridKeepsItsMounds(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("ncols 40\nnrows 40\nxllcorner -30.004\nyllcorner 51.998\ncellsize 0.0001\n")
	for j := range 40 {
		for i := range 40 {
			d := 6.0
			if j%10 == 5 && i%10 == 5 {
				d = 2
			}
			fmt.Fprintf(&b, "%v ", d)
		}
		b.WriteByte('\n')
	}
	s, err := water.ReadSoundings("bed.asc", &b)
	if err != nil {
		t.Fatal(err)
	}
	w := survey(t, drawn(t, rectangle(-300, -250, 50, 260)), water.Settings{Cell: 5, Block: 2}, s)
	if all := strings.Join(w.Remarks, "; "); strings.Contains(all, "false bottom") {
		t.Errorf("remarks %q", all)
	}
	least := math.Inf(1)
	for _, one := range s.List {
		if x, y := w.Plane.XY(one.At); one.Depth == 2 {
			d, _ := w.Depth(x, y)
			least = min(least, float64(d))
		}
	}
	if least > 4.5 {
		t.Errorf("the mounds are %v m deep at best, want some 2 to 4", least)
	}
}

var soundingSeeds = []string{
	"lon,lat,depth_m\n-29.99,52.001,4.5\n",
	"lon;lat;depth_ft;level_ft;track\n-29.99;52.001;4.5;-1;a\n",
	"# x\nlat\tlon\tdepth_m\n52\t-30\t1\n",
}

var gridSeeds = []string{asciiGrid, "ncols 1\nnrows 1\nxllcenter 0\nyllcenter 0\ncellsize 1\n3"}

func TestSoundingSeedsRead(t *testing.T) {
	if len(soundingSeeds) == 0 || len(gridSeeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, s := range append(soundingSeeds, gridSeeds...) {
		if got, err := water.ReadSoundings("seed", strings.NewReader(s)); err != nil || len(got.List) == 0 {
			t.Errorf("%q: %v", s, err)
		}
	}
}

func fuzzSoundings(t *testing.T, b []byte) {
	s, err := water.ReadSoundings("fuzz", bytes.NewReader(b))
	if err != nil {
		if err.Error() == "" {
			t.Error("an error without words")
		}
		return
	}
	if len(s.List) == 0 {
		t.Error("no sounding and no error")
	}
	for _, one := range s.List {
		if !one.At.Valid() || math.IsNaN(one.Depth) || math.Abs(one.Depth) > 4000 {
			t.Fatalf("a sounding %+v", one)
		}
	}
}

func FuzzReadSoundings(f *testing.F) {
	for _, s := range soundingSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(fuzzSoundings)
}

func FuzzReadSoundingsGrid(f *testing.F) {
	for _, s := range gridSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(fuzzSoundings)
}
