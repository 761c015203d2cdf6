package fabric

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// reading is how the things are taken that a text may leave open. The zero
// reading is the habit of the trade.
type reading struct {
	flips  [families]bool // by stitch: the turning chain counts where by habit it does not, or the reverse
	mode   mode           // what a stated count of stitches counts
	chains bool           // chains between stitches count as stitches to work into
	slips  bool           // slip stitches in a row are no places to work into
}

// mode is what a text counts as stitches.
type mode uint8

const (
	modePlain  mode = iota // stitches, with a turning chain that counts
	modeFills              // and the chains that stand for skipped stitches
	modeChains             // and all chains
	modeSpaces             // and each space as one
	modeBare               // stitches, without the turning chain
)

// families of stitches that have a turning-chain habit of their own: sc, hdc,
// dc, tr, taller ones.
const families = 5

func family(e *entry) int {
	switch e.base {
	case single, slip:
		return 0
	case "hdc":
		return 1
	case "dc":
		return 2
	case "tr":
		return 3
	}
	return 4
}

var familyNames = [families]stitch.ID{single, "hdc", "dc", "tr", "dtr"}

// guess is a turning chain that was taken by habit.
type guess struct {
	family, chains int
	counts         bool
}

// keepGuess notes how a turning chain was taken, once for each kind.
func (w *worker) keepGuess(g guess) {
	if g.chains == 0 {
		return
	}
	for _, had := range w.guesses {
		if had == g {
			return
		}
	}
	w.guesses = append(w.guesses, g)
}

// bestReading finds the reading in which most stated counts hold. The habit of
// the trade stands unless another reading clearly does better.
func (w *worker) bestReading(sizes int) reading {
	best, changes := reading{}, 0
	claims, faults := w.try(best, sizes, endless)
	start := claims
	for range 3 {
		better, least, other := best, claims, faults
		for _, r := range w.variants(best) {
			c, f := w.try(r, sizes, least+other)
			if c < least && f <= other || c == 0 && least == 0 && f == 0 && other > 0 {
				better, least, other = r, c, f
			}
		}
		if better == best {
			break
		}
		best, claims, faults = better, least, other
		changes++
	}
	only := reading{mode: best.mode}
	switch {
	case (start == 1 || w.countless) && best.flips[family(w.entry(single))]:
		return reading{} // one count, or none, is no reason to let single crochet turn with a stitch
	case claims == 0 && (start >= changes || faults == 0), claims <= start-2 && claims*2 <= start:
		return best
	case best == only && best.mode != modeBare && claims < start:
		return best // chains are counted: no slip of the pen is as long as they are
	}
	return reading{}
}

// try works the text in a reading and counts the stated counts that do not
// hold, and the other faults. It gives up where there are more than most.
func (w *worker) try(r reading, sizes, most int) (claims, faults int) {
	w.reads = r
	done := w.search(func() {
		for size := range min(sizes, 2) {
			w.size = size
			hunt := w.hunt
			w.hunt = 0 // no search within the search
			p := w.pass(false, most)
			w.hunt = hunt
			claims += p.wrong
			faults += p.bad - p.wrong
			if w.fuel <= 0 {
				faults = endless
			}
		}
	})
	if !done {
		return endless, endless
	}
	return claims, faults
}

// variants are the readings that differ from one in a single thing that the
// text leaves open.
func (w *worker) variants(r reading) []reading {
	var all []reading
	change := func(do func(*reading)) {
		v := r
		do(&v)
		all = append(all, v)
	}
	open := [families]bool{}
	for _, g := range w.guesses {
		open[g.family] = true
	}
	for f := range families {
		if open[f] {
			change(func(v *reading) { v.flips[f] = !v.flips[f] })
		}
	}
	for m := modePlain; m <= modeBare; m++ {
		if m != r.mode && (w.chains || m == modePlain || m == modeBare) {
			change(func(v *reading) { v.mode = m })
		}
	}
	if w.chains {
		change(func(v *reading) { v.chains = !v.chains })
	}
	if w.slips {
		change(func(v *reading) { v.slips = !v.slips })
	}
	return all
}

// tellReading lists what the reading took for granted.
func (w *worker) tellReading() {
	for _, g := range w.guesses {
		how := map[bool]string{true: "as a stitch", false: "not as a stitch"}[g.counts]
		why := "the trade's habit for " + w.word(familyNames[g.family])
		if w.reads.flips[g.family] {
			why = "because the stated counts hold that way"
			if w.countless {
				why = "because the rows come out even that way"
			}
		}
		w.assume(fmt.Sprintf("ch %d before %s is counted %s: %s", g.chains, w.word(familyNames[g.family]), how, why), notation.Pos{}, "")
	}
	switch w.reads.mode {
	case modeFills:
		w.assume("stated counts include the chains that stand for skipped stitches", notation.Pos{}, "")
	case modeChains:
		w.assume("stated counts include chains", notation.Pos{}, "")
	case modeSpaces:
		w.assume("stated counts include each chain space as one", notation.Pos{}, "")
	case modeBare:
		w.assume("stated counts leave out the turning chain", notation.Pos{}, "")
	}
	if w.reads.chains {
		w.assume("chains between stitches are worked as stitches in the next row", notation.Pos{}, "")
	}
	if w.reads.slips {
		w.assume("slip stitches within a row are not worked into", notation.Pos{}, "")
	}
}
