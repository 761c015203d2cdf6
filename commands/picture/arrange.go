package picture

import "slices"

// shelf is blocks beside one another, standing on one line.
type shelf []*block

func (r shelf) width() float64 {
	w := gapPieces * float64(len(r)-1)
	for _, b := range r {
		w += b.extent.width()
	}
	return w
}

// above and below are how far the blocks reach from the line they stand on.
func (r shelf) above() float64 {
	h := 0.0
	for _, b := range r {
		h = max(h, b.foot-b.extent.y1)
	}
	return h
}

func (r shelf) below() float64 {
	h := 0.0
	for _, b := range r {
		h = max(h, b.extent.y2-b.foot)
	}
	return h
}

// place puts the shelf on a sheet, the space that is left shared out.
func (r shelf) place(sh *sheet) {
	sh.y += 2
	foot := sh.y + r.above()
	spare := (sheetWidth - 2*margin - r.width()) / float64(len(r)+1)
	x := margin + spare
	for _, b := range r {
		b.put(sh.Drawing, x-b.extent.x1, foot-b.foot)
		x += b.extent.width() + gapPieces + spare
	}
	sh.y = foot + r.below() + 2
}

// arrange finds the largest scale in which the pieces fit on a sheet, and
// sets them in shelves in their order. It does not fit when only specks of
// pieces would leave room for their labels.
func (s Schematic) arrange() (rows []shelf, fit bool) {
	largest := 0.0
	for _, p := range s.Pieces {
		b := bounds(p.Outline)
		largest = max(largest, b.width(), b.height())
	}
	// Of the largest piece on the sheet, in millimetres.
	const most, small, speck = 72.0, 30.0, 12.0
	for size := most; size > speck; size *= 0.94 {
		rows, fit := s.shelves(size / largest)
		if fit && (size < small || total(rows) <= tallestPieces) {
			return rows, true
		}
	}
	return nil, false
}

func total(rows []shelf) float64 {
	h := 0.0
	for _, r := range rows {
		h += r.above() + r.below() + 4
	}
	return h
}

// shelves lays the pieces out in a scale; fits says whether each of them is
// narrow enough for the sheet.
func (s Schematic) shelves(scale float64) (rows []shelf, fits bool) {
	const room = sheetWidth - 2*margin
	fits = true
	for _, p := range s.Pieces {
		b := p.layout(scale)
		fits = fits && b.extent.width() <= room
		last := len(rows) - 1
		if last >= 0 && append(slices.Clone(rows[last]), b).width() <= room {
			rows[last] = append(rows[last], b)
			continue
		}
		rows = append(rows, shelf{b})
	}
	return rows, fits
}

// key shows what the hatched areas are.
func (s Schematic) key(sh *sheet) {
	seen := map[string]bool{}
	for _, p := range s.Pieces {
		for _, a := range p.Areas {
			if a.Stitch == "" || seen[a.Stitch] {
				continue
			}
			seen[a.Stitch] = true
			sh.y += lineHeight(textSize)
			foot := sh.y - descent*textSize
			sample := []Point{{margin, foot - 3}, {margin + 6, foot - 3}, {margin + 6, foot + 0.3}, {margin, foot + 0.3}}
			fillArea(sh.Drawing, sample, a.Ribs)
			sh.Add(Path{Points: sample, Closed: true, Pen: Pen{Stroke: Ink, Width: thin}})
			sh.Add(Text{At: Point{margin + 8, foot}, Text: a.Stitch, Size: textSize, Colour: Ink})
		}
	}
	if len(seen) > 0 {
		sh.y += 1
	}
}

// entry sets a line of the legend, its text set in after the letter.
func (s *sheet) entry(e Entry) {
	const in = 8.0
	for i, line := range wrapText(e.Text, textSize, false, sheetWidth-2*margin-in) {
		s.y += lineHeight(textSize)
		if i == 0 {
			s.Add(Text{At: Point{margin, s.y - descent*textSize}, Text: e.Letter, Size: textSize, Bold: true, Colour: Blue})
		}
		s.Add(Text{At: Point{margin + in, s.y - descent*textSize}, Text: line, Size: textSize, Colour: Ink})
	}
}
