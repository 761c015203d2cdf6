package sheet

import (
	"fmt"
	"time"

	"countwright/commands/picture"
)

var made = time.Date(2026, 3, 14, 9, 30, 0, 0, time.UTC)

// sample is an invented sheet that has all there can be.
func sample() Sheet {
	return Sheet{
		Title: "Größe ½ Café", For: "chest 112 cm × arm 60 cm", Summary: "A jumper (invented) with a \\ and a ♥, of no use but here.",
		Cautions:  []string{"Sew buttons on firmly: a loose one is a choking hazard for a small child."},
		Schematic: Figure{drawing(100, 120), "Back: 53 cm wide."},
		Materials: []Fact{{"Yarn", "16 balls of 50 g of one dye lot"}, {"Hook", "5.5 mm"}},
		Gauge:     []Fact{{"Gauge", "14 sts and 10 rows in 10 cm"}},
		Finished:  Table{Head: []string{"", "comes to"}, Rows: [][]string{{"chest, buttoned", "126.9 cm"}}, Right: []bool{false, true}},
		Sizes:     Table{Head: []string{"Woman", "chest"}, Rows: [][]string{{"M", "91 cm"}, {"yours", "112 cm"}, {"2X", "122 cm"}}, Own: 2, Note: "All in cm."},
		Terms:     "US", Abbreviations: []Fact{{"hdc", "half double crochet"}, {"sk", "skip"}, {"st, sts", "stitch"}},
		Notes: []string{"Turning chains do not count as stitches."},
		Pieces: []Piece{
			{Name: "Back", Lines: []Line{
				{Text: "Ch 9."},
				{Label: "Row 1 (RS):", Text: "Hdc in 3rd ch from hook, hdc in each ch across, turn. (8 sts)", First: 1, Rows: 1},
				{Label: "Rows 2–38:", Text: "Ch 2, hdc in each st across, turn. (8 sts)", First: 2, Rows: 37},
				{Kind: Heading, Text: "Neck"},
				{Kind: Note, Text: "Place a marker."},
				{Label: "Row 39:", Text: "Fasten off.", First: 39, Rows: 1},
			}},
			{Name: "Sleeve", Make: 2, Lines: []Line{{Label: "Rnds 1–4:", Text: "Sc in each st around.", First: 1, Rows: 4}, {Text: "Fasten off."}}},
		},
		Finishing: []string{"Sew the seams.", "Weave in all ends."},
		Fits:      []string{"Shoulder seam: 28 stitches each"},
		Care:      []string{"The yarn's own label wins."},
		Label:     Figure{drawing(100, 70), "Wash at 30 °C."},
		Credit:    "Pattern by Nobody, licence MIT",
	}
}

// drawing is a picture with one mark of each kind.
func drawing(width, height float64) *picture.Drawing {
	d := &picture.Drawing{Width: width, Height: height, Title: "Pieces", Description: "A square and a ring."}
	d.Add(picture.Path{Closed: true, Pen: picture.Pen{Fill: picture.Cloth, Stroke: picture.Ink, Width: 0.4}, Points: []picture.Point{{X: 10, Y: 10}, {X: width - 10, Y: 10}, {X: width - 10, Y: height - 10}, {X: 10, Y: height - 10}}})
	d.Add(picture.Path{Curve: true, Pen: picture.Pen{Stroke: picture.Rust, Width: 0.4, Dash: []float64{1, 0.5}}, Points: []picture.Point{{X: 10, Y: 10}, {X: 30, Y: 40}, {X: 50, Y: 10}, {X: 60, Y: 30}}})
	d.Add(picture.Circle{Centre: picture.Point{X: 40, Y: 40}, R: 8, RY: 5, Pen: picture.Pen{Fill: picture.Colour{R: 200, A: 128}}})
	d.Add(picture.Circle{Centre: picture.Point{X: 40, Y: 40}, R: 3, Pen: picture.Pen{Stroke: picture.Blue, Width: 0.2}})
	d.Add(picture.Text{At: picture.Point{X: 50, Y: 20}, Text: "53 cm · 74 sts", Size: 3.4, Anchor: picture.Middle, Colour: picture.Ink})
	d.Add(picture.Text{At: picture.Point{X: 90, Y: 60}, Text: "upright", Size: 3, Anchor: picture.End, Turn: -90, Bold: true, Colour: picture.Paper})
	return d
}

// long is a sheet of many rows.
func long(pieces, rows int) Sheet {
	s := sample()
	s.Pieces = nil
	for i := range pieces {
		p := Piece{Name: fmt.Sprintf("Piece %d", i+1)}
		for n := range rows {
			p.Lines = append(p.Lines, Line{Label: fmt.Sprintf("Row %d:", n+1), First: n + 1, Rows: 1,
				Text: "Ch 2, [hdc in next 3 sts, 2 hdc in next st] 7 times, hdc in next 4 sts, hdc2tog over next 2 sts, hdc in each st to last st, 2 hdc in last st, turn. (84 sts)"})
		}
		s.Pieces = append(s.Pieces, p)
	}
	return s
}

// many is a sheet of at least so many pages, in few words.
func many(pages int) Sheet {
	s := Sheet{Title: "Many"}
	for range pages { // each fills more than half a page with boxes
		s.Pieces = append(s.Pieces, Piece{Name: "Square", Make: 4, Lines: []Line{
			{Text: "Ch 2.", Rows: 150}, {Text: "Ch 3.", Rows: 150},
		}})
	}
	return s
}
