package commands

import (
	"fmt"
	"slices"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/sheet"
	"countwright/commands/words"
)

// papers are the sizes of paper by the values of an option.
var papers = map[string]sheet.Paper{"A4": sheet.A4, "Letter": sheet.Letter}

// withSheet adds the pattern to print to the reply, and its schematic to draw
// on.
func (a *resized) withSheet(out reply.Reply, paper string) (reply.Reply, error) {
	n, err := a.yarn()
	if err != nil {
		return out, fmt.Errorf("reckon the yarn: %w", err)
	}
	schematic := a.schematic()
	schematic.Title, schematic.Paper = "", true
	drawing, err := schematic.Draw()
	if err != nil {
		return out, fmt.Errorf("draw the pieces: %w", err)
	}
	s, err := a.sheet(drawing, n)
	if err != nil {
		return out, err
	}
	body, err := sheet.PDF(s, sheet.Options{Paper: papers[paper], Made: a.r.Now, Language: a.r.Language().Code, Words: a.r.Printer})
	if err != nil {
		return out, err
	}
	name := a.garment.Pattern.Name
	drawing.Title = a.title()
	out.Parts = append(out.Parts,
		reply.File{Name: name + ".pdf", Type: "application/pdf", Body: body},
		reply.File{Name: name + ".svg", Type: "image/svg+xml", Body: picture.SVG(drawing)})
	return out, nil
}

// sheet is the garment as it is printed.
func (a *resized) sheet(schematic *picture.Drawing, n yarn.Amount) (sheet.Sheet, error) {
	p := a.garment.Pattern
	s := sheet.Sheet{
		Title: a.r.Say(words.Key(p.Title)), For: a.madeFor(), Summary: a.r.Say(words.Key(p.Summary)), Credit: a.credit(p.Author, p.Licence),
		Schematic: sheet.Figure{Drawing: schematic, Words: a.sheetWords()},
		Finished:  a.sheetFinished(), Sizes: a.sheetSizes(), Terms: termsName(a.r.Terms()),
		Pieces: a.sheetPieces(), Finishing: a.finishing(),
	}
	for _, b := range a.cautions() {
		if c, ok := b.(reply.Caution); ok {
			s.Cautions = append(s.Cautions, c.Text)
		}
	}
	s.Materials, s.Gauge = a.sheetFacts(n)
	first := a.garment.Written.Parts[0]
	for _, l := range first.Lines[:first.Preface] {
		s.Notes = append(s.Notes, notation.PrintLine(l, notation.PrintOptions{Terms: a.r.Terms()}))
	}
	for _, text := range p.Notes {
		s.Notes = append(s.Notes, a.r.Say(words.Key(text)))
	}
	for _, b := range a.assumptions() {
		if t, ok := b.(reply.Text); ok {
			s.Notes = append(s.Notes, t.Text)
		}
	}
	for _, text := range a.fits().Items { // what is picked up stands in the rows
		if slices.ContainsFunc(p.Joins, func(j pattern.Join) bool { return strings.HasPrefix(text, upperFirst(named(a.r.Printer, j.Name))+":") }) {
			s.Fits = append(s.Fits, text)
		}
	}
	s.Abbreviations = abbreviations(a.r.Printer, s.Pieces, stitch.Dialect(a.r.Terms()))
	var err error
	s.Care, s.Label, err = sheetCare(a.r.Printer, p.Yarn.Fibre)
	return s, err
}

func (a *resized) credit(author, licence string) string {
	var parts []string
	if author != "" {
		parts = append(parts, a.r.Say("Pattern by %s", author))
	}
	if licence != "" {
		parts = append(parts, a.r.Say("licence %s", licence))
	}
	return strings.Join(parts, ", ")
}

// sheetFacts shares the facts of the reply out under two headings.
func (a *resized) sheetFacts(n yarn.Amount) (materials, gauge []sheet.Fact) {
	fields, _ := a.facts(n).(reply.Fields)
	for _, f := range fields.Items {
		fact := sheet.Fact{Name: f.Name, Text: upperFirst(f.Value)}
		switch f.Name {
		case a.r.Say("Made for"), a.r.Say("Terms"): // in the title, and with the abbreviations
		case a.r.Say("Yarn"):
			materials = append([]sheet.Fact{fact}, materials...)
		case a.r.Say("Hook"), a.r.Say("Buttons"):
			materials = append(materials, fact)
		case tension(a.r):
			gauge = append([]sheet.Fact{fact}, gauge...)
		default:
			gauge = append(gauge, fact)
		}
	}
	notions := words.Key("a yarn needle, scissors, a tape measure")
	if a.marked() {
		notions = "stitch markers, a yarn needle, scissors, a tape measure"
	}
	return append(materials, sheet.Fact{Name: a.r.Say("Also"), Text: a.r.Say(notions)}), gauge
}

// marked reports whether the work needs markers.
func (a *resized) marked() bool {
	text := notation.Print(a.garment.Written, notation.PrintOptions{}) + strings.Join(a.garment.Finishing, " ")
	return strings.Contains(text, "marker")
}

func (a *resized) sheetFinished() sheet.Table {
	t := sheet.Table{Head: a.r.Each("", "comes to"), Right: []bool{false, true}}
	for _, f := range a.garment.Finished {
		t.Rows = append(t.Rows, []string{named(a.r.Printer, f.Name), mm(f.MM, a.units())})
	}
	return t
}

// sheetSizes are the sizes of the table by which the garment was made, the
// maker's own marked: one of them, or her measure between them.
func (a *resized) sheetSizes() sheet.Table {
	table, by := a.who.table, a.sizedBy()
	if table == nil || by == "" {
		return sheet.Table{}
	}
	t := sheet.Table{Head: a.r.Each(words.Key(table.Title), words.Key(by)), Right: []bool{false, true}}
	own := a.who.body[by]
	yours := func() {
		t.Rows = append(t.Rows, []string{a.r.Say("yours"), own.Text(a.units())})
		t.Own = len(t.Rows)
	}
	for _, size := range table.Sizes {
		span := size.Ranges[by]
		if a.who.size == "" && t.Own == 0 && own < span.Low {
			yours()
		}
		cells := []string{size.Name, span.Text(a.units())}
		t.Rows = append(t.Rows, cells)
		switch {
		case a.who.size == table.Name+" "+size.Name:
			cells[0] = a.r.Say("%s, yours", size.Name)
			t.Own = len(t.Rows)
		case a.who.size == "" && t.Own == 0 && span.Off(own) == 0:
			yours()
		}
	}
	if t.Own == 0 {
		yours()
	}
	return t
}

// sizedBy is the measure that tells the sizes apart for this garment.
func (a *resized) sizedBy() sizing.Measure {
	if a.who.table == nil {
		return ""
	}
	for _, m := range append([]sizing.Measure{a.who.table.Key}, sizing.Measures()...) {
		if _, known := a.who.table.Sizes[0].Ranges[m]; known && a.garment.Pattern.Reads(string(m)) {
			return m
		}
	}
	return ""
}

// sheetWords say what the schematic says.
func (a *resized) sheetWords() string {
	said := []string{a.r.Say("The pieces laid flat.")}
	for i, p := range a.garment.Pieces {
		var parts []string
		for _, d := range p.Outline.Dimensions {
			counted := stitchCount(d.Count)
			switch {
			case d.Rows && p.Outline.Double:
				counted = words.Count(d.Count, "%d round", "%d rounds")
			case d.Rows:
				counted = countedRows(d.Count)
			}
			name := strings.TrimPrefix(strings.TrimPrefix(d.Name, p.Name), ", ")
			parts = append(parts, strings.TrimSpace(a.r.Say("%s %s, %s", strings.ReplaceAll(name, ",", ""), mm(d.MM, a.units()), counted)))
		}
		if mirrors := a.garment.Pattern.Pieces[i].Mirror; mirrors != "" {
			parts = []string{a.r.Say("mirrors %s", namedWithin(a.r.Printer, mirrors))}
		}
		if len(parts) > 0 {
			said = append(said, a.r.Say("%s: %s.", named(a.r.Printer, p.Name), strings.Join(parts, "; ")))
		}
	}
	return strings.Join(said, " ")
}

// sheetPieces are the written rows, with how many rows each line makes.
func (a *resized) sheetPieces() []sheet.Piece {
	opt := notation.PrintOptions{Terms: a.r.Terms()}
	var pieces []sheet.Piece
	for i, part := range a.garment.Written.Parts {
		p := sheet.Piece{Name: part.Name, Make: part.Make}
		lines := part.Lines
		if i == 0 {
			lines = lines[part.Preface:]
		}
		for _, l := range lines {
			p.Lines = append(p.Lines, sheetLine(l, opt))
		}
		pieces = append(pieces, p)
	}
	return pieces
}

func sheetLine(l notation.Line, opt notation.PrintOptions) sheet.Line {
	text := notation.PrintLine(l, opt)
	switch l := l.(type) {
	case *notation.Heading:
		return sheet.Line{Kind: sheet.Heading, Text: text}
	case *notation.Row:
		return sheetWork(text, l.Label, 1)
	case *notation.Again:
		rows := max(1, len(l.Like)) * max(1, l.Times.At(0))
		return sheetWork(text, l.Label, rows)
	}
	return sheet.Line{Kind: sheet.Note, Text: text}
}

// sheetWork is a line of work; where its label does not say how many rows it
// makes, they are as many as said.
func sheetWork(text string, label notation.Label, rows int) sheet.Line {
	out := sheet.Line{Text: text, Rows: rows}
	switch {
	case len(label.List) > 0:
		out.Rows = len(label.List)
	case label.From.Said():
		out.First = label.From.At(0)
		out.Rows = 1 + label.To.At(0) - out.First
	}
	if label.Kind != notation.Loose {
		if before, after, found := strings.Cut(text, ": "); found {
			out.Label, out.Text = before+":", after
		}
	}
	return out
}
