// Package bill works out what is bought for a panel and a battery: how many units of
// what is on sale, which controllers, at what voltage, and what it all costs.
package bill
