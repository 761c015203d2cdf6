package yarn

import (
	_ "embed"
	"fmt"
	"math"
	"strings"
	"sync"

	"countwright/calc/entry"
	"countwright/calc/measure"
	"countwright/calc/sizing"
)

// Piece is a usual thing to make, by which an area of fabric can be guessed
// before there is a pattern.
type Piece struct {
	Name   string
	Also   []string
	Body   bool             // its measures follow a body
	Small  bool             // for babies too: cautions go with it
	Needs  []sizing.Measure // of the body
	panels func(b sizing.Body, ease measure.Length) []Panel
}

// Panel is a flat part of a piece. Fabric that tapers is taken at its mean
// width.
type Panel struct {
	Name          string
	Count         int
	Width, Length measure.Length
	Part          float64 // of the rectangle that is fabric: 0.5 for a triangle
}

// Area is the panel's fabric in square millimetres, all of them together.
func (p Panel) Area() float64 { return float64(p.Count) * p.Part * p.Width.MM() * p.Length.MM() }

// Panels is the parts of a piece for a body, with an ease on the chest where
// it is a garment; both are ignored where the piece has no body. All shapes
// are common practice, no source: a pattern knows better. Errors are *PieceError
// where a measure is missing, and those of sizing.Body's Check.
func (p Piece) Panels(b sizing.Body, ease measure.Length) ([]Panel, error) {
	for _, m := range p.Needs {
		if b[m] <= 0 {
			return nil, &PieceError{p.Name, m}
		}
	}
	if p.Body {
		if err := b.Check(); err != nil {
			return nil, err
		}
	}
	return p.panels(b, ease), nil
}

// PieceError says that a measure is missing to reckon a piece by.
type PieceError struct {
	Piece   string
	Measure sizing.Measure
}

func (e *PieceError) Error() string { return fmt.Sprintf("a %s needs the %s", e.Piece, e.Measure) }

// AreaOf is the fabric of all panels in square millimetres.
func AreaOf(panels []Panel) float64 {
	sum := 0.
	for _, p := range panels {
		sum += p.Area()
	}
	return sum
}

const centimetre = measure.Centimetre

// hem is how far below the waist a garment ends: about half the back's length,
// so that it grows with the body.
func hem(b sizing.Body) measure.Length { return b[sizing.BackLength].Scale(0.45) }

func pullover(b sizing.Body, ease measure.Length) []Panel {
	around := b[sizing.Chest] + ease
	length := b[sizing.BackLength] + hem(b)
	top := (b[sizing.ArmholeDepth] + 2*centimetre).Scale(2)
	cuff := b[sizing.Wrist].Scale(1.25)
	sleeve := max(b[sizing.CentreBack]-around/4, 4*centimetre)
	return []Panel{
		{"body, back and front", 2, around / 2, length, 0.97},
		{"sleeve", 2, (top + cuff) / 2, sleeve, 1},
		{"neck edge", 1, b[sizing.Neck].Scale(1.3), 3 * centimetre, 1},
	}
}

func cardigan(b sizing.Body, ease measure.Length) []Panel {
	length := b[sizing.BackLength] + hem(b)
	return append(pullover(b, ease), Panel{"button band", 1, 4 * centimetre, 2*length + b[sizing.Neck].Scale(0.5), 1})
}

func vest(b sizing.Body, ease measure.Length) []Panel {
	around := b[sizing.Chest] + ease
	return []Panel{{"body, back and front", 2, around / 2, b[sizing.BackLength] + hem(b)/2, 0.88}, {"edges", 1, 3 * centimetre, b[sizing.ArmholeDepth].Scale(6), 1}}
}

// hat is a flat crown and a side: together 0.38 of the head from the middle of
// the crown to the brim.
func hat(b sizing.Body, _ measure.Length) []Panel {
	around := b[sizing.Head].Scale(0.94)
	across := around.Scale(1 / math.Pi)
	return []Panel{
		{"crown", 1, across, across, math.Pi / 4},
		{"side", 1, around, b[sizing.Head].Scale(0.38) - across/2, 1},
		{"brim, turned up", 1, around, 4 * centimetre, 1},
	}
}

func mitts(b sizing.Body, _ measure.Length) []Panel {
	return []Panel{{"hand and cuff", 2, b[sizing.Hand].Scale(0.95), b[sizing.HandLength] + 5*centimetre, 1}, {"thumb", 2, b[sizing.Hand].Scale(0.4), b[sizing.HandLength].Scale(0.35), 1}}
}

func socks(b sizing.Body, _ measure.Length) []Panel {
	return []Panel{{"foot and leg", 2, b[sizing.Foot].Scale(0.93), b[sizing.FootLength].Scale(1.6), 1}}
}

// garment is how a piece that follows a body is reckoned, and from what.
type garment struct {
	panels func(sizing.Body, measure.Length) []Panel
	needs  []sizing.Measure
}

var upperBody = []sizing.Measure{sizing.Chest, sizing.BackLength, sizing.CentreBack, sizing.ArmholeDepth, sizing.Wrist, sizing.Neck}

var garments = map[string]garment{
	"pullover": {pullover, upperBody},
	"cardigan": {cardigan, upperBody},
	"vest":     {vest, []sizing.Measure{sizing.Chest, sizing.BackLength, sizing.ArmholeDepth}},
	"hat":      {hat, []sizing.Measure{sizing.Head}},
	"mitts":    {mitts, []sizing.Measure{sizing.Hand, sizing.HandLength}},
	"socks":    {socks, []sizing.Measure{sizing.Foot, sizing.FootLength}},
}

//go:embed piece.toml
var pieceFile []byte

var pieces = sync.OnceValue(func() []Piece {
	all, err := readPieces(pieceFile)
	if err != nil {
		panic(err)
	}
	return all
})

func readPieces(data []byte) ([]Piece, error) {
	var file struct {
		Piece []struct {
			Name, Shape   string
			Also          []string
			Small         bool
			Width, Length float64
			Count         int
		}
	}
	if err := entry.Decode("piece.toml", data, &file); err != nil {
		return nil, err
	}
	faults := entry.Faults{File: "piece.toml"}
	var all []Piece
	for _, row := range file.Piece {
		faults.Entry = row.Name
		p := Piece{Name: row.Name, Also: row.Also, Small: row.Small}
		part, flat := map[string]float64{"": 1, "triangle": 0.5, "ball": math.Pi}[row.Shape]
		garment, fitted := garments[row.Shape]
		switch {
		case fitted:
			p.Body, p.panels, p.Needs = true, garment.panels, garment.needs
		case flat:
			faults.Need(row.Width > 0 && row.Length > 0, "width and length are needed")
			panel := Panel{row.Name, max(row.Count, 1), measure.Of(row.Width, measure.Centimetres), measure.Of(row.Length, measure.Centimetres), part}
			p.panels = func(sizing.Body, measure.Length) []Panel { return []Panel{panel} }
		default:
			faults.Need(false, "no shape is called %q", row.Shape)
		}
		faults.Need(row.Name != "", "a name is needed")
		all = append(all, p)
	}
	for _, blanket := range sizing.Blankets() {
		panel := Panel{"blanket", 1, blanket.Width, blanket.Length, 1}
		all = append(all, Piece{Name: blanket.Name + " blanket", Small: blanket.Infant,
			panels: func(sizing.Body, measure.Length) []Panel { return []Panel{panel} }})
	}
	return all, faults.Err()
}

// Pieces is every piece: garments, things of one size, blankets.
func Pieces() []Piece { return append([]Piece(nil), pieces()...) }

// PieceNamed is the piece of a name: "cardigan", "sweater", "throw blanket",
// "throw". The error is a *PieceNameError.
func PieceNamed(name string) (Piece, error) {
	key := plain(name)
	var names []string
	for _, p := range pieces() {
		names = append(names, p.Name)
		for _, known := range append([]string{p.Name, strings.TrimSuffix(p.Name, " blanket")}, p.Also...) {
			if plain(known) == key {
				return p, nil
			}
		}
	}
	if b, err := sizing.BlanketNamed(name); err == nil {
		return PieceNamed(b.Name + " blanket")
	}
	if b, err := sizing.BlanketNamed(strings.TrimSuffix(strings.ToLower(name), " blanket")); err == nil {
		return PieceNamed(b.Name + " blanket")
	}
	return Piece{}, &PieceNameError{name, names}
}

// PieceNameError says that no piece goes by a name.
type PieceNameError struct {
	Name  string
	Known []string
}

func (e *PieceNameError) Error() string {
	return fmt.Sprintf("no piece is called %q; there are %s", e.Name, strings.Join(e.Known, ", "))
}
