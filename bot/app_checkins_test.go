package main

import (
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// live is an App on a stand-in of the chat service, with a clock that can be
// moved.
type live struct {
	t    *testing.T
	app  *App
	fake *loopback.Service
	at   *atomic.Int64
	stop func()
}

// goLive opens the App on a folder. Its sweeps run when they are told to.
func goLive(t *testing.T, folder string, fake *loopback.Service, at *atomic.Int64) *live {
	t.Helper()
	config := defaults()
	config.Token, config.Database, config.Backup.Folder = loopback.Token, filepath.Join(folder, "countwright.db"), ""
	clock := func() time.Time { return time.Unix(at.Load(), 0).UTC() }
	fake.Now = clock
	app := &App{Config: config, Transport: fake.Transport(), Now: clock}
	return &live{t: t, app: app, fake: fake, at: at, stop: running(t, app, fake)}
}

// tick runs all that is scheduled, as the minute does.
func (l *live) tick() {
	for _, job := range l.app.jobs.cron.Entries() {
		job.WrappedJob.Run()
	}
}

// pass moves the clock an hour at a time.
func (l *live) pass(d time.Duration) {
	for ; d > 0; d -= time.Hour {
		l.at.Add(3600)
		l.tick()
	}
}

// says asks and returns what is shown.
func (l *live) says(ask loopback.Ask, parts ...string) *loopback.Message {
	l.t.Helper()
	m := l.fake.Ask(ask).Shown()
	for _, part := range parts {
		if !strings.Contains(m.Content, part) {
			l.t.Fatalf("%+v\nwas answered without %q:\n%s", ask, part, m.Content)
		}
	}
	return m
}

// button is the custom id of the button whose line has these words in it.
func (l *live) button(m *loopback.Message, words string) string {
	l.t.Helper()
	for _, id := range m.Buttons() {
		if strings.Contains(id, words) {
			return id
		}
	}
	l.t.Fatalf("no button with %q among %q", words, m.Buttons())
	return ""
}

// titles are the first lines of the posts in the channel.
func (l *live) titles() (lines []string) {
	for _, p := range l.fake.Posts(loopback.Channel) {
		line, _, _ := strings.Cut(strings.TrimPrefix(p.Content, "### "), "\n")
		lines = append(lines, line)
	}
	return lines
}

const (
	hostID = "300000000000000009"
	miraID = "300000000000000001"
	bramID = "300000000000000002"
)

// TestMakeAlongFromStartToEnd goes the whole way through a real session of the
// library: a host prepares and opens a make-along, members join, check-ins
// come when they are due, answers are tapped, the board shows them, a restart
// repeats nothing, and a channel that is gone is told to the host.
func TestMakeAlongFromStartToEnd(t *testing.T) {
	folder, fake := t.TempDir(), loopback.Start(t)
	at := &atomic.Int64{}
	at.Store(morning.Unix())
	l := goLive(t, folder, fake, at)
	host := func(a loopback.Ask) loopback.Ask {
		a.Member, a.Name, a.Permissions = hostID, "Odile", 1<<33
		return a
	}
	draft := l.says(host(loopback.Ask{Path: "makealong create", Options: map[string]string{"name": "Harbour", "pattern": "cardigan", "start": "2027-01-10", "zone": "Europe/Lisbon"}}), "Harbour")
	l.tick()
	if posts := l.titles(); len(posts) > 0 {
		t.Fatalf("a draft posts: %q", posts)
	}
	l.says(host(loopback.Ask{Button: l.button(draft, "makealong open")}))
	l.pass(time.Hour)
	if posts := l.titles(); len(posts) != 1 || posts[0] != "Harbour" {
		t.Fatalf("after opening there is %q", posts)
	}
	for member, options := range map[string]map[string]string{
		miraID: {"size": "woman L", "gauge": "14x10", "pings": "yes", "named": "yes"}, bramID: {"size": "woman M", "gauge": "15x11"},
	} {
		l.says(loopback.Ask{Path: "makealong join", Options: options, Member: member}, "Harbour")
	}
	l.pass(14 * 24 * time.Hour)
	first := "Harbour, 1 of 7: The hem and body of the back"
	checked := fake.Posts(loopback.Channel)[slices.Index(l.titles(), first)]
	if pings := checked.Pings(); !slices.Equal(pings, []string{miraID}) {
		t.Errorf("the first check-in pings %v", pings)
	}
	l.says(loopback.Ask{Button: l.button(checked.Message, `say:need`), Member: bramID})
	l.says(loopback.Ask{Button: l.button(checked.Message, `say:done`), Member: miraID})
	l.says(loopback.Ask{Path: "makealong board", Member: miraID}, "Harbour")
	l.stop()

	l = goLive(t, folder, fake, at)
	l.tick()
	l.pass(4 * 24 * time.Hour)
	counts := map[string]int{}
	for _, title := range l.titles() {
		counts[title]++
	}
	if counts[first] != 1 {
		t.Errorf("the first check-in was told %d times: %q", counts[first], l.titles())
	}
	notes := fake.Direct(hostID)
	if len(notes) != 1 || !strings.Contains(notes[0].Content, "One person would like help") || len(notes[0].Pings()) > 0 {
		t.Errorf("the host was told %d notes", len(notes))
	}

	before := len(l.titles())
	fake.Refuse(loopback.Channel, loopback.Deleted)
	l.pass(10 * 24 * time.Hour)
	if notes = fake.Direct(hostID); len(notes) != 2 || !strings.Contains(notes[1].Content, "can't post in the channel") {
		t.Errorf("of the channel that is gone the host was told in %d notes", len(notes)-1)
	}
	fake.Refuse(loopback.Channel, loopback.Refusal{})
	l.pass(10 * 24 * time.Hour)
	if after := len(l.titles()); after != before {
		t.Errorf("%d posts came while it was blocked", after-before)
	}
	l.stop()
}

// TestServersThatRemovedTheBotAreForgotten after a month, unless it is back.
func TestServersThatRemovedTheBotAreForgotten(t *testing.T) {
	at := &atomic.Int64{}
	at.Store(morning.Unix())
	l := goLive(t, t.TempDir(), loopback.Start(t), at)
	defer l.stop()
	host := loopback.Ask{Member: hostID, Permissions: 1 << 33}
	create, list := host, host
	create.Path, create.Options = "makealong create", map[string]string{"name": "Harbour", "pattern": "cardigan", "start": "2027-01-10", "zone": "Europe/Lisbon"}
	list.Path = "makealong list"
	l.says(create, "Harbour")
	told := func(in bool) {
		t.Helper()
		l.fake.Belongs(loopback.Server, in)
		l.says(list) // events are taken one after the other
		time.Sleep(50 * time.Millisecond)
	}
	told(false)
	l.at.Add(20 * 24 * 3600)
	told(true)
	l.at.Add(20 * 24 * 3600)
	l.tick()
	l.says(list, "Harbour")
	told(false)
	l.at.Add(29 * 24 * 3600)
	l.tick()
	l.says(list, "Harbour")
	l.at.Add(2 * 24 * 3600)
	l.tick()
	if m := l.says(list); strings.Contains(m.Content, "Harbour") {
		t.Errorf("it is still there:\n%s", m.Content)
	}
}
