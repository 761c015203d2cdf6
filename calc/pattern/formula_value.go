package pattern

import (
	"fmt"
	"math"
)

// Names lists the measures that the formula reads, each once, in its order.
func (f Formula) Names() []string {
	var names []string
	seen := map[string]bool{}
	var walk func(t *term)
	walk = func(t *term) {
		if t == nil {
			return
		}
		if t.op == "name" && !seen[t.name] {
			seen[t.name] = true
			names = append(names, t.name)
		}
		for _, a := range t.args {
			walk(a)
		}
	}
	walk(f.root)
	return names
}

// Check returns the unit of the formula's value, given the units of the
// measures. The error is a *FormulaError.
func (f Formula) Check(known func(name string) (Unit, bool)) (Unit, error) {
	if f.root == nil {
		return Plain, &FormulaError{f.Text, 1, "nothing is said"}
	}
	return f.check(f.root, known)
}

func (f Formula) check(t *term, known func(string) (Unit, bool)) (Unit, error) {
	fail := func(format string, args ...any) (Unit, error) {
		return Plain, &FormulaError{f.Text, t.column, fmt.Sprintf(format, args...)}
	}
	switch t.op {
	case "number":
		return t.unit, nil
	case "name":
		unit, ok := known(t.name)
		if !ok {
			return fail("%q is no measure that is known here", t.name)
		}
		return unit, nil
	}
	units := make([]Unit, len(t.args))
	for i, a := range t.args {
		var err error
		if units[i], err = f.check(a, known); err != nil {
			return Plain, err
		}
	}
	switch t.op {
	case "*":
		if units[0] == Length && units[1] == Length {
			return fail("a length times a length is an area, not a length")
		}
		return max(units[0], units[1]), nil
	case "/":
		if units[1] == Length && units[0] == Plain {
			return fail("a number can't be divided by a length")
		}
		if units[1] == Length {
			return Plain, nil
		}
		return units[0], nil
	}
	for _, u := range units {
		if u != units[0] {
			return fail("a length and a number can't go together here: give the number a unit")
		}
	}
	return units[0], nil
}

// Value works the formula out, given the measures in millimetres (or as plain
// numbers). The error is a *FormulaError: a measure is missing, or the value
// is no number below 10^9.
func (f Formula) Value(of func(name string) (float64, bool)) (float64, error) {
	if f.root == nil {
		return 0, &FormulaError{f.Text, 1, "nothing is said"}
	}
	return f.value(f.root, of)
}

func (f Formula) value(t *term, of func(string) (float64, bool)) (float64, error) {
	fail := func(format string, args ...any) (float64, error) {
		return 0, &FormulaError{f.Text, t.column, fmt.Sprintf(format, args...)}
	}
	switch t.op {
	case "number":
		return t.value, nil
	case "name":
		v, ok := of(t.name)
		if !ok {
			return fail("the measure %q is missing", t.name)
		}
		return v, nil
	}
	result := 0.
	for i, a := range t.args {
		v, err := f.value(a, of)
		if err != nil {
			return 0, err
		}
		switch {
		case i == 0:
			result = v
		case t.op == "+":
			result += v
		case t.op == "-":
			result -= v
		case t.op == "*":
			result *= v
		case t.op == "/":
			if v == 0 {
				return fail("divides by nothing")
			}
			result /= v
		case t.op == "min":
			result = min(result, v)
		case t.op == "max":
			result = max(result, v)
		}
	}
	if math.IsNaN(result) || math.Abs(result) > 1e9 {
		return fail("comes to a number beyond all sizes")
	}
	return result, nil
}
