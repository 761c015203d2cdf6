package fabric

import (
	"cmp"
	"slices"
	"strings"

	"countwright/calc/notation"
)

// assemble brings the sizes together into pieces, rows and findings.
func (res *Result) assemble(w *worker, passes []*pass) {
	at := make([][]address, len(passes))
	for p := range w.doc.Parts {
		res.Pieces = append(res.Pieces, Piece{Name: w.doc.Parts[p].Name, Make: max(1, w.doc.Parts[p].Make)})
	}
	for size, p := range passes {
		res.place(size, p)
	}
	for size, p := range passes {
		at[size] = p.rowsOf(res)
	}
	res.findings(w, passes, at)
	for p := range res.Pieces {
		if w.opt.Gauge == nil {
			break
		}
		for size := range passes {
			res.Pieces[p].Outlines = append(res.Pieces[p].Outlines, w.outline(res.Pieces[p].Rows, size))
		}
	}
	w.tellReading()
	for _, a := range w.doc.Assumptions {
		res.Assumptions = append(res.Assumptions, Assumption{Message: a.Message, Pos: a.Pos()})
	}
	res.Assumptions = append(res.Assumptions, w.told...)
}

// address is where a job's row stands in the result.
type address struct{ piece, row int }

// place enters the rows of one size. Rows that several sizes work share one
// Row: the same line of the text, the same time that it is worked.
func (res *Result) place(size int, p *pass) {
	next := make([]int, len(res.Pieces))
	for i := range p.jobs {
		j := &p.jobs[i]
		piece := &res.Pieces[j.piece]
		o := p.done[i]
		if o == nil || o.empty && !o.unread {
			continue
		}
		k := next[j.piece]
		for k < len(piece.Rows) && (piece.Rows[k].source < j.line || piece.Rows[k].source == j.line && piece.Rows[k].k < j.k) {
			k++
		}
		if k == len(piece.Rows) || piece.Rows[k].source != j.line || piece.Rows[k].k != j.k {
			piece.Rows = slices.Insert(piece.Rows, k, p.newRow(j, len(res.Sizes)))
		}
		next[j.piece] = k + 1
		piece.Rows[k].PerSize[size] = countFor(j, o, size)
	}
}

// rowsOf finds where each job's row stands once all are entered.
func (p *pass) rowsOf(res *Result) []address {
	at := make([]address, len(p.jobs))
	next := make([]int, len(res.Pieces))
	for i := range p.jobs {
		j := &p.jobs[i]
		rows := res.Pieces[j.piece].Rows
		at[i] = address{j.piece, -1}
		k := next[j.piece]
		for k < len(rows) && (rows[k].source != j.line || rows[k].k != j.k) && rows[k].source <= j.line {
			k++
		}
		if k < len(rows) && rows[k].source == j.line && rows[k].k == j.k {
			at[i].row = k
			next[j.piece] = k
		}
	}
	return at
}

func (p *pass) newRow(j *job, sizes int) Row {
	return Row{Label: j.label, Number: j.number, Heading: j.heading, Kind: j.row.Label.Kind, Side: sideOf(j),
		Line: j.pos.Line, Pos: j.pos, PerSize: make([]*Count, sizes), OK: true, source: j.line, k: j.k, fresh: j.fresh}
}

// sideOf is the side that faces the maker: as said, else the right side in odd
// rows and in rounds.
func sideOf(j *job) notation.Side {
	switch {
	case j.row.Label.Side != notation.SideUnsaid && !j.again:
		return j.row.Label.Side
	case j.row.Label.Kind == notation.Round || j.number%2 == 1:
		return notation.RightSide
	case j.number == 0:
		return notation.SideUnsaid
	}
	return notation.WrongSide
}

// countFor is the Count of a job in a size, with its claim. Jobs that came to the same
// share it.
func countFor(j *job, o *outcome, size int) *Count {
	said, ok := claimed(j.claim, size)
	if !ok || o.count.Claimed && o.count.Claim == said {
		return o.count
	}
	c := *o.count
	c.Claim, c.Claimed = said, true
	return &c
}

// findings gathers what does not hold. What is the same in every size is told
// once.
func (res *Result) findings(w *worker, passes []*pass, at [][]address) {
	for _, p := range w.doc.Problems {
		res.Findings = append(res.Findings, unread(p))
	}
	type key struct {
		pos  notation.Pos
		kind string
	}
	sizes := map[key][]int{}
	first := map[key]int{}
	for size, p := range passes {
		for _, f := range p.found {
			k := key{f.Pos, f.Kind}
			if f.Row >= 0 {
				s := at[size][f.Row]
				f.Piece, f.Row = s.piece, s.row
				if s.row >= 0 {
					res.Pieces[s.piece].Rows[s.row].OK = false
				}
			}
			if _, had := first[k]; !had {
				first[k] = len(res.Findings)
				res.Findings = append(res.Findings, f)
			}
			sizes[k] = append(sizes[k], size)
		}
	}
	for k, i := range first {
		res.Findings[i].inSizes(sizes[k], res.Sizes)
	}
	slices.SortStableFunc(res.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Column, b.Pos.Column))
	})
}

// inSizes says in which sizes a finding holds, where it is not in all.
func (f *Finding) inSizes(sizes []int, names []string) {
	if len(sizes) == len(names) {
		f.Size = -1
		if len(names) > 1 {
			f.Message = strings.TrimSuffix(f.Message, ".") + " (in every size; figures of the first)"
		}
		return
	}
	f.Size = sizes[0]
	var list []string
	for _, s := range sizes {
		name := names[s]
		if name == "" {
			name = notation.Ordinal(s + 1)
		}
		list = append(list, name)
	}
	f.Message += " (size " + strings.Join(list, ", ") + ")"
}

func unread(p notation.Problem) Finding {
	f := Finding{Kind: KindUnread, Message: p.Message, Pos: p.Pos(), Size: -1, Row: -1, Piece: -1}
	if p.Text != "" && !strings.Contains(p.Message, p.Text) {
		f.Message = "“" + p.Text + "”: " + p.Message
	}
	if p.Near != "" {
		f.Fix = p.Near
	}
	return f
}

// exhausted tells that the rest of a text is not worked.
func (p *pass) exhausted(i int) {
	if j := &p.jobs[i]; !p.limited() {
		p.w.find(KindLimit, "this is more work than is done in one go: "+j.label+" and what follows are not worked", j.pos, j.label)
	}
}

// limited says whether a limit has been told of already.
func (p *pass) limited() bool {
	for _, list := range [][]Finding{p.found, p.w.findings} {
		for _, f := range list {
			if f.Kind == KindLimit {
				return true
			}
		}
	}
	return false
}
