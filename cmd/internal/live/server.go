// Package live serves the page of a plan to the browser of the one who started it, and
// to nobody else: on the loopback address alone, under a path that only they know.
package live

import (
	"context"
	"crypto/rand"
	_ "embed"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"strconv"
	"sync"
	"time"

	"sunrill/cmd/internal/answer"
	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
)

// Plan is what is served.
type Plan struct {
	Engine *answer.Engine
	Name   string // of the file that changes are saved into
	// Save puts settings into the plan; nil where it may not be changed. ErrChanged is
	// for a file that somebody else has changed.
	Save func([]plan.Setting) error
}

// ErrChanged is the error of saving into a file that is no longer what was read.
var ErrChanged = errors.New("the plan has changed since it was read: stop sunrill and start it again to see it as it is")

// limits of a server.
type limits struct {
	header, read time.Duration // of a request that comes in
	open         time.Duration // between two requests
	unused       time.Duration // that it waits for somebody before it ends
}

// usual limits; common practice, no source.
var usual = limits{header: 5 * time.Second, read: 15 * time.Second, open: 2 * time.Minute, unused: time.Hour}

const (
	mostHeaders = 16 << 10 // bytes
	stopWithin  = 3 * time.Second
)

// Server is a plan at an address.
type Server struct {
	listener net.Listener
	plan     Plan
	token    string
	limits   limits
}

// Listen opens a port of this machine for it alone; 0 takes any.
func Listen(port int, p Plan) (*Server, error) {
	listener, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return nil, fmt.Errorf("port %d cannot be opened: %w", port, err)
	}
	secret := make([]byte, 24) // 192 bits
	_, _ = rand.Read(secret)   // it never fails
	return &Server{listener: listener, plan: p, token: base64.RawURLEncoding.EncodeToString(secret), limits: usual}, nil
}

// Address returns where the page is; whoever knows it may use it.
func (s *Server) Address() string {
	return "http://" + s.listener.Addr().String() + "/" + s.token + "/"
}

// Serve answers until ctx ends, or nobody has asked for an hour, which it says to told.
func (s *Server) Serve(ctx context.Context, told func(string)) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	idle := time.AfterFunc(s.limits.unused, func() {
		told("nobody has asked for an hour: this is the end")
		stop()
	})
	defer idle.Stop()
	inner := newHandler(s.plan, s.token, s.listener.Addr().String())
	server := &http.Server{ReadHeaderTimeout: s.limits.header, ReadTimeout: s.limits.read, IdleTimeout: s.limits.open,
		MaxHeaderBytes: mostHeaders, ErrorLog: log.New(io.Discard, "", 0), BaseContext: func(net.Listener) context.Context { return ctx },
		Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			idle.Reset(s.limits.unused)
			inner.ServeHTTP(w, r)
		})}
	ended := make(chan error, 1)
	go func() {
		<-ctx.Done()
		within, done := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
		defer done()
		ended <- server.Shutdown(within)
	}()
	if err := server.Serve(s.listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-ended
}

// lanes lets few requests work at once and few wait, and stops what a newer request of
// the same tab and depth replaces.
type lanes struct {
	lock    sync.Mutex
	current map[string]*lane
	work    chan struct{}
	waiting int
}

type lane struct{ stop context.CancelFunc }

const (
	atOnce    = 2
	mostQueue = 16
)

// errBusy is for a request beyond those that may wait.
var errBusy = errors.New("too much is asked at once")

// enter waits for its turn; leave has to be called where there is no error.
func (l *lanes) enter(ctx context.Context, name string) (_ context.Context, leave func(), err error) {
	ctx, stop := context.WithCancel(ctx)
	mine := &lane{stop}
	l.lock.Lock()
	if l.waiting >= mostQueue {
		l.lock.Unlock()
		stop()
		return nil, nil, errBusy
	}
	l.waiting++
	if before := l.current[name]; before != nil {
		before.stop()
	}
	l.current[name] = mine
	l.lock.Unlock()
	out := func() {
		stop()
		l.lock.Lock()
		defer l.lock.Unlock()
		l.waiting--
		if l.current[name] == mine {
			delete(l.current, name)
		}
	}
	select {
	case l.work <- struct{}{}:
		return ctx, func() { <-l.work; out() }, nil
	case <-ctx.Done():
		out()
		return nil, nil, ctx.Err()
	}
}

// askScript brings requests of the page here.
//
//go:embed ask.js
var askScript string

// engine is what the page is told of its server.
func (p Plan) engine() *document.Engine {
	e := &document.Engine{Script: askScript, Policy: "; connect-src 'self'"}
	if p.Save != nil {
		e.Save = p.Name
	}
	return e
}
