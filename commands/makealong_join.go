package commands

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"strings"
	"unicode/utf8"

	"countwright/calc/along"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/regauge"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// joinOptions are the options of /makealong join: those with which a project
// is started, and how the member wishes to be treated.
type joinOptions struct {
	startOptions
	makealong *Opt[string]
	project   *Opt[string]
	named     *Opt[bool]
	pings     *Opt[bool]
}

func makealongJoin(s Services) *Command {
	o := joinOptions{
		startOptions: newStartOptions(s),
		makealong:    makealongOption(s),
		project:      projectOption(s),
		named:        YesNo("named", "Be named on the board, as you are called here; else you are only counted"),
		pings:        YesNo("pings", "Be pinged at milestones, at most once a week"),
	}
	o.project.spec.Short = "A project of yours to make it with, in place of a new one"
	list := []Option{o.makealong, o.size}
	for _, b := range o.body {
		list = append(list, b.Opt)
	}
	return &Command{
		Name: "join", Short: "Join with your size and gauge: your own counts, dates and project", Private: true,
		Want: "make it together with others, in my own counts",
		Long: "Say your size or your measures, and your gauge or a swatch, as in /project start: you get the make-along's pattern in your own counts, as a project of yours. " +
			"Who comes later gets later dates. Join again to change what you said; only what you say is changed.",
		Options: append(list, o.width, o.length, o.ease, o.gauge, o.swatch, o.project, o.named, o.pings),
		Examples: []string{
			"/makealong join chest:112 cm gauge:14x10 named:yes",
			`/makealong join size:"woman M" pings:yes`,
			"/makealong join project:Harbour cardigan",
		},
		Run: o.run,
	}
}

// entrant is a member who is joining.
type entrant struct {
	joinOptions
	r        Request
	m        MakeAlong
	part     Participant
	again    bool // she is in it already
	rested   bool // and was resting
	begun    bool // a project was begun for her
	seat     string
	cautions []reply.Block
	said     string // what was done about her project
}

func (o joinOptions) run(ctx context.Context, r Request) (reply.Reply, error) {
	m, err := openAlong(ctx, o.services, r, o.makealong)
	if err != nil {
		return reply.Reply{}, err
	}
	if m.State == AlongClosed {
		return reply.Reply{}, Refused("%s is closed. What you make of it is yours all the same: /project start takes its pattern up.", m.Name)
	}
	if r.Server == "" {
		r.Server = m.Server // where its pattern is kept
	}
	j := &entrant{joinOptions: o, r: r, m: m}
	if j.part, j.again, err = partIn(ctx, o.services, m, r.Member.ID); err != nil {
		return reply.Reply{}, err
	}
	if j.wanting() {
		return j.form(ctx)
	}
	j.remember()
	j.rested = j.part.State == Resting
	j.part.Along, j.part.Member, j.part.State = m.ID, r.Member.ID, TakingPart
	if err := j.wishes(); err != nil {
		return reply.Reply{}, err
	}
	if err := j.takeSeat(ctx); err != nil {
		return reply.Reply{}, err
	}
	w, err := j.work(ctx)
	if err != nil {
		return reply.Reply{}, err
	}
	if err := j.keepPart(ctx, w); err != nil {
		return reply.Reply{}, err
	}
	return j.reply(ctx, w)
}

// wishes are how she wants to be treated, where she says so.
func (j *entrant) wishes() error {
	if j.named.Given(j.r) {
		j.part.Name = ""
		if j.named.Of(j.r) {
			j.part.Name = clip(strings.TrimSpace(j.r.Member.Name), 60)
			if j.part.Name == "" {
				return Refused("I don't know what you are called here, so I can't name you. Join without named: and you are counted all the same.")
			}
		}
	}
	if j.pings.Given(j.r) {
		j.part.Pings = j.pings.Of(j.r)
		j.part.Quiet = j.part.Quiet && !j.part.Pings
	}
	return nil
}

// wants reports whether she says what to make: a size, a measure, a gauge.
func (j *entrant) wants() bool {
	return j.saysBody() || j.ease.Given(j.r) || j.gauge.Given(j.r) || j.swatch.Given(j.r)
}

// mostMadeFor is how many characters are kept of for whom it is made.
const mostMadeFor = 200

// madeFor is for whom her project is made: as it was pinned, and with what ease
// she asked for. Of more measures than can be kept, the last are left out.
func (j *entrant) madeFor(w *work) string {
	if !j.begun && w.ID == j.part.Project {
		return j.part.Size
	}
	text, ease := w.Pinned.Size, ""
	if j.begun && j.ease.Given(j.r) {
		ease = ", ease " + j.ease.Of(j.r).Length.Signed(j.r.Settings.Units)
	}
	for utf8.RuneCountInString(text+ease) > mostMadeFor {
		at := strings.LastIndex(text, ", ")
		if at < 0 {
			return clip(text, mostMadeFor-utf8.RuneCountInString(ease)) + ease
		}
		text = text[:at]
	}
	return text + ease
}

// work is her project: the one she names, the one she has, or a new one.
func (j *entrant) work(ctx context.Context) (*work, error) {
	switch {
	case j.project.Given(j.r) && j.wants():
		return nil, &Mistake{Option: "project", Message: "a project has its counts already; give a project, or a size and gauge for a new one", Example: "project:" + quoted(j.project.Of(j.r))}
	case j.project.Given(j.r):
		w, err := openProject(ctx, j.services, j.r, j.project)
		if err != nil {
			return nil, err
		}
		j.said = j.r.Say("You make it with your project “%s”, as far as it is.", w.Name)
		return w, nil
	case j.part.Project > 0 && !j.wants():
		if _, there, err := j.services.Projects.Open(ctx, j.r.Member.ID, j.part.Project); err != nil {
			return nil, fmt.Errorf("open project: %w", err)
		} else if there {
			return openNumbered(ctx, j.services, j.r, j.part.Project)
		}
	}
	return j.start(ctx)
}

// madeAt is at which gauge: as she said it, so that it can be taken up again,
// or in words where it came from elsewhere.
func (j *entrant) madeAt(w *work) string {
	switch {
	case !j.begun && w.ID == j.part.Project:
		return j.part.Gauge
	case j.begun && j.gauge.Given(j.r) && !j.m.Course.Tester:
		return j.gauge.Of(j.r).String()
	}
	return w.Pinned.Gauge
}

// start begins a new project with the make-along's pattern.
func (j *entrant) start(ctx context.Context) (*work, error) {
	pinned, cautions, err := j.pinned(ctx)
	var m *Mistake
	if errors.As(err, &m) {
		m.Example = j.example(m.Example)
		return nil, m
	}
	if err != nil {
		return nil, err
	}
	j.cautions = cautions
	if w, err := j.same(ctx, pinned); w != nil || err != nil {
		return w, err
	}
	j.begun = true
	p, err := j.keep(ctx, j.r, j.m.Name, false, pinned)
	if err != nil {
		return nil, err
	}
	j.said = j.r.Say("Your project is “%s”: count your rows in it, and the board knows by itself.", p.Name)
	if j.part.Project > 0 {
		j.said += " " + j.r.Say("The one you had stays yours.")
	}
	return openNumbered(ctx, j.services, j.r, p.ID)
}

// same is the project that she has in it, where the one to be begun would have
// the same rows: whoever says again what she said before keeps what she counted.
func (j *entrant) same(ctx context.Context, pinned Pinned) (*work, error) {
	if j.part.Project == 0 {
		return nil, nil
	}
	book, there, err := j.services.Projects.Open(ctx, j.r.Member.ID, j.part.Project)
	if err != nil {
		return nil, fmt.Errorf("open project: %w", err)
	}
	if !there || book.State == Finished || book.Pinned.Text != pinned.Text || book.Pinned.Size != pinned.Size || book.Pinned.Gauge != pinned.Gauge {
		return nil, nil
	}
	j.said = j.r.Say("These are the counts that you have: you go on with “%s”.", book.Name)
	return openNumbered(ctx, j.services, j.r, book.ID)
}

// example turns an example of a project or garment into one of joining.
func (j *entrant) example(text string) string {
	for _, path := range []string{"/project start ", "/resize "} {
		rest, ok := strings.CutPrefix(text, path)
		if !ok {
			continue
		}
		if _, after, found := strings.Cut(rest, "pattern:"); found {
			_, rest, _ = strings.Cut(after, " ")
		}
		return strings.TrimSpace("/makealong join " + rest)
	}
	return text
}

// pinned is the make-along's pattern in her own counts.
func (j *entrant) pinned(ctx context.Context) (Pinned, []reply.Block, error) {
	c := j.m.Course
	if c.Tester {
		return j.pinnedAsWritten(ctx)
	}
	if _, ok := pattern.Find(c.Pattern); ok || !j.gauge.Given(j.r) && !j.swatch.Given(j.r) {
		return j.pinPattern(ctx, j.r, c.Pattern, c.Version)
	}
	t, err := findKept(ctx, j.services, j.r, "pattern", c.Pattern, c.Version)
	if err != nil || t.file {
		return j.pinPattern(ctx, j.r, c.Pattern, c.Version)
	}
	return j.pinRemade(ctx, t)
}

// pinnedAsWritten is a tester's size at the pattern's own gauge: she tests what
// the pattern says, not what she would make of it.
func (j *entrant) pinnedAsWritten(ctx context.Context) (Pinned, []reply.Block, error) {
	r := j.r
	r.values = maps.Clone(r.values)
	delete(r.values, "swatch")
	delete(r.values, "gauge")
	if j.seat != "" {
		r.values["size"] = j.seat
	}
	p, ok := pattern.Find(j.m.Course.Pattern)
	if !ok {
		if t, err := findKept(ctx, j.services, r, "pattern", j.m.Course.Pattern, j.m.Course.Version); err == nil && t.file {
			if p, err = pattern.Read(t.name, []byte(t.text)); err != nil {
				return Pinned{}, nil, fileMistake(t, err)
			}
		}
	}
	if p != nil {
		r.values["gauge"] = p.Gauge
	}
	return j.pinPattern(ctx, r, j.m.Course.Pattern, j.m.Course.Version)
}

// pinRemade makes written rows anew at her gauge. Where that can't be, they are
// pinned as they stand, and she is told.
func (j *entrant) pinRemade(ctx context.Context, t written) (Pinned, []reply.Block, error) {
	mine, err := gaugeOrSwatch(ctx, j.services, j.r, j.gauge, j.swatch)
	if err != nil {
		return Pinned{}, nil, err
	}
	read := notation.Options{Terms: notation.DetectTerms(t.text).Terms}
	doc := notation.Parse(t.text, read)
	order := regauge.Order{Style: notation.StyleOf(t.text), Terms: j.r.Terms(), To: mine.gauge}
	if order.Size, err = j.writtenSize(j.r, doc); err != nil {
		return Pinned{}, nil, err
	}
	from, stated := regauge.Stated(t.text)
	order.From = from
	var made *regauge.Remade
	if stated {
		made, err = regauge.Remake(doc, order)
	}
	if !stated || err != nil {
		pinned, cautions, err := j.pinRows(j.r, t)
		why := words.Key("Its text does not state its gauge, so these are its counts as written, and not for %s. /gauge follow says what comes out.")
		if stated {
			why = "Its rows can't be made anew at another gauge without breaking them, so these are its counts as written, and not for %s. /gauge follow says what comes out."
		}
		note := reply.Caution{Text: j.r.Say(why, gaugeText(mine.gauge, j.r.Settings.Units))}
		return pinned, append(cautions, note), err
	}
	remade := t
	remade.text = made.Text
	pinned, cautions, err := j.pinRemadeRows(remade)
	pinned.Gauge = mine.gauge.Text(j.r.Settings.Units)
	if order.Size < len(doc.Sizes) {
		pinned.Size = doc.Sizes[order.Size]
	}
	return pinned, cautions, err
}

// pinRemadeRows pins rows made anew: they are in one size.
func (j *entrant) pinRemadeRows(t written) (Pinned, []reply.Block, error) {
	r := j.r
	r.values = maps.Clone(r.values)
	delete(r.values, "size")
	return j.pinRows(r, t)
}

// keepPart keeps her part, with her targets and her dates.
func (j *entrant) keepPart(ctx context.Context, w *work) error {
	j.part.Project, j.part.Size, j.part.Gauge = w.ID, j.madeFor(w), j.madeAt(w)
	j.part.Targets, j.part.Version = along.AllTargets(w.Pinned.Plan, j.m.Course.Milestones), j.m.Version
	j.part.Done, j.part.Work = w.tally.Done, w.State
	if !j.again {
		j.part.Shift = j.shift()
	}
	if j.seat != "" {
		j.part.Seat = j.seat
	}
	if j.m.Course.Tester && (j.gauge.Given(j.r) || j.swatch.Given(j.r)) {
		mine, err := gaugeOrSwatch(ctx, j.services, j.r, j.gauge, j.swatch)
		if err != nil {
			return err
		}
		keepGauge(&j.part, mine)
	}
	err := j.services.MakeAlongs.Join(ctx, j.r.ID, j.part)
	if errors.Is(err, ErrTaken) {
		return j.taken(ctx)
	}
	if err != nil {
		return fmt.Errorf("join make-along %d: %w", j.m.ID, err)
	}
	return nil
}

// shift is how many days later her calendar is: none where her work is as far
// as the group's calendar already.
func (j *entrant) shift() int {
	today, past := j.m.today(j.r.Now), 0
	for _, s := range j.m.Course.Milestones {
		if s.Date.Before(today) {
			past++
		}
	}
	if reached, _ := along.Progress(j.part.Done, j.part.Targets); past > 0 && reached >= past {
		return 0
	}
	return along.Shift(j.m.Course.Start, today)
}
