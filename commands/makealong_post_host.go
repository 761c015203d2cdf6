package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// The keys of notes to hosts, up to their slash.
const (
	helpNote    = "help"    // "help/2": what is asked at a milestone
	asleepNote  = "asleep"  // "asleep/2": a check-in was left out, for nobody is there
	blockedNote = "blocked" // "blocked" or "blocked/…": the channel can't be written to
)

var errNothing = errors.New("it says nothing")

// hostNote is what hosts alone read: gathered calls for help, or what they
// should know. Other keys say what the post's Text says.
func (w wording) hostNote(ctx context.Context) (Wording, error) {
	r := reply.Reply{Title: w.Say("For the hosts of %s", w.MakeAlong.Name), Private: true, Data: w.data()}
	helped, blocked := false, false
	for _, p := range append(w.Merged[:len(w.Merged):len(w.Merged)], w.Post) {
		kind, _, _ := strings.Cut(p.Key, "/")
		if p.Kind != HostNote || kind == helpNote && helped {
			continue
		}
		helped, blocked = helped || kind == helpNote, blocked || kind == blockedNote
		parts, err := w.notePart(ctx, p)
		if err != nil {
			return Wording{}, err
		}
		r.Parts = append(r.Parts, parts...)
	}
	if len(r.Parts) == 0 {
		return Wording{Skip: "nobody asks for help"}, nil
	}
	if blocked {
		r.Actions = append(r.Actions, w.MakeAlong.button(w.Say("Take it up again"), "makealong pause", map[string]string{"all": "yes", "resume": "yes"}))
	}
	r.Actions = append(r.Actions, w.MakeAlong.button(w.Say("All answers"), "makealong answers", w.mark(nil)))
	return w.said(r, nil)
}

// notePart is one note; nothing where it has nothing to say.
func (w wording) notePart(ctx context.Context, p Post) ([]reply.Block, error) {
	kind, _, _ := strings.Cut(p.Key, "/")
	switch kind {
	case helpNote:
		return w.helpPart(ctx)
	case asleepNote:
		left := w.Say("It has been quiet in the channel since the last two posts, so I left out the check-in.")
		if p.Milestone >= 0 && p.Milestone < len(w.MakeAlong.Course.Milestones) {
			left = w.Say("It has been quiet in the channel since the last two posts, so I left out the check-in for “%s”.", w.MakeAlong.Course.Milestones[p.Milestone].Title)
		}
		return []reply.Block{reply.Text{Text: left + " " + w.Say("I go on as soon as somebody writes, taps or counts a row. A word from you may be all it takes, or a pause: /makealong pause.")}}, nil
	case blockedNote:
		text := w.Say("I can't post in the channel any more, so the make-along rests. Nothing is lost, and its members' rows still count.")
		if p.Text != "" {
			text += " " + w.Say("It may be that %s.", words.Key(strings.TrimSuffix(p.Text, ".")))
		}
		return []reply.Block{reply.Text{Text: text},
			reply.List{Items: []string{
				w.Say("Let me see the channel and send messages and files there. Then tap “Take it up again”."),
				w.Say("Or give it another channel: /makealong change. It goes on there."),
			}}}, nil
	}
	if p.Text == "" {
		return nil, fmt.Errorf("word post %s: %w", p.Key, errNothing)
	}
	return []reply.Block{reply.Text{Text: w.Say(words.Key(p.Text))}}, nil
}

// helpPart gathers who has become stuck since the last note of this kind, with
// the counts of each.
func (w wording) helpPart(ctx context.Context) ([]reply.Block, error) {
	answers, err := w.alongs.Answers(ctx, w.Along, -1)
	if err != nil {
		return nil, fmt.Errorf("read answers: %w", err)
	}
	posts, err := w.alongs.Posts(ctx, w.Along)
	if err != nil {
		return nil, fmt.Errorf("list posts: %w", err)
	}
	var since time.Time
	for _, o := range posts {
		if kind, _, _ := strings.Cut(o.Key, "/"); kind == helpNote && o.Kind == HostNote && o.State == PostSent && o.ID != w.ID && o.Due.After(since) {
			since = o.Due
		}
	}
	calls := slices.DeleteFunc(slices.Clone(answers), func(a Answer) bool { return a.Say != SayNeedHelp || !since.IsZero() && !a.At.After(since) })
	all := gathered(w.MakeAlong, answers)
	var parts []reply.Block
	for _, at := range gathered(w.MakeAlong, calls) {
		lead := w.Say("%s would like help at “%s”. Here are their counts.", upperFirst(w.Of(people(at.NeedHelp))), at.Title)
		if at.NeedHelp == 1 {
			lead = w.Say("One person would like help at “%s”. Here are the counts.", at.Title)
		}
		parts = append(append(parts, reply.Text{Text: lead}), at.calls(w.Printer)...)
		parts = append(parts, tripList(w.Say("What often happens there"), tripUps(w.Printer, w.MakeAlong.Course, at.Milestone-1, bothTerms)))
		taps := all[slices.IndexFunc(all, func(o saidAt) bool { return o.Milestone == at.Milestone })]
		parts = append(parts, reply.Text{Text: w.Say("All taps: %s.", taps.counts(w.Printer))})
	}
	return parts, nil
}
