// Package along plans a make-along: the milestones of a pattern, when a
// relaxed maker reaches them, and what each member must have done, in her own
// rows, to have reached one.
package along

import "countwright/calc/schedule"

// Milestone is a place in the work that a group meets at.
type Milestone struct {
	Title string        `json:"title"`           // "The back, up to the armholes"
	Date  schedule.Date `json:"date"`            // when the group meets there
	Goals []Goal        `json:"goals,omitempty"` // what must be done; none: members say so themselves
	// Stitches are worked from the milestone before, in the size that it was
	// proposed for; 0: not known.
	Stitches int      `json:"stitches,omitempty"`
	About    []string `json:"about,omitempty"` // what is worked in it: "increase", "decrease", "buttonhole", "seam", "round", stitches by US abbreviation
	Note     string   `json:"note,omitempty"`  // the host's own words
}

// Goal is a part of the work in no size and no gauge: the section of a piece
// up to whose end all is done. Sections are runs of rows of the same stitch
// and shaping; a member with other counts has the same sections.
type Goal struct {
	Piece   string  `json:"piece"`   // a piece's title, as pace.Piece has it
	Section int     `json:"section"` // from 1; 0: the whole piece
	Share   float64 `json:"share"`   // of the piece's stitches, for plans with other sections
}

// Target is a goal in one member's rows.
type Target struct {
	Piece int `json:"piece"` // index into her plan's pieces
	Rows  int `json:"rows"`  // that must be done
}
