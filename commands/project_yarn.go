package commands

import (
	"math"

	"countwright/calc/yarn"
)

// ownUse is the part of the whole that must be worked between two weighings
// before they tell how much yarn a stitch takes.
const ownUse = 0.05

// yarnLeft is what is left of a project's yarn and what is still needed.
type yarnLeft struct {
	known bool    // it was weighed or counted once
	left  float64 // grams, now: what was weighed last, less what the rows since took
	used  float64 // grams, from the first weighing to now
	need  float64 // grams, for the rest; 0: not known
	doubt float64 // of the need, as a part
	own   bool    // reckoned from the member's own weighings
	rows  int     // rows still to work
}

// yarnLeft reckons the yarn from what was weighed and, between weighings, from
// the stitches worked.
func (w *work) yarnLeft() yarnLeft {
	var y yarnLeft
	y.rows = w.tally.AllRows - w.tally.Rows
	all, done := float64(w.tally.All), float64(w.tally.Stitches)
	perStitch := w.Pinned.Yarn.Grams / all
	y.doubt = w.Pinned.Yarn.Doubt
	first, last, firstAt, lastAt := 0., 0., 0., 0.
	for _, n := range w.Notes {
		if n.Kind != YarnNote {
			continue
		}
		at := float64(w.Pinned.Plan.Before(w.Moves, n.Moves))
		if !y.known || n.Grams > last { // more than there was: yarn was bought
			first, firstAt, y.known = n.Grams, at, true
		}
		last, lastAt = n.Grams, at
	}
	if y.known && lastAt-firstAt >= ownUse*all && first > last {
		perStitch, y.doubt, y.own = (first-last)/(lastAt-firstAt), 0.1, true
	}
	y.left = max(last-perStitch*(done-lastAt), 0)
	y.used = first - y.left
	y.need = perStitch * (all - done)
	return y
}

// yarnText says whether the yarn lasts; empty where nothing is known.
func (w *work) yarnText() string {
	y := w.yarnLeft()
	need := w.Say("about %.0f g still needed", y.need)
	if y.own {
		need = w.Say("%s, by your own weighing", need)
	}
	switch {
	case y.need == 0 && !y.known || y.rows == 0 && !y.known:
		return ""
	case !y.known:
		return w.Say("%s, give or take %.0f %%; say what you have with /project note left:300 g", need, 100*y.doubt)
	case y.rows == 0:
		return w.Say("about %.0f g left over", y.left)
	case y.need == 0:
		return w.Say("%.0f g when last weighed; weigh again after some rows, and I can tell whether it lasts", y.left)
	}
	text := w.Say("about %.0f g left, %s", y.left, need)
	e, err := yarn.Reach(y.left, y.need, y.doubt, y.rows)
	switch {
	case err != nil:
		return text
	case e.Verdict == yarn.Yes:
		return w.Say("%s: it lasts", text)
	case e.Verdict == yarn.Tight:
		text = w.Say("%s: it may be tight", text)
	default:
		text = w.Say("%s: about %.0f g too little", text, math.Ceil(y.need-y.left))
	}
	if e.StopAt > 0 {
		text = w.Say("%s; weigh again in %s", text, countedRows(e.StopAt))
	}
	if e.Verdict == yarn.No {
		text = w.Say("%s. More of the same dye lot is easiest to find now; another colour for the bands does it too", text)
	}
	return text
}
