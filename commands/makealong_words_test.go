package commands

import (
	"context"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/lesson"
	readable "countwright/calc/prose"
	"countwright/calc/schedule"
	"countwright/calc/stitch"
	"countwright/commands/reply"
)

// kindly are the places in which a stinging word stings nobody, one by one. The
// word may stand in no other.
var kindly = []string{
	// of threads, rows and stitches
	"third strand behind the V", "runs in one direction only", "right one way only", "stitch of each row is missed", "one stitch too late",
	"under one strand only", "one strand of the foot only", "the V behind the stitch", "Only hdc (UK htr) has it", "Cotton or wool only", "Only one is skipped",
	"stays behind the fabric", "Going behind the bar only",
	// of who sees what
	"only you see it", "that only hosts see", "only if you chose to be named", "else you are only counted",
	// of what a command does
	"only what you say is changed", "the only milestone",
	// said to take the sting away
	"Nobody is ranked and nobody is behind", "nothing to catch up on", "not for hurry", "there is no hurry",
}

// stung returns the stinging words of a text, those in the places of kindly
// left out.
func stung(text string) []string {
	text = strings.Join(strings.Fields(text), " ")
	for _, place := range kindly {
		text = strings.ReplaceAll(text, place, "…")
	}
	return stings(text)
}

func TestStings(t *testing.T) {
	for text, want := range map[string][]string{
		"You are behind, and LATE; hurry up!":        {"behind", "late", "hurry"},
		"You should have kept up. Only two are slow": {"should have", "only", "slow"},
		"Bea failed to catch up and gave up.":        {"failed", "catch up", "gave up"},
		"The last place, again: finally!":            {"last place", "finally"},
		"Later, a slate and a plate; rushes, Ladies": nil,
		"We rest. A pause is normal.":                nil,
	} {
		if got := stings(text); !slices.Equal(got, want) {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
	if got := stung("The third strand\nbehind the V, and you are behind"); !slices.Equal(got, []string{"behind"}) {
		t.Errorf("got %q", got)
	}
}

// TestNoWordShames reads every text that the program holds for make-alongs.
func TestNoWordShames(t *testing.T) {
	files, err := filepath.Glob("makealong*.go")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	texts := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.Field: // tags are no texts
				return n.Tag == nil
			case *ast.ValueSpec: // nor is the list itself
				return n.Names[0].Name != "stinging"
			case *ast.BasicLit:
				if n.Kind != token.STRING {
					return true
				}
				text, err := strconv.Unquote(n.Value)
				if err != nil {
					t.Fatal(err)
				}
				texts++
				if words := stung(text); len(words) > 0 {
					t.Errorf("%s: %q in %q", set.Position(n.Pos()), words, text)
				}
			}
			return true
		})
	}
	t.Logf("%d texts", texts)
}

// Each trip-up that can be told names a cause that there is, and shames nobody.
func TestEveryTripUpIsKind(t *testing.T) {
	lists := [][]causeOf{anyTrips}
	for _, l := range usualTrips {
		lists = append(lists, l)
	}
	for _, w := range tripsByWord {
		lists = append(lists, w.causes)
	}
	for _, l := range lesson.All(stitch.US) { // a milestone can be about any stitch
		for i := range l.Mistakes {
			lists = append(lists, []causeOf{{string(l.Stitch), i}})
		}
	}
	for _, l := range lists {
		for _, c := range l {
			trip, ok := c.tell(inEnglish, bothTerms)
			if !ok {
				t.Errorf("there is no cause %d of %q", c.check, c.trouble)
				continue
			}
			if words := stung(trip.Text() + " " + trip.Caution); len(words) > 0 {
				t.Errorf("%q in %q", words, trip.Text())
			}
			if n := len([]rune(trip.Text())); n > 300 {
				t.Errorf("%q has %d characters", trip.Text(), n)
			}
		}
	}
}

// saidIn are all texts of a reply, without those that members wrote.
func saidIn(t interface{ Fatal(...any) }, r reply.Reply) string {
	text, err := reply.Plain(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range r.Actions {
		switch a := a.(type) {
		case reply.Button:
			text += "\n" + a.Label
		case reply.Menu:
			text += "\n" + a.Label
			for _, c := range a.Choices {
				text += "\n" + c.Label
			}
		}
	}
	return text
}

// TestGoldenPostsAreKindAndEasy reads all situations of the golden files.
func TestGoldenPostsAreKindAndEasy(t *testing.T) {
	var all readable.Measure
	hardest, words := "", 0
	worst := -10.0
	for name, p := range postings() {
		r := worded(t, p).Reply
		if r == nil || !r.Words.English() {
			continue
		}
		if words := stung(saidIn(t, *r)); len(words) > 0 {
			t.Errorf("%s: %q", name, words)
		}
		m := readable.Of(proseOf(*r))
		all = all.Plus(m)
		if g := m.Grade(); g > readable.Easy {
			t.Errorf("%s reads at grade %.1f: %s", name, g, proseOf(*r))
		} else if g > worst {
			worst, hardest = g, name
		}
		words += m.Words
	}
	t.Logf("%d words, grade %.1f in all; the hardest is %s at %.1f", words, all.Grade(), hardest, worst)
}

// proseOf is what a post says in sentences; names, fields and figures are none.
func proseOf(r reply.Reply) string {
	var said []string
	for _, b := range r.Parts {
		switch b := b.(type) {
		case reply.Text:
			said = append(said, b.Text)
		case reply.Tip:
			said = append(said, b.Text)
		case reply.Caution:
			said = append(said, b.Text)
		case reply.Steps:
			said = append(said, b.Items...)
		case reply.List:
			said = append(said, b.Title+".")
			said = append(said, b.Items...)
		}
	}
	return strings.Join(said, "\n")
}

// Six weeks sound like six: no two weeks begin alike, ask alike or tell the
// same trip-up.
func TestSixWeeksDoNotSoundTheSame(t *testing.T) {
	for id := range int64(40) {
		m := sixWeeks()
		m.ID = id
		heard := map[string]int{}
		for i := range m.Course.Milestones {
			for _, kind := range []PostKind{MilestonePost, MidwayPost} {
				p := dueOf(m, kind, i)
				w := wording{Posting: p}
				said := []string{string(w.choose(herePlaces)), string(w.choose(questions))}
				if kind == MidwayPost {
					said = []string{string(w.choose(useful))}
				} else {
					for _, trip := range tripUps(inEnglish, m.Course, i, bothTerms) {
						said = append(said, trip.Text())
					}
				}
				for _, text := range said {
					if before, ok := heard[text]; ok {
						t.Errorf("make-along %d says in weeks %d and %d: %q", id, before+1, i+1, text)
					}
					heard[text] = i
				}
			}
		}
	}
}

// randomAlong draws any make-along that hosts can settle; plain ones have
// names without words that could be taken for ours.
func randomAlong(t *rapid.T, plain bool) MakeAlong {
	name := func(label string, most int) string {
		if plain {
			return rapid.StringMatching(`[A-Z][a-z]{3,6}x`).Draw(t, label)
		}
		return rapid.StringN(1, most, -1).Draw(t, label)
	}
	m := MakeAlong{ID: rapid.Int64Range(1, 1e11).Draw(t, "id"), Server: "s", Channel: "c", Host: "host", Name: name("name", 60)}
	m.State = rapid.SampledFrom([]MakeAlongState{AlongDraft, AlongOpen, AlongOpen, AlongOpen, AlongOpen, AlongPaused, AlongClosed, AlongBlocked}).Draw(t, "state")
	c := &m.Course
	c.Pattern, c.Tester, c.Midway = name("pattern", 60), rapid.Bool().Draw(t, "tester"), true
	c.Zone = rapid.SampledFrom([]string{"UTC", "Europe/Lisbon", "Asia/Kathmandu", "America/St_Johns", "Pacific/Apia", "Mars/Olympus"}).Draw(t, "zone")
	c.At = schedule.Clock(rapid.IntRange(0, 1439).Draw(t, "at"))
	c.Quiet = schedule.Quiet{From: schedule.Clock(rapid.IntRange(0, 1439).Draw(t, "from")), To: schedule.Clock(rapid.IntRange(0, 1439).Draw(t, "to"))}
	c.Start = schedule.Date{Year: 2027, Month: 1, Day: 10}.Add(rapid.IntRange(-800, 800).Draw(t, "start"))
	c.Sizes = rapid.SliceOfN(rapid.SampledFrom([]string{"XS", "S", "M", "woman 2X", "child 8"}), 0, 20).Draw(t, "sizes")
	about := []string{along.AboutRound, along.AboutRow, along.AboutIncrease, along.AboutDecrease, along.AboutButtonhole, along.AboutChain, along.AboutRing, along.AboutEdge, along.AboutSeam,
		along.AboutEnds, "sc", "hdc", "dc", "tr", "fpdc", "shell", "ribbing", "no such thing", "puff", "sc2tog"}
	day := c.Start
	for i := range rapid.IntRange(0, 8).Draw(t, "milestones") {
		day = day.Add(rapid.IntRange(0, 20).Draw(t, "days"))
		stone := along.Milestone{Title: name("title", 100), Date: day, Stitches: rapid.IntRange(0, 99999).Draw(t, "stitches"),
			About: rapid.SliceOfNDistinct(rapid.SampledFrom(about), 0, 8, rapid.ID).Draw(t, "about")}
		if !plain {
			stone.Note = rapid.StringN(0, 800, -1).Draw(t, "note")
		}
		for range rapid.IntRange(0, 6).Draw(t, "goals") {
			piece := rapid.SampledFrom([]string{"Sleeve", "Neck", "Brim", "Body", "Stripe", "Ball"}).Draw(t, "piece")
			stone.Goals = append(stone.Goals, along.Goal{Piece: piece, Section: i})
		}
		c.Milestones = append(c.Milestones, stone)
	}
	return m
}

// randomPosting draws a post of it as it may fall due.
func randomPosting(t *rapid.T, plain bool) Posting {
	m := randomAlong(t, plain)
	kind := func() PostKind {
		return rapid.SampledFrom([]PostKind{WelcomePost, MilestonePost, MidwayPost, FarewellPost, HostNote, EventPost, MilestonePost}).Draw(t, "kind")
	}
	post := func() Post {
		p := Post{ID: rapid.Int64Range(1, 1e11).Draw(t, "post"), Along: m.ID, Kind: kind(), Milestone: rapid.IntRange(-1, 9).Draw(t, "milestone"), To: "host"}
		p.Key = postKey(p.Kind, p.Milestone)
		if p.Kind == HostNote {
			p.Key = rapid.SampledFrom([]string{p.Key, "asleep/1", "blocked", "blocked/2"}).Draw(t, "key")
		}
		return p
	}
	p := Posting{Post: post(), MakeAlong: m, Asleep: rapid.Bool().Draw(t, "asleep"), HostWrote: rapid.Bool().Draw(t, "host wrote")}
	for range rapid.IntRange(0, 5).Draw(t, "merged") {
		p.Merged = append(p.Merged, post())
	}
	p.Now = schedule.At(m.Course.Start.Add(rapid.IntRange(-10, 120).Draw(t, "now")), m.Course.At, m.zone())
	if !plain && len(m.Course.Milestones) > 0 {
		if text := rapid.StringN(0, 300, -1).Draw(t, "text"); checkHostText(m, p.Post, text) == nil {
			p.MakeAlong.Course.Texts = map[string]string{p.Key: text}
		}
	}
	return p
}

// randomCommunity draws who takes part in a make-along and what was said.
func randomCommunity(t *rapid.T, p Posting) *memory {
	m := newMemory()
	m.alongs.now = p.Now
	for i := range rapid.IntRange(0, 30).Draw(t, "members") {
		member := fmt.Sprintf("member%d", i)
		m.alongs.party = append(m.alongs.party, Participant{Along: p.Along, Member: member, Pings: rapid.Bool().Draw(t, "pings"), Quiet: rapid.Bool().Draw(t, "quiet"),
			Shift: 7 * rapid.IntRange(0, 3).Draw(t, "shift"), State: rapid.SampledFrom([]ParticipantState{TakingPart, Resting}).Draw(t, "state")})
		m.settings[member] = Settings{Zone: rapid.SampledFrom([]string{"", "Asia/Tokyo", "America/Denver"}).Draw(t, "zone")}
		m.alongs.said = append(m.alongs.said, Answer{Along: p.Along, Milestone: rapid.IntRange(0, 9).Draw(t, "at"), Member: member, Name: "Xu",
			Say: rapid.SampledFrom([]string{SayOnIt, SayNeedHelp, SayNeedHelp, SayResting, SayDone}).Draw(t, "say"), Place: rapid.SampledFrom([]string{"", "Body · Row 3 of 9 · 84 stitches"}).Draw(t, "place")})
	}
	return m
}

// Whatever is planned: a post is worded, kindly and easily, or left out or put
// off; worded again it is the same; and it keeps to its promises.
func TestAnyPostIsKind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomPosting(t, true)
		community := randomCommunity(t, p)
		set := All(community.services(), nil)
		w, err := set.Post(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		again, err := set.Post(context.Background(), p)
		if err != nil || !reflect.DeepEqual(w, again) {
			t.Fatalf("worded again it is another: %v\n%+v\n%+v", err, w, again)
		}
		set3 := 0
		for _, is := range []bool{w.Reply != nil, w.Skip != "", !w.Later.IsZero()} {
			if is {
				set3++
			}
		}
		if set3 != 1 {
			t.Fatalf("not one thing becomes of it: %+v", w)
		}
		zone := p.MakeAlong.zone()
		local := p.Now.In(zone)
		quiet := p.MakeAlong.Course.Quiet.Has(schedule.Clock(local.Hour()*60 + local.Minute()))
		if quiet && w.Reply != nil && p.Kind != EventPost || !w.Later.IsZero() && !w.Later.After(p.Now) {
			t.Fatalf("quiet hours are not kept at %s: %+v", local, w)
		}
		if w.Reply == nil {
			return
		}
		if words := stung(saidIn(t, *w.Reply)); len(words) > 0 {
			t.Fatalf("%q in\n%s", words, saidIn(t, *w.Reply))
		}
		if g := readable.Of(proseOf(*w.Reply)).Grade(); g > readable.Easy && p.Kind != EventPost {
			t.Fatalf("grade %.1f: %s", g, proseOf(*w.Reply))
		}
		if w.Reply.Error != nil || w.Reply.Form != nil {
			t.Fatalf("a post is no mistake and no form: %+v", w.Reply)
		}
	})
}

// Whatever hosts write: the buttons keep to the limits, the mark is there, and
// an event's card fits the service.
func TestAnyPostKeepsTheLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomPosting(t, false)
		w, err := All(randomCommunity(t, p).services(), nil).Post(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if w.Reply == nil {
			return
		}
		if card, ok := w.Reply.Data.(EventCard); ok {
			if p.Kind != EventPost {
				t.Fatalf("a %s has a card", p.Kind)
			}
			for what, text := range map[string]struct {
				text string
				most int
			}{"name": {card.Name, 100}, "description": {card.Description, 1000}, "location": {card.Location, 100}} {
				if n := units16(text.text); n < 1 || n > text.most || strings.ContainsAny(text.text, "\x00\x1b") {
					t.Fatalf("the event's %s has %d units: %q", what, n, text.text)
				}
				for _, bad := range []string{"@everyone", "@here", "<@", "<#"} {
					if strings.Contains(text.text, bad) {
						t.Fatalf("the event's %s holds %q", what, bad)
					}
				}
			}
			if !card.Start.After(p.Now) || card.End.Sub(card.Start) != time.Hour || !strings.HasSuffix(card.Description, card.Mark) {
				t.Fatalf("card %+v at %s", card, p.Now)
			}
			return
		}
		if len(w.Reply.Pings) > 100 {
			t.Fatalf("%d are pinged", len(w.Reply.Pings))
		}
		marked := false
		for _, a := range w.Reply.Actions {
			b := a.(reply.Button)
			if len(b.Line) > longestLine || len([]rune(b.Label)) > 80 {
				t.Fatalf("the button %q is too long: %d", b.Line, len(b.Line))
			}
			marked = marked || slices.Contains(strings.Fields(b.Line), fmt.Sprintf("post:%d", p.ID))
		}
		if !marked {
			t.Fatalf("no mark in %+v", w.Reply.Actions)
		}
	})
}

// units16 counts a text as the service does at its strictest.
func units16(s string) int {
	n := 0
	for _, r := range s {
		n++
		if r > 0xFFFF {
			n++
		}
	}
	return n
}
