package regauge

import (
	"errors"
	"fmt"

	"countwright/calc/fabric"
	"countwright/calc/notation"
)

// pieces makes each piece anew and returns the whole document. A piece that
// does not come out stands as it was.
func (m *maker) pieces() (*Remade, error) {
	plans := m.plans()
	if err := m.solve(plans); err != nil {
		return nil, err
	}
	out := &Remade{Doc: m.document()}
	out.Doc.Parts = nil
	for _, p := range plans {
		if len(p.strand.rows) == 0 {
			out.Doc.Parts = append(out.Doc.Parts, *p.part)
			continue
		}
		part := *p.part
		if p.left == nil && p.standsWith() {
			p.leave(m, "", "it is worked along the rows of "+p.along.name()+", which stays as it is")
		}
		if p.left == nil {
			if made, err := m.piece(p); err != nil {
				var cannot *cannotError
				if !errors.As(err, &cannot) {
					return nil, err
				}
				p.leave(m, cannot.rows, cannot.why)
			} else {
				part = made
				out.Pieces = append(out.Pieces, p.made(len(out.Doc.Parts)))
			}
		}
		out.Doc.Parts = append(out.Doc.Parts, part)
		if p.left != nil {
			out.Left = append(out.Left, *p.left)
		}
	}
	if len(out.Pieces) == 0 {
		return nil, &NothingError{out.Left}
	}
	return out, nil
}

// document is the pattern's document without its parts.
func (m *maker) document() *notation.Document {
	return &notation.Document{Terms: m.doc.Terms, SizeCount: 1, Definitions: m.doc.Definitions, Multiples: m.doc.Multiples}
}

// piece makes one piece and works it alone, so that one that does not come out
// keeps no other back.
func (m *maker) piece(p *plan) (notation.Part, error) {
	rows, err := m.rows(p)
	if err != nil {
		return notation.Part{}, err
	}
	part := m.lines(p, rows)
	doc := m.document()
	doc.Parts = []notation.Part{part}
	if p.along != nil {
		doc.Parts = []notation.Part{p.along.now, part}
	}
	if where, wrong := m.compare(doc, len(doc.Parts)-1, rows); wrong != "" {
		return part, &cannotError{where, wrong}
	}
	p.now = part
	return part, nil
}

// compare works a document and holds a piece of it to the rows it was written
// from.
func (m *maker) compare(doc *notation.Document, piece int, rows []made) (where, wrong string) {
	res := fabric.Work(doc, fabric.Options{})
	for _, f := range res.Findings {
		if f.Piece == piece || f.Piece < 0 {
			return f.Label, "made anew it would not hold: " + f.Message
		}
	}
	at := 0
	for i := range res.Pieces[piece].Rows {
		r := &res.Pieces[piece].Rows[i]
		if c := r.PerSize[0]; c != nil && c.Main() != "" && r.Number > 0 {
			for at < len(rows) && rows[at].n == 0 {
				at++
			}
			switch {
			case at == len(rows):
				return r.Label, "more rows are written than were made"
			case rows[at].n != r.Number || rows[at].count != c.Stitches:
				return r.Label, fmt.Sprintf("made anew it comes to %d stitches, where %d were planned", c.Stitches, rows[at].count)
			}
			at++
		}
	}
	for ; at < len(rows); at++ {
		if rows[at].n > 0 {
			return fmt.Sprintf("row %d", rows[at].n), "it is planned but not written"
		}
	}
	return "", ""
}

// made is what became of a piece, for those who ask.
func (p *plan) made(part int) Piece {
	out := Piece{Part: part, Name: p.part.Name, Make: max(1, p.part.Make)}
	for i := range p.blocks {
		b := &p.blocks[i]
		out.Sections = append(out.Sections, Section{Name: b.name, Stitch: b.stitch, Round: b.round(), Was: Extent{b.start, b.end, len(b.rows)}, Now: b.now})
	}
	return out
}

// prove prints the pattern, reads it again and works it again.
func (m *maker) prove(out *Remade) (*Remade, error) {
	out.Text = notation.Print(out.Doc, notation.PrintOptions{Terms: m.Terms, Style: m.Style})
	out.Doc = notation.Parse(out.Text, notation.Options{Terms: m.Terms})
	out.Result = fabric.Work(out.Doc, fabric.Options{})
	if !out.Result.OK() {
		f := out.Result.Findings[0]
		return nil, &ProofError{f.Label, f.Message, f.Piece}
	}
	for i := range out.Pieces {
		if err := out.sections(&out.Pieces[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// sections holds a piece of the printed pattern to its planned counts.
func (out *Remade) sections(p *Piece) error {
	if p.Part >= len(out.Result.Pieces) || out.Result.Pieces[p.Part].Name != p.Name {
		return &ProofError{p.Name, "the piece is missing in print", p.Part}
	}
	var rows []*fabric.Count
	piece := &out.Result.Pieces[p.Part]
	for k := range piece.Rows {
		if c := piece.Rows[k].PerSize[0]; c != nil && c.Main() != "" {
			rows = append(rows, c)
		}
	}
	at := 0
	for _, s := range p.Sections {
		at += s.Now.Rows
		if at > len(rows) {
			return &ProofError{p.Name, "rows are missing in print", p.Part}
		}
		if got := rows[at-1].Stitches; got != s.Now.End {
			return &ProofError{p.Name, fmt.Sprintf("%s ends on %d stitches in print, planned were %d", s.Name, got, s.Now.End), p.Part}
		}
	}
	return nil
}
