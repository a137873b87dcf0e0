package engine_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"windlane/internal/engine"
)

// The reference sets through the door, as a script would send them: the files'
// own model and casts (refdata/belief/SOURCE.md).
func TestPresenceReferences(t *testing.T) {
	files, err := filepath.Glob("../../refdata/belief/R[125679]_*.json")
	if err != nil || len(files) != 6 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var day struct {
			Model, Casts json.RawMessage
			Reference    map[string]any
		}
		if err := json.Unmarshal(b, &day); err != nil {
			t.Fatal(err)
		}
		request, err := json.Marshal(map[string]any{"id": 1, "ask": "presence", "model": day.Model, "casts": day.Casts})
		if err != nil {
			t.Fatal(err)
		}
		compared := 0
		for answer, c := range map[string]struct {
			reference string
			tolerance float64
		}{
			"depth_mean_m": {"depth_mean", 0.015}, "depth_sd_m": {"depth_sd", 0.015}, "depth_q50_m": {"depth_q50", 0.015},
			"rate_mean": {"rate_mean", 1e-4}, "rate_sd": {"rate_sd", 1e-4}, "local_mean": {"local_mean", 0.02}, "log_evidence": {"log_evidence", 0.03},
		} {
			want, ok := day.Reference[c.reference].(float64)
			if !ok {
				continue
			}
			compared++
			if got := number(t, string(request), answer); math.Abs(got-want) > c.tolerance {
				t.Errorf("%s: %s %v, want %v", filepath.Base(name), answer, got, want)
			}
		}
		if compared < 5 {
			t.Errorf("%s: only %d values compared", name, compared)
		}
	}
}

// The answer's model, sent back, gives the same answer: nothing of it is left out.
func TestPresenceEchoes(t *testing.T) {
	request := recordedCase(t, "a prior by layer, one layer only")
	first := engine.Answer([]byte(request))
	var a struct {
		Answer struct{ Model json.RawMessage }
	}
	var r map[string]json.RawMessage
	if err := json.Unmarshal(first, &a); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(request), &r); err != nil {
		t.Fatal(err)
	}
	var fields map[string]any
	if err := json.Unmarshal(a.Answer.Model, &fields); err != nil || len(fields) != 16 {
		t.Errorf("a model of %d fields is told: %v", len(fields), err)
	}
	r["model"] = a.Answer.Model
	again, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	if second := engine.Answer(again); string(second) != string(first) {
		t.Errorf("sent back: %s, was %s", second, first)
	}
}
