package commands

import (
	"context"
	"fmt"
	"time"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// Limits of notes.
const (
	mostNote  = 1500     // characters
	mostPhoto = 25 << 20 // bytes, though nothing is loaded
	shownLast = 3        // notes under /project show
)

func projectNote(s Services) *Command {
	text := Words("text", "What to remember; leave it out and I open a form", mostNote).Like("used the 4.5 mm hook from here")
	left := quantityOption("left", "Yarn that is left now, weighed: 320 g, half a ball", "320 g")
	project := projectOption(s)
	return &Command{
		Name: "note", Short: "Keep a note with the row you are at, or the yarn you weighed", Private: true,
		Want:     "remember something about my work, or weigh my yarn",
		Options:  []Option{text, left, project},
		Examples: []string{`/project note text:"used the 4.5 mm hook from here"`, "/project note left:320 g"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			w, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			if !text.Given(r) && !left.Given(r) {
				return reply.Reply{Title: r.Say("A note"), Private: true, Form: &reply.Form{
					Title: clip(r.Say("Note on %s", w.Name), 45), Line: Line(r.Path, map[string]Input{"project": w.ref()}),
					Fields: []reply.Blank{{Option: "text", Label: r.Say("What to remember"), Long: true, Required: true, Most: mostNote, Hint: r.Say("used the 4.5 mm hook from here")}},
				}}, nil
			}
			var said string
			if left.Given(r) {
				grams, err := w.Pinned.Yarn.grams(left, left.Of(r))
				if err != nil {
					return reply.Reply{}, err
				}
				if err := s.Projects.Note(ctx, r.ID, r.Member.ID, w.ID, ProjectNote{Kind: YarnNote, Grams: grams, Text: text.Of(r)}); err != nil {
					return reply.Reply{}, err
				}
				said = r.Say("Saved: %.0f g of yarn left.", grams)
			} else {
				if err := s.Projects.Note(ctx, r.ID, r.Member.ID, w.ID, ProjectNote{Kind: WordsNote, Text: text.Of(r)}); err != nil {
					return reply.Reply{}, err
				}
				said = "Saved: " + text.Of(r)
			}
			if w, err = openNumbered(ctx, s, r, w.ID); err != nil {
				return reply.Reply{}, err
			}
			return w.reply(r, reply.Text{Text: said}), nil
		},
	}
}

func projectPhoto(s Services) *Command {
	alt := Words("alt", "What is on it, for who can't see it", 1000).Like("the back, 20 cm high, in rust wool").Require()
	photo := Upload("photo", "The picture", mostPhoto, ".png", ".jpg", ".jpeg", ".webp", ".gif", ".heic")
	where := Words("where", "Or where it is, in words: in the album, page 4", 200).Like("the album, page 4")
	project := projectOption(s)
	return &Command{
		Name: "photo", Short: "Keep where a photo is, with what is on it; the picture itself stays where it is", Private: true,
		Want:     "remember a photo of my work",
		Options:  []Option{alt, photo, where, project},
		Examples: []string{`/project photo alt:"the back, 20 cm high, in rust wool" where:"the album, page 4"`},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			w, err := openProject(ctx, s, r, project)
			if err != nil {
				return reply.Reply{}, err
			}
			place := where.Of(r)
			if photo.Given(r) {
				place = clip(photo.Of(r).Name, 100)
				if r.Channel != "" {
					place = r.Say("%s, shown in channel %s", place, clip(r.Channel, 64))
				}
			}
			if place == "" {
				return reply.Reply{}, &Mistake{Option: "photo", Message: "attach the picture, or say where it is", Example: r.command.Examples[0]}
			}
			if err := s.Projects.Note(ctx, r.ID, r.Member.ID, w.ID, ProjectNote{Kind: PhotoNote, Text: alt.Of(r), Photo: place}); err != nil {
				return reply.Reply{}, err
			}
			if w, err = openNumbered(ctx, s, r, w.ID); err != nil {
				return reply.Reply{}, err
			}
			return w.reply(r, reply.Text{Text: r.Say("Saved where it is (%s) and what is on it. I don't keep the picture itself.", place)}), nil
		},
	}
}

// lastNotes are the notes made last, the newest first.
func (w *work) lastNotes() []reply.Block {
	var items []string
	for i := len(w.Notes) - 1; i >= 0 && len(items) < shownLast; i-- {
		items = append(items, w.noteText(w.Notes[i]))
	}
	if len(items) == 0 {
		return nil
	}
	title := w.Say("Notes")
	if n := len(w.Notes); n > len(items) {
		title = w.Say("The last %d of %d notes", len(items), n)
	}
	return []reply.Block{reply.List{Title: title, Items: items}}
}

func (w *work) noteText(n ProjectNote) string {
	text := n.Text
	switch n.Kind {
	case PhotoNote:
		text = w.Say("photo %s: %s", n.Photo, n.Text)
	case YarnNote:
		text = w.Say("%.0f g of yarn left", n.Grams)
		if n.Text != "" {
			text += ": " + n.Text
		}
	}
	if m := n.Moves; m > 0 && m <= len(w.Moves) {
		move := w.Moves[m-1]
		if piece := w.pieces[move.Piece]; move.To > 0 {
			text = fmt.Sprintf("%s, %s: %s", piece.Title(), piece.Rows[move.To-1].Label, text)
		}
	}
	return w.dateText(n.At) + ", " + text
}

// dateText is a date as people write it, where the member is.
func (w *work) dateText(at time.Time) string { return w.Date(at.In(w.where), words.Day) }
