package commands

import "countwright/commands/words"

// named says what a pattern calls a piece, a part, a measurement or its fibre.
// The catalogs have such names after "in a pattern: ", as "Back" alone may be a
// button, too. A pattern of a member's own is told in its own words.
func named(p words.Printer, name string) string {
	if key := words.Key("in a pattern: " + name); !p.English() && p.Has(key) {
		return p.Say(key)
	}
	return name
}

// namedWithin is such a name within a sentence.
func namedWithin(p words.Printer, name string) string {
	if key := words.Key("in a pattern: " + name); !p.English() && p.Has(key) {
		return p.Inner(words.Inner(key))
	}
	return lowerFirst(name)
}
