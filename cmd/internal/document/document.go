package document

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"sunrill/data/units"
)

// Document is one page: what a command found, in the order in which a reader
// needs it. The zero value is an empty page.
type Document struct {
	Title    Prose  // whose pond, or what the page is about
	Subtitle Prose  // where it was read: "plan kestrel.toml"
	Banner   Prose  // said loudly on top: the demo is not the reader's pond
	Answer   []Line // the short answer, the decision first
	Further  Prose  // how to get the rest, where the short answer is a page of its own

	Sections []Section

	Warnings []Warning    // doubts that did not stop the answer
	NotYours []Assumption // values still as a starter file had them
	Assumed  []Assumption // values that nobody gave
	Cautions []Prose      // safety: before the tables of a page that has a short one, else last before the sources
	Sources  []string     // where the methods and tables come from

	Working []Step        // figures with their formulas, where the reader asked for them
	Work    func() []Step // makes Working; nil where there is none

	// Front makes what HTML opens with, in units of the reader; nil for a page that
	// opens with its short answer.
	Front func(units.System) *Front
	front *Front

	// Object is what JSON prints: a struct whose fields carry json tags with
	// the unit in the key, or nil to print the tables. Warnings, assumptions,
	// cautions, sources and working are added to it by the renderer.
	Object any
}

// Warning is a doubt that did not stop the answer.
type Warning struct {
	Where   string // file, line and key that it is about, with ": " after them
	Message units.Text
}

// WarningTexts returns each warning on one line as a page in system shows it.
func (d *Document) WarningTexts(system units.System) []string {
	return Each(d.Warnings, func(w Warning) string { return w.Where + w.Message.In(system) })
}

// Line is one line of the short answer: a label of one word or two and a
// plain sentence, with what is told row by row before it.
type Line struct {
	Label string
	Head  []Prose   // above Rows, nil where they speak for themselves
	Rows  [][]Prose // of as many cells as Head, the first of which names the row
	Text  Prose
	More  []Prose // further sentences, the weightiest first
	// Safety marks what is about life and limb: nothing of it is left out for want of room
	// as long as anything else can be.
	Safety bool
}

// Sentences returns Text and More, without those that say nothing.
func (l Line) Sentences() []Prose {
	return slices.DeleteFunc(append([]Prose{l.Text}, l.More...), Prose.IsZero)
}

// Each returns what of makes of every one of list.
func Each[T, U any](list []T, of func(T) U) []U {
	all := make([]U, len(list))
	for i, one := range list {
		all[i] = of(one)
	}
	return all
}

// Section is a heading with what stands under it.
type Section struct {
	Heading  string
	Prose    []Prose
	Items    []Prose // of a list
	Tables   []Table
	Pictures []Picture
	Notes    []Prose // after the tables
}

// Assumption is a value that the reader did not give.
type Assumption struct {
	Key    string `json:"key"`              // plan key: "water.temperature"
	Value  Prose  `json:"value"`            // the value taken
	Why    Prose  `json:"why"`              // where it comes from, in a few words
	Source string `json:"source,omitempty"` // published source, if it has one
}

// Step is one figure of the working. Numbers are in the units named beside
// them, whatever the system of the page, so that the formula holds as it stands.
type Step struct {
	Key     string  `json:"key"`            // of the figure in JSON, items of a list from 1: "pumps.2.clean.turnover_h"
	What    string  `json:"what,omitempty"` // the figure in a few words
	Formula string  `json:"formula"`        // "T = V / Q": an expression over the symbols of the inputs
	Inputs  []Input `json:"inputs"`
	Result  float64 `json:"result"`
	Unit    Unit    `json:"unit"`
	Source  string  `json:"source"`
}

// Input is one number that goes into a Step.
type Input struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   Unit    `json:"unit"`
	What   string  `json:"what,omitempty"` // what it is, in a few words
}

// Tables returns the tables of the sections in order.
func (d *Document) Tables() []Table {
	return slices.Concat(Each(d.Sections, func(s Section) []Table { return s.Tables })...)
}

// Pictures returns every picture of the page in order.
func (d *Document) Pictures() []Picture {
	return slices.Concat(Each(d.Sections, func(s Section) []Picture { return s.Pictures })...)
}

// LeaveOut takes off the page the pictures and steps of the working that cannot be
// made, and says so in a warning: the page has an answer without them.
func (d *Document) LeaveOut() {
	without := func(key string, err error) bool {
		if err != nil {
			d.Warnings = append(d.Warnings, Warning{Where: key + ": ", Message: "left out, as it cannot be made of these figures"})
		}
		return err != nil
	}
	for i := range d.Sections {
		s := &d.Sections[i]
		s.Pictures = slices.DeleteFunc(s.Pictures, func(p Picture) bool { return without("picture "+p.Key, p.Check()) })
	}
	d.Working = slices.DeleteFunc(d.Working, func(s Step) bool { return without("working "+s.Key, finite(s.Key, s)) })
}

// Check returns an error that names the first figure that is not a finite number, or
// row with a wrong number of cells. No renderer prints anything of such a page.
func (d *Document) Check() error {
	for _, t := range d.Tables() {
		for i, row := range t.Rows {
			if len(row) != len(t.Columns) {
				return fmt.Errorf("document: table %s row %d has %d cells for %d columns", t.Key, i+1, len(row), len(t.Columns))
			}
		}
	}
	shown := *d
	shown.Object = nil // encoded by itself
	return finite("document", shown)
}

// finite returns an error that names a number in v that no page can show.
func finite(name string, v any) error {
	if at, bad := endless(reflect.ValueOf(v)); bad {
		return fmt.Errorf("%s%s is not a finite number", name, at)
	}
	return nil
}

// endless returns the way to a number in v that is none.
func endless(v reflect.Value) (at string, bad bool) {
	switch v.Kind() {
	case reflect.Float64:
		return "", math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0)
	case reflect.Interface:
		return endless(v.Elem())
	case reflect.Slice:
		for i := range v.Len() {
			if at, bad = endless(v.Index(i)); bad {
				return fmt.Sprintf(".%d%s", i+1, at), true
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if at, bad = endless(v.Field(i)); bad {
				return "." + v.Type().Field(i).Name + at, true
			}
		}
	}
	return "", false
}

// First returns the lists that stand before the sections: what is not yet the
// reader's, and safety where the short answer is a page of its own.
func (d *Document) First() []Section {
	var all lists
	all.add("Not yet yours", Each(d.NotYours, Assumption.said))
	if !d.Further.IsZero() {
		all.add("Take care", d.Cautions)
	}
	return all
}

type lists []Section

func (l *lists) add(heading string, items []Prose) {
	if len(items) > 0 {
		*l = append(*l, Section{Heading: heading, Items: items})
	}
}

// All returns what stands on the page under the short answer, in order.
func (d *Document) All(system units.System) []Section {
	return slices.Concat(d.First(), d.Sections, d.Lists(system))
}

// Lists returns the closing lists of the page, in the order in which every page has them.
func (d *Document) Lists(system units.System) []Section {
	var all lists
	all.add("Assumed", Each(d.Assumed, Assumption.said))
	all.add("Warnings", Each(d.WarningTexts(system), Plain))
	if len(d.Working) > 0 {
		all.add("Working", workingItems(d.Working))
	}
	if d.Further.IsZero() {
		all.add("Take care", d.Cautions)
	}
	all.add("Sources", Each(d.Sources, Plain))
	return all
}

// said returns the value in a sentence.
func (a Assumption) said() Prose {
	return Sentence("%v", a.Key).When(!a.Value.IsZero(), " = %v", a.Value).When(!a.Why.IsZero(), ": %v", a.Why).
		When(a.Source != "", " (%v)", a.Source)
}

// The working is shown in figures that a pencil can follow: the inputs with a
// few digits more than the result.
const (
	inputDigits  = 7
	resultDigits = 5
)

// aboutWorking stands above the working.
const aboutWorking = "Each figure: formula, result, what goes into it, source. Units are metric throughout; shares are parts of one; " +
	"items of a list count from 1."

// workingItems returns the steps as sentences.
func workingItems(list []Step) []Prose {
	return append([]Prose{Sentence(aboutWorking)}, Each(list, func(s Step) Prose {
		item := Sentence("%v", s.Key).When(s.What != "", ", %v", s.What).
			And(": %v = %v", s.Formula, figured(s.Result, resultDigits, s.Unit))
		for _, in := range s.Inputs {
			item = item.And("; %v = %v", in.Symbol, figured(in.Value, inputDigits, in.Unit)).When(in.What != "", " %v", in.What)
		}
		return item.When(s.Source != "", " (%v)", s.Source)
	})...)
}

// figured returns v with its unit as it stands; a share has none.
func figured(v float64, digits int, u Unit) string {
	return strings.TrimSuffix(trimZeros(formatNumber(v, digits))+HardSpace+strings.TrimSuffix(u.Symbol, "1"), HardSpace)
}
