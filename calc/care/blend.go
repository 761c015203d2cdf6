package care

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"countwright/calc/lookup"
)

// Share is a fibre and its part of a blend.
type Share struct {
	Fibre Fibre
	Part  float64 // of 1
}

// Blend is what a yarn is made of: one fibre or several.
type Blend []Share

// Text is the blend as a label has it: "75 % wool, 25 % nylon", "cotton".
func (b Blend) Text() string {
	if len(b) == 1 {
		return b[0].Fibre.Name
	}
	parts := make([]string, len(b))
	for i, s := range b {
		parts[i] = fmt.Sprintf("%.0f %% %s", 100*s.Part, s.Fibre.Name)
	}
	return strings.Join(parts, ", ")
}

// Care is the symbols for the blend, one a group in the order of a label: of
// each group the strictest that any of its fibres usually bears. A tub has
// the lowest temperature and the most bars of them all.
func (b Blend) Care() []Symbol {
	var care []Symbol
	for i, group := range Groups() {
		var all []Symbol
		for _, share := range b {
			if s, ok := SymbolOf(share.Fibre.Usual[i]); ok {
				all = append(all, s)
			}
		}
		if len(all) > 0 {
			care = append(care, strictest(group, all))
		}
	}
	return care
}

func strictest(group Group, all []Symbol) Symbol {
	last := slices.MaxFunc(all, func(a, b Symbol) int { return cmp.Compare(rank(a.ID), rank(b.ID)) })
	if group != Wash || last.Cross || last.Hand {
		return last
	}
	degrees, bars := last.Degrees, 0
	for _, s := range all {
		degrees, bars = min(degrees, s.Degrees), max(bars, s.Bars)
	}
	for _, s := range load().symbols {
		if s.Group == Wash && s.Degrees == degrees && s.Bars >= bars {
			return s
		}
	}
	return last
}

// rank is a symbol's place in its file: the strictest of a group stands last.
func rank(id string) int {
	return slices.IndexFunc(load().symbols, func(s Symbol) bool { return s.ID == id })
}

// Density is the mean density of the blend's fibres, in grams a cubic
// centimetre: the whole weight over the whole volume.
func (b Blend) Density() float64 {
	volume := 0.
	for _, s := range b {
		volume += s.Part / s.Fibre.Density
	}
	return 1 / volume
}

// Grade is the mean grade of a property, by the shares.
func (b Blend) Grade(of func(Fibre) Grade) Grade {
	sum := 0.
	for _, s := range b {
		sum += s.Part * float64(of(s.Fibre))
	}
	return Grade(math.Round(sum))
}

// mostFibres is how many fibres a blend may name.
const mostFibres = 8

// ShareError says that the parts of a blend do not make a whole.
type ShareError struct{ Percent float64 }

func (e *ShareError) Error() string {
	return fmt.Sprintf("the parts make %.0f %%, not 100 %%", e.Percent)
}

// ParseBlend reads what a yarn is made of: "cotton", "80% wool 20% nylon",
// "wool/acrylic", "60 cotton, 40 acrylic". Fibres without a part share what is
// left alike. Errors are *NameError and *ShareError.
func ParseBlend(text string) (Blend, error) {
	b, rest := FindFibres(text)
	if len(b) == 0 || rest != "" {
		if rest == "" {
			rest = text
		}
		return nil, &NameError{"fibre", shorten(rest)}
	}
	return b.whole()
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// whole gives fibres without a part what is left.
func (b Blend) whole() (Blend, error) {
	sum, without := 0., 0
	for _, s := range b {
		sum += s.Part
		if s.Part == 0 {
			without++
		}
	}
	if without == 0 && math.Abs(sum-1) > 0.021 || without > 0 && sum > 0.99 || sum > 1.021 {
		return nil, &ShareError{100 * sum}
	}
	out := slices.Clone(b)
	for i := range out {
		if out[i].Part == 0 {
			out[i].Part = (1 - sum) / float64(without)
		}
	}
	return out, nil
}

// Whole is the blend with the parts that were not said shared out alike. The
// error is a *ShareError.
func (b Blend) Whole() (Blend, error) { return b.whole() }

// FindFibres picks the fibres out of a description, with their parts where
// said (0 where not), and returns the words that name none. A number below 10
// is a part only with its sign, for it can be a yarn's weight class.
func FindFibres(text string) (found Blend, rest string) {
	words := strings.FieldsFunc(strings.ReplaceAll(text, "%", " % "), func(r rune) bool {
		return strings.ContainsRune(" \t\n,;/+&", r)
	})
	var other []string
	part := 0.
	for i := 0; i < len(words); {
		if n, err := strconv.ParseFloat(words[i], 64); err == nil && n > 0 && n <= 100 && (i+1 < len(words) && words[i+1] == "%" || n >= 10 && fibreAt(words[i+1:]) > 0) {
			part = n / 100
			i++
			continue
		}
		if words[i] == "%" || slices.Contains([]string{"and", "with", "yarn", "blend", "of"}, strings.ToLower(words[i])) {
			i++
			continue
		}
		n := fibreAt(words[i:])
		if n == 0 || len(found) == mostFibres {
			other = append(other, words[i])
			i++
			continue
		}
		f, _ := exactly(strings.Join(words[i:i+n], " "))
		found = append(found, Share{f, part})
		part, i = 0, i+n
	}
	return found, strings.Join(other, " ")
}

// fibreAt is how many of the first words name a fibre, the most that do.
func fibreAt(words []string) int {
	for n := min(3, len(words)); n > 0; n-- {
		if _, ok := exactly(strings.Join(words[:n], " ")); ok {
			return n
		}
	}
	return 0
}

// byName is each fibre by its folded names.
var byName = sync.OnceValue(func() map[string]Fibre {
	all := map[string]Fibre{}
	for _, f := range load().fibres {
		for _, name := range append([]string{f.Name}, f.Also...) {
			all[lookup.Fold(name)] = f
		}
	}
	return all
})

func exactly(name string) (Fibre, bool) {
	f, ok := byName()[lookup.Fold(name)]
	return f, ok
}
