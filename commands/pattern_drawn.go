package commands

import (
	"countwright/calc/stitch"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

// Pieces that are charted beside the answer of a check.
const (
	smallRows  = 16
	smallCells = 36
)

// pictures are the shape of the pieces where there is a gauge, and a chart
// where there is one small piece.
func (c *checked) pictures(r Request) []reply.Block {
	var parts []reply.Block
	if c.gauge != nil {
		parts = c.shape(r)
	}
	if chart, ok := c.smallChart(); ok {
		parts = append(parts, chart)
	}
	return parts
}

// shape is the schematic of the worked pieces.
func (c *checked) shape(r Request) []reply.Block {
	s := picture.Schematic{Title: c.Say("The shape as worked")}
	if len(c.result.Sizes) > 1 {
		s.Title = c.Say("%s, %s", s.Title, c.sizeNames()[0])
	}
	var parts []reply.Block
	for _, p := range c.result.Pieces {
		drawn, ok := picture.Shape(p, 0, r.Settings.Units)
		if !ok {
			if p.Name != "" && len(p.Rows) > 0 {
				parts = append(parts, reply.Text{Text: c.Say("%s is not drawn: its rows do not all stand one on another.", p.Name)})
			}
			continue
		}
		if drawn.Name == "" {
			drawn.Name = c.Say("Piece")
		}
		s.Pieces = append(s.Pieces, drawn)
	}
	if len(s.Pieces) == 0 {
		return parts
	}
	d, err := s.Draw()
	if err != nil { // larger than a sheet holds
		return append(parts, reply.Text{Text: c.Say("The shape is too large, or has too many pieces, for a drawing.")})
	}
	return append(parts, reply.Picture{Name: "shape", Alt: clip(d.Description, 1000), Drawing: d})
}

// smallChart charts a text of one small piece.
func (c *checked) smallChart() (reply.Block, bool) {
	at := -1
	for i := range c.result.Pieces {
		if len(c.result.Pieces[i].Rows) == 0 {
			continue
		}
		if at >= 0 {
			return nil, false
		}
		at = i
	}
	if at < 0 || !c.result.OK() {
		return nil, false
	}
	chart := picture.Worked(c.result.Pieces[at], 0, stitch.Dialect(c.doc.Terms))
	if len(chart.Rows) < 2 || len(chart.Rows) > smallRows {
		return nil, false
	}
	for _, row := range chart.Rows {
		if len(row.Cells) > smallCells {
			return nil, false
		}
	}
	d, err := chart.Draw()
	if err != nil {
		return nil, false
	}
	return reply.Picture{Name: "chart", Alt: clip(d.Description, 1000), Drawing: d}, true
}
