package commands

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"countwright/calc/notation"
	"countwright/calc/pace"
	"countwright/calc/pattern"
	"countwright/commands/reply"
	"countwright/commands/words"
)

type startOptions struct {
	resizeOptions
	services Services
	name     *Opt[string]
	what     *Opt[string]
	rows     *Opt[int]
	stitches *Opt[int]
	copies   *Opt[int]
	yarn     *Opt[quantity]
}

func newStartOptions(s Services) startOptions {
	o := startOptions{
		resizeOptions: newResizeOptions(s),
		services:      s,
		name:          Words("name", "What you call it; the pattern's title if not said", 60).Like("Harbour cardigan"),
		what:          Words("pattern", "A house pattern, one kept on this server, or: just checked", 60).Like("cardigan"),
		rows:          Int("rows", "Without a pattern: how many rows", 1, pace.MostRows).Like("40"),
		stitches:      Int("stitches", "Without a pattern: stitches in each row", 1, mostStitches).Like("120"),
		copies:        Int("make", "Without a pattern: how many of it", 1, 50).Like("2"),
		yarn:          quantityOption("yarn", "The yarn you have for it: 600 g, 12 balls", "600 g"),
	}
	o.what.Suggest(suggestWanted(s))
	o.size = Words("size", "A standard size, such as woman M, or one of the written sizes", 40).Like("woman M")
	return o
}

func projectStart(s Services) *Command {
	o := newStartOptions(s)
	list := []Option{o.name, o.what, o.size}
	for _, b := range o.body {
		list = append(list, b.Opt)
	}
	return &Command{
		Name: "start", Short: "Start a project from a pattern in your size and gauge, or from rows and stitches", Private: true,
		Want: "keep my place in a piece of work, row by row",
		Long: "A pattern is resized as /resize does it, and its rows are pinned to the project as they are that day. " +
			"Without a pattern, say name, rows and stitches. Only you see your projects.",
		Options: append(list, o.width, o.length, o.ease, o.gauge, o.swatch, o.rows, o.stitches, o.copies, o.yarn),
		Examples: []string{
			"/project start pattern:cardigan chest:112 cm gauge:14x10 name:Fog cardigan yarn:650 g",
			"/project start name:Scarf rows:40 stitches:120",
			"/project start pattern:hat head:56 cm",
		},
		Run: o.run,
	}
}

func (o startOptions) run(ctx context.Context, r Request) (reply.Reply, error) {
	pinned, cautions, err := o.pin(ctx, r)
	if err != nil {
		return reply.Reply{}, err
	}
	grams := 0.
	if o.yarn.Given(r) {
		if grams, err = pinned.Yarn.grams(o.yarn, o.yarn.Of(r)); err != nil {
			return reply.Reply{}, err
		}
	}
	name := o.name.Of(r)
	if !o.name.Given(r) {
		name = pinned.Title
	}
	p, err := o.keep(ctx, r, name, o.name.Given(r), pinned)
	if err != nil {
		return reply.Reply{}, err
	}
	if grams > 0 {
		if err := o.services.Projects.Note(ctx, r.ID, r.Member.ID, p.ID, ProjectNote{Kind: YarnNote, Grams: grams}); err != nil {
			return reply.Reply{}, fmt.Errorf("note the yarn: %w", err)
		}
	}
	w, err := openNumbered(ctx, o.services, r, p.ID)
	if err != nil {
		return reply.Reply{}, err
	}
	lead := reply.Text{Text: r.Say("Started. The rows are pinned as they are today: %s in %s. Press +1 after each row; the work is only yours to see.",
		countedRows(w.tally.AllRows), pieceCount(len(w.pieces)))}
	out := w.reply(r, lead)
	out.Parts = append(out.Parts, cautions...)
	return out, nil
}

// keep starts the project under a name. One that the member did not choose
// herself gets a number where she has such a project already.
func (o startOptions) keep(ctx context.Context, r Request, name string, own bool, pinned Pinned) (Project, error) {
	if !own {
		name = clip(name, 55)
	}
	if strings.IndexFunc(name, unicode.IsLetter) < 0 {
		return Project{}, &Mistake{Option: "name", Message: "a name needs a letter, so that it is not taken for a number", Example: "name:Harbour cardigan"}
	}
	for n := 1; ; n++ {
		asked := name
		if n > 1 {
			asked = fmt.Sprintf("%s %d", name, n)
		}
		p, err := o.services.Projects.Start(ctx, r.ID, r.Member.ID, asked, pinned)
		switch {
		case errors.Is(err, ErrNamed) && (own || n > 99):
			return Project{}, &Mistake{Option: "name", Message: "you have a project “%s” already; give this one another name", Args: []any{asked}, Example: fmt.Sprintf("name:%s 2", clip(asked, 50))}
		case errors.Is(err, ErrNamed):
			continue
		case err != nil:
			return Project{}, fmt.Errorf("start project: %w", err)
		}
		return p, nil
	}
}

// pin makes what is pinned to the project, with what to be careful about.
func (o startOptions) pin(ctx context.Context, r Request) (Pinned, []reply.Block, error) {
	free := o.rows.Given(r) || o.stitches.Given(r)
	switch {
	case o.what.Given(r) && free:
		return Pinned{}, nil, Mistaken("/project start pattern:cardigan size:woman M", "give a pattern, or rows and stitches, not both: a pattern has its own")
	case free:
		return o.pinFree(r)
	case !o.what.Given(r):
		return Pinned{}, nil, Mistaken("/project start name:Scarf rows:40 stitches:120", "what is it to be? Give a pattern, or a name with rows and stitches")
	}
	return o.pinPattern(ctx, r, o.what.Of(r), "")
}

// pinPattern pins a pattern at hand, or a version of one that the server keeps.
func (o startOptions) pinPattern(ctx context.Context, r Request, name, version string) (Pinned, []reply.Block, error) {
	if p, ok := pattern.Find(name); ok {
		return o.pinGarment(ctx, r, p)
	}
	return o.pinKept(ctx, r, name, version)
}

func (o startOptions) pinFree(r Request) (Pinned, []reply.Block, error) {
	if !o.name.Given(r) {
		return Pinned{}, nil, &Mistake{Option: "name", Message: "it is missing: what you call it", Example: "/project start name:Scarf rows:40 stitches:120"}
	}
	for _, n := range []*Opt[int]{o.rows, o.stitches} {
		if !n.Given(r) {
			return Pinned{}, nil, &Mistake{Option: n.spec.Name, Message: "it is missing: %s", Args: []any{words.Inner(n.spec.Short)}, Example: "/project start name:Scarf rows:40 stitches:120"}
		}
	}
	plan, err := pace.Free(o.name.Of(r), o.rows.Of(r), o.stitches.Of(r), max(1, o.copies.Of(r)))
	if err != nil {
		return Pinned{}, nil, Mistaken("/project start name:Scarf rows:40 stitches:120", "%s", err)
	}
	return Pinned{Title: o.name.Of(r), Plan: plan}, nil, nil
}

// pinGarment resizes a pattern, by the same code as /resize.
func (o startOptions) pinGarment(ctx context.Context, r Request, p *pattern.Pattern) (Pinned, []reply.Block, error) {
	a, err := o.answer(ctx, r, p, r.Settings.Units)
	var m *Mistake
	switch {
	case errors.As(err, &m):
		m.Example = strings.Replace(m.Example, "/resize ", "/project start ", 1)
		return Pinned{}, nil, m
	case err != nil:
		return Pinned{}, nil, err
	}
	pinned, err := a.pinned()
	return pinned, a.cautions(), err
}

// pinKept pins rows that this server keeps, or a pattern file of its own.
func (o startOptions) pinKept(ctx context.Context, r Request, name, version string) (Pinned, []reply.Block, error) {
	t, err := findKept(ctx, o.services, r, "pattern", name, version)
	if err != nil {
		return Pinned{}, nil, err
	}
	if t.file {
		p, err := pattern.Read(t.name, []byte(t.text))
		if err != nil {
			return Pinned{}, nil, fileMistake(t, err)
		}
		return o.pinGarment(ctx, r, p)
	}
	return o.pinRows(r, t)
}

// pinRows pins written rows in one of their sizes, as they stand.
func (o startOptions) pinRows(r Request, t written) (Pinned, []reply.Block, error) {
	read := notation.Options{Terms: notation.DetectTerms(t.text).Terms}
	doc := notation.Parse(t.text, read)
	size, err := o.writtenSize(r, doc)
	if err != nil {
		return Pinned{}, nil, err
	}
	plan, err := pace.FromText(t.text, read, size, r.Terms())
	if err != nil {
		return Pinned{}, nil, &Mistake{Option: "pattern", Message: "I can't work from “%s”: %s", Args: []any{clip(cmp.Or(t.name, justChecked), 40), err}, Example: "pattern:cardigan"}
	}
	pinned := Pinned{Title: t.name, Terms: termsName(r.Terms()), Text: t.text, Plan: plan}
	var cautions []reply.Block
	if t.saved != nil {
		pinned.Title = t.saved.Title
		if t.saved.Draft {
			cautions = append(cautions, reply.Caution{Text: r.Say("This pattern is a draft: its check does not hold, so counts may not come out.")})
		}
	}
	if pinned.Title == "" {
		pinned.Title = r.Say("Written rows")
	}
	if size < len(doc.Sizes) {
		pinned.Size = doc.Sizes[size]
	}
	return pinned, cautions, nil
}

// writtenSize is which of the sizes of written rows is meant.
func (o startOptions) writtenSize(r Request, doc *notation.Document) (int, error) {
	if doc.SizeCount <= 1 {
		return 0, nil
	}
	names := doc.Sizes
	for i := len(names); i < doc.SizeCount; i++ {
		names = append(names, fmt.Sprint(i+1))
	}
	for i, name := range names {
		if o.size.Given(r) && (strings.EqualFold(name, o.size.Of(r)) || fmt.Sprint(i+1) == o.size.Of(r)) {
			return i, nil
		}
	}
	return 0, &Mistake{Option: "size", Message: "these rows are written for several sizes; say which: %s", Args: []any{strings.Join(names, ", ")}, Example: "size:" + names[0]}
}
