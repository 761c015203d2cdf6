package commands

import (
	"strings"

	"countwright/commands/words"
)

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

// edges says where edges lie: "Back upper back + Back right shoulder" is
// "Rückenteil, Oberer Rücken + Rückenteil, Rechte Schulter".
func (a *resized) edges(names string) string {
	p := a.r.Printer
	if p.English() {
		return names
	}
	said := strings.Split(names, " + ")
	for i, name := range said {
		for _, piece := range a.garment.Pieces {
			section, of := strings.CutPrefix(name, piece.Name)
			switch {
			case of && section == "":
				said[i] = named(p, piece.Name)
			case of && section[0] == ' ' && p.Has(words.Key("in a pattern: "+upperFirst(section[1:]))):
				said[i] = p.Say("%s, %s", named(p, piece.Name), namedWithin(p, upperFirst(section[1:])))
			case of && section[0] == ' ':
				said[i] = p.Say("%s, %s", named(p, piece.Name), named(p, section[1:]))
			}
		}
	}
	return strings.Join(said, " + ")
}
