package text_test

import (
	"strings"
	"testing"

	"windlane/internal/text"
)

func TestReadTable(t *testing.T) {
	for _, in := range []string{"# a remark\nTime, Depth \n09:00,4.5\n10:00,5\n", "\xef\xbb\xbfTime;Depth\r\n09:00;4.5\r\n10:00;5\r\n", "Time\tDepth\n09:00\t4.5\n10:00\t5\n"} {
		tab, err := text.ReadTable("x.csv", strings.NewReader(in), 1<<10)
		if err != nil || len(tab.Rows) != 2 {
			t.Fatalf("%q: %v, %v", in, tab, err)
		}
		col, err := tab.Need("depth_m", "depth")
		if err != nil {
			t.Fatal(err)
		}
		if v, err := tab.Rows[0].Number(col, 0, 100); err != nil || v != 4.5 {
			t.Errorf("%q: depth %v, %v; want 4.5", in, v, err)
		}
	}
}

func TestFaultsSayWhatToDo(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"empty", "", "x.csv: is empty"},
		{"binary", "a\x00b", "not a text file"},
		{"large", strings.Repeat("a", 2000), "larger than the 1 kB allowed"},
		{"cells", "a,b\n1\n", "x.csv, line 2: has 1 cells where the header has 2"},
		{"missing column", "a,b\n1,2\n", "must be called depth"},
		{"word", "depth\n\nfour\n", `x.csv, line 3, depth: "four" is not a number: allowed is 0 to 100`},
		{"nan", "depth\nNaN\n", `"NaN" is not a number`},
		{"range", "depth\n-4\n", `"-4" is out of range: allowed is 0 to 100`},
		{"blank cell", "depth,b\n,1\n", "line 2, depth: is missing"},
	}
	for _, c := range cases {
		tab, err := text.ReadTable("x.csv", strings.NewReader(c.in), 1<<10)
		if err == nil {
			var col int
			if col, err = tab.Need("depth"); err == nil {
				_, err = tab.Rows[0].Number(col, 0, 100)
			}
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// seeded reads each seed of a fuzz target and checks that the first good ones are
// read and the others refused.
func seeded(t *testing.T, seeds []string, good int, read func(in string) error) {
	t.Helper()
	if len(seeds) <= good || good == 0 {
		t.Fatalf("%d seeds, %d of them good: both kinds are needed", len(seeds), good)
	}
	for i, s := range seeds {
		if err := read(s); (err == nil) != (i < good) {
			t.Errorf("seed %q: %v", s, err)
		}
	}
}

// tableSeeds: the first three are tables.
var tableSeeds = []string{"a,b\n1,2\n", "a;b\n1;2\n", "a\n\"x\ny\"\n", "# only\n", "\"", "a,b\n1\n"}

func TestTableSeeds(t *testing.T) {
	seeded(t, tableSeeds, 3, func(in string) error {
		_, err := text.ReadTable("seed", strings.NewReader(in), 1<<16)
		return err
	})
}

func FuzzReadTable(f *testing.F) {
	for _, s := range tableSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		tab, err := text.ReadTable("fuzz", strings.NewReader(string(b)), 1<<16)
		if err != nil {
			return
		}
		for _, r := range tab.Rows {
			for c := range tab.Header {
				if _, err := r.Number(c, -1, 1); err != nil && err.Error() == "" {
					t.Error("an error without words")
				}
			}
		}
	})
}
