package plan

import (
	"sunrill/data/units"
)

// Plan is what a plan file says: one pond, its pumps, lines, prices, site and
// storage. The key of each field is its tag under its section; data/keys.csv
// holds kind, range, default and help of every key.
//
// A pointer that is nil and a text that is empty were not given, and the
// table's rule decides them later. A field without a pointer has a constant
// default, which NewPlan and ReadPlan have filled in, or is needed wherever its
// section is given. Origins tells which is which.
type Plan struct {
	Name        string      `key:"name"`
	Pond        Pond        `key:"pond"`
	Pumps       []Pump      `key:"pump"`
	Choice      Choice      `key:"choice"`
	Lift        Lift        `key:"lift"`
	Feeds       []Feed      `key:"feed"`
	Branches    []Branch    `key:"branch"`
	Filter      Filter      `key:"filter"`
	Return      Return      `key:"return"`
	Upkeep      Upkeep      `key:"upkeep"`
	Measured    Measured    `key:"measured"`
	Water       Water       `key:"water"`
	Run         Run         `key:"run"`
	Air         Air         `key:"air"`
	Load        Load        `key:"load"`
	Mains       Mains       `key:"mains"`
	Site        Site        `key:"site"`
	Panel       Panel       `key:"panel"`
	Controller  Controller  `key:"controller"`
	Inverter    Inverter    `key:"inverter"`
	Charger     Charger     `key:"charger"`
	Regulator   Regulator   `key:"regulator"`
	Cable       Cable       `key:"cable"`
	Battery     Battery     `key:"battery"`
	Reliability Reliability `key:"reliability"`

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
	Volume         *units.Volume       `key:"volume"`
	Shape          string              `key:"shape"`
	Length         *units.Length       `key:"length"`
	Width          *units.Length       `key:"width"`
	Diameter       *units.Length       `key:"diameter"`
	Depth          *units.Length       `key:"depth"`
	BottomLength   *units.Length       `key:"bottom_length"`
	BottomWidth    *units.Length       `key:"bottom_width"`
	BottomDiameter *units.Length       `key:"bottom_diameter"`
	Depths         []units.Length      `key:"depths"`
	Areas          []units.Area        `key:"areas"`
	FillFlow       *units.Flow         `key:"fill_flow"`
	FillTime       *units.Duration     `key:"fill_time"`
	VolumeError    float64             `key:"volume_error"` // share either way
	Stocking       string              `key:"stocking"`
	FishMass       *units.Mass         `key:"fish_mass"`
	FeedPerDay     *units.FeedRate     `key:"feed_per_day"`
	TurnoverGoal   *units.Duration     `key:"turnover_goal"`
	Surface        *units.Area         `key:"surface"`
	IntakeHeight   *units.Length       `key:"intake_height"` // above the deepest floor
	IntakeDepth    *units.Length       `key:"intake_depth"`  // below the normal surface
	Evaporation    *[12]units.Velocity `key:"evaporation"`
}

// Pump is one pump on offer or in use. Voltage is what its curve was taken at.
type Pump struct {
	Name             string          `key:"name"`
	Curve            string          `key:"curve"`     // file, relative to the plan
	CurveRow         string          `key:"curve_row"` // "" means Name
	LabelFlow        *units.Flow     `key:"label_flow"`
	LabelHead        *units.Length   `key:"label_head"`
	LabelPower       *units.Power    `key:"label_power"`
	MeteredPower     *units.Power    `key:"metered_power"`
	MeteredFlow      *units.Flow     `key:"metered_flow"`
	Supply           string          `key:"supply"` // AC or DC
	Voltage          *units.Voltage  `key:"voltage"`
	PowerFactor      float64         `key:"power_factor"` // of an AC pump
	SpeedControl     string          `key:"speed_control"`
	LeastSpeed       float64         `key:"least_speed"`
	FixedWatts       *units.Power    `key:"fixed_watts"`
	VoltageBehaviour string          `key:"voltage_behaviour"`
	Count            int             `key:"count"`
	OwnLines         bool            `key:"own_lines"`
	Present          bool            `key:"present"`
	RatedContinuous  bool            `key:"rated_continuous"`
	FlowTolerance    float64         `key:"flow_tolerance"`
	HeadTolerance    float64         `key:"head_tolerance"`
	Price            *Money          `key:"price"`
	Life             units.Duration  `key:"life"`
	Age              *units.Duration `key:"age"`
}

// Choice is what the person has decided already.
type Choice struct {
	Pump string `key:"pump"`
}

// Lift is the height that the water is raised, from the pond's surface.
type Lift struct {
	StaticHead *units.Length `key:"static_head"`
	Crest      *units.Length `key:"crest"`
	Vented     bool          `key:"vented"`
}

// Feed is one piece of the line to the filter, in series with the others.
type Feed struct {
	Pipe      string        `key:"pipe"`
	Bore      *units.Length `key:"bore"`
	Roughness *units.Length `key:"roughness"`
	RibPitch  *units.Length `key:"rib_pitch"`
	Length    *units.Length `key:"length"`
	Fittings  []Fitting     `key:"fittings"`
	Parts     []Part        `key:"part"`
	LossK     *float64      `key:"loss_k"`
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
	Name       string        `key:"name"`
	StaticHead *units.Length `key:"static_head"`
	ValveK     float64       `key:"valve_k"`
	Feeds      []Feed        `key:"feed"`
}

// Filter is the bed that the water passes.
type Filter struct {
	Volume *units.Volume `key:"volume"`
	Area   *units.Area   `key:"area"`
	Depth  *units.Length `key:"depth"`
	Grain  units.Length  `key:"grain"`
	Voids  float64       `key:"voids"`
}

// Return is the pipe that leads back to the pond.
type Return struct {
	Pipe       string        `key:"pipe"`
	Bore       *units.Length `key:"bore"`
	ManningN   float64       `key:"manning_n"`
	Fall       float64       `key:"fall"` // drop over length
	Length     *units.Length `key:"length"`
	Freeboard  *units.Length `key:"freeboard"`
	ScreenArea *units.Area   `key:"screen_area"`
	Blocked    float64       `key:"blocked"`
	Drop       *units.Length `key:"drop"`
	LipWidth   *units.Length `key:"lip_width"`
}

// Measured is a flow that the keeper timed, of one line.
type Measured struct {
	Flow *units.Flow `key:"flow"`
	Line string      `key:"line"` // clean or dirty
	Date string      `key:"date"`
}

// Upkeep is how the line is kept clean.
type Upkeep struct {
	CleanEvery        *units.Duration `key:"clean_every"`
	FlowLossWhenDirty float64         `key:"flow_loss_when_dirty"`
	Log               string          `key:"log"`
}

// Water is the pond's water.
type Water struct {
	Temperature *[12]units.Temperature `key:"temperature"`
}

// Run says when the pump runs and how fast.
type Run struct {
	Speed     float64   `key:"speed"` // outside the bands
	MonthsOff MonthSet  `key:"months_off"`
	Bands     []RunBand `key:"band"`
}

// RunBand is a speed for some hours of some months; 0 is off.
type RunBand struct {
	Hours  Hours    `key:"hours"`
	Months MonthSet `key:"months"`
	Speed  float64  `key:"speed"`
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

// Air is an air pump beside the water pump.
type Air struct {
	Power  *units.Power `key:"power"`
	Hours  *Hours       `key:"hours"`
	Months MonthSet     `key:"months"`
}

// Load is a load in watts at the battery's terminals instead of a pump.
type Load struct {
	Power  *units.Power `key:"power"`
	Hours  Hours        `key:"hours"`
	Series string       `key:"series"`
}

// Mains is the tariff and how money is counted.
type Mains struct {
	Currency         string        `key:"currency"`
	Price            *Money        `key:"price"` // a kWh
	Bands            []PriceBand   `key:"band"`
	Tiers            []PriceTier   `key:"tier"`
	OtherUse         *units.Energy `key:"other_use"` // a month
	DailyCharge      Money         `key:"daily_charge"`
	OwnMeter         bool          `key:"own_meter"`
	PriceRise        float64       `key:"price_rise"`
	DiscountRate     float64       `key:"discount_rate"`
	Years            int           `key:"years"`
	SupplyEfficiency float64       `key:"supply_efficiency"`
	CarbonPerKWh     *units.Mass   `key:"carbon_per_kwh"`
}

// PriceBand is a price for some hours of some months and days.
type PriceBand struct {
	Hours  Hours    `key:"hours"`
	Months MonthSet `key:"months"`
	Days   string   `key:"days"` // all, weekdays or weekends
	Price  Money    `key:"price"`
}

// Holds reports whether b is the price in a half hour of the day in a month, both from
// 0, on weekdays or weekends.
func (b *PriceBand) Holds(month, half int, days string) bool {
	return b.Months>>month&1 == 1 && b.Hours[half] && (b.Days == "all" || b.Days == days)
}

// PriceTier is the price of a block of a month's use.
type PriceTier struct {
	UpTo  *units.Energy `key:"up_to"` // nil for the last
	Price Money         `key:"price"`
}

// Site is where the pond lies and what its sky is like.
type Site struct {
	Place       string        `key:"place"`
	Latitude    *units.Angle  `key:"latitude"`
	Longitude   *units.Angle  `key:"longitude"`
	Altitude    *units.Length `key:"altitude"`
	UTCOffset   *float64      `key:"utc_offset"` // hours
	Climate     string        `key:"climate"`
	Weather     string        `key:"weather"`
	Mains       bool          `key:"mains"`
	Albedo      [12]float64   `key:"albedo"`
	Shade       [12]float64   `key:"shade"`
	ShadeByHour [24]float64   `key:"shade_by_hour"`
	ShadeOf     string        `key:"shade_of"` // beam or panel
	Snow        [12]float64   `key:"snow"`
}

// Panel is the solar panel, or what is known of the one to be sized.
type Panel struct {
	Tilt                     *units.Angle      `key:"tilt"`
	Azimuth                  *units.Angle      `key:"azimuth"` // clockwise from north
	Watts                    *units.Power      `key:"watts"`
	InSeries                 int               `key:"in_series"`
	TemperatureCoefficient   float64           `key:"temperature_coefficient"` // 1/K
	OperatingCellTemperature units.Temperature `key:"operating_cell_temperature"`
	OpenCircuitVoltage       *units.Voltage    `key:"open_circuit_voltage"`
	ShortCircuitCurrent      *units.Current    `key:"short_circuit_current"`
	WorkingVoltage           *units.Voltage    `key:"working_voltage"`
	FuseRating               *units.Current    `key:"fuse_rating"`
	CableRun                 *units.Length     `key:"cable_run"` // one way
	CableArea                *units.Area       `key:"cable_area"`
	Loss                     *float64          `key:"loss"`
	Losses                   PanelLosses       `key:"losses"`
	Sizes                    []units.Power     `key:"sizes"`
	PricePerWatt             *Money            `key:"price_per_watt"`
	MountingPerWatt          *Money            `key:"mounting_per_watt"`
	ExtraPrice               Money             `key:"extra_price"`
	Life                     units.Duration    `key:"life"`
}

// PanelLosses are the named shares lost between sun and controller.
type PanelLosses struct {
	Soiling      float64 `key:"soiling"`
	Shading      float64 `key:"shading"`
	Mismatch     float64 `key:"mismatch"`
	Wiring       float64 `key:"wiring"`
	Connections  float64 `key:"connections"`
	LightInduced float64 `key:"light_induced"`
	Nameplate    float64 `key:"nameplate"`
	Age          float64 `key:"age"`
	Availability float64 `key:"availability"`
}

// Controller stands between panel and battery or pump.
type Controller struct {
	Kind        string             `key:"kind"`
	Efficiency  *float64           `key:"efficiency"`
	OwnDraw     *units.Power       `key:"own_draw"`
	Sizes       []ControllerRating `key:"sizes"`
	Price       *Money             `key:"price"`
	PricePerAmp *Money             `key:"price_per_amp"`
	Life        units.Duration     `key:"life"`
}

// Charger fills the battery from a generator when a stop nears.
type Charger struct {
	Power      *units.Power `key:"power"`
	Price      *Money       `key:"price"`
	FuelPerKWh float64      `key:"fuel_per_kwh"`
}

// Inverter feeds an AC pump from the battery.
type Inverter struct {
	Fitted           *bool          `key:"fitted"`
	Efficiency       float64        `key:"efficiency"`
	Idle             units.Power    `key:"idle"`
	Rated            *units.Power   `key:"rated"`
	SwitchedWithPump bool           `key:"switched_with_pump"`
	Price            *Money         `key:"price"`
	Life             units.Duration `key:"life"`
}

// Regulator holds a DC pump on the battery at its rated voltage.
type Regulator struct {
	Fitted     bool    `key:"fitted"`
	Efficiency float64 `key:"efficiency"`
}

// Cable leads from battery or controller to the pump.
type Cable struct {
	Run  *units.Length `key:"run"` // one way
	Area *units.Area   `key:"area"`
}

// Battery is the battery, or what is known of the one to be sized; nil fields
// come from the row of its kind.
type Battery struct {
	Kind                     string                 `key:"kind"`
	Size                     *Storage               `key:"size"`
	Voltage                  *units.Voltage         `key:"voltage"`
	Usable                   *float64               `key:"usable"`
	ChargeEfficiency         *float64               `key:"charge_efficiency"`
	DischargeEfficiency      *float64               `key:"discharge_efficiency"`
	SelfDischarge            *float64               `key:"self_discharge"` // a month
	ChargeRate               *float64               `key:"charge_rate"`    // 1/h
	DischargeRate            *float64               `key:"discharge_rate"` // 1/h
	Peukert                  *float64               `key:"peukert"`
	RatedHours               *units.Duration        `key:"rated_hours"`
	Temperature              *[12]units.Temperature `key:"temperature"`
	LeastChargingTemperature *units.Temperature     `key:"least_charging_temperature"`
	CapacityAt0C             *float64               `key:"capacity_at_0c"`
	CutOff                   *float64               `key:"cut_off"`
	Reconnect                *float64               `key:"reconnect"`
	StartCharge              float64                `key:"start_charge"`
	EndOfLife                *float64               `key:"end_of_life"`
	Cycles                   *int                   `key:"cycles"`
	CycleDepth               *float64               `key:"cycle_depth"`
	Life                     *units.Duration        `key:"life"`
	Sizes                    []Storage              `key:"sizes"`
	UnitVoltage              *units.Voltage         `key:"unit_voltage"`
	PricePerWh               *Money                 `key:"price_per_wh"`
}

// Reliability is how often the water may stop, and how that is found out.
type Reliability struct {
	UnmetFlow   float64         `key:"unmet_flow"`
	UnmetEnergy float64         `key:"unmet_energy"`
	LongestStop *units.Duration `key:"longest_stop"`
	YearsInTen  *float64        `key:"years_in_ten"`
	Years       *int            `key:"years"`
	Seed        int             `key:"seed"`
}
