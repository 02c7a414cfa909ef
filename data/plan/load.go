package plan

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// PlanFile is what a folder's plan is called.
const PlanFile = "pond.toml"

// Opener opens a file that a plan names. FromFS makes one of an embedded folder.
type Opener func(path string) (io.ReadCloser, error)

// FromFS returns an Opener for the files of fsys.
func FromFS(fsys fs.FS) Opener {
	return func(path string) (io.ReadCloser, error) { return fsys.Open(filepath.ToSlash(path)) }
}

// LoadOptions says what LoadPlan does beside loading.
type LoadOptions struct {
	ReadOptions
	Stdin io.Reader // for "-"
	Open  Opener    // os.Open where nil
}

// Loaded is a plan with the pump curves of the files that it names. The other
// files it names (climate, weather, log, series) are opened by those who read
// them, with Open.
type Loaded struct {
	Plan     Plan
	Curves   []data.CurveRows // one for each of Plan.Pumps; without Rows where there is only a label
	Warnings []data.Warning

	open   Opener
	folder string
}

// LoadPlan reads a plan and its curves. where is a file, a folder that holds
// PlanFile, "-" for standard input, or "" for a plan made of opt.Sets alone.
//
// A pump without a name stands for every pump of its curve file, or takes the
// name of the file: that is how a bare --curve works. All faults are in the
// error, joined *Error values.
func LoadPlan(where string, opt LoadOptions) (Loaded, error) {
	l := Loaded{open: opt.Open}
	if l.open == nil {
		l.open = func(path string) (io.ReadCloser, error) { return os.Open(path) }
	}
	var err error
	if where == "" {
		l.Plan = NewPlan()
		err = data.Joined(l.Plan.complete(opt.ReadOptions, nil, false))
		l.Warnings = l.Plan.warnings()
	} else if err = l.read(where, opt); err != nil {
		return Loaded{}, err
	}
	// After flags alone a curve is read in spite of other faults, so that all show at once.
	if err = errors.Join(err, l.curves()); err != nil {
		return Loaded{}, err
	}
	return l, nil
}

func (l *Loaded) read(path string, opt LoadOptions) (err error) {
	r := opt.Stdin
	if path != "-" {
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			path = filepath.Join(path, PlanFile)
		}
		l.folder = filepath.Dir(path)
		f, err := l.open(path)
		if err != nil {
			e := notOpened(&data.Error{File: path}, path, err)
			if errors.Is(err, fs.ErrNotExist) {
				e.Hint = "sunrill new mypond writes a plan to start from"
			}
			return e
		}
		defer f.Close() // only read
		r = f
	}
	l.Plan, l.Warnings, err = ReadPlan(path, r, opt.ReadOptions)
	return err
}

func notOpened(e *data.Error, path string, err error) *data.Error {
	e.Err, e.Message = err, "the file cannot be opened"
	if e.File != path {
		e.Found = path
	}
	if errors.Is(err, fs.ErrNotExist) {
		e.Message = "there is no such file"
	} else if errors.Is(err, fs.ErrPermission) {
		e.Message = "the file may not be read"
	}
	return e
}

// Path returns the file named by a key of the plan: relative to the plan, or to the
// working folder where the command line named it; "" where no file is named.
func (l *Loaded) Path(key string) string {
	v, err := l.Plan.field(key)
	if err != nil {
		return ""
	}
	name := v.String()
	if name == "" || l.Plan.Origins[key].Kind == FromCommand || filepath.IsAbs(name) || l.folder == "" {
		return name
	}
	return filepath.Join(l.folder, filepath.FromSlash(name))
}

// Open opens the file named by a key of the plan, such as "site.climate". The
// error is an *Error at the place of that key.
func (l *Loaded) Open(key string) (io.ReadCloser, error) {
	path := l.Path(key)
	f, err := l.open(path)
	if err != nil {
		e := notOpened(l.Plan.placed(key, data.Error{}), path, err)
		if _, notFlow := units.Parse(units.KindFlow, path); notFlow == nil && lastPart(key) == "curve" {
			e.Hint = "a flow of the box is no curve: give --label-flow and --label-head, or label_flow and label_head in the plan"
		}
		return nil, e
	}
	return f, nil
}

func (p *Plan) placed(key string, e data.Error) *data.Error {
	o, by := p.where(key)
	switch e.Key = key; {
	case by == "":
		e.File = p.File
	case o.Kind == FromCommand:
		e.Key = Setting{Key: by, Flag: o.Flag}.shown()
	default:
		e.File, e.Line, e.Column = o.File, o.Line, o.Column
	}
	return &e
}

// where returns where a key was given, else its first item, else its table, else the
// first key that was given of that table; by is what was given, "" for nothing.
func (p *Plan) where(key string) (o Origin, by string) {
	if o, is := p.Origins[key]; is && o.Kind != FromDefault {
		return o, key
	}
	if o, is := p.tables[key+".1"]; is {
		return o, key
	}
	for at := key; at != "" && by == ""; at = section(at) {
		if o, is := p.tables[at]; is {
			return o, key
		}
		for other, one := range p.Origins {
			if one.Kind == FromDefault || !strings.HasPrefix(other, at+".") {
				continue
			}
			if by == "" || cmp.Or(one.Line-o.Line, strings.Compare(other, by)) < 0 {
				o, by = one, other
			}
		}
	}
	return o, by
}

// Placed returns a fault that names a key of p, with its section or without or
// by its flag, and no file, at the place where that key was given: its flag, or
// its line in the plan. Faults that have a place come back as they are.
func (p *Plan) Placed(e *data.Error) *data.Error {
	if e.File != "" || strings.HasPrefix(e.Key, "--") {
		return e
	}
	key := e.Key
	if k, ok := KeyForFlag(key); ok {
		key = k.First()
	}
	for _, section := range []string{"site.", "panel.", "battery.", "lift."} {
		if _, ok := KeyNamed(section + key); ok {
			key = section + key
			break
		}
	}
	return p.placed(key, *e)
}

func (l *Loaded) curves() error {
	files := map[string][]data.CurveRows{}
	var faults data.FaultList
	l.Curves = make([]data.CurveRows, len(l.Plan.Pumps))
	for i := range l.Plan.Pumps {
		m := &l.Plan.Pumps[i]
		key := fmt.Sprintf("pump.%d.curve", i+1)
		path := l.Path(key)
		curves, seen := files[path]
		if !seen && path != "" {
			var err error
			curves, err = l.readCurves(key, path)
			files[path] = curves
			for _, f := range data.Faults(err) {
				faults.Add(f)
			}
		}
		switch {
		case path == "":
			m.Name = cmp.Or(m.Name, "pump")
		case curves == nil: // told once
		case m.Name == "":
			l.expand(i, key, curves, &faults)
		default:
			l.pick(i, key, curves, &faults)
		}
	}
	return faults.Err()
}

func (l *Loaded) readCurves(key, path string) ([]data.CurveRows, error) {
	f, err := l.Open(key)
	if err != nil {
		return nil, err
	}
	defer f.Close() // only read
	curves, warnings, err := data.ReadCurves(path, f)
	l.Warnings = append(l.Warnings, warnings...)
	return curves, err
}

func (l *Loaded) pick(i int, key string, curves []data.CurveRows, faults *data.FaultList) {
	m := l.Plan.Pumps[i]
	want := cmp.Or(m.CurveRow, m.Name)
	var names []string
	for _, c := range curves {
		if names = append(names, c.Pump); strings.EqualFold(c.Pump, want) || len(curves) == 1 && m.CurveRow == "" {
			l.Curves[i] = c
			return
		}
	}
	if m.CurveRow != "" {
		key = fmt.Sprintf("pump.%d.curve_row", i+1)
	}
	e := data.Error{Message: "no pump of that name in the curve file", Found: want, Allowed: strings.Join(names, ", ")}
	if near := data.Nearest(want, names); near != "" {
		e.Hint = fmt.Sprintf("curve_row = %q", near)
	}
	faults.Add(l.Plan.placed(key, e))
}

// expand makes of the nameless pump i one pump for each curve of its file.
func (l *Loaded) expand(i int, key string, curves []data.CurveRows, faults *data.FaultList) {
	p := &l.Plan
	if most := mostItems("pump"); len(p.Pumps)+len(curves)-1 > most {
		faults.Add(p.placed(key, data.Error{Message: "too many pumps for one plan",
			Found: data.Plural(len(curves), "pump") + " in the file", Allowed: "up to " + strconv.Itoa(most),
			Hint: "name the one that is meant, as --set " + section(key) + ".name=" + strconv.Quote(curves[0].Pump)}))
		return
	}
	p.Pumps[i].Name, l.Curves[i] = curves[0].Pump, curves[0]
	for _, c := range curves[1:] {
		m := p.Pumps[i]
		m.Name, m.Present = c.Pump, false
		p.Pumps, l.Curves = append(p.Pumps, m), append(l.Curves, c)
		for other, o := range p.Origins {
			if section(other) == section(key) {
				p.Origins[fmt.Sprintf("pump.%d.%s", len(p.Pumps), lastPart(other))] = o
			}
		}
	}
}
