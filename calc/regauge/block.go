package regauge

import (
	"countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// block is consecutive rows that are made anew alike: of one stitch, even, or
// with the same shaping in each shaped row.
type block struct {
	name   string
	stitch stitch.ID
	rows   []row
	start  int // stitches below its first row; of that row where it begins on nothing
	end    int
	each   int   // stitches that a shaped row gains; 0: it is even
	shaped []int // the rows that shape, from 0
	edge   fabric.Edge

	lead, cycle int // even: rows that are worked once, then rows that take turns

	startAt, endAt, rowsAt, timesAt, restAt int // where its counts stand in the rounding; -1: nowhere
	now                                     Extent
}

// round says whether a block is worked in rounds.
func (b *block) round() bool { return b.rows[0].kind == notation.Round }

// grown says whether a block begins with its first row on nothing.
func (b *block) grown() bool { return b.rows[0].below == 0 }

// blocksOf divides a strand. The sections of the fabric are cut again where
// the shaping of a row differs from that of the shaped rows before it.
func blocksOf(s strand, piece *fabric.Piece) []block {
	var all []block
	at := 0
	for _, sec := range fabric.Sections(*piece, 0) {
		if at+sec.Rows > len(s.rows) {
			break
		}
		rows := s.rows[at : at+sec.Rows]
		at += sec.Rows
		for _, part := range cutByShaping(rows) {
			b := newBlock(part)
			b.name, b.stitch, b.edge = sec.Name, sec.Stitch, sec.Edge
			all = append(all, b)
		}
	}
	return drawnTogether(all)
}

// drawnTogether joins even blocks of one row or two that take turns, as the
// rows of a lace do.
func drawnTogether(all []block) []block {
	var out []block
	for i := 0; i < len(all); {
		n := 0
		var rows []row
		for i+n < len(all) && all[i+n].each == 0 && len(all[i+n].rows) <= 2 && !(n > 0 && all[i+n].grown()) && !leaves(&all[i+n].rows[0]) {
			rows = append(rows, all[i+n].rows...)
			n++
		}
		if n > 2 {
			b := newBlock(rows)
			if b.cycle > 0 {
				b.name, b.stitch, b.edge = all[i].name, all[i+n-1].stitch, fabric.NoEdge
				out = append(out, b)
				i += n
				continue
			}
		}
		out = append(out, all[i])
		i++
	}
	return out
}

// cutByShaping cuts rows before each shaped row that gains another number of
// stitches than the one before it, and around rows that leave stitches. A
// first row on nothing stands apart from shaping.
func cutByShaping(rows []row) [][]row {
	var all [][]row
	from, each := 0, 0
	for i := range rows {
		d := rows[i].delta()
		alone := leaves(&rows[i])
		if i == from+1 && rows[from].below == 0 && shapes(rows) {
			all = append(all, rows[from:i])
			from, each = i, 0
		}
		if i > from && (alone || d != 0 && each != 0 && d != each || i > 0 && leaves(&rows[i-1])) {
			all = append(all, rows[from:i])
			from, each = i, 0
		}
		if d != 0 {
			each = d
		}
	}
	return append(all, rows[from:])
}

func shapes(rows []row) bool {
	for i := range rows {
		if rows[i].delta() != 0 {
			return true
		}
	}
	return false
}

// leaves says whether a row goes only part of the way, or begins anew.
func leaves(r *row) bool {
	if r.count.Left > 0 {
		return true
	}
	for _, s := range r.of.Steps {
		switch s.(type) {
		case *notation.Attach, *notation.Leave:
			return true
		}
	}
	return false
}

func newBlock(rows []row) block {
	b := block{rows: rows, start: rows[0].below, end: rows[len(rows)-1].count.Stitches, startAt: -1, endAt: -1, rowsAt: -1, timesAt: -1, restAt: -1}
	if b.start == 0 {
		b.start = rows[0].count.Stitches
	}
	for i := range rows {
		if d := rows[i].delta(); d != 0 {
			b.each = d
			b.shaped = append(b.shaped, i)
		}
	}
	if b.each == 0 {
		b.lead, b.cycle = periods(rows)
	}
	return b
}

// longest is the longest repeat of rows that is looked for.
const longest = 16

// periods finds how rows take turns: some at the start that are worked once,
// then a number of rows worked over and over. Of all ways the one with the
// fewest rows to write is taken; a cycle of 0 means that there is none.
func periods(rows []row) (lead, cycle int) {
	best := len(rows) + 1
	for l := 0; l < len(rows) && l < longest; l++ {
		for c := 1; c <= longest && l+c <= len(rows) && l+c < best; c++ {
			if l+c < len(rows) || c == 1 {
				if turns(rows[l:], c) {
					best, lead, cycle = l+c, l, c
				}
			}
		}
	}
	return lead, cycle
}

func turns(rows []row, c int) bool {
	for i := c; i < len(rows); i++ {
		if rows[i].form != rows[i-c].form {
			return false
		}
	}
	return true
}

// why says what keeps a block from being made anew; empty: nothing.
func (b *block) why() (rows, clause string) {
	for i := range b.rows {
		if colour := changesColour(b.rows[i].of.Steps); colour {
			return b.rows[i].label(), "colours change within it, and a picture can't be stretched"
		}
	}
	if b.each == 0 && (b.cycle == 0 || b.lead > len(b.rows)/2 && b.lead > 3) {
		return span(b.rows), "each row differs from the others, so none can be added or left out"
	}
	return "", ""
}

// span names the rows from the first to the last.
func span(rows []row) string {
	first, last := rows[0].label(), rows[len(rows)-1].label()
	if len(rows) == 1 {
		return first
	}
	return first + " to " + last
}
