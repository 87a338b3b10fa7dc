// Writes year.tsv anew: a year of the sun at eight places, of which one lies at the date
// line and three beyond a polar circle, by the library
// astronomy-engine, which works on its own theory of the planets.
//
//   mkdir /tmp/year && cp domain/sun/testdata/year.mjs /tmp/year && cd /tmp/year && npm install astronomy-engine@2.1.19
//   node year.mjs > year.tsv
//
// Lines of kind "p": latitude, longitude, instant (ms), azimuth and elevation
// without refraction, degrees. Lines of kind "d": latitude, longitude, noon of a
// day (ms), then rise and set nearest about it, ms, or 0 where there is none
// within twelve hours of that noon.
import * as A from 'astronomy-engine'

const places = [[0, 0], [38.72, -9.14], [-33.87, 151.21], [59.91, 10.73], [69.65, 18.96], [78.22, 15.65], [-77.85, 166.67], [1.87, -157.43]]
const day = 86400000
for (const [lat, lon] of places) {
  const at = new A.Observer(lat, lon, 0)
  for (let n = 0; n < 365; n++) {
    const start = Date.UTC(2026, 0, 1) + n * day
    const when = new Date(start + ((n * 7919) % 1440) * 60000)
    const eq = A.Equator('Sun', when, at, true, true)
    const h = A.Horizon(when, at, eq.ra, eq.dec)
    console.log(['p', lat, lon, when.getTime(), h.azimuth.toFixed(4), h.altitude.toFixed(4)].join('\t'))
    if (n % 2) continue
    const noon = A.SearchHourAngle('Sun', at, 0, new Date(start - lon * 240000)).time.date.getTime()
    const find = (direction, from) => {
      const found = A.SearchRiseSet('Sun', at, direction, new Date(from), 0.5)
      return found ? found.date.getTime() : 0
    }
    console.log(['d', lat, lon, noon, find(1, noon - day / 2), find(-1, noon)].join('\t'))
  }
}
