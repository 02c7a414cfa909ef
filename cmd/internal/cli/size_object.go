package cli

import (
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
)

// sizeObject is what size prints as JSON.
type sizeObject struct {
	Demo        bool            `json:"demo"`
	Target      sizeTarget      `json:"target"`
	Front       []sizePair      `json:"front"`
	Dropped     []sizeDropped   `json:"dropped"`
	Chosen      *sizeChosen     `json:"chosen"`
	ChosenWhy   string          `json:"chosen_why,omitempty"`
	WouldReach  *sizeWould      `json:"would_reach,omitempty"`
	Spread      *sizeSpread     `json:"spread"`
	SpreadWhy   string          `json:"spread_why,omitempty"`
	AsSource    *sizeAsSource   `json:"with_the_source_as_it_is"`
	AsSourceWhy string          `json:"with_the_source_as_it_is_why,omitempty"`
	IndoorsWh   *float64        `json:"battery_indoors_wh"` // least for the chosen panel at 15 °C
	IndoorsWhy  string          `json:"battery_indoors_wh_why,omitempty"`
	Patient     *patientObject  `json:"with_longer_stops"`
	PatientWhy  string          `json:"with_longer_stops_why,omitempty"`
	Frost       *frostObject    `json:"frost"`
	FrostWhy    string          `json:"frost_why,omitempty"`
	Handbook    *handbookObject `json:"handbook"`
	HandbookWhy string          `json:"handbook_why,omitempty"`
	Controller  *float64        `json:"controller_a"`
	CurrentWhy  string          `json:"controller_a_why,omitempty"`
	ChargeLimit *float64        `json:"charge_limit_a"`
	LimitWhy    string          `json:"charge_limit_a_why,omitempty"`
	ChargeFuse  *float64        `json:"charge_fuse_a"`
	FuseWhy     string          `json:"charge_fuse_a_why,omitempty"`
	LoadKWh     float64         `json:"load_kwh_per_year"`
	RecordHours int             `json:"record_hours"`
	Passes      int             `json:"passes"`
	Panel       *panelObject    `json:"panel"`
	Battery     batteryObject   `json:"battery"`
	Site        *siteObject     `json:"site"`
	SiteWhy     string          `json:"site_why,omitempty"`
}

type sizeTarget struct {
	Unmet          *float64 `json:"unmet_fraction"` // of the energy
	UnmetWhy       string   `json:"unmet_fraction_why,omitempty"`
	UnmetFlow      *float64 `json:"unmet_flow_fraction"`
	UnmetFlowWhy   string   `json:"unmet_flow_fraction_why,omitempty"`
	LongestStop    *int     `json:"longest_stop_h"`
	LongestStopWhy string   `json:"longest_stop_h_why,omitempty"`
}

// sizePair is one pair of the front, run without cut-off and reconnect.
type sizePair struct {
	PanelW      *float64 `json:"panel_w"`
	PanelWhy    string   `json:"panel_w_why,omitempty"`
	BatteryWh   float64  `json:"battery_wh"`
	OnSaleWh    *float64 `json:"battery_on_sale_wh"`
	OnSaleWhy   string   `json:"battery_on_sale_wh_why,omitempty"`
	Unmet       float64  `json:"unmet_fraction"`
	LongestStop int      `json:"longest_stop_h"`
	Price       *float64 `json:"price"`
	PriceWhy    string   `json:"price_why,omitempty"`
	CostPerYear *float64 `json:"cost_per_year"`
	CostWhy     string   `json:"cost_per_year_why,omitempty"`
	LifeYears   *float64 `json:"battery_life_years"`
	LifeWhy     string   `json:"battery_life_years_why,omitempty"`
}

type sizeDropped struct {
	PanelW float64 `json:"panel_w"`
	Why    string  `json:"why"`
}

// sizeChosen is the pair to buy. The figures are those with cut-off and
// reconnect; WithoutCutOff is the same size without them.
type sizeChosen struct {
	sizePair
	Figures       balanceFigures `json:"with_cut_off"`
	WithoutCutOff balanceFigures `json:"without_cut_off"`
	ChargeAh      *float64       `json:"battery_on_sale_ah"`
	Voltage       float64        `json:"battery_v"`
	Rule          string         `json:"rule"`
}

type sizeWould struct {
	PanelW        *float64 `json:"best_panel_w"`
	PanelWhy      string   `json:"best_panel_w_why,omitempty"`
	BatteryWh     float64  `json:"best_battery_wh"`
	Unmet         float64  `json:"best_unmet_fraction"`
	NeedPanelW    *float64 `json:"panel_w"`
	NeedPanelWh   *float64 `json:"panel_battery_wh"`
	NeedBatteryWh *float64 `json:"battery_wh"`
	LoadShare     *float64 `json:"load_fraction"`
	StopMonths    []int    `json:"stop_months"`
	MonthsOff     []int    `json:"months_off"`
	Why           string   `json:"why"` // of what is null
}

type sizeSpread struct {
	Seeds       []int      `json:"seeds"`
	BatteryWh   []*float64 `json:"battery_wh"` // least for the chosen panel; null: none is enough
	LowWh       *float64   `json:"low_battery_wh"`
	HighWh      *float64   `json:"high_battery_wh"`
	BuyWh       []*float64 `json:"buy_wh"` // for the chosen panel, with cut-off and reconnect; null: none is enough
	BuyLowWh    *float64   `json:"low_buy_wh"`
	BuyLowWhy   string     `json:"low_buy_wh_why,omitempty"`
	BuyHighWh   *float64   `json:"high_buy_wh"`
	BuyHighWhy  string     `json:"high_buy_wh_why,omitempty"`
	Misses      int        `json:"seeds_that_miss_the_target"`
	Unmet       []float64  `json:"unmet_fraction"` // of the size bought
	LongestStop []int      `json:"longest_stop_h"`
	WorstYear   []int      `json:"worst_year_stop_hours"`
}

type sizeAsSource struct {
	BatteryWh   *float64 `json:"battery_wh"`
	Unmet       float64  `json:"unmet_fraction"`
	LongestStop int      `json:"longest_stop_h"`
}

type handbookObject struct {
	AutonomyDays   *float64       `json:"autonomy_days"`
	AutonomyWhy    string         `json:"autonomy_days_why,omitempty"`
	ArrayToLoad    *float64       `json:"array_to_load"`
	ArrayToLoadWhy string         `json:"array_to_load_why,omitempty"`
	EnergyRatio    *float64       `json:"energy_ratio"`
	EnergyRatioWhy string         `json:"energy_ratio_why,omitempty"`
	Asked          *handbookAsked `json:"asked_autonomy_days"`
	AskedWhy       string         `json:"asked_autonomy_days_why,omitempty"`
	Why            string         `json:"why"`
}

type handbookAsked struct {
	Critical    float64 `json:"critical"`
	NonCritical float64 `json:"non_critical"`
	Masters99   float64 `json:"availability_99"`
	Masters95   float64 `json:"availability_95"`
}

func (v *sizeView) pair(p energy.Pair, onSale float64, run energy.Balance) sizePair {
	out := sizePair{PanelW: &p.PanelW, BatteryWh: p.BatteryWh, OnSaleWh: bounded(onSale), Unmet: run.UnmetFraction(), LongestStop: run.Stops.LongestHours,
		LifeYears: bounded(p.Life.Years())}
	if v.unknownWatts() {
		out.PanelW, out.PanelWhy = nil, noWattsWhy
	}
	if out.OnSaleWh == nil {
		out.OnSaleWhy = "no size on sale is large enough"
	}
	if out.LifeYears == nil {
		out.LifeWhy = "the kind's row gives neither cycles nor years"
	}
	switch {
	case p.Price.Known && p.PerYear.Known:
		out.Price, out.CostPerYear = bounded(float64(p.Price.Value)), bounded(float64(p.PerYear.Value))
	case v.size.PriceWhy != "":
		out.PriceWhy, out.CostWhy = v.size.PriceWhy, v.size.PriceWhy
	default:
		out.PriceWhy, out.CostWhy = out.OnSaleWhy, out.OnSaleWhy
	}
	return out
}

// noWattsWhy is the reason where the panel is a log's of unknown watts.
const noWattsWhy = "the watts of the measured panel are not given (--panel)"

// unknownWatts reports whether the panel is a log's of unknown watts.
func (v *sizeView) unknownWatts() bool { return v.storage.Measured && v.in.Plan.Panel.Watts == nil }

func (v *sizeView) object() sizeObject {
	z := v.size
	o := sizeObject{Demo: v.in.demo, Target: v.target(), Front: []sizePair{}, Dropped: []sizeDropped{}, Passes: z.Front.Passes,
		RecordHours: v.storage.Record.Hours(), Battery: newBatteryObject(v.storage)}
	for _, p := range z.Front.Pairs {
		o.Front = append(o.Front, v.pair(p, p.OnSaleWh, p.Free))
	}
	for _, d := range z.Front.Dropped {
		o.Dropped = append(o.Dropped, sizeDropped{d.PanelW, d.Why})
	}
	o.Panel, o.Site, o.SiteWhy = skyObjects(v.storage)
	sheet := v.charging()
	o.ChargeLimit, o.LimitWhy = known(sheet.ChargeLimit, 1), sheet.ChargeLimit.Why
	o.Controller, o.CurrentWhy, o.ChargeFuse, o.FuseWhy = known(sheet.ControllerCurrent, 1), sheet.ControllerCurrent.Why, known(sheet.ChargeFuse, 1), sheet.ChargeFuse.Why
	kept := figure.Unknown[energy.Balance](frostIsGiven)
	if n := z.Nothing; n != nil {
		kept = figure.Unknown[energy.Balance](n.Error())
		z.Outdoors = kept
	} else if v.storage.Outdoors() != nil {
		kept = figure.Known(z.Front.Chosen.Connected)
	}
	o.Frost, o.FrostWhy = newFrost(v.storage.Frost, v.storage.Outdoors() != nil, z.Outdoors, kept)
	if n := z.Nothing; n != nil {
		o.ChosenWhy = n.Error()
		o.WouldReach = newSizeWould(n)
		o.PatientWhy = o.ChosenWhy
		o.SpreadWhy, o.AsSourceWhy, o.HandbookWhy, o.IndoorsWhy = o.ChosenWhy, o.ChosenWhy, o.ChosenWhy, o.ChosenWhy
		o.LoadKWh = n.Best.PerYear(n.Best.LoadWh) / 1000
		return o
	}
	v.chosen(&o)
	return o
}

func newSizeWould(n *energy.NothingReaches) *sizeWould {
	o := &sizeWould{PanelW: &n.PanelW, BatteryWh: n.BatteryWh, Unmet: n.Best.UnmetFraction(), NeedPanelW: positive(n.NeedPanelW), NeedPanelWh: positive(n.NeedPanelWh),
		NeedBatteryWh: positive(n.NeedBatteryWh), LoadShare: positive(n.LoadShare), StopMonths: calendar(n.StopMonths), MonthsOff: calendar(n.MonthsOff),
		Why: "what is null, and months_off where empty, would not reach the target either"}
	if n.Multiples {
		o.PanelW, o.PanelWhy = nil, noWattsWhy
		o.NeedPanelW = nil
	}
	return o
}

// calendar returns months 0 to 11 as 1 to 12, never nil.
func calendar(months []int) []int {
	out := make([]int, len(months))
	for i, m := range months {
		out[i] = m + 1
	}
	return out
}

// chosen fills in the choice and what stands beside it.
func (v *sizeView) chosen(o *sizeObject) {
	z := v.size
	c := z.Front.Chosen
	voltage := float64(v.storage.BatteryVoltage())
	ah := c.BoughtWh / voltage
	o.Chosen = &sizeChosen{sizePair: v.pair(c.Pair, c.BoughtWh, c.Connected), Figures: newBalanceFigures(c.Connected), WithoutCutOff: newBalanceFigures(c.Bought),
		Voltage: voltage, ChargeAh: bounded(ah), Rule: z.Front.Rule}
	o.LoadKWh = o.Chosen.Figures.LoadKWh
	o.SpreadWhy, o.AsSourceWhy = z.Spread.Why, z.AsSource.Why
	o.Patient, o.PatientWhy = newPatient(z.Patient)
	o.IndoorsWh, o.IndoorsWhy = known(z.IndoorsWh, 1), z.IndoorsWh.Why
	if z.Spread.Known {
		o.Spread = newSizeSpread(z.Seeds, z.Spread.Value)
	}
	if s := z.AsSource; s.Known {
		run := s.Value.Bought[0]
		o.AsSource = &sizeAsSource{bounded(s.Value.LeastWh[0]), run.UnmetFraction(), run.Stops.LongestHours}
	}
	h := z.Handbook
	o.Handbook = &handbookObject{AutonomyDays: known(h.AutonomyDays, 1), AutonomyWhy: h.AutonomyDays.Why, EnergyRatioWhy: h.EnergyRatio.Why, AskedWhy: h.Asked.Why,
		ArrayToLoad: known(h.ArrayToLoad, 1), ArrayToLoadWhy: h.ArrayToLoad.Why, EnergyRatio: known(h.EnergyRatio, 1), Why: h.Why}
	if a := h.Asked; a.Known {
		o.Handbook.Asked = &handbookAsked{a.Value.Critical, a.Value.NonCritical, a.Value.Masters99, a.Value.Masters95}
	}
}

func newSizeSpread(seeds []int, s energy.Spread) *sizeSpread {
	o := &sizeSpread{Seeds: seeds, Misses: s.Misses}
	for i, wh := range s.LeastWh {
		o.BatteryWh = append(o.BatteryWh, bounded(wh))
		o.BuyWh = append(o.BuyWh, bounded(s.BuyWh[i]))
		o.Unmet = append(o.Unmet, s.Bought[i].UnmetFraction())
		o.LongestStop = append(o.LongestStop, s.Bought[i].Stops.LongestHours)
		o.WorstYear = append(o.WorstYear, s.Bought[i].WorstYear.Hours)
	}
	low, high := s.Range()
	o.LowWh, o.HighWh = bounded(low.In(units.WattHour)), bounded(high.In(units.WattHour))
	low, high = s.BuyRange()
	o.BuyLowWh, o.BuyHighWh = bounded(low.In(units.WattHour)), bounded(high.In(units.WattHour))
	const none = "no battery is enough with this panel in some of the weathers"
	if o.BuyLowWh == nil {
		o.BuyLowWhy = none
	}
	if o.BuyHighWh == nil {
		o.BuyHighWhy = none
	}
	return o
}

func (v *sizeView) target() sizeTarget {
	z := v.size
	t := sizeTarget{Unmet: &z.Options.Unmet, UnmetFlowWhy: "the target is a share of the energy"}
	if z.ByWater {
		t.Unmet, t.UnmetWhy = nil, "the target is a share of the year's water"
		t.UnmetFlow, t.UnmetFlowWhy = &z.Target, ""
	}
	if s := z.Options.LongestStop; s.Known {
		t.LongestStop, t.LongestStopWhy = &s.Value, z.LongestWhy
	} else {
		t.LongestStopWhy = s.Why
	}
	return t
}
