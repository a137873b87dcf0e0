// Package caution says what to mind before and in a day afloat in a small open
// boat: wind, waves, cold water, lightning, ropes and hooks, and the fish.
//
// It reminds; it never says that anything is safe. What it says comes after the
// water's own rules, its warden and the weather service, and the first caution
// of every list says so. Figures carry their source; what is only common
// practice says that too. The model page is docs/models/caution.md.
//
// caution may touch quantity and nothing else of the module.
package caution

import (
	"fmt"
	"math"
	"slices"
	"time"

	"windlane/quantity"
)

// Level is how grave a caution is.
type Level int

const (
	Note Level = iota // good to remember
	Mind              // the day asks for it
	Now               // at once
)

// String is "note", "mind" or "now".
func (l Level) String() string { return [...]string{"note", "mind", "now"}[l] }

// Caution is one thing to mind.
type Caution struct {
	Level  Level
	Key    string // names it, the same every day: "cold_water"
	Text   string // what to do, in a sentence or two
	Why    string // the reason
	Source string // where the reason comes from
}

// Day is what is known of the day. What is not known stays zero; the cautions
// then say what is always true.
type Day struct {
	Units quantity.System
	From  time.Time // hours afloat; their zone is the one the texts speak in
	Until time.Time
	Dusk  time.Time // end of civil twilight; zero when not known

	Wind   float64   // strongest mean in the hours [m/s]
	Gust   float64   // strongest; 0 when not known [m/s]
	GustAt time.Time // when
	// GuessedGust: nobody forecast a gust, Gust is the usual one for the mean.
	GuessedGust bool
	Squall      float64   // strongest wind of a spell that may come; 0 when none is told [m/s]
	SquallAt    time.Time // when it may
	Wave        float64   // highest significant; 0 when not known [m]
	WaveAt      time.Time // when
	GoIn        time.Time // a limit is reached then; zero if never
	GustLimit   float64   // 0 when none [m/s]
	WaveLimit   float64   // 0 when none [m]
	LimitGiven  bool      // the limits are the person's own; false: taken for want of any

	Visibility float64 // least in the hours; 0 when not told [m]
	Fog        bool    // forecast in the hours
	FogFrom    time.Time
	FogAtFirst bool      // it lies already when the hours begin
	FogUntil   time.Time // when that lifts by the forecast; zero: not in the hours

	Rough     bool      // wind or gusts are beyond design category D in the hours
	RoughFrom time.Time // from when

	Thunder      quantity.Probability // greatest chance forecast in the hours; 1 when told outright
	ThunderFrom  time.Time            // from when it has that chance, or is likely
	ThunderMay   time.Time            // from when it may come
	ThunderHeard bool                 // heard or seen already

	HasWater  bool    // the water was measured
	WaterC    float64 // as measured; NaN: not known [°C]
	WaterLow  float64 // not measured: the low end of a guess; NaN: not known [°C]
	WaterHigh float64 // and its high end; both 0: no guess [°C]
	HasAir    bool
	AirC      float64 // coldest in the hours; NaN: not known [°C]

	People     int  // in the boat
	HeavyFlies bool // lures or heavy flies are cast
	Engine     bool
	Drogue     bool
	Anchor     bool // anchoring is part of the plan
	Algae      bool // blue-green algae are reported
	Returned   bool // fish may be put back
}

const practice = "common practice, no source"

// Of lists what to mind, the gravest first, else in the order of a day: before
// leaving, afloat, afterwards.
func Of(d Day) []Caution {
	d.HasWater = d.HasWater && !math.IsNaN(d.WaterC) && !math.IsInf(d.WaterC, 0)
	d.HasAir = d.HasAir && !math.IsNaN(d.AirC)
	out := []Caution{{Note, "come_first",
		"The water's own rules, its warden and the weather service come before this page. If in doubt, stay ashore.",
		"A forecast and a plan cannot see the sky, the boat or you.", practice}}
	add := func(level Level, key, text, why, source string) {
		out = append(out, Caution{level, key, text, why, source})
	}
	d.weather(add)
	d.cold(add)
	d.aboard(add)
	d.fish(add)
	// The first stays first among its equals, and is never pushed out of sight by weight.
	slices.SortStableFunc(out[1:], func(a, b Caution) int { return int(b.Level) - int(a.Level) })
	return out
}

type adder func(level Level, key, text, why, source string)

func (d Day) weather(add adder) {
	u := d.Units
	hour := func(t time.Time) string { return t.In(d.From.Location()).Format("15:04") }
	at := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return " at " + hour(t)
	}
	if d.ThunderHeard {
		add(Now, "thunder", "Thunder: go in now, rods down, and stay in for 30 minutes after the last of it.",
			"Thunder heard within 30 seconds of the flash is within 10 km, and the next flash can come where you are.", "30-30 rule, weather services; newer advice is to go at the first thunder")
	} else if d.Thunder > 0 {
		d.thunder(add, hour)
	}
	d.limits(add, hour, at)
	manual := "ISO 12217 and the Recreational Craft Directive, as printed in owners' manuals"
	squall := ""
	if d.Squall > 0 {
		squall = ", squalls to " + u.Wind(d.Squall) + " may come"
	}
	switch gust := math.Max(d.Gust, d.Squall); {
	case CategoryC.Beyond(d.Wind, gust, d.Wave):
		add(Now, "category", fmt.Sprintf("No day for a small boat: wind %s, gusts %s%s.", u.Wind(d.Wind), u.Wind(d.Gust), squall),
			"Beyond what design category C (inshore) is built for: wind 14 m/s, gusts 18, waves 2 m.", manual)
	case CategoryD.Beyond(d.Wind, gust, d.Wave):
		rougher := "Rougher"
		if d.Rough && d.RoughFrom.After(d.From) {
			rougher = "From " + hour(d.RoughFrom) + " on rougher"
		}
		add(Mind, "category", rougher+" than sheltered-water boats are built for: look at the plate on yours, and ask the fishery before you leave.",
			"Design category D means wind up to 8 m/s, gusts to 12, waves to 0.3 m and 0.5 m now and then. A category is a limit of design, not a permission.", manual)
	}
	if d.Fog || d.Visibility > 0 && d.Visibility < FogBelow {
		seen := ""
		if d.Visibility > 0 {
			seen = " Visibility down to " + u.Distance(d.Visibility) + "."
		}
		level, fog := Mind, "Fog: stay in sight of the jetty, or ashore until it lifts."
		switch {
		case d.FogAtFirst && d.FogUntil.IsZero():
			level, fog = Now, "Fog: stay ashore until it lifts. The forecast does not tell when."
		case d.FogAtFirst:
			level, fog = Now, "Fog: stay ashore until it lifts, by the forecast at "+hour(d.FogUntil)+"."
		case !d.FogFrom.IsZero():
			fog = "Fog is forecast from " + hour(d.FogFrom) + ": be ashore before it, and go in if it comes sooner."
		}
		add(level, "fog", fog+" A compass and a whistle aboard, and know the way home by the compass before you leave."+seen,
			"In fog no bank shows the way, and nobody sees you.", "fog is a visibility under 1 km by the weather services' definition, from memory; "+practice)
	}
	if d.GuessedGust && d.Gust > 0 {
		add(Note, "guessed_gusts", "Where the forecast tells no gusts the usual ones for its wind are taken, "+u.Wind(d.Gust)+" at most: look for a forecast that tells them.",
			"Under showers and behind hills gusts are stronger than the usual.", "the usual gust over flat land or water: CEM 2002, Fig. II-2-1")
	}
	if !d.Dusk.IsZero() && d.Until.After(d.Dusk) {
		add(Mind, "dusk", "The hours run past dusk at "+hour(d.Dusk)+": a white light aboard, and the way home known by day.", "Others cannot see an open boat, nor you the buoys.", practice)
	}
}

// thunder says how likely it is, and always what to do at the first of it.
func (d Day) thunder(add adder, hour func(time.Time) string) {
	when := ""
	if !d.ThunderFrom.IsZero() {
		when = " from " + hour(d.ThunderFrom)
	}
	chance := fmt.Sprintf(" (chance taken: %.0f %%)", math.Max(1, math.Round(100*float64(d.Thunder))))
	level, said := Mind, "Thunder is forecast"+when+". Be ashore before it."
	switch {
	case d.Thunder < ThunderPossible:
		level, said = Note, "A small chance of thunder is forecast"+when+chance+": watch the sky, and stay where the way in is short."
	case d.Thunder < ThunderLikely:
		said = "Thunder may come" + when + chance + ". Stay where the way in is short, and look at a newer forecast before you leave."
	case d.Thunder < 1:
		said = "Thunder is likely" + when + chance + ". Be ashore before it."
	}
	if level == Mind && !d.ThunderMay.IsZero() && d.ThunderMay.Before(d.ThunderFrom) {
		said += " It may come from " + hour(d.ThunderMay) + " on."
	}
	add(level, "thunder", said+" At the first thunder go in, rods down, and wait 30 minutes after the last.",
		"A carbon rod in an open boat is the highest thing on the lake. A count of 30 seconds from flash to thunder is 10 km.",
		"30-30 rule, weather services; newer advice is to go at the first thunder. Words for chances after the US National Weather Service: slight at 20 %, likely from 60")
}

// limits says what reaches the limit, or may.
func (d Day) limits(add adder, hour, at func(time.Time) string) {
	u := d.Units
	whose, source := "your limit is ", "your own limits"
	if !d.LimitGiven {
		whose, source = "the limit taken, as you set none, is ", "ISO 12217 category D as a ceiling, a modelling choice"
	}
	if !d.GoIn.IsZero() {
		limit := ""
		switch {
		case d.GustLimit > 0 && d.Gust >= d.GustLimit:
			limit = "Gusts come to " + u.Wind(d.Gust) + at(d.GustAt) + "; " + whose + u.Wind(d.GustLimit) + ". "
		case d.WaveLimit > 0 && d.Wave >= d.WaveLimit:
			limit = "Waves come to " + u.Wave(d.Wave) + at(d.WaveAt) + "; " + whose + u.Wave(d.WaveLimit) + ". "
		}
		if d.GoIn.After(d.From) {
			add(Mind, "go_in", limit+"Be ashore by "+hour(d.GoIn)+".", "The limit is reached then, and the way home is into or across it.", source)
		} else {
			add(Now, "go_in", limit+"Stay ashore.", "The limit is reached before you would leave.", source)
		}
	}
	if d.Squall > 0 {
		over := ""
		if d.GustLimit > 0 && d.Squall >= d.GustLimit {
			over = " That is over the limit: " + whose + u.Wind(d.GustLimit) + "."
		}
		add(Mind, "squalls", "Squalls to "+u.Wind(d.Squall)+" may come"+at(d.SquallAt)+" (TEMPO or PROB in the aerodrome forecast)."+over+" Watch the sky up-wind, stay near a lee, and go in when it darkens.",
			"A squall comes within minutes, and the plan counts on the steadier wind.", "groups TEMPO and PROB of WMO-No. 306, FM 51; "+practice)
	}
}

func (d Day) cold(add adder) {
	u := d.Units
	oneTenOne := "1-10-1 (Giesbrecht) for icy water; cold shock below 15 °C (Tipton 1989, from memory), by some services below 21"
	low, high, guessed := d.guess()
	perhaps := "Water not measured, perhaps as cold as " + u.Temperature(low)
	if high > low {
		perhaps = "Water not measured, perhaps " + u.Temperature(low) + " to " + u.Temperature(high)
	}
	switch {
	case guessed && low < ColdShock:
		add(Mind, "cold_water", perhaps+": take it as cold. Whoever falls in gasps for a minute and has perhaps ten of useful hands: hold on to the boat, breathe, then climb in or call. Dip a thermometer at the jetty.",
			"1 minute of cold shock, 10 of useful movement, about an hour to unconsciousness, in icy water.", oneTenOne)
	case guessed:
		add(Note, "cold_water", perhaps+": dip a thermometer at the jetty. Below 15 °C a fall takes the breath away.", "A guess from the season may be four degrees off.", oneTenOne)
	case !d.HasWater:
		add(Note, "cold_water", "The water's temperature is not known: below 15 °C a fall takes the breath away for a minute. Hold on, then climb or call.", "In icy water one has some ten minutes of useful hands.", oneTenOne)
	case d.WaterC < ColdShock:
		add(Mind, "cold_water", "Water "+u.Temperature(d.WaterC)+": whoever falls in gasps for a minute and has perhaps ten of useful hands. Do not swim for it: hold on to the boat, breathe, then climb in or call.",
			"1 minute of cold shock, 10 of useful movement, about an hour to unconsciousness, in icy water.", oneTenOne)
	case d.WaterC < StillCold:
		add(Note, "cold_water", "Water "+u.Temperature(d.WaterC)+" still takes strength from the hands within a quarter of an hour.", "Muscles fail before the body is cold through.", oneTenOne)
	}
	add(Note, "lifejacket", "Wear a lifejacket from jetty to jetty, crotch strap done up.",
		"ISO 12402: level 50 is for swimmers with help near, 100 for sheltered and calm water, 150 for offshore. Waders and heavy clothes ask for more.", "ISO 12402-2, -4, -5 scopes; 150 from memory")
	if d.HasAir {
		if chill, ok := WindChill(d.AirC, d.Wind); ok && chill <= 0 {
			add(Mind, "chill", "With the wind it feels like "+u.Temperature(chill)+": gloves, a windproof layer and a hot drink aboard.", "Cold hands cannot open a clasp or tie a rope.", "JAG/TI wind chill 2001")
		}
	}
}

// guess is the water's temperature where nobody measured it; the high end is no
// higher than the low one when only that is known. [°C]
func (d Day) guess() (low, high float64, ok bool) {
	low, high = d.WaterLow, d.WaterHigh
	none := low == 0 && !(high > 0) || math.IsNaN(low) || math.IsInf(low, 0)
	return low, high, !d.HasWater && !none
}

func (d Day) aboard(add adder) {
	word := "Leave word ashore: which water, which boat, when you are back, whom to ring if not."
	if !d.Until.IsZero() {
		word = "Leave word ashore: which water, which boat, back by " + d.Until.Format("15:04") + ", whom to ring if not. Then be back."
	}
	add(Note, "word_ashore", word, "Nobody looks for a boat that nobody misses.", practice)
	add(Note, "way_home", "Aboard: oars or a paddle, an anchor on its rope, a bailer, a whistle, and a charged phone in a dry pouch.", "They bring you home when the engine does not.", practice)
	if d.Engine {
		add(Note, "kill_cord", "Kill cord on before the engine starts, and whenever it runs.", "A boat without its helmsman goes round in circles over him.", practice)
	}
	if d.Drogue {
		add(Note, "drogue", "Drogue and ropes in the boat before the engine starts, and clear of the propeller.", "A rope round the propeller stops the engine on a lee shore.", practice)
	}
	if d.Anchor {
		add(Note, "anchor", "Anchor by the bow only, where anchoring is allowed, and on plenty of rope.", "From the side or the stern a small boat is pulled under in a wave.", practice)
	}
	add(Note, "sit", "Sit to cast, to play and to net. Change places low, over the middle, one at a time, and never with a fish on.", "Who stands in a small boat is its highest weight, and a wave or a hooked fish does the rest.", practice)
	if d.People == 1 {
		add(Note, "alone", "Alone: phone and whistle on you and not in the bag, a loop of rope over the side to climb in by, and a time at which somebody ashore is to ring.", "Nobody turns the boat round for you.", practice)
	}
	level := Note
	if d.HeavyFlies || d.Gust > CategoryD.Wind {
		level = Mind
	}
	add(level, "eyes", "Glasses and a hat with a brim on everybody in the boat, all day.", "A gust puts the hook where it likes.", practice)
	if d.People >= 2 {
		level = Note
		if d.HeavyFlies {
			level = Mind
		}
		add(level, "two_rods", "Agree who casts when. Facing downwind, a right-hander sits at the right-hand end and a left-hander at the left, so that both rods pass outside the boat; two of a hand cast in turn. Nobody's line crosses anybody.",
			"Two people casting heavy flies in a 5 m boat are two metres apart.", practice)
	}
}

func (d Day) fish(add adder) {
	u := d.Units
	if d.Algae {
		add(Mind, "algae", "Blue-green algae are reported: keep hands, mouth and dogs out of the water, wash before eating, and follow the notices.", "Some are poisonous, and nobody can tell which by looking.", practice)
	}
	if _, high, guessed := d.guess(); guessed && high >= Care && d.Returned {
		add(Note, "warm_water", "Water not measured, perhaps up to "+u.Temperature(high)+": measure before you put fish back, and from "+u.Temperature(Care)+" on play them hard and short.", "From 19 °C on, trout recover slowly.", "Brungs and Jones 1977; the bands are ours")
	}
	if d.HasWater && d.Returned {
		sources := "Boyd et al. 2010, N. Am. J. Fish. Manage. 30:898; Brungs and Jones 1977; the bands are ours"
		switch Release(d.WaterC) {
		case WithCare:
			add(Mind, "warm_water", "Water "+u.Temperature(d.WaterC)+": play fish hard and short, keep them in the water, and stop when the rules allow you to keep what you have.", "From 19 °C on, trout recover slowly.", sources)
		case NoReturn:
			add(Mind, "warm_water", "Water "+u.Temperature(d.WaterC)+": do not fish to put back.", "Of cutthroat put back above 21 °C about half as many were seen again as below it.", sources)
		case Stop:
			add(Now, "warm_water", "Water "+u.Temperature(d.WaterC)+": leave the trout alone today.", "From 23 °C on, one rainbow in six to eleven that was put back died within three days.", sources)
		}
	}
	add(Note, "clean", "Before another water: check, clean and dry boots, net, ropes, drogue and boat.", "Small unwanted creatures and diseases travel in the wet of them.", "check, clean, dry: public advice")
}
