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
	"countwright/commands/words"
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
	parts = append(parts, reply.Steps{Items: a.finishing()})
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

func (a *resized) title() string {
	return a.r.Say("%s, %s", words.Key(a.garment.Pattern.Title), a.madeFor())
}

// madeFor names the size or the body.
func (a *resized) madeFor() string { return a.forWhom(a.r.Printer) }

func (a *resized) forWhom(p words.Printer) string {
	g, u := a.garment, a.units()
	if len(g.Pattern.Tables) == 0 {
		var sizes []string
		for _, ask := range g.Pattern.Asks {
			if v, ok := g.Length(ask.Name); ok {
				sizes = append(sizes, p.Say("%s %s", named(p, ask.Name), mm(v, u)))
			}
		}
		return strings.Join(sizes, ", ")
	}
	var own []string
	for _, m := range a.who.given {
		if g.Pattern.Reads(string(m)) {
			own = append(own, p.Say("%s %s", words.Key(m), a.who.body[m].Text(u)))
		}
	}
	switch {
	case a.who.size != "" && len(own) > 0:
		return p.Say("size %s with %s", a.who.size, strings.Join(own, ", "))
	case a.who.size != "":
		return p.Say("size %s", a.who.size)
	}
	return strings.Join(own, ", ")
}

func (a *resized) facts(amount yarn.Amount) reply.Block {
	g, u, r := a.garment, a.units(), a.r
	items := []reply.Field{{Name: r.Say("Made for"), Value: a.madeFor()}}
	if g.Pattern.Ease.Said() || g.Order.Ease != nil {
		items = append(items, reply.Field{Name: r.Say("Ease"), Value: measure.FromMM(g.Ease).Signed(u)})
	}
	if len(g.Order.Changes) > 0 {
		items = append(items, reply.Field{Name: r.Say("Changed"), Value: changesText(r.Printer, g.Order.Changes, g.Pattern, u)})
	}
	items = append(items,
		reply.Field{Name: tension(a.r), Value: a.gaugeText()},
		reply.Field{Name: r.Say("Hook"), Value: r.Say(whicheverHook(r), hookNames(g.Pattern.Hook))},
		reply.Field{Name: r.Say("Terms"), Value: termsName(a.r.Terms())},
		reply.Field{Name: r.Say("Yarn"), Value: a.yarnText(amount)})
	if b := g.Buttons; b != nil {
		text := r.Say("%d of %s; each hole takes %s", b.Number, mm(b.Diameter, u), stitchCount(b.Hole))
		if b.Fewer {
			text = r.Say("%s (more would not fit on this edge)", text)
		}
		items = append(items, reply.Field{Name: r.Say("Buttons"), Value: text})
	}
	return reply.Fields{Items: items}
}

// whicheverHook says that the gauge decides on the hook, not its number.
func whicheverHook(r Request) words.Key {
	if tensionWord(r) == "Tension" {
		return "%s, or whichever gives you this tension"
	}
	return "%s, or whichever gives you this gauge"
}

func (a *resized) gaugeText() string {
	g := a.garment
	text := a.r.Say("%s in %s", gaugeText(g.Order.Gauge, a.units()), stitchAbbr(a.r, g.Pattern.Stitch))
	switch {
	case a.base:
		text = a.r.Say("%s; you gave none and have no swatch saved, so this is the pattern's own", text)
	case a.own.swatch != nil:
		text = a.r.Say("%s, from your swatch “%s”", text, a.own.swatch.Name)
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
	u, r := a.units(), a.r
	var read []string
	for _, m := range a.who.assumed {
		if a.garment.Pattern.Reads(string(m)) && !(a.who.size != "" && m == a.who.table.Key) {
			read = append(read, r.Say("%s %s", words.Key(m), a.who.body[m].Text(u)))
		}
	}
	if len(read) > 0 {
		where := words.Say("the table “%s” between sizes %s and %s", words.Key(a.who.table.Title), a.who.between[0], a.who.between[1])
		if a.who.between[0] == a.who.between[1] {
			where = words.Say("the table “%s” at size %s", words.Key(a.who.table.Title), a.who.between[0])
		}
		text := r.Say("Not given, so read off %s: %s. Your own measurements always win.", where, strings.Join(read, ", "))
		if a.who.beyond {
			text += r.Say(" This body lies outside the table, so these are less sure: measure them if you can.")
		}
		blocks = append(blocks, reply.Text{Text: text})
	}
	if a.who.adjusted {
		blocks = append(blocks, reply.Text{Text: r.Say("Neck to wrist follows your arm length: %s.", a.who.body[sizing.CentreBack].Text(u))})
	}
	if len(a.unused) > 0 {
		blocks = append(blocks, reply.Text{Text: r.Say("This pattern does not use: %s.", strings.Join(r.Each(a.unused...), ", "))})
	}
	if a.bare {
		blocks = append(blocks, reply.Text{Text: r.Say("A bare number is in your unit: I took %s.", words.Key(unitName(u)))})
	}
	if sw := a.own.swatch; sw != nil && sw.Stitch != "" && !names(sw.Stitch, a.garment.Pattern.Stitch) {
		blocks = append(blocks, reply.Caution{Text: r.Say(otherStitch(r), sw.Stitch, stitchAbbr(r, a.garment.Pattern.Stitch))})
	}
	return blocks
}

// otherStitch warns of a swatch in another stitch than the pattern's.
func otherStitch(r Request) words.Key {
	if tensionWord(r) == "Tension" {
		return "Your swatch is in %s, this pattern's tension is measured in %s: swatch that stitch too before you begin."
	}
	return "Your swatch is in %s, this pattern's gauge is measured in %s: swatch that stitch too before you begin."
}

// names reports whether words can mean a stitch, in any terms.
func names(text string, id stitch.ID) bool {
	for _, found := range stitch.Named(text, stitch.AnyDialect) {
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
	var list []words.Key
	for _, text := range p.Cautions {
		list = append(list, words.Key(text))
	}
	if a.who.table != nil && a.who.small() {
		for _, text := range p.Small {
			list = append(list, words.Key(text))
		}
		list = append(list, words.Key(childCaution))
	}
	for _, text := range list {
		blocks = append(blocks, reply.Caution{Text: a.r.Say(text)})
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
	t := reply.Table{Title: a.r.Say("Finished measurements"), Head: a.r.Each("", "comes to", "wanted", "off"), Right: []bool{false, true, true, true}}
	for _, f := range a.garment.Finished {
		t.Rows = append(t.Rows, []string{named(a.r.Printer, f.Name), mm(f.MM, u), mm(f.Target, u), measure.FromMM(f.MM - f.Target).Signed(u)})
	}
	return t
}

// forced lists measurements more than half a stitch or row away, with what
// keeps them from coming nearer.
func (a *resized) forced() reply.Block {
	var items []string
	for _, f := range a.garment.Finished {
		if f.Off() {
			items = append(items, a.r.Say("%s, %s off: %s", named(a.r.Printer, f.Name), measure.FromMM(f.MM-f.Target).Signed(a.units()), strings.Join(f.Forced, "; ")))
		}
	}
	if len(items) == 0 {
		return nil
	}
	return reply.List{Title: a.r.Say("More than half a stitch or row off, because whole numbers must also keep these rules"), Items: items}
}

func (a *resized) counts() reply.Block {
	t := reply.Table{Title: a.r.Say("Counts"), Head: a.r.Each("piece", "part", "stitch", "stitches", "rows"), Right: []bool{false, false, false, true, true}}
	for _, p := range a.garment.Pieces {
		name := named(a.r.Printer, p.Name)
		if p.Make > 1 {
			name = a.r.Say("%s (make %d)", name, p.Make)
		}
		for _, s := range p.Sections {
			stitches := fmt.Sprint(s.Start)
			if s.End != s.Start {
				stitches = a.r.Say("%d to %d", s.Start, s.End)
			}
			t.Rows = append(t.Rows, []string{name, named(a.r.Printer, s.Name), stitchAbbr(a.r, s.Stitch), stitches, fmt.Sprint(s.Rows)})
			name = ""
		}
	}
	return t
}

func (a *resized) notes() []reply.Block {
	if len(a.garment.Pattern.Notes) == 0 {
		return nil
	}
	var notes []string
	for _, text := range a.garment.Pattern.Notes {
		notes = append(notes, a.r.Say(words.Key(text)))
	}
	return []reply.Block{reply.List{Title: a.r.Say("Before you begin"), Items: notes}}
}

// rows are the written rows, a block a part.
func (a *resized) rows() []reply.Block {
	opt := notation.PrintOptions{Terms: a.r.Terms()}
	blocks := rowsInEnglish(a.r.Printer)
	for _, part := range a.garment.Written.Parts {
		b := reply.Rows{Title: part.Name}
		if part.Make > 1 {
			b.Title = a.r.Say("%s (make %d)", part.Name, part.Make)
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
		add(upperFirst(a.r.Say("%s: %s, %s, to %s, %s", named(a.r.Printer, j.Name), a.edges(j.A), edgeCount(j.ACount, j.ARows), a.edges(j.B), edgeCount(j.BCount, j.BRows))))
	}
	for _, m := range a.garment.Meets {
		add(upperFirst(a.r.Say("%s: %s, %d stitches (%s), to %s, %d row ends (%s)", named(a.r.Printer, m.Name), a.edges(m.A), m.ACount, mm(m.AMM, u), a.edges(m.B), m.BCount, mm(m.BMM, u))))
	}
	return reply.List{Title: a.r.Say("What meets what"), Items: items}
}

func edgeCount(n int, rows bool) words.Message {
	if rows {
		return countedRows(n)
	}
	return stitchCount(n)
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
		text := named(a.r.Printer, p.Name)
		for _, d := range p.Outline.Dimensions {
			if d.Outer == grade.BottomEdge || d.Outer == grade.TopEdge {
				text += fmt.Sprintf(", %s %s", named(a.r.Printer, picture.MadeName(d)), mm(d.MM, a.units()))
			}
		}
		said = append(said, text)
	}
	return clip(a.r.Say("The pieces laid flat with their measurements. %s.", strings.Join(said, ". ")), 1000)
}
