package grade

import (
	"fmt"
	"slices"
)

// clash names a smallest set of rules that can't hold together: each part of
// the problem that can be left out without making it possible is left out.
func (p Rounding) clash(name bool) error {
	if !name {
		return &ClashError{}
	}
	var names []string
	for i := 0; i < len(p.Rules); i++ {
		fewer := p
		fewer.Rules = without(p.Rules, i)
		if fewer.impossible() {
			p = fewer
			i--
		} else {
			if n := p.Rules[i].Name; !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	for i, c := range p.Counts {
		if c.Of <= 1 {
			continue
		}
		fewer := p
		fewer.Counts = append([]Count(nil), p.Counts...)
		fewer.Counts[i].Of = 0
		if fewer.impossible() {
			p = fewer
		} else {
			names = append(names, fmt.Sprintf("%s is a multiple of %d + %d", c.Name, c.Of, c.Plus))
		}
	}
	if len(names) == 0 { // only a count's own bounds are left
		for _, c := range p.Counts {
			names = append(names, c.Name)
		}
	}
	return &ClashError{names}
}

func (p Rounding) impossible() bool {
	_, err := p.round(false)
	_, clash := err.(*ClashError)
	return clash
}

func without[T any](list []T, i int) []T {
	return append(append([]T(nil), list[:i]...), list[i+1:]...)
}
