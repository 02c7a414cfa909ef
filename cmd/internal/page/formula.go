package page

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/scanner"
)

// Evaluate returns the value of a formula of the working: + - * / ^, parentheses, a
// few functions, pi, numbers and the symbols given. An error says what it cannot read.
func Evaluate(text string, symbols map[string]float64) (v float64, err error) {
	f := formula{symbols: symbols}
	f.Init(strings.NewReader(text))
	f.Mode = scanner.ScanIdents | scanner.ScanFloats
	f.Error = func(_ *scanner.Scanner, message string) { panic(badFormula(message)) }
	defer func() {
		if bad, is := recover().(badFormula); is {
			err = fmt.Errorf("%s: %s", text, string(bad))
		}
	}()
	f.next = f.Scan()
	if v = f.value(1); f.next != scanner.EOF {
		f.fail()
	}
	return v, nil
}

// formula reads a formula from left to right.
type formula struct {
	scanner.Scanner
	next    rune // what was read last and is not used yet
	symbols map[string]float64
}

type badFormula string

func (f *formula) fail() { panic(badFormula(fmt.Sprintf("%q is not understood", f.TokenText()))) }

// take goes past c, if c is next.
func (f *formula) take(c rune) bool {
	is := f.next == c
	if is {
		f.next = f.Scan()
	}
	return is
}

func (f *formula) need(c rune) {
	if !f.take(c) {
		f.fail()
	}
}

// The levels of the operators, those that bind more tightly after the others.
const (
	signed = 3
	raised = 4
)

var levels = map[rune]int{'+': 1, '-': 1, '*': 2, '/': 2, '^': raised}

// value returns what operators of level least and above make of what follows.
func (f *formula) value(least int) float64 {
	var v float64
	if f.take('-') {
		v = -f.value(signed)
	} else {
		v = f.atom()
	}
	for op := f.next; levels[op] >= least; op = f.next {
		f.take(op)
		level := levels[op] + 1
		if op == '^' { // from right to left
			level = raised
		}
		switch right := f.value(level); op {
		case '+':
			v += right
		case '-':
			v -= right
		case '*':
			v *= right
		case '/':
			v /= right
		case '^':
			v = math.Pow(v, right)
		}
	}
	return v
}

var functions = map[string]func(float64) float64{"sqrt": math.Sqrt, "ln": math.Log, "floor": math.Floor}

var extremes = map[string]func([]float64) float64{"min": slices.Min[[]float64], "max": slices.Max[[]float64]}

// atom returns a number, a symbol, a function or what stands in parentheses.
func (f *formula) atom() float64 {
	name := f.TokenText()
	switch {
	case f.take('('):
		v := f.value(1)
		f.need(')')
		return v
	case f.take(scanner.Int), f.take(scanner.Float):
		v, err := strconv.ParseFloat(name, 64)
		if err != nil {
			f.fail()
		}
		return v
	}
	f.need(scanner.Ident)
	if v, is := f.symbols[name]; is {
		return v
	}
	if name == "pi" {
		return math.Pi
	}
	f.need('(')
	list := []float64{f.value(1)}
	for f.take(',') {
		list = append(list, f.value(1))
	}
	f.need(')')
	if extreme, is := extremes[name]; is {
		return extreme(list)
	}
	of, is := functions[name]
	if !is || len(list) > 1 {
		panic(badFormula(name + " is no function of so many numbers"))
	}
	return of(list[0])
}
