package solar

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// measured reads a real weather file of the folder that SUNRILL_WEATHER names,
// or skips.
func measured(tb testing.TB, name string) *data.Weather {
	tb.Helper()
	folder := os.Getenv("SUNRILL_WEATHER")
	if folder == "" {
		tb.Skip("SUNRILL_WEATHER is not set: real weather files are not part of the project")
	}
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	w, err := data.ReadWeather(name, f)
	if err != nil {
		tb.Fatal(err)
	}
	return w
}

const greensboro = "723170TYA.CSV"

func TestRealHoursAgainstYearTotals(t *testing.T) {
	w := measured(t, greensboro)
	r, err := recordOf(w)
	if err != nil {
		t.Fatal(err)
	}
	var poa, dc [12]float64
	tilt := -1.0
	worst := 0.0
	for _, row := range reftest.Load(t, "year_totals.csv") {
		if row.Float("tilt_deg") != tilt {
			tilt = row.Float("tilt_deg")
			array := NewArray(r.Geometry, Plane{Tilt: units.Angle(tilt) * deg, Azimuth: 180 * deg, Albedo: 0.2}, bare())
			poa, dc = r.Series.Monthly(array.PlaneOfArray(nil, r.Series)), r.Series.Monthly(array.Yield(nil, r.Series))
		}
		gotPOA, gotDC, days := 0.0, 0.0, row.Float("days")
		if row.Text("month") == "year" {
			for m := range 12 {
				gotPOA += poa[m] * float64(data.MonthDays[m]) / 1000
				gotDC += dc[m] * float64(data.MonthDays[m]) / 10
			}
		} else {
			m := int(row.Float("month")) - 1
			gotPOA, gotDC = poa[m]*days/1000, dc[m]*days/10
		}
		// The issue asks for 1 %; position and distance differ in the fourth digit.
		wantPOA, wantDC := row.Float("poa_haydavies_kwh_m2"), row.Float("dc_haydavies_kwh_per_100w")
		within(t, row.At+" poa", gotPOA, wantPOA, 0.01*wantPOA)
		within(t, row.At+" dc", gotDC, wantDC, 0.01*wantDC)
		worst = math.Max(worst, math.Abs(gotPOA/wantPOA-1))
	}
	t.Logf("largest difference %.4f %%", 100*worst)
}

func TestEveryRealFileFitsItsSun(t *testing.T) {
	for _, name := range []string{greensboro, "USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw", "USA_CO_Denver.Intl.AP.725650_TMY3.epw", "VT-Burlington_International_Ap.tmy3"} {
		w := measured(t, name)
		r, err := recordOf(w)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, warning := range r.Warnings {
			if strings.Contains(warning.Message.String(), "clock") {
				t.Errorf("%s: %v", name, warning)
			}
		}
		// A clock some hours off is noticed.
		w.UTCOffsetH += 3
		if _, err := recordOf(w); err == nil || !strings.Contains(err.Error(), "at night") {
			t.Errorf("%s three hours off: %v", name, err)
		}
	}
}

func TestSplitAgainstMeasuredBeam(t *testing.T) {
	// The hourly split is a correlation: on a real year the tilted sum from the
	// global alone comes within 3 % of that from beam and diffuse of the file.
	w := measured(t, greensboro)
	full, err := recordOf(w)
	if err != nil {
		t.Fatal(err)
	}
	w.DNI, w.DHI = nil, nil
	split, err := recordOf(w)
	if err != nil {
		t.Fatal(err)
	}
	array := NewArray(full.Geometry, Plane{Tilt: 36.1 * deg, Azimuth: 180 * deg, Albedo: 0.2}, bare())
	sum := func(s *Series) (total float64) {
		for _, v := range array.PlaneOfArray(nil, s) {
			total += v
		}
		return total
	}
	within(t, "year", sum(split.Series)/sum(full.Series), 1, 0.03)
}

func TestDailyFileKeepsItsDays(t *testing.T) {
	w := measured(t, "../daily/POWER_Point_Daily_20130101_20221130_003d1000S_060d0000W_LST.csv")
	r, err := recordOf(w)
	if err != nil {
		t.Fatal(err)
	}
	for day, want := range w.GHI {
		got := 0.0
		for _, v := range r.Series.GHI[24*day : 24*day+24] {
			got += v / 1000
		}
		within(t, "day", got, want, 1e-9)
	}
	// The named place Manaus is the mean of the same source and years: its
	// monthly figures carry two decimals.
	place, err := ClimateOfPlace("Manaus")
	if err != nil {
		t.Fatal(err)
	}
	c := r.Climate()
	for m := range 12 {
		within(t, fmt.Sprint("month ", m+1), c.GHI[m], place.GHI[m], 0.03)
		within(t, fmt.Sprint("air of month ", m+1), c.TempC[m], place.TempC[m], 0.1)
	}
}

// madeFile returns a year of clear hours as a weather file of a site in the
// given clock.
func madeFile(lat, lon, utcOffset float64) *data.Weather {
	site, _ := NewSite(units.Angle(lat)*deg, units.Angle(lon)*deg, 0)
	site.UTCOffset = units.Duration(utcOffset) * units.Hour
	g := NewGeometry(site)
	w := &data.Weather{File: "made.csv", Format: "CSV", Located: true, LatDeg: lat, LonDeg: lon, Clocked: true, UTCOffsetH: utcOffset}
	for h := range HoursPerYear {
		w.GHI = append(w.GHI, 0.6*g.ExtraHorizontal[h])
		w.TempC = append(w.TempC, 20)
	}
	return w
}

func TestUniversalTimeIsTurnedToLocalHours(t *testing.T) {
	// The same sun in local and in universal time gives the same months, and the
	// hours come out on the local clock.
	for _, lon := range []float64{139.7, -157.9, 77.2} {
		local := math.Round(lon / 15)
		var monthly [2][12]float64
		for i, clock := range []float64{local, 0} {
			r, err := recordOf(madeFile(35, lon, clock))
			if err != nil {
				t.Fatalf("longitude %g, UTC%+g: %v", lon, clock, err)
			}
			if got := r.Geometry.Site.UTCOffset.In(units.Hour); got != local {
				t.Errorf("longitude %g: clock UTC%+g, want %+g", lon, got, local)
			}
			if r.Series.Start%24 != 0 || r.Series.Hours() != HoursPerYear {
				t.Errorf("longitude %g: %d hours from hour %d", lon, r.Series.Hours(), r.Series.Start)
			}
			array := NewArray(r.Geometry, Plane{Tilt: 35 * deg, Azimuth: 180 * deg, Albedo: 0.2}, typicalPanel())
			monthly[i] = r.Series.Monthly(array.Yield(nil, r.Series))
		}
		for m := range 12 {
			within(t, fmt.Sprint("longitude ", lon), monthly[1][m]/monthly[0][m], 1, 0.003)
		}
	}
}

func TestTurnedPartOfAYearLosesItsLooseHours(t *testing.T) {
	w := madeFile(35, 139.7, 0)
	n := HoursPerYear + 30*24
	for i := HoursPerYear; i < n; i++ {
		w.GHI, w.TempC = append(w.GHI, w.GHI[i-HoursPerYear]), append(w.TempC, 20)
	}
	r, err := recordOf(w)
	if err != nil {
		t.Fatal(err)
	}
	// Nine hours ahead: the record starts on 2 January and loses a day.
	if r.Series.Start != 24 || r.Series.Hours() != n-24 || r.Series.GHI[12] != w.GHI[12+15] || len(r.Series.DHI) != n-24 {
		t.Errorf("%d hours from hour %d", r.Series.Hours(), r.Series.Start)
	}
}

func TestCivilClockIsKept(t *testing.T) {
	// Half-hour zones and zones off the sun by an hour are civil time: kept.
	for _, c := range []struct{ lat, lon, clock float64 }{{28.6, 77.2, 5.5}, {40.4, -3.7, 1}, {43.8, 87.6, 8}, {1.9, -157.4, 14}} {
		r, err := recordOf(madeFile(c.lat, c.lon, c.clock))
		if err != nil {
			t.Errorf("%+v: %v", c, err)
			continue
		}
		if got := r.Geometry.Site.UTCOffset.In(units.Hour); got != c.clock {
			t.Errorf("%+v: clock %g", c, got)
		}
	}
}

// TestForeignHalfHourClockIsTurned gives an American year on the clock of India:
// hours are turned by whole ones, so the clock keeps the half hour and the sun
// its place.
func TestForeignHalfHourClockIsTurned(t *testing.T) {
	r, err := recordOf(madeFile(40, -100, 5.5))
	if err != nil {
		t.Fatal(err)
	}
	if got := r.Geometry.Site.UTCOffset.In(units.Hour); math.Abs(got+6.5) > 1e-9 && math.Abs(got+7.5) > 1e-9 {
		t.Errorf("clock UTC%+g, want a half hour beside -7", got)
	}
	// A clearness of 0.6 at every hour, as it was made, on a July morning.
	h := 24*MonthStart(6) + 8
	if got := r.Series.GHI[h] / r.Geometry.ExtraHorizontal[h]; math.Abs(got-0.6) > 0.005 {
		t.Errorf("clearness %.3f, want 0.6: the sun is in another place than it was", got)
	}
}

func TestRecordRefusesWhatDoesNotFit(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*data.Weather)
		want  string
	}{
		{"longitude's sign", func(w *data.Weather) { w.LonDeg = -w.LonDeg }, "at night"},
		{"hemisphere", func(w *data.Weather) { w.LatDeg = -w.LatDeg }, "sign of the latitude"},
		{"MJ days", func(w *data.Weather) {
			w.Step = data.StepDay
			w.GHI, w.TempC = w.GHI[:365], w.TempC[:365]
			for d, h0 := range NewGeometry(Site{Latitude: 50 * deg}).DailyExtra {
				w.GHI[d] = 0.5 * 3.6 * h0
			}
		}, "MJ"},
	} {
		w := madeFile(50, 120, 8)
		c.spoil(w)
		_, err := recordOf(w)
		var text strings.Builder
		for _, f := range data.Faults(err) {
			text.WriteString(f.Error() + " " + f.Hint)
		}
		if !strings.Contains(text.String(), c.want) {
			t.Errorf("%s: got %q, want %q in it", c.name, text.String(), c.want)
		}
	}
}

// recordOf is RecordOfWeather at the place that the file names.
func recordOf(w *data.Weather) (*Record, error) {
	site, err := NewSite(units.Angle(w.LatDeg)*deg, units.Angle(w.LonDeg)*deg, units.Length(w.ElevationM))
	if err != nil {
		return nil, err
	}
	return RecordOfWeather(w, site)
}
