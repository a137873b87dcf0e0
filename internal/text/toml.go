package text

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// Record is one table of a TOML file, read key by key. A key that nobody has
// asked for by the time of Done is unknown and refused. The first fault sticks:
// what is asked for after it is empty, and Done gives it.
type Record struct {
	Line  int // where it starts; 1 for the file itself
	file  *tomlFile
	name  string // "lines[2]"; empty for the file itself
	keys  []string
	value map[string]*tomlValue
	asked []string
}

type tomlFile struct {
	name  string
	fault error
}

type tomlValue struct {
	line   int
	text   string // a scalar as it was written, a string without its quotes
	quoted bool
	list   []*tomlValue // of an array
	array  bool
	tables []*Record // of [name], [[name]] or {…}
}

// ReadTOML reads a TOML 1.0 file of at most limit bytes.
func ReadTOML(name string, r io.Reader, limit int) (*Record, error) {
	b, err := ReadAll(name, r, limit)
	if err != nil {
		return nil, err
	}
	// The whole language is checked first: the walk below only places its parts.
	var whole map[string]any
	if err := toml.Unmarshal(b, &whole); err != nil {
		f := &Fault{File: name, Problem: "is not TOML: " + strings.TrimPrefix(err.Error(), "toml: ")}
		var at *toml.DecodeError
		if errors.As(err, &at) {
			f.Line, _ = at.Position()
		}
		return nil, f
	}
	file := &tomlFile{name: name}
	root := &Record{Line: 1, file: file, value: map[string]*tomlValue{}}
	p := &unstable.Parser{}
	p.Reset(b)
	lineOf := lineCounter(b)
	at := root
	for p.NextExpression() {
		e := p.Expression()
		path, line := keyPath(e, lineOf)
		switch e.Kind {
		case unstable.Table:
			at = root.descend(path, line, false)
		case unstable.ArrayTable:
			at = root.descend(path, line, true)
		case unstable.KeyValue:
			at.put(path, line, e.Value(), lineOf)
		}
	}
	if err := p.Error(); err != nil {
		return nil, &Fault{File: name, Problem: "is not TOML: " + err.Error()}
	}
	return root, nil
}

// lineCounter gives the line of an offset; offsets mostly grow from call to call.
func lineCounter(b []byte) func(offset uint32) int {
	at, line := 0, 1
	return func(offset uint32) int {
		if int(offset) < at {
			at, line = 0, 1
		}
		for ; at < int(offset) && at < len(b); at++ {
			if b[at] == '\n' {
				line++
			}
		}
		return line
	}
}

func keyPath(e *unstable.Node, lineOf func(uint32) int) (path []string, line int) {
	for k := e.Key(); k.Next(); {
		if line == 0 {
			line = lineOf(k.Node().Raw.Offset)
		}
		path = append(path, string(k.Node().Data))
	}
	return path, line
}

func (r *Record) entry(key string, line int) *tomlValue {
	v := r.value[key]
	if v == nil {
		v = &tomlValue{line: line}
		r.value[key] = v
		r.keys = append(r.keys, key)
	}
	return v
}

// descend finds or makes the table of a path; the last table of an array stands
// for the array, as in TOML. One more is added when grow is set.
func (r *Record) descend(path []string, line int, grow bool) *Record {
	for i, key := range path {
		v := r.entry(key, line)
		if len(v.tables) == 0 || grow && i == len(path)-1 {
			name := key
			if grow && i == len(path)-1 {
				name = fmt.Sprintf("%s[%d]", key, len(v.tables)+1)
			}
			v.tables = append(v.tables, &Record{Line: line, file: r.file, name: r.field(name), value: map[string]*tomlValue{}})
		}
		r = v.tables[len(v.tables)-1]
	}
	return r
}

func (r *Record) put(path []string, line int, n *unstable.Node, lineOf func(uint32) int) {
	if len(path) == 0 || n == nil {
		return
	}
	last := len(path) - 1
	r.descend(path[:last], line, false).fill(path[last], line, n, lineOf)
}

func (r *Record) fill(key string, line int, n *unstable.Node, lineOf func(uint32) int) {
	*r.entry(key, line) = *r.read(key, line, n, lineOf)
}

func (r *Record) read(key string, line int, n *unstable.Node, lineOf func(uint32) int) *tomlValue {
	v := &tomlValue{line: line}
	switch n.Kind {
	case unstable.Array:
		v.array = true
		for it := n.Children(); it.Next(); {
			c := it.Node()
			at := line
			if c.Raw.Length > 0 {
				at = lineOf(c.Raw.Offset)
			}
			item := r.read(fmt.Sprintf("%s[%d]", key, len(v.list)+1), at, c, lineOf)
			v.list = append(v.list, item)
			v.tables = append(v.tables, item.tables...)
		}
	case unstable.InlineTable:
		sub := &Record{Line: line, file: r.file, name: r.field(key), value: map[string]*tomlValue{}}
		for it := n.Children(); it.Next(); {
			c := it.Node()
			path, at := keyPath(c, lineOf)
			sub.put(path, at, c.Value(), lineOf)
		}
		v.tables = []*Record{sub}
	default:
		v.text, v.quoted = string(n.Data), n.Kind == unstable.String
	}
	return v
}

func (r *Record) field(key string) string {
	if r.name == "" {
		return key
	}
	return r.name + "." + key
}

func (r *Record) ask(key string) *tomlValue {
	r.asked = append(r.asked, key)
	if r.file.fault != nil {
		return nil
	}
	return r.value[key]
}

// Refuse records a fault at a key, or at the table itself when the key is empty
// or not there.
func (r *Record) Refuse(key, problem string) {
	if r.file.fault != nil {
		return
	}
	f := &Fault{File: r.file.name, Line: r.Line, Field: r.name, Problem: problem}
	if key != "" {
		f.Field = r.field(key)
	}
	if v := r.value[key]; v != nil {
		f.Line, f.Value = v.line, v.text
	}
	r.file.fault = f
}

// Has says whether a key is there, without asking for it.
func (r *Record) Has(key string) bool { return r.value[key] != nil }

// Tables gives the tables of [[key]], [key] or key = [{…}, {…}].
func (r *Record) Tables(key string) []*Record {
	v := r.ask(key)
	if v == nil {
		return nil
	}
	if v.text != "" || v.quoted || len(v.tables) < len(v.list) {
		r.Refuse(key, fmt.Sprintf("must be a table: start each with a line [[%s]]", key))
		return nil
	}
	return v.tables
}

// Text gives a quoted text, trimmed; empty when the key is not there.
func (r *Record) Text(key string) string {
	v := r.ask(key)
	if v == nil {
		return ""
	}
	if !v.quoted {
		r.Refuse(key, "must be text in quotes")
		return ""
	}
	return strings.TrimSpace(v.text)
}

// Plain gives a scalar as it was written, in quotes or not (dates, times);
// empty when the key is not there.
func (r *Record) Plain(key string) string {
	v := r.ask(key)
	if v == nil {
		return ""
	}
	if v.array || v.tables != nil {
		r.Refuse(key, "must be one value")
		return ""
	}
	return strings.TrimSpace(v.text)
}

// Word gives one of the allowed texts; other when the key is not there.
func (r *Record) Word(key, other string, allowed ...string) string {
	s := r.Text(key)
	if s == "" && !r.Has(key) {
		return other
	}
	if !slices.Contains(allowed, s) {
		r.Refuse(key, "is not known here: allowed are "+strings.Join(allowed, ", "))
		return other
	}
	return s
}

// Yes gives true or false; false when the key is not there.
func (r *Record) Yes(key string) bool {
	v := r.ask(key)
	if v == nil {
		return false
	}
	if v.quoted || v.text != "true" && v.text != "false" {
		r.Refuse(key, "must be true or false, without quotes")
	}
	return v.text == "true"
}

// Whole gives a whole number from low to high; other when the key is not there.
func (r *Record) Whole(key string, other, low, high int) int {
	v := r.ask(key)
	if v == nil {
		return other
	}
	n, err := strconv.Atoi(strings.ReplaceAll(v.text, "_", ""))
	if err != nil || n < low || n > high {
		r.Refuse(key, fmt.Sprintf("must be a whole number from %d to %d", low, high))
		return other
	}
	return n
}

// Texts gives a list of quoted texts.
func (r *Record) Texts(key string) []string {
	v := r.ask(key)
	if v == nil {
		return nil
	}
	var out []string
	for _, item := range v.list {
		if item.quoted {
			out = append(out, strings.TrimSpace(item.text))
		}
	}
	if !v.array || len(out) < len(v.list) {
		r.Refuse(key, `must be a list of texts, as in ["one", "two"]`)
		return nil
	}
	return out
}

// Range is what a quantity may be: how to read it, and its bounds in the unit
// that parse gives.
type Range struct {
	Parse     func(string) (float64, error)
	Low, High float64 // [the unit that Parse gives]
	Unit      string
}

// Bare is a Range's Parse for numbers that have no unit.
func Bare(s string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}

func (q Range) read(s string) (v float64, problem string) {
	v, err := q.Parse(strings.ReplaceAll(s, "_", ""))
	switch {
	case err != nil:
		return 0, unquote(err.Error(), s)
	case math.IsNaN(v) || v < q.Low || v > q.High:
		return 0, strings.TrimSpace(fmt.Sprintf("is out of range: allowed is %g to %g %s", q.Low, q.High, q.Unit))
	}
	return v, ""
}

// unquote drops the value from the head of a message that a Fault will put there.
func unquote(message, value string) string {
	if rest, found := strings.CutPrefix(message, strconv.Quote(value)+" "); found {
		return rest
	}
	return "is wrong: " + strings.TrimPrefix(message, strconv.Quote(value)+": ")
}

// Quantity gives a number with or without a unit, quoted or bare; 0 when the key
// is not there.
func (r *Record) Quantity(key string, q Range) float64 {
	v := r.ask(key)
	if v == nil {
		return 0
	}
	if v.array || v.tables != nil {
		r.Refuse(key, "must be one quantity")
		return 0
	}
	x, problem := q.read(v.text)
	if problem != "" {
		r.Refuse(key, problem)
	}
	return x
}

// Quantities gives a list of them.
func (r *Record) Quantities(key string, q Range) []float64 {
	v := r.ask(key)
	if v == nil {
		return nil
	}
	if !v.array {
		r.Refuse(key, `must be a list, as in ["3 ft", "6 ft"]`)
		return nil
	}
	var out []float64
	for i, item := range v.list {
		x, problem := q.read(item.text)
		if problem != "" {
			r.file.fault = &Fault{File: r.file.name, Line: item.line, Field: fmt.Sprintf("%s[%d]", r.field(key), i+1), Value: item.text, Problem: problem}
			return nil
		}
		out = append(out, x)
	}
	return out
}

// Done refuses keys that nobody asked for and gives the first fault, if any.
func (r *Record) Done() error {
	if r.file.fault == nil {
		for _, key := range r.keys {
			if !slices.Contains(r.asked, key) {
				allowed := slices.Clone(r.asked)
				slices.Sort(allowed)
				r.Refuse(key, "is an unknown key: allowed here are "+strings.Join(slices.Compact(allowed), ", "))
				break
			}
		}
	}
	return r.file.fault
}
