package plan

import "sunrill/data/units"

// Plan is what a plan file says: one pond, its pumps, lines, prices, site and
// storage. The key of each field is its name without underscores, or its tag, under its
// section; data/keys.csv holds kind, range, default and help of every key.
//
// A pointer that is nil and a text that is empty were not given, and the
// table's rule decides them later. A field without a pointer has a constant
// default, which NewPlan and ReadPlan have filled in, or is needed wherever its
// section is given. Origins tells which is which.
type Plan struct {
	Name  string
	Pond  Pond
	Pumps []Pump `key:"pump"`
	// Choice is what the person has decided already.
	Choice struct{ Pump string }
	// Lift is the height that the water is raised, from the pond's surface.
	Lift struct {
		StaticHead, Crest *units.Length
		Vented            bool
	}
	Feeds    []Feed   `key:"feed"`
	Branches []Branch `key:"branch"`
	// Filter is the bed that the water passes.
	Filter struct {
		Volume *units.Volume
		Area   *units.Area
		Depth  *units.Length
		Grain  units.Length
		Voids  float64
	}
	// Return is the pipe that leads back to the pond.
	Return struct {
		Pipe                                    string
		Bore, Length, Freeboard, Drop, LipWidth *units.Length
		ManningN, Blocked                       float64
		Fall                                    float64 // drop over length
		ScreenArea                              *units.Area
	}
	// Upkeep is how the line is kept clean.
	Upkeep struct {
		CleanEvery        *units.Duration
		FlowLossWhenDirty float64
		Log               string
	}
	Measured Measured
	// Water is the pond's water.
	Water struct{ Temperature *[12]units.Temperature }
	Run   Run
	// Air is an air pump beside the water pump.
	Air struct {
		Power  *units.Power
		Hours  *Hours
		Months MonthSet
	}
	Load       Load
	Mains      Mains
	Site       Site
	Panel      Panel
	Controller Controller
	// Inverter feeds an AC pump from the battery.
	Inverter struct {
		Fitted           *bool
		Efficiency       float64
		Idle             units.Power
		Rated            *units.Power
		SwitchedWithPump bool
		Price            *Money
		Life             units.Duration
	}
	// Charger fills the battery from a generator when a stop nears.
	Charger struct {
		Power      *units.Power
		Price      *Money
		FuelPerKWh float64
	}
	// Regulator holds a DC pump on the battery at its rated voltage.
	Regulator struct {
		Fitted     bool
		Efficiency float64
	}
	// Cable leads from battery or controller to the pump.
	Cable struct {
		Run  *units.Length
		Area *units.Area
	}
	Battery Battery
	// Reliability is how often the water may stop, and how that is found out.
	Reliability struct {
		UnmetFlow, UnmetEnergy float64
		LongestStop            *units.Duration
		YearsInTen             *float64
		Years                  *int
		Seed                   int
	}

	// File is the path that the plan was read from as the person gave it; ""
	// where there was none, "-" for standard input.
	File string
	// Origins tells for each concrete key where its value came from, list items
	// counted from 1: "feed.1.length".
	Origins map[string]Origin

	tables map[string]Origin // headers of list items, "pump.2"
}

// Pond is the body of water and what lives in it.
type Pond struct {
	Volume                                                                    *units.Volume
	Shape, Stocking                                                           string
	Length, Width, Diameter, Depth, BottomLength, BottomWidth, BottomDiameter *units.Length
	IntakeHeight, IntakeDepth                                                 *units.Length
	Depths                                                                    []units.Length
	FillFlow                                                                  *units.Flow
	FillTime, TurnoverGoal                                                    *units.Duration
	VolumeError                                                               float64
	FishMass                                                                  *units.Mass
	FeedPerDay                                                                *units.FeedRate
	Surface                                                                   *units.Area
	Evaporation                                                               *[12]units.Velocity
}

// Pump is one pump on offer or in use. Voltage is what its curve was taken at.
type Pump struct {
	Name, Curve, Supply, SpeedControl, VoltageBehaviour   string
	CurveRow                                              string // "" means Name
	LabelFlow, MeteredFlow                                *units.Flow
	LabelHead                                             *units.Length
	LabelPower, MeteredPower, FixedWatts                  *units.Power
	Voltage                                               *units.Voltage
	PowerFactor, LeastSpeed, FlowTolerance, HeadTolerance float64
	Count                                                 int
	OwnLines, Present, RatedContinuous                    bool
	Price                                                 *Money
	Life                                                  units.Duration
	Age                                                   *units.Duration
}

// Feed is one piece of the line to the filter, in series with the others.
type Feed struct {
	Pipe                              string
	Bore, Roughness, RibPitch, Length *units.Length
	Fittings                          []Fitting
	Parts                             []Part `key:"part"`
	LossK                             *float64
}

// Part is a device in the line, of which the maker tells the head that it takes at a flow.
type Part struct {
	Head units.Length
	Flow units.Flow
}

// Fitting is a number of fittings of one name, a row of the table of fittings.
type Fitting struct {
	Name  string
	Count int
}

// Branch is one of several filters on the same pump.
type Branch struct {
	Name       string
	StaticHead *units.Length
	ValveK     float64
	Feeds      []Feed `key:"feed"`
}

// Measured is a flow that the keeper timed, of one line.
type Measured struct {
	Flow       *units.Flow
	Line, Date string
}

// Run says when the pump runs and how fast.
type Run struct {
	Speed     float64
	MonthsOff MonthSet
	Bands     []RunBand `key:"band"`
}

// RunBand is a speed for some hours of some months; 0 is off.
type RunBand struct {
	Hours  Hours
	Months MonthSet
	Speed  float64
}

// SpeedAt returns the speed in a half hour of the day in a month, both from 0.
func (r Run) SpeedAt(month, half int) float64 {
	if r.MonthsOff>>month&1 == 1 {
		return 0
	}
	for i := range r.Bands {
		if b := &r.Bands[i]; b.Months>>month&1 == 1 && b.Hours[half] {
			return b.Speed
		}
	}
	return r.Speed
}

// Load is a load in watts at the battery's terminals instead of a pump.
type Load struct {
	Power  *units.Power
	Hours  Hours
	Series string
}

// Mains is the tariff and how money is counted.
type Mains struct {
	Currency                                  string
	Price                                     *Money        // a kWh
	Bands                                     []PriceBand   `key:"band"`
	Tiers                                     []PriceTier   `key:"tier"`
	OtherUse                                  *units.Energy // a month
	DailyCharge                               Money
	OwnMeter                                  bool
	PriceRise, DiscountRate, SupplyEfficiency float64
	Years                                     int
	CarbonPerKWh                              *units.Mass
}

// PriceBand is a price for some hours of some months and days.
type PriceBand struct {
	Hours  Hours
	Months MonthSet
	Days   string
	Price  Money
}

// Holds reports whether b is the price in a half hour of the day in a month, both from
// 0, on weekdays or weekends.
func (b *PriceBand) Holds(month, half int, days string) bool {
	return b.Months>>month&1 == 1 && b.Hours[half] && (b.Days == "all" || b.Days == days)
}

// PriceTier is the price of a block of a month's use.
type PriceTier struct {
	UpTo  *units.Energy // nil for the last
	Price Money
}

// Site is where the pond lies and what its sky is like.
type Site struct {
	Place, Climate, Weather, ShadeOf string
	Latitude, Longitude              *units.Angle
	Altitude                         *units.Length
	UTCOffset                        *float64
	Mains                            bool
	Albedo, Shade, Snow              [12]float64
	ShadeByHour                      [24]float64
}

// Panel is the solar panel, or what is known of the one to be sized.
type Panel struct {
	Tilt                               *units.Angle
	Azimuth                            *units.Angle
	Watts                              *units.Power
	InSeries                           int
	TemperatureCoefficient             float64
	OperatingCellTemperature           units.Temperature
	OpenCircuitVoltage, WorkingVoltage *units.Voltage
	ShortCircuitCurrent, FuseRating    *units.Current
	CableRun                           *units.Length
	CableArea                          *units.Area
	Loss                               *float64
	// Losses are the named shares lost between sun and controller.
	Losses struct {
		Soiling, Shading, Mismatch, Wiring, Connections, LightInduced, Nameplate float64
		Age, Availability                                                        float64
	}
	Sizes                         []units.Power
	PricePerWatt, MountingPerWatt *Money
	ExtraPrice                    Money
	Life                          units.Duration
}

// Controller stands between panel and battery or pump.
type Controller struct {
	Kind               string
	Efficiency         *float64
	OwnDraw            *units.Power
	Sizes              []ControllerRating
	Price, PricePerAmp *Money
	Life               units.Duration
}

// Battery is the battery, or what is known of the one to be sized; nil fields
// come from the row of its kind.
type Battery struct {
	Kind                                                                     string
	Size                                                                     *Storage
	Voltage, UnitVoltage                                                     *units.Voltage
	Usable, ChargeEfficiency, DischargeEfficiency, ChargeRate, DischargeRate *float64
	Peukert, CapacityAt0C, CutOff, Reconnect, EndOfLife, CycleDepth          *float64
	SelfDischarge                                                            *float64 // a month
	RatedHours, Life                                                         *units.Duration
	Temperature                                                              *[12]units.Temperature
	LeastChargingTemperature                                                 *units.Temperature
	StartCharge                                                              float64
	Cycles                                                                   *int
	Sizes                                                                    []Storage
	PricePerWh                                                               *Money
}
