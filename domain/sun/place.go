package sun

// PlaceAt makes a place of whole millionths of a degree, which is how a plan
// keeps one: a tenth of a metre, and the same on every machine.
func PlaceAt(lat, lon int) Place { return Place{Lat: float64(lat) / 1e6, Lon: float64(lon) / 1e6} }

// WindowOf makes a window of whole degrees and centimetres.
func WindowOf(bearing, width, sill, head, depth, height int) Window {
	m := func(cm int) float64 { return float64(cm) / 100 }
	return Window{Bearing: float64(bearing), Width: m(width), Sill: m(sill), Head: m(head), Depth: m(depth), Height: m(height)}
}
