package along

import (
	"slices"
	"strings"

	"countwright/calc/pace"
)

// about says what is worked in the steps from one to another.
func (p *proposal) about(first, last int) []string {
	piece, row := p.begin(first)
	end := p.steps[last]
	found := map[string]bool{}
	var stitches []string
	for ; piece <= end.piece; piece, row = piece+1, 0 {
		to := len(p.pieces[piece].Rows)
		if piece == end.piece {
			to = end.row
		}
		for ; row < to; row++ {
			worked(p.pieces[piece], row, found)
			for _, s := range p.pieces[piece].Uses(row) {
				if !slices.Contains(stitches, s) {
					stitches = append(stitches, s)
				}
			}
		}
	}
	var out []string
	for _, word := range []string{AboutChain, AboutRing, AboutEdge, AboutRow, AboutRound, AboutIncrease, AboutDecrease, AboutButtonhole, AboutOpening} {
		if found[word] {
			out = append(out, word)
		}
	}
	return append(out, stitches...)
}

// manyHoles in one row are buttonholes: a thumb or two underarms leave fewer.
const manyHoles = 3

// worked notes what a row is about.
func worked(p pace.Piece, row int, found map[string]bool) {
	r, text := p.Rows[row], strings.ToLower(p.Text(row))
	filled := row > 0 && p.Rows[row-1].Holes > 0 // what the holes left out comes back
	switch {
	case r.Holes >= manyHoles || r.Holes > 0 && strings.Contains(strings.ToLower(p.Name), "button"):
		found[AboutButtonhole] = true
	case r.Holes > 0:
		found[AboutOpening] = true
	}
	found[AboutIncrease] = found[AboutIncrease] || r.Shape > 0 && !filled
	found[AboutDecrease] = found[AboutDecrease] || r.Shape < 0 && r.Holes == 0
	found[AboutEdge] = found[AboutEdge] || strings.Contains(text, "row end") || strings.Contains(text, "along the")
	round := strings.HasPrefix(r.Label, "Rnd") || strings.HasPrefix(r.Label, "Round")
	found[AboutRound] = found[AboutRound] || round
	found[AboutRow] = found[AboutRow] || !round
	for _, said := range p.Said(row) {
		said = strings.ToLower(said)
		found[AboutChain] = found[AboutChain] || strings.HasPrefix(said, "ch ")
		found[AboutRing] = found[AboutRing] || strings.Contains(said, "ring")
	}
	found[AboutRing] = found[AboutRing] || row == 0 && strings.Contains(text, "ring")
}
