package render

import (
	"math"

	"windlane/brief"
)

// Why fish may lie where they may, as a table.

func lieTitle(l brief.Lie) string { return "Why there, at " + clock(l.At) }

func lieTable(b brief.Brief, l brief.Lie) table {
	u := b.Units
	t := table{
		caption: lieTitle(l) + ": what they may be there for",
		head:    []string{"What", "Share, %", "At", "Why"},
		words:   []bool{true, false, true, true},
	}
	hundredths := func(v float64) string { return short(math.Round(v*100), 0) }
	for _, r := range l.Reasons {
		at := known(r.Depth, u.Depth)
		if r.FromBed {
			at += ", kept from the bed"
		}
		t.row(r.Name, within(r.Share, r.Low, r.High, hundredths), at, sentence(r.Why))
	}
	return t
}

// waitWords says "10:43 to 13:30: too little wind to drift."
func waitWords(w brief.Wait) string { return clock(w.From) + " to " + clock(w.Until) + ": " + w.Reason }
