package main

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// faultsVar names how many faults the test below goes through; a day with one
// each minute has 1440.
const faultsVar = "COUNTWRIGHT_FAULTS"

// members of the test, who press for one more row all the time.
const pressing = 6

// A day of faults: the connection is cut, sent away, invalidated; answers meet
// errors of the service; the program is stopped and started, all while members
// press for one more row. What was answered is counted, and nothing twice. A
// press that comes to a busy machine too late is left alone, not answered when
// the member was told that it failed.
func TestFaultAfterFault(t *testing.T) {
	faults := 8
	if n, err := strconv.Atoi(os.Getenv(faultsVar)); err == nil {
		faults = n
	}
	d := &ordeal{T: t, fake: loopback.Start(t), place: filepath.Join(t.TempDir(), "countwright.db")}
	var trouble atomic.Int32 // of the next answers
	d.fake.Reply = func(w http.ResponseWriter, r *http.Request) bool {
		if !strings.HasSuffix(r.URL.Path, "/callback") || trouble.Add(-1) < 0 {
			return false
		}
		w.WriteHeader(http.StatusServiceUnavailable)
		return true
	}
	d.start()
	for m := range pressing {
		if !d.answered(d.ask(m, "project start", map[string]string{"name": "Scarf", "rows": "15000", "stitches": "30"}), time.Now().Add(time.Minute)) {
			t.Fatal("no project")
		}
	}
	connection := []func(){
		func() { d.fake.Drop() },
		func() { d.fake.Reconnect() },
		func() { d.fake.Close(4000) },
		func() { d.fake.Close(4009); d.fake.Offline() }, // begins a new session: what came in between is lost
		func() { d.fake.Send(9, "true") },
	}
	// Between two faults of the connection the program starts anew, as it waits
	// ever longer before it connects again where connections break at once.
	kinds := []func(){
		func() { connection[rand.IntN(len(connection))]() },
		func() { trouble.Store(int32(1 + rand.IntN(2))) },
		func() { d.stop(); d.start() },
	}
	var pressed, told [pressing]int
	for n := range faults {
		var answers [pressing][]*loopback.Answer
		press := func() {
			for m := range pressing {
				answers[m] = append(answers[m], d.ask(m, "project row", map[string]string{"n": "+1"}))
				pressed[m]++
			}
		}
		press() // is under way while the fault comes
		kinds[n%len(kinds)]()
		d.fake.Online()
		press()
		late := time.Now().Add(4 * time.Second)
		for m := range pressing {
			for _, a := range answers[m] {
				if d.answered(a, late) {
					told[m]++
				}
			}
		}
	}
	all, answered := 0, 0
	for m := range pressing {
		list, err := d.app.store.Projects(t.Context(), memberID(m))
		if err != nil || len(list) != 1 || list[0].Done[0] < told[m] || list[0].Done[0] > pressed[m] || list[0].Moves != list[0].Done[0] {
			t.Errorf("member %d pressed %d times and was told of %d; counted are %+v %v", m, pressed[m], told[m], list, err)
		}
		all, answered = all+pressed[m], answered+told[m]
	}
	d.stop()
	for _, broken := range d.fake.Broken() {
		if !strings.Contains(broken, "first answered after") {
			t.Error(broken)
		}
	}
	t.Logf("%d faults, %d presses, %d of them answered", faults, all, answered)
	if answered == 0 {
		t.Error("none was answered: the test shows nothing")
	}
}

func memberID(m int) string { return fmt.Sprint(300000000000000100 + m) }

// ordeal is an App that goes through faults.
type ordeal struct {
	*testing.T
	fake  *loopback.Service
	place string // of its database
	app   *App
	end   func()
}

func (d *ordeal) start() {
	d.Helper()
	config := defaults()
	config.Token, config.Database, config.Backup.Folder = loopback.Token, d.place, ""
	d.app = &App{Config: config, Transport: d.fake.Transport()}
	d.end = running(d.T, d.app, d.fake)
}

// stop stops the program as SIGTERM does.
func (d *ordeal) stop() {
	d.Helper()
	d.end()
	d.fake.Offline()
}

func (d *ordeal) ask(member int, path string, options map[string]string) *loopback.Answer {
	d.Helper()
	return d.fake.Ask(loopback.Ask{Path: path, Options: options, Member: memberID(member)})
}

// answered tells whether a member got an answer by then that says that it is
// saved.
func (d *ordeal) answered(a *loopback.Answer, by time.Time) bool {
	d.Helper()
	select {
	case <-a.Done():
	case <-time.After(time.Until(by)):
		return false
	}
	if text := a.Shown().Content; !strings.Contains(text, "Saved") && !strings.Contains(text, "Started") {
		if !strings.Contains(text, "try again in a moment") { // it was about to stop
			d.Errorf("answered: %s", text)
		}
		return false
	}
	return true
}
