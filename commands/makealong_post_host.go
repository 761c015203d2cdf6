package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/commands/reply"
)

// The keys of notes to hosts, up to their slash.
const (
	helpNote    = "help"    // "help/2": what is asked at a milestone
	asleepNote  = "asleep"  // "asleep/2": a check-in was left out, for nobody is there
	blockedNote = "blocked" // "blocked" or "blocked/…": the channel can't be written to
)

// hostNote is what hosts alone read: gathered calls for help, or what they
// should know. Other keys say what the post's Text says.
func (w wording) hostNote(ctx context.Context) (Wording, error) {
	r := reply.Reply{Title: "For the hosts of " + w.MakeAlong.Name, Private: true, Data: w.data()}
	r.Actions = []reply.Action{w.MakeAlong.button("All answers", "makealong answers", w.mark(nil))}
	for _, p := range append(w.Merged[:len(w.Merged):len(w.Merged)], w.Post) {
		if p.Kind != HostNote {
			continue
		}
		parts, err := w.notePart(ctx, p)
		if err != nil {
			return Wording{}, err
		}
		r.Parts = append(r.Parts, parts...)
	}
	if len(r.Parts) == 0 {
		return Wording{Skip: "nobody asks for help"}, nil
	}
	return w.said(r, nil)
}

// notePart is one note; nothing where it has nothing to say.
func (w wording) notePart(ctx context.Context, p Post) ([]reply.Block, error) {
	kind, _, _ := strings.Cut(p.Key, "/")
	switch kind {
	case helpNote:
		return w.helpPart(ctx, p)
	case asleepNote:
		title := ""
		if p.Milestone >= 0 && p.Milestone < len(w.MakeAlong.Course.Milestones) {
			title = fmt.Sprintf(" for “%s”", w.MakeAlong.Course.Milestones[p.Milestone].Title)
		}
		return []reply.Block{reply.Text{Text: fmt.Sprintf("It has been quiet in the channel since the last two posts, so I left out the check-in%s. I go on as soon as somebody writes, taps or counts a row. "+
			"A word from you may be all it takes, or a pause: /makealong pause.", title)}}, nil
	case blockedNote:
		text := "I can't post in the channel any more, so the make-along rests. Nothing is lost, and its members' rows still count."
		if p.Text != "" {
			text += " It may be that " + strings.TrimSuffix(p.Text, ".") + "."
		}
		return []reply.Block{reply.Text{Text: text},
			reply.Steps{Items: []string{
				"Let me see the channel and send messages and files there. Or choose another channel.",
				"In the channel where it is to go on, send " + w.MakeAlong.line("makealong pause", map[string]string{"all": "yes", "resume": "yes"}) + ". The dates move along, and nobody has to do anything.",
			}}}, nil
	}
	if p.Text == "" {
		return nil, fmt.Errorf("word post %s: it says nothing", p.Key)
	}
	return []reply.Block{reply.Text{Text: p.Text}}, nil
}

// helpPart gathers who is stuck at a milestone, with the counts of each.
func (w wording) helpPart(ctx context.Context, p Post) ([]reply.Block, error) {
	answers, err := w.alongs.Answers(ctx, w.Along, p.Milestone)
	if err != nil {
		return nil, fmt.Errorf("read answers: %w", err)
	}
	for _, at := range gathered(w.MakeAlong, answers) {
		if at.NeedHelp == 0 {
			continue
		}
		lead := fmt.Sprintf("%s would like help at “%s”. Here are their counts.", upperFirst(people(at.NeedHelp)), at.Title)
		if at.NeedHelp == 1 {
			lead = fmt.Sprintf("One person would like help at “%s”. Here are the counts.", at.Title)
		}
		parts := append([]reply.Block{reply.Text{Text: lead}}, at.calls()...)
		parts = append(parts, tripList("What often happens there", tripUps(w.MakeAlong.Course, p.Milestone, bothTerms)))
		return append(parts, reply.Text{Text: "All taps: " + at.counts() + "."}), nil
	}
	return nil, nil
}
