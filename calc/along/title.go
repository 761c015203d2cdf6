package along

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/pace"
)

// thing is what pieces are parts of: "Back, hem" and "Back, body" are of the
// back, each copy of a sleeve is a thing of its own.
type thing struct {
	name        string
	copy, times int
}

func thingOf(p pace.Piece) thing {
	name, _, _ := strings.Cut(p.Name, ",")
	return thing{strings.TrimSpace(name), p.Copy, p.Times()}
}

// things is how many different ones are made.
func (p *proposal) things() int {
	names := map[string]bool{}
	for _, piece := range p.pieces {
		names[thingOf(piece).name] = true
	}
	return len(names)
}

var ordinals = []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

var fractions = []string{"", "", "half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

// String names the thing within a sentence: "the back", "the second sleeve".
func (t thing) String() string {
	switch {
	case t.times == 1:
		return the(t.name)
	case t.copy < len(ordinals):
		return the(ordinals[t.copy] + " " + low(t.name))
	default:
		return fmt.Sprintf("%s %d of %d", low(t.name), t.copy, t.times)
	}
}

// the puts an article before an English name.
func the(name string) string {
	if first, _ := utf8.DecodeRuneInString(name); !unicode.Is(unicode.Latin, first) || strings.HasPrefix(strings.ToLower(name), "the ") {
		return name
	}
	return "the " + low(name)
}

// low begins a name with a small letter, unless it is like "V neck".
func low(name string) string {
	first, size := utf8.DecodeRuneInString(name)
	second, _ := utf8.DecodeRuneInString(name[size:])
	if !unicode.IsLower(second) {
		return name
	}
	return string(unicode.ToLower(first)) + name[size:]
}

// part is a section in a thing, or a share of one.
type part struct {
	name        string // of the section; empty: it has none
	first, last bool   // of the thing's sections
	from, to    bool   // the milestone has its beginning, its end
	next        string // the name of the section after it in the thing
	share       int    // which share it is, where it is one that is taken,
	shares      int    // of so many
	upTo        string // "two thirds", where it is taken from its beginning
}

// title says what is worked in the steps from one to another: "The back", "The
// crown of the hat", "The rest of the back and the right front, up to the V
// neck".
func (p *proposal) title(first, last int) string {
	var names []string
	var at thing
	var parts []part
	flush := func() {
		if len(parts) > 0 {
			names = append(names, phrase(at, parts))
		}
		parts = nil
	}
	piece, row := p.begin(first)
	end := p.steps[last]
	for ; piece <= end.piece; piece, row = piece+1, 0 {
		if t := thingOf(p.pieces[piece]); t != at {
			flush()
			at = t
		}
		to := len(p.pieces[piece].Rows)
		if piece == end.piece {
			to = end.row
		}
		parts = append(parts, p.parts(piece, row, to, first, last)...)
	}
	flush()
	if len(names) > 3 {
		names = []string{names[0], names[1], fmt.Sprintf("%d more", len(names)-2)}
	}
	title := sentence(names)
	_, size := utf8.DecodeRuneInString(title)
	return strings.ToUpper(title[:size]) + title[size:]
}

// parts is the sections of a piece between two rows.
func (p *proposal) parts(at, row, to, first, last int) []part {
	piece := p.pieces[at]
	sections := Sections(piece)
	var out []part
	for i, s := range sections {
		if s.To <= row || s.From >= to {
			continue
		}
		one := part{name: s.Name, from: row <= s.From, to: to >= s.To}
		one.first = i == 0 && (at == 0 || thingOf(p.pieces[at-1]) != thingOf(piece))
		one.last = i == len(sections)-1 && (at+1 == len(p.pieces) || thingOf(p.pieces[at+1]) != thingOf(piece))
		switch {
		case i+1 < len(sections):
			one.next = sections[i+1].Name
		case !one.last:
			one.next = Sections(p.pieces[at+1])[0].Name
		}
		p.shares(&one, at, i, first, last)
		out = append(out, one)
	}
	return out
}

// shares says which shares of a section lie in the steps from one to another,
// where it does not lie in them whole.
func (p *proposal) shares(one *part, piece, section, first, last int) {
	if one.from && one.to {
		return
	}
	low, high, of := 0, 0, 0
	for _, s := range p.steps[first : last+1] {
		if s.piece == piece && s.section == section {
			if low == 0 {
				low = s.part
			}
			high, of = s.part, s.parts
		}
	}
	if low == high && low > 0 {
		one.share, one.shares = low, of
	}
	if one.from && !one.to && of > 0 {
		one.upTo = fraction(high, of)
	}
}

// fraction says n/of: "half", "two thirds".
func fraction(n, of int) string {
	for d := 2; d <= n; d++ {
		for n%d == 0 && of%d == 0 {
			n, of = n/d, of/d
		}
	}
	numbers := []string{"", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}
	switch {
	case of == 2:
		return "half"
	case of >= len(fractions) || n >= len(numbers):
		return fmt.Sprintf("%d of %d parts", n, of)
	case n == 1:
		return "one " + fractions[of]
	default:
		return numbers[n] + " " + fractions[of] + "s"
	}
}

// phrase names what is worked of one thing.
func phrase(t thing, parts []part) string {
	begin, end := parts[0], parts[len(parts)-1]
	starts, ends := begin.first && begin.from, end.last && end.to
	if starts && ends {
		return t.String()
	}
	if len(parts) == 1 && begin.shares > 0 {
		where := t.String()
		if ends && begin.name == "" && !begin.first {
			return "the rest of " + where
		}
		if begin.name != "" && !(begin.first && begin.last) {
			where = t.section(begin.name)
		}
		switch {
		case begin.shares > mostOrdinal:
			return fmt.Sprintf("part %d of %d of %s", begin.share, begin.shares, where)
		case begin.share == begin.shares:
			return "the last " + fractions[begin.shares] + " of " + where
		default:
			return "the " + ordinals[begin.share] + " " + fractions[begin.shares] + " of " + where
		}
	}
	if names, ok := whole(t, parts); ok {
		return names
	}
	switch {
	case ends:
		return "the rest of " + t.String()
	case end.to && end.next != "":
		return fmt.Sprintf("%s, up to %s", t, the(end.next))
	case end.to && end.name != "":
		return fmt.Sprintf("%s, with %s", t, the(end.name))
	case end.upTo != "" && end.name != "" && !(end.first && end.last):
		return fmt.Sprintf("%s, up to %s of %s", t, end.upTo, the(end.name))
	case end.upTo == "half":
		return t.String() + ", to about halfway"
	case end.upTo != "":
		return fmt.Sprintf("%s, up to %s", t, end.upTo)
	default:
		return fmt.Sprintf("more of %s", t)
	}
}

// mostOrdinal shares are told as halves, thirds and quarters; more as numbers.
const mostOrdinal = 4

// section names a section of the thing: "the crown of the hat". A name that
// says already what it is part of stands alone: "the upper back".
func (t thing) section(name string) string {
	if t.times == 1 && slices.Contains(strings.Fields(strings.ToLower(name)), strings.ToLower(t.name)) {
		return the(name)
	}
	return the(name) + " of " + t.String()
}

// whole names one or two sections that are worked from beginning to end.
func whole(t thing, parts []part) (string, bool) {
	var names []string
	for _, one := range parts {
		if one.name == "" || !one.from || !one.to || len(parts) > 2 {
			return "", false
		}
		names = append(names, low(one.name))
	}
	if end := parts[len(parts)-1]; len(parts) == 2 && end.last {
		return "the rest of " + t.String(), true
	}
	return t.section(listed(names)), true
}

// listed joins names: "a, b and c".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// sentence joins what is worked one after another. Where a name has an "and" of
// its own, another joins them.
func sentence(names []string) string {
	for _, n := range names[:len(names)-1] {
		if strings.Contains(n, " and ") || strings.Contains(n, ",") {
			return strings.Join(names, ", then ")
		}
	}
	return listed(names)
}
