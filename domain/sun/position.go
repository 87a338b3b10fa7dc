package sun

import (
	"math"

	"fairday/domain/when"
)

// Place is a point on the Earth.
type Place struct {
	Lat float64 // degrees, north positive, -90 to 90
	Lon float64 // degrees, east positive, -180 to 180
}

// Check returns CodePlace for what is not on the Earth.
func (p Place) Check() error {
	if !(math.Abs(p.Lat) <= 90) { // also catches what is not a number
		return fail(CodePlace, "A latitude of %g is not on the Earth; write degrees from -90 at the south pole to 90 at the north pole.", p.Lat)
	}
	if !(math.Abs(p.Lon) <= 180) {
		return fail(CodePlace, "A longitude of %g is not on the Earth; write degrees from -180 in the west to 180 in the east.", p.Lon)
	}
	return nil
}

// Sight is where the sun's centre stands, seen from a place.
type Sight struct {
	Azimuth   float64 // degrees clockwise from true north, 0 to below 360
	Elevation float64 // degrees above the true horizon, without refraction or parallax
	Refracted float64 // the elevation as it looks through usual air at sea level
	Distance  float64 // from the Earth's centre, in astronomical units
}

// Position tells where the sun stands: within 0.01 degrees without refraction,
// between 1970 and 2200.
func Position(at when.Instant, p Place) (Sight, error) {
	if err := p.Check(); err != nil {
		return Sight{}, err
	}
	if err := checkTime(at); err != nil {
		return Sight{}, err
	}
	v := p.observer().look(at)
	elevation := v.elevation()
	return Sight{
		Azimuth:   turn(arc(v.east, v.north)),
		Elevation: elevation,
		Refracted: elevation + refraction(elevation),
		Distance:  geocentric(centuries(at)).distance,
	}, nil
}

const (
	earliest when.Instant = 1                                  // nought is "not set"
	latest                = 230 * 36525 * 24 * when.Hour / 100 // the end of 2199
)

func checkTime(at when.Instant) error {
	if at < earliest || at > latest {
		return fail(CodeTime, "The sun is worked out for the years 1970 to 2199 only; give a moment within them.")
	}
	return nil
}

// refraction is how much higher the sun looks, in degrees, at a true elevation
// (NOAA's solar calculator; 1013 hPa and about 10 degrees Celsius).
func refraction(elevation float64) float64 {
	const perDegree = 3600 // seconds of arc
	if elevation > -0.575 && elevation <= 5 {
		return poly(elevation, 1735, -518.2, 103.4, -12.79, 0.711) / perDegree
	}
	sin, cos := sincos(elevation)
	cot := cos / sin
	if elevation > 5 {
		return mul(cot, poly(mul(cot, cot), 58.1, -0.07, 0.000086)) / perDegree
	}
	return mul(-20.774, cot) / perDegree
}

// observer is a place made ready to look at the sun many times.
type observer struct{ sinLat, cosLat, lon float64 }

func (p Place) observer() observer {
	sin, cos := sincos(p.Lat)
	return observer{sin, cos, p.Lon}
}

// sight is the direction of the sun's centre, of length 1.
type sight struct{ east, north, up float64 }

func (v sight) elevation() float64 {
	return arc(v.up, math.Sqrt(mul(v.east, v.east)+mul(v.north, v.north)))
}

func (o observer) look(at when.Instant) sight {
	s := geocentric(centuries(at))
	sinH, cosH := sincos(o.hourAngle(at, s))
	sinDec, cosDec := s.sinDec, s.cosDec
	return sight{
		east:  -mul(cosDec, sinH),
		north: mul(sinDec, o.cosLat) - mul(mul(cosDec, cosH), o.sinLat),
		up:    mul(sinDec, o.sinLat) + mul(mul(cosDec, cosH), o.cosLat),
	}
}

// hourAngle is how far the sun is past the meridian, in degrees.
func (o observer) hourAngle(at when.Instant, s star) float64 {
	const day = 24 * when.Hour
	ofDay := ((at % day) + day) % day
	return signed(float64(ofDay)/240000 - 180 + o.lon + s.equation)
}
