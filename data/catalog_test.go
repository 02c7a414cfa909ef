package data

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// Every embedded table but that of the keys is in the catalogue, reads, names
// itself, says what it is, and has a source in every row.
func TestTables(t *testing.T) {
	tables := Tables()
	files, err := tableFiles.ReadDir(".")
	if err != nil || len(files) != len(tables)+3 { // and keys, kinds and rules of a plan
		t.Errorf("%d tables of %d files, %v", len(tables), len(files), err)
	}
	for _, table := range tables {
		if err := table.check(); err != nil {
			t.Errorf("%s: %v", table.Name, err)
			continue
		}
		c := table.Contents()
		if table.Title == "" || len(c.Notes) == 0 || len(c.Rows) == 0 {
			t.Errorf("%s: title %q, %d notes, %d rows", table.Name, table.Title, len(c.Notes), len(c.Rows))
		}
		source := slices.Index(c.Columns, "source")
		if source < 0 || slices.ContainsFunc(c.Rows, func(row []string) bool { return row[source] == "" }) {
			t.Errorf("%s: a row has no source", table.Name)
		}
		if got, err := TableNamed(strings.ToUpper(table.Name)); err != nil || got.Name != table.Name {
			t.Errorf("TableNamed(%q) = %v, %v", table.Name, got.Name, err)
		}
	}
	if _, err := TableNamed("pipse"); err == nil || !strings.Contains(err.Error(), "perhaps pipes") {
		t.Errorf("TableNamed(pipse): %v", err)
	}
}

// DI1: a 40 mm PE pipe of SDR 17 has a bore of 35.2 mm (ISO 4427-2:2007), so
// taking 40 mm for the bore under-reads friction (40/35.2)^5 = 1.89 times.
func TestDI1PolyethyleneBore(t *testing.T) {
	p, err := PipeNamed("PE 40 SDR 17")
	if err != nil {
		t.Fatal(err)
	}
	if d := p.Bore.In(units.Millimetre); math.Abs(d-35.2) > 1e-9 {
		t.Errorf("bore %v mm, want 35.2", d)
	}
	if r := math.Pow(float64(p.Outside/p.Bore), 5); math.Abs(r-1.89) > 0.005 {
		t.Errorf("friction ratio %v, want 1.89", r)
	}
}

// DI2: 1-1/2 inch schedule 40 has a bore of 40.89 mm (ASTM D1785 sizes).
func TestDI2ScheduleFortyBore(t *testing.T) {
	for _, name := range []string{"PVC 1-1/2 in sch 40", `pvc 1 1/2" schedule 40`, "PVC 1½ inch SCH40", "sch 40 pvc 1-1/2in pipe"} {
		p, err := PipeNamed(name)
		if err != nil {
			t.Error(err)
		} else if d := p.Bore.In(units.Millimetre); math.Abs(d-40.89) > 1e-9 {
			t.Errorf("%s: bore %v mm, want 40.89", name, d)
		}
	}
}

// Walls of metric pipes are at least OD/SDR (ISO 4427 and ISO 4065 round the
// quotient up to 0.1 mm; below 25 mm a least wall of 2 mm or so applies).
func TestPipesAreConsistent(t *testing.T) {
	sdr := map[string]float64{"SDR 11": 11, "SDR 13.6": 13.6, "SDR 17": 17}
	seen := map[string]string{}
	for _, p := range Pipes() {
		key := strings.Join(nameWords(p.Name), " ")
		if other, double := seen[key]; double {
			t.Errorf("%q and %q cannot be told apart", p.Name, other)
		}
		seen[key] = p.Name
		if got, err := PipeNamed(p.Name); err != nil || got != p {
			t.Errorf("PipeNamed(%q) = %v, %v", p.Name, got, err)
		}
		if p.Bore <= 0 || p.Outside != 0 && p.Outside <= p.Bore || p.Roughness <= 0 || p.Roughness > p.Bore/100 {
			t.Errorf("%s: outside %v, bore %v, roughness %v", p.Name, p.Outside, p.Bore, p.Roughness)
		}
		if (p.Pitch > 0) != (p.Kind == "ribbed hose") || p.Pitch >= p.Bore {
			t.Errorf("%s: pitch %v", p.Name, p.Pitch)
		}
		for suffix, s := range sdr {
			if !strings.HasSuffix(p.Name, " "+suffix) {
				continue
			}
			wall := (p.Outside - p.Bore).In(units.Millimetre) / 2
			least := p.Outside.In(units.Millimetre) / s
			// 1e-9: a wall equal to the quotient. 0.15: 63 mm SDR 17 is given as 3.8, 75 mm SDR 17 as 4.5.
			if wall < least-0.1-1e-9 || wall > least+0.2 {
				t.Errorf("%s: wall %.2f mm, OD/SDR %.2f mm", p.Name, wall, least)
			}
		}
	}
}

func TestPipeNamed(t *testing.T) {
	for name, want := range map[string]string{
		"pe40 sdr17": "PE 40 SDR 17", "HDPE 40 mm SDR 13.6": "PE 40 SDR 13.6", "25 mm hose": "hose 25 mm", "25mm garden hose": "hose 25 mm",
		`3/4" hose`: "hose 3/4 in", "Hose ¾ inch": "hose 3/4 in", "corrugated hose 32": "ribbed hose 32 mm", "pvc-u 50 pn 16": "PVC-U 50 PN16",
		`1 1/4" hose`: "hose 1-1/4 in", "hose 1 in": "hose 1 in",
	} {
		if got, err := PipeNamed(name); err != nil || got.Name != want {
			t.Errorf("PipeNamed(%q) = %q, %v; want %q", name, got.Name, err, want)
		}
	}
	for name, says := range map[string]string{
		"PE 40": "perhaps PE 40 SDR 11, PE 40 SDR 13.6, PE 40 SDR 17", "PE 41 SDR 17": "perhaps PE", "": "no such pipe", "chimney": "no such pipe", "hose 1": "perhaps",
	} {
		_, err := PipeNamed(name)
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(e.Error(), says) {
			t.Errorf("PipeNamed(%q): %v does not say %q", name, err, says)
		}
	}
}

// Hooper's pairs as the fluids library lists them, and single coefficients
// from Crane TP-410 and the textbooks named in the rows.
func TestFittingNamed(t *testing.T) {
	tests := []struct {
		name        string
		k, k1, kinf float64
	}{
		{"elbow", 0, 800, 0.4},
		{"90° elbow", 0, 800, 0.4},
		{"Elbow 45", 0, 500, 0.2},
		{"tee run", 0, 200, 0.1},
		{"gate valve", 0, 300, 0.1},
		{"ball valves", 0, 500, 0.15},
		{"globe valve", 0, 1500, 4},
		{"swing check valve", 0, 1500, 1.5},
		{"entrance", 0.5, 0, 0},
		{"projecting entrance inward", 0.78, 0, 0},
		{"exit", 1, 0, 0},
	}
	for _, tt := range tests {
		f, err := FittingNamed(tt.name)
		if err != nil || f.K != tt.k || f.K1 != tt.k1 || f.KInf != tt.kinf {
			t.Errorf("FittingNamed(%q) = %+v, %v; want %v %v %v", tt.name, f, err, tt.k, tt.k1, tt.kinf)
		}
	}
	if _, err := FittingNamed("elbwo"); err == nil || !strings.Contains(err.Error(), "elbow") {
		t.Errorf("elbwo: %v", err)
	}
}

func TestFittingsAreConsistent(t *testing.T) {
	seen := map[string]string{}
	for _, r := range fittings() {
		for _, n := range append(strings.Split(r.Also, "|"), r.Name) {
			if key := strings.Join(nameWords(n), " "); key != "" {
				if other, double := seen[key]; double {
					t.Errorf("%q and %q both answer to %q", r.Name, other, n)
				}
				seen[key] = r.Name
			}
		}
		two := r.K1 != 0 && r.KInf != 0
		if (r.K != 0) == two || (r.K1 != 0) != (r.KInf != 0) {
			t.Errorf("%s has neither k nor k1 and kinf, or both", r.Name)
		}
		k := r.K + r.K1/1e4 + r.KInf*(1+25.4/25) // 25 mm, Re 10000
		if low, high := r.KLow, r.KHigh; !(low <= high) || k < low-0.005 || k > high+0.005 {
			t.Errorf("%s: K %.3f outside its own range %v to %v", r.Name, k, low, high)
		}
	}
}

// TestFittingsReference: where fittings.csv says that an end of its range, or the
// coefficient itself, is Crane's or Rennels and Hudson's, it is theirs to a
// hundredth.
func TestFittingsReference(t *testing.T) {
	rows := map[string]FittingLoss{}
	for _, r := range fittings() {
		rows[r.Name] = r
	}
	const sharp, mitre, swept, long = "entrance sharp", "elbow 90 mitre", "bend 90 r/D 1.5", "bend 90 r/D 3"
	held := map[string]struct{ item, of string }{ // by item, bore and detail of the published table
		"entrance_sharp_flush Crane TP-410":                      {sharp, "k low"},
		"entrance_sharp_flush Rennels & Hudson 2012":             {sharp, "high"},
		"entrance_projecting Crane TP-410":                       {"entrance projecting", "k low"},
		"exit_to_tank Crane TP-410":                              {"exit", "k low high"},
		"entrance_rounded Crane TP-410 r/D=0.1":                  {"entrance rounded", "low"},
		"entrance_rounded Rennels & Hudson 2012 r/D=0.1":         {"entrance rounded", "high"},
		"elbow90_threaded_standard Crane TP-410: 30 fT 25":       {"elbow 90", "low"},
		"elbow45_threaded_standard Crane TP-410: 16 fT 25":       {"elbow 45", "low"},
		"tee_flow_through_branch Crane TP-410: 60 fT 25":         {"tee to branch", "low"},
		"bend90_mitre Crane TP-410 20":                           {mitre, "high"},
		"bend90_mitre Crane TP-410 25":                           {mitre, "k"},
		"bend90_mitre Crane TP-410 40":                           {mitre, "low"},
		"bend90_r_over_d_1.5 Crane TP-410 (fit) 20":              {swept, "high"},
		"bend90_r_over_d_1.5 Crane TP-410 (fit) 25":              {swept, "k"},
		"bend90_r_over_d_1.5 Crane TP-410 (fit) 40":              {swept, "low"},
		"bend90_r_over_d_3 Crane TP-410 (fit) 20":                {long, "high"},
		"bend90_r_over_d_3 Crane TP-410 (fit) 25":                {long, "k"},
		"bend90_r_over_d_3 Crane TP-410 (fit) 40":                {long, "low"},
		"ball_valve_full_bore Crane TP-410: 3 fT 25":             {"ball valve", "low"},
		"gate_valve_full_bore Crane TP-410: 8 fT 25":             {"gate valve", "low"},
		"swing_check_valve Crane TP-410: 50 fT 25 straight type": {"check valve", "low"},
	}
	for _, p := range reftest.Load(t, "fittings_k.csv") {
		key := strings.Join(strings.Fields(p.Text("item")+" "+p.Text("source")+" "+p.Text("d1_mm")+" "+p.Text("detail")), " ")
		r, want := rows[held[key].item], p.Float("k")
		for _, of := range strings.Fields(held[key].of) {
			got := map[string]float64{"k": r.K, "low": r.KLow, "high": r.KHigh}[of]
			if math.Abs(got-want) > 0.01 {
				t.Errorf("%s: %s of %s is %g, published is %.4f", p.At, of, r.Name, got, want)
			}
		}
		delete(held, key)
	}
	for key := range held {
		t.Errorf("%s is no longer in the published table", key)
	}
}
