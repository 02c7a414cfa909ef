package page

import (
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
)

// sizeObject is what size prints as JSON.
type sizeObject struct {
	Demo        bool                           `json:"demo"`
	Target      SizeTarget                     `json:"target"`
	Front       []SizePair                     `json:"front"`
	Dropped     []battery.Dropped              `json:"dropped"`
	Chosen      figure.Maybe[SizeChosen]       `json:"chosen"`
	WouldReach  *SizeWould                     `json:"would_reach,omitempty"`
	Spread      figure.Maybe[SizeSpread]       `json:"spread"`
	AsSource    figure.Maybe[sizeAsSource]     `json:"with_the_source_as_it_is"`
	IndoorsWh   figure.Maybe[float64]          `json:"battery_indoors_wh"` // least for the chosen panel at 15 °C
	Patient     figure.Maybe[patientObject]    `json:"with_longer_stops"`
	Frost       figure.Maybe[frostObject]      `json:"frost"`
	Handbook    figure.Maybe[battery.Handbook] `json:"handbook"`
	Controller  figure.Maybe[units.Current]    `json:"controller_a"`
	ChargeLimit figure.Maybe[units.Current]    `json:"charge_limit_a"`
	ChargeFuse  figure.Maybe[units.Current]    `json:"charge_fuse_a"`
	LoadKWh     float64                        `json:"load_kwh_per_year"`
	RecordHours int                            `json:"record_hours"`
	Passes      int                            `json:"passes"`
	storageObject
}

// SizeTarget is what a size has to meet.
type SizeTarget struct {
	Unmet       figure.Maybe[float64] `json:"unmet_fraction"` // of the energy
	UnmetFlow   figure.Maybe[float64] `json:"unmet_flow_fraction"`
	LongestStop figure.Maybe[int]     `json:"longest_stop_h"`
}

// SizePair is one pair of the front, run without cut-off and reconnect.
type SizePair struct {
	PanelW      figure.Maybe[float64]     `json:"panel_w"`
	BatteryWh   float64                   `json:"battery_wh"`
	OnSaleWh    figure.Maybe[float64]     `json:"battery_on_sale_wh"`
	Unmet       float64                   `json:"unmet_fraction"`
	LongestStop int                       `json:"longest_stop_h"`
	Price       figure.Maybe[money.Money] `json:"price"`
	CostPerYear figure.Maybe[money.Money] `json:"cost_per_year"`
	LifeYears   figure.Maybe[float64]     `json:"battery_life_years"`
}

// SizeChosen is the pair to buy. The figures are those with cut-off and
// reconnect; WithoutCutOff is the same size without them.
type SizeChosen struct {
	SizePair
	Figures       BalanceFigures        `json:"with_cut_off"`
	WithoutCutOff BalanceFigures        `json:"without_cut_off"`
	ChargeAh      figure.Maybe[float64] `json:"battery_on_sale_ah"`
	Voltage       float64               `json:"battery_v"`
	Rule          string                `json:"rule"`
}

// SizeWould is what would reach a target that nothing on sale does.
type SizeWould struct {
	PanelW        figure.Maybe[float64] `json:"best_panel_w"`
	BatteryWh     float64               `json:"best_battery_wh"`
	Unmet         float64               `json:"best_unmet_fraction"`
	NeedPanelW    figure.Maybe[float64] `json:"panel_w"`
	NeedPanelWh   figure.Maybe[float64] `json:"panel_battery_wh"`
	NeedBatteryWh figure.Maybe[float64] `json:"battery_wh"`
	LoadShare     figure.Maybe[float64] `json:"load_fraction"`
	StopMonths    []int                 `json:"stop_months"`
	MonthsOff     []int                 `json:"months_off"`
	Why           string                `json:"why"` // of what is null
}

// spreadEnds are the least and the largest of sizeSpread.
type spreadEnds struct {
	LeastWh [2]figure.Maybe[float64] `json:"battery_wh"`
	Buy     [2]figure.Maybe[float64] `json:"buy_wh"`
}

// SizeSpread holds a figure for each seed; one that is not known: none is enough.
type SizeSpread struct {
	spreadEnds
	Seeds       []int                   `json:"seeds"`
	BatteryWh   []figure.Maybe[float64] `json:"battery_wh"` // least for the chosen panel
	BuyWh       []figure.Maybe[float64] `json:"buy_wh"`     // for the chosen panel, with cut-off and reconnect
	Misses      int                     `json:"seeds_that_miss_the_target"`
	Unmet       []float64               `json:"unmet_fraction"` // of the size bought
	LongestStop []int                   `json:"longest_stop_h"`
	WorstYear   []int                   `json:"worst_year_stop_hours"`
}

type sizeAsSource struct {
	BatteryWh   figure.Maybe[float64] `json:"battery_wh"`
	Unmet       float64               `json:"unmet_fraction"`
	LongestStop int                   `json:"longest_stop_h"`
}

func (v *SizeView) pair(p battery.Pair, onSale float64, run battery.Balance) SizePair {
	why := v.Size.PriceWhy
	if why == "" {
		why = noneOnSale
	}
	priced := p.Price.Known && p.PerYear.Known
	return SizePair{v.watts(p.PanelW), p.BatteryWh, figure.Finite(onSale, noneOnSale), run.UnmetFraction(), run.Stops.LongestHours,
		figure.Given(priced, p.Price.Value, why), figure.Given(priced, p.PerYear.Value, why), figure.Finite(p.Life.Years(), "the kind's row gives neither cycles nor years")}
}

// noneOnSale is the reason where no battery of the plan's list is large enough.
const noneOnSale = "no battery on sale is large enough"

// watts returns those of a panel, unknown where it is a log's of unknown watts.
func (v *SizeView) watts(w float64) figure.Maybe[float64] {
	return figure.Given(!v.unknownWatts(), w, "the watts of the measured panel are not given (--panel)")
}

// unknownWatts reports whether the panel is a log's of unknown watts.
func (v *SizeView) unknownWatts() bool { return v.Storage.Measured && v.In.Plan.Panel.Watts == nil }

func (v *SizeView) object() sizeObject {
	z, sheet := v.Size, v.charging()
	o := sizeObject{Demo: v.In.Demo, Target: v.target(), Dropped: z.Front.Dropped, Passes: z.Front.Passes, RecordHours: v.Storage.Record.Hours(),
		storageObject: newStorageObject(v.Storage), Controller: sheet.ControllerCurrent, ChargeLimit: sheet.ChargeLimit, ChargeFuse: sheet.ChargeFuse}
	for _, p := range z.Front.Pairs {
		o.Front = append(o.Front, v.pair(p, p.OnSaleWh, p.Free))
	}
	kept := figure.Unknown[battery.Balance](FrostIsGiven)
	if n := z.Nothing; n != nil {
		kept = figure.Unknown[battery.Balance](n.Error())
		z.Outdoors = kept
	} else if v.Storage.Outdoors() != nil {
		kept = figure.Known(z.Front.Chosen.Connected)
	}
	o.Frost = newFrost(v.Storage.Frost, v.Storage.Outdoors() != nil, z.Outdoors, kept)
	if n := z.Nothing; n != nil {
		why := n.Error()
		o.Chosen, o.Spread, o.AsSource = figure.Unknown[SizeChosen](why), figure.Unknown[SizeSpread](why), figure.Unknown[sizeAsSource](why)
		o.IndoorsWh, o.Patient, o.Handbook = figure.Unknown[float64](why), figure.Unknown[patientObject](why), figure.Unknown[battery.Handbook](why)
		o.WouldReach, o.LoadKWh = v.would(n), n.Best.PerYear(n.Best.LoadWh)/1000
		return o
	}
	v.chosen(&o)
	return o
}

func (v *SizeView) would(n *battery.NothingReaches) *SizeWould {
	const why = "what is null, and months_off where empty, would not reach the target either"
	o := &SizeWould{v.watts(n.PanelW), n.BatteryWh, n.Best.UnmetFraction(), figure.Positive(n.NeedPanelW, why), figure.Positive(n.NeedPanelWh, why),
		figure.Positive(n.NeedBatteryWh, why), figure.Positive(n.LoadShare, why), calendar(n.StopMonths), calendar(n.MonthsOff), why}
	if n.Multiples {
		o.NeedPanelW = o.PanelW
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
func (v *SizeView) chosen(o *sizeObject) {
	z := v.Size
	c := z.Front.Chosen
	voltage := float64(v.Storage.BatteryVoltage())
	with := newBalanceFigures(c.Connected)
	o.Chosen = figure.Known(SizeChosen{v.pair(c.Pair, c.BoughtWh, c.Connected), with, newBalanceFigures(c.Bought), figure.Finite(c.BoughtWh/voltage, "the battery's voltage is not known"), voltage, z.Front.Rule})
	o.LoadKWh, o.Patient, o.IndoorsWh, o.Handbook = with.LoadKWh, newPatient(z.Patient), z.IndoorsWh, figure.Known(z.Handbook)
	o.Spread = figure.Then(z.Spread, func(s battery.Spread) SizeSpread { return newSizeSpread(z.Seeds, s) })
	o.AsSource = figure.Then(z.AsSource, func(s battery.Spread) sizeAsSource {
		return sizeAsSource{figure.Finite(s.LeastWh[0], noneEnough), s.Bought[0].UnmetFraction(), s.Bought[0].Stops.LongestHours}
	})
}

// noneEnough is the reason where no battery carries the load with the panel chosen.
const noneEnough = "no battery is enough with this panel"

func newSizeSpread(seeds []int, s battery.Spread) SizeSpread {
	o := SizeSpread{Seeds: seeds, Misses: s.Misses}
	for i, wh := range s.LeastWh {
		o.BatteryWh = append(o.BatteryWh, figure.Finite(wh, noneEnough))
		o.BuyWh = append(o.BuyWh, figure.Finite(s.BuyWh[i], noneEnough))
		o.Unmet = append(o.Unmet, s.Bought[i].UnmetFraction())
		o.LongestStop = append(o.LongestStop, s.Bought[i].Stops.LongestHours)
		o.WorstYear = append(o.WorstYear, s.Bought[i].WorstYear.Hours)
	}
	ends := func(low, high units.Energy) [2]figure.Maybe[float64] {
		const none = "no battery is enough with this panel in some of the weathers"
		return [2]figure.Maybe[float64]{figure.Finite(low.In(units.WattHour), none), figure.Finite(high.In(units.WattHour), none)}
	}
	o.spreadEnds = spreadEnds{ends(s.Range()), ends(s.BuyRange())}
	return o
}

func (v *SizeView) target() SizeTarget {
	z := v.Size
	t := SizeTarget{figure.Given(!z.ByWater, z.Options.Unmet, "the target is a share of the year's water"),
		figure.Given(z.ByWater, z.Target, "the target is a share of the energy"), z.Options.LongestStop}
	if t.LongestStop.Known {
		t.LongestStop.Why = z.LongestWhy
	}
	return t
}
