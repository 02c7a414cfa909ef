package live

import (
	"context"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"slices"
	"strings"

	"sunrill/cmd/internal/answer"
)

// handler lets in who knows the token and comes from the page itself.
type handler struct {
	plan  Plan
	token string
	host  string // address and port, as a request has to name it
	lanes lanes
}

func newHandler(p Plan, token, host string) *handler {
	return &handler{plan: p, token: token, host: host, lanes: lanes{current: map[string]*lane{}, work: make(chan struct{}, atOnce)}}
}

// mostBody is the most that a request may hold [bytes].
const mostBody = 64 << 10

// ServeHTTP answers one request. The path is compared as it was sent: nothing of it is
// cleaned, and nothing leads anywhere else.
func (h *handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for _, pair := range [][2]string{{"Cache-Control", "no-store"}, {"Referrer-Policy", "no-referrer"},
		{"X-Content-Type-Options", "nosniff"}, {"X-Frame-Options", "DENY"}, {"Cross-Origin-Resource-Policy", "same-origin"},
		{"Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'"}} {
		w.Header().Set(pair[0], pair[1])
	}
	token, what, _ := strings.Cut(strings.TrimPrefix(r.RequestURI, "/"), "/")
	if subtle.ConstantTimeCompare([]byte(token), []byte(h.token)) != 1 || r.RequestURI != "/"+h.token+"/"+what {
		http.NotFound(w, r)
		return
	}
	if !h.ours(r, what == "") {
		h.refuse(w, r, what == "")
		return
	}
	switch what {
	case "":
		h.page(w, r)
	case "answer", "save":
		h.post(w, r, what)
	default:
		http.NotFound(w, r)
	}
}

// ours reports whether a request names this host alone and comes from its own page or,
// for the page, from whoever typed its address.
func (h *handler) ours(r *http.Request, page bool) bool {
	others := func(header string, ours ...string) bool {
		return slices.ContainsFunc(r.Header.Values(header), func(s string) bool { return !slices.Contains(ours, s) })
	}
	return r.Host == h.host && !others("Origin", "http://"+h.host) &&
		(!others("Sec-Fetch-Site", "same-origin") || page && !others("Sec-Fetch-Site", "same-origin", "none"))
}

// refuse says no. A browser that was led here from elsewhere, as from the page that a
// browser is started on, is told to ask for the page itself.
func (h *handler) refuse(w http.ResponseWriter, r *http.Request, page bool) {
	const again = "<!DOCTYPE html>\n<meta http-equiv=\"refresh\" content=\"0\">\n<title>Sunrill</title>\n"
	if page && r.Host == h.host && r.Header.Get("Sec-Fetch-Dest") == "document" {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusForbidden)
		_, _ = io.WriteString(w, again) // who has gone reads nothing
		return
	}
	http.Error(w, "this page answers itself alone", http.StatusForbidden)
}

func (h *handler) page(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "the page is for reading", http.StatusMethodNotAllowed)
		return
	}
	ctx, leave, err := h.lanes.enter(r.Context(), "page "+r.RemoteAddr)
	if err != nil {
		http.Error(w, err.Error(), http.StatusServiceUnavailable)
		return
	}
	defer leave()
	page, policy, err := h.plan.Engine.Page(ctx, h.plan.engine())
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Security-Policy", policy+"; frame-ancestors 'none'")
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(page) // who has gone reads nothing
}

// post answers a request of the page.
func (h *handler) post(w http.ResponseWriter, r *http.Request, what string) {
	a, code, complaint := h.answer(w, r, what)
	if complaint != "" {
		http.Error(w, complaint, code)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	_ = json.NewEncoder(w).Encode(a) // who has gone reads nothing
}

func (h *handler) answer(w http.ResponseWriter, r *http.Request, what string) (a answer.Answer, code int, complaint string) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", http.MethodPost)
		return a, http.StatusMethodNotAllowed, "it is asked by POST"
	}
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return a, http.StatusUnsupportedMediaType, "it takes application/json"
	}
	var q answer.Request
	body := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	body.DisallowUnknownFields()
	err := body.Decode(&q)
	if _, more := body.Token(); err == nil && !errors.Is(more, io.EOF) {
		err = errors.Join(errors.New("more than one object"), more)
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return a, http.StatusRequestEntityTooLarge, "larger than any request of the page"
	case err != nil:
		return a, http.StatusBadRequest, "no request of the page"
	case what == "save" && h.plan.Save == nil:
		return a, http.StatusForbidden, "this plan is for reading alone"
	}
	name := what
	if what == "answer" && q.Depth == "water" {
		name = "water"
	}
	ctx, leave, err := h.lanes.enter(r.Context(), name+" "+q.Tab)
	if err != nil {
		return a, http.StatusServiceUnavailable, err.Error()
	}
	defer leave()
	if what == "save" {
		if a, err = answer.Saved(q, "into "+h.plan.Name, h.plan.Save); errors.Is(err, ErrChanged) {
			return a, http.StatusConflict, ""
		}
		return a, http.StatusOK, ""
	}
	switch a, err = h.plan.Engine.Answer(ctx, q); {
	case errors.Is(err, context.Canceled):
		return a, http.StatusServiceUnavailable, err.Error() // something newer is asked
	case err != nil:
		return a, http.StatusInternalServerError, err.Error()
	}
	return a, http.StatusOK, ""
}
