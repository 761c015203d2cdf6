// Package pace keeps account of a piece of work in progress: the rows to work
// one by one, how far they are by stitches, what comes next, and from the days
// on which stitches were worked, when it will be finished, as a range that says
// how sure it is.
//
// A Plan is the rows as they were when the work began. Moves are what the maker
// told: from which row to which, when. A Tally is the account of both. A
// Forecast says how many days are left.
package pace

import (
	"fmt"
	"slices"
	"strings"

	"countwright/calc/fabric"
	"countwright/calc/notation"
)

// Plan is the rows of everything to be made, in working order.
type Plan struct {
	Parts []Part `json:"parts"`
}

// Part is one stretch of rows that are numbered together: "Back, hem".
type Part struct {
	Name  string   `json:"name"`
	Make  int      `json:"make,omitempty"`  // how many are made; 0 is 1
	Words []string `json:"words,omitempty"` // each text that occurs, once
	Uses  []string `json:"uses,omitempty"`  // for each of Words, the stitches in it by US abbreviation: "hdc;hdc2tog"; chains and slip stitches apart
	Rows  []Row    `json:"rows"`
	After []int    `json:"after,omitempty"` // indexes into Words: said after the last row
}

// Row is one row to be worked.
type Row struct {
	Label  string `json:"label"`            // "Row 12", "Rnd 3 (RS)"
	Number int    `json:"number,omitempty"` // as the label has it; 0: none
	Words  int    `json:"words"`            // index into the part's Words; -1: no words are known
	Before []int  `json:"before,omitempty"` // said before the row: headings, markers, the chain
	Count  int    `json:"count"`            // stitches at its end
	Worked int    `json:"worked"`           // stitches worked to make it
	Shape  int    `json:"shape,omitempty"`  // stitches gained or, below 0, lost by shaping
	Holes  int    `json:"holes,omitempty"`  // chain spaces over skipped stitches, where the rows before have none
}

// Limits of a plan.
const (
	MostRows     = 20_000  // of all pieces
	MostStitches = 100_000 // of a row
	mostMake     = 500
)

// PlanError says what a plan can't be made of.
type PlanError struct{ Wrong string }

func (e *PlanError) Error() string { return e.Wrong }

// Free is the plan of a piece of which only the number of rows is known, and
// of stitches in each.
func Free(name string, rows, stitches, copies int) (Plan, error) {
	switch {
	case rows < 1 || rows > MostRows:
		return Plan{}, &PlanError{fmt.Sprintf("%d rows; 1 to %d can be kept", rows, MostRows)}
	case stitches < 1 || stitches > MostStitches:
		return Plan{}, &PlanError{fmt.Sprintf("%d stitches in a row; 1 to %d can be kept", stitches, MostStitches)}
	case copies < 1 || copies > mostMake || copies*rows > MostRows:
		return Plan{}, &PlanError{fmt.Sprintf("%d pieces of %d rows are more than can be kept", copies, rows)}
	}
	p := Part{Name: name, Make: copies, Rows: make([]Row, rows)}
	for i := range p.Rows {
		p.Rows[i] = Row{Label: fmt.Sprintf("Row %d", i+1), Number: i + 1, Words: -1, Count: stitches, Worked: stitches}
	}
	return Plan{Parts: []Part{p}}, nil
}

// FromText is the plan of written rows, in one of their sizes (from 0): every
// row with its own words, though the text may say "rep Row 2". The words are
// printed in the terms given. A text without rows, or with more or longer ones
// than can be kept, is a *PlanError.
func FromText(text string, read notation.Options, size int, terms notation.Terms) (Plan, error) {
	doc := notation.Parse(text, read)
	if size < 0 || size >= max(1, doc.SizeCount) {
		return Plan{}, &PlanError{fmt.Sprintf("the rows are written for %d sizes", max(1, doc.SizeCount))}
	}
	result := fabric.Work(doc, fabric.Options{})
	var plan Plan
	for i := range result.Pieces {
		l := lister{size: size, print: notation.PrintOptions{Terms: terms}}
		part := l.list(&doc.Parts[i], &result.Pieces[i])
		if len(part.Rows) == 0 {
			continue
		}
		if part.Name == "" {
			part.Name = "The piece"
		}
		plan.Parts = append(plan.Parts, part)
	}
	if len(plan.Parts) == 0 {
		return Plan{}, &PlanError{"no rows were found in it"}
	}
	if err := plan.Check(); err != nil {
		return Plan{}, err
	}
	return plan, nil
}

// Times is how many of the part are made.
func (p *Part) Times() int { return max(1, p.Make) }

// lister lists the rows of one part.
type lister struct {
	size    int
	print   notation.PrintOptions
	part    Part
	byNum   map[int]*notation.Row // the rows worked last, by number
	byPlace map[int]*notation.Row // the lines, by their place in the text
	holes   [2]int                // chain spaces of the two rows before
}

func (l *lister) list(text *notation.Part, worked *fabric.Piece) Part {
	l.part = Part{Name: text.Name}
	if worked.Make > 1 {
		l.part.Make = min(worked.Make, mostMake)
	}
	l.byNum, l.byPlace = map[int]*notation.Row{}, map[int]*notation.Row{}
	next := 0
	var before []int
	for i, line := range text.Lines {
		if i < text.Preface {
			continue
		}
		end := text.Lines[len(text.Lines)-1].End().Offset
		if i+1 < len(text.Lines) {
			end = text.Lines[i+1].Pos().Offset
		}
		rows := madeBefore(worked.Rows[next:], end)
		next += len(rows)
		if r, ok := line.(*notation.Row); ok {
			l.byPlace[r.Pos().Offset] = r
		}
		if !l.work(line, rows) {
			before = append(before, l.words(notation.PrintLine(line, l.print)))
			continue
		}
		for j := range rows {
			if c := rows[j].PerSize[l.size]; c != nil {
				l.part.Rows = append(l.part.Rows, l.row(line, rows, j, c, before))
				before = nil
			}
		}
	}
	l.part.After = before
	return l.part
}

// madeBefore is the rows that come from lines before a place in the text.
func madeBefore(rows []fabric.Row, place int) []fabric.Row {
	n := 0
	for n < len(rows) && rows[n].Pos.Offset < place {
		n++
	}
	return rows[:n]
}

// work reports whether a line is rows to be counted. A foundation chain, a
// ring or "fasten off" belongs to the row beside it.
func (l *lister) work(line notation.Line, rows []fabric.Row) bool {
	if len(rows) == 0 {
		return false
	}
	r, ok := line.(*notation.Row)
	if !ok || r.Label.Kind != notation.Loose {
		return true
	}
	return slices.ContainsFunc(rows, func(row fabric.Row) bool {
		c := row.PerSize[l.size]
		return c != nil && worked(c) > 0
	})
}

// worked is how many stitches a row takes to work, chains apart.
func worked(c *fabric.Count) int {
	n := 0
	for _, t := range c.By {
		if t.ID != "ch" && t.ID != "sl st" {
			n += t.N
		}
	}
	return n
}

func (l *lister) row(line notation.Line, rows []fabric.Row, at int, c *fabric.Count, before []int) Row {
	made := rows[at]
	out := Row{Label: made.Label, Number: made.Number, Before: before, Count: c.Stitches, Worked: max(1, worked(c))}
	if made.Kind == notation.FlatRow {
		switch made.Side {
		case notation.RightSide:
			out.Label += " (RS)"
		case notation.WrongSide:
			out.Label += " (WS)"
		}
	}
	for _, s := range c.Shaping {
		if c.Left == 0 { // stitches that wait for another part are not shaping
			out.Shape += s.N * s.Delta
		}
	}
	holes := spaces(c.Made)
	if l.holes == [2]int{} {
		out.Holes = holes
	}
	l.holes = [2]int{l.holes[1], holes}
	if source := l.source(line, rows, at); source != nil {
		l.byNum[made.Number] = source
		out.Words = l.words(l.say(source, c, made))
	} else {
		out.Words = l.words(notation.PrintLine(line, l.print))
	}
	l.uses(out.Words, c)
	return out
}

// uses keeps which stitches a text is worked in.
func (l *lister) uses(words int, c *fabric.Count) {
	for len(l.part.Uses) <= words {
		l.part.Uses = append(l.part.Uses, "")
	}
	var names []string
	for _, t := range c.By {
		if t.ID != "ch" && t.ID != "sl st" && t.N > 0 && !slices.Contains(names, string(t.ID)) {
			names = append(names, string(t.ID))
		}
	}
	l.part.Uses[words] = strings.Join(names, ";")
}

// spaces counts the chain spaces of a row that pass over stitches.
func spaces(made []fabric.Made) int {
	n := 0
	for i, m := range made {
		switch {
		case m.Repeat != nil:
			n += m.N * spaces(m.Repeat)
		case m.ID == "ch" && !m.Turning && i+1 < len(made) && made[i+1].Skip > 0:
			n += m.N
		}
	}
	return n
}

// source is the row whose steps a row repeats: itself, unless its line says
// that it is worked like others. It is nil where that can't be found.
func (l *lister) source(line notation.Line, rows []fabric.Row, at int) *notation.Row {
	again, ok := line.(*notation.Again)
	if !ok {
		return l.byPlace[rows[at].Pos.Offset]
	}
	like := again.Like
	if len(like) == 0 {
		for back := max(1, again.Back); back > 0; back-- {
			like = append(like, rows[0].Number-back)
		}
	}
	return l.byNum[like[at%len(like)]]
}

// say prints the steps of a row as a sentence. Its label and its count stand
// apart, unless the count is of more than stitches.
func (l *lister) say(r *notation.Row, c *fabric.Count, made fabric.Row) string {
	single := notation.Row{Label: notation.Label{Kind: r.Label.Kind}, Steps: r.Steps}
	if r.Claim != nil && len(r.Claim.Entries) > 1 && c.Claimed {
		single.Claim = r.Claim
	}
	if made.Number > 0 {
		single.Label.From, single.Label.To = notation.N(made.Number), notation.N(made.Number)
	} else {
		single.Label.Name = r.Label.Name
	}
	text := notation.PrintRow(&single, l.print)
	if r.Label.Kind != notation.Loose {
		if _, after, found := strings.Cut(text, ": "); found {
			return after
		}
	}
	return text
}

// words keeps a text and returns its index.
func (l *lister) words(text string) int {
	if i := slices.Index(l.part.Words, text); i >= 0 {
		return i
	}
	l.part.Words = append(l.part.Words, text)
	return len(l.part.Words) - 1
}
