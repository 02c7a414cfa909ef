package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// evaluate returns the value of a formula of the working: + - * / ^,
// parentheses, a few functions, pi, numbers and the symbols given. It knows
// nothing of pumps or panels.
func evaluate(formula string, symbols map[string]float64) (v float64, err error) {
	p := formulaParser{text: formula, symbols: symbols}
	defer func() {
		if bad, is := recover().(formulaError); is {
			err = bad
		}
	}()
	v = p.sum()
	if p.peek() != 0 {
		p.fail("%q is left over", p.text[p.at:])
	}
	return v, nil
}

type formulaError struct{ error }

type formulaParser struct {
	text    string
	at      int
	symbols map[string]float64
}

func (p *formulaParser) fail(format string, args ...any) {
	panic(formulaError{fmt.Errorf("%s: "+format, append([]any{p.text}, args...)...)})
}

// peek returns the next byte that is no space, 0 at the end.
func (p *formulaParser) peek() byte {
	for p.at < len(p.text) && p.text[p.at] == ' ' {
		p.at++
	}
	if p.at == len(p.text) {
		return 0
	}
	return p.text[p.at]
}

func (p *formulaParser) take(c byte) bool {
	if p.peek() != c {
		return false
	}
	p.at++
	return true
}

func (p *formulaParser) sum() float64 {
	v := p.product()
	for {
		switch {
		case p.take('+'):
			v += p.product()
		case p.take('-'):
			v -= p.product()
		default:
			return v
		}
	}
}

func (p *formulaParser) product() float64 {
	v := p.signed()
	for {
		switch {
		case p.take('*'):
			v *= p.signed()
		case p.take('/'):
			v /= p.signed()
		default:
			return v
		}
	}
}

func (p *formulaParser) signed() float64 {
	if p.take('-') {
		return -p.signed()
	}
	return p.power()
}

func (p *formulaParser) power() float64 {
	base := p.atom()
	if p.take('^') {
		return math.Pow(base, p.signed())
	}
	return base
}

var formulaFunctions = map[string]func(float64) float64{
	"sqrt": math.Sqrt, "exp": math.Exp, "ln": math.Log, "log10": math.Log10, "sin": math.Sin, "cos": math.Cos, "tan": math.Tan, "acos": math.Acos, "floor": math.Floor,
}

func (p *formulaParser) atom() float64 {
	c := p.peek()
	switch {
	case c == '(':
		p.at++
		v := p.sum()
		if !p.take(')') {
			p.fail("a parenthesis is not closed")
		}
		return v
	case c >= '0' && c <= '9' || c == '.':
		return p.number()
	}
	name := p.word()
	if f, is := formulaFunctions[name]; is && p.take('(') {
		v := f(p.sum())
		if !p.take(')') {
			p.fail("a parenthesis is not closed")
		}
		return v
	}
	if (name == "min" || name == "max") && p.take('(') {
		return p.extreme(name)
	}
	if v, is := p.symbols[name]; is {
		return v
	}
	if name != "pi" {
		p.fail("nothing is called %q", name)
	}
	return math.Pi
}

func (p *formulaParser) extreme(name string) float64 {
	v := p.sum()
	for p.take(',') {
		if w := p.sum(); name == "min" {
			v = min(v, w)
		} else {
			v = max(v, w)
		}
	}
	if !p.take(')') {
		p.fail("a parenthesis is not closed")
	}
	return v
}

func (p *formulaParser) number() float64 {
	end := p.at
	for end < len(p.text) && (strings.IndexByte("0123456789.", p.text[end]) >= 0 ||
		p.text[end] == 'e' || (p.text[end] == '-' || p.text[end] == '+') && p.text[end-1] == 'e') {
		end++
	}
	v, err := strconv.ParseFloat(p.text[p.at:end], 64)
	if err != nil {
		p.fail("%q is no number", p.text[p.at:end])
	}
	p.at = end
	return v
}

func (p *formulaParser) word() string {
	start := p.at
	for p.at < len(p.text) {
		c := p.text[p.at]
		if c != '_' && (c < '0' || c > '9') && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') {
			break
		}
		p.at++
	}
	if start == p.at {
		p.fail("a number or symbol is wanted at %q", p.text[start:])
	}
	return p.text[start:p.at]
}

func TestEvaluate(t *testing.T) {
	symbols := map[string]float64{"a": 2, "b1": 3, "Re": 64}
	for formula, want := range map[string]float64{
		"1 + 2 * a": 5, "(1 + 2) * a": 6, "a^b1": 8, "-a^2": -4, "a^-1": 0.5, "2^3^2": 512, "a / b1 * b1": 2,
		"sqrt(16)": 4, "min(a, b1, 1)": 1, "max(a, b1)": 3, "64 / Re": 1, "1.5e-1 * a": 0.3, "ln(exp(a))": 2, "cos(pi)": -1, "a - b1 - 1": -2,
	} {
		got, err := evaluate(formula, symbols)
		if err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s = %g, %v; want %g", formula, got, err, want)
		}
	}
	for _, bad := range []string{"a b1", "a +", "(a", "x", "1..2", "sqrt(4"} {
		if v, err := evaluate(bad, symbols); err == nil {
			t.Errorf("%s = %g, want an error", bad, v)
		}
	}
}
