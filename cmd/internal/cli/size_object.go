package cli

import (
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
)

// sizeObject is what size prints as JSON.
type sizeObject struct {
	Demo        bool                           `json:"demo"`
	Target      sizeTarget                     `json:"target"`
	Front       []sizePair                     `json:"front"`
	Dropped     []battery.Dropped              `json:"dropped"`
	Chosen      figure.Maybe[sizeChosen]       `json:"chosen"`
	WouldReach  *sizeWould                     `json:"would_reach,omitempty"`
	Spread      figure.Maybe[sizeSpread]       `json:"spread"`
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

type sizeTarget struct {
	Unmet       figure.Maybe[float64] `json:"unmet_fraction"` // of the energy
	UnmetFlow   figure.Maybe[float64] `json:"unmet_flow_fraction"`
	LongestStop figure.Maybe[int]     `json:"longest_stop_h"`
}

// sizePair is one pair of the front, run without cut-off and reconnect.
type sizePair struct {
	PanelW      figure.Maybe[float64]     `json:"panel_w"`
	BatteryWh   float64                   `json:"battery_wh"`
	OnSaleWh    figure.Maybe[float64]     `json:"battery_on_sale_wh"`
	Unmet       float64                   `json:"unmet_fraction"`
	LongestStop int                       `json:"longest_stop_h"`
	Price       figure.Maybe[money.Money] `json:"price"`
	CostPerYear figure.Maybe[money.Money] `json:"cost_per_year"`
	LifeYears   figure.Maybe[float64]     `json:"battery_life_years"`
}

// sizeChosen is the pair to buy. The figures are those with cut-off and
// reconnect; WithoutCutOff is the same size without them.
type sizeChosen struct {
	sizePair
	Figures       balanceFigures        `json:"with_cut_off"`
	WithoutCutOff balanceFigures        `json:"without_cut_off"`
	ChargeAh      figure.Maybe[float64] `json:"battery_on_sale_ah"`
	Voltage       float64               `json:"battery_v"`
	Rule          string                `json:"rule"`
}

type sizeWould struct {
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

// sizeSpread holds a figure for each seed; one that is not known: none is enough.
type sizeSpread struct {
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

func (v *sizeView) pair(p battery.Pair, onSale float64, run battery.Balance) sizePair {
	why := v.size.PriceWhy
	if why == "" {
		why = noneOnSale
	}
	priced := p.Price.Known && p.PerYear.Known
	return sizePair{v.watts(p.PanelW), p.BatteryWh, figure.Finite(onSale, noneOnSale), run.UnmetFraction(), run.Stops.LongestHours,
		figure.Given(priced, p.Price.Value, why), figure.Given(priced, p.PerYear.Value, why), figure.Finite(p.Life.Years(), "the kind's row gives neither cycles nor years")}
}

// noneOnSale is the reason where no battery of the plan's list is large enough.
const noneOnSale = "no battery on sale is large enough"

// watts returns those of a panel, unknown where it is a log's of unknown watts.
func (v *sizeView) watts(w float64) figure.Maybe[float64] {
	return figure.Given(!v.unknownWatts(), w, "the watts of the measured panel are not given (--panel)")
}

// unknownWatts reports whether the panel is a log's of unknown watts.
func (v *sizeView) unknownWatts() bool { return v.storage.Measured && v.in.Plan.Panel.Watts == nil }

func (v *sizeView) object() sizeObject {
	z, sheet := v.size, v.charging()
	o := sizeObject{Demo: v.in.demo, Target: v.target(), Dropped: z.Front.Dropped, Passes: z.Front.Passes, RecordHours: v.storage.Record.Hours(),
		storageObject: newStorageObject(v.storage), Controller: sheet.ControllerCurrent, ChargeLimit: sheet.ChargeLimit, ChargeFuse: sheet.ChargeFuse}
	for _, p := range z.Front.Pairs {
		o.Front = append(o.Front, v.pair(p, p.OnSaleWh, p.Free))
	}
	kept := figure.Unknown[battery.Balance](frostIsGiven)
	if n := z.Nothing; n != nil {
		kept = figure.Unknown[battery.Balance](n.Error())
		z.Outdoors = kept
	} else if v.storage.Outdoors() != nil {
		kept = figure.Known(z.Front.Chosen.Connected)
	}
	o.Frost = newFrost(v.storage.Frost, v.storage.Outdoors() != nil, z.Outdoors, kept)
	if n := z.Nothing; n != nil {
		why := n.Error()
		o.Chosen, o.Spread, o.AsSource = figure.Unknown[sizeChosen](why), figure.Unknown[sizeSpread](why), figure.Unknown[sizeAsSource](why)
		o.IndoorsWh, o.Patient, o.Handbook = figure.Unknown[float64](why), figure.Unknown[patientObject](why), figure.Unknown[battery.Handbook](why)
		o.WouldReach, o.LoadKWh = v.would(n), n.Best.PerYear(n.Best.LoadWh)/1000
		return o
	}
	v.chosen(&o)
	return o
}

func (v *sizeView) would(n *battery.NothingReaches) *sizeWould {
	const why = "what is null, and months_off where empty, would not reach the target either"
	o := &sizeWould{v.watts(n.PanelW), n.BatteryWh, n.Best.UnmetFraction(), figure.Positive(n.NeedPanelW, why), figure.Positive(n.NeedPanelWh, why),
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
func (v *sizeView) chosen(o *sizeObject) {
	z := v.size
	c := z.Front.Chosen
	voltage := float64(v.storage.BatteryVoltage())
	with := newBalanceFigures(c.Connected)
	o.Chosen = figure.Known(sizeChosen{v.pair(c.Pair, c.BoughtWh, c.Connected), with, newBalanceFigures(c.Bought), figure.Finite(c.BoughtWh/voltage, "the battery's voltage is not known"), voltage, z.Front.Rule})
	o.LoadKWh, o.Patient, o.IndoorsWh, o.Handbook = with.LoadKWh, newPatient(z.Patient), z.IndoorsWh, figure.Known(z.Handbook)
	o.Spread = figure.Then(z.Spread, func(s battery.Spread) sizeSpread { return newSizeSpread(z.Seeds, s) })
	o.AsSource = figure.Then(z.AsSource, func(s battery.Spread) sizeAsSource {
		return sizeAsSource{figure.Finite(s.LeastWh[0], noneEnough), s.Bought[0].UnmetFraction(), s.Bought[0].Stops.LongestHours}
	})
}

// noneEnough is the reason where no battery carries the load with the panel chosen.
const noneEnough = "no battery is enough with this panel"

func newSizeSpread(seeds []int, s battery.Spread) sizeSpread {
	o := sizeSpread{Seeds: seeds, Misses: s.Misses}
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

func (v *sizeView) target() sizeTarget {
	z := v.size
	t := sizeTarget{figure.Given(!z.ByWater, z.Options.Unmet, "the target is a share of the year's water"),
		figure.Given(z.ByWater, z.Target, "the target is a share of the energy"), z.Options.LongestStop}
	if t.LongestStop.Known {
		t.LongestStop.Why = z.LongestWhy
	}
	return t
}
