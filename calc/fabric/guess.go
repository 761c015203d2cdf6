package fabric

import (
	"fmt"

	"countwright/calc/notation"
)

// guessTo is the longest row below that is tried for a row taken out of its
// pattern.
const guessTo = 400

// guessed is the row below for a first row that has none in the text: as many
// stitches as the caller says, else as many as the row fits on.
func (p *pass) guessed(i int) state {
	j := &p.jobs[i]
	main, _ := p.w.prevailing(j.row.Steps, "")
	on := func(n int) state {
		return state{base: seq{leaf(cell{kind: stitchCell, id: main}, n)}, rows: 1, id: main, guess: true, raw: n}
	}
	if n := p.w.opt.Start; n > 0 {
		return on(min(n, maxStitches))
	}
	said, stated := claimed(j.claim, p.w.size)
	fits := 0
	for n := 1; n <= guessTo && p.w.fuel > maxFuel/2; n++ {
		st := on(n)
		if o := p.w.work(&st, j.row); !o.holds(p.w, j.claim) || !o.made {
			continue
		}
		if fits > 0 && !stated {
			fits = -1 // any number fits
			break
		}
		fits = n
		if stated {
			break
		}
	}
	if fits > 0 {
		p.w.assume(fmt.Sprintf("the row before is not in the text: %s are taken, which %s fits", plural(fits, "stitch"), j.label), j.pos, j.label)
		return on(fits)
	}
	if hasStitches(j.row.Steps) {
		p.w.find(KindRows, j.label+" begins on a row that is not in the text: say how many stitches that row has", j.pos, j.label)
		p.bad++
	}
	p.lost = true
	return on(max(1, said))
}

func asRow(l notation.Line) *notation.Row {
	r, _ := l.(*notation.Row)
	return r
}
