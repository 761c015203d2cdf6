package picture

import (
	"fmt"
	"strconv"
	"strings"

	"countwright/commands/words"
)

// Board is how far a group is that works on one thing together: of each
// milestone, how many have come to it. It ranks nobody and says of nobody that
// she is not there.
type Board struct {
	words.Printer // the language of its own words; English if not said
	Title         string
	Stages        []Stage // in order
	// Counted is how many members the loops stand for; 0: no loops are drawn.
	Counted int
	Notes   []string // lines under the picture
}

// Stage is one milestone of a Board.
type Stage struct {
	Title   string
	Date    string // "10 January"
	Reached int    // of those counted
	Names   string // "Ada, Odile and 3 more"; empty: nobody is named
	Now     bool   // the one that the group works towards these days
}

// Limits and measures of a board.
const (
	mostStages  = 60
	mostInBand  = 30   // loops in a band; of a larger group each stands for several
	widestLoop  = 8.0  // millimetres
	bandHeight  = 5.6  // of a band
	bandFigure  = 11.0 // room for the figure after it
	dateGap     = 3.0
	linesTitle  = 2
	linesNames  = 2
	describable = 1000 // characters that a reader for the blind is given at once
)

// ahead stands in place of a 0.
const ahead words.Key = "still ahead"

// Draw shows a band for each milestone, with a loop for each member who has
// come to it. It fails on more members at a milestone than there are, and on
// more milestones than can be told apart.
func (b Board) Draw() (*Drawing, error) {
	if len(b.Stages) == 0 || len(b.Stages) > mostStages {
		return nil, fmt.Errorf("draw board: %d milestones; from 1 to %d can be drawn", len(b.Stages), mostStages)
	}
	for _, s := range b.Stages {
		if s.Reached < 0 || s.Reached > b.Counted {
			return nil, fmt.Errorf("draw board: %d of %d at %q", s.Reached, b.Counted, s.Title)
		}
	}
	sh := newSheet(b.Title, b.describe())
	for i, s := range b.Stages {
		b.stage(sh, i+1, s)
	}
	if key := b.key(); key != "" {
		sh.words(key, smallSize, false, Pencil)
	}
	for _, n := range b.Notes {
		sh.words(n, smallSize, false, Ink)
	}
	return sh.finish(), nil
}

// key explains the loops.
func (b Board) key() string {
	switch {
	case b.Counted == 0:
		return ""
	case b.Counted <= mostInBand:
		return b.Say("A loop for each who has come to it.")
	}
	return b.Say("Full bands are all %d.", b.Counted)
}

// stage draws one milestone.
func (b Board) stage(sh *sheet, number int, s Stage) {
	sh.y += 1.6
	date := Text{Text: cleanLine(s.Date), Size: smallSize, Anchor: End, Colour: Pencil}
	title := strconv.Itoa(number) + " · " + s.Title
	if s.Now {
		title = strconv.Itoa(number) + " · " + b.Say("now: %s", s.Title)
	}
	room := sheetWidth - 2*margin - date.Width() - dateGap
	for i, line := range short(title, textSize, s.Now, room, linesTitle) {
		sh.y += lineHeight(textSize)
		base := sh.y - descent*textSize
		sh.Add(Text{At: Point{margin, base}, Text: line, Size: textSize, Bold: s.Now, Colour: Ink})
		if i == 0 && date.Text != "" {
			date.At = Point{sheetWidth - margin, base}
			sh.Add(date)
		}
	}
	sh.y += 0.6
	if b.Counted > 0 {
		b.band(sh, s)
	}
	for _, line := range short(s.Names, smallSize, false, sheetWidth-2*margin, linesNames) {
		sh.y += lineHeight(smallSize)
		sh.Add(Text{At: Point{margin, sh.y - descent*smallSize}, Text: line, Size: smallSize, Colour: Pencil})
	}
	sh.y += 1.4
}

// band draws the loops of a milestone and their number. Of a large group it is
// as long as all of them; of a small one it shows only those who are there.
func (b Board) band(sh *sheet, s Stage) {
	room := sheetWidth - 2*margin - bandFigure
	loops := min(b.Counted, mostInBand)
	unit := min(widestLoop, room/float64(loops))
	wide := unit * float64(loops)
	top, bottom := sh.y, sh.y+bandHeight
	middle := (top + bottom) / 2
	box := func(to float64, pen Pen) {
		sh.Add(Path{Points: []Point{{margin, top}, {margin + to, top}, {margin + to, bottom}, {margin, bottom}}, Closed: true, Pen: pen})
	}
	sh.y = bottom + 0.4
	if s.Reached == 0 {
		sh.Add(Text{At: Point{margin, middle + capHeight*smallSize/2}, Text: b.Say(ahead), Size: smallSize, Colour: Pencil})
		return
	}
	filled := wide * float64(s.Reached) / float64(b.Counted)
	if b.Counted <= mostInBand { // an empty place would be somebody's
		wide = filled
	}
	box(wide, Pen{Fill: Cloth})
	box(filled, Pen{Fill: tint(Blue)})
	for x := 0.; x < filled-0.01; x += unit {
		if r := min(unit, filled-x) / 2; r > unit/4 || x == 0 {
			sh.Add(Circle{Centre: Point{margin + x + r, middle}, R: max(r-0.35, 0.2), RY: bandHeight/2 - 0.9, Pen: Pen{Stroke: Blue, Width: medium}})
		}
	}
	box(filled, Pen{Stroke: Ink, Width: thin})
	sh.Add(Text{At: Point{margin + wide + 1.8, middle + capHeight*textSize/2}, Text: strconv.Itoa(s.Reached), Size: textSize, Bold: true, Colour: Ink})
}

// short breaks a text into at most so many lines; what does not fit is marked
// as cut.
func short(text string, size float64, isBold bool, width float64, most int) []string {
	lines := wrapText(text, size, isBold, width)
	if len(lines) <= most {
		return lines
	}
	last := []rune(lines[most-1])
	for len(last) > 0 && TextWidth(string(last)+"…", size, isBold) > width {
		last = last[:len(last)-1]
	}
	return append(lines[:most-1:most-1], strings.TrimRight(string(last), " ,")+"…")
}

// describe says what the board shows. Where long titles would take more than a
// reader is given, they are shortened, so that no milestone is left out.
func (b Board) describe() string {
	for most := 200; ; most = most * 3 / 4 {
		parts := make([]string, len(b.Stages))
		for i, s := range b.Stages {
			parts[i] = b.said(s, most)
		}
		text := b.Say("Who has come to which milestone.") + " "
		if b.Counted == 0 {
			text = b.Say("The milestones and their dates.") + " "
		}
		text += strings.Join(parts, " ")
		if len([]rune(text)) <= describable || most < 8 {
			return text
		}
	}
}

// said is a milestone in a sentence, its texts no longer than so many
// characters.
func (b Board) said(s Stage, most int) string {
	text := cut(cleanLine(s.Title), most)
	if s.Date != "" && most > 12 {
		text += " (" + cut(cleanLine(s.Date), most) + ")"
	}
	if s.Now {
		text += ", " + b.Say("worked on now")
	}
	switch {
	case b.Counted > 0 && s.Reached == 0:
		text += ": " + b.Say(ahead)
	case b.Counted > 0:
		text += ": " + strconv.Itoa(s.Reached)
		if s.Names != "" && most > 40 {
			text += ", " + cut(cleanLine(s.Names), most)
		}
	}
	return text + "."
}

// cut shortens a text to so many characters, and marks that.
func cut(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return strings.TrimRight(string(r[:most-1]), " ,") + "…"
	}
	return s
}
