package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/supply"
	"sunrill/energy/wiring"
)

// ofBase names the pump that sun and battery are worked out for, where it is not the one
// that is offered.
func (p *PlanPage) ofBase() string {
	if i := p.Result.Base; i != p.offered().pump {
		return p.water.Pumps[i].Name + " "
	}
	return ""
}

// chargeAh returns the charge of the battery to buy [Ah].
func (s store) chargeAh() figure.Maybe[float64] {
	volts := float64(s.Bill.BatteryV)
	return figure.Given(volts > 0, s.Front.Chosen.BoughtWh/volts, "the battery's voltage is not known")
}

// sunSections are the parts about panel and battery, and about running on the
// sun alone.
func (p *PlanPage) sunSections() []document.Section {
	if s := p.Result.Solar; !s.Known {
		return []document.Section{unknown("On the sun", s.Why)}
	}
	return append(append([]document.Section{p.dayNightSection()}, p.ownSection()...), p.daylightSection())
}

func (p *PlanPage) dayNightSection() document.Section {
	const heading = "Day and night on panel and battery"
	found := p.carried()
	if !found.Known {
		return unknown(heading, found.Why)
	}
	d := found.Value
	s := p.store(d)
	section := s.section(heading)
	name := p.bestName()
	section.Prose = []document.Prose{document.Prose{}.When(!name.IsZero(), "The cheapest way to the goal: %v. ", name).And(
		"The pump takes %v at the battery's terminals, cable and controller included, %v. "+
			"The panel lies %v.",
		document.Power.Of(d.Watts), document.KWhPerDay.Of(d.PerDay), planeText(d.Storage.Sky.Plane))}
	for _, line := range s.lines() {
		section.Prose = append(section.Prose, document.Sentence("%v: %v", line.Label, line.Text))
	}
	if frost := s.frostText(); !frost.IsZero() {
		section.Notes = append(section.Notes, document.Sentence("In the cold: %v", frost))
	}
	if b := p.Result.Best(); b.Known && b.Value.Charger.Known {
		section.Notes = append(section.Notes, p.chargerText(b.Value.Charger.Value).And(" Panel and battery are sized without it: a "+
			"smaller pair (panel.watts, battery.size) shows what it takes then."))
	}
	return section
}

func (p *PlanPage) daylightSection() document.Section {
	const heading = "In daylight only, without a battery"
	found := p.Result.Daylight()
	if !found.Known {
		return unknown(heading, found.Why)
	}
	s, d := document.Section{Heading: heading}, found.Value
	if d.Word == energy.NotEnough {
		s.Heading = "In daylight only: NOT ENOUGH"
	}
	control := string(d.Control) + " control"
	if d.Control == supply.BarePanel {
		control = "nothing between panel and pump"
	}
	s.Prose = []document.Prose{document.Sentence("%v on a panel of %v (%v) through %v. Below %v speed nothing is lifted.",
		p.water.Pumps[p.Result.Base].Name, document.Power.Of(d.PanelW), d.PanelWhy, control, document.Fraction.Rough(d.LeastSpeed))}
	s.Tables = []document.Table{document.TableOf("daylight", d.Year.Months[:], document.Columns(
		"month: month", "water_m3_per_day: water", "still_h: a night still", "longest_still_h: longest still"))}
	s.Pictures = []document.Picture{daylightPicture(d.Year, p.water.Pond.Value.Goal.Value)}
	return s
}

// installer returns the figures to hand to a licensed person.
func (p *PlanPage) installer() figure.Maybe[wiring.InstallerSheet] {
	return figure.Then(p.carried(), func(d energy.DayAndNight) wiring.InstallerSheet { return d.Installer })
}

// limitText says what a controller has to be set to, nothing where the panel cannot
// give more than the battery takes or the controller cannot be set.
func limitText(s wiring.InstallerSheet) document.Prose {
	if !s.Limited || !s.MPPT {
		return document.Prose{}
	}
	return document.Sentence("set the charging limit to %v, all that the battery takes", document.Amps.Of(s.ChargeLimit))
}

// circuit is one that an installer fuses.
type circuit struct {
	Name    string                         `json:"circuit"`
	Current figure.Maybe[units.Current]    `json:"current_a"`
	Fuse    figure.Maybe[units.Current]    `json:"fuse_a"`
	Copper  figure.Maybe[supply.Conductor] `json:"least_copper_mm2"`
	Gauge   figure.Maybe[string]           `json:"gauge_awg"`
}

func newCircuit(name string, current, fuse figure.Maybe[units.Current], copper figure.Maybe[supply.Conductor]) circuit {
	return circuit{name, current, fuse, copper, supply.GaugeOf(copper)}
}

// circuitsOf returns the circuits of an installation, from the panel on.
func circuitsOf(s wiring.InstallerSheet) []circuit {
	var list []circuit
	if s.PanelCurrent.Known || s.PanelCopper.Known {
		list = append(list, newCircuit("panel to controller", s.PanelCurrent, figure.Unknown[units.Current]("by string, below"),
			s.PanelCopper))
	}
	list = append(list, newCircuit("controller to battery", s.ControllerCurrent, s.ChargeFuse, s.ChargeCopper))
	if !s.InverterSurge.Known {
		return append(list, newCircuit("battery to pump", s.BatteryCurrent, s.BatteryFuse, s.LeastCopper))
	}
	behind := figure.Unknown[units.Current]("behind the inverter's own protection")
	return append(list, newCircuit("battery to inverter", s.BatteryCurrent, s.BatteryFuse, s.InverterCopper),
		newCircuit("inverter to pump", behind, behind, s.LeastCopper))
}

// fuseText says what fuses to ask for.
func fuseText(s wiring.InstallerSheet) document.Prose {
	text := document.Sentence("Each circuit has a fuse of its own at the battery's end, which protects the cable: for direct current, %v",
		document.Volts.Of(s.Highest))
	text = text.When(s.Interrupting.Known, " and, at lithium, to interrupt %v (class T, from memory)", document.Amps.Exact(s.Interrupting))
	current := "It is at least 1.25 times what runs, which through a PWM controller is 1.25 times short-circuit current"
	if s.MPPT {
		current = "It is at least 1.25 times what runs, which from an MPPT controller is its rated output"
	}
	text = text.And(". %v", current)
	limit := limitText(s)
	text = text.When(!limit.IsZero(), "; %v", limit).And(".")
	switch need := s.StringFuses; {
	case need.Known && need.Value:
		text = text.And(" Each string of the panel needs a fuse of its own: the others drive %v into one that is shorted.",
			document.Amps.Of(s.Backfeed))
	case need.Known:
		text = text.And(" The strings of the panel need no fuse of their own.")
	case s.Backfeed.Known:
		text = text.And(" Strings need a fuse of their own where the panel's label allows less than %v.", document.Amps.Of(s.Backfeed))
	}
	return text
}

// installerSection hands figures to a licensed person.
func (p *PlanPage) installerSection() []document.Section {
	found := p.installer()
	if !found.Known {
		return nil
	}
	s := found.Value
	heat := document.Sentence("Conductors are by what they may carry in air of %v", document.Temperature.Of(s.Air))
	if !s.Air.Known {
		heat = document.Sentence("%v", s.Air.Why)
	}
	notes := []document.Prose{
		fuseText(s),
		document.Prose{}.When(s.ColdVoltage.Known, "With nothing drawn a string of panels reaches %v at %v. ",
			document.Volts.Of(s.ColdVoltage), document.Temperature.Of(s.ColdAt)).
			When(s.PVFuse.Known, "The fuse of a string is for %v.", document.Amps.Of(s.PVFuse)).
			When(!s.PVFuse.Known, "The fuse of a string: %v.", document.Told(s.PVFuse.Why)),
		document.Sentence("%v in the shade (IEC 60364-5-52, from memory), %v or more, with at most 3 %% lost. Panel and battery have "+
			"means to isolate, made for direct current (for panels IEC 60364-7-712, from memory). The battery is charged to %v at most; "+
			"pump, regulator and insulation have to stand %v.", heat, document.CopperArea.Exact(supply.LeastFixed),
			document.Volts.Of(s.Absorption), document.Volts.Of(s.Highest)),
	}
	if s.InverterSurge.Known {
		notes = append(notes, document.Sentence("The inverter gives a pure sine wave, %v VA at a power factor of %v, and %v for a moment.",
			document.None.Of(s.InverterVA), document.None.Of(p.In.Plan.Pumps[p.carriedPump()].PowerFactor),
			document.Power.Of(s.InverterSurge)))
	}
	notes = append(notes, document.Sentence("Figures for a licensed electrician, not instructions; local codes and the makers' sheets go "+
		"before them."))
	return []document.Section{{Heading: "For the installer", Notes: notes, Tables: []document.Table{document.TableOf("circuits",
		circuitsOf(s), document.Columns("circuit: circuit", "current_a: carries", "fuse_a: fuse at the battery",
			"least_copper_mm2: least copper", "gauge_awg: AWG"))}}}
}
