package picture

import "math"

// The pieces of an invented cardigan, hat, blanket and shawl, in millimetres.

func rectangle(w, h float64) []Point { return []Point{{0, 0}, {w, 0}, {w, h}, {0, h}} }

func disc(diameter float64) []Point {
	var all []Point
	for i := range 72 {
		a := 2 * math.Pi * float64(i) / 72
		all = append(all, Point{diameter / 2 * (1 + math.Cos(a)), diameter / 2 * (1 + math.Sin(a))})
	}
	return all
}

func cardigan() Schematic {
	back := Piece{
		Name:    "Back",
		Outline: []Point{{0, 0}, {560, 0}, {560, 640}, {370, 660}, {355, 640}, {205, 640}, {190, 660}, {0, 640}},
		Areas:   []Area{{Outline: []Point{{0, 0}, {560, 0}, {560, 60}, {0, 60}}, Stitch: "sideways ribbing", Ribs: Up}},
		Folds:   [][2]Point{{{0, 420}, {560, 420}}},
		Rows:    Up,
		Dimensions: []Dimension{
			{Point{0, 0}, Point{560, 0}, "56 cm · 78 sts", "width", Bottom},
			{Point{0, 0}, Point{0, 60}, "6 cm", "ribbing", Left},
			{Point{0, 60}, Point{0, 420}, "36 cm · 36 rows", "to armhole", Left},
			{Point{0, 420}, Point{0, 640}, "22 cm · 22 rows", "armhole", Left},
			{Point{560, 0}, Point{370, 660}, "66 cm", "length", Right},
			{Point{0, 640}, Point{190, 660}, "19 cm · 26 sts", "shoulder", Top},
			{Point{190, 660}, Point{370, 660}, "18 cm · 26 sts", "neck", Top},
			{Point{370, 660}, Point{560, 640}, "19 cm · 26 sts", "shoulder", Top},
		},
	}
	front := Piece{
		Name:    "Right front",
		Notes:   []string{"left: mirror image"},
		Outline: []Point{{0, 0}, {260, 0}, {260, 640}, {70, 660}, {0, 400}},
		Areas:   []Area{{Outline: []Point{{0, 0}, {260, 0}, {260, 60}, {0, 60}}, Stitch: "sideways ribbing", Ribs: Up}},
		Rows:    Up,
		Dimensions: []Dimension{
			{Point{0, 0}, Point{260, 0}, "26 cm · 36 sts", "width", Bottom},
			{Point{0, 400}, Point{70, 660}, "26 cm · 26 rows", "V neck", Left},
			{Point{70, 660}, Point{260, 640}, "19 cm · 26 sts", "shoulder", Top},
			{Point{0, 660}, Point{70, 660}, "7 cm · 10 sts", "neck", Top},
		},
	}
	sleeve := Piece{
		Name: "Sleeve", Notes: []string{"make 2"},
		Outline: []Point{{100, 0}, {340, 0}, {440, 430}, {0, 430}},
		Areas:   []Area{{Outline: []Point{{100, 0}, {340, 0}, {352, 50}, {88, 50}}, Stitch: "sideways ribbing", Ribs: Up}},
		Rows:    Up,
		Dimensions: []Dimension{
			{Point{100, 0}, Point{340, 0}, "24 cm · 34 sts", "cuff", Bottom},
			{Point{0, 430}, Point{440, 430}, "44 cm · 62 sts", "top", Top},
			{Point{340, 0}, Point{440, 430}, "43 cm · 43 rows", "length", Right},
		},
	}
	band := Piece{
		Name: "Button band", Outline: rectangle(1480, 40), Areas: []Area{{Outline: rectangle(1480, 40), Stitch: "sideways ribbing", Ribs: Up}},
		Dimensions: []Dimension{
			{Point{0, 0}, Point{1480, 0}, "148 cm · 207 sts", "length", AnySide},
			{Point{1480, 0}, Point{1480, 40}, "4 cm · 5 rows", "width", AnySide},
		},
	}
	return Schematic{Title: "Cardigan for a chest of 107 cm", Pieces: []Piece{back, front, sleeve, band}, Notes: []string{"14 stitches × 10 rows in 10 cm"}}
}

func hat() Schematic {
	return Schematic{Title: "Hat for a head of 56 cm", Pieces: []Piece{
		{Name: "Crown", Notes: []string{"in rounds"}, Outline: disc(165), Dimensions: []Dimension{{Point{0, 82.5}, Point{165, 82.5}, "16.5 cm · 10 rounds", "across", Bottom}}},
		{Name: "Side", Outline: rectangle(520, 140), Rows: Up, Areas: []Area{{Outline: rectangle(520, 40), Stitch: "ribbing", Ribs: Up}}, Dimensions: []Dimension{
			{Point{0, 0}, Point{520, 0}, "52 cm around · 72 sts", "around", AnySide},
			{Point{0, 40}, Point{0, 140}, "10 cm · 10 rounds", "height", AnySide},
			{Point{0, 0}, Point{0, 40}, "4 cm", "brim", AnySide},
		}},
	}}
}

func blanket() Schematic {
	return Schematic{Title: "Blanket", Pieces: []Piece{{Name: "Blanket", Outline: rectangle(1300, 1500), Rows: Up, Dimensions: []Dimension{
		{Point{0, 0}, Point{1300, 0}, "130 cm · 182 sts", "width", AnySide},
		{Point{0, 0}, Point{0, 1500}, "150 cm · 150 rows", "length", AnySide},
	}}}}
}

func shawl() Schematic {
	return Schematic{Title: "Triangular shawl", Pieces: []Piece{{Name: "Shawl", Outline: []Point{{0, 700}, {800, 0}, {1600, 700}}, Rows: Up, Dimensions: []Dimension{
		{Point{0, 700}, Point{1600, 700}, "160 cm · 224 sts", "wingspan", AnySide},
		{Point{800, 0}, Point{800, 700}, "70 cm · 70 rows", "depth", Right},
		{Point{0, 700}, Point{800, 0}, "106 cm", "edge", AnySide},
	}}}}
}

// run is the cardigan for a run of sizes, with labels that no sheet has room
// for.
func run() Schematic {
	s := cardigan()
	s.Title = "Cardigan, all sizes"
	for i := range s.Pieces {
		for j := range s.Pieces[i].Dimensions {
			d := &s.Pieces[i].Dimensions[j]
			d.Label = "46 (51, 56, 61, 66, 71) cm · 64 (72, 78, 86, 92, 100) sts"
			if d.Name == "ribbing" {
				d.Label = "6 cm in all sizes"
			}
		}
	}
	return s
}

// pullover has many short distances one above the other.
func pullover() Schematic {
	ribbing := func(w float64) []Area {
		return []Area{{Outline: rectangle(w, 57), Stitch: "worked sideways", Ribs: Up}}
	}
	sides := func(body, upper, neck string, at float64) []Dimension {
		return []Dimension{
			{Point{0, 0}, Point{421, 0}, "42.1 cm · 59 sts", "width", Bottom},
			{Point{0, 0}, Point{0, 57}, "5.7 cm · 8 sts", "ribbing", Left},
			{Point{0, 57}, Point{0, 377}, body, "body", Left},
			{Point{0, 377}, Point{0, at}, upper, "upper part", Left},
			{Point{0, at}, Point{0, 567}, neck, "neck", Left},
			{Point{307, 567}, Point{421, 567}, "11.4 cm · 16 sts", "shoulder", Top},
		}
	}
	back := Piece{Name: "Back", Rows: Up, Areas: ribbing(421),
		Outline:    []Point{{0, 0}, {421, 0}, {421, 567}, {307, 567}, {307, 547}, {114, 547}, {114, 567}, {0, 567}},
		Dimensions: append(sides("32 cm · 32 rows", "17 cm · 17 rows", "2 cm · 2 rows", 547), Dimension{Point{114, 547}, Point{307, 547}, "19.3 cm · 27 sts", "neck", Top})}
	front := Piece{Name: "Front", Rows: Up, Areas: ribbing(421),
		Outline:    []Point{{0, 0}, {421, 0}, {421, 567}, {307, 567}, {257, 497}, {164, 497}, {114, 567}, {0, 567}},
		Dimensions: append(sides("32 cm · 32 rows", "12 cm · 12 rows", "7 cm · 7 rows", 497), Dimension{Point{164, 497}, Point{257, 497}, "9.3 cm · 13 sts", "neck", Top})}
	sleeve := Piece{Name: "Sleeve", Notes: []string{"make 2"}, Rows: Up, Areas: []Area{{Outline: []Point{{100, 0}, {279, 0}, {279, 57}, {100, 57}}, Stitch: "worked sideways", Ribs: Up}},
		Outline: []Point{{100, 0}, {279, 0}, {279, 57}, {379, 467}, {0, 467}, {100, 57}},
		Dimensions: []Dimension{
			{Point{100, 0}, Point{279, 0}, "17.9 cm · 25 sts", "cuff", Bottom},
			{Point{0, 467}, Point{379, 467}, "37.9 cm · 53 sts", "top", Top},
			{Point{100, 0}, Point{100, 57}, "5.7 cm · 8 sts", "cuff", Left},
			{Point{100, 57}, Point{100, 467}, "41 cm · 41 rows", "length", Left},
		}}
	return Schematic{Title: "Pullover", Pieces: []Piece{back, front, sleeve}}
}
