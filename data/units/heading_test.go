package units

import (
	"math"
	"strings"
	"testing"
)

func TestSplitHeadingAndLookup(t *testing.T) {
	tests := []struct {
		heading, name, unit string
		kind                Kind
		factor              float64
	}{
		{"flow (L/h)", "flow", "L/h", KindFlow, 1e-3 / 3600},
		{"flow [L/h]", "flow", "L/h", KindFlow, 1e-3 / 3600},
		{"flow_l_per_h", "flow", "l per h", KindFlow, 1e-3 / 3600},
		{"flow_rate_m3_per_h", "flow_rate", "m3 per h", KindFlow, 1. / 3600},
		{"flow_us_gal_per_h", "flow", "us gal per h", KindFlow, 3.785411784e-3 / 3600},
		{"Flow (US gal/h)", "Flow", "US gal/h", KindFlow, 3.785411784e-3 / 3600},
		{"Q L/min", "Q", "L/min", KindFlow, 1e-3 / 60},
		{"head (ft)", "head", "ft", KindHead, 0.3048},
		{"head_m", "head", "m", KindHead, 1},
		{"head (kPa)", "head", "kPa", KindHead, 1 / 9.80665},
		{"power_w", "power", "w", KindPower, 1},
		{"pump", "pump", "", 0, 0},
		{"flow rate", "flow rate", "", 0, 0},
	}
	for _, tt := range tests {
		name, unit := SplitHeading(tt.heading)
		if name != tt.name || unit != tt.unit {
			t.Errorf("SplitHeading(%q) = %q, %q; want %q, %q", tt.heading, name, unit, tt.name, tt.unit)
		}
		if tt.unit == "" {
			continue
		}
		u, err := Lookup(tt.kind, unit)
		if err != nil || math.Abs(u.Base(1)-tt.factor) > 1e-12*tt.factor {
			t.Errorf("Lookup(%v, %q) = %v, %v; want factor %v", tt.kind, unit, u.Base(1), err, tt.factor)
		}
	}
	for _, bad := range []struct {
		kind       Kind
		text, says string
	}{{KindFlow, "W", "W is a power; a flow is needed"}, {KindFlow, "gph", "US gal/h"}, {KindFlow, "x", "not a unit"}, {KindFlow, "", "no unit"}} {
		if _, err := Lookup(bad.kind, bad.text); err == nil || !strings.Contains(err.Error(), bad.says) {
			t.Errorf("Lookup(%v, %q): %v does not say %q", bad.kind, bad.text, err, bad.says)
		}
	}
}
