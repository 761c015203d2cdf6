package pace

import (
	"fmt"
	"time"
)

// Move is one telling of how far a piece has come. A move to the rows that were
// done already turns to another piece.
type Move struct {
	At       time.Time
	Piece    int // index into Plan.Pieces
	From, To int // rows done before and after
	Undoes   int // the number, from 1, of the move that this one takes back; 0: none
	Minutes  int // time worked, where told
}

// Day is what was done on one day.
type Day struct {
	Day     int // days since 1 January 1970, where the maker is
	Worked  int // stitches
	Frogged int // stitches pulled out again
	Minutes int
}

// Date is the day's date.
func (d Day) Date() time.Time { return DateOf(d.Day) }

// DayOf numbers the day of a moment at a place.
func DayOf(at time.Time, where *time.Location) int {
	y, m, d := at.In(where).Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// DateOf is the date of a numbered day, at midnight UTC.
func DateOf(day int) time.Time { return time.Unix(int64(day)*86400, 0).UTC() }

// Tally is the account of a piece of work.
type Tally struct {
	Done       []int // rows done of each piece
	Piece      int   // the piece at work
	Rows       int   // done, of all pieces
	AllRows    int
	Stitches   int // done
	All        int // stitches of the whole
	PiecesDone int
	Days       []Day // those with work, in order; days without are left out
	Minutes    int
	Undoable   int // moves that can still be taken back
}

// MoveError says which move does not follow from those before it.
type MoveError struct {
	Move  int // from 1
	Wrong string
}

func (e *MoveError) Error() string { return fmt.Sprintf("move %d: %s", e.Move, e.Wrong) }

// Tally works the moves through. What was undone never happened; what was
// frogged was worked all the same. Days are those of the maker's place. A move
// that does not follow from those before it is a *MoveError.
func (p Plan) Tally(moves []Move, where *time.Location) (Tally, error) {
	pieces := p.Pieces()
	stands, err := standing(pieces, moves)
	if err != nil {
		return Tally{}, err
	}
	t := Tally{Done: make([]int, len(pieces))}
	days := map[int]*Day{}
	first, last := 0, 0
	for i, m := range moves {
		if !stands[i] {
			continue
		}
		t.Undoable++
		t.Done[m.Piece], t.Piece = m.To, m.Piece
		day := DayOf(m.At, where)
		if days[day] == nil {
			days[day] = &Day{Day: day}
			if len(days) == 1 {
				first, last = day, day
			}
			first, last = min(first, day), max(last, day)
		}
		d := days[day]
		d.Minutes += m.Minutes
		t.Minutes += m.Minutes
		switch moved := pieces[m.Piece].Stitches(m.To) - pieces[m.Piece].Stitches(m.From); {
		case moved > 0:
			d.Worked += moved
		default:
			d.Frogged -= moved
		}
	}
	for day := first; day <= last; day++ {
		if d := days[day]; d != nil && d.Worked+d.Frogged+d.Minutes != 0 {
			t.Days = append(t.Days, *d)
		}
	}
	t.sum(pieces)
	return t, nil
}

// Before is the stitches that were done after the first n moves.
func (p Plan) Before(moves []Move, n int) int {
	pieces := p.Pieces()
	done := make([]int, len(pieces))
	for _, m := range moves[:min(max(n, 0), len(moves))] {
		if m.Piece >= 0 && m.Piece < len(pieces) {
			done[m.Piece] = m.To
		}
	}
	sum := 0
	for i, piece := range pieces {
		sum += piece.Stitches(done[i])
	}
	return sum
}

// standing tells which moves stand: those neither taken back nor taking back.
func standing(pieces []Piece, moves []Move) ([]bool, error) {
	stands := make([]bool, len(moves))
	done := make([]int, len(pieces))
	for i, m := range moves {
		switch {
		case m.Piece < 0 || m.Piece >= len(pieces):
			return nil, &MoveError{i + 1, fmt.Sprintf("there is no piece %d", m.Piece)}
		case m.From != done[m.Piece]:
			return nil, &MoveError{i + 1, fmt.Sprintf("%d rows were done, not %d", done[m.Piece], m.From)}
		case m.To < 0 || m.To > len(pieces[m.Piece].Rows):
			return nil, &MoveError{i + 1, fmt.Sprintf("the piece has no row %d", m.To)}
		case m.Undoes > i || m.Undoes < 0 || m.Undoes > 0 && !stands[m.Undoes-1]:
			return nil, &MoveError{i + 1, fmt.Sprintf("move %d can't be undone", m.Undoes)}
		}
		done[m.Piece] = m.To
		if stands[i] = m.Undoes == 0; !stands[i] {
			stands[m.Undoes-1] = false
		}
	}
	return stands, nil
}

func (t *Tally) sum(pieces []Piece) {
	for i, piece := range pieces {
		t.Rows += t.Done[i]
		t.AllRows += len(piece.Rows)
		t.Stitches += piece.Stitches(t.Done[i])
		t.All += piece.Stitches(len(piece.Rows))
		if t.Done[i] == len(piece.Rows) {
			t.PiecesDone++
		}
	}
}

// Share is how far the whole is by stitches, from 0 to 1.
func (t Tally) Share() float64 {
	if t.All == 0 {
		return 0
	}
	return float64(t.Stitches) / float64(t.All)
}

// Next is the piece to go on with: the one at work, or where that is done the
// first after it that is not, and then the first at all; false where all are
// done.
func (t Tally) Next(pieces []Piece) (int, bool) {
	for i := range pieces {
		at := (t.Piece + i) % len(pieces)
		if t.Done[at] < len(pieces[at].Rows) {
			return at, true
		}
	}
	return t.Piece, false
}
