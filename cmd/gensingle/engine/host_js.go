package main

import (
	"context"
	"syscall/js"
)

// job is a request that waits for its turn.
type job struct {
	context.Context
	n, what js.Value
	body    string
}

// mostWaiting is more than a page that waits for its answers ever asks for.
const mostWaiting = 64

// serve answers the messages {n, what, body} of the page that started this worker by
// {n, body}, one after another; what "stop" ends the request n.
func serve(do func(ctx context.Context, what string, body []byte) []byte) {
	worker, jobs, stops := js.Global(), make(chan job, mostWaiting), map[int]context.CancelFunc{}
	turn := newTurn()
	worker.Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		m := args[0].Get("data")
		n, what := m.Get("n"), m.Get("what")
		if what.String() == "stop" {
			if stop := stops[n.Int()]; stop != nil {
				stop()
			}
			return nil
		}
		ctx, stop := context.WithCancel(context.Background())
		stops[n.Int()] = stop
		jobs <- job{yielding{ctx, turn}, n, what, m.Get("body").String()}
		return nil
	}))
	worker.Call("postMessage", "ready")
	for j := range jobs {
		text := "null"
		if j.Err() == nil {
			text = string(do(j.Context, j.what.String(), []byte(j.body)))
		}
		stops[j.n.Int()]()
		delete(stops, j.n.Int())
		worker.Call("postMessage", map[string]any{"n": j.n, "body": text})
	}
}

// turn lets the browser hand over the messages that wait.
type turn struct {
	port js.Value
	back chan struct{}
}

func newTurn() turn {
	ports, t := js.Global().Get("MessageChannel").New(), turn{back: make(chan struct{}, mostWaiting)}
	t.port = ports.Get("port1")
	ports.Get("port2").Set("onmessage", js.FuncOf(func(js.Value, []js.Value) any {
		t.back <- struct{}{}
		return nil
	}))
	return t
}

// yielding is a context that lets messages in when it is asked whether it has ended: a
// worker that only reckons would never hear that it may stop.
type yielding struct {
	context.Context
	turn turn
}

// Err is that of the context, after the messages that wait.
func (y yielding) Err() error {
	y.turn.port.Call("postMessage", 0)
	<-y.turn.back
	return y.Context.Err()
}
