package commands

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"countwright/calc/pace"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// rowCount is how many rows a line tells: "+1", "-3", or 34 for "row 34 is
// done".
type rowCount struct {
	by    int
	to    int
	exact bool
}

func readRowCount(text string, _ Settings) (rowCount, error) {
	word := strings.NewReplacer("−", "-", "–", "-", " ", "").Replace(text)
	n, err := strconv.Atoi(word)
	switch {
	case err != nil || n > pace.MostRows || n < -pace.MostRows:
		return rowCount{}, words.Say("“%s” is no number of rows; it takes +1 for one more, +5, -3 for three pulled out, or 34 where Row 34 is done", clip(text, 20))
	case strings.HasPrefix(word, "+") || n < 0:
		return rowCount{by: n}, nil
	}
	return rowCount{to: n, exact: true}, nil
}

// readMinutes reads time worked: "40", "40 min", "1:30", "1 h 30".
func readMinutes(text string, _ Settings) (int, error) {
	word := strings.NewReplacer("hours", "h", "hour", "h", "minutes", "", "min", "", "m", "", ":", "h", " ", "").Replace(strings.ToLower(text))
	hours, rest, found := strings.Cut(word, "h")
	if !found {
		hours, rest = "0", word
	}
	if rest == "" {
		rest = "0"
	}
	h, err1 := strconv.Atoi(hours)
	m, err2 := strconv.Atoi(rest)
	if err1 != nil || err2 != nil || h < 0 || m < 0 || h > 24 || h*60+m > 24*60 || h*60+m == 0 {
		return 0, words.Say("“%s” is no time; it takes 40 min or 1:30, up to 24 hours", clip(text, 20))
	}
	return h*60 + m, nil
}

func projectRow(s Services) *Command {
	n := Value("n", "Rows: +1, +5, -3 (pulled out), or 34 where Row 34 is done; +1 if not said", "+1", readRowCount)
	piece := Words("piece", "Which piece: its number or name, or next; alone, it turns to that piece", 60).Like("next")
	project := projectOption(s)
	minutes := Value("time", "Time it took, if you keep account of it: 40 min, 1:30", "40 min", readMinutes)
	return &Command{
		Name: "row", Short: "Count rows, or say which row is done", Private: true,
		Want:     "count the rows I have done",
		Options:  []Option{n, piece, project, minutes},
		Examples: []string{"/project row", "/project row n:+5 time:40 min", "/project row n:-3", "/project row piece:next"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			w, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			if w.State == Finished {
				return reply.Reply{}, Refused("%s is finished. If there is more to do, take it up again first: /project pause project:%d resume:yes", w.Name, w.ID)
			}
			at := w.tally.Piece
			switch {
			case piece.Given(r):
				if at, err = w.pieceNamed(piece, piece.Of(r)); err != nil {
					return reply.Reply{}, err
				}
			case n.Of(r).by >= 0: // a piece that is done gives way to the next
				at, _ = w.tally.Next(w.pieces)
			}
			step := ProjectStep{Piece: at, Minutes: minutes.Of(r)}
			switch {
			case n.Given(r):
				if err := w.step(&step, n, n.Of(r)); err != nil {
					return reply.Reply{}, err
				}
			case !piece.Given(r):
				step.By = 1
			}
			return countRows(ctx, s, r, w, step)
		},
	}
}

// step reads a number of rows for a piece.
func (w *work) step(step *ProjectStep, o *Opt[rowCount], c rowCount) error {
	step.By = c.by
	if !c.exact {
		return nil
	}
	p := w.pieces[step.Piece]
	rows, ok := p.At(c.to, w.tally.Done[step.Piece])
	if c.to == 0 {
		rows, ok = 0, true
	}
	if !ok {
		return &Mistake{Option: o.spec.Name, Message: "%s has no Row %d; its last is %d", Args: []any{p.Title(), c.to, p.Last()}, Example: fmt.Sprintf("n:%d", p.Last())}
	}
	step.Exact, step.To = true, rows
	return nil
}

// countRows counts, and answers with where the work stands then.
func countRows(ctx context.Context, s Services, r Request, before *work, step ProjectStep) (reply.Reply, error) {
	made, err := s.Projects.Count(ctx, r.ID, r.Member.ID, before.ID, step)
	if err != nil {
		return reply.Reply{}, err
	}
	w, err := openNumbered(ctx, s, r, before.ID)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(made) == 0 {
		return w.reply(r, reply.Text{Text: r.Say("Nothing to count: %s", w.standsAt(step.Piece)) + w.again(step)}), nil
	}
	parts := []reply.Block{reply.Text{Text: w.counted(made[0], step)}}
	if passed := w.passed(made[0]); passed != nil {
		parts = append(parts, passed)
	}
	there, err := cameTo(ctx, s, r, before, w)
	if err != nil {
		return reply.Reply{}, err
	}
	return w.reply(r, append(parts, there...)...), nil
}

// standsAt says how far a piece is.
func (w *work) standsAt(piece int) string {
	p, done := w.pieces[piece], w.tally.Done[piece]
	switch done {
	case 0:
		return w.Say("%s is at its beginning.", p.Title())
	case len(p.Rows):
		return w.Say("%s is done.", p.Title())
	}
	return w.Say("%s: %s is done.", p.Title(), p.Rows[done-1].Label)
}

// again says how to come to a later row of the number that was told: two
// shoulders have the same ones.
func (w *work) again(step ProjectStep) string {
	p := w.pieces[step.Piece]
	if !step.Exact || step.To == 0 {
		return ""
	}
	number := p.Rows[step.To-1].Number
	if rows, ok := p.At(number, step.To+1); ok && rows > step.To {
		return w.Say(" If you mean the other Row %d, say n:+%d.", number, rows-step.To)
	}
	return ""
}

// counted says what a move did.
func (w *work) counted(m pace.Move, step ProjectStep) string {
	p := w.pieces[m.Piece]
	rows := m.To - m.From
	switch {
	case rows == 0 && m.Minutes > 0:
		return w.Say("Saved: %s worked.", minutesText(m.Minutes))
	case rows == 0:
		return w.Say("Now at %s.", p.Title())
	case rows < 0:
		return w.Say("Saved: %s pulled out. %s Frogging is part of making, and the work still counts.", countedRows(-rows), w.standsAt(m.Piece))
	}
	text := w.Say("Saved: %s done", p.Rows[m.To-1].Label)
	if rows > 1 {
		text = w.Say("Saved: %d rows, %s done", rows, p.Rows[m.To-1].Label)
	}
	text += ", " + w.Of(w.countOf(m.Piece, m.To-1)) + "."
	if !step.Exact && step.By > rows {
		text += w.Say(" The piece had only %d more.", rows)
	}
	if m.To == len(p.Rows) {
		text += " " + w.Say("%s is done.", p.Title())
		if end := p.Ending(); len(end) > 0 {
			text += " " + strings.Join(end, " ")
		}
	}
	return text
}

func (w *work) countOf(piece, row int) words.Message {
	return stitchCount(w.pieces[piece].Rows[row].Count)
}

// passed names what was out of the ordinary in rows that were counted without
// having been shown.
func (w *work) passed(m pace.Move) reply.Block {
	var items []string
	for _, e := range w.pieces[m.Piece].Due(m.From+1, m.To) {
		items = append(items, w.Say("%s in %s", w.happens(m.Piece, e), w.pieces[m.Piece].Rows[e.Row].Label))
	}
	if len(items) == 0 {
		return nil
	}
	return reply.List{Title: w.Say("On the way there were"), Items: items}
}

func projectUndo(s Services) *Command {
	project := projectOption(s)
	steps := Int("steps", "How many countings to take back", 1, 500).Default(1).Like("2")
	return &Command{
		Name: "undo", Short: "Take back what you counted last, as often as you like", Private: true,
		Want:     "take back a row I counted by mistake",
		Long:     "This mends a slip of the thumb: what is taken back never happened. Rows that you pulled out of the work are /project row n:-3.",
		Options:  []Option{steps, project},
		Examples: []string{"/project undo", "/project undo steps:2"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			before, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			made, err := s.Projects.Undo(ctx, r.ID, r.Member.ID, before.ID, steps.Of(r))
			if err != nil {
				return reply.Reply{}, err
			}
			w, err := openNumbered(ctx, s, r, before.ID)
			if err != nil {
				return reply.Reply{}, err
			}
			text := r.Say("There is nothing to take back: this is how it began.")
			if n := len(made); n > 0 {
				m := made[n-1]
				text = r.Say("Taken back. %s", w.standsAt(m.Piece))
				if n > 1 {
					text = r.Say("Taken back: the last %d countings. %s", n, w.standsAt(m.Piece))
				}
			}
			return w.reply(r, reply.Text{Text: text}), nil
		},
	}
}

// minutesText is a time as people say it.
func minutesText(m int) string {
	switch h := m / 60; {
	case h == 0:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", h)
	default:
		return fmt.Sprintf("%d h %d min", h, m%60)
	}
}
