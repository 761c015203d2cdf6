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
	return nil
}
