package data

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// measured returns the path of a real weather file in the folder that
// SUNRILL_WEATHER names, or skips.
func measured(tb testing.TB, name string) string {
	tb.Helper()
	folder := os.Getenv("SUNRILL_WEATHER")
	if folder == "" {
		tb.Skip("SUNRILL_WEATHER is not set: real weather files are not part of the project")
	}
	path := filepath.Join(folder, name)
	if _, err := os.Stat(path); err != nil {
		tb.Fatal(err)
	}
	return path
}

func readFile(tb testing.TB, path string) *Weather {
	tb.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		tb.Fatal(err)
	}
	w, err := readWeatherText(path, string(content))
	if err != nil {
		tb.Fatal(err)
	}
	return w
}

func readWeatherText(file, text string) (*Weather, error) {
	return ReadWeather(file, strings.NewReader(text))
}

func TestRealFiles(t *testing.T) {
	// Sums of NREL TMY3 723170 for the year: GHI 1566.203, DNI 1476.549, DHI
	// 682.223 kWh/m2, air 14.42 C (testdata/ref/year_totals.csv; two parsers
	// outside the program agree on them).
	w := readFile(t, measured(t, "723170TYA.CSV"))
	sum := func(x []float64) (total float64) {
		for _, v := range x {
			total += v
		}
		return total
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{{"GHI", sum(w.GHI) / 1000, 1566.203}, {"DNI", sum(w.DNI) / 1000, 1476.549}, {"DHI", sum(w.DHI) / 1000, 682.223},
		{"air", sum(w.TempC) / 8760, 14.4218}, {"latitude", w.LatDeg, 36.1}, {"longitude", w.LonDeg, -79.95}, {"clock", w.UTCOffsetH, -5}} {
		if math.Abs(c.got-c.want) > 0.0006 {
			t.Errorf("%s: got %g, want %g", c.name, c.got, c.want)
		}
	}
	for _, name := range []string{"USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw", "USA_CO_Denver.Intl.AP.725650_TMY3.epw", "VT-Burlington_International_Ap.tmy3"} {
		w := readFile(t, measured(t, name))
		if len(w.GHI) != 8760 || w.FirstHour != 0 || w.DNI == nil || !w.Clocked || !w.Located {
			t.Errorf("%s: %d hours from %d, %v", name, len(w.GHI), w.FirstHour, w.Warnings)
		}
	}
}

func TestRealPowerDaily(t *testing.T) {
	w := readFile(t, measured(t, "../daily/POWER_Point_Daily_20130101_20221130_003d1000S_060d0000W_LST.csv"))
	// 3621 days less the two 29 Februaries of 2016 and 2020.
	if w.Step != StepDay || len(w.GHI) != 3619 || w.LatDeg != -3.1 || w.UTCOffsetH != -4 {
		t.Errorf("step %v, %d days, lat %g, clock %g", w.Step, len(w.GHI), w.LatDeg, w.UTCOffsetH)
	}
	all := fmt.Sprint(w.Warnings)
	for _, want := range []string{"missing in 5 of 3619 days", "29 February", "9.92 years"} {
		if !strings.Contains(all, want) {
			t.Errorf("no warning %q in %s", want, all)
		}
	}
	if w.GHI[0] != 4.78 || w.TempC[0] != 25.44 {
		t.Errorf("first day %g kWh, %g C", w.GHI[0], w.TempC[0])
	}
}

// plainYear writes a plain CSV of 2023 in steps, changed by change.
func plainYear(step time.Duration, heading string, change func(t time.Time, row string) string) string {
	var b strings.Builder
	b.WriteString(heading + "\n")
	start := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
	for t := start; t.Year() == 2023; t = t.Add(step) {
		h := float64(t.Hour()) + float64(t.Minute())/60
		ghi := math.Max(0, 800*math.Sin((h+step.Hours()/2-6)/12*math.Pi))
		row := fmt.Sprintf("%s,%.1f,%.1f", t.Format("2006-01-02 15:04"), ghi, 10.5)
		if change != nil {
			row = change(t, row)
		}
		if row != "" {
			b.WriteString(row + "\n")
		}
	}
	return b.String()
}

const plainHead = "time,ghi (W/m2),temperature (C)"

func TestPlainHours(t *testing.T) {
	w, err := readWeatherText("log.csv", "# latitude: 52.4\n# longitude: 13.1\n# utc_offset: 1\n"+plainYear(time.Hour, plainHead, nil))
	if err != nil {
		t.Fatal(err)
	}
	if len(w.GHI) != 8760 || w.FirstHour != 0 || w.LatDeg != 52.4 || w.UTCOffsetH != 1 {
		t.Errorf("%d hours from %d, %+v", len(w.GHI), w.FirstHour, w)
	}
	if w.GHI[12] != 793.2 || w.TempC[12] != 10.5 {
		t.Errorf("noon %g W/m2, %g C", w.GHI[12], w.TempC[12])
	}
}

func TestPlainStampsMarkStartEndOrMiddle(t *testing.T) {
	for name, shift := range map[string]time.Duration{"start": 0, "middle": 30 * time.Minute, "end": time.Hour} {
		text := plainYear(time.Hour, plainHead, func(at time.Time, row string) string {
			return at.Add(shift).Format("2006-01-02 15:04") + row[16:]
		})
		w, err := readWeatherText("log.csv", text)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if w.FirstHour != 0 || len(w.GHI) != 8760 || w.GHI[6] != 104.4 {
			t.Errorf("%s: %d hours from %d, hour 6 %g", name, len(w.GHI), w.FirstHour, w.GHI[6])
		}
	}
}

func TestPlainPartsOfHours(t *testing.T) {
	for _, step := range []time.Duration{10 * time.Minute, 15 * time.Minute, 30 * time.Minute} {
		w, err := readWeatherText("log.csv", plainYear(step, plainHead, nil))
		if err != nil {
			t.Fatal(err)
		}
		// The mean of the sine over 12 to 13 h: 800 x 12/pi x sin(pi/12) = 790.9.
		if len(w.GHI) != 8760 || math.Abs(w.GHI[12]-790.9) > 2.5 {
			t.Errorf("%v: %d hours, noon %g", step, len(w.GHI), w.GHI[12])
		}
	}
}

func TestPlainUnits(t *testing.T) {
	for unit, scale := range map[string]float64{"ghi (kWh/m2)": 1000, "ghi [MJ/m²]": 1000 / 3.6, "ghi_w_per_m2": 1, "GHI": 1} {
		text := plainYear(time.Hour, "time,"+unit+",temp_c", func(at time.Time, row string) string {
			cells := strings.Split(row, ",")
			var v float64
			_, _ = fmt.Sscan(cells[1], &v)
			return fmt.Sprintf("%s,%.6f,%s", cells[0], v/scale, cells[2])
		})
		w, err := readWeatherText("log.csv", text)
		if err != nil {
			t.Errorf("%s: %v", unit, err)
			continue
		}
		if math.Abs(w.GHI[12]-793.2) > 0.01 {
			t.Errorf("%s: noon %g", unit, w.GHI[12])
		}
	}
}

func TestPlainDays(t *testing.T) {
	text := plainYear(24*time.Hour, "date,ghi (MJ/m2/day),temperature (C)", func(at time.Time, row string) string {
		return at.Format("2006-01-02") + ",18.0,12.5"
	})
	w, err := readWeatherText("days.csv", text)
	if err != nil {
		t.Fatal(err)
	}
	if w.Step != StepDay || len(w.GHI) != 365 || math.Abs(w.GHI[100]-5) > 1e-9 {
		t.Errorf("step %v, %d days of %g", w.Step, len(w.GHI), w.GHI[100])
	}
}

func TestMissingIsNeverDark(t *testing.T) {
	noon := func(code string, days int) string {
		return plainYear(time.Hour, plainHead, func(at time.Time, row string) string {
			if at.Hour() == 12 && at.Month() == 6 && at.Day() <= days {
				return row[:16] + "," + code + ",10.5"
			}
			return row
		})
	}
	for _, code := range []string{"-999", "-9999", "99999", "9999", "", "NaN", "-99.9"} {
		w, err := readWeatherText("log.csv", noon(code, 2))
		if err != nil {
			t.Errorf("%q: %v", code, err)
			continue
		}
		// Every day of the made year is alike, so the fill is exact.
		if got := w.GHI[24*151+12]; got != 793.2 {
			t.Errorf("%q read as %g", code, got)
		}
		if !strings.Contains(fmt.Sprint(w.Warnings), "missing in 2 of 8760 hours") {
			t.Errorf("%q: not told: %v", code, w.Warnings)
		}
	}
	// The same hour gone for nine days leaves no neighbour within three.
	if _, err := readWeatherText("log.csv", noon("-999", 9)); err == nil || !strings.Contains(err.Error(), "9 of 8760 hours") {
		t.Errorf("nine days: %v", err)
	}
	// A summer without sun values is refused with the count.
	long := plainYear(time.Hour, plainHead, func(at time.Time, row string) string {
		if at.Month() == 7 {
			return row[:16] + ",-999,10.5"
		}
		return row
	})
	if _, err := readWeatherText("log.csv", long); err == nil || !strings.Contains(err.Error(), "744 of 8760 hours") {
		t.Errorf("a month: %v", err)
	}
}

func TestBadWeatherFiles(t *testing.T) {
	replace := func(old, new string) string {
		text := plainYear(time.Hour, plainHead, nil)
		if !strings.Contains(text, old) {
			t.Fatalf("no %q to replace", old)
		}
		return strings.Replace(text, old, new, 1)
	}
	without := func(stampText string) string {
		return plainYear(time.Hour, plainHead, func(at time.Time, row string) string {
			if strings.HasPrefix(row, stampText) {
				return ""
			}
			return row
		})
	}
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "empty"},
		{"no such heading", replace("ghi (W/m2)", "sunshine"), "ghi: the column is missing"},
		{"a climate", climateText(0, ""), "climate file"},
		{"unknown unit", replace("ghi (W/m2)", "ghi (BTU/ft2)"), "no such unit"},
		{"two of one", replace("temperature (C)", "ghi (W/m2)"), "log.csv:1:17: ghi: the ghi stands in two columns"},
		{"8759 rows, last gone", without("2023-12-31 23:00"), "8759 hours, a year has 8760"},
		{"8759 rows, one within", without("2023-05-05 05:00"), "log.csv:2983:1: rows are missing before this one"},
		{"summer time", without("2023-03-26 02:00"), "rows are missing"},
		{"double", replace("2023-05-05 05:00", "2023-05-05 04:00"), "the same time stands twice"},
		{"a word", replace("793.2", "sunny"), "log.csv:13:18: ghi (W/m2): the cell is not a number"},
		{"too bright", replace("793.2", "7932.0"), "log.csv:13:18: ghi: no sun on Earth"},
		{"below zero", replace("793.2", "-50"), "no sun on Earth"},
		{"too hot", replace("793.2,10.5", "793.2,85"), "no air on Earth"},
		{"no such day", replace("2023-02-28 00:00", "2023-02-30 00:00"), "not a time"},
		{"American date", replace("2023-01-31 00:00", "31/01/2023 00:00"), "not a time"},
		{"late start", plainYear(time.Hour, plainHead, func(at time.Time, row string) string {
			if at.YearDay() == 1 && at.Hour() < 7 {
				return ""
			}
			return row
		}), "does not start with a day"},
		{"seven minutes", "time,ghi (W/m2),temperature (C)\n2023-01-01 00:00,0,1\n2023-01-01 00:07,0,1\n2023-01-01 00:14,0,1\n", "7m0s apart"},
		{"MJ without a unit", plainYear(time.Hour, "time,ghi,temperature", func(at time.Time, row string) string {
			return row[:16] + ",1.5,10"
		}), "brightest hour"},
		{"MJ days", plainYear(24*time.Hour, "date,ghi,temperature", func(at time.Time, row string) string {
			return row[:10] + ",18.5,10"
		}), "MJ/m2"},
		{"latitude 95", "# latitude: 95\n# longitude: 0\n" + plainYear(time.Hour, plainHead, nil), "log.csv:1:13: latitude: no such latitude"},
		{"clock of 15 h", "# utc_offset: 15\n" + plainYear(time.Hour, plainHead, nil), "log.csv:1:15: time zone: no such time zone: found \"15\"; allowed: -12 to 14"},
		{"EPW latitude 95", "LOCATION,Nowhere,X,Y,Z,1,95.0,10.0,1.0,2.0\n", "log.csv:1:26: latitude"},
		{"EPW short line", "LOCATION,Nowhere\n", "LOCATION line is too short"},
		{"POWER without header", "YEAR,MO,DY,HR,ALLSKY_SFC_SW_DWN\n", "without its header"},
		{"POWER without end", "-BEGIN HEADER-\nLocation: Latitude 1 Longitude 2\n", "no end"},
	} {
		_, err := readWeatherText("log.csv", c.text)
		var text strings.Builder
		for _, f := range Faults(err) {
			text.WriteString(f.Error() + " " + f.Hint + "\n")
		}
		if !strings.Contains(text.String(), c.want) {
			t.Errorf("%s: got %q, want %q in it", c.name, text.String(), c.want)
		}
	}
}
