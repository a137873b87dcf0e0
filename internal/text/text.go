// Package text reads the plain files that people bring: it refuses what is not
// text, keeps to a size, and says what is wrong by file, line, field and value.
// It knows no trade and may touch nothing else in the module.
package text

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Fault is what is wrong with something a person brought, said so that they
// can mend it. Parts that do not apply stay empty.
type Fault struct {
	File    string // as the person named it
	Line    int    // from 1; 0 when no line is meant
	Field   string // a column, a key, a feature ("feature 3")
	Value   string // what stood there
	Problem string // what is wrong and what is allowed
}

func (f *Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ", line %d", f.Line)
	}
	if f.Field != "" {
		fmt.Fprintf(&b, ", %s", f.Field)
	}
	b.WriteString(": ")
	if f.Value != "" {
		v := f.Value
		if len(v) > 60 {
			v = v[:57] + "..."
		}
		fmt.Fprintf(&b, "%q ", v)
	}
	b.WriteString(f.Problem)
	return b.String()
}

// ReadAll reads a text file of at most limit bytes as UTF-8, without its byte
// order mark. An empty, binary or larger file is a Fault.
func ReadAll(name string, r io.Reader, limit int) ([]byte, error) {
	b, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", name, err)
	}
	if len(b) > limit {
		return nil, &Fault{File: name, Problem: fmt.Sprintf("is larger than the %s allowed: split it or thin it out", size(limit))}
	}
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	if len(bytes.TrimSpace(b)) == 0 {
		return nil, &Fault{File: name, Problem: "is empty"}
	}
	if at := bytes.IndexByte(b, 0); at >= 0 || !utf8.Valid(b) {
		return nil, &Fault{File: name, Problem: "is not a text file (UTF-8): bring the text form of it"}
	}
	return b, nil
}

func size(n int) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d kB", n>>10)
}

// Table is a file of rows under one header line.
type Table struct {
	File   string
	Header []string // lower case, trimmed
	Rows   []Row
}

// Row is one line of a Table.
type Row struct {
	table *Table
	Line  int
	cells []string
}

// ReadTable reads comma, semicolon or tab separated text. Lines that start with
// # are remarks. Every row must have as many cells as the header.
func ReadTable(name string, r io.Reader, limit int) (*Table, error) {
	b, err := ReadAll(name, r, limit)
	if err != nil {
		return nil, err
	}
	cr := csv.NewReader(bytes.NewReader(b))
	cr.Comment = '#'
	cr.Comma = separator(b)
	cr.TrimLeadingSpace = true
	t := &Table{File: name}
	for {
		cells, err := cr.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			problem := bad.Err.Error()
			if errors.Is(bad.Err, csv.ErrFieldCount) {
				problem = fmt.Sprintf("has %d cells where the header has %d", len(cells), len(t.Header))
			}
			return nil, &Fault{File: name, Line: bad.Line, Problem: problem}
		}
		if err != nil {
			return nil, fmt.Errorf("%s: cannot be read: %w", name, err)
		}
		line, _ := cr.FieldPos(0)
		if t.Header == nil {
			for _, c := range cells {
				t.Header = append(t.Header, strings.ToLower(strings.TrimSpace(c)))
			}
			continue
		}
		t.Rows = append(t.Rows, Row{table: t, Line: line, cells: cells})
	}
	if t.Header == nil {
		return nil, &Fault{File: name, Problem: "has no header line"}
	}
	return t, nil
}

// separator takes the one that stands most often in the first line that is no remark.
func separator(b []byte) rune {
	for line := range bytes.Lines(b) {
		if line[0] == '#' || len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		best, n := ',', bytes.Count(line, []byte{','})
		for _, sep := range []rune{';', '\t'} {
			if c := bytes.Count(line, []byte(string(sep))); c > n {
				best, n = sep, c
			}
		}
		return best
	}
	return ','
}

// Column finds the first column with one of the names; -1 if there is none.
func (t *Table) Column(names ...string) int {
	for _, n := range names {
		for i, h := range t.Header {
			if h == n {
				return i
			}
		}
	}
	return -1
}

// Need is Column, and a Fault that lists the names when there is none.
func (t *Table) Need(names ...string) (int, error) {
	if c := t.Column(names...); c >= 0 {
		return c, nil
	}
	return -1, &Fault{File: t.File, Line: 1, Value: strings.Join(t.Header, ","), Problem: "lacks a column: it must be called " + strings.Join(names, " or ")}
}

// Cell is the text of a cell, trimmed; empty when the column is -1.
func (r Row) Cell(col int) string {
	if col < 0 || col >= len(r.cells) {
		return ""
	}
	return strings.TrimSpace(r.cells[col])
}

// Number reads a cell as a finite number from low to high.
func (r Row) Number(col int, low, high float64) (float64, error) {
	s := r.Cell(col)
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		if s == "" {
			return 0, r.Fault(col, fmt.Sprintf("is missing: a number from %g to %g belongs here", low, high))
		}
		return 0, r.Fault(col, fmt.Sprintf("is not a number: allowed is %g to %g", low, high))
	}
	if v < low || v > high {
		return 0, r.Fault(col, fmt.Sprintf("is out of range: allowed is %g to %g", low, high))
	}
	return v, nil
}

// Fault is a Fault at this row and column.
func (r Row) Fault(col int, problem string) error {
	f := &Fault{File: r.table.File, Line: r.Line, Value: r.Cell(col), Problem: problem}
	if col >= 0 && col < len(r.table.Header) {
		f.Field = r.table.Header[col]
	}
	return f
}
