package cast

import (
	"testing"

	"windlane/tackle"
)

func TestUsual(t *testing.T) {
	kinds := map[Kind]bool{}
	fastest := func(way tackle.Way, c float64) float64 {
		most := 0.0
		for _, r := range UsualRetrieves(way, c) {
			if err := (Question{Retrieve: r}).settled().Retrieve.validate("retrieve"); err != nil {
				t.Errorf("%s at %v C: %v", way, c, err)
			}
			if r.Kind == Strips && r.Speed/r.Strip > 1.01 { // a hand makes one a second, common practice, no source
				t.Errorf("%s at %v C: %.1f strips a second", way, c, r.Speed/r.Strip)
			}
			kinds[r.Kind] = true
			most = max(most, r.Speed)
		}
		return most
	}
	// Slower in cold water: common practice, no source.
	if cold, warm := fastest(tackle.Lures, 4), fastest(tackle.Lures, 18); !(cold < warm && cold >= 0.3) {
		t.Errorf("fastest lure at 4 and 18 C: %v and %v m/s", cold, warm)
	}
	for _, way := range tackle.Ways {
		q := Search{LineOut: UsualLineOut(way), HangMark: UsualHangMark, TipHeight: UsualTip, Hang: UsualHang()}
		if q.LineOut < 5 || q.LineOut > 30 || len(q.Hang) == 0 {
			t.Errorf("%s: %+v", way, q)
		}
		if n := fastest(way, 10); (way == tackle.Bung || way == tackle.Dries || way == tackle.ShortLine) != (n == 0) {
			t.Errorf("%s: fastest retrieve %v", way, n)
		}
	}
	for _, k := range Kinds {
		if !kinds[k] {
			t.Errorf("no way of fishing is tried %s", k)
		}
	}
}
