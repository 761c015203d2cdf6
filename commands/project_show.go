package commands

import (
	"context"
	"fmt"
	"math"
	"strings"

	"countwright/calc/pace"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// soon is how many rows ahead something out of the ordinary is announced.
const soon = 5

func projectShow(s Services) *Command {
	project := projectOption(s)
	share := YesNo("share", "Show it to the channel this time; else only you see it")
	return &Command{
		Name: "show", Short: "The row to work now, the next, how far it is and when it may be done",
		Want:     "know which row I am at, and when it may be done",
		Options:  []Option{project, share},
		Examples: []string{"/project show", "/project show share:yes"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			w, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			out := w.reply(r)
			drawing, err := w.picture()
			if err != nil {
				return reply.Reply{}, err
			}
			out.Parts = append(out.Parts, drawing)
			out.Parts = append(out.Parts, w.lastNotes()...)
			out.Private = !share.Of(r)
			return out, nil
		},
	}
}

// reply tells where the work stands: first what was just done, then the row to
// work now, the next one, what is coming, and the figures.
func (w *work) reply(r Request, lead ...reply.Block) reply.Reply {
	out := reply.Reply{Title: w.Name, Parts: lead, Private: true}
	at, more := w.tally.Next(w.pieces)
	switch {
	case w.State == Finished:
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("Finished on %s.", w.dateText(w.Finished))})
	case !more:
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("All rows are done. What is left is finishing; then /project finish makes its card.")})
		if len(w.Pinned.Finish) > 0 {
			out.Parts = append(out.Parts, reply.Steps{Items: w.Pinned.Finish})
		}
	default:
		if w.State == Paused {
			out.Parts = append(out.Parts, reply.Text{Text: r.Say("It is resting. It goes on whenever you do.")})
		}
		out.Title = fmt.Sprintf("%s: %s", w.Name, w.pieces[at].Title())
		out.Parts = append(out.Parts, w.now(at)...)
	}
	out.Parts = append(out.Parts, reply.Fields{Items: w.figures(r, at)})
	out.Actions = w.actions(at, more)
	out.Data = w.data(r, at)
	return out
}

// now is the row to work, the next one, and what is coming up.
func (w *work) now(at int) []reply.Block {
	p, done := w.pieces[at], w.tally.Done[at]
	var parts []reply.Block
	parts = append(parts, reply.Rows{Title: w.Say("Now"), Lines: append(p.Said(done), w.rowLine(at, done))})
	if done+1 < len(p.Rows) {
		parts = append(parts, reply.Rows{Title: w.Say("Next"), Lines: append(p.Said(done+1), w.rowLine(at, done+1))})
	} else {
		parts = append(parts, reply.Text{Text: w.Say("This is the last row of the piece.")})
	}
	var items []string
	for _, e := range p.Due(done+1, done+1+soon) {
		when := w.Say("in the next row")
		if n := e.Row - done; n > 1 {
			when = w.Say("in %d rows", n)
		}
		items = append(items, fmt.Sprintf("%s %s (%s)", w.happens(at, e), when, p.Rows[e.Row].Label))
	}
	if len(items) > 0 {
		parts = append(parts, reply.List{Title: w.Say("Coming up"), Items: items})
	}
	return parts
}

// rowLine is a row in full, with the count to have at its end.
func (w *work) rowLine(piece, row int) string {
	p := w.pieces[piece]
	line := p.Rows[row].Label
	if text := p.Text(row); text != "" {
		line += ": " + text
	}
	return w.Say("%s → %s at its end", line, w.countOf(piece, row))
}

// happens says what is out of the ordinary in a row.
func (w *work) happens(piece int, e pace.Event) string {
	var said []string
	if e.Holes > 0 {
		holes := words.Count(e.Holes, "%d chain space", "%d chain spaces")
		if strings.Contains(strings.ToLower(w.pieces[piece].Name), "button") {
			holes = buttonholeCount(e.Holes)
		}
		said = append(said, w.Of(holes))
	}
	switch {
	case e.Shape > 0:
		said = append(said, w.Say("%s increased", stitchCount(e.Shape)))
	case e.Shape < 0:
		said = append(said, w.Say("%s decreased", stitchCount(-e.Shape)))
	}
	for _, s := range e.Said {
		said = append(said, "“"+strings.TrimSuffix(s, ".")+"”")
	}
	return strings.Join(said, ", ")
}

// figures are how far the work is.
func (w *work) figures(r Request, at int) []reply.Field {
	t, p := w.tally, w.pieces[at]
	items := []reply.Field{
		{Name: r.Say("Piece"), Value: r.Say("%d of %d rows", t.Done[at], len(p.Rows))},
		{Name: r.Say("Whole"), Value: r.Say("%s of the stitches (%s of %s)", partText(t.Share()), thousands(t.Stitches), thousands(t.All))},
	}
	if len(w.pieces) > 1 {
		items = append(items, reply.Field{Name: r.Say("Pieces"), Value: r.Say("%d of %d done", t.PiecesDone, len(w.pieces))})
	}
	if t.Minutes > 0 {
		items = append(items, reply.Field{Name: r.Say("Time"), Value: r.Say("%s told", minutesText(t.Minutes))})
	}
	if w.State != Finished && t.Stitches < t.All {
		items = append(items, w.paceFields()...)
	}
	if text := w.yarnText(); text != "" {
		items = append(items, reply.Field{Name: r.Say("Yarn"), Value: text})
	}
	if w.Pinned.Terms != "" {
		items = append(items, reply.Field{Name: r.Say("Terms"), Value: w.Pinned.Terms})
	}
	return items
}

// paceFields are the pace and when the work may be done.
func (w *work) paceFields() []reply.Field {
	f, err := w.ahead()
	if err != nil {
		if len(w.tally.Days) == 0 {
			return nil
		}
		return []reply.Field{{Name: w.Say("Pace"), Value: w.Say("I can tell after %d days with work", pace.FewestDays)}}
	}
	rests := w.Say("%s stitches a day", thousands(int(math.Round(f.Pace))))
	if days := int(math.Round(7 * f.Rests)); days > 0 {
		rests = w.Say("%s, about %s a week resting", rests, dayCount(days))
	}
	if f.Pauses > 0 {
		rests = w.Say("%s; longer breaks are set aside", rests)
	}
	sure := map[pace.Sure]words.Key{pace.Hardly: "hardly sure yet", pace.Roughly: "roughly", pace.Quite: "quite sure"}[f.Sure]
	done := w.Say("between %s and %s (%s; four times in five)", w.Date(pace.DateOf(w.today+f.Early), words.Day), w.Date(pace.DateOf(w.today+f.Late), words.Day), sure)
	if f.Early == f.Late {
		done = fmt.Sprintf("%s (%s)", w.Date(pace.DateOf(w.today+f.Early), words.Day), sure)
	}
	if f.Resting > 0 || w.State == Paused {
		done = w.Say("%d to %d days after you take it up again (%s; four times in five)", f.Early, f.Late, sure)
	}
	return []reply.Field{{Name: w.Say("Pace"), Value: rests}, {Name: w.Say("Done"), Value: done}}
}

func (w *work) ahead() (pace.Forecast, error) {
	return pace.Ahead(w.tally.Days, w.tally.All-w.tally.Stitches, w.today)
}

// actions are the buttons: big ones first.
func (w *work) actions(at int, more bool) []reply.Action {
	if w.State == Finished {
		return []reply.Action{w.button("Take it up again", "project pause", map[string]string{"resume": "yes"})}
	}
	var all []reply.Action
	piece := fmt.Sprint(at + 1)
	if more {
		all = append(all, w.button("+1", "project row", map[string]string{"n": "+1", "piece": piece}))
		if len(w.pieces[at].Rows)-w.tally.Done[at] >= 5 {
			all = append(all, w.button("+5", "project row", map[string]string{"n": "+5", "piece": piece}))
		}
	}
	if w.tally.Undoable > 0 {
		all = append(all, w.button("Undo", "project undo", nil))
	}
	others := 0
	for i := range w.pieces {
		if i != at && !w.done(i) {
			others++
		}
	}
	if more && others > 0 {
		all = append(all, w.button("Next piece", "project row", map[string]string{"piece": "next"}))
	}
	if !more {
		all = append(all, w.button("Finish", "project finish", nil))
	}
	return append(all, w.button("Note", "project note", nil))
}

// partText is a share in whole parts of a hundred: 100 only when all is done,
// 0 only when nothing is.
func partText(share float64) string {
	n := int(math.Round(100 * share))
	switch {
	case share < 1 && n >= 100:
		n = 99
	case share > 0 && n == 0:
		n = 1
	}
	return fmt.Sprintf("%d %%", n)
}

// thousands sets a thin gap between the thousands of a number.
func thousands(n int) string {
	if n < 10_000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s %03d", thousands(n/1000), n%1000)
}
