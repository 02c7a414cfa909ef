package data

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/data/reftest"
)

// checkWeather fails unless w is whole and finite, or err is about the file.
func checkWeather(t *testing.T, w *Weather, err error) {
	t.Helper()
	if err != nil {
		var fault *Error
		if !errors.As(err, &fault) || fault.File == "" || fault.Message == "" {
			t.Fatalf("a fault without its file: %#v", err)
		}
		return
	}
	least := map[Step]int{StepHour: 8760, StepDay: 365, StepMonth: 12}[w.Step]
	if len(w.GHI) < least || len(w.TempC) != len(w.GHI) || w.FirstHour < 0 || w.FirstHour >= 8760 ||
		(w.DNI != nil) != (w.DHI != nil) || w.DNI != nil && (len(w.DNI) != len(w.GHI) || len(w.DHI) != len(w.GHI)) {
		t.Fatalf("%d sun, %d temperatures, from hour %d", len(w.GHI), len(w.TempC), w.FirstHour)
	}
	for _, x := range [][]float64{w.GHI, w.DNI, w.DHI} {
		for i, v := range x {
			if !(v >= 0 && v <= mostMoment) {
				t.Fatalf("value %d: sun %g", i, v)
			}
		}
	}
	for i, v := range w.TempC {
		if !(v >= -90 && v <= 99.9) {
			t.Fatalf("value %d: %g C", i, v)
		}
	}
	if math.Abs(w.LatDeg) > 90 || math.Abs(w.LonDeg) > 180 || !(w.UTCOffsetH >= -12 && w.UTCOffsetH <= 14) || math.IsNaN(w.ElevationM) {
		t.Fatalf("at %g, %g, UTC%+g", w.LatDeg, w.LonDeg, w.UTCOffsetH)
	}
}

// fuzzPatched reads a good year with one line replaced by what is tried, so
// that the reader gets past its checks of length, and then damaged.
func fuzzPatched(f *testing.F, good string) {
	lines := strings.SplitAfter(good, "\n")
	f.Fuzz(func(t *testing.T, patch string, at uint16, moves []byte) {
		var b bytes.Buffer
		n := int(at) % len(lines)
		for i, line := range lines {
			if i == n {
				line = patch
			}
			b.WriteString(line)
		}
		w, err := ReadWeather("fuzz", strings.NewReader(reftest.Damaged(b.String(), ",", moves)))
		checkWeather(t, w, err)
	})
}

func FuzzEPW(f *testing.F) {
	f.Add("LOCATION,A,B,C,D,1,NaN,1e400,-0,0x10\n", uint16(0), []byte{})
	f.Add("DATA PERIODS,1,0,Data\n", uint16(7), []byte{})
	f.Add("1999,2,29,1,0,f,99.9,9,9,9,9,9,9,9999,9999,9999\n", uint16(40), []byte{})
	f.Add("1999,1,1,1,60,f,1e308,9,9,9,9,9,9,-0,NaN,Inf\n", uint16(8), []byte{})
	fuzzPatched(f, epwText(nil))
}

func FuzzTMY3(f *testing.F) {
	f.Add("1,\"A,XX,-5,36,-79,273\n", uint16(0), []byte{})
	f.Add("Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2)\n", uint16(1), []byte{})
	f.Add("02/29/1988,24:60,0,-9900,-9900,-9900,-9900\n", uint16(300), []byte{})
	fuzzPatched(f, tmy3Text(func(t time.Time) string { return fmt.Sprintf("%.0f", course(t.Hour())) }))
}

func FuzzPower(f *testing.F) {
	dates := "Dates (month/day/year): 01/01/2021 through 12/31/2021 in LST"
	var days strings.Builder
	for t := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC); t.Year() == 2021; t = t.AddDate(0, 0, 1) {
		fmt.Fprintf(&days, "2021,%d,%d,4.5,20\n", int(t.Month()), t.Day())
	}
	f.Add("Location: Latitude\n", uint16(3), []byte{})
	f.Add("-END HEADER-\n", uint16(2), []byte{})
	f.Add("PARAMETER,JAN\n", uint16(10), []byte{})
	f.Add("YEAR,MO,DY,YEAR,ALLSKY_SFC_SW_DWN,T2M\n", uint16(10), []byte{})
	f.Add("2021,1,1,-999,-999\n", uint16(11), []byte{})
	f.Add("ALLSKY_SFC_SW_DWN (MJ/m^2/day)\n", uint16(7), []byte{})
	fuzzPatched(f, powerText(dates, "kW-hr/m^2/day", "YEAR,MO,DY,ALLSKY_SFC_SW_DWN,T2M", days.String()))
}

func FuzzPowerMonthly(f *testing.F) {
	twice := []byte{4, 10, 0, 99, 3, 6, 0, 10} // PARAMETER twice, and a line of one cell below it
	f.Add("PARAMETER,JAN\n", uint16(10), twice[:4])
	f.Add("\n", uint16(1), twice)
	const months = "JAN,FEB,MAR,APR,MAY,JUN,JUL,AUG,SEP,OCT,NOV,DEC"
	fuzzPatched(f, powerText("Dates: LST", "kW-hr/m^2/day", "PARAMETER,YEAR,"+months+",ANN",
		powerSun+",2021"+strings.Repeat(",4.5", 13)+"\n"+powerTemp+",2021"+strings.Repeat(",12", 13)+"\n"))
}

func FuzzPlainWeather(f *testing.F) {
	f.Add("date;ghi;temperature\n", uint16(0), []byte{})
	f.Add("# utc_offset: NaN\n", uint16(0), []byte{})
	f.Add("2023-01-01T24:00+14:00,1e9,nan\n", uint16(1), []byte{})
	f.Add("0000-01-01,,\n", uint16(2), []byte{})
	fuzzPatched(f, plainYear(24*time.Hour, "date,ghi (kWh/m2/day),temperature (C)", func(at time.Time, _ string) string {
		return at.Format("2006-01-02") + ",4.5,10"
	}))
}

// FuzzReadWeather reads any text, so that the formats are told apart by it alone.
func FuzzReadWeather(f *testing.F) {
	for _, text := range append(OddFiles(f),
		"", "LOCATION,\n", "LOCATION,A,B,C,D,1,52,13,1,30\nDESIGN CONDITIONS,0\n", "1,A\nDate (MM/DD/YYYY),Time (HH:MM)\n",
		"-BEGIN HEADER-\n-END HEADER-\n", "-BEGIN HEADER-\n", "YEAR,MO,DY\n", "PARAMETER,JAN\n",
		"time,ghi,temperature\n2023-01-01T00:00Z,0,1\n", "# utc_offset: 1\ntime;ghi (W/m2);temperature (F)\n1.1.2023 00:00;0,5;41\n",
		"\xff\xfet\x00i\x00m\x00e\x00", "sep=;\ntime;ghi;dni;dhi;temperature\n",
	) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := ReadWeather("fuzz", strings.NewReader(text))
		checkWeather(t, w, err)
	})
}

func FuzzReadClimate(f *testing.F) {
	f.Add(climateText(0, ""), []byte{})
	f.Add(climateText(0, ""), []byte{5, 0, 1, 1})
	f.Add("sep=;\nmonth;ghi_kwh_per_m2_day;temp_c\n1;4,5;10\n", []byte{})
	f.Add("month,ghi_kwh_per_m2_day,temp_c\njan,NaN,1e999\n", []byte{})
	for _, text := range OddFiles(f) {
		f.Add(text, []byte{})
	}
	f.Fuzz(func(t *testing.T, text string, moves []byte) {
		c, err := ReadClimate("fuzz", strings.NewReader(reftest.Damaged(text, ",", moves)))
		if err != nil {
			return
		}
		for m := range 12 {
			if !(c.GHI[m] >= 0 && c.GHI[m] < 500 && c.TempC[m] >= -75 && c.TempC[m] <= 50 && c.Lines[m] > 0) {
				t.Fatalf("month %d: %g, %g from line %d", m+1, c.GHI[m], c.TempC[m], c.Lines[m])
			}
		}
	})
}
