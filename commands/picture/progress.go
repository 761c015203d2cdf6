package picture

import (
	"math"

	"countwright/calc/grade"
	"countwright/calc/pace"
)

// Part is the flat shape of a piece, as it is kept with a project.
type Part struct {
	Name    string  `json:"name"`
	Outline []Point `json:"outline"`
	Down    bool    `json:"down,omitempty"` // worked from the top
}

// Parts are the shapes of a garment's pieces. One that is only an edging on
// others has none.
func Parts(g *grade.Garment) []Part {
	var all []Part
	for _, p := range g.Pieces {
		if len(p.Outline.Points) == 0 {
			continue
		}
		part := Part{Name: p.Name, Down: p.Outline.Double}
		for _, q := range p.Outline.Points {
			part.Outline = append(part.Outline, Point{tenth(q.X), tenth(q.Y)})
		}
		all = append(all, part)
	}
	return all
}

// tenth rounds to a tenth of a millimetre.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }

// A stitch as it is drawn where no gauge is known: a little wider than high.
const (
	plainWide = 7.0
	plainHigh = 6.0
	mostSteps = 300 // levels of an outline
)

// Stacked is the shape of a piece of which only the rows are known: each as
// wide as its stitches, in the middle of the one below. Rounds lie double, the
// first at the top.
func Stacked(p pace.Piece, rounds bool) Part {
	part := Part{Name: p.Name, Down: rounds}
	wide := plainWide / 2
	if rounds {
		wide /= 2
	}
	every := 1 + len(p.Rows)/mostSteps
	var right []Point
	level := func(y float64, count int) {
		x := max(float64(count), 1) * wide
		if rounds {
			y = -y
		}
		right = straight(right, Point{x, y})
	}
	level(0, p.Rows[0].Count)
	for i := every - 1; i < len(p.Rows); i += every {
		level(float64(i+1)*plainHigh, p.Rows[i].Count)
	}
	level(float64(len(p.Rows))*plainHigh, p.Rows[len(p.Rows)-1].Count)
	part.Outline = append(part.Outline, right...)
	for i := len(right) - 1; i >= 0; i-- {
		part.Outline = append(part.Outline, Point{-right[i].X, right[i].Y})
	}
	return part
}

// InWork is a piece and how far it is.
type InWork struct {
	Part
	Name string
	Done float64 // by stitches, from 0 to 1
	Note string  // "12 of 39 rows"
}

// Progress is pieces filled to where the work stands.
func Progress(title string, pieces []InWork, notes []string) Schematic {
	s := Schematic{Title: title, Notes: notes}
	for _, p := range pieces {
		out := Piece{Name: p.Name, Outline: p.Outline, Rows: Up}
		if p.Down {
			out.Rows = Down
		}
		if p.Note != "" {
			out.Notes = []string{p.Note}
		}
		if worked := filled(p.Outline, p.Done, p.Down); len(worked) > 2 {
			out.Areas = []Area{{Outline: worked, Stitch: "worked so far"}}
		}
		s.Pieces = append(s.Pieces, out)
	}
	return s
}

// filled is the part of an outline that a share of its area fills, from the
// bottom up, or down from the top.
func filled(outline []Point, share float64, down bool) []Point {
	b := bounds(outline)
	whole := area(outline)
	if !(share > 0) || whole <= 0 {
		return nil
	}
	if share >= 1 {
		return outline
	}
	low, high := b.y1, b.y2
	for range 40 {
		mid := (low + high) / 2
		part := area(below(outline, mid)) / whole
		if down {
			part = 1 - part
		}
		if (part < share) != down {
			low = mid
		} else {
			high = mid
		}
	}
	if down {
		return above(outline, low)
	}
	return below(outline, low)
}

// area of a polygon.
func area(points []Point) float64 {
	sum := 0.
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return math.Abs(sum) / 2
}

// below cuts a polygon off at a height. What lies in several parts stays joined
// by lines along the cut.
func below(points []Point, y float64) []Point {
	var out []Point
	for i, p := range points {
		q := points[(i+1)%len(points)]
		if p.Y <= y {
			out = append(out, p)
		}
		if (p.Y <= y) != (q.Y <= y) {
			out = append(out, Point{p.X + (q.X-p.X)*(y-p.Y)/(q.Y-p.Y), y})
		}
	}
	return out
}

func above(points []Point, y float64) []Point {
	return flipped(below(flipped(points), -y))
}

func flipped(points []Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = Point{p.X, -p.Y}
	}
	return out
}
