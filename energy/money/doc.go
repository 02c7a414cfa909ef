// Package money counts what power costs by tariff, and what owning costs over years.
package money
