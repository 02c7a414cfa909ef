package supply

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// Conductor is one row of the cable table: a flexible copper conductor of
// standard make (IEC 60228 class 5), as pond cables have.
type Conductor struct {
	Area     units.Area
	OhmPerKm float64       // largest resistance at 20 °C [ohm/km]
	Ampacity units.Current // it may carry
	Source   string
}

// Figure returns the area, which a conductor is bought by.
func (c Conductor) Figure() (v any, known bool, why units.Text) { return c.Area, true, "" }

// Conductors returns the flexible rows of the cable table, the thinnest first.
func Conductors() []Conductor {
	var out []Conductor
	for _, r := range data.CableSizes() {
		if r.Class == 5 {
			area := units.Area(r.AreaMM2) * units.SquareMillimetre
			out = append(out, Conductor{area, float64(r.OhmPerKm20C), units.Current(r.AmpacityA), r.Source})
		}
	}
	return out
}

// ResistancePerMetre returns the resistance of one conductor at temperature t
// [ohm/m]:
//
//	R = R20 data.Copper(t)
//
// R20 of stranded cable lies some 7 % above the hand
// formula rho/A with solid copper's 0.0175 ohm mm²/m, which is why the table's
// resistance is taken and not the area.
func (c Conductor) ResistancePerMetre(t units.Temperature) float64 {
	return c.OhmPerKm / 1000 * data.Copper(t)
}

// Cable is a two-wire run from the source to the pump.
type Cable struct {
	Run         units.Length // one way
	Conductor   Conductor
	Temperature units.Temperature // of the copper; 0: 40 °C
}

// Loop returns the resistance out and back [ohm].
func (c Cable) Loop() float64 {
	t := c.Temperature
	if t == 0 {
		t = units.Celsius(data.WarmCopper)
	}
	return 2 * float64(c.Run) * c.Conductor.ResistancePerMetre(t)
}

// Drop returns the voltage lost both ways at current i.
func (c Cable) Drop(i units.Current) units.Voltage { return units.Voltage(float64(i) * c.Loop()) }

// ConductorOf returns the conductor of area from rows, the thinnest first. An
// area between two rows takes the larger of their resistances per area, which is
// on the safe side, and comes with a warning. An area outside the rows is an error.
func ConductorOf(rows []Conductor, area units.Area) (Conductor, []data.Warning, error) {
	mm2 := func(a units.Area) float64 { return a.In(units.SquareMillimetre) }
	first, last := rows[0], rows[len(rows)-1]
	if !(area >= first.Area*(1-1e-9) && area <= last.Area*(1+1e-9)) {
		return Conductor{}, nil, data.Outside("cable.area", units.Sprintf("%g mm2", mm2(area)),
			units.Sprintf("%g to %g mm2, as the cable table has", mm2(first.Area), mm2(last.Area)))
	}
	for i, r := range rows {
		if math.Abs(float64(r.Area/area)-1) < 1e-9 {
			return r, nil, nil
		}
		if r.Area < area {
			continue
		}
		below := rows[i-1]
		perArea := max(r.OhmPerKm*float64(r.Area), below.OhmPerKm*float64(below.Area))
		c := Conductor{area, perArea / float64(area), below.Ampacity, "between two rows: " + r.Source}
		return c, []data.Warning{{Key: "cable.area", Message: units.Say(
			"%g mm2 is no standard size; its resistance is taken from the rows beside it and its rating from the smaller", mm2(area))}}, nil
	}
	return last, nil, nil
}

// AWG returns the American wire gauge of the next size no thinner than area, as
// 12, 1/0 or 4/0; "" beyond 4/0. The diameter of a solid wire of gauge n is
//
//	d = 0.127 mm × 92^((36 - n)/39),  n = 0, -1, -2, -3 for 1/0, 2/0, 3/0, 4/0
//
// Of the gauges above 4 only the even are sold (common practice, no source).
// Source: ASTM B258.
func AWG(area units.Area) string {
	d := math.Sqrt(4 * area.In(units.SquareMillimetre) / math.Pi)
	n := int(math.Floor(36 - 39*math.Log(d/0.127)/math.Log(92) + 1e-9))
	switch {
	case n < -3:
		return ""
	case n <= 0:
		return fmt.Sprintf("%d/0", 1-n)
	case n > 4:
		n -= n % 2
	}
	return fmt.Sprint(n)
}

// GaugeOf returns the American gauge of a conductor.
func GaugeOf(c figure.Maybe[Conductor]) figure.Maybe[string] {
	if !c.Known {
		return figure.Unknown[string](c.Why)
	}
	gauge := AWG(c.Value.Area)
	return figure.Given(gauge != "", gauge, "no gauge is so thick")
}

// LeastFixed is the least copper of fixed wiring for power (IEC 60364-5-52, table
// 52.2, from memory), taken for every cable that is chosen here.
const LeastFixed = 1.5 * units.SquareMillimetre

// FixedWiring returns the conductors that fixed wiring may be made of.
func FixedWiring() []Conductor {
	return slices.DeleteFunc(Conductors(), func(c Conductor) bool { return c.Area < LeastFixed*(1-1e-9) })
}

// ErrNoConductor is returned where no row of the cable table is thick enough.
var ErrNoConductor = errors.New("no cable in the table is thick enough")

// LeastConductor returns the first of rows, the thinnest first, that carries i over
// run with at most data.UsualDrop of v lost both ways, and that may carry i at all.
func LeastConductor(rows []Conductor, i units.Current, run units.Length, v units.Voltage) (Conductor, error) {
	for _, r := range rows {
		if c := (Cable{Run: run, Conductor: r}); c.Drop(i) <= v*data.UsualDrop && r.Ampacity >= i {
			return r, nil
		}
	}
	return Conductor{}, units.Errorf("%w for %.3g A over %.3g m at %.3g V with %.2g %% lost: a shorter run or a higher voltage is needed",
		ErrNoConductor, float64(i), float64(run), float64(v), data.UsualDrop*100)
}

// Carrying returns the conductors of fixed wiring that may carry i in air of temperature
// air, whatever their length, with what each may carry there as its Ampacity:
//
//	I = I_30 k(air)
//
// Source of k: IEC 60364-5-52, from memory (data/cable_heat.csv).
func Carrying(i units.Current, air units.Temperature) ([]Conductor, error) {
	rows := FixedWiring()
	for k := range rows {
		rows[k] = rows[k].In(air)
	}
	rows = slices.DeleteFunc(rows, func(c Conductor) bool { return c.Ampacity < i })
	if len(rows) == 0 {
		return nil, units.Errorf("%w for %.3g A: several circuits or a higher voltage are needed", ErrNoConductor, float64(i))
	}
	return rows, nil
}

// In returns c with what it may carry in air of that temperature as its Ampacity.
func (c Conductor) In(air units.Temperature) Conductor {
	rows := data.CableHeats()
	t := min(max(air.InCelsius(), rows[0].AmbientC), rows[len(rows)-1].AmbientC)
	k := 1
	for rows[k].AmbientC < t {
		k++
	}
	a, b := rows[k-1], rows[k]
	c.Ampacity *= units.Current(a.Factor + (b.Factor-a.Factor)*(t-a.AmbientC)/(b.AmbientC-a.AmbientC))
	return c
}

// ErrCableTooThin is returned where no current can bring the power asked for
// through a cable.
var ErrCableTooThin = errors.New("the cable is too thin for this load")

// endVoltage returns the voltage at the far end of a loop of resistance r
// [ohm] fed at v0 [V] where the load takes p [W] whatever its voltage:
//
//	V = (V0 + sqrt(V0² - 4 R P)) / 2
//
// the larger root of V0 = V + R P/V; the smaller one is unstable.
func endVoltage(v0 units.Voltage, r float64, p units.Power) (units.Voltage, error) {
	d := float64(v0*v0) - 4*r*float64(p)
	if d < 0 {
		return 0, units.Errorf("%w: %.3g W cannot be had from %.3g V through %.3g ohm", ErrCableTooThin, float64(p), float64(v0), r)
	}
	return (v0 + units.Voltage(math.Sqrt(d))) / 2, nil
}
