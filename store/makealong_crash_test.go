package store

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// The kill test has a folder. In it, the database's place is told; it may be on
// a server.
func placeOf(folder string) string { return filepath.Join(folder, "place") }

// A channel of the kill test is a file: what was written to it stays, whoever
// is killed. A line is a nonce and the key of the post.
func channelOf(folder string) string { return filepath.Join(folder, "channel") }

// lifeOf is a file that tells how many lives went before. Each begins an hour
// later than the one before, so that no lease outlives the one who took it.
func lifeOf(folder string) string { return filepath.Join(folder, "life") }

func openLife(folder string) (*Store, func() time.Time, error) {
	text, err := os.ReadFile(lifeOf(folder))
	if err != nil {
		return nil, nil, err
	}
	path, err := os.ReadFile(placeOf(folder))
	if err != nil {
		return nil, nil, err
	}
	life, err := strconv.Atoi(string(text))
	if err != nil {
		return nil, nil, err
	}
	now := func() time.Time { return time.Now().Add(time.Duration(life) * time.Hour) }
	s, err := Open(context.Background(), Options{Path: string(path), Now: now})
	return s, now, err
}

const lifeLease = 50 * time.Minute

// childSweeps runs sweeps at once that take posts, write them to the channel
// and mark them, until it is killed. What was tried before they look for first.
func childSweeps(folder string) {
	ctx := context.Background()
	s, now, err := openLife(folder)
	if err != nil {
		childFails(err)
	}
	channel, err := os.OpenFile(channelOf(folder), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		childFails(err)
	}
	fmt.Println("ready")
	for worker := range 8 {
		who := fmt.Sprint(os.Getpid(), "-", worker)
		go func() {
			for {
				taken, err := s.TakeDue(ctx, who, lifeLease, 4)
				if err != nil {
					childFails(err)
				}
				for _, p := range taken {
					if err := sweepOne(ctx, s, who, channel, now, p); err != nil {
						childFails(err)
					}
				}
			}
		}()
	}
	select {}
}

func sweepOne(ctx context.Context, s *Store, who string, channel *os.File, now func() time.Time, p TakenPost) error {
	text, err := os.ReadFile(channel.Name())
	if err != nil {
		return err
	}
	if p.Attempts == 1 || !strings.Contains(string(text), p.Nonce) {
		line := p.Nonce
		for _, told := range append([]Post{p.Post}, p.Merged...) {
			line += fmt.Sprintf(" %d:%s", p.Along, told.Key)
		}
		if _, err := channel.WriteString(line + "\n"); err != nil {
			return err
		}
	}
	if rand.IntN(20) == 0 { // the service gave no answer
		return s.PutOff(ctx, who, p.ID, now().Add(time.Millisecond), true)
	}
	return s.SentPost(ctx, who, p.ID, "message", now())
}

// However often the sweeps are killed, each post is in the channel once. Two
// programs sweep at once; one is killed in the middle of the other's work.
func TestKilledSweepsTellEachPostOnce(t *testing.T) {
	kills, alongs, each := 15, 60, 12
	if testing.Short() {
		kills = 3
	}
	ctx := t.Context()
	folder, path := t.TempDir(), place(t)
	if err := os.WriteFile(placeOf(folder), []byte(path), 0o600); err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	s := must[*Store](t)(Open(ctx, Options{Path: path}))
	for i := range alongs {
		m := addAlong(t, s, "odile", "harbour", fmt.Sprint("Socks ", i))
		posts := []Post{{Key: "farewell", Kind: "farewell", Milestone: -1, Due: began.Add(time.Duration(each) * time.Hour)}}
		for n := range each {
			kind := []string{"milestone", "midway", "event", "host"}[n%4]
			posts = append(posts, Post{Key: fmt.Sprint(kind, "/", n), Kind: kind, Milestone: n, Due: began.Add(time.Duration(n)*time.Hour + time.Duration(i)*time.Millisecond)})
		}
		inState(t, s, m, AlongOpen, posts...)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	nextLife := func(life int) {
		if err := os.WriteFile(lifeOf(folder), []byte(strconv.Itoa(life)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for life := range kills {
		nextLife(life)
		var both sync.WaitGroup
		for range 2 {
			both.Go(func() { killedAfter(t, folder, "sweep", time.Duration(rand.IntN(120_000))*time.Microsecond) })
		}
		both.Wait()
	}
	nextLife(max(kills, each+1))
	s, now, err := openLife(folder)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	channel := must[*os.File](t)(os.OpenFile(channelOf(folder), os.O_APPEND|os.O_WRONLY, 0))
	defer channel.Close()
	var wg sync.WaitGroup
	for worker := range 4 { // whoever comes last finds what is left
		wg.Go(func() {
			who := fmt.Sprint("last-", worker)
			for left := 1; left > 0; {
				taken, err := s.TakeDue(ctx, who, lifeLease, 5)
				for _, p := range taken {
					if err == nil {
						err = sweepOne(ctx, s, who, channel, now, p)
					}
				}
				if err == nil {
					err = s.readers.QueryRow(`SELECT count(*) FROM makealong_posts WHERE state IN ('planned', 'taken')`).Scan(&left)
				}
				if err != nil {
					t.Error(err)
					return
				}
				time.Sleep(time.Millisecond)
			}
		})
	}
	wg.Wait()
	told := map[string]int{}
	for _, line := range strings.Split(strings.TrimSpace(string(must[[]byte](t)(os.ReadFile(channelOf(folder))))), "\n") {
		for _, post := range strings.Fields(line)[1:] {
			told[post]++
		}
	}
	for post, n := range told {
		if n != 1 {
			t.Errorf("post %s was told %d times", post, n)
		}
	}
	if want := alongs * (each + 1); len(told) != want {
		t.Errorf("%d posts were told, want %d", len(told), want)
	}
	var retried int
	if err := s.readers.QueryRow(`SELECT count(*) FROM makealong_posts WHERE attempts > 1`).Scan(&retried); err != nil {
		t.Fatal(err)
	}
	if retried == 0 && !testing.Short() {
		t.Error("nothing was tried twice: the test shows nothing")
	}
	t.Logf("%d kills, %d posts told, %d of them after a try before", kills, len(told), retried)
}
