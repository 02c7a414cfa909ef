package still

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// standingPond is a planted pond of 10 m³ at 20 °C all year, two kilograms of fish.
func standingPond() Standing {
	s := Standing{Volume: 10, Surface: 12, FishLow: 1, FishHigh: 3, FeedLow: 0.01, FeedHigh: 0.03,
		Fall: Fall{Flow: 2 * units.CubicMetrePerHour, High: 0.5, Lip: Span{0.45, 0.8}}, Rates: TableOxygenRates()}
	for m := range s.Water {
		s.Water[m] = units.Celsius(20)
	}
	return s
}

func standsFor(t *testing.T, s Standing) StandingTimes {
	t.Helper()
	out, err := StandsFor(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestFall by hand: the form from memory.
func TestFall(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		// One metre over a sharp lip, clean water at 20 °C: 1 + 0.38×1.8×0.8×0.89×1.92.
		{deficitRatio(weir(1.8, 0.8, 1), 20), 1.93506}, {deficitRatio(weir(1, 1, 0), 20), 1},
		{weir(1, 1, 5), weir(1, 1, 3)},
	} {
		if math.Abs(c.got-c.want) > 1e-5 {
			t.Errorf("%g, want %g", c.got, c.want)
		}
	}
}

// TestDawnByHand: 10 g/h taken from 2 + 8/4 m³/h of sated water is 2.5 mg/L below the 9 of
// the mean, and dawn half the day's swing below that.
func TestDawnByHand(t *testing.T) {
	p := pond{cs: 9, day: 10, air: 2, fall: 0.25, swing: 1}
	if got := p.dawn(8); math.Abs(got-6) > 1e-12 {
		t.Errorf("%g mg/L, want 6", got)
	}
}

// TestHoursAreThoseOfSmallSteps: the closed form is the balance in steps of a minute.
func TestHoursAreThoseOfSmallSteps(t *testing.T) {
	for _, c := range []struct{ start, least, air, demand float64 }{{8, 5, 0.2, 2}, {9, 2.5, 0.17, 4}, {7, 5, 0, 1.5}, {10.5, 5, 0.3, 1.6}} {
		const cs, v, step = 9.1, 10.0, 1.0 / 60
		o, h := c.start, 0.0
		for ; o > c.least && h < 1000; h += step {
			o += step * (c.air*(cs-o) - c.demand) / v
		}
		if got := hoursUntil(c.start, c.least, cs, c.air, c.demand, v); math.Abs(got-h) > 0.03 {
			t.Errorf("%+v: %g h, want %g", c, got, h)
		}
	}
	if !math.IsInf(hoursUntil(8, 5, 9.1, 1, 2, 10), 1) || !math.IsInf(hoursUntil(8, 5, 9.1, 0, 0, 10), 1) || hoursUntil(4, 5, 9, 1, 2, 10) != 0 {
		t.Error("the ends are off")
	}
}

// TestStandingFollowsWhatItShould: more fish, warmer, higher, with less fall: never
// longer; a bed caps it; ice keeps the air out.
func TestStandingFollowsWhatItShould(t *testing.T) {
	limit := func(change func(*Standing)) float64 {
		s := standingPond()
		change(&s)
		return standsFor(t, s).Months[time.July-1].Limit.Value.In(units.Hour)
	}
	base := limit(func(*Standing) {})
	if base < 3 || base > 24 {
		t.Errorf("%.1f h for two kilograms of fish in ten cubic metres", base)
	}
	for name, change := range map[string]func(*Standing){
		"more fish": func(s *Standing) { s.FishLow, s.FishHigh = 4, 8 },
		"warmer":    func(s *Standing) { s.Water[6] = units.Celsius(25) },
		"higher":    func(s *Standing) { s.Altitude = 1500 },
		"no fall":   func(s *Standing) { s.Fall.High = 0 },
		"more mud":  func(s *Standing) { s.Rates.Mud = Span{80, 200} },
		"ice":       func(s *Standing) { s.Ice[6] = true },
	} {
		if got := limit(change); got >= base {
			t.Errorf("%s: %.1f h, not below %.1f", name, got, base)
		}
	}
	cold := func(s *Standing) { s.Water[6] = units.Celsius(2) }
	if got := limit(cold); got != stillAir {
		t.Errorf("in the cold: %.1f h, want the cap", got)
	}
	if got := limit(func(s *Standing) { cold(s); s.Bed = Gravel{Volume: 1, Voids: 0.4, Grain: 0.015} }); got != stillBed {
		t.Errorf("with a bed: %.1f h, want its cap", got)
	}
	s := standingPond()
	s.Ice[0] = true
	if w := standsFor(t, s).Warnings; len(w) != 1 || !strings.Contains(string(w[0].Message), "January") {
		t.Errorf("%v", w)
	}
}

// TestFishThatAreThereAreAlive: draws in which today's fish could not be are left out,
// so that no kept one has less than 3 mg/L at dawn; a new pond keeps them all.
func TestFishThatAreThereAreAlive(t *testing.T) {
	s := standingPond()
	s.FishLow, s.FishHigh = 3, 15
	all := standsFor(t, s).Months[0]
	s.Lives = s.Fall.Flow
	kept := standsFor(t, s).Months[0]
	if all.Kept != 2000 || kept.Kept >= all.Kept || kept.Kept < leastFew {
		t.Fatalf("kept %d of %d", kept.Kept, all.Kept)
	}
	if kept.Dawn().Value <= all.Dawn().Value || kept.Dusk.FiveHalf.Value <= all.Dusk.FiveHalf.Value {
		t.Errorf("leaving out the dead makes it worse: %+v, %+v", kept.Dawn(), all.Dawn())
	}
	for _, p := range kept.ponds {
		if o := p.dawn(kept.flow); o < alive {
			t.Fatalf("%g mg/L at dawn in a draw that is kept", o)
		}
	}
	s.FishLow, s.FishHigh = 60, 90
	if none := standsFor(t, s).Months[0]; !none.Limit.Known || none.Limit.Value != 0 || none.Dusk.Five.Why != doubtful || none.GradeOf(units.Hour) != SevereRisk {
		t.Errorf("%+v", none)
	}
}

func TestStandingWithoutFish(t *testing.T) {
	s := standingPond()
	s.FishLow, s.FishHigh, s.FeedLow, s.FeedHigh = 0, 0, 0, 0
	if m := standsFor(t, s).Months[3]; m.Limit.Known || m.Dusk.Five.Why != fishless || m.GradeOf(50*units.Hour) != SlightRisk {
		t.Errorf("%+v", m)
	}
	s.Bed = Gravel{Volume: 1, Voids: 0.4, Grain: 0.015}
	if m := standsFor(t, s).Months[3]; m.Limit.Value != stillBed*units.Hour || m.GradeOf(20*units.Hour) != SlightRisk || m.GradeOf(30*units.Hour) != ModerateRisk {
		t.Errorf("%+v", m)
	}
}

func TestGradesGoUpWithTheStop(t *testing.T) {
	m := standsFor(t, standingPond()).Months[0]
	last, seen := SlightRisk, map[Grade]bool{}
	for h := 0.0; h < 100; h += 0.5 {
		g := m.GradeOf(units.Duration(h) * units.Hour)
		if g < last {
			t.Fatalf("%g h: %v after %v", h, g, last)
		}
		last, seen[g] = g, true
	}
	past := m.GradeOf(m.Limit.Value * 1.001)
	if len(seen) != 3 || m.GradeOf(m.Limit.Value) != SlightRisk || past < HighRisk {
		t.Errorf("grades %v; at the limit %v, just past it %v", seen, m.GradeOf(m.Limit.Value), past)
	}
}

// TestBedForFeedByHand: 30 g a day of feed of 35 % protein is 0.966 g of nitrogen; gravel
// of 20 mm with 40 % voids has 180 m² a cubic metre: at 0.05 g N/m² a day 0.107 m³.
func TestBedForFeedByHand(t *testing.T) {
	s := standingPond()
	s.Bed = Gravel{Voids: 0.4, Grain: 20 * units.Millimetre}
	out := standsFor(t, s)
	if got := float64(out.BedHigh.Value); math.Abs(got-0.1073) > 1e-3 {
		t.Errorf("%g m³", got)
	}
	if !(out.BedLow.Known && out.BedLow.Value < out.BedHigh.Value) {
		t.Errorf("%v to %v", out.BedLow, out.BedHigh)
	}
	s.FeedLow, s.FeedHigh = 0, 0
	if standsFor(t, s).BedHigh.Known {
		t.Error("without feed a bed is asked for")
	}
}

// TestStopsHaveReasons: a graded stop names its month and how long the oxygen lasts; the
// restart pushes the bed's water, 0.4 of a cubic metre, into the pond.
func TestStopsHaveReasons(t *testing.T) {
	s := standingPond()
	s.Bed = Gravel{Volume: 1, Voids: 0.4, Grain: 0.015}
	s.Water[6] = units.Celsius(26)
	all := standsFor(t, s)
	m, found := all.Worst(func(m time.Month) bool { return m != time.January })
	if !found || m.Month != time.July {
		t.Fatalf("the worst month is %v", m.Month)
	}
	for h, want := range map[units.Duration][]string{0: {"no stop is planned"}, 20: {"20.0 h still in July", "in one case of ten", "400 L of it, 4.0 %"}} {
		r := GradeStop(h*units.Hour, m, all)
		for _, part := range want {
			if all := r.Figure().Why.String(); !strings.Contains(all, part) || r.Grade != m.GradeOf(h*units.Hour) {
				t.Errorf("%v: %v, %s", h, r.Grade, all)
			}
		}
	}
	if r := GradeStop(90*units.Hour, m, all); r.Grade != SevereRisk || r.Figure().Value != SevereRisk || r.Figure().Why == "" {
		t.Errorf("ninety hours: %+v", r)
	}
	s.Water[6] = units.Celsius(2)
	if r := GradeStop(2*units.Hour, standsFor(t, s).Months[6], all); r.Grade != SlightRisk || !strings.Contains(r.Figure().Why.String(), "2.0 h still") {
		t.Errorf("in the cold: %+v", r)
	}
	always := func(time.Month) bool { return true }
	for i := range all.Months { // of equal limits the one where it gets short the soonest
		all.Months[i].Limit, all.Months[i].Dusk.FiveHalf = figure.Known[units.Duration](0), figure.Known(units.Duration((i+5)%12)*units.Hour)
	}
	if m, _ := all.Worst(always); m.Month != time.August {
		t.Errorf("of equal limits the worst is in %v", m.Month)
	}
	all.Months[2].Dusk.FiveHalf = figure.Unknown[units.Duration](doubtful)
	if m, _ := all.Worst(always); m.Month != time.March {
		t.Errorf("where the fish could hardly live, the worst is %v", m.Month)
	}
	if _, found := all.Worst(func(time.Month) bool { return false }); found {
		t.Error("of no month there is a worst")
	}
}

// TestYearIsGradedByEachMonth: a stop of winter does not stand against summer's air, months
// that are not asked for do not count, and the reason names the month that was graded.
func TestYearIsGradedByEachMonth(t *testing.T) {
	s := standingPond()
	s.FishLow, s.FishHigh = 4, 6
	s.Lives = s.Fall.Flow
	for m := range s.Water {
		s.Water[m] = units.Celsius(6)
	}
	s.Water[time.July-1] = units.Celsius(26)
	year := standsFor(t, s)
	if !year.LeavesOut() {
		t.Error("no draw is left out, though in some today's fish could not live")
	}
	winter, summer := year.Months[0], year.Months[time.July-1]
	hours := summer.Dusk.Five.Value.In(units.Hour) + 1
	if !summer.Dusk.Five.Known || winter.Dusk.Five.Known && winter.Dusk.Five.Value.In(units.Hour) < hours {
		t.Fatalf("air for %v in winter, %v in summer", winter.Dusk.Five, summer.Dusk.Five)
	}
	all := func(time.Month) bool { return true }
	for _, c := range []struct {
		month time.Month
		in    func(time.Month) bool
		want  string
	}{{time.January, all, "slight"}, {time.July, all, "high"}, {time.July, func(m time.Month) bool { return m != time.July }, "slight"}} {
		var stops [12]float64
		stops[c.month-1] = hours
		if r := GradeYear(stops, c.in, year); r.Grade.String() != c.want || c.want == "high" && !strings.Contains(string(r.Figure().Why), "July") {
			t.Errorf("%v h in %v: %v, %v", hours, c.month, r.Grade, r.Reasons)
		}
	}
	nights := func(m time.Month) float64 {
		return map[bool]float64{true: hours, false: 1}[m == time.July || m == time.January]
	}
	if m, pause := year.Lacks(nights); m.Month != time.July || math.Abs(pause.In(units.Hour)-hours) > 1e-9 {
		t.Errorf("%v in %v lacks air", pause, m.Month)
	}
	if m, pause := year.Lacks(func(time.Month) float64 { return 0 }); pause != 0 {
		t.Errorf("without a pause %v lacks air for %v", m.Month, pause)
	}
	if _, known, _ := summer.Noon.Figure(); !known {
		t.Error("noon is not known when it is asked for")
	}
	if _, known, why := (Later[Times])(nil).Figure(); known || why != fishless {
		t.Errorf("without fish: %t, %s", known, why)
	}
}
