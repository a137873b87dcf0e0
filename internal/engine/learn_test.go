package engine_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"windlane/internal/engine"
	"windlane/internal/wire"
)

// wayOf is a GPX track of a boat that goes toward 060 at so many metres a second.
func wayOf(start string, minutes int, speed float64) wire.File {
	at, err := time.Parse(time.RFC3339, start)
	if err != nil {
		panic(err)
	}
	var b strings.Builder
	b.WriteString("<gpx><trk><trkseg>")
	for m := range minutes + 1 {
		far := speed * 60 * float64(m)
		fmt.Fprintf(&b, `<trkpt lat="%.7f" lon="%.7f"><time>%s</time></trkpt>`, 52.6+far*math.Cos(math.Pi/3)/111_280, -14.6+far*math.Sin(math.Pi/3)/67_760, at.Add(time.Duration(m)*time.Minute).Format(time.RFC3339))
	}
	b.WriteString("</trkseg></trk></gpx>")
	return wire.File{Name: start, Text: b.String()}
}

func learnt(t *testing.T, r wire.LearnDriftRequest) wire.LearnDriftAnswer {
	t.Helper()
	fields, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var a struct {
		Answer *wire.LearnDriftAnswer
		Error  *wire.Fault
	}
	if err := json.Unmarshal(engine.Answer(fmt.Appendf(nil, `{"id":1,"ask":"learn_drift",%s`, fields[1:])), &a); err != nil || a.Error != nil {
		t.Fatalf("%v %v", err, a.Error)
	}
	return *a.Answer
}

func TestLearnDrift(t *testing.T) {
	wind := []wire.WindRow{{At: time.Unix(0, 0).UTC(), Speed: 4, From: 240}}
	early, late := wayOf("2026-05-02T09:00:00Z", 40, 0.2), wayOf("2026-05-02T10:00:00Z", 40, 0.24)
	plain := learnt(t, wire.LearnDriftRequest{Tracks: []wire.File{early, late}, Wind: wind})
	if f := plain.Learned.Fraction; f < 0.054 || f > 0.058 || math.Abs(plain.Learned.Slip) > 1 {
		t.Errorf("5 and 6 %% of the wind after 6 %% expected: %+v", plain.Learned)
	}
	// in whatever order they are brought
	turned := learnt(t, wire.LearnDriftRequest{Tracks: []wire.File{late, early}, Wind: wind})
	if *turned.Learned != *plain.Learned || turned.Lines != plain.Lines {
		t.Errorf("%+v, in the other order %+v", plain.Learned, turned.Learned)
	}
	// a first fix off the coast of Africa is left out, and told
	false0 := early
	false0.Text = strings.Replace(early.Text, "<trkseg>", `<trkseg><trkpt lat="0" lon="0"><time>2026-05-02T08:59:00Z</time></trkpt>`, 1)
	one, spoilt := learnt(t, wire.LearnDriftRequest{Tracks: []wire.File{early}, Wind: wind}), learnt(t, wire.LearnDriftRequest{Tracks: []wire.File{false0}, Wind: wind})
	if math.Abs(one.Learned.Fraction-spoilt.Learned.Fraction) > 1e-5 || !strings.Contains(strings.Join(spoilt.Remarks, ""), "50 km from the rest, left out: 1 of 42") {
		t.Errorf("%+v, with a false fix %+v %v", one.Learned, spoilt.Learned, spoilt.Remarks)
	}
	// a wind from all sides teaches nothing
	taf := wire.File{Name: "taf.txt", Text: "TAF XXAA 020500Z 0206/0218 VRB06KT 9999=\n"}
	if a := learnt(t, wire.LearnDriftRequest{Tracks: []wire.File{early}, Forecast: &taf, Code: "taf"}); a.Status != "nothing_heard" || a.Learned != nil || a.Lines != "" || len(a.Track) == 0 {
		t.Errorf("%+v", a)
	}
}
