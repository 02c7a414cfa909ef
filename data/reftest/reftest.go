// Package reftest loads the published reference tables of testdata/ref for
// tests. Only test files import it.
package reftest

import (
	"bufio"
	"encoding/csv"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// Row is one row of a reference table. Its accessors fail the test, naming
// file and line, where a column is missing or not a number.
type Row struct {
	t     testing.TB
	At    string // file:line, to open a failure message with
	names map[string]int
	cells []string
}

// Load reads testdata/ref/name. Lines that start with # carry the source and
// are skipped; a table without one is a failure, since every number needs one.
func Load(t testing.TB, name string) []Row {
	t.Helper()
	_, self, _, _ := runtime.Caller(0)
	path := filepath.Join(filepath.Dir(self), "..", "..", "testdata", "ref", name)
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []Row
	var names map[string]int
	sourced := false
	scan := bufio.NewScanner(f)
	scan.Buffer(nil, 1<<20)
	for line := 1; scan.Scan(); line++ {
		text := scan.Text()
		if strings.HasPrefix(text, "#") {
			sourced = true
			continue
		}
		if strings.TrimSpace(text) == "" {
			continue
		}
		cells, err := csv.NewReader(strings.NewReader(text)).Read()
		if err != nil {
			t.Fatalf("testdata/ref/%s:%d: %v", name, line, err)
		}
		if names == nil {
			names = make(map[string]int, len(cells))
			for i, c := range cells {
				names[c] = i
			}
			continue
		}
		rows = append(rows, Row{t, "testdata/ref/" + name + ":" + strconv.Itoa(line), names, cells})
	}
	if err := scan.Err(); err != nil {
		t.Fatal(err)
	}
	if !sourced {
		t.Fatalf("testdata/ref/%s: no # line names the source", name)
	}
	if len(rows) == 0 {
		t.Fatalf("testdata/ref/%s: no rows", name)
	}
	return rows
}

// Text returns the cell of column name.
func (r Row) Text(name string) string {
	r.t.Helper()
	i, ok := r.names[name]
	if !ok || i >= len(r.cells) {
		r.t.Fatalf("%s: no column %q", r.At, name)
	}
	return r.cells[i]
}

// Has reports whether the cell of column name holds anything.
func (r Row) Has(name string) bool { r.t.Helper(); return r.Text(name) != "" }

// Float returns the cell of column name as a number.
func (r Row) Float(name string) float64 {
	r.t.Helper()
	v, err := strconv.ParseFloat(r.Text(name), 64)
	if err != nil {
		r.t.Fatalf("%s: column %q: %v", r.At, name, err)
	}
	return v
}
