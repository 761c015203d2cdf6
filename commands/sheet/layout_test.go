package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/commands/picture"
)

// drawSheet makes sheets of any shape.
func drawSheet(t *rapid.T) Sheet {
	words := rapid.StringMatching(`([a-z]{1,9}( |, )){0,60}[a-z]{1,30}`)
	s := Sheet{Title: "T " + words.Draw(t, "title")}
	if rapid.Bool().Draw(t, "drawn") {
		s.Schematic = Figure{drawing(100, rapid.Float64Range(40, 400).Draw(t, "height")), words.Draw(t, "alt")}
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "facts") {
		s.Materials = append(s.Materials, Fact{fmt.Sprint("fact ", i), words.Draw(t, "fact")})
		s.Abbreviations = append(s.Abbreviations, Fact{fmt.Sprint("ab", i), words.Draw(t, "abbreviation")})
		s.Finished.Rows = append(s.Finished.Rows, []string{words.Draw(t, "cell"), fmt.Sprint(i)})
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "pieces") {
		p := Piece{Name: fmt.Sprint("Piece ", i), Make: rapid.IntRange(0, 5).Draw(t, "make")}
		row := 1
		for range rapid.IntRange(0, 25).Draw(t, "lines") {
			switch rapid.IntRange(0, 6).Draw(t, "kind") {
			case 0:
				p.Lines = append(p.Lines, Line{Kind: Heading, Text: "Section"})
			case 1:
				p.Lines = append(p.Lines, Line{Kind: Note, Text: words.Draw(t, "note")})
			default:
				n := rapid.SampledFrom([]int{1, 1, 1, 2, 10, 31, 150, 151, 700}).Draw(t, "rows")
				p.Lines = append(p.Lines, Line{Label: fmt.Sprintf("Row %d:", row), First: row, Rows: n, Text: words.Draw(t, "text")})
				row += n
			}
		}
		s.Pieces = append(s.Pieces, p)
	}
	return s
}

// extent is the box of a mark.
func extent(m picture.Mark) (x1, y1, x2, y2 float64) {
	switch m := m.(type) {
	case picture.Path:
		x1, y1, x2, y2 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
		for _, p := range m.Points {
			x1, y1, x2, y2 = min(x1, p.X), min(y1, p.Y), max(x2, p.X), max(y2, p.Y)
		}
	case picture.Circle:
		return m.Centre.X - m.R, m.Centre.Y - m.R, m.Centre.X + m.R, m.Centre.Y + m.R
	case picture.Text:
		m.Text = strings.TrimRight(m.Text, " ")
		w := m.Width()
		if m.Turn != 0 {
			return m.At.X, m.At.Y, m.At.X, m.At.Y
		}
		return m.At.X + m.Left(), m.At.Y - capHeight*m.Size, m.At.X + m.Left() + w, m.At.Y
	}
	return x1, y1, x2, y2
}

func isBox(m picture.Mark) (picture.Point, bool) {
	p, ok := m.(picture.Path)
	if !ok || !p.Closed || len(p.Points) != 4 || p.Pen.Fill.A > 0 || math.Abs(p.Points[1].X-p.Points[0].X-boxSize) > 1e-9 {
		return picture.Point{}, false
	}
	return p.Points[0], true
}

// Whatever the sheet, all of it stays on the paper, no text stands on another,
// and there are as many boxes as rows.
func TestLayoutHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		f, err := pageFrame(rapid.SampledFrom([]Paper{A4, Letter}).Draw(t, "paper"))
		if err != nil {
			t.Fatal(err)
		}
		p, err := s.layOut(f)
		if err != nil {
			t.Fatal(err)
		}
		boxes := 0
		for i, spans := range p.spans {
			var texts []picture.Text
			for _, sp := range spans {
				for _, m := range sp.marks {
					x1, y1, x2, y2 := extent(m)
					if x1 < f.left-1.01 || y1 < f.top-0.1 || x2 > f.right+1.01 || y2 > f.bottom+0.1 {
						t.Fatalf("page %d: %T at %.1f to %.1f, %.1f to %.1f is off the paper", i+1, m, x1, x2, y1, y2)
					}
					if _, ok := isBox(m); ok {
						boxes++
					}
					if text, ok := m.(picture.Text); ok && (sp.of == nil || sp.of.role != figure) {
						texts = append(texts, text)
					}
				}
			}
			apart(t, i+1, texts)
		}
		if want := wanted(s); boxes != want {
			t.Fatalf("%d boxes, want %d", boxes, want)
		}
	})
}

func apart(t *rapid.T, page int, texts []picture.Text) {
	for i, a := range texts {
		ax1, ay1, ax2, ay2 := extent(a)
		for _, b := range texts[i+1:] {
			bx1, by1, bx2, by2 := extent(b)
			if ax1 < bx2-0.3 && bx1 < ax2-0.3 && ay1 < by2-0.3 && by1 < ay2-0.3 {
				t.Fatalf("page %d: %q stands on %q", page, a.Text, b.Text)
			}
		}
	}
}

// wanted is how many boxes a sheet has: one a row and piece made, up to 150
// beside a line; then each stands for 5 rows, or a larger multiple of 5.
func wanted(s Sheet) int {
	n := 0
	for _, p := range s.Pieces {
		made := max(1, min(p.Make, 4))
		for _, l := range p.Lines {
			if l.Kind != Work {
				continue
			}
			switch {
			case l.Rows <= 150:
				n += made * max(1, l.Rows)
			case l.Rows <= 750:
				n += made * ((l.Rows + 4) / 5)
			default:
				panic("the test draws no more")
			}
		}
	}
	return n
}

// A row's boxes stand on the page of its words, and no heading is left alone
// at the foot of a page.
func TestRowsKeepTheirBoxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Sheet{Title: "Rows"}
		p := Piece{Name: "Body", Make: rapid.IntRange(1, 2).Draw(t, "make")}
		row := 1
		for range rapid.IntRange(20, 90).Draw(t, "lines") {
			if rapid.IntRange(0, 5).Draw(t, "heading") == 0 {
				p.Lines = append(p.Lines, Line{Kind: Heading, Text: "Section"}, Line{Kind: Note, Text: "Note"})
			}
			n := rapid.SampledFrom([]int{1, 1, 7, 64}).Draw(t, "rows")
			p.Lines = append(p.Lines, Line{Label: "Row", First: row, Rows: n, Text: strings.Repeat("sc in next st, ", rapid.IntRange(1, 30).Draw(t, "long"))})
			row += n
		}
		s.Pieces = []Piece{p}
		f, _ := pageFrame(A4)
		pages, err := s.layOut(f)
		if err != nil {
			t.Fatal(err)
		}
		expect := p.Lines
		for i, spans := range pages.spans {
			boxes, want, last := 0, 0, ""
			for _, sp := range spans {
				for _, m := range sp.marks {
					if _, ok := isBox(m); ok {
						boxes++
					}
					text, ok := m.(picture.Text)
					if !ok || sp.of == nil {
						continue
					}
					last = text.Text
					if strings.HasPrefix(last, "Row ") && text.Bold {
						for expect[0].Kind != Work {
							expect = expect[1:]
						}
						want += expect[0].Rows * p.Make
						expect = expect[1:]
					}
				}
			}
			if boxes != want {
				t.Fatalf("page %d has rows for %d boxes and %d boxes", i+1, want, boxes)
			}
			if last == "Section" || last == "Note" || strings.HasPrefix(last, "Body") {
				t.Fatalf("page %d ends with %q", i+1, last)
			}
		}
	})
}

// A block taller than a page is broken, and loses nothing.
func TestRowLongerThanAPage(t *testing.T) {
	const times = 3000
	s := Sheet{Title: "Long", Pieces: []Piece{{Name: "Body", Lines: []Line{{Label: "Row 1:", First: 1, Rows: 1, Text: strings.Repeat("sc ", times)}}}}}
	f, _ := pageFrame(Letter)
	p, err := s.layOut(f)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, spans := range p.spans {
		for _, sp := range spans {
			for _, m := range sp.marks {
				if text, ok := m.(picture.Text); ok {
					n += strings.Count(text.Text+" ", "sc ")
				}
			}
		}
	}
	if len(p.spans) < 3 || n != times {
		t.Errorf("%d pages with %d of %d stitches", len(p.spans), n, times)
	}
}

// Wrapped rows hang under their own text, clear of the boxes.
func TestHangingIndent(t *testing.T) {
	s := long(1, 1)
	f, _ := pageFrame(A4)
	list := s.Pieces[0].blocks(f, false)
	row := list[len(list)-1]
	if len(row.strips) < 2 {
		t.Fatalf("the row is in %d lines", len(row.strips))
	}
	first := row.strips[0].spans[0].marks[0].(picture.Text)
	second := row.strips[1].spans[0].marks[0].(picture.Text)
	at, ok := isBox(row.strips[0].spans[1].marks[0])
	if !ok || at.X != f.left || at.X+boxSize >= first.At.X {
		t.Errorf("the box stands at %v, the text at %v", at, first.At)
	}
	if !first.Bold || first.Text != "Row 1: " || second.At.X <= first.At.X {
		t.Errorf("the row begins %q at %v, its second line at %v", first.Text, first.At, second.At)
	}
	if !strings.HasSuffix(first.Text+row.strips[0].spans[0].marks[1].(picture.Text).Text, " ") {
		t.Error("a listener hears two lines as one word")
	}
}
