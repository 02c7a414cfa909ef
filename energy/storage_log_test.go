package energy

import (
	"errors"
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/solar/sky"
)

// pencilLog is two days of a log: 50 W of panel in four hours around noon, a
// steady load of 10 W.
func pencilLog() *data.Series {
	s := &data.Series{File: "log.csv"}
	for hour := range 48 {
		panel := 0.0
		if hour%24 >= 10 && hour%24 < 14 {
			panel = 50
		}
		s.PanelW, s.LoadW = append(s.PanelW, panel), append(s.LoadW, 10)
	}
	return s
}

// TestLogWithAPencil: of 480 Wh asked for, the panel meets 8 h x 10 W directly.
// Without a battery the other 400 Wh are missed and 2 x 4 h x 40 W = 320 Wh
// spilled. An ideal battery of 1000 Wh, full at first, gives 100 Wh before the
// first noon; then 100 Wh of the 160 Wh fit in; 2 x 160 Wh of surplus meet 400 Wh
// of need, so that it ends at 1000 - 400 + stored.
func TestLogWithAPencil(t *testing.T) {
	for _, c := range []struct {
		battery               string
		unmet, spilled, ended float64
	}{
		{"0 Wh", 400, 320, 0},
		// Night 0-10: -100. Noon: +160 into 100 of room: 60 spilled. 14-34: -200.
		// Noon: +160. 38-48: -100. 1000 - 100 + 100 - 200 + 160 - 100.
		{"1000 Wh", 0, 60, 860},
	} {
		s, err := NewStorage(plantest.SteadyLoad(t, "battery.kind=ideal", "battery.size="+c.battery, "panel.watts=100 W"), StorageFiles{Series: pencilLog()})
		if err != nil {
			t.Fatal(err)
		}
		if s.Record.Panel[12] != 0.5 {
			t.Errorf("a watt of panel makes %g W, want 50/100", s.Record.Panel[12])
		}
		b, err := s.Balance(false)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			what      string
			got, want float64
		}{{"load", b.LoadWh, 480}, {"panel", b.PanelWh, 400}, {"unmet", b.UnmetWh, c.unmet}, {"spilled", b.SpilledWh, c.spilled}, {"end", b.EndWh, c.ended},
			{"unmet fraction", b.UnmetFraction(), c.unmet / 480}, {"energy ratio", b.EnergyRatio(), 400. / 480}} {
			if math.Abs(x.got-x.want) > 1e-9 {
				t.Errorf("%s: %s %g, want %g", c.battery, x.what, x.got, x.want)
			}
		}
	}
}

// TestLogOfACellThatMayNotFreeze: a log without temperatures cannot count the
// cold hours of a kind that must not be charged in them, and says so.
func TestLogOfACellThatMayNotFreeze(t *testing.T) {
	s, err := NewStorage(plantest.SteadyLoad(t, "battery.kind=LiFePO4", "battery.size=500 Wh"), StorageFiles{Series: pencilLog()})
	if err != nil {
		t.Fatal(err)
	}
	if s.PanelW != figure.Known(1.0) {
		t.Errorf("a log without panel watts is the whole panel: %+v", s.PanelW)
	}
	for _, w := range s.Warnings {
		if w.Key == "battery.temperature" && strings.Contains(w.Message.String(), "holds no temperature") {
			return
		}
	}
	t.Errorf("%v does not say that the cold is not counted", s.Warnings)
}

// coldWeather is a year of sun from 8 to 16 h, colder than 0 °C in its first half.
func coldWeather() *data.Weather {
	w := &data.Weather{File: "cold.csv", Format: "CSV", Located: true, LatDeg: 52.4, LonDeg: 13.1, Clocked: true, UTCOffsetH: 1, Step: data.StepHour}
	for hour := range 8760 {
		sun, air := 0.0, 10.0
		if hour%24 >= 8 && hour%24 < 16 {
			sun = 20
		}
		if hour < 4380 {
			air = -10
		}
		w.GHI, w.TempC = append(w.GHI, sun), append(w.TempC, air)
	}
	return w
}

// TestFrozenCellsAreNotCharged: half the year lies below 0 °C. The battery begins
// full, runs empty within two days of 480 Wh and is charged again only in the
// second half: a larger panel cannot help the first, a battery indoors does.
func TestFrozenCellsAreNotCharged(t *testing.T) {
	files := StorageFiles{SiteFiles: sky.SiteFiles{Weather: coldWeather()}}
	unmet := func(sets ...string) (float64, []data.Warning) {
		s, err := NewStorage(plantest.SteadyLoad(t, append([]string{"battery.size=600 Wh", "panel.watts=4000 W", "panel.tilt=0"}, sets...)...), files)
		if err != nil {
			t.Fatal(err)
		}
		b, err := s.Balance(true)
		if err != nil {
			t.Fatal(err)
		}
		return b.UnmetFraction(), s.Warnings
	}
	outside, warnings := unmet()
	said := false
	for _, w := range warnings {
		said = said || strings.Contains(w.Message.String(), "of the panel's energy comes while it is colder than 0 C")
	}
	if !said {
		t.Errorf("%v does not say how much sun is lost to the cold", warnings)
	}
	// Of 24 h the sun meets 8 directly; the other 16 h of half the year are missed.
	if outside < 0.9*0.5*16/24 {
		t.Errorf("outside, %.3f of the energy is missed; half of the nights are dark", outside)
	}
	if inside, _ := unmet("battery.temperature=15 C"); inside > 0.01 {
		t.Errorf("indoors, %.3f is missed", inside)
	}
}

// TestStoragePricesByHand: 100 W at 2.00, 0.20 a watt of frame, 1000 Wh at 0.50, a
// controller for 60.00 and 40.00 beside make 820.00. Without discount each costs its
// price over its life a year; at 5 % a price paid over 20 years is divided by 12.46221,
// the annuity of Panneerselvam's tables.
func TestStoragePricesByHand(t *testing.T) {
	storage := func(sets ...string) *Storage {
		s, err := NewStorage(plantest.SteadyLoad(t, append(sets, "reliability.years=1")...), StorageFiles{})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for rate, perYear := range map[string]float64{"0": (200+20+40)/20. + 60/20. + 500/4., "5 %": 320/12.46221 + 500*0.2820118} {
		shop := storage("panel.price_per_watt=2", "panel.mounting_per_watt=0.2", "battery.price_per_wh=0.5", "controller.price=60",
			"panel.extra_price=40", "panel.life=20 years", "controller.life=20 years", "mains.discount_rate="+rate).shop(false)
		c := shop.CostOf(100, 1000, 4)
		reftest.Near(t, "price", float64(c.Price), 820, 1e-9)
		reftest.Near(t, "a year", float64(c.PerYear), perYear, 1e-4)
	}
	for _, lacking := range []string{"panel.price_per_watt", "battery.price_per_wh"} {
		other := map[string]string{"panel.price_per_watt": "battery.price_per_wh=1", "battery.price_per_wh": "panel.price_per_watt=1"}[lacking]
		if shop := storage(other).shop(false); !strings.Contains(shop.NoMoney.String(), lacking) || shop.PerWh != 0.9 || shop.PerAmp != 6 {
			t.Errorf("without %s: %+v", lacking, shop)
		}
	}
}

// TestNothingReachesSaysWhatWould: the best pair is named with what it misses,
// and the panel that is said to do does.
func TestNothingReachesSaysWhatWould(t *testing.T) {
	s, err := NewStorage(plantest.SteadyLoad(t, "panel.watts=120 W", "battery.sizes=500 Wh; 2000 Wh", "reliability.unmet_energy=0.001", "reliability.years=1"), StorageFiles{})
	if err != nil {
		t.Fatal(err)
	}
	s = s.Sheltered()
	z, err := s.Size()
	if err != nil || z.Nothing == nil {
		t.Fatalf("120 W of panel carry 20 W day and night through a Brandenburg winter: %v", err)
	}
	if !errors.Is(z.Nothing, battery.ErrNothingReaches) || z.Nothing.LoadShare <= 0 || z.Nothing.LoadShare >= 1 ||
		!strings.Contains(z.Nothing.Error(), "120 W of panel with 500 Wh, a day's load") || !strings.Contains(z.Nothing.Error(), "% of the load") {
		t.Errorf("%v", z.Nothing)
	}
	r := s.Record
	r.Panel = supply.Times(r.Panel, z.Nothing.NeedPanelW)
	b, err := battery.BalanceOf(r, s.Battery, units.Energy(z.Nothing.NeedPanelWh)*units.WattHour, battery.BalanceOptions{StartCharge: 1, Repeat: true, Connected: true})
	if err != nil || b.UnmetFraction() > 0.001 {
		t.Errorf("%.0f W are said to do and miss %g: %v", z.Nothing.NeedPanelW, b.UnmetFraction(), err)
	}
}
