package diary

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"windlane/internal/text"
)

const (
	largest = 64 << 20 // bytes of a file: some 250,000 entries
	longest = 64 << 10 // bytes of a line
)

// Line is an entry as JSON on one line, without the line's end: the one form it
// has in files and stores. The entry must have passed Check.
func (e Event) Line() []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(e); err != nil {
		panic("diary: an entry that was not checked: " + err.Error())
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// Write writes entries as JSON Lines.
func Write(w io.Writer, events []Event) error {
	for _, e := range events {
		if _, err := w.Write(append(e.Line(), '\n')); err != nil {
			return err
		}
	}
	return nil
}

// Read reads JSON Lines, one entry a line, blank lines passed over, up to 64 MB
// and 64 kB a line. Any entry that cannot be used refuses the whole file, with
// its line, field, value and what is allowed.
func Read(name string, r io.Reader) ([]Event, error) {
	b, err := text.ReadAll(name, r, largest)
	if err != nil {
		return nil, err
	}
	var events []Event
	n := 0
	for line := range bytes.Lines(b) {
		n++
		if line = bytes.TrimSpace(line); len(line) == 0 {
			continue
		}
		e, err := Parse(line)
		if err != nil {
			var f *text.Fault
			if !errors.As(err, &f) {
				f = &text.Fault{Problem: err.Error()}
			}
			f.File, f.Line = name, n
			return nil, f
		}
		events = append(events, e)
	}
	return events, nil
}

// Parse reads one entry. Nothing is guessed: an unknown field, one given twice, a
// null and what Check refuses are faults.
func Parse(line []byte) (Event, error) {
	if len(line) > longest {
		return Event{}, &text.Fault{Problem: fmt.Sprintf("is longer than the %d kB that an entry may have", longest>>10)}
	}
	if err := strict(line); err != nil {
		return Event{}, err
	}
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.DisallowUnknownFields()
	var e Event
	if err := dec.Decode(&e); err != nil {
		var kind *json.UnmarshalTypeError
		if errors.As(err, &kind) {
			return Event{}, &text.Fault{Field: kind.Field, Problem: "is a " + kind.Value + " where another kind of value belongs"}
		}
		return Event{}, &text.Fault{Problem: strings.TrimPrefix(err.Error(), "json: ")}
	}
	e.At = e.At.UTC()
	if err := e.Check(); err != nil {
		return Event{}, err
	}
	return e, nil
}

// strict refuses what the standard decoder lets pass: names given twice or with
// capital letters, nulls, a wrong number of values in a list of two.
func strict(line []byte) error {
	if !json.Valid(line) || line[0] != '{' {
		return &text.Fault{Problem: "is not one JSON object on one line"}
	}
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.UseNumber()
	type level struct {
		object bool
		key    string // whose value comes; "": a key comes
		seen   []string
		values int
	}
	var open []level
	for {
		token, err := dec.Token()
		if err != nil {
			return nil // the end: it is valid JSON
		}
		top := len(open) - 1
		if d, ok := token.(json.Delim); ok && (d == '}' || d == ']') {
			was := open[top]
			open = open[:top]
			if top > 0 && open[top-1].key == "lonlat" && was.values != 2 {
				return &text.Fault{Field: "lonlat", Problem: "must be two numbers: longitude, latitude"}
			}
			if top > 0 {
				open[top-1].key = ""
			}
			continue
		}
		if top >= 0 && open[top].object && open[top].key == "" {
			key := token.(string)
			if key == "" || key != strings.ToLower(key) {
				return &text.Fault{Field: key, Problem: "is not a field of an entry"}
			}
			if slices.Contains(open[top].seen, key) {
				return &text.Fault{Field: key, Problem: "is given twice"}
			}
			open[top].seen = append(open[top].seen, key)
			open[top].key = key
			continue
		}
		if token == nil {
			return &text.Fault{Field: open[top].key, Value: "null", Problem: "is not allowed: leave the field out"}
		}
		if top >= 0 {
			open[top].values++
		}
		if d, ok := token.(json.Delim); ok {
			open = append(open, level{object: d == '{'})
		} else if top >= 0 {
			open[top].key = ""
		}
	}
}
