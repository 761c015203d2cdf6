package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	worked "countwright/calc/fabric"
	"countwright/calc/notation"
	"countwright/calc/stitch"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// ownStitch is how high a member's single crochet is.
type ownStitch struct {
	single  float64 // millimetres; 0: not known
	swatch  string  // the swatch it was read off
	unnamed bool    // there is a swatch, but it doesn't say its stitch
}

// ownHeight reads it off the newest swatch that says its stitch.
func ownHeight(ctx context.Context, s Services, r Request) (ownStitch, error) {
	saved, err := s.Swatches.List(ctx, r.Member.ID)
	if err != nil {
		return ownStitch{}, fmt.Errorf("list swatches: %w", err)
	}
	own := ownStitch{unnamed: len(saved) > 0}
	for _, sw := range saved {
		height := heightOf(r, sw.Stitch)
		g, err := sw.Gauge()
		if height > 0 && err == nil {
			return ownStitch{single: g.RowHeight() / height, swatch: sw.Name}, nil
		}
	}
	return own, nil
}

// ownHint says how to see one's own millimetres.
func (a *stitchAnswer) ownHint() {
	if a.own.unnamed && a.Height > 0 {
		a.add(reply.Tip{Text: a.r.Say("Record a swatch with its stitch (/gauge swatch … stitch:%s) to see heights in your own millimetres.", wordIn(a.r.Terms(), "hdc"))})
	}
}

// ladder is the plain stitches from the lowest to the tallest.
var ladder = []stitch.ID{"sl st", "sc", "hdc", "dc", "tr", "dtr", "trtr", "quadtr"}

// compared lists the stitch among its neighbours, from the lowest to the
// tallest: two plain ones on either side, where there are so many.
func compared(s stitch.Stitch) []stitch.Stitch {
	var below, above []stitch.Stitch
	for _, id := range ladder {
		plain, _ := stitch.Lookup(id)
		switch {
		case id == s.ID:
		case plain.Height < s.Height || plain.Height == s.Height && slices.Index(ladder, s.ID) < 0:
			below = append(below, plain)
		default:
			above = append(above, plain)
		}
	}
	under := min(len(below), max(2, 4-len(above)))
	over := min(len(above), 4-under)
	list := append(slices.Clone(below[len(below)-under:]), s)
	return append(list, above[:over]...)
}

// pictures adds the rows of a stitch pattern as a chart, and the comparison of
// heights of a stitch with a symbol.
func (a *stitchAnswer) pictures() error {
	if err := a.chart(); err != nil {
		return err
	}
	if a.Symbol.Shape == stitch.NoShape && a.Symbol.Mark == "" || a.Height == 0 && a.lesson.Sample != "" {
		return nil
	}
	d := a.r.dialect()
	h := picture.Heights{Title: upperFirst(a.words().Name), Unit: wordIn(a.r.Terms(), "sc"), Single: a.own.single}
	for _, s := range compared(a.Stitch) {
		name := s.In(d).Short()
		if s.ID == a.ID && len([]rune(name)) > longestColumn {
			name = a.r.Say("this") // the title has it whole
		}
		h.Stitches = append(h.Stitches, picture.Tall{Name: name, Symbol: s.Symbol, Height: s.Height, Chain: s.Chain, Asked: s.ID == a.ID})
	}
	if a.own.single > 0 {
		h.Notes = []string{a.r.Say("Your millimetres are from your swatch “%s”.", clip(a.own.swatch, 30))}
	}
	drawing, err := h.Draw()
	if err != nil {
		return err
	}
	a.add(reply.Picture{Name: a.file(""), Alt: clip(drawing.Description, 1024), Drawing: drawing})
	return nil
}

// longestColumn is the longest name, in characters, that can be read below a
// stitch of a comparison.
const longestColumn = 9

// file is the name of a picture.
func (a *stitchAnswer) file(tail string) string {
	return "stitch-" + strings.ReplaceAll(string(a.ID), " ", "-") + tail
}

// chart draws the sample rows of the lesson, if they are of this very stitch.
func (a *stitchAnswer) chart() error {
	if a.lesson.Sample == "" || a.lesson.Stitch != a.ID {
		return nil
	}
	result := worked.Work(notation.Parse(a.lesson.Sample, notation.Options{Terms: notation.US}), worked.Options{})
	if len(result.Pieces) == 0 {
		return fmt.Errorf("the sample of %q has no rows", a.ID)
	}
	chart := picture.Worked(result.Pieces[0], 0, a.r.dialect())
	chart.Title = upperFirst(a.words().Name)
	drawing, err := chart.Draw()
	if err != nil {
		return fmt.Errorf("draw the sample of %q: %w", a.ID, err)
	}
	a.add(reply.Picture{Name: a.file("-chart"), Alt: clip(drawing.Description, 1024), Drawing: drawing})
	return nil
}

var symbolShapes = map[stitch.Shape]words.Key{stitch.Oval: "an open oval", stitch.Dot: "a filled dot", stitch.Plus: "a plus sign or an x",
	stitch.Stem: "a T", stitch.Puff: "a closed oval on a foot", stitch.Ring: "a ring", stitch.Tilde: "a plus sign under a wave", stitch.Wave: "a wavy line"}

var symbolJoins = map[stitch.Join]words.Key{stitch.AtTop: ", joined at the top", stitch.AtFoot: ", from one foot", stitch.AtBoth: ", joined at the top and the foot", stitch.Cross: ", crossed"}

// symbolWords describes a chart symbol to who can't see it.
func symbolWords(p words.Printer, s stitch.Symbol) string {
	if symbolShapes[s.Shape] == "" {
		return ""
	}
	text := p.Say(symbolShapes[s.Shape])
	if s.Legs > 1 {
		text = p.Say("%d times %s", s.Legs, text)
	}
	if s.Bars > 0 {
		text = p.Say("%s with %s", text, words.Count(s.Bars, "%d slanted bar", "%d slanted bars"))
	}
	if s.Legs > 1 {
		text += p.Say(symbolJoins[s.Join])
	}
	switch s.Post {
	case stitch.Front:
		text += p.Say(", its foot hooked to the front")
	case stitch.Back:
		text += p.Say(", its foot hooked to the back")
	}
	if s.Arc != stitch.NoSide {
		text += p.Say(", with an arc below")
	}
	if s.Chains > 0 && s.Shape == stitch.Oval {
		text = p.Say("a ring of %d small ovals", s.Chains)
	} else if s.Chains > 0 {
		text += p.Count(s.Chains, ", %d oval between", ", %d ovals between")
	}
	if s.Mark != "" {
		text += p.Say(", with the letter %s", s.Mark)
	}
	return text
}
