package picture

import (
	"fmt"
	"strings"
	"testing"
)

// As many loops are drawn, each before and behind the hook, as are on it.
func TestLoops(t *testing.T) {
	for _, l := range []Loops{{Title: "Step 1", On: 2, Added: 1}, {Title: "Step 2", On: 3, Added: 1}, {Title: "Step 3", On: 1}, {On: 0}, {Title: "The tallest", On: 12, Added: 12}} {
		d, err := l.Draw()
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("loops-%d-%d", l.On, l.Added)
		look(t, name, d)
		golden(t, name+".svg", SVG(d))
		plain, added := 0, 0
		for _, m := range d.Marks {
			if p, ok := m.(Path); ok && p.Curve && p.Pen.Stroke == Rust {
				plain++
			} else if ok && p.Curve && p.Pen.Stroke == Blue {
				added++
			}
			if x, ok := m.(Text); ok && x.Size < smallSize {
				t.Errorf("%s: %q is too small for a telephone", name, x.Text)
			}
		}
		if plain != 2*(l.On-l.Added) || added != 2*l.Added {
			t.Errorf("%s: %d halves of plain loops, %d of new ones", name, plain, added)
		}
		if l.On > 1 && !strings.Contains(d.Description, fmt.Sprint(l.On)) {
			t.Errorf("%s: the description is %q", name, d.Description)
		}
	}
	for _, l := range []Loops{{On: -1}, {On: 13}, {On: 2, Added: 3}, {On: 2, Added: -1}} {
		if _, err := l.Draw(); err == nil {
			t.Errorf("%+v: no error", l)
		}
	}
}
