package commands

import (
	"fmt"

	"countwright/calc/notation"
	"countwright/calc/pace"
	"countwright/calc/yarn"
	"countwright/commands/picture"
)

// Pinned is what a project is worked from, as it was on the day it was started.
type Pinned struct {
	Title   string         `json:"title"`
	Size    string         `json:"size,omitempty"`  // whom it is made for
	Gauge   string         `json:"gauge,omitempty"` // as said on that day
	Terms   string         `json:"terms,omitempty"` // of the rows: US or UK
	Text    string         `json:"text,omitempty"`  // the rows as they were printed
	Plan    pace.Plan      `json:"plan"`
	Shapes  []picture.Part `json:"shapes,omitempty"` // the pieces laid flat
	Finish  []string       `json:"finishing,omitempty"`
	Yarn    PinnedYarn     `json:"yarn,omitzero"`
	Caution string         `json:"caution,omitempty"`
}

// PinnedYarn is how much yarn was reckoned to be needed; zeros mean not known.
type PinnedYarn struct {
	Grams  float64 `json:"grams"`
	Metres float64 `json:"metres"`
	Doubt  float64 `json:"doubt"` // as a part
	Ball   float64 `json:"ball"`  // grams of one
}

// pinned is the resized garment as it is pinned to a project. Its rows are
// read back from the printed text, and must be those that were made.
func (a *resized) pinned() (Pinned, error) {
	g := a.garment
	text := notation.Print(g.Written, notation.PrintOptions{Terms: a.r.Terms()})
	plan, err := pace.FromText(text, notation.Options{Terms: a.r.Terms()}, 0, a.r.Terms())
	if err != nil {
		return Pinned{}, fmt.Errorf("read back %s: %w", g.Pattern.Name, err)
	}
	var counts []int
	for _, part := range plan.Parts {
		for _, row := range part.Rows {
			counts = append(counts, row.Count)
		}
	}
	at := 0
	for _, piece := range g.Pieces {
		for _, row := range piece.Rows {
			if at >= len(counts) || counts[at] != row.Count {
				return Pinned{}, fmt.Errorf("%s, %s, %s: the pinned rows differ", g.Pattern.Name, piece.Name, row.Label)
			}
			at++
		}
	}
	amount, err := a.yarn()
	if err != nil {
		return Pinned{}, fmt.Errorf("reckon the yarn: %w", err)
	}
	return Pinned{
		Title: g.Pattern.Title, Size: a.madeFor(), Gauge: a.gaugeText(), Terms: termsName(a.r.Terms()), Text: text, Plan: plan,
		Shapes: picture.Parts(g), Finish: g.Finishing,
		Yarn: PinnedYarn{Grams: amount.Grams, Metres: amount.Metres, Doubt: amount.Doubt, Ball: amount.Ball.Grams},
	}, nil
}

// grams is a quantity of the project's yarn as a weight.
func (y PinnedYarn) grams(o *Opt[quantity], q quantity) (float64, error) {
	ball := y.Ball
	if ball == 0 {
		ball = yarn.DefaultBall.Grams
	}
	q, _ = q.ofLabel(yarn.Ball{Grams: ball})
	switch {
	case q.grams:
		return q.value, nil
	case y.Metres > 0:
		return q.value * y.Grams / y.Metres, nil
	}
	return 0, &Mistake{Option: o.spec.Name, Message: "I know no length of this yarn, so give its weight", Example: o.spec.Name + ":600 g"}
}
