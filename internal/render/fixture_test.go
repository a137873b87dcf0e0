package render

import (
	"fmt"
	"math"
	"strings"
	"time"

	"windlane/brief"
	"windlane/quantity"
)

// An invented day on an invented lake: figures are chosen to look likely and to
// reach every stroke of the drawings, and are no model's answer.

const (
	ft  = 0.3048
	yd  = 0.9144
	mph = 0.44704
	in  = 0.0254
)

var zone = time.FixedZone("BST", 3600)

func hm(h, m int) time.Time { return time.Date(2026, 4, 14, h, m, 0, 0, zone) }

// fromPage turns a place on the page (right, down, m) to the plane, for the fixture's west wind.
func fromPage(right, down float64) brief.Point { return brief.Point{X: down, Y: right} }

func ringOf(cx, cy, rx, ry float64, bumps ...float64) []brief.Point {
	var ps []brief.Point
	for i := range 180 {
		a := -2 * math.Pi * float64(i) / 180
		r := 1.0
		for k, v := range bumps {
			r += v * math.Cos(float64(k+2)*a+float64(k)*1.3)
		}
		ps = append(ps, fromPage(cx+rx*r*math.Cos(a), cy+ry*r*math.Sin(a)))
	}
	return append(ps, ps[0])
}

func hump(centre, width float64) []float64 {
	out := make([]float64, 40) // half feet
	best := 0.0
	for i := range out {
		d := (float64(i)+0.5)/2 - centre
		out[i] = math.Exp(-d * d / (2 * width * width))
		best = math.Max(best, out[i])
	}
	for i := range out {
		out[i] /= best
	}
	return out
}

func exampleHours(from, n int) []brief.Hour {
	var hours []brief.Hour
	for i := range n {
		f := float64(i) / 8
		wind := (7 + 11*f - 2*f*f) * mph
		mid := 6 + 5*math.Sin(math.Pi*math.Min(1, f*1.1))
		hours = append(hours, brief.Hour{
			At: hm(from, 0).Add(time.Duration(i) * time.Hour), WindFrom: quantity.FromDegrees(270 - 12*float64(i)/2),
			Wind: wind, Gust: wind * 1.5, GustLimit: wind*1.5 > 22*mph,
			Wave: wind * 0.043, WaveLow: wind * 0.034, WaveHigh: wind * 0.05,
			Light: 0.3 + 0.7*math.Sin(math.Pi*math.Min(1, 0.15+f*0.8)), DriftBare: wind * 0.08, Drift: wind * 0.05,
			DriftLow: wind * 0.042, DriftHigh: wind * 0.06, Drogue: i > 1, AirC: 9 + 3*f,
			LayerDepth: ft / 2, Belief: hump(mid, 2.2),
			Bands: []brief.Band{{Top: (mid - 1.5) * ft, Bottom: (mid + 1.5) * ft}},
		})
	}
	return hours
}

func exampleDrift(n int, right, down, length, minutes float64, start time.Time, bed func(float64) float64) brief.Drift {
	d := brief.Drift{Number: n, Start: start, Minutes: minutes, Length: length, Motor: 9 - float64(n), Speed: length / minutes / 60,
		Drogue: true, StartAt: "480 yd NE of the jetty", LonLat: [2]float64{-1.5, 52.25},
		Stop: brief.Stop{At: start.Add(time.Duration(minutes) * time.Minute), HandIn: start.Add(time.Duration(minutes)*time.Minute - 90*time.Second),
			Landmark: "the jetty", Bearing: quantity.TowardDegrees(16), Distance: 300 * yd},
		End:   "Lift here " + start.Add(time.Duration(minutes)*time.Minute).Format("15:04") + ": the jetty bears 016° (NNE), 300 yd off",
		EndBy: "margin", Why: "Longest run over 10 to 18 ft on this wind.", Change: "Wind south of SW: start 100 yd further up."}
	var left, rightEdge []brief.Point
	for i := 0; i <= int(minutes); i++ {
		f := float64(i) / minutes
		x, y := right+40*f*f, down+length*f
		d.Track = append(d.Track, brief.Step{Minute: float64(i), At: fromPage(x, y), Bed: bed(f), Sounded: f < 0.62 || f > 0.76})
		left = append(left, fromPage(x-90*f-4, y))
		rightEdge = append(rightEdge, fromPage(x+90*f+4, y))
	}
	d.Fan = [][]brief.Point{left, rightEdge}
	d.Passes = []brief.Pass{{FromMinute: 12, ToMinute: 16, What: "drop-off, 11 to 17 ft"}, {FromMinute: 26, ToMinute: 31, What: "not sounded"}}
	return d
}

// fall is an invented path: down in the count, on down and level in the pull, up in the hang.
func fall(atCount, deepest, count, pull, hang, span float64) []brief.Sample {
	var out []brief.Sample
	for t := 0.0; t <= span; t += 0.5 {
		var z float64
		switch {
		case t <= count:
			z = atCount * math.Pow(t/math.Max(count, 0.5), 1.05)
		case t <= pull:
			f := (t - count) / (pull - count)
			z = atCount + (deepest-atCount)*math.Sin(math.Pi*math.Min(1, f*1.25)/2*0.98)
			if f > 0.8 {
				z -= (f - 0.8) * deepest * 0.6
			}
		case t <= hang:
			f := (t - pull) / (hang - pull)
			z = deepest * (0.88 - 0.1*f)
		default:
			f := (t - hang) / (span - hang)
			z = deepest * 0.78 * (1 - f)
		}
		out = append(out, brief.Sample{Second: t, Depth: math.Max(0, z), X: 20 * (1 - math.Max(0, t-count)/(span-count))})
	}
	return out
}

func exampleSetUp() brief.SetUp {
	s := brief.SetUp{
		Name: "#7, 4 in/s line, two lures", Way: "sinking line, counted and pulled, hung", Line: "4 in/s, even, 40 yd",
		Leader: "14 ft of 9 lb, one dropper", Hang: 25 * ft, Length: 14 * ft, Count: 21, Pull: "Pull 12 in, 27 a minute", Out: 25 * yd,
		Cycle: 70, In: 35, Searched: 1, When: "start here",
		Rule: "sink rate times seconds, less what the boat lifts", Why: "Both flies lie at their depth for half of the cast.",
		Checks: []brief.Check{{Level: "good", Text: "Strength: 9 lb carries two #10 lures."}, {Level: "good", Text: "Turn-over: #7 outfit, wind behind."},
			{Level: "mind", Text: "The dropper leaves their depth after 22 s of pull. Count 29 keeps it in."}, {Level: "no", Text: "Three flies: two are the rule here."}},
	}
	s.Cast = brief.CastPicture{Span: 64, CountEnd: 21, PullEnd: 49, HangEnd: 59, PullEvery: 2.2,
		Band: []brief.Band{{Top: 7 * ft, Bottom: 10 * ft}}, Belief: hump(8.5, 2.4), LayerDepth: ft / 2, Bed: 17 * ft,
		Low: 1 * ft, High: 1 * ft, RuleDepth: 7 * ft, RuleText: "the boat comes up on the line and lifts it"}
	for i := 0; i <= 40; i++ {
		f := float64(i) / 40
		s.Cast.Still = append(s.Cast.Still, brief.Sample{X: 20 * f, Depth: -1.2 + 3.4*math.Sin(math.Pi*0.62*f)})
	}
	s.Flies = []brief.Fly{
		{Role: "point", Name: "damsel, beaded", FromTip: 14 * ft, AtCount: 5.7 * ft, Deepest: 9.4 * ft, AtHang: 8 * ft, In: 35, Path: fall(5.7*ft, 9.4*ft, 21, 49, 59, 64)},
		{Role: "dropper", Name: "spider", FromTip: 5.5 * ft, AtCount: 4.2 * ft, Deepest: 8.2 * ft, AtHang: 6 * ft, In: 16, Path: fall(4.2*ft, 8.2*ft, 21, 49, 59, 64)},
	}
	return s
}

// washing is a way without a count: three flies, the point at the surface.
func washing() brief.SetUp {
	s := exampleSetUp()
	s.Name, s.Way, s.Line = "#6, washing line, three flies", "washing line", "floating"
	s.Leader, s.Length, s.Hang, s.Count, s.Pull, s.When = "18 ft of 7 lb, two droppers", 18*ft, 0, 0, "figure-of-eight, slow", "in a calm"
	s.Rule, s.Out, s.Cycle, s.In, s.Searched = "buoyant point, nymphs between it and the line", 18*yd, 95, 60, 0.44
	s.Cast = brief.CastPicture{Span: 90, PullEnd: 84, HangEnd: 84, Band: []brief.Band{{Top: 1 * ft, Bottom: 3 * ft}},
		Belief: hump(2, 1), LayerDepth: ft / 2, Bed: math.NaN(), RuleText: "Depth comes from the leader, not from time"}
	s.Flies = nil
	for i, f := range []struct {
		role, name string
		from, deep float64
	}{{"point", "booby", 18, 0.2}, {"middle", "buzzer, black", 11, 2.6}, {"top dropper", "nymph, olive", 5.5, 1.6}} {
		s.Flies = append(s.Flies, brief.Fly{Role: f.role, Name: f.name, FromTip: f.from * ft, AtCount: math.NaN(), Deepest: f.deep * ft,
			AtHang: f.deep * ft * 0.8, In: float64(20 * i), Path: fall(0.1, f.deep*ft, 2, 80, 84, 90)})
	}
	s.Checks = nil
	return s
}

// exampleBrief is the whole day of a boat that can do what it wants.
func exampleBrief() brief.Brief {
	b := brief.Brief{
		Water: "Quillmere", Units: quantity.Trade, From: hm(9, 0), Until: hm(17, 30), Status: "whole",
		Headline: "Boat 09:00 to 17:30. Start with the 4 in/s line, count 21, drift 1.",
		Cautions: []brief.Caution{
			{Level: brief.Mind, Text: "Gusts 25 mph from 15:00. Off the open water by 14:45.", Source: "the forecast you gave, your limit 22 mph"},
			{Level: brief.Note, Text: "Not sounded from 26 to 31 min of drift 2.", Source: "the soundings"},
		},
		Hours:    exampleHours(9, 9),
		SetUps:   []brief.SetUp{exampleSetUp(), washing()},
		Turn:     "Turn for home at 14:45: gusts 25 mph from 15:00.",
		Kit:      []string{"#7 rod, 10 ft", "Floating line", "Drogue, ropes equal", "Net, priest", "4 in/s and 6 in/s lines", "9 lb leader, 14 ft", "Lifejackets", "Warm coat: 11 °C"},
		Touch:    []string{"Keep in touch: pull 12 in, 27 a minute at 0.5 mph; 16 in at 1.1.", "Hang at the mark, 9 yd off, 10 s.", "Move after 35 empty minutes.", "Lift the drogue before the motor."},
		NotKnown: []string{"Depths give or take 1 ft.", "Nobody has sounded north of the island.", "How clear the water is: taken as 2.5 m."},
		Sources:  []string{"Wind, gusts: the forecast you gave, 06:00.", "Chop: waves, from wind and fetch.", "Their depth: presence, from light, wind and 11 °C air."},
	}
	b.Lake = brief.Lake{WindFrom: quantity.FromDegrees(270), WindText: "W 12 mph, backing S 15",
		Shore:   [][]brief.Point{ringOf(0, 0, 430, 640, 0.05, 0.07, 0.05, 0.02)},
		Islands: [][]brief.Point{ringOf(-190, -40, 26, 40, 0.1)},
		Low:     brief.Point{X: -700, Y: -500}, High: brief.Point{X: 700, Y: 500},
		Origin: [2]float64{-30.25, 52.5},
	}
	for i, depth := range []float64{5, 10, 15, 20} {
		f := 0.88 - 0.17*float64(i)
		b.Lake.Contours = append(b.Lake.Contours, brief.Contour{Depth: depth * ft, Lines: [][]brief.Point{ringOf(10, 10, 430*f, 640*f, 0.05, 0.07, 0.05)}})
	}
	b.Lake.NotSounded = [][]brief.Point{ringOf(-140, -330, 80, 60, 0.1)}
	b.Lake.Places = []brief.Place{
		{Kind: "keep_off", Name: "reserve", Closed: true, Line: []brief.Point{fromPage(-430, 60), fromPage(-330, 90), fromPage(-300, 240), fromPage(-320, 330), fromPage(-420, 260)}},
		{Kind: "buoys", Name: "buoys", Line: []brief.Point{fromPage(150, 150), fromPage(200, 165), fromPage(250, 178), fromPage(310, 185)}},
		{Kind: "weed", Name: "weed", Line: []brief.Point{fromPage(140, 470), fromPage(190, 430), fromPage(235, 380)}},
		{Kind: "jetty", Name: "jetty", Line: []brief.Point{fromPage(70, 575), fromPage(80, 625)}},
		{Kind: "inflow", Name: "Osier brook", Line: []brief.Point{fromPage(250, -450)}},
		{Kind: "stone", Name: "Old wall", Line: []brief.Point{fromPage(280, -60)}},
	}
	one := exampleDrift(1, 60, -470, 560, 38, hm(9, 20), func(f float64) float64 { return (9 + 8/(1+math.Exp(-20*(f-0.36)))) * ft })
	two := exampleDrift(2, -150, -330, 590, 41, hm(10, 15), func(f float64) float64 { return (14 - 8*math.Exp(-(f-0.37)*(f-0.37)*60) + 2*f) * ft })
	three := exampleDrift(3, 60, 150, 300, 33, hm(11, 25), func(f float64) float64 { return (18 - 11*f*f) * ft })
	two.Why, three.Why = "Passes both sides of the sunken island.", "Ends on the weed edge with the wind blowing on to it."
	three.SetUp = 1
	one.Ride = []brief.Point{fromPage(80, 620), fromPage(120, 100), one.Track[0].At}
	two.Ride = []brief.Point{one.Track[38].At, two.Track[0].At}
	b.Drifts = []brief.Drift{one, two, three}
	b.RideHome = []brief.Point{three.Track[33].At, fromPage(80, 620)}
	b.Choices = []brief.Choice{
		{Line: "2½ in/s", Fly: "point", Count: 30, Retrieve: "pull 12 in, 27 a minute", AtCount: 5 * ft, Deepest: 8 * ft, In: 22, Hour: 0.71, When: "before 10:30"},
		{Line: "4 in/s", Fly: "point", Count: 21, Retrieve: "pull 12 in, 27 a minute", AtCount: 5.7 * ft, Deepest: 9.4 * ft, In: 35, Hour: 1, When: "start here"},
		{Line: "4 in/s", Fly: "dropper", Count: 29, Retrieve: "pull 12 in, 27 a minute", AtCount: 7.5 * ft, Deepest: 11.5 * ft, In: 31, Hour: 0.93, When: "12:00 to 15:00"},
		{Line: "6 in/s", Fly: "point", Count: 16, Retrieve: "roly-poly", AtCount: 6 * ft, Deepest: 9.4 * ft, In: 33, Hour: 0.9, When: "drift above 0.7 mph"},
	}
	return b
}

// The edges of what a brief can be.
func edgeBriefs() map[string]brief.Brief {
	all := map[string]brief.Brief{"whole": exampleBrief()}

	metric := exampleBrief()
	metric.Units = quantity.Metric
	for i := range metric.Hours {
		metric.Hours[i].Bands = []brief.Band{{Top: 1.2, Bottom: 1.8}, {Top: 3.5, Bottom: 4.3}}
	}
	metric.SetUps[0].Cast.Band = metric.Hours[0].Bands
	metric.SetUps[0].Cast.Bed = math.NaN()
	metric.Hours = append(metric.Hours, exampleHours(18, 3)...)
	metric.Status, metric.Reason = "cut_short", "The motor's battery reaches home from drift 3 but not from a fourth."
	metric.Cautions = append([]brief.Caution{{Level: brief.Mind, Text: metric.Reason}}, metric.Cautions...)
	all["metric, two depths, 12 hours"] = metric

	none := exampleBrief()
	none.Drifts, none.SetUps, none.Choices = nil, nil, nil
	none.Status, none.Reason, none.Headline = "go_in", "Gusts of 38 mph from 09:00: nobody should be on open water.", "Stay ashore today."
	none.Cautions = append([]brief.Caution{{Level: brief.Now, Text: none.Reason, Source: "forecast"}}, none.Cautions...)
	all["go in"] = none

	nothing := exampleBrief()
	nothing.Drifts, nothing.Hours = nil, nothing.Hours[:1]
	nothing.Until = hm(10, 0)
	nothing.Status, nothing.Reason = "nothing_reachable", "No drift can be reached from the jetty and back before dark."
	nothing.Cautions = append([]brief.Caution{{Level: brief.Now, Text: nothing.Reason}}, nothing.Cautions...)
	nothing.Lake.Places = append(nothing.Lake.Places, brief.Place{Kind: "empty"})
	all["nothing reachable, 1 hour"] = nothing

	long := exampleBrief()
	long.Water = "The Old Upper Osier Flood & Withy Bottom Reservoir <north arm>"
	long.Headline = "Boat 09:00 to 17:30. " + long.Headline + " " + long.Headline
	for i := range 5 {
		d := long.Drifts[i%3]
		d.Number, d.Start = 4+i, hm(12+i, 10)
		d.StartAt = "480 yd NNE of the third marker on the old drowned hedge, in line with the church and the gap in the wood"
		d.Why = "Because it is the longest run of water of that depth that the wind leaves open, and nobody has been over it since Sunday."
		long.Drifts = append(long.Drifts, d)
	}
	long.SetUps[0].Name = "#8, slow even sinker with the long front taper that was repaired, two very large lures"
	long.SetUps[0].Flies[0].Name = "a damsel nymph with a bead, a long tail and a name that never ends, size 10, dark olive"
	long.SetUps[0].Count, long.SetUps[0].Cast.CountEnd, long.SetUps[0].Cast.PullEnd, long.SetUps[0].Cast.HangEnd, long.SetUps[0].Cast.Span = 58, 58, 92, 104, 112
	long.SetUps[0].Cast.Bed = 40 * ft
	for i := range long.SetUps[0].Flies {
		f := &long.SetUps[0].Flies[i]
		f.Path = fall(f.AtCount, f.Deepest, 58, 92, 104, 112)
	}
	for _, s := range []string{"Wind ≥ 20 mph: go in", "Sun in your eyes on drift 2 until 11:00"} {
		long.Cautions = append(long.Cautions, brief.Caution{Level: brief.Mind, Text: s, Source: "almanac"})
	}
	for i := range long.Drifts[1].Track {
		long.Drifts[1].Track[i].Bed = math.NaN()
		long.Drifts[1].Track[i].Sounded = false
	}
	all["long names, eight drifts, bed unknown"] = long

	dry := exampleBrief()
	dry.SetUps = []brief.SetUp{washing(), washing(), washing()}
	dry.SetUps[0].Name, dry.SetUps[0].Way, dry.SetUps[0].Pull = "#5, dry flies", "dry flies, cast ahead of rising fish", ""
	dry.SetUps[0].Flies = []brief.Fly{{Role: "point", Name: "sedge", FromTip: 12 * ft, AtCount: math.NaN(), In: 0, Path: []brief.Sample{{Second: 0, Depth: 0}, {Second: 30, Depth: 0}}}}
	dry.SetUps[0].Cast = brief.CastPicture{Span: 30, PullEnd: 30, HangEnd: 30, Bed: 9 * ft, LayerDepth: ft / 2, Belief: hump(0, 1), Band: []brief.Band{{Top: 0, Bottom: 1 * ft}}}
	dry.SetUps[1].Name, dry.SetUps[1].Way, dry.SetUps[1].Pull = "#6, bung, flies at fixed depths", "bung", "let it lie"
	dry.SetUps[2].Name, dry.SetUps[2].Flies, dry.SetUps[2].Cast = "nothing tied", nil, brief.CastPicture{Bed: math.NaN()}
	dry.SetUps[2].Length = 0
	for i := range dry.Hours {
		dry.Hours[i].Bands, dry.Hours[i].Belief, dry.Hours[i].Wind, dry.Hours[i].Gust = nil, nil, math.NaN(), math.NaN()
		dry.Hours[i].Wave, dry.Hours[i].Drogue = math.NaN(), false
	}
	dry.Lake = brief.Lake{WindFrom: quantity.FromDegrees(45), WindText: "NE 3 mph"}
	all["dry flies, bung, no flies, no lake"] = dry

	for _, n := range []int{1, 12} {
		b := exampleBrief()
		b.Drifts = nil
		for i := range n {
			d := exampleBrief().Drifts[i%3]
			d.Number, d.Start = i+1, hm(9, 5).Add(time.Duration(i)*40*time.Minute)
			d.Stop.At, d.Stop.HandIn = time.Time{}, time.Time{} // its minutes say it
			d.End = "Lift here " + clock(stopOf(d).At) + ": the jetty bears 016° (NNE), 300 yd off"
			d.SetUp = i % 2
			b.Drifts = append(b.Drifts, d)
		}
		if n > 1 { // the whole bag, and all there is to mind
			for i := range 3 {
				s := washing()
				s.Name, s.When = []string{"buzzers on the washing line", "sink tip nymphs", "bung"}[i], "another way, if they want it"
				b.SetUps = append(b.SetUps, s)
			}
			for i := range 12 {
				c := brief.Caution{Level: brief.Note, Text: "Sit to cast, to play and to net. Change places low, over the middle, one at a time."}
				if i < 4 {
					c = brief.Caution{Level: brief.Mind, Text: "Water 9 °C: whoever falls in gasps for a minute and has perhaps ten of useful hands. Hold on to the boat."}
				}
				c.Text = strings.Replace(c.Text, " ", fmt.Sprintf(" (%d) ", i+1), 1)
				b.Cautions = append(b.Cautions, c)
			}
			for i := range 20 {
				b.Kit = append(b.Kit, fmt.Sprintf("leader fluorocarbon of %d lb", i+3))
			}
		}
		b.Waits = []brief.Wait{{From: hm(16, 30), Until: hm(17, 0), Reason: "Too little time for one more drift."}}
		all[fmt.Sprintf("drifts: %d", n)] = b
	}

	all["empty"] = brief.Brief{}
	return all
}
