package commands

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"countwright/calc/schedule"
	"countwright/commands/words"
)

// When posts go out around a milestone, in days. Common practice, no source.
const (
	midwayFrom    = 6 // the shortest way to a milestone that has a note halfway
	helpAfter     = 2 // hosts are told what people ask
	farewellAfter = 7 // after the last milestone
	eventBefore   = 7 // the server's own event is made
)

// helpKey begins the keys of notes that tell hosts what people ask.
const helpKey = "help/"

// postKey is a post's key in its make-along: "milestone/2", "welcome".
func postKey(kind PostKind, milestone int) string {
	switch kind {
	case WelcomePost, FarewellPost:
		return string(kind)
	case HostNote:
		if milestone < 0 {
			return helpKey + "end" // what was asked after the last of the others
		}
		return helpKey + strconv.Itoa(milestone)
	}
	return string(kind) + "/" + strconv.Itoa(milestone)
}

// posts are those of a make-along that are still to be sent, in order of when
// they are due: local times in its zone, put off over quiet hours. had are its
// posts as they are kept: what was taken up is not planned again, what was
// planned but is late stays due, and notes that others planned stay. What else
// lies before now is left out.
func (m MakeAlong) posts(now time.Time, had []Post) []Post {
	kept := map[string]Post{}
	var list []Post
	for _, p := range had {
		kept[p.Key] = p
		if p.State == PostPlanned && p.Kind == HostNote && !strings.HasPrefix(p.Key, helpKey) {
			list = append(list, p)
		}
	}
	if m.State != AlongOpen {
		return list
	}
	for _, p := range m.wanted(now) {
		old, known := kept[p.Key]
		planned := known && old.State == PostPlanned
		switch {
		case known && !planned, !planned && p.Due.Before(now):
			continue
		case planned && p.Kind == WelcomePost:
			p.Due = m.Course.Quiet.After(old.Due, m.zone()).UTC() // it stays as old as it is
		}
		list = append(list, p)
	}
	slices.SortStableFunc(list, func(a, b Post) int { return a.Due.Compare(b.Due) })
	return list
}

// wanted is every post that the make-along has from its opening to its end.
func (m MakeAlong) wanted(now time.Time) []Post {
	c, zone := m.Course, m.zone()
	var list []Post
	add := func(kind PostKind, milestone int, at time.Time) {
		p := Post{Along: m.ID, Key: postKey(kind, milestone), Kind: kind, Milestone: milestone, State: PostPlanned, Due: c.Quiet.After(at, zone).UTC()}
		if kind == HostNote {
			p.To = m.Host
		}
		list = append(list, p)
	}
	day := func(d schedule.Date) time.Time { return schedule.At(d, c.At, zone) }
	add(WelcomePost, -1, now)
	before := c.Start
	for i, stone := range c.Milestones {
		if way := stone.Date.Since(before); c.Midway && way >= midwayFrom {
			add(MidwayPost, i, day(before.Add(way/2)))
		}
		add(MilestonePost, i, day(stone.Date))
		made := day(stone.Date.Add(-eventBefore))
		if made.Before(now) {
			made = now
		}
		if c.Event && c.Quiet.After(made, zone).Before(day(stone.Date)) {
			add(EventPost, i, made)
		}
		add(HostNote, i, day(stone.Date.Add(helpAfter)))
		before = stone.Date
	}
	if len(c.Milestones) > 0 {
		add(FarewellPost, -1, day(before.Add(farewellAfter)))
		add(HostNote, -1, day(before.Add(farewellAfter)))
	}
	return list
}

// ending is the posts of a make-along that is being closed: a farewell, where
// none was sent, and a note of what was asked since the last one.
func (m MakeAlong) ending(now time.Time, had []Post) []Post {
	m.State = AlongClosed
	due := m.Course.Quiet.After(now, m.zone()).UTC()
	list := append(m.posts(now, had), Post{Along: m.ID, Key: postKey(HostNote, -1), Kind: HostNote, Milestone: -1, State: PostPlanned, Due: due, To: m.Host})
	if !farewellTold(had) {
		list = append(list, Post{Along: m.ID, Key: postKey(FarewellPost, -1), Kind: FarewellPost, Milestone: -1, State: PostPlanned, Due: due})
	}
	return list
}

// eventsLeft says of how many milestones the server's own event was made before
// their dates moved; empty: of none. It is for a host to move those.
func (m MakeAlong) eventsLeft(was MakeAlong, had []Post) words.Message {
	n := 0
	for _, p := range had {
		if i := p.Milestone; p.Kind == EventPost && p.State == PostSent && i < len(m.Course.Milestones) && i < len(was.Course.Milestones) && m.Course.Milestones[i].Date != was.Course.Milestones[i].Date {
			n++
		}
	}
	switch n {
	case 0:
		return words.Message{}
	case 1:
		return words.Say("One of the server's own events was made for the date before; please move that one yourself.")
	}
	return words.Say("%d of the server's own events were made for the dates before; please move those yourself.", n)
}

// farewellTold reports whether the farewell was taken up.
func farewellTold(had []Post) bool {
	return slices.ContainsFunc(had, func(p Post) bool { return p.Kind == FarewellPost && p.State != PostPlanned })
}

// restsFrom is the day from which a make-along that rests, or is to rest,
// posts nothing: that of the first post that is late, where one is.
func (m MakeAlong) restsFrom(now time.Time, had []Post) schedule.Date {
	if !m.Course.PausedOn.IsZero() {
		return m.Course.PausedOn
	}
	first := now
	for _, p := range had {
		if p.State == PostPlanned && p.Due.Before(first) {
			first = p.Due
		}
	}
	return schedule.DateOf(first, m.zone())
}

// rested is the make-along at rest.
func (m MakeAlong) rested(now time.Time, had []Post) (MakeAlong, []Post) {
	m.Course.PausedOn = m.restsFrom(now, had)
	m.State = AlongPaused
	return m, m.posts(now, had)
}

// resumed is the make-along going on. All dates that are left move by as many
// days as it rested, unless they are to be kept; then what fell due meanwhile
// is due now.
func (m MakeAlong) resumed(now time.Time, had []Post, keep bool) (on MakeAlong, posts []Post, days int) {
	since := m.restsFrom(now, had)
	m.State, m.Course.PausedOn = AlongOpen, schedule.Date{}
	if !keep {
		days = max(0, m.today(now).Since(since))
		m.Course = m.Course.shifted(since, settled(had), days)
	}
	return m, m.posts(now, m.missed(since, had)), days
}

// shifted is a course whose milestones from a place on, and from a day on, are
// so many days later.
func (c Course) shifted(since schedule.Date, from, days int) Course {
	c.Milestones = slices.Clone(c.Milestones)
	for i := range c.Milestones {
		if i >= from && !c.Milestones[i].Date.Before(since) {
			c.Milestones[i].Date = c.Milestones[i].Date.Add(days)
		}
	}
	if from == 0 && !c.Start.Before(since) {
		c.Start = c.Start.Add(days)
	}
	return c
}

// missed are the posts as they are kept, with those that fell due while the
// make-along rested, as if they had been planned all the time.
func (m MakeAlong) missed(since schedule.Date, had []Post) []Post {
	out := slices.Clone(had)
	for _, p := range m.posts(schedule.At(since, 0, m.zone()), had) {
		if !slices.ContainsFunc(had, func(o Post) bool { return o.Key == p.Key }) {
			out = append(out, p)
		}
	}
	return out
}

// settled is how many milestones can't be moved any more: those up to the last
// of which a post was taken up. What comes after can still be changed.
func settled(had []Post) int {
	n := 0
	for _, p := range had {
		if (p.Kind == MilestonePost || strings.HasPrefix(p.Key, helpKey)) && p.State != PostPlanned {
			n = max(n, p.Milestone+1)
		}
	}
	return n
}

// begun is how many milestones must keep their places: besides the settled
// ones, one of which the note halfway was taken up.
func begun(had []Post) int {
	n := settled(had)
	for _, p := range had {
		if (p.Kind == MidwayPost || p.Kind == EventPost) && p.State != PostPlanned {
			n = max(n, p.Milestone+1)
		}
	}
	return n
}
