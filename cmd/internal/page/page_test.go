package page

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// TestPagesNeedNoTerminal: pages are made in a browser too, where every package that is
// linked has to be sent.
func TestPagesNeedNoTerminal(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", ".").Output()
	if err != nil {
		t.Fatal(err)
	}
	deps := strings.Fields(string(out))
	for _, path := range deps {
		for _, heavy := range []string{"github.com/spf13/", "github.com/olekukonko/", "html/template", "text/template", "gonum.org/v1/plot", "net/http"} {
			if strings.HasPrefix(path, heavy) {
				t.Errorf("page links %s", path)
			}
		}
	}
	if !slices.Contains(deps, "sunrill/energy") {
		t.Errorf("the list of %d packages is not that of page", len(deps))
	}
}
