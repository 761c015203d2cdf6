package commands

import (
	"context"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/spacing"
	"countwright/commands/reply"
	"countwright/commands/words"
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
				e.ends, e.blame = true, rows.Blame
				e.Pickup, err = spacing.RowEnds(rows.Of(r), fabric.gauge, band)
			case stitches.Given(r):
				e.tops, e.blame = true, stitches.Blame
				e.Pickup, err = spacing.StitchTops(stitches.Of(r), fabric.gauge, band)
			default:
				e.blame = length.Blame
				e.Pickup, err = spacing.Along(length.Of(r).Length, band)
			}
			if err != nil {
				return reply.Reply{}, e.blame(spacingError(err))
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
	of         ownGauge
	edging     gauge.Gauge
	stitch     chosenStitch
	ends, tops bool // what lies along the edge: row ends, stitch tops; neither for a bare length
	blame      func(error) error
}

func (e edge) reply(r Request) reply.Reply {
	units := r.Settings.Units
	stitches, length := e.stitch.plural(r, e.Stitches), e.Length.Text(units)
	lead := r.Say("%s on %s.", stitches, length)
	over := any(nil)
	if e.ends || e.tops {
		over = e.Over
		lead = r.Say("%s over %d row ends (%s): %s.", stitches, e.Over, length, e.rule(r))
		if e.tops {
			lead = r.Say("%s over %d stitches (%s): %s.", stitches, e.Over, length, e.rule(r))
		}
		if e.Ratio.Stitches != e.Stitches {
			lead += r.Say(" Kept to strictly, the rule would make %d.", e.Ratio.Stitches)
		}
	}
	return reply.Reply{
		Title: r.Say("Pick up %s", stitches),
		Parts: []reply.Block{
			reply.Text{Text: lead},
			reply.Text{Text: r.Say("From %s, edging %s.", gaugeText(e.of.gauge, units), gaugeText(e.edging, units)) + r.Of(e.of.note())},
			reply.Caution{Text: r.Say("Too many stitches and the edge ruffles; too few and it puckers. Work a hand's width, lay it flat and look before you go on.")},
		},
		Data: map[string]any{"stitches": e.Stitches, "over": over, "pick": e.Ratio.Pick, "every": e.Ratio.Every,
			"length_mm": round2(e.Length.MM()), "deviation_mm": round2(e.Deviation.MM())},
	}
}

// rule says the ratio as makers do: "3 in every 4 row ends (skip every 4th)".
func (e edge) rule(r Request) string {
	pick, every := e.Ratio.Pick, e.Ratio.Every
	switch {
	case every == 1 && e.ends:
		return r.Say("%d in each row end", pick)
	case every == 1:
		return r.Say("%d in each stitch", pick)
	}
	how := ""
	switch {
	case every-pick == 1:
		how = r.Say("skip every %s", words.Ordinal(every))
	case pick < every:
		how = r.Say("skip %d of every %d", every-pick, every)
	default:
		how = r.Say("%d in each, and one more in %d of every %d", pick/every, pick%every, every)
	}
	if e.ends {
		return r.Say("%d in every %d row ends (%s)", pick, every, how)
	}
	return r.Say("%d in every %d stitches (%s)", pick, every, how)
}
