package sun

// PlaceAt makes a place of whole millionths of a degree, which is how a plan
// keeps one: a tenth of a metre, and the same on every machine.
func PlaceAt(lat, lon int) Place { return Place{Lat: float64(lat) / 1e6, Lon: float64(lon) / 1e6} }

// ArcOf makes an arc of whole degrees.
func ArcOf(from, to, up int) Arc { return Arc{Degrees(from), Degrees(to), Degrees(up)} }

// Degrees makes an angle of whole degrees.
func Degrees(n int) float64 { return float64(n) }

// Metres turns whole centimetres into metres.
func Metres(cm int) float64 { return float64(cm) / 100 }
