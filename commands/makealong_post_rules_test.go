package commands

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/calc/pace"
	"countwright/calc/schedule"
	"countwright/commands/reply"
)

// What is better not sent is left out, and says why.
func TestPostsLeftOut(t *testing.T) {
	with := func(kind PostKind, milestone int, change func(*Posting)) Posting {
		p := dueOf(sixWeeks(), kind, milestone)
		change(&p)
		return p
	}
	asleep := func(p *Posting) { p.Asleep = true }
	hostWrote := func(p *Posting) { p.HostWrote = true }
	state := func(s MakeAlongState) func(*Posting) { return func(p *Posting) { p.MakeAlong.State = s } }
	nothing := func(*Posting) {}
	const notRunning, resting, gone, nobody = "the make-along is not running", "the make-along is resting", "the milestone was taken out", "nobody has been in the channel since the last two posts"
	for name, c := range map[string]struct {
		p    Posting
		skip string // empty: it is sent
	}{
		"a midway note in a sleeping channel":   {with(MidwayPost, 1, asleep), nobody},
		"a midway note where the host wrote":    {with(MidwayPost, 1, hostWrote), "the host wrote in the channel herself"},
		"a midway note":                         {with(MidwayPost, 1, nothing), ""},
		"a check-in in a sleeping channel":      {with(MilestonePost, 1, asleep), nobody},
		"a check-in where the host wrote":       {with(MilestonePost, 1, hostWrote), ""},
		"a welcome to a sleeping channel":       {with(WelcomePost, -1, asleep), ""},
		"a farewell to a sleeping channel":      {with(FarewellPost, -1, asleep), ""},
		"a check-in that holds the welcome":     {with(MilestonePost, 0, func(p *Posting) { p.Asleep, p.Merged = true, []Post{{Kind: WelcomePost}} }), ""},
		"a note that holds the welcome":         {with(MidwayPost, 0, func(p *Posting) { p.HostWrote, p.Merged = true, []Post{{Kind: WelcomePost}} }), ""},
		"a note to hosts of a sleeping channel": {with(HostNote, 3, asleep), ""},
		"a check-in of a draft":                 {with(MilestonePost, 1, state(AlongDraft)), notRunning},
		"a check-in of a paused one":            {with(MilestonePost, 1, state(AlongPaused)), resting},
		"a check-in of a blocked one":           {with(MilestonePost, 1, state(AlongBlocked)), resting},
		"a check-in of a closed one":            {with(MilestonePost, 1, state(AlongClosed)), notRunning},
		"a farewell of a closed one":            {with(FarewellPost, -1, state(AlongClosed)), ""},
		"a note to hosts of a blocked one":      {with(HostNote, 3, state(AlongBlocked)), ""},
		"a milestone that is gone":              {with(MilestonePost, 5, func(p *Posting) { p.Milestone = 6 }), gone},
		"a milestone that is none":              {with(MilestonePost, 5, func(p *Posting) { p.Milestone = -1 }), gone},
		"an event whose date has come":          {with(EventPost, 1, nothing), "the milestone's date has come"},
		"an event ahead, in quiet hours":        {with(EventPost, 1, func(p *Posting) { p.Now = p.Now.Add(-44 * time.Hour) }), ""},
		"help that nobody asks for":             {with(HostNote, 1, func(p *Posting) { p.Along, p.MakeAlong.ID = 8, 8 }), "nobody asks for help"},
	} {
		w := worded(t, c.p)
		if w.Skip != c.skip || (w.Reply != nil) != (c.skip == "") || !w.Later.IsZero() {
			t.Errorf("%s: %q, sent: %t, later: %s; want %q", name, w.Skip, w.Reply != nil, w.Later, c.skip)
		}
	}
}

// Nothing comes in quiet hours, through clock changes and across midnight.
// Source: Lisbon's clocks went from 01:00 to 02:00 on 28 March 2027 and go back
// from 02:00 to 01:00 on 31 October 2027 (tz database, rule EU).
func TestPostsWaitOutQuietHours(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	at := func(text string) time.Time {
		when, err := time.ParseInLocation("2006-01-02 15:04", text, lisbon)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	for _, c := range []struct {
		kind       PostKind
		now, later string // empty: now
	}{
		{MilestonePost, "2027-01-31 20:59", ""},
		{MilestonePost, "2027-01-31 21:00", "2027-02-01 08:00"},
		{MilestonePost, "2027-02-01 07:59", "2027-02-01 08:00"},
		{MilestonePost, "2027-02-01 08:00", ""},
		{MidwayPost, "2027-03-27 23:30", "2027-03-28 08:00"},
		{HostNote, "2027-10-31 00:30", "2027-10-31 08:00"},
		{WelcomePost, "2027-02-28 22:00", "2027-03-01 08:00"},
		{FarewellPost, "2027-12-31 23:59", "2028-01-01 08:00"},
	} {
		milestone := 2
		if c.kind == WelcomePost || c.kind == FarewellPost {
			milestone = -1
		}
		p := dueOf(sixWeeks(), c.kind, milestone)
		p.Now = at(c.now)
		w := worded(t, p)
		switch {
		case c.later == "" && w.Reply == nil:
			t.Errorf("%s at %s: %+v", c.kind, c.now, w)
		case c.later != "" && (w.Reply != nil || !w.Later.Equal(at(c.later))):
			t.Errorf("%s at %s waits until %s, want %s", c.kind, c.now, w.Later.In(lisbon), c.later)
		}
	}
}

// A sleeping channel is told to its host once, until it has been awake.
func TestAsleepIsToldOnce(t *testing.T) {
	for name, c := range map[string]struct {
		before map[int]PostState // of the milestones' posts
		note   bool
	}{
		"the first":                    {map[int]PostState{}, true},
		"after one that was sent":      {map[int]PostState{0: PostSent, 1: PostSent}, true},
		"after one that was left out":  {map[int]PostState{0: PostSent, 1: PostSkipped}, false},
		"after it was awake again":     {map[int]PostState{0: PostSkipped, 1: PostSent}, true},
		"after one told in a later":    {map[int]PostState{0: PostSkipped, 1: PostMerged}, false},
		"whatever is still to come is": {map[int]PostState{0: PostSent, 1: PostSent, 4: PostSkipped}, true},
	} {
		m := newMemory()
		set := partyOfSix(m)
		for i, state := range c.before {
			p := dueOf(sixWeeks(), MilestonePost, i).Post
			p.State = state
			m.alongs.posts = append(m.alongs.posts, p)
		}
		p := dueOf(sixWeeks(), MilestonePost, 2)
		p.Asleep = true
		w, err := set.Post(context.Background(), p)
		if err != nil || w.Skip == "" || (w.Note != nil) != c.note {
			t.Errorf("%s: note %+v, %v; want one: %t", name, w.Note, err, c.note)
			continue
		}
		if !c.note {
			continue
		}
		if w.Note.Key != "asleep/2" || w.Note.Kind != HostNote || w.Note.To != "mira" || w.Note.Along != 7 || !w.Note.Due.Equal(p.Now) {
			t.Errorf("%s: %+v", name, w.Note)
		}
		told, err := set.Post(context.Background(), Posting{Post: *w.Note, MakeAlong: p.MakeAlong, Now: p.Now})
		if err != nil || told.Reply == nil || !strings.Contains(flat(shown(t, told)), "check-in for “The fronts”") {
			t.Errorf("%s: the host is told %+v, %v", name, told, err)
		}
	}
}

// A call for help is told once: in the note after it, at whichever milestone it
// was made. A note that was not sent has told nothing.
func TestEachCallIsToldOnce(t *testing.T) {
	stones := sixWeeks().Course.Milestones
	at := func(milestone, days int) time.Time {
		return schedule.At(stones[milestone].Date.Add(days), 18*60, time.UTC)
	}
	m := newMemory()
	m.alongs.said = []Answer{
		{Along: 7, Milestone: 0, Member: "ana", Name: "Ana", Say: SayNeedHelp, At: at(0, 1)},
		{Along: 7, Milestone: 1, Member: "bo", Name: "Bo", Say: SayNeedHelp, At: at(0, 1)},     // further on than the group
		{Along: 7, Milestone: 0, Member: "cleo", Name: "Cleo", Say: SayNeedHelp, At: at(0, 3)}, // after the first note
		{Along: 7, Milestone: 1, Member: "ana", Name: "Ana", Say: SayDone, At: at(1, 1)},
	}
	note := func(milestone int, state PostState) Post {
		p := dueOf(sixWeeks(), HostNote, milestone).Post
		p.Due, p.State = at(milestone, helpAfter), state
		return p
	}
	for name, c := range map[string]struct {
		before []Post
		note   int
		told   []string
	}{
		"the first":                      {nil, 0, []string{"Ana", "Bo", "Cleo"}},
		"the second":                     {[]Post{note(0, PostSent), note(1, PostTaken)}, 1, []string{"Cleo"}},
		"the second, the first not sent": {[]Post{note(0, PostSkipped), note(1, PostTaken)}, 1, []string{"Ana", "Bo", "Cleo"}},
		"the third":                      {[]Post{note(0, PostSent), note(1, PostSent), note(2, PostTaken)}, 2, nil},
		"the second, worded once more":   {[]Post{note(0, PostSent), note(1, PostSent)}, 1, []string{"Cleo"}},
	} {
		m.alongs.posts = c.before
		w, err := All(m.services(), nil).Post(context.Background(), dueOf(sixWeeks(), HostNote, c.note))
		if err != nil || (w.Reply == nil) != (c.told == nil) {
			t.Errorf("%s: %+v, %v", name, w, err)
			continue
		}
		text := shown(t, w)
		for _, member := range []string{"Ana", "Bo", "Cleo"} {
			if strings.Contains(text, "- "+member) != slices.Contains(c.told, member) {
				t.Errorf("%s: tells of %s: %t\n%s", name, member, !slices.Contains(c.told, member), text)
			}
		}
	}
}

// Who is pinged: those who asked, on their own dates, awake, once a week.
func TestWhoIsPinged(t *testing.T) {
	asked := Participant{Along: 7, Member: "a", Pings: true}
	for name, c := range map[string]struct {
		change    func(*Participant)
		zone      string
		milestone int
		now       string // UTC, empty: 18:00 in Lisbon on the date
		lately    int    // days since she was pinged by another make-along; 0: never
		want      bool
	}{
		"asked":                             {milestone: 1, want: true},
		"did not ask":                       {change: func(p *Participant) { p.Pings = false }, milestone: 1},
		"is left alone":                     {change: func(p *Participant) { p.Quiet = true }, milestone: 1},
		"rests":                             {change: func(p *Participant) { p.State = Resting }, milestone: 1},
		"put her project down":              {change: func(p *Participant) { p.Project = 1 }, milestone: 1},
		"finished":                          {change: func(p *Participant) { p.Project = 2 }, milestone: 1},
		"works":                             {change: func(p *Participant) { p.Project = 3 }, milestone: 1, want: true},
		"came a week later, at the first":   {change: func(p *Participant) { p.Shift = 7 }, milestone: 0},
		"came a week later, at the second":  {change: func(p *Participant) { p.Shift = 7 }, milestone: 1, want: true},
		"came five weeks later, at fourth":  {change: func(p *Participant) { p.Shift = 35 }, milestone: 3},
		"came three weeks later, at fourth": {change: func(p *Participant) { p.Shift = 21 }, milestone: 3, want: true},
		"sleeps in Tokyo":                   {zone: "Asia/Tokyo", milestone: 1}, // 03:00
		"is awake in Denver":                {zone: "America/Denver", milestone: 1, want: true},
		"gets up at eight":                  {zone: "America/Denver", milestone: 1, now: "2027-01-24T15:00:00Z", want: true},
		"gets up in a minute":               {zone: "America/Denver", milestone: 1, now: "2027-01-24T14:59:00Z"},
		"goes to bed at ten":                {zone: "Asia/Kathmandu", milestone: 1, now: "2027-01-24T16:15:00Z"}, // 22:00, UTC+5:45
		"is up till ten":                    {zone: "Asia/Kathmandu", milestone: 1, now: "2027-01-24T16:14:00Z", want: true},
		"lives nowhere":                     {zone: "Mars/Olympus", milestone: 1, want: true},
		"was pinged six days before":        {milestone: 1, lately: 6},
		"was pinged a week before":          {milestone: 1, lately: 7, want: true},
	} {
		m := newMemory()
		p := dueOf(sixWeeks(), MilestonePost, c.milestone)
		if c.now != "" {
			p.Now, _ = time.Parse(time.RFC3339, c.now)
		}
		m.alongs.now = p.Now
		member := asked
		if c.change != nil {
			c.change(&member)
		}
		m.alongs.party = []Participant{member}
		m.projects = threeProjects("a")
		m.settings["a"] = Settings{Zone: c.zone}
		if c.lately > 0 {
			m.alongs.pinged = []memoryPing{{post: 900, member: "a", at: p.Now.AddDate(0, 0, -c.lately)}}
		}
		for _, again := range []bool{false, true} {
			w := mustPost(t, m, p)
			if got := slices.Contains(w.Reply.Pings, "a"); got != c.want {
				t.Errorf("who %s is pinged: %t, want %t (again: %t)", name, got, c.want, again)
			}
		}
	}
}

// threeProjects are a member's: one put down, one finished and one at work.
func threeProjects(member string) memoryProjects {
	plan, err := pace.Free("Scarf", 9, 9, 1)
	if err != nil {
		panic(err)
	}
	all := memoryProjects{owner: map[int64]string{}}
	for i, state := range []ProjectState{Paused, Finished, Working} {
		all.books = append(all.books, ProjectBook{Project: Project{ID: int64(i + 1), State: state}, Pinned: Pinned{Plan: plan}})
		all.owner[int64(i+1)] = member
	}
	return all
}

func mustPost(t *testing.T, m *memory, p Posting) Wording {
	t.Helper()
	w, err := All(m.services(), nil).Post(context.Background(), p)
	if err != nil || w.Reply == nil {
		t.Fatalf("%+v, %v", w, err)
	}
	return w
}

// A message pings a hundred at most; who can't be pinged takes nobody's place.
func TestAHundredPings(t *testing.T) {
	m := newMemory()
	p := dueOf(sixWeeks(), MilestonePost, 1)
	m.alongs.now = p.Now
	for i := range 250 {
		member := fmt.Sprintf("m%03d", i)
		m.alongs.party = append(m.alongs.party, Participant{Along: 7, Member: member, Pings: true})
		if i%3 == 0 {
			m.alongs.pinged = append(m.alongs.pinged, memoryPing{post: 900, member: member, at: p.Now.Add(-time.Hour)})
		}
	}
	if got := mustPost(t, m, p).Reply.Pings; len(got) != 100 || got[99] != "m149" { // by hand: two of each three
		t.Errorf("%d are pinged, up to %s", len(got), got[len(got)-1])
	}
	m.alongs.pinged = nil
	taken := mustPost(t, m, p).Reply.Pings
	if len(taken) != 100 || len(m.alongs.pinged) != 100 {
		t.Errorf("%d are pinged, and %d counted as such", len(taken), len(m.alongs.pinged))
	}
	if again := mustPost(t, m, p).Reply.Pings; !slices.Equal(again, taken) {
		t.Error("the same post again pings others")
	}
}

// Milestones may lie as they like: who came later is pinged at the first post
// on or after a date of her own, and by one that tells of it meanwhile.
// By hand: with milestones on days 7, 14, 15 and 16 and a calendar 7 days later,
// her dates are 14, 21, 22 and 23.
func TestPingsOnOddDates(t *testing.T) {
	m := sixWeeks()
	m.Course.Milestones = m.Course.Milestones[:4]
	for i, day := range []int{7, 14, 15, 16} {
		m.Course.Milestones[i].Date = m.Course.Start.Add(day)
	}
	for _, c := range []struct {
		milestone int
		merged    []int
		want      bool
	}{{0, nil, false}, {1, nil, true}, {2, nil, false}, {3, nil, false}, {3, []int{2}, false}, {3, []int{1, 2}, true}, {3, []int{2, 1}, true}} {
		p := dueOf(m, MilestonePost, c.milestone)
		for _, i := range c.merged {
			p.Merged = append(p.Merged, dueOf(m, MilestonePost, i).Post)
		}
		around := newMemory()
		around.alongs.now = p.Now
		around.alongs.party = []Participant{{Along: 7, Member: "a", Pings: true, Shift: 7}}
		if got := len(mustPost(t, around, p).Reply.Pings) == 1; got != c.want {
			t.Errorf("milestone %d with %v: pinged %t, want %t", c.milestone, c.merged, got, c.want)
		}
	}
}

// The longest texts fill an event's card and no more, in the service's own
// count: a ball of yarn is two.
func TestEventCardIsFull(t *testing.T) {
	m := sixWeeks()
	m.Name, m.Course.Milestones[1].Title, m.Course.Milestones[1].Note = strings.Repeat("🧶", 60), strings.Repeat("t", 100), strings.Repeat("🧶 ", 500)
	p := dueOf(m, EventPost, 1)
	p.Now = p.Now.AddDate(0, 0, -7)
	card := worded(t, p).Reply.Data.(EventCard)
	for what, c := range map[string]struct {
		text string
		most int
	}{"name": {card.Name, 100}, "description": {card.Description, 1000}, "location": {card.Location, 100}} {
		if n := units16(c.text); n > c.most || n < c.most-3 || !strings.Contains(c.text, "…") {
			t.Errorf("the %s has %d units, want about %d: %s", what, n, c.most, c.text)
		}
	}
	if !strings.HasSuffix(card.Description, "…\n\n"+card.Mark) {
		t.Errorf("the mark is lost: %q", card.Description)
	}
}

// Nothing but a check-in pings.
func TestOnlyCheckInsPing(t *testing.T) {
	for name, p := range postings() {
		w := worded(t, p)
		if w.Reply == nil || len(w.Reply.Pings) == 0 {
			continue
		}
		if kind := w.Reply.Data.(postData).Kind; kind != MilestonePost {
			t.Errorf("%s, a %s, pings %v", name, kind, w.Reply.Pings)
		}
	}
}

// What fell due meanwhile is told in one post, and none of it begs pardon.
func TestMergedIsOneGentlePost(t *testing.T) {
	m := sixWeeks()
	p := dueOf(m, MidwayPost, 4)
	for i := range 4 {
		p.Merged = append(p.Merged, dueOf(m, MidwayPost, i).Post, dueOf(m, MilestonePost, i).Post)
	}
	w := worded(t, p)
	text := flat(shown(t, w))
	for _, want := range []string{"4 of 6: The sleeves", "Swatch and hem (Sunday 17 January 2027)", "The back (Sunday 24 January 2027)", "milestone:4 post:35 say:done"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing:\n%s", want, text)
		}
	}
	for _, not := range []string{"sorry", "apolog", "missed", "down", "delay", "unfortunately", "milestone:5", "milestone:3 "} {
		if strings.Contains(strings.ToLower(text), not) {
			t.Errorf("it says %q:\n%s", not, text)
		}
	}
	// A host's own text for the milestone holds there, too.
	p.MakeAlong.Course.Texts = map[string]string{"milestone/3": "Sleeves, {group}!", "midway/4": "no"}
	if text := flat(shown(t, worded(t, p))); !strings.Contains(text, "Sleeves, Harbour make-along!") {
		t.Errorf("the host's own text is missing:\n%s", text)
	}
}

// A storage that can't answer is a fault, and the post is still to be sent.
func TestPostTellsFaults(t *testing.T) {
	for name, p := range map[string]Posting{
		"check-in": dueOf(sixWeeks(), MilestonePost, 1), "farewell": dueOf(sixWeeks(), FarewellPost, -1), "help": dueOf(sixWeeks(), HostNote, 1),
		"asleep": func() Posting { p := dueOf(sixWeeks(), MilestonePost, 1); p.Asleep = true; return p }(),
		"a note that says nothing": func() Posting {
			p := dueOf(sixWeeks(), HostNote, 1)
			p.Key = "other/1"
			return p
		}(),
	} {
		s := newMemory().services()
		s.MakeAlongs = brokenAlongs{}
		if w, err := All(s, nil).Post(context.Background(), p); err == nil || w.Reply != nil || w.Skip != "" {
			t.Errorf("%s: %+v, %v", name, w, err)
		}
	}
	p := dueOf(sixWeeks(), HostNote, 1)
	p.Key, p.Text = "other/1", "A new host has come."
	if text := shown(t, worded(t, p)); !strings.Contains(text, "A new host has come.") {
		t.Errorf("a note's own text is missing:\n%s", text)
	}
}

// brokenAlongs is a storage that answers nothing.
type brokenAlongs struct{ MakeAlongs }

var errBroken = errors.New("the disk is full")

func (brokenAlongs) Party(context.Context, int64) ([]Participant, error)   { return nil, errBroken }
func (brokenAlongs) Posts(context.Context, int64) ([]Post, error)          { return nil, errBroken }
func (brokenAlongs) Answers(context.Context, int64, int) ([]Answer, error) { return nil, errBroken }
func (brokenAlongs) List(context.Context, string) ([]MakeAlong, error)     { return nil, errBroken }
func (brokenAlongs) Joined(context.Context, string) ([]Participant, error) { return nil, errBroken }
func (brokenAlongs) Along(context.Context, int64) (MakeAlong, bool, error) {
	return MakeAlong{}, false, errBroken
}

// A host sees beforehand what the channel will see, and hints at her own text.
func TestPreview(t *testing.T) {
	m := sixWeeks()
	m.State = AlongDraft
	now := schedule.At(m.Course.Start, 0, m.zone())
	for _, kind := range []PostKind{WelcomePost, MilestonePost, MidwayPost, FarewellPost, EventPost} {
		milestone := 2
		if kind == WelcomePost || kind == FarewellPost {
			milestone = -1
		}
		p := dueOf(m, kind, milestone)
		p.Now, p.MakeAlong.State = now.Add(12*time.Hour), AlongOpen
		seen, err := previewPost(inEnglish, m, p.Post, now)
		if err != nil || !seen.Private || len(seen.Pings) > 0 {
			t.Errorf("%s: %+v, %v", kind, seen, err)
			continue
		}
		sent := worded(t, p)
		sent.Reply.Pings = nil
		if kind == FarewellPost { // who was in it is not known beforehand
			sent.Reply.Parts = slices.DeleteFunc(sent.Reply.Parts, func(b reply.Block) bool { return b == reply.Text{Text: "6 of us were in it."} })
		}
		if a, b := shown(t, Wording{Reply: &seen}), shown(t, sent); a != b {
			t.Errorf("%s: the host sees\n%s\nand the channel\n%s", kind, a, b)
		}
	}
	for _, c := range []struct {
		text string
		tips []string
	}{
		{"Welcome, all!", nil},
		{"You are behind; hurry!", []string{"“behind”, “hurry” can sting"}},
		{"**Bold** tea", []string{"shown as they stand"}},
		{"Notwithstanding considerable individual differences regarding available leisure, participants occasionally appreciate additional encouragement from everybody else around them, whenever circumstances permit participation.", []string{"short sentences"}},
	} {
		m.Course.Texts = map[string]string{"milestone/2": c.text}
		seen, err := previewPost(inEnglish, m, dueOf(m, MilestonePost, 2).Post, now)
		if err != nil {
			t.Fatal(err)
		}
		text := flat(shown(t, Wording{Reply: &seen}))
		if !strings.Contains(text, c.text) || strings.Contains(text, "Before you use it") != (len(c.tips) > 0 && !strings.Contains(c.text, "*")) {
			t.Errorf("%q is shown as\n%s", c.text, text)
		}
		for _, tip := range c.tips {
			if !strings.Contains(text, tip) {
				t.Errorf("%q: no hint %q in\n%s", c.text, tip, text)
			}
		}
	}
	for _, p := range []Post{{Kind: HostNote, Key: "help/1", Milestone: 1}, {Kind: MilestonePost, Key: "milestone/9", Milestone: 9}} {
		if _, err := previewPost(inEnglish, m, p, now); !isRefusal(err) {
			t.Errorf("%s: %v", p.Key, err)
		}
	}
}
