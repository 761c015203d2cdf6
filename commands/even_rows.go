package commands

import (
	"slices"

	"countwright/calc/grade"
	"countwright/calc/notation"
	"countwright/calc/spacing"
	"countwright/calc/stitch"
)

// shapedRow writes a row with its shaping as the trade does, in the member's
// terms.
func shapedRow(r Request, p spacing.Plan, s chosenStitch) string {
	row := &notation.Row{Steps: grade.Shaping(p, s.name()), Claim: stitchClaim(p.Result)}
	return notation.PrintRow(row, notation.PrintOptions{Terms: r.Terms()})
}

func stitchClaim(n int) *notation.Claim {
	return &notation.Claim{Entries: []notation.ClaimEntry{{Count: notation.N(n), What: "st"}}}
}

// inNext works each stitches into each of the next places.
func inNext(name stitch.ID, each, places int) notation.Step {
	return &notation.Stitches{Name: name, Each: notation.N(each), Into: notation.Place{Choice: notation.Next, Many: notation.N(places)}}
}

// holeRows writes the row that opens buttonholes and the one that closes them.
func holeRows(r Request, h spacing.Holes, s chosenStitch) (opening, closing string) {
	var open, shut []notation.Step // shut is worked back, so from its end
	plain := func(n int) {
		if n > 0 {
			open = append(open, inNext(s.name(), 1, n))
			shut = append(shut, inNext(s.name(), 1, n))
		}
	}
	at := 1
	for _, hole := range h.Holes {
		plain(hole.First - at)
		open = append(open, &notation.Chain{Many: notation.N(hole.Width)}, &notation.Skip{Many: notation.N(hole.Width)})
		shut = append(shut, &notation.Stitches{
			Name: s.name(), Each: notation.N(hole.Width),
			Into: notation.Place{Choice: notation.Next, Many: notation.N(1), What: notation.ChainSpace, Size: hole.Width},
		})
		at = hole.First + hole.Width
	}
	plain(h.Stitches - at + 1)
	slices.Reverse(shut)
	print := notation.PrintOptions{Terms: r.Terms()}
	return notation.PrintRow(&notation.Row{Steps: open}, print),
		notation.PrintRow(&notation.Row{Steps: shut, Claim: stitchClaim(h.Stitches)}, print)
}
