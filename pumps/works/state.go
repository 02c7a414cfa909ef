package works

import (
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// noWatts is the reason where nothing says what a pump draws.
const noWatts = "neither curve nor label nor meter gives the power"

// speedRuns are the runs of a pump at the speeds of a schedule; no entry for
// off.
type speedRuns map[float64]pumps.Run

// state returns how pump does on circuit under the plan's schedule. pack is the
// efficiency of what feeds it from the socket.
func (w *WaterResult) state(pump pumps.Pump, circuit pumps.Circuit, pack float64) (WaterState, error) {
	var s WaterState
	runs := speedRuns{}
	speeds := []float64{w.Works.Speed}
	for _, h := range w.Schedule.Hours() {
		if h.Hours > 0 {
			speeds = append(speeds, h.Speed)
		}
	}
	for _, speed := range speeds {
		if _, have := runs[speed]; have || speed == 0 {
			continue
		}
		run, err := pump.Run(speed, circuit)
		if err != nil {
			return s, err
		}
		runs[speed] = run
		s.mayNotFill = s.mayNotFill || run.MayNotFill
	}
	s.Run = runs[w.Works.Speed]
	s.Flow, s.Head, s.Why = s.Run.LeastFlow(), s.Run.Duty.Head, s.Run.Why
	s.AtLeast = s.Run.Status == pumps.BeyondCurve
	if s.AtLeast {
		s.Head = circuit.HeadAt(s.Flow)
		if h, err := pump.Curve(w.Works.Speed).Head(pump.Curve(w.Works.Speed).Last()); err == nil {
			s.Head = h
		}
	}
	s.Power = figure.Unknown[units.Power](noWatts)
	if p := wattsOf(pump, s.Run, w.Works.Speed); p > 0 {
		s.Power = figure.Known(p)
	}
	w.water(&s, runs)
	w.draw(&s, pump, runs, pack)
	return s, nil
}

// wattsOf returns what a pump draws on a run, 0 where nothing says. A pump that
// does not lift churns at no flow.
func wattsOf(pump pumps.Pump, r pumps.Run, speed float64) units.Power {
	if p := r.LeastPower(); p > 0 {
		return p
	}
	return pump.Power(0, speed)
}

// water fills in the water of a day in the worst running month, against the
// goal.
func (w *WaterResult) water(s *WaterState, runs speedRuns) {
	day := func(m time.Month, flow func(pumps.Run) units.Flow) units.Volume {
		sum := 0.0
		for h := range 24 {
			for _, sp := range w.Schedule.Spells(m, h) {
				if r, on := runs[sp.Speed]; on {
					sum += sp.Part * flow(r).In(units.CubicMetrePerHour)
				}
			}
		}
		return units.Volume(sum)
	}
	least := func(r pumps.Run) units.Flow { return r.LeastFlow() }
	months := w.Schedule.RunningMonths()
	for m := time.January; m <= time.December; m++ {
		if !months.Has(m) {
			continue
		}
		v := day(m, least)
		s.PerYear += v * units.Volume(data.MonthDays[m-1])
		if s.Month == 0 || v < s.PerDay {
			s.Month, s.PerDay = m, v
		}
	}
	s.Verdict = Judge(w.Pond, s.PerDay, "nothing flows: "+s.Why)
	if !w.Pond.Known {
		return
	}
	slowest, fastest := units.Duration(math.Inf(1)), units.Duration(math.Inf(1))
	if s.Month != 0 {
		low, high := w.Pond.Value.Pond.Range()
		slowest = turnover(high, day(s.Month, func(r pumps.Run) units.Flow { return r.Low.LeastFlow() }))
		off := false
		fastest = turnover(low, day(s.Month, func(r pumps.Run) units.Flow {
			off = off || r.High.Status == pumps.BeyondCurve
			return r.High.LeastFlow()
		}))
		if off {
			fastest = 0
		}
	}
	s.within(fastest, slowest, w.Pond.Value)
}

// draw fills in the energy at the socket.
func (w *WaterResult) draw(s *WaterState, pump pumps.Pump, runs speedRuns, pack float64) {
	s.EnergyDay, s.EnergyYear = figure.Unknown[units.EnergyPerDay](noWatts), figure.Unknown[units.EnergyPerYear](noWatts)
	if pump.PowerSource() == pumps.NoPower {
		return
	}
	for m := range data.MonthDays {
		for h := range 24 {
			for _, sp := range w.Schedule.Spells(time.Month(m+1), h) {
				if r, on := runs[sp.Speed]; on {
					s.Use[m][h] += sp.Part * wattsOf(pump, r, sp.Speed).In(units.Kilowatt) / pack
				}
			}
		}
	}
	year := s.Use.PerYear()
	s.EnergyYear = figure.Known(year)
	s.EnergyDay = figure.Known(units.EnergyPerDay(year / 365))
}
