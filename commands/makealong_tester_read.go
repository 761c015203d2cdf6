package commands

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"countwright/calc/measure"
	"countwright/commands/words"
)

// Limits of what a tester measures. Common practice, no source.
const (
	mostFinished     = 40   // measurements
	mostWorkHours    = 2000 // of one piece of work
	mostFinishedName = 60   // characters
)

// namedLength is a finished measurement as a tester tells it.
type namedLength struct {
	Name   string
	Length measure.Length
}

// readFinished reads finished measurements as people list them: "chest 106 cm;
// length: 60,5 cm", one a line or several. Bare numbers are in the unit given.
// The names are the pattern's own, or enough of one to know it by; where the
// pattern names none, any will do.
func readFinished(text string, bare measure.Unit, names []string) ([]namedLength, error) {
	var out []namedLength
	for _, line := range strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == ';' }) {
		for rest := strings.TrimSpace(line); rest != ""; {
			var one string
			one, rest = cutMeasured(rest)
			m, err := readMeasured(one, bare, names)
			if err != nil {
				return nil, err
			}
			if slices.ContainsFunc(out, func(o namedLength) bool { return strings.EqualFold(o.Name, m.Name) }) {
				return nil, words.Say("“%s” is told twice", m.Name)
			}
			if out = append(out, m); len(out) > mostFinished {
				return nil, words.Say("at most %d measurements can be kept", mostFinished)
			}
		}
	}
	if len(out) == 0 {
		return nil, words.Say("no measurement is in it; write a name and a length")
	}
	return out, nil
}

// measuredNext is where another measurement begins: after a comma that follows
// a length, with a name.
var measuredNext = regexp.MustCompile(`,\s*(?:and\s+)?\p{L}`)

// cutMeasured parts the first measurement of a line from the others. Commas
// before its figure are part of its name.
func cutMeasured(line string) (one, rest string) {
	figure := strings.IndexFunc(line, figured)
	if figure < 0 {
		return line, ""
	}
	at := measuredNext.FindStringIndex(line[figure:])
	if at == nil {
		return line, ""
	}
	cut := figure + at[0]
	rest = strings.TrimSpace(line[cut+1:])
	return strings.TrimSpace(line[:cut]), strings.TrimPrefix(rest, "and ")
}

// figured reports whether a character can begin a length.
func figured(r rune) bool {
	return r >= '0' && r <= '9' || strings.ContainsRune("½¼¾⅛⅜⅝⅞", r)
}

// readMeasured reads one measurement.
func readMeasured(one string, bare measure.Unit, names []string) (namedLength, error) {
	figure := strings.IndexFunc(one, figured)
	if figure < 0 {
		return namedLength{}, words.Say("“%s” has no length", clip(one, 40))
	}
	name := strings.TrimFunc(one[:figure], func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(":=-–,•*", r) })
	if name == "" {
		return namedLength{}, words.Say("“%s” has no name: which measurement is it?", clip(one, 40))
	}
	length, err := measure.Parse(strings.TrimSpace(one[figure:]), bare)
	if err != nil {
		return namedLength{}, words.Say("%s: %s", clip(name, 40), err)
	}
	if err := length.Length.Check("a measurement", measure.Millimetre, 10*measure.Metre); err != nil {
		return namedLength{}, words.Say("%s: %s", clip(name, 40), err)
	}
	known, err := measureNamed(name, names)
	return namedLength{known, length.Length}, err
}

// measureNamed finds a measurement by its name, by its beginning or by a part
// of it that no other has.
func measureNamed(name string, names []string) (string, error) {
	if len(names) == 0 {
		if utf8.RuneCountInString(name) > mostFinishedName {
			return "", words.Say("“%s…” has more letters than a name may have", clip(name, 40))
		}
		return strings.ToLower(name), nil
	}
	for _, fits := range []func(known, name string) bool{
		func(known, name string) bool { return known == name },
		strings.HasPrefix,
		strings.Contains,
	} {
		var found []string
		for _, n := range names {
			if fits(strings.ToLower(n), strings.ToLower(name)) {
				found = append(found, n)
			}
		}
		if len(found) == 1 {
			return found[0], nil
		}
		if len(found) > 1 {
			return "", words.Say("“%s” can be %s; say which", clip(name, 40), listed(found, 6))
		}
	}
	return "", words.Say("the pattern names no “%s”; it names %s", clip(name, 40), listed(names, 12))
}

// readWorkTime reads the time that a whole piece of work took, in minutes: "38
// h", "38:30", "38 h 30", "38,5 h", "2300 min". A bare number is hours.
func readWorkTime(text string, _ Settings) (int, error) {
	wrong := words.Say("“%s” is no time; it takes 38 h, 38:30 or 2300 min, up to %d hours", clip(text, 20), mostWorkHours)
	word := strings.NewReplacer("hours", "h", "hour", "h", "hrs", "h", "minutes", "m", "minute", "m", "mins", "m", "min", "m", " ", "", ":", "h", ",", ".").Replace(strings.ToLower(text))
	hours, minutes := 0., 0.
	var err error
	if whole, found := strings.CutSuffix(word, "m"); found && !strings.Contains(whole, "h") {
		minutes, err = digits(whole)
	} else {
		h, rest, _ := strings.Cut(whole, "h")
		if hours, err = digits(h); err == nil && rest != "" {
			if minutes, err = digits(rest); minutes >= 60 {
				return 0, wrong
			}
		}
	}
	total := int(hours*60 + minutes + 0.5)
	if err != nil || total < 1 || total > mostWorkHours*60 {
		return 0, wrong
	}
	return total, nil
}

// digits reads digits with at most one point.
func digits(s string) (float64, error) {
	if s == "" || len(s) > 9 || strings.Trim(s, "0123456789.") != "" {
		return 0, strconv.ErrSyntax
	}
	return strconv.ParseFloat(s, 64)
}
