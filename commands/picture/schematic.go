package picture

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Schematic is the pieces of a garment as flat shapes with their measurements,
// all in one scale.
type Schematic struct {
	Title  string
	Pieces []Piece
	// Legend explains letters that stand on the drawing as labels; see
	// Lettered. It may be empty.
	Legend []Entry
	Notes  []string // lines under the pieces
	Paper  bool     // it is printed, not shown on a screen
}

// Entry is a line of a legend.
type Entry struct{ Letter, Text string }

// Piece is one flat piece. Its points are millimetres of the real thing; X
// runs to the right and Y up, the way rows grow.
type Piece struct {
	Name       string
	Outline    []Point // at least three points, in order, not closed
	Areas      []Area
	Folds      [][2]Point // lines within it: a fold, the level of the armholes
	Dimensions []Dimension
	Rows       Direction // which way the rows grow
	Notes      []string  // "make 2"; under the name
}

// Area is a part of a piece in another stitch.
type Area struct {
	Outline []Point
	Stitch  string    // "ribbing"; the key under the pieces names it
	Ribs    Direction // which way its ribs run; none: plain
}

// Direction is where something grows or runs.
type Direction uint8

// The directions.
const (
	NoDirection Direction = iota
	Up
	Down
	Leftward
	Rightward
)

// Dimension is a measured distance on a piece, drawn outside its outline.
type Dimension struct {
	From, To Point
	Label    string // "53 cm · 74 sts"; it may be broken at the dot
	Name     string // "width at the hem", for the legend and for the description
	Side     Side
}

// Side says where a dimension is drawn.
type Side uint8

// The sides. A dimension at the top or the bottom shows its extent from left
// to right, one on the left or on the right its extent upwards, and one along
// its line the true distance.
const (
	AnySide Side = iota // the nearest; along, if it is neither level nor upright
	Top
	Bottom
	Left
	Right
	Along
)

// Limits of a schematic.
const (
	mostPieces     = 24
	mostDimensions = 40     // of a piece
	mostPoints     = 2000   // of an outline
	farthest       = 20_000 // millimetres: 20 metres
	widestLabel    = 34.0   // a label wider than this on the sheet becomes a letter
	tallestPieces  = 165.0  // of the sheet, if that can be
	gapPieces      = 5.0
)

// Draw arranges the pieces on a sheet, as large as its width and the labels
// allow. Labels too long for it are replaced by letters with a legend. It
// fails on a piece without area, with points that are not real lengths, or
// with more dimensions than can be told apart.
func (s Schematic) Draw() (*Drawing, error) {
	if len(s.Pieces) == 0 || len(s.Pieces) > mostPieces {
		return nil, fmt.Errorf("draw schematic: %d pieces; from 1 to %d can be drawn", len(s.Pieces), mostPieces)
	}
	for _, p := range s.Pieces {
		if err := p.check(); err != nil {
			return nil, fmt.Errorf("draw schematic: piece %q: %w", p.Name, err)
		}
	}
	description := s.describe()
	if len(s.Legend) == 0 && s.crowded() {
		s = s.Lettered()
	}
	sh := newSheet(s.Title, description)
	rows, fit := s.arrange()
	if !fit && len(s.Legend) == 0 {
		s = s.Lettered()
		rows, fit = s.arrange()
	}
	if !fit {
		return nil, errors.New("draw schematic: it has more dimensions than a sheet has room for")
	}
	for _, row := range rows {
		row.place(sh)
	}
	s.key(sh)
	for _, e := range s.Legend {
		sh.entry(e)
	}
	for _, n := range s.Notes {
		sh.words(n, smallSize, false, Ink)
	}
	surface := "screen"
	if s.Paper {
		surface = "paper"
	}
	sh.words("All pieces in one scale. Measure the work, not the "+surface+".", smallSize, false, Pencil)
	return sh.finish(), nil
}

// Lettered returns the schematic with a letter in place of each label, and
// the names and labels in its legend: for a run of sizes. Equal names and
// labels share a letter.
func (s Schematic) Lettered() Schematic {
	letters := map[Entry]string{}
	out := s
	out.Legend = nil
	out.Pieces = make([]Piece, len(s.Pieces))
	for i, p := range s.Pieces {
		dimensions := make([]Dimension, len(p.Dimensions))
		for j, d := range p.Dimensions {
			key := Entry{d.Name, d.Label}
			if letters[key] == "" {
				letters[key] = letter(len(letters))
				text := d.Label
				if d.Name != "" {
					text = d.Name + ": " + d.Label
				}
				out.Legend = append(out.Legend, Entry{letters[key], text})
			}
			d.Label = letters[key]
			dimensions[j] = d
		}
		p.Dimensions = dimensions
		out.Pieces[i] = p
	}
	return out
}

// letter is A to Z, then A2 to Z2 and so on.
func letter(n int) string {
	l := string(rune('A' + n%26))
	if n >= 26 {
		l += fmt.Sprint(1 + n/26)
	}
	return l
}

func (s Schematic) crowded() bool {
	for _, p := range s.Pieces {
		for _, d := range p.Dimensions {
			if narrowest(d.Label) > widestLabel {
				return true
			}
		}
	}
	return false
}

func (s Schematic) describe() string {
	parts := make([]string, 0, len(s.Pieces))
	for _, p := range s.Pieces {
		labels := make([]string, 0, len(p.Dimensions))
		for _, d := range p.Dimensions {
			labels = append(labels, strings.TrimSpace(d.Name+" "+d.Label))
		}
		parts = append(parts, p.Name+": "+strings.Join(labels, "; ")+".")
	}
	return strings.Join(parts, " ")
}

func (p Piece) check() error {
	if len(p.Outline) < 3 || len(p.Outline) > mostPoints {
		return fmt.Errorf("an outline of %d points", len(p.Outline))
	}
	if len(p.Dimensions) > mostDimensions {
		return fmt.Errorf("%d dimensions are too many", len(p.Dimensions))
	}
	points := append([]Point{}, p.Outline...)
	for _, a := range p.Areas {
		if len(a.Outline) < 3 {
			return fmt.Errorf("an area of %d points", len(a.Outline))
		}
		points = append(points, a.Outline...)
	}
	for _, f := range p.Folds {
		points = append(points, f[:]...)
	}
	for _, d := range p.Dimensions {
		points = append(points, d.From, d.To)
		if d.From == d.To {
			return fmt.Errorf("dimension %q has no length", d.Label)
		}
	}
	for _, q := range points {
		if !(math.Abs(q.X) <= farthest && math.Abs(q.Y) <= farthest) {
			return fmt.Errorf("a point at %v, %v mm", q.X, q.Y)
		}
	}
	if b := bounds(p.Outline); b.width() < 1 || b.height() < 1 {
		return fmt.Errorf("it is %v by %v mm", b.width(), b.height())
	}
	return nil
}
