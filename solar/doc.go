// Package solar computes the sun on a panel at any place: position,
// irradiance, climate, weather years and the power that a panel gives.
//
// Hours are counted in a year of 365 days: hour 0 is 00:00 to 01:00 of
// 1 January by the site's clock, hour 8759 ends the year; 29 February does not
// exist. Every hour is computed with the sun at its middle. Azimuths are
// clockwise from north, longitudes east positive. Irradiance is in W/m²,
// irradiation in kWh/m² a day, air temperature in °C.
//
// Left out: refraction, the shape of the horizon (give it as shade), spectrum,
// wind on the panel, rows of panels that shade each other, two-faced panels.
//
// Sources, cited in short where they are used:
//
//	Meeus, Astronomical Algorithms, 2nd ed. 1998
//	Duffie & Beckman, Solar Engineering of Thermal Processes
//	Spencer 1971, Search 2(5); Cooper 1969, Solar Energy 12(3)
//	Klein 1977, Solar Energy 19(4): monthly average on a tilted plane
//	Erbs, Klein & Duffie 1982, Solar Energy 28(4): diffuse fraction
//	Collares-Pereira & Rabl 1979, Solar Energy 22(2); Liu & Jordan 1960, Solar Energy 4(3): hour shares
//	Hay & Davies 1980, First Canadian Solar Radiation Data Workshop: sky diffuse
//	De Soto, Klein & Beckman 2006, Solar Energy 80(1); Souka & Safwat 1966, Solar Energy 10(4): incidence
//	Ross 1980, 14th IEEE PVSC: cell temperature
//	Johnson 1949, Biometrika 36: the logit-normal distribution of daily clearness
//	Hollands & Huget 1983, Solar Energy 30(2): the clearest day
//	Graham, Hollands & Huget 1988, Solar Energy 40(2): days in sequence
//	Graham & Hollands 1990, Solar Energy 44(6); Knight, Klein & Duffie 1991, Solar Energy 46(2): hours in sequence
package solar
