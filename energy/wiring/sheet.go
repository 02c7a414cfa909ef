package wiring

import (
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/bill"
	"sunrill/energy/supply"
)

// InstallerSpec is what the figures for an installer are made from. What is
// not known stays 0.
type InstallerSpec struct {
	MPPT         bool
	Panel        units.Power
	Working      units.Voltage // of the panel, in series as wired
	HotWorking   units.Voltage // likewise, in the hottest cells
	OpenCircuit  units.Voltage // likewise
	ShortCircuit units.Current // of one module
	ModuleFuse   units.Current // the largest in series with one module, on its label
	Strings      int           // in parallel; 0 is 1
	PanelRun     units.Length  // of the cable from panel to controller, one way
	PanelCable   *supply.Conductor
	Controllers  int           // 0 is 1
	Controller   units.Current // rated output of each

	Coldest     units.Temperature // of the panel's cells
	Air         units.Temperature // about the conductors in the hottest month
	Battery     data.BatteryVolts
	Lithium     bool
	Load        units.Power // the largest continuous one at the battery terminals
	Follows     bool        // it grows with the battery's voltage
	LoadVoltage units.Voltage
	LoadCurrent units.Current     // in the cable to the pump, on the pump's side of an inverter
	Run         units.Length      // of that cable, one way
	Cable       *supply.Conductor // the one there is; nil where it is to be chosen

	ACPump        units.Power  // running watts on an inverter
	PowerFactor   float64      // of that pump
	InverterRated units.Power  // its continuous output
	InverterShare float64      // its efficiency
	Capacity      units.Charge // of the battery
	ChargeRate    float64      // largest charging as a share of Capacity an hour; 0: no limit
}

// InstallerSheet holds figures to hand to a licensed person. They are no
// instructions, and local rules and the makers' sheets go before them.
type InstallerSheet struct {
	Air               figure.Maybe[units.Temperature] `json:"ambient_c"` // by which conductors are rated
	Absorption        figure.Maybe[units.Voltage]     `json:"absorption_v"`
	Highest           figure.Maybe[units.Voltage]     `json:"highest_v"` // that what hangs on the battery has to stand
	CutOff            figure.Maybe[units.Voltage]     `json:"cut_off_v"`
	Controllers       int                             `json:"controllers"`
	ControllerCurrent figure.Maybe[units.Current]     `json:"controller_a"`   // of each: rated output of MPPT, else what PWM must carry
	ChargeLimit       figure.Maybe[units.Current]     `json:"charge_limit_a"` // what the battery takes; the load's current comes on top
	Limited           bool                            `json:"-"`              // the controllers could give more than ChargeLimit
	MPPT              bool                            `json:"-"`              // they can be set to it
	PVFuse            figure.Maybe[units.Current]     `json:"panel_fuse_a"`   // of one string
	Backfeed          figure.Maybe[units.Current]     `json:"string_backfeed_a"`
	StringFuses       figure.Maybe[bool]              `json:"string_fuses"` // each string needs its own
	ColdVoltage       figure.Maybe[units.Voltage]     `json:"cold_open_circuit_v"`
	ColdAt            figure.Maybe[units.Temperature] `json:"cold_c"` // that ColdVoltage was reckoned for
	PanelCurrent      figure.Maybe[units.Current]     `json:"panel_a"`
	PanelCopper       figure.Maybe[supply.Conductor]  `json:"panel_copper_mm2"` // of the cable from panel to controller
	PanelDrop         figure.Maybe[float64]           `json:"panel_drop_fraction"`
	// BatteryCurrent and BatteryFuse are of the circuit from the battery to the
	// pump, or to the inverter of an AC pump.
	BatteryCurrent figure.Maybe[units.Current]    `json:"battery_a"`
	BatteryFuse    figure.Maybe[units.Current]    `json:"battery_fuse_a"`
	Interrupting   figure.Maybe[units.Current]    `json:"fuse_interrupting_a"` // to ask of fuses at a lithium battery
	LeastCopper    figure.Maybe[supply.Conductor] `json:"least_copper_mm2"`    // of the cable to the pump
	Gauge          figure.Maybe[string]           `json:"least_copper_awg"`    // the American one no thinner
	InverterCopper figure.Maybe[supply.Conductor] `json:"inverter_copper_mm2"` // from battery to inverter, by what it may carry
	ChargeFuse     figure.Maybe[units.Current]    `json:"charge_fuse_a"`       // at the battery's end of the lead from each controller
	ChargeCopper   figure.Maybe[supply.Conductor] `json:"charge_copper_mm2"`   // of that lead, by what it may carry
	InverterVA     figure.Maybe[float64]          `json:"inverter_va"`
	InverterSurge  figure.Maybe[units.Power]      `json:"inverter_surge_w"`
	Warnings       data.Doubts                    `json:"-"`
}

// usualAir is taken where the site's heat is not known [°C]: that of the ratings.
const usualAir = 30

// ForInstaller returns the figures that s allows; each of the others says what
// is missing. A fuse protects the conductor behind it: the one there is, else the
// least that serves, by what it may carry in the heat of the site. An AC pump hangs on
// the inverter: there the fuse protects the leads from the battery to it, and follows
// its rated power.
func ForInstaller(s InstallerSpec) InstallerSheet {
	const noIsc = "the panel's short-circuit current (I_sc on its label) is not given (panel.short_circuit_current); the fuse is 1.56 " +
		"times that"
	const noVolts = "the battery's voltage is not known"
	volts, isc := s.Battery.Nominal > 0, s.ShortCircuit
	s.Strings = max(1, s.Strings)
	out := InstallerSheet{
		MPPT: s.MPPT, Air: figure.Given(s.Air > 0, s.Air, "the site's heat is not known: ratings are for air of {30 C}"),
		Absorption: figure.Given(volts, s.Battery.Absorption, noVolts), Highest: figure.Given(volts, s.Battery.Highest, noVolts),
		CutOff:       figure.Given(volts, s.Battery.CutOff, noVolts),
		PVFuse:       figure.Given(isc > 0, PVFuse(isc), noIsc),
		ColdVoltage:  figure.Given(s.OpenCircuit > 0, ColdVoltage(s.OpenCircuit, s.Coldest), noOpen),
		ColdAt:       figure.Given(s.OpenCircuit > 0, s.Coldest, noOpen),
		Interrupting: figure.Given(s.Lithium, units.Current(interrupting), "the battery is not a lithium one"),
		InverterVA:   apparent(s.ACPump, s.PowerFactor), InverterSurge: figure.Given(s.ACPump > 0, InverterSurge(s.ACPump), noInverter),
	}
	if s.Air == 0 {
		s.Air = units.Celsius(usualAir)
	}
	s.controller(&out)
	s.limit(&out)
	out.ChargeFuse, out.ChargeCopper = s.protected(out.ControllerCurrent)
	s.panelSide(&out)
	s.wiring(&out)
	return out
}

const noOpen = "the panel's open-circuit voltage is not known"

// controller fills in what stands between panel and battery: towards the battery an MPPT
// controller gives its rated output at most, a PWM one 1.25 times what the panel drives
// through it.
func (s InstallerSpec) controller(out *InstallerSheet) {
	out.Controllers = max(1, s.Controllers)
	switch {
	case s.MPPT || s.Controller > 0:
		out.ControllerCurrent = figure.Given(s.Controller > 0, s.Controller, "no controller on sale is known to carry the panel")
	default:
		out.ControllerCurrent = figure.Given(s.ShortCircuit > 0, s.ShortCircuit*units.Current(s.Strings)*continuousFactor,
			"the panel's short-circuit current is not known")
	}
	if a := s.Battery.Absorption; s.MPPT && s.HotWorking > 0 && s.HotWorking <= a {
		out.Warnings.Say("panel.in_series", "in the hottest cells the panel works at %.3g V, not above the %.3g V that the battery is "+
			"charged to, and an MPPT controller steps down only: it is never full on hot days, or not charged at all; %.0f times as many "+
			"panels in series, as far as the controller stands them in the cold, or a battery of lower voltage",
			float64(s.HotWorking), float64(a), math.Floor(float64(a/s.HotWorking))+1)
	}
	if n := out.Controllers; n > 1 {
		out.Warnings.Say("battery.voltage",
			"at %.3g V the panel needs %d controllers of %.0f A, each with a part of it, a lead and a fuse of its own (%g times what they "+
				"give at %.3g V is the most they are given; common practice, no source): a battery of higher voltage needs fewer",
			float64(s.Battery.Nominal), n, float64(out.ControllerCurrent.Value), bill.Oversize, float64(s.Battery.Absorption))
	}
}

// protected returns the fuse of a circuit that starts at the battery and the
// least conductor that it protects.
func (s InstallerSpec) protected(current figure.Maybe[units.Current]) (figure.Maybe[units.Current], figure.Maybe[supply.Conductor]) {
	if !current.Known {
		return current, figure.Unknown[supply.Conductor](current.Why)
	}
	fuse, err := FuseFor(current.Value)
	if err != nil {
		return figure.OrWhy(units.Current(0), err), figure.OrWhy(supply.Conductor{}, err)
	}
	return figure.Known(fuse), thinnest(supply.Carrying(fuse, s.Air))
}

// thinnest returns the first of rows.
func thinnest(rows []supply.Conductor, err error) figure.Maybe[supply.Conductor] {
	if err != nil {
		return figure.OrWhy(supply.Conductor{}, err)
	}
	return figure.Known(rows[0])
}

// panelSide fills in the strings and the cable from the panel to each controller, which has
// its own share of the strings. What the sun
// drives there is 1.25 times short-circuit current, and a conductor carries 1.25 times
// that.
func (s InstallerSpec) panelSide(out *InstallerSheet) {
	isc, each := s.ShortCircuit, (s.Strings+out.Controllers-1)/out.Controllers // strings on one controller
	out.Backfeed = figure.Given(isc > 0, backfeed(each, isc), out.PVFuse.Why)
	out.StringFuses = figure.Given(out.Backfeed.Known && (s.ModuleFuse > 0 || each == 1), out.Backfeed.Value > s.ModuleFuse,
		"the fuse rating on the panel's label is not given (panel.fuse_rating)")
	if !out.Backfeed.Known {
		out.StringFuses.Why = out.Backfeed.Why
	}
	all := isc * units.Current(each)
	out.PanelCurrent = figure.Given(isc > 0, all*continuousFactor, out.PVFuse.Why)
	const noRun = "the run of that cable is not given (panel.cable_run)"
	out.PanelCopper, out.PanelDrop = figure.Unknown[supply.Conductor](noRun), figure.Unknown[float64](noRun)
	if !(s.PanelRun > 0 && s.Working > 0 && s.Panel > 0) {
		return
	}
	share := float64(each) / float64(s.Strings)
	if s.Strings < out.Controllers { // nothing says how many there are
		share = 1 / float64(out.Controllers)
	}
	rated := units.Current(float64(s.Panel) / float64(s.Working) * share)
	if rows, err := supply.Carrying(max(PVFuse(all), rated), s.Air); err != nil {
		out.PanelCopper = figure.OrWhy(supply.Conductor{}, err)
	} else {
		out.PanelCopper = figure.OrWhy(supply.LeastConductor(rows, rated, s.PanelRun, s.Working))
	}
	c := s.PanelCable
	switch {
	case c != nil:
	case out.PanelCopper.Known:
		c = &out.PanelCopper.Value
	default:
		out.PanelDrop.Why = out.PanelCopper.Why
		return
	}
	out.PanelDrop = figure.Known(float64(supply.Cable{Run: s.PanelRun, Conductor: *c}.Drop(rated) / s.Working))
	if d := out.PanelDrop.Value; d > data.UsualDrop*(1+1e-9) {
		out.Warnings.Say("panel.cable_area", "{%.3g m} of %.3g mm2 lose %.2g %% of the panel's voltage in full sun, over the %.0f %% that "+
			"is usual (common practice, no source): a thicker cable, or panels in series", float64(s.PanelRun),
			c.Area.In(units.SquareMillimetre), 100*d, 100*data.UsualDrop)
	}
	if most := c.In(s.Air).Ampacity; s.PanelCable != nil && PVFuse(all) > most {
		out.Warnings.Say("panel.cable_area", "the cable from the panel may carry %.3g A in air of {%.0f C}, and the panel's fuses let "+
			"through %.3g A or more: a thicker cable", float64(most), s.Air.InCelsius(), float64(PVFuse(all)))
	}
}

// wiring fills in the cable to the pump and the circuit from the battery.
func (s InstallerSpec) wiring(out *InstallerSheet) {
	out.InverterCopper = figure.Unknown[supply.Conductor](noInverter)
	out.LeastCopper = figure.Unknown[supply.Conductor]("the run of the cable or its current is not known")
	if s.ACPump > 0 {
		s.pumpCable(out, s.LoadCurrent)
		s.inverterCircuit(out)
		return
	}
	if !(s.Load > 0 && s.Battery.Nominal > 0) {
		out.BatteryCurrent = figure.Unknown[units.Current]("the load or the battery's voltage is not known")
		out.BatteryFuse, out.Gauge = out.BatteryCurrent, supply.GaugeOf(out.LeastCopper)
		return
	}
	out.BatteryCurrent = figure.Known(LoadCurrent(s.Load, s.Battery, s.Follows))
	fuse, err := FuseFor(out.BatteryCurrent.Value)
	s.pumpCable(out, max(fuse, s.LoadCurrent))
	switch {
	case err != nil:
		out.BatteryFuse = figure.OrWhy(fuse, err)
	case s.Cable != nil:
		out.BatteryFuse = figure.OrWhy(BatteryFuse(out.BatteryCurrent.Value, s.Cable.In(s.Air).Ampacity))
	case out.LeastCopper.Known:
		out.BatteryFuse = figure.Known(fuse)
	default:
		out.BatteryFuse = figure.Unknown[units.Current]("the cable it has to protect is not known")
	}
}

// pumpCable fills in the least copper to the pump that may carry most.
func (s InstallerSpec) pumpCable(out *InstallerSheet, most units.Current) {
	if s.Run > 0 && s.LoadCurrent > 0 && s.LoadVoltage > 0 {
		if rows, err := supply.Carrying(most, s.Air); err != nil {
			out.LeastCopper = figure.OrWhy(supply.Conductor{}, err)
		} else {
			out.LeastCopper = figure.OrWhy(supply.LeastConductor(rows, s.LoadCurrent, s.Run, s.LoadVoltage))
		}
	}
	out.Gauge = supply.GaugeOf(out.LeastCopper)
}

// inverterCircuit fills in the circuit from the battery to the inverter, by its rated output
// or the least that the pump needs, with a fuse that stands the pump's start. The cable to
// the pump is another one, behind the inverter's own protection.
func (s InstallerSpec) inverterCircuit(out *InstallerSheet) {
	if !(s.Battery.CutOff > 0 && s.InverterShare > 0) {
		out.BatteryCurrent = figure.Unknown[units.Current]("the battery's voltage or the inverter's efficiency is not known")
		out.BatteryFuse, out.InverterCopper = s.protected(out.BatteryCurrent)
		return
	}
	rated := s.InverterRated
	if va := out.InverterVA; rated > 0 && va.Value > float64(rated) && s.ACPump <= rated {
		out.Warnings.Say("inverter.rated", "the pump takes %.3g VA at a power factor of %.2g, above the inverter's %.3g W", va.Value,
			s.PowerFactor, float64(rated))
	} else if rated == 0 {
		rated = units.Power(max(va.Value, float64(s.ACPump)))
		out.Warnings.Say("inverter.rated", "not given: fuse and leads from the battery to the inverter are for one of %.3g VA, the least "+
			"for this pump, and its start; a larger inverter needs those of its own rating", float64(rated))
	}
	out.BatteryCurrent = figure.Known(InverterCurrent(rated, s.InverterShare, s.Battery.CutOff))
	start := InverterCurrent(InverterSurge(s.ACPump), s.InverterShare, s.Battery.CutOff)
	out.BatteryFuse, out.InverterCopper = s.protected(figure.Known(max(out.BatteryCurrent.Value, start/continuousFactor)))
}

// limit says what the battery takes, as the balance does, where the controllers could
// give more:
//
//	I_limit = rate × capacity
//
// A PWM controller joins panel and battery and cannot be told so.
func (s InstallerSpec) limit(out *InstallerSheet) {
	takes := units.Current(s.ChargeRate * float64(s.Capacity) / 3600)
	out.ChargeLimit = figure.Given(s.Capacity > 0, takes, "the battery's size is not known")
	if s.ChargeRate == 0 {
		out.ChargeLimit = figure.Unknown[units.Current]("the battery has no charging limit (battery.charge_rate)")
	}
	gives := float64(s.ShortCircuit) * float64(s.Strings)
	if s.MPPT || gives == 0 {
		gives = float64(out.ControllerCurrent.Value) * float64(out.Controllers)
	}
	if s.MPPT && s.Battery.Nominal > 0 {
		gives = min(gives, float64(s.Panel)/float64(s.Battery.Nominal))
	}
	if !out.ChargeLimit.Known || !out.ControllerCurrent.Known || gives <= float64(takes) {
		return
	}
	out.Limited = true
	text := units.Say("the panel could charge with up to %.3g A, and the battery takes %.3g A at most (%.3g of its size an hour), "+
		"which is all that is counted on: ",
		gives, float64(takes), s.ChargeRate)
	if s.MPPT {
		text += units.Say("set the charging limit of the controller, or of several together, to %.3g A; "+
			"what the pump takes may come on top only where the limit is measured at the battery", float64(takes))
	} else {
		text += "a PWM controller cannot hold it back: take less panel, more battery or an MPPT controller with a charging limit"
	}
	out.Warnings = append(out.Warnings, data.Warning{Key: "battery.charge_rate", Message: text})
}
