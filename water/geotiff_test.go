package water_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/wroge/wgs84"

	"windlane/water"
)

func geotiff(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("../refdata/geotiff/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Reference: refdata/geotiff, written by GDAL 3.6.2; places by PROJ (SOURCE.md).
func TestGeoTIFF(t *testing.T) {
	for _, c := range []struct {
		name string
		n    int
		last float64 // depth of the south-east cell
	}{
		{name: "utm_none.tif", n: 427, last: 17.5}, {name: "utm_deflate3_tiles.tif", n: 427, last: 17.5},
		{name: "utm_lzw3_64.tif", n: 427, last: 17.5}, {name: "utm_lzw_big.tif", n: 427, last: 17.5}, {name: "utm_point.tif", n: 427, last: 17.5},
		{name: "south_packbits.tif", n: 25, last: 5.5}, {name: "geo_int16_lzw2.tif", n: 427, last: 18}, {name: "geo_int32_deflate2_big.tif", n: 427, last: 18},
	} {
		s, err := water.ReadSoundings(c.name, bytes.NewReader(geotiff(t, c.name)))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(s.List) != c.n || !strings.Contains(strings.Join(s.Remarks, ";"), "full level") {
			t.Errorf("%s: %d soundings, %q", c.name, len(s.List), s.Remarks)
			continue
		}
		lon, lat := -27.9974522103246, 52.4360130158257
		switch {
		case strings.HasPrefix(c.name, "south"):
			lon, lat = -11.9942388885692, -53.2115983160085
		case strings.HasPrefix(c.name, "geo"):
			lon, lat = -30.001+18.5e-4, 52.00005
		}
		found := false
		for _, one := range s.List {
			if math.Abs(one.At.LonDeg-lon) < 1e-9 && math.Abs(one.At.LatDeg-lat) < 1e-9 {
				found = true
				if one.Depth != c.last {
					t.Errorf("%s: %v m in the south-east, want %v", c.name, one.Depth, c.last)
				}
			}
		}
		if !found {
			t.Errorf("%s: no sounding at %v, %v", c.name, lon, lat)
		}
	}
}

// A second implementation: github.com/wroge/wgs84 v1.1.7, whose series is good to
// about 4 mm here (PROJ, above, agrees to a tenth of one).
func TestUTMAgainstAnotherLibrary(t *testing.T) {
	s, err := water.ReadSoundings("utm", bytes.NewReader(geotiff(t, "utm_none.tif")))
	if err != nil {
		t.Fatal(err)
	}
	to := wgs84.To(wgs84.UTM(26, true))
	compared := 0
	for _, one := range s.List {
		e, n, _ := to(one.At.LonDeg, one.At.LatDeg, 0)
		// Every cell's centre is a multiple of 5 m and 2.5 more.
		if math.Abs(math.Remainder(e-2.5, 5)) > 5e-3 || math.Abs(math.Remainder(n-2.5, 5)) > 5e-3 || e < 432100 || e > 432195 || n < 5810000 || n > 5810115 {
			t.Fatalf("%v is at %.4f, %.4f", one.At, e, n)
		}
		compared++
	}
	if compared < 400 {
		t.Errorf("%d compared", compared)
	}
}

func TestGeoTIFFsThatAreRefused(t *testing.T) {
	whole := geotiff(t, "utm_none.tif")
	swap := func(from, to []byte) []byte {
		if bytes.Count(whole, from) == 0 {
			t.Fatalf("%x is not in the file", from)
		}
		return bytes.ReplaceAll(whole, from, to)
	}
	f32 := func(v float32) []byte { return binary.LittleEndian.AppendUint32(nil, math.Float32bits(v)) }
	f64 := func(v float64) []byte { return binary.LittleEndian.AppendUint64(nil, math.Float64bits(v)) }
	for _, c := range []struct {
		name string
		b    []byte
		says []string
	}{
		{"another map", geotiff(t, "other_map.tif"), []string{"GeoKeyDirectory", "EPSG:2154", "EPSG:4326", "UTM"}},
		{"no map", geotiff(t, "no_map.tif"), []string{"GeoKeyDirectory", "is missing"}},
		{"big", geotiff(t, "big.tif"), []string{"BigTIFF"}},
		{"a picture", geotiff(t, "three_bands.tif"), []string{"SamplesPerPixel", "one band"}},
		{"heights", swap(f32(17.5), f32(-17.5)), []string{"row 23, column 19", "-17.5", "turn their sign round"}},
		{"too deep", swap(f32(17.5), f32(9000)), []string{"row 23, column 19", "0 to 2000 m"}},
		{"no width of a pixel", swap(f64(5), f64(0)), []string{"ModelPixelScale"}},
		{"off the map", swap(f64(432100), f64(1e8)), []string{"ModelTiepoint", "off the map"}},
		{"cut off", whole[:700], []string{"beyond the end of the file"}},
	} {
		_, err := water.ReadSoundings("bed.tif", bytes.NewReader(c.b))
		if err == nil {
			t.Errorf("%s: read", c.name)
			continue
		}
		for _, say := range append(c.says, "bed.tif") {
			if !strings.Contains(err.Error(), say) {
				t.Errorf("%s: %q does not say %q", c.name, err, say)
			}
		}
	}
	if _, err := (water.Taken{Transducer: 0.3}).ReadSoundings("bed.tif", bytes.NewReader(whole)); err == nil || !strings.Contains(err.Error(), "no sounder's log") {
		t.Errorf("a transducer of a grid: %v", err)
	}
	low, err := (water.Taken{Drawdown: 0.5}).ReadSoundings("bed.tif", bytes.NewReader(whole))
	if err != nil || low.List[18].Depth != 18 {
		t.Errorf("taken half a metre down: %v", err)
	}
}

func FuzzReadSoundingsGeoTIFF(f *testing.F) {
	for _, name := range []string{"utm_none.tif", "utm_lzw3_64.tif", "south_packbits.tif", "geo_int16_lzw2.tif"} {
		f.Add(geotiff(f, name))
	}
	f.Fuzz(fuzzSoundings)
}
