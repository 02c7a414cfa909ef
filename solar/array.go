package solar

import "math"

// Array is a panel on a plane at a site, made ready for year after year of
// weather: what depends on the sun's path only is computed once. It is
// read-only after NewArray and safe to share.
type Array struct {
	Geometry *Geometry
	Plane    Plane
	Panel    Panel

	skyView, skyPass float64 // geometric, and times incidence modifier
	groundPass       float64 // incidence modifier of light from the ground

	hours []arrayHour
}

// arrayHour holds one hour of the year: everything Hay-Davies and the panel
// need of the sun's path and of the calendar.
type arrayHour struct {
	cosTheta  float64 // incidence, not below 0
	rb        float64 // cosTheta/max(cos z, 0.01745)
	perExtra  float64 // 1/ExtraNormal
	beamPass  float64 // incidence modifier times beam shade
	wholePass float64 // shade that takes all light
	ground    float64 // albedo times the view of the ground
	keep      float64 // what snow and the named losses leave, per 1000 W/m²
}

// NewArray returns the array of panel on plane under the sun of g.
func NewArray(g *Geometry, plane Plane, panel Panel) *Array {
	cosSky, cosGround := diffuseCosines(plane.Tilt)
	a := &Array{Geometry: g, Plane: plane, Panel: panel,
		skyView: plane.SkyView(), groundPass: panel.Incidence.Modifier(cosGround), hours: make([]arrayHour, len(g.Up))}
	a.skyPass = a.skyView * panel.Incidence.Modifier(cosSky)
	keep, groundView := 1-LossProduct(panel.Losses), plane.GroundView()
	east, north, up := plane.Normal()
	for h := range a.hours {
		month := g.month(h)
		hour := &a.hours[h]
		cosTheta := g.East[h]*east + g.North[h]*north + g.Up[h]*up
		hour.cosTheta = clamp(cosTheta, 0, 1)
		hour.rb = hour.cosTheta / math.Max(g.Up[h], leastCosZenith)
		hour.perExtra = 1 / g.ExtraNormal[h]
		hour.beamPass = panel.Incidence.Modifier(hour.cosTheta)
		hour.ground = plane.albedo(month) * groundView
		hour.keep = keep * (1 - panel.Snow[month]) / 1000
		hour.wholePass = 1
		if left := panel.Shade.left(month, h%24); panel.Shade.Whole {
			hour.wholePass = left
		} else {
			hour.beamPass *= left
		}
	}
	return a
}

// PlaneOfArray returns the irradiance on the plane in every hour of s [W/m²]
// before incidence loss, shade and snow:
//
//	G = DNI cos theta + DHI (A Rb + (1 - A)(1 + cos b)/2) + GHI albedo (1 - cos b)/2
//	A = DNI/extraNormal, Rb = max(cos theta, 0)/max(cos z, 0.01745)
//
// Hay & Davies 1980: a sky that is brighter around the sun. The bound of cos z
// keeps Rb finite at low sun. It fills dst if that is long enough and allocates
// otherwise.
func (a *Array) PlaneOfArray(dst []float64, s *Series) []float64 {
	dst = sized(dst, s.Hours())
	ghi, dni, dhi := s.GHI, s.DNI[:len(s.GHI)], s.DHI[:len(s.GHI)]
	for i, h := 0, s.Start; i < len(ghi); i++ {
		t := &a.hours[h]
		index := min(dni[i]*t.perExtra, 1)
		dst[i] = dni[i]*t.cosTheta + dhi[i]*(index*t.rb+(1-index)*a.skyView) + ghi[i]*t.ground
		if h++; h == len(a.hours) {
			h = 0
		}
	}
	return dst
}

// MonthlyPlane is Monthly of PlaneOfArray, which it does not keep.
func (a *Array) MonthlyPlane(s *Series) [12]float64 {
	var buffer []float64
	return s.monthly(func(lo, hi int) []float64 {
		buffer = a.PlaneOfArray(buffer, &Series{Start: (s.Start + lo) % HoursPerYear, GHI: s.GHI[lo:hi], DNI: s.DNI[lo:hi],
			DHI: s.DHI[lo:hi]})
		return buffer
	})
}

// Yield returns what each watt of nameplate gives in every hour of s [Wh per
// W], after temperature and every loss. It fills dst as PlaneOfArray does.
//
// Shade of the whole panel takes light, so it cools the cells as well; snow
// takes yield. The cells take their warmth from the light before incidence
// loss.
func (a *Array) Yield(dst []float64, s *Series) []float64 {
	dst = sized(dst, s.Hours())
	ghi, dni, dhi, temp := s.GHI, s.DNI[:len(s.GHI)], s.DHI[:len(s.GHI)], s.TempC
	warm := (a.Panel.NOCT - 20) / 800
	gamma := a.Panel.Gamma
	air := 0
	for i, h := 0, s.Start; i < len(ghi); i++ {
		t, warmth := &a.hours[h], temp[air]
		if h++; h == len(a.hours) {
			h = 0
		}
		if air++; air == len(temp) {
			air = 0
		}
		if ghi[i] == 0 && dni[i] == 0 && dhi[i] == 0 {
			dst[i] = 0
			continue
		}
		index := min(dni[i]*t.perExtra, 1)
		beam := dni[i]*t.cosTheta + dhi[i]*index*t.rb
		even := dhi[i] * (1 - index)
		ground := ghi[i] * t.ground
		light := (beam + even*a.skyView + ground) * t.wholePass
		passed := (beam*t.beamPass + even*a.skyPass + ground*a.groundPass) * t.wholePass
		dst[i] = max(t.keep*passed*(1+gamma*(warmth+warm*light-25)), 0)
	}
	return dst
}

// month returns the month, 0 to 11, of hour h of the year of g, which may be
// a year of mean days.
func (g *Geometry) month(h int) int {
	if len(g.Up) == meanHours {
		return h / 24
	}
	return MonthOf(h / 24)
}

// sized returns dst with n values, new if it is too short.
func sized(dst []float64, n int) []float64 {
	if cap(dst) < n {
		return make([]float64, n)
	}
	return dst[:n]
}
