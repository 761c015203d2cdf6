package sizing

import (
	_ "embed"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/measure"
)

// Ease is a fit by intent: how much larger than the body a garment's chest is.
type Ease struct {
	Name      string
	Low, High measure.Length // High is 0 with Open
	Open      bool           // Low and more
	Source    string
	Basis     Basis
	Earlier   string // what an earlier edition said
	aliases   []string
}

// Usual is the ease that stands for the category: the middle, or the least of
// an open one.
func (e Ease) Usual() measure.Length {
	if e.Open {
		return e.Low
	}
	return (e.Low + e.High) / 2
}

// Eases is the categories of ease, from close to loose.
func Eases() []Ease { return append([]Ease(nil), loadEases()...) }

// EaseNamed is the category of a name. The error is a *NameError.
func EaseNamed(name string) (Ease, error) {
	var known []string
	for _, e := range loadEases() {
		known = append(known, e.Name)
		for _, alias := range append([]string{e.Name}, e.aliases...) {
			if plain(alias) == plain(name) {
				return e, nil
			}
		}
	}
	return Ease{}, unknown("ease", name, known)
}

// EaseOf is the category that an ease falls in, or lies nearest to; of two that
// it belongs to alike the looser.
func EaseOf(ease measure.Length) Ease {
	var best Ease
	for i, e := range loadEases() {
		if i == 0 || e.off(ease) <= best.off(ease) {
			best = e
		}
	}
	return best
}

func (e Ease) off(ease measure.Length) measure.Length {
	if e.Open && ease >= e.Low {
		return 0
	}
	return Range{e.Low, max(e.Low, e.High)}.Off(ease).Abs()
}

//go:embed ease.toml
var easeFile []byte

var loadEases = sync.OnceValue(func() []Ease {
	var file struct {
		Ease []struct {
			Name    string
			Aliases []string
			Low     float64
			High    *float64
			Source  string
			Basis   Basis
			Earlier string
		}
	}
	if err := entry.Decode("ease.toml", easeFile, &file); err != nil {
		panic(err)
	}
	var eases []Ease
	for _, e := range file.Ease {
		ease := Ease{
			Name: e.Name, Low: measure.Of(e.Low, measure.Centimetres), Open: e.High == nil,
			Source: e.Source, Basis: e.Basis, Earlier: e.Earlier, aliases: e.Aliases,
		}
		if e.High != nil {
			ease.High = measure.Of(*e.High, measure.Centimetres)
		}
		eases = append(eases, ease)
	}
	return eases
})
