package render

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// refdata/colour/SOURCE.md says where each of these tables is from.
func colourTable(t *testing.T, name string, rows int) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "refdata", "colour", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) != rows+1 {
		t.Fatalf("%s: %d rows, want %d: %v", name, len(all)-1, rows, err)
	}
	return all[1:]
}

// palettes are the tokens of page.css by day and by night, as hex digits.
func palettes(t *testing.T) map[string]map[string]string {
	t.Helper()
	blocks := regexp.MustCompile(`(?s):root\{[^}]*\}`).FindAllString(pageCSS, -1)
	if len(blocks) != 3 {
		t.Fatalf("found %d palettes, want day, night and print", len(blocks))
	}
	out := map[string]map[string]string{}
	for i, name := range []string{"day", "night"} {
		out[name] = map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z0-9-]+):#([0-9A-F]{6})\b`).FindAllStringSubmatch(blocks[i], -1) {
			out[name][m[1]] = m[2]
		}
	}
	return out
}

// The colours are the published ones: Okabe and Ito's for the flies and the
// cautions, Brewer's BrBG 9 and 8 for belief. By night a caution has half its yellow.
func TestPaletteIsThePublishedOne(t *testing.T) {
	published := map[string]string{}
	for _, r := range colourTable(t, "okabe-ito.csv", 8) {
		var v [3]int
		for i := range v {
			n, err := strconv.Atoi(r[i+1])
			if err != nil {
				t.Fatal(err)
			}
			v[i] = n
		}
		published[r[0]] = fmt.Sprintf("%02X%02X%02X", v[0], v[1], v[2])
	}
	for _, r := range colourTable(t, "brbg.csv", 9) {
		published["BrBG "+r[0]] = r[1]
	}
	all := palettes(t)
	for _, want := range []struct{ palette, token, name string }{
		{"day", "fly1", "vermillion"}, {"day", "fly2", "blue"}, {"day", "mind", "yellow"}, {"day", "belief", "BrBG 9"},
		{"night", "fly1", "orange"}, {"night", "fly2", "sky blue"}, {"night", "belief", "BrBG 8"},
	} {
		if got := all[want.palette][want.token]; got != published[want.name] || got == "" {
			t.Errorf("%s: %s is #%s, %s is #%s", want.palette, want.token, got, want.name, published[want.name])
		}
	}
}

// Whatever lies over or beside one another keeps its distance to every eye. Colour
// is never all: each fly has its own line and mark, each path an edge of ink. The
// tritan maps are the least sure, and blue over teal is the nearest pair.
func TestPaletteIsToldApart(t *testing.T) {
	cones := map[string][3][3]float64{"all": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}
	for i, r := range colourTable(t, "machado-2009.csv", 9) {
		m := cones[r[0]]
		for k := range 3 {
			v, err := strconv.ParseFloat(r[k+2], 64)
			if err != nil {
				t.Fatal(err)
			}
			m[i%3][k] = v
		}
		if sum := m[i%3][0] + m[i%3][1] + m[i%3][2]; math.Abs(sum-1) > 2e-6 { // white stays white
			t.Errorf("%s, %s: the row sums to %v", r[0], r[1], sum)
		}
		cones[r[0]] = m
	}
	pairs := []struct {
		a, b  string
		least map[string]float64 // CIE 1976; what the palette reaches, rounded down
	}{
		{"fly1", "fly2", map[string]float64{"all": 110, "protan": 90, "deutan": 105, "tritan": 85}},
		{"fly1", "belief", map[string]float64{"all": 90, "protan": 50, "deutan": 70, "tritan": 80}},
		{"fly2", "belief", map[string]float64{"all": 35, "protan": 30, "deutan": 30, "tritan": 12}},
		{"belief", "ink", map[string]float64{"all": 35, "protan": 30, "deutan": 28, "tritan": 35}},
		{"belief", "paper", map[string]float64{"all": 60, "protan": 55, "deutan": 50, "tritan": 60}},
		{"fly1", "paper", map[string]float64{"all": 85, "protan": 70, "deutan": 70, "tritan": 80}},
		{"fly2", "paper", map[string]float64{"all": 65, "protan": 60, "deutan": 70, "tritan": 55}},
		{"mind", "paper", map[string]float64{"all": 70, "protan": 80, "deutan": 70, "tritan": 20}},
	}
	compared := 0
	for name, tokens := range palettes(t) {
		for _, p := range pairs {
			for eye, m := range cones {
				compared++
				got := distance(t, tokens[p.a], tokens[p.b], m)
				if got < p.least[eye] || p.least[eye] < 12 {
					t.Errorf("%s, %s: %s and %s are %.0f apart, want %.0f", name, eye, p.a, p.b, got, p.least[eye])
				}
			}
		}
	}
	if compared != 2*len(pairs)*4 {
		t.Errorf("compared %d", compared)
	}
	marks := map[string]bool{}
	for _, m := range flyMarks(washing().Flies) {
		marks[fmt.Sprint(m.shape, m.dash)] = true
	}
	if len(marks) != 3 {
		t.Errorf("three flies have %d marks and lines", len(marks))
	}
}

// distance is that of two sRGB colours as seen through a map of linear sRGB.
func distance(t *testing.T, a, b string, m [3][3]float64) float64 {
	t.Helper()
	x, y := lab(t, a, m), lab(t, b, m)
	return math.Sqrt(math.Pow(x[0]-y[0], 2) + math.Pow(x[1]-y[1], 2) + math.Pow(x[2]-y[2], 2))
}

func lab(t *testing.T, hex string, m [3][3]float64) [3]float64 {
	t.Helper()
	if len(hex) != 6 {
		t.Fatalf("no colour: %q", hex)
	}
	var rgb, seen, xyz [3]float64
	for i := range 3 {
		v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		rgb[i] = linear(float64(v) / 255)
	}
	// IEC 61966-2-1, to the white of D65
	toXYZ := [3][3]float64{{0.4124564, 0.3575761, 0.1804375}, {0.2126729, 0.7151522, 0.0721750}, {0.0193339, 0.1191920, 0.9503041}}
	white := [3]float64{0.95047, 1, 1.08883}
	f := [3]float64{}
	for i := range 3 {
		for k := range 3 {
			seen[i] += m[i][k] * rgb[k]
		}
		seen[i] = math.Min(1, math.Max(0, seen[i]))
	}
	for i := range 3 {
		for k := range 3 {
			xyz[i] += toXYZ[i][k] * seen[k]
		}
		if v := xyz[i] / white[i]; v > 216.0/24389 {
			f[i] = math.Cbrt(v)
		} else {
			f[i] = (24389.0/27*v + 16) / 116
		}
	}
	return [3]float64{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

// linear is the light of an sRGB value. [1]
func linear(c float64) float64 {
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

// The sums of the distance against figures of others: black to white is 100 by
// definition, and pure red to pure green 170.6 (from memory, many calculators).
func TestDistanceOfKnownColours(t *testing.T) {
	one := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for pair, want := range map[string]float64{"000000 FFFFFF": 100, "FF0000 00FF00": 170.6} {
		a, b, _ := strings.Cut(pair, " ")
		if got := distance(t, a, b, one); math.Abs(got-want) > 0.2 {
			t.Errorf("%s: %.2f, want %.1f", pair, got, want)
		}
	}
}
