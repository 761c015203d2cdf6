package commands

import (
	"fmt"
	"strings"

	"countwright/calc/grade"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/sizing"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

func (a *resized) units() measure.Unit { return a.r.Settings.Units }

func mm(v float64, u measure.Unit) string { return measure.FromMM(v).Text(u) }

// reply tells the garment: what it is made for, what comes out, how to make it.
func (a *resized) reply() (reply.Reply, error) {
	drawing, err := a.schematic().Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw the pieces: %w", err)
	}
	amount, err := a.yarn()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("reckon the yarn: %w", err)
	}
	parts := []reply.Block{a.facts(amount)}
	parts = append(parts, a.assumptions()...)
	parts = append(parts, a.cautions()...)
	parts = append(parts, reply.Picture{Name: "resize-" + a.garment.Pattern.Name, Alt: a.alt(), Drawing: drawing})
	parts = append(parts, a.finished())
	if off := a.forced(); off != nil {
		parts = append(parts, off)
	}
	parts = append(parts, a.counts())
	parts = append(parts, a.notes()...)
	parts = append(parts, a.rows()...)
	parts = append(parts, reply.Steps{Items: a.garment.Finishing})
	if fits := a.fits(); len(fits.Items) > 0 {
		parts = append(parts, fits)
	}
	out := reply.Reply{Title: a.title(), Parts: parts, Data: a.data(amount)}
	text, err := reply.Plain(out)
	if err != nil {
		return reply.Reply{}, fmt.Errorf("print the pattern: %w", err)
	}
	out.Parts = append(out.Parts, reply.File{Name: a.garment.Pattern.Name + ".txt", Type: "text/plain; charset=utf-8", Body: []byte(text)})
	return out, nil
}

func (a *resized) title() string { return a.garment.Pattern.Title + ", " + a.madeFor() }

// madeFor names the size or the body.
func (a *resized) madeFor() string {
	g, u := a.garment, a.units()
	if len(g.Pattern.Tables) == 0 {
		var sizes []string
		for _, ask := range g.Pattern.Asks {
			if v, ok := g.Length(ask.Name); ok {
				sizes = append(sizes, ask.Name+" "+mm(v, u))
			}
		}
		return strings.Join(sizes, ", ")
	}
	var own []string
	for _, m := range a.who.given {
		if g.Pattern.Reads(string(m)) {
			own = append(own, fmt.Sprintf("%s %s", m, a.who.body[m].Text(u)))
		}
	}
	switch {
	case a.who.size != "" && len(own) > 0:
		return "size " + a.who.size + " with " + strings.Join(own, ", ")
	case a.who.size != "":
		return "size " + a.who.size
	}
	return strings.Join(own, ", ")
}

func (a *resized) facts(amount yarn.Amount) reply.Block {
	g, u := a.garment, a.units()
	items := []reply.Field{{Name: "Made for", Value: a.madeFor()}}
	if g.Pattern.Ease.Said() || g.Order.Ease != nil {
		items = append(items, reply.Field{Name: "Ease", Value: measure.FromMM(g.Ease).Signed(u)})
	}
	if len(g.Order.Changes) > 0 {
		items = append(items, reply.Field{Name: "Changed", Value: changesText(g.Order.Changes, g.Pattern, u)})
	}
	items = append(items,
		reply.Field{Name: tension(a.r), Value: a.gaugeText()},
		reply.Field{Name: "Hook", Value: fmt.Sprintf("%s, or whichever gives you this %s", shortNames(g.Pattern.Hook), strings.ToLower(tension(a.r)))},
		reply.Field{Name: "Terms", Value: termsName(a.r.Terms())},
		reply.Field{Name: "Yarn", Value: a.yarnText(amount)})
	if b := g.Buttons; b != nil {
		text := fmt.Sprintf("%d of %s; each hole takes %d %s", b.Number, mm(b.Diameter, u), b.Hole, plural(b.Hole, "stitch", "stitches"))
		if b.Fewer {
			text += " (more would not fit on this edge)"
		}
		items = append(items, reply.Field{Name: "Buttons", Value: text})
	}
	return reply.Fields{Items: items}
}

// count says a number of things: "1 increase", "14 increases".
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func (a *resized) gaugeText() string {
	g := a.garment
	text := fmt.Sprintf("%s in %s", g.Order.Gauge.Text(a.units()), stitchAbbr(a.r, g.Pattern.Stitch))
	switch {
	case a.base:
		text += "; you gave none and have no swatch saved, so this is the pattern's own"
	case a.own.swatch != nil:
		text += fmt.Sprintf(", from your swatch “%s”", a.own.swatch.Name)
	}
	return text
}

// stitchAbbr is a stitch's abbreviation in the member's terms.
func stitchAbbr(r Request, id stitch.ID) string {
	s, ok := stitch.Lookup(id)
	if !ok {
		return string(id)
	}
	return s.In(stitch.Dialect(r.Terms())).Short()
}

// assumptions says what was not given and how it was filled in.
func (a *resized) assumptions() []reply.Block {
	var blocks []reply.Block
	u := a.units()
	var read []string
	for _, m := range a.who.assumed {
		if a.garment.Pattern.Reads(string(m)) && !(a.who.size != "" && m == a.who.table.Key) {
			read = append(read, fmt.Sprintf("%s %s", m, a.who.body[m].Text(u)))
		}
	}
	if len(read) > 0 {
		where := fmt.Sprintf("the table “%s” between sizes %s and %s", a.who.table.Title, a.who.between[0], a.who.between[1])
		if a.who.between[0] == a.who.between[1] {
			where = fmt.Sprintf("the table “%s” at size %s", a.who.table.Title, a.who.between[0])
		}
		text := fmt.Sprintf("Not given, so read off %s: %s. Your own measurements always win.", where, strings.Join(read, ", "))
		if a.who.beyond {
			text += " This body lies outside the table, so these are less sure: measure them if you can."
		}
		blocks = append(blocks, reply.Text{Text: text})
	}
	if a.who.adjusted {
		blocks = append(blocks, reply.Text{Text: fmt.Sprintf("Neck to wrist follows your arm length: %s.", a.who.body[sizing.CentreBack].Text(u))})
	}
	if len(a.unused) > 0 {
		blocks = append(blocks, reply.Text{Text: fmt.Sprintf("This pattern does not use: %s.", strings.Join(a.unused, ", "))})
	}
	if a.bare {
		blocks = append(blocks, reply.Text{Text: fmt.Sprintf("A bare number is in your unit: I took %s.", unitName(u))})
	}
	if sw := a.own.swatch; sw != nil && sw.Stitch != "" && !names(sw.Stitch, a.garment.Pattern.Stitch) {
		blocks = append(blocks, reply.Caution{Text: fmt.Sprintf("Your swatch is in %s, this pattern's %s is measured in %s: swatch that stitch too before you begin.",
			sw.Stitch, strings.ToLower(tension(a.r)), stitchAbbr(a.r, a.garment.Pattern.Stitch))})
	}
	return blocks
}

// names reports whether words can mean a stitch, in any terms.
func names(words string, id stitch.ID) bool {
	for _, found := range stitch.Named(words, stitch.AnyDialect) {
		if found == id {
			return true
		}
	}
	return false
}

// childCaution stands with whatever is made for a child.
const childCaution = "For a child: no cords or drawstrings at the neck, nothing that can come off and be swallowed. What is sold for children must meet local rules."

func (a *resized) cautions() []reply.Block {
	var blocks []reply.Block
	p := a.garment.Pattern
	list := p.Cautions
	if a.who.table != nil && a.who.small() {
		list = append(append([]string{}, list...), p.Small...)
		list = append(list, childCaution)
	}
	for _, text := range list {
		blocks = append(blocks, reply.Caution{Text: text})
	}
	return blocks
}

// small reports whether the body is a child's or an infant's; a head alone may
// be either.
func (f fitted) small() bool {
	if f.table.Audience != sizing.Adult {
		return true
	}
	head, ok := f.body[sizing.Head]
	return ok && f.table.Key == sizing.Head && head < 52*measure.Centimetre
}

func (a *resized) finished() reply.Block {
	u := a.units()
	t := reply.Table{Title: "Finished measurements", Head: []string{"", "comes to", "wanted", "off"}, Right: []bool{false, true, true, true}}
	for _, f := range a.garment.Finished {
		t.Rows = append(t.Rows, []string{f.Name, mm(f.MM, u), mm(f.Target, u), measure.FromMM(f.MM - f.Target).Signed(u)})
	}
	return t
}

// forced lists measurements more than half a stitch or row away, with what
// keeps them from coming nearer.
func (a *resized) forced() reply.Block {
	var items []string
	for _, f := range a.garment.Finished {
		if f.Off() {
			items = append(items, fmt.Sprintf("%s, %s off: %s", f.Name, measure.FromMM(f.MM-f.Target).Signed(a.units()), strings.Join(f.Forced, "; ")))
		}
	}
	if len(items) == 0 {
		return nil
	}
	return reply.List{Title: "More than half a stitch or row off, because whole numbers must also keep these rules", Items: items}
}

func (a *resized) counts() reply.Block {
	t := reply.Table{Title: "Counts", Head: []string{"piece", "part", "stitch", "stitches", "rows"}, Right: []bool{false, false, false, true, true}}
	for _, p := range a.garment.Pieces {
		name := p.Name
		if p.Make > 1 {
			name += fmt.Sprintf(" (make %d)", p.Make)
		}
		for _, s := range p.Sections {
			stitches := fmt.Sprint(s.Start)
			if s.End != s.Start {
				stitches = fmt.Sprintf("%d to %d", s.Start, s.End)
			}
			t.Rows = append(t.Rows, []string{name, s.Name, stitchAbbr(a.r, s.Stitch), stitches, fmt.Sprint(s.Rows)})
			name = ""
		}
	}
	return t
}

func (a *resized) notes() []reply.Block {
	if len(a.garment.Pattern.Notes) == 0 {
		return nil
	}
	return []reply.Block{reply.List{Title: "Before you begin", Items: a.garment.Pattern.Notes}}
}

// rows are the written rows, a block a part.
func (a *resized) rows() []reply.Block {
	opt := notation.PrintOptions{Terms: a.r.Terms()}
	var blocks []reply.Block
	for _, part := range a.garment.Written.Parts {
		b := reply.Rows{Title: part.Name}
		if part.Make > 1 {
			b.Title += fmt.Sprintf(" (make %d)", part.Make)
		}
		for _, l := range part.Lines {
			text := notation.PrintLine(l, opt)
			if _, ok := l.(*notation.Heading); ok {
				b.Lines = append(b.Lines, "")
			}
			b.Lines = append(b.Lines, text)
		}
		blocks = append(blocks, b)
	}
	return blocks
}

// fits lists the edges that meet.
func (a *resized) fits() reply.List {
	u := a.units()
	var items []string
	add := func(item string) {
		if !contains(items, item) { // both edges of a blanket are alike
			items = append(items, item)
		}
	}
	for _, j := range a.garment.Joins {
		add(fmt.Sprintf("%s: %s, %s, to %s, %s", upperFirst(j.Name), j.A, edgeCount(j.ACount, j.ARows), j.B, edgeCount(j.BCount, j.BRows)))
	}
	for _, m := range a.garment.Meets {
		add(fmt.Sprintf("%s: %s, %d stitches (%s), to %s, %d row ends (%s)", upperFirst(m.Name), m.A, m.ACount, mm(m.AMM, u), m.B, m.BCount, mm(m.BMM, u)))
	}
	return reply.List{Title: "What meets what", Items: items}
}

func edgeCount(n int, rows bool) string {
	if rows {
		return fmt.Sprintf("%d %s", n, plural(n, "row", "rows"))
	}
	return fmt.Sprintf("%d %s", n, plural(n, "stitch", "stitches"))
}

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
	basis := "from usual figures"
	if a.own.swatch != nil && (a.own.swatch.Grams > 0 || a.own.swatch.Metres > 0) {
		basis = "from your swatch"
	}
	c := a.class()
	text := fmt.Sprintf("%s (weight %d, %s), about %s or %.0f g, give or take %.0f %%, %s", c.Name, c.Number, a.garment.Pattern.Yarn.Fibre,
		(measure.Length(n.Metres) * measure.Metre).Long(a.units()), n.Grams, 100*n.Doubt, basis)
	text += fmt.Sprintf("; to buy, with %.0f %% to spare: %d %s of %.0f g", 100*n.Spare, n.Balls, plural(n.Balls, "ball", "balls"), n.Ball.Grams)
	if n.OneLot {
		text += " of one dye lot"
	}
	return text
}

// schematic draws the pieces with their dimensions and counts.
func (a *resized) schematic() picture.Schematic {
	s := picture.Made(a.garment, a.units())
	s.Title = a.title()
	return s
}

func (a *resized) alt() string {
	var said []string
	for _, p := range a.garment.Pieces {
		if len(p.Outline.Points) == 0 {
			continue
		}
		text := p.Name
		for _, d := range p.Outline.Dimensions {
			if d.Outer == grade.BottomEdge || d.Outer == grade.TopEdge {
				text += fmt.Sprintf(", %s %s", picture.MadeName(d), mm(d.MM, a.units()))
			}
		}
		said = append(said, text)
	}
	return clip("The pieces laid flat with their measurements. "+strings.Join(said, ". ")+".", 1000)
}
