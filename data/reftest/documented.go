package reftest

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// figure is a number as a table shows it.
var figure = regexp.MustCompile(`\d+(\.\d+)?`)

// Documented compares text with the part of a page in the test's own testdata
// between the comments <!-- name --> and <!-- end -->: a table there is what a test
// finds, and a change of either shows. Figures may differ by two in their last digit, since
// processors round differently; words may not.
func Documented(t testing.TB, file, name, text string) {
	t.Helper()
	page, err := os.ReadFile(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(strings.ReplaceAll(string(page), "\r\n", "\n"), "<!-- "+name+" -->\n")
	part, _, closed := strings.Cut(rest, "<!-- end -->")
	if !ok || !closed || !alike(strings.TrimSpace(part), strings.TrimSpace(text)) {
		t.Errorf("testdata/%s between <!-- %s --> and <!-- end --> should be:\n%s", file, name, text)
	}
}

// alike reports whether two texts have the same words and nearly the same
// figures.
func alike(a, b string) bool {
	if figure.ReplaceAllString(a, "0") != figure.ReplaceAllString(b, "0") {
		return false
	}
	others := figure.FindAllString(b, -1)
	for i, x := range figure.FindAllString(a, -1) {
		last := 1.0
		if _, decimals, found := strings.Cut(x, "."); found {
			last = math.Pow10(-len(decimals))
		}
		va, errA := strconv.ParseFloat(x, 64)
		vb, errB := strconv.ParseFloat(others[i], 64)
		if errA != nil || errB != nil || math.Abs(va-vb) > 2.5*last {
			return false
		}
	}
	return true
}
