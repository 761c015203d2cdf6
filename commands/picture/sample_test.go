package picture

// sample has every kind of mark on it.
func sample() *Drawing {
	d := &Drawing{Width: sheetWidth, Height: 60, Title: "Sample <all marks>", Description: `a "drawing" & more`}
	d.frame()
	d.Add(Path{Points: []Point{{10, 10}, {40, 10}, {25, 30}}, Closed: true, Pen: Pen{Fill: Cloth, Stroke: Ink, Width: medium}})
	d.Add(Path{Points: []Point{{10, 35}, {20, 25}, {30, 45}, {40, 35}}, Curve: true, Pen: Pen{Stroke: Rust, Width: medium, Dash: []float64{2, 1}}})
	d.Add(Circle{Centre: Point{60, 20}, R: 8, Pen: Pen{Fill: Colour{0x1B, 0x5F, 0x8C, 0x80}}})
	d.Add(Circle{Centre: Point{80, 20}, R: 8, RY: 4, Pen: Pen{Stroke: Plum, Width: thin}})
	d.Add(Text{At: Point{10, 52}, Text: "Größe 38½ · 74 sts", Size: textSize, Colour: Ink})
	d.Add(Text{At: Point{95, 52}, Text: "right", Size: textSize, Anchor: End, Bold: true, Colour: Blue})
	d.Add(Text{At: Point{60, 45}, Text: "turned", Size: titleSize, Anchor: Middle, Turn: -30, Colour: Ink})
	return d
}
