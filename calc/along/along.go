// Package along plans a make-along: the milestones of a pattern, when a
// relaxed maker reaches them, and what each member must have done, in her own
// rows, to have reached one.
package along

import "countwright/calc/schedule"

// Milestone is a place in the work that a group meets at.
type Milestone struct {
	Title string        `json:"title"` // "The back, up to the armholes"
	Date  schedule.Date `json:"date"`  // when the group meets there
	// Goals are all that is done by then, with what the milestones before it
	// ask: so a milestone can be taken out, and the others stay as they are.
	// None: rows can't tell, members say so themselves.
	Goals []Goal `json:"goals,omitempty"`
	// Stitches are worked from the milestone before, in the size that it was
	// proposed for; 0: not known.
	Stitches int      `json:"stitches,omitempty"`
	About    []string `json:"about,omitempty"` // what is worked in it: the About words, and stitches by US abbreviation
	Note     string   `json:"note,omitempty"`  // the host's own words
	Key      int      `json:"key,omitempty"`   // by which it is known wherever it stands; 0: none was given yet
}

// What a milestone is about.
const (
	AboutRound      = "round"      // worked in rounds
	AboutRow        = "row"        // worked back and forth
	AboutIncrease   = "increase"   //
	AboutDecrease   = "decrease"   //
	AboutButtonhole = "buttonhole" //
	AboutOpening    = "opening"    // chains over stitches left out, such as a thumb's
	AboutChain      = "chain"      // begins on a foundation chain
	AboutRing       = "ring"       // begins in a ring
	AboutEdge       = "edge"       // stitches are worked along an edge
	AboutSeam       = "seam"       // pieces are sewn together
	AboutEnds       = "ends"       // ends are woven in
)

// Goal is a part of the work in no size and no gauge: a place in a piece up to
// which all is done. Members with other counts have the same sections.
type Goal struct {
	Piece    string  `json:"piece"`              // a piece's title, as pace.Piece has it
	Section  int     `json:"section"`            // from 1; 0: the whole piece
	Within   float64 `json:"within,omitempty"`   // how much of the section, by stitches; 0: all of it
	Sections int     `json:"sections,omitempty"` // that the piece had where it was proposed
	Share    float64 `json:"share"`              // of the piece's stitches, for plans with other sections
}
