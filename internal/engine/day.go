package engine

import (
	"context"
	"errors"
	"io"
	"strings"

	"windlane"
	"windlane/brief"
	"windlane/forecast"
	"windlane/internal/text"
	"windlane/internal/wire"
	"windlane/outing"
	"windlane/strata"
	"windlane/tackle"
	"windlane/water"
)

func planDay(r *wire.DayRequest) (*brief.Brief, *wire.Fault) {
	return Day(context.Background(), r, nil)
}

// Day reads the files of a day and plans it. progress hears which step begins;
// nil: nobody listens. The Fault's field is the request's, and its message names
// the file and line.
func Day(ctx context.Context, r *wire.DayRequest, progress func(step string)) (*brief.Brief, *wire.Fault) {
	in, fault := inputsOf(r, progress)
	if fault != nil {
		return nil, fault
	}
	b, err := windlane.Day(ctx, in)
	if err != nil {
		return nil, unfit(err)
	}
	return b, nil
}

// unfit gives what does not fit the rest the name of the request's field.
func unfit(err error) *wire.Fault {
	fields := map[string]string{
		"Lake": "outline", "Outline": "outline", "Outing": "day", "Weather": "forecast",
		"At": "at_local", "Here": "start", "Place": "start_place", "Past": "already_fished",
	}
	var m *windlane.Misfit
	if errors.As(err, &m) {
		return wire.Refuse(fields[m.Field], "%s", m.Problem)
	}
	return wire.Refuse("", "%v", err)
}

// inputsOf reads the files of a day.
func inputsOf(r *wire.DayRequest, progress func(step string)) (windlane.Inputs, *wire.Fault) {
	in := windlane.Inputs{Cell: r.Cell, Progress: progress}
	var err error
	read := func(field string, f wire.File, reader func(name string, r io.Reader) error) *wire.Fault {
		if err := reader(f.Name, strings.NewReader(f.Text)); err != nil {
			var said *text.Fault
			if errors.As(err, &said) {
				return wire.Refuse(field, "%v", said)
			}
			return wire.Refuse(field, "%v", err)
		}
		return nil
	}
	if progress != nil {
		progress("the files")
	}
	if fault := read("day", r.Outing, func(name string, b io.Reader) error {
		in.Outing, err = outing.ReadDay(name, b)
		return err
	}); fault != nil {
		return in, fault
	}
	if fault := read("outline", r.Outline, func(name string, b io.Reader) error {
		in.Outline, err = water.ReadOutline(name, b)
		return err
	}); fault != nil {
		return in, fault
	}
	for i, f := range r.Soundings {
		if fault := read(fieldAt("soundings", i, "text"), f, func(name string, b io.Reader) error {
			s, err := water.ReadSoundings(name, b)
			in.Soundings = append(in.Soundings, s)
			return err
		}); fault != nil {
			return in, fault
		}
	}
	if fault := read("forecast", r.Forecast, func(name string, b io.Reader) error {
		switch r.Code {
		case "taf":
			in.Weather, err = forecast.ReadTAF(name, b, in.Outing.From)
		case "metar":
			in.Weather, err = forecast.ReadMETAR(name, b, in.Outing.From)
		default:
			in.Weather, err = forecast.ReadCSV(name, b, in.Outing.Zone)
		}
		return err
	}); fault != nil {
		return in, fault
	}
	if fault := read("bag", r.Bag, func(name string, b io.Reader) error {
		in.Bag, err = tackle.ReadBag(name, b)
		return err
	}); fault != nil {
		return in, fault
	}
	if r.Profile != nil {
		if fault := read("profile", *r.Profile, func(name string, b io.Reader) error {
			p, err := strata.ReadProfile(name, b)
			in.Profile = &p
			return err
		}); fault != nil {
			return in, fault
		}
	}
	return in, nil
}
