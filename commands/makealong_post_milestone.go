package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"countwright/calc/along"
	"countwright/calc/stitch"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// postData is a post in machine form. Keys may be added, never renamed.
type postData struct {
	Post      int64    `json:"post"`
	Kind      PostKind `json:"kind"`
	MakeAlong int64    `json:"makealong"`
	Milestone int      `json:"milestone"` // from 1; 0: none
	Brief     bool     `json:"brief,omitempty"`
	Trips     []string `json:"trip_ups,omitempty"`  // troubles and stitches, by ID
	Meanwhile []string `json:"meanwhile,omitempty"` // keys of posts told in this one
}

func (w wording) data() postData {
	d := postData{Post: w.ID, Kind: w.Kind, MakeAlong: w.Along, Milestone: w.Milestone + 1}
	for _, o := range w.Merged {
		d.Meanwhile = append(d.Meanwhile, o.Key)
	}
	return d
}

// checkIn is a milestone's post, with those whom it pings.
func (w wording) checkIn(ctx context.Context) (reply.Reply, error) {
	r := w.checkInParts()
	var err error
	r.Pings, err = w.pings(ctx)
	return r, err
}

func (w wording) checkInParts() reply.Reply {
	m, stone := w.MakeAlong, w.stone()
	d := w.data()
	r := reply.Reply{Title: w.Say("%s, %d of %d: %s", m.Name, w.Milestone+1, len(m.Course.Milestones), stone.Title)}
	if w.HostWrote {
		d.Brief = true
		r.Parts = append(r.Parts, w.opening(w.Say(w.choose(hostWasHere))))
	} else {
		r.Parts = append(r.Parts, w.opening(w.Say(w.choose(herePlaces))))
	}
	r.Parts = append(r.Parts, w.meanwhile()...)
	if !d.Brief {
		parts, trips := w.about()
		r.Parts, d.Trips = append(r.Parts, parts...), trips
	}
	r.Parts = append(r.Parts, reply.Text{Text: w.Say(w.choose(questions)) + " " + w.Say(tapsAre)})
	r.Actions = append(w.taps(), m.button(w.Say("See the board"), "makealong board", nil))
	if w.welcomes() {
		r.Actions = append(r.Actions, m.button(w.Say("Join"), "makealong join", nil))
	}
	r.Data = d
	return r
}

// taps are the answers of one tap, and the way to be left alone.
func (w wording) taps() []reply.Action {
	return []reply.Action{
		w.tap("On it", SayOnIt), w.tap("Need help", SayNeedHelp), w.tap("Resting", SayResting), w.tap("Done", SayDone),
		w.MakeAlong.quietButton(w.Printer, false),
	}
}

// about is what this part is, its usual trip-ups and what comes next.
func (w wording) about() ([]reply.Block, []string) {
	c, stone := w.MakeAlong.Course, w.stone()
	var parts []reply.Block
	if note := strings.TrimSpace(stone.Note); note != "" {
		parts = append(parts, reply.Text{Text: clipWords(note, mostHostText)})
	}
	items := w.aboutFields()
	if w.Milestone+1 < len(c.Milestones) {
		next := c.Milestones[w.Milestone+1]
		items = append(items, reply.Field{Name: w.Say("Next"), Value: w.dated(next)})
	}
	if len(items) > 0 {
		parts = append(parts, reply.Fields{Items: items})
	}
	if c.Tester {
		parts = append(parts, reply.Text{Text: w.Say(testersNote)})
	}
	trips := tripUps(w.Printer, c, w.Milestone, bothTerms)
	parts = append(parts, tripList(w.Say("What often goes amiss here, and what helps"), trips))
	var ids []string
	for _, t := range trips {
		ids = append(ids, t.ID)
	}
	return append(parts, tripCautions(trips)...), ids
}

// tripList tells trip-ups.
func tripList(title string, trips []tripUp) reply.Block {
	list := reply.List{Title: title}
	for _, t := range trips {
		list.Items = append(list.Items, t.Text())
	}
	return list
}

// tripCautions are what can hurt somebody there, each once.
func tripCautions(trips []tripUp) []reply.Block {
	var cautions []reply.Block
	for _, t := range trips {
		if c := (reply.Caution{Text: t.Caution}); t.Caution != "" && !slices.Contains(cautions, reply.Block(c)) {
			cautions = append(cautions, c)
		}
	}
	return cautions
}

// Limits of what a post names.
const (
	shownPieces   = 4
	shownStitches = 4
)

// aboutFields are what is worked for a milestone, in US terms with the UK ones
// beside, for a channel has no settings.
func (w wording) aboutFields() []reply.Field {
	c, stone := w.MakeAlong.Course, w.stone()
	var items []reply.Field
	add := func(name words.Key, value string) {
		if value != "" {
			items = append(items, reply.Field{Name: w.Say(name), Value: value})
		}
	}
	add("In it", strings.Join(clipped(w.Printer, piecesOf(c, w.Milestone), shownPieces), "; "))
	var stitches []string
	for _, a := range stone.About {
		if s, ok := stitch.Lookup(stitch.ID(a)); ok && usualTrips[a] == nil {
			stitches = append(stitches, stitchNamed(w.Printer, s))
		}
	}
	add("Stitches", strings.Join(clipped(w.Printer, stitches, shownStitches), "; "))
	add("Work", aboutText(w.Printer, stone.About))
	if stone.Stitches > 0 {
		add("How much", w.Say("about %s stitches in the size that the dates were made for; yours will differ", thousands(roundedCount(stone.Stitches))))
	}
	return items
}

// clipped is the first of a list, and how many more there are.
func clipped(p words.Printer, list []string, most int) []string {
	if len(list) <= most {
		return list
	}
	return append(slices.Clone(list[:most]), p.Say("%d more", len(list)-most))
}

// roundedCount is a count to two figures.
func roundedCount(n int) int {
	step := 1
	for n/step >= 100 {
		step *= 10
	}
	return (n + step/2) / step * step
}

// stitchNamed is a stitch with its name in full, and the UK words beside; in
// another language with its name there.
func stitchNamed(p words.Printer, s stitch.Stitch) string {
	us, uk := s.In(stitch.US), s.In(stitch.UK)
	own := ownName(p, string(s.ID))
	switch {
	case own != nil && us.Short() == uk.Short():
		return fmt.Sprintf("%s (%s)", us.Short(), own[0].Value)
	case own != nil:
		return fmt.Sprintf("%s (%s; UK %s)", us.Short(), own[0].Value, uk.Short())
	case us.Short() == us.Name && us.Name == uk.Name:
		return us.Name
	case us.Short() == uk.Short() && us.Name == uk.Name:
		return fmt.Sprintf("%s (%s)", us.Short(), us.Name)
	case uk.Short() == uk.Name:
		return fmt.Sprintf("%s (%s; UK %s)", us.Short(), us.Name, uk.Name)
	}
	return fmt.Sprintf("%s (%s; UK %s, %s)", us.Short(), us.Name, uk.Short(), uk.Name)
}

// aboutText says in words what a milestone is about, stitches left out.
func aboutText(p words.Printer, about []string) string {
	var said []string
	for _, a := range []struct {
		about string
		text  words.Key
	}{
		{along.AboutChain, "from a chain"}, {along.AboutRing, "from a ring"}, {along.AboutRow, "in rows"}, {along.AboutRound, "in rounds"},
		{along.AboutIncrease, "getting wider"}, {along.AboutDecrease, "getting narrower"}, {along.AboutButtonhole, "with buttonholes"},
		{along.AboutEdge, "along an edge"}, {along.AboutSeam, "with seams"}, {along.AboutEnds, "ends woven in"},
	} {
		if slices.Contains(about, a.about) {
			said = append(said, p.Say(a.text))
		}
	}
	return strings.Join(said, ", ")
}

// dated is a milestone with its date.
func (w wording) dated(stone along.Milestone) string {
	return fmt.Sprintf("%s (%s)", stone.Title, longDate(w.Printer, stone.Date))
}

// meanwhile tells what the calendar came to while nothing was posted.
func (w wording) meanwhile() []reply.Block {
	stones := w.MakeAlong.Course.Milestones
	var items []string
	for _, o := range w.Merged {
		if o.Kind == MilestonePost && o.Milestone >= 0 && o.Milestone < len(stones) && !(w.Kind == MilestonePost && o.Milestone == w.Milestone) {
			items = append(items, w.dated(stones[o.Milestone]))
		}
	}
	var parts []reply.Block
	if w.welcomes() {
		parts = append(parts, reply.Text{Text: w.Say("This make-along is open, and new hands are welcome: join with your own size and gauge (UK tension).")})
	}
	if len(items) > 0 {
		parts = append(parts, reply.List{Title: w.Say("The calendar came by these, too"), Items: clipped(w.Printer, items, 6)})
	}
	return parts
}

// clipWords shortens a text to at most n characters at the end of a word.
func clipWords(s string, n int) string {
	if len([]rune(s)) <= n {
		return s
	}
	short := clip(s, n-1)
	if at := strings.LastIndexAny(short, " \n"); at > len(short)/2 {
		short = short[:at]
	}
	return strings.TrimRight(short, " \n") + "…"
}
