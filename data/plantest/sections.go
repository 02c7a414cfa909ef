package plantest

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
)

// metres draws a length and returns it both as a number and as a TOML text.
func (d *drawing) metres(lo, hi float64) (float64, string) {
	v := math.Round((lo+(hi-lo)*d.r.Float64())*1000) / 1000
	return v, quote(strconv.FormatFloat(v, 'f', -1, 64) + " m")
}

func (d *drawing) pond() {
	d.maybe(0.5, "name")
	d.draw("pond.stocking")
	d.maybe(0.3, "pond.volume_error", "pond.fish_mass", "pond.feed_per_day", "pond.turnover_goal", "pond.surface", "pond.evaporation")
	depth, text := d.metres(0.4, 2)
	d.set("pond.depth", text)
	switch one(d, "volume", "fill", "shape", "shape") {
	case "volume":
		d.draw("pond.volume")
		if d.chance(0.5) {
			delete(d.keys, "pond.depth")
		}
	case "fill":
		d.draw("pond.fill_flow", "pond.fill_time")
	case "shape":
		depth = d.shape(depth)
	}
	if _, known := d.keys["pond.depth"]; known && d.chance(0.5) {
		share := 0.9 * d.r.Float64()
		key := "pond.intake_height"
		if d.chance(0.5) {
			key = "pond.intake_depth"
		}
		d.text(key, fmt.Sprintf("%.4f m", share*depth))
	}
}

// shape draws a shape with what it needs and returns the depth.
func (d *drawing) shape(depth float64) float64 {
	shape := one(d, "rectangle", "round", "oval", "frustum", "bowl", "depths")
	d.text("pond.shape", shape)
	switch shape {
	case "rectangle", "oval":
		d.draw("pond.length", "pond.width")
	case "round", "bowl":
		if shape == "bowl" && d.chance(0.5) {
			d.draw("pond.length", "pond.width")
		} else {
			d.draw("pond.diameter")
		}
	case "frustum":
		top := []string{"pond.length", "pond.width"}
		bottom := []string{"pond.bottom_length", "pond.bottom_width"}
		if d.chance(0.4) {
			top, bottom = []string{"pond.diameter"}, []string{"pond.bottom_diameter"}
		}
		for i := range top {
			v, text := d.metres(1, 10)
			d.set(top[i], text)
			d.text(bottom[i], fmt.Sprintf("%.3f m", v*d.r.Float64()))
		}
	case "depths":
		n := 2 + d.r.IntN(5)
		depths := make([]string, n)
		for i := range n {
			depths[i] = quote(fmt.Sprintf("%.4f m", depth*float64(i)/float64(n-1)))
		}
		d.set("pond.depths", "["+strings.Join(depths, ", ")+"]")
		d.draw("pond.surface")
	}
	return depth
}

func (d *drawing) pumps() {
	n := 1 + d.r.IntN(3)
	present := d.r.IntN(2*n) + 1
	d.files["curves.csv"] = curves(n)
	for i := 1; i <= n; i++ {
		at := fmt.Sprintf("pump.%d.", i)
		name := fmt.Sprintf("Pump %c", 'A'+i-1)
		d.text(at+"name", name)
		if d.chance(0.7) {
			d.text(at+"curve", "curves.csv")
			if d.chance(0.5) {
				d.text(at+"name", name+" in the shed")
				d.text(at+"curve_row", name)
			}
		} else {
			d.draw(at+"label_flow", at+"label_head")
		}
		d.maybe(0.3, at+"label_power", at+"metered_power", at+"metered_flow", at+"voltage", at+"power_factor", at+"least_speed", at+"fixed_watts",
			at+"count", at+"own_lines", at+"rated_continuous", at+"flow_tolerance", at+"head_tolerance", at+"price", at+"life")
		supply := one(d, "AC", "DC")
		d.text(at+"supply", supply)
		if d.chance(0.4) {
			d.text(at+"speed_control", one(d, "none", "yes"))
		} else if supply == "DC" && d.chance(0.5) {
			d.text(at+"speed_control", "follows voltage")
		}
		if supply == "DC" && d.keys[at+"speed_control"] != quote("follows voltage") {
			d.maybe(0.5, at+"voltage_behaviour")
		}
		if i == present {
			d.set(at+"present", "true")
			d.maybe(0.5, at+"age")
		}
		if d.chance(0.1) {
			d.set("choice.pump", d.keys[at+"name"])
		}
	}
}

func (d *drawing) lines() {
	d.draw("lift.static_head")
	d.maybe(0.4, "lift.crest", "lift.vented")
	branches := 0
	if d.chance(0.3) {
		branches = 1 + d.r.IntN(3)
	}
	if branches == 0 || d.chance(0.5) {
		d.feeds("feed")
	}
	for i := 1; i <= branches; i++ {
		at := fmt.Sprintf("branch.%d", i)
		d.maybe(0.5, at+".name", at+".static_head", at+".valve_k")
		d.feeds(at + ".feed")
	}
	switch d.r.IntN(4) {
	case 0:
		d.draw("filter.volume", "filter.area")
	case 1:
		d.draw("filter.volume", "filter.depth")
	case 2:
		d.draw("filter.area", "filter.depth")
	}
	d.maybe(0.4, "filter.grain", "filter.voids")
	d.pipe("return")
	d.maybe(0.5, "return.manning_n", "return.fall", "return.length", "return.freeboard", "return.screen_area", "return.blocked", "return.drop")
	d.maybe(0.1, "return.lip_width")
	if d.chance(0.1) && d.keys["pump.2.name"] == "" {
		d.draw("measured.flow")
		d.maybe(0.5, "measured.line")
		d.text("measured.date", "2026-03-14")
	}
}

func (d *drawing) pipe(at string) {
	switch d.r.IntN(2) {
	case 0:
		pipes := data.Pipes()
		d.text(at+".pipe", pipes[d.r.IntN(len(pipes))].Name)
	case 1:
		d.draw(at + ".bore")
	}
}

func (d *drawing) feeds(list string) {
	for i := range 1 + d.r.IntN(3) {
		at := fmt.Sprintf("%s.%d", list, i+1)
		d.pipe(at)
		d.draw(at + ".length")
		if d.chance(0.3) {
			d.text(at+".roughness", fmt.Sprintf("%.4f mm", 0.19*d.r.Float64()))
		}
		if d.chance(0.1) {
			d.text(at+".rib_pitch", fmt.Sprintf("%.1f mm", 0.5+1.4*d.r.Float64())) // the least bore is 2 mm
		}
		switch d.r.IntN(3) {
		case 0:
			d.draw(at + ".fittings")
			d.maybe(0.15, at+".part")
		case 1:
			d.draw(at + ".loss_k")
		}
	}
}

func (d *drawing) site() {
	own := d.chance(0.3)
	switch {
	case own:
		// Twelve months of one's own must be such as the sky there allows.
		d.text("site.latitude", strconv.Itoa(d.r.IntN(2*widest+1)-widest))
		d.draw("site.longitude")
		d.text("site.climate", "climate.csv")
		d.files["climate.csv"] = climate()
	case d.chance(0.3):
		places := data.ClimatePlaces()
		d.text("site.place", places[d.r.IntN(len(places))].String())
	default:
		d.draw("site.latitude", "site.longitude")
	}
	if !own && d.chance(0.02) {
		d.text("site.weather", "weather.csv")
		d.files["weather.csv"] = weather()
	}
	if d.chance(0.3) {
		d.set("site.utc_offset", strconv.FormatFloat(float64(d.r.IntN(4*26))/4-12, 'f', -1, 64))
	}
	d.maybe(0.2, "site.altitude", "site.mains", "site.albedo", "site.shade", "site.shade_by_hour", "site.shade_of", "site.snow")
}

// widest is the latitude [degrees], north or south, up to which the sky allows the
// months of climate.
const widest = 35

func (d *drawing) run() {
	d.maybe(0.4, "run.speed", "run.months_off")
	if d.chance(0.4) {
		cuts := []int{d.r.IntN(8), 8 + d.r.IntN(8), 16 + d.r.IntN(8)}
		for i := range 1 + d.r.IntN(3) {
			at := fmt.Sprintf("run.band.%d.", i+1)
			d.text(at+"hours", fmt.Sprintf("%02d:30-%02d", cuts[i], (cuts[(i+1)%3]+24)%24))
			d.draw(at + "speed")
			d.maybe(0.5, at+"months")
			if d.chance(0.1) {
				d.set(at+"speed", "0")
			}
		}
	}
	d.maybe(0.3, "air.power", "air.hours", "air.months")
}

func (d *drawing) mains() {
	switch d.r.IntN(4) {
	case 0:
		d.draw("mains.price")
	case 1:
		d.priceBands()
	case 2:
		n := 1 + d.r.IntN(4)
		for i := 1; i <= n; i++ {
			at := fmt.Sprintf("mains.tier.%d.", i)
			d.draw(at + "price")
			if i < n {
				d.text(at+"up_to", fmt.Sprintf("%d kWh", 150*i+d.r.IntN(100)))
			}
		}
		d.draw("mains.other_use")
	}
	d.maybe(0.4, "mains.currency", "mains.daily_charge", "mains.own_meter", "mains.price_rise", "mains.discount_rate", "mains.years",
		"mains.supply_efficiency", "mains.carbon_per_kwh")
}

// priceBands covers every hour once: a night all week, and the day apart for
// weekdays and weekends, or by season.
func (d *drawing) priceBands() {
	from, to := d.r.IntN(4)+20, d.r.IntN(4)+5
	night, day := fmt.Sprintf("%02d-%02d", from, to), fmt.Sprintf("%02d-%02d", to, from)
	d.text("mains.band.1.hours", night)
	for i, key := range []string{"days", "months"}[d.r.IntN(2):][:1] {
		for n, half := range map[string][2]string{"days": {"weekdays", "weekends"}, "months": {"Apr-Sep", "Oct-Mar"}}[key] {
			at := fmt.Sprintf("mains.band.%d.", 2+i+n)
			d.text(at+"hours", day)
			d.text(at+key, half)
			d.draw(at + "price")
		}
	}
	d.draw("mains.band.1.price")
}

func (d *drawing) power() {
	if d.chance(0.2) {
		d.draw("load.power")
		d.maybe(0.5, "load.hours")
	} else if d.chance(0.1) {
		d.text("load.series", "series.csv")
		d.files["series.csv"] = series()
	}
	if d.chance(0.5) {
		d.draw("panel.working_voltage")
		if d.chance(0.7) {
			v, err := strconv.ParseFloat(strings.TrimSuffix(strings.Trim(d.keys["panel.working_voltage"], `"`), " V"), 64)
			if err != nil || v > 1200 {
				v = 18
				d.text("panel.working_voltage", "18 V")
			}
			d.text("panel.open_circuit_voltage", fmt.Sprintf("%.4g V", v*1.22))
		}
	}
	choices, _ := plan.KeyNamed("battery.kind")
	kind, err := data.BatteryKindOf(one(d, choices.Choices...))
	if err != nil {
		panic("plantest: " + err.Error()) // the key table names a kind without a row
	}
	d.text("battery.kind", kind.Kind)
	if d.chance(0.5) {
		cells := 12.0 // a kind without cells takes any voltage
		if kind.CellVolts.Known {
			cells = kind.CellVolts.Value
		}
		v := cells * float64(one(d, 4, 6, 8, 12, 16, 24))
		d.text("battery.voltage", fmt.Sprintf("%.1f V", v))
		d.text("battery.unit_voltage", fmt.Sprintf("%.4f V", v/float64(one(d, 1, 2, 4))))
	} else if d.chance(0.3) {
		d.draw("battery.unit_voltage")
	}
	low := 0.05 + 0.4*d.r.Float64()
	if d.chance(0.4) {
		d.set("battery.cut_off", fmt.Sprintf("%.3f", low))
	}
	if d.chance(0.4) {
		d.set("battery.reconnect", fmt.Sprintf("%.3f", low+0.1+0.3*d.r.Float64()))
	}
	if d.chance(0.3) {
		d.text("battery.size", one(d, "110 Ah", "1.2 kWh", "600 Wh", "0"))
	}
}

// rest draws the keys that no rule ties to others.
func (d *drawing) rest() {
	tied := map[string]bool{
		"battery.kind": true, "battery.voltage": true, "battery.unit_voltage": true, "battery.cut_off": true, "battery.reconnect": true, "battery.size": true,
		"panel.working_voltage": true, "panel.open_circuit_voltage": true, "controller.own_draw": true, "controller.price": true, "controller.price_per_amp": true,
	}
	for _, k := range plan.KeyTable() {
		section, _, _ := strings.Cut(k.Path, ".")
		switch section {
		case "water", "panel", "controller", "charger", "inverter", "regulator", "cable", "battery", "reliability":
			if !tied[k.Path] {
				d.maybe(0.2, k.Path)
			}
		}
	}
	d.maybe(0.2, one(d, "controller.price", "controller.price_per_amp"))
	d.set("reliability.years", strconv.Itoa(1+d.r.IntN(2))) // more only costs time
	if d.chance(0.3) {
		d.text("controller.own_draw", fmt.Sprintf("%.2f W", 1.5*d.r.Float64()))
		if w, given := d.keys["panel.watts"]; given && len(w) < 6 { // a panel of a few watts
			d.text("panel.watts", "60 W")
		}
	}
	d.maybe(0.4, "upkeep.clean_every", "upkeep.flow_loss_when_dirty")
	if d.chance(0.1) {
		d.text("upkeep.log", "log.csv")
		d.files["log.csv"] = "date,bucket (L),time (s)\n2026-03-01,12,14.8\n2026-04-01,12,16.1\n2026-05-02,12,18.9\n"
	}
}
