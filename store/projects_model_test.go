package store

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// counted is what the state machine expects of one project: the whole story
// as a stack of states.
type counted struct {
	s     *Store
	id    int64
	keys  int
	limit []int
	was   []state // the state after each standing move, the first one before all
}

type state struct {
	done  []int
	piece int
}

func (c *counted) now() state { return c.was[len(c.was)-1] }

func (c *counted) by() By {
	c.keys++
	return By{Member: "ines", Key: fmt.Sprint("key", c.keys)}
}

func (c *counted) row(t *rapid.T) {
	step := Step{
		Piece: rapid.IntRange(-1, len(c.limit)-1).Draw(t, "piece"),
		By:    rapid.IntRange(-8, 12).Draw(t, "by"),
		Exact: rapid.Bool().Draw(t, "exact"),
	}
	next := state{slices.Clone(c.now().done), step.Piece}
	if step.Piece < 0 {
		next.piece = c.now().piece
	}
	limit := c.limit[next.piece]
	next.done[next.piece] = min(max(next.done[next.piece]+step.By, 0), limit)
	if step.Exact {
		step.To = rapid.IntRange(0, limit+1).Draw(t, "to")
		next.done[next.piece] = step.To
	}
	b := c.by()
	for range rapid.IntRange(1, 3).Draw(t, "deliveries") {
		_, _, err := c.s.MoveRows(t.Context(), b, c.id, step)
		if step.Exact && step.To > limit {
			expect(t, err, ErrInvalid)
			return
		}
		expect(t, err, nil)
		if slices.Equal(next.done, c.now().done) && next.piece == c.now().piece {
			return // nothing to count, nothing to know again
		}
	}
	c.was = append(c.was, next)
}

func (c *counted) undo(t *rapid.T) {
	steps := rapid.IntRange(1, 4).Draw(t, "steps")
	b := c.by()
	possible := min(steps, len(c.was)-1)
	for range 1 + rapid.IntRange(0, possible).Draw(t, "deliveries")%2 {
		_, made, err := c.s.UndoRows(t.Context(), b, c.id, steps)
		if expect(t, err, nil); len(made) != possible {
			t.Fatalf("%d undone, want %d", len(made), possible)
		}
	}
	c.was = c.was[:len(c.was)-possible]
}

func (c *counted) check(t *rapid.T) {
	p, err := c.s.ProjectWhole(t.Context(), "ines", c.id)
	if expect(t, err, nil); !slices.Equal(p.Done, c.now().done) || p.Piece != c.now().piece {
		t.Fatalf("done %v at piece %d, want %+v", p.Done, p.Piece, c.now())
	}
	done := make([]int, len(c.limit))
	for i, m := range p.Moved { // the events alone tell the same
		if m.Seq != i+1 || m.Was != done[m.Piece] {
			t.Fatalf("move %d is %+v, but %v was done", i+1, m, done)
		}
		done[m.Piece] = m.Done
	}
	if !slices.Equal(done, p.Done) {
		t.Fatalf("the moves come to %v, the project to %v", done, p.Done)
	}
}

func TestRowsAgainstAModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := Open(t.Context(), Options{Now: (&clock{at: day}).now})
		expect(t, err, nil)
		defer s.Close()
		c := &counted{s: s, limit: []int{rapid.IntRange(1, 40).Draw(t, "rows"), 5, 17}}
		p, err := s.StartProject(t.Context(), c.by(), "Tide shawl", c.limit, shawl)
		expect(t, err, nil)
		c.id, c.was = p.ID, []state{{done: make([]int, 3)}}
		t.Repeat(map[string]func(*rapid.T){"row": c.row, "undo": c.undo, "": c.check})
	})
}
