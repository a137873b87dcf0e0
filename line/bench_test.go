package line

import "testing"

// longCast is the cast of the speed targets: 60 s of count, 27 s of retrieve and
// 35 s of hang with a 3 in/s line.
func longCast(t testing.TB, mesh Mesh) Setup {
	_, setups := referenceSetups(t, mesh)
	s := setups["R1_#8_3ips_v0_T20_r0.6"]
	s.Count, s.Hang = 60, 35
	s.Pull.Speed = 11.16 / 27
	return s
}

func benchmarkRun(b *testing.B, setup Setup) {
	b.ReportAllocs()
	passes := 0
	for b.Loop() {
		s := build(setup)
		for s.Next() {
		}
		if s.Status() != Complete {
			b.Fatal(s.Status())
		}
		passes += s.NodePasses
	}
	b.ReportMetric(float64(passes)/float64(b.N), "node-passes/op")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(passes), "ns/node-pass")
}

func BenchmarkLongCastFine(b *testing.B) { benchmarkRun(b, longCast(b, Mesh{})) }
func BenchmarkLongCastMid(b *testing.B)  { benchmarkRun(b, longCast(b, Mesh{Preset: Mid})) }
func BenchmarkLongCastFast(b *testing.B) { benchmarkRun(b, longCast(b, Mesh{Preset: Fast})) }

// BenchmarkStripsFine is the reference cast in strips of 0.25 m at 0.6 m/s.
func BenchmarkStripsFine(b *testing.B) {
	_, setups := referenceSetups(b, Mesh{})
	benchmarkRun(b, setups["R9_#8_3ips_v0.3_T20_strips0.25m@0.9"])
}

// BenchmarkSearchMid branches ten retrieves from each of four counts.
func BenchmarkSearchMid(b *testing.B) {
	setup := longCast(b, Mesh{Preset: Mid})
	setup.BoatSpeed = 0.15
	b.ReportAllocs()
	casts, passes := 0, 0
	for b.Loop() {
		s, branch := build(setup), build(setup)
		for _, count := range []float64{5, 15, 30, 60} {
			s.Continue(count)
			runCount(s)
			for k := range 10 {
				branch.Branch(s, Pull{Speed: 0.25 + 0.07*float64(k)}, 10)
				for branch.Next() {
				}
				casts++
				passes += branch.NodePasses
			}
		}
		passes += s.NodePasses
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(casts), "ns/cast")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(passes), "ns/node-pass")
}
