package fabric

import (
	"countwright/calc/gauge"
	"countwright/calc/stitch"
)

// Gauge is the size of a stitch: the gauge of a swatch, and the stitch that
// the swatch was made of. Rows of other stitches are taken to be as much
// taller as the stitch is.
type Gauge struct {
	gauge.Gauge
	Stitch stitch.ID // of the swatch; empty: the stitch that most of the text is
}

// rowHeight is the height in millimetres of a row whose stitch is so many
// single crochets tall.
func (g *Gauge) rowHeight(tall float64, w *worker) float64 {
	of := w.swatchHeight()
	if tall <= 0 {
		tall = of
	}
	return g.RowHeight() * tall / of
}

// swatchHeight is the height of the swatch's stitch, single crochet = 1.
func (w *worker) swatchHeight() float64 {
	if w.tall > 0 {
		return w.tall
	}
	id := w.opt.Gauge.Stitch
	if id == "" {
		id = w.commonest()
	}
	w.tall = max(0.5, w.entry(id).height)
	return w.tall
}

// commonest is the stitch that most rows of the text are made of.
func (w *worker) commonest() stitch.ID {
	votes := map[stitch.ID]int{}
	for _, p := range w.doc.Parts {
		for _, l := range p.Lines {
			if r := asRow(l); r != nil && hasStitches(r.Steps) {
				id, _ := w.prevailing(r.Steps, "")
				votes[id]++
			}
		}
	}
	best := single
	for id, n := range votes {
		if n > votes[best] || n == votes[best] && id < best {
			best = id
		}
	}
	return best
}
