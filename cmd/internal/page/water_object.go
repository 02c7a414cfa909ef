package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// waterPond is the pond as JSON shows it.
type waterPond struct {
	Volume     *float64 `json:"volume_m3"`
	Low        *float64 `json:"volume_low_m3"`
	High       *float64 `json:"volume_high_m3"`
	VolumeFrom string   `json:"volume_from,omitempty"`
	VolumeWhy  string   `json:"volume_m3_why,omitempty"`
	LowWhy     string   `json:"volume_low_m3_why,omitempty"`
	HighWhy    string   `json:"volume_high_m3_why,omitempty"`
	Surface    *float64 `json:"surface_m2"`
	SurfaceWhy string   `json:"surface_m2_why,omitempty"`
	Stocking   string   `json:"stocking"`
	Goal       *float64 `json:"goal_turnover_h"`
	GoalFlow   *float64 `json:"goal_flow_m3_per_h"`
	FlowWhy    string   `json:"goal_flow_m3_per_h_why,omitempty"`
	GoalWhy    string   `json:"goal_turnover_h_why,omitempty"`
	GoalRule   string   `json:"goal_rule,omitempty"`
	GoalSource string   `json:"goal_rule_source,omitempty"`
}

// waterPump is how one pump of a plan does, as JSON shows it.
type waterPump struct {
	Name          string       `json:"name"`
	Present       bool         `json:"present"`
	Clean         *waterState  `json:"clean"`
	CleanWhy      string       `json:"clean_why,omitempty"`
	Dirty         *waterState  `json:"dirty"`
	DirtyWhy      string       `json:"dirty_why,omitempty"`
	Doubt         *dirtDoubt   `json:"dirt_doubt"`
	DoubtWhy      string       `json:"dirt_doubt_why,omitempty"`
	Power         *float64     `json:"power_w"`
	PowerWhy      string       `json:"power_w_why,omitempty"`
	PerDay        *float64     `json:"kwh_per_day"`
	PerYear       *float64     `json:"kwh_per_year"`
	EnergyWhy     string       `json:"kwh_per_year_why,omitempty"`
	PerDayWhy     string       `json:"kwh_per_day_why,omitempty"`
	Cost          *float64     `json:"cost_per_year"`
	CostWhy       string       `json:"cost_per_year_why,omitempty"`
	Owned         *float64     `json:"ownership_present_value"`
	ValueWhy      string       `json:"ownership_present_value_why,omitempty"`
	OwnedYearly   *float64     `json:"ownership_per_year"`
	OwnedWhy      string       `json:"ownership_per_year_why,omitempty"`
	PackShare     float64      `json:"supply_efficiency_fraction"`
	PowerSource   string       `json:"power_source"`
	Efficiency    *float64     `json:"wire_to_water_fraction"`
	EfficiencyWhy string       `json:"wire_to_water_fraction_why,omitempty"`
	Yardstick     *float64     `json:"yardstick_fraction"`
	YardstickWhy  string       `json:"yardstick_fraction_why,omitempty"`
	Return        *waterReturn `json:"return"`
	ReturnWhy     string       `json:"return_why,omitempty"`
}

// waterState is how a pump does clean or dirty. Turnover and water a day are
// those of the running month with the least water.
type waterState struct {
	Flow            float64  `json:"flow_m3_per_h"`
	AtLeast         bool     `json:"at_least,omitempty"`
	Bracket         bool     `json:"low_end_of_label,omitempty"` // flow is the low end of what a label leaves open
	LowFlow         *float64 `json:"low_flow_m3_per_h"`
	LowFlowWhy      string   `json:"low_flow_m3_per_h_why,omitempty"`
	HighFlow        *float64 `json:"high_flow_m3_per_h"`
	HighFlowWhy     string   `json:"high_flow_m3_per_h_why,omitempty"`
	Head            float64  `json:"head_m"`
	Power           *float64 `json:"power_w"`
	PowerWhy        string   `json:"power_w_why,omitempty"`
	WaterPerDay     float64  `json:"flow_m3_per_day"`
	Turnover        *float64 `json:"turnover_h"`
	TurnoverWhy     string   `json:"turnover_h_why,omitempty"`
	Fastest         *float64 `json:"fastest_turnover_h"`
	Slowest         *float64 `json:"slowest_turnover_h"`
	FastestWhy      string   `json:"fastest_turnover_h_why,omitempty"`
	SlowestWhy      string   `json:"slowest_turnover_h_why,omitempty"`
	TurnoversPerDay *float64 `json:"turnovers_per_day"`
	TurnoversWhy    string   `json:"turnovers_per_day_why,omitempty"`
	PerDay          *float64 `json:"kwh_per_day"`
	PerYear         *float64 `json:"kwh_per_year"`
	EnergyWhy       string   `json:"kwh_per_year_why,omitempty"`
	PerDayWhy       string   `json:"kwh_per_day_why,omitempty"`
	Cost            *float64 `json:"cost_per_year"`
	CostWhy         string   `json:"cost_per_year_why,omitempty"`
	GoalMet         *bool    `json:"goal_met"`
	GoalMetWhy      string   `json:"goal_met_why,omitempty"`
	GoalSure        *bool    `json:"goal_sure,omitempty"`
	Missed          *float64 `json:"missed_by_h,omitempty"`
	ShortFlow       *float64 `json:"short_of_flow_m3_per_h,omitempty"`
	DryBranches     []string `json:"branches_without_water,omitempty"`
}

// dirtDoubt is a pump dirty with the least and the most that an assumed loss may
// stand for.
type dirtDoubt struct {
	Low  dirtEnd `json:"low"`
	High dirtEnd `json:"high"`
}

type dirtEnd struct {
	Loss        float64  `json:"flow_loss_fraction"`
	Fitted      float64  `json:"fitted_pump_flow_loss_fraction"`
	On          string   `json:"fitted_pump"`
	Flow        float64  `json:"flow_m3_per_h"`
	LowFlow     *float64 `json:"low_flow_m3_per_h"`
	LowFlowWhy  string   `json:"low_flow_m3_per_h_why,omitempty"`
	HighFlow    *float64 `json:"high_flow_m3_per_h"`
	HighFlowWhy string   `json:"high_flow_m3_per_h_why,omitempty"`
	Turnover    *float64 `json:"turnover_h"`
	TurnoverWhy string   `json:"turnover_h_why,omitempty"`
	GoalMet     *bool    `json:"goal_met"`
	GoalMetWhy  string   `json:"goal_met_why,omitempty"`
}

// decides reports whether the goal is met at one end and missed at the other.
func (d *dirtDoubt) decides() bool {
	return d.Low.GoalMet != nil && d.High.GoalMet != nil && *d.Low.GoalMet != *d.High.GoalMet
}

// fitted says what the pump loses on which the dirt was fitted, nothing where that
// is the one named.
func (d *dirtDoubt) fitted(name string) document.Prose {
	low, high := share(d.Low.Fitted), share(d.High.Fitted)
	switch {
	case d.Low.On == name && d.High.On == name:
		return document.Prose{}
	case d.High.On == name:
		return document.Sentence(", where %v would lose %v in place of the first", d.Low.On, low)
	case d.Low.On == name:
		return document.Sentence(", where %v would lose %v in place of the second", d.High.On, high)
	case d.Low.On == d.High.On:
		return document.Sentence(", where %v would lose %v and %v", d.Low.On, low, high)
	}
	return document.Sentence(", where %v would lose %v and %v %v", d.Low.On, low, d.High.On, high)
}

func newDirtDoubt(d works.DirtDoubt) *dirtDoubt {
	var ends [2]dirtEnd
	for k, s := range d.States {
		ends[k] = dirtEnd{Loss: d.Losses[k], Fitted: d.Fitted[k], On: d.On[k], Flow: s.Flow.In(units.CubicMetrePerHour),
			Turnover: known(s.Turnover, units.Hour), TurnoverWhy: s.Turnover.Why, GoalMetWhy: s.Met.Why}
		ends[k].LowFlow, ends[k].LowFlowWhy = lowFlow(s.Run)
		ends[k].HighFlow, ends[k].HighFlowWhy = highFlow(s.Run)
		if s.Met.Known {
			ends[k].GoalMet = &s.Met.Value
		}
	}
	return &dirtDoubt{ends[0], ends[1]}
}

// waterReturn is the tank as the return makes it stand.
type waterReturn struct {
	Flow         float64  `json:"flow_m3_per_h"`
	Clear        float64  `json:"clear_level_mm"`
	Leaves       float64  `json:"level_mm"`
	Blocked      *float64 `json:"screen_blocked_fraction"`
	BlockedWhy   string   `json:"screen_blocked_fraction_why,omitempty"`
	Depth        float64  `json:"depth_in_pipe_fraction"`
	Freeboard    *float64 `json:"freeboard_left_mm"`
	FreeboardWhy string   `json:"freeboard_left_mm_why,omitempty"`
	Spills       bool     `json:"spills"`
	Margin       *float64 `json:"spill_flow_over_flow"`
	MarginWhy    string   `json:"spill_flow_over_flow_why,omitempty"`
}

func newWaterPond(w *works.WaterResult) waterPond {
	if !w.Pond.Known {
		return waterPond{VolumeWhy: w.Pond.Why, LowWhy: w.Pond.Why, HighWhy: w.Pond.Why, GoalWhy: w.Pond.Why, SurfaceWhy: w.Pond.Why, FlowWhy: w.Pond.Why}
	}
	p := w.Pond.Value
	low, high := p.Pond.Range()
	out := waterPond{Volume: number(p.Pond.Volume()), Low: number(low), High: number(high), VolumeFrom: p.Shape,
		Stocking: p.Stocking, Goal: known(p.Goal, units.Hour), GoalWhy: p.Goal.Why, GoalFlow: known(w.TurnoverGoalFlow(), units.CubicMetrePerHour), FlowWhy: p.Goal.Why}
	if out.SurfaceWhy = "neither surface nor depth is given (pond.surface)"; p.Pond.SurfaceKnown() {
		out.Surface, out.SurfaceWhy = number(p.Pond.Surface()), ""
	}
	if p.Rule != nil {
		out.GoalRule, out.GoalSource = p.Rule.Rule, p.Rule.Source
	}
	return out
}

func newWaterPump(p works.WaterPump, c energy.PumpCost) waterPump {
	kwh := float64(units.KilowattHour)
	out := waterPump{Name: p.Spec.Name, Present: p.Spec.Present, PackShare: p.Pack, PowerSource: p.Pump.PowerSource().String(),
		Power: known(p.Power, 1), PowerWhy: p.Power.Why,
		PerDay: known(p.PerDay, units.EnergyPerDay(kwh)), PerYear: known(p.PerYear, units.EnergyPerYear(kwh)), EnergyWhy: p.PerYear.Why, PerDayWhy: p.PerDay.Why,
		Efficiency: known(p.Efficiency, 1), EfficiencyWhy: p.Efficiency.Why, Yardstick: known(p.Yardstick, 1), YardstickWhy: p.Yardstick.Why}
	if out.Clean = newWaterState(p.Clean); out.Clean == nil {
		out.CleanWhy = p.Clean.Why
	}
	if out.Dirty = newWaterState(p.Dirty); out.Dirty == nil {
		out.DirtyWhy = p.Dirty.Why
	}
	if out.DoubtWhy = p.Doubt.Why; p.Doubt.Known {
		out.Doubt = newDirtDoubt(p.Doubt.Value)
	}
	if out.ReturnWhy = p.Return.Why; p.Return.Known {
		out.Return = newWaterReturn(p.Return.Value)
	}
	out.costs(c)
	return out
}

// costs fills in the money.
func (p *waterPump) costs(c energy.PumpCost) {
	p.Cost, p.CostWhy, p.OwnedWhy, p.ValueWhy = known(c.Year, 1), c.Year.Why, c.Owned.Why, c.Owned.Why
	if c.Owned.Known {
		p.Owned, p.OwnedYearly = number(c.Owned.Value.PresentValue), number(c.Owned.Value.EquivalentAnnual)
	}
	if p.Clean != nil {
		p.Clean.Cost, p.Clean.CostWhy = known(c.Clean, 1), c.Clean.Why
	}
	if p.Dirty != nil {
		p.Dirty.Cost, p.Dirty.CostWhy = known(c.Dirty, 1), c.Dirty.Why
	}
}

// newWaterState returns what a state means for the pond, nil where nothing
// flows.
func newWaterState(s works.WaterState) *waterState {
	if s.Flow <= 0 {
		return nil
	}
	perHour := units.CubicMetrePerHour
	out := &waterState{Flow: s.Flow.In(perHour), AtLeast: s.AtLeast, Bracket: s.Run.Bracket, Head: float64(s.Head), Power: known(s.Power, 1), PowerWhy: s.Power.Why,
		WaterPerDay: float64(s.PerDay), Turnover: known(s.Turnover, units.Hour), TurnoverWhy: s.Turnover.Why,
		TurnoversPerDay: known(s.Turnovers, 1), TurnoversWhy: s.Turnovers.Why, EnergyWhy: s.EnergyYear.Why, PerDayWhy: s.EnergyDay.Why,
		PerDay: known(s.EnergyDay, units.EnergyPerDay(units.KilowattHour)), PerYear: known(s.EnergyYear, units.EnergyPerYear(units.KilowattHour))}
	out.LowFlow, out.LowFlowWhy = lowFlow(s.Run)
	out.HighFlow, out.HighFlowWhy = highFlow(s.Run)
	if s.Turnover.Known {
		out.Fastest, out.Slowest = positive(s.Fastest.In(units.Hour)), positive(s.Slowest.In(units.Hour))
	}
	if out.FastestWhy = s.Turnover.Why; out.Fastest == nil && s.Turnover.Known {
		out.FastestWhy = "the curve ends before it meets the line at its strong end"
	}
	if out.SlowestWhy = s.Turnover.Why; out.Slowest == nil && s.Turnover.Known {
		out.SlowestWhy = "at the weak end of the curve nothing may flow"
	}
	if out.GoalMetWhy = s.Met.Why; s.Met.Known {
		out.GoalMet, out.GoalSure = &s.Met.Value, &s.Sure
		out.Missed, out.ShortFlow = known(s.Missed, units.Hour), positive(s.ShortFlow.In(perHour))
	}
	return out
}

// lowFlow returns the flow at the weak end of a run's range, or why there is
// none.
func lowFlow(r pumps.Run) (*float64, string) {
	if q := positive(r.Low.LeastFlow().In(units.CubicMetrePerHour)); q != nil {
		return q, ""
	}
	return nil, "nothing flows at the weak end of the range"
}

// highFlow returns the flow at the strong end of a run's range, or why there is
// none.
func highFlow(r pumps.Run) (*float64, string) {
	if r.High.Status != pumps.Meets {
		return nil, r.High.Why
	}
	return positive(r.High.Duty.Flow.In(units.CubicMetrePerHour)), ""
}

func newWaterReturn(r works.ReturnWater) *waterReturn {
	mm := units.Millimetre
	out := &waterReturn{Flow: r.Flow.In(units.CubicMetrePerHour), Clear: r.Clear.Level.In(mm), Leaves: r.Leaves.Level.In(mm),
		Depth: r.Fill, Spills: r.Leaves.Spills,
		Freeboard: known(r.Freeboard, mm), FreeboardWhy: r.Freeboard.Why, Margin: known(r.Margin, 1), MarginWhy: r.Margin.Why}
	if out.BlockedWhy = "the return has no screen"; r.Screen {
		out.Blocked, out.BlockedWhy = &r.Blocked, ""
	}
	return out
}
