package live

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"sunrill/cmd/internal/answer"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

const (
	testToken = "abcdefghijklmnopqrstuvwxyz012345"
	testHost  = "127.0.0.1:4321"
)

// demo is the plan of the demo, and how often it was read.
func demo(loads *atomic.Int64) Plan {
	return Plan{Name: "pond.toml", Engine: &answer.Engine{System: units.Metric, Load: func(sets []plan.Setting) (*page.Input, error) {
		loads.Add(1)
		loaded, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: plan.FromFS(data.Demo()),
			ReadOptions: plan.ReadOptions{Sets: sets, Need: plan.NeedDuty}})
		return &page.Input{Loaded: loaded}, err
	}}}
}

// asked sends a request that changes a good one, and returns what comes back.
func asked(p Plan, method, path, body string, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://"+testHost+"/"+testToken+"/"+path, strings.NewReader(body))
	r.RequestURI = "/" + testToken + "/" + path // as a client sends it
	r.Header.Set("Content-Type", "application/json")
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	newHandler(p, testToken, testHost).ServeHTTP(w, r)
	return w
}

const question = `{"n":7,"tab":"a","set":[["lift.static_head","1.3 m"]],"depth":"water"}`

// TestOnlyItsOwnPageIsAnswered: token, host, origin, site, path, method, kind and size.
func TestOnlyItsOwnPageIsAnswered(t *testing.T) {
	header := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	at := func(uri string) func(*http.Request) { return func(r *http.Request) { r.RequestURI = uri } }
	for name, test := range map[string]struct {
		method, path, body string
		change             func(*http.Request)
		code               int
	}{
		"page":                    {"GET", "", "", nil, 200},
		"page as typed":           {"GET", "", "", header("Sec-Fetch-Site", "none"), 200},
		"page reloaded":           {"GET", "", "", header("Sec-Fetch-Site", "same-origin"), 200},
		"head of it":              {"HEAD", "", "", nil, 200},
		"answer":                  {"POST", "answer", question, nil, 200},
		"answer to the page":      {"POST", "answer", question, header("Sec-Fetch-Site", "same-origin"), 200},
		"own origin":              {"POST", "answer", question, header("Origin", "http://"+testHost), 200},
		"kind with letters":       {"POST", "answer", question, header("Content-Type", "application/json; charset=utf-8"), 200},
		"another token":           {"GET", "", "", at("/abcdefghijklmnopqrstuvwxyz012346/"), 404},
		"a longer token":          {"GET", "", "", at("/" + testToken + "0/"), 404},
		"no token":                {"GET", "", "", at("/"), 404},
		"no token, other host":    {"GET", "", "", func(r *http.Request) { r.RequestURI, r.Host = "/answer", "example.org" }, 404},
		"token without its end":   {"GET", "", "", at("/" + testToken), 404},
		"dots":                    {"GET", "", "", at("/x/../" + testToken + "/"), 404},
		"dots behind":             {"GET", "", "", at("/" + testToken + "/./"), 404},
		"two strokes":             {"GET", "", "", at("//" + testToken + "/"), 404},
		"two strokes behind":      {"GET", "", "", at("/" + testToken + "//"), 404},
		"a whole address":         {"GET", "", "", at("http://" + testHost + "/" + testToken + "/"), 404},
		"with a question":         {"GET", "", "", at("/" + testToken + "/?x=1"), 404},
		"in other letters":        {"POST", "", question, at("/" + testToken + "/%61nswer"), 404},
		"a file":                  {"GET", "pond.toml", "", nil, 404},
		"a file elsewhere":        {"GET", "", "", at("/" + testToken + "/../../etc/passwd"), 404},
		"another host":            {"GET", "", "", func(r *http.Request) { r.Host = "example.org" }, 403},
		"host by name":            {"GET", "", "", func(r *http.Request) { r.Host = "localhost:4321" }, 403},
		"another port":            {"GET", "", "", func(r *http.Request) { r.Host = "127.0.0.1:4322" }, 403},
		"another origin":          {"POST", "answer", question, header("Origin", "http://example.org"), 403},
		"no origin to speak of":   {"POST", "answer", question, header("Origin", "null"), 403},
		"another site":            {"POST", "answer", question, header("Sec-Fetch-Site", "cross-site"), 403},
		"a site beside it":        {"POST", "answer", question, header("Sec-Fetch-Site", "same-site"), 403},
		"answer to nobody's page": {"POST", "answer", question, header("Sec-Fetch-Site", "none"), 403},
		"page from another site":  {"GET", "", "", header("Sec-Fetch-Site", "cross-site"), 403},
		"page by post":            {"POST", "", question, nil, 405},
		"answer by get":           {"GET", "answer", "", nil, 405},
		"another kind":            {"POST", "answer", question, header("Content-Type", "text/plain"), 415},
		"a form":                  {"POST", "answer", question, header("Content-Type", "application/x-www-form-urlencoded"), 415},
		"no kind":                 {"POST", "answer", question, header("Content-Type", ""), 415},
		"too large":               {"POST", "answer", `{"tab":"` + strings.Repeat("x", mostBody) + `"}`, nil, 413},
		"too large behind":        {"POST", "answer", question + strings.Repeat(" ", mostBody), nil, 413},
		"no object":               {"POST", "answer", "[]", nil, 400},
		"two objects":             {"POST", "answer", question + question, nil, 400},
		"an unknown member":       {"POST", "answer", `{"file":"x"}`, nil, 400},
		"save where none is":      {"POST", "save", question, nil, 403},
	} {
		t.Run(name, func(t *testing.T) {
			var loads atomic.Int64
			w := asked(demo(&loads), test.method, test.path, test.body, test.change)
			if w.Code != test.code {
				t.Errorf("%d, want %d: %.200s", w.Code, test.code, w.Body)
			}
			if test.code != 200 && (loads.Load() > 0 || strings.Contains(w.Body.String(), "Kestrel") || w.Header().Get("Location") != "") {
				t.Errorf("it read the plan %d times, said %.200s, leads to %q", loads.Load(), w.Body, w.Header().Get("Location"))
			}
			for key, want := range map[string]string{"Cache-Control": "no-store", "Referrer-Policy": "no-referrer",
				"X-Content-Type-Options": "nosniff"} {
				if got := w.Header().Get(key); got != want {
					t.Errorf("%s is %q, want %q", key, got, want)
				}
			}
			if policy := w.Header().Get("Content-Security-Policy"); !strings.Contains(policy, "default-src 'none'") ||
				!strings.Contains(policy, "frame-ancestors 'none'") {
				t.Errorf("the policy is %q", policy)
			}
		})
	}
}

// TestLedFromElsewhereAsksAgain: the browser is started on a page of a disk, which is
// another site; it gets nothing of the plan but a page that asks again by itself.
func TestLedFromElsewhereAsksAgain(t *testing.T) {
	var loads atomic.Int64
	w := asked(demo(&loads), "GET", "", "", func(r *http.Request) {
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		r.Header.Set("Sec-Fetch-Dest", "document")
	})
	if w.Code != 403 || loads.Load() > 0 || !strings.Contains(w.Body.String(), `http-equiv="refresh" content="0"`) {
		t.Errorf("%d, read %d times: %s", w.Code, loads.Load(), w.Body)
	}
}

// TestPageHasAStrictPolicy: scripts and looks by their hash, no other source but the
// server itself, no style in an attribute, nothing run from one.
func TestPageHasAStrictPolicy(t *testing.T) {
	var loads atomic.Int64
	w := asked(demo(&loads), "GET", "", "", nil)
	policy, text := w.Header().Get("Content-Security-Policy"), w.Body.String()
	for _, want := range []string{"default-src 'none'", "script-src 'sha256-", "style-src 'sha256-", "connect-src 'self'", "base-uri 'none'",
		"form-action 'none'", "frame-ancestors 'none'"} {
		if !strings.Contains(policy, want) {
			t.Errorf("the policy lacks %s: %s", want, policy)
		}
	}
	if strings.Contains(policy, "unsafe") || strings.Contains(policy, "*") {
		t.Errorf("the policy is loose: %s", policy)
	}
	head := text[:strings.Index(text, "<script>")]
	for _, never := range []string{" style=", " onclick=", " onload=", "javascript:", "http://", "https://"} {
		if strings.Contains(head, never) {
			t.Errorf("the page has %q", never)
		}
	}
}

func answerOf(t *testing.T, w *httptest.ResponseRecorder) (a answer.Answer) {
	t.Helper()
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
		t.Fatalf("%d %v: %.200s", w.Code, err, w.Body)
	}
	return a
}

// TestAnswerHasPiecesOrFaults: a right question brings pieces and figures, a wrong one its
// faults by key and nothing else.
func TestAnswerHasPiecesOrFaults(t *testing.T) {
	var loads atomic.Int64
	p := demo(&loads)
	if a := answerOf(t, asked(p, "POST", "answer", question, nil)); a.N != 7 || len(a.Faults) > 0 || a.Announce == "" || a.State == "" ||
		a.Slots["verdict"] == "" || a.Values["pumps.1.dirty.turnover_h"] == 0 || a.Slots["sections"] != "" {
		t.Errorf("%v %q %q %d slots", a.Faults, a.Announce, a.State, len(a.Slots))
	}
	for _, set := range []string{`["lift.static_head","high"]`, `["lift.static_head","900 m"]`, `["pump.1.curve","/etc/passwd"]`,
		`["site.weather","x.csv"]`, `["no.such","1"]`, `["name","` + strings.Repeat("x", 300) + `"]`} {
		a := answerOf(t, asked(p, "POST", "answer", `{"n":1,"depth":"water","set":[`+set+`]}`, nil))
		key, _, _ := strings.Cut(strings.TrimPrefix(set, `["`), `"`)
		if len(a.Faults) != 1 || a.Faults[0].Key != key || a.Faults[0].Message == "" || len(a.Slots)+len(a.Values) > 0 {
			t.Errorf("%.60s: %v, %d slots", set, a.Faults, len(a.Slots))
		}
	}
	if a := answerOf(t, asked(p, "POST", "answer", `{"depth":"air"}`, nil)); len(a.Faults) != 1 {
		t.Errorf("another depth: %v", a.Faults)
	}
}

// TestEveryKeyThatNamesAFileIsRefused goes by the table of keys.
func TestEveryKeyThatNamesAFileIsRefused(t *testing.T) {
	files := 0
	for _, k := range plan.KeyTable() {
		if _, faults := answer.Settings([][2]string{{k.First(), "x"}}); (k.Kind == "file") != (len(faults) > 0) {
			t.Errorf("%s: %v", k.Path, faults)
		} else if k.Kind == "file" {
			files++
		}
	}
	if files < 4 {
		t.Errorf("%d keys name files", files)
	}
}

// TestSaving: what is saved, what is wrong, what somebody else has changed.
func TestSaving(t *testing.T) {
	var loads atomic.Int64
	p := demo(&loads)
	var got []plan.Setting
	var fails error
	p.Save = func(sets []plan.Setting) error { got = sets; return fails }
	w := asked(p, "POST", "save", question, nil)
	if a := answerOf(t, w); w.Code != 200 || len(a.Faults) > 0 || a.Announce != "Saved into pond.toml." ||
		!slices.Equal(got, []plan.Setting{{Key: "lift.static_head", Text: "1.3 m"}}) {
		t.Errorf("%d %v %q: %v", w.Code, a.Faults, a.Announce, got)
	}
	fails = errors.Join(ErrChanged)
	if w := asked(p, "POST", "save", question, nil); w.Code != http.StatusConflict || len(answerOf(t, w).Faults) != 1 {
		t.Errorf("a changed file: %d %s", w.Code, w.Body)
	}
	fails = &data.Error{Key: "--set lift.static_head", Message: "wrong"}
	if a := answerOf(t, asked(p, "POST", "save", question, nil)); len(a.Faults) != 1 || a.Faults[0].Key != "lift.static_head" {
		t.Errorf("a wrong value: %v", a.Faults)
	}
	got = nil
	if a := answerOf(t, asked(p, "POST", "save", `{"set":[["pump.1.curve","x.csv"]]}`, nil)); len(a.Faults) != 1 || got != nil {
		t.Errorf("a file: %v, saved %v", a.Faults, got)
	}
}

// TestNewestWins: a request replaces the one before it of the same tab and lane, and what
// is replaced stops; others wait, and no more than may.
func TestNewestWins(t *testing.T) {
	l := lanes{current: map[string]*lane{}, work: make(chan struct{}, atOnce)}
	first, leave, err := l.enter(context.Background(), "sun a")
	if err != nil {
		t.Fatal(err)
	}
	other, leaveOther, err := l.enter(context.Background(), "sun b")
	if err != nil {
		t.Fatal(err)
	}
	entered := make(chan error)
	enter := func(name string) {
		_, leave, err := l.enter(context.Background(), name)
		if err == nil {
			leave()
		}
		entered <- err
	}
	go enter("sun a")
	<-first.Done() // replaced
	if other.Err() != nil {
		t.Error("another tab was stopped")
	}
	leave()
	if err := <-entered; err != nil {
		t.Errorf("the newer request: %v", err)
	}
	leaveOther()

	var leaves []func()
	for i := range atOnce {
		_, leave, err := l.enter(context.Background(), fmt.Sprint(i))
		if err != nil {
			t.Fatal(err)
		}
		leaves = append(leaves, leave)
	}
	ctx, stop := context.WithCancel(context.Background())
	waiting := make(chan error)
	for i := range mostQueue - atOnce {
		go func() { _, _, err := l.enter(ctx, fmt.Sprint("w", i)); waiting <- err }()
	}
	for full := false; !full; {
		l.lock.Lock()
		full = l.waiting == mostQueue
		l.lock.Unlock()
	}
	if _, _, err := l.enter(context.Background(), "one more"); !errors.Is(err, errBusy) {
		t.Errorf("one more than may wait: %v", err)
	}
	stop()
	for range mostQueue - atOnce {
		if err := <-waiting; !errors.Is(err, context.Canceled) {
			t.Errorf("one that waited: %v", err)
		}
	}
	for _, leave := range leaves {
		leave()
	}
	if l.waiting != 0 || len(l.current) > 0 {
		t.Errorf("%d wait, %d are kept", l.waiting, len(l.current))
	}
}

// TestWorkNoLongerWantedStops: an answer ends with the one who asked for it.
func TestWorkNoLongerWantedStops(t *testing.T) {
	var loads atomic.Int64
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err := demo(&loads).Engine.Answer(ctx, answer.Request{Depth: "all"})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("it ended with %v", err)
	}
}

// TestServesThisMachineAloneUntilItEnds over a real connection.
func TestServesThisMachineAloneUntilItEnds(t *testing.T) {
	var loads atomic.Int64
	s, err := Listen(0, demo(&loads))
	if err != nil {
		t.Fatal(err)
	}
	at, _ := s.listener.Addr().(*net.TCPAddr)
	if !at.IP.IsLoopback() || at.IP.To4() == nil {
		t.Errorf("it listens on %v", at)
	}
	if _, err := Listen(at.Port, demo(&loads)); err == nil {
		t.Error("a port was opened twice")
	}
	if bits, err := base64.RawURLEncoding.DecodeString(s.token); err != nil || len(bits)*8 < 192 {
		t.Errorf("%d random bits: %v", len(bits)*8, err)
	}
	other, err := Listen(0, demo(&loads))
	if err != nil || other.token == s.token {
		t.Errorf("the same token twice: %v", err)
	}
	s.limits.unused = 300 * time.Millisecond
	said, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- s.Serve(context.Background(), func(why string) { said <- why }) }()
	reply, err := http.Post(s.Address()+"answer", "application/json", strings.NewReader(question))
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(reply.Body)
	if reply.Body.Close() != nil || err != nil || reply.StatusCode != 200 || !bytes.Contains(body, []byte(`"verdict"`)) {
		t.Errorf("%d %v %.100s", reply.StatusCode, err, body)
	}
	for len(said) == 0 && len(ended) == 0 {
		time.Sleep(10 * time.Millisecond)
	}
	if err := <-ended; err != nil || !strings.Contains(<-said, "nobody") {
		t.Errorf("it ended with %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := other.Serve(ctx, func(string) {}); err != nil {
		t.Errorf("interrupted, it ended with %v", err)
	}
}

// TestSlowOnesAreCutOff: a head, a body and a next request that do not come end the
// connection, each by its own limit.
func TestSlowOnesAreCutOff(t *testing.T) {
	if usual.header <= 0 || usual.read < usual.header || usual.open <= 0 || usual.open > usual.unused {
		t.Errorf("the limits of a server are %+v", usual)
	}
	const soon, never = 200 * time.Millisecond, time.Hour
	for name, limit := range map[string]limits{"head": {soon, never, never, never}, "body": {never, soon, never, never},
		"next request": {never, never, soon, never}} {
		var loads atomic.Int64
		s, err := Listen(0, demo(&loads))
		if err != nil {
			t.Fatal(err)
		}
		s.limits = limit
		ctx, stop := context.WithCancel(context.Background())
		ended := make(chan error, 1)
		go func() { ended <- s.Serve(ctx, func(string) {}) }()
		c, err := net.Dial("tcp4", s.listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		head := "POST /" + s.token + "/nothing HTTP/1.1\r\nHost: " + s.listener.Addr().String() + "\r\n"
		text := map[string]string{"head": head, "body": strings.Replace(head, "nothing", "answer", 1) +
			"Content-Type: application/json\r\nContent-Length: 9\r\n\r\n{", "next request": head + "Content-Length: 0\r\n\r\n"}[name]
		from := time.Now()
		if _, err := c.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		_ = c.SetReadDeadline(from.Add(20 * time.Second))
		answer, err := io.ReadAll(c)
		if took := time.Since(from); err != nil || took < soon/2 {
			t.Errorf("%s: ended after %v with %v: %.200s", name, took, err, answer)
		}
		if got := string(answer); name == "next request" != strings.Contains(got, " 404 ") {
			t.Errorf("%s: %.200s", name, got)
		}
		_ = c.Close()
		stop()
		if err := <-ended; err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestNamesFromFilesAreHarmlessInSlots: a hostile name comes back as text.
func TestNamesFromFilesAreHarmlessInSlots(t *testing.T) {
	var loads atomic.Int64
	for _, name := range []string{"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "\u202egnp.exe", "</svg><style>*{}"} {
		p := demo(&loads)
		inner := p.Engine.Load
		p.Engine.Load = func(sets []plan.Setting) (*page.Input, error) {
			in, err := inner(sets)
			if err == nil {
				in.Plan.Name, in.Plan.Pumps[1].Name = name, name
			}
			return in, err
		}
		set, _ := json.Marshal([][2]string{{"choice.pump", name}})
		a := answerOf(t, asked(p, "POST", "answer", `{"depth":"all","set":`+string(set)+`}`, nil))
		all := strings.Join(slices.Collect(maps.Values(a.Slots)), "") + asked(p, "GET", "", "", nil).Body.String()
		before, _, _ := strings.Cut(all, "<script>\"use strict\"")
		for _, never := range []string{"<script>alert", "<img", "<style>*", "\u202e"} {
			if strings.Contains(before, never) {
				t.Errorf("%q: the page has %q", name, never)
			}
		}
	}
}
