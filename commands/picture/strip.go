package picture

import (
	"fmt"
	"strconv"
)

// Strip is a row or round with the places where something happens.
type Strip struct {
	Title    string
	What     Happening
	Stitches int // of the row or round before this one
	// Positions is the first stitch of each place, from 1, in order. Of
	// increases a stitch may stand here several times: so many are added in it.
	Positions []int
	// Width is how many stitches a place takes up; 0: 1 for an increase, 2 for
	// a decrease and a buttonhole.
	Width int
	Round bool
	Notes []string // lines under the picture
}

// Happening is what happens at the places of a Strip.
type Happening uint8

// What can happen.
const (
	Increases Happening = iota
	Decreases
	Buttonholes
)

func (h Happening) colour() Colour { return [...]Colour{Blue, Rust, Plum}[h] }
func (h Happening) one() string    { return [...]string{"increase", "decrease", "buttonhole"}[h] }

// place is one place of a strip.
type place struct {
	first int // its first stitch, from 1
	times int // how much happens here
	plain int // plain stitches between the place before and this one
}

// The most of a strip that is drawn; more can't be told apart.
const (
	mostNumbered = 60  // places with figures
	mostDrawn    = 330 // places at all
	mostOnBar    = 10  // places of a beginning
)

// Draw shows where increases, decreases or buttonholes fall in a row or a
// round: to scale, with the plain stitches between and the number of each
// stitch as long as they can be read, and the pattern of the gaps where there
// are too many. It fails on places that are not in order or not in the row.
func (s Strip) Draw() (*Drawing, error) {
	if s.Width == 0 {
		s.Width = 2
		if s.What == Increases {
			s.Width = 1
		}
	}
	places, after, err := s.places()
	if err != nil {
		return nil, err
	}
	sh := newSheet(s.Title, s.describe(places, after))
	switch {
	case len(places) > mostDrawn: // the beginning only
		part := s
		part.Stitches = places[mostOnBar].first - 1
		part.bars(sh, places[:mostOnBar], places[mostOnBar].plain)
	case s.Round:
		s.ring(sh, places, after)
	default:
		s.bars(sh, places, after)
	}
	sh.y += 2
	s.key(sh, places, after)
	return sh.finish(), nil
}

// places groups the positions, and counts the plain stitches between and
// after them.
func (s Strip) places() (all []place, after int, err error) {
	if s.Stitches < 1 || s.Width < 1 || int(s.What) > int(Buttonholes) {
		return nil, 0, fmt.Errorf("draw strip: %d stitches, places %d wide", s.Stitches, s.Width)
	}
	done := 0 // the last stitch that is used up
	for _, at := range s.Positions {
		if n := len(all); n > 0 && s.What == Increases && all[n-1].first == at {
			all[n-1].times++
			continue
		}
		if at <= done || at+s.Width-1 > s.Stitches {
			return nil, 0, fmt.Errorf("draw strip: stitch %d of %d is out of order or out of the row", at, s.Stitches)
		}
		all = append(all, place{first: at, times: 1, plain: at - 1 - done})
		done = at + s.Width - 1
	}
	return all, s.Stitches - done, nil
}

// uneven says whether some places take more than one increase.
func uneven(places []place) bool {
	for _, p := range places {
		if p.times > 1 {
			return true
		}
	}
	return false
}

func (s Strip) describe(places []place, after int) string {
	in := "row"
	if s.Round {
		in = "round"
	}
	what := s.What.one() + "s"
	if len(s.Positions) == 1 {
		what = s.What.one()
	}
	return fmt.Sprintf("A %s of %d stitches with %d %s. Plain stitches between: %s.", in, s.Stitches, len(s.Positions), what, gapText(places, after))
}

// gapText writes the plain stitches between the places, repeats drawn
// together: "3, then 12 times 6, then 3".
func gapText(places []place, after int) string {
	gaps := make([]int, 0, len(places)+1)
	for _, p := range places {
		gaps = append(gaps, p.plain)
	}
	return repeatText(append(gaps, after))
}

// key explains the signs that the picture used.
func (s Strip) key(sh *sheet, places []place, after int) {
	text := map[Happening]string{
		Increases:   "increase: 2 stitches into one",
		Decreases:   "decrease: 2 stitches together",
		Buttonholes: "buttonhole: skip " + strconv.Itoa(s.Width) + ", chain " + strconv.Itoa(s.Width),
	}[s.What]
	switch {
	case uneven(places):
		sh.words("+1: 2 stitches into one; +2: 3 into one", textSize, false, Ink)
	case len(places) > 0:
		sh.y += lineHeight(textSize)
		s.sign(sh.Drawing, Point{margin + signHalf, sh.y - descent*textSize}, signHalf)
		sh.Add(Text{At: Point{margin + 5, sh.y - descent*textSize}, Text: text, Size: textSize, Colour: Ink})
	}
	for _, n := range s.Notes {
		sh.words(n, textSize, false, Ink)
	}
	figures := len(places) <= mostNumbered && (!s.Round || len(places) <= mostOnRing)
	if !figures {
		sh.words("Plain stitches between: "+gapText(places, after)+".", textSize, false, Ink)
	}
	switch {
	case len(places) > mostDrawn:
		sh.words(fmt.Sprintf("Drawn: the first %d of %d.", mostOnBar, len(places)), smallSize, false, Pencil)
	case figures && len(places) > 0:
		sh.words("In the band: plain stitches between. Outside it: which stitch.", smallSize, false, Pencil)
	}
}

// signHalf is half the width of a sign where there is room.
const signHalf = 1.4

// sign draws what stands for a place, its foot at a point. An increase opens
// upwards, as in a chart: two stitches out of one; a decrease closes; a
// buttonhole is a hole.
func (s Strip) sign(d *Drawing, foot Point, half float64) {
	pen := Pen{Fill: s.What.colour()}
	const high = 2.5
	switch s.What {
	case Increases:
		d.Add(Path{Points: []Point{foot, {foot.X - half, foot.Y - high}, {foot.X + half, foot.Y - high}}, Closed: true, Pen: pen})
	case Decreases:
		d.Add(Path{Points: []Point{{foot.X, foot.Y - high}, {foot.X - half, foot.Y}, {foot.X + half, foot.Y}}, Closed: true, Pen: pen})
	case Buttonholes:
		d.Add(Circle{Centre: Point{foot.X, foot.Y - high/2}, R: half, RY: high / 2.4, Pen: Pen{Fill: Paper, Stroke: s.What.colour(), Width: medium}})
	}
}
