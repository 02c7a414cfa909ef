package page

import (
	"fmt"
	"math"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// Sources of the working about sun, as the page names them among its own.
const (
	fromHayDavies = "Hay & Davies 1980"
	fromLiuJordan = "Liu & Jordan 1963"
	fromGlass     = "De Soto, Klein & Beckman 2006"
	fromDiffuse   = "Brandemuehl & Beckman 1980, from memory"
	fromRoss      = "Ross 1980"
	fromDobos     = "Dobos 2014 (NREL)"
	fromDuffie    = "Duffie & Beckman, Solar Engineering of Thermal Processes, sections 1.6 and 1.10"
)

var (
	watts2   = document.WattsPerM2
	wh2      = document.Named("Wh/m2")
	perWatt  = document.Named("Wh/W")
	perWattY = document.Named("Wh/W/year")
	radians  = document.Named("rad")
	perK     = document.Named("1/K")
)

// working works the year, the worst month, and one hour of it.
func (v *sunView) working() []document.Step {
	var w working
	worst := v.worst()
	w.sunYear("year", v.months)
	if v.sky.Climate.LowWinter {
		w.sunYear("sizing_year", v.sizing)
	}
	w.sunMonth(v.sky, "worst_month", worst, v.sizing)
	w.clearness(v.sky, worst, v.sizing.GHI[worst])
	w.losses(v.sky, v.sizing, v.losses)
	w.sunHour(v.sky, worst)
	return w.steps
}

// sunYear works the means of a year from its months.
func (w *working) sunYear(key string, m sky.SunMonths) {
	ghi, poa, temp, yield := m.Year()
	mean := func(name, what string, months [12]float64, result float64, unit document.Unit) {
		var in []document.Input
		var terms []string
		for i, v := range months {
			in = append(in, put(numbered("m", i), v, unit, plan.MonthNames[i]))
			terms = append(terms, fmt.Sprintf("%d * %s", data.MonthDays[i], numbered("m", i)))
		}
		w.add(key+"."+name, what+", mean of the days of the year", "M = ("+strings.Join(terms, " + ")+") / 365", result, unit, "each month by its days", in...)
	}
	mean("ghi_kwh_per_m2_day", "sun on the level", m.GHI, ghi, document.KWhPerM2Day)
	mean("poa_kwh_per_m2_day", "sun on the panel", m.POA, poa, document.KWhPerM2Day)
	mean("temp_c", "air", m.TempC, temp, document.Temperature)
	mean("yield_wh_per_w_day", "each watt of panel", m.Yield, yield, document.WhPerWattDay)
	w.add(key+".yield_wh_per_w_year", "each watt of panel in a year", "Y = 365 * y", yield*solar.DaysPerYear, perWattY, byDefinition, put("y", yield, document.WhPerWattDay, "a day"))
}

// sunMonth works the means of one month from the sums of its hours.
func (w *working) sunMonth(sky *sky.Sky, key string, month int, m sky.SunMonths) {
	sums := [3]float64{}
	hours := 0.0
	onPlane, perWattHours := sky.OnPlane(sky.Weather), sky.PerWatt(sky.Weather)
	for i := range onPlane {
		if monthOfHour(sky, i) == month {
			sums[0] += sky.Weather.GHI[i]
			sums[1] += onPlane[i]
			sums[2] += perWattHours[i]
			hours++
		}
	}
	if hours == 0 {
		return
	}
	name := monthName(month)
	n := put("n", hours, document.Hours, "hours of "+name+" in the record")
	source := "sum of the hours, as the one below"
	w.add(key+".ghi_kwh_per_m2_day", "sun on the level in "+name, "H = 24 * S / n / 1000", m.GHI[month], document.KWhPerM2Day, source, put("S", sums[0], wh2, "sum of the hours"), n)
	w.add(key+".poa_kwh_per_m2_day", "sun on the panel in "+name, "H = 24 * S / n / 1000", m.POA[month], document.KWhPerM2Day, source, put("S", sums[1], wh2, "sum of the hours"), n)
	w.add(key+".yield_wh_per_w_day", "each watt of panel in "+name, "Y = 24 * S / n", m.Yield[month], document.WhPerWattDay, source, put("S", sums[2], perWatt, "sum of the hours"), n)
}

// monthOfHour returns the month, 0 to 11, of hour i of the weather.
func monthOfHour(sky *sky.Sky, i int) int {
	return solar.MonthOf((sky.Weather.Start + i) % solar.HoursPerYear / 24)
}

// clearness works how much of the sun outside the atmosphere reaches the ground
// in the mean day of a month.
func (w *working) clearness(sky *sky.Sky, month int, ghi float64) {
	lat := sky.Climate.Site.Latitude
	n := solar.KleinDays[month]
	delta, far := solar.DeclinationCooper(n), solar.EccentricityCosine(n)
	ws := float64(solar.SunsetAngle(lat, delta))
	if ws <= 0 || ws >= math.Pi || ghi <= 0 {
		return // polar night or day
	}
	day := put("n", n, document.None, "day of the year, "+monthName(month))
	phi, d := put("phi", lat.In(units.Degree), document.Degrees, "latitude"), put("delta", delta.In(units.Degree), document.Degrees, "declination")
	w.add("worst_month.declination_deg", "declination of the sun in the mean day", "delta = 23.45 * sin(2 * pi * (284 + n) / 365)", d.Value, document.Degrees, "Cooper 1969; mean days by Klein 1977", day)
	w.add("worst_month.sunset_rad", "hour angle of sunset", "ws = acos(-tan(phi * pi / 180) * tan(delta * pi / 180))", ws, radians, fromDuffie, phi, d)
	h0 := solar.DailyExtraterrestrial(lat, delta, far, solar.SolarConstant)
	w.add("worst_month.outside_kwh_per_m2_day", "sun outside the atmosphere in the mean day",
		"H0 = 24 / pi * 1.361 * (1 + 0.033 * cos(2 * pi * n / 365)) * (cos(phi * pi / 180) * cos(delta * pi / 180) * sin(ws) + ws * sin(phi * pi / 180) * sin(delta * pi / 180))",
		h0, document.KWhPerM2Day, fromDuffie+"; 1361 W/m2 by Kopp & Lean 2011", day, phi, d, put("ws", ws, radians, "sunset"))
	w.add("worst_month.clearness", "clearness, a check: 0.3 is dull, 0.7 very clear", "KT = H / H0", ghi/h0, document.Fraction, fromDuffie,
		put("H", ghi, document.KWhPerM2Day, "sun on the level"), put("H0", h0, document.KWhPerM2Day, "outside"))
}

// losses works the yield of the year from the sun and every loss.
func (w *working) losses(sky *sky.Sky, m sky.SunMonths, losses []solar.Loss) {
	_, poa, _, yield := m.Year()
	if sky.Weather.Hours()%solar.HoursPerYear != 0 {
		return
	}
	in := []document.Input{put("H", poa, document.KWhPerM2Day, "sun on the panel")}
	formula := "Y = H"
	for i, l := range losses {
		in = append(in, put(numbered("L", i), l.Share, document.Fraction, l.Name))
		formula += fmt.Sprintf(" * (1 - %s)", numbered("L", i))
	}
	w.add("losses.yield_wh_per_w_day", "each watt over the year, from every loss", formula, yield, document.WhPerWattDay, fromDobos+"; a kWh/m2 is an hour of full sun", in...)
}

// sunHour works one hour: the sunniest on the panel of a month.
func (w *working) sunHour(sky *sky.Sky, month int) {
	onPlane := sky.OnPlane(sky.Weather)
	at := -1
	for i, g := range onPlane {
		if monthOfHour(sky, i) == month && (at < 0 || g > onPlane[at]) {
			at = i
		}
	}
	if at < 0 || onPlane[at] <= 0 {
		return
	}
	s, g := sky.Weather, sky.Geometry
	h := (s.Start + at) % solar.HoursPerYear
	day := float64(h/24 + 1)
	east, north, up := sky.Plane.Normal()
	cos := g.East[h]*east + g.North[h]*north + g.Up[h]*up
	if cos <= 0 || cos >= 1 {
		return
	}
	when := units.Sprintf("in the hour from %02d:00, day %.0f of the year", h%24, day)
	tilt, azimuth := put("b", sky.Plane.Tilt.In(units.Degree), document.Degrees, "tilt"), put("a", sky.Plane.Azimuth.In(units.Degree), document.Degrees, "azimuth, from north")
	c, su := put("c", cos, document.None, "cosine of incidence"), put("su", g.Up[h], document.None, "sun's direction, up")
	w.add("hour.cos_incidence", "cosine of the angle between sun and panel "+when, "c = se * sin(b * pi / 180) * sin(a * pi / 180) + sn * sin(b * pi / 180) * cos(a * pi / 180) + su * cos(b * pi / 180)",
		cos, document.None, "geometry; the sun's place by Meeus, Astronomical Algorithms, 1998", put("se", g.East[h], document.None, "sun's direction, east"), put("sn", g.North[h], document.None, "north"), su, tilt, azimuth)
	angle := 2 * math.Pi * (day - 1) / 365
	w.add("hour.day_angle_rad", "day angle", "B = 2 * pi * (n - 1) / 365", angle, radians, "Spencer 1971", put("n", day, document.None, "day of the year"))
	w.add("hour.outside_w_per_m2", "sun outside the atmosphere, facing it", "G0 = 1361 * (1.00011 + 0.034221 * cos(B) + 0.00128 * sin(B) + 0.000719 * cos(2 * B) + 0.000077 * sin(2 * B))",
		g.ExtraNormal[h], watts2, "Spencer 1971; Kopp & Lean 2011", put("B", angle, radians, "day angle"))
	ghi, dni, dhi, g0 := put("GHI", s.GHI[at], watts2, "on the level"), put("DNI", s.DNI[at], watts2, "beam, facing the sun"), put("DHI", s.DHI[at], watts2, "diffuse, on the level"), put("G0", g.ExtraNormal[h], watts2, "outside")
	albedo := sky.Plane.Albedo
	if m := sky.Plane.AlbedoByMonth; m != nil {
		albedo = m[month]
	}
	plane := sky.Plane
	plane.Albedo = albedo
	parts := solar.HayDavies(plane, ghi.Value, dni.Value, dhi.Value, g0.Value, su.Value, cos)
	w.add("hour.beam_w_per_m2", "beam on the panel "+when, "Gb = DNI * c", parts.Beam, watts2, fromLiuJordan, dni, c)
	w.add("hour.circumsolar_w_per_m2", "light from around the sun", "Gc = DHI * min(DNI / G0, 1) * c / max(su, 0.01745)", parts.Circumsolar, watts2, fromHayDavies, dhi, dni, g0, c, su)
	w.add("hour.sky_w_per_m2", "light from the even sky", "Gi = DHI * (1 - min(DNI / G0, 1)) * (1 + cos(b * pi / 180)) / 2", parts.Sky, watts2, fromHayDavies, dhi, dni, g0, tilt)
	w.add("hour.ground_w_per_m2", "light from the ground", "Gg = GHI * r * (1 - cos(b * pi / 180)) / 2", parts.Ground, watts2, fromLiuJordan, ghi, put("r", albedo, document.Fraction, "albedo"), tilt)
	beam, around, even, ground := put("Gb", parts.Beam, watts2, "beam"), put("Gc", parts.Circumsolar, watts2, "around the sun"), put("Gi", parts.Sky, watts2, "sky"), put("Gg", parts.Ground, watts2, "ground")
	w.add("hour.poa_w_per_m2", "sun on the panel "+when, "G = Gb + Gc + Gi + Gg", onPlane[at], watts2, "sum of the parts", beam, around, even, ground)
	w.panelHour(sky, at, month, cos, []document.Input{beam, around, even, ground})
}

// panelHour works what each watt of panel makes of one hour's light.
func (w *working) panelHour(sky *sky.Sky, at, month int, cos float64, parts []document.Input) {
	light := parts[0].Value + parts[1].Value + parts[2].Value + parts[3].Value
	cell := solar.CellTemperature(sky.Weather.TempC[at], light, sky.Panel.NOCT)
	w.add("hour.cell_c", "temperature of the cells", "Tc = Ta + (NOCT - 20) * G / 800", cell, document.Temperature, fromRoss,
		put("Ta", sky.Weather.TempC[at], document.Temperature, "air"), put("NOCT", sky.Panel.NOCT, document.Temperature, "operating cell temperature"), put("G", light, watts2, "sun on the panel"))
	passed, formula := light, ""
	if sky.Panel.Incidence != solar.IncidenceNone {
		tilt := sky.Plane.Tilt.In(units.Degree)
		cosSky := math.Cos((59.7 - 0.1388*tilt + 0.001497*tilt*tilt) * math.Pi / 180)
		cosGround := math.Cos((90 - 0.5788*tilt + 0.002693*tilt*tilt) * math.Pi / 180)
		b := put("b", tilt, document.Degrees, "tilt")
		w.add("hour.cos_sky", "cosine at which sky light counts", "c = cos((59.7 - 0.1388 * b + 0.001497 * b^2) * pi / 180)", cosSky, document.None, fromDiffuse, b)
		w.add("hour.cos_ground", "cosine at which ground light counts", "c = cos((90 - 0.5788 * b + 0.002693 * b^2) * pi / 180)", cosGround, document.None, fromDiffuse, b)
		kb, ks, kg := w.glass("beam", cos), w.glass("sky", cosSky), w.glass("ground", cosGround)
		passed = (parts[0].Value+parts[1].Value)*kb + parts[2].Value*ks + parts[3].Value*kg
		formula = "Gp = (Gb + Gc) * kb + Gi * ks + Gg * kg"
		w.add("hour.passed_w_per_m2", "light that the glass passes", formula, passed, watts2, fromGlass, append(append([]document.Input{}, parts...),
			put("kb", kb, document.Fraction, "glass, beam"), put("ks", ks, document.Fraction, "glass, sky"), put("kg", kg, document.Fraction, "glass, ground"))...)
	}
	if sky.Panel.Shade != (solar.Shade{Whole: sky.Panel.Shade.Whole}) {
		return // the yield of a shaded hour has the shade in it
	}
	kept := 1.0
	var named []document.Input
	var terms []string
	for i, l := range sky.Panel.Losses {
		kept *= 1 - l.Share
		named = append(named, put(numbered("L", i), l.Share, document.Fraction, l.Name))
		terms = append(terms, fmt.Sprintf("(1 - %s)", numbered("L", i)))
	}
	if len(named) > 0 {
		w.add("losses.kept_fraction", "what the named losses leave", "k = "+strings.Join(terms, " * "), kept, document.Fraction, fromDobos, named...)
	}
	gamma := sky.Panel.Gamma
	if sky.Charger.ByCurrent {
		gamma = 0
	}
	w.add("hour.yield_wh_per_w", "what each watt of panel gives the battery in the hour", "Y = Gp / 1000 * (1 + gamma * (Tc - 25)) * k * (1 - sn) * eta", sky.PerWatt(sky.Weather)[at], perWatt, fromDobos,
		put("Gp", passed, watts2, "light on the cells"), put("gamma", gamma, perK, "temperature coefficient; 0 where current counts"), put("Tc", cell, document.Temperature, "cells"),
		put("k", kept, document.Fraction, "named losses leave"), put("sn", sky.Panel.Snow[month], document.Fraction, "snow takes"), put("eta", sky.Charger.Share, document.Fraction, "controller leaves"))
}

// glass works what the glass passes of light at incidence cosine c, over that
// at right angles.
func (w *working) glass(of string, c float64) float64 {
	if c <= 0 {
		return 0
	}
	cosR := math.Sqrt(1 - (1-c*c)/(1.526*1.526))
	k := solar.ModifierPhysical(c)
	cosine := put("c", c, document.None, "cosine of incidence")
	w.add("hour.cos_in_glass_"+of, "cosine in the glass, "+of, "cr = sqrt(1 - (1 - c^2) / 1.526^2)", cosR, document.None, "Snell's law, "+fromGlass, cosine)
	w.add("hour.glass_"+of+"_fraction", "what the glass passes, "+of,
		"k = exp(-0.008 * (1 / cr - 1)) * (1 - (((c - 1.526 * cr) / (c + 1.526 * cr))^2 + ((1.526 * c - cr) / (1.526 * c + cr))^2) / 2) / (1 - (0.526 / 2.526)^2)",
		k, document.Fraction, fromGlass, cosine, put("cr", cosR, document.None, "cosine in the glass"))
	return k
}
