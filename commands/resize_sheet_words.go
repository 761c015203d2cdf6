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
)

var abbreviated = regexp.MustCompile(`[\pL\d]+`)

// abbreviations are those that occur in the rows, with what they mean; forms
// of one word ("st", "sts") are explained together.
func abbreviations(pieces []sheet.Piece, d stitch.Dialect) []sheet.Fact {
	seen := map[string]bool{"in": true} // the word, not the inch
	forms := map[string][]string{}      // by meaning
	try := func(word string) {
		if key := strings.ToLower(word); !seen[key] {
			seen[key] = true
			if form, means, ok := abbreviation(word, d); ok {
				forms[means] = append(forms[means], form)
			}
		}
	}
	for _, p := range pieces {
		for _, l := range p.Lines {
			words := abbreviated.FindAllString(l.Label+" "+l.Text, -1)
			for i, w := range words {
				try(w)
				if i > 0 {
					try(words[i-1] + " " + w)
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
func abbreviation(word string, d stitch.Dialect) (form, means string, ok bool) {
	for _, a := range term.Explain(word, d, 3) {
		if a.How != lookup.Exact {
			continue
		}
		if s, known := stitch.Lookup(a.Stitch); known {
			if form, ok := formOf(s.In(d).Abbr, word); ok {
				means = s.In(d).Name
				if s.Kind == stitch.Together {
					means += fmt.Sprintf(" (%d stitches become %d)", s.Consumes, s.Makes)
				}
				return form, means, true
			}
		}
		if form, ok := formOf(a.Term.Abbr, word); ok {
			return form, a.Term.Word(d) + ": " + lowerFirst(term.Say(a.Term.Means, d)), true
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
func sheetCare(fibre string) (words []string, label sheet.Figure, err error) {
	words = []string{"The yarn's own label wins.", "Wash the swatch the same way first, and measure it before and after."}
	found, _ := care.FindFibres(fibre)
	var blend care.Blend
	var names []string
	for _, s := range found {
		if !slices.Contains(names, s.Fibre.Name) {
			blend, names = append(blend, care.Share{Fibre: s.Fibre}), append(names, s.Fibre.Name)
			words = append(words, upperFirst(s.Fibre.Name)+": "+lowerFirst(s.Fibre.Note))
		}
	}
	if len(names) == 0 {
		return words, label, nil
	}
	symbols := blend.Care()
	var says []string
	for _, s := range symbols {
		says = append(says, s.Looks+": "+strings.TrimSuffix(lowerFirst(s.Means), "."))
	}
	drawing, err := picture.CareLabel{Symbols: symbols}.Draw()
	if err != nil {
		return nil, label, fmt.Errorf("draw the care symbols: %w", err)
	}
	drawing.Title, drawing.Description = "Care symbols", upperFirst(strings.Join(says, "; "))+"."
	words = append(words, fmt.Sprintf("The symbols show what %s usually %s (common practice, no source).", strings.Join(names, " or "), plural(len(names), "bears", "bear")))
	return words, sheet.Figure{Drawing: drawing}, nil
}
