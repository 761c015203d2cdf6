package commands

import (
	"slices"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/words"
)

// inWords puts the errors of lengths and gauges, which know no reader, in words
// that can be said in any language. Other errors stay as they are.
func inWords(err error) error {
	switch e := err.(type) {
	case *measure.ParseError:
		return words.Say("%q, column %d: %s; for example %s", e.Text, e.Column, words.Say(words.Key(e.Reason), e.Values...), words.Key(e.Example))
	case *measure.RangeError:
		u := measure.Centimetres
		return words.Say("%s of %s is outside %s to %s", words.Key(e.What), e.Length.Text(u), e.Low.Text(u), e.High.Text(u))
	case *gauge.RangeError:
		return words.Say("%s %s: allowed are %s to %s", trimmed(round2(e.Value)), words.Key(e.What), trimmed(round2(e.Low)), trimmed(round2(e.High)))
	}
	return err
}

// allInWords does so with the errors among a message's values.
func allInWords(args []any) []any {
	said := slices.Clone(args)
	for i, a := range said {
		if err, ok := a.(error); ok {
			said[i] = inWords(err)
		}
	}
	return said
}
