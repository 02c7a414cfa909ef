// Package answer works out what the page of a plan shows when something on it is
// changed: settings in, pieces of the page out. It knows no network and no files, so
// that a server and a page that holds its own engine share it.
package answer

import (
	"context"
	"fmt"
	"strings"
	"sync"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/solar/sky"
)

// Request asks for the plan with settings, as far as Depth: "water", "sun", "front" with the
// best plan and all but the tables, or "all".
type Request struct {
	N     int         `json:"n"` // comes back with the answer
	Tab   string      `json:"tab,omitempty"`
	Set   [][2]string `json:"set"` // key and text, as --set takes them
	Depth string      `json:"depth"`
}

// Answer is what is known. Slots are pieces of the page by the names of their places;
// Values the figures of the object that plan prints as JSON, items of lists from 1.
type Answer struct {
	N        int                `json:"n"`
	Faults   []Fault            `json:"faults"`
	State    string             `json:"state"`
	Announce string             `json:"announce"`
	Slots    map[string]string  `json:"slots"`
	Values   map[string]float64 `json:"values"`
}

// Fault is what is wrong with one setting.
type Fault struct {
	Key     string `json:"key"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

// Engine answers for one plan. It may be asked by several at once.
type Engine struct {
	Load   func([]plan.Setting) (*page.Input, error) // reads the plan with settings, and what it names
	System units.System

	lock sync.Mutex
	made *sky.Made // weather of the last answer, which few changes touch
}

var depths = map[string]energy.Depth{"water": energy.Water, "sun": energy.Decided, "front": energy.Improved, "all": energy.All}

// Answer works a request out. What is wrong with its settings is in the answer; the
// error is that of ctx, or of what no setting explains.
func (e *Engine) Answer(ctx context.Context, q Request) (Answer, error) {
	a := Answer{N: q.N, Faults: []Fault{}, Slots: map[string]string{}, Values: map[string]float64{}}
	depth, known := depths[q.Depth]
	sets, faults := Settings(q.Set)
	if !known {
		faults = append(faults, Fault{Key: "depth", Message: "no such depth", Hint: "water, sun, front or all"})
	}
	if len(faults) > 0 {
		a.Faults = faults
		return a, nil
	}
	made, err := e.evaluate(ctx, sets, depth)
	switch {
	case ctx.Err() != nil:
		return a, ctx.Err()
	case err != nil:
		if a.Faults = Faults(err); len(a.Faults) == 0 {
			return a, err
		}
		return a, nil
	}
	doc, rows := made.Opening(depth), q.Depth == "all"
	if rows {
		doc = made.Document()
	}
	if a.Slots, err = doc.Slots(e.System, depth >= energy.Improved, rows); err != nil {
		return a, err
	}
	object, err := document.Object(doc.Object)
	if err != nil {
		return a, err
	}
	document.Leaves("", object, func(path string, v any) {
		switch v := v.(type) {
		case float64:
			a.Values[path] = v
		case int:
			a.Values[path] = float64(v)
		}
	})
	f := doc.Front(e.System)
	a.State, a.Announce = f.State.String(), document.Softened(f.Head.Text(e.System, document.Clean))
	return a, nil
}

// Page returns the whole page of the plan as it is, and its policy; with an engine it
// can be changed.
func (e *Engine) Page(ctx context.Context, engine *document.Engine) (html []byte, policy string, err error) {
	made, err := e.evaluate(ctx, nil, energy.All)
	if err != nil {
		return nil, "", err
	}
	return made.Document().Live(e.System, engine)
}

func (e *Engine) evaluate(ctx context.Context, sets []plan.Setting, depth energy.Depth) (*page.PlanPage, error) {
	in, err := e.Load(sets)
	if err != nil {
		return nil, err
	}
	e.lock.Lock()
	in.Made = e.made
	e.lock.Unlock()
	made, err := in.JobTo(ctx, depth)
	if err == nil && made.Result.Solar.Known {
		e.lock.Lock()
		e.made = made.Result.Solar.Value.Sky.Made
		e.lock.Unlock()
	}
	return made, err
}

// The most of a request.
const (
	mostSettings = 64
	mostText     = 200 // letters of a key or a value
)

// Settings returns what a request sets, or what is wrong with it: a key that names a
// file is for the plan alone.
func Settings(set [][2]string) (sets []plan.Setting, faults []Fault) {
	if len(set) > mostSettings {
		return nil, []Fault{{Message: fmt.Sprintf("%d settings are more than are taken", len(set)),
			Hint: fmt.Sprintf("%d at most", mostSettings)}}
	}
	for _, s := range set {
		k, known := plan.KeyNamed(s[0])
		switch {
		case len(s[0]) > mostText || len(s[1]) > mostText:
			faults = append(faults, Fault{Key: document.Clean(s[0][:min(len(s[0]), mostText)]), Message: "too long"})
		case known && k.Kind == "file":
			faults = append(faults, Fault{Key: s[0], Message: "a file is named in the plan alone"})
		default:
			sets = append(sets, plan.Setting{Key: s[0], Text: s[1]})
		}
	}
	return sets, faults
}

// Saved answers a request to put its settings into a plan by save, and says where they
// are now. The error is that of save, whose faults are in the answer.
func Saved(q Request, where string, save func([]plan.Setting) error) (a Answer, err error) {
	sets, faults := Settings(q.Set)
	a = Answer{N: q.N, Faults: append([]Fault{}, faults...), Slots: map[string]string{}, Values: map[string]float64{}}
	if len(faults) > 0 {
		return a, nil
	}
	if err = save(sets); err == nil {
		a.Announce = "Saved " + where + "."
	}
	a.Faults = Faults(err)
	return a, err
}

// Faults returns those that err holds, each at its key.
func Faults(err error) []Fault {
	return document.Each(data.Faults(err), func(f *data.Error) Fault {
		shown := *f
		shown.Key, shown.File = "", ""
		return Fault{Key: strings.TrimPrefix(f.Key, "--set "), Message: page.Capital(shown.Error()) + ".", Hint: f.Hint}
	})
}
