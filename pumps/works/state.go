package works

import (
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// WaterState is how a pump does with the line in one state, under the plan's
// schedule. Energy is that of the socket.
type WaterState struct {
	Run  pumps.Run  // at the plan's speed outside the hour bands
	Flow units.Flow `json:"flow_m3_per_h"`
	// AtLeast is set where the pump runs off the end of its curve: Flow is that
	// of its last point, and more flows than that.
	AtLeast bool                      `json:"at_least,omitempty"`
	OfLabel bool                      `json:"middle_of_label,omitempty"` // Flow is the middle of what a label leaves open
	Low     figure.Maybe[units.Flow]  `json:"low_flow_m3_per_h"`         // by the curve's tolerance
	High    figure.Maybe[units.Flow]  `json:"high_flow_m3_per_h"`
	Head    units.Length              `json:"head_m"`
	Power   figure.Maybe[units.Power] `json:"power_w"` // at the pump's own leads, at the plan's speed
	Why     units.Text                // why nothing flows, "" where it does

	Month      time.Month                        // the running month with the least water
	PerDay     units.Volume                      `json:"flow_m3_per_day"` // water in that month's mean day
	PerYear    units.Volume                      // water of a year, months off left out
	Verdict                                      // of that day
	ShortFlow  figure.Maybe[units.Flow]          `json:"short_of_flow_m3_per_h"` // mean flow that lacks to the goal
	EnergyDay  figure.Maybe[units.EnergyPerDay]  `json:"kwh_per_day"`
	EnergyYear figure.Maybe[units.EnergyPerYear] `json:"kwh_per_year"`
	Use        clock.MonthlyHours
	Dry        []string `json:"branches_without_water,omitempty"`
}

// Flowing returns the state as a figure, unknown where nothing flows.
func (s WaterState) Flowing() figure.Maybe[WaterState] { return figure.Given(s.Flow > 0, s, s.Why) }

// Verdict is a day's water against the pond and its goal: met or missed, and by how
// much.
type Verdict struct {
	Turnovers figure.Maybe[float64]        `json:"turnovers_per_day"`
	Turnover  figure.Maybe[units.Duration] `json:"turnover_h"`
	Met       figure.Maybe[bool]           `json:"goal_met"`
	Missed    figure.Maybe[units.Duration] `json:"missed_by_h"` // by how much a turnover takes too long
}

// Meets reports whether the goal is known and met.
func (v Verdict) Meets() bool { return v.Met.Known && v.Met.Value }

// Misses reports whether the goal is known and missed.
func (v Verdict) Misses() bool { return v.Met.Known && !v.Met.Value }

// Unjudged is the verdict where nothing can be said, and why.
func Unjudged(why units.Text) Verdict {
	time := figure.Unknown[units.Duration](why)
	return Verdict{figure.Unknown[float64](why), time, figure.Unknown[bool](why), time}
}

const goalMet = "the goal is met"

// Judge holds the water of a day against the goal. still says why nothing flows,
// where it does not.
func Judge(pond figure.Maybe[PondWater], perDay units.Volume, still units.Text) Verdict {
	if !pond.Known {
		return Unjudged(pond.Why)
	}
	volume, goal := pond.Value.Volume, pond.Value.Goal
	v := Unjudged(goal.Why)
	v.Turnovers = figure.Known(float64(perDay / volume))
	v.Turnover = figure.Given(perDay > 0, turnover(volume, perDay), still)
	if !goal.Known {
		return v
	}
	need := float64(volume) * float64(units.Day/goal.Value)
	met := float64(perDay) >= need*(1-sameGoal)
	if v.Met, v.Missed = figure.Known(met), figure.Unknown[units.Duration](goalMet); !met {
		v.Missed = figure.Then(v.Turnover, func(t units.Duration) units.Duration { return t - goal.Value })
	}
	return v
}

// turnover returns how long one turnover takes at so much water a day; +Inf
// where there is none.
func turnover(v, perDay units.Volume) units.Duration {
	if perDay <= 0 {
		return units.Duration(math.Inf(1))
	}
	return units.Duration(float64(v/perDay)) * units.Day
}

// NoWatts is the reason where nothing says what a pump draws.
const NoWatts = "neither curve nor label nor meter gives the power"

// speedRuns are the runs of a pump at the speeds of a schedule; no entry for
// off.
type speedRuns map[float64]pumps.Run

// state returns how pump does on circuit under the plan's schedule. pack is the
// efficiency of what feeds it from the socket.
func (w *WaterResult) state(pump pumps.Pump, circuit *pumps.System, pack float64) WaterState {
	runs := speedRuns{}
	speed := w.Works.Speed
	for _, h := range append(w.Schedule.Hours(), clock.SpeedHours{Speed: speed, Hours: 1}) {
		if _, have := runs[h.Speed]; have || h.Speed == 0 {
			continue
		}
		runs[h.Speed] = pump.Run(h.Speed, circuit)
	}
	r := runs[speed]
	s := WaterState{Run: r, Flow: r.LeastFlow(), Head: r.Duty.Head, Why: r.Why, OfLabel: r.Bracket, AtLeast: r.Status == pumps.BeyondCurve}
	if s.AtLeast {
		s.Head, _ = pump.Curve(speed).Head(pump.Curve(speed).Last()) // of its last point there is one
	}
	low := r.Low.LeastFlow()
	s.Low = figure.Given(low > 0, low, "nothing flows at the weak end of the range")
	s.High = figure.Given(r.High.Status == pumps.Meets, r.High.Duty.Flow, r.High.Why)
	watts := wattsOf(pump, r, speed)
	s.Power = figure.Given(watts > 0, watts, NoWatts)
	w.water(&s, runs)
	w.draw(&s, pump, runs, pack)
	return s
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
	for m := time.January; m <= time.December; m++ {
		day, v := w.Schedule.Day(m), units.Volume(0)
		if len(day) == 0 {
			continue
		}
		for _, h := range day {
			v += units.Volume(h.Hours * runs[h.Speed].LeastFlow().In(units.CubicMetrePerHour))
		}
		s.PerYear += v * units.Volume(data.MonthDays[m-1])
		if s.Month == 0 || v < s.PerDay {
			s.Month, s.PerDay = m, v
		}
	}
	s.Verdict = Judge(w.Pond, s.PerDay, "nothing flows: "+s.Why)
	s.ShortFlow = figure.Unknown[units.Flow](s.Met.Why)
	if pond := w.Pond.Value; pond.Goal.Known {
		s.ShortFlow = figure.Given(s.Misses(), pond.GoalFlow.Value-units.Flow(float64(s.PerDay)/float64(units.Day)), goalMet)
	}
}

func (w *WaterResult) draw(s *WaterState, pump pumps.Pump, runs speedRuns, pack float64) {
	s.EnergyDay, s.EnergyYear = figure.Unknown[units.EnergyPerDay](NoWatts), figure.Unknown[units.EnergyPerYear](NoWatts)
	if pump.PowerSource() == pumps.NoPower {
		return
	}
	drawn := map[float64]float64{} // kW at each speed
	for speed, r := range runs {
		drawn[speed] = wattsOf(pump, r, speed).In(units.Kilowatt) / pack
	}
	for m := range data.MonthDays {
		for h := range 24 {
			for _, sp := range w.Schedule.Spells(time.Month(m+1), h) {
				s.Use[m][h] += sp.Part * drawn[sp.Speed]
			}
		}
	}
	s.EnergyYear = figure.Known(s.Use.PerYear())
	s.EnergyDay = figure.Known(units.EnergyPerDay(s.EnergyYear.Value / 365))
}
