package page

import (
	"time"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/wiring"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// planObject is what plan prints as JSON.
type planObject struct {
	waterObject
	Answered    bool                                `json:"answered"`
	AnsweredWhy string                              `json:"answered_why,omitempty"`
	Mains       *planMains                          `json:"mains"`
	MainsWhy    string                              `json:"mains_why,omitempty"`
	Solar       planSolar                           `json:"solar"`
	Tradeoff    []planRow                           `json:"tradeoff"`
	Stop        planStop                            `json:"stop"`
	Influences  []energy.Influence                  `json:"influences"`
	Installer   figure.Maybe[wiring.InstallerSheet] `json:"installer"`
}

// planMains is the chosen pump on the mains, the air pump included. Energy is
// the larger of clean and dirty, mean energy and cost the mean of both.
type planMains struct {
	Pump        string   `json:"pump"`
	Power       *float64 `json:"power_w"`
	PerDay      float64  `json:"kwh_per_day"`
	PerYear     float64  `json:"kwh_per_year"`
	MeanPerDay  float64  `json:"mean_kwh_per_day"`
	MeanPerYear float64  `json:"mean_kwh_per_year"`
	AirPerYear  float64  `json:"air_kwh_per_year"`
	Cost        *float64 `json:"cost_per_year"`
	CostWhy     string   `json:"cost_per_year_why,omitempty"`
	PerKWh      *float64 `json:"cost_per_kwh"`
	PerKWhWhy   string   `json:"cost_per_kwh_why,omitempty"`
	Years       int      `json:"ownership_years"`
	Owned       *float64 `json:"ownership_present_value"`
	ValueWhy    string   `json:"ownership_present_value_why,omitempty"`
	OwnedYearly *float64 `json:"ownership_per_year"`
	OwnedWhy    string   `json:"ownership_per_year_why,omitempty"`
	Carbon      *float64 `json:"carbon_kg_per_year"`
	CarbonWhy   string   `json:"carbon_kg_per_year_why,omitempty"`
	Pack        float64  `json:"supply_efficiency_fraction"`
}

type planSolar struct {
	Site           *SiteObject   `json:"site"`
	SiteWhy        string        `json:"site_why,omitempty"`
	Months         []SunMonth    `json:"months"`
	DayAndNight    *planDayNight `json:"day_and_night"`
	DayAndNightWhy string        `json:"day_and_night_why,omitempty"`
	Daylight       *planDaylight `json:"daylight_only"`
	DaylightWhy    string        `json:"daylight_only_why,omitempty"`
}

// planDayNight is the panel and the battery that carry the plan's hours.
type planDayNight struct {
	Load       float64 `json:"load_w"` // at the battery's terminals, while the pump runs
	LoadPerDay float64 `json:"load_kwh_per_day"`
	offGrid
	Drop         float64                     `json:"cable_drop_fraction"`
	Panel        float64                     `json:"panel_w"`
	Tilt         float64                     `json:"tilt_deg"`
	Azimuth      float64                     `json:"azimuth_deg"`
	Battery      float64                     `json:"battery_wh"`
	Charge       *float64                    `json:"battery_ah"`
	Volts        *float64                    `json:"battery_v"`
	Kind         string                      `json:"battery_kind"`
	Price        *float64                    `json:"price"`
	PriceWhy     string                      `json:"price_why,omitempty"`
	PerYear      *float64                    `json:"cost_per_year"`
	PerYearWhy   string                      `json:"cost_per_year_why,omitempty"`
	Rule         string                      `json:"rule"`
	Unmet        float64                     `json:"unmet_flow_target_fraction"`
	StopTarget   *float64                    `json:"longest_stop_target_h"`
	StopWhy      string                      `json:"longest_stop_target_h_why"`
	UnmetEnergy  float64                     `json:"unmet_fraction"`
	UnmetFlow    float64                     `json:"unmet_flow_fraction"`
	StopHours    float64                     `json:"stop_hours_per_year"`
	LongestStop  float64                     `json:"longest_stop_h"`
	StopYears    int                         `json:"years_with_stop"`
	Years        int                         `json:"record_years"`
	LowestCharge float64                     `json:"lowest_charge_fraction"`
	Lifetime     figure.Maybe[float64]       `json:"battery_life_years"`
	WorstMonth   figure.Maybe[int]           `json:"worst_month"`
	WorstRatio   figure.Maybe[float64]       `json:"worst_month_energy_ratio"`
	MeanRatio    float64                     `json:"mean_energy_ratio"`
	Front        []planPair                  `json:"front"`
	Darkest      *darkest                    `json:"darkest_fortnight"`
	DarkestWhy   string                      `json:"darkest_fortnight_why,omitempty"`
	Handbook     planHand                    `json:"handbook"`
	Patient      figure.Maybe[patientObject] `json:"with_longer_stops"`
	Frost        figure.Maybe[frostObject]   `json:"frost"`
	Spread       *struct{}                   `json:"spread"`
	SpreadWhy    string                      `json:"spread_why"`
}

type planPair struct {
	Panel   float64  `json:"panel_w"`
	Battery float64  `json:"battery_wh"`
	OnSale  *float64 `json:"battery_on_sale_wh"`
	SaleWhy string   `json:"battery_on_sale_wh_why,omitempty"`
	Unmet   float64  `json:"unmet_fraction"`
	Stop    float64  `json:"longest_stop_h"`
	Price   *float64 `json:"price"`
	Why     string   `json:"price_why,omitempty"`
	PerYear *float64 `json:"cost_per_year"`
	YearWhy string   `json:"cost_per_year_why,omitempty"`
}

type planHand struct {
	Autonomy    *float64 `json:"autonomy_days"`
	ArrayToLoad *float64 `json:"array_to_load"`
	EnergyRatio *float64 `json:"energy_ratio"`
}

// planDaylight is the pump on a panel without a battery.
type planDaylight struct {
	Panel      float64     `json:"panel_w"`
	PanelWhy   string      `json:"panel_w_why"`
	Control    string      `json:"control"`
	Start      *float64    `json:"sun_to_start_w_per_m2"`
	StartWhy   string      `json:"sun_to_start_w_per_m2_why,omitempty"`
	Stop       *float64    `json:"sun_to_stop_w_per_m2"`
	StopWhy    string      `json:"sun_to_stop_w_per_m2_why,omitempty"`
	LeastSpeed float64     `json:"least_speed_fraction"`
	PerYear    float64     `json:"water_m3_per_year"`
	Longest    float64     `json:"longest_still_h"`
	Months     []planDayMo `json:"months"`
	SmallWh    *float64    `json:"small_battery_wh"`
	SmallWhy   string      `json:"small_battery_wh_why,omitempty"`
	SmallWater *float64    `json:"small_battery_m3_per_day"`
	WaterWhy   string      `json:"small_battery_m3_per_day_why,omitempty"`
}

type planDayMo struct {
	Month     int     `json:"month"`
	PerDay    float64 `json:"water_m3_per_day"`
	Turnovers float64 `json:"turnovers_per_day"`
	Running   float64 `json:"running_h"`
	Night     float64 `json:"still_h"`
	Longest   float64 `json:"longest_still_h"`
}

// planRow is one way of running the water.
type planRow struct {
	Strategy  string   `json:"strategy"`
	Kind      string   `json:"kind"`
	Pump      string   `json:"pump"`
	Possible  bool     `json:"possible"`
	Why       string   `json:"why,omitempty"`
	PerDay    *float64 `json:"flow_m3_per_day"`
	PerYear   *float64 `json:"water_m3_per_year"`
	YearWhy   string   `json:"water_m3_per_year_why,omitempty"`
	Turnovers *float64 `json:"turnovers_per_day"`
	TurnsWhy  string   `json:"turnovers_per_day_why,omitempty"`
	Turnover  *float64 `json:"turnover_h"`
	TurnWhy   string   `json:"turnover_h_why,omitempty"`
	Power     *float64 `json:"power_w"`
	PowerWhy  string   `json:"power_w_why,omitempty"`
	Energy    *float64 `json:"kwh_per_day"`
	EnergyWhy string   `json:"kwh_per_day_why,omitempty"`
	WhPerM3   *float64 `json:"wh_per_m3"`
	WhWhy     string   `json:"wh_per_m3_why,omitempty"`
	Cost      *float64 `json:"cost_per_year"`
	CostWhy   string   `json:"cost_per_year_why,omitempty"`
	Panel     *float64 `json:"panel_w"`
	PanelWhy  string   `json:"panel_w_why,omitempty"`
	Battery   *float64 `json:"battery_wh"`
	StoreWhy  string   `json:"battery_wh_why,omitempty"`
	Price     *float64 `json:"price"`
	PriceWhy  string   `json:"price_why,omitempty"`
	Still     *float64 `json:"longest_planned_stop_h"`
	Stop      *float64 `json:"longest_stop_h"`
	StopWhy   string   `json:"longest_stop_h_why,omitempty"`
	GoalMet   *bool    `json:"goal_met"`
	GoalWhy   string   `json:"goal_met_why,omitempty"`
	Missed    *float64 `json:"missed_by_h"`
	MissedWhy string   `json:"missed_by_h_why,omitempty"`
	OffGrid   *offGrid `json:"-"`
	offGridRow
	slowedRow
	Risk      *string `json:"risk"`
	RiskWhy   string  `json:"risk_why"`
	Dominated string  `json:"dominated_by"`
	LeastWh   bool    `json:"least_wh_per_m3"`
}

// planStop is what a stop does to the pond.
type planStop struct {
	works.StandStill
	RestMonth *int     `json:"rest_month"`
	LowEarly  *float64 `json:"rest_low_early_h"`
	LowLate   *float64 `json:"rest_low_late_h"`
	FishAlone *float64 `json:"rest_fish_alone_h"`
	RestWhy   string   `json:"rest_why,omitempty"`
	BedEarly  *float64 `json:"bed_rest_early_h"`
	BedLate   *float64 `json:"bed_rest_late_h"`
	PoreWater *float64 `json:"pore_water_l"`
	PoreShare *float64 `json:"pore_water_fraction"`
	stopWhys
}

// stopWhys are the reasons of what planStop does not know.
type stopWhys struct {
	Month     string `json:"rest_month_why,omitempty"`
	LowEarly  string `json:"rest_low_early_h_why,omitempty"`
	LowLate   string `json:"rest_low_late_h_why,omitempty"`
	FishAlone string `json:"rest_fish_alone_h_why,omitempty"`
	BedEarly  string `json:"bed_rest_early_h_why,omitempty"`
	BedLate   string `json:"bed_rest_late_h_why,omitempty"`
	PoreWater string `json:"pore_water_l_why,omitempty"`
	PoreShare string `json:"pore_water_fraction_why,omitempty"`
}

func (p *PlanPage) newMains() (*planMains, string) {
	m := p.Result.Mains
	if !m.Known {
		return nil, m.Why
	}
	v := m.Value
	i, _ := p.Result.Chosen()
	out := &planMains{Pump: p.water.Pumps[i].Name, Power: known(p.water.Pumps[i].Power, 1), PerDay: v.PerDay.KilowattHours(), PerYear: v.PerYear.KilowattHours(),
		MeanPerDay: v.Mean.KilowattHours() / 365, MeanPerYear: v.Mean.KilowattHours(), AirPerYear: v.AirPerYear.KilowattHours(),
		Cost: known(v.Cost, 1), CostWhy: v.Cost.Why, PerKWh: known(v.PerKWh, 1), PerKWhWhy: v.PerKWh.Why, Years: v.Years, OwnedWhy: v.Owned.Why, ValueWhy: v.Owned.Why,
		Carbon: known(v.CarbonKg, 1), CarbonWhy: v.CarbonKg.Why, Pack: v.Pack}
	if v.Owned.Known {
		out.Owned, out.OwnedYearly = number(v.Owned.Value.PresentValue), number(v.Owned.Value.EquivalentAnnual)
	}
	return out, ""
}

func (p *PlanPage) newSolar() planSolar {
	s := p.Result.Solar
	if !s.Known {
		return planSolar{Months: []SunMonth{}, SiteWhy: s.Why, DayAndNightWhy: s.Why, DaylightWhy: s.Why}
	}
	site := newSiteObject(s.Value.Sky)
	out := planSolar{Site: &site, Months: sunMonths(s.Value.Months), DayAndNightWhy: s.Value.DayAndNight.Why, DaylightWhy: s.Value.Daylight.Why}
	if d := s.Value.DayAndNight; d.Known {
		out.DayAndNight = newDayNight(d.Value, s.Value.Sky)
	}
	if d := s.Value.Daylight; d.Known {
		out.Daylight = newDaylight(d.Value)
	}
	return out
}

// spreadWhy says where the spread over other seeds is to be had.
const spreadWhy = "plan reads one set of years; sunrill size shows five"

func newDayNight(d energy.DayAndNight, sky *sky.Sky) *planDayNight {
	c := d.Front.Chosen
	b := c.Connected
	out := &planDayNight{Load: float64(d.Watts), LoadPerDay: d.PerDay.KilowattHours(), Panel: c.PanelW, Battery: c.BoughtWh, Kind: d.Battery.Kind,
		Tilt: sky.Plane.Tilt.In(units.Degree), Azimuth: sky.Plane.Azimuth.In(units.Degree),
		Price: known(c.Price, 1), PriceWhy: c.Price.Why, PerYear: known(c.PerYear, 1), PerYearWhy: c.PerYear.Why, Rule: d.Front.Rule, Unmet: d.Options.Unmet,
		StopTarget: known(d.Longest, 1), StopWhy: d.Longest.Why, UnmetEnergy: b.UnmetFraction(), UnmetFlow: b.UnmetFlow(),
		StopHours: b.PerYear(float64(b.Stops.Hours)), LongestStop: float64(b.Stops.LongestHours), StopYears: b.YearsWithStop, Years: b.Years,
		LowestCharge: b.LowestCharge, offGrid: newOffGrid(figure.Known(d.Water)), Drop: d.Draw.Drop(), DarkestWhy: d.Darkest.Why, MeanRatio: d.MeanRatio, Front: []planPair{}, SpreadWhy: spreadWhy}
	if v := float64(d.Battery.Voltage); v > 0 {
		ah := c.BoughtWh / v
		out.Charge, out.Volts = &ah, &v
	}
	kept := figure.Unknown[battery.Balance](FrostIsGiven)
	if d.Outdoors.Known {
		kept = figure.Known(c.Connected)
	}
	out.Patient = newPatient(d.Patient)
	out.Frost = newFrost(d.Frost, d.Outdoors.Known, d.Outdoors, kept)
	out.Lifetime = figure.Finite(c.Life.Years(), "neither the cycles of its work nor its years standing set an end to it")
	out.WorstMonth, out.WorstRatio = figure.Then(d.WorstMonth, func(m time.Month) int { return int(m) }), d.WorstRatio
	for _, p := range d.Front.Pairs {
		pair := planPair{Panel: p.PanelW, Battery: p.BatteryWh, OnSale: positive(p.OnSaleWh), Unmet: p.Free.UnmetFraction(), Stop: float64(p.Free.Stops.LongestHours),
			Price: known(p.Price, 1), Why: p.Price.Why, PerYear: known(p.PerYear, 1), YearWhy: p.PerYear.Why}
		if pair.OnSale == nil {
			pair.SaleWhy = noneOnSale
		}
		out.Front = append(out.Front, pair)
	}
	if d.Darkest.Known {
		f := newDarkest(d.Darkest.Value)
		out.Darkest = &f
	}
	h := d.Handbook
	out.Handbook = planHand{known(h.AutonomyDays, 1), known(h.ArrayToLoad, 1), known(h.EnergyRatio, 1)}
	return out
}

func newDaylight(d energy.DaylightBudget) *planDaylight {
	out := &planDaylight{Panel: d.PanelW, PanelWhy: d.PanelWhy, Control: string(d.Control), Start: known(d.Start, 1), StartWhy: d.Start.Why, Stop: known(d.Stop, 1), StopWhy: d.Stop.Why,
		LeastSpeed: d.LeastSpeed, PerYear: float64(d.Year.PerYear), Longest: d.Year.Longest.In(units.Hour), SmallWhy: d.Small.Why, WaterWhy: d.Small.Why}
	for i, m := range d.Year.Months {
		out.Months = append(out.Months, planDayMo{i + 1, float64(m.PerDay), m.Turnovers, m.Running.In(units.Hour), m.Night.In(units.Hour), m.Longest.In(units.Hour)})
	}
	if d.Small.Known {
		out.SmallWh, out.SmallWater = &d.Small.Value.Wh, number(d.Small.Value.PerDay)
	}
	return out
}

func newRow(s energy.Strategy, pump string) planRow {
	out := planRow{Strategy: s.Name, Kind: string(s.Kind), Pump: pump, Possible: s.Possible(), Why: s.Why, Dominated: s.Dominated, LeastWh: s.LeastWh, slowedRow: newSlowedRow(s)}
	if !s.Possible() {
		out.RiskWhy = s.Why
		return out
	}
	out.PerDay, out.Turnovers, out.Turnover = number(s.PerDay), known(s.Turnovers, 1), known(s.Turnover, units.Hour)
	out.TurnsWhy, out.TurnWhy, out.PowerWhy, out.WhWhy, out.StoreWhy, out.StopWhy = s.Turnovers.Why, s.Turnover.Why, s.Power.Why, s.WhPerM3.Why, s.Battery.Why, s.Stop.Why
	out.PerYear, out.YearWhy = known(s.PerYear, 1), s.PerYear.Why
	out.Power, out.Energy, out.EnergyWhy = known(s.Power, 1), known(s.Energy, units.EnergyPerDay(units.KilowattHour)), s.Energy.Why
	out.WhPerM3, out.Cost, out.CostWhy = known(s.WhPerM3, 1), known(s.Cost, 1), s.Cost.Why
	out.Panel, out.PanelWhy, out.Battery = known(s.Panel, 1), s.Panel.Why, known(s.Battery, 1)
	still := s.StillHours + s.MonthsOff
	out.Price, out.PriceWhy, out.Still, out.Stop = known(s.Price, 1), s.Price.Why, &still, known(s.Stop, 1)
	if s.OffGrid.Known {
		o := newOffGrid(s.OffGrid)
		out.OffGrid = &o
	}
	out.offGridRow = newOffGridRow(out.OffGrid, s.OffGrid.Why)
	out.GoalWhy, out.Missed, out.MissedWhy = s.Met.Why, known(s.Missed, units.Hour), s.Missed.Why
	if s.Met.Known {
		out.GoalMet = &s.Met.Value
	}
	if out.RiskWhy = s.Risk.Why; s.Risk.Known {
		grade := s.Risk.Value.String()
		out.Risk = &grade
	}
	return out
}

func (p *PlanPage) newStop() planStop {
	out := planStop{StandStill: p.water.Rest, RestWhy: p.Result.Rest.Why}
	t := p.Result.Rest
	if why := t.Why; !t.Known {
		out.stopWhys = stopWhys{why, why, why, why, why, why, why, why}
		return out
	}
	v := t.Value
	if m := int(p.Result.RestMonth); m >= int(time.January) {
		out.RestMonth = &m
	}
	out.LowEarly, out.LowLate, out.FishAlone = known(v.LowEarly, units.Hour), known(v.LowLate, units.Hour), known(v.High, units.Hour)
	out.RestWhy = v.LowEarly.Why
	out.BedEarly, out.BedLate = known(v.BedEarly, units.Hour), known(v.BedLate, units.Hour)
	out.stopWhys = stopWhys{LowEarly: v.LowEarly.Why, LowLate: v.LowLate.Why, FishAlone: v.High.Why, BedEarly: v.BedEarly.Why, BedLate: v.BedLate.Why}
	out.PoreWater, out.PoreShare = known(v.PoreWater, units.Litre), known(v.PoreShare, 1)
	out.stopWhys.PoreWater, out.stopWhys.PoreShare = v.PoreWater.Why, v.PoreShare.Why
	return out
}
