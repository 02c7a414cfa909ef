package reftest

import "testing"

// TestAlike: words count exactly, figures to two in their last digit.
func TestAlike(t *testing.T) {
	const page = "| Ames | 0.99 (0.81 to 1.08) | 42 of 45 |"
	for text, want := range map[string]bool{
		page: true,
		"| Ames | 0.98 (0.83 to 1.08) | 41 of 45 |":  true,
		"| Ames | 0.95 (0.81 to 1.08) | 42 of 45 |":  false,
		"| Ames | 0.99 (0.81 to 1.08) | 42 of 49 |":  false,
		"| Ames | 0.99 (0.81 and 1.08) | 42 of 45 |": false,
		"| Ames | 0.99 (0.81 to 1.08) |":             false,
	} {
		if alike(page, text) != want {
			t.Errorf("alike to %q: %v", text, !want)
		}
	}
}
