package energy

import (
	"errors"
	"math"
	"slices"

	"sunrill/data/clock"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/still"
	"sunrill/energy/supply"
	"sunrill/pumps"
	"sunrill/pumps/works"
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
	OtherPump        StrategyKind = "other pump"
	NightSetback     StrategyKind = "night setback"
	DarkSetback      StrategyKind = "night setback in the months that need it"
	OffAtNight       StrategyKind = "off at night"
	DaylightOnly     StrategyKind = "daylight only"
	DaylightBuffered StrategyKind = "daylight with small battery"
)

// Strategy is one way to run the water, with what it gives, takes and risks.
// Water is that of the worst running month's mean day with the line dirty;
// watts, energy, panel and battery are the larger of clean and dirty; cost is
// the mean of both.
type Strategy struct {
	Variant

	PerDay  units.Volume               `json:"flow_m3_per_day"`
	PerYear figure.Maybe[units.Volume] `json:"water_m3_per_year"` // months off left out
	works.Verdict

	Power      figure.Maybe[units.Power]        `json:"power_w"`       // of the pump while it runs
	Energy     figure.Maybe[units.EnergyPerDay] `json:"kwh_per_day"`   // at the socket, air included
	WhPerM3    figure.Maybe[float64]            `json:"wh_per_m3"`     // Energy over PerDay
	Cost       figure.Maybe[money.Money]        `json:"cost_per_year"` // on the mains
	Panel      figure.Maybe[float64]            `json:"panel_w"`
	Battery    figure.Maybe[float64]            `json:"battery_wh"` // nominal, on sale
	Price      figure.Maybe[money.Money]        `json:"price"`      // of panel, battery and what goes with them
	OffGrid    figure.Maybe[OffGridWater]       // on the battery that Battery names
	StillHours float64                          // longest planned stretch without flow, months off left out
	Stop       figure.Maybe[float64]            `json:"longest_stop_h"`  // without the full flow, planned and for want of sun together
	Risk       figure.Maybe[still.Grade]        `json:"risk"`            // with its reasons
	LeastWh    bool                             `json:"least_wh_per_m3"` // of those of one pump
	// Slowed is the high end of power and energy where the pump is slowed and the
	// plan does not say what does not fall with its speed; Power and Energy are the
	// low end. LeastSlowed is LeastWh at that end.
	Slowed      figure.Maybe[Slowed] `json:"high_,inline"`
	LeastSlowed bool                 `json:"least_high_wh_per_m3"`

	as     *job           // that of the variant
	load   *PumpLoad      // on the battery
	record supply.Record  // that the pair runs on
	choice battery.Choice // the pair, where Panel is known
	rule   string         // how it was chosen
	// pairYear is the equivalent yearly cost of the pair, by planning prices where there are no others.
	pairYear float64
	sized    bool                              // or it was seen that it cannot be
	most     float64                           // what its pair may cost a year to be worth sizing; 0: any
	chance   float64                           // that its water meets the goal; 0: not asked yet
	barred   bool                              // the plan names another pump, or others probably meet it and this does not
	pair     *battery.Choice                   // the only one to choose from; nil: any on sale
	rest     figure.Maybe[still.StandingTimes] // how long its pond may stand still
	// stops are the longest by the month in which they begin [h], on the sun alone by the
	// month that they reach into.
	stops [12]float64
}

// The hours that count as night, by the clock, and what is done in them;
// stated rules, no source.
const (
	stillFrom    = 22
	stillTo      = 6
	setbackSpeed = 0.7
)

// ExampleSpeed stands for slowing down: a valve is closed to the flow that a
// pump has at it.
const ExampleSpeed = 0.8

// slowSteps are the speeds tried, full speed apart.
var slowSteps = [...]float64{0.9, ExampleSpeed, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2}

// strategies lays out the rows for the chosen pump, or the nearest where none
// meets the goal, and works out water, energy and cost of each; at the depth of Sun
// of those at full speed and as planned alone.
func (j *job) strategies() error {
	i := j.base()
	if i < 0 {
		return nil
	}
	list := []Variant{{Name: "full speed", Kind: FullSpeed, Pump: i, Speed: 1, Set: runAt(1)}}
	if j.ownHours() {
		list = append(list, Variant{Name: "as planned", Kind: AsPlanned, Pump: i, Speed: j.oneSpeed()})
	}
	if j.depth > Sun {
		more, err := j.others(i)
		if err != nil {
			return err
		}
		list = append(list, more...)
	}
	rows, errs := make([]Strategy, len(list)), make([]error, len(list))
	cores.Each(len(list), func(k int) {
		rows[k].Variant = list[k]
		errs[k] = j.work(&rows[k])
	})
	j.out.Tradeoff = rows
	return errors.Join(errs...)
}

// others are the variants beside the plan's own for pump i.
func (j *job) others(i int) ([]Variant, error) {
	list, lowest := j.slower(i)
	if j.light != nil {
		l, err := j.laneHere(i)
		if err != nil {
			return nil, err
		}
		for _, v := range l.justEnough() {
			if !slices.ContainsFunc(list, func(row Variant) bool { return row.Speed == v.Speed }) {
				list = append(list, v)
			}
		}
	}
	list = append(list, Variant{Name: "timer, every other hour", Kind: OnTimer, Pump: i, Set: runAt(1, band(0,
		func(h int) bool { return h%2 == 1 }))}, j.valveRow(i))
	for k, p := range j.water.Pumps {
		if k != i && works.Smaller(p, j.water.Pumps[i]) {
			v := Variant{Name: p.Spec.Name + " pump", Kind: SmallerPump, Pump: k, Speed: 1, Set: runAt(1)}
			if p.Dirty.Flow <= 0 && p.Clean.Flow <= 0 {
				v.Why = "it does not lift the water"
			}
			list = append(list, v)
		}
	}
	return append(list, j.nights(i, lowest)...), nil
}

// ownHours reports whether the plan asks for anything but full speed.
func (j *job) ownHours() bool { return len(j.plan.Run.Bands) > 0 || j.plan.Run.Speed != 1 }

// oneSpeed returns the plan's speed, 0 where it names several.
func (j *job) oneSpeed() float64 {
	if len(j.plan.Run.Bands) > 0 {
		return 0
	}
	return j.plan.Run.Speed
}

// slower returns a variant for each step of speed that still lifts, and the lowest
// of them; one that says why where the pump cannot be slowed.
func (j *job) slower(i int) (rows []Variant, lowest float64) {
	p := j.water.Pumps[i]
	if !p.Slows() {
		return []Variant{{Name: "slower", Kind: Slower, Pump: i,
			Why: "not with this pump: its speed cannot be set (pump.speed_control)"}}, 1
	}
	lowest = 1
	line := j.water.Works.Dirty()
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
			rows = append(rows, slow(i, s))
		}
	}
	if lowest < 1 {
		row := slow(i, lowest)
		row.Name += " (least that lifts)"
		if lowest == float64(floor)/100 {
			row.Name = units.Sprintf("%.0f %% speed (its least)", 100*lowest)
		}
		rows = append(rows, row)
	}
	return withLeast(rows, i, at, best), lowest
}

// wholePercent returns a share in per cent, rounded up; 0.55 times 100 is a hair
// above 55, which is no reason for 56.
func wholePercent(share float64) int { return int(math.Ceil(100*share - 1e-9)) }

func slow(i int, s float64) Variant {
	return Variant{Name: units.Sprintf("%.3g %% speed", 100*s), Kind: Slower, Pump: i, Speed: s, Set: runAt(s)}
}

// withLeast adds the speed of least power for the flow where it is none of rows.
func withLeast(rows []Variant, i int, at, best float64) []Variant {
	if math.IsInf(best, 1) || at == 1 {
		return rows
	}
	row := slow(i, at)
	for k := range rows {
		if rows[k].Speed == at {
			return rows
		}
		if rows[k].Speed < at {
			return append(rows[:k:k], append([]Variant{row}, rows[k:]...)...)
		}
	}
	return append(rows, row)
}

// valveShare is the share of the flow that a valve is closed to where the pump
// cannot be slowed to 80 %; a stated rule, no source.
const valveShare = 0.75

// valveRow throttles the pump to the flow of its 80 % speed, so that the two
// can be compared. The valve is set once, with the line dirty, as the rows' water is.
func (j *job) valveRow(i int) Variant {
	row := Variant{Name: "valve, as much as 80 %", Kind: Valve, Pump: i, Speed: 1, Set: runAt(1)}
	p, line := j.water.Pumps[i], j.water.Works.Dirty()
	curve := p.Pump.Curve(1) // as one line sees it, where there are several
	q := valveShare * pumps.Operate(curve, line).LeastFlow()
	if slow, status := pumps.Solve(p.Pump.Curve(ExampleSpeed), line); status == pumps.Meets && p.Slows() {
		q = slow.Flow
	}
	d, err := pumps.DirtAt(curve, line, q)
	switch {
	case q <= 0:
		row.Why = "it does not lift the water"
	case err != nil, d.Resistance <= 0:
		row.Why = "the curve holds no point at which a valve would make that flow"
	}
	row.line = func(w *works.Waterworks) { // as one resistance; no key throttles a line without branches
		w.Line = w.Line.WithDirt(d)
	}
	return row
}

// night reports whether an hour counts as night.
func night(h int) bool { return h >= stillFrom || h < stillTo }

// nightAt runs pump i slower at night.
func nightAt(i int, speed float64) Variant {
	return Variant{Name: units.Sprintf("night at %.3g %% speed", 100*speed), Kind: NightSetback, Pump: i,
		Set: runAt(1, band(speed, night))}
}

// nights are the variants that spare the night: slower where the pump can, and off
// with the air pump on.
func (j *job) nights(i int, lowest float64) []Variant {
	p := j.water.Pumps[i]
	setback := Variant{Name: "night setback", Kind: NightSetback, Pump: i}
	speed := max(setbackSpeed, p.Spec.LeastSpeed, float64(wholePercent(lowest)+3)/100) // the least that lifts moves next to nothing
	switch {
	case !p.Slows():
		setback.Why = "not with this pump: its speed cannot be set (pump.speed_control)"
	case speed >= 1:
		setback.Why = "slower than full speed this pump does not lift the water"
	default:
		setback = nightAt(i, speed)
	}
	// Air through the night is added to the hours and months of the plan's own.
	off := plan.Run{Bands: []plan.RunBand{band(1, night)}, MonthsOff: j.plan.Run.MonthsOff}
	still := Variant{Name: "off at night, air on", Kind: OffAtNight, Pump: i, Set: runAt(1, band(0, night)),
		air: supply.Air{Power: j.airWatts()}}
	still.air.Hours = clock.ScheduleOf(off).Or(j.air.Hours)
	return []Variant{setback, still}
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

// work fills in water, energy and cost of a row.
func (j *job) work(s *Strategy) error {
	if !s.Possible() {
		return nil
	}
	var err error
	if s.as, err = j.with(s.Variant); err != nil {
		return err
	}
	s.StillHours = s.as.water.Schedule.LongestPause()
	if s.StillHours > 0 && j.water.Pumps[s.Pump].Stays() {
		s.Why = "this pump does not start by itself after a stop: the line is too high for it when empty"
		return nil
	}
	p := s.as.water.Pumps[s.Pump]
	if p.Clean.PerDay <= 0 && p.Dirty.PerDay <= 0 {
		s.Why = "no water flows"
		if p.Dirty.Why != "" {
			s.Why = p.Dirty.Why
		}
		return nil
	}
	s.PerDay, s.Verdict, s.Power = p.Dirty.PerDay, p.Dirty.Verdict, p.Power
	s.PerYear = figure.Given(p.Dirty.PerYear > 0, p.Dirty.PerYear, noWater)
	mains := s.as.mainsOf(p)
	if m := mains.Value; mains.Known {
		s.Energy, s.Cost, s.WhPerM3 = figure.Known(m.PerDay), m.Cost, s.perVolume(m.PerDay)
		s.Slowed = s.slowed(p)
		return nil
	}
	s.Energy.Why, s.Cost.Why, s.WhPerM3.Why, s.Slowed.Why = mains.Why, mains.Why, mains.Why, mains.Why
	return nil
}
