package plan

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"windlane/grid"
)

// Past is a drift that was made before the hours of a Question.
type Past struct {
	Track  []orb.Point // plane metres, gone along at an even pace; a single point: lay there
	Time   float64     // from its first point to its last [s]
	Ago    float64     // since its end [s]
	Hooked bool        // fish were hooked on it
}

// RestHooked is how long water where fish were hooked takes to be fresh again by
// a factor e. [s] Common practice, no source.
const RestHooked = 2 * 3600.0

// Fished is what drifts made before have left on each cell: for Question.Fished
// the water covered by Settings.Swept within Settings.Reach, faded by
// Settings.Recovery, or by RestHooked, since the boat was there (from then on the
// planner lets all of it fade by Settings.Recovery); for Question.Blank the time
// fished within Settings.Patch, where no fish was hooked. nil for none.
func Fished(g grid.Grid, s Settings, past []Past) (effort, blank []float32, err error) {
	if len(past) == 0 {
		return nil, nil, nil
	}
	effort, blank = make([]float32, g.Len()), make([]float32, g.Len())
	lake := &ground{g: g}
	halves, cells := disc(s.Reach / g.Cell)
	var patch []int
	if s.Patch > 0 {
		patch, _ = disc(s.Patch / g.Cell)
	}
	for i, d := range past {
		if len(d.Track) == 0 || !within(d.Time, 0, 86400) || !within(d.Ago, 0, 86400) {
			return nil, nil, fmt.Errorf("past drift %d: %d points, %v s long, %v s ago: allowed are 1 and more, 0 to 86400 and 0 to 86400", i+1, len(d.Track), d.Time, d.Ago)
		}
		rest := s.Recovery
		if d.Hooked {
			rest = math.Max(rest, RestHooked)
		}
		length := 0.0
		for j := 1; j < len(d.Track); j++ {
			length += apart(d.Track[j-1], d.Track[j])
		}
		// Steps of half a cell at most, and of a minute at most: each fades by its own age.
		n := math.Ceil(math.Max(1, math.Max(d.Time/60, length/(g.Cell/2))))
		leg, into := 1, 0.0 // the leg that the step lies on, and how far along the track it begins
		for step := range int(n) {
			share := (float64(step) + 0.5) / n
			for leg < len(d.Track)-1 && into+apart(d.Track[leg-1], d.Track[leg]) < share*length {
				into += apart(d.Track[leg-1], d.Track[leg])
				leg++
			}
			at := d.Track[0]
			if leg < len(d.Track) {
				a, b := d.Track[leg-1], d.Track[leg]
				f := math.Min(1, (share*length-into)/math.Max(apart(a, b), 1e-9))
				at = orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
			}
			k, ok := g.Index(at[0], at[1])
			if !ok {
				continue
			}
			age := d.Ago + (1-share)*d.Time
			more := s.Swept * d.Time / n / (cells * g.Cell * g.Cell) * math.Exp(-age/rest)
			lake.spread(effort, halves, k, float32(more))
			if !d.Hooked {
				lake.spread(blank, patch, k, float32(d.Time/n))
			}
		}
	}
	return effort, blank, nil
}

func apart(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
