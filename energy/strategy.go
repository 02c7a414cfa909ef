package energy

import (
	"math"

	"sunrill/data/units"
	"sunrill/pumps"
)

// StrategyKind is a way of saving power, or of doing without.
type StrategyKind string

// The kinds of row in the trade-off.
const (
	FullSpeed        StrategyKind = "full"
	AsPlanned        StrategyKind = "as planned"
	Slower           StrategyKind = "slower"
	OnTimer          StrategyKind = "timer"
	Valve            StrategyKind = "valve"
	SmallerPump      StrategyKind = "smaller pump"
	NightSetback     StrategyKind = "night setback"
	OffAtNight       StrategyKind = "off at night"
	OffInWinter      StrategyKind = "off in the dark months"
	DaylightOnly     StrategyKind = "daylight only"
	DaylightBuffered StrategyKind = "daylight with small battery"
)

// Strategy is one way to run the water, with what it gives, takes and risks.
// Water is that of the worst running month's mean day with the line dirty;
// watts, energy, panel and battery are the larger of clean and dirty; cost is
// the mean of both.
type Strategy struct {
	Name  string
	Kind  StrategyKind
	Pump  int     // index of WaterResult.Pumps
	Speed float64 // share of the curve's; 0 where it is not one speed
	Why   string  // why it cannot be done; "" where it can

	PerDay  units.Volume
	PerYear units.Volume // months off left out
	Verdict

	Power      Maybe[units.Power]  // of the pump while it runs
	Energy     Maybe[EnergyPerDay] // at the socket, air included
	WhPerM3    Maybe[float64]      // Energy over PerDay
	Cost       Maybe[Money]        // a year on the mains
	Panel      Maybe[float64]      // [W]
	Battery    Maybe[float64]      // nominal, on sale [Wh]
	Price      Maybe[Money]        // of panel, battery and what goes with them
	OffGrid    Maybe[OffGridWater] // on the battery that Battery names
	StillHours float64             // longest planned stretch without flow, months off left out
	MonthsOff  float64             // hours of the months that a row of dark months stands still, one stretch with those that the plan is off beside them
	Stop       Maybe[float64]      // longest stretch without the full flow [h], planned and for want of sun together
	Risk       Maybe[Risk]
	Dominated  string // name of a row that is better in all respects; "" for none
	LeastWh    bool   // the least energy for each volume of those of one pump
	// Slowed is the high end of power and energy where the pump is slowed and the
	// plan does not say what does not fall with its speed; Power and Energy are the
	// low end. LeastSlowed is LeastWh at that end.
	Slowed      Maybe[Slowed]
	LeastSlowed bool
	// OnSiphon says that Met holds only with the siphon over the crest full, which
	// it may not become.
	OnSiphon bool

	schedule Schedule
	air      Air
	valve    pumps.Dirt // a throttled valve, as one resistance
}

// Possible reports whether the strategy can be run.
func (s Strategy) Possible() bool { return s.Why == "" }

// The hours that count as night, by the clock, and what is done in them.
const (
	stillFrom    = 22 * units.Hour
	stillTo      = 6 * units.Hour
	setbackSpeed = 0.7
)

// ExampleSpeed stands for slowing down: a valve is closed to the flow that a
// pump has at it.
const ExampleSpeed = 0.8

// slowSteps are the speeds tried, full speed apart.
var slowSteps = [...]float64{0.9, ExampleSpeed, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2}

// strategies lays out the rows for the chosen pump, or the nearest where none
// meets the goal, and works out water, energy and cost of each; at the depth of Sun
// those at full speed and as planned alone.
func (j *job) strategies() error {
	i := j.water.Choice.Nearest
	if i < 0 {
		return nil
	}
	rows := []Strategy{{Name: "full speed", Kind: FullSpeed, Pump: i, Speed: 1, schedule: j.allDay(1)}}
	if j.ownHours() {
		rows = append(rows, Strategy{Name: "as planned", Kind: AsPlanned, Pump: i, schedule: j.water.Schedule})
	}
	if j.depth >= All {
		others, err := j.others(i)
		if err != nil {
			return err
		}
		rows = append(rows, others...)
	}
	j.out.Tradeoff = rows
	for k := range rows {
		if err := j.work(&rows[k]); err != nil {
			return err
		}
	}
	markLeast(rows)
	return nil
}

// others lays out the rows beside the plan's own for pump i.
func (j *job) others(i int) ([]Strategy, error) {
	rows, lowest := j.slower(i)
	timer, err := j.timer(i)
	if err != nil {
		return nil, err
	}
	rows = append(rows, timer, j.valveRow(i))
	for k, p := range j.water.Pumps {
		if k != i && smaller(p, j.water.Pumps[i]) {
			row := Strategy{Name: p.Spec.Name + " pump", Kind: SmallerPump, Pump: k, Speed: 1, schedule: j.allDay(1)}
			if p.Dirty.Flow <= 0 && p.Clean.Flow <= 0 {
				row.Why = "it does not lift the water"
			}
			rows = append(rows, row)
		}
	}
	night, err := j.nights(i, lowest)
	if err != nil {
		return nil, err
	}
	rows = append(rows, night...)
	if dark, offered, err := j.winter(i); err != nil {
		return nil, err
	} else if offered {
		rows = append(rows, dark)
	}
	return rows, nil
}

// ownHours reports whether the plan asks for anything but full speed.
func (j *job) ownHours() bool { return len(j.plan.Run.Bands) > 0 || j.plan.Run.Speed != 1 }

// allDay returns a speed held in every hour of the plan's running months.
func (j *job) allDay(speed float64) Schedule {
	s, err := NewSchedule(nil, speed, monthsOf(j.plan.Run.MonthsOff))
	if err != nil {
		panic("energy: " + err.Error()) // the speeds are ours
	}
	return s
}

// slower returns a row for each step of speed that still lifts, and the lowest
// of them; one row that says why where the pump cannot be slowed.
func (j *job) slower(i int) (rows []Strategy, lowest float64) {
	p := j.water.Pumps[i]
	if !p.slows() {
		return []Strategy{{Name: "slower", Kind: Slower, Pump: i, Why: "not with this pump: its speed cannot be set (pump.speed_control)"}}, 1
	}
	lowest = 1
	line := pumps.Soil(j.water.Works.Line, j.water.Works.Dirt)
	best, at := math.Inf(1), 1.0
	// A speed that does not start the water over the crest of an empty line would
	// leave it still after the first cut in power.
	start, known := p.Pump.Curve(1).LeastSpeed(line.Restart())
	floor := wholePercent(p.Spec.LeastSpeed)
	for percent := 100; percent >= floor && percent >= 10; percent-- {
		s := float64(percent) / 100
		if known && start < 1 && s <= start {
			break
		}
		d, status := p.Pump.Duty(s, line)
		if status != pumps.Meets || d.Flow <= 0 {
			if status == pumps.NoLift {
				break
			}
			continue
		}
		lowest = s
		if wh := float64(d.Power) / d.Flow.In(units.CubicMetrePerHour); d.Power > 0 && wh < best {
			best, at = wh, s
		}
	}
	for _, s := range slowSteps {
		if s > lowest && s >= p.Spec.LeastSpeed {
			rows = append(rows, j.slow(i, s))
		}
	}
	if lowest < 1 {
		row := j.slow(i, lowest)
		row.Name += " (least that lifts)"
		if lowest == float64(floor)/100 {
			row.Name = units.Sprintf("%.0f %% speed (its least)", 100*lowest)
		}
		rows = append(rows, row)
	}
	return j.withLeast(rows, i, at, best), lowest
}

// wholePercent returns a share in per cent, rounded up; 0.55 times 100 is a hair
// above 55, which is no reason for 56.
func wholePercent(share float64) int { return int(math.Ceil(100*share - 1e-9)) }

func (j *job) slow(i int, s float64) Strategy {
	return Strategy{Name: units.Sprintf("%.0f %% speed", 100*s), Kind: Slower, Pump: i, Speed: s, schedule: j.allDay(s)}
}

// withLeast adds the speed of least power for the flow where it is none of the
// rows.
func (j *job) withLeast(rows []Strategy, i int, at, best float64) []Strategy {
	if math.IsInf(best, 1) || at == 1 {
		return rows
	}
	row := j.slow(i, at)
	for k := range rows {
		if rows[k].Speed == at {
			return rows
		}
		if rows[k].Speed < at {
			return append(rows[:k:k], append([]Strategy{row}, rows[k:]...)...)
		}
	}
	return append(rows, row)
}

// timer runs every second hour.
func (j *job) timer(i int) (Strategy, error) {
	var bands []RunBand
	for h := 1; h < 24; h += 2 {
		bands = append(bands, RunBand{HourBand: HourBand{Key: "timer", From: units.Duration(h) * units.Hour, To: units.Duration(h+1) * units.Hour}})
	}
	s, err := NewSchedule(bands, 1, monthsOf(j.plan.Run.MonthsOff))
	return Strategy{Name: "timer, every other hour", Kind: OnTimer, Pump: i, schedule: s}, err
}

// valveShare is the share of the flow that a valve is closed to where the pump
// cannot be slowed to 80 %.
const valveShare = 0.75

// valveRow throttles the pump to the flow of its 80 % speed, so that the two
// can be compared. The valve is set once, with the line dirty, as the rows' water is.
func (j *job) valveRow(i int) Strategy {
	row := Strategy{Name: "valve, as much as 80 %", Kind: Valve, Pump: i, Speed: 1, schedule: j.allDay(1)}
	p, line := j.water.Pumps[i], pumps.Soil(j.water.Works.Line, j.water.Works.Dirt)
	curve := p.Pump.Curve(1) // as one line sees it, where there are several
	q := valveShare * pumps.Operate(curve, line).LeastFlow()
	if slow, status := pumps.Solve(p.Pump.Curve(0.8), line); status == pumps.Meets && p.slows() {
		q = slow.Flow
	}
	d, err := pumps.DirtAt(curve, line, q)
	switch {
	case q <= 0:
		row.Why = "it does not lift the water"
	case err != nil, d.Resistance <= 0:
		row.Why = "the curve holds no point at which a valve would make that flow"
	}
	row.valve = d
	return row
}

// nights are the rows that spare the night: slower where the pump can, and off
// with the air pump on.
func (j *job) nights(i int, lowest float64) ([]Strategy, error) {
	var rows []Strategy
	off := monthsOf(j.plan.Run.MonthsOff)
	night := HourBand{Key: "night", From: stillFrom, To: stillTo}
	p := j.water.Pumps[i]
	setback := Strategy{Name: "night setback", Kind: NightSetback, Pump: i}
	speed := max(setbackSpeed, p.Spec.LeastSpeed, float64(wholePercent(lowest)+3)/100) // the least that lifts moves next to nothing
	switch {
	case !p.slows():
		setback.Why = "not with this pump: its speed cannot be set (pump.speed_control)"
	case speed >= 1:
		setback.Why = "slower than full speed this pump does not lift the water"
	default:
		setback.Name = units.Sprintf("night at %.0f %% speed", 100*speed)
		var err error
		if setback.schedule, err = NewSchedule([]RunBand{{HourBand: night, Speed: speed}}, 1, off); err != nil {
			return nil, err
		}
	}
	rows = append(rows, setback)
	still, err := NewSchedule([]RunBand{{HourBand: night}}, 1, off)
	if err != nil {
		return nil, err
	}
	air, err := j.nightAir(night)
	return append(rows, Strategy{Name: "off at night, air on", Kind: OffAtNight, Pump: i, schedule: still, air: air}), err
}

// airWatts is the air pump taken where the plan names none: 0.5 W a cubic
// metre, at least 4 W (common practice, no source).
func (j *job) airWatts() units.Power {
	if p := j.plan.Air.Power; p != nil {
		return *p
	}
	v := 0.0
	if j.water.Pond.Known {
		v = float64(j.water.Pond.Value.Pond.Volume())
	}
	return units.Power(max(4, 0.5*v))
}

// nightAir is the air pump through the hours of the night, and through those
// besides in which the plan runs it anyway.
func (j *job) nightAir(night HourBand) (Air, error) {
	s, err := NewSchedule([]RunBand{{HourBand: night, Speed: 1}}, 0, monthsOf(j.plan.Run.MonthsOff))
	if err != nil {
		return Air{}, err
	}
	return Air{Power: j.airWatts(), Hours: s.or(j.air.Hours)}, nil
}

// line returns the circuit of a strategy with the line clean or dirty.
func (j *job) line(s *Strategy, dirty bool) pumps.Circuit {
	all := s.valve
	if dirty {
		all.Resistance += j.water.Works.Dirt.Resistance
	}
	if all.Resistance == 0 {
		return j.water.Works.Line
	}
	return pumps.Soil(j.water.Works.Line, all)
}

// work fills in water, energy and cost of a row.
func (j *job) work(s *Strategy) error {
	if s.Slowed = Unknown[Slowed](s.Why); !s.Possible() {
		return nil
	}
	alt, works := *j.water, *j.water.Works
	works.Speed, alt.Works, alt.Schedule = max(s.Speed, 0), &works, s.schedule
	if works.Speed == 0 {
		works.Speed = 1
	}
	p := j.water.Pumps[s.Pump]
	s.StillHours = s.schedule.longestPause()
	if s.StillHours > 0 && p.stays() {
		s.Why = "this pump does not start by itself after a stop: the line is too high for it when empty"
		return nil
	}
	clean, err := alt.state(p.Pump, j.line(s, false), p.Pack)
	if err != nil {
		return err
	}
	dirty, err := alt.state(p.Pump, j.line(s, true), p.Pack)
	if err != nil {
		return err
	}
	if clean.PerDay <= 0 && dirty.PerDay <= 0 {
		s.Why = "no water flows"
		if dirty.Why != "" {
			s.Why = dirty.Why
		}
		s.Slowed = Unknown[Slowed](s.Why)
		return nil
	}
	s.PerDay, s.PerYear, s.Verdict = dirty.PerDay, dirty.PerYear, dirty.Verdict
	unfilled, err := alt.unfilled(dirty, p.Pump, j.line(s, true), p.Pack)
	if err != nil {
		return err
	}
	s.OnSiphon = unfilled.Known
	s.Power = larger(clean.Power, dirty.Power)
	if s.Energy = larger(clean.EnergyDay, dirty.EnergyDay); !s.Energy.Known {
		s.WhPerM3, s.Cost = Unknown[float64](s.Energy.Why), Unknown[Money](s.Energy.Why)
		s.Slowed = Unknown[Slowed](s.Energy.Why)
		return nil
	}
	air := airHours(s.airOr(j.air))
	s.Energy.Value += EnergyPerDay(air.PerYear() / 365)
	s.WhPerM3 = s.perVolume(s.Energy.Value)
	s.Cost = mean(j.yearCost(clean, air), j.yearCost(dirty, air))
	s.Slowed, err = j.slowed(s, &alt, air)
	return err
}

// airOr returns the strategy's own air pump, else the plan's.
func (s *Strategy) airOr(plan Air) Air {
	if s.air.Power > 0 {
		return s.air
	}
	return plan
}
