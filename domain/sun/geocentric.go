package sun

import (
	"math"

	"fairday/domain/when"
)

// star is the sun as it is seen from the centre of the Earth.
type star struct {
	longitude      float64 // apparent, degrees
	ascension      float64 // apparent, degrees
	sinDec, cosDec float64 // of the apparent declination
	distance       float64 // astronomical units
	equation       float64 // of time, in degrees: apparent less mean time, 4 minutes each
}

// centuries is the dynamical time since J2000 in Julian centuries. It runs ahead
// of UTC by 69 seconds in the 2020s; ten seconds more or less move the sun by a
// ten-thousandth of a degree.
func centuries(at when.Instant) float64 {
	const (
		j2000  when.Instant = 946728000000 // 2000-01-01 12:00 as if it were UTC
		ahead               = 69 * when.Second
		length              = 36525 * 24 * when.Hour
	)
	return float64(at+ahead-j2000) / float64(length)
}

// geocentric is Meeus, chapter 25, lower accuracy, with the tilt of chapter 22
// and the equation of time by formula 28.1.
func geocentric(t float64) star {
	mean := poly(t, 280.46646, 36000.76983, 0.0003032)
	anomaly := poly(t, 357.52911, 35999.05029, -0.0001537)
	eccentric := poly(t, 0.016708634, -0.000042037, -0.0000001267)
	sin1, _ := sincos(anomaly)
	sin2, _ := sincos(anomaly + anomaly)
	sin3, _ := sincos(anomaly + anomaly + anomaly)
	centre := mul(poly(t, 1.914602, -0.004817, -0.000014), sin1) +
		mul(poly(t, 0.019993, -0.000101), sin2) + mul(0.000289, sin3)
	sinNode, cosNode := sincos(poly(t, 125.04, -1934.136))
	nutation := mul(-0.00478, sinNode)
	longitude := turn(mean + centre - 0.00569 + nutation)

	const tilt2000 = 23.*3600 + 26*60 + 21.448 // seconds of arc
	tilt := poly(t, tilt2000, -46.8150, -0.00059, 0.001813)/3600 + mul(0.00256, cosNode)
	sinTilt, cosTilt := sincos(tilt)
	sinLon, cosLon := sincos(longitude)
	ascension := turn(arc(mul(cosTilt, sinLon), cosLon))
	sinDec := mul(sinTilt, sinLon)

	_, cosTrue := sincos(anomaly + centre)
	return star{
		longitude: longitude,
		ascension: ascension,
		sinDec:    sinDec,
		cosDec:    math.Sqrt(1 - mul(sinDec, sinDec)),
		distance:  mul(1.000001018, 1-mul(eccentric, eccentric)) / (1 + mul(eccentric, cosTrue)),
		equation:  signed(mean - 0.0057183 - ascension + mul(nutation, cosTilt)),
	}
}
