package notation

import "testing"

// TestRowsWorkedAgain: ways to say that rows told before go on.
func TestRowsWorkedAgain(t *testing.T) {
	const head = "Rnd 1: 6 sc in magic ring. 6 sts\nRnd 2: 2 sc in each st around. 12 sts\nRnd 3: sc in each st around. 12 sts\n"
	for _, c := range []struct {
		text  string
		like  int
		until bool
		times int
	}{
		{head + "Work round 3 until piece measures 5cm.", 3, true, 0},
		{head + "Work round 3 6 times.", 3, false, 6},
		{head + "Rnd 4 onward: repeat rnd 3 until piece measures 30 inches.", 3, true, 0},
		{head + "Rnd 4 onwards: rep rnd 3 until piece measures 12 cm", 3, true, 0},
	} {
		doc := Parse(c.text, Options{})
		for _, p := range doc.Problems {
			t.Errorf("%q: %s", c.text, p.Message)
		}
		var last *Again
		for _, part := range doc.Parts {
			for _, line := range part.Lines {
				if a, ok := line.(*Again); ok {
					last = a
				}
			}
		}
		if last == nil || len(last.Like) != 1 || last.Like[0] != c.like || (last.Until > 0) != c.until || last.Times.At(0) != c.times {
			t.Errorf("%q is read as %+v", c.text, last)
		}
	}
}
