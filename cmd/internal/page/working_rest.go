package page

import (
	"math"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy/still"
	"sunrill/pumps"
)

const (
	fromBenson = "Benson & Krause 1984, Limnology and Oceanography 29, 620"
	fromOxygen = "table of oxygen (sunrill tables oxygen)"
)

var (
	gramsAnHour = document.Named("g/h")
	atmospheres = document.Named("atm")
)

// workRest works how long the pond may stand still.
func (p *PlanPage) workRest(w *working) {
	t := p.Result.Rest
	if !t.Known || p.pond.Volume == nil {
		return
	}
	v, o, rates := t.Value, p.newStop(), still.TableOxygenRates()
	p.workSaturation(w, v)
	d := v.Demand
	volume := put("V", *p.pond.Volume, document.Volume, "water in the pond")
	warm := math.Pow(rates.Factor, (v.Water.InCelsius()-20)/10)
	f := put("f", warm, document.None, "warmth")
	w.add("stop.warmth", "how much faster everything draws than at 20 °C", "f = q^((t - 20) / 10)", warm, document.None, fromOxygen, put("q", rates.Factor, document.None, "for each 10 K"), put("t", v.Water.InCelsius(), document.Temperature, "water in a warm spell"))
	w.add("stop.water_demand_g_per_h", "drawn by the water itself", "Dw = f * r * V", d.Water, gramsAnHour, fromOxygen, f, put("r", rates.Water.High, document.Named("mg/L/h"), "at 20 °C, harsh end"), volume)
	if p.pond.Surface != nil {
		w.add("stop.mud_demand_g_per_h", "drawn by the mud", "Dm = f * r * S / 1000", d.Mud, gramsAnHour, fromOxygen, f, put("r", rates.Mud.High, document.Named("mg/m2/h"), "at 20 °C, harsh end"), put("S", *p.pond.Surface, document.Area, "surface"))
	}
	if stocked, err := still.Stocked(still.PondAtRest{Volume: units.Volume(*p.pond.Volume), Stocking: p.pond.Stocking}, fishMass(p.In), 0); err == nil {
		w.add("stop.fish_demand_g_per_h", "drawn by the fish", "Df = f * r * m / 1000", d.Fish, gramsAnHour, fromOxygen, f, put("r", rates.Fish.High, document.Named("mg/kg/h"), "at 20 °C, harsh end"), put("m", float64(stocked.FishHigh), document.Mass, "fish"))
		w.fishAlone(o, v, rates, f, volume, float64(stocked.FishLow))
	}
	w.add("stop.demand_g_per_h", "drawn in all", "D = Df + Dw + Dm + Db", d.Total(), gramsAnHour, "sum of the parts", put("Df", d.Fish, gramsAnHour, "fish"), put("Dw", d.Water, gramsAnHour, "water"), put("Dm", d.Mud, gramsAnHour, "mud"),
		put("Db", d.Bed, gramsAnHour, "bed: the smaller of what its biofilm could use and what the feed gives it"))
	saturated, least := put("C", float64(v.Saturation), document.MgPerLitre, "saturation"), put("c0", float64(rates.Least), document.MgPerLitre, "least that fish should have")
	rest := func(key, what string, hours *float64, start, demand float64) {
		if hours != nil && demand > 0 {
			w.add(key, what, "t = max(0, x * C - c0) * V / D", *hours, document.Hours, "modelled from averages; "+fromOxygen, put("x", start, document.Fraction, "of saturation at the start"), saturated, least, volume, put("D", demand, gramsAnHour, "drawn"))
		}
	}
	rest("stop.rest_low_early_h", "oxygen may be short after, from the poorer start", o.LowEarly, rates.Start.Low, d.Total())
	rest("stop.rest_low_late_h", "oxygen may be short after, from the better start", o.LowLate, rates.Start.High, d.Total())
}

func fishMass(in *Input) units.Mass {
	if m := in.Plan.Pond.FishMass; m != nil {
		return *m
	}
	return 0
}

// fishAlone works the kind end: fish alone, resting.
func (w *working) fishAlone(o planStop, v still.RestTime, rates still.OxygenRates, f, volume document.Input, kilograms float64) {
	if o.FishAlone == nil || kilograms <= 0 {
		return
	}
	w.add("stop.rest_fish_alone_h", "the kind end: fish alone, from the better start", "t = (x * C - c0) * V / (f * r * m / 1000)", *o.FishAlone, document.Hours, "modelled from averages; "+fromOxygen,
		put("x", rates.Start.High, document.Fraction, "of saturation at the start"), put("C", float64(v.Saturation), document.MgPerLitre, "saturation"), put("c0", float64(rates.Least), document.MgPerLitre, "least that fish should have"),
		volume, f, put("r", rates.Fish.Low, document.Named("mg/kg/h"), "resting, at 20 °C"), put("m", kilograms, document.Mass, "fish"))
}

// workSaturation works the oxygen of water in balance with the air.
func (p *PlanPage) workSaturation(w *working, v still.RestTime) {
	altitude := units.Length(0)
	switch {
	case p.Result.Solar.Known:
		altitude = p.Result.Solar.Value.Sky.Climate.Site.Altitude
	case p.In.Plan.Site.Altitude != nil:
		altitude = *p.In.Plan.Site.Altitude
	}
	pressure, err := pumps.AirPressure(altitude)
	if err != nil {
		return
	}
	kelvin, celsius := float64(v.Water), v.Water.InCelsius()
	air := float64(pressure / pumps.Atmosphere)
	vapour := pumps.VapourPressure(v.Water)
	theta := 0.000975 - 1.426e-5*celsius + 6.436e-8*celsius*celsius
	warm, t := put("T", kelvin, document.Named("K"), "water in a warm spell"), put("t", celsius, document.Temperature, "water in a warm spell")
	w.add("stop.air_pressure_atm", "pressure of the air", "P = ((44331.514 - z) / 11880.516)^(1 / 0.1902632) / 1013.25", air, atmospheres, "the standard atmosphere", put("z", float64(altitude), document.Length, "altitude"))
	w.add("stop.vapour_pressure_atm", "pressure of water vapour", "u = exp(11.8571 - 3840.70 / T - 216961 / T^2)", vapour, atmospheres, fromBenson, warm)
	w.add("stop.theta", "how oxygen departs from an ideal gas", "th = 0.000975 - 0.00001426 * t + 0.00000006436 * t^2", theta, document.None, fromBenson, t)
	w.add("stop.saturation_mg_per_l", "oxygen of water in balance with the air",
		"C = exp(-139.34411 + 157570.1 / T - 66423080 / T^2 + 12438000000 / T^3 - 862194900000 / T^4) * P * (1 - u / P) * (1 - th * P) / ((1 - u) * (1 - th))",
		float64(v.Saturation), document.MgPerLitre, fromBenson, warm, put("P", air, atmospheres, "air"), put("u", vapour, atmospheres, "vapour"), put("th", theta, document.None, "departure"))
}
