package water

import (
	"fmt"
	"io"
	"math"

	"windlane/geodesy"
	"windlane/internal/text"
	"windlane/internal/tiff"
)

// GeoTIFF (OGC 19-008r4): one band of depths, placed by ModelPixelScale and one
// ModelTiepoint, in longitude and latitude (EPSG:4326) or UTM (EPSG:32601 to
// 32660 north, 32701 to 32760 south), both on WGS 84.
const (
	modelType     = 1024 // 1 projected, 2 geographic
	rasterType    = 1025 // 1 a pixel is an area, 2 a point
	geographicCRS = 2048
	projectedCRS  = 3072
	// UTM: Snyder 1987, USGS Professional Paper 1395, p. 57.
	utmScale  = 0.9996 // on the central meridian [1]
	utmEast   = 500e3  // false easting [m]
	utmSouth  = 10e6   // false northing of the south [m]
	tiffBytes = soundingsBytes
)

// IsGeoTIFF says whether a file that begins so is one, and not text as all other
// files of soundings are.
func IsGeoTIFF(first []byte) bool { return tiff.Is(first) }

func readGeoTIFF(name string, r io.Reader) (*Soundings, error) {
	b, err := io.ReadAll(io.LimitReader(r, tiffBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", name, err)
	}
	if len(b) > tiffBytes {
		return nil, &text.Fault{File: name, Problem: fmt.Sprintf("is larger than the %d MB allowed: save it coarser", tiffBytes>>20)}
	}
	m, err := tiff.Decode(name, b, mostValues)
	if err != nil {
		return nil, err
	}
	fault := func(field, value, problem string) error {
		return &text.Fault{File: name, Field: field, Value: value, Problem: problem}
	}
	place, err := placing(name, m.GeoKeys)
	if err != nil {
		return nil, err
	}
	if len(m.Scale) < 2 || len(m.Tie) != 6 || !(m.Scale[0] > 0 && m.Scale[1] > 0) {
		return nil, fault("ModelPixelScale", "", "and one ModelTiepoint must say where the image lies: it is an image without a place, or one that is turned")
	}
	west, north := m.Tie[3]-m.Tie[0]*m.Scale[0], m.Tie[4]+m.Tie[1]*m.Scale[1]
	if key(m.GeoKeys, rasterType) != 2 { // an area: the tie is of its corner
		west, north = west+m.Scale[0]/2, north-m.Scale[1]/2
	}
	at := func(i, j int) (geodesy.Position, bool) {
		return place(west+float64(i)*m.Scale[0], north-float64(j)*m.Scale[1])
	}
	for _, corner := range [4][2]int{{0, 0}, {m.W - 1, 0}, {0, m.H - 1}, {m.W - 1, m.H - 1}} {
		if _, ok := at(corner[0], corner[1]); !ok {
			return nil, fault("ModelTiepoint", fmt.Sprintf("%v, %v", m.Tie[3], m.Tie[4]), "places the image, with its pixels' width, off the map")
		}
	}
	s := &Soundings{Name: name, Remarks: []string{name + ": its values were taken as depths in metres at full level"}}
	for j := m.H - 1; j >= 0; j-- { // from the south, as of an ASCII grid
		for i := range m.W {
			v := m.Values[j*m.W+i]
			field, value := fmt.Sprintf("row %d, column %d", j+1, i+1), fmt.Sprint(v)
			switch {
			case v != v:
				continue
			case v > deepest || v < -deepest:
				return nil, fault(field, value, fmt.Sprintf("is no depth: allowed is 0 to %v m, or the file's no-data value", deepest))
			case v < 0:
				return nil, fault(field, value, "is negative: depths are positive down; if these are heights, turn their sign round and give land the no-data value")
			}
			p, _ := at(i, j)
			s.List = append(s.List, Sounding{At: p, Depth: v, Track: int32(j)})
		}
	}
	if len(s.List) == 0 {
		return nil, &text.Fault{File: name, Problem: "holds no depth, only cells without data"}
	}
	return s, nil
}

// key finds a GeoKey whose value stands in the directory itself; 0 if it is not there.
func key(keys []uint16, id uint16) int {
	for i := 4; i+3 < len(keys); i += 4 {
		if keys[i] == id && keys[i+1] == 0 {
			return int(keys[i+3])
		}
	}
	return 0
}

// placing is how the map of a GeoTIFF turns into longitude and latitude; not ok
// off the map.
func placing(name string, keys []uint16) (func(x, y float64) (geodesy.Position, bool), error) {
	const allowed = "longitude and latitude (EPSG:4326) and UTM (EPSG:326.. and 327..), on WGS 84, are read: save it again in one of them"
	model, code := key(keys, modelType), key(keys, projectedCRS)
	switch {
	case model == 2 && key(keys, geographicCRS) == 4326:
		return func(x, y float64) (geodesy.Position, bool) {
			p := geodesy.Position{LonDeg: x, LatDeg: y}
			return p, p.Valid()
		}, nil
	case model == 1 && (code > 32600 && code <= 32660 || code > 32700 && code <= 32760):
		zone, south := code%100, code > 32700
		plane := geodesy.NewPlane(geodesy.Position{LonDeg: float64(6*zone - 183)})
		return func(x, y float64) (geodesy.Position, bool) {
			if south {
				y -= utmSouth
			}
			if !(math.Abs(x-utmEast) < 1e6 && math.Abs(y) < utmSouth) {
				return geodesy.Position{}, false
			}
			return plane.Position((x-utmEast)/utmScale, y/utmScale), true
		}, nil
	case len(keys) < 8:
		return nil, &text.Fault{File: name, Field: "GeoKeyDirectory", Problem: "is missing: a picture without a map; " + allowed}
	}
	value := fmt.Sprintf("EPSG:%d", code)
	if model != 1 {
		value = fmt.Sprintf("EPSG:%d", key(keys, geographicCRS))
	}
	return nil, &text.Fault{File: name, Field: "GeoKeyDirectory", Value: value, Problem: "is another map: " + allowed}
}
