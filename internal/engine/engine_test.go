package engine_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"windlane/internal/engine"
)

// recorded is one line of testdata/requests.jsonl: its id says what it shows and
// which field is refused, if one is. The same lines are asked of the WebAssembly
// door (scripts/door.test.mjs).
type recorded struct {
	ID struct {
		Case   string
		Error  string
		Status string // of the answer, where it is recorded
	}
	Ask string
}

func requests(t testing.TB) [][]byte {
	t.Helper()
	b, err := os.ReadFile("testdata/requests.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	var lines [][]byte
	sc := bufio.NewScanner(bytes.NewReader(b))
	sc.Buffer(nil, 1<<24)
	for sc.Scan() {
		lines = append(lines, bytes.Clone(sc.Bytes()))
	}
	if len(lines) < 20 {
		t.Fatalf("%d requests recorded: the corpus is not there", len(lines))
	}
	return lines
}

func TestRecordedRequests(t *testing.T) {
	asked := map[string]bool{}
	for _, line := range requests(t) {
		var r recorded
		if err := json.Unmarshal(line, &r); err != nil {
			t.Fatalf("%.80s: %v", line, err)
		}
		var a struct {
			ID     json.RawMessage
			Answer json.RawMessage
			Error  *struct{ Field, Message string }
		}
		if err := json.Unmarshal(engine.Answer(line), &a); err != nil {
			t.Errorf("%s: the answer is not JSON: %v", r.ID.Case, err)
			continue
		}
		switch {
		case r.ID.Error == "" && a.Error != nil:
			t.Errorf("%s: refused: %s %s", r.ID.Case, a.Error.Field, a.Error.Message)
		case r.ID.Error != "" && a.Error == nil:
			t.Errorf("%s: answered, where %s should be refused", r.ID.Case, r.ID.Error)
		case r.ID.Error != "" && a.Error.Field != r.ID.Error:
			t.Errorf("%s: refused %q (%s), want %q", r.ID.Case, a.Error.Field, a.Error.Message, r.ID.Error)
		case r.ID.Error == "":
			asked[r.Ask] = true
			var got struct{ Status string }
			if err := json.Unmarshal(a.Answer, &got); err != nil || r.ID.Status != "" && got.Status != r.ID.Status {
				t.Errorf("%s: status %q, want %q", r.ID.Case, got.Status, r.ID.Status)
			}
		}
	}
	for _, ask := range engine.Asks() {
		if !asked[ask] {
			t.Errorf("no recorded request asks %s", ask)
		}
	}
}

// recordedCase is the recorded request of a name.
func recordedCase(t testing.TB, name string) string {
	t.Helper()
	for _, line := range requests(t) {
		var r recorded
		if err := json.Unmarshal(line, &r); err == nil && r.ID.Case == name {
			return string(line)
		}
	}
	t.Fatalf("no request %q is recorded", name)
	return ""
}

// number finds a number in an answer by its path ("events.count_end.depth_m.point").
func number(t *testing.T, request, path string) float64 {
	t.Helper()
	var tree any
	if err := json.Unmarshal(engine.Answer([]byte(request)), &tree); err != nil {
		t.Fatal(err)
	}
	for _, key := range strings.Split("answer."+path, ".") {
		m, ok := tree.(map[string]any)
		if !ok || m[key] == nil {
			t.Fatalf("no %s in the answer to %.80s: %v", key, request, tree)
		}
		tree = m[key]
	}
	return tree.(float64)
}

// The door hands through what the packages compute: a value or two an ask, each
// checked in full where it is made.
func TestAnswersAgainstPublishedValues(t *testing.T) {
	cases := []struct {
		source, request, path string
		want, tolerance       float64
	}{
		{"Kell 1975", `{"id":1,"ask":"water_properties","temperature_c":10,"altitude_m":250}`, "density_kg_m3", 999.6996, 1e-3},
		{"Benson and Krause 1984 in APHA 4500-O, 10 C at 250 m", `{"id":1,"ask":"water_properties","temperature_c":10,"altitude_m":250}`, "oxygen_saturation_mg_l", 10.954, 5e-3},
		{"Reda and Andreas 2004, worked example: azimuth", `{"id":1,"ask":"sun","at_utc":"2003-10-17T19:30:30Z","latitude_deg":39.742476,"longitude_deg":-105.1786}`, "azimuth_deg", 194.340241, 0.01},
		{"the same: airless elevation", `{"id":1,"ask":"sun","at_utc":"2003-10-17T19:30:30Z","latitude_deg":39.742476,"longitude_deg":-105.1786}`, "elevation_deg", 39.872046, 0.01},
		{"Haurwitz 1945 at 30 degrees (SAND2012-2389)", `{"id":1,"ask":"light","sun_elevation_deg":30,"cloud_oktas":0,"secchi_m":3,"depths_m":[0]}`, "surface_w_m2", 487.8941, 1e-3},
		{"Young and Verhagen 1996, 8 m/s over 4 km and 10 m", `{"id":1,"ask":"waves","wind_speed_m_s":8,"fetch_m":4000,"depth_m":10}`, "height_m", 0.2485, 5e-4},
		{"Read et al. 2011, worked lake", `{"id":1,"ask":"stratification","depths_m":[0,1,2,3,4,5,6],"temperatures_c":[28,27,26.4,26,25.4,24,23.3],"hypsography":[{"depth_m":0,"area_m2":1000},{"depth_m":2.3,"area_m2":900},{"depth_m":2.5,"area_m2":864},{"depth_m":4.2,"area_m2":820},{"depth_m":5.8,"area_m2":200},{"depth_m":7,"area_m2":10}],"wind_speed_m_s":5,"wind_height_m":10}`, "schmidt_j_m2", 23.76960595, 1e-6},
		{"refdata/drift, 4.5 m/s with a 1.5 m square drogue", `{"id":1,"ask":"boat_drift","wind_speed_m_s":4.5,"wind_from_deg":270,"air_drag_area_m2":3.795,"hull_drag_area_m2":1,"drogue_drag_area_m2":1.6875,"windage_height_m":1,"air_density_kg_m3":1.2466,"water_density_kg_m3":999.7,"current_m_s":0,"current_toward_deg":0}`, "speed_m_s", 0.1427, 1e-4},
		{"rating times seconds (common practice, no source): 3 in/s for 18 s", recordedCase(t, "lures counted, pulled and hung"), "rule.depth_m", 54 * 0.0254, 1e-9},
		{"a SW wind drifts a boat NE", recordedCase(t, "a boat and its drogue"), "with_drogue.toward_deg", 45, 1e-6},
		{"Reda and Andreas 2004, as above, within an hour", `{"id":1,"ask":"hour","at_utc":"2003-10-17T19:30:30Z","utc_offset_min":-420,"latitude_deg":39.742476,"longitude_deg":-105.1786,"cloud_oktas":0,"secchi_m":3,"depths_m":[],"wind_speed_m_s":8,"fetch_m":4000,"depth_m":10}`, "sun.azimuth_deg", 194.340241, 0.01},
		{"Young and Verhagen 1996, as above, within an hour", `{"id":1,"ask":"hour","at_utc":"2003-10-17T19:30:30Z","utc_offset_min":-420,"latitude_deg":39.742476,"longitude_deg":-105.1786,"cloud_oktas":0,"secchi_m":3,"depths_m":[],"wind_speed_m_s":8,"fetch_m":4000,"depth_m":10}`, "waves.height_m", 0.2485, 5e-4},
	}
	for _, c := range cases {
		if got := number(t, c.request, c.path); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%s: %s = %v, want %v", c.source, c.path, got, c.want)
		}
	}
}

func TestDoorNeverFallsOver(t *testing.T) {
	for _, bad := range []string{"", "{", "[]", "null", `"x"`, `{"id":{},"ask":{}}`, `{"id":1,"ask":"line"}`, `{"id":1,"ask":"line","water":[]}`, strings.Repeat(`{"a":`, 20000)} {
		if a := engine.Answer([]byte(bad)); !json.Valid(a) || !bytes.Contains(a, []byte(`"error"`)) || bytes.ContainsRune(a, '\n') {
			t.Errorf("%.40q: %s", bad, a)
		}
	}
}

func FuzzAnswer(f *testing.F) {
	for _, line := range requests(f) {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		if a := engine.Answer(line); !json.Valid(a) || bytes.ContainsRune(a, '\n') || bytes.Contains(a, []byte("failed inside")) {
			t.Errorf("answered %s", a)
		}
	})
}
