// Package wire is the edge of the engine's one door: the requests and answers
// as JSON, with units in their names, and the strict reading of them. What is
// not in a request is never guessed: an unknown, missing, doubled, mistyped or
// out of range field is refused by name.
//
// A request is a struct whose fields carry tags:
//
//	json:"name"            the field's name; ",omitempty" where it may be left out
//	in:"[0,100)"           the allowed range of a number, ends included [ ] or not ( )
//	len:"1,400"            least and most entries of a list or letters of a text
//	one:"a|b|c"            the allowed words
//
// wire may touch nothing else in the module.
package wire

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
)

// Fault is what is wrong with a request: the field by its path
// ("bodies[2].mass_kg") and what is wrong and allowed.
type Fault struct {
	Field   string `json:"field"`
	Message string `json:"message"`
}

func (f *Fault) Error() string {
	if f.Field == "" {
		return f.Message
	}
	return f.Field + " " + f.Message
}

// Refuse makes a Fault; its message may take formatting.
func Refuse(field, format string, args ...any) *Fault {
	return &Fault{Field: field, Message: fmt.Sprintf(format, args...)}
}

// custom is a field with more than one form; it reads itself.
type custom interface {
	decode(raw json.RawMessage, path string) *Fault
}

// wanting is a custom field that says what belongs in it.
type wanting interface{ wants() string }

// Decode reads raw into the struct that into points at. path is the field's own
// path, empty at the top. extra names fields that the caller has read already.
func Decode(raw json.RawMessage, into any, path string, extra ...string) *Fault {
	return decodeStruct(raw, reflect.ValueOf(into).Elem(), path, extra)
}

// object splits one JSON object into its fields, in order, refusing doubles.
func object(raw json.RawMessage, path string) (names []string, fields map[string]json.RawMessage, fault *Fault) {
	dec := json.NewDecoder(bytes.NewReader(raw))
	if tok, err := dec.Token(); err != nil || tok != json.Delim('{') {
		return nil, nil, Refuse(path, "must be an object { … }, not %s", kind(raw))
	}
	fields = map[string]json.RawMessage{}
	for dec.More() {
		tok, err := dec.Token()
		if err != nil {
			return names, fields, Refuse(path, "is not readable JSON: %v", err)
		}
		name, ok := tok.(string)
		if !ok {
			return names, fields, Refuse(path, "is not readable JSON: %v", tok)
		}
		if _, twice := fields[name]; twice {
			return names, fields, Refuse(join(path, name), "stands twice: give it once")
		}
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return names, fields, Refuse(join(path, name), "is not readable JSON: %v", err)
		}
		names = append(names, name)
		fields[name] = value
	}
	if _, err := dec.Token(); err != nil {
		return names, fields, Refuse(path, "is not readable JSON: %v", err)
	}
	return names, fields, nil
}

func decodeStruct(raw json.RawMessage, v reflect.Value, path string, extra []string) *Fault {
	names, fields, fault := object(raw, path)
	if fault != nil {
		return fault
	}
	known := map[string]bool{}
	for _, n := range extra {
		known[n] = true
	}
	t := v.Type()
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		known[name] = true
	}
	for _, n := range names {
		if !known[n] {
			return Refuse(join(path, n), "is not a field here: allowed are %s", strings.Join(fieldNames(t), ", "))
		}
	}
	for i := range t.NumField() {
		f := t.Field(i)
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		value, given := fields[name]
		if !given {
			if option == "omitempty" {
				continue
			}
			return Refuse(join(path, name), "is missing: %s", wanted(f))
		}
		if fault := decodeValue(value, v.Field(i), join(path, name), f); fault != nil {
			return fault
		}
	}
	return nil
}

func decodeValue(raw json.RawMessage, v reflect.Value, path string, f reflect.StructField) *Fault {
	if v.CanAddr() {
		if c, ok := v.Addr().Interface().(custom); ok {
			return c.decode(raw, path)
		}
	}
	switch into := v.Addr().Interface().(type) {
	case *json.RawMessage:
		if string(raw) == "null" {
			return Refuse(path, "is null: %s", wanted(f))
		}
		*into = raw
		return nil
	case *time.Time:
		var s string
		if json.Unmarshal(raw, &s) == nil {
			if at, err := time.Parse(time.RFC3339, s); err == nil {
				*into = at
				return nil
			}
		}
		return Refuse(path, "must be a time such as \"2026-04-14T09:00:00Z\", not %s", short(raw))
	}
	switch v.Kind() {
	case reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		if fault := decodeValue(raw, p.Elem(), path, f); fault != nil {
			return fault
		}
		v.Set(p)
	case reflect.Struct:
		return decodeStruct(raw, v, path, nil)
	case reflect.Float64:
		x, fault := number(raw, path, f)
		if fault != nil {
			return fault
		}
		v.SetFloat(x)
	case reflect.Int:
		x, fault := number(raw, path, f)
		if fault != nil {
			return fault
		}
		if x != math.Trunc(x) || math.Abs(x) > 1e15 {
			return Refuse(path, "must be a whole number, not %s", short(raw))
		}
		v.SetInt(int64(x))
	case reflect.Bool:
		var b bool
		if string(raw) == "null" || json.Unmarshal(raw, &b) != nil {
			return Refuse(path, "must be true or false, not %s", short(raw))
		}
		v.SetBool(b)
	case reflect.String:
		var s string
		if string(raw) == "null" || json.Unmarshal(raw, &s) != nil {
			return Refuse(path, "must be a text in quotes, not %s", short(raw))
		}
		if one := f.Tag.Get("one"); one != "" && !contains(strings.Split(one, "|"), s) {
			return Refuse(path, "is %s: allowed are %s", short(raw), strings.ReplaceAll(one, "|", ", "))
		}
		if fault := length(len(s), path, f, "letters"); fault != nil {
			return fault
		}
		v.SetString(s)
	case reflect.Slice, reflect.Array:
		return decodeList(raw, v, path, f)
	default:
		panic("wire: a request field of kind " + v.Kind().String())
	}
	return nil
}

func decodeList(raw json.RawMessage, v reflect.Value, path string, f reflect.StructField) *Fault {
	var items []json.RawMessage
	if string(raw) == "null" || json.Unmarshal(raw, &items) != nil {
		return Refuse(path, "must be a list [ … ], not %s", kind(raw))
	}
	if v.Kind() == reflect.Array {
		if len(items) != v.Len() {
			return Refuse(path, "has %d entries: exactly %d are needed", len(items), v.Len())
		}
	} else {
		if fault := length(len(items), path, f, "entries"); fault != nil {
			return fault
		}
		v.Set(reflect.MakeSlice(v.Type(), len(items), len(items)))
	}
	f.Tag = reflect.StructTag(strings.Replace(string(f.Tag), "len:", "was:", 1)) // len is the list's own, not its entries'
	for i, item := range items {
		if fault := decodeValue(item, v.Index(i), fmt.Sprintf("%s[%d]", path, i), f); fault != nil {
			return fault
		}
	}
	return nil
}

func number(raw json.RawMessage, path string, f reflect.StructField) (float64, *Fault) {
	if len(raw) == 0 || !strings.ContainsRune("-0123456789", rune(raw[0])) {
		return 0, Refuse(path, "must be a number, not %s", short(raw))
	}
	x, err := strconv.ParseFloat(string(raw), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, Refuse(path, "must be a finite number, not %s", short(raw))
	}
	if in := f.Tag.Get("in"); in != "" && !within(x, in) {
		return 0, Refuse(path, "is %s: allowed is %s", short(raw), span(in))
	}
	return x, nil
}

func length(n int, path string, f reflect.StructField, what string) *Fault {
	limits := f.Tag.Get("len")
	if limits == "" {
		return nil
	}
	a, b, _ := strings.Cut(limits, ",")
	low, _ := strconv.Atoi(a)
	high, _ := strconv.Atoi(b)
	if n < low || n > high {
		return Refuse(path, "has %d %s: allowed is %d to %d", n, what, low, high)
	}
	return nil
}

func within(x float64, in string) bool {
	low, high := ends(in)
	return (x > low || (in[0] == '[' && x == low)) && (x < high || (in[len(in)-1] == ']' && x == high))
}

func ends(in string) (low, high float64) {
	a, b, ok := strings.Cut(in[1:len(in)-1], ",")
	low, e1 := strconv.ParseFloat(a, 64)
	high, e2 := strconv.ParseFloat(b, 64)
	if !ok || e1 != nil || e2 != nil {
		panic("wire: a range tag " + in)
	}
	return low, high
}

func span(in string) string {
	low, high := ends(in)
	from, to := "", ""
	if in[0] == '(' {
		from = "more than "
	}
	if in[len(in)-1] == ')' {
		to = "less than "
	}
	return fmt.Sprintf("%s%g to %s%g", from, low, to, high)
}

// wanted says what belongs in a field.
func wanted(f reflect.StructField) string {
	t := f.Type
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if w, ok := reflect.New(t).Interface().(wanting); ok {
		return w.wants()
	}
	if one := f.Tag.Get("one"); one != "" {
		return "one of " + strings.ReplaceAll(one, "|", ", ") + " belongs here"
	}
	if in := f.Tag.Get("in"); in != "" {
		what := "a number"
		if t.Kind() == reflect.Slice {
			what = "a list of numbers, each"
		}
		return what + " of " + span(in) + " belongs here"
	}
	switch {
	case t == reflect.TypeFor[time.Time]():
		return "a time such as \"2026-04-14T09:00:00Z\" belongs here"
	case t == reflect.TypeFor[json.RawMessage]():
		return "an object belongs here"
	}
	switch t.Kind() {
	case reflect.Bool:
		return "true or false belongs here"
	case reflect.String:
		return "a text belongs here"
	case reflect.Slice, reflect.Array:
		return "a list belongs here"
	case reflect.Struct:
		return "an object belongs here"
	}
	return "a number belongs here"
}

func fieldNames(t reflect.Type) []string {
	var names []string
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		names = append(names, name)
	}
	return names
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func kind(raw json.RawMessage) string {
	if len(raw) == 0 {
		return "nothing"
	}
	switch raw[0] {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a text"
	case 't', 'f':
		return "true or false"
	case 'n':
		return "null"
	}
	return "a number"
}

func short(raw json.RawMessage) string {
	switch k := kind(raw); k {
	case "an object", "a list":
		return k
	}
	if len(raw) > 40 {
		return string(raw[:37]) + "..."
	}
	return string(raw)
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func fieldOf(v any, i int) reflect.StructField { return reflect.TypeOf(v).Field(i) }

// decodeInto reads raw into one field by its tags and calls done when it is read.
func decodeInto(raw json.RawMessage, into any, path string, f reflect.StructField, done func()) *Fault {
	if fault := decodeValue(raw, reflect.ValueOf(into).Elem(), path, f); fault != nil {
		return fault
	}
	done()
	return nil
}
