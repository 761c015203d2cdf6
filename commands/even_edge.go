package commands

import (
	"context"
	"fmt"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/spacing"
	"countwright/commands/reply"
)

func evenEdge(s Services) *Command {
	rows := Int("rows", "Row ends along the edge", 1, mostStitches).Like("60")
	stitches := Int("stitches", "Stitch tops along the edge", 1, mostStitches).Like("74")
	length := Length("length", "Or the length of the edge", measure.Centimetre, 50*measure.Metre).Like("60 cm")
	given := Gauge("gauge", "Gauge of the fabric; your newest swatch if not said")
	swatch := swatchNamed(s)
	edging := Gauge("edging", "Gauge of the edging, where it differs from the fabric's").Like("16x18")
	stitch := stitchOption("stitch", "The stitch of the edging")
	return &Command{
		Name: "edge", Short: "How many stitches to pick up along an edge, evenly",
		Want: "pick up the right number of stitches along an edge", From: "maker",
		Options: []Option{rows, stitches, length, given, swatch, edging, stitch},
		Examples: []string{
			"/even edge rows:60 gauge:14x10",
			"/even edge length:58 cm gauge:14x10 edging:16x18",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if n := countTrue(rows.Given(r), stitches.Given(r), length.Given(r)); n != 1 {
				return reply.Reply{}, Mistaken("/even edge rows:60 gauge:14x10", "say one of rows, stitches or length: what the edge consists of")
			}
			fabric, err := gaugeOrSwatch(ctx, s, r, given, swatch)
			if err != nil {
				return reply.Reply{}, err
			}
			band := fabric.gauge
			if edging.Given(r) {
				band = edging.Of(r)
			}
			e := edge{of: fabric, edging: band, stitch: stitch.Of(r)}
			switch {
			case rows.Given(r):
				e.places, e.blame = "row ends", rows.Blame
				e.Pickup, err = spacing.RowEnds(rows.Of(r), fabric.gauge, band)
			case stitches.Given(r):
				e.places, e.blame = "stitches", stitches.Blame
				e.Pickup, err = spacing.StitchTops(stitches.Of(r), fabric.gauge, band)
			default:
				e.blame = length.Blame
				e.Pickup, err = spacing.Along(length.Of(r).Length, band)
			}
			if err != nil {
				return reply.Reply{}, e.blame(err)
			}
			return e.reply(r), nil
		},
	}
}

func countTrue(list ...bool) int {
	n := 0
	for _, b := range list {
		if b {
			n++
		}
	}
	return n
}

// edge is what /even edge worked out.
type edge struct {
	spacing.Pickup
	of     ownGauge
	edging gauge.Gauge
	stitch chosenStitch
	places string // what lies along the edge; empty for a bare length
	blame  func(error) error
}

func (e edge) reply(r Request) reply.Reply {
	units := r.Settings.Units
	stitches := e.stitch.plural(r, e.Stitches)
	lead := fmt.Sprintf("%s on %s.", stitches, e.Length.Text(units))
	over := any(nil)
	var parts []reply.Block
	if e.places != "" {
		over = e.Over
		lead = fmt.Sprintf("%s over %d %s (%s): %s.", stitches, e.Over, e.places, e.Length.Text(units), e.rule())
		if e.Ratio.Stitches != e.Stitches {
			lead += fmt.Sprintf(" Kept to strictly, the rule would make %d.", e.Ratio.Stitches)
		}
	}
	parts = append(parts,
		reply.Text{Text: lead},
		reply.Text{Text: fmt.Sprintf("From %s, edging %s.%s", e.of.gauge.Text(units), e.edging.Text(units), e.of.note())})
	parts = append(parts, reply.Caution{Text: "Too many stitches and the edge ruffles; too few and it puckers. Work a hand's width, lay it flat and look before you go on."})
	return reply.Reply{
		Title: fmt.Sprintf("Pick up %s", stitches), Parts: parts,
		Data: map[string]any{"stitches": e.Stitches, "over": over, "pick": e.Ratio.Pick, "every": e.Ratio.Every,
			"length_mm": round2(e.Length.MM()), "deviation_mm": round2(e.Deviation.MM())},
	}
}

// rule says the ratio as makers do: "3 in every 4 row ends (skip every 4th)".
func (e edge) rule() string {
	one := map[string]string{"row ends": "row end", "stitches": "stitch"}[e.places]
	pick, every := e.Ratio.Pick, e.Ratio.Every
	if every == 1 {
		return fmt.Sprintf("%d in each %s", pick, one)
	}
	how := ""
	switch {
	case every-pick == 1:
		how = fmt.Sprintf("skip every %s", notation.Ordinal(every))
	case pick < every:
		how = fmt.Sprintf("skip %d of every %d", every-pick, every)
	default:
		each, more := pick/every, pick%every
		how = fmt.Sprintf("%d in each, and one more in %d of every %d", each, more, every)
	}
	return fmt.Sprintf("%d in every %d %s (%s)", pick, every, e.places, how)
}
