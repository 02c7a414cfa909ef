package sky

import (
	"cmp"
	"math"
	"reflect"
	"slices"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
)

// Charger is what stands between panel and battery.
type Charger struct {
	Kind string // MPPT, PWM, pump drive or none; "" where one loss stands for all
	// Share is what comes out of it: of the panel's best power, or with
	// ByCurrent of its rated power in the share of the rated current, which heat
	// does not lower.
	Share     float64
	ByCurrent bool
}

// LayPanel fills Panel, Plane and Charger.
func (s *Sky) LayPanel(p *plan.Plan, need *[12]float64) error {
	s.Panel, s.Charger = panelOf(p), chargerOf(p)
	s.lay(p, need)
	s.light()
	if err := s.heldByBattery(p); err != nil {
		return err
	}
	s.perWatt, s.perWattOf = s.PerWatt(s.Weather), s.Array
	s.assumePanel(p, need)
	s.Sources = append(s.Sources, panelSources...)
	return nil
}

// panelSources are the methods behind every figure of a panel.
var panelSources = []string{
	"Sun's place: Meeus, Astronomical Algorithms, 1998; diffuse share by Erbs, Klein & Duffie 1982 where the source has none",
	"Sun on the panel: Hay & Davies 1980; glass by De Soto, Klein & Beckman 2006; cell temperature by Ross 1980; " +
		"losses after Dobos 2014 (NREL)",
}

// panelOf returns the panel of a plan, under the site's shade and snow.
func panelOf(p *plan.Plan) solar.Panel {
	n, site := p.Panel, p.Site
	panel := solar.Panel{
		Gamma: n.TemperatureCoefficient, NOCT: n.OperatingCellTemperature.InCelsius(), Snow: site.Snow,
		Shade: solar.Shade{ByMonth: site.Shade, ByHour: site.ShadeByHour, Whole: site.ShadeOf == "panel"},
	}
	if n.Loss != nil { // for everything, the slant of the light included
		panel.Incidence = solar.IncidenceNone
		panel.Losses = []solar.Loss{{Name: "all losses", Share: *n.Loss}}
		return panel
	}
	l := n.Losses
	if share, told := cableLoss(p); told {
		l.Wiring = share
	}
	panel.Losses = []solar.Loss{{Name: "soiling", Share: l.Soiling}, {Name: "shading", Share: l.Shading},
		{Name: "mismatch", Share: l.Mismatch}, {Name: "wiring", Share: l.Wiring},
		{Name: "connections", Share: l.Connections}, {Name: "light-induced", Share: l.LightInduced},
		{Name: "nameplate", Share: l.Nameplate}, {Name: "age", Share: l.Age}, {Name: "availability", Share: l.Availability}}
	return panel
}

// cableLoss returns what the cable from panel to controller takes, as a share of the
// panel's power in full sun, where its run is given and panel.losses.wiring is not:
//
//	L = P R / V²,  R out and back at 40 °C
//
// for a given area and a panel of given watts, else the most that is usual. In less sun
// it takes less, which is not counted. An area between two rows takes the thinner.
func cableLoss(p *plan.Plan) (share float64, told bool) {
	n := p.Panel
	if n.CableRun == nil || p.Given("panel.losses.wiring") {
		return 0, false
	}
	if n.CableArea == nil || n.Watts == nil {
		return data.UsualDrop, true
	}
	ohm := 0.0
	for _, r := range data.CableSizes() {
		if r.Class == 5 && (ohm == 0 || r.AreaMM2 <= n.CableArea.In(units.SquareMillimetre)*(1+1e-9)) {
			ohm = r.OhmPerKm20C / 1000 * data.Copper(units.Celsius(data.WarmCopper))
		}
	}
	v := float64(WorkingVoltage(p, BatteryVoltage(p)))
	return min(math.Round(1e4*float64(*n.Watts)*2*float64(*n.CableRun)*ohm/(v*v))/1e4, mostCableLoss), true
}

// mostCableLoss is counted where a cable would take more than the panel gives by it.
const mostCableLoss = 0.9

// lay settles tilt and azimuth.
func (s *Sky) lay(p *plan.Plan, need *[12]float64) {
	n := p.Panel
	albedo := p.Site.Albedo
	s.Plane.Albedo, s.Plane.AlbedoByMonth = MeanMonth(albedo), &albedo
	if n.Azimuth != nil {
		s.Plane.Azimuth = *n.Azimuth
	} else {
		s.Plane.Azimuth = s.Geometry.Site.EquatorAzimuth()
	}
	if n.Tilt != nil {
		s.Plane.Tilt = *n.Tilt
		return
	}
	best := s.Best(need, n.Azimuth)
	s.Plane.Tilt, s.Plane.Azimuth = best.Plane.Tilt, best.Plane.Azimuth
}

// Best returns the plane that serves the worst month best, turned to azimuth where that is
// settled: with a need by month of a load with a battery, by its darkest spells, without one
// by its mean.
func (s *Sky) Best(need *[12]float64, azimuth *units.Angle) solar.Optimum {
	if need == nil {
		return solar.BestPlane(s.Geometry, s.Weather, s.counted(), s.Plane, azimuth, nil)
	}
	return s.spells().Best(s.counted(), s.Plane, azimuth, need, s.LeastTilt())
}

// The least tilts at which rain still washes a panel, and at which snow slides off; common
// practice, no source.
const (
	washedTilt = 10 * units.Degree
	snowTilt   = 45 * units.Degree
)

// LeastTilt returns that of a panel with a battery: where a month is below freezing in the
// mean, snow may lie.
func (s *Sky) LeastTilt() units.Angle {
	if slices.Min(s.Climate.TempC[:]) < 0 {
		return snowTilt
	}
	return washedTilt
}

// MeanMonth returns the mean of twelve months: their one figure where all are
// alike, as summing would blur its last digit.
func MeanMonth(months [12]float64) float64 {
	total, alike := 0.0, true
	for _, v := range months {
		total += v
		alike = alike && v == months[0]
	}
	if alike {
		return months[0]
	}
	return total / 12
}

// light makes the array ready.
func (s *Sky) light() { s.Array = solar.NewArray(s.Geometry, s.Plane, s.counted()) }

// counted returns the panel as it counts: where its current does, heat takes nothing.
func (s *Sky) counted() solar.Panel {
	panel := s.Panel
	if s.Charger.ByCurrent {
		panel.Gamma = 0
	}
	return panel
}

// PerWatt returns what each watt of panel gives the battery in every hour of
// weather [Wh per W], after temperature, every loss and the controller. It is for
// reading only: that of s.Weather is kept.
func (s *Sky) PerWatt(weather *solar.Series) []float64 {
	if weather == s.Weather && s.Array == s.perWattOf {
		return s.perWatt
	}
	yield := func() []float64 {
		out := s.Array.Yield(nil, weather)
		for i := range out {
			out[i] *= s.Charger.Share
		}
		return out
	}
	if s.Made == nil || weather != s.Made.weather {
		return yield()
	}
	return s.Made.perWatt(laid{plane: s.Plane, panel: s.counted(), charger: s.Charger}, yield)
}

// laid is all that a watt of panel depends on under the same weather, and what it gives.
type laid struct {
	plane   solar.Plane
	panel   solar.Panel
	charger Charger
	perWatt []float64
}

// mostLaid is how many panels are kept: a plan looks at half as many tilts.
const mostLaid = 12

// perWatt returns what a watt of l gives, which is worked out once.
func (m *Made) perWatt(l laid, yield func() []float64) []float64 {
	same := func(k laid) bool {
		k.perWatt = nil
		return reflect.DeepEqual(k, l)
	}
	m.mutex.Lock()
	i := slices.IndexFunc(m.laid, same)
	if i >= 0 {
		defer m.mutex.Unlock()
		return m.laid[i].perWatt
	}
	m.mutex.Unlock()
	l.perWatt = yield()
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.laid = append(m.laid[max(0, len(m.laid)+1-mostLaid):], l)
	return l.perWatt
}

// chargerOf returns what a plan puts between panel and battery. With a PWM
// controller or none the battery holds the panel at its own voltage, so that the
// current counts.
func chargerOf(p *plan.Plan) Charger {
	if p.Panel.Loss != nil {
		return Charger{Share: 1}
	}
	k := p.Controller.Kind
	return Charger{Kind: k, Share: ControllerEfficiency(p.Controller), ByCurrent: k == "PWM" || k == "none"}
}

// heldByBattery settles what a panel that works at the battery's voltage passes on,
// and warns of one that is too low for it.
func (s *Sky) heldByBattery(p *plan.Plan) error {
	if !s.Charger.ByCurrent {
		return nil
	}
	volts := BatteryVolts(p)
	working := WorkingVoltage(p, volts.Nominal)
	hottest := s.hottestCell()
	// The current hardly changes with heat, so the power's coefficient is the voltage's.
	hot := working * units.Voltage(1+s.Panel.Gamma*(hottest-stcCellC))
	s.Charger.Share = PWMShare(working, hot, volts.Nominal)
	switch {
	case s.Charger.Share == 0:
		return &data.Error{Key: "panel.working_voltage", Found: units.Sprintf("%.3g V", float64(working)),
			Message: units.Sprintf("at cells of %.0f C the panel works at %.3g V, below the battery's %.3g V: without MPPT it charges "+
				"nothing",
				hottest, float64(hot), float64(volts.Nominal)),
			Allowed: "a panel of higher voltage, panels in series, or an MPPT controller"}
	case hot <= volts.Absorption:
		s.Warnings.Say("panel.working_voltage", "at cells of {%.0f C} the panel works at %.3g V, not above the %.3g V that the battery "+
			"is charged to: without MPPT it is never quite full on hot days; a panel of %.3g V or more does not",
			hottest, float64(hot), float64(volts.Absorption), float64(working*volts.Absorption/hot))
	}
	return nil
}

// stcCellC is the cell temperature at which panels are rated [°C].
const stcCellC = 25

// hottestCell returns the highest cell temperature of the weather [°C].
func (s *Sky) hottestCell() float64 {
	hottest := math.Inf(-1)
	for i, poa := range s.Array.PlaneOfArray(nil, s.Weather) {
		if poa > 0 {
			hottest = max(hottest, solar.CellTemperature(s.Weather.Air(i), poa, s.Panel.NOCT))
		}
	}
	return hottest
}

// The controller's defaults (data/keys.csv, controller.efficiency).
const trackerEfficiency = 0.94

// ControllerEfficiency returns what a controller passes on, a share: the plan's, else by its kind.
func ControllerEfficiency(c plan.Controller) float64 {
	switch {
	case c.Kind == "PWM" || c.Kind == "none":
		return 1
	case c.Efficiency != nil:
		return *c.Efficiency
	}
	return trackerEfficiency
}

// workingPerBattery is the working voltage of a panel over the battery's where
// nothing says it (data/keys.csv, panel.working_voltage).
const workingPerBattery = 1.4

// WorkingVoltage returns the voltage at which the panel works: the plan's, else by the battery.
func WorkingVoltage(p *plan.Plan, battery units.Voltage) units.Voltage {
	if v := p.Panel.WorkingVoltage; v != nil {
		return *v * units.Voltage(max(1, p.Panel.InSeries))
	}
	return workingPerBattery * battery
}

// openPerWorking is a panel's open-circuit voltage over its working voltage where
// nothing says it (data/keys.csv, panel.open_circuit_voltage).
const openPerWorking = 1.22

// OpenCircuitVoltage returns that of the panels in series: the plan's, else by the
// working voltage, else by the battery; guessed is true for the last.
func OpenCircuitVoltage(p *plan.Plan) (v units.Voltage, guessed bool) {
	if v := p.Panel.OpenCircuitVoltage; v != nil {
		return *v * units.Voltage(max(1, p.Panel.InSeries)), false
	}
	return openPerWorking * WorkingVoltage(p, BatteryVoltage(p)), p.Panel.WorkingVoltage == nil
}

// assumePanel lists what nobody said about the panel.
func (s *Sky) assumePanel(p *plan.Plan, need *[12]float64) {
	list := func(key string, kind units.Kind, value float64, text, why units.Text) {
		k, _ := plan.KeyNamed(key)
		s.assume(p, key, kind, value, text, cmp.Or(why, "the usual figure"), k.Source)
	}
	why := units.Text("best for the worst month")
	if need != nil {
		why = units.Say("best for the darkest three days of the worst month, which decide the battery, and no flatter than {%.0f deg}",
			s.LeastTilt().In(units.Degree))
	}
	list("panel.tilt", units.KindAngle, float64(s.Plane.Tilt), "", why)
	list("panel.azimuth", units.KindAngle, float64(s.Plane.Azimuth), "", "towards the equator, or wherever the worst month gets most")
	list("panel.temperature_coefficient", 0, 0, units.Say("%.3g %%/K", 100*p.Panel.TemperatureCoefficient), "")
	list("panel.operating_cell_temperature", units.KindTemperature, float64(p.Panel.OperatingCellTemperature), "", "")
	list("site.albedo", units.KindShare, s.Plane.Albedo, "", "")
	if p.Panel.Loss != nil {
		return
	}
	if share, told := cableLoss(p); told {
		list("panel.losses.wiring", units.KindShare, share, "", "of the cable that is given, in full sun")
	}
	usual := func(k plan.Key) bool { return strings.HasPrefix(k.Path, "panel.losses.") && !p.Given(k.Path) }
	if slices.ContainsFunc(plan.KeyTable(), usual) {
		list("panel.loss", 0, 0, units.Say("%.1f %%", 100*solar.LossProduct(s.Panel.Losses)),
			"the named losses multiplied; glass and controller come on top")
	}
	list("controller.kind", 0, 0, units.Text(s.Charger.Kind), "")
	if v := p.Panel.WorkingVoltage; v != nil {
		list("panel.open_circuit_voltage", units.KindVoltage, openPerWorking*float64(*v), "", "1.22 times the working voltage")
	}
	if s.Charger.ByCurrent {
		list("panel.working_voltage", units.KindVoltage, float64(WorkingVoltage(p, BatteryVoltage(p))), "", "1.4 times the battery's")
		return
	}
	list("controller.efficiency", units.KindShare, s.Charger.Share, "", "by kind of controller")
}
