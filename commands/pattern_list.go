package commands

import (
	"context"
	"fmt"

	"countwright/calc/pattern"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func patternList(s Services) *Command {
	name := keptNamed(s, "name", "One pattern, to see all its versions")
	return &Command{
		Name: "list", Short: "List the patterns kept here and those that are always at hand",
		Want:     "see which patterns there are",
		Options:  []Option{name},
		Examples: []string{"/pattern list", "/pattern list name:spring hat"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if name.Given(r) {
				return versionsReply(ctx, s, r, name)
			}
			return patternsReply(ctx, s, r)
		},
	}
}

func patternsReply(ctx context.Context, s Services, r Request) (reply.Reply, error) {
	var kept []SavedPattern
	if r.Server != "" {
		var err error
		if kept, err = s.Patterns.List(ctx, r.Server, ""); err != nil {
			return reply.Reply{}, fmt.Errorf("list patterns: %w", err)
		}
	}
	out := reply.Reply{Title: r.Count(len(kept), "%d pattern kept here", "%d patterns kept here")}
	data := []map[string]any{}
	var items []string
	for _, p := range kept {
		items = append(items, r.Of(keptLine(p)))
		data = append(data, keptData(p))
	}
	switch {
	case r.Server == "":
		out.Title = r.Say("Patterns at hand")
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("A server keeps patterns of its own; ask there to see them.")})
	case len(kept) == 0:
		out.Title = r.Say("No patterns are kept here yet")
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("A host can add one with /pattern add. Anyone can check rows with /pattern check.")})
	default:
		out.Parts = append(out.Parts, reply.List{Items: items}, reply.Tip{Text: r.Say("See one with %s.", "/pattern show name:"+quoted(kept[0].Name))})
	}
	var house []string
	for _, p := range pattern.House() {
		house = append(house, r.Say("%s: %s", p.Name, words.Key(p.Summary)))
	}
	out.Parts = append(out.Parts, reply.List{Title: r.Say("Always at hand, made to your size by /resize"), Items: house})
	out.Data = map[string]any{"patterns": data, "house": len(house)}
	return out, nil
}

// keptLine is a pattern in a list: "hat: Spring hat, by Mira, version 2, CC BY
// 4.0".
func keptLine(p SavedPattern) words.Message {
	line := words.Say("%s", p.Name)
	if p.Title != "" && p.Title != p.Name {
		line = words.Say("%s: %s", p.Name, p.Title)
	}
	if p.Author != "" {
		line = words.Say("%s, by %s", line, p.Author)
	}
	line = words.Say("%s, version %s", line, p.Version)
	if p.Licence != "" {
		line = words.Say("%s, %s", line, p.Licence)
	}
	if p.Draft {
		line = words.Say("%s (draft)", line)
	}
	return line
}

func keptData(p SavedPattern) map[string]any {
	return map[string]any{"name": p.Name, "version": p.Version, "title": p.Title, "author": p.Author, "licence": p.Licence, "draft": p.Draft}
}

func versionsReply(ctx context.Context, s Services, r Request, name *Opt[string]) (reply.Reply, error) {
	if r.Server == "" {
		return reply.Reply{}, Refused("Patterns are kept for a server; ask in the server whose pattern it is.")
	}
	versions, err := s.Patterns.List(ctx, r.Server, name.Of(r))
	if err != nil {
		return reply.Reply{}, fmt.Errorf("list versions: %w", err)
	}
	if len(versions) == 0 {
		return reply.Reply{}, unknownPattern(ctx, s, r, name.spec.Name, name.Of(r), "")
	}
	out := reply.Reply{Title: r.Say("%s: %s", versions[0].Name, words.Count(len(versions), "%d version", "%d versions"))}
	var items []string
	data := []map[string]any{}
	for _, v := range versions {
		items = append(items, r.Say("%s, kept %s", keptLine(v), r.Date(v.Added, words.Day)))
		data = append(data, keptData(v))
	}
	out.Parts = []reply.Block{reply.List{Items: items}}
	out.Data = map[string]any{"versions": data}
	return out, nil
}

func patternRemove(s Services) *Command {
	name := keptNamed(s, "name", "The pattern's name").Require()
	version := Words("version", "Which version; all of them if not said", 40).Like("1")
	return &Command{
		Name: "remove", Short: "Remove a pattern that this server keeps, or one version of it", For: Hosts,
		Want:     "take a pattern away again",
		Options:  []Option{name, version},
		Examples: []string{"/pattern remove name:coaster version:1", "/pattern remove name:coaster"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if _, err := findKept(ctx, s, r, name.spec.Name, name.Of(r), version.Of(r)); err != nil {
				return reply.Reply{}, err
			}
			n, err := s.Patterns.Remove(ctx, r.ID, r.Member.ID, r.Server, name.Of(r), version.Of(r))
			if err != nil {
				return reply.Reply{}, fmt.Errorf("remove pattern: %w", err)
			}
			gone := words.Say("“%s” is gone, version %s (%d in all). What members have made from it stays theirs.", name.Of(r), version.Of(r), n)
			if !version.Given(r) {
				gone = words.Say("“%s” is gone, all its versions (%d in all). What members have made from it stays theirs.", name.Of(r), n)
			}
			return reply.Reply{
				Title: r.Say("Removed: %s", name.Of(r)),
				Parts: []reply.Block{reply.Text{Text: r.Of(gone)}},
				Data:  map[string]any{"name": name.Of(r), "removed": n},
			}, nil
		},
	}
}
