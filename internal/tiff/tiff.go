// Package tiff reads the first image of a TIFF file (TIFF 6.0, 1992) as one band
// of numbers, with the tags that GeoTIFF (OGC 19-008r4) adds. It knows no trade.
//
// Read are: either byte order; strips and tiles; samples of 8, 16 and 32 bits,
// signed or not, and floating point of 32 and 64; without compression, LZW,
// deflate, PackBits; predictors 1 to 3. All else is refused by the tag's name.
// Sizes are checked before anything is made of them, so a file can ask for no
// more memory than its pixels need.
package tiff

import (
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"

	"windlane/internal/text"
)

// Image is one band, row by row from the top.
type Image struct {
	W, H    int
	Values  []float64 // [as the file means them], NaN where the file says that there is no value
	Scale   []float64 // ModelPixelScale: width and height of a pixel on the map [the map's unit]
	Tie     []float64 // ModelTiepoint: column, row, 0, then place on the map [pixels, the map's unit]
	GeoKeys []uint16  // GeoKeyDirectory
}

// Is says whether a file that begins so is a TIFF, of the classic kind or the big.
func Is(first []byte) bool {
	return len(first) >= 4 && (string(first[:4]) == "II*\x00" || string(first[:4]) == "MM\x00*" || string(first[:4]) == "II+\x00" || string(first[:4]) == "MM\x00+")
}

// The tags that are read.
const (
	imageWidth      = 256
	imageLength     = 257
	bitsPerSample   = 258
	compression     = 259
	stripOffsets    = 273
	samplesPerPixel = 277
	rowsPerStrip    = 278
	stripByteCounts = 279
	predictor       = 317
	tileWidth       = 322
	tileLength      = 323
	tileOffsets     = 324
	tileByteCounts  = 325
	sampleFormat    = 339
	pixelScale      = 33550
	tiepoint        = 33922
	transformation  = 34264
	geoKeyDirectory = 34735
	gdalMetadata    = 42112
	gdalNoData      = 42113
)

var names = map[int]string{imageWidth: "ImageWidth", imageLength: "ImageLength", bitsPerSample: "BitsPerSample", compression: "Compression",
	stripOffsets: "StripOffsets", samplesPerPixel: "SamplesPerPixel", rowsPerStrip: "RowsPerStrip", stripByteCounts: "StripByteCounts",
	predictor: "Predictor", tileWidth: "TileWidth", tileLength: "TileLength", tileOffsets: "TileOffsets", tileByteCounts: "TileByteCounts",
	sampleFormat: "SampleFormat", pixelScale: "ModelPixelScale", tiepoint: "ModelTiepoint", transformation: "ModelTransformation",
	geoKeyDirectory: "GeoKeyDirectory", gdalMetadata: "metadata", gdalNoData: "no-data value"}

// size of a value of each type of field. [bytes]
var sizes = [...]int{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}

type reader struct {
	file  string
	b     []byte
	order binary.ByteOrder
	tags  map[int]entry
}

type entry struct {
	kind  int
	count int
	data  []byte
}

func (r *reader) fault(tag int, value, problem string) error {
	return &text.Fault{File: r.file, Field: names[tag], Value: value, Problem: problem}
}

// Decode reads the image of a file, of most pixels at most.
func Decode(file string, b []byte, most int) (*Image, error) {
	r := &reader{file: file, b: b, order: binary.LittleEndian}
	if len(b) < 8 || !Is(b) {
		return nil, &text.Fault{File: file, Problem: "is no TIFF file"}
	}
	if b[0] == 'M' {
		r.order = binary.BigEndian
	}
	if r.order.Uint16(b[2:]) != 42 {
		return nil, &text.Fault{File: file, Problem: "is a BigTIFF: save it as a classic TIFF"}
	}
	if err := r.directory(int(r.order.Uint32(b[4:]))); err != nil {
		return nil, err
	}
	m := &Image{}
	for _, size := range []struct {
		tag  int
		into *int
	}{{imageWidth, &m.W}, {imageLength, &m.H}} {
		v, err := r.whole(size.tag, -1)
		if err != nil {
			return nil, err
		}
		if v < 1 || v > most {
			return nil, r.fault(size.tag, strconv.Itoa(v), fmt.Sprintf("is out of range: allowed is 1 to %d", most))
		}
		*size.into = v
	}
	if m.W*m.H > most {
		return nil, &text.Fault{File: file, Value: fmt.Sprintf("%d by %d", m.W, m.H), Problem: fmt.Sprintf("are %d cells: allowed are %d; save it coarser", m.W*m.H, most)}
	}
	if err := r.geo(m); err != nil {
		return nil, err
	}
	return m, r.pixels(m)
}

// directory reads the entries of the first image.
func (r *reader) directory(at int) error {
	short := &text.Fault{File: r.file, Problem: "ends early: its directory of tags is cut off"}
	if at < 8 || at+2 > len(r.b) {
		return short
	}
	n := int(r.order.Uint16(r.b[at:]))
	if at+2+12*n > len(r.b) {
		return short
	}
	r.tags = map[int]entry{}
	for i := range n {
		e := r.b[at+2+12*i:][:12]
		tag, kind, count := int(r.order.Uint16(e)), int(r.order.Uint16(e[2:])), int(r.order.Uint32(e[4:]))
		if kind < 1 || kind >= len(sizes) || names[tag] == "" {
			continue
		}
		length := count * sizes[kind]
		data := e[8:]
		if length > 4 {
			where := int(r.order.Uint32(e[8:]))
			if where+length > len(r.b) {
				return r.fault(tag, "", "lies beyond the end of the file")
			}
			data = r.b[where:]
		}
		r.tags[tag] = entry{kind, count, data[:length]}
	}
	return nil
}

// wholes reads a tag of whole numbers, nil if it is not there.
func (r *reader) wholes(tag int) ([]int, error) {
	e, ok := r.tags[tag]
	if !ok {
		return nil, nil
	}
	out := make([]int, e.count)
	for i := range out {
		switch e.kind {
		case 1:
			out[i] = int(e.data[i])
		case 3:
			out[i] = int(r.order.Uint16(e.data[2*i:]))
		case 4:
			out[i] = int(r.order.Uint32(e.data[4*i:]))
		default:
			return nil, r.fault(tag, "", "holds no whole numbers")
		}
	}
	return out, nil
}

// whole reads a tag of one whole number; without it the given one holds, unless
// that is negative.
func (r *reader) whole(tag, unsaid int) (int, error) {
	v, err := r.wholes(tag)
	switch {
	case err != nil:
		return 0, err
	case len(v) > 0:
		return v[0], nil
	case unsaid >= 0:
		return unsaid, nil
	}
	return 0, r.fault(tag, "", "is missing")
}

// geo reads where the image lies.
func (r *reader) geo(m *Image) error {
	for _, t := range []struct {
		tag  int
		into *[]float64
	}{{pixelScale, &m.Scale}, {tiepoint, &m.Tie}} {
		e, ok := r.tags[t.tag]
		if !ok {
			continue
		}
		if e.kind != 12 {
			return r.fault(t.tag, "", "holds no numbers of 64 bits")
		}
		for i := range e.count {
			*t.into = append(*t.into, math.Float64frombits(r.order.Uint64(e.data[8*i:])))
		}
	}
	if _, turned := r.tags[transformation]; turned && (m.Scale == nil || m.Tie == nil) {
		return r.fault(transformation, "", "places the image: only ModelPixelScale with ModelTiepoint is read, so save it again with north up")
	}
	if e, ok := r.tags[geoKeyDirectory]; ok {
		if e.kind != 3 {
			return r.fault(geoKeyDirectory, "", "holds no numbers of 16 bits")
		}
		for i := range e.count {
			m.GeoKeys = append(m.GeoKeys, r.order.Uint16(e.data[2*i:]))
		}
	}
	if e, ok := r.tags[gdalMetadata]; ok && (strings.Contains(string(e.data), `role="scale"`) || strings.Contains(string(e.data), `role="offset"`)) {
		return r.fault(gdalMetadata, "", "says that its values are scaled: save it again as plain metres")
	}
	return nil
}

// noData is the value that stands for none, NaN when the file names none.
func (r *reader) noData() (float64, error) {
	e, ok := r.tags[gdalNoData]
	if !ok {
		return math.NaN(), nil
	}
	s := strings.TrimSpace(strings.Trim(string(e.data), "\x00"))
	v, err := strconv.ParseFloat(s, 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, r.fault(gdalNoData, s, "is no number")
	}
	return v, nil
}
