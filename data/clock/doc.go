// Package clock holds hours of the day and months of the year: bands, sets, and the
// schedule of a speed over a year of 365 days, and what it asks for hour by hour.
package clock
