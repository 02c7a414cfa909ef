// Package sky is the sun of a plan: the weather of its site, from a climate or a file,
// and the panel and controller under it.
package sky
