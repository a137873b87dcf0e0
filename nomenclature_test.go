package windlane_test

import (
	"bytes"
	"flag"
	"fmt"
	"go/ast"
	"os"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write docs/nomenclature.md anew")

const (
	nomenclature = "docs/nomenclature.md"
	below        = "<!-- Below: made from the code by go test -run Nomenclature -update . -->\n"
)

// docs/nomenclature.md ends with every number that a package shows, from the
// comments that say its unit; it is made from the code and compared with it.
func TestNomenclature(t *testing.T) {
	var made bytes.Buffer
	all := sources(t)
	var names []string
	for room := range all {
		if !rim(room) && !strings.HasPrefix(room, "internal/") && room != "" {
			names = append(names, room)
		}
	}
	slices.Sort(names)
	rows := 0
	for _, room := range names {
		var table bytes.Buffer
		for _, s := range all[room] {
			if strings.HasSuffix(s.path, "_test.go") {
				continue
			}
			for _, decl := range s.file.Decls {
				gen, ok := decl.(*ast.GenDecl)
				if !ok {
					continue
				}
				for _, spec := range gen.Specs {
					typ, ok := spec.(*ast.TypeSpec)
					if !ok || !typ.Name.IsExported() {
						continue
					}
					st, ok := typ.Type.(*ast.StructType)
					if !ok {
						continue
					}
					for _, f := range st.Fields.List {
						if !holdsFloat(f.Type) {
							continue
						}
						text := strings.Join(strings.Fields(f.Doc.Text()+f.Comment.Text()), " ")
						open, end := strings.LastIndex(text, "["), strings.LastIndex(text, "]")
						if open < 0 || end < open {
							continue // the unit test of fields speaks first
						}
						unit := text[open+1 : end]
						text = strings.TrimSpace(strings.TrimRight(text[:open], " ") + " " + strings.TrimLeft(text[end+1:], " ,"))
						for _, n := range f.Names {
							if n.IsExported() {
								rows++
								fmt.Fprintf(&table, "| `%s.%s` | %s | %s |\n", typ.Name.Name, n.Name, unit, strings.ReplaceAll(text, "|", "\\|"))
							}
						}
					}
				}
			}
		}
		if table.Len() > 0 {
			fmt.Fprintf(&made, "\n### %s\n| name | unit | meaning |\n|---|---|---|\n%s", room, table.String())
		}
	}
	if rows < 100 {
		t.Fatalf("found %d numbers: the walk is broken", rows)
	}
	page, err := os.ReadFile(nomenclature)
	if err != nil {
		t.Fatal(err)
	}
	head, tail, ok := bytes.Cut(page, []byte(below))
	if !ok {
		t.Fatalf("%s has lost its line %q", nomenclature, below)
	}
	if *update {
		if err := os.WriteFile(nomenclature, slices.Concat(head, []byte(below), made.Bytes()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(tail, made.Bytes()) {
		t.Errorf("%s is not what the code says: go test -run Nomenclature -update .", nomenclature)
	}
}
