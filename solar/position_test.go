package solar

import (
	"math"
	"testing"
	"time"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

const deg = units.Degree

// within fails unless got is within tol of want.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g within %.3g", what, got, want, tol)
	}
}

// julian returns the Julian date of an RFC 3339 instant, by way of the Unix
// epoch (JD 2440587.5), so that it does not rest on JulianDate.
func julian(t *testing.T, utc string) float64 {
	t.Helper()
	at, err := time.Parse(time.RFC3339, utc)
	if err != nil {
		t.Fatal(err)
	}
	return 2440587.5 + float64(at.Unix())/86400
}

// position is where the sun stands, seen from a site, without refraction.
type position struct {
	zenith      units.Angle // topocentric
	azimuth     units.Angle // clockwise from north, 0 to 360 degrees
	declination units.Angle // apparent, geocentric
	eqTime      float64     // apparent less mean solar time [minutes]
}

// sunAt returns the position of the sun at a Julian date of universal time, by
// Meeus's horizontal coordinates 13.5 and 13.6. The azimuth has no meaning within
// 0.02 degrees of the zenith.
func sunAt(jd float64, latitude, longitude units.Angle) position {
	s := apparentSun(jd)
	_, sinceNoon := math.Modf(jd) // a Julian day begins at noon
	h := 2*math.Pi*sinceNoon + float64(longitude) + s.eqTime
	sinPhi, cosPhi := math.Sincos(float64(latitude))
	east, north, up := horizontal(s.sinDelta, s.cosDelta, h, sinPhi, cosPhi)
	zenith := math.Atan2(math.Hypot(east, north), up)
	azimuth := math.Atan2(east, north)
	if azimuth < 0 {
		azimuth += 2 * math.Pi
	}
	return position{
		zenith:      units.Angle(zenith + solarParallax*math.Sin(zenith)),
		azimuth:     units.Angle(azimuth),
		declination: units.Angle(math.Asin(s.sinDelta)),
		eqTime:      s.eqTime * 720 / math.Pi,
	}
}

// horizontal returns the unit vector towards the sun for an hour angle [rad,
// afternoon positive].
//
//	east  = -cos delta sin h
//	north = sin delta cos phi - cos delta cos h sin phi
//	up    = sin phi sin delta + cos phi cos delta cos h
func horizontal(sinDelta, cosDelta, h, sinPhi, cosPhi float64) (east, north, up float64) {
	sinH, cosH := math.Sincos(h)
	return -cosDelta * sinH,
		sinDelta*cosPhi - cosDelta*cosH*sinPhi,
		sinPhi*sinDelta + cosPhi*cosDelta*cosH
}

func TestSunPositionTable(t *testing.T) {
	worst := 0.0
	for _, row := range reftest.Load(t, "sun_position.csv") {
		p := sunAt(julian(t, row.Text("utc")), units.Angle(row.Float("lat_deg"))*deg, units.Angle(row.Float("lon_deg"))*deg)
		z, az := row.Float("zenith_deg")*math.Pi/180, row.Float("azimuth_deg")*math.Pi/180
		// Separation on the sky by haversine: the azimuth alone runs away near the zenith.
		hav := math.Pow(math.Sin((z-float64(p.zenith))/2), 2) +
			math.Sin(z)*math.Sin(float64(p.zenith))*math.Pow(math.Sin((az-float64(p.azimuth))/2), 2)
		apart := 2 * math.Asin(math.Sqrt(hav)) * 180 / math.Pi
		worst = math.Max(worst, apart)
		within(t, row.At+" separation", apart, 0, 0.02)
		within(t, row.At+" equation of time", p.eqTime, row.Float("eq_of_time_min"), 0.1)
	}
	t.Logf("largest separation %.4f degrees", worst)
}

func TestJulianDate(t *testing.T) {
	// Meeus 1998 p. 61-62: 1957 October 4.81 is JD 2436116.31; 1987 June 19 0h is 2446965.5.
	within(t, "1957-10-04", JulianDate(1957, 10, 4), 2436115.5, 0)
	within(t, "1987-06-19", JulianDate(1987, 6, 19), 2446965.5, 0)
	within(t, "2000-01-01", JulianDate(2000, 1, 1), 2451544.5, 0)
}

func TestMeeusExample25a(t *testing.T) {
	// Meeus 1998 example 25.a: 1992 October 13.0 TD: declination -7.78507 (from memory).
	p := sunAt(2448908.5-deltaT/86400.0, 0, 0)
	within(t, "declination", p.declination.In(deg), -7.78507, 1e-4)
}

func TestRedaAndreasExample(t *testing.T) {
	// Reda & Andreas 2004 (NREL/TP-560-34302), worked example: 17 October 2003,
	// 12:30:30 at UTC-7, 39.742476 N 105.1786 W. Without refraction the report's
	// algorithm gives a zenith of 50.128 and an azimuth of 194.340 degrees.
	p := sunAt(JulianDate(2003, 10, 17)+(19+30.0/60+30.0/3600)/24, 39.742476*deg, -105.1786*deg)
	within(t, "zenith", p.zenith.In(deg), 50.128, 0.02)
	within(t, "azimuth", p.azimuth.In(deg), 194.340, 0.02)
}

func TestS1SolarTime(t *testing.T) {
	// Duffie & Beckman example 1.5.1: E -13.5 min, solar time 10:19. The book's E
	// is Spencer's of 1971, for any year; this is 2023.
	e := sunAt(JulianDate(2023, 2, 3)+0.7, 43*deg, -89.4*deg).eqTime
	within(t, "E", e, -13.5, 0.3)
	within(t, "solar time [min]", 10*60+30+4*(90-89.4)+e, 10*60+19, 1)
}

func TestS9Kalogirou(t *testing.T) {
	// Kalogirou, Solar Energy Engineering, ch. 2: altitude 59.75 deg two hours
	// after noon, day of 14.83 h, sunrise 4:36. The page prints N 167.
	delta := declinationCooper(167)
	_, _, up := horizontal(math.Sin(float64(delta)), math.Cos(float64(delta)), 30*math.Pi/180, math.Sin(40*math.Pi/180), math.Cos(40*math.Pi/180))
	within(t, "altitude", math.Asin(up)*180/math.Pi, 59.75, 0.05)
	day := dayHours(40*deg, delta)
	within(t, "day", day, 14.83, 0.05)
	within(t, "sunrise", 12-day/2, 4.6, 0.05)
}

func TestS10FAO(t *testing.T) {
	// Allen et al. 1998, FAO-56 examples 8 and 9, in the FAO's own forms:
	// delta = 0.409 sin(2 pi J/365 - 1.39).
	delta := units.Angle(0.409 * math.Sin(2*math.Pi*246/365-1.39))
	within(t, "delta", float64(delta), 0.120, 0.0005)
	within(t, "dr", eccentricityCosine(246), 0.985, 0.0005)
	within(t, "ws", float64(SunsetAngle(-20*deg, delta)), 1.527, 0.0005)
	// Gsc 0.0820 MJ/m2 min.
	within(t, "Ra", 3.6*DailyExtraterrestrial(-20*deg, delta, eccentricityCosine(246), 0.0820e6/60), 32.2, 0.05)
	within(t, "N", dayHours(-20*deg, delta), 11.7, 0.05)
}
