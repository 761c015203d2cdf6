package commands

import (
	"context"
	"strings"

	"countwright/commands/reply"
	"countwright/commands/words"
)

func meErase(s Services) *Command {
	project := projectOption(s)
	project.spec.Short = "Only this project; everything if not said"
	sure := YesNo("sure", "Say yes to erase; without it I only tell what would go")
	return &Command{
		Name: "erase", Short: "Erase everything that is stored about you, or one project", Private: true,
		Want:     "have my data erased",
		Long:     "It can't be undone. /me export gives you a copy first.",
		Options:  []Option{project, sure},
		Examples: []string{"/me erase", "/me erase project:Harbour cardigan"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if project.Given(r) {
				return eraseProject(ctx, s, r, project, sure.Of(r))
			}
			if !sure.Of(r) {
				return askErase(r, words.Say("everything that is stored about you: settings, swatches, projects with all their rows and notes, and your part in make-alongs"),
					"/me erase sure:yes", s.Belongings.Retention()), nil
			}
			gone, err := s.Belongings.Erase(ctx, r.ID, r.Member.ID)
			if err != nil {
				return reply.Reply{}, err
			}
			s.checked.drop(r.Member.ID)
			text := r.Say("Nothing was stored about you, so nothing was erased.")
			if len(gone) > 0 {
				text = r.Say("Gone from the database: %s.", strings.Join(gone, ", ")) + backupsText(r, s.Belongings.Retention())
			}
			return reply.Reply{Title: r.Say("Erased"), Private: true, Parts: []reply.Block{reply.Text{Text: text}}, Data: map[string][]string{"erased": gone}}, nil
		},
	}
}

func eraseProject(ctx context.Context, s Services, r Request, project *Opt[string], sure bool) (reply.Reply, error) {
	w, err := openProject(ctx, s, r, project)
	if err != nil {
		return reply.Reply{}, err
	}
	if !sure {
		line := Line("me erase", map[string]Input{"project": w.ref(), "sure": {Text: "yes"}})
		return askErase(r, words.Say("the project “%s” with its rows counted and its notes", w.Name), line, s.Belongings.Retention()), nil
	}
	if _, err := s.Belongings.EraseProject(ctx, r.ID, r.Member.ID, w.ID); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Title: r.Say("Erased"), Private: true, Data: map[string][]string{"erased": {w.Name}},
		Parts: []reply.Block{reply.Text{Text: r.Say("“%s” is gone from the database.", w.Name) + backupsText(r, s.Belongings.Retention())}}}, nil
}

// askErase asks before anything is erased.
func askErase(r Request, what words.Message, line, retention string) reply.Reply {
	return reply.Reply{Title: r.Say("Erase?"), Private: true, Data: map[string][]string{"erased": {}},
		Parts: []reply.Block{
			reply.Text{Text: r.Say("This erases %s. Nothing is erased yet.", what)},
			reply.Caution{Text: r.Say("It can't be undone. /me export gives you a copy first.") + backupsText(r, retention)},
		},
		Actions: []reply.Action{
			reply.Button{Label: r.Say("Erase for good"), Line: line},
			reply.Button{Label: r.Say("Export first"), Line: "/me export"},
		}}
}

func backupsText(r Request, retention string) string {
	if retention == "" {
		return ""
	}
	return r.Say(" It leaves the backups made before when they are dropped: %s.", retention)
}
