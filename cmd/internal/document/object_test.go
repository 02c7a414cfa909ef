package document

import (
	"math"
	"strings"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/units"
)

type running struct {
	Hours figure.Maybe[units.Duration] `json:"running_h"`
	Why   string                       `json:"-"`
}

type figures struct {
	Name   string                              `json:"name"`
	Flow   units.Flow                          `json:"flow_m3_per_h"`
	Air    units.Temperature                   `json:"air_c"`
	Volume [2]figure.Maybe[units.Volume]       `json:"volume_l"`
	Price  figure.Maybe[float64]               `json:"price"`
	Day    figure.Maybe[running]               `json:"day_,inline"`
	Night  figure.Maybe[running]               `json:"night"`
	List   []figure.Maybe[float64]             `json:"list_wh"`
	Month  int                                 `json:"month"`
	Met    figure.Maybe[bool]                  `json:"goal_met"`
	Gone   string                              `json:"gone,omitempty"`
	Deep   figure.Maybe[figure.Maybe[float64]] `json:"deep_v"`
}

func figuresOf() figures {
	return figures{Name: "a <b>", Flow: units.CubicMetrePerHour * 2, Air: units.Celsius(-3), Month: 3, Met: figure.Known(true),
		Volume: [2]figure.Maybe[units.Volume]{figure.Known(units.Litre * 5), figure.Unknown[units.Volume]("no bound")},
		Price:  figure.Unknown[float64]("no price"), Day: figure.Unknown[running]("no day"),
		Night: figure.Known(running{Hours: figure.Known(units.Hour * 7)}), List: []figure.Maybe[float64]{figure.Known(0.0), figure.Unknown[float64]("none")},
		Deep: figure.Known(figure.Unknown[float64]("not so deep"))}
}

// TestObjectTellsFiguresByTheirKeys: the key's ending is the unit, and what is
// unknown is null with its reason.
func TestObjectTellsFiguresByTheirKeys(t *testing.T) {
	object, err := Object(figuresOf())
	if err != nil {
		t.Fatal(err)
	}
	got, err := Encoded(object)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"name":"a <b>","flow_m3_per_h":2,"air_c":-3,"low_volume_l":5,"high_volume_l":null,"high_volume_l_why":"no bound",` +
		`"price":null,"price_why":"no price","day_running_h":null,"day_running_h_why":"no day","night":{"running_h":7},"list_wh":[0,null],` +
		`"month":3,"goal_met":true,"deep_v":null,"deep_v_why":"not so deep"}`
	if string(got) != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// TestObjectRefusesKeysThatDoNotTellTheirUnit: the ending has to name a unit, and
// one of the quantity; no figure is without end.
func TestObjectRefusesKeysThatDoNotTellTheirUnit(t *testing.T) {
	for _, test := range []struct {
		object any
		want   string
	}{
		{struct {
			X float64 `json:"flow"`
		}{}, "flow of 0 ends in no unit"},
		{struct {
			X units.Flow `json:"flow_w"`
		}{}, "flow_w is not for 0 m³/h"},
		{struct {
			X figure.Maybe[units.Flow] `json:"flow"`
		}{figure.Unknown[units.Flow]("nothing flows")}, "flow of 0 m³/h ends in no unit"},
		{struct {
			X []units.Power `json:"power_wh"`
		}{make([]units.Power, 1)}, "power_wh is not for 0 W"},
		{struct {
			X float64 `json:"flow_w"`
		}{math.Inf(1)}, "flow_w is no finite number"},
	} {
		if _, err := Object(test.object); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%+v: %v, want %q", test.object, err, test.want)
		}
	}
}

// TestEndingsAreOnceAndWhole: no two units share an ending.
func TestEndingsAreOnceAndWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, e := range endings {
		if s := e.Suffix; s == "" || seen[s] {
			t.Errorf("the ending %q is empty or there twice", s)
		}
		seen[e.Suffix] = true
		if (e.kindOf == "") != (e.size == 0) {
			t.Errorf("%s: of a kind without a size, or the other way about", e.Suffix)
		}
	}
}

func TestTableOfTakesCellsFromTheObject(t *testing.T) {
	got := TableOf("told", []figures{figuresOf()}, []Column{{Key: "name"}, {Key: "flow_m3_per_h"}, {Key: "month"}, {Key: "price"}, {Key: "day_running_h"}, {Key: "day_h", From: "day_running_h"},
		{Key: "night_h", From: "night.running_h"}, {Key: "goal_met"}})
	want := []Cell{Text("a <b>"), Number(2), Text("Mar"), Unknown("no price"), Unknown("no day"), Unknown("no day"), Number(7), Text("yes")}
	for j, c := range got.Rows[0] {
		if c != want[j] {
			t.Errorf("%s: %+v, want %+v", got.Columns[j].Key, c, want[j])
		}
	}
	if u := got.Columns[6].Unit; u != Hours {
		t.Errorf("night_h is shown in %v", u)
	}
	wrong := Document{Sections: []Section{{Tables: []Table{TableOf("told", []figures{figuresOf()}, []Column{{Key: "head_m"}})}}}}
	if err := wrong.Check(); err == nil {
		t.Error("a column of no figure is taken")
	}
}
