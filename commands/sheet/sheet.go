// Package sheet prints a pattern as a PDF to work from on paper: what it is
// made of, what its abbreviations mean, its rows with boxes to tick, its
// schematic, finishing and care. It is readable in black and white, its fonts
// are embedded, its text can be selected, and it is tagged for who listens to
// it. The same sheet and options give the same bytes.
package sheet

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"countwright/commands/picture"
	"countwright/commands/words"
)

// Sheet is what is printed, in the order of its fields. All but the title may
// be empty; what is empty leaves no trace. Texts are plain: no markup.
type Sheet struct {
	Title         string   // "Drop-Shoulder Cardigan"
	For           string   // whom it is made for: "chest 112 cm"
	Summary       string   // what it is, in a sentence or two
	Cautions      []string // what could hurt someone: on the first page, framed
	Schematic     Figure   // the pieces with their measurements
	Materials     []Fact
	Gauge         []Fact
	Finished      Table
	Sizes         Table    // the sizes there are; the maker's own is marked
	Terms         string   // "US"
	Abbreviations []Fact   // those that occur, with their meaning
	Notes         []string // read before beginning
	Pieces        []Piece
	Finishing     []string // in order, each with a box
	Fits          []string // which edges meet
	Care          []string
	Label         Figure // care symbols
	Credit        string // author and licence, in the footer
}

// Fact is a name and what it is.
type Fact struct{ Name, Text string }

// Figure is a drawing, and words that say what it says. A Figure without a
// drawing is none.
type Figure struct {
	Drawing *picture.Drawing
	Words   string
}

// Table has a head and rows of as many cells.
type Table struct {
	Head  []string
	Rows  [][]string
	Right []bool // columns set to the right (figures); nil: none
	Own   int    // the row that is marked as the maker's own, from 1; 0: none
	Note  string // under the table
}

// Piece is the written rows of one piece.
type Piece struct {
	Name  string
	Make  int // how many are made; each has boxes of its own
	Lines []Line
}

// Line is a line of a piece: work with a box for each row, the heading of a
// section, or a note.
type Line struct {
	Kind  Kind
	Label string // "Rows 3–12:", set in bold; may be empty
	Text  string
	First int // the number of the first row that it makes; 0: not numbered
	Rows  int // how many rows it makes; below 1 is one
}

// Kind is what a Line is.
type Kind uint8

// The kinds.
const (
	Work Kind = iota
	Heading
	Note
)

// Paper is a size of paper.
type Paper uint8

// The papers. Source: ISO 216 (210 × 297 mm), ANSI/ASME Y14.1 size A
// (8.5 × 11 in).
const (
	A4 Paper = iota
	Letter
)

// Options says how a sheet is printed.
type Options struct {
	Paper    Paper
	Made     time.Time     // the date of the document; the zero Time is 1 January 2000
	Language string        // of the texts, as in BCP 47; empty: "en"
	Words    words.Printer // says the headings
}

// Limits of a sheet, so that no text can make a document without end.
const (
	mostPages = 200
	mostLines = 20_000
)

// PDF prints a sheet. It fails on a sheet without a title, on one that would
// take more than 200 pages, and on an unknown paper.
func PDF(s Sheet, opt Options) ([]byte, error) {
	if strings.TrimSpace(s.Title) == "" {
		return nil, errors.New("print sheet: it has no title")
	}
	f, err := pageFrame(opt.Paper)
	if err != nil {
		return nil, fmt.Errorf("print sheet: %w", err)
	}
	f.words = opt.Words
	if opt.Made.IsZero() {
		opt.Made = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	if opt.Language == "" {
		opt.Language = "en"
	}
	pages, err := s.layOut(f)
	if err != nil {
		return nil, fmt.Errorf("print sheet: %w", err)
	}
	out, err := paint(s, f, pages, opt)
	if err != nil {
		return nil, fmt.Errorf("print sheet: %w", err)
	}
	return out, nil
}
