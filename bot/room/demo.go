package room

import (
	"context"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/commands"
)

// The demo community is invented: nobody in it exists.
var demo = []struct {
	member   string
	settings commands.Settings
	swatches []gauge.Swatch
}{
	{member: Host.ID, settings: commands.Settings{Terms: notation.US, Zone: "Europe/Lisbon", Level: "host"}},
	{
		member:   "mira",
		settings: commands.Settings{Terms: notation.US, Zone: "Europe/Helsinki", Level: "maker"},
		swatches: []gauge.Swatch{{
			Name: "rust wool", Stitches: 21, Rows: 15, Width: 15 * measure.Centimetre, Height: 15 * measure.Centimetre,
			Hook: 5, Yarn: "rust wool, 50 g = 98 m", Stitch: "hdc", Washed: true, Grams: 17,
		}},
	},
	{
		member:   "odile",
		settings: commands.Settings{Units: measure.Inches, Terms: notation.US, Zone: "America/Toronto", Level: "beginner"},
		swatches: []gauge.Swatch{{
			Name: "grey cotton", Stitches: 16, Rows: 12, Width: 4 * measure.Inch, Height: 4 * measure.Inch,
			Hook: 4.5, Yarn: "grey cotton", Stitch: "hdc",
		}},
	},
	{member: "bram", settings: commands.Settings{Terms: notation.UK, Zone: "Europe/London", Level: "maker"}},
}

// demoPatterns are kept for the room by its host. They are invented too: one
// whose check holds, and a draft with a slip in it.
var demoPatterns = []commands.SavedPattern{
	{Name: "spring hat", Version: "1", Title: "Spring hat", Author: "Mira", Licence: "CC BY 4.0", Text: `Spring hat
Gauge: 16 sts and 18 rnds = 10 cm in sc

Rnd 1: 8 sc in magic ring. (8)
Rnd 2: 2 sc in each st around. (16)
Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (24)
Rnd 4: *Sc in next 2 sts, 2 sc in next st; rep from * around. (32)
Rnd 5: *Sc in next 3 sts, 2 sc in next st; rep from * around. (40)
Rnd 6: *Sc in next 4 sts, 2 sc in next st; rep from * around. (48)
Rnd 7: *Sc in next 5 sts, 2 sc in next st; rep from * around. (56)
Rnd 8: *Sc in next 6 sts, 2 sc in next st; rep from * around. (64)
Rnd 9: *Sc in next 7 sts, 2 sc in next st; rep from * around. (72)
Rnd 10: *Sc in next 8 sts, 2 sc in next st; rep from * around. (80)
Rnds 11–30: Sc in each st around. (80)
Fasten off.
`},
	{Name: "coaster", Version: "1", Title: "Round coaster", Author: "Bram", Draft: true, Text: `Round coaster, in UK terms
Rnd 1: 12 tr in a magic ring, ss to first tr. (12 tr)
Rnd 2: 3 ch (counts as tr), 1 tr in same st, 2 tr in each st around, ss to top of 3 ch. (24 tr)
Rnd 3: 3 ch, 2 tr in next st, *1 tr in next st, 2 tr in next st; rep from * around, ss to top of 3 ch. (34 tr)
`},
}

// Furnish puts the invented demo community into an empty database.
func Furnish(ctx context.Context, s commands.Services) error {
	for _, d := range demo {
		if err := s.Members.SaveSettings(ctx, "", d.member, d.settings); err != nil {
			return err
		}
		for _, swatch := range d.swatches {
			if err := s.Swatches.Save(ctx, "", d.member, swatch); err != nil {
				return err
			}
		}
	}
	for _, p := range demoPatterns {
		p.Server = server
		if err := s.Patterns.Add(ctx, "", Host.ID, p); err != nil {
			return err
		}
	}
	return nil
}
