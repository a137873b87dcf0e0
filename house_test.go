package windlane_test

// The house's own rules, read from the files themselves (a listing by the go
// command would be cached and miss an edit). Each rule fails on an empty walk.

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// rooms is the import order: a package may touch the module's packages that
// its line names, and no others. Test files may touch what they need.
var rooms = map[string][]string{
	// ground
	"quantity": {},
	"geodesy":  {"quantity"},
	"grid":     {"internal/delaunay"},
	"fluid":    {},
	"almanac":  {"quantity"},
	// inputs
	"water":    {"quantity", "geodesy", "grid", "internal/text", "internal/tiff", "internal/gpx", "internal/nmea"},
	"tackle":   {"quantity", "fluid", "internal/text"},
	"forecast": {"quantity", "internal/text"},
	"outing":   {"quantity", "tackle", "internal/text"},
	"track":    {"geodesy", "internal/text", "internal/gpx", "internal/nmea"},
	"diary":    {"tackle", "internal/text"},
	// conditions
	"waves":      {},
	"light":      {},
	"strata":     {"fluid", "internal/text"},
	"conditions": {"quantity", "geodesy", "grid", "fluid", "almanac", "water", "forecast", "waves", "light", "strata"},
	// motion
	"drift": {"quantity", "geodesy", "fluid"},
	"line":  {"fluid"},
	"cast":  {"quantity", "fluid", "tackle", "drift", "line"},
	// judgement
	"presence": {"quantity", "geodesy", "grid", "water", "fluid", "light", "strata", "conditions"},
	"plan":     {"quantity", "geodesy", "grid", "water", "conditions", "drift", "cast", "presence"},
	"caution":  {"quantity"},
	// telling
	"brief": {"quantity", "geodesy", "grid", "water", "tackle", "forecast", "outing", "almanac", "caution", "conditions", "drift", "cast", "presence", "plan"},
	// facade
	"": {"caution", "quantity", "geodesy", "grid", "fluid", "almanac", "water", "tackle", "forecast", "outing", "waves", "light", "strata", "conditions", "drift", "line", "cast", "presence", "plan", "brief"},
	// mechanism: no trade in it
	"internal/delaunay": {},
	"internal/text":     {},
	"internal/nmea":     {},
	"internal/gpx":      {"internal/text"},
	"internal/tiff":     {"internal/text"},
	// rim
	"internal/wire":     {},
	"internal/engine":   {"", "track", "caution", "quantity", "geodesy", "grid", "fluid", "almanac", "water", "tackle", "forecast", "outing", "waves", "light", "strata", "conditions", "drift", "line", "cast", "presence", "plan", "brief", "internal/wire", "internal/text"},
	"internal/render":   {"quantity", "geodesy", "brief"},
	"internal/store":    {"diary"},
	"demo":              {},
	"cmd/windlane":      {"", "cast", "quantity", "brief", "water", "tackle", "forecast", "outing", "strata", "diary", "internal/engine", "internal/wire", "internal/render", "internal/store", "demo"},
	"cmd/windlane-wasm": {"internal/engine"},
}

// rim is where the clock, files, the network and the process may be touched.
func rim(room string) bool {
	return strings.HasPrefix(room, "cmd/") || room == "internal/render" || room == "internal/store" || room == "demo"
}

type source struct {
	path string
	file *ast.File
	set  *token.FileSet
}

// sources parses every Go file of the module, by package folder ("" is the root).
func sources(t *testing.T) map[string][]source {
	t.Helper()
	rooms := map[string][]source{}
	set := token.NewFileSet()
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "node_modules") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		room := filepath.ToSlash(filepath.Dir(path))
		if room == "." {
			room = ""
		}
		rooms[room] = append(rooms[room], source{path, f, set})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(rooms) < 3 {
		t.Fatalf("walked %d packages: the walk is broken", len(rooms))
	}
	return rooms
}

func TestImportsRunOneWay(t *testing.T) {
	edges := 0
	for room, files := range sources(t) {
		allowed, known := rooms[room]
		if !known {
			t.Errorf("package %q is in no room: add a line to rooms in house_test.go that says what it may touch", room)
			continue
		}
		for _, s := range files {
			if strings.HasSuffix(s.path, "_test.go") {
				continue
			}
			for _, imp := range s.file.Imports {
				path := strings.Trim(imp.Path.Value, `"`)
				if path != "windlane" && !strings.HasPrefix(path, "windlane/") {
					continue
				}
				edges++
				if to := strings.TrimPrefix(strings.TrimPrefix(path, "windlane"), "/"); !slices.Contains(allowed, to) {
					t.Errorf("%s: %q may not import %q", s.path, room, path)
				}
			}
		}
	}
	if edges == 0 {
		t.Error("no import was compared")
	}
	// The table itself must run one way.
	var visit func(room string, trail []string)
	visit = func(room string, trail []string) {
		if slices.Contains(trail, room) {
			t.Fatalf("rooms run in a circle: %v -> %s", trail, room)
		}
		for _, next := range rooms[room] {
			visit(next, append(trail, room))
		}
	}
	visit("internal/engine", nil)
}

// Engine packages take hour, seed and settings as arguments.
func TestEngineTouchesNoWorld(t *testing.T) {
	forbidden := []string{"os", "os/exec", "net", "net/http", "log", "log/slog", "math/rand", "math/rand/v2", "crypto/rand", "path/filepath", "syscall", "embed", "database/sql"}
	calls := []string{"Now", "Since", "Until", "Sleep", "After", "Tick"}
	looked := 0
	for room, files := range sources(t) {
		if rim(room) {
			continue
		}
		for _, s := range files {
			if strings.HasSuffix(s.path, "_test.go") {
				continue
			}
			looked++
			for _, imp := range s.file.Imports {
				if path := strings.Trim(imp.Path.Value, `"`); slices.Contains(forbidden, path) {
					t.Errorf("%s: an engine package may not import %q", s.path, path)
				}
			}
			ast.Inspect(s.file, func(n ast.Node) bool {
				sel, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if pkg, ok := sel.X.(*ast.Ident); ok && pkg.Name == "time" && slices.Contains(calls, sel.Sel.Name) {
					t.Errorf("%s: an engine package may not look at the clock", s.set.Position(sel.Pos()))
				}
				return true
			})
		}
	}
	if looked == 0 {
		t.Error("no file was looked at")
	}
}

// The database stays at the rim: only the store touches it, and nothing that a
// page runs reaches the store.
func TestOnlyTheStoreTouchesTheDatabase(t *testing.T) {
	touched := 0
	for room, files := range sources(t) {
		for _, s := range files {
			for _, imp := range s.file.Imports {
				path := strings.Trim(imp.Path.Value, `"`)
				if path != "database/sql" && !strings.HasPrefix(path, "modernc.org/") {
					continue
				}
				touched++
				if room != "internal/store" {
					t.Errorf("%s: only internal/store may import %q", s.path, path)
				}
			}
		}
	}
	if touched == 0 {
		t.Error("no file touches the database: the walk is broken")
	}
	reached := map[string]bool{}
	var reach func(room string)
	reach = func(room string) {
		if !reached[room] {
			reached[room] = true
			for _, next := range rooms[room] {
				reach(next)
			}
		}
	}
	reach("cmd/windlane-wasm")
	if reached["internal/store"] || len(reached) < 10 {
		t.Errorf("the page's program reaches %d rooms, the store among them: %v", len(reached), reached["internal/store"])
	}
}

// Every exported float64 field in an engine package says its unit in brackets.
func TestFieldsSayTheirUnit(t *testing.T) {
	fields := 0
	for room, files := range sources(t) {
		if rim(room) || room == "internal/wire" { // wire's names carry the unit themselves
			continue
		}
		for _, s := range files {
			if strings.HasSuffix(s.path, "_test.go") {
				continue
			}
			ast.Inspect(s.file, func(n ast.Node) bool {
				st, ok := n.(*ast.StructType)
				if !ok {
					return true
				}
				for _, f := range st.Fields.List {
					if !holdsFloat(f.Type) || len(f.Names) == 0 || !f.Names[0].IsExported() {
						continue
					}
					fields++
					if text := f.Doc.Text() + f.Comment.Text(); !strings.Contains(text, "[") {
						t.Errorf("%s: field %s has no [unit] in its comment ([1] where it has none)", s.set.Position(f.Pos()), f.Names[0].Name)
					}
				}
				return true
			})
		}
	}
	if fields == 0 {
		t.Error("no field was looked at")
	}
}

func holdsFloat(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name == "float64" || e.Name == "float32"
	case *ast.ArrayType:
		return holdsFloat(e.Elt)
	case *ast.StarExpr:
		return holdsFloat(e.X)
	}
	return false
}
