package water_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"windlane/quantity"
	"windlane/water"
)

// BenchmarkLake1700ha makes a lake of 1700 ha at 5 m out of 62 000 soundings, and
// asks for its fetch in 36 directions. The whole of it tells the most memory that
// the process held: peak-MB is the system's figure where it has one (under Node
// with Node's own), sys-MB the runtime's.
func BenchmarkLake1700ha(b *testing.B) {
	o := drawn(b, circle(0, 0, 2326))
	var file bytes.Buffer
	file.WriteString("lon,lat,depth_m,level_m\n")
	for x := -2310.0; x < 2320; x += 45 {
		for y := -2310.0; y < 2310; y += 7.5 {
			if math.Hypot(x, y) < 2310 {
				at := sea.Position(x, y)
				fmt.Fprintf(&file, "%.7f,%.7f,%.2f,0\n", at.LonDeg, at.LatDeg, 8+4*math.Sin(x/300)*math.Cos(y/200))
			}
		}
	}
	var w *water.Water
	lay := func() {
		s, err := water.ReadSoundings("tracks.csv", bytes.NewReader(file.Bytes()))
		if err != nil {
			b.Fatal(err)
		}
		w = survey(b, o, water.Settings{Cell: 5}, s)
	}
	fetch := func() {
		dst := make([]float32, w.Grid.Len())
		for deg := range 36 {
			w.Fetch(quantity.FromDegrees(float64(10*deg)), dst)
		}
	}
	lay()
	b.Run("all of it", func(b *testing.B) {
		for b.Loop() {
			lay()
			fetch()
		}
		memory(b)
	})
	b.Run("fetch in 36 directions", func(b *testing.B) {
		for b.Loop() {
			fetch()
		}
	})
	b.Run("leave-track-out", func(b *testing.B) {
		for b.Loop() {
			if e, ok := w.LeaveTrackOut(); !ok || e.Tracks < 90 {
				b.Fatal(e)
			}
		}
	})
}

func memory(b *testing.B) {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.Sys)/1e6, "sys-MB")
	if status, err := os.ReadFile("/proc/self/status"); err == nil {
		for line := range strings.Lines(string(status)) {
			if f := strings.Fields(line); f[0] == "VmHWM:" {
				kb, _ := strconv.ParseFloat(f[1], 64)
				b.ReportMetric(kb/1e3, "peak-MB")
			}
		}
	}
}
