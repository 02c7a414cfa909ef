package bill

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/figure"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/money"
)

// shop sells panels of 330 W, batteries of 100 Ah at 12.8 V and of 600 Wh, and three controllers.
func shop() Shop {
	return Shop{
		Panels:    []units.Power{330, 100},
		Batteries: []Unit{{Charge: 100 * units.AmpereHour}, {Energy: 600 * units.WattHour}}, UnitV: 12.8,
		Volts:       []units.Voltage{12.8, 25.6, 51.2},
		Controllers: []Controller{{Current: 10}, {Current: 30, Power: 440}, {Current: 60}}, PerAmpere: Oversize * 1.1,
		PerWatt: 2, MountingPerWatt: 0.5, PerWh: 0.25, PerAmp: 3, Extra: 50, PanelLife: 20, ControllerLife: 10, Rate: 0.05,
	}
}

// TestBillByHand: 990 W are three panels of 330 W and 4.71 m². At 12.8 V 60 A carry
// 1.3 × 60 × 1.1 × 12.8 = 1098 W, so that one controller does at the lowest voltage; 2560
// Wh are two batteries of 1280 Wh side by side. 20 years at 5 % divide by 12.46221, the
// annuity of Panneerselvam's tables; ten by 7.72173.
func TestBillByHand(t *testing.T) {
	s := shop()
	b := s.Of(990, 2560, 10)
	if b.PanelUnits.Value != 3 || b.PanelUnitW.Value != 330 || b.BatteryUnits.Value != 2 || b.InSeries.Value != 1 || b.BatteryUnitWh.Value != 1280 ||
		b.BatteryV != 12.8 || b.Controllers != 1 || b.ControllerA.Value != 60 {
		t.Errorf("%+v", b)
	}
	reftest.Near(t, "m2", b.PanelArea.Value, 4.714286, 1e-6)
	reftest.Near(t, "price", float64(b.Price), 990*2.5+50+640+180, 1e-9)
	reftest.Near(t, "a year", float64(b.PerYear), (990*2.5+50)/12.46221+(640+180)/7.72173, 1e-3)
	// 1320 W are too much for one controller at 12.8 V; 25.6 V have the fewest, and two in series.
	if b = s.Of(1320, 2560, 10); b.BatteryV != 25.6 || b.Controllers != 1 || b.BatteryUnits.Value != 2 || b.InSeries.Value != 2 {
		t.Errorf("%+v", b)
	}
	// 440 W of rated output at 12 V carry 610 W at 12.8 V, one panel of 330 W; two of 100 W take 10 A at no voltage but the highest.
	if b = s.Of(330, 1280, 10); b.ControllerA.Value != 30 || b.BatteryV != 12.8 {
		t.Errorf("%+v", b)
	}
	s.Panels = nil
	if b = s.Of(100, 700, 10); b.PanelUnits.Known || b.BatteryUnits.Known || b.ControllerA.Value != 10 {
		t.Errorf("%+v", b)
	}
}

// TestRatedWattsFollowTheVoltage: 440 W at 12 V are 939 W at 25.6 V, which carry 1220 W, so that
// 30 A bind at 1098 W: one controller takes the 990 W that need three at 12.8 V.
func TestRatedWattsFollowTheVoltage(t *testing.T) {
	s := shop()
	s.Controllers = s.Controllers[1:2]
	if b := s.Of(990, 2560, 10); b.BatteryV != 25.6 || b.Controllers != 1 {
		t.Errorf("%d controllers at %g V", b.Controllers, float64(b.BatteryV))
	}
}

// TestUnfitControllers: what no controller takes has no price, and without any none is needed.
func TestUnfitControllers(t *testing.T) {
	s := shop()
	s.Controllers = []Controller{{Current: 10}}
	s.Panels = []units.Power{900} // 10 A carry 732 W at 51.2 V
	if c := s.CostOf(900, 0, 1); !math.IsInf(float64(c.Price), 1) || !math.IsInf(float64(c.PerYear), 1) {
		t.Errorf("%+v", c)
	}
	s.Controllers = []Controller{}
	if c := s.CostOf(100, 0, 1); !math.IsInf(float64(c.Price), 1) {
		t.Errorf("%+v", c)
	}
	s.Controllers, s.PerController, s.Inverter, s.InverterLife = nil, 99, 200, 10
	reftest.Near(t, "no controller", float64(s.CostOf(900, 0, 1).Price), 900*2.5+50+200, 1e-9)
	s.Controllers, s.PWM, s.PerAmpere = []Controller{{Current: 30}}, true, 14.4 // 432 W at any voltage
	if b := s.Of(1800, 1280, 5); b.Controllers != -1 || !math.IsInf(float64(b.Price), 1) {
		t.Errorf("%+v", b)
	}
	s.Panels = []units.Power{200}
	if b := s.Of(1800, 1280, 5); b.Controllers != 5 || b.BatteryV != 12.8 {
		t.Errorf("%+v", b)
	}
}

// TestSmallBatteriesStandFourAbreast: five of 100 Ah do where nothing larger is on sale;
// of 600 Wh four do at most.
func TestSmallBatteriesStandFourAbreast(t *testing.T) {
	s := shop()
	s.Volts = s.Volts[:1]
	for _, c := range [][2]float64{{500, 600}, {1250, 1280}, {1300, 1800}, {2399, 2400}, {2401, 2560}, {2600, 3840}, {6000, 6400}} {
		if got := s.OnSale(330, c[0]); math.Abs(got-c[1]) > 1e-9 {
			t.Errorf("%g Wh: %g on sale, want %g", c[0], got, c[1])
		}
	}
	s.OnlyWh = figure.Known(700.0)
	if s.OnSale(330, 700) != 700 || !math.IsInf(s.OnSale(330, 701), 1) || s.Of(330, 700, 5).BatteryUnits.Known {
		t.Error("a battery of one's own is not the only one")
	}
}

// TestBillHolds: the panel on a controller never passes its output by more than Oversize,
// units make the whole, and a larger battery or panel at one voltage is never cheaper.
func TestBillHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := shop()
		s.BatteryLife = rapid.Float64Range(0, 30).Draw(t, "most years")
		s.Panels = []units.Power{units.Power(rapid.IntRange(20, 700).Draw(t, "panel"))}
		s.PanelSeries = rapid.IntRange(1, 2).Draw(t, "in series")
		w := s.Strings()[0] * float64(rapid.IntRange(1, 20).Draw(t, "strings"))
		wh := s.OnSale(w, rapid.Float64Range(1, 20000).Draw(t, "Wh"))
		life := rapid.Float64Range(0.1, 40).Draw(t, "life")
		b := s.Of(w, wh, life)
		if b.Controllers < 0 {
			t.Skip("no controller takes a string")
		}
		// Each has whole strings; one of the largest may have one more than another.
		each := math.Ceil(w/s.Strings()[0]/float64(b.Controllers)-1e-9) * s.Strings()[0]
		if most := Oversize * 1.1 * b.ControllerA.Value * float64(b.BatteryV); each > most*(1+1e-9) {
			t.Fatalf("%g W on %g A at %g V, which carry %g W", each, b.ControllerA.Value, float64(b.BatteryV), most)
		}
		if math.Abs(float64(b.PanelUnits.Value)*b.PanelUnitW.Value-w) > 1e-6 || math.Abs(float64(b.BatteryUnits.Value)*b.BatteryUnitWh.Value-wh) > 1e-6 {
			t.Fatalf("%+v are not %g W with %g Wh", b, w, wh)
		}
		if more := s.CostOf(w, 2*wh, 2*life); more.PerYear < b.PerYear*(1-1e-12) || more.Price <= b.Price {
			t.Fatalf("a larger battery that lasts longer costs %g a year, less than %g", float64(more.PerYear), float64(b.PerYear))
		}
		sum := money.Money(0)
		for _, p := range b.Parts {
			sum += p.Price
		}
		if math.Abs(float64(sum-b.Price)) > 1e-9*float64(b.Price) {
			t.Fatalf("parts come to %g, the bill to %g", float64(sum), float64(b.Price))
		}
	})
}

// TestStringsByVoltage: where 25.6 V take two panels in series, an odd number of them stands at
// 12.8 V only, and no controller that cannot stand two.
func TestStringsByVoltage(t *testing.T) {
	s := shop()
	s.Panels, s.Volts, s.Series, s.OpenV = s.Panels[:1], s.Volts[:2], []int{1, 2}, 45
	s.Controllers = []Controller{{Current: 40, Voltage: 100}, {Current: 60, Voltage: 60}}
	// 40 A carry 1464 W at 25.6 V, 60 A 1098 W at 12.8 V.
	for panels, want := range map[float64][3]int{3: {1, 1, 60}, 4: {2, 1, 40}, 5: {1, 2, 60}} {
		if b := s.Of(330*panels, 2560, 10); b.PanelSeries != want[0] || b.Controllers != want[1] || int(b.ControllerA.Value) != want[2] {
			t.Errorf("%g panels: %d in series, %d controllers of %g A, want %v", panels, b.PanelSeries, b.Controllers, b.ControllerA.Value, want)
		}
	}
}

// TestBatteriesInSeries by hand: of 12.8 V and 100 Ah 1280 Wh each, one, two or four of them come
// to 12.8, 25.6 and 51.2 V, and more stand beside them; of those made for 48 V one does.
func TestBatteriesInSeries(t *testing.T) {
	for _, c := range []struct {
		volts, unit units.Voltage
		asked, wh   float64
		n, series   int
	}{
		{12.8, 12.8, 1280, 1280, 1, 1}, {12.8, 12.8, 2560, 2560, 2, 1}, {12.8, 12.8, 5120, 5120, 4, 1}, {12.8, 12.8, 6400, 6400, 5, 1},
		{12.8, 12.8, 10240, 10240, 8, 1},
		{25.6, 12.8, 1280, 2560, 2, 2}, {25.6, 12.8, 2560, 2560, 2, 2}, {25.6, 12.8, 5120, 5120, 4, 2}, {25.6, 12.8, 6400, 7680, 6, 2},
		{25.6, 12.8, 10240, 10240, 8, 2},
		{51.2, 12.8, 1280, 5120, 4, 4}, {51.2, 12.8, 2560, 5120, 4, 4}, {51.2, 12.8, 5120, 5120, 4, 4}, {51.2, 12.8, 6400, 10240, 8, 4},
		{51.2, 12.8, 10240, 10240, 8, 4},
		{48, 12, 4800, 4800, 4, 4}, {24, 6, 2400, 2400, 4, 4}, {48, 48, 4800, 4800, 1, 1},
	} {
		s := Shop{Batteries: []Unit{{Charge: 100 * units.AmpereHour}}, UnitV: c.unit, Volts: []units.Voltage{c.volts}, PerWh: 0.5}
		wh := s.OnSale(100, c.asked)
		b := s.Of(100, wh, 10)
		if math.Abs(wh-c.wh) > 1e-9 || b.BatteryUnits.Value != c.n || b.InSeries.Value != c.series || b.BatteryV != c.volts ||
			math.Abs(b.BatteryUnitWh.Value-100*float64(c.unit)) > 1e-9 || math.Abs(float64(b.Price)-0.5*wh) > 1e-9 {
			t.Errorf("%g Wh at %g V of %g V: %g Wh, %+v", c.asked, float64(c.volts), float64(c.unit), wh, b)
		}
		// By energy one battery is as much.
		s.Batteries = []Unit{{Energy: units.Energy(100*float64(c.unit)) * units.WattHour}}
		if e := s.Of(100, wh, 10); s.OnSale(100, c.asked) != wh || e.BatteryUnits != b.BatteryUnits || e.InSeries != b.InSeries {
			t.Errorf("%g Wh at %g V by energy: %+v", c.asked, float64(c.volts), e)
		}
	}
}

// TestWhatIsThereIsNotBoughtAgain: the bill of TestBillByHand with panel and battery there
// already holds the controller alone; a year still takes what wears out.
func TestWhatIsThereIsNotBoughtAgain(t *testing.T) {
	s := shop()
	s.OwnPanel, s.OwnBattery = true, true
	own := s.Of(990, 2560, 10)
	reftest.Near(t, "price", float64(own.Price), 180, 1e-9)
	reftest.Near(t, "a year", float64(own.PerYear), (990*2.5+50)/12.46221+(640+180)/7.72173, 1e-3)
	if own.Parts[Panel].Price != 0 || own.Parts[Mounting].Price != 0 || own.Parts[Battery].Price != 0 {
		t.Errorf("%+v", own.Parts)
	}
}
