package data

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// course is a made-up clear day [W/m²] for the hour that starts at h.
func course(h int) float64 { return math.Max(0, 800*math.Sin((float64(h)+0.5-6)/12*math.Pi)) }

// eachHour writes a row for every hour of a year.
func eachHour(b *strings.Builder, year int, row func(t time.Time) string) {
	for t := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); t.Year() == year; t = t.Add(time.Hour) {
		b.WriteString(row(t))
	}
}

// epwText returns an EPW file of made-up weather: the header fields and their
// order as in the EnergyPlus documentation.
func epwText(change func(t time.Time, cells []string)) string {
	var b strings.Builder
	b.WriteString("LOCATION,Heron Weir,-,ZAF,Made,1,-32.5,22.0,2.0,900\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n" +
		"GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,-\nCOMMENTS 2,-\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n")
	eachHour(&b, 2023, func(t time.Time) string {
		cells := strings.Split(fmt.Sprintf("%d,%d,%d,%d,60,flags,15.0,9,9,9,9,9,9,%.0f,500,100", 1990+int(t.Month()), int(t.Month()), t.Day(), t.Hour()+1, course(t.Hour())), ",")
		for len(cells) < 35 {
			cells = append(cells, "0")
		}
		if change != nil {
			change(t, cells)
		}
		return strings.Join(cells, ",") + "\n"
	})
	return b.String()
}

func TestEPW(t *testing.T) {
	w, err := readWeatherText("a.epw", epwText(nil))
	if err != nil {
		t.Fatal(err)
	}
	if w.Format != "EPW" || w.LatDeg != -32.5 || w.UTCOffsetH != 2 || w.ElevationM != 900 || w.GHI[12] != 793 || w.DNI[12] != 500 || w.TempC[3] != 15 {
		t.Errorf("%+v", w.Warnings)
	}
	// Missing codes of the format: 9999 for the sun, 99.9 for the air.
	w, err = readWeatherText("a.epw", epwText(func(t time.Time, cells []string) {
		if t.YearDay() == 100 && t.Hour() == 12 {
			cells[6], cells[13], cells[14], cells[15] = "99.9", "9999", "9999", "9999"
		}
	}))
	if err != nil || w.GHI[99*24+12] != 793 || w.TempC[99*24+12] != 15 || w.DNI[99*24+12] != 500 || len(w.Warnings) != 4 {
		t.Errorf("%v, %v", w, err)
	}
	// Without any beam and diffuse the global is split instead, and it says so.
	w, err = readWeatherText("a.epw", epwText(func(_ time.Time, cells []string) { cells[14], cells[15] = "9999", "9999" }))
	if err != nil || w.DNI != nil || w.DHI != nil || !strings.Contains(fmt.Sprint(w.Warnings), "split from the global") {
		t.Errorf("%v", err)
	}
}

// TestEPWAsTyped reads a city with a comma in its quotes and a typesetter's minus,
// and refuses air in another unit by its cell rather than as missing.
func TestEPWAsTyped(t *testing.T) {
	text := epwText(func(_ time.Time, cells []string) { cells[6] = "−5.0" })
	location, rest, _ := strings.Cut(text, "\n")
	cells := strings.Split(location, ",")
	cells[1], cells[6] = `"Alder, North"`, "−32.5"
	w, err := readWeatherText("a.epw", strings.Join(cells, ",")+"\n"+rest)
	if err != nil || w.Place != "Alder, North" || w.LatDeg != -32.5 || w.TempC[0] != -5 {
		t.Errorf("%+v, %v", w, err)
	}
	for air, hint := range map[string]string{"288.15": "kelvin", "72.5": "Fahrenheit", "400": ""} {
		_, err := readWeatherText("a.epw", epwText(func(_ time.Time, cells []string) { cells[6] = air }))
		f := Faults(err)
		if len(f) != MaxFaults+1 || f[0].Line != 9 || f[0].Column < 10 || f[0].Message != "no air on Earth is like this" || !strings.Contains(f[0].Hint, hint) {
			t.Errorf("%s: %v", air, err)
		}
	}
}

func TestEPWPartsOfHours(t *testing.T) {
	text := strings.Replace(epwText(nil), "DATA PERIODS,1,1,", "DATA PERIODS,1,2,", 1)
	var b strings.Builder
	for line := range strings.Lines(text) {
		if cells := strings.Split(line, ","); len(cells) == 35 {
			cells[4] = "30"
			b.WriteString(strings.Join(cells, ","))
			cells[4] = "60"
			line = strings.Join(cells, ",")
		}
		b.WriteString(line)
	}
	w, err := readWeatherText("a.epw", b.String())
	if err != nil || len(w.GHI) != 8760 || w.GHI[12] != 793 || w.FirstHour != 0 {
		t.Errorf("%v", err)
	}
}

func TestEPWFaults(t *testing.T) {
	lines := strings.SplitAfter(epwText(nil), "\n")
	for name, c := range map[string]struct{ text, want string }{
		"8759 rows":       {strings.Join(lines[:len(lines)-2], ""), "8759 hours, a year has 8760"},
		"a row gone":      {strings.Join(lines[:100], "") + strings.Join(lines[101:], ""), "a.epw:101:1: rows are missing"},
		"a short row":     {strings.Join(lines[:100], "") + "1999,1,5\n" + strings.Join(lines[101:], ""), "a.epw:101:1: the row has 3 cells"},
		"hour 25":         {strings.Replace(strings.Join(lines, ""), ",24,60", ",25,60", 1), "no such date or hour"},
		"two periods":     {strings.Replace(strings.Join(lines, ""), "DATA PERIODS,1,1", "DATA PERIODS,2,1", 1), "several periods"},
		"7 records":       {strings.Replace(strings.Join(lines, ""), "DATA PERIODS,1,1", "DATA PERIODS,1,7", 1), "records an hour"},
		"not a date":      {strings.Replace(strings.Join(lines, ""), "1991,1,1,1,60", "1991,1,x,1,60", 1), "not a whole number"},
		"header alone":    {strings.Join(lines[:8], ""), "no rows of weather"},
		"longitude 400":   {strings.Replace(strings.Join(lines, ""), ",22.0,2.0", ",400,2.0", 1), "a.epw:1:40: longitude"},
		"time zone of 30": {strings.Replace(strings.Join(lines, ""), ",22.0,2.0", ",22.0,30", 1), "a.epw:1:45: time zone"},
	} {
		_, err := readWeatherText("a.epw", c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q in it", name, err, c.want)
		}
	}
}

// tmy3Text returns a made-up file in the TMY3 form, hours 01:00 to 24:00.
func tmy3Text(ghi func(t time.Time) string) string {
	var b strings.Builder
	b.WriteString("1,\"HERON WEIR, MADE UP\",XX,-5.0,36.1,-79.95,273\n" +
		"Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C)\n")
	eachHour(&b, 2023, func(t time.Time) string {
		return fmt.Sprintf("%02d/%02d/%d,%02d:00,0,%s,0,0,4.5\n", int(t.Month()), t.Day(), 1980+int(t.Month()), t.Hour()+1, ghi(t))
	})
	return b.String()
}

func TestTMY3(t *testing.T) {
	hours := func(t time.Time) string { return fmt.Sprintf("%.0f", course(t.Hour())) }
	w, err := readWeatherText("a.csv", tmy3Text(hours))
	if err != nil {
		t.Fatal(err)
	}
	if w.Format != "TMY3" || w.Place != "HERON WEIR, MADE UP" || w.GHI[12] != 793 || w.UTCOffsetH != -5 {
		t.Errorf("%v: noon %g", w.Place, w.GHI[12])
	}
	// -9900 is the code of TMY3 for a missing value.
	w, err = readWeatherText("a.csv", tmy3Text(func(t time.Time) string {
		if t.YearDay() == 7 {
			return "-9900"
		}
		return hours(t)
	}))
	if err != nil || w.GHI[6*24+12] != 793 {
		t.Errorf("%v", err)
	}
	if _, err := readWeatherText("a.csv", strings.Replace(tmy3Text(hours), "DNI (W/m^2)", "Sun (W/m^2)", 1)); err == nil || !strings.Contains(err.Error(), "a.csv:2:1: dni: the column is missing") {
		t.Errorf("%v", err)
	}
}

// powerText returns a file in the form of NASA POWER.
func powerText(dates, unit, columns, rows string) string {
	return "-BEGIN HEADER-\nNASA/POWER Native Resolution Data\n" + dates + "\nLocation: Latitude  35.5   Longitude 139.7\n" +
		"Elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 41.37 meters\n" +
		"The value for missing source data that cannot be computed or is outside of the sources availability range: -999\nParameter(s):\n" +
		"ALLSKY_SFC_SW_DWN     CERES SYN1deg All Sky Surface Shortwave Downward Irradiance (" + unit + ")\n" +
		"T2M                   MERRA-2 Temperature at 2 Meters (C)\n-END HEADER-\n" + columns + "\n" + rows
}

func TestPowerHourly(t *testing.T) {
	for _, c := range []struct {
		unit  string
		scale float64
		clock string
		want  float64
	}{{"Wh/m^2", 1, "LST", 9}, {"W/m^2", 1, "UTC", 0}, {"MJ/hr", 0.0036, "LST", 9}, {"kW-hr/m^2/hr", 0.001, "UTC", 0}} {
		var b strings.Builder
		for year := 2020; year <= 2021; year++ {
			eachHour(&b, year, func(t time.Time) string {
				return fmt.Sprintf("%d,%d,%d,%d,%.6f,12.5\n", year, int(t.Month()), t.Day(), t.Hour(), course(t.Hour())*c.scale)
			})
		}
		text := powerText("Dates (month/day/year): 01/01/2020 through 12/31/2021 in "+c.clock, c.unit, "YEAR,MO,DY,HR,ALLSKY_SFC_SW_DWN,T2M", b.String())
		w, err := readWeatherText("p.csv", text)
		if err != nil {
			t.Errorf("%s: %v", c.unit, err)
			continue
		}
		if len(w.GHI) != 2*8760 || w.UTCOffsetH != c.want || !w.Clocked || math.Abs(w.GHI[12]-course(12)) > 0.01 || w.ElevationM != 41.37 {
			t.Errorf("%s: %d hours, UTC%+g, noon %g", c.unit, len(w.GHI), w.UTCOffsetH, w.GHI[12])
		}
	}
}

// TestPowerDaysOfTheYear reads the layout YEAR,DOY of leap and common years.
func TestPowerDaysOfTheYear(t *testing.T) {
	dates := "Dates (month/day/year): 01/01/2020 through 12/31/2021 in LST"
	var b strings.Builder
	for i, days := range []int{366, 365} {
		for n := 1; n <= days; n++ {
			fmt.Fprintf(&b, "%d,%d,%.2f,10\n", 2020+i, n, float64(n)/100)
		}
	}
	head := "YEAR,DOY,ALLSKY_SFC_SW_DWN,T2M"
	w, err := readWeatherText("p.csv", powerText(dates, "kW-hr/m^2/day", head, b.String()))
	if err != nil {
		t.Fatal(err)
	}
	// Day 60 of 2020 is 29 February and is left out; 1 March is 61 there, 60 in 2021.
	if len(w.GHI) != 730 || w.GHI[58] != 0.59 || w.GHI[59] != 0.61 || w.GHI[364] != 3.66 || w.GHI[365+59] != 0.60 {
		t.Errorf("%d days, %v", len(w.GHI), w.GHI[57:61])
	}
	_, err = readWeatherText("p.csv", powerText(dates, "kW-hr/m^2/day", head, "2021,366,3,10\n"))
	if err == nil || !strings.Contains(err.Error(), "p.csv:12:1: no such date") {
		t.Errorf("day 366 of 2021: %v", err)
	}
}

func TestPowerMonths(t *testing.T) {
	months := "JAN,FEB,MAR,APR,MAY,JUN,JUL,AUG,SEP,OCT,NOV,DEC,ANN"
	dates := "Month/Year: January 2019 - December 2020"
	w, err := readWeatherText("p.csv", powerText(dates, "MJ/m^2/day", "PARAMETER,YEAR,"+months,
		"ALLSKY_SFC_SW_DWN,2019,3.6,7.2,10.8,14.4,18,18,18,18,14.4,10.8,7.2,3.6,12\n"+
			"ALLSKY_SFC_SW_DWN,2020,7.2,7.2,10.8,14.4,18,18,18,18,14.4,10.8,7.2,-999,12\n"+
			"T2M,2019,1,2,3,4,5,6,7,8,9,10,11,12,6\nT2M,2020,3,2,3,4,5,6,7,8,9,10,11,12,6\n"))
	if err != nil {
		t.Fatal(err)
	}
	if w.Step != StepMonth || math.Abs(w.GHI[0]-1.5) > 1e-12 || math.Abs(w.GHI[11]-1) > 1e-12 || w.TempC[0] != 2 {
		t.Errorf("%v %v", w.GHI, w.TempC)
	}
	if all := fmt.Sprint(w.Warnings); !strings.Contains(all, "DEC is missing in 1 of 2 years") {
		t.Errorf("nothing said of the missing December: %s", all)
	}
	// A climatology has one row a parameter.
	w, err = readWeatherText("p.csv", powerText(dates, "kW-hr/m^2/day", "PARAMETER,"+months,
		"T2M,1,2,3,4,5,6,7,8,9,10,11,12,6\nALLSKY_SFC_SW_DWN,1,2,3,4,5,5,5,5,4,3,2,1,3\n"))
	if err != nil || w.GHI[1] != 2 || w.TempC[11] != 12 {
		t.Errorf("%v", err)
	}
}

func TestPowerFaults(t *testing.T) {
	dates := "Dates (month/day/year): 01/01/2020 through 12/31/2020 in LST"
	head := "YEAR,MO,DY,ALLSKY_SFC_SW_DWN,T2M"
	for name, c := range map[string]struct{ text, want string }{
		"unknown unit":   {powerText(dates, "langley", head, ""), `p.csv:11:12: ALLSKY_SFC_SW_DWN: no such unit of ALLSKY_SFC_SW_DWN for rows of this step: found "langley"`},
		"no temperature": {powerText(dates, "kW-hr/m^2/day", "YEAR,MO,DY,ALLSKY_SFC_SW_DWN", ""), "p.csv:11:1: temperature: the column is missing"},
		"no headings":    {powerText(dates, "kW-hr/m^2/day", "", ""), "not the headings"},
		"no rows":        {powerText(dates, "kW-hr/m^2/day", head, ""), "no rows of weather"},
		"a short year":   {powerText(dates, "kW-hr/m^2/day", head, "2020,1,1,3,5\n2020,1,2,3,5\n"), "2 days, a year has 365"},
		"a short row":    {powerText(dates, "kW-hr/m^2/day", head, "2020,1,1,3\n"), "p.csv:12:1: the row has 4 cells"},
		"MJ as kWh":      {powerText(dates, "kW-hr/m^2/day", head, "2020,1,1,23,5\n"), "no sun on Earth"},
		"latitude 95":    {strings.Replace(powerText(dates, "kW-hr/m^2/day", head, ""), "35.5", "95", 1), "p.csv:4:21: latitude"},
		"a month twice":  {powerText(dates, "kW-hr/m^2/day", "PARAMETER,JAN,FEB,MAR,APR,MAY,JUN,JUL,AUG,SEP,OCT,NOV,DEC,PARAMETER", "x\n"), `p.csv:11:59: PARAMETER: the PARAMETER stands in two columns, first in PARAMETER: found "PARAMETER"`},
		"a month gone":   {powerText(dates, "kW-hr/m^2/day", "PARAMETER,JAN,FEB", ""), "MAR: the column is missing"},
	} {
		_, err := readWeatherText("p.csv", c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q in it", name, err, c.want)
		}
	}
}

func TestLeapDaysAreLeftOut(t *testing.T) {
	var b strings.Builder
	b.WriteString(plainHead + "\n")
	eachHour(&b, 2024, func(t time.Time) string {
		return fmt.Sprintf("%s,%.1f,%d\n", t.Format("2006-01-02T15:04"), course(t.Hour()), int(t.Month()))
	})
	w, err := readWeatherText("log.csv", b.String())
	if err != nil {
		t.Fatal(err)
	}
	if len(w.GHI) != 8760 || w.TempC[59*24-1] != 2 || w.TempC[59*24] != 3 || !strings.Contains(fmt.Sprint(w.Warnings), "29 February") {
		t.Errorf("%d hours, %v", len(w.GHI), w.Warnings)
	}
}

func TestTimesWithTheirZone(t *testing.T) {
	var b strings.Builder
	b.WriteString(plainHead + "\n")
	eachHour(&b, 2023, func(t time.Time) string {
		return fmt.Sprintf("%s+05:30,%.1f,20\n", t.Format("2006-01-02T15:04:05"), course(t.Hour()))
	})
	w, err := readWeatherText("log.csv", b.String())
	if err != nil || !w.Clocked || w.UTCOffsetH != 5.5 || w.FirstHour != 0 {
		t.Errorf("%+v, %v", w, err)
	}
}

func TestLooseLastDayIsLeftOut(t *testing.T) {
	var text strings.Builder
	text.WriteString(plainYear(time.Hour, plainHead, nil))
	for h := range 30 {
		text.WriteString(fmt.Sprintf("2024-01-%02d %02d:00,%.1f,5\n", 1+h/24, h%24, course(h%24)))
	}
	w, err := readWeatherText("log.csv", text.String())
	if err != nil || len(w.GHI) != 8760+24 || !strings.Contains(fmt.Sprint(w.Warnings), "not whole") {
		t.Errorf("%v", err)
	}
}
