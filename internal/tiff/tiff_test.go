package tiff

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func read(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "refdata", "geotiff", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// made are images that GDAL wrote, and the value of each pixel (refdata/geotiff/SOURCE.md).
var made = []struct {
	name string
	w, h int
	at   func(i, j int) float64
}{
	{"utm_none.tif", 19, 23, slope}, {"utm_deflate3_tiles.tif", 19, 23, slope}, {"utm_lzw3_64.tif", 19, 23, slope},
	{"utm_lzw_big.tif", 19, 23, slope}, {"utm_point.tif", 19, 23, slope}, {"south_packbits.tif", 7, 5, slope},
	{"geo_int16_lzw2.tif", 19, 23, whole}, {"geo_int32_deflate2_big.tif", 19, 23, whole},
	{"rough_uint16_lzw.tif", 120, 90, func(i, j int) float64 {
		if v := (i*i*7 + j*j*13 + i*j*5) % 1999; v != 0 {
			return float64(v)
		}
		return math.NaN()
	}},
}

func slope(i, j int) float64 {
	if i+j < 4 {
		return math.NaN()
	}
	return 2 + 0.25*float64(i) + 0.5*float64(j)
}

func whole(i, j int) float64 { return math.RoundToEven(slope(i, j)) }

// Reference: GDAL 3.6.2, refdata/geotiff.
func TestAgainstGDAL(t *testing.T) {
	for _, c := range made {
		m, err := Decode(c.name, read(t, c.name), 1_000_000)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if m.W != c.w || m.H != c.h || len(m.Values) != c.w*c.h || len(m.Tie) != 6 || len(m.Scale) != 3 || len(m.GeoKeys) < 8 {
			t.Errorf("%s: %d by %d, tie %v, scale %v", c.name, m.W, m.H, m.Tie, m.Scale)
			continue
		}
		for k, v := range m.Values {
			if want := c.at(k%c.w, k/c.w); v != want && !(v != v && want != want) {
				t.Errorf("%s: pixel %d is %v, want %v", c.name, k, v, want)
				break
			}
		}
	}
}

func TestRefused(t *testing.T) {
	whole := read(t, "utm_none.tif")
	with := func(tag uint16, value uint16) []byte {
		b := bytes.Clone(whole)
		at := int(binary.LittleEndian.Uint32(b[4:]))
		for i := range int(binary.LittleEndian.Uint16(b[at:])) {
			e := b[at+2+12*i:]
			if binary.LittleEndian.Uint16(e) == tag {
				binary.LittleEndian.PutUint16(e[8:], value)
				return b
			}
		}
		t.Fatalf("no tag %d", tag)
		return nil
	}
	for _, c := range []struct {
		name string
		b    []byte
		says string
	}{
		{"short", whole[:7], "is no TIFF"},
		{"no TIFF", []byte("GIF89a......"), "is no TIFF"},
		{"big", read(t, "big.tif"), "BigTIFF"},
		{"directory cut off", whole[:20], "ends early"},
		{"pixels cut off", append(bytes.Clone(whole[:8]), whole[8:len(whole)-900]...), "cut off"},
		{"zstd", read(t, "zstd.tif"), "Compression: \"50000\" is not read"},
		{"three bands", read(t, "three_bands.tif"), "SamplesPerPixel: \"3\" is not 1"},
		{"scaled", read(t, "scaled.tif"), "scaled"},
		{"wide", with(imageWidth, 60000), "allowed are 1000000"},
		{"no width", with(imageWidth, 0), "ImageWidth"},
		{"wrong width", with(imageWidth, 25), "gives 1748 bytes where 2300 make the pixels"},
		{"samples", with(sampleFormat, 6), "BitsPerSample"},
		{"lzw that is none", with(compression, 5), "bytes where"},
		{"deflate that is none", with(compression, 8), "deflate"},
	} {
		if _, err := Decode("bed.tif", c.b, 1_000_000); err == nil || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "bed.tif") {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
	if _, err := Decode("bed.tif", whole, 400); err == nil || !strings.Contains(err.Error(), "are 437 cells: allowed are 400") {
		t.Errorf("too large: %v", err)
	}
}

func FuzzDecode(f *testing.F) {
	names, err := filepath.Glob("../../refdata/geotiff/*.tif")
	if err != nil || len(names) < 10 {
		f.Fatalf("%d seeds, %v", len(names), err)
	}
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		if len(b) < 3000 {
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := Decode("fuzz", b, 10_000)
		if err == nil && (m.W < 1 || m.H < 1 || len(m.Values) != m.W*m.H) {
			t.Errorf("%d by %d, %d values", m.W, m.H, len(m.Values))
		}
	})
}
