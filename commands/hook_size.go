package commands

import (
	"cmp"
	"context"
	"errors"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/hook"
	"countwright/calc/notation"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// hookName declares an option that names a hook, in any numbering, with sizes
// offered while the member types.
func hookName(name, short string) *Opt[string] {
	return Words(name, short, 40).Like("5 mm").Suggest(suggestHooks)
}

// hookSize declares an option for a hook that the member holds: a bare number
// is millimetres, as on the hook; other names ("H-8", "UK 6") are looked up.
func hookSize(name, short string) *Opt[float64] {
	return Value(name, short, "5 mm", func(text string, _ Settings) (float64, error) {
		if mm, ok := plainMillimetres(text); ok {
			return mm, hookError(hook.Check(mm))
		}
		found, err := findHook(text)
		if err != nil {
			return 0, err
		}
		if len(found) > 1 {
			return 0, words.Say("%s, in mm", severalHooks(text, found))
		}
		return found[0].mm, nil
	}).Suggest(suggestHooks)
}

// plainMillimetres reads a number of millimetres, with or without the unit.
func plainMillimetres(text string) (float64, bool) {
	digits := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(text)), "mm"))
	digits = strings.Replace(digits, ",", ".", 1)
	if digits == "" || strings.Trim(digits, "0123456789.") != "" || strings.HasPrefix(digits, "00") || digits == "0" {
		return 0, false
	}
	mm, err := strconv.ParseFloat(digits, 64)
	return mm, err == nil
}

// foundHook is a thickness that a name can mean, under all names it has.
type foundHook struct {
	text    string // as asked
	mm      float64
	wanted  float64 // as asked, where it was a thickness
	off     float64 // how much thicker the hook is than asked; 0: as asked
	matches []hook.Match
}

// findHook is the thicknesses that a name can mean, the likeliest first.
func findHook(text string) ([]foundHook, error) {
	name := labelled(text)
	wanted, isNumber := plainMillimetres(name)
	matches, err := hook.Find(name)
	var unknown *hook.NameError
	if errors.As(err, &unknown) && isNumber {
		matches, err = hook.Find(millimetres(wanted))
	}
	if err != nil {
		return nil, hookError(err)
	}
	var found []foundHook
	for _, m := range matches {
		i := slices.IndexFunc(found, func(f foundHook) bool { return f.mm == m.MM })
		if i < 0 {
			i = len(found)
			found = append(found, foundHook{text: text, mm: m.MM})
		}
		found[i].matches = append(found[i].matches, m)
	}
	if isNumber && len(found) == 1 && found[0].matches[0].System == hook.Millimetres {
		found[0].wanted, found[0].off = wanted, math.Round((found[0].mm-wanted)*1000)/1000
	}
	return found, nil
}

// Ways in which hooks are marked: "H/8 (5.00 mm)", "G/6".
var (
	markedMM     = regexp.MustCompile(`(?i)[0-9]+(?:[.,][0-9]+)?\s*mm`)
	letterStroke = regexp.MustCompile(`^([A-Za-z])\s*/\s*([0-9])`)
)

// labelled is the name to look up of what stands on a hook: the millimetres
// where they do.
func labelled(text string) string {
	text = strings.TrimSpace(text)
	if mm := markedMM.FindString(text); mm != "" {
		return strings.Replace(mm, ",", ".", 1)
	}
	if rest, cut := strings.CutPrefix(strings.ToLower(text), "crochet "); cut {
		text = rest
	}
	return letterStroke.ReplaceAllString(text, "$1-$2")
}

// hookError tells in words why there is no such hook.
func hookError(err error) error {
	var thickness *hook.RangeError
	var name *hook.NameError
	switch {
	case errors.As(err, &thickness):
		return words.Say("no hook is %v mm: they are from %v to %v mm", thickness.MM, hook.Min, float64(hook.Max))
	case errors.As(err, &name):
		return words.Say("no hook is called %q; for example 5 mm, H-8, UK 6, steel 7 or 8/0", name.Name)
	}
	return err
}

func millimetres(mm float64) string { return trimmed(mm) + " mm" }

// trimmed prints a figure with the decimals it has.
func trimmed(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (f foundHook) size() string { return millimetres(f.mm) }

// some says whether the size or a name of it differs between printings.
func (f foundHook) some() bool {
	for _, h := range hooksOf(f.mm) {
		if len(h.SomeUS)+len(h.SomeUK) > 0 || strings.Contains(strings.Join(h.US, " "), "/") {
			return true
		}
	}
	return false
}

// hooksOf is every hook of a thickness: regular, steel, lace.
func hooksOf(mm float64) []hook.Hook {
	var all []hook.Hook
	for _, kind := range []hook.Kind{hook.Regular, hook.Steel, hook.Lace} {
		for _, h := range hook.All(kind) {
			if h.MM == mm {
				all = append(all, h)
			}
		}
	}
	return all
}

// fields is a thickness in every numbering, the member's own first.
func (f foundHook) fields(r Request) []reply.Field {
	us, uk, japan, steel, lace := []string{}, []string{}, []string{}, []string{}, []string{}
	for _, h := range hooksOf(f.mm) {
		switch h.Kind {
		case hook.Steel:
			steel = append(steel, h.US...)
		case hook.Lace:
			lace = append(lace, h.Japan...)
		default:
			us, uk, japan = append(us, h.US...), append(uk, h.UK...), append(japan, h.Japan...)
			for _, name := range h.SomeUS {
				us = append(us, r.Say("%s (some printings)", name))
			}
			for _, name := range h.SomeUK {
				uk = append(uk, r.Say("%s (some printings)", name))
			}
		}
	}
	thin := len(us)+len(uk)+len(japan) == 0 // a thread hook only
	orNone := func(names []string) string {
		if len(names) == 0 {
			return r.Say("no name of its own")
		}
		return strings.Join(names, ", ")
	}
	items := []reply.Field{{Name: string(hook.US), Value: orNone(us)}, {Name: r.Say("Old UK and Canadian"), Value: orNone(uk)}}
	if r.Terms() == notation.UK {
		slices.Reverse(items)
	}
	items = append(items, reply.Field{Name: r.Say("Japanese"), Value: orNone(japan)})
	if thin {
		items = nil
	}
	if len(steel) > 0 {
		items = append(items, reply.Field{Name: r.Say("US steel, for thread"), Value: strings.Join(steel, ", ")})
	}
	if len(lace) > 0 {
		items = append(items, reply.Field{Name: r.Say("Japanese lace"), Value: r.Say("No. %s", strings.Join(lace, ", "))})
	}
	return items
}

// hookNames is a thickness with its main names: "5 mm · US H-8 · old UK 6".
// Steel and lace numbers stand only where no other kind has the thickness.
func hookNames(mm float64) words.Message {
	names := words.Say("%s", millimetres(mm))
	add := func(name words.Message) { names = words.Say("%s · %s", names, name) }
	for i, h := range hooksOf(mm) {
		switch {
		case h.Kind == hook.Regular:
			if len(h.US) > 0 {
				add(numbered(hook.US, h.US))
			}
			if len(h.UK) > 0 {
				add(numbered(hook.UK, h.UK))
			}
			return names
		case h.Kind == hook.Steel:
			add(numbered(hook.USSteel, h.US))
		case i == 0:
			add(numbered(hook.JapanLace, h.Japan))
		}
	}
	return names
}

// numbered is the first of some names of a hook, with the numbering it is of;
// empty where there are none.
func numbered(s hook.System, names []string) words.Message {
	if len(names) == 0 {
		return words.Message{}
	}
	return words.Say("%s %s", systemName(s), names[0])
}

// neighbours is the next sizes of the same kind; the size itself at an end.
func (f foundHook) neighbours() (thinner, thicker float64) {
	thinner, thicker = f.mm, f.mm
	for i, h := range hooksOf(f.mm) {
		if i > 0 {
			break
		}
		for _, other := range hook.All(h.Kind) {
			if h.Kind == hook.Regular && !shopSize(other.MM) {
				continue
			}
			if other.MM < f.mm {
				thinner = other.MM
			}
			if other.MM > f.mm {
				return thinner, other.MM
			}
		}
	}
	return thinner, thicker
}

func (f foundHook) title(r Request) string {
	if f.off != 0 {
		return r.Say("Nearest to %s: %s", millimetres(f.wanted), f.size())
	}
	for _, m := range f.matches { // asked by a name: answer with the size
		if m.System != hook.Millimetres {
			return r.Say("%s %s is %s", systemName(m.System), m.Name, f.size())
		}
	}
	us, uk, other := "", "", ""
	for _, h := range hooksOf(f.mm) {
		switch {
		case h.Kind == hook.Steel:
			other = r.Of(numbered(hook.USSteel, h.US))
		case h.Kind == hook.Lace:
			other = cmp.Or(other, r.Of(numbered(hook.JapanLace, h.Japan)))
		default:
			us, uk = r.Of(numbered(hook.US, h.US)), r.Of(numbered(hook.UK, h.UK))
			other = cmp.Or(r.Of(numbered(hook.Japan, h.Japan)), other)
		}
	}
	own := cmp.Or(us, uk, other)
	if r.Terms() == notation.UK {
		own = cmp.Or(uk, us, other)
	}
	if own == "" || strings.HasSuffix(own, f.size()) {
		return f.size()
	}
	return r.Say("%s is %s", f.size(), own)
}

func systemName(s hook.System) words.Key {
	switch s {
	case hook.Millimetres:
		return "millimetres"
	case hook.Japan:
		return "Japanese"
	case hook.JapanLace:
		return "Japanese lace"
	}
	return words.Key(s)
}

// meant is the numberings in which the name means this size.
func (f foundHook) meant(r Request) string {
	var all []string
	for _, m := range f.matches {
		name := r.Say(systemName(m.System))
		if m.Some {
			name = r.Say("%s, some", name)
		}
		if !slices.Contains(all, name) {
			all = append(all, name)
		}
	}
	return strings.Join(all, "; ")
}

func (f foundHook) figures() map[string]any {
	var systems []string
	us, uk, japan := []string{}, []string{}, []string{}
	kind := ""
	for _, m := range f.matches {
		systems = append(systems, string(m.System))
	}
	for _, h := range hooksOf(f.mm) {
		us, uk, japan = append(us, h.US...), append(uk, h.UK...), append(japan, h.Japan...)
		if kind == "" {
			kind = string(h.Kind)
		}
	}
	return map[string]any{"mm": f.mm, "kind": kind, "us": us, "uk": uk, "japan": japan, "meant": systems, "off_mm": f.off}
}

// shownHooks is hooks from thin to thick, each thickness once, at most eight.
func shownHooks(r Request, all []float64, marked float64) []picture.HookShown {
	all = slices.Compact(slices.Sorted(slices.Values(all)))
	var shown []picture.HookShown
	for _, mm := range all[:min(len(all), 8)] {
		shown = append(shown, picture.HookShown{MM: mm, Name: r.Of(hookNames(mm)), Asked: mm == marked})
	}
	return shown
}

// suggestHooks offers sizes: those the text can mean, then those of which a
// name begins so; the common ones for an empty text.
func suggestHooks(_ context.Context, r Request, typed string) []Choice {
	typed = strings.ToLower(strings.TrimSpace(typed))
	var sizes []float64
	if found, err := findHook(typed); err == nil {
		for _, f := range found {
			sizes = append(sizes, f.mm)
		}
	}
	for _, kind := range []hook.Kind{hook.Regular, hook.Steel, hook.Lace} {
		for _, h := range hook.All(kind) {
			if typed == "" && (h.MM < 2 || len(h.US)+len(h.UK) == 0) {
				continue
			}
			for _, name := range append(append(append([]string{h.String()}, h.US...), h.UK...), h.Japan...) {
				if strings.HasPrefix(strings.ToLower(name), typed) {
					sizes = append(sizes, h.MM)
				}
			}
		}
	}
	var offers []Choice
	seen := map[float64]bool{}
	for _, mm := range sizes {
		if !seen[mm] && len(offers) < 25 {
			seen[mm] = true
			offers = append(offers, Choice{Label: r.Of(hookNames(mm)), Value: millimetres(mm)})
		}
	}
	return offers
}

// spreadHooks is at most n of the hooks, the ends and some between.
func spreadHooks(all []hook.Hook, n int) []hook.Hook {
	all = slices.Clone(all)
	slices.SortFunc(all, func(a, b hook.Hook) int { return cmp.Compare(a.MM, b.MM) })
	if len(all) <= n {
		return all
	}
	var some []hook.Hook
	for i := range n {
		some = append(some, all[i*(len(all)-1)/(n-1)])
	}
	return some
}
