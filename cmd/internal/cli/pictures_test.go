package cli

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
)

// TestDemoHasEveryPicture counts the pictures of a plan.
func TestDemoHasEveryPicture(t *testing.T) {
	_, page, _ := run("plan", "--demo", "--format", "html")
	for _, key := range strings.Fields("pumps curves paid months fortnight daylight_months") {
		if !strings.Contains(page, `data-slot="pic-`+key+`"`) {
			t.Errorf("there is no picture %s", key)
		}
	}
	if n := strings.Count(page, "<figcaption"); n != 6 {
		t.Errorf("%d pictures, want 6", n)
	}
}

// pageArgs are the commands whose pages are compared below, on the demo.
var pageArgs = map[string][]string{
	"plan":    {"plan", "--demo"},
	"duty":    {"duty", "--demo"},
	"compare": {"compare", "--demo"},
	"sun":     {"sun", "--place", "Upington"},
	"size":    {"size", "--place", "Upington", "--load", "20W"},
	"balance": {"balance", "--place", "Upington", "--panel", "60W", "--battery", "300Wh", "--load", "20W"},
	"tables":  {"tables", "pipes"},
}

const mostPage = 400_000 // bytes

// numbersOf returns every number of a command's JSON as it is written.
func numbersOf(t *testing.T, args ...string) map[string]bool {
	t.Helper()
	_, text, _ := run(append(args, "--format", "json")...)
	decoder := json.NewDecoder(strings.NewReader(text))
	decoder.UseNumber()
	var object any
	if err := decoder.Decode(&object); err != nil {
		t.Fatalf("%v: %v", args, err)
	}
	numbers := map[string]bool{}
	gatherNumbers(object, numbers)
	return numbers
}

func gatherNumbers(v any, into map[string]bool) {
	switch v := v.(type) {
	case json.Number:
		into[v.String()] = true
	case []any:
		for _, e := range v {
			gatherNumbers(e, into)
		}
	case map[string]any:
		for _, e := range v {
			gatherNumbers(e, into)
		}
	}
}

// notInJSON are sentences whose figures are not asked for in the object, which has them
// as text or not at all: what was assumed, and what is said about a table or a picture.
var notInJSON = regexp.MustCompile(`(?s)<section class="list.*?</section>|<ul>.*?</ul>|<p class="note">.*?</p>|<figcaption>.*?</figcaption>|<p>.*?</p>`)

// TestHTMLHasTheNumbersOfJSON reads every figure of the answer, tables and pictures
// of a page in full and looks for it in the object, apart from shares and
// differences of flow within the answer. The page is the same each time, and small enough to be sent by mail.
func TestHTMLHasTheNumbersOfJSON(t *testing.T) {
	figure := regexp.MustCompile(`(<t[dh][^>]*>)?<data value="([^"]+)">([^<]*)<`)
	for name, args := range pageArgs {
		_, page, _ := run(append(args, "--format", "html")...)
		_, again, _ := run(append(args, "--format", "html")...)
		if page != again {
			t.Errorf("%s: two pages of the same plan differ", name)
		}
		if len(page) > mostPage {
			t.Errorf("%s: %d bytes, want at most %d", name, len(page), mostPage)
		}
		numbers := numbersOf(t, args...)
		found := figure.FindAllStringSubmatch(notInJSON.ReplaceAllString(page, ""), -1)
		if len(found) < 10 {
			t.Errorf("%s: the page shows %d figures", name, len(found))
		}
		missing := 0
		for _, f := range found {
			// A share and what something brings more are worked out for the sentence.
			worked := f[1] == "" && (strings.HasSuffix(f[3], "%") || strings.HasSuffix(f[3], "L/h") && args[0] != "duty")
			if !numbers[f[2]] && !worked && missing < 5 {
				missing++
				t.Errorf("%s: JSON has no %s, shown as %s", name, f[2], f[3])
			}
		}
	}
}
