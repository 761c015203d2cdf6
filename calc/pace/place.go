package pace

import (
	"fmt"
	"strings"
)

// Piece is one piece to be made: a part of the plan, or one copy of it.
type Piece struct {
	*Part
	Copy int // from 1; 0: there is only one
}

// Title is the piece's name, with which of its copies it is: "Sleeve (1 of 2)".
func (p Piece) Title() string {
	if p.Copy == 0 {
		return p.Name
	}
	return fmt.Sprintf("%s (%d of %d)", p.Name, p.Copy, p.Times())
}

// Stitches are worked in the first rows of the piece.
func (p Piece) Stitches(rows int) int {
	n := 0
	for _, r := range p.Rows[:min(max(rows, 0), len(p.Rows))] {
		n += r.Worked
	}
	return n
}

// Said is what is said in words before a row (from 0): a heading, a marker to
// place, a chain to make.
func (p Piece) Said(row int) []string {
	return p.texts(p.Rows[row].Before)
}

// Ending is what is said after the last row.
func (p Piece) Ending() []string { return p.texts(p.After) }

func (p Piece) texts(list []int) []string {
	var out []string
	for _, i := range list {
		if i >= 0 && i < len(p.Words) {
			out = append(out, p.Words[i])
		}
	}
	return out
}

// Text is the words of a row (from 0), empty where none are known.
func (p Piece) Text(row int) string {
	if i := p.Rows[row].Words; i >= 0 && i < len(p.Words) {
		return p.Words[i]
	}
	return ""
}

// Uses is the stitches of a row (from 0) by US abbreviation, chains and slip
// stitches apart; none where they are not known.
func (p Piece) Uses(row int) []string {
	if i := p.Rows[row].Words; i >= 0 && i < len(p.Part.Uses) {
		return strings.FieldsFunc(p.Part.Uses[i], func(r rune) bool { return r == ';' })
	}
	return nil
}

// At finds the row of a number, as rows done up to and with it. Where a piece
// has the number twice, as two shoulders do, it is the first after the rows
// done, unless the row that is being worked stands with the earlier one; false:
// there is none.
func (p Piece) At(number, done int) (rows int, ok bool) {
	before := 0
	for i, r := range p.Rows {
		if r.Number != number {
			continue
		}
		if i+1 >= done {
			return i + 1, true
		}
		before = i + 1
	}
	return before, before > 0
}

// Last is the highest row number of the piece.
func (p Piece) Last() int {
	n := 0
	for _, r := range p.Rows {
		n = max(n, r.Number)
	}
	return n
}

// Pieces lists the pieces in working order. Parts that follow each other and
// belong to one thing made twice ("Sleeve, cuff" and "Sleeve") are worked
// together: both of the first, then both of the second.
func (p Plan) Pieces() []Piece {
	var out []Piece
	for i := 0; i < len(p.Parts); {
		end := i + 1
		for end < len(p.Parts) && p.Parts[i].Times() > 1 && p.Parts[end].Times() == p.Parts[i].Times() && stem(p.Parts[end].Name) == stem(p.Parts[i].Name) {
			end++
		}
		for n := range p.Parts[i].Times() {
			for j := i; j < end; j++ {
				piece := Piece{Part: &p.Parts[j]}
				if piece.Times() > 1 {
					piece.Copy = n + 1
				}
				out = append(out, piece)
			}
		}
		i = end
	}
	return out
}

// stem is the name of the thing that a part belongs to.
func stem(name string) string {
	before, _, _ := strings.Cut(name, ",")
	return strings.TrimSpace(before)
}

// Check reports a plan that can't be worked by: one read from outside.
func (p Plan) Check() error {
	total := 0
	for _, part := range p.Parts {
		total += len(part.Rows) * part.Times()
		if part.Make > mostMake || part.Make < 0 {
			return &PlanError{fmt.Sprintf("%q is made %d times", part.Name, part.Make)}
		}
		for _, r := range part.Rows {
			if r.Count < 0 || r.Count > MostStitches || r.Worked < 1 || r.Worked > 10*MostStitches {
				return &PlanError{fmt.Sprintf("%q, %s: %d stitches", part.Name, r.Label, r.Count)}
			}
		}
	}
	if total == 0 || total > MostRows {
		return &PlanError{fmt.Sprintf("%d rows; 1 to %d can be kept", total, MostRows)}
	}
	return nil
}

// Event is something out of the ordinary that a row brings.
type Event struct {
	Row   int // index, from 0
	Shape int // stitches gained or lost by shaping
	Holes int // buttonholes or other spaces that begin
	Said  []string
}

// Due lists the events of the rows from one (from 0) up to another, not
// included. Shaping counts where it begins, or differs from the row before.
func (p Piece) Due(from, to int) []Event {
	var out []Event
	for i := max(from, 0); i < min(to, len(p.Rows)); i++ {
		r := p.Rows[i]
		e := Event{Row: i, Holes: r.Holes, Said: p.Said(i)}
		filled := i > 0 && p.Rows[i-1].Holes > 0 // what the holes left out comes back
		if r.Shape != 0 && !filled && (i == 0 || p.Rows[i-1].Shape != r.Shape) {
			e.Shape = r.Shape
		}
		if e.Shape != 0 || e.Holes > 0 || len(e.Said) > 0 && i > 0 {
			out = append(out, e)
		}
	}
	return out
}
