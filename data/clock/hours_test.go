package clock

import (
	"reflect"
	"testing"
	"time"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
)

// band is a band of the clock from one hour to another.
func band(key string, from, to float64) HourBand {
	return HourBand{Key: key, From: units.Duration(from) * units.Hour, To: units.Duration(to) * units.Hour}
}

// TestGapIsTheFirstUncoveredStretch: by the clock, to the minute.
func TestGapIsTheFirstUncoveredStretch(t *testing.T) {
	march := band("b", 0, 24)
	march.Months = AllMonths &^ (1 << 2)
	for _, tt := range []struct {
		name     string
		bands    []HourBand
		month    time.Month
		from, to string
		found    bool
	}{
		{"nothing", nil, time.January, "00:00", "24:00", true},
		{"day and night", []HourBand{band("a", 6.5, 22), band("b", 22, 6.5)}, 0, "00:00", "00:00", false},
		{"between two", []HourBand{band("a", 22, 6.25), band("b", 7.5, 22)}, time.January, "06:15", "07:30", true},
		{"a whole month", []HourBand{march}, time.March, "00:00", "24:00", true},
		{"before midnight", []HourBand{band("a", 0, 23)}, time.January, "23:00", "24:00", true},
	} {
		p, errs := LayOut(tt.bands, EveryDay)
		if errs != nil {
			t.Fatal(tt.name, errs)
		}
		month, from, to, found := p.Gap()
		if month != tt.month || ClockText(from) != tt.from || ClockText(to) != tt.to || found != tt.found {
			t.Errorf("%s: %v from %s to %s, %v", tt.name, month, ClockText(from), ClockText(to), found)
		}
	}
}

// TestDaysOfTheWeekDoNotClash: the same hours on weekdays and at weekends are two
// bands; a band of every day clashes with either.
func TestDaysOfTheWeekDoNotClash(t *testing.T) {
	work, rest, all := band("work", 8, 20), band("rest", 10, 14), band("all", 12, 13)
	work.Days, rest.Days = Weekdays, Weekends
	for _, tt := range []struct {
		days Days
		at11 int // index of the band that holds at 11 h
	}{{Weekdays, 0}, {Weekends, 1}} {
		p, errs := LayOut([]HourBand{work, rest}, tt.days)
		if errs != nil {
			t.Fatal(errs)
		}
		if got := p.Shares(time.May, 11); !reflect.DeepEqual(got, []share{{Band: tt.at11, Part: 1}}) {
			t.Errorf("days %v: %+v", tt.days, got)
		}
		_, errs = LayOut([]HourBand{work, rest, all}, tt.days)
		if len(errs) != 1 || plantest.FaultKeys(errs[0]) != "all" {
			t.Errorf("days %v: %v, want one fault of the band of every day", tt.days, errs)
		}
	}
}

// TestLayOutRefuses: an empty band is a fault; a pair that overlaps in twelve
// months is told once.
func TestLayOutRefuses(t *testing.T) {
	if _, errs := LayOut([]HourBand{band("a", 7, 7)}, EveryDay); len(errs) != 1 || plantest.FaultKeys(errs[0]) != "a" {
		t.Errorf("an empty band: %v", errs)
	}
	if _, errs := LayOut([]HourBand{band("a", 7, 12), band("b", 11, 13)}, EveryDay); len(errs) != 1 || plantest.FaultKeys(errs[0]) != "b" {
		t.Errorf("an overlap: %v", errs)
	}
}

// TestHourBandsOfAPlan: hours over midnight stay one band, those that end at
// midnight end at 24 h, the whole day is one band.
func TestHourBandsOfAPlan(t *testing.T) {
	var winter plan.MonthSet
	winter[0], winter[11] = true, true
	for _, want := range [][][2]float64{
		{{22, 6}},
		{{18, 24}},
		{{0, 24}},
		{{0.5, 7}, {17, 21}},
	} {
		var h plan.Hours
		var bands []HourBand
		for _, w := range want {
			for i := range h { // half hours
				at := float64(i) / 2
				h[i] = h[i] || w[0] < w[1] && at >= w[0] && at < w[1] || w[0] > w[1] && (at >= w[0] || at < w[1])
			}
			b := band("run.1", w[0], w[1])
			b.Months, b.Days = 1<<0|1<<11, Weekends
			bands = append(bands, b)
		}
		if got := HourBands("run.1", h, winter, Weekends); !reflect.DeepEqual(got, bands) {
			t.Errorf("%v: %+v, want %+v", want, got, bands)
		}
	}
}
