package water_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/geodesy"
	"windlane/grid"
	"windlane/quantity"
	"windlane/water"
)

func outline(t testing.TB, text string) *water.Outline {
	t.Helper()
	o, err := water.ReadOutline("lake.geojson", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func outlineFile(t testing.TB, name string) *water.Outline {
	t.Helper()
	f, err := os.Open("../refdata/water/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	o, err := water.ReadOutline(name, f)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Reference: refdata/water/test_lake_with_island.geojson, net area 35 842 390.2
// m² on the ellipsoid by pyproj.
func TestAreaAgainstReference(t *testing.T) {
	o := outlineFile(t, "test_lake_with_island.geojson")
	shore, _ := o.On(geodesy.NewPlane(o.Centre()))
	if got, want := planar.Area(shore), 35842390.2; math.Abs(got/want-1) > 2e-6 {
		t.Errorf("area %.1f m², want %.1f", got, want)
	}
	if got, want := planar.Length(shore), 29458.03; math.Abs(got/want-1) > 1e-5 {
		t.Errorf("shore of %.2f m, want %.2f", got, want)
	}
	if o.Name != "test water" || len(o.Remarks) != 0 {
		t.Errorf("name %q, remarks %q", o.Name, o.Remarks)
	}
}

type fetchReference struct {
	Points []struct {
		XY    orb.Point `json:"xy"`
		Fetch []float64 `json:"fetch_m_from_000_step_10deg"`
		Shore float64   `json:"to_shore_m"`
	}
}

func readFetch(t *testing.T) fetchReference {
	t.Helper()
	raw, err := os.ReadFile("../refdata/water/fetch.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref fetchReference
	if err := json.Unmarshal(raw, &ref); err != nil {
		t.Fatal(err)
	}
	if len(ref.Points) != 6 {
		t.Fatalf("%d points, want 6", len(ref.Points))
	}
	return ref
}

// noteXY is the reference's own plane, as the note in lake_medium.geojson has
// it: radii of the meridian and the prime vertical at latitude 52, WGS 84.
func noteXY() (east, north float64) {
	const a, f = 6378137.0, 1 / 298.257223563
	e2 := f * (2 - f)
	s, c := math.Sincos(52 * math.Pi / 180)
	w := math.Sqrt(1 - e2*s*s)
	return a / w * c * math.Pi / 180, a * (1 - e2) / (w * w * w) * math.Pi / 180
}

// Reference: refdata/water/fetch.json, exact rays of our own prototype. On its
// own plane it must come out to the decimetre printed, plus the centimetre that
// seven decimals of a degree leave; on the ellipsoid within what its plane's
// neglect of narrowing meridians makes (0.04 % of a length 2 km north of the
// origin, which shifts grazing rays more).
func TestFetchAgainstReference(t *testing.T) {
	o := outlineFile(t, "lake_medium.geojson")
	ref := readFetch(t)
	east, north := noteXY()
	flat := o.Shore.Clone()
	for _, p := range flat {
		for _, r := range p {
			for i := range r {
				r[i] = orb.Point{(r[i][0] + 30) * east, (r[i][1] - 52) * north}
			}
		}
	}
	from := make([]quantity.From, 36)
	for d := range from {
		from[d] = quantity.FromDegrees(float64(10 * d))
	}
	compared := 0
	var off []float64
	for _, p := range ref.Points {
		if d := grid.ToEdge(flat, p.XY); math.Abs(d-p.Shore) > 0.1 {
			t.Errorf("%v: %v m to the shore, want %v", p.XY, d, p.Shore)
		}
		got, ok := o.Fetch(geodesy.Position{LonDeg: -30 + p.XY[0]/east, LatDeg: 52 + p.XY[1]/north}, from)
		if !ok {
			t.Fatalf("%v is not on the water", p.XY)
		}
		for d, want := range p.Fetch {
			compared++
			if ray := grid.Ray(flat, p.XY, float64(from[d])); math.Abs(ray-want) > 0.15 {
				t.Errorf("%v toward %v: %v m on its plane, want %v", p.XY, 10*d, ray, want)
			}
			off = append(off, math.Abs(got[d]-want)/want)
		}
	}
	slices.Sort(off)
	if compared != 216 || off[len(off)*9/10] > 1e-3 || off[len(off)-1] > 0.02 {
		t.Errorf("%d rays compared; nine in ten within %.2g, all within %.2g", compared, off[len(off)*9/10], off[len(off)-1])
	}
	if _, ok := o.Fetch(geodesy.Position{LonDeg: -30, LatDeg: 53}, from); ok {
		t.Error("a place on land has a fetch")
	}
}

const (
	box    = `[[-30,52],[-29.98,52],[-29.98,52.01],[-30,52.01],[-30,52]]`
	island = `[[-29.99,52.004],[-29.99,52.006],[-29.985,52.006],[-29.985,52.004],[-29.99,52.004]]`
)

func featureOf(properties, shape, coordinates string) string {
	return fmt.Sprintf(`{"type":"Feature","properties":%s,"geometry":{"type":%q,"coordinates":%s}}`, properties, shape, coordinates)
}

func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

// What is mended, and the remark that says so.
func TestOutlinesThatAreMended(t *testing.T) {
	shore := featureOf(`{"kind":"shoreline","name":"Mere"}`, "Polygon", "["+box+"]")
	cases := []struct {
		name, text      string
		waters, islands int
		places          int
		remark          string
	}{
		{"bare polygon", `{"type":"Polygon","coordinates":[` + box + `]}`, 1, 0, 0, ""},
		{"bare multipolygon", `{"type":"MultiPolygon","coordinates":[[` + box + `,` + island + `]]}`, 1, 1, 0, ""},
		{"feature", shore, 1, 0, 0, ""},
		{"byte order mark", "\ufeff" + shore, 1, 0, 0, ""},
		{"altitude", `{"type":"Polygon","coordinates":[[[-30,52,7],[-29.98,52,7],[-29.98,52.01,7],[-30,52,7]]]}`, 1, 0, 0, ""},
		{"not closed", `{"type":"Polygon","coordinates":[[[-30,52],[-29.98,52],[-29.98,52.01]]]}`, 1, 0, 0, "not closed"},
		{"clockwise", `{"type":"Polygon","coordinates":[[[-30,52],[-29.98,52.01],[-29.98,52],[-30,52]]]}`, 1, 0, 0, "wrong way"},
		{"doubled", `{"type":"Polygon","coordinates":[[[-30,52],[-29.98,52],[-29.98,52],[-29.98,52.01],[-30,52]]]}`, 1, 0, 0, "twice in a row"},
		{"island as a polygon", collection(shore, featureOf(`{"kind":"island"}`, "Polygon", "["+island+"]")), 1, 1, 0, "wrong way"},
		{"island as another water", collection(shore, featureOf(`{"kind":"shoreline"}`, "Polygon", "["+island+"]")), 1, 1, 0, "feature 2 lies in the water of feature 1 and was taken as an island"},
		{"island first", collection(featureOf(`{"kind":"shoreline"}`, "Polygon", "["+island+"]"), shore), 1, 1, 0, "feature 1 lies in the water of feature 2"},
		{"stray island", collection(shore, featureOf(`{"kind":"island"}`, "Polygon", "[[[-29,52],[-28.9,52],[-28.9,52.1],[-29,52]]]")), 1, 0, 0, "does not lie in the water"},
		{"drawn twice", collection(shore, shore), 1, 0, 0, "drawn twice"},
		{"drawn twice, begun elsewhere", collection(shore, featureOf(`{"kind":"shoreline"}`, "Polygon", "[[[-29.98,52],[-29.98,52.01],[-30,52.01],[-30,52],[-29.98,52]]]")), 1, 0, 0, "drawn twice"},
		{"two waters", collection(shore, featureOf(`{"kind":"shoreline"}`, "Polygon", "[[[-29.97,52],[-29.96,52],[-29.96,52.01],[-29.97,52]]]")), 2, 0, 0, ""},
		{"no geometry", collection(shore, `{"type":"Feature","properties":null,"geometry":null}`), 1, 0, 0, "feature 2 has no geometry"},
		{"closed line", featureOf(`{"kind":"shoreline"}`, "LineString", box), 1, 0, 0, "closed line"},
		{"polygon of no kind beside the shore", collection(shore, featureOf(`{}`, "Polygon", "["+island+"]")), 1, 0, 1, ""},
		{"far place", collection(shore, featureOf(`{"kind":"jetty"}`, "Point", "[52,-30]")), 1, 0, 0, "feature 2 (jetty) lies more than 20 km"},
		{"antimeridian", `{"type":"Polygon","coordinates":[[[179.99,52],[-179.99,52],[-179.99,52.01],[179.99,52.01],[179.99,52]]]}`, 1, 0, 0, "180° meridian"},
		{"past 180", `{"type":"Polygon","coordinates":[[[179.99,52],[180.01,52],[180.01,52.01],[179.99,52.01],[179.99,52]]]}`, 1, 0, 0, ""},
		{"old crs", `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[` + shore + `]}`, 1, 0, 0, ""},
		{"islands that touch the shore", `{"type":"Polygon","coordinates":[` + box + `,[[-30,52],[-29.99,52.004],[-29.985,52.004],[-30,52]]]}`, 1, 1, 0, ""},
		{"edges that would cross if they ran on", `{"type":"Polygon","coordinates":[[[-29.991,52.001],[-29.989,52.012],[-30.005,52.015],[-30.005,51.995],[-29.991,52.001]],[[-30,52],[-30,52.005],[-29.99,52.01],[-30,52]]]}`, 1, 1, 0, ""},
		{"small loop", `{"type":"Polygon","coordinates":[[[-30,52],[-29.98,52],[-29.98,52.01],[-29.9902,52.01],[-29.9901,52.0101],[-29.9899,52.0099],[-29.9903,52.01],[-30,52.01],[-30,52]]]}`, 1, 0, 0, "cut off: 1"},
		{"island of no area", `{"type":"Polygon","coordinates":[` + box + `,[[-29.99,52.004],[-29.985,52.004],[-29.99,52.004]]]}`, 1, 0, 0, "ring 2 has fewer than three corners and was left out"},
		{"polygon of no area", `{"type":"MultiPolygon","coordinates":[[` + box + `],[[[-29.9,52],[-29.89,52],[-29.88,52],[-29.9,52]]]]}`, 1, 0, 0, "polygon 2, ring 1 encloses no area and was left out"},
		{"collection of places", collection(shore, `{"type":"Feature","properties":{"kind":"buoy"},"geometry":{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[-29.99,52.001]},{"type":"LineString","coordinates":[[-29.99,52.001],[-29.98,52.001]]}]}}`), 1, 0, 1, ""},
	}
	for _, c := range cases {
		o, err := water.ReadOutline("lake.geojson", strings.NewReader(c.text))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		islands := 0
		for _, p := range o.Shore {
			islands += len(p) - 1
			for k, r := range p {
				if want := []orb.Orientation{orb.CCW, orb.CW}[min(k, 1)]; r.Orientation() != want || r[0] != r[len(r)-1] {
					t.Errorf("%s: ring %d is not closed or winds the wrong way", c.name, k)
				}
			}
		}
		if len(o.Shore) != c.waters || islands != c.islands || len(o.Places) != c.places {
			t.Errorf("%s: %d waters, %d islands, %d places; want %d, %d, %d", c.name, len(o.Shore), islands, len(o.Places), c.waters, c.islands, c.places)
		}
		switch all := strings.Join(o.Remarks, "; "); {
		case c.remark == "" && all != "":
			t.Errorf("%s: needless remark %q", c.name, all)
		case !strings.Contains(all, c.remark):
			t.Errorf("%s: remarks %q, want %q", c.name, all, c.remark)
		}
		// However it was drawn, a box of 0.02° by 0.01° is that big.
		if strings.Contains(c.name, "180") || c.name == "antimeridian" {
			w, err := water.Survey(o, nil, water.Settings{})
			if err != nil || math.Abs(w.Area()/1.5286e6-1) > 1e-3 {
				t.Errorf("%s: area %v, %v", c.name, w.Area(), err)
			}
		}
	}
}

// What is refused: where, and what to do.
func TestOutlinesThatAreRefused(t *testing.T) {
	polygon := func(ring string) string { return `{"type":"Polygon","coordinates":[` + ring + `]}` }
	shore := featureOf(`{"kind":"shoreline"}`, "Polygon", "["+box+"]")
	cases := []struct{ name, text, where, advice string }{
		{"empty", "", "", "is empty"},
		{"no JSON", "{\n\"type\": oops", "line 2", "is not JSON"},
		{"cut off", shore[:60], "line 1", "is not JSON"},
		{"array", "[1,2]", "", "GeoJSON (RFC 7946)"},
		{"no type", "{}", "geometry", "wants FeatureCollection"},
		{"other type", `{"type":"Topology","objects":{}}`, "geometry", "is no type of GeoJSON"},
		{"no shoreline", collection(featureOf(`{"kind":"jetty"}`, "Point", "[-30,52]")), "", "kind set to shoreline"},
		{"no features", collection(), "", "has no shoreline"},
		{"figure of eight", polygon("[[-30,52],[-29.98,52.01],[-29.98,52],[-30,52.02],[-30,52]]"), "geometry", "cross near -29.9"},
		{"second feature crosses itself", collection(shore, featureOf(`{"kind":"shoreline"}`, "Polygon", "[[[-29.9,52],[-29.88,52.01],[-29.88,52],[-29.9,52.02],[-29.9,52]]]")), "feature 2", "never cross"},
		{"waters overlap", collection(shore, featureOf(`{"kind":"shoreline"}`, "Polygon", "[[[-29.99,52.001],[-29.97,52.001],[-29.97,52.004],[-29.99,52.004],[-29.99,52.001]]]")), "feature 1", "crosses feature 2"},
		{"island outside", `{"type":"Polygon","coordinates":[` + box + `,[[-29,52],[-28.9,52.01],[-28.9,52],[-29,52]]]}`, "geometry", "lies outside its shore"},
		{"island across the shore", `{"type":"Polygon","coordinates":[` + box + `,[[-29.99,52.004],[-29.99,52.006],[-29.97,52.005],[-29.99,52.004]]]}`, "geometry", "never cross"},
		{"swapped", polygon("[[52,-130],[52,-129.98],[52.01,-129.98],[52,-130]]"), "geometry, ring 1, position 1", "swapped"},
		{"metres", polygon("[[430000,310000],[431000,310000],[431000,311000],[430000,310000]]"), "ring 1, position 1", "must be converted"},
		{"latitude", polygon("[[-30,52],[-29.98,91],[-29.98,52.01],[-30,52]]"), "ring 1, position 2", "swapped"},
		{"pole", polygon("[[-30,89],[60,89],[150,89],[-120,89],[-30,89]]"), "position 1", "too near the pole"},
		{"cut at the meridian", `{"type":"MultiPolygon","coordinates":[[[[179.99,52],[180,52],[180,52.01],[179.99,52.01],[179.99,52]]],[[[-180,52],[-179.99,52],[-179.99,52.01],[-180,52.01],[-180,52]]]]}`, "polygon 1, ring 1, position 3", "draw it in one piece"},
		{"continent", polygon("[[-30,40],[-10,40],[-10,60],[-30,60],[-30,40]]"), "geometry", "200 km at most"},
		{"round the earth", polygon("[[-30,52],[60,52],[150,52],[-120,52],[-30,52.5],[-30,52]]"), "geometry", "200 km at most"},
		{"two corners", polygon("[[-30,52],[-29.98,52],[-30,52]]"), "ring 1", "fewer than three corners"},
		{"no area", polygon("[[-30,52],[-29.98,52],[-29.96,52],[-30,52]]"), "ring 1", "encloses no area"},
		{"null number", polygon("[[-30,null],[-29.98,52],[-29.98,52.01],[-30,52]]"), "ring 1, position 1", "two finite numbers"},
		{"one number", polygon("[[-30],[-29.98,52],[-29.98,52.01],[-30,52]]"), "ring 1, position 1", "two finite numbers"},
		{"huge number", polygon("[[-30,52],[1e999,52],[-29.98,52.01],[-30,52]]"), "ring 1, position 2", "two finite numbers"},
		{"text number", polygon(`[["-30",52],[-29.98,52],[-29.98,52.01],[-30,52]]`), "ring 1, position 1", "two finite numbers"},
		{"flat polygon", `{"type":"Polygon","coordinates":` + box + `}`, "ring 1, position 1", "where one belongs"},
		{"deep polygon", `{"type":"Polygon","coordinates":[[` + box + `]]}`, "ring 1, position 1", "two finite numbers"},
		{"no coordinates", `{"type":"Polygon"}`, "geometry", "where one belongs"},
		{"no ring", `{"type":"Polygon","coordinates":[]}`, "geometry", "has no ring"},
		{"no polygon", `{"type":"MultiPolygon","coordinates":[]}`, "geometry", "has no polygon"},
		{"polygons of no area", `{"type":"MultiPolygon","coordinates":[[[[-30,52],[-29.98,52],[-30,52]]],[[[-30,52],[-29.98,52],[-30,52]]]]}`, "geometry", "encloses no water"},
		{"open line", featureOf(`{"kind":"shoreline"}`, "LineString", "[[-30,52],[-29,52],[-29,53]]"), "feature 1", "as a Polygon"},
		{"point as shore", featureOf(`{"kind":"shoreline"}`, "Point", "[-30,52]"), "feature 1", "as a Polygon"},
		{"bare point", `{"type":"Point","coordinates":[-30,52]}`, "", "has no shoreline"},
		{"feature in a feature", collection(`{"type":"Polygon","coordinates":[` + box + `]}`), "feature 1, type", "is not Feature"},
		{"kind of number", collection(shore, featureOf(`{"kind":4}`, "Point", "[-30,52]")), "feature 2, kind", "is not a word"},
		{"keep off a word", collection(shore, featureOf(`{"kind":"no_go","keep_off_m":"far"}`, "Point", "[-30,52]")), "feature 2, keep_off_m", "number of metres"},
		{"keep off negative", collection(shore, featureOf(`{"kind":"no_go","keep_off_m":-1}`, "Point", "[-30,52]")), "feature 2, keep_off_m", "0 to 10000 m"},
		{"drift a number", collection(shore, featureOf(`{"kind":"no_go","drift":1}`, "Point", "[-30,52]")), "feature 2, drift", "neither true nor false"},
		{"place out of range", collection(shore, featureOf(`{"kind":"buoy"}`, "Point", "[-30,152]")), "feature 2, position 1", "swapped"},
		{"short line", collection(shore, featureOf(`{"kind":"dam"}`, "LineString", "[[-30,52]]")), "feature 2", "it needs 2"},
		{"collections in collections", collection(shore, `{"type":"Feature","properties":{},"geometry":`+strings.Repeat(`{"type":"GeometryCollection","geometries":[`, 6)+strings.Repeat("]}", 6)+`}`), "feature 2", "write them out flat"},
		{"other crs", `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"EPSG:27700"}},"features":[` + shore + `]}`, "crs", "EPSG:4326"},
		{"binary", "GeoJSON\x00", "", "not a text file"},
		{"type a number", `{"type":7}`, "type", "GeoJSON (RFC 7946)"},
	}
	for _, c := range cases {
		o, err := water.ReadOutline("lake.geojson", strings.NewReader(c.text))
		if err == nil {
			t.Errorf("%s: read as %d waters", c.name, len(o.Shore))
			continue
		}
		if s := err.Error(); !strings.HasPrefix(s, "lake.geojson") || !strings.Contains(s, c.where) || !strings.Contains(s, c.advice) {
			t.Errorf("%s: %q does not say %q and %q", c.name, s, c.where, c.advice)
		}
	}
}

func TestPlaces(t *testing.T) {
	o := outlineFile(t, "lake_medium.geojson")
	count := map[water.Kind]int{}
	for _, p := range o.Places {
		count[p.Kind]++
		if !p.Kind.Known() {
			t.Errorf("%s is not known", p.Kind)
		}
	}
	for kind, want := range map[water.Kind]int{water.Jetty: 1, water.Inflow: 1, water.BankAngler: 4, water.Dam: 1, water.BuoyLine: 1, water.NoGo: 2, water.WeedBed: 5, water.SunkenIsland: 8} {
		if count[kind] != want {
			t.Errorf("%d of %s, want %d", count[kind], kind, want)
		}
	}
	w, err := water.Survey(o, nil, water.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if b := w.PlacesOf(water.BankAngler); len(b) != 4 || b[0].KeepOff != 50 || b[0].Name != "bank-1" || !math.IsNaN(b[0].Radius) || b[0].NoDrift {
		t.Errorf("bank anglers %+v", b)
	}
	if m := w.PlacesOf(water.SunkenIsland); m[0].Radius != 51 || m[0].TopDepth != 4.91 {
		t.Errorf("mound %+v", m[0])
	}
	if z := w.PlacesOf(water.NoGo); !z[0].NoDrift || !z[0].NoMotor {
		t.Errorf("keep-off zone %+v", z[0])
	}
	if w.Name != "Demonstration reservoir (invented)" || math.Abs(w.Area()/1e4-563) > 1 || len(w.Shore[0]) != 4 {
		t.Errorf("%q of %.1f ha with %d islands; want 563 ha and 3", w.Name, w.Area()/1e4, len(w.Shore[0])-1)
	}
	other := outline(t, collection(featureOf(`{"kind":"shoreline"}`, "Polygon", "["+box+"]"), featureOf(`{"kind":"Boat House","name":" hut "}`, "Point", "[-29.99,52.001]"),
		featureOf(`{"kind":"no-go","drift":true}`, "Point", "[-29.99,52.001]")))
	if p := other.Places[0]; p.Kind != "boat_house" || p.Kind.Known() || p.Name != "hut" {
		t.Errorf("a place of another kind is %+v", p)
	}
	if p := other.Places[1]; p.Kind != water.NoGo || p.NoDrift || !p.NoMotor {
		t.Errorf("a zone that may be drifted is %+v", p)
	}
}

// What is written reads back the same, to the last bit.
func TestEncodeShape(t *testing.T) {
	o := outlineFile(t, "lake_medium.geojson")
	back := outline(t, string(water.EncodeShape(o.Shore)))
	if !back.Shore.Equal(o.Shore) {
		t.Error("the shore came back changed")
	}
	for _, shape := range []orb.Geometry{orb.Point{-29.99, 52.001}, orb.MultiPoint{{-29.99, 52.001}}, orb.LineString{{-29.99, 52.001}, {-29.98, 52.1}}, orb.MultiLineString{{{-29.99, 52.001}, {-29.98, 52.1}}},
		orb.Collection{orb.Point{-29.99, 52.001}, orb.Polygon{{{-29.99, 52}, {-29.98, 52}, {-29.98, 52.1}, {-29.99, 52}}}}} {
		text := collection(featureOf(`{"kind":"shoreline"}`, "Polygon", "["+box+"]"), `{"type":"Feature","properties":{"kind":"x"},"geometry":`+string(water.EncodeShape(shape))+`}`)
		if got := outline(t, text).Places[0].Shape; !orb.Equal(got, shape) {
			t.Errorf("%v came back as %v", shape, got)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a bound was written as GeoJSON")
		}
	}()
	water.EncodeShape(orb.Bound{})
}

var outlineSeeds = []string{
	collection(featureOf(`{"kind":"shoreline","name":"Mere"}`, "Polygon", "["+box+","+island+"]"), featureOf(`{"kind":"jetty","keep_off_m":5}`, "Point", "[-29.99,52.001]")),
	`{"type":"MultiPolygon","coordinates":[[` + box + `]]}`,
	`{"type":"Polygon","coordinates":[[[179.99,52],[-179.99,52],[-179.99,52.01],[179.99,52]]]}`,
	featureOf(`{"kind":"shoreline"}`, "LineString", box),
}

func TestOutlineSeedsRead(t *testing.T) {
	if len(outlineSeeds) == 0 {
		t.Fatal("no seeds")
	}
	for _, s := range outlineSeeds {
		if o := outline(t, s); len(o.Shore) != 1 {
			t.Errorf("%d waters in %s", len(o.Shore), s)
		}
	}
}

func FuzzReadOutline(f *testing.F) {
	for _, s := range outlineSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		o, err := water.ReadOutline("fuzz", strings.NewReader(string(b)))
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		if len(o.Shore) == 0 {
			t.Fatal("an outline without water")
		}
		for _, p := range o.Shore {
			for _, r := range p {
				for _, c := range r {
					if math.IsNaN(c[0]+c[1]) || math.Abs(c[1]) > 85 || len(r) < 4 || r[0] != r[len(r)-1] {
						t.Fatalf("a ring %v", r)
					}
				}
			}
		}
		w, err := water.Survey(o, nil, water.Settings{Cell: 100})
		if err == nil && !(w.Area() > 0) {
			t.Fatalf("a water of %v m²", w.Area())
		}
	})
}
