// Package hook holds the sizes of hooks: millimetres, US letters and numbers,
// old UK and Canadian numbers, Japanese numbers, steel and lace hooks. Letters
// and numbers differ between makers and printings, so millimetres are the
// size, and a name leads to candidates.
package hook

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"countwright/calc/entry"
)

// Kind is what a hook is for.
type Kind string

const (
	Regular Kind = "regular"
	Steel   Kind = "steel" // for thread, US numbers
	Lace    Kind = "lace"  // for thread, Japanese numbers
)

// Hook is one size. Source: hook.toml names the source of each column.
type Hook struct {
	MM     float64
	Kind   Kind     `toml:"-"`
	US     []string // "H-8"; of a steel hook its number
	UK     []string // old UK and Canadian numbers
	Japan  []string
	SomeUS []string `toml:"some_us"` // what only some printings call it
	SomeUK []string `toml:"some_uk"`
}

// String is the size in millimetres: "5 mm".
func (h Hook) String() string { return strconv.FormatFloat(h.MM, 'f', -1, 64) + " mm" }

//go:embed hook.toml
var file []byte

type tables struct {
	Regular, Steel, Lace []Hook
}

var load = sync.OnceValue(func() tables {
	var t tables
	if err := entry.Decode("hook.toml", file, &t); err != nil {
		panic(err)
	}
	for kind, list := range map[Kind][]Hook{Regular: t.Regular, Steel: t.Steel, Lace: t.Lace} {
		for i := range list {
			list[i].Kind = kind
		}
	}
	return t
})

// All is every hook of a kind, from thin to thick. Their lists of names are
// shared: don't change them.
func All(kind Kind) []Hook {
	switch t := load(); kind {
	case Steel:
		return slices.Clone(t.Steel)
	case Lace:
		return slices.Clone(t.Lace)
	default:
		return slices.Clone(t.Regular)
	}
}

// Limits of a hook in millimetres.
const (
	Min = 0.4
	Max = 40
)

// RangeError says that no hook is as thick or as thin as that.
type RangeError struct{ MM float64 }

func (e *RangeError) Error() string {
	return fmt.Sprintf("no hook is %v mm: they are from %v to %v mm", e.MM, Min, float64(Max))
}

// Check is nil for a thickness that a hook can have, else a *RangeError.
func Check(mm float64) error {
	if mm >= Min && mm <= Max {
		return nil
	}
	return &RangeError{mm}
}

// Nearest is the regular hook nearest to a thickness, the thicker if two are as
// near, and how much thicker it is than asked. Below the thinnest regular hook
// it is a steel one. The error is a *RangeError.
func Nearest(mm float64) (h Hook, thicker float64, err error) {
	if err := Check(mm); err != nil {
		return Hook{}, 0, err
	}
	list := load().Regular
	if mm < list[0].MM-0.1 {
		list = load().Steel
	}
	for i, hook := range list {
		if i == 0 || math.Abs(hook.MM-mm) <= math.Abs(thicker) {
			h, thicker = hook, hook.MM-mm
		}
	}
	return h, math.Round(thicker*1000) / 1000, nil
}

// common is the sizes of the table that shops have everywhere, by which Step
// walks. Common practice, no source.
var common = []float64{2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 3.75, 4, 4.5, 5, 5.5, 6, 6.5, 7, 8, 9, 10, 12, 15, 19, 25}

// Step is the common size so many steps thicker, or thinner if negative; it
// stays at the ends of the list. The error is a *RangeError.
func Step(mm float64, steps int) (float64, error) {
	if err := Check(mm); err != nil {
		return 0, err
	}
	at := 0
	for i, size := range common {
		if math.Abs(size-mm) <= math.Abs(common[at]-mm) {
			at = i
		}
	}
	steps = min(max(steps, -len(common)), len(common))
	return common[min(max(at+steps, 0), len(common)-1)], nil
}

// Ribbing is the range of hooks for ribbing on a body of this hook: half a
// millimetre to one thinner. Common practice, from memory, no source. The
// error is a *RangeError.
func Ribbing(body float64) (low, high float64, err error) {
	if err := Check(body); err != nil {
		return 0, 0, err
	}
	return max(body-1, body*0.7), max(body-0.5, body*0.85), nil
}

// Effect is how much wider stitches become with another hook, as a range of
// parts: 0.03 to 0.07 is three to seven in a hundred, negative is narrower.
// The stitch follows the hook by a third to two thirds, for the yarn and the
// hand decide too: common practice, no source; only a swatch tells. Errors
// are *RangeError.
func Effect(from, to float64) (low, high float64, err error) {
	if err := Check(from); err != nil {
		return 0, 0, err
	}
	if err := Check(to); err != nil {
		return 0, 0, err
	}
	change := to/from - 1
	low, high = change/3, change*2/3
	return min(low, high), max(low, high), nil
}

// NameError says that no hook goes by a name.
type NameError struct{ Name string }

func (e *NameError) Error() string {
	return fmt.Sprintf("no hook is called %q; for example 5 mm, H-8, UK 6, steel 7 or 8/0", e.Name)
}

// System is the numbering that a name is of.
type System string

const (
	Millimetres System = "mm"
	US          System = "US"
	UK          System = "old UK"
	Japan       System = "Japan"
	USSteel     System = "US steel"
	JapanLace   System = "Japan lace"
)

// Match is a hook that a name can mean.
type Match struct {
	Hook
	System System
	Name   string // the name within the system
	Some   bool   // only some printings call it so
}

// named is a name of a hook, ready for comparing.
type named struct {
	key string
	Match
}

var index = sync.OnceValue(func() []named {
	var all []named
	add := func(h Hook, s System, some bool, names []string) {
		for _, name := range names {
			for _, key := range keys(name) {
				all = append(all, named{key, Match{h, s, name, some}})
			}
		}
	}
	t := load()
	for _, h := range t.Regular {
		add(h, US, false, h.US)
		add(h, UK, false, h.UK)
		add(h, Japan, false, h.Japan)
		add(h, US, true, h.SomeUS)
		add(h, UK, true, h.SomeUK)
	}
	for _, h := range t.Steel {
		add(h, USSteel, false, h.US)
	}
	for _, h := range t.Lace {
		add(h, JapanLace, false, h.Japan)
	}
	return all
})

// keys is what a name answers to: "M/N-13" to m/n-13 without its marks, to m,
// n, m13, n13 and 13.
func keys(name string) []string {
	whole := squeeze(name)
	letters, number, both := strings.Cut(strings.ToLower(name), "-")
	if !both {
		if letters = whole; strings.ContainsAny(whole, "0123456789") {
			return []string{whole}
		}
		number = ""
	}
	number = squeeze(number)
	all := []string{whole}
	for letter := range strings.SplitSeq(letters, "/") {
		all = append(all, letter, letter+number)
	}
	if number != "" {
		all = append(all, number)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

var squeezer = strings.NewReplacer(" 1/2", ".5", "-1/2", ".5", "½", ".5", ",", ".", " ", "", "-", "", "–", "", "\u00a0", "")

func squeeze(name string) string { return squeezer.Replace(strings.ToLower(strings.TrimSpace(name))) }

// systemWords is the words that say which numbering is meant.
var systemWords = map[string][]System{
	"us": {US, USSteel}, "american": {US, USSteel}, "uk": {UK}, "british": {UK}, "canadian": {UK}, "canada": {UK}, "imperial": {UK},
	"old": nil, "steel": {USSteel}, "thread": {USSteel}, "japan": {Japan, JapanLace}, "japanese": {Japan, JapanLace}, "jp": {Japan, JapanLace},
	"lace": {JapanLace}, "hook": nil, "size": nil, "no": nil, "no.": nil, "number": nil, "#": nil, "metric": {Millimetres},
}

// Find is every hook that a name can mean, in any numbering or in that which
// it names: "5 mm", "5.0", "H-8", "h", "US 7", "UK 6", "steel 7", "8/0",
// "10½". Names collide: "7" is 7 mm, 4.5 mm (US and old UK) or 1.65 mm (US
// steel). Millimetres come first, names of some printings only last. A
// thickness in mm that no hook has finds the nearest. Errors are *NameError
// and *RangeError.
func Find(name string) ([]Match, error) {
	if len(name) > 60 {
		return nil, &NameError{strings.ToValidUTF8(name[:60], "") + "…"}
	}
	core, systems := split(name)
	var found []Match
	in := func(s System) bool { return systems == nil || slices.Contains(systems, s) }
	digits, isMM := strings.CutSuffix(core, "mm")
	if mm, err := strconv.ParseFloat(digits, 64); err == nil && in(Millimetres) && plainNumber(digits) {
		if found = byThickness(mm); found == nil && (isMM || systems != nil) {
			h, _, err := Nearest(mm)
			if err != nil {
				return nil, err
			}
			found = []Match{{Hook: h, System: Millimetres, Name: h.String()}}
		}
	}
	if isMM {
		return orNone(found, name)
	}
	for _, some := range []bool{false, true} {
		for _, n := range index() {
			if n.key == core && n.Some == some && in(n.System) {
				found = append(found, n.Match)
			}
		}
	}
	return orNone(found, name)
}

func orNone(found []Match, name string) ([]Match, error) {
	if found == nil {
		return nil, &NameError{name}
	}
	return found, nil
}

// split parts a name into its core and the systems that its words name; nil is
// any system.
func split(name string) (core string, systems []System) {
	var rest []string
	for word := range strings.FieldsSeq(strings.ToLower(strings.ReplaceAll(name, "#", " # "))) {
		named, known := systemWords[word]
		if !known {
			rest = append(rest, word)
			continue
		}
		switch {
		case systems == nil:
			systems = named
		case named != nil: // "US steel": what both mean
			systems = slices.DeleteFunc(slices.Clone(systems), func(s System) bool { return !slices.Contains(named, s) })
		}
	}
	return squeeze(strings.Join(rest, " ")), systems
}

// plainNumber keeps out what ParseFloat reads beyond what makers write.
func plainNumber(text string) bool {
	return strings.Trim(text, "0123456789.") == "" && !(len(text) > 1 && text[0] == '0' && text[1] == '0')
}

func byThickness(mm float64) []Match {
	var found []Match
	t := load()
	for _, list := range [][]Hook{t.Regular, t.Steel, t.Lace} {
		for _, h := range list {
			if math.Abs(h.MM-mm) < 1e-9 {
				found = append(found, Match{Hook: h, System: Millimetres, Name: h.String()})
			}
		}
	}
	return found
}
