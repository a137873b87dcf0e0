package engine

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"windlane/drift"
)

// page is docs/engine.md, by section.
func page(t *testing.T) (whole string, sections map[string]string) {
	t.Helper()
	b, err := os.ReadFile("../../docs/engine.md")
	if err != nil {
		t.Fatal(err)
	}
	sections = map[string]string{}
	for i, s := range strings.Split(string(b), "\n## ") {
		if i > 0 {
			name, rest, _ := strings.Cut(s, "\n")
			sections[name] = rest
		}
	}
	return string(b), sections
}

// fieldsOf calls visit with each JSON field of a struct and of those inside it.
func fieldsOf(typ reflect.Type, visit func(name string, optional bool)) {
	for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice || typ.Kind() == reflect.Array {
		typ = typ.Elem()
	}
	if typ.Kind() != reflect.Struct || typ == reflect.TypeFor[time.Time]() {
		return
	}
	for i := range typ.NumField() {
		f := typ.Field(i)
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name != "" {
			visit(name, option == "omitempty")
		}
		fieldsOf(f.Type, visit)
	}
}

// docs/engine.md names every question, and in its section or among the parts
// every field of it; those that may be left out are called optional.
func TestPageNamesEveryField(t *testing.T) {
	_, sections := page(t)
	fields := 0
	for _, name := range Asks() {
		section, ok := sections[name]
		if !ok {
			t.Errorf("docs/engine.md has no section %q", name)
			continue
		}
		section += sections["Parts"]
		named := func(field string, optional bool) bool {
			for line := range strings.Lines(section) {
				if strings.Contains(line, "`"+field+"`") && (!optional || strings.Contains(line, "optional")) {
					return true
				}
			}
			return false
		}
		fieldsOf(asks[name].request, func(field string, optional bool) {
			fields++
			if !named(field, optional) {
				t.Errorf("docs/engine.md, %s: does not name the request's %s (optional: %v)", name, field, optional)
			}
		})
		fieldsOf(asks[name].reply, func(field string, _ bool) {
			fields++
			if !named(field, false) {
				t.Errorf("docs/engine.md, %s: does not name the answer's %s", name, field)
			}
		})
	}
	if fields < 200 {
		t.Errorf("only %d fields were looked for", fields)
	}
}

// Every example is asked; what the page shows of its answer is in the answer.
func TestPageExamples(t *testing.T) {
	whole, _ := page(t)
	shown := map[string]bool{}
	lines := strings.Split(whole, "\n")
	for i, line := range lines {
		if !strings.HasPrefix(line, `{"id":`) || !strings.Contains(line, `"ask":`) {
			continue
		}
		var envelope struct{ Ask string }
		if err := json.Unmarshal([]byte(line), &envelope); err != nil {
			t.Errorf("line %d: %v", i+1, err)
			continue
		}
		got := Answer([]byte(line))
		if bytes.Contains(got, []byte(`"error":`)) {
			t.Errorf("line %d: %s", i+1, got)
			continue
		}
		shown[envelope.Ask] = true
		var want, have any
		if err := json.Unmarshal([]byte(lines[i+1]), &want); err != nil {
			t.Errorf("line %d: an answer belongs below the request: %v", i+2, err)
			continue
		}
		if err := json.Unmarshal(got, &have); err != nil {
			t.Fatal(err)
		}
		if problem := part(want, have, ""); problem != "" {
			t.Errorf("line %d: the page shows %s", i+2, problem)
		}
	}
	for _, name := range Asks() {
		if !shown[name] {
			t.Errorf("docs/engine.md has no example of %s", name)
		}
	}
}

// What the page says of drift and track beside the tables.
func TestPageSaysWhatIsTakenIn(t *testing.T) {
	_, sections := page(t)
	scene := drift.OnLake(1, 0)
	if said := fmt.Sprintf("Air of %v kg/m³ (15 °C), water of %v kg/m³", scene.AirDensity, scene.WaterDensity); !strings.Contains(sections["drift"], said) {
		t.Errorf("docs/engine.md, drift: does not say %q", said)
	}
	var a struct {
		Answer struct {
			Points []struct {
				T float64 `json:"t_s"`
			}
			End struct {
				T float64 `json:"t_s"`
			}
		}
	}
	_, example, _ := strings.Cut(sections["track"], "```json\n")
	request, _, _ := strings.Cut(example, "\n")
	if err := json.Unmarshal(Answer([]byte(request)), &a); err != nil {
		t.Fatal(err)
	}
	if n := len(a.Answer.Points); n != 1+int(a.Answer.End.T/60) || !strings.Contains(sections["track"], "the start and one at each whole minute after it") {
		t.Errorf("a track to %v s has %d points, or docs/engine.md says otherwise", a.Answer.End.T, n)
	}
	for i, p := range a.Answer.Points {
		if p.T != float64(60*i) {
			t.Errorf("point %d at %v s", i, p.T)
		}
	}
}

// part says where a shown answer is no part of the true one: an object may lack
// fields, a list entries at its end; numbers are within 2 % or a centimetre.
func part(want, have any, at string) string {
	switch w := want.(type) {
	case map[string]any:
		h, ok := have.(map[string]any)
		for k, v := range w {
			if _, has := h[k]; !ok || !has {
				return fmt.Sprintf("%s.%s, which is not there", at, k)
			}
			if problem := part(v, h[k], at+"."+k); problem != "" {
				return problem
			}
		}
		return ""
	case []any:
		h, ok := have.([]any)
		if !ok || len(h) < len(w) || len(w) == 0 && len(h) > 0 {
			return fmt.Sprintf("%s of length %d, where the answer has %d", at, len(w), len(h))
		}
		for i := range w {
			if problem := part(w[i], h[i], fmt.Sprintf("%s[%d]", at, i)); problem != "" {
				return problem
			}
		}
		return ""
	case float64:
		if h, ok := have.(float64); ok && math.Abs(h-w) <= 0.02*math.Abs(h)+0.01 {
			return ""
		}
	default:
		if reflect.DeepEqual(want, have) {
			return ""
		}
	}
	return fmt.Sprintf("%s = %v, where the answer has %v", at, want, have)
}
