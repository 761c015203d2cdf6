package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
	"countwright/calc/yarn"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// sizeRun is a pattern in every size of a table.
type sizeRun struct {
	one   resized // what all sizes share: the request, the gauge
	table *sizing.Table
	made  []*grade.Garment
	sizes []string
}

// resizeRun makes every size of a table at once.
func (o resizeOptions) resizeRun(ctx context.Context, r Request, p *pattern.Pattern, usual measure.Unit) (reply.Reply, error) {
	s := &sizeRun{one: resized{r: r}}
	if o.size.Given(r) {
		return reply.Reply{}, &Mistake{Option: "size", Message: "a run holds every size of a table; leave the size out", Example: "run:woman"}
	}
	for _, b := range o.body {
		if b.Given(r) {
			return reply.Reply{}, &Mistake{Option: b.spec.Name, Message: "a run is made to a table's sizes, not to one body; leave the measure out", Example: "run:woman"}
		}
	}
	table, err := sizing.Named(o.run.Of(r))
	if err != nil || !contains(p.Tables, table.Name) {
		if len(p.Tables) == 0 {
			return reply.Reply{}, &Mistake{Option: "run", Message: "%s has no sizes; say its width and length", Args: []any{p.Name}, Example: "width:90 cm"}
		}
		return reply.Reply{}, &Mistake{Option: "run", Message: "%s can be graded for %s", Args: []any{p.Name, strings.Join(p.Tables, ", ")}, Example: "run:" + p.Tables[0]}
	}
	s.table = table
	if s.one.own, s.one.base, err = o.gaugeFor(ctx, r, p); err != nil {
		return reply.Reply{}, err
	}
	o.usual = usual
	var orders []grade.Order
	for _, size := range table.Sizes {
		c, err := table.Complete(size.Body())
		if err != nil {
			return reply.Reply{}, bodyMistake(err)
		}
		order := grade.Order{Body: c.Body, Gauge: s.one.own.gauge, Changes: o.changes}
		if o.ease.Given(r) {
			ease := said(o.ease.Of(r), usual, r.Settings.Units)
			order.Ease = &ease
		}
		orders = append(orders, order)
		s.sizes = append(s.sizes, size.Name)
	}
	if s.made, err = grade.Run(p, orders); err != nil {
		return reply.Reply{}, o.blame(p, err)
	}
	return s.reply()
}

func (s *sizeRun) units() measure.Unit { return s.one.r.Settings.Units }

// each is one value for each size, as patterns write it.
func each[T any](s *sizeRun, of func(*grade.Garment) T) string {
	values := make([]T, len(s.made))
	for i, g := range s.made {
		values[i] = of(g)
	}
	return sizeString(values)
}

// sizeString writes the smallest size outside the brackets and the others
// within; a value that serves all sizes stands alone.
func sizeString[T any](values []T) string {
	texts := make([]string, len(values))
	same := true
	for i, v := range values {
		texts[i] = fmt.Sprint(v)
		same = same && texts[i] == texts[0]
	}
	if same || len(texts) == 1 {
		return texts[0]
	}
	return fmt.Sprintf("%s (%s)", texts[0], strings.Join(texts[1:], ", "))
}

// bare is a length without its unit, for size strings.
func (s *sizeRun) bare(mm float64) string {
	return strings.TrimSuffix(measure.FromMM(mm).Text(s.units()), " "+s.units().String())
}

func (s *sizeRun) reply() (reply.Reply, error) {
	p := s.made[0].Pattern
	drawing, err := s.schematic().Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the size run: %w", err)
	}
	amounts, err := s.amounts()
	if err != nil {
		return reply.Reply{}, err
	}
	s.one.garment = s.made[0]
	s.one.who.table = s.table
	r := s.one.r
	parts := []reply.Block{reply.Fields{Items: []reply.Field{
		{Name: r.Say("Sizes"), Value: sizeString(s.sizes)},
		{Name: upperFirst(r.Say(words.Key(s.table.Key))), Value: s.body(s.table.Key)},
		{Name: tension(r), Value: s.one.gaugeText()},
		{Name: r.Say("Hook"), Value: r.Say(whicheverHook(r), hookNames(p.Hook))},
		{Name: r.Say("Terms"), Value: termsName(r.Terms())},
		{Name: r.Say("Yarn"), Value: s.yarnText(amounts)},
	}}}
	parts = append(parts, s.one.cautions()...)
	parts = append(parts, reply.Picture{Name: "resize-" + p.Name + "-sizes", Alt: s.alt(), Drawing: drawing}, s.finished())
	if off := s.forced(); len(off.Items) > 0 {
		parts = append(parts, off)
	}
	parts = append(parts, s.one.notes()...)
	parts = append(parts, s.written()...)
	parts = append(parts, reply.Steps{Items: s.finishing()})
	out := reply.Reply{Title: r.Say("%s, sizes %s to %s (%s)", words.Key(p.Title), s.sizes[0], s.sizes[len(s.sizes)-1], words.Inner(s.table.Title)), Parts: parts, Data: s.data(amounts)}
	text, err := reply.Plain(out)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("print the size run: %w", err)
	}
	out.Parts = append(out.Parts, reply.File{Name: p.Name + "-sizes.txt", Type: "text/plain; charset=utf-8", Body: []byte(text)})
	return out, nil
}

// body is a measure of each size's body.
func (s *sizeRun) body(m sizing.Measure) string {
	return each(s, func(g *grade.Garment) string { return s.bare(g.Order.Body[m].MM()) }) + " " + s.units().String()
}

func (s *sizeRun) amounts() ([]yarn.Amount, error) {
	var list []yarn.Amount
	for _, g := range s.made {
		one := s.one
		one.garment = g
		a, err := one.yarn()
		if err != nil {
			return nil, fmt.Errorf("reckon the yarn: %w", err)
		}
		list = append(list, a)
	}
	return list, nil
}

func (s *sizeRun) yarnText(amounts []yarn.Amount) string {
	grams, balls, length := make([]string, len(amounts)), make([]int, len(amounts)), make([]string, len(amounts))
	unit := "m"
	for i, a := range amounts {
		text := (measure.Length(a.Metres) * measure.Metre).Long(s.units())
		length[i], unit, _ = strings.Cut(text, " ")
		grams[i], balls[i] = fmt.Sprintf("%.0f", a.Grams), a.Balls
	}
	c := s.one.class()
	format := words.Key("%s (weight %d, %s), about %s %s or %s g, give or take %.0f %%; to buy, with %.0f %% to spare: %s balls of %.0f g, of one dye lot")
	if balls[len(balls)-1] == 1 {
		format = "%s (weight %d, %s), about %s %s or %s g, give or take %.0f %%; to buy, with %.0f %% to spare: %s ball of %.0f g, of one dye lot"
	}
	return s.one.r.Say(format, words.Key(c.Name), c.Number, named(s.one.r.Printer, s.made[0].Pattern.Yarn.Fibre), sizeString(length), unit, sizeString(grams),
		100*amounts[0].Doubt, 100*amounts[0].Spare, sizeString(balls), amounts[0].Ball.Grams)
}

// finished is the finished measurements, a column a size.
func (s *sizeRun) finished() reply.Block {
	t := reply.Table{Title: s.one.r.Say("Finished measurements, %s", words.Key(unitName(s.units()))), Head: append([]string{""}, s.sizes...), Right: []bool{false}}
	for range s.sizes {
		t.Right = append(t.Right, true)
	}
	for i, f := range s.made[0].Finished {
		row := []string{named(s.one.r.Printer, f.Name)}
		for _, g := range s.made {
			row = append(row, s.bare(g.Finished[i].MM))
		}
		t.Rows = append(t.Rows, row)
	}
	balls := []string{s.one.r.Say("balls of 50 g")}
	if amounts, err := s.amounts(); err == nil {
		for _, a := range amounts {
			balls = append(balls, fmt.Sprint(a.Balls))
		}
		t.Rows = append(t.Rows, balls)
	}
	return t
}

// forced lists what is more than half a stitch or row off, a line a
// measurement.
func (s *sizeRun) forced() reply.List {
	out := reply.List{Title: s.one.r.Say("More than half a stitch or row off, because whole numbers must also keep the pattern's rules")}
	for i, f := range s.made[0].Finished {
		var off []string
		for k, g := range s.made {
			if f := g.Finished[i]; f.Off() {
				off = append(off, s.one.r.Say("%s %s", s.sizes[k], measure.FromMM(f.MM-f.Target).Signed(s.units())))
			}
		}
		if len(off) > 0 {
			out.Items = append(out.Items, s.one.r.Say("%s: %s", named(s.one.r.Printer, f.Name), strings.Join(off, ", ")))
		}
	}
	return out
}

func (s *sizeRun) alt() string {
	text := s.one.r.Say("The pieces laid flat in size %s, each distance lettered; the legend gives the letters' lengths and counts in all sizes.", s.sizes[s.middle()])
	return clip(text, 1000)
}

func (s *sizeRun) middle() int { return len(s.made) / 2 }

// schematic draws the middle size, with every size's lengths in the legend.
func (s *sizeRun) schematic() picture.Schematic {
	one := s.one
	one.garment = s.made[s.middle()]
	one.who.size = s.one.r.Say("%s to %s", s.sizes[0], s.sizes[len(s.sizes)-1])
	one.who.table = s.table
	drawn := one.schematic()
	drawn.Title = s.one.r.Say("%s, sizes %s", words.Key(one.garment.Pattern.Title), sizeString(s.sizes))
	drawn.Notes = nil
	at := 0
	for i, p := range one.garment.Pieces {
		if len(p.Outline.Points) == 0 || one.garment.Pattern.Pieces[i].Mirror != "" {
			continue
		}
		for k, d := range p.Outline.Dimensions {
			drawn.Pieces[at].Dimensions[k].Label = s.dimension(i, d, p.Outline.Double)
		}
		at++
	}
	return drawn.Lettered()
}

// dimension is a distance of a piece in all sizes.
func (s *sizeRun) dimension(piece int, d grade.Dimension, rounds bool) string {
	lengths, counts := make([]string, len(s.made)), make([]string, len(s.made))
	for i, g := range s.made {
		lengths[i], counts[i] = "–", "–"
		for _, o := range g.Pieces[piece].Outline.Dimensions {
			if o.Name == d.Name && o.Outer == d.Outer {
				lengths[i], counts[i] = s.bare(o.MM), fmt.Sprint(o.Count)
			}
		}
	}
	unit := "sts"
	switch {
	case d.Rows && rounds:
		unit = "rnds"
	case d.Rows:
		unit = "rows"
	}
	return fmt.Sprintf("%s %s%s · %s %s", sizeString(lengths), s.units(), picture.Around(d, rounds), sizeString(counts), unit)
}

// finishing is the steps with every size's counts.
func (s *sizeRun) finishing() []string {
	texts := make([][]string, len(s.made))
	for i, g := range s.made {
		one := s.one
		one.garment = g
		texts[i] = one.finishing()
	}
	steps := make([]string, len(texts[0]))
	for i := range steps {
		steps[i] = mergeNumbers(texts, i)
	}
	return steps
}

// mergeNumbers writes one step of all sizes: where they differ in a number, a
// size string.
func mergeNumbers(made [][]string, step int) string {
	fields := make([][]string, len(made))
	for i, g := range made {
		fields[i] = strings.Fields(g[step])
		if len(fields[i]) != len(fields[0]) {
			return made[0][step]
		}
	}
	out := make([]string, len(fields[0]))
	for k := range out {
		column := make([]string, len(made))
		for i := range made {
			column[i] = fields[i][k]
		}
		out[k] = sizeString(column)
	}
	return strings.Join(out, " ")
}

// runData is the machine-readable answer of a run.
type runData struct {
	Pattern string       `json:"pattern"`
	Run     string       `json:"run"`
	Sizes   []resizeData `json:"sizes"`
}

func (s *sizeRun) data(amounts []yarn.Amount) runData {
	d := runData{Pattern: s.made[0].Pattern.Name, Run: s.table.Name}
	for i, g := range s.made {
		one := s.one
		one.garment = g
		one.who = fitted{table: s.table, size: s.table.Name + " " + s.sizes[i]}
		d.Sizes = append(d.Sizes, one.data(amounts[i]))
	}
	return d
}
