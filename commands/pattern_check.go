package commands

import (
	"context"
	"fmt"
	"strings"

	worked "countwright/calc/fabric"
	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/regauge"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func patternCheck(s Services) *Command {
	from := newTextOptions(s)
	start := Int("start", "Stitches on the row before, where the rows are taken out of a pattern", 1, mostStitches).Like("24")
	terms := termsOption()
	of := Gauge("gauge", "For a drawing of the shape to measure; the one the text states if not said")
	return &Command{
		Name: "check", Short: "Work written rows stitch by stitch and see which counts hold",
		Want: "check the counts of written rows", From: "maker",
		Long: fmt.Sprintf("Give the rows as text (up to %d characters), as a .txt, .md or .toml file (up to %d KB), or by the name of a kept pattern. "+
			"With start, a single row taken out of a pattern is checked too.", mostTyped, mostFile>>10),
		Options: []Option{from.text, from.file, from.name, start, terms, of},
		Examples: []string{
			`/pattern check text:"Rnd 1: 6 sc in magic ring (6)\nRnd 2: 2 sc in each st around (12)\nRnd 3: *sc in next st, 2 sc in next st; rep from * around (18)"`,
			`/pattern check text:"sc in next 3 sts, [sc2tog, sc in next 4 sts] 3 times, sc in last 3 sts (21 sts)" start:24`,
			`/pattern check text:"Row 1: 1 htr in 3rd ch from hook and in each ch to end (20)\nRow 2: 2 ch, miss 1 htr, 1 htr in each htr to end (20)" terms:UK gauge:14x10`,
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			t, ask, err := from.read(ctx, r, words.Key("Check written rows"))
			if err != nil || ask != nil {
				return formReply(ask), err
			}
			opt := reading{terms: terms.Of(r), start: start.Of(r)}
			if g, ok := regauge.Stated(t.text); ok {
				opt.gauge, opt.stated = &g, true
			}
			if of.Given(r) {
				g := of.Of(r)
				opt.gauge, opt.stated = &g, false
			}
			c, err := workText(r, t, opt)
			if err != nil {
				return reply.Reply{}, err
			}
			s.checked.keep(r.Member.ID, t)
			return c.reply(r), nil
		},
	}
}

func formReply(ask *reply.Form) reply.Reply {
	if ask == nil {
		return reply.Reply{}
	}
	return reply.Reply{Title: ask.Title, Form: ask, Private: true}
}

// reading is how a text is to be read and worked.
type reading struct {
	terms notation.Terms // unsaid: as its words tell
	start int            // stitches on the row before; 0: the text begins a piece
	gauge *gauge.Gauge   // nil: no shape is drawn
	// stated: the gauge is the one that the text itself states.
	stated bool
}

// checked is a text, read and worked.
type checked struct {
	words.Printer // of who reads the answer
	written
	reading
	doc     *notation.Document
	result  *worked.Result
	assumed []words.Message // guesses made before it was read
}

// workText reads a text of rows and works it. A text without rows is a mistake.
func workText(r Request, t written, opt reading) (*checked, error) {
	if t.file {
		return workFile(r, t, opt)
	}
	c := &checked{Printer: r.Printer, written: t, reading: opt}
	terms := opt.terms
	if terms == notation.TermsUnsaid && r.Settings.Terms == notation.UK {
		if d := notation.DetectTerms(t.text); !d.Certain && !d.Mixed && len(d.Evidence) == 0 {
			terms = notation.UK
			c.assumed = append(c.assumed, words.Say("nothing in the text tells its terms; it is read in UK terms, as you have set"))
		}
	}
	c.doc = notation.Parse(t.text, notation.Options{Terms: terms})
	c.run()
	if c.rows() == 0 {
		return nil, c.nothing()
	}
	return c, nil
}

func (c *checked) run() {
	opt := worked.Options{Start: c.start}
	if c.gauge != nil {
		opt.Gauge = &worked.Gauge{Gauge: *c.gauge}
	}
	c.result = worked.Work(c.doc, opt)
}

// rows counts the rows that were worked, without foundations.
func (c *checked) rows() int {
	n := 0
	for _, p := range c.result.Pieces {
		for i := range p.Rows {
			if isRow(&p.Rows[i]) {
				n++
			}
		}
	}
	return n
}

// isRow says whether a worked row is more than a foundation.
func isRow(r *worked.Row) bool {
	if r.Number > 0 {
		return true
	}
	for _, c := range r.PerSize {
		if c != nil && c.Main() != "" && c.Main() != "ch" {
			return true
		}
	}
	return false
}

// claims says whether the text states any count.
func (c *checked) claims() bool {
	for _, p := range c.result.Pieces {
		for _, row := range p.Rows {
			for _, count := range row.PerSize {
				if count != nil && count.Claimed {
					return true
				}
			}
		}
	}
	return false
}

// nothing is the mistake of a text without rows.
func (c *checked) nothing() error {
	m := &Mistake{Message: "there is no row in this text that I can read; a row names stitches and where they go", Example: patternExample}
	for i, p := range c.doc.Problems {
		if i == 3 {
			break
		}
		m.Parts = append(m.Parts, c.place(p.Pos(), asSentence(p.Message)+didYouMean(c.Printer, p.Near))...)
	}
	return m
}

const patternExample = `/pattern check text:"Row 1: sc in 2nd ch from hook and in each ch across (16 sts)"`

func (c *checked) reply(r Request) reply.Reply {
	out := reply.Reply{Title: c.Of(c.verdict()), Data: c.data()}
	out.Parts = append(out.Parts, reply.Text{Text: c.readAs(r)})
	if len(c.result.Findings)+len(c.result.Assumptions) > 0 {
		out.Parts = append(out.Parts, stillEnglish(c.Printer)...)
	}
	out.Parts = append(out.Parts, c.found()...)
	out.Parts = append(out.Parts, c.counts()...)
	if list := c.assumptions(c.Printer); len(list) > 0 {
		out.Parts = append(out.Parts, reply.List{Title: c.Say("What I took for granted"), Items: list})
	}
	out.Parts = append(out.Parts, c.pictures(r)...)
	if file, ok := c.csv(); ok {
		out.Parts = append(out.Parts, file)
	}
	out.Actions = c.next(r)
	return out
}

// verdict is the answer in one line.
func (c *checked) verdict() words.Message {
	rows := c.rows()
	wrong, unread := c.wrong()
	bad := words.Count(wrong, "%d thing doesn't hold", "%d things don't hold")
	switch {
	case wrong > 0 && unread > 0:
		return words.Say("%s, and %s", bad, words.Count(unread, "%d place I could not read", "%d places I could not read"))
	case wrong > 0 && c.rounds():
		return words.Say("%s in %s", bad, words.Count(rows, "%d round", "%d rounds"))
	case wrong > 0:
		return words.Say("%s in %s", bad, countedRows(rows))
	case unread > 0:
		return words.Count(unread, "%d place I could not read; the rest holds", "%d places I could not read; the rest holds")
	}
	said := []words.Key{"The row can be worked", "Both rows can be worked", "All %d rows can be worked"}
	switch claims := c.claims(); {
	case claims && c.rounds():
		said = []words.Key{"The round holds", "Both rounds hold", "All %d rounds hold"}
	case claims:
		said = []words.Key{"The row holds", "Both rows hold", "All %d rows hold"}
	case c.rounds():
		said = []words.Key{"The round can be worked", "Both rounds can be worked", "All %d rounds can be worked"}
	}
	if rows > 2 {
		return words.Say(said[2], rows)
	}
	return words.Say(said[max(rows, 1)-1])
}

// rounds says whether all of it is worked in rounds.
func (c *checked) rounds() bool {
	some := false
	for _, p := range c.result.Pieces {
		for i := range p.Rows {
			if r := &p.Rows[i]; isRow(r) {
				if r.Kind != notation.Round {
					return false
				}
				some = true
			}
		}
	}
	return some
}

// wrong counts what does not hold and what was not read.
func (c *checked) wrong() (wrong, unread int) {
	for _, f := range c.result.Findings {
		if f.Kind == worked.KindUnread {
			unread++
		} else {
			wrong++
		}
	}
	return wrong, unread
}

// readAs says how the text was read.
func (c *checked) readAs(r Request) string {
	var said []string
	if c.name != "" {
		said = append(said, c.Say("“%s”.", c.name))
	}
	var sizes, start words.Message
	if n := len(c.result.Sizes); n > 1 {
		sizes = words.Say(", in %d sizes", n)
		if names := c.sizeNames(); c.result.Sizes[0] != "" {
			sizes = words.Say(", in %d sizes (%s)", n, listed(names, 8))
		}
	}
	if c.start > 0 {
		start = words.Say(", starting from %s", stitchCount(c.start))
	}
	said = append(said, c.Say("Read in %s terms%s%s.", c.doc.Terms, sizes, start))
	switch {
	case c.gauge != nil && c.stated:
		said = append(said, c.Say("Drawn at %s, as it states.", gaugeText(*c.gauge, r.Settings.Units)))
	case c.gauge != nil:
		said = append(said, c.Say("Drawn at %s.", gaugeText(*c.gauge, r.Settings.Units)))
	}
	if !c.claims() {
		said = append(said, c.Say("It states no counts to compare with; here is what each row makes."))
	}
	return strings.Join(said, " ")
}

// sizeNames names the sizes; those without a name are numbered.
func (c *checked) sizeNames() []string {
	names := make([]string, len(c.result.Sizes))
	for i, n := range c.result.Sizes {
		names[i] = n
		if n == "" {
			names[i] = c.Say("size %d", i+1)
		}
	}
	return names
}

// assumptions lists each guess that reading and working made.
func (c *checked) assumptions(p words.Printer) []string {
	list := make([]string, 0, len(c.assumed)+len(c.result.Assumptions))
	for _, a := range c.assumed {
		list = append(list, asSentence(p.Of(a)))
	}
	for _, a := range c.result.Assumptions {
		text := p.Say(words.Key(a.Message))
		if a.Label != "" && !strings.Contains(text, a.Label) {
			text = a.Label + ": " + text
		}
		if a.Pos.Line > 0 {
			text = p.Say("%s (line %d)", text, a.Pos.Line)
		}
		list = append(list, asSentence(text))
	}
	return list
}

// asSentence gives words a capital and a stop.
func asSentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return s
	}
	s = capitalised(s)
	if strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// next is what can be done with the text that was just checked. The lines name
// it, as no button can hold it.
func (c *checked) next(r Request) []reply.Action {
	name := justChecked
	if c.saved != nil {
		name = c.saved.Name
	}
	if c.file {
		return nil
	}
	var all []reply.Action
	add := func(label words.Message, path string, more map[string]Input) {
		if line := Line(path, more); len(line) <= mostAsked {
			all = append(all, reply.Button{Label: c.Of(label), Line: line})
		}
	}
	add(words.Say("Chart it"), "pattern chart", map[string]Input{"name": {Text: name}})
	if c.doc.Terms != r.Terms() {
		to := termsName(r.Terms())
		add(words.Say("In %s terms", to), "pattern terms", map[string]Input{"name": {Text: name}, "to": {Text: to}})
	}
	if c.result.OK() && c.stated {
		add(words.Say("At my gauge"), "resize", map[string]Input{"pattern": {Text: name}})
	}
	return all
}
