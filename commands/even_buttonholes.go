package commands

import (
	"context"
	"fmt"
	"slices"

	"countwright/calc/measure"
	"countwright/calc/spacing"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

func evenButtonholes(s Services) *Command {
	stitches := Int("stitches", "Stitches along the edge", 3, mostStitches).Require().Like("84")
	buttons := Int("buttons", "How many buttons", 1, 60).Require().Like("5")
	diameter := Length("diameter", "A button's diameter", spacing.MinButton, spacing.MaxButton).Require().Like("20 mm")
	given := Gauge("gauge", "Gauge of the band; your newest swatch if not said")
	swatch := swatchNamed(s)
	margin := Length("margin", "Kept free at each end; 1.5 cm if not said", 0, measure.Metre).Like("1.5 cm")
	stitch := stitchOption("stitch", "The stitch of the band; sc (UK dc) if not said")
	return &Command{
		Name: "buttonholes", Short: "Space buttonholes evenly, with both rows written out",
		Want: "space buttonholes", From: "maker",
		Options: []Option{stitches, buttons, diameter, given, swatch, margin, stitch},
		Examples: []string{
			"/even buttonholes stitches:84 buttons:5 diameter:20 mm gauge:14x16",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			band, err := gaugeOrSwatch(ctx, s, r, given, swatch)
			if err != nil {
				return reply.Reply{}, err
			}
			b := spacing.Band{Stitches: stitches.Of(r), Buttons: buttons.Of(r), Diameter: diameter.Of(r).Length, Gauge: band.gauge}
			if margin.Given(r) {
				b.Margin = max(margin.Of(r).Length, measure.Nanometre)
			}
			holes, err := spacing.Buttonholes(b)
			if err != nil {
				return reply.Reply{}, nearestThatFits(buttons, err)
			}
			return holesReply(r, holes, band, stitch.Of(r))
		},
	}
}

func holesReply(r Request, h spacing.Holes, band ownGauge, s chosenStitch) (reply.Reply, error) {
	opening, closing := holeRows(r, h, s)
	units := r.Settings.Units
	holes := make([]map[string]int, 0, len(h.Holes))
	var firsts []int
	for _, hole := range h.Holes {
		holes = append(holes, map[string]int{"first": hole.First, "width": hole.Width})
		firsts = append(firsts, hole.First)
	}
	drawing, err := picture.Strip{Title: holesTitle(h), What: picture.Buttonholes, Stitches: h.Stitches, Positions: firsts, Width: h.Hole}.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the band: %w", err)
	}
	alt := fmt.Sprintf("A band of %d stitches with %s of %d stitches each, starting at stitch %s.", h.Stitches, count(len(h.Holes), "buttonhole"), h.Hole, numbers(firsts, 60))
	layout := fmt.Sprintf("%s before the first, %s after the last", stitchCount(h.Before), stitchCount(h.After))
	switch {
	case len(h.Gaps) > 0 && slices.Min(h.Gaps) == slices.Max(h.Gaps):
		layout += fmt.Sprintf(", gaps of %d each", h.Gaps[0])
	case len(h.Gaps) > 0:
		layout += ", gaps of " + numbers(h.Gaps, 60)
	}
	parts := []reply.Block{
		reply.Rows{Title: "Buttonhole row", Lines: []string{opening}},
		reply.Rows{Title: "Next row", Lines: []string{closing}},
		reply.Text{Text: layout + "."},
		reply.Text{Text: fmt.Sprintf("Each hole is %s wide (%s) for a button of %s.%s", stitchCount(h.Hole), h.Width.Text(units), h.Diameter.Text(units), band.note())},
		reply.Picture{Name: "buttonholes", Alt: alt, Drawing: drawing},
		reply.Caution{Text: "Try the first hole with the button before you work the others. On children's things buttons must hold a strong pull, and for the smallest leave them off: small parts choke. Local rules apply to what is sold."},
	}
	if !h.Symmetric {
		parts = append(parts, reply.Tip{Text: "These numbers allow no perfect mirror image; one stitch more lies at one side."})
	}
	return reply.Reply{
		Title: holesTitle(h), Parts: parts,
		Data: map[string]any{"stitches": h.Stitches, "holes": holes},
	}, nil
}

func holesTitle(h spacing.Holes) string {
	return fmt.Sprintf("%s on %s", count(len(h.Holes), "buttonhole"), stitchCount(h.Stitches))
}
