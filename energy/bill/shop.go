package bill

import (
	"math"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/money"
)

// Shop is what is on sale and what it costs. The zero value gives away panels and
// batteries of any size.
type Shop struct {
	Panels      []units.Power // of one panel; nil: of any size
	PanelSeries int           // panels in a string; 0 is 1
	Measured    bool          // the panel is a measured one of unknown watts

	Batteries []Unit
	UnitV     units.Voltage         // nominal, of one battery
	OnlyWh    figure.Maybe[float64] // the one battery there is, whatever else is on sale
	// What is there already has no price; a year's cost keeps that of buying it again.
	OwnPanel, OwnBattery bool
	// LeastPerWatt is the battery that a watt of panel needs at least, to take a current
	// that nothing holds back [Wh nominal/W].
	LeastPerWatt float64

	Volts       []units.Voltage // nominal voltages to choose from, rising; nil: it does not matter
	Series      []int           // panels in a string at each of Volts, multiples of PanelSeries; nil: PanelSeries
	OpenV       units.Voltage   // of one panel in the cold; 0: not known
	Controllers []Controller    // those that stand the panel's voltage, by rising current; nil: none is needed
	// PerAmpere is the panel that one ampere of controller may have at a volt of
	// battery [W/(A V)], or where PWM is set at any voltage [W/A].
	PerAmpere float64
	PWM       bool

	PerWatt, MountingPerWatt, PerWh money.Money
	PerController, PerAmp           money.Money // each; PerAmp where PerController is 0
	Inverter, Extra                 money.Money // Extra comes with any panel
	PanelLife, ControllerLife       float64     // years
	InverterLife                    float64
	BatteryLife                     float64    // that a battery is paid off over at most; 0: as long as it lasts
	Rate                            float64    // at which money is discounted
	NoMoney                         units.Text // why prices are only relative; "": they are money
}

// Unit is one battery on sale, by its energy or by its charge.
type Unit struct {
	Energy units.Energy
	Charge units.Charge
}

// Controller is one charge controller on sale. What is 0 has no limit.
type Controller struct {
	Current units.Current // towards the battery
	Voltage units.Voltage // the largest open-circuit one that it stands
	Power   units.Power   // rated output at nominalV of battery; at another it follows the voltage
}

// nominalV is the battery that makers rate a controller's watts at, its lowest [V]
// (common practice, no source).
const nominalV = 12

// steps of sizes where none are listed [Wh].
const anyStep = 10

// Oversize is how many times its output a controller's panel may have: what a panel
// gives above that in rare hours is lost (common practice, no source).
const Oversize = 1.3

// string returns nominal size [Wh] and number of the batteries that come to a voltage in
// series. A voltage below its own is that of one made for it.
func (u Unit) string(volts, unit units.Voltage) (wh float64, series int) {
	if series = 1; unit > 0 {
		series = max(1, int(math.Round(float64(volts/unit))))
	}
	if u.Charge > 0 {
		return units.Energy(float64(u.Charge) * float64(volts)).In(units.WattHour), series
	}
	return float64(series) * u.Energy.In(units.WattHour), series
}

// OnSale returns the least nominal size of at least wh that a battery for a panel [W] can
// be bought in [Wh]: batteries in series, then in parallel; +Inf: none.
func (s *Shop) OnSale(panelW, wh float64) float64 {
	wh = max(wh, panelW*s.LeastPerWatt)
	if s.OnlyWh.Known {
		if s.OnlyWh.Value >= wh*(1-1e-9) {
			return s.OnlyWh.Value
		}
		return math.Inf(1)
	}
	if len(s.Batteries) == 0 {
		return math.Ceil(wh/anyStep-1e-9) * anyStep
	}
	volts, _, _, _ := s.system(panelW)
	least, largest := math.Inf(1), 0.0
	for _, u := range s.Batteries {
		one, _ := u.string(volts, s.UnitV)
		largest = max(largest, one)
	}
	for _, u := range s.Batteries {
		one, _ := u.string(volts, s.UnitV)
		if n := math.Ceil(wh/one - 1e-9); n <= mostParallel || one == largest {
			least = min(least, n*one)
		}
	}
	return least
}

// Listed reports whether not every size of battery is on sale.
func (s *Shop) Listed() bool { return s.OnlyWh.Known || len(s.Batteries) > 0 }

// mostParallel is how many strings of batteries stand in parallel at most where larger
// ones are on sale: more do not share their current evenly (common practice, no source).
const mostParallel = 4

// Strings returns the sizes of which any number makes a panel [W], rising; nil: any size.
func (s *Shop) Strings() (w []float64) {
	for _, p := range s.Panels {
		w = append(w, float64(p)*float64(s.series()))
	}
	slices.Sort(w)
	return slices.Compact(w)
}

func (s *Shop) series() int { return max(1, s.PanelSeries) }

// string returns the largest string of panels of which a whole number makes so many
// watts, and that number; 0 where there is none.
func (s *Shop) string(panelW float64) (w float64, k int) {
	for _, p := range s.Panels {
		one := float64(p) * float64(s.series())
		if n := math.Round(panelW / one); n >= 1 && one > w && math.Abs(n*one-panelW) <= 1e-6*one {
			w, k = one, int(n)
		}
	}
	return w, k
}

// system returns the lowest voltage at which the fewest controllers carry a panel [W], the
// panels in a string there, the controllers' number and the smallest that do; -1 where none
// on sale take it.
func (s *Shop) system(panelW float64) (volts units.Voltage, series, n int, one Controller) {
	if len(s.Volts) == 0 {
		return 0, s.series(), 0, Controller{}
	}
	volts, series, n = s.Volts[0], s.seriesAt(0), -1
	for i, v := range s.Volts {
		if k, c := s.carry(panelW, i); k >= 0 && (n < 0 || k < n) {
			volts, series, n, one = v, s.seriesAt(i), k, c
		}
	}
	return volts, series, n, one
}

// seriesAt returns the panels in a string at a voltage of Volts.
func (s *Shop) seriesAt(i int) int {
	if s.Series == nil {
		return s.series()
	}
	return s.Series[i]
}

// carry returns how many controllers a panel [W] takes at a voltage of Volts, and the
// smallest of that number; -1 where none do.
func (s *Shop) carry(panelW float64, at int) (int, Controller) {
	if s.Controllers == nil || panelW == 0 {
		return 0, Controller{}
	}
	v, series := s.Volts[at], s.seriesAt(at)
	stand := make([]Controller, 0, len(s.Controllers))
	largest := 0.0
	for _, c := range s.Controllers {
		if c.Voltage == 0 || units.Voltage(series)*s.OpenV <= c.Voltage {
			stand, largest = append(stand, c), max(largest, s.limit(c, v))
		}
	}
	if len(stand) == 0 {
		return -1, Controller{}
	}
	least := func(w float64) Controller {
		return stand[max(0, slices.IndexFunc(stand, func(c Controller) bool { return s.limit(c, v) >= w*(1-1e-9) }))]
	}
	one, k := s.string(panelW)
	if k == 0 { // any part of it can be had
		n := max(1, math.Ceil(panelW/largest-1e-9))
		return int(n), least(panelW / n)
	}
	longer := series / s.series()
	if k%longer != 0 {
		return -1, Controller{}
	}
	one, k = one*float64(longer), k/longer
	each := math.Floor(min(largest/one, float64(k)) + 1e-9)
	if each < 1 {
		return -1, Controller{}
	}
	n := math.Ceil(float64(k) / each)
	return int(n), least(math.Ceil(float64(k)/n) * one)
}

// limit returns the largest panel that a controller takes [W].
func (s *Shop) limit(c Controller, v units.Voltage) float64 {
	most := math.Inf(1)
	if c.Power > 0 {
		most = Oversize * float64(c.Power) * float64(v) / nominalV
	}
	if c.Current > 0 {
		perAmp := s.PerAmpere
		if !s.PWM {
			perAmp *= float64(v)
		}
		most = min(most, perAmp*float64(c.Current))
	}
	return most
}
