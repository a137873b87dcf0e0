package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/alecthomas/kong"

	"windlane/cast"
	"windlane/demo"
	"windlane/internal/engine"
	"windlane/tackle"
)

// screen is what a person sees of a command.
type screen struct {
	code     int
	out, err string
}

// typeIn runs windlane with the words a person typed.
func typeIn(in string, args ...string) screen {
	var out, errs bytes.Buffer
	code := run(args, &console{in: strings.NewReader(in), out: &out, err: &errs})
	return screen{code, out.String(), errs.String()}
}

func TestTextAnswers(t *testing.T) {
	cases := []struct {
		name string
		args []string
		says []string
	}{
		{"a cast with everything unsaid", []string{"cast"}, []string{"#7 even line, 3 in/s; leader 12 ft of 8 lb fluorocarbon; lure", "22 yd out", "point lure", "Rating times seconds gives", "an hour"}},
		// The bung's own rule, plain geometry: the point hangs as deep as it is tied below the bung.
		{"a bung", []string{"cast", "--way", "bung", "--leader", "14 ft", "--fly", "buzzer", "--fly", "buzzer@4 ft", "--fly", "bung@9 ft", "--still", "60 s"}, []string{"point buzzer", "9 ft", "5 ft", "left for 60 s"}},
		{"dry flies", []string{"cast", "--way", "dries"}, []string{"point dry", "lie in the surface"}},
		{"a short line", []string{"cast", "--way", "short_line", "--fly", "wet", "--fly", "wet@5 ft"}, []string{"drawn at 12 in/s", "dropper 1 wet"}},
		{"a washing line", []string{"cast", "--way", "washing_line", "--profile", "barely_sinking", "--leader", "17 ft", "--fly", "booby", "--fly", "buzzer@5 ft"}, []string{"barely sinking", "point booby"}},
		{"nymphs", []string{"cast", "--way", "nymphs"}, []string{"floating line", "retrieve 3 in/s"}},
		{"pulled wets on strips, in metres", []string{"cast", "--way", "pulled_wets", "--strips", "30 cm", "--units", "metric"}, []string{"strips of 30 cm", "m/min", "0.5 to 1 m"}},
		{"a sink tip", []string{"cast", "--profile", "sink_tip", "--no-hang"}, []string{"sink tip line"}},
		{"a cast too wide", []string{"cast", "--angle", "45"}, []string{"three-dimensional"}},
		{"a rig of a bag", []string{"cast", "--demo", "--rig", "deep lure", "--bed", "3 m"}, []string{"deep lure", "long black lure"}},
		{"a depth that lures hold", []string{"reach", "--demo", "--band", "7-10 ft"}, []string{"7 to 10 ft, boat at 0.4 mph", "flies can be kept at the depth", "deep lure", "middle lure", "in/s"}},
		{"a depth that no set-up reaches", []string{"reach", "--demo", "--band", "60-70 ft"}, []string{"nothing brings a fly to the depth", "Nearest:", "ft short"}},
		{"a depth by the bung", []string{"reach", "--demo", "--band", "5-9 ft", "--way", "bung"}, []string{"bung", "still"}},
		{"a drift", []string{"drift", "--wind", "9 mph", "--from", "SW", "--drogue", "5 ft", "--measured", "fabric"}, []string{"Wind 9 mph from SW: the boat goes NE", "drogue out", "lb", "lures", "common practice"}},
		{"a drift in no wind", []string{"drift", "--wind", "0", "--from", "SW"}, []string{"no drogue", "too slow"}},
		{"an hour", []string{"hour", "--at", "2026-04-14 15:00", "--utc-offset=+01:00", "--lat", "53", "--lon=-1", "--wind", "9 mph", "--fetch", "1200 yd"}, []string{"14 April 2026 15:00 +01:00, 53° N 1° W", "in the SW", "W/m²", "from crest to crest"}},
		{"an hour of the night", []string{"hour", "--at", "2026-04-14T00:00Z", "--lat", "53", "--lon", "0", "--wind", "0", "--fetch", "1 km"}, []string{"down", "none to speak of"}},
	}
	for _, c := range cases {
		got := typeIn("", c.args...)
		if got.code != exitFine || got.err != "" {
			t.Errorf("%s: code %d, %s", c.name, got.code, got.err)
		}
		for _, s := range c.says {
			if !strings.Contains(got.out, s) {
				t.Errorf("%s: does not say %q:\n%s", c.name, s, got.out)
			}
		}
		if strings.ContainsAny(got.out, "\x1b\t\r") || strings.Contains(got.out, "NaN") || strings.Contains(got.out, "%!") {
			t.Errorf("%s: control codes or no number in\n%s", c.name, got.out)
		}
	}
}

// --json prints what the one door answers to the same question.
func TestJSONIsTheEnginesAnswer(t *testing.T) {
	cases := []struct {
		args    []string
		request string
	}{
		{[]string{"cast", "--json", "--sink", "0.08", "--leader", "4", "--strength", "40 N", "--fly", "lure", "--fly", "blob@1.5", "--out", "20", "--tip", "0.4", "--hang-mark", "3", "--no-hang", "--boat", "0.15", "--count", "20", "--retrieve", "0.5", "--temperature", "11", "--bed", "6"},
			`{"id":"cast","ask":"cast","rig":{"line":{"class":7,"profile":"even","sink_m_s":0.08},"leader":{"material":"fluorocarbon","strength_n":40,"length_m":4},"flies":[{"name":"lure","kind":"lure","from_point_m":0},{"name":"blob","kind":"blob","from_point_m":1.5}],"way":"lures"},"line_out_m":20,"tip_height_m":0.4,"hang":[],"hang_mark_m":3,"angle_deg":0,"boat_speed_m_s":0.15,"count_s":20,"retrieve":{"kind":"steady","speed_m_s":0.5},"temperature_c":11,"bed_m":6,"units":"trade"}`},
		{[]string{"drift", "--json", "--wind", "4", "--from", "SW", "--length", "5", "--freeboard", "0.4", "--draught", "0.2", "--people", "1", "--mass", "300", "--drogue", "1.5", "--shape", "round", "--measured", "mouth"},
			`{"id":"drift","ask":"drift","wind_speed_m_s":4,"wind_from_deg":225,"boat":{"length_m":5,"freeboard_m":0.4,"draught_m":0.2,"people":1,"mass_kg":300},"drogue":{"shape":"round","size_m":1.5,"measured":"mouth"}}`},
		{[]string{"hour", "--json", "--at", "2026-04-14 15:00", "--utc-offset=+01:00", "--lat", "53", "--lon=-1", "--wind", "4", "--fetch", "1000", "--depth", "6", "--cloud", "6", "--secchi", "3"},
			`{"id":"hour","ask":"hour","at_utc":"2026-04-14T14:00:00Z","utc_offset_min":60,"latitude_deg":53,"longitude_deg":-1,"cloud_oktas":6,"secchi_m":3,"depths_m":[1,2,3,5],"wind_speed_m_s":4,"fetch_m":1000,"depth_m":6}`},
	}
	for _, c := range cases {
		got := typeIn("", c.args...)
		if want := string(engine.Answer([]byte(c.request))) + "\n"; got.code != exitFine || got.out != want || strings.Contains(want, `"error"`) {
			t.Errorf("%v: code %d %s\n%.300s\nwant\n%.300s", c.args, got.code, got.err, got.out, want)
		}
	}
	for _, args := range [][]string{{"reach", "--json", "--demo", "--band", "2-3 m"}, {"cast", "--json", "--demo", "--rig", "bung"}} {
		if got := typeIn("", args...); got.code != exitFine || !strings.HasPrefix(got.out, `{"id":"`+args[0]+`","answer":{"status":"`) {
			t.Errorf("%v: code %d %s\n%.300s", args, got.code, got.err, got.out)
		}
	}
	// A refusal is on both streams: for a script and for a person.
	if got := typeIn("", "cast", "--json", "--out", "90"); got.code != exitInput || !strings.Contains(got.out, `"field":"line_out_m"`) || !strings.Contains(got.err, `--out "90"`) {
		t.Errorf("refused: code %d\n%s\n%s", got.code, got.out, got.err)
	}
}

// What is typed badly is told by its flag, what stood there, and what is allowed.
func TestBadFlags(t *testing.T) {
	drift := []string{"drift", "--wind", "9 mph", "--from", "SW"}
	hour := []string{"hour", "--at", "2026-04-14 15:00", "--wind", "4", "--fetch", "1000"}
	cases := []struct {
		args []string
		says []string
	}{
		{[]string{"cast", "--out", "50 yd"}, []string{`--out "50 yd"`, "45.72 m", "31.09 m"}},
		{[]string{"cast", "--out", "5 parsec"}, []string{"--out", "parsec", "ft", "yd"}},
		{[]string{"cast", "--out"}, []string{"--out", "missing"}},
		{[]string{"cast", "--sink", "3"}, []string{`--sink "3"`, "0.001 to 0.4 m/s"}},
		{[]string{"cast", "--sink", "3 ft"}, []string{"--sink", "not a unit of speed", "in/s"}},
		{[]string{"cast", "--sink", "NaN in/s"}, []string{"--sink", "NaN", "number"}},
		{[]string{"cast", "--profile", "floating", "--sink", "3 in/s"}, []string{`--sink "3 in/s"`, "floating"}},
		{[]string{"cast", "--profile", "wavy"}, []string{"--profile", "wavy", "tip_first"}},
		{[]string{"cast", "--class", "22"}, []string{`--class "22"`, "1 to 15"}},
		{[]string{"cast", "--class", "0"}, []string{`--class "0"`, "1 to 15"}},
		{[]string{"cast", "--sink", "0"}, []string{`--sink "0"`, "needs it"}},
		{[]string{"cast", "--strips", "0"}, []string{`--strips "0"`, "0.02 m"}},
		{[]string{"cast", "--leader", "60 ft"}, []string{`--leader "60 ft"`, "0.5 up to 15"}},
		{[]string{"cast", "--strength", "900 lb"}, []string{`--strength "900 lb"`, "500 N"}},
		{[]string{"cast", "--fly", "spoon"}, []string{`--fly "spoon"`, "lure, booby"}},
		{[]string{"cast", "--fly", "lure", "--fly", "blob"}, []string{`--fly "blob"`, "above the last"}},
		{[]string{"cast", "--fly", "lure", "--fly", "blob@5 hands"}, []string{"blob@5 hands", "ft"}},
		{[]string{"cast", "--way", "trolling"}, []string{"--way", "trolling", "washing_line"}},
		{[]string{"cast", "--way", "bung", "--fly", "buzzer"}, []string{"--fly", "bung"}},
		{[]string{"cast", "--way", "dries", "--retrieve", "3 in/s"}, []string{"--retrieve", "dries", "--still"}},
		{[]string{"cast", "--still", "0"}, []string{`--still "0"`, "above 0"}},
		{[]string{"cast", "--still", "5 s", "--strips", "1 ft"}, []string{"--still", "--strips"}},
		{[]string{"cast", "--retrieve", "20 m/s"}, []string{`--retrieve "20 m/s"`, "0 to 3 m/s"}},
		{[]string{"cast", "--count", "1 h"}, []string{`--count "1 h"`, "600 s"}},
		{[]string{"cast", "--bed=-3 ft"}, []string{`--bed "-3 ft"`, "above 0, to 200 m"}},
		{[]string{"cast", "--boat", "12 mph"}, []string{`--boat "12 mph"`, "2 m/s"}},
		{[]string{"cast", "--temperature", "54"}, []string{`--temperature "54"`, "40 °C"}},
		{[]string{"cast", "--angle", "120"}, []string{`--angle "120"`, "90"}},
		{[]string{"cast", "--rig", "x"}, []string{"--rig", "--bag"}},
		{[]string{"cast", "--demo"}, []string{"--rig", "deep lure"}},
		{[]string{"cast", "--demo", "--rig", "gold"}, []string{`--rig "gold"`, "deep lure"}},
		{[]string{"cast", "--demo", "--rig", "bung", "--sink", "3 in/s"}, []string{"--sink", "bag"}},
		{[]string{"cast", "--demo", "--bag", "x.toml", "--rig", "bung"}, []string{"--demo", "--bag"}},
		{[]string{"reach", "--demo"}, []string{"--band"}},
		{[]string{"reach", "--band", "7-10 ft"}, []string{"--bag", "--demo"}},
		{[]string{"reach", "--demo", "--band", "10-7 ft"}, []string{`--band "10-7 ft"`, "below the top"}},
		{[]string{"reach", "--demo", "--band", "deep"}, []string{"--band", "deep", "7-10 ft"}},
		{[]string{"reach", "--demo", "--band", "7-10 ft", "--way", "short_line"}, []string{"--way", "short_line", "lures"}},
		{[]string{"reach", "--demo", "--band", "7-10 ft", "--best", "0"}, []string{"--best 0", "1 to 200"}},
		{[]string{"reach", "--demo", "--band", "7-10 ft", "--angle", "40"}, []string{`--angle "40"`, "30"}},
		{append(drift, "--drogue", "5 ft"), []string{"--measured", "fabric", "mouth"}},
		{append(drift, "--measured", "mouth"), []string{"--measured", "--drogue"}},
		{append(drift, "--drogue", "50 ft", "--measured", "mouth"), []string{`--drogue "50 ft"`, "0.2 to 5 m"}},
		{append(drift, "--people", "20"), []string{`--people "20"`, "0 to 12"}},
		{append(drift, "--mass", "400 ft"), []string{"--mass", "not a unit of mass", "lb"}},
		{[]string{"drift", "--wind", "9 mph", "--from", "up"}, []string{"--from", "up", "SW"}},
		{[]string{"drift", "--wind", "900 mph", "--from", "N"}, []string{`--wind "900 mph"`, "0 to 60 m/s"}},
		{append(hour, "--lat", "99", "--lon", "0"), []string{`--lat "99"`, "-90 to 90"}},
		{append(hour, "--lat", "NaN", "--lon", "0"), []string{"--lat NaN", "finite"}},
		{append(hour, "--lat", "53", "--lon", "0", "--utc-offset", "BST"), []string{"--utc-offset", "BST", "+01:00"}},
		{append(hour, "--lat", "53", "--lon", "0", "--cloud", "9"), []string{`--cloud "9"`, "0 to 8"}},
		{[]string{"hour", "--at", "tomorrow"}, []string{"--at", "tomorrow", "2026-04-14 15:00"}},
		{[]string{"fish"}, []string{"fish"}},
		{nil, []string{"day", "demo"}},
		{[]string{"completion", "sh"}, []string{"sh", "bash", "fish"}},
	}
	for _, c := range cases {
		got := typeIn("", c.args...)
		if got.code != exitInput || got.out != "" {
			t.Errorf("%v: code %d, said %q", c.args, got.code, got.out)
		}
		if strings.Count(strings.TrimSpace(got.err), "\n") > 1 || !strings.HasPrefix(got.err, "windlane: ") {
			t.Errorf("%v: more than a message and a hint:\n%s", c.args, got.err)
		}
		for _, s := range c.says {
			if !strings.Contains(got.err, s) {
				t.Errorf("%v: does not say %q: %s", c.args, s, got.err)
			}
		}
	}
}

func TestHelp(t *testing.T) {
	var all commands
	for _, cmd := range model(t, &all).Children {
		got := typeIn("", cmd.Name, "--help")
		if got.code != exitFine || !strings.Contains(got.out, "Usage: windlane "+cmd.Name) {
			t.Errorf("%s --help: code %d\n%s", cmd.Name, got.code, got.out)
		}
	}
}

// What is not said of a cast is what package cast has as usual, and the help says it.
func TestUsualCast(t *testing.T) {
	parsed := struct{ delivery }{}
	parser, err := kong.New(&parsed, usual)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := parser.Parse(nil); err != nil {
		t.Fatal(err)
	}
	if d := parsed.delivery; d.Tip.si != cast.UsualTip || d.HangMark.si != cast.UsualHangMark || len(d.hang(tackle.Lures)) != len(cast.UsualHang()) {
		t.Errorf("unsaid: %+v", d)
	}
	help := strings.Join(strings.Fields(typeIn("", "cast", "--help").out), " ")
	for _, way := range tackle.Ways {
		d, out := parsed.delivery, cast.UsualLineOut(way)
		if err := d.settle(way); err != nil || d.Out.si != out {
			t.Errorf("%s: %v out, %v; want %v", way, d.Out, err, out)
		}
		if said := fmt.Sprintf("%s %g m", way, out); out != cast.UsualLineOut(tackle.Lures) && !strings.Contains(help, said) {
			t.Errorf("the help does not say %q", said)
		}
	}
	for _, said := range []string{"Not said: 20 m; short_line 9 m, bung 15 m, dries 14 m.", "Default: 0.4 m.", "Default: 3.5 m.", "tip to 1.2 m and 4 s there, then tip to 2.2 m and 3 s there"} {
		if !strings.Contains(help, said) {
			t.Errorf("the help does not say %q:\n%s", said, help)
		}
	}
}

func model(t *testing.T, all *commands) *kong.Application {
	t.Helper()
	parser, err := kong.New(all, usual)
	if err != nil {
		t.Fatal(err)
	}
	if len(parser.Model.Children) < 5 {
		t.Fatalf("only %d commands", len(parser.Model.Children))
	}
	return parser.Model
}

func TestCompletionKnowsEveryCommand(t *testing.T) {
	var all commands
	for _, shell := range []string{"bash", "zsh", "fish"} {
		got := typeIn("", "completion", shell)
		if got.code != exitFine {
			t.Fatalf("%s: code %d, %s", shell, got.code, got.err)
		}
		flag := map[string]string{"bash": "--%", "zsh": "--%", "fish": "-l %"}[shell]
		for _, cmd := range model(t, &all).Children {
			if !strings.Contains(got.out, cmd.Name) {
				t.Errorf("%s does not complete %s", shell, cmd.Name)
			}
			for _, f := range cmd.Flags {
				if !strings.Contains(got.out, strings.ReplaceAll(flag, "%", f.Name)) {
					t.Errorf("%s does not complete %s --%s", shell, cmd.Name, f.Name)
				}
			}
		}
	}
}

// kitchen writes the demo's files into a folder and goes there.
func kitchen(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, f := range demo.Files() {
		if err := os.WriteFile(f.Name, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// Each file that cannot be used is told by its name, line, field, value and what
// is allowed; the code is 2 and nothing is written.
func TestBadFiles(t *testing.T) {
	kitchen(t)
	replace := func(old, new string) func(string) string {
		return func(s string) string { return strings.Replace(s, old, new, 1) }
	}
	all := func(s string) func(string) string { return func(string) string { return s } }
	cases := []struct {
		name, file string
		change     func(string) string
		says       []string
	}{
		{"a missing file", demo.DayFile, nil, []string{"day.toml", "no such file"}},
		{"an empty file", demo.ForecastFile, all(""), []string{"forecast.csv", "is empty"}},
		{"a binary file", demo.BagFile, all("\x00\x01\xff\xfe"), []string{"bag.toml", "not a text file"}},
		{"a picture", demo.OutlineFile, all("\x89PNG\r\n\x1a\n\x00"), []string{"osmerley.geojson", "not a text file"}},
		{"wrong columns", demo.ForecastFile, all("time,speed,from\n2027-04-24 08:00,5,W\n"), []string{"forecast.csv, line 1", "wind_m_s"}},
		{"too few cells", demo.ForecastFile, all("time,wind_mph,from\n2027-04-24 08:00,5\n"), []string{"forecast.csv, line 2", "2 cells"}},
		{"a depth that is no number", demo.SoundingsFile, all("lon,lat,depth_m\n-30,45,NaN\n"), []string{"soundings.csv, line 2, depth_m", `"NaN"`, "allowed is"}},
		{"a depth above the water", demo.SoundingsFile, all("lon,lat,depth_m\n-30,45,-2\n"), []string{"soundings.csv, line 2, depth_m", `"-2"`, "positive down"}},
		{"a depth without its unit", demo.SoundingsFile, all("lon,lat,depth\n-30,45,2\n"), []string{"soundings.csv, line 1", "depth_m", "depth_ft"}},
		{"a sink as a length", demo.BagFile, replace(`sink = "3 in/s"`, `sink = "3 in"`), []string{"bag.toml, line", "sink", `"3 in"`, "in/s"}},
		{"a bare sink, so in m/s", demo.BagFile, replace(`sink = "3 in/s"`, `sink = 3`), []string{"bag.toml, line", "sink", "0.4"}},
		{"an empty bag", demo.BagFile, all("# nothing yet\n"), []string{"bag.toml", "holds no tackle", "[[rod]]"}},
		{"a fly that is not in the bag", demo.BagFile, replace(`"black booby", "olive`, `"pink booby", "olive`), []string{"bag.toml, line", "flies", "pink booby", "black booby"}},
		{"a forecast of another day", demo.DayFile, replace("2027-04-24", "2027-04-26"), []string{"forecast.csv", "24 Apr 2027", "26 Apr 2027", "bring a forecast"}},
		{"an unknown key", demo.DayFile, replace("secchi =", "sechi ="), []string{"day.toml, line", "sechi"}},
		{"an outline that is no lake", demo.OutlineFile, all(`{"type":"Point","coordinates":[1,2]}`), []string{"osmerley.geojson", "shore"}},
		{"soundings of another continent", demo.SoundingsFile, all("lon,lat,depth_m\n144.1,-37.2,4\n144.2,-37.2,5\n144.1,-37.3,6\n"), []string{"soundings.csv", "none of its 3 soundings lies on the water", "km"}},
	}
	args := []string{"day", "--lake", demo.OutlineFile, "--soundings", demo.SoundingsFile, "--forecast", demo.ForecastFile, "--bag", demo.BagFile, "--day", demo.DayFile, "--profile", demo.ProfileFile, "--out", "plan"}
	for _, c := range cases {
		good, err := os.ReadFile(c.file)
		if err != nil {
			t.Fatal(err)
		}
		if c.change == nil {
			err = os.Remove(c.file)
		} else {
			bad := c.change(string(good))
			if bad == string(good) {
				t.Fatalf("%s: nothing was changed", c.name)
			}
			err = os.WriteFile(c.file, []byte(bad), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
		got := typeIn("", args...)
		if got.code != exitInput || got.out != "" {
			t.Errorf("%s: code %d, said %.200q, %s", c.name, got.code, got.out, got.err)
		}
		for _, s := range c.says {
			if !strings.Contains(got.err, s) {
				t.Errorf("%s: does not say %q: %s", c.name, s, got.err)
			}
		}
		if _, err := os.Stat("plan"); err == nil {
			t.Errorf("%s: something was written", c.name)
		}
		if err := os.WriteFile(c.file, good, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// 64 MB and a byte that no disk has to hold.
	f, err := os.Create("huge.csv")
	if err == nil {
		err = f.Truncate(largest + 1)
	}
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	for _, args := range [][]string{append(args, "--soundings", "huge.csv"), {"cast", "--bag", "huge.csv", "--rig", "x"}} {
		if got := typeIn("", args...); got.code != exitInput || !strings.Contains(got.err, "huge.csv: is larger than the 64 MB allowed") {
			t.Errorf("%v: code %d, %s", args, got.code, got.err)
		}
	}
	for _, c := range []struct {
		args []string
		says string
	}{
		{append(args, "--cell", "100 m"), `--cell "100 m": allowed is 2 to 50 m`},
		{append(args, "--width", "5"), "--width 5: allowed is 60 to 200"},
		{[]string{"reach", "--bag", "nowhere.toml", "--band", "1-2 m"}, "nowhere.toml: no such file"},
		{[]string{"cast", "--bag", demo.ForecastFile, "--rig", "x"}, "forecast.csv, line 2: is not TOML"},
	} {
		if got := typeIn("", c.args...); got.code != exitInput || !strings.Contains(got.err, c.says) {
			t.Errorf("%v: code %d, %s", c.args, got.code, got.err)
		}
	}
}

func TestSentences(t *testing.T) {
	for in, want := range map[string]string{"": "", "a": "A.", "ål takes it": "Ål takes it.", "Done.": "Done."} {
		if got := sentence(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}

func TestNamesCannotSteerATerminal(t *testing.T) {
	kitchen(t)
	b, err := os.ReadFile(demo.BagFile)
	if err != nil {
		t.Fatal(err)
	}
	bag := strings.ReplaceAll(string(b), `name = "long black lure"`, `name = "long \u001b[31mred lure"`)
	bag = strings.ReplaceAll(bag, `flies = ["long black lure"`, `flies = ["long \u001b[31mred lure"`)
	if err := os.WriteFile(demo.BagFile, []byte(bag), 0o644); err != nil {
		t.Fatal(err)
	}
	got := typeIn("", "cast", "--bag", demo.BagFile, "--rig", "deep lure")
	if got.code != exitFine || !strings.Contains(got.out, "red lure") || strings.Contains(got.out, "\x1b") {
		t.Errorf("code %d, %s\n%q", got.code, got.err, got.out)
	}
}
