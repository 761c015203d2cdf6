package notation

import "testing"

// Rows as people run them together in chat.
func TestChatLayout(t *testing.T) {
	for _, c := range []struct {
		name, text string
		rows       int
		heading    string
	}{
		{"labels behind counts", "Row 1: sc in 2nd ch from hook and in each ch across (20). Row 2: ch 1, sc in each st across (20 sts) Row 3: ch 1, 2 sc in first st, sc in each st across (21)", 3, ""},
		{"a small heading between rows", "Row 1: sc in each ch across (9)\nRows 2-5: repeat row 1 (9)\nstart the v neck:\nRow 6: ch 1, sc in each st across (9)", 3, "start the v neck"},
		{"a title with its terms", "Cardigan front (UK terms)\nCh 41.\nRow 1: dc in 2nd ch from hook and in each ch across. (40)", 2, ""},
		{"a title with its size", "Left front, size M\nCh 41\nRow 1: sc in 2nd ch from hook and in each ch across. (40)", 2, ""},
	} {
		d := Parse(c.text, Options{})
		if len(d.Problems) > 0 {
			t.Errorf("%s: %+v", c.name, d.Problems[0])
		}
		rows, heading := 0, ""
		for _, p := range d.Parts {
			for _, l := range p.Lines {
				switch l := l.(type) {
				case *Row, *Again:
					rows++
				case *Heading:
					heading = l.Text
				}
			}
		}
		if rows != c.rows || heading != c.heading {
			t.Errorf("%s: %d rows, heading %q; want %d, %q", c.name, rows, heading, c.rows, c.heading)
		}
	}
}

// Reading must come to an end whatever stands in a text.
func TestLoneApostrophes(t *testing.T) {
	for _, text := range []string{"ʼ", "ʼ ʼʼ", "Rnd 1: ʼ6 sc in ring", "’ ' sc’", "Row 1: sc ʼ\xb9"} {
		Parse(text, Options{})
	}
}
