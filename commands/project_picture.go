package commands

import (
	"fmt"
	"strings"

	"countwright/calc/pace"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

// mostDrawn is how many pieces a progress picture shows.
const mostDrawn = 8

// picture is the pieces filled to where the work stands.
func (w *work) picture() (reply.Block, error) {
	drawn, notes, said := w.inWork()
	drawing, err := picture.Progress(w.Name, drawn, notes).Draw()
	if err != nil {
		return nil, fmt.Errorf("draw the progress: %w", err)
	}
	alt := clip(w.Say("The pieces laid flat, filled to where the work stands: %s.", strings.Join(said, "; ")), 1000)
	return reply.Picture{Name: "progress", Alt: alt, Drawing: drawing}, nil
}

// inWork lists the pieces as they are drawn, those that are only noted, and
// all of them in words.
func (w *work) inWork() (drawn []picture.InWork, notes, said []string) {
	type sum struct {
		stitches, all, rows, allRows int
	}
	add := func(s *sum, i int) {
		p := w.pieces[i]
		s.stitches, s.all = s.stitches+p.Stitches(w.tally.Done[i]), s.all+p.Stitches(len(p.Rows))
		s.rows, s.allRows = s.rows+w.tally.Done[i], s.allRows+len(p.Rows)
	}
	taken := make([]bool, len(w.pieces))
	show := func(part picture.Part, name string, s sum) {
		note := w.Say("%d of %d rows", s.rows, s.allRows)
		said = append(said, name+" "+note)
		if len(drawn) == mostDrawn {
			notes = append(notes, name+": "+note)
			return
		}
		drawn = append(drawn, picture.InWork{Part: part, Name: name, Done: float64(s.stitches) / float64(s.all), Note: note})
	}
	for _, shape := range w.Pinned.Shapes {
		for n := 0; ; n++ { // each of its copies
			var s sum
			times := 1
			for i, p := range w.pieces {
				if belongs(p.Name, shape.Name) && max(p.Copy-1, 0) == n {
					add(&s, i)
					taken[i], times = true, p.Times()
				}
			}
			if s.all == 0 {
				break
			}
			name := shape.Name
			if times > 1 {
				name = w.Say("%s (%d of %d)", name, n+1, times)
			}
			show(shape, name, s)
		}
	}
	for i, p := range w.pieces {
		if taken[i] {
			continue
		}
		var s sum
		add(&s, i)
		if len(w.Pinned.Shapes) > 0 { // an edging on what is drawn
			note := w.Say("%s: %d of %d rows", p.Title(), s.rows, s.allRows)
			notes, said = append(notes, note), append(said, note)
			continue
		}
		show(picture.Stacked(p, inRounds(p)), p.Title(), s)
	}
	return drawn, notes, said
}

// belongs tells whether a part of the rows is of a piece: "Back, hem" is of
// the back.
func belongs(part, piece string) bool {
	return part == piece || strings.HasPrefix(part, piece+",")
}

func inRounds(p pace.Piece) bool { return strings.HasPrefix(p.Rows[0].Label, "Rnd") }
