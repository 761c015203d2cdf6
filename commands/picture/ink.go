package picture

// The colours of all pictures. The ground is light and opaque, so that a
// picture reads the same in a light and in a dark chat; every ink has a
// contrast of at least 4.5 : 1 on it and on the tints. Colour is never the
// only difference between two things: shape or words differ too.
var (
	Paper  = Colour{0xFB, 0xFA, 0xF6, 0xFF} // the ground
	Ink    = Colour{0x1F, 0x2B, 0x38, 0xFF} // outlines and text
	Pencil = Colour{0x4F, 0x5D, 0x6A, 0xFF} // dimension lines and side remarks
	Rule   = Colour{0x98, 0xA3, 0xAB, 0xFF} // extension lines
	Faint  = Colour{0xC9, 0xD0, 0xD4, 0xFF} // ruling, the frame
	Cloth  = Colour{0xE4, 0xEC, 0xF0, 0xFF} // the fabric
	Cloth2 = Colour{0xCF, 0xDD, 0xE4, 0xFF} // fabric of another stitch, ribbing
	Blue   = Colour{0x1B, 0x5F, 0x8C, 0xFF} // increases
	Rust   = Colour{0xA8, 0x47, 0x1C, 0xFF} // decreases
	Plum   = Colour{0x70, 0x3A, 0x78, 0xFF} // buttonholes, markers
)

// Sizes in millimetres of a drawing that is sheetWidth wide. On a telephone
// a picture is shown about 360 points wide, 3.6 points a millimetre: the
// smallest text is then 11 points high.
const (
	sheetWidth = 100.0
	margin     = 4.0
	titleSize  = 4.6
	textSize   = 3.4
	smallSize  = 3.0
	thin       = 0.25
	medium     = 0.45
)

// frame draws the edge of a sheet, by which it is told from a light chat.
func (d *Drawing) frame() {
	const in = 0.4
	d.Add(Path{Points: []Point{{in, in}, {d.Width - in, in}, {d.Width - in, d.Height - in}, {in, d.Height - in}},
		Closed: true, Pen: Pen{Stroke: Faint, Width: 0.3}})
}
