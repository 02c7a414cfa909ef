// Package pumps computes what water really flows: where a pump's curve meets the lift, pipe, fittings and dirt in front of it.
package pumps
