package tiff

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"windlane/internal/text"
)

// largestPiece is a tile's pixels at most: one that would fill the memory is a
// fault or worse.
const largestPiece = 1 << 22

// sample is how a number is written.
type sample struct {
	bits, format int // format: 1 unsigned, 2 signed, 3 floating point
}

func (r *reader) sample() (sample, error) {
	bands, err := r.whole(samplesPerPixel, 1)
	if err != nil {
		return sample{}, err
	}
	if bands != 1 {
		return sample{}, r.fault(samplesPerPixel, strconv.Itoa(bands), "is not 1: one band of depths is read, no picture in colours")
	}
	bits, err := r.whole(bitsPerSample, 1)
	if err != nil {
		return sample{}, err
	}
	format, err := r.whole(sampleFormat, 1)
	if err != nil {
		return sample{}, err
	}
	s := sample{bits, format}
	switch s {
	case sample{8, 1}, sample{8, 2}, sample{16, 1}, sample{16, 2}, sample{32, 1}, sample{32, 2}, sample{32, 3}, sample{64, 3}:
		return s, nil
	}
	return s, r.fault(bitsPerSample, fmt.Sprintf("%d, format %d", bits, format), "is not read: whole numbers of 8, 16 or 32 bits and floating point of 32 or 64 are")
}

// value reads one number.
func (s sample) value(b []byte, order binary.ByteOrder) float64 {
	switch s {
	case sample{8, 1}:
		return float64(b[0])
	case sample{8, 2}:
		return float64(int8(b[0]))
	case sample{16, 1}:
		return float64(order.Uint16(b))
	case sample{16, 2}:
		return float64(int16(order.Uint16(b)))
	case sample{32, 1}:
		return float64(order.Uint32(b))
	case sample{32, 2}:
		return float64(int32(order.Uint32(b)))
	case sample{32, 3}:
		return float64(math.Float32frombits(order.Uint32(b)))
	}
	return math.Float64frombits(order.Uint64(b))
}

// pixels reads strips or tiles into the image.
func (r *reader) pixels(m *Image) error {
	s, err := r.sample()
	if err != nil {
		return err
	}
	none, err := r.noData()
	if err != nil {
		return err
	}
	var format [2]int
	for i, t := range []struct{ tag, unsaid int }{{compression, 1}, {predictor, 1}} {
		if format[i], err = r.whole(t.tag, t.unsaid); err != nil {
			return err
		}
	}
	w, offsetsTag, countsTag := m.W, stripOffsets, stripByteCounts
	var h int
	if _, tiled := r.tags[tileOffsets]; tiled {
		offsetsTag, countsTag = tileOffsets, tileByteCounts
		if w, err = r.whole(tileWidth, -1); err != nil {
			return err
		}
		if h, err = r.whole(tileLength, -1); err != nil {
			return err
		}
	} else if h, err = r.whole(rowsPerStrip, m.H); err != nil {
		return err
	} else {
		h = min(h, m.H)
	}
	if w < 1 || h < 1 || w > largestPiece/h && offsetsTag == tileOffsets {
		return r.fault(offsetsTag, "", fmt.Sprintf("are of pieces of %d by %d pixels, which cannot be", w, h))
	}
	offsets, err := r.wholes(offsetsTag)
	if err != nil {
		return err
	}
	counts, err := r.wholes(countsTag)
	if err != nil {
		return err
	}
	across, down := (m.W+w-1)/w, (m.H+h-1)/h
	if len(offsets) != across*down || len(counts) != len(offsets) {
		return r.fault(offsetsTag, strconv.Itoa(len(offsets)), fmt.Sprintf("are not the %d pieces of %d by %d pixels that make the image", across*down, w, h))
	}
	m.Values = make([]float64, m.W*m.H)
	size := s.bits / 8
	for i, at := range offsets {
		x0, y0 := i%across*w, i/across*h
		rows := h
		if offsetsTag == stripOffsets {
			rows = min(h, m.H-y0)
		}
		if at+counts[i] > len(r.b) {
			return r.fault(offsetsTag, "", fmt.Sprintf("number %d lies beyond the end of the file, which is cut off", i+1))
		}
		raw, err := unpack(r.b[at:at+counts[i]], format[0], w*rows*size)
		if err != nil {
			return r.fault(compression, strconv.Itoa(format[0]), fmt.Sprintf("%v (piece %d)", err, i+1))
		}
		order, err := r.unpredict(raw, s, w, format[1])
		if err != nil {
			return err
		}
		for y := y0; y < min(y0+rows, m.H); y++ {
			for x := x0; x < min(x0+w, m.W); x++ {
				v := s.value(raw[((y-y0)*w+x-x0)*size:], order)
				if v == none || s.bits == 32 && s.format == 3 && float32(v) == float32(none) {
					v = math.NaN()
				}
				m.Values[y*m.W+x] = v
			}
		}
	}
	return nil
}

// unpack undoes a piece's compression, which must give so many bytes.
func unpack(b []byte, how, size int) ([]byte, error) {
	var out []byte
	switch how {
	case 1:
		out = bytes.Clone(b[:min(len(b), size)])
	case 5:
		out = unLZW(b, size)
	case 8, 32946:
		z, err := zlib.NewReader(bytes.NewReader(b))
		if err != nil {
			return nil, errors.New("is deflate, and a piece is not")
		}
		out, err = io.ReadAll(io.LimitReader(z, int64(size)))
		if err != nil {
			return nil, errors.New("is deflate, and a piece is damaged")
		}
	case 32773:
		out = unPackBits(b, size)
	default:
		return nil, errors.New("is not read: none (1), LZW (5), deflate (8) and PackBits (32773) are; save it again without compression")
	}
	if len(out) != size {
		return nil, fmt.Errorf("gives %d bytes where %d make the pixels", len(out), size)
	}
	return out, nil
}

// unPackBits undoes runs of equal bytes (TIFF 6.0, section 9).
func unPackBits(b []byte, size int) []byte {
	out := make([]byte, 0, min(size, 128*len(b)))
	for len(b) > 1 && len(out) < size {
		n := int(int8(b[0]))
		switch {
		case n >= 0:
			n = min(n+1, len(b)-1)
			out = append(out, b[1:1+n]...)
			b = b[1+n:]
		case n > -128:
			out = append(out, bytes.Repeat(b[1:2], 1-n)...)
			b = b[2:]
		default:
			b = b[1:]
		}
	}
	return out[:min(len(out), size)]
}

// unLZW undoes LZW as TIFF has it (TIFF 6.0, section 13): codes from the high bit
// down, 9 to 12 bits, each width ending one code early.
func unLZW(b []byte, size int) []byte {
	const clearCode, endCode, most = 256, 257, 4096
	out := make([]byte, 0, min(size, 1024*len(b)))
	// An entry is a stretch of what has been written.
	var start, length [most]int
	next, width, have, old := 258, 9, 0, -1
	bits := uint32(0)
	for _, c := range b {
		bits, have = bits<<8|uint32(c), have+8
		if have < width {
			continue
		}
		have -= width
		code := int(bits >> have & (1<<width - 1))
		from := len(out)
		switch {
		case code == endCode:
			return out
		case code == clearCode:
			next, width, old = 258, 9, -1
			continue
		case code < 256:
			out = append(out, byte(code))
		case code < next:
			out = append(out, out[start[code]:start[code]+length[code]]...)
		case code == next && old >= 0: // the one being made: the last stretch and its own first byte
			out = append(append(out, out[old:from]...), out[old])
		default:
			return out
		}
		if old >= 0 && next < most {
			start[next], length[next] = old, from-old+1
			next++
		}
		old = from
		if next >= 1<<width-1 && width < 12 {
			width++
		}
		if len(out) >= size {
			return out[:size]
		}
	}
	return out
}

// unpredict turns differences along rows back into values, in place, and says
// which order their bytes then have.
func (r *reader) unpredict(b []byte, s sample, w, how int) (binary.ByteOrder, error) {
	size := s.bits / 8
	row := w * size
	switch {
	case how == 1:
	case how == 2 && s.format != 3: // TIFF 6.0, section 14
		for y := 0; y < len(b); y += row {
			for x := size; x < row; x += size {
				p, q := b[y+x-size:][:size], b[y+x:][:size]
				switch size {
				case 1:
					q[0] += p[0]
				case 2:
					r.order.PutUint16(q, r.order.Uint16(p)+r.order.Uint16(q))
				default:
					r.order.PutUint32(q, r.order.Uint32(p)+r.order.Uint32(q))
				}
			}
		}
	case how == 3 && s.format == 3:
		// Adobe Photoshop TIFF Technical Note 3 (2005): each row's bytes are sorted
		// by their weight, heaviest first, then differences taken.
		sorted := make([]byte, row)
		for y := 0; y < len(b); y += row {
			line := b[y : y+row]
			for x := 1; x < row; x++ {
				line[x] += line[x-1]
			}
			copy(sorted, line)
			for x := range w {
				for k := range size {
					line[x*size+k] = sorted[k*w+x]
				}
			}
		}
		return binary.BigEndian, nil
	default:
		return nil, &text.Fault{File: r.file, Field: names[predictor], Value: strconv.Itoa(how), Problem: "is not read for these samples: 1 is, 2 of whole numbers, 3 of floating point"}
	}
	return r.order, nil
}
