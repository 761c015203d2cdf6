package commands

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"countwright/calc/care"
	"countwright/calc/lookup"
	"countwright/calc/stitch"
	"countwright/calc/term"
	"countwright/commands/picture"
	"countwright/commands/sheet"
	"countwright/commands/words"
)

var abbreviated = regexp.MustCompile(`[\pL\d]+`)

// abbreviations are those that occur in the rows, with what they mean; forms
// of one word ("st", "sts") are explained together.
func abbreviations(p words.Printer, pieces []sheet.Piece, d stitch.Dialect) []sheet.Fact {
	seen := map[string]bool{"in": true} // the word, not the inch
	forms := map[string][]string{}      // by meaning
	try := func(word string) {
		if key := strings.ToLower(word); !seen[key] {
			seen[key] = true
			if form, means, ok := abbreviation(p, word, d); ok {
				forms[means] = append(forms[means], form)
			}
		}
	}
	for _, piece := range pieces {
		for _, l := range piece.Lines {
			found := abbreviated.FindAllString(l.Label+" "+l.Text, -1)
			for i, w := range found {
				try(w)
				if i > 0 {
					try(found[i-1] + " " + w)
				}
			}
		}
	}
	var out []sheet.Fact
	for means, list := range forms {
		slices.Sort(list)
		out = append(out, sheet.Fact{Name: strings.Join(slices.Compact(list), ", "), Text: means})
	}
	slices.SortFunc(out, func(a, b sheet.Fact) int {
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	return out
}

// abbreviation explains a word that is printed short in a dialect, in the form
// in which the dictionary has it.
func abbreviation(p words.Printer, word string, d stitch.Dialect) (form, means string, ok bool) {
	for _, a := range term.Explain(word, d, 3) {
		if a.How != lookup.Exact {
			continue
		}
		if s, known := stitch.Lookup(a.Stitch); known {
			if form, ok := formOf(s.In(d).Abbr, word); ok {
				means = s.In(d).Name
				if s.Kind == stitch.Together {
					means = p.Say("%s (%d stitches become %d)", means, s.Consumes, s.Makes)
				}
				return form, means, true
			}
		}
		if form, ok := formOf(a.Term.Abbr, word); ok {
			return form, p.Say("%s: %s", words.Key(a.Term.Word(d)), words.Inner(term.Say(a.Term.Means, d))), true
		}
	}
	return "", "", false
}

// formOf is a word as a list has it, or its plural.
func formOf(list []string, word string) (string, bool) {
	for _, s := range list {
		for _, form := range []string{s, s + "s"} {
			if strings.EqualFold(form, word) {
				return form, true
			}
		}
	}
	return "", false
}

// sheetCare is how yarns of such fibres are usually washed.
func sheetCare(p words.Printer, fibre string) (said []string, label sheet.Figure, err error) {
	said = p.Each("The yarn's own label wins.", "Wash the swatch the same way first, and measure it before and after.")
	found, _ := care.FindFibres(fibre)
	var blend care.Blend
	var names []string
	for _, s := range found {
		if name := p.Say(words.Key(s.Fibre.Name)); !slices.Contains(names, name) {
			blend, names = append(blend, care.Share{Fibre: s.Fibre}), append(names, name)
			said = append(said, p.Say("%s: %s", upperFirst(name), words.Inner(s.Fibre.Note)))
		}
	}
	if len(names) == 0 {
		return said, label, nil
	}
	symbols := blend.Care()
	var says []string
	for _, s := range symbols {
		says = append(says, p.Say("%s: %s", words.Key(s.Looks), strings.TrimSuffix(p.Inner(words.Inner(s.Means)), ".")))
	}
	drawing, err := picture.CareLabel{Symbols: symbols}.Draw()
	if err != nil {
		return nil, label, fmt.Errorf("draw the care symbols: %w", err)
	}
	drawing.Title, drawing.Description = p.Say("Care symbols"), upperFirst(strings.Join(says, "; "))+"."
	shown := words.Key("The symbols show what %s usually bears (common practice, no source).")
	if len(names) > 1 {
		shown = "The symbols show what %s usually bear (common practice, no source)."
	}
	said = append(said, p.Say(shown, strings.Join(names, p.Say(" or "))))
	return said, sheet.Figure{Drawing: drawing}, nil
}
