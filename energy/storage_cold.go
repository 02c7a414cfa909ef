package energy

import (
	"math"
	"math/rand/v2"
	"slices"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

// Frost is what the cold does to a battery that must not be charged below some
// temperature.
type Frost struct {
	Least units.Temperature // it must not be charged below
	Given bool              // it is by the plan's battery.temperature; else by the air outdoors
	// Months, 0 to 11, have a mean below Least. Where it is given none of them
	// charges; outdoors every hour counts for itself.
	Months   []int
	SunShare float64 // of the panel's energy that comes while it is too cold
}

// How the hours lie about the mean of their month where only that is known: by the time
// of day, and from day to day as one follows another (common practice, no source). The
// spread of all hours is the root of (dailyRange/2.83)² + that of days squared.
const (
	dailyRange  = 10   // K from dawn to afternoon; 8 by the sea to 15 in a desert
	warmestHour = 15   // clock hour
	mostSpread  = 4    // K, standard deviation of days where there are seasons
	dayFollows  = 0.7  // correlation of a day with the one before
	coldNight   = 1.75 // standard deviations below the mean: a night or two of a month
	// littleCold is the share of the panel's energy below which what comes while it is
	// too cold is left out.
	littleCold = 0.01
)

// spreadOfDays returns the standard deviation of a day's mean about that of its month [K]:
//
//	s = min(4, 1 + R/3)
//
// where R is the yearly range of monthly means: without seasons no cold air comes in. A
// stated rule on the side of cold: measured years have 1.6 K at R = 7 and 4.0 to 4.5 K at 23
// to 28 (a test), daily ones at the equator (NASA POWER) 1.2 K at 3.
func spreadOfDays(months [12]units.Temperature) float64 {
	return min(mostSpread, 1+float64(slices.Max(months[:])-slices.Min(months[:]))/3)
}

// hoursAbout returns the hours of r about the means of months [°C], the same for the same r;
// nil where so little of the panel's energy comes in those colder than least that it is left
// out.
func hoursAbout(months [12]units.Temperature, r supply.Record, least float64) []float64 {
	var byHour [clock.HoursPerDay]float64
	for h := range byHour {
		byHour[h] = dailyRange / 2 * math.Cos(2*math.Pi*float64(h-warmestHour)/clock.HoursPerDay)
	}
	days := rand.New(rand.NewPCG(1, 1))
	spread := spreadOfDays(months)
	day := spread * days.NormFloat64()
	means := make([]float64, 0, r.Hours()/clock.HoursPerDay+2) // of each day
	cold := 0.0                                                // of the panel's energy
	eachDay := func(visit func(d, lo, hi int)) {
		for d, lo := 0, 0; lo < r.Hours(); d++ {
			hi := min(r.Hours(), lo+clock.HoursPerDay-(r.Start+lo)%clock.HoursPerDay)
			visit(d, lo, hi)
			lo = hi
		}
	}
	eachDay(func(d, lo, hi int) {
		if d > 0 {
			day = dayFollows*day + spread*math.Sqrt(1-dayFollows*dayFollows)*days.NormFloat64()
		}
		means = append(means, months[supply.MonthAt(r.Start, lo)].InCelsius()+day)
		if means[d]-dailyRange/2 >= least {
			return
		}
		for i := lo; i < hi; i++ {
			if means[d]+byHour[(r.Start+i)%clock.HoursPerDay] < least {
				cold += r.Panel[i]
			}
		}
	})
	if supply.Ratio(cold, r.PanelSums().Sum) < littleCold {
		return nil
	}
	out := make([]float64, r.Hours())
	eachDay(func(d, lo, hi int) {
		for i := lo; i < hi; i++ {
			out[i] = means[d] + byHour[(r.Start+i)%clock.HoursPerDay]
		}
	})
	return out
}

// batteryC returns the battery's temperature in the hours of r, nil where it
// never keeps it from being charged or is not known.
func (s *Storage) batteryC(r supply.Record, air []float64) []float64 {
	least := s.Battery.NoChargeBelow.InCelsius()
	if s.Battery.NoChargeBelow <= 0 || s.outdoors != nil {
		return nil
	}
	months, known := s.months()
	if s.plan.Battery.Temperature != nil {
		if !slices.ContainsFunc(months[:], func(t units.Temperature) bool { return t.InCelsius() < least }) {
			return nil
		}
		out := make([]float64, r.Hours())
		for i := 0; i < len(out); {
			t := months[supply.MonthAt(r.Start, i)].InCelsius()
			for end := min(len(out), i+clock.HoursPerDay-(r.Start+i)%clock.HoursPerDay); i < end; i++ {
				out[i] = t
			}
		}
		return out
	}
	if air == nil && known {
		air = hoursAbout(months, r, least)
	}
	if air == nil || slices.Min(air) >= least {
		return nil
	}
	return air
}

// sunBelow returns the share of the panel's energy that comes while it is colder than
// least [°C].
func sunBelow(panel, air []float64, least float64) float64 {
	cold, all := 0.0, 0.0
	for i, made := range panel {
		all += made
		if air[i] < least {
			cold += made
		}
	}
	return supply.Ratio(cold, all)
}

// air returns the air by the hour, nil where it is not known so.
func (s *Storage) air() []float64 {
	if s.Sky == nil || !s.Sky.HourlyAir {
		return nil
	}
	return s.Sky.Weather.TempC
}

// months returns the mean temperature of the battery in each month: the plan's,
// else that of the air.
func (s *Storage) months() (months [12]units.Temperature, known bool) {
	switch {
	case s.plan.Battery.Temperature != nil:
		return *s.plan.Battery.Temperature, true
	case s.Sky != nil:
		return s.Sky.AirByMonth(), true
	}
	return months, false
}

// frost returns what the cold keeps the battery from, nil where it never does.
func (s *Storage) frost() *Frost {
	if s.Record.BatteryC == nil {
		return nil
	}
	least := s.Battery.NoChargeBelow
	f := &Frost{Least: least, Given: s.plan.Battery.Temperature != nil, SunShare: sunBelow(s.Record.Panel, s.Record.BatteryC,
		least.InCelsius())}
	months, _ := s.months()
	for m, t := range months {
		if t < least {
			f.Months = append(f.Months, m)
		}
	}
	return f
}

// Sheltered returns s with its battery kept where it never falls below the
// temperature at which it may be charged: what panel and battery are sized for
// where nobody said where it stands and outdoors it would. Else it returns s.
func (s *Storage) Sheltered() *Storage {
	if s.Frost == nil || s.Frost.Given {
		return s
	}
	in := *s
	in.outdoors = s
	months, _ := s.months()
	for m := range months {
		months[m] = max(months[m], s.Frost.Least)
	}
	in.Battery = s.Battery.AtColdest(months)
	in.Record.BatteryC = nil
	isPlace := func(key string) bool { return key == "battery.temperature" }
	in.Assumed = slices.DeleteFunc(slices.Clone(s.Assumed), func(a figure.Assumed) bool { return isPlace(a.Key) })
	in.Assumed = append(in.Assumed, figure.Assumed{Key: "battery.temperature",
		Text: units.Say("never below {%.3g C}, which leaves %.0f %% of the size", s.Frost.Least.InCelsius(), 100*in.Battery.ColdShare),
		Why: units.Say("nothing is known of where the battery stands, and outdoors %s would at times be too cold to be charged",
			s.Battery.Kind), Source: "table of batteries"})
	in.Warnings = slices.DeleteFunc(slices.Clone(s.Warnings), func(w data.Warning) bool { return isPlace(w.Key) })
	in.warn("battery.temperature", "panel and battery are sized for a place that never falls below {%.3g C}; outdoors %s",
		s.Frost.Least.InCelsius(), s.Frost.says(s.Battery.Kind))
	return &in
}

// Outdoors returns the storage that s was sheltered from, nil where it was not.
func (s *Storage) Outdoors() *Storage { return s.outdoors }

// says tells what a kind of battery cannot do in the cold.
func (f *Frost) says(kind string) units.Text {
	return units.Say("%.2g %% of the panel's energy comes while it is colder than {%.3g C}, and %s is not charged with it",
		100*f.SunShare, f.Least.InCelsius(), kind)
}

// freezing warns of a lead battery that may freeze at its lowest charge, a share of the
// nominal size: in the coldest month that is given, else at the coldest dawn outdoors.
func (s *Storage) freezing(lowest float64) []data.Warning {
	months, known := s.months()
	if !s.Battery.Lead || !known {
		return nil
	}
	coldest, when := slices.Min(months[:]), "in the coldest month given it is"
	if s.plan.Battery.Temperature == nil {
		coldest, when = s.Sky.ColdestAir(), "at the coldest dawn the air may fall to"
	}
	freezes := battery.FreezesAt(lowest)
	if coldest > freezes {
		return nil
	}
	return []data.Warning{{Key: "battery.temperature", Message: units.Say("at its lowest charge of %.0f %% %s freezes at {%.0f C}, which "+
		"bursts it, and %s {%.0f C}: keep it where it is warmer, or buy more of it, so that it stays fuller",
		100*lowest, s.Battery.Kind, freezes.InCelsius(), when, coldest.InCelsius())}}
}

// coldDoubts warns of the cold: what it keeps the battery from, and months in
// which nights may do so.
func (s *Storage) coldDoubts(p *plan.Plan) {
	months, known := s.months()
	least := s.Battery.NoChargeBelow
	switch f := s.Frost; {
	case !known && least > 0:
		s.warn("battery.temperature", "the log holds no temperature: that %s must not be charged below {%.0f C} is not counted",
			s.Battery.Kind, least.InCelsius())
		return
	case !known:
		return
	case f != nil && f.Given:
		s.warn("battery.temperature", "at the temperatures given %s is below {%.3g C} in %s, and nothing is charged then",
			s.Battery.Kind, least.InCelsius(), plan.MonthList(f.Months))
	case f != nil:
		s.warn("battery.temperature", "outdoors %s; where it is never so cold, or heated, a far smaller one may do", f.says(s.Battery.Kind))
		if s.air() == nil {
			s.Sources = append(s.Sources, units.Sprintf("Hours too cold to charge: about the month's mean by a daily range of %d K and "+
				"%.2g K from day to day, common practice, no source", dailyRange, spreadOfDays(months)))
		}
		return
	}
	if s.air() != nil && p.Battery.Temperature == nil {
		return // every hour is counted
	}
	s.coldNights(months)
}

// coldNights warns of the months of which some nights are too cold to be charged in; those
// whose mean is are counted already.
func (s *Storage) coldNights(months [12]units.Temperature) {
	least, doubt := s.Battery.NoChargeBelow, units.Temperature(dailyRange/2+coldNight*spreadOfDays(months))
	var set []int
	for m, t := range months {
		if t >= least && t < least+doubt {
			set = append(set, m)
		}
	}
	if least > 0 && set != nil {
		s.warn("battery.temperature", "%s must not be charged below {%.3g C}, and some nights that cold are likely in %s; keep it "+
			"indoors or heated, or choose one that stops charging by itself", s.Battery.Kind, least.InCelsius(), plan.MonthList(set))
	}
}
