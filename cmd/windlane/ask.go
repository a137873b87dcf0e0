package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"charm.land/lipgloss/v2"
	"charm.land/lipgloss/v2/table"

	"windlane/internal/engine"
	"windlane/internal/wire"
)

// question is what a command asks of the engine.
type question struct {
	name    string
	request any
	raw     bool   // the engine's own answer is printed
	flags   []from // which flag each field of the request came from
}

// from is a field of a request, the flag it came from and what was typed there.
type from struct{ field, flag, text string }

// ask asks the engine through its one door. A refusal is told by the flag that
// the field came from.
func ask[Reply any](c *console, q question) (*Reply, error) {
	fields, err := json.Marshal(q.request)
	if err != nil {
		return nil, &insideError{err}
	}
	line := fmt.Appendf(nil, `{"id":%q,"ask":%q,%s`, q.name, q.name, fields[1:])
	answer := engine.Answer(line)
	var a struct {
		Answer *Reply
		Error  *wire.Fault
	}
	if err := json.Unmarshal(answer, &a); err != nil {
		return nil, &insideError{err}
	}
	if q.raw {
		fmt.Fprintf(c.out, "%s\n", answer)
	}
	if a.Error != nil {
		return nil, q.refusal(a.Error)
	}
	return a.Answer, nil
}

func (q question) refusal(f *wire.Fault) error {
	best := from{}
	for _, x := range q.flags {
		if strings.HasPrefix(f.Field, x.field) && len(x.field) > len(best.field) {
			best = x
		}
	}
	switch {
	case best.flag == "" && strings.Contains(f.Message, ": "): // it names its file
		return errors.New(f.Message)
	case best.flag == "":
		return errors.New(f.Error())
	case best.text == "":
		return fmt.Errorf("%s: %s", best.flag, inUnits(f))
	}
	message := strings.TrimPrefix(inUnits(f), fmt.Sprintf("is %q: ", best.text))
	return fmt.Errorf("%s %q: %s", best.flag, best.text, message)
}

// long is a number with more decimals than a person needs.
var long = regexp.MustCompile(`-?\d+\.\d{4,}`)

// inUnits is the engine's message for a person: it says the unit that stands in
// the field's name only, and four figures at most.
func inUnits(f *wire.Fault) string {
	message := long.ReplaceAllStringFunc(f.Message, func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return s
		}
		return strconv.FormatFloat(v, 'g', 4, 64)
	})
	if !strings.Contains(message, ": allowed is ") {
		return message
	}
	for _, u := range []struct{ suffix, unit string }{{"_m_s", "m/s"}, {"_m", "m"}, {"_s", "s"}, {"_kg", "kg"}, {"_n", "N"}, {"_c", "°C"}, {"_deg", "degrees"}} {
		if strings.HasSuffix(f.Field, u.suffix) {
			return strings.Replace(message, ": allowed", " "+u.unit+": allowed", 1) + " " + u.unit
		}
	}
	return message
}

// page is text for a person, without anything that could steer a terminal.
type page struct{ strings.Builder }

func (p *page) say(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

// remark wraps a sentence under a mark.
func (p *page) remark(s string) {
	for i, line := range strings.Split(lipgloss.NewStyle().Width(76).Render(s), "\n") {
		lead := "  "
		if i == 0 {
			lead = "- "
		}
		p.say("%s%s", lead, strings.TrimRight(line, " "))
	}
}

// table sets rows under heads, words to the left and figures to the right.
func (p *page) table(heads []string, rows [][]string) {
	t := table.New().Headers(heads...).Rows(rows...).
		Border(lipgloss.NormalBorder()).BorderTop(false).BorderBottom(false).BorderLeft(false).BorderRight(false).BorderColumn(false).
		StyleFunc(func(_, col int) lipgloss.Style {
			s := lipgloss.NewStyle().PaddingRight(2)
			if col > 0 {
				s = lipgloss.NewStyle().PaddingRight(2).Align(lipgloss.Right)
			}
			return s
		})
	for line := range strings.Lines(t.String()) {
		p.say("%s", strings.TrimRight(line, " \n"))
	}
}

func (p *page) print(c *console) error {
	_, err := fmt.Fprint(c.out, strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' {
			return ' '
		}
		return r
	}, p.String()))
	if err != nil {
		return &insideError{err}
	}
	return nil
}
