// Package sun tells where the sun stands, when it rises and sets, and when it
// shines through a window.
//
// # Source
//
// The equations are those of the solar calculator of NOAA's Global Monitoring
// Laboratory (gml.noaa.gov/grad/solcalc), which come from Jean Meeus,
// Astronomical Algorithms, 2nd edition: chapter 25 (the sun's place, lower
// accuracy, 0.01 degrees), chapter 22 (the tilt of the axis) and chapter 28 (the
// equation of time).
//
// # Conventions
//
// Latitude is north positive, longitude east positive, azimuth and bearing are
// clockwise from true north; all in degrees. The sun rises and sets when its
// centre is 50 minutes of arc below the true horizon: 16 for its radius and 34 for
// usual refraction. Civil twilight reaches to 6 degrees below. These moments are
// right within seconds of the convention in middle latitudes; the real air moves
// them by a minute or more, height above the surroundings by as much as it pleases,
// and where the sun only grazes the horizon by more. What stands outside a window or
// round a place shades it as far as it was measured (Window, Sky); sunrise and sunset
// are those of a level horizon.
//
// There is no golden hour here: it has several definitions and no authority.
//
// # The same on every machine
//
// Go may fuse a product and a sum into one operation on some processors, and its
// trigonometry does so. Hence every product here is rounded by an explicit
// conversion, sines and arcs are this package's own, and moments are found by
// halving whole milliseconds: one place and day give one answer, to the bit,
// in a browser and on any server.
package sun
