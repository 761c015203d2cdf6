package commands

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"countwright/commands/photo"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// mostShared is how large a picture to be shown may be, in bytes: what a surface
// fetches at most, and less than the chat takes of a program in one file.
const mostShared = 8 << 20

func makealongShare(s Services) *Command {
	text := Words("words", "What is on it, for who can't see it", 500).Like("the first sleeve, rust wool, on the garden chair").Require()
	picture := Upload("photo", "The picture; where and when it was taken is taken out of it", mostShared, ".png", ".jpg", ".jpeg", ".webp")
	where := Words("where", "Or where it can be seen, in words: in the album, page 4", 200).Like("the album, page 4")
	named := makealongOption(s)
	return &Command{
		Name: "share", Short: "Show a picture of your work to the group, with words on what is on it", Slow: true,
		Want: "show my work to the group",
		Long: "The picture is shown in this channel, with your words for who can't see it. The gallery keeps the words and where it was shown, never the picture. " +
			"Your name stands there only if you chose to be named.",
		Options:  []Option{text, picture, where, named},
		Examples: []string{`/makealong share words:"the first sleeve, rust wool" where:"the album, page 4"`},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			p, err := needPart(ctx, s, r, m)
			if err != nil {
				return reply.Reply{}, err
			}
			if !picture.Given(r) && !where.Given(r) {
				return reply.Reply{}, &Mistake{Option: "photo", Message: "attach the picture, or say where it is", Example: r.command.Examples[0]}
			}
			shown := Shared{Along: m.ID, Member: r.Member.ID, Name: p.Name, Text: text.Of(r), Where: where.Of(r), At: r.Now}
			out := reply.Reply{Title: r.Say("From %s", m.Name), Parts: []reply.Block{reply.Text{Text: shown.caption(r.Printer)}}}
			if picture.Given(r) {
				file, err := shownPicture(ctx, picture, picture.Of(r), shown.Text)
				if err != nil {
					return reply.Reply{}, err
				}
				out.Parts = append(out.Parts, file)
				if shown.Where == "" && r.Server == m.Server && r.Channel == m.Channel {
					shown.Where = string(shownHere)
				}
			}
			if err := s.MakeAlongs.Share(ctx, r.ID, shown); err != nil {
				return reply.Reply{}, fmt.Errorf("share a picture: %w", err)
			}
			out.Data = map[string]any{"makealong": m.ID, "words": shown.Text, "where": shown.Where, "named": shown.Name != ""}
			out.Actions = []reply.Action{m.button(r.Say("Board"), "makealong board", nil)}
			return out, nil
		},
	}
}

// shownHere is where a picture is that was shown in the make-along's channel.
const shownHere words.Key = "shown in this channel"

// said is what is on a picture, and whose it is if she is named.
func (s Shared) said(p words.Printer) string {
	if s.Name != "" {
		return p.Say("“%s”, by %s", s.Text, s.Name)
	}
	return p.Say("“%s”", s.Text)
}

// caption is what a picture that is shown says.
func (s Shared) caption(p words.Printer) string {
	line := s.said(p)
	if s.Where != "" {
		line = p.Say("%s. To be seen: %s", line, s.Where)
	}
	return line
}

// shownPicture is the picture as it is passed on: without what a telephone
// wrote beside it.
func shownPicture(ctx context.Context, o *Opt[*Attachment], file *Attachment, words string) (reply.Block, error) {
	if file.Load == nil {
		return nil, &Mistake{Option: o.spec.Name, Message: "the picture can't be fetched here; say where it is instead", Example: `where:"the album, page 4"`}
	}
	body, err := file.Load(ctx)
	if err != nil {
		return nil, fmt.Errorf("fetch the picture: %w", err)
	}
	bare, kind, err := photo.Bare(body)
	switch {
	case errors.Is(err, photo.ErrKind):
		return nil, &Mistake{Option: o.spec.Name, Message: "it is no picture that I can show: it takes JPEG, PNG and WebP. A telephone can save its photos as JPEG (“most compatible”)", Example: "photo:sleeve.jpg"}
	case errors.Is(err, photo.ErrBroken):
		return nil, &Mistake{Option: o.spec.Name, Message: "the picture arrived damaged or broken off; please try once more", Example: "photo:sleeve.jpg"}
	case err != nil:
		return nil, fmt.Errorf("read the picture: %w", err)
	}
	return reply.File{Name: "shown" + kind.Extension, Type: kind.Type, Alt: strings.TrimSpace(words), Body: bare}, nil
}
