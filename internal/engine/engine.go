// Package engine is the one door: one request in, one answer out, the same for
// the command line, the page in the phone and a script. It turns the edge's
// names and units into the trade's nouns, asks them, and turns their answers
// back. It holds no physics and no sentence.
package engine

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"

	"windlane/internal/wire"
)

// MaxLine is the longest request line that is read. [bytes]
const MaxLine = 64 << 20

// ask answers one kind of request from its raw JSON. request and reply are the
// structs at both ends, for whoever checks the documents.
type ask struct {
	answer         func(raw json.RawMessage) (any, *wire.Fault)
	request, reply reflect.Type
}

// asks is every question the door knows.
var asks = map[string]ask{
	"water_properties": of(waterProperties),
	"sun":              of(sun),
	"sun_times":        of(sunTimes),
	"light":            of(lightAt),
	"waves":            of(wavesAt),
	"stratification":   of(stratification),
	"boat_drift":       of(boatDrift),
	"fetch":            of(fetch),
	"track":            of(track),
	"drift":            of(boatAfloat),
	"learn_drift":      of(learnDrift),
	"hour":             of(hour),
	"line":             of(lineInWater),
	"cast":             of(castOnce),
	"reach":            of(reach),
	"presence":         of(presenceOf),
	"day":              of(planDay),
	"plan":             of(planDrifts),
	"drifts":           of(driftsOf),
}

// of makes an ask of a function of a request struct.
func of[Request, Reply any](answer func(*Request) (Reply, *wire.Fault)) ask {
	return ask{
		request: reflect.TypeFor[Request](),
		reply:   reflect.TypeFor[Reply](),
		answer: func(raw json.RawMessage) (any, *wire.Fault) {
			r := new(Request)
			if fault := wire.Decode(raw, r, "", "id", "ask"); fault != nil {
				return nil, fault
			}
			reply, fault := answer(r)
			if fault != nil {
				return nil, fault
			}
			return reply, nil
		},
	}
}

// Asks lists the questions the door knows, in order.
func Asks() []string {
	var names []string
	for n := range asks {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}

// Answer answers one request line with one line (without its line end). It
// never panics: a fault inside is answered as an error too.
func Answer(line []byte) (answer []byte) {
	if len(line) > MaxLine {
		return TooLong()
	}
	envelope, fault := wire.Open(line)
	if fault != nil {
		return wire.Answer(envelope.ID, nil, fault)
	}
	defer func() {
		if r := recover(); r != nil {
			answer = wire.Answer(envelope.ID, nil, wire.Refuse("", "windlane failed inside: %v. Keep the request: it is the bug report", r))
		}
	}()
	a, known := asks[envelope.Ask]
	if !known {
		return wire.Answer(envelope.ID, nil, wire.Refuse("ask", "is %q: allowed are %s", envelope.Ask, strings.Join(Asks(), ", ")))
	}
	reply, fault := a.answer(line)
	return wire.Answer(envelope.ID, reply, fault)
}

// TooLong answers a line over MaxLine, which has not been read.
func TooLong() []byte {
	return wire.Answer(json.RawMessage("null"), nil, wire.Refuse("", "is longer than the %d MiB allowed for one line", MaxLine>>20))
}
