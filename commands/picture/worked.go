package picture

import (
	"strconv"

	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// Worked makes the chart of a piece that was worked, in one of its sizes
// (from 0), its legend in the words of a dialect. A stitch that the pattern
// defines itself, and so no list has a symbol for, is drawn as a square. The
// title is the piece's name.
func Worked(p fabric.Piece, size int, words stitch.Dialect) Chart {
	c := Chart{Title: p.Name}
	w := worker{words: words, fromLeft: startsLeft(p, size)}
	for _, r := range p.Rows {
		if size < 0 || size >= len(r.PerSize) || r.PerSize[size] == nil {
			continue
		}
		if r.Kind == notation.Round && len(c.Rows) < 2 {
			c.Round = true
		}
		w.row(&c, r, r.PerSize[size])
	}
	if c.Round && len(c.Rows) > 1 && w.ring { // the chains of the ring itself
		c.Rows = c.Rows[1:]
	}
	return c
}

// startsLeft says whether the piece begins with a wrong-side row, which runs
// from left to right as seen from the right side.
func startsLeft(p fabric.Piece, size int) bool {
	for _, r := range p.Rows {
		if r.Kind == notation.FlatRow && size >= 0 && size < len(r.PerSize) && r.PerSize[size] != nil {
			return (r.Side == notation.WrongSide) != r.PerSize[size].Turned
		}
	}
	return false
}

// worker turns rows into rows of a chart.
type worker struct {
	words    stitch.Dialect
	fromLeft bool // the way of the row below
	below    int  // its cells
	used     int  // its first cells that became a turning chain
	ring     bool // a foundation was worked into as a ring only
}

func (w *worker) row(c *Chart, r fabric.Row, count *fabric.Count) {
	row := ChartRow{Label: label(r), FromLeft: w.fromLeft != count.Turned}
	w.used, w.ring = 0, len(c.Rows) == 1
	only := true // nothing but chains: they are worked into one by one
	for s := range count.All() {
		only = only && s.ID == "ch" && !s.Turning
	}
	for s := range count.All() {
		if only {
			for range s.Chains {
				row.Cells = append(row.Cells, w.cell(fabric.Stitch{ID: "ch", Chains: 1, From: -1, To: -1}))
			}
			continue
		}
		cell := w.cell(s)
		w.ring = w.ring && cell.From < 0
		if s.Turning && len(c.Rows) == 1 && s.From == 0 && len(row.Cells) == 0 {
			w.stand(c, &cell)
		}
		row.Cells = append(row.Cells, cell)
	}
	if len(row.Cells) == 0 {
		return
	}
	w.below, w.fromLeft = len(row.Cells), row.FromLeft
	if w.used > 0 {
		for i := range row.Cells {
			if from := row.Cells[i].From; from >= 0 {
				row.Cells[i].From, row.Cells[i].To = max(0, from-w.used), max(0, row.Cells[i].To-w.used)
			}
		}
	}
	c.Rows = append(c.Rows, row)
}

// stand takes the last chains of a foundation, which stand up as the turning
// chain of its first row, out of the foundation.
func (w *worker) stand(c *Chart, turning *Cell) {
	foundation := &c.Rows[0]
	n := turning.Chains
	if n == 0 || n >= len(foundation.Cells) {
		return
	}
	for _, f := range foundation.Cells {
		if f.Chains != 1 {
			return
		}
	}
	foundation.Cells = foundation.Cells[n:]
	w.used, w.below = n, len(foundation.Cells)
	turning.From, turning.To = -1, -1
}

// cell is one stitch of a chart.
func (w *worker) cell(s fabric.Stitch) Cell {
	c := Cell{From: s.From, To: s.To, Turning: s.Turning && s.ID == "ch", Chains: s.Chains, Name: string(s.ID), Height: 1}
	if c.From < 0 || c.To >= w.below+w.used || c.To < c.From {
		c.From, c.To = -1, -1
	}
	entry, known := stitch.Lookup(s.ID)
	if !known {
		return c
	}
	c.Symbol, c.Height = entry.Symbol, entry.Height
	words := entry.In(w.words)
	c.Name = words.Name
	if short := words.Short(); short != words.Name {
		c.Name = short + ": " + words.Name
	}
	switch s.Loop {
	case notation.FrontLoop:
		c.Symbol.Arc, c.Name = stitch.Front, c.Name+", front loop only"
	case notation.BackLoop:
		c.Symbol.Arc, c.Name = stitch.Back, c.Name+", back loop only"
	}
	return c
}

// label is the number of a row, or "ch" for a foundation.
func label(r fabric.Row) string {
	switch {
	case r.Number > 0:
		return strconv.Itoa(r.Number)
	case r.Kind == notation.Loose:
		return "ch"
	}
	return r.Label
}
