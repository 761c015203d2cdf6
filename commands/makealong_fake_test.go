package commands

import (
	"context"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"time"

	"countwright/calc/along"
	"countwright/calc/schedule"
)

// memoryAlongs keeps make-alongs as the store does, for one run of a test. A
// call without an ID is never taken for one that came before.
type memoryAlongs struct {
	around *memory // the members' settings and projects
	now    time.Time
	list   []MakeAlong // the newest last
	posts  []Post
	party  []Participant
	said   []Answer
	shared []Shared
	pinged []memoryPing
	seen   map[string]any // what a call made
}

type memoryPing struct {
	post   int64
	member string
	at     time.Time
}

// asKept is a value as it comes back from being kept as JSON.
func asKept[T any](v T) T {
	var back T
	text, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(text, &back)
	}
	if err != nil {
		panic(err)
	}
	if reflect.ValueOf(v).IsZero() {
		return v
	}
	return back
}

// again returns what a call made when it was delivered before.
func again[T any](m *memoryAlongs, what, call string) (made T, before bool) {
	if call == "" {
		return made, false
	}
	v, ok := m.seen[what+" "+call]
	if !ok {
		return made, false
	}
	return v.(T), true
}

func (m *memoryAlongs) keep(what, call string, made any) {
	if m.seen == nil {
		m.seen = map[string]any{}
	}
	m.seen[what+" "+call] = made
}

func (m *memoryAlongs) at(id int64) *MakeAlong {
	for i := range m.list {
		if m.list[i].ID == id {
			return &m.list[i]
		}
	}
	return nil
}

// Make implements MakeAlongs, as do the methods below.
func (m *memoryAlongs) Make(_ context.Context, call, member string, a MakeAlong) (MakeAlong, error) {
	if made, ok := again[MakeAlong](m, "make", call); ok {
		return made, nil
	}
	for _, other := range m.list {
		if other.Server == a.Server && other.State != AlongClosed && strings.EqualFold(other.Name, a.Name) {
			return MakeAlong{}, ErrNamed
		}
	}
	a = asKept(a)
	a.ID, a.Version, a.State, a.Host, a.Made, a.Changed = int64(len(m.list)+1), 1, AlongDraft, member, m.now, m.now
	m.list = append(m.list, a)
	m.keep("make", call, a)
	return asKept(a), nil
}

func (m *memoryAlongs) Save(_ context.Context, call, _ string, a MakeAlong, posts []Post) (MakeAlong, error) {
	if made, ok := again[MakeAlong](m, "save", call); ok {
		return made, nil
	}
	kept := m.at(a.ID)
	if kept == nil || kept.Version != a.Version {
		return MakeAlong{}, ErrChanged
	}
	for _, other := range m.list {
		if other.ID != a.ID && other.Server == a.Server && other.State != AlongClosed && a.State != AlongClosed && strings.EqualFold(other.Name, a.Name) {
			return MakeAlong{}, ErrNamed
		}
	}
	a = asKept(a)
	a.Version, a.Made, a.Host, a.Changed = a.Version+1, kept.Made, kept.Host, m.now
	*kept = a
	m.posts = slices.DeleteFunc(m.posts, func(p Post) bool { return p.Along == a.ID && p.State == PostPlanned })
	for _, p := range posts {
		if !slices.ContainsFunc(m.posts, func(o Post) bool { return o.Along == a.ID && o.Key == p.Key }) {
			m.plan(a.ID, p)
		}
	}
	m.keep("save", call, a)
	return asKept(a), nil
}

// plan adds a post as the store numbers it.
func (m *memoryAlongs) plan(along int64, p Post) {
	last := int64(0)
	for _, o := range m.posts {
		last = max(last, o.ID)
	}
	p.ID, p.Along, p.State = last+1, along, PostPlanned
	m.posts = append(m.posts, p)
}

// sent marks a post as sent, as whoever sends it does.
func (m *memoryAlongs) sent(along int64, key string) {
	for i := range m.posts {
		if m.posts[i].Along == along && m.posts[i].Key == key {
			m.posts[i].State, m.posts[i].Message = PostSent, "message of "+key
			return
		}
	}
	panic("no post " + key)
}

func (m *memoryAlongs) Along(_ context.Context, id int64) (MakeAlong, bool, error) {
	if a := m.at(id); a != nil {
		return asKept(*a), true, nil
	}
	return MakeAlong{}, false, nil
}

func (m *memoryAlongs) List(_ context.Context, server string) ([]MakeAlong, error) {
	var going, closed []MakeAlong
	for _, a := range slices.Backward(m.list) {
		switch {
		case a.Server != server:
		case a.State == AlongClosed:
			closed = append(closed, asKept(a))
		default:
			going = append(going, asKept(a))
		}
	}
	return append(going, closed...), nil
}

func (m *memoryAlongs) Posts(_ context.Context, id int64) ([]Post, error) {
	var list []Post
	for _, p := range m.posts {
		if p.Along == id {
			list = append(list, p)
		}
	}
	slices.SortStableFunc(list, func(a, b Post) int { return a.Due.Compare(b.Due) })
	return list, nil
}

// whole adds what comes from a member's project and settings.
func (m *memoryAlongs) whole(p Participant) Participant {
	p = asKept(p)
	p.Zone, p.Lengths, p.Done, p.Work, p.Counted = m.around.settings[p.Member].Zone, nil, nil, "", time.Time{}
	for _, b := range m.around.projects.books {
		if b.ID != p.Project || m.around.projects.owner[b.ID] != p.Member {
			continue
		}
		tally, err := b.Pinned.Plan.Tally(b.Moves, time.UTC)
		if err != nil {
			panic(err)
		}
		for _, piece := range b.Pinned.Plan.Pieces() {
			p.Lengths = append(p.Lengths, len(piece.Rows))
		}
		p.Done, p.Work = slices.Clone(tally.Done), b.State
		if n := len(b.Moves); n > 0 {
			p.Counted = b.Moves[n-1].At
		}
	}
	return p
}

func (m *memoryAlongs) Party(_ context.Context, id int64) ([]Participant, error) {
	var list []Participant
	for _, p := range m.party {
		if p.Along == id {
			list = append(list, m.whole(p))
		}
	}
	return list, nil
}

func (m *memoryAlongs) Joined(_ context.Context, member string) ([]Participant, error) {
	var list []Participant
	for _, p := range slices.Backward(m.party) {
		if p.Member == member {
			list = append(list, m.whole(p))
		}
	}
	return list, nil
}

func (m *memoryAlongs) Join(_ context.Context, call string, p Participant) error {
	if _, ok := again[bool](m, "join", call); ok {
		return nil
	}
	for _, other := range m.party {
		if other.Along == p.Along && other.Member != p.Member && p.Seat != "" && strings.EqualFold(other.Seat, p.Seat) {
			return ErrTaken
		}
	}
	p = asKept(p)
	at := slices.IndexFunc(m.party, func(o Participant) bool { return o.Along == p.Along && o.Member == p.Member })
	if at < 0 {
		p.Joined = m.now
		m.party = append(m.party, p)
	} else {
		p.Joined = m.party[at].Joined
		m.party[at] = p
	}
	m.keep("join", call, true)
	return nil
}

func (m *memoryAlongs) Retarget(_ context.Context, id int64, parts []Participant) error {
	for i := range m.party {
		p := &m.party[i]
		for _, anew := range parts {
			if p.Along == id && p.Member == anew.Member && p.Project == anew.Project && p.Version < anew.Version {
				p.Targets, p.Version = asKept(anew.Targets), anew.Version
			}
		}
	}
	return nil
}

func (m *memoryAlongs) Leave(_ context.Context, call, member string, id int64) error {
	if _, ok := again[bool](m, "leave", call); ok {
		return nil
	}
	m.party = slices.DeleteFunc(m.party, func(p Participant) bool { return p.Along == id && p.Member == member })
	m.said = slices.DeleteFunc(m.said, func(a Answer) bool { return a.Along == id && a.Member == member })
	m.keep("leave", call, true)
	return nil
}

func (m *memoryAlongs) Answer(_ context.Context, call string, a Answer) error {
	if _, ok := again[bool](m, "answer", call); ok {
		return nil
	}
	a.At = m.now
	m.said = slices.DeleteFunc(m.said, func(o Answer) bool {
		return o.Along == a.Along && o.Member == a.Member && o.Milestone == a.Milestone
	})
	m.said = append(m.said, a)
	m.keep("answer", call, true)
	return nil
}

func (m *memoryAlongs) Answers(_ context.Context, id int64, milestone int) ([]Answer, error) {
	var list []Answer
	for _, a := range m.said {
		if a.Along == id && (milestone < 0 || a.Milestone == milestone) {
			list = append(list, a)
		}
	}
	return list, nil
}

func (m *memoryAlongs) Share(_ context.Context, call string, s Shared) error {
	if _, ok := again[bool](m, "share", call); ok {
		return nil
	}
	s.At = m.now
	m.shared = append(m.shared, s)
	m.keep("share", call, true)
	return nil
}

func (m *memoryAlongs) Gallery(_ context.Context, id int64) ([]Shared, error) {
	var list []Shared
	for _, s := range m.shared {
		if s.Along == id {
			list = append(list, s)
		}
	}
	return list, nil
}

func (m *memoryAlongs) TakePings(_ context.Context, post int64, members []string) ([]string, error) {
	var may []string
	for _, member := range members {
		mine := slices.ContainsFunc(m.pinged, func(p memoryPing) bool { return p.post == post && p.member == member })
		lately := slices.ContainsFunc(m.pinged, func(p memoryPing) bool {
			return p.member == member && m.now.Sub(p.at) < 7*24*time.Hour
		})
		switch {
		case mine:
			may = append(may, member)
		case !lately:
			m.pinged = append(m.pinged, memoryPing{post, member, m.now})
			may = append(may, member)
		}
	}
	return may, nil
}

// withAlongs adds to the memory a make-along in its third week, of which the
// asker is one, in the channel "c"; a draft in "d"; and a tester call in "t".
func withAlongs(m *memory) *memory {
	m.alongs.now = asker.Now.AddDate(0, 0, -21)
	harbour := m.along(MakeAlong{Name: "Harbour make-along", Channel: "c", Course: Course{
		Pattern: "cardigan", Start: schedule.Date{Year: 2026, Month: 2, Day: 15}, Milestones: []along.Milestone{
			{Title: "The back", Date: schedule.Date{Year: 2026, Month: 3, Day: 8}, Goals: wholePieces("Back, hem", "Back, body"), Stitches: 6100, About: []string{"ribbing", "increase"}},
			{Title: "The fronts", Date: schedule.Date{Year: 2026, Month: 3, Day: 22}, Goals: wholePieces("Right front, hem", "Right front, body", "Left front, hem", "Left front, body"), Stitches: 5600, About: []string{"decrease"}},
			{Title: "The sleeves", Date: schedule.Date{Year: 2026, Month: 4, Day: 5}, Goals: wholePieces("Sleeve, cuff (1 of 2)", "Sleeve (1 of 2)", "Sleeve, cuff (2 of 2)", "Sleeve (2 of 2)"), Stitches: 3600, About: []string{"increase"}},
			{Title: "Band, seams and buttons", Date: schedule.Date{Year: 2026, Month: 4, Day: 12}, Goals: wholePieces("Button band"), Stitches: 600, About: []string{"buttonhole", "seam"}, Note: "Wash the pieces before you sew."},
		}}}, AlongOpen)
	m.along(MakeAlong{Name: "Fog shawl", Channel: "d", Course: Course{
		Pattern: "shawl", Start: schedule.Date{Year: 2026, Month: 4, Day: 1}, Milestones: []along.Milestone{
			{Title: "Half of it", Date: schedule.Date{Year: 2026, Month: 4, Day: 15}, Stitches: 4000},
			{Title: "All of it", Date: schedule.Date{Year: 2026, Month: 4, Day: 29}, Stitches: 5000},
		}}}, AlongDraft)
	test := m.along(MakeAlong{Name: "Harbour test", Channel: "t", Course: Course{
		Pattern: "cardigan", Tester: true, Sizes: []string{"woman S", "woman M", "woman L"}, Start: schedule.Date{Year: 2026, Month: 2, Day: 20}, Milestones: []along.Milestone{
			{Title: "Swatch washed and measured", Date: schedule.Date{Year: 2026, Month: 2, Day: 27}},
			{Title: "All pieces", Date: schedule.Date{Year: 2026, Month: 4, Day: 3}},
		}}}, AlongOpen)
	m.join(harbour, Participant{Member: "mira", Name: "Mira", Project: 3, Size: "chest 112 cm", Gauge: "14x10"})
	m.join(harbour, Participant{Member: "ana", Name: "Ana", Size: "woman S", Gauge: "16x12", Pings: true})
	m.join(harbour, Participant{Member: "bo", Size: "woman XL", Gauge: "13x9", State: Resting})
	m.join(harbour, Participant{Member: "dita", Shift: 14, Quiet: true, Size: "man M", Gauge: "14x10"})
	m.join(test, Participant{Member: "ana", Name: "Ana", Seat: "woman S", Size: "woman S", Gauge: "16x12", Measured: map[string]float64{"minutes": 2400, "grams": 430}})
	m.join(test, Participant{Member: "mira", Name: "Mira", Seat: "woman M", Size: "size woman M", Gauge: "14x10", Measured: map[string]float64{
		"gauge stitches": 15.2, "gauge rows": 10.3, "finished: chest, buttoned": 1080, "finished: length from shoulder": 560, "finished: sleeve length": 500, "grams": 900,
	}, Remarks: "Row 12 of the sleeve is told twice."})
	m.alongs.said = []Answer{
		{Along: harbour.ID, Milestone: 0, Member: "ana", Say: SayOnIt, Place: "Back, body, Row 3", At: asker.Now.AddDate(0, 0, -2)},
		{Along: harbour.ID, Milestone: 0, Member: "bo", Say: SayNeedHelp, Place: "Back, hem, Row 20", Words: "My ribbing curls.", At: asker.Now.AddDate(0, 0, -1)},
	}
	m.alongs.shared = []Shared{{Along: harbour.ID, Member: "ana", Name: "Ana", Text: "The hem, in moss green", Where: "https://chat.example/7", At: asker.Now.AddDate(0, 0, -5)}}
	m.alongs.now = asker.Now
	return m
}

func wholePieces(titles ...string) []along.Goal {
	var goals []along.Goal
	for _, t := range titles {
		goals = append(goals, along.Goal{Piece: t, Share: 1})
	}
	return goals
}

// along keeps a make-along of the asker's server, with its posts so far.
func (m *memory) along(a MakeAlong, state MakeAlongState) MakeAlong {
	a.Server = asker.Server
	a.Course.Zone, a.Course.At, a.Course.Midway = "Europe/Lisbon", 18*60, true
	a.Course.Quiet = schedule.Quiet{From: 21 * 60, To: 8 * 60}
	a, err := m.alongs.Make(context.Background(), "", "mira", a)
	if err != nil {
		panic(err)
	}
	m.alongs.at(a.ID).State = state
	for _, p := range m.alongs.at(a.ID).posts(m.alongs.now, nil) {
		m.alongs.plan(a.ID, p)
		if p.Due.Before(asker.Now) {
			m.alongs.sent(a.ID, p.Key)
		}
	}
	return *m.alongs.at(a.ID)
}

// join takes a member in; with a targets' version of the make-along as it is.
func (m *memory) join(a MakeAlong, p Participant) {
	p.Along, p.Version = a.ID, a.Version
	if p.State == "" {
		p.State = TakingPart
	}
	for _, stone := range a.Course.Milestones {
		var targets []along.Target
		for _, b := range m.projects.books {
			for i, piece := range b.Pinned.Plan.Pieces() {
				if b.ID == p.Project && slices.ContainsFunc(stone.Goals, func(g along.Goal) bool { return g.Piece == piece.Title() }) {
					targets = append(targets, along.Target{Piece: i, Rows: len(piece.Rows)})
				}
			}
		}
		p.Targets = append(p.Targets, targets)
	}
	if err := m.alongs.Join(context.Background(), "", p); err != nil {
		panic(err)
	}
}
