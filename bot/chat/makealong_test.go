package chat

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands"
)

// grouped are those who take part in a make-along, and what they said.
type grouped struct {
	commands.MakeAlongs
	party   []commands.Participant
	answers []commands.Answer
}

func (g grouped) Party(context.Context, int64) ([]commands.Participant, error) { return g.party, nil }
func (g grouped) Posts(context.Context, int64) ([]commands.Post, error)        { return nil, nil }
func (g grouped) Answers(context.Context, int64, int) ([]commands.Answer, error) {
	return g.answers, nil
}
func (g grouped) TakePings(_ context.Context, _ int64, members []string) ([]string, error) {
	return members, nil
}

// largeAlong is a make-along with the longest texts that hosts may give it, made
// of what members can write.
func largeAlong(t *rapid.T) commands.MakeAlong {
	words := func(label string, most int) string {
		text := []rune(strings.Repeat(markdownish().Draw(t, label)+" ", 200))
		return "x" + string(text[:min(len(text), most-1)])
	}
	m := commands.MakeAlong{ID: rapid.Int64Range(1, 1e10).Draw(t, "id"), Name: words("name", 60), State: commands.AlongOpen, Host: "300000000000000001"}
	m.Course = commands.Course{Pattern: words("pattern", 60), Zone: "UTC", At: 12 * 60, Start: schedule.Date{Year: 2027, Month: 1, Day: 10}, Texts: map[string]string{}}
	about := []string{along.AboutRound, along.AboutRing, along.AboutIncrease, along.AboutButtonhole, along.AboutEdge, along.AboutEnds, "sc", "hdc", "fpdc"}
	for i := range 5 {
		stone := along.Milestone{Title: words("title", 100), Date: m.Course.Start.Add(7 * (i + 1)), Stitches: 5300, Note: words("note", 500),
			About: rapid.SliceOfNDistinct(rapid.SampledFrom(about), 0, len(about), rapid.ID).Draw(t, "about")}
		for p := range rapid.IntRange(0, 8).Draw(t, "pieces") {
			stone.Goals = append(stone.Goals, along.Goal{Piece: fmt.Sprintf("Sleeve, cuff (%d of 8)", p+1), Section: i + 1})
		}
		m.Course.Milestones = append(m.Course.Milestones, stone)
		if rapid.Bool().Draw(t, "own text") {
			m.Course.Texts[fmt.Sprintf("milestone/%d", i)] = words("text", 1000)
		}
	}
	return m
}

// Every post of a make-along keeps to the service's limits, whatever hosts
// wrote into it, and pings those alone who are meant.
// Source: the service's documentation, messages, components and scheduled
// events, as of August 2026.
func TestMakeAlongPostsKeepTheLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := largeAlong(t)
		group := grouped{}
		for i := range rapid.IntRange(0, 150).Draw(t, "members") {
			member := fmt.Sprintf("3%017d", i)
			group.party = append(group.party, commands.Participant{Along: m.ID, Member: member, Pings: true})
			group.answers = append(group.answers, commands.Answer{Milestone: i % 5, Member: member, Name: "@everyone <@3>", Say: commands.SayNeedHelp, Place: "Sleeve · Row 3 of 9", Words: "**help** @here"})
		}
		kind := rapid.SampledFrom([]commands.PostKind{commands.WelcomePost, commands.MilestonePost, commands.MidwayPost, commands.FarewellPost, commands.HostNote}).Draw(t, "kind")
		p := commands.Posting{MakeAlong: m, Post: commands.Post{ID: rapid.Int64Range(1, 1e10).Draw(t, "post"), Along: m.ID, Kind: kind, Milestone: rapid.IntRange(0, 4).Draw(t, "milestone"), To: m.Host}}
		p.Key = fmt.Sprintf("%s/%d", kind, p.Milestone)
		if kind == commands.HostNote {
			p.Key = fmt.Sprintf("help/%d", p.Milestone)
		}
		for i := range rapid.IntRange(0, 4).Draw(t, "merged") {
			p.Merged = append(p.Merged, commands.Post{Kind: commands.MilestonePost, Milestone: i})
		}
		p.Now = schedule.At(m.Course.Milestones[4].Date, m.Course.At, time.UTC)
		w, err := commands.All(commands.Services{MakeAlongs: group}, nil).Post(t.Context(), p)
		if err != nil || w.Reply == nil {
			if w.Skip == "nobody asks for help" && len(group.answers) < 5 {
				return
			}
			t.Fatalf("%+v, %v", w, err)
		}
		sent, err := compose(*w.Reply, 0)
		if err != nil {
			t.Fatal(err)
		}
		checkMessage(t, sent, p.ID)
		if len(sent.Mentions.Parse) > 0 || len(sent.Mentions.Users) > 100 || kind != commands.MilestonePost && len(sent.Mentions.Users) > 0 && p.Merged == nil {
			t.Fatalf("it may ping %+v", sent.Mentions)
		}
		for _, sly := range []string{"@everyone", "@here"} {
			if strings.Contains(sent.Content, sly) {
				t.Fatalf("%q stands in\n%s", sly, sent.Content)
			}
		}
	})
}

// checkMessage holds a message to the service's limits.
func checkMessage(t *rapid.T, m message, post int64) {
	if length(m.Content) > 2000 || length(m.Content) == 0 {
		t.Fatalf("%d units of content", length(m.Content))
	}
	if len(m.Components) > 5 || len(m.Attachments) > 10 {
		t.Fatalf("%d rows, %d files", len(m.Components), len(m.Attachments))
	}
	ids, marked := map[string]bool{}, false
	for _, row := range m.Components {
		if len(row.Components) > 5 {
			t.Fatalf("%d buttons in a row", len(row.Components))
		}
		for _, b := range row.Components {
			if n := utf8.RuneCountInString(b.CustomID); n < 1 || n > 100 || length(b.Label) > 80 || ids[b.CustomID] {
				t.Fatalf("button %+v", b)
			}
			ids[b.CustomID] = true
			marked = marked || slices.Contains(strings.Fields(b.CustomID), fmt.Sprintf("post:%d", post))
		}
	}
	if !marked {
		t.Fatalf("no button holds post:%d: %+v", post, m.Components)
	}
}
