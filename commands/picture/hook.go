package picture

import (
	"cmp"
	"fmt"
	"strconv"
)

// Hooks is hooks beside one another, each drawn as thick as it is.
type Hooks struct {
	Title  string
	Hooks  []HookShown
	Inches bool   // the ruler is in inches
	Note   string // under the ruler; empty: lifeSize
}

// lifeSize says when the hooks are as thick as they are drawn.
const lifeSize = "Life-size only where this ruler measures true. Screens differ: hold a real ruler to it, or print the picture 100 mm wide."

// HookShown is one hook of a picture.
type HookShown struct {
	MM     float64
	Name   string // "5 mm · US H-8"
	Asked  bool   // set off from the others
	Remark string // may be empty
}

// mostHooks is how many hooks one picture holds.
const mostHooks = 8

// Sizes of the hooks in a picture, in millimetres.
const (
	hookLength = 60.0 // of a hook's drawn part
	sectionAt  = 80.5 // the middle of its cross-section
)

// Draw shows the hooks in true size when the picture is printed 100 mm wide,
// each from the side and in section, with a ruler by which to check a screen.
// It fails on no hooks, too many, and on a thickness that no hook has.
func (h Hooks) Draw() (*Drawing, error) {
	if len(h.Hooks) == 0 || len(h.Hooks) > mostHooks {
		return nil, fmt.Errorf("draw hooks: %d of them", len(h.Hooks))
	}
	sh := newSheet(h.Title, h.describe())
	for _, one := range h.Hooks {
		if !(one.MM > 0 && one.MM <= 40) {
			return nil, fmt.Errorf("draw hooks: one of %v mm", one.MM)
		}
		one.draw(sh)
	}
	sh.y += 3
	h.ruler(sh)
	sh.words(cmp.Or(h.Note, lifeSize), smallSize, false, Pencil)
	return sh.finish(), nil
}

func (h Hooks) describe() string {
	text := "Hooks drawn to scale:"
	for i, one := range h.Hooks {
		if i > 0 {
			text += ","
		}
		text += " " + one.Name
	}
	return text + "."
}

// draw adds one hook under what is there: its name, its side, its section.
func (one HookShown) draw(sh *sheet) {
	fill, ink := Cloth, Pencil
	if one.Asked {
		fill, ink = Cloth2, Ink
	}
	name := one.Name
	if one.Remark != "" {
		name += " – " + one.Remark
	}
	sh.words(name, textSize, one.Asked, ink)
	sh.y += 1
	middle := sh.y + one.MM/2
	pen := Pen{Fill: fill, Stroke: ink, Width: min(medium, one.MM/6)}
	sh.Add(hookOutline(Point{margin, middle}, one.MM, hookLength, pen))
	sh.Add(Circle{Centre: Point{sectionAt, middle}, R: one.MM / 2, Pen: pen})
	sh.y += one.MM + 2.5
}

// hookOutline is a hook from the side, its point at the left: a rounded head
// with a lip, a throat cut in from above, a straight shaft.
func hookOutline(tip Point, d, length float64, pen Pen) Path {
	r := d / 2
	along := min(d, length/4) // the head of a very thick hook is shortened
	at := func(x, y float64) Point { return Point{tip.X + x*along, tip.Y + y*r} }
	shaft := length / along
	p := Path{Points: []Point{at(0, 0.1)}, Closed: true, Curve: true, Pen: pen}
	curve := func(a, b, c Point) { p.Points = append(p.Points, a, b, c) }
	line := func(to Point) {
		from := p.Points[len(p.Points)-1]
		curve(Point{from.X + (to.X-from.X)/3, from.Y + (to.Y-from.Y)/3}, Point{from.X + 2*(to.X-from.X)/3, from.Y + 2*(to.Y-from.Y)/3}, to)
	}
	curve(at(0, -0.6), at(0.45, -1), at(0.95, -1))       // over the head
	curve(at(1.05, -1), at(1.1, -0.85), at(1.02, -0.7))  // the lip
	curve(at(0.9, -0.4), at(0.85, 0.05), at(1.15, 0.15)) // into the throat
	curve(at(1.6, 0.25), at(2.0, -0.9), at(2.9, -1))     // and out along it
	line(at(shaft, -1))                                  // the shaft
	line(at(shaft, 1))                                   //
	line(at(0.8, 1))                                     // underneath
	curve(at(0.35, 1), at(0, 0.75), at(0, 0.1))          // the point
	return p
}

// ruler is 5 cm or 2 in to hold a real ruler to.
func (h Hooks) ruler(sh *sheet) {
	const high = 5.0
	unit, count, parts, name := 10.0, 5, 10, "cm"
	if h.Inches {
		unit, count, parts, name = 25.4, 2, 8, "in"
	}
	end := margin + unit*float64(count)
	top := sh.y
	sh.Add(Path{Points: []Point{{margin, top}, {end, top}}, Pen: Pen{Stroke: Ink, Width: medium}})
	for i := range count*parts + 1 {
		x, length := margin+unit*float64(i)/float64(parts), high*0.35
		switch {
		case i%parts == 0:
			length = high * 0.8
			sh.Add(Text{At: Point{x, top + high + 1.2}, Text: strconv.Itoa(i / parts), Size: smallSize, Anchor: Middle, Colour: Ink})
		case i%(parts/2) == 0:
			length = high * 0.55
		}
		sh.Add(Path{Points: []Point{{x, top}, {x, top + length}}, Pen: Pen{Stroke: Ink, Width: thin}})
	}
	sh.Add(Text{At: Point{end + 3, top + high + 1.2}, Text: name, Size: smallSize, Colour: Ink})
	sh.y = top + high + 3
}
