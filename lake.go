package windlane

import (
	"cmp"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/almanac"
	"windlane/brief"
	"windlane/conditions"
	"windlane/outing"
	"windlane/plan"
	"windlane/presence"
	"windlane/quantity"
	"windlane/strata"
	"windlane/water"
)

// day is a day being planned: the inputs, and what each step has found.
type day struct {
	Inputs
	lake   *water.Water
	depths []float32 // today, assumed where nobody sounded [m]
	belief presence.Day
	field  *presence.Field
	times  []time.Time // the hours of the strip
	up     []float32   // the lake's fetch up and down an hour's wind, one hour after the other [m]
	down   []float32   // [m]
	told   []float32   // by how much each cell is worth more for what was told of a place; nil: nothing [1]
	worth  [][]float32 // of each cell at each hour [1]
	boats  plan.Boat
	facts  brief.Facts

	now      *Afloat // what the drifts are asked for with; nil: of a whole day plan
	question plan.Question
}

// assumedDepth is taken for a lake without any soundings. [m] A guess, told.
const assumedDepth = 5.0

// survey makes the lake of outline, soundings and level.
func (d *day) survey() error {
	lake, err := water.Survey(d.Outline, d.Soundings, water.Settings{Cell: d.Cell})
	if err != nil {
		return &Misfit{"Lake", err.Error()}
	}
	if lake, err = lake.At(math.Max(0, d.Outing.Drawdown)); err != nil {
		return &Misfit{"Outing", err.Error()}
	}
	d.lake = lake
	d.depths = lake.Depths()
	if !lake.HasDepths() {
		for k, wet := range lake.Wet() {
			if wet {
				d.depths[k] = assumedDepth
			}
		}
	}
	d.field = presence.Lay(lake.Grid, d.depths, lake.Places)
	d.facts.Water, d.facts.Outing, d.facts.Bag, d.facts.Weather = lake, d.Outing, d.Bag, d.Weather
	return nil
}

// hours works out the conditions of each hour afloat, in the middle of the
// widest water.
func (d *day) hours() error {
	out := d.Outing
	first := out.From.In(out.Zone)
	for at := time.Date(first.Year(), first.Month(), first.Day(), first.Hour(), 0, 0, 0, out.Zone); at.Before(out.Until); at = at.Add(time.Hour) {
		d.times = append(d.times, at)
	}
	origin := d.lake.Plane.Origin()
	mean, across := d.shape()
	site := &conditions.Lake{
		Site:      almanac.Site{LonDeg: origin.LonDeg, LatDeg: origin.LatDeg},
		MeanDepth: mean,
		Across:    across,
		Secchi:    out.Secchi,
		Fetch:     d.openWater,
	}
	if out.HasWater {
		site.HasSurface, site.Surface = true, out.WaterC
	}
	if d.Profile != nil {
		site.Profile = *d.Profile
		site.Areas = d.hypsography()
	}
	today := conditions.On(site, d.Weather, out.From)
	d.facts.Sun = today.Times()
	middle := d.middle()
	for _, at := range d.times {
		h := brief.HourFacts{At: at, Conditions: today.At(middle, d.within(at))}
		h.Weather, _ = d.Weather.At(d.within(at))
		d.facts.Hours = append(d.facts.Hours, h)
	}
	// Weather does not keep to full hours: every row told in the hours afloat
	// counts for the limits, and the very end of them.
	for _, w := range d.Weather.Between(out.From, out.Until) {
		d.facts.Rows = append(d.facts.Rows, brief.HourFacts{At: w.At, Weather: w, Conditions: today.At(middle, w.At)})
	}
	return nil
}

// within keeps a full hour inside the hours afloat, which the forecast covers.
func (d *day) within(at time.Time) time.Time {
	if at.Before(d.Outing.From) {
		return d.Outing.From
	}
	return at
}

// whereTheyLie works out belief by depth for each hour, and the worth of every cell.
func (d *day) whereTheyLie() error {
	d.belief, d.told = d.known(), d.toldPlaces()
	d.unknownNames()
	for i := range d.facts.Hours {
		h := &d.facts.Hours[i]
		prior := presence.Expect(h.Conditions, d.belief)
		worth := d.worthOf(prior, *h)
		d.worth = append(d.worth, worth)
		h.Belief = prior.At(d.typical(worth))
	}
	d.whatTheAimChanged()
	return nil
}

// worthOf is the worth of every cell at an hour, with what was told of places.
func (d *day) worthOf(prior *presence.Prior, h brief.HourFacts) []float32 {
	if h.Conditions.Shifting {
		d.field.Shores(nil, nil)
	} else {
		if d.up == nil {
			d.up, d.down = make([]float32, d.lake.Grid.Len()), make([]float32, d.lake.Grid.Len())
		}
		d.lake.Fetch(wholeDegrees(h.Conditions.From), d.up)
		d.lake.Fetch(wholeDegrees(quantity.From(h.Conditions.From.Toward())), d.down)
		d.field.Shores(d.up, d.down)
	}
	worth := make([]float32, d.lake.Grid.Len())
	d.field.Worths(prior, worth)
	for k, f := range d.told {
		worth[k] *= f
	}
	return worth
}

// typical is the place that stands for an hour: of the tenth of the lake worth
// most, the cell of middling depth.
func (d *day) typical(worth []float32) presence.Spot {
	best := d.bestTenth(worth)
	if len(best) == 0 {
		return presence.Spot{}
	}
	slices.SortFunc(best, by(d.depths))
	spot, _ := d.field.Spot(best[len(best)/2])
	spot.HasBed = d.lake.HasDepths()
	return spot
}

// bestTenth are the cells that can be drifted and are worth most, a tenth of all.
func (d *day) bestTenth(worth []float32) []int {
	var cells []int
	for k, w := range worth {
		if w > 0 && d.depths[k] >= float32(plan.LeastDepth) {
			cells = append(cells, k)
		}
	}
	slices.SortFunc(cells, by(worth))
	return cells[len(cells)*9/10:]
}

// by orders cells by a field, then by themselves.
func by(field []float32) func(a, b int) int {
	return func(a, b int) int { return cmp.Or(cmp.Compare(field[a], field[b]), cmp.Compare(a, b)) }
}

// known turns what is seen and told into what belief takes.
func (d *day) known() presence.Day {
	signs := map[outing.Sign]presence.Sign{
		outing.Rising: presence.Rising, outing.MidgeHatching: presence.MidgeHatching, outing.BirdsLow: presence.BirdsLow,
		outing.BirdsDiving: presence.BirdsDiving, outing.FryScattering: presence.FryScattering, outing.SedgesOut: presence.SedgesOut,
		outing.LandFlies: presence.LandFlies, outing.SpoonedMidge: presence.SpoonedMidge, outing.SpoonedDaphnia: presence.SpoonedDaphnia,
		outing.SpoonedFry: presence.SpoonedFry, outing.SpoonedBedFood: presence.SpoonedBedFood, outing.SpoonedSurface: presence.SpoonedSurface,
	}
	causes := map[outing.Cause]presence.Cause{
		outing.Midge: presence.Midge, outing.Daphnia: presence.Daphnia, outing.Fry: presence.Fry, outing.BedFood: presence.BedFood,
		outing.FreshStock: presence.FreshStock, outing.Surface: presence.Surface, outing.Suspended: presence.Suspended,
	}
	known := presence.Day{BrightDays: d.Outing.BrightDays, Aim: aims[d.Outing.Aim]}
	for _, s := range d.Outing.Seen {
		sign, ok := signs[s]
		if !ok {
			panic("windlane: a sign that presence does not know: " + string(s))
		}
		known.Seen = append(known.Seen, presence.Seen{Sign: sign, Trust: 1})
	}
	for _, t := range d.Outing.Told {
		told := presence.Told{HasDepth: t.HasDepth, Top: t.Top, Bottom: t.Bottom, FromBed: t.FromBed, HasRodAverage: t.HasRodAverage, RodAverage: t.RodAverage, Trust: t.Trust}
		if cause, ok := causes[t.Cause]; ok {
			told.HasCause, told.Cause = true, cause
		} else if cause, ok := wayTells[t.Way]; ok {
			known.Told = append(known.Told, presence.Told{HasCause: true, Cause: cause, Trust: t.Trust / 2})
		}
		if told.HasCause || told.HasDepth || told.HasRodAverage {
			known.Told = append(known.Told, told)
		}
		if !t.Stocked.IsZero() {
			s := presence.Stocking{At: t.Stocked}
			if x, y, ok := d.placeNamed(t.Place); ok {
				s.HasPlace, s.X, s.Y = true, x, y
			}
			known.Stocked = append(known.Stocked, s)
		}
	}
	return known
}

// toldReach is how far round a place hearsay about it is taken to hold. [m]
const toldReach = 80.0

// toldPlaces is how much more each cell is worth for what was told of a named
// place: twice at the place if fully trusted (a modelling choice). nil when
// nothing was.
func (d *day) toldPlaces() []float32 {
	var out []float32
	for _, t := range d.Outing.Told {
		places := d.placesNamed(t.Place)
		if len(places) == 0 || !t.Stocked.IsZero() {
			continue
		}
		if out == nil {
			out = make([]float32, d.lake.Grid.Len())
			for k := range out {
				out[k] = 1
			}
		}
		for k, wet := range d.lake.Wet() {
			if wet {
				x, y := d.lake.Grid.Centre(k)
				away := math.Inf(1)
				for _, p := range places {
					away = math.Min(away, distance(p.Shape, orb.Point{x, y}))
				}
				out[k] *= float32(1 + float64(t.Trust)*math.Exp(-away*away/(toldReach*toldReach)))
			}
		}
	}
	return out
}

// distance is how far a point is from a shape, nought inside it. [m]
func distance(shape orb.Geometry, p orb.Point) float64 {
	if polygon, ok := shape.(orb.Polygon); ok && planar.PolygonContains(polygon, p) {
		return 0
	}
	return planar.DistanceFrom(shape, p)
}

// placeNamed is the middle of a place of the lake by its name.
func (d *day) placeNamed(name string) (x, y float64, ok bool) {
	places := d.placesNamed(name)
	if len(places) == 0 {
		return 0, 0, false
	}
	c := places[0].Shape.Bound().Center()
	return c[0], c[1], true
}

// wholeDegrees is a wind to whole degrees, since a forecast knows no finer.
func wholeDegrees(from quantity.From) quantity.From {
	return quantity.FromDegrees(math.Round(from.Degrees()))
}

// openWater is the lake's fetch at a place, as conditions asks for it: 0 off the water.
func (d *day) openWater(x, y float64, from quantity.From) float64 {
	return d.lake.FetchAt(x, y, wholeDegrees(from))
}

// middle is the place farthest from any shore.
func (d *day) middle() conditions.Place {
	best, most := 0, float32(-1)
	for k, away := range d.lake.ShoreDistance() {
		if away > most {
			best, most = k, away
		}
	}
	x, y := d.lake.Grid.Centre(best)
	place := conditions.Place{X: x, Y: y}
	if d.lake.HasDepths() {
		place.HasBed, place.Bed = true, quantity.Depth(d.depths[best])
	}
	return place
}

// shape is the mean depth today (0: unknown) and the width of a round lake of
// the same area. [m]
func (d *day) shape() (mean, across float64) {
	if d.lake.HasDepths() {
		sum, n := 0.0, 0
		for _, z := range d.depths {
			if z > 0 {
				sum += float64(z)
				n++
			}
		}
		if n > 0 {
			mean = sum / float64(n)
		}
	}
	return mean, 2 * math.Sqrt(d.lake.Area()/math.Pi)
}

// hypsography is the lake's area by depth today, by half metres; empty when the
// bed is unknown.
func (d *day) hypsography() strata.Hypsography {
	if !d.lake.HasDepths() {
		return strata.Hypsography{}
	}
	const step = 0.5
	cell := d.lake.Grid.Cell * d.lake.Grid.Cell
	var cells []int
	for _, z := range d.depths {
		for i := 0; z > 0 && float64(i)*step < float64(z); i++ {
			if i == len(cells) {
				cells = append(cells, 0)
			}
			cells[i]++
		}
	}
	h := strata.Hypsography{}
	for i, n := range cells {
		h.Depths = append(h.Depths, float64(i)*step)
		h.Areas = append(h.Areas, float64(n)*cell)
	}
	if len(h.Depths) < 2 {
		return strata.Hypsography{}
	}
	return h
}
