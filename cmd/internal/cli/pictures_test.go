package cli

import (
	"bytes"
	"encoding/json"
	"image/png"
	"os"
	"path/filepath"
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

func TestPicturesAreWrittenAsFiles(t *testing.T) {
	t.Chdir(t.TempDir())
	if code, out, errs := run("duty", "--demo", "--pictures", "drawn/here"); code != exitAnswered || out == "" || errs != "" {
		t.Fatalf("exit %d, says %q", code, errs)
	}
	files, err := filepath.Glob("drawn/here/*")
	if err != nil || strings.Join(files, " ") != "drawn/here/curves.png" {
		t.Fatalf("files %v, %v", files, err)
	}
	image, err := os.ReadFile("drawn/here/curves.png")
	if err != nil {
		t.Fatal(err)
	}
	size, err := png.DecodeConfig(bytes.NewReader(image))
	if err != nil || size.Width < 1000 {
		t.Errorf("an image %d wide, %v", size.Width, err)
	}
	if err := os.WriteFile("file", nil, 0o666); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := run("duty", "--demo", "--pictures", "file"); code != exitNoAnswer || !strings.Contains(errs, "cannot make the folder") {
		t.Errorf("into a file: exit %d, says %q", code, errs)
	}
	none := []string{"size", "--load", "20W", "--panel", "10W", "--lat", "52", "--lon", "13", "--unmet", "0", "--pictures", "drawn"}
	if code, _, errs := run(none...); code != exitNoAnswer || !strings.Contains(errs, "no pictures") {
		t.Errorf("without pictures: exit %d, says %q", code, errs)
	}
	for _, name := range []string{"sun", "tradeoff", "measure", "tables"} {
		if code, _, errs := run(name, "--pictures", "drawn"); code != exitUsage || !strings.Contains(errs, "no flag --pictures") {
			t.Errorf("%s, which has no picture: exit %d, says %q", name, code, errs)
		}
	}
	// A picture must not take the place of what the page is made from.
	const curve = "flow (L/h),head (m)\n0,2.5\n2000,0.6\n"
	if err := os.WriteFile("drawn/here/curves.png", []byte(curve), 0o666); err != nil {
		t.Fatal(err)
	}
	args := []string{"duty", "--curve", "drawn/here/curves.png", "--static-head", "0.9m", "--pipe-bore", "25mm", "--pipe-length", "10m", "--pictures", "drawn/here"}
	if code, _, errs := run(args...); code != exitUsage || !strings.Contains(errs, "own input") {
		t.Errorf("over its input: exit %d, says %q", code, errs)
	}
	if kept, err := os.ReadFile("drawn/here/curves.png"); err != nil || string(kept) != curve {
		t.Errorf("the input now holds %.60q, %v", kept, err)
	}
}
