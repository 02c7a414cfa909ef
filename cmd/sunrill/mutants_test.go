package main

import (
	"encoding/csv"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// mutant is a row of testdata/mutants.csv: a change of one formula that a test has
// to notice.
type mutant struct {
	file, code, becomes, test string
}

func readMutants(t *testing.T) []mutant {
	t.Helper()
	f, err := os.Open(filepath.Join(root, "testdata", "mutants.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comment, in.FieldsPerRecord = '#', 4
	rows, err := in.ReadAll()
	if err != nil || len(rows) == 0 || strings.Join(rows[0], " ") != "file code becomes test" {
		t.Fatalf("testdata/mutants.csv: %d rows, %v", len(rows), err)
	}
	var all []mutant
	for _, r := range rows[1:] {
		all = append(all, mutant{r[0], r[1], r[2], r[3]})
	}
	return all
}

// TestMutantsFit: each mutant of the table can be made in one place, and the
// test that is said to catch it is there.
func TestMutantsFit(t *testing.T) {
	all := readMutants(t)
	if len(all) < 40 {
		t.Errorf("%d mutants", len(all))
	}
	for _, m := range all {
		code, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(m.file)))
		if err != nil {
			t.Error(err)
			continue
		}
		if n := strings.Count(string(code), m.code); n != 1 || m.code == m.becomes {
			t.Errorf("%s holds %q %d times", m.file, m.code, n)
		}
		tests, err := filepath.Glob(filepath.Join(root, filepath.Dir(filepath.FromSlash(m.file)), "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, file := range tests {
			text, err := os.ReadFile(file)
			found = found || err == nil && strings.Contains(string(text), "func "+m.test+"(")
		}
		if !found {
			t.Errorf("%s: there is no %s", m.file, m.test)
		}
	}
}

// TestMutantsAreCaught makes each mutant in a copy of the tree and runs its test,
// which has to fail. It takes some minutes, so it is run on demand:
// SUNRILL_MUTANTS=1, or a part of the file's name to run some.
func TestMutantsAreCaught(t *testing.T) {
	want := os.Getenv("SUNRILL_MUTANTS")
	if want == "" {
		t.Skip("SUNRILL_MUTANTS is not set")
	}
	tree := filepath.Join(t.TempDir(), "sunrill")
	if err := os.CopyFS(tree, os.DirFS(root)); err != nil {
		t.Fatal(err)
	}
	for _, m := range readMutants(t) {
		if want != "1" && !strings.Contains(m.file, want) {
			continue
		}
		file := filepath.Join(tree, filepath.FromSlash(m.file))
		code, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(strings.Replace(string(code), m.code, m.becomes, 1)), 0o666); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command("go", "test", "-count=1", "-run", "^"+m.test+"$", "./"+filepath.ToSlash(filepath.Dir(m.file)))
		cmd.Dir = tree
		out, err := cmd.CombinedOutput()
		var exit *exec.ExitError
		switch {
		case err == nil:
			t.Errorf("%s does not notice %q instead of %q in %s", m.test, m.becomes, m.code, m.file)
		case !errors.As(err, &exit) || !strings.Contains(string(out), "--- FAIL: "+m.test):
			t.Errorf("%q instead of %q in %s does not come to its test: %v\n%s", m.becomes, m.code, m.file, err, out)
		}
		if err := os.WriteFile(file, code, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
