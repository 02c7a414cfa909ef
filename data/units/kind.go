package units

import "strconv"

// Kind names a quantity that a person can type, so that a table of keys or
// columns can say what each one holds. The zero Kind is none of them.
type Kind int

// The kinds, each with the unit that Parse returns it in.
const (
	_               Kind = iota
	KindLength           // m
	KindBore             // m, a Length shown in mm or inches
	KindHead             // m, a Length that also takes pressures of water
	KindArea             // m²
	KindVolume           // m³
	KindFlow             // m³/s
	KindVelocity         // m/s
	KindMass             // kg
	KindFeedRate         // kg/s
	KindPower            // W
	KindEnergy           // J
	KindCharge           // C
	KindVoltage          // V
	KindCurrent          // A
	KindIrradiance       // W/m²
	KindAngle            // rad
	KindTime             // s
	KindTemperature      // K
	KindShare            // 1
	kindPressure         // m of water; only inside KindHead
	kindCount
)

type trait struct {
	name    string    // as in the key table
	phrase  string    // with its article
	example string    // a right form to show
	signed  bool      // a minus makes sense
	home    string    // symbol that String prints
	shown   [3]string // symbol that each System shows, where people read another than String prints too
}

func same(symbol string) [3]string { return [3]string{symbol, symbol, symbol} }

var traits = [kindCount]trait{
	KindLength:      {"length", "a length", "0.9 m", true, "m", [3]string{"m", "ft", "ft"}},
	KindBore:        {"bore", "a length", "25 mm", true, "mm", [3]string{"mm", "in", "in"}},
	KindHead:        {"head", "a head", "0.9 m", true, "m", [3]string{"m", "ft", "ft"}},
	KindArea:        {"area", "an area", "24 m²", false, "m²", [3]string{"m²", "ft²", "ft²"}},
	KindVolume:      {"volume", "a volume", "9.2 m³", false, "m³", [3]string{"m³", "US gal", "imp gal"}},
	KindFlow:        {"flow", "a flow", "2400 L/h", false, "m³/h", [3]string{"L/h", "US gal/h", "imp gal/h"}},
	KindVelocity:    {"velocity", "a velocity", "0.6 m/s", false, "m/s", [3]string{"m/s", "ft/s", "ft/s"}},
	KindMass:        {"mass", "a mass", "3 kg", false, "kg", [3]string{"kg", "lb", "lb"}},
	KindFeedRate:    {"feed rate", "a feed rate", "30 g/day", false, "g/day", [3]string{"g/day", "oz/day", "oz/day"}},
	KindPower:       {"power", "a power", "65 W", false, "W", same("W")},
	KindEnergy:      {"energy", "an energy", "600 Wh", false, "Wh", same("Wh")},
	KindCharge:      {"charge", "a charge", "110 Ah", false, "Ah", same("Ah")},
	KindVoltage:     {"voltage", "a voltage", "24 V", false, "V", same("V")},
	KindCurrent:     {"current", "a current", "2.7 A", false, "A", same("A")},
	KindIrradiance:  {"irradiance", "an irradiance", "1000 W/m²", false, "W/m²", same("W/m²")},
	KindAngle:       {"angle", "an angle", "30°", true, "°", same("°")},
	KindTime:        {"time", "a time", "8 h", false, "h", same("h")},
	KindTemperature: {"temperature", "a temperature", "12 °C", true, "°C", [3]string{"°C", "°F", "°C"}},
	KindShare:       {"share", "a share", "80 %", true, "%", same("%")},
	kindPressure:    {"pressure", "a pressure", "9 kPa", false, "kPa", same("kPa")},
}

// String returns the name of k as key tables write it, such as "feed rate".
func (k Kind) String() string {
	if k <= 0 || k >= kindCount {
		return "Kind(" + strconv.Itoa(int(k)) + ")"
	}
	return traits[k].name
}

// KindNamed returns the kind with that name, and whether there is one.
func KindNamed(name string) (Kind, bool) {
	for k := KindLength; k < kindPressure; k++ {
		if traits[k].name == name {
			return k, true
		}
	}
	return 0, false
}

// Kinds returns every kind that Parse takes.
func Kinds() []Kind {
	all := make([]Kind, 0, kindPressure)
	for k := KindLength; k < kindPressure; k++ {
		all = append(all, k)
	}
	return all
}

// Example returns a right form of a quantity of kind k, such as "2400 L/h".
func (k Kind) Example() string { return traits[k].example }

// Phrase returns the name of k with its article, such as "a flow".
func (k Kind) Phrase() string { return traits[k].phrase }

// families returns the kinds whose units k takes.
func (k Kind) families() []Kind {
	switch k {
	case KindBore:
		return []Kind{KindLength}
	case KindHead:
		return []Kind{KindLength, kindPressure}
	}
	return []Kind{k}
}

// Home returns the unit that Format and String print a quantity of kind k in.
func (k Kind) Home() Unit { return mustFind(k, traits[k].home) }

// Format returns a quantity given in the base unit of k as text in its
// customary unit, to 12 digits. Parse reads it back to within 1e-11.
func Format(k Kind, base float64) string {
	u := k.Home()
	if u.symbol == "°" {
		return number12(u.From(base)) + "°"
	}
	return number12(u.From(base)) + " " + u.symbol
}
