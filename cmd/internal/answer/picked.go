package answer

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
)

// Picked answers a page that holds its own engine: for the demo, until somebody picks
// the files of a plan.
type Picked struct {
	engine *Engine
	name   string // of the plan among files
	files  map[string][]byte
}

// Demo returns what a page starts with.
func Demo() *Picked {
	return &Picked{engine: &Engine{Load: func(sets []plan.Setting) (*page.Input, error) {
		return loaded(plan.PlanFile, plan.FromFS(data.Demo()), sets, true)
	}}}
}

func loaded(name string, open plan.Opener, sets []plan.Setting, demo bool) (*page.Input, error) {
	opt := plan.LoadOptions{Open: open, ReadOptions: plan.ReadOptions{Sets: sets, Need: plan.NeedDuty}}
	in := &page.Input{Demo: demo}
	var err error
	if in.Loaded, err = plan.LoadPlan(name, opt); err != nil {
		return nil, err
	}
	in.FindNotYours(func(string) bool { return true })
	return in, nil
}

// Page returns the page of the plan as it is, for an engine that is given what this one
// allows: another plan, and saving one that was picked.
func (p *Picked) Page(ctx context.Context, e document.Engine) ([]byte, error) {
	e.Pick, e.Save = true, p.name
	html, _, err := p.engine.Page(ctx, &e)
	return html, err
}

// reply is what a page is told.
type reply struct {
	Answer
	Error string `json:"error,omitempty"` // why there is no answer
	Page  string `json:"page,omitempty"`
	Name  string `json:"name,omitempty"` // of the file with Text
	Text  []byte `json:"text,omitempty"`
}

// Do works out a request: "open" with files and whether the page is wanted, "answer", or
// "save".
func (p *Picked) Do(ctx context.Context, what string, body []byte) []byte {
	var q struct {
		Request
		Files map[string][]byte `json:"files"`
		Page  bool              `json:"page"`
	}
	err := json.Unmarshal(body, &q)
	r := reply{Answer: Answer{N: q.N, Faults: []Fault{}}}
	switch {
	case err != nil:
	case what == "open":
		r.Page, err = p.open(ctx, q.Files, q.Page)
		r.Faults, err = placedFaults(err), nil
	case what == "answer":
		r.Answer, err = p.engine.Answer(ctx, q.Request)
	case what == "save":
		r.Name = p.name
		r.Answer, _ = Saved(q.Request, "as "+p.name+", where this browser keeps what it downloads", func(sets []plan.Setting) (err error) {
			r.Text, err = plan.Edit(p.name, p.files[p.name], sets)
			return err
		})
	default:
		err = fmt.Errorf("no such request: %s", what)
	}
	if err != nil {
		r.Error = err.Error()
	}
	text, err := json.Marshal(r)
	if err != nil { // a figure that is no number: a mistake of ours
		text, _ = json.Marshal(reply{Error: err.Error()}) // of a text, which never fails
	}
	return text
}

// open takes a plan with its files in the place of what is shown, where it is sound.
func (p *Picked) open(ctx context.Context, files map[string][]byte, whole bool) (html string, err error) {
	name, err := planAmong(files)
	if err != nil {
		return "", err
	}
	next := Picked{name: name, files: files, engine: &Engine{System: p.engine.System, Load: func(sets []plan.Setting) (*page.Input, error) {
		return loaded(name, opener(files), sets, false)
	}}}
	if whole {
		var text []byte
		text, err = next.Page(ctx, document.Engine{})
		html = string(text)
	} else {
		_, err = next.engine.Load(nil)
	}
	if err == nil {
		*p = next
	}
	return html, err
}

// planAmong returns the name of the plan: the only file, the only TOML, or that with the
// usual name.
func planAmong(files map[string][]byte) (string, error) {
	names := slices.Sorted(maps.Keys(files))
	tomls := slices.DeleteFunc(slices.Clone(names), func(s string) bool { return !strings.EqualFold(path.Ext(s), ".toml") })
	switch {
	case len(names) == 1:
		return names[0], nil
	case len(tomls) == 1:
		return tomls[0], nil
	case slices.Contains(tomls, plan.PlanFile):
		return plan.PlanFile, nil
	}
	return "", &data.Error{Message: "which of the files is the plan is not clear", Found: strings.Join(names, ", "),
		Allowed: "one that ends in .toml, such as " + plan.PlanFile}
}

// opener opens files by the last part of a name, as somebody who picks files gives no
// folders; two files of a plan that end alike cannot be told apart.
func opener(files map[string][]byte) plan.Opener {
	as := map[string]string{}
	return func(where string) (io.ReadCloser, error) {
		where = filepath.ToSlash(where)
		base := path.Base(where)
		text, picked := files[base]
		if !picked {
			return nil, &fs.PathError{Op: "open", Path: where, Err: fs.ErrNotExist}
		}
		if before, named := as[base]; named && before != where {
			return nil, &fs.PathError{Op: "open", Path: where, Err: fmt.Errorf("%s has the same name", before)}
		}
		as[base] = where
		return io.NopCloser(bytes.NewReader(text)), nil
	}
}

// placedFaults returns those that err holds as the command words them.
func placedFaults(err error) []Fault {
	return document.Each(data.Faults(err), func(f *data.Error) Fault {
		told := Fault{Key: f.Key, Message: f.Error(), Hint: f.Hint}
		if f.Hint == "" && errors.Is(f.Err, fs.ErrNotExist) {
			told.Hint = "pick it together with the plan"
		}
		return told
	})
}
