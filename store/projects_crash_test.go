package store

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"
)

// killsVar raises the number of kills, for a longer trial than every test run
// can afford.
const killsVar = "COUNTWRIGHT_STORE_KILLS"

// childCounts counts rows from two devices at once and prints the row after
// each was acknowledged, until it is killed.
func childCounts(path string) {
	s, err := Open(context.Background(), Options{Path: path})
	if err != nil {
		childFails(err)
	}
	list, err := s.Projects(context.Background(), "ines")
	if err != nil || len(list) != 1 {
		childFails(fmt.Errorf("%d projects: %w", len(list), err))
	}
	fmt.Println("ready")
	for device := range 2 {
		go func() {
			for i := 0; ; i++ {
				b := By{Member: "ines", Key: fmt.Sprint(os.Getpid(), device, "-", i)}
				_, made, err := s.MoveRows(context.Background(), b, list[0].ID, Step{Piece: -1, By: 1})
				if err != nil {
					childFails(err)
				}
				fmt.Println(made[0].Done)
			}
		}()
	}
	select {}
}

// Whoever was told "row 34 saved" finds row 34 after the process was killed.
func TestKilledCounterLosesNoRow(t *testing.T) {
	kills := 20
	if n, err := strconv.Atoi(os.Getenv(killsVar)); err == nil {
		kills = n
	}
	if testing.Short() {
		kills = 3
	}
	path := place(t)
	s := must[*Store](t)(Open(t.Context(), Options{Path: path}))
	p := start(t, s, "ines", "Tide shawl", 900_000)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	told := 0
	for range kills {
		after := time.Duration(rand.IntN(40_000)) * time.Microsecond
		for _, line := range killedAfter(t, path, "count", after) {
			told = max(told, must[int](t)(strconv.Atoi(line)))
		}
		s := must[*Store](t)(Open(t.Context(), Options{Path: path}))
		if err := s.Check(t.Context()); err != nil {
			t.Fatal(err)
		}
		w := must[ProjectWhole](t)(s.ProjectWhole(t.Context(), "ines", p.ID))
		last := append([]Move{{}}, w.Moved...)[len(w.Moved)]
		if w.Done[0] < told || last.Done != w.Done[0] || last.Seq != w.Moves || len(w.Moved) != w.Moves {
			t.Fatalf("row %d was told; %d are done in %d moves, the last %+v", told, w.Done[0], len(w.Moved), last)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if w.Moves > MaxMoves/2 {
			break // a trial so long would come to the limit
		}
	}
	if told < kills {
		t.Errorf("only %d rows told in %d lives: the test shows nothing", told, kills)
	}
	t.Logf("%d kills, %d rows told", kills, told)
}
