// Package clock holds months of the year and the schedule of a speed over a year of
// 365 days, and what it asks for hour by hour.
package clock
