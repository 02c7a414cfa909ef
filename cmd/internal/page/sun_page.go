package page

import (
	"math"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// sunObject is what sun prints as JSON.
type sunObject struct {
	Demo     bool                     `json:"demo"`
	Site     SiteObject               `json:"site"`
	Panel    PlaneBest                `json:"panel"`
	Months   []SunMonth               `json:"months"`
	Sizing   figure.Maybe[[]SunMonth] `json:"sizing_months"`
	Year     SunYear                  `json:"year"`
	SizingOf *SunYear                 `json:"sizing_year,omitempty"`
	Worst    SunMonth                 `json:"worst_month"`
	Dark     []int                    `json:"months_without_sun"`
	Quality  sunQuality               `json:"quality"`
	Losses   []SunLoss                `json:"losses"`
}

// SiteObject says where the sun was reckoned and from what hours.
type SiteObject struct {
	Place     string            `json:"place"`
	Latitude  float64           `json:"latitude_deg"`
	Longitude float64           `json:"longitude_deg"`
	Altitude  float64           `json:"altitude_m"`
	UTCOffset float64           `json:"utc_offset_h"`
	Source    string            `json:"source"`
	Hours     string            `json:"hours"` // "of the file" or "made"
	Years     float64           `json:"years"` // of the record
	Seed      figure.Maybe[int] `json:"seed"`
	Albedo    float64           `json:"albedo_fraction"`
}

// PlaneBest is the best plane of the site.
type PlaneBest struct {
	Tilt        float64 `json:"tilt_deg"`
	Azimuth     float64 `json:"azimuth_deg"`
	BestTilt    float64 `json:"best_tilt_deg"`
	BestAzimuth float64 `json:"best_azimuth_deg"`
	YearTilt    float64 `json:"best_tilt_for_the_year_deg"`
}

// SunMonth is one month of sun.
type SunMonth struct {
	Month int     `json:"month"`
	GHI   float64 `json:"ghi_kwh_per_m2_day"`
	POA   float64 `json:"poa_kwh_per_m2_day"`
	TempC float64 `json:"temp_c"`
	Yield float64 `json:"yield_wh_per_w_day"`
}

// SunYear is the year of sun.
type SunYear struct {
	GHI      float64 `json:"ghi_kwh_per_m2_day"`
	POA      float64 `json:"poa_kwh_per_m2_day"`
	TempC    float64 `json:"temp_c"`
	Yield    float64 `json:"yield_wh_per_w_day"`
	GHISum   float64 `json:"ghi_kwh_per_m2_year"`
	POASum   float64 `json:"poa_kwh_per_m2_year"`
	YieldSum float64 `json:"yield_wh_per_w_year"`
}

type sunQuality struct {
	MonthError    *float64 `json:"monthly_error_fraction"` // root mean square
	YearError     *float64 `json:"yearly_error_fraction"`
	TempError     *float64 `json:"temp_error_k"`
	ErrorWhy      string   `json:"error_why,omitempty"`
	InWords       string   `json:"in_words"`
	WinterWhy     string   `json:"winter_factor_why,omitempty"`
	LowWinter     bool     `json:"winter_too_bright"`
	LowFactor     *float64 `json:"winter_factor"` // of the darkest months, for sizing
	LowMonths     []int    `json:"winter_months"`
	TemperatureBy string   `json:"temperature_by"`
}

// SunLoss is one named loss of the panel.
type SunLoss struct {
	Name  string  `json:"name"`
	Share float64 `json:"fraction"`
}

func newSiteObject(sky *sky.Sky) SiteObject {
	c := sky.Climate
	o := SiteObject{Place: c.Place, Latitude: c.Site.Latitude.In(units.Degree), Longitude: c.Site.Longitude.In(units.Degree),
		Altitude: float64(c.Site.Altitude), UTCOffset: sky.Geometry.Site.UTCOffset.In(units.Hour), Source: c.Source,
		Hours: "of the file", Seed: figure.Unknown[int]("nothing is drawn: the hours are those of the file"), Years: float64(sky.Weather.Hours()) / solar.HoursPerYear, Albedo: sky.Plane.Albedo}
	if sky.Years > 0 {
		o.Hours, o.Seed = "made from the monthly means", figure.Known(sky.Seed)
	}
	return o
}

func sunMonths(m sky.SunMonths) []SunMonth {
	list := make([]SunMonth, 12)
	for i := range list {
		list[i] = SunMonth{i + 1, m.GHI[i], m.POA[i], m.TempC[i], m.Yield[i]}
	}
	return list
}

func newSunYear(m sky.SunMonths) SunYear {
	ghi, poa, temp, yield := m.Year()
	const days = solar.DaysPerYear
	return SunYear{ghi, poa, temp, yield, ghi * days, poa * days, yield * days}
}

func (v *sunView) object(in *Input) sunObject {
	worst := v.worst()
	o := sunObject{Demo: in.Demo, Site: newSiteObject(v.sky), Months: sunMonths(v.months), Year: newSunYear(v.months),
		Worst: sunMonths(v.sizing)[worst], Quality: v.quality(), Dark: []int{},
		Panel: PlaneBest{v.sky.Plane.Tilt.In(units.Degree), v.sky.Plane.Azimuth.In(units.Degree),
			v.best.Plane.Tilt.In(units.Degree), v.best.Plane.Azimuth.In(units.Degree), v.best.YearOptimum.Tilt.In(units.Degree)}}
	if v.sky.Climate.LowWinter {
		year := newSunYear(v.sizing)
		o.Sizing, o.SizingOf = figure.Known(sunMonths(v.sizing)), &year
	} else {
		o.Sizing = figure.Unknown[[]SunMonth](v.noLowWinter())
	}
	for _, m := range v.dark {
		o.Dark = append(o.Dark, m+1)
	}
	for _, l := range v.losses {
		o.Losses = append(o.Losses, SunLoss{l.Name, l.Share})
	}
	return o
}

// noLowWinter returns why panels are sized on the months as they are.
func (v *sunView) noLowWinter() string {
	switch {
	case v.sky.Years == 0:
		return "the hours of the file are used as they are"
	case v.sky.Climate.MonthlyError == 0:
		return "monthly means of measurements or your own are used as given"
	}
	return "the source is not known to be too bright in winter here: months are used as they are"
}

func (v *sunView) quality() sunQuality {
	c := v.sky.Climate
	q := sunQuality{LowWinter: c.LowWinter, LowMonths: []int{}, TemperatureBy: "month", InWords: c.Quality(), WinterWhy: c.LowReason()}
	if q.WinterWhy == "" {
		q.WinterWhy = v.noLowWinter()
	}
	if v.sky.HourlyAir {
		q.TemperatureBy = "hour"
	}
	if c.MonthlyError > 0 {
		q.MonthError, q.YearError, q.TempError = &c.MonthlyError, &c.YearError, &c.TempError
	} else {
		q.ErrorWhy = "nothing is known of how far this source is from other years and stations"
	}
	if c.LowWinter {
		low := solar.LowFactor
		q.LowFactor = &low
		for m := range c.GHI {
			if c.SizingGHI[m] != c.GHI[m] {
				q.LowMonths = append(q.LowMonths, m+1)
			}
		}
	}
	return q
}

func (v *sunView) Document(in *Input) *document.Document {
	object := v.object(in)
	doc := &document.Document{
		Title:    v.title(in),
		Subtitle: document.Plain(in.name()),
		Banner:   in.banner(),
		Answer:   v.answer(),
		Sections: []document.Section{v.monthSection(), v.lossSection()},
		Names:    in.names(),
		Warnings: doubts(in.Warnings, v.sky.Warnings),
		Assumed:  assumed(v.sky.Assumed),
		Sources:  v.sky.Sources,
		Object:   object,
		Work:     func() []document.Step { return v.figures(object).work() },
	}
	doc.Sections[0].Pictures = []document.Picture{sunPicture(v.months, v.sizing, v.sky.Climate.LowWinter)}
	return doc
}

func (v *sunView) title(in *Input) document.Prose {
	name := v.sky.Climate.Place
	if in.Plan.Name != "" {
		name = in.Plan.Name
	}
	where := placeText(v.sky.Climate.Site)
	if name == "" {
		return document.Sentence("The sun at %v", where)
	}
	return document.Sentence("%v: the sun at %v", name, where)
}

// worst returns the month, 0 to 11, in which each watt gives least, dark months
// left out unless there are no others.
func (v *sunView) worst() int {
	return v.sizing.WorstLit(v.dark)
}

// placeText writes a site as "52.4 N 13.1 E".
func placeText(site solar.Site) string {
	half := func(angle units.Angle, plus, minus string) string {
		d := angle.In(units.Degree)
		if d < 0 {
			plus = minus
		}
		return units.Sprintf("%.4g %s", math.Abs(d), plus)
	}
	return half(site.Latitude, "N", "S") + " " + half(site.Longitude, "E", "W")
}

// compass names the direction of an azimuth.
func compass(azimuth units.Angle) string {
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	n := int(math.Round(azimuth.In(units.Degree)/45)) % 8
	return names[(n+8)%8]
}

func planeText(plane solar.Plane) document.Prose {
	if plane.Tilt == 0 {
		return document.Sentence("level")
	}
	return document.Sentence("tilted %v, facing %v (%v)", document.Degrees.Exact(plane.Tilt.In(units.Degree)), compass(plane.Azimuth), document.Degrees.Exact(plane.Azimuth.In(units.Degree)))
}

func (v *sunView) answer() []document.Line {
	worst := v.worst()
	month := monthName(worst)
	ghi, poa, _, yield := v.months.Year()
	return []document.Line{
		{Label: "Panel", Text: v.panelLine()},
		{Label: "Worst month", Text: document.Sentence("%v: %v on the level, %v on the panel; each watt of panel gives %v.", month,
			document.KWhPerM2Day.Of(v.sizing.GHI[worst]), document.KWhPerM2Day.Of(v.sizing.POA[worst]), document.WhPerWattDay.Of(v.sizing.Yield[worst]))},
		{Label: "Year", Text: document.Sentence("%v on the level, %v on the panel; each watt of panel gives %v, %v.",
			document.KWhPerM2Day.Of(ghi), document.KWhPerM2Day.Of(poa), document.WhPerWattDay.Of(yield), yearOf(yield))},
		{Label: "How good", Text: v.howGood()},
	}
}

func yearOf(perDay float64) document.Prose {
	return document.Sentence("%v in a year", document.WattHours.Of(perDay*solar.DaysPerYear))
}

func (v *sunView) panelLine() document.Prose {
	best := v.best.Plane
	switch {
	case v.best.WorstMonth < 0:
		return document.Sentence("%v; no month has sun to speak of.", planeText(v.sky.Plane))
	case v.liesBest():
		return document.Sentence("%v: best for the worst month. For the year as a whole %v would be best.", planeText(best), document.Degrees.Exact(v.best.YearOptimum.Tilt.In(units.Degree)))
	}
	if v.gain < 0.005 {
		return document.Sentence("%v, which is as good as any in the worst month.", planeText(v.sky.Plane))
	}
	return document.Sentence("%v. Best for the worst month: %v, which gives %v more then.", planeText(v.sky.Plane), planeText(best), round(document.Fraction, v.gain))
}

func (v *sunView) howGood() document.Prose {
	c := v.sky.Climate
	switch {
	case v.sky.Years == 0:
		return v.howGoodHours()
	case c.LowWinter:
		return document.Sentence("%v. %v. Both are shown.", Capital(c.Quality()), Capital(c.LowReason()))
	}
	return document.Sentence("%v.", Capital(c.Quality()))
}

// howGoodHours tells what a record of hours is worth.
func (v *sunView) howGoodHours() document.Prose {
	years := float64(v.sky.Weather.Hours()) / solar.HoursPerYear
	if years < 2 {
		return document.Sentence("the hours of %v, used as they are. %v", v.sky.Climate.Source, oneYear)
	}
	return document.Sentence("the record of %v, %v years, used as it is.", v.sky.Climate.Source, units.Sprintf("%.3g", years))
}

func (v *sunView) monthSection() document.Section {
	section := document.Section{Heading: "Month by month, the mean of a day", Tables: []document.Table{monthTable("months", "", v.months)}}
	if v.sky.Climate.LowWinter {
		section.Tables[0].Title = "As the source has it"
		section.Tables = append(section.Tables, monthTable("sizing_months", "For sizing, with the low winter figure", v.sizing))
	}
	section.Notes = append(section.Notes, document.Sentence("On the panel: before the loss by slanting light. Each watt: what reaches the battery, after every loss."))
	if len(v.dark) > 0 {
		section.Notes = append(section.Notes, document.Sentence("No sun to speak of in %v: no panel serves those months, and the worst month above is the worst of the others.", plan.MonthList(v.dark)))
	}
	return section
}

func monthTable(key, title string, m sky.SunMonths) document.Table {
	t := document.Table{Key: key, Title: title, Columns: []document.Column{
		{Key: "month", Heading: "month", Unit: document.Word},
		{Key: "ghi_kwh_per_m2_day", Heading: "level", Unit: document.KWhPerM2Day},
		{Key: "poa_kwh_per_m2_day", Heading: "on the panel", Unit: document.KWhPerM2Day},
		{Key: "temp_c", Heading: "air", Unit: document.Temperature},
		{Key: "yield_wh_per_w_day", Heading: "each watt", Unit: document.WhPerWattDay},
	}}
	row := func(name string, ghi, poa, temp, yield float64) {
		t.Rows = append(t.Rows, []document.Cell{document.Text(name), document.Number(ghi), document.Number(poa), document.Number(temp), document.Number(yield)})
	}
	for i, name := range plan.MonthNames {
		row(name, m.GHI[i], m.POA[i], m.TempC[i], m.Yield[i])
	}
	ghi, poa, temp, yield := m.Year()
	row("Year", ghi, poa, temp, yield)
	return t
}

func (v *sunView) lossSection() document.Section {
	t := document.Table{Key: "losses", Columns: []document.Column{
		{Key: "name", Heading: "loss", Unit: document.Word},
		{Key: "fraction", Heading: "share", Unit: document.Fraction},
	}}
	for _, l := range v.losses {
		t.Rows = append(t.Rows, []document.Cell{document.Text(l.Name), document.Number(l.Share)})
	}
	return document.Section{Heading: "What is lost between panel and battery", Tables: []document.Table{t},
		Notes: []document.Prose{document.Sentence("Over the year, multiplied one after the other. A minus is a gain: a panel colder than 25 °C gives more than its label.")}}
}

// sunView is everything that a page about sun shows.
type sunView struct {
	sky    *sky.Sky
	months sky.SunMonths // as the source has them
	sizing sky.SunMonths // as panels are sized
	best   solar.Optimum
	losses []solar.Loss
	gain   float64 // of the worst month's yield on the best plane, as a share
	dark   []int   // months, 0 to 11, without sun
}

// NewSunView works out what a page about sun shows.
func NewSunView(sky *sky.Sky) *sunView {
	v := &sunView{sky: sky, sizing: sky.Months(sky.Weather)}
	v.months = v.sizing
	if sky.Climate.LowWinter {
		v.months = sky.Months(sky.AsSource())
	}
	v.best = sky.Best(nil, nil)
	v.dark = v.best.DarkMonths
	if !v.liesBest() {
		// The best plane was found by mean hours: what it gains is read from the
		// hours of the table.
		months := sky.MonthsOn(v.best.Plane, sky.Weather)
		v.gain = months.Yield[months.WorstLit(v.dark)]/max(v.sizing.Yield[v.worst()], 1e-9) - 1
	}
	v.losses = sky.Losses(sky.Weather)
	return v
}

// liesBest reports whether the panel lies on the best plane.
func (v *sunView) liesBest() bool {
	best := v.best.Plane
	return v.sky.Plane.Tilt == best.Tilt && v.sky.Plane.Azimuth == best.Azimuth
}
