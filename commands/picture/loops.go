package picture

import (
	"fmt"
	"strconv"
)

// Loops shows how many loops are on the hook.
type Loops struct {
	Title string
	On    int // loops on the hook
	Added int // how many of them are new, those next to the head; 0: none
}

// mostLoops is how many loops one hook can hold in a picture.
const mostLoops = 12

// Draw draws the hook with its loops, the new ones darker and thicker. It
// fails on more than 12 loops and on fewer than none.
func (l Loops) Draw() (*Drawing, error) {
	if l.On < 0 || l.On > mostLoops || l.Added < 0 || l.Added > l.On {
		return nil, fmt.Errorf("draw loops: %d of %d are new; a hook shows up to %d", l.Added, l.On, mostLoops)
	}
	const thick, space = 7.0, 6.0
	sh := newSheet(l.Title, l.describe())
	middle := sh.y + 4 + thick/2 + lineHeight(smallSize)
	at := func(i int) float64 { return margin + 3.4*thick + space*float64(i) }
	for i := range l.On { // behind the hook
		sh.Add(l.half(at(i), middle, thick, 1, i < l.Added))
	}
	sh.Add(hookOutline(Point{margin, middle}, thick, sheetWidth-2*margin, Pen{Fill: Cloth, Stroke: Pencil, Width: medium}))
	for i := range l.On { // in front of it
		sh.Add(l.half(at(i), middle, thick, -1, i < l.Added))
		sh.Add(Text{At: Point{at(i) + 1.2, middle - thick/2 - 2.6}, Text: strconv.Itoa(l.On - i), Size: smallSize, Anchor: Middle, Bold: i < l.Added, Colour: Ink})
	}
	sh.y = middle + thick/2 + 4
	if l.Added > 0 {
		sh.words("Thick and blue: new in this step. Number 1 was on the hook first.", smallSize, false, Pencil)
	}
	return sh.finish(), nil
}

// half is a loop's half before the hook (-1) or behind it (1): it leans with
// the yarn.
func (l Loops) half(x, y, thick, side float64, added bool) Path {
	pen := Pen{Stroke: Rust, Width: 0.9}
	if added {
		pen = Pen{Stroke: Blue, Width: 1.6}
	}
	r := thick/2 + 1.3
	bulge := 1.5 * side
	return Path{Points: []Point{{x + 1.2, y - r}, {x + 1.2 + bulge, y - 0.5*r}, {x - 1.2 + bulge, y + 0.5*r}, {x - 1.2, y + r}}, Curve: true, Pen: pen}
}

func (l Loops) describe() string {
	text := fmt.Sprintf("A hook with %d loops on it", l.On)
	switch l.On {
	case 0:
		text = "A hook with no loop on it"
	case 1:
		text = "A hook with one loop on it"
	}
	if l.Added > 0 {
		text += fmt.Sprintf(", %d of them new", l.Added)
	}
	return text + "."
}
