package commands

import (
	"countwright/calc/measure"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/words"
)

// yarn reckons the yarn: from the member's swatch where it tells, else from
// usual figures.
func (a *resized) yarn() (yarn.Amount, error) {
	p := a.garment.Pattern
	main, _ := stitch.Lookup(p.Stitch)
	var use yarn.Use
	ok := false
	if a.own.swatch != nil {
		var err error
		if use, ok, err = yarn.FromSwatch(*a.own.swatch, yarn.Ball{}); err != nil {
			return yarn.Amount{}, err
		}
	}
	if !ok {
		var err error
		if use, err = yarn.FromGauge(a.garment.Order.Gauge, main.Height, yarn.Ball{}); err != nil {
			return yarn.Amount{}, err
		}
	}
	return use.WithClass(a.class()).Need(a.garment.Area(), yarn.Spare, yarn.Ball{})
}

// class is the yarn weight that the gauge points to, else the pattern's.
func (a *resized) class() yarn.Class {
	classes := yarn.Classes()
	w := min(max(a.garment.Pattern.Yarn.Weight, 0), len(classes)-1)
	if matches, err := yarn.ByGauge(a.garment.Order.Gauge.Stitches); err == nil && len(matches) > 0 {
		for _, m := range matches {
			if m.Number == w {
				return m.Class
			}
		}
		return matches[0].Class
	}
	return classes[w]
}

func (a *resized) yarnText(n yarn.Amount) string {
	basis := words.Key("from usual figures")
	if a.own.swatch != nil && (a.own.swatch.Grams > 0 || a.own.swatch.Metres > 0) {
		basis = "from your swatch"
	}
	c := a.class()
	balls := words.Count(n.Balls, "%d ball of %.0f g", "%d balls of %.0f g", n.Ball.Grams)
	if n.OneLot {
		balls = words.Count(n.Balls, "%d ball of %.0f g of one dye lot", "%d balls of %.0f g of one dye lot", n.Ball.Grams)
	}
	return a.r.Say("%s (weight %d, %s), about %s or %.0f g, give or take %.0f %%, %s; to buy, with %.0f %% to spare: %s", words.Key(c.Name), c.Number, named(a.r.Printer, a.garment.Pattern.Yarn.Fibre),
		(measure.Length(n.Metres) * measure.Metre).Long(a.units()), n.Grams, 100*n.Doubt, basis, 100*n.Spare, balls)
}
