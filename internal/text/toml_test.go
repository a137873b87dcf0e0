package text_test

import (
	"strconv"
	"strings"
	"testing"

	"windlane/internal/text"
)

var metres = text.Range{Parse: func(s string) (float64, error) { return strconv.ParseFloat(s, 64) }, Low: 0, High: 10, Unit: "m"}

// tomlSeeds: the first five are TOML.
var tomlSeeds = []string{
	"name = \"a\" # remark\nlong = 4.5\nmany = [1, 2.5, \"3\"]\non = true\ncount = 1_000\nday = 2026-04-18\n\n[[part]]\nname = 'b'\n\n[[part.sub]]\nname = \"c\"\n[[part]]\nsub = [{name = \"d\"}, {name = \"e\"}]\n",
	"a.b.c = 1\n[a.d]\ne = 2\n",
	"a = \"\"\"\n[[not a table]]\n\"\"\"\nb = 1\n",
	"a = [[1, 2], [3]]\nb = {c = {d = []}}\n",
	"a = 0x1F\nb = inf\nc = 1979-05-27T07:32:00Z\n",
	"a = 1\na = 2\n",
	"[[a]]\n[a]\n",
	"\xff\xfe",
}

func TestReadTOML(t *testing.T) {
	r, err := text.ReadTOML("x.toml", strings.NewReader(tomlSeeds[0]), 1<<10)
	if err != nil {
		t.Fatal(err)
	}
	if got := r.Text("name"); got != "a" {
		t.Errorf("name %q", got)
	}
	if got := r.Quantity("long", metres); got != 4.5 {
		t.Errorf("long %v", got)
	}
	if got := r.Quantities("many", metres); len(got) != 3 || got[2] != 3 {
		t.Errorf("many %v", got)
	}
	if !r.Yes("on") || r.Whole("count", 0, 0, 2000) != 1000 || r.Plain("day") != "2026-04-18" {
		t.Error("on, count or day is wrong")
	}
	parts := r.Tables("part")
	if len(parts) != 2 || parts[0].Line != 8 || parts[0].Text("name") != "b" {
		t.Fatalf("parts %v", parts)
	}
	if sub := parts[0].Tables("sub"); len(sub) != 1 || sub[0].Line != 11 || sub[0].Text("name") != "c" {
		t.Errorf("sub of the first part %v", sub)
	}
	if sub := parts[1].Tables("sub"); len(sub) != 2 || sub[1].Line != 14 || sub[1].Text("name") != "e" {
		t.Errorf("sub of the second part %v", sub)
	}
	if err := r.Done(); err != nil {
		t.Error(err)
	}
}

func TestTOMLFaults(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"syntax", "a = 1\nb = \n", "x.toml, line 2: is not TOML: "},
		{"twice", "name = \"a\"\nname = \"b\"\n", "is not TOML"},
		{"unknown key", "name = \"a\"\n\nnmae = \"b\"\n", `x.toml, line 3, nmae: "b" is an unknown key: allowed here are long, many, name, on, part, shape`},
		{"no quotes", "name = 3\n", `line 1, name: "3" must be text in quotes`},
		{"range", "\nlong = \"11\"\n", `line 2, long: "11" is out of range: allowed is 0 to 10 m`},
		{"nan", "long = nan\n", `"nan" is out of range`},
		{"word", "shape = \"oval\"\n", `"oval" is not known here: allowed are round, square`},
		{"in a list", "many = [\n1,\n11]\n", `line 3, many[2]: "11" is out of range`},
		{"no list", "many = 1\n", "must be a list"},
		{"one", "long = [1]\n", "must be one quantity"},
		{"yes", "on = \"true\"\n", "without quotes"},
		{"table", "part = 3\n", "[[part]]"},
		{"table of mixed", "part = [{a = 1}, 3]\n", "[[part]]"},
	}
	for _, c := range cases {
		r, err := text.ReadTOML("x.toml", strings.NewReader(c.in), 1<<10)
		if err == nil {
			r.Text("name")
			r.Quantity("long", metres)
			r.Quantities("many", metres)
			r.Yes("on")
			r.Word("shape", "round", "round", "square")
			r.Tables("part")
			err = r.Done()
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\nwant %q", c.name, err, c.want)
		}
	}
}

func TestTOMLSeeds(t *testing.T) {
	seeded(t, tomlSeeds, 5, func(in string) error {
		_, err := text.ReadTOML("seed", strings.NewReader(in), 1<<16)
		return err
	})
}

func FuzzReadTOML(f *testing.F) {
	for _, s := range tomlSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := text.ReadTOML("fuzz", strings.NewReader(string(b)), 1<<16)
		if err != nil {
			return
		}
		for _, key := range []string{"a", "b", "name", "part"} {
			r.Has(key)
			r.Plain(key)
			for _, sub := range r.Tables(key) {
				sub.Quantities("a", metres)
			}
		}
		if err := r.Done(); err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
	})
}
