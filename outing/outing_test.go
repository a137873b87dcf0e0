package outing_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"windlane/internal/text"
	"windlane/outing"
	"windlane/quantity"
	"windlane/tackle"
)

const goodDay = `# a day out
date = 2026-05-02
from = "08:30"
until = "17:00"
utc_offset = "+01:00"
aim = "surest"
way = "bung"
units = "metric"
secchi = "10 ft"
drawdown = "0.4 m"
water_temperature = "52 F"
gust_limit = "25 mph"
bright_days = 3
algae = true
thunder_heard = true
seen = ["rising", "spooned_midge"]

[[told]]
text = "all near the bed off the causeway"
trust = 0.7
depth = ["0 ft", "3 ft"]
from_bed = true
place = "the causeway"

[[told]]
text = "put in on Monday"
stocked = 2026-04-27
rod_average = 3.1
`

// daySeeds: the first two are days, the others are refused.
var daySeeds = []string{
	goodDay,
	"date = \"2026-05-02\"\nfrom = \"8:00\"\nuntil = \"9:00\"\nutc_offset = \"Z\"\n",
	"date = 2026-05-02\nfrom = 08:00:00\n",
	"told = [{cause = \"midge\"}]\n",
	"date = 2026-05-02T08:00:00Z\nutc_offset = \"+99:00\"\n",
}

func TestReadDay(t *testing.T) {
	d, err := outing.ReadDay("day.toml", strings.NewReader(goodDay))
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2026, 5, 2, 7, 30, 0, 0, time.UTC); !d.From.Equal(want) {
		t.Errorf("from %v, want %v", d.From.UTC(), want)
	}
	if got := d.Until.Sub(d.From); got != 8*time.Hour+30*time.Minute {
		t.Errorf("%v afloat", got)
	}
	if d.Aim != outing.Surest || d.Way != tackle.Bung || d.Units != quantity.Metric || d.BrightDays != 3 || !d.HasWater || !d.Algae || !d.ThunderHeard {
		t.Errorf("%+v", d)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"secchi", d.Secchi, 3.048}, {"drawdown", d.Drawdown, 0.4}, {"water", d.WaterC, 100.0 / 9}, {"gusts", d.GustLimit, 11.176}} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s %v, want %v", c.what, c.got, c.want)
		}
	}
	if len(d.Seen) != 2 || d.Seen[1] != outing.SpoonedMidge || len(d.Told) != 2 {
		t.Fatalf("seen %v, told %v", d.Seen, d.Told)
	}
	a, b := d.Told[0], d.Told[1]
	if !a.HasDepth || a.Top != 0 || math.Abs(a.Bottom-0.9144) > 1e-9 || !a.FromBed || a.Trust != 0.7 || a.Place != "the causeway" {
		t.Errorf("%+v", a)
	}
	if b.Stocked.Format("2 Jan") != "27 Apr" || b.RodAverage != 3.1 || !b.HasRodAverage || a.HasRodAverage || b.Trust != 0.5 {
		t.Errorf("%+v", b)
	}
	// That nobody catches is told, too.
	d, err = outing.ReadDay("day.toml", strings.NewReader(daySeeds[1]+"[[told]]\nrod_average = 0\n"))
	if err != nil || len(d.Told) != 1 || !d.Told[0].HasRodAverage || d.Told[0].RodAverage != 0 {
		t.Errorf("a rod average of nought: %v, %+v", err, d)
	}
	// What is not said stays unsaid.
	d, err = outing.ReadDay("day.toml", strings.NewReader(daySeeds[1]))
	if err != nil {
		t.Fatal(err)
	}
	if d.Aim != outing.Most || d.Units != quantity.Trade || d.HasWater || d.Secchi != 0 || d.Seen != nil || d.Told != nil || d.Algae || d.ThunderHeard {
		t.Errorf("%+v", d)
	}
}

func TestDayFaults(t *testing.T) {
	head := "date = 2026-05-02\nfrom = \"08:30\"\nuntil = \"17:00\"\nutc_offset = \"+01:00\"\n"
	cases := []struct{ name, in, want string }{
		{"empty", "", "is empty"},
		{"no date", strings.Replace(head, "date = 2026-05-02\n", "", 1), "date: must be the day"},
		{"bad date", strings.Replace(head, "2026-05-02", "\"2 May\"", 1), `d.toml, line 1, date: "2 May" must be the day`},
		{"no zone", strings.Replace(head, "utc_offset = \"+01:00\"\n", "", 1), "how far the lake's clock is from UTC"},
		{"zone", strings.Replace(head, "+01:00", "+15:00", 1), "how far the lake's clock"},
		{"from", strings.Replace(head, "08:30", "half eight", 1), `line 2, from: "half eight" must be a time`},
		{"until", strings.Replace(head, "17:00", "08:30", 1), "must be later than from"},
		{"aim", head + "aim = \"fun\"\n", "allowed are most, surest, biggest, method"},
		{"method", head + "aim = \"method\"\n", "method needs the way"},
		{"secchi", head + "secchi = \"300 ft\"\n", "allowed is 0.1 to 30 m"},
		{"drawdown", head + "drawdown = \"-2 ft\"\n", `line 5, drawdown: "-2 ft" is a level above full`},
		{"far down", head + "drawdown = \"200 m\"\n", "allowed is 0 to 100 m"},
		{"algae", head + "algae = \"green\"\n", "line 5, algae"},
		{"thunder", head + "thunder_heard = 3\n", "line 5, thunder_heard"},
		{"seen", head + "seen = [\"ufo\"]\n", `"ufo" is no sign known here: allowed are [rising`},
		{"unknown", head + "mood = \"good\"\n", "is an unknown key: allowed here are aim, algae, bright_days"},
		{"nothing told", head + "[[told]]\ntext = \"great day\"\n", "says nothing that can be used"},
		{"trust", head + "[[told]]\ncause = \"midge\"\ntrust = 70\n", `line 7, told[1].trust: "70" is out of range: allowed is 0 to 1`},
		{"depth", head + "[[told]]\ndepth = [\"10 ft\", \"6 ft\"]\n", "the upper first"},
		{"bed", head + "[[told]]\ncause = \"midge\"\nfrom_bed = true\n", "say depth too"},
		{"stocked", head + "[[told]]\nstocked = 2026-05-03\n", "not after this one"},
		{"rod average", head + "[[told]]\nrod_average = \"lots\"\n", `"lots" is not a number`},
		{"told key", head + "[[told]]\ncause = \"midge\"\nwho = \"x\"\n", "is an unknown key: allowed here are cause, depth"},
	}
	for _, c := range cases {
		_, err := outing.ReadDay("d.toml", strings.NewReader(c.in))
		var f *text.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\nwant %q", c.name, err, c.want)
		}
	}
}

func TestDaySeeds(t *testing.T) {
	if len(daySeeds) < 2 {
		t.Fatalf("%d seeds", len(daySeeds))
	}
	for i, s := range daySeeds {
		if _, err := outing.ReadDay("seed", strings.NewReader(s)); (err == nil) != (i < 2) {
			t.Errorf("seed %d: %v", i+1, err)
		}
	}
}

func FuzzReadDay(f *testing.F) {
	for _, s := range daySeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		d, err := outing.ReadDay("fuzz", strings.NewReader(string(b)))
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		if !d.Until.After(d.From) || d.Until.Sub(d.From) >= 24*time.Hour || math.IsNaN(d.Secchi) || d.Zone == nil {
			t.Errorf("%+v", d)
		}
	})
}
