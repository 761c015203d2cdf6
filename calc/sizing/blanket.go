package sizing

import (
	_ "embed"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/measure"
)

// Blanket is a usual size of a blanket. Sources differ by up to twice: common
// practice, no source.
type Blanket struct {
	Name          string
	Width, Length measure.Length
	Infant        bool // meant for an infant: never loose in a cot with a sleeping one
	aliases       []string
}

// Blankets is the usual sizes, from small to large.
func Blankets() []Blanket { return append([]Blanket(nil), loadBlankets()...) }

// BlanketNamed is the blanket of a name. The error is a *NameError.
func BlanketNamed(name string) (Blanket, error) {
	var known []string
	for _, b := range loadBlankets() {
		known = append(known, b.Name)
		for _, alias := range append([]string{b.Name}, b.aliases...) {
			if plain(alias) == plain(name) {
				return b, nil
			}
		}
	}
	return Blanket{}, unknown("blanket", name, known)
}

//go:embed blanket.toml
var blanketFile []byte

var loadBlankets = sync.OnceValue(func() []Blanket {
	var file struct {
		Blanket []struct {
			Name          string
			Aliases       []string
			Width, Length float64
			Infant        bool
		}
	}
	if err := entry.Decode("blanket.toml", blanketFile, &file); err != nil {
		panic(err)
	}
	var blankets []Blanket
	for _, b := range file.Blanket {
		blankets = append(blankets, Blanket{
			Name: b.Name, Width: measure.Of(b.Width, measure.Centimetres), Length: measure.Of(b.Length, measure.Centimetres),
			Infant: b.Infant, aliases: b.Aliases,
		})
	}
	return blankets
})
