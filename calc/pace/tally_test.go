package pace

import (
	"errors"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var monday = time.Date(2031, time.March, 3, 21, 0, 0, 0, time.UTC)

func scarf(t testing.TB, copies int) Plan {
	t.Helper()
	p, err := Free("Scarf", 40, 30, copies)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestTally(t *testing.T) {
	day := func(n int) time.Time { return monday.AddDate(0, 0, n) }
	moves := []Move{
		{At: day(0), From: 0, To: 10, Minutes: 60},
		{At: day(0), From: 10, To: 8},                           // frogged
		{At: day(2), From: 8, To: 28},                           // a slip of the thumb…
		{At: day(2), From: 28, To: 8, Undoes: 3},                // …taken back
		{At: day(2), From: 8, To: 18, Minutes: 30},              //
		{At: day(3), Piece: 1},                                  // turned to the second
		{At: day(4), Piece: 1, From: 0, To: 40, Minutes: 90},    //
		{At: day(5), Piece: 1, From: 40, To: 0, Undoes: 7},      // all of it taken back
		{At: day(33), Piece: 1, From: 0, To: 2, Minutes: 10},    // a month later
		{At: day(33), Piece: 0, From: 18, To: 18, Minutes: 5},   // time only
		{At: day(33), Piece: 1, From: 2, To: 2, Minutes: 0},     //
		{At: day(34), Piece: 1, From: 2, To: 2, Undoes: 11},     //
		{At: day(34), Piece: 0, From: 18, To: 18, Undoes: 10},   //
		{At: day(34), Piece: 1, From: 2, To: 0, Undoes: 9},      //
		{At: day(35), Piece: 1, From: 0, To: 3, Minutes: 20},    //
		{At: day(35), Piece: 0, From: 18, To: 40, Minutes: 100}, // the first is done
	}
	got, err := scarf(t, 2).Tally(moves, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	// by hand: 30 stitches a row; what was taken back never happened
	first := DayOf(monday, time.UTC)
	want := []Day{
		{Day: first, Worked: 300, Frogged: 60, Minutes: 60},
		{Day: first + 2, Worked: 300, Minutes: 30},
		{Day: first + 35, Worked: 90 + 660, Minutes: 120},
	}
	if !slices.Equal(got.Days, want) {
		t.Errorf("days %+v, want %+v", got.Days, want)
	}
	if !slices.Equal(got.Done, []int{40, 3}) || got.Piece != 0 || got.Rows != 43 || got.AllRows != 80 || got.Stitches != 1290 || got.All != 2400 || got.PiecesDone != 1 || got.Minutes != 210 || got.Undoable != 6 {
		t.Errorf("tally %+v", got)
	}
	if got.Share() != 1290./2400 {
		t.Errorf("share %v", got.Share())
	}
	if next, ok := got.Next(scarf(t, 2).Pieces()); next != 1 || !ok {
		t.Errorf("next is %d %t", next, ok)
	}
	if n := scarf(t, 2).Before(moves, 3); n != 28*30 {
		t.Errorf("after 3 moves %d stitches were done", n)
	}
}

// Days are those of where the maker is.
func TestDayOfAPlace(t *testing.T) {
	auckland, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		t.Skip("no time zones here")
	}
	if a, b := DayOf(monday, time.UTC), DayOf(monday, auckland); b != a+1 {
		t.Errorf("21:00 UTC is day %d, in Auckland %d", a, b)
	}
	if got := (Day{Day: DayOf(monday, time.UTC)}).Date(); !got.Equal(monday.Truncate(24 * time.Hour)) {
		t.Errorf("date %v", got)
	}
}

func TestMovesThatDoNotFollow(t *testing.T) {
	for name, moves := range map[string][]Move{
		"no such piece":      {{Piece: 2, To: 1}},
		"not where it was":   {{From: 1, To: 2}},
		"beyond the end":     {{To: 41}},
		"below nothing":      {{To: -1}},
		"undoes the future":  {{To: 1}, {From: 1, To: 0, Undoes: 2}},
		"undoes twice":       {{To: 1}, {From: 1, To: 0, Undoes: 1}, {From: 0, To: 0, Undoes: 1}},
		"undoes out of time": {{To: 1, Undoes: -1}},
	} {
		var wrong *MoveError
		if _, err := scarf(t, 2).Tally(moves, time.UTC); !errors.As(err, &wrong) || wrong.Error() == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Stitches worked less stitches frogged are those that are done, whatever the
// story; undoing everything leaves nothing.
func TestTallyBalances(t *testing.T) {
	plan := scarf(t, 3)
	pieces := plan.Pieces()
	rapid.Check(t, func(t *rapid.T) {
		var moves []Move
		var stands []int // numbers of moves that stand
		done := make([]int, len(pieces))
		at := monday
		for range rapid.IntRange(0, 60).Draw(t, "moves") {
			at = at.Add(time.Duration(rapid.IntRange(0, 50).Draw(t, "hours")) * time.Hour)
			if n := len(stands); n > 0 && rapid.IntRange(0, 3).Draw(t, "undo") == 0 {
				last := moves[stands[n-1]-1]
				moves = append(moves, Move{At: at, Piece: last.Piece, From: last.To, To: last.From, Undoes: stands[n-1], Minutes: -last.Minutes})
				done[last.Piece], stands = last.From, stands[:n-1]
				continue
			}
			m := Move{At: at, Piece: rapid.IntRange(0, 2).Draw(t, "piece"), Minutes: rapid.IntRange(0, 90).Draw(t, "minutes")}
			m.From, m.To = done[m.Piece], rapid.IntRange(0, 40).Draw(t, "to")
			done[m.Piece] = m.To
			moves = append(moves, m)
			stands = append(stands, len(moves))
		}
		tally, err := plan.Tally(moves, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		worked := 0
		for i, d := range tally.Days {
			worked += d.Worked - d.Frogged
			if i > 0 && d.Day <= tally.Days[i-1].Day {
				t.Fatalf("days out of order: %+v", tally.Days)
			}
		}
		if worked != tally.Stitches || !slices.Equal(tally.Done, done) || tally.Undoable != len(stands) {
			t.Fatalf("%d stitches by days, %+v; done %v", worked, tally, done)
		}
		if plan.Before(moves, len(moves)) != tally.Stitches {
			t.Fatalf("before all moves %d, tally %d", plan.Before(moves, len(moves)), tally.Stitches)
		}
	})
}
