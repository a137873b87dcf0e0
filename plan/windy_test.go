package plan

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/quantity"
)

// forecastOf reads one of the invented days' winds into a question's hours, with
// the error that the windy days are drawn from: direction 7° and 1.5° for each
// hour ahead of From, speed 10 % and 2 %.
func forecastOf(t testing.TB, name string, q *Question) {
	t.Helper()
	f, err := os.Open("../refdata/drift/wind_" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 10 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	worth := q.Hours[0].Worth
	q.Hours = nil
	for _, r := range rows[1:] {
		at, err := time.Parse("15:04", r[0])
		num := func(s string) float64 {
			v, e := strconv.ParseFloat(s, 64)
			if e != nil {
				err = e
			}
			return v
		}
		h := Hour{At: clock(at.Hour(), 0), Wind: num(r[2]), Gust: num(r[3]), From: quantity.FromDegrees(num(r[1])), Worth: worth}
		if err != nil {
			t.Fatal(err)
		}
		q.Hours = append(q.Hours, h)
	}
	spreadWithLead(q)
}

func spreadWithLead(q *Question) {
	for i := range q.Hours {
		ahead := math.Max(0, q.Hours[i].At.Sub(q.From).Hours())
		q.Hours[i].FromSD, q.Hours[i].SpeedSD = degrees(7+1.5*ahead), 0.10+0.02*ahead
	}
}

func (c *chance) normal() float64 { return math.Sqrt2 * math.Erfinv(2*(c.share()+1e-12)-1) }

// drawn are hours as they came: each forecast hour turned and stretched by its own
// spread times a chain of normal numbers, one for direction and one for speed, of
// which e^−(1/4) is kept from hour to hour. What is drawn has no error itself.
func drawn(hours []Hour, dice *chance) (true_ []Hour) {
	kept := math.Exp(-1.0 / 4)
	turn, more := dice.normal(), dice.normal()
	for _, h := range hours {
		h.From = quantity.FromDegrees((float64(h.From) + turn*h.FromSD) * 180 / math.Pi)
		factor := math.Max(0.2, 1+more*h.SpeedSD)
		h.Wind, h.Gust = h.Wind*factor, h.Gust*factor
		h.FromSD, h.SpeedSD = 0, 0
		true_ = append(true_, h)
		fresh := math.Sqrt(1 - kept*kept)
		turn, more = kept*turn+fresh*dice.normal(), kept*more+fresh*dice.normal()
	}
	return true_
}

// sure is a question whose forecast knows no error.
func sure(q Question) Question {
	q.Hours = slices.Clone(q.Hours)
	for i := range q.Hours {
		q.Hours[i].FromSD, q.Hours[i].SpeedSD = 0, 0
	}
	return q
}

// afloat is a day as it is fished, in the wind as it came.
type afloat struct {
	p     *planner
	t     float64
	at    orb.Point
	value float64
}

func putOff(t testing.TB, q Question) *afloat {
	q = sure(q)
	q.Settings.Shortest = 60 // one that was begun counts, however soon it has to be given up
	return &afloat{p: morning(t, q), at: q.Start}
}

// make goes to a drift's start and drifts as long as was meant, or to the margin.
func (a *afloat) make(want asked) bool {
	k, ok := a.p.a.launch(a.at)
	if !ok {
		return false
	}
	a.p.age(a.t)
	a.p.a.motorFrom(k, &a.p.here)
	f, ok := a.p.follow(want, a.t, a.at, func(t float64, from, to orb.Point) (Ride, bool) { return a.p.ride(&a.p.here, t, from, to) })
	if !ok {
		return false
	}
	a.value += f.value
	a.p.used += f.ride.Time * a.p.q.Boat.Power
	a.p.cover(f)
	a.t, a.at = f.start+f.time+a.p.q.Settings.HandIn, f.end
	return true
}

// keep carries out a morning's list, each drift as soon as the one before is
// done, and goes through it again while hours remain.
func (a *afloat) keep(list []asked) float64 {
	for made := true; made; {
		made = false
		for _, want := range list {
			made = a.make(want) || made
		}
	}
	return a.value
}

// seen is how well the wind is judged afloat in these days, one standard
// deviation of direction [rad] and speed [1].
type seen struct{ turn, speed float64 }

// again asks before each drift what is best next, from what the forecast of the
// morning and the wind just met say.
func (a *afloat) again(t testing.TB, forecast Question, judge seen, dice *chance) float64 {
	for a.t < a.p.deadline {
		q := forecast
		q.From, q.Start = a.p.clock(a.t), a.at
		e, n := a.p.wind.At(a.t)
		from := float64(quantity.TowardVector(e, n).From()) + judge.turn*dice.normal()
		q.Observed = &Observed{At: q.From, Wind: math.Hypot(e, n) * math.Max(0.2, 1+judge.speed*dice.normal()), From: quantity.FromDegrees(from * 180 / math.Pi)}
		q.Fished, q.Blank = make([]float32, len(a.p.effort)), slices.Clone(a.p.blank)
		faded := float32(math.Exp(-a.t / q.Settings.Recovery))
		for k, e := range a.p.effort {
			q.Fished[k] = e * faded
		}
		if q.Until.Sub(q.From) <= 0 {
			break
		}
		p := morning(t, q)
		next, _, ok := p.best(0, a.at, nil)
		if !ok {
			break
		}
		if !a.make(asked{orb.Point{next.x, next.y}, next.time}) {
			a.t += 300 // looked at again
		}
	}
	return a.value
}

// policies are the ways of going about an uncertain day.
var policies = []string{"morning plan, forecast alone", "morning plan, nine winds", "before each drift, one wind", "before each drift, nine winds"}

// windyDays are the values of days by some of the policies, the same days for each.
func windyDays(t testing.TB, q Question, days int, judge seen, seed uint64, which ...int) (values [4][]float64) {
	t.Helper()
	lists := [2][]asked{}
	for i, asking := range []Question{sure(q), q} {
		p := morning(t, asking)
		lists[i] = wishes(p.search(t.Context()).made)
		if len(lists[i]) < 2 {
			t.Fatalf("a morning plan of %d drifts", len(lists[i]))
		}
	}
	dice := chance(seed)
	for range days {
		came := q
		came.Hours = drawn(q.Hours, &dice)
		stream := dice.next()
		for _, i := range which {
			a, own := putOff(t, came), chance(stream) // errors of judgement alike
			var v float64
			switch {
			case i < 2:
				v = a.keep(lists[i])
			case i == 2:
				v = a.again(t, sure(q), judge, &own)
			default:
				v = a.again(t, q, judge, &own)
			}
			values[i] = append(values[i], v)
		}
	}
	return values
}

// meanAndWorst are the mean of some days and that of their worst quarter.
func meanAndWorst(v []float64) (mean, worst float64) {
	s := slices.Sorted(slices.Values(v))
	for i, x := range s {
		mean += x / float64(len(s))
		if i < len(s)/4 {
			worst += x / float64(len(s)/4)
		}
	}
	return mean, worst
}

// paired is by how much b is better than a on the same days, as a share of a's
// mean, and half the width of its 95 % interval (normal: there are many days).
func paired(a, b []float64) (more, half float64) {
	mean, _ := meanAndWorst(a)
	n, square := float64(len(a)), 0.0
	for i := range a {
		more += (b[i] - a[i]) / n
	}
	for i := range a {
		square += (b[i] - a[i] - more) * (b[i] - a[i] - more)
	}
	return more / mean, 1.96 * math.Sqrt(square/(n-1)/n) / mean
}

// Days whose wind comes otherwise than forecast, two hours and a half each on 563 ha in
// wide cells, half of them of a steady forecast and half of one that shifts, the
// wind met judged as well as the planner takes it to be: asked again before each
// drift it brings 5 % more than the morning's plan on the forecast alone, and
// that is not by chance.
func TestAskedAgainIsBetter(t *testing.T) {
	const morningPlan, askedAgain = 0, 3
	var all [4][]float64
	for _, name := range []string{"steady", "shift"} {
		q := wholeDay(t, 20)
		q.Until = clock(11, 30)
		forecastOf(t, name, &q)
		for i, v := range windyDays(t, q, 50, seen{observedTurn, observedSpeed}, 1, morningPlan, askedAgain) {
			all[i] = append(all[i], v...)
		}
	}
	for _, i := range []int{morningPlan, askedAgain} {
		mean, worst := meanAndWorst(all[i])
		t.Logf("%-32s %.0f m², worst quarter %.0f", policies[i], mean, worst)
	}
	more, half := paired(all[morningPlan], all[askedAgain])
	t.Logf("%d days: %+.1f %% ± %.1f", len(all[0]), 100*more, 100*half)
	if len(all[morningPlan]) != 100 || len(all[askedAgain]) != 100 || more-half < 0 || more < 0.05 {
		t.Errorf("%d days: %+.3f ± %.3f", len(all[0]), more, half)
	}
}

// Uncertain days on 563 ha, nine to five, 50 of a steady forecast and 50 of one
// that shifts: value of each policy [1e3 m²] and how much better the last is than
// the first [%].
func BenchmarkWindyDays(b *testing.B) {
	for _, name := range []string{"steady", "shift"} {
		for _, judge := range []seen{{}, {observedTurn, observedSpeed}} {
			what := "wind met known exactly"
			if judge.turn > 0 {
				what = "wind met judged"
			}
			b.Run(fmt.Sprintf("%s, %s", name, what), func(b *testing.B) {
				q := wholeDay(b, 10)
				forecastOf(b, name, &q)
				var v [4][]float64
				for b.Loop() {
					v = windyDays(b, q, 50, judge, 1, 0, 1, 2, 3)
				}
				for i, unit := range []string{"a", "b", "c", "d"} {
					mean, worst := meanAndWorst(v[i])
					b.ReportMetric(mean/1000, unit)
					b.ReportMetric(worst/1000, unit+"_worst")
				}
				for _, c := range []struct {
					unit string
					a, b int
				}{{"d-a_%", 0, 3}, {"d-c_%", 2, 3}, {"b-a_%", 0, 1}} {
					more, half := paired(v[c.a], v[c.b])
					b.ReportMetric(100*more, c.unit)
					b.ReportMetric(100*half, "±"+c.unit)
				}
			})
		}
	}
}
