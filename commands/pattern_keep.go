package commands

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func patternAdd(s Services) *Command {
	from := newTextOptions(s)
	name := Words("name", "What members will type: hat, or spring cardigan", 60).Require().Like("spring hat")
	version := Words("version", "Its version; 1 if not said", 40).Default("1").Like("1")
	title := Words("title", "Its title; the name if not said", 200).Like("Spring hat with a rolled brim")
	author := Words("author", "Who wrote it", 200).Like("Mira")
	licence := Words("licence", "Under which licence it may be shared", 200).Like("CC BY 4.0")
	terms := termsOption()
	return &Command{
		Name: "add", Short: "Keep a pattern for this server, checked first", For: Hosts,
		Want: "keep a pattern for my server",
		Long: "The rows are checked first. A pattern whose check does not hold is kept as a draft, which adding the same version again replaces. " +
			"Only keep patterns that their writers let you share.",
		Options: []Option{name, from.text, from.file, version, title, author, licence, terms},
		Examples: []string{
			`/pattern add name:little ball author:Mira licence:CC BY 4.0 text:"Rnd 1: 6 sc in magic ring (6)\nRnd 2: 2 sc in each st around (12)"`,
			`/pattern add name:little ball version:2 title:Larger ball text:"Rnd 1: 8 sc in magic ring (8)\nRnd 2: 2 sc in each st around (16)"`,
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if strings.EqualFold(name.Of(r), justChecked) {
				return reply.Reply{}, name.Blame(words.Say("%q always means the text that a member checked last; choose another name", justChecked))
			}
			if p, ok := pattern.Find(name.Of(r)); ok {
				return reply.Reply{}, name.Blame(words.Say("%q always means the pattern of that name that is at hand; choose another name", p.Name))
			}
			p := SavedPattern{Server: r.Server, Name: name.Of(r), Version: version.Of(r), Title: title.Of(r), Author: author.Of(r), Licence: licence.Of(r)}
			if p.Title == "" {
				p.Title = p.Name
			}
			t, ask, err := from.readHere(ctx, r, "Keep a pattern",
				reply.Blank{Option: "title", Label: r.Say("Its title"), Hint: r.Say("Spring hat with a rolled brim"), Most: 200},
				reply.Blank{Option: "author", Label: r.Say("Who wrote it"), Hint: author.spec.Example, Most: 200},
				reply.Blank{Option: "licence", Label: r.Say("How it may be shared"), Hint: licence.spec.Example, Most: 200})
			if ask != nil && err == nil {
				err = versionFree(ctx, s, version, p) // before anybody fills in a form
			}
			if err != nil || ask != nil {
				return formReply(ask), err
			}
			out, err := keep(ctx, s, r, p, t, terms.Of(r))
			if errors.Is(err, ErrKept) {
				err = errors.Join(versionFree(ctx, s, version, p), err)
			}
			return out, err
		},
	}
}

// versionFree is a mistake where a finished pattern has the version already.
func versionFree(ctx context.Context, s Services, o *Opt[string], p SavedPattern) error {
	versions, err := s.Patterns.List(ctx, p.Server, p.Name)
	if err != nil {
		return fmt.Errorf("list versions: %w", err)
	}
	highest, taken := 1, false
	for _, v := range versions {
		if n, err := strconv.Atoi(v.Version); err == nil {
			highest = max(highest, n)
		}
		taken = taken || v.Version == p.Version && !v.Draft
	}
	if !taken {
		return nil
	}
	return &Mistake{Option: o.spec.Name, Example: fmt.Sprintf("%s:%d", o.spec.Name, highest+1),
		Message: "“%s” has a version %s already, and finished versions stay as they are; give this one another", Args: []any{p.Name, p.Version}}
}

// keep checks a text and keeps it: as a draft where its check does not hold.
func keep(ctx context.Context, s Services, r Request, p SavedPattern, t written, terms notation.Terms) (reply.Reply, error) {
	c, err := workText(r, t, reading{terms: terms})
	var mistake *Mistake
	switch {
	case errors.As(err, &mistake) && t.file:
	case err != nil:
		return reply.Reply{}, err
	}
	p.Text, p.File = t.text, t.file
	p.Draft = c == nil || !c.result.OK()
	if err := s.Patterns.Add(ctx, r.ID, r.Member.ID, p); err != nil {
		return reply.Reply{}, fmt.Errorf("keep pattern: %w", err)
	}
	out := reply.Reply{Title: r.Say("Kept: %s, version %s", p.Name, p.Version)}
	data := map[string]any{"name": p.Name, "version": p.Version, "draft": p.Draft}
	out.Data = data
	if p.Draft {
		out.Title = r.Say("Kept as a draft: %s, version %s", p.Name, p.Version)
		out.Parts = append(out.Parts, reply.Caution{Text: r.Say("Its check does not hold, so it is a draft until it does. Mend it and add it again with the same version; the draft is replaced.")})
	}
	switch {
	case c == nil:
		out.Parts = append(out.Parts, reply.Text{Text: asSentence(r.Of(mistake.said()))})
		out.Parts = append(out.Parts, mistake.Parts...)
	default:
		data["findings"] = c.data().Findings
		out.Parts = append(out.Parts, reply.Text{Text: asSentence(r.Of(c.verdict())) + " " + c.readAs(r)})
		if len(c.result.Findings) > 0 {
			out.Parts = append(out.Parts, stillEnglish(r.Printer)...)
		}
		out.Parts = append(out.Parts, c.found()...)
	}
	if p.Author == "" || p.Licence == "" {
		out.Parts = append(out.Parts, reply.Tip{Text: r.Say("Say who wrote it (author) and how it may be shared (licence), so that members know. Only keep patterns that their writers let you share.")})
	}
	out.Actions = keptActions(p, r)
	return out, nil
}

// keptActions is what a member can do with a kept pattern.
func keptActions(p SavedPattern, r Request) []reply.Action {
	var all []reply.Action
	add := func(label words.Message, path string, more map[string]Input) {
		inputs := map[string]Input{"name": {Text: p.Name}}
		for k, v := range more {
			inputs[k] = v
		}
		if line := Line(path, inputs); len(line) <= 90 {
			all = append(all, reply.Button{Label: r.Of(label), Line: line})
		}
	}
	add(words.Say("Check it"), "pattern check", nil)
	if p.File {
		return all
	}
	add(words.Say("Chart it"), "pattern chart", nil)
	if d := notation.DetectTerms(p.Text); d.Terms != r.Terms() {
		to := termsName(r.Terms())
		add(words.Say("In %s terms", to), "pattern terms", map[string]Input{"to": {Text: to}})
	}
	return all
}

func patternShow(s Services) *Command {
	name := keptNamed(s, "name", "The pattern's name").Require()
	version := Words("version", "Which version; the newest finished one if not said", 40).Like("1")
	return &Command{
		Name: "show", Short: "Show a pattern that this server keeps",
		Want:     "read a pattern that is kept here",
		Options:  []Option{name, version},
		Examples: []string{"/pattern show name:spring hat", "/pattern show name:spring hat version:1"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			t, err := findKept(ctx, s, r, name.spec.Name, name.Of(r), version.Of(r))
			if err != nil {
				return reply.Reply{}, err
			}
			if t.saved == nil { // the text checked last
				return reply.Reply{Title: r.Say("The text you checked last"), Private: true, Parts: textRows(r.Printer, t), Data: map[string]any{"name": justChecked, "text": t.text}}, nil
			}
			return keptReply(r, *t.saved, t), nil
		},
	}
}

func textRows(p words.Printer, t written) []reply.Block {
	return shownRows(p, "", strings.Split(strings.TrimRight(strings.ReplaceAll(t.text, "\r\n", "\n"), "\n \t"), "\n"), fileName(t.name, ""), t.text)
}

func keptReply(r Request, p SavedPattern, t written) reply.Reply {
	fields := []reply.Field{{Name: r.Say("Name"), Value: p.Name}, {Name: r.Say("Version"), Value: p.Version}}
	said := func(name words.Key, value string) {
		if value == "" {
			value = r.Say("not said")
		}
		fields = append(fields, reply.Field{Name: r.Say(name), Value: value})
	}
	said("Author", p.Author)
	said("Licence", p.Licence)
	if !p.File {
		fields = append(fields, reply.Field{Name: r.Say("Terms"), Value: notation.DetectTerms(p.Text).Terms.String()})
	}
	fields = append(fields, reply.Field{Name: r.Say("Kept"), Value: r.Date(p.Added, words.Day)})
	out := reply.Reply{Title: p.Title, Parts: []reply.Block{reply.Fields{Items: fields}}}
	if p.Draft {
		out.Parts = append(out.Parts, reply.Caution{Text: r.Say("This is a draft: its check does not hold, so don't work from it yet.")})
	}
	out.Parts = append(out.Parts, textRows(r.Printer, t)...)
	out.Actions = keptActions(p, r)
	out.Data = map[string]any{"name": p.Name, "version": p.Version, "title": p.Title, "author": p.Author, "licence": p.Licence, "draft": p.Draft, "text": p.Text}
	return out
}
