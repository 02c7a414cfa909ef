// Package solar computes the sun on a panel at any place: position, irradiance, weather years and the power that a panel gives.
package solar
