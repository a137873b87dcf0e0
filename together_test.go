package windlane_test

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// together are the packages in which something runs beside something else, or is
// made once for all who ask. The race detector has nothing to find in the others,
// and takes twelve times their time: `make race` runs it on these.
var together = []string{"cmd/windlane", "demo", "internal/render", "internal/store", "line"}

// No other package starts anything, waits for anything or shares anything.
func TestWhatRunsTogether(t *testing.T) {
	found := map[string]bool{}
	for room, files := range sources(t) {
		if room == "cmd/windlane-wasm" { // waits for the page's calls, on the page's one thread
			continue
		}
		for _, s := range files {
			if strings.HasSuffix(s.path, "_test.go") {
				continue
			}
			shares := func(what string) {
				found[room] = true
				if !slices.Contains(together, room) {
					t.Errorf("%s: %s: name its package in together and in the Makefile's race", s.path, what)
				}
			}
			for _, imp := range s.file.Imports {
				if path := strings.Trim(imp.Path.Value, `"`); path == "sync" || path == "sync/atomic" {
					shares("imports " + path)
				}
			}
			ast.Inspect(s.file, func(n ast.Node) bool {
				switch n.(type) {
				case *ast.GoStmt:
					shares("starts a goroutine")
				case *ast.ChanType, *ast.SelectStmt:
					shares("uses a channel")
				}
				return true
			})
		}
	}
	for _, room := range []string{"cmd/windlane", "demo", "internal/render", "line"} {
		if !found[room] {
			t.Errorf("%s shares nothing any more: the race detector need not run on it", room)
		}
	}
}
