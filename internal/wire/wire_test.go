package wire_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"windlane/internal/wire"
)

type request struct {
	Depth  float64   `json:"depth_m" in:"(0,10]"`
	Count  int       `json:"count" in:"[0,5]"`
	At     time.Time `json:"at_utc"`
	Kind   string    `json:"kind" one:"lure|nymph"`
	List   []float64 `json:"list" in:"[0,1]" len:"1,3"`
	Bodies []struct {
		Mass float64 `json:"mass_kg" in:"[0,1]"`
	} `json:"bodies" len:"0,2"`
	Start [2]float64 `json:"start"`
	Maybe *float64   `json:"maybe,omitempty" in:"[0,1]"`
	On    bool       `json:"on"`
}

const good = `{"depth_m":2,"count":3,"at_utc":"2026-04-14T09:00:00Z","kind":"lure","list":[0,0.5],"bodies":[{"mass_kg":0.5}],"start":[1,2],"on":true}`

func TestDecode(t *testing.T) {
	var r request
	if f := wire.Decode(json.RawMessage(good), &r, ""); f != nil {
		t.Fatal(f)
	}
	if r.Depth != 2 || r.Count != 3 || r.Kind != "lure" || r.List[1] != 0.5 || r.Bodies[0].Mass != 0.5 || r.Start[1] != 2 || !r.On || r.Maybe != nil || r.At.Hour() != 9 {
		t.Errorf("read %+v", r)
	}
}

func TestDecodeRefuses(t *testing.T) {
	cases := []struct{ name, old, new, field, says string }{
		{"unknown", `"on":true`, `"on":true,"off":1`, "off", "not a field"},
		{"missing", `"count":3,`, ``, "count", "is missing"},
		{"missing inside", `{"mass_kg":0.5}`, `{}`, "bodies[0].mass_kg", "is missing"},
		{"twice", `"count":3,`, `"count":3,"count":3,`, "count", "twice"},
		{"text for a number", `"depth_m":2`, `"depth_m":"2"`, "depth_m", "must be a number"},
		{"null", `"depth_m":2`, `"depth_m":null`, "depth_m", "must be a number"},
		{"too large for a float", `"depth_m":2`, `"depth_m":1e999`, "depth_m", "finite"},
		{"open end", `"depth_m":2`, `"depth_m":0`, "depth_m", "more than 0 to 10"},
		{"out of range inside", `"mass_kg":0.5`, `"mass_kg":-1`, "bodies[0].mass_kg", "0 to 1"},
		{"out of range in a list", `[0,0.5]`, `[0,2]`, "list[1]", "0 to 1"},
		{"list too long", `[0,0.5]`, `[0,0,0,0]`, "list", "1 to 3"},
		{"no list", `[0,0.5]`, `0.5`, "list", "must be a list"},
		{"fraction", `"count":3`, `"count":3.5`, "count", "whole"},
		{"word", `"lure"`, `"spoon"`, "kind", "lure, nymph"},
		{"time", `"2026-04-14T09:00:00Z"`, `"9 o'clock"`, "at_utc", "must be a time"},
		{"pair", `[1,2]`, `[1]`, "start", "exactly 2"},
		{"bool", `"on":true`, `"on":1`, "on", "true or false"},
		{"case", `"on":true`, `"On":true`, "On", "not a field"},
	}
	for _, c := range cases {
		in := strings.Replace(good, c.old, c.new, 1)
		if in == good {
			t.Fatalf("%s: nothing was changed", c.name)
		}
		var r request
		f := wire.Decode(json.RawMessage(in), &r, "")
		if f == nil || f.Field != c.field || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %+v, want field %s and %q", c.name, f, c.field, c.says)
		}
	}
}

func TestOpen(t *testing.T) {
	cases := []struct{ in, id, ask, field string }{
		{`{"id":7,"ask":"sun"}`, `7`, "sun", ""},
		{`{"ask":"sun","id":{"a":[1]}}`, `{"a":[1]}`, "sun", ""},
		{`{"ask":"sun"}`, `null`, "", "id"},
		{`{"id":"x"}`, `"x"`, "", "ask"},
		{`{"id":"x","ask":4}`, `"x"`, "", "ask"},
		{`{"id":1,"ask":"sun","ask":"sun"}`, `1`, "", "ask"},
	}
	for _, c := range cases {
		e, f := wire.Open([]byte(c.in))
		if string(e.ID) != c.id {
			t.Errorf("%s: id %s, want %s", c.in, e.ID, c.id)
		}
		if c.field == "" && (f != nil || e.Ask != c.ask) || c.field != "" && (f == nil || f.Field != c.field) {
			t.Errorf("%s: %q, %+v", c.in, e.Ask, f)
		}
	}
	for _, bad := range []string{"", "{", "[]", "nonsense", `{"id":1,"ask":"sun"} x`, "\x00"} {
		if e, f := wire.Open([]byte(bad)); f == nil || string(e.ID) != "null" {
			t.Errorf("%q: %s, %v; want a fault and id null", bad, e.ID, f)
		}
	}
}

func TestTipHeight(t *testing.T) {
	var r struct {
		Tip wire.TipHeight `json:"tip_height_m"`
	}
	if f := wire.Decode(json.RawMessage(`{"tip_height_m":1.5}`), &r, ""); f != nil || r.Tip.Constant != 1.5 {
		t.Errorf("%+v, %v", r, f)
	}
	if f := wire.Decode(json.RawMessage(`{"tip_height_m":[{"from_phase":"hang","height_m":2,"over_s":3}]}`), &r, ""); f != nil || len(r.Tip.Changes) != 1 || r.Tip.Changes[0].Height != 2 {
		t.Errorf("%+v, %v", r, f)
	}
	for in, field := range map[string]string{`"high"`: "tip_height_m", `11`: "tip_height_m", `[]`: "tip_height_m", `[{"from_phase":"x","height_m":2,"over_s":3}]`: "tip_height_m[0].from_phase", `null`: "tip_height_m"} {
		if f := wire.Decode(json.RawMessage(`{"tip_height_m":`+in+`}`), &r, ""); f == nil || f.Field != field {
			t.Errorf("%s: %v, want a fault at %s", in, f, field)
		}
	}
}

func TestAnswerNeverHoldsNaN(t *testing.T) {
	line := wire.Answer(json.RawMessage("3"), map[string]float64{"x": nan()}, nil)
	var out struct {
		ID     int
		Answer any
		Error  *wire.Fault
	}
	if err := json.Unmarshal(line, &out); err != nil || out.ID != 3 || out.Answer != nil || out.Error == nil {
		t.Errorf("%s, %v", line, err)
	}
}

func nan() float64 { zero := 0.0; return zero / zero }
