package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// inEnglish says texts as they are written.
var inEnglish words.Printer

// sixWeeks is an invented make-along that runs, with its posts numbered from
// 30.
func sixWeeks() MakeAlong {
	day := func(month time.Month, d int) schedule.Date { return schedule.Date{Year: 2027, Month: month, Day: d} }
	goal := func(pieces ...string) []along.Goal { return wholePieces(pieces...) }
	back := goal("Back, hem", "Back, body")
	fronts := append(back[:2:2], goal("Right front, hem", "Right front, body", "Left front, hem", "Left front, body")...)
	sleeves := append(fronts[:6:6], goal("Sleeve, cuff (1 of 2)", "Sleeve (1 of 2)", "Sleeve, cuff (2 of 2)", "Sleeve (2 of 2)")...)
	return MakeAlong{ID: 7, Server: "s", Channel: "c", Name: "Harbour make-along", State: AlongOpen, Host: "mira", Course: Course{
		Pattern: "Harbour cardigan", Zone: "Europe/Lisbon", At: 18 * 60, Quiet: schedule.Quiet{From: 21 * 60, To: 8 * 60}, Midway: true,
		Start: day(1, 10), Milestones: []along.Milestone{
			{Title: "Swatch and hem", Date: day(1, 17), Goals: back[:1], Stitches: 1340, About: []string{"chain", "row", "sc"}, Note: "Bring your swatch to the table; Odile brings biscuits."},
			{Title: "The back", Date: day(1, 24), Goals: back, Stitches: 4870, About: []string{"row", "hdc"}},
			{Title: "The fronts", Date: day(1, 31), Goals: fronts, Stitches: 5210, About: []string{"row", "decrease", "hdc"}},
			{Title: "The sleeves", Date: day(2, 7), Goals: sleeves, Stitches: 6120, About: []string{"row", "increase", "hdc"}},
			{Title: "Neck and button band", Date: day(2, 14), Goals: append(sleeves[:10:10], goal("Button band")...), Stitches: 900, About: []string{"edge", "buttonhole", "sc"}},
			{Title: "Seams, ends and buttons", Date: day(2, 21), About: []string{"seam", "ends"}},
		}}}
}

// dueOf is a post of sixWeeks that falls due at its time.
func dueOf(m MakeAlong, kind PostKind, milestone int) Posting {
	p := Posting{Post: Post{ID: 31 + int64(milestone), Along: m.ID, Key: postKey(kind, milestone), Kind: kind, Milestone: milestone, To: m.Host}, MakeAlong: m}
	date := m.Course.Start
	if milestone >= 0 {
		date = m.Course.Milestones[milestone].Date
	}
	p.Now = schedule.At(date, m.Course.At, m.zone())
	p.Due = p.Now
	return p
}

// partyOfSix are those who take part in sixWeeks.
func partyOfSix(m *memory) *Set {
	harbour := sixWeeks()
	for _, p := range []Participant{
		{Member: "ana", Name: "Ana", Pings: true, Work: Working},
		{Member: "bo", Pings: true, Quiet: true},
		{Member: "cleo", Pings: true, Shift: 7},
		{Member: "dita", Name: "Dita"},
		{Member: "eda", Pings: true, State: Resting},
		{Member: "fen", Pings: true},
	} {
		p.Along = harbour.ID
		m.alongs.party = append(m.alongs.party, p)
	}
	m.settings["fen"] = Settings{Zone: "Asia/Tokyo"}
	m.alongs.said = []Answer{
		{Along: 7, Milestone: 3, Member: "ana", Say: SayOnIt},
		{Along: 7, Milestone: 3, Member: "bo", Name: "Bo", Say: SayNeedHelp, Place: "Sleeve (1 of 2) · Row 12 (RS) of 40 · 44 stitches · increase", Words: "My edges\nslant out."},
		{Along: 7, Milestone: 3, Member: "cleo", Name: "Cleo", Say: SayNeedHelp, Place: "Sleeve (2 of 2) · Row 14 of 44 · 52 stitches · increase"},
		{Along: 7, Milestone: 3, Member: "dita", Name: "Dita", Say: SayNeedHelp, Place: "Sleeve (1 of 2) · Row 12 of 36 · 40 stitches · increase"},
		{Along: 7, Milestone: 3, Member: "eda", Say: SayResting},
		{Along: 7, Milestone: 2, Member: "fen", Name: "Fen", Say: SayNeedHelp, Words: "Which side is the right side?"},
		{Along: 7, Milestone: 2, Member: "ana", Say: SayDone},
	}
	return All(m.services(), nil)
}

// postings are the situations that the golden files show.
func postings() map[string]Posting {
	m := sixWeeks()
	with := func(p Posting, change func(*Posting)) Posting { change(&p); return p }
	all := map[string]Posting{
		"welcome":        dueOf(m, WelcomePost, -1),
		"farewell":       dueOf(m, FarewellPost, -1),
		"event":          with(dueOf(m, EventPost, 0), func(p *Posting) { p.Now = p.Now.AddDate(0, 0, -7) }),
		"host_help":      dueOf(m, HostNote, 3),
		"host_help_none": with(dueOf(m, HostNote, 0), func(p *Posting) { p.Along = 8 }),
		"host_asleep":    with(dueOf(m, HostNote, 2), func(p *Posting) { p.Key = "asleep/2" }),
		"host_blocked":   with(dueOf(m, HostNote, -1), func(p *Posting) { p.Key, p.Text = "blocked", "the channel was deleted" }),
		"host_merged": with(dueOf(m, HostNote, 3), func(p *Posting) {
			p.Merged = []Post{dueOf(m, HostNote, 2).Post, dueOf(m, HostNote, 1).Post}
		}),
		"milestone_brief": with(dueOf(m, MilestonePost, 1), func(p *Posting) { p.HostWrote = true }),
		"milestone_own": with(dueOf(m, MilestonePost, 2), func(p *Posting) {
			p.MakeAlong.Course.Texts = map[string]string{"milestone/2": "Dear {group}, this is {milestone} ({number}), {date}. *Bring tea*, @everyone! Then {next}."}
		}),
		"merged": with(dueOf(m, MidwayPost, 4), func(p *Posting) {
			p.Merged = []Post{dueOf(m, MilestonePost, 1).Post, dueOf(m, MidwayPost, 2).Post, dueOf(m, MilestonePost, 2).Post, dueOf(m, MilestonePost, 3).Post}
		}),
		"merged_welcome": with(dueOf(m, MilestonePost, 0), func(p *Posting) { p.Merged = []Post{dueOf(m, WelcomePost, -1).Post} }),
		"tester_welcome": with(dueOf(m, WelcomePost, -1), func(p *Posting) {
			p.MakeAlong.Course.Tester, p.MakeAlong.Course.Sizes = true, []string{"XS", "S", "M", "L", "XL"}
		}),
		"tester_milestone": with(dueOf(m, MilestonePost, 0), func(p *Posting) { p.MakeAlong.Course.Tester = true }),
		"asleep":           with(dueOf(m, MilestonePost, 2), func(p *Posting) { p.Asleep = true }),
		"quiet_hours":      with(dueOf(m, MilestonePost, 2), func(p *Posting) { p.Now = p.Now.Add(4 * time.Hour) }),
	}
	for _, l := range words.Languages[1:4] {
		speaks := func(p *Posting) { p.MakeAlong.Course.Language = l.Code }
		base := l.Code[:2]
		all["milestone_2_"+base], all["welcome_"+base] = with(dueOf(m, MilestonePost, 1), speaks), with(dueOf(m, WelcomePost, -1), speaks)
		all["host_help_"+base] = with(dueOf(m, HostNote, 3), speaks)
	}
	for i := range m.Course.Milestones {
		all[fmt.Sprintf("milestone_%d", i+1)] = dueOf(m, MilestonePost, i)
		all[fmt.Sprintf("midway_%d", i+1)] = dueOf(m, MidwayPost, i)
	}
	return all
}

// worded is what becomes of a posting, in a fresh community.
func worded(t *testing.T, p Posting) Wording {
	t.Helper()
	m := newMemory()
	m.alongs.now = p.Now
	set := partyOfSix(m)
	w, err := set.Post(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// shown prints a Wording whole, with its buttons and those whom it pings.
func shown(t *testing.T, w Wording) string {
	t.Helper()
	var b strings.Builder
	if w.Skip != "" {
		fmt.Fprintf(&b, "left out: %s\n", w.Skip)
	}
	if !w.Later.IsZero() {
		fmt.Fprintf(&b, "not before: %s\n", w.Later.Format(time.RFC3339))
	}
	if w.Note != nil {
		fmt.Fprintf(&b, "note to %s: %s, due %s\n", w.Note.To, w.Note.Key, w.Note.Due.Format(time.RFC3339))
	}
	if w.Reply == nil {
		return b.String()
	}
	text, err := reply.Plain(*w.Reply)
	if err != nil {
		t.Fatal(err)
	}
	b.WriteString(text)
	for _, a := range w.Reply.Actions {
		button := a.(reply.Button)
		fmt.Fprintf(&b, "[%s] %s\n", button.Label, button.Line)
	}
	if len(w.Reply.Pings) > 0 {
		fmt.Fprintf(&b, "pings: %s\n", strings.Join(w.Reply.Pings, ", "))
	}
	return b.String()
}

// TestPostsGolden holds each kind of post to what is kept in testdata/posts.
func TestPostsGolden(t *testing.T) {
	all := postings()
	for name, p := range all {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join("testdata", "posts", name+".txtar")
			w := worded(t, p)
			got := txtar.Archive{Files: []txtar.File{{Name: "shown", Data: []byte(shown(t, w))}}}
			if w.Reply != nil {
				data, err := json.MarshalIndent(w.Reply.Data, "", " ")
				if err != nil {
					t.Fatal(err)
				}
				got.Files = append(got.Files, txtar.File{Name: "data", Data: append(data, '\n')})
				if text := saidIn(t, *w.Reply); units16(text) > 1800 { // a message holds 2000, with marks
					t.Errorf("it has %d characters", units16(text))
				}
				if w.Reply.Error != nil || w.Reply.Form != nil {
					t.Errorf("a post is no form and no mistake: %+v", w.Reply)
				}
			}
			if *update {
				if err := os.WriteFile(path, txtar.Format(&got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if string(want) != string(txtar.Format(&got)) {
				t.Errorf("the post changed; see the difference after -update. Now:\n%s", txtar.Format(&got))
			}
		})
	}
	kept, err := filepath.Glob("testdata/posts/*.txtar")
	if err != nil || len(kept) != len(all) {
		t.Errorf("%d golden posts for %d situations (%v)", len(kept), len(all), err)
	}
}

// Each post can be found again by a button that names it; and every button is
// a line that runs as it stands.
func TestPostsBearTheirMark(t *testing.T) {
	set := All(newMemory().services(), nil)
	for name, p := range postings() {
		r := worded(t, p).Reply
		if r == nil {
			continue
		}
		if card, ok := r.Data.(EventCard); ok {
			if card.Mark == "" || !strings.HasSuffix(card.Description, card.Mark) || !strings.Contains(card.Mark, fmt.Sprint(p.ID)) {
				t.Errorf("%s: the event bears no mark: %+v", name, card)
			}
			continue
		}
		mark := fmt.Sprintf("post:%d", p.ID)
		marked := false
		for _, a := range r.Actions {
			line := a.(reply.Button).Line
			marked = marked || slices.Contains(strings.Fields(line), mark)
			if _, _, err := ParseLine(line, set); err != nil {
				t.Errorf("%s: the button %q: %v", name, line, err)
			}
		}
		if !marked {
			t.Errorf("%s: no button holds %s", name, mark)
		}
		if quiet := slices.ContainsFunc(r.Actions, func(a reply.Action) bool { return a.(reply.Button).Label == r.Words.Say("Leave me alone") }); !quiet && (p.Kind == MilestonePost || p.Kind == MidwayPost) {
			t.Errorf("%s: no button to be left alone", name)
		}
	}
}
