package commands

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	worked "countwright/calc/fabric"
	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/regauge"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// wantedPattern is what a member wants made: a pattern at hand, or the name of
// one that her server keeps.
type wantedPattern struct {
	*pattern.Pattern        // nil: it must be found by its name
	named            string // as typed
}

func readWanted(text string, _ Settings) (wantedPattern, error) {
	if text == "" {
		return wantedPattern{}, words.Say("it is empty")
	}
	if p, ok := pattern.Find(text); ok {
		return wantedPattern{p, text}, nil
	}
	return wantedPattern{named: text}, nil
}

// suggestWanted offers the patterns at hand, then those kept here.
func suggestWanted(s Services) func(context.Context, Request, string) []Choice {
	return func(ctx context.Context, r Request, typed string) []Choice {
		var offers []Choice
		typed = strings.ToLower(strings.TrimSpace(typed))
		offer := func(name, label string) {
			if strings.Contains(strings.ToLower(name+" "+label), typed) {
				offers = append(offers, Choice{Label: clip(label, 100), Value: name})
			}
		}
		for _, p := range pattern.House() {
			offer(p.Name, r.Say(words.Key(p.Title)))
		}
		for _, p := range keptHere(ctx, s, r) {
			if !p.Draft {
				offer(p.Name, r.Of(keptLine(p)))
			}
		}
		if _, ok := s.checked.of(r.Member.ID); ok {
			offer(justChecked, r.Say("%s: the text you checked last", justChecked))
		}
		return offers
	}
}

// wanted finds the pattern: one with dimensions, or written rows.
func (o resizeOptions) wanted(ctx context.Context, r Request) (*pattern.Pattern, written, error) {
	w := o.pattern.Of(r)
	if w.Pattern != nil {
		return w.Pattern, written{}, nil
	}
	var names []string
	for _, p := range pattern.House() {
		names = append(names, p.Name)
	}
	t, err := findKept(ctx, o.services, r, "pattern", w.named, "")
	if err != nil && !strings.EqualFold(w.named, justChecked) {
		m := &Mistake{Option: "pattern", Message: "there is no pattern “%s”; at hand are %s", Args: []any{clip(w.named, 40), strings.Join(names, ", ")}, Example: "pattern:" + names[0]}
		for _, p := range keptHere(ctx, o.services, r) {
			if len(m.Parts) == 0 {
				m.Parts = append(m.Parts, reply.List{Title: r.Say("Kept here")})
			}
			kept := m.Parts[0].(reply.List)
			kept.Items = append(kept.Items, r.Of(keptLine(p)))
			m.Parts[0] = kept
			names = append(names, strings.ToLower(p.Name))
		}
		if near := nearest(strings.ToLower(w.named), names); near != "" {
			m.say("there is no pattern “%s”; did you mean %s?", clip(w.named, 40), near)
			m.Example = "pattern:" + near
		}
		return nil, t, m
	}
	if err != nil || !t.file {
		return nil, t, err
	}
	p, err := pattern.Read(t.name, []byte(t.text))
	if err != nil {
		return nil, t, fileMistake(t, err)
	}
	return p, t, nil
}

// resizeStored makes written rows anew at the member's gauge: the same
// finished measurements in other counts.
func (o resizeOptions) resizeStored(ctx context.Context, r Request, t written) (reply.Reply, error) {
	if err := o.onlyGauge(r); err != nil {
		return reply.Reply{}, err
	}
	c, err := workText(r, t, reading{})
	if err != nil {
		return reply.Reply{}, err
	}
	if !c.result.OK() {
		m := &Mistake{Option: "pattern", Message: "its check does not hold, so it can't be made anew: %s. Mend it first", Args: []any{c.verdict()}, Example: "/pattern check"}
		m.Parts = c.found()
		return reply.Reply{}, m
	}
	order := regauge.Order{Style: notation.StyleOf(t.text), Terms: c.doc.Terms}
	if o.terms.Given(r) {
		order.Terms = r.Terms()
	}
	if order.Size, err = o.sizeOf(r, c); err != nil {
		return reply.Reply{}, err
	}
	if order.From, err = o.gaugeOf(r, t); err != nil {
		return reply.Reply{}, err
	}
	mine, err := gaugeOrSwatch(ctx, o.services, r, o.gauge, o.swatch)
	if err != nil {
		return reply.Reply{}, err
	}
	order.To = mine.gauge
	made, err := regauge.Remake(c.doc, order)
	var nothing *regauge.NothingError
	switch {
	case errors.As(err, &nothing):
		return reply.Reply{}, cannotRemake(r, nothing)
	case err != nil:
		return reply.Reply{}, fmt.Errorf("make %s anew: %w", t.name, err)
	}
	return remadeReply{r, c, mine, order, made}.reply(), nil
}

// onlyGauge is a mistake where an option is given that written rows without
// dimensions can't answer to.
func (o resizeOptions) onlyGauge(r Request) error {
	const why words.Key = "this pattern is written rows and knows no body: it is made anew at your gauge, in its own size"
	for _, b := range o.body {
		if b.Given(r) {
			return &Mistake{Option: b.spec.Name, Message: why, Example: "gauge:14x10"}
		}
	}
	for _, l := range []*Opt[measure.Measured]{o.width, o.length, o.ease} {
		if l.Given(r) {
			return &Mistake{Option: l.spec.Name, Message: why, Example: "gauge:14x10"}
		}
	}
	if o.sheet.Given(r) {
		return &Mistake{Option: "sheet", Message: "sheets are made for the patterns at hand only; leave it out", Example: "pattern:cardigan"}
	}
	return nil
}

// sizeOf reads which of its sizes a pattern is made in: its name or its place.
func (o resizeOptions) sizeOf(r Request, c *checked) (int, error) {
	if !o.size.Given(r) {
		return 0, nil
	}
	names := c.sizeNames()
	said := strings.TrimSpace(o.size.Of(r))
	for i, n := range names {
		if strings.EqualFold(n, said) {
			return i, nil
		}
	}
	if n, err := strconv.Atoi(said); err == nil && n >= 1 && n <= len(names) {
		return n - 1, nil
	}
	if len(names) == 1 {
		return 0, &Mistake{Option: "size", Message: "this pattern has one size; leave size out", Example: "gauge:14x10"}
	}
	return 0, &Mistake{Option: "size", Message: "this pattern has no size %q; it has %s", Args: []any{clip(said, 20), listed(names, 12)}, Example: "size:" + names[0]}
}

// gaugeOf is the gauge that a pattern was written at: as said, else as its own
// text states.
func (o resizeOptions) gaugeOf(r Request, t written) (gauge.Gauge, error) {
	if o.from.Given(r) {
		return o.from.Of(r), nil
	}
	if g, ok := regauge.Stated(t.text); ok {
		return g, nil
	}
	return gauge.Gauge{}, &Mistake{Option: "from", Message: "the pattern's text does not state its gauge in a way I can read; say it yourself: stitches × rows in 10 cm", Example: "from:14x10"}
}

// cannotRemake tells why no piece could be made anew, and what comes out when
// it is followed as it stands.
func cannotRemake(r Request, e *regauge.NothingError) error {
	m := &Mistake{Option: "pattern", Message: "it can't be made at another gauge without breaking its stitch pattern", Example: "/gauge follow theirs:14x10 mine:16x12"}
	m.Parts = append(m.Parts, reply.List{Title: r.Say("What stands in the way"), Items: leftItems(r, e.Left)})
	return m
}

func leftItems(r Request, left []regauge.Left) []string {
	u := r.Settings.Units
	items := make([]string, len(left))
	for i, l := range left {
		items[i] = r.Say("%s. As it stands it comes out about %s wide and %s tall at your gauge.", strings.TrimSuffix(l.String(), "."), mm(l.Wide, u), mm(l.Tall, u))
	}
	return items
}

// remadeReply tells a pattern made anew.
type remadeReply struct {
	r     Request
	was   *checked
	mine  ownGauge
	order regauge.Order
	made  *regauge.Remade
}

func (a remadeReply) reply() reply.Reply {
	u := a.r.Settings.Units
	name := a.was.name
	if name == "" {
		name = a.r.Say("Your pattern")
	}
	out := reply.Reply{Title: a.r.Say("%s at %s", name, gaugeText(a.order.To, u)), Data: a.data()}
	out.Parts = append(out.Parts,
		reply.Text{Text: a.r.Say("Written for %s. Made anew for %s.%s The finished measurements stay as near as whole stitches and rows allow, and every row was worked again, stitch by stitch.",
			gaugeText(a.order.From, u), gaugeText(a.order.To, u), a.mine.note())},
		a.table())
	if why := a.coarse(); why != "" {
		out.Parts = append(out.Parts, reply.Text{Text: why})
	}
	if len(a.made.Left) > 0 {
		out.Parts = append(out.Parts, reply.Caution{Text: a.r.Say("Some of it could not be made anew and stands as it was written:")}, reply.List{Items: leftItems(a.r, a.made.Left)})
	}
	lines := strings.Split(strings.TrimRight(a.made.Text, "\n"), "\n")
	out.Parts = append(out.Parts, shownRows(a.r.Printer, "", lines, fileName(a.was.name, "anew"), a.made.Text)...)
	if shape := a.shape(); shape != nil {
		out.Parts = append(out.Parts, shape)
	}
	out.Parts = append(out.Parts, reply.List{Title: a.r.Say("What I took for granted"), Items: a.r.Each(
		"Rows of other stitches become finer or coarser in the same measure as your swatch.",
		"Sentences between the rows stand as they were: figures in them, such as yarn amounts, may no longer fit.",
	)})
	return out
}

// table sets each section as it was beside what it became.
func (a remadeReply) table() reply.Table {
	t := reply.Table{Title: a.r.Say("What changes"), Head: a.r.Each("Section", "Was", "Now", "Wide", "Tall"), Right: []bool{false, false, false, true, true}}
	for _, p := range a.made.Pieces {
		for _, s := range p.Sections {
			name := s.Name
			if p.Name != "" {
				name = p.Name + ", " + name
			}
			wide, tall := s.Deviation(a.order)
			if s.Was == s.Now { // a beginning in a ring, or a closed top
				wide, tall = 0, 0
			}
			t.Rows = append(t.Rows, []string{name, a.extent(s.Was), a.extent(s.Now),
				a.comes(float64(max(s.Now.Start, s.Now.End))*a.order.To.StitchWidth(), wide, a.order.To.StitchWidth()),
				a.comes(float64(s.Now.Rows)*a.order.To.RowHeight(), tall, a.order.To.RowHeight())})
		}
	}
	return t
}

// comes is a length, and how far it is from what the pattern had where that is
// more than half a stitch or row.
func (a remadeReply) comes(now, off, unit float64) string {
	u := a.r.Settings.Units
	shown := asShown(measure.FromMM(now), u) - asShown(measure.FromMM(now-off), u)
	if shown == 0 || max(off, -off) <= unit*0.51 {
		return mm(now, u)
	}
	return mm(now, u) + " (" + shown.Signed(u) + ")"
}

// coarse says why some section comes out wider or narrower than half a stitch;
// empty where none does. Beginnings in a ring don't count: they keep their few
// stitches.
func (a remadeReply) coarse() string {
	for _, p := range a.made.Pieces {
		for _, s := range p.Sections {
			wide, _ := s.Deviation(a.order)
			if s.Was != s.Now && max(wide, -wide) > a.order.To.StitchWidth()*0.51 {
				return a.r.Say("Where a width is more than half a stitch off, the stitch pattern, or the shaping of whole rows, allows no count that comes closer.")
			}
		}
	}
	return ""
}

// extent is the counts of a section: "39 to 34 sts, 9 rows".
func (a remadeReply) extent(e regauge.Extent) string {
	if e.Start == e.End {
		return a.r.Say("%d sts, %s", e.Start, countedRows(e.Rows))
	}
	return a.r.Say("%d to %d sts, %s", e.Start, e.End, countedRows(e.Rows))
}

// shape is the schematic at the new gauge; nil where there is no one shape.
func (a remadeReply) shape() reply.Block {
	res := worked.Work(a.made.Doc, worked.Options{Gauge: &worked.Gauge{Gauge: a.order.To}})
	s := picture.Schematic{Title: a.r.Say("The pieces at your gauge")}
	for _, p := range res.Pieces {
		if drawn, ok := picture.Shape(p, 0, a.r.Settings.Units); ok {
			if drawn.Name == "" {
				drawn.Name = a.r.Say("Piece")
			}
			s.Pieces = append(s.Pieces, drawn)
		}
	}
	d, err := s.Draw()
	if err != nil { // nothing to draw, or more than a sheet holds
		return nil
	}
	return reply.Picture{Name: "shape", Alt: clip(d.Description, 1000), Drawing: d}
}

// data is the same in the form of /resize.
func (a remadeReply) data() resizeData {
	d := resizeData{Pattern: a.was.name, Size: a.was.sizeNames()[a.order.Size], Gauge: gaugeData{round2(a.order.To.Stitches), round2(a.order.To.Rows), false},
		Pieces: []resizePiece{}, Joins: []resizeJoin{}, Meets: []resizeMeet{}, Finished: []resizeFinished{}, BodyMM: map[string]int{}, Assumed: []string{}, Forced: map[string][]string{}}
	for i, p := range a.made.Pieces {
		piece := resizePiece{Name: p.Name, Make: p.Make, Sections: []resizeSection{}, Rows: []resizeRow{}}
		wide, wideWas, tall, tallWas := 0, 0, 0, 0
		for _, s := range p.Sections {
			piece.Sections = append(piece.Sections, resizeSection{s.Name, string(s.Stitch), s.Now.Start, s.Now.End, s.Now.Rows})
			wide, wideWas = max(wide, s.Now.Start, s.Now.End), max(wideWas, s.Was.Start, s.Was.End)
			tall, tallWas = tall+s.Now.Rows, tallWas+s.Was.Rows
		}
		made := a.made.Result.Pieces[p.Part].Rows
		for k := range made {
			if c := made[k].PerSize[0]; c != nil && isRow(&made[k]) {
				piece.Rows = append(piece.Rows, resizeRow{made[k].Label, c.Stitches})
			}
		}
		d.Pieces = append(d.Pieces, piece)
		name := p.Name
		if name == "" {
			name = fmt.Sprintf("piece %d", i+1)
		}
		d.Finished = append(d.Finished,
			resizeFinished{name + ", widest", tenth(float64(wide) * a.order.To.StitchWidth()), tenth(float64(wideWas) * a.order.From.StitchWidth())},
			resizeFinished{name + ", rows", tenth(float64(tall) * a.order.To.RowHeight()), tenth(float64(tallWas) * a.order.From.RowHeight())})
	}
	for _, l := range a.made.Left {
		d.Forced[l.Piece] = append(d.Forced[l.Piece], strings.TrimSpace(l.Rows+" "+l.Why))
	}
	return d
}
