package engine_test

import (
	"testing"

	"windlane/internal/engine"
)

// BenchmarkAnswer is one request through the door, from its bytes to the answer's.
func BenchmarkAnswer(b *testing.B) {
	for _, name := range []string{
		"sun at noon in April", "a boat and its drogue", "fetch past an island", "track to the margin of an island",
		"lures counted, pulled and hung", "a bag to a depth by lures", "a morning on a small water",
		"the next drift only", "a whole day by weights and marks", "the next drift from afloat",
	} {
		request := []byte(recordedCase(b, name))
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				engine.Answer(request)
			}
		})
	}
}
