package energy

import (
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/wiring"
	"sunrill/solar/sky"
)

// Wet gravel weighs about two tonnes a cubic metre: stone of 2650 kg/m³ in 60
// to 62 % of the bed, water in the rest (common practice, no source).
const wetGravel = 2000

// touchVoltage is the DC voltage above which touch protection is asked for in
// water: 30 V, in the protected zones of pools after IEC 60364-7-702 (from
// memory).
const touchVoltage = 30

// freezing is the monthly mean of the air [°C] under which ice is to be
// expected (common practice, no source).
const freezing = 4

// watchFish goes with every figure about a stop where fish may live.
const watchFish = "Modelled from averages: a warm still night or a failed part can kill sooner. Watch the fish at dawn, after every " +
	"change above all: gasping at the surface means air and water now."

// Cautions returns what a keeper should know for safety, by what the plan holds,
// the gravest first. They are general words: local codes and licensed practice
// go before them.
func (r *Outcome) Cautions() []units.Text { return r.cautions }

// cautionsOf gathers the cautions of the plan.
func (j *job) cautionsOf() []units.Text {
	var all []units.Text
	say := func(format string, args ...any) { all = append(all, units.Say(format, args...)) }
	mains, low := false, false
	for _, m := range j.plan.Pumps {
		mains = mains || m.Supply == "AC"
		low = low || m.Supply != "AC"
	}
	say("Nobody goes into the water, not even an arm, while any pump in it is powered: pull the plug first.")
	if mains {
		say("Mains voltage beside water kills. Sockets, earthing and residual-current protection for a pond are work for a " +
			"licensed person, by the rules of the place.")
	} else if j.plan.Site.Mains {
		say("The power pack of a low-voltage pump is mains equipment: it stays dry, high and behind residual-current " +
			"protection, by the rules of the place.")
	}
	if inverterOf(j.plan) != nil {
		say("A residual-current device behind an inverter protects only if the inverter's neutral is bonded to earth as its " +
			"instructions and local rules ask. Otherwise it may never trip.")
	}
	if low || j.offGrid() {
		say("Low voltage is not safe in water: wet skin conducts well, and what is harmless on a dry hand is not in a pond.")
	}
	all = append(all, j.sunCautions()...)
	say("Water drowns: a small child in a hand's depth, an adult off a steep edge. Fence, cover or grade it, and leave a way out.")
	if j.plan.Pond.Stocking != "none" {
		say("Fish come before savings: slow running first, then air, and a stop last of all.")
		say(watchFish)
	}
	if j.plan.Run.MonthsOff != 0 { // common practice, no source
		say("The filter's bacteria die when it stands for weeks, and take weeks to come back: feed little until they have. Fish stay " +
			"behind in still, cold water: keep air running, and a hole open in the ice.")
	}
	if f := j.water.Filter; f.Known && f.Value.Volume > 0 {
		say("A bed of {%.2g m3} of wet gravel weighs about {%.2g t}: its stand and the ground under it have to carry that, and "+
			"more when someone leans on it.",
			float64(f.Value.Volume), float64(f.Value.Volume)*wetGravel/1000)
	}
	say("Top up from a drinking-water tap only through an air gap or the device that the water rules ask for: pond water must " +
		"not be drawn back into the mains.")
	if j.cold() {
		say("Ice: keep a hole open for gas, drain what can freeze, and do not walk on it. A pump that draws warm water from " +
			"the deepest place cools the fish's refuge.")
	}
	return all
}

// offGrid reports whether a panel or a battery is worked out, or in the plan.
func (j *job) offGrid() bool {
	sun := &j.out.Solar
	return sun.Value.DayAndNight.Known || sun.Value.Best.Known || sun.Value.Daylight.Known || j.plan.Given("panel") ||
		j.plan.Given("battery")
}

// sunCautions are those that a panel and a battery bring.
func (j *job) sunCautions() []units.Text {
	if j.light == nil || !j.offGrid() {
		return nil
	}
	series := 0
	if pair := j.out.DayAndNight(); pair.Known {
		series = pair.Value.Bill.PanelSeries
	}
	if best := j.out.Best(); best.Known {
		series = best.Value.Way.Bill.PanelSeries
	}
	all := j.store.sunCautions(series)
	if worth := j.out.Solar.Value.Worth; j.plan.Charger.Power != nil || worth.Known && !worth.Value {
		all = append(all, "A generator runs outdoors, far from windows and doors: its exhaust holds carbon monoxide, which nobody "+
			"smells and which kills. Refuel it cold, and keep it dry.")
	}
	return all
}

// Cautions returns what whoever buys a panel and a battery should know for
// safety, in general words: local codes and licensed practice go before them.
func (s *Storage) Cautions() []units.Text {
	all := append(s.sunCautions(s.shop(false).PanelSeries), "The direct-current side is work for a licensed electrician, "+
		"by the rules of the place: fuses at the battery and means to isolate panel and battery.")
	if s.Pump != nil && s.plan.Pond.Stocking != "none" {
		all = append(all, watchFish)
	}
	return all
}

// sunCautions are those of the panel and the battery, with so many panels in series, or as
// many as the plan says.
func (s *Storage) sunCautions(series int) []units.Text {
	p, all := s.plan, []units.Text(nil)
	say := func(format string, args ...any) { all = append(all, units.Say(format, args...)) }
	v, _ := sky.OpenCircuitVoltage(p)
	if given := max(1, p.Panel.InSeries); series > given {
		v *= units.Voltage(series) / units.Voltage(given)
	}
	if s.Sky != nil {
		v = wiring.ColdVoltage(v, s.Sky.ColdestCell())
	}
	if v > touchVoltage {
		say("The panel can give %.0f V in the cold with nothing drawn, above the %d V that is taken as the most to touch near water; two "+
			"small panels in series pass it too. It is live whenever there is light.", float64(v), touchVoltage)
	} else {
		say("A panel is live whenever there is light, and two panels in series pass 30 V.")
	}
	if v := sky.BatteryVolts(p).Highest; v > touchVoltage {
		say("On charge the battery and the pump's cable reach %.3g V, above those %d V too.", float64(v), touchVoltage)
	}
	say("A battery has no off switch: a dropped spanner welds and burns. A fuse rated for direct current sits at the battery " +
		"itself in each circuit, and no bare metal is worn near it.")
	switch b, _, err := battery.BatteryFrom(p.Battery); {
	case err == nil && b.Lead:
		say("A lead battery gives off hydrogen when it charges: open the space high and low, and let no flame or spark near " +
			"it. Its acid burns eyes and skin.")
	case err == nil && b.NoChargeBelow > 0:
		say("A lithium battery must not be charged below {%.0f C}: it takes damage that cannot be seen. It needs the "+
			"management unit its maker names, and a dry, frost-free place.", b.NoChargeBelow.InCelsius())
	}
	return all
}

// cold reports whether ice is to be expected, or nothing tells.
func (j *job) cold() bool {
	if j.light == nil {
		return true
	}
	for _, t := range j.light.Climate.TempC {
		if t < freezing {
			return true
		}
	}
	return false
}
