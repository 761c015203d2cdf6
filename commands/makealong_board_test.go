package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

// anyGroup is a make-along with members anywhere in it. What must not be told
// of those who are not named begins with "secret".
func anyGroup(t *rapid.T) (MakeAlong, []Participant, []Answer) {
	m := MakeAlong{ID: 1, Version: 3, Name: "Harbour", Server: asker.Server, Channel: "c", State: AlongOpen, Course: Course{Pattern: "cardigan", Start: schedule.Date{Year: 2026, Month: 2, Day: 15}, Zone: "UTC"}}
	stones := rapid.IntRange(1, 6).Draw(t, "milestones")
	for i := range stones {
		s := along.Milestone{Title: fmt.Sprintf("Part %c", 'A'+i), Date: m.Course.Start.Add(7 * (i + 1))}
		if rapid.Bool().Draw(t, "by rows") {
			s.Goals = wholePieces("Back")
		}
		m.Course.Milestones = append(m.Course.Milestones, s)
	}
	var all []Participant
	var said []Answer
	for i := range rapid.IntRange(0, 9).Draw(t, "members") {
		p := Participant{Along: 1, Member: fmt.Sprintf("secret-%d", i), Version: 3, State: TakingPart, Work: rapid.SampledFrom([]ProjectState{Working, Paused, Finished, ""}).Draw(t, "work")}
		if rapid.Bool().Draw(t, "named") {
			p.Name = rapid.SampledFrom([]string{"Ada", "ada", "Bela", "Odile", "Žofia", "Mira"}).Draw(t, "name")
		}
		if rapid.IntRange(0, 4).Draw(t, "rests") == 0 {
			p.State = Resting
		}
		p.Done = []int{rapid.IntRange(0, 60).Draw(t, "done")}
		for k, s := range m.Course.Milestones {
			var targets []along.Target
			if len(s.Goals) > 0 {
				targets = []along.Target{{Piece: 0, Rows: 10 * (k + 1)}}
			}
			p.Targets = append(p.Targets, targets)
			if rapid.Bool().Draw(t, "answers") {
				say := rapid.SampledFrom([]string{SayOnIt, SayNeedHelp, SayResting, SayDone}).Draw(t, "say")
				said = append(said, Answer{Along: 1, Milestone: k, Member: p.Member, Name: "secret name", Say: say, Place: "secret place", Words: "secret words"})
			}
		}
		all = append(all, p)
	}
	return m, all, said
}

// boardTold is all that a board tells of a group.
func boardTold(m MakeAlong, all []Participant, said []Answer) string {
	b := standing(inEnglish, m, all, said)
	data, err := json.Marshal(b.data())
	if err != nil {
		panic(err)
	}
	d, err := b.picture().Draw()
	if err != nil {
		panic(err)
	}
	return strings.Join(append(b.lines(), b.lead(), string(data), string(picture.SVG(d)), d.Description), "\n")
}

// TestBoardKeepsSecrets: nothing of a member who is not named is told, whatever
// she did and said; no figure is one person's; nobody is ranked.
func TestBoardKeepsSecrets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, all, said := anyGroup(t)
		text := boardTold(m, all, said)
		for _, bad := range []string{"secret", "%", "last", "behind", "slow"} {
			if strings.Contains(strings.ToLower(text), bad) {
				t.Fatalf("the board holds %q:\n%s", bad, text)
			}
		}
		// In whatever order they joined, the board is the same.
		mixed := rapid.Permutation(all).Draw(t, "order")
		if boardTold(m, mixed, said) != text {
			t.Fatal("the order of joining shows")
		}
		var unnamed []int
		for i, p := range all {
			if p.Name == "" {
				unnamed = append(unnamed, i)
			}
		}
		if len(unnamed) == 0 {
			return
		}
		changed := slices.Clone(all)
		if len(unnamed) < fewest {
			// Of so few, nothing that one of them counts or says shows at all.
			one := unnamed[rapid.IntRange(0, len(unnamed)-1).Draw(t, "one")]
			changed[one].Done = []int{rapid.IntRange(0, 60).Draw(t, "other")}
			silent := slices.DeleteFunc(slices.Clone(said), func(a Answer) bool { return a.Member == all[one].Member })
			if boardTold(m, changed, silent) != text {
				t.Fatalf("what one of %d unnamed members did shows", len(unnamed))
			}
			return
		}
		// Of more, who did which does not.
		a, b := unnamed[0], unnamed[len(unnamed)-1]
		changed[a], changed[b] = all[b], all[a]
		changed[a].Member, changed[b].Member = all[a].Member, all[b].Member
		swapped := slices.Clone(said)
		for i, s := range swapped {
			switch s.Member {
			case all[a].Member:
				swapped[i].Member = all[b].Member
			case all[b].Member:
				swapped[i].Member = all[a].Member
			}
		}
		if boardTold(m, changed, swapped) != text {
			t.Fatal("two unnamed members can be told apart")
		}
	})
}

// TestBoardSums: each milestone's figure is the members counted who are there,
// reckoned here one by one.
func TestBoardSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, all, said := anyGroup(t)
		b := standing(inEnglish, m, all, said)
		unnamed := 0
		for _, p := range all {
			if p.Name == "" {
				unnamed++
			}
		}
		for i := range m.Course.Milestones {
			want := 0
			var names []string
			for _, p := range all {
				if !p.reached(m, sayings(said)[p.Member])[i] {
					continue
				}
				if p.Name != "" {
					names = append(names, p.Name)
				}
				if p.Name != "" || unnamed >= fewest {
					want++
				}
			}
			slices.Sort(names)
			got := slices.Sorted(slices.Values(b.stages[i].names))
			if b.stages[i].reached() != want || !slices.Equal(got, names) {
				t.Fatalf("milestone %d: %d with %v, want %d with %v", i, b.stages[i].reached(), got, want, names)
			}
			if b.stages[i].reached() > b.counted() {
				t.Fatalf("%d of %d", b.stages[i].reached(), b.counted())
			}
		}
	})
}

// TestReached, by hand: rows tell where they can; a word tells where rows
// can't; a later milestone vouches for one that rows can't tell of.
func TestReached(t *testing.T) {
	row := func(n int) []along.Target { return []along.Target{{Piece: 0, Rows: n}} }
	for name, c := range map[string]struct {
		targets [][]along.Target
		done    int
		work    ProjectState
		said    map[int]string
		want    []bool
	}{
		"nothing yet":                      {[][]along.Target{row(5), row(9)}, 4, Working, nil, []bool{false, false}},
		"by rows":                          {[][]along.Target{row(5), row(9)}, 5, Working, nil, []bool{true, false}},
		"rows win over a word":             {[][]along.Target{row(5), row(9)}, 5, Working, map[int]string{1: SayDone}, []bool{true, false}},
		"her word, where rows can't tell":  {[][]along.Target{row(5), nil}, 5, Working, map[int]string{1: SayDone}, []bool{true, true}},
		"on it is not there":               {[][]along.Target{row(5), nil}, 5, Working, map[int]string{1: SayOnIt}, []bool{true, false}},
		"a later one vouches":              {[][]along.Target{nil, row(5)}, 5, Working, nil, []bool{true, true}},
		"a later word vouches":             {[][]along.Target{nil, nil, nil}, 0, "", map[int]string{1: SayDone}, []bool{true, true, false}},
		"finished is all":                  {[][]along.Target{row(5), nil}, 1, Finished, nil, []bool{true, true}},
		"no targets yet":                   {nil, 9, Working, map[int]string{0: SayDone}, []bool{true, false}},
		"a word does not vouch for rows":   {[][]along.Target{row(5), nil}, 0, Working, map[int]string{1: SayDone}, []bool{false, true}},
		"resting changes nothing":          {[][]along.Target{row(5), row(9)}, 9, Paused, map[int]string{0: SayResting}, []bool{true, true}},
		"a milestone added since has none": {[][]along.Target{row(5)}, 5, Working, nil, []bool{true, false}},
	} {
		m := MakeAlong{}
		for range c.want {
			m.Course.Milestones = append(m.Course.Milestones, along.Milestone{})
		}
		p := Participant{Targets: c.targets, Done: []int{c.done}, Work: c.work}
		if got := p.reached(m, c.said); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

func TestBoardLead(t *testing.T) {
	m := MakeAlong{State: AlongOpen}
	for _, c := range []struct {
		named, unnamed, resting int
		want                    string
	}{
		{0, 0, 0, "Nobody has joined yet; whoever does is the first."},
		{0, 1, 1, "One takes part so far. How far it is shows once 3 take part, or somebody chooses to be named."},
		{2, 0, 1, "2 make it together."},
		{2, 1, 1, "3 make it together. One is resting, which is part of making. The figures are of those who chose to be named; 1 more is with them."},
		{1, 2, 3, "3 make it together. It is a time of rest for everybody. The figures are of those who chose to be named; 2 more are with them."},
		{0, 4, 2, "4 make it together. 2 are resting, which is part of making."},
	} {
		var all []Participant
		for i := range c.named + c.unnamed {
			p := Participant{Member: fmt.Sprint(i)}
			if i < c.named {
				p.Name = "Ada"
			}
			if i < c.resting {
				p.State = Resting
			}
			all = append(all, p)
		}
		if got := standing(inEnglish, m, all, nil).lead(); got != c.want {
			t.Errorf("%+v: %q, want %q", c, got, c.want)
		}
	}
}

func TestNamesText(t *testing.T) {
	for _, c := range []struct {
		s    stageStanding
		most int
		want string
	}{
		{stageStanding{}, 3, ""},
		{stageStanding{unnamed: 4}, 3, ""},
		{stageStanding{names: []string{"Ada"}}, 3, "Ada"},
		{stageStanding{names: []string{"Ada", "Bela"}}, 3, "Ada and Bela"},
		{stageStanding{names: []string{"Ada", "Bela"}, unnamed: 3}, 3, "Ada, Bela and 3 more"},
		{stageStanding{names: []string{"Ada", "Bela", "Cleo", "Dita"}}, 3, "Ada, Bela, Cleo and 1 more"},
	} {
		if got := c.s.namesText(inEnglish, c.most); got != c.want {
			t.Errorf("%+v: %q, want %q", c.s, got, c.want)
		}
	}
}

// The calendar is at the first milestone whose day is not over.
func TestNow(t *testing.T) {
	start := schedule.Date{Year: 2026, Month: 12, Day: 27}
	m := MakeAlong{State: AlongOpen, Course: Course{Start: start, Milestones: []along.Milestone{{Date: start.Add(5)}, {Date: start.Add(12)}}}}
	for days, want := range map[int]int{-1: -1, 0: 0, 5: 0, 6: 1, 12: 1, 13: -1} {
		if got := m.now(start.Add(days)); got != want {
			t.Errorf("day %d: %d, want %d", days, got, want)
		}
	}
	m.State = AlongClosed
	if got := m.now(start); got != -1 {
		t.Errorf("closed: %d", got)
	}
}

// TestBoardFollowsRows: members count rows, and the board knows, after the
// milestones were changed too.
func TestBoardFollowsRows(t *testing.T) {
	m := withSwatch()
	ctx := context.Background()
	board := func() boardData {
		t.Helper()
		r := All(m.services(), nil).RunLine(ctx, asker, "/makealong board")
		if r.Error != nil {
			t.Fatalf("%+v", *r.Error)
		}
		return r.Data.(boardData)
	}
	if got := board().Milestones[0].Reached; got != 0 {
		t.Fatalf("%d are there before anybody is", got)
	}
	for _, c := range []struct {
		line  string
		there bool
	}{{"/project row n:+3 piece:Back, body project:3", false}, {"/project row n:+200 piece:Back, body project:3", true}, {"/project row n:+1 piece:Right front, hem project:3", false}} {
		text, err := reply.Plain(m.says(t, asker, c.line))
		if err != nil || strings.Contains(text, "“The back”, a milestone of Harbour make-along") != c.there {
			t.Errorf("%s: that she is there is told: %t\n%s", c.line, !c.there, text)
		}
	}
	if got := board().Milestones[0]; got.Reached != 1 || !slices.Equal(got.Names, []string{"Mira"}) {
		t.Errorf("after the back: %+v", got)
	}
	// The host takes the first milestone apart; no one counts anything anew.
	harbour := m.alongs.at(1)
	first := harbour.Course.Milestones[0]
	first.Title, first.Goals = "The hem of the back", first.Goals[:1]
	harbour.Course.Milestones = append([]along.Milestone{first}, harbour.Course.Milestones...)
	harbour.Version++
	if got := board(); got.Milestones[0].Reached != 1 || got.Milestones[1].Reached != 1 || got.Milestones[2].Reached != 0 {
		t.Errorf("after the change: %+v", got.Milestones)
	}
	for _, p := range m.alongs.party {
		if p.Member == "mira" && p.Along == 1 && (p.Version != harbour.Version || len(p.Targets) != len(harbour.Course.Milestones)) {
			t.Errorf("her targets were not kept: %+v", p)
		}
	}
}

// TestBoardShowsNoSecretsWhole runs the command, pictures and all, for a group
// whose unnamed members have telling ids, projects and questions.
func TestBoardShowsNoSecretsWhole(t *testing.T) {
	m := withSwatch()
	for i := range 5 {
		p := Participant{Along: 1, Member: fmt.Sprintf("secret-%d", i), Version: 1, State: TakingPart}
		m.alongs.party = append(m.alongs.party, p)
		m.alongs.said = append(m.alongs.said, Answer{Along: 1, Member: p.Member, Name: "Secret", Say: SayNeedHelp, Place: "secret", Words: "secret"})
		m.alongs.shared = append(m.alongs.shared, Shared{Along: 1, Member: p.Member, Text: "a hem", At: asker.Now})
	}
	r := All(m.services(), nil).RunLine(context.Background(), asker, "/makealong board")
	text, err := reply.JSON(r, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := reply.Plain(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, said := range []string{string(text), plain} {
		if strings.Contains(strings.ToLower(said), "secret") || strings.Contains(said, "dita") {
			t.Errorf("the board tells of an unnamed member:\n%s", said)
		}
	}
	if r.Private || len(r.Pings) > 0 {
		t.Errorf("private %t, pings %v", r.Private, r.Pings)
	}
}

func BenchmarkBoard500(b *testing.B) {
	m := MakeAlong{Course: Course{Milestones: make([]along.Milestone, 12)}}
	var all []Participant
	for i := range 500 {
		p := Participant{Member: fmt.Sprint(i), Done: []int{i}}
		if i%2 == 0 {
			p.Name = fmt.Sprintf("Maker %d", i)
		}
		for k := range 12 {
			p.Targets = append(p.Targets, []along.Target{{Piece: 0, Rows: 40 * k}})
		}
		all = append(all, p)
	}
	for b.Loop() {
		d, err := standing(inEnglish, m, all, nil).picture().Draw()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := picture.PNG(d, picture.PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
