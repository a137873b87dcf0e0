package render

import (
	_ "embed"
	"encoding/binary"
	"sort"
	"strings"
	"sync"
)

// The one family, see font/SOURCE.md.
var (
	//go:embed font/atkinson-hyperlegible-next-latin-wght-normal.woff2
	fontPage []byte
	//go:embed font/atkinson-hyperlegible-next-latin-regular.ttf
	fontRegular []byte
	//go:embed font/atkinson-hyperlegible-next-latin-bold.ttf
	fontBold []byte
)

var (
	widthsRegular = sync.OnceValue(func() map[rune]float64 { return advances(fontRegular) })
	widthsBold    = sync.OnceValue(func() map[rune]float64 { return advances(fontBold) })
)

// textWidth is how wide words are set, in the unit of size.
func textWidth(words string, size float64, bold bool) float64 {
	widths := widthsRegular()
	if bold {
		widths = widthsBold()
	}
	sum := 0.0
	for _, r := range words {
		w, ok := widths[r]
		if !ok {
			w = 0.6
		}
		sum += w
	}
	return sum * size
}

// advances reads the width of every letter, in ems, from a TrueType font's cmap
// (format 4) and hmtx tables (ISO/IEC 14496-22). The font is our own embedded file.
func advances(ttf []byte) map[rune]float64 {
	be := binary.BigEndian
	tables := map[string][]byte{}
	for i := range int(be.Uint16(ttf[4:])) {
		e := ttf[12+16*i:]
		tables[string(e[:4])] = ttf[be.Uint32(e[8:]):][:be.Uint32(e[12:])]
	}
	em := float64(be.Uint16(tables["head"][18:]))
	measures := int(be.Uint16(tables["hhea"][34:]))
	hmtx, cmap := tables["hmtx"], tables["cmap"]
	out := map[rune]float64{}
	for i := range int(be.Uint16(cmap[2:])) {
		t := cmap[be.Uint32(cmap[4+8*i+4:]):]
		if be.Uint16(t) != 4 {
			continue
		}
		n := int(be.Uint16(t[6:]))
		ends, starts, deltas, offsets := t[14:], t[16+n:], t[16+2*n:], t[16+3*n:]
		for s := 0; s < n; s += 2 {
			for r := int(be.Uint16(starts[s:])); r <= int(be.Uint16(ends[s:])) && r < 0xffff; r++ {
				glyph := r
				if o := int(be.Uint16(offsets[s:])); o != 0 {
					glyph = int(be.Uint16(offsets[s+o+2*(r-int(be.Uint16(starts[s:]))):]))
				}
				if glyph = (glyph + int(be.Uint16(deltas[s:]))) & 0xffff; glyph != 0 {
					out[rune(r)] = float64(be.Uint16(hmtx[4*min(glyph, measures-1):])) / em
				}
			}
		}
	}
	return out
}

// settable turns words into letters that the font has.
func settable(words string) string {
	words = swap.Replace(words)
	return strings.Map(func(r rune) rune {
		if _, ok := widthsRegular()[r]; ok {
			return r
		}
		return '?'
	}, words)
}

var swap = strings.NewReplacer("≥", "at least ", "≤", "at most ", "≈", "about ", "′", "'", "″", "\"",
	"→", "to", "\t", " ", "\n", " ", "\r", "", "\u202f", " ", "\u2009", " ", "\u2011", "-")

// wrap breaks words into lines no wider than width; a single longer word stands alone.
func wrap(words string, width, size float64, bold bool) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(words) {
		switch try := line + " " + w; {
		case line == "":
			line = w
		case textWidth(try, size, bold) <= width:
			line = try
		default:
			lines = append(lines, line)
			line = w
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// shorten cuts words to a width, with an ellipsis.
func shorten(words string, width, size float64, bold bool) string {
	if textWidth(words, size, bold) <= width {
		return words
	}
	r := []rune(words)
	for len(r) > 1 && textWidth(string(r)+"…", size, bold) > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ,") + "…"
}

func sortFloats(xs []float64) { sort.Float64s(xs) }
