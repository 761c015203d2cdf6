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
	drawing, err := picture.Strip{Title: holesTitle(r, h), What: picture.Buttonholes, Stitches: h.Stitches, Positions: firsts, Width: h.Hole}.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the band: %w", err)
	}
	alt := r.Say("A band of %d stitches with %s of %d stitches each, starting at stitch %s.", h.Stitches, buttonholeCount(len(h.Holes)), h.Hole, numbers(r.Printer, firsts, 60))
	parts := []reply.Block{
		reply.Rows{Title: r.Say("Buttonhole row"), Lines: []string{opening}},
		reply.Rows{Title: r.Say("Next row"), Lines: []string{closing}},
		reply.Text{Text: holesLayout(r, h)},
		reply.Text{Text: r.Say("Each hole is %s wide (%s) for a button of %s.", stitchCount(h.Hole), h.Width.Text(units), h.Diameter.Text(units)) + r.Of(band.note())},
		reply.Picture{Name: "buttonholes", Alt: alt, Drawing: drawing},
		reply.Caution{Text: r.Say("Try the first hole with the button before you work the others. On children's things buttons must hold a strong pull, and for the smallest leave them off: small parts choke. Local rules apply to what is sold.")},
	}
	if !h.Symmetric {
		parts = append(parts, reply.Tip{Text: r.Say("These numbers allow no perfect mirror image; one stitch more lies at one side.")})
	}
	return reply.Reply{
		Title: holesTitle(r, h), Parts: parts,
		Data: map[string]any{"stitches": h.Stitches, "holes": holes},
	}, nil
}

func holesTitle(r Request, h spacing.Holes) string {
	return r.Say("%s on %s", buttonholeCount(len(h.Holes)), stitchCount(h.Stitches))
}

func holesLayout(r Request, h spacing.Holes) string {
	before, after := stitchCount(h.Before), stitchCount(h.After)
	switch {
	case len(h.Gaps) == 0:
		return r.Say("%s before the first, %s after the last.", before, after)
	case slices.Min(h.Gaps) == slices.Max(h.Gaps):
		return r.Say("%s before the first, %s after the last, gaps of %d each.", before, after, h.Gaps[0])
	}
	return r.Say("%s before the first, %s after the last, gaps of %s.", before, after, numbers(r.Printer, h.Gaps, 60))
}
