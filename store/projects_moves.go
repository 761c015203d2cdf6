package store

import (
	"context"
	"fmt"
	"hash/fnv"
	"time"
)

// A Move is one telling of how far a piece has come.
type Move struct {
	Seq     int       `json:"seq"` // 1, 2, 3 … within its project
	At      time.Time `json:"at"`  // whole seconds
	Piece   int       `json:"piece"`
	Was     int       `json:"was"`               // rows done before
	Done    int       `json:"done"`              // rows done after; the same: the maker turned to this piece
	Undoes  int       `json:"undoes,omitempty"`  // the move that this one takes back; 0: none
	Minutes int       `json:"minutes,omitempty"` // time worked, where told
}

// A Step asks for a move.
type Step struct {
	Piece   int // from 0; -1: the piece at work
	By      int // rows on, or back where below 0; never beyond the piece's ends
	To      int // or to so many rows done, where Exact
	Exact   bool
	Minutes int // time worked; 0: not told
}

// MoveRows counts rows of a project of by.Member and returns the project after
// it and the move made; none where the piece stood at that end already. A
// paused project is being worked on again. Two steps of +1 count two; one step
// delivered twice, with one key, counts once. A piece that the project has not,
// or an exact row beyond it, is [ErrInvalid].
func (s *Store) MoveRows(ctx context.Context, by By, id int64, step Step) (Project, []Move, error) {
	return s.moved(ctx, by, "count rows", id, func(_ tx, p *Project) ([]Move, error) {
		m, err := stepped(*p, step)
		if err != nil || m.Was == m.Done && m.Piece == p.Piece && m.Minutes == 0 {
			return nil, err
		}
		p.Piece = m.Piece
		return []Move{m}, nil
	})
}

// UndoRows takes back the last moves of a project of by.Member that are not
// taken back yet, the last one first, and returns the project after it, at the
// piece that it was at then, and the moves made; fewer than asked for where
// there were fewer.
func (s *Store) UndoRows(ctx context.Context, by By, id int64, steps int) (Project, []Move, error) {
	return s.moved(ctx, by, "undo rows", id, func(t tx, p *Project) ([]Move, error) {
		var back []Move
		next := p.Moves
		for {
			m, err := standing(t, p.ID, next)
			if err != nil || m.Seq == 0 || len(back) == steps {
				p.Piece = m.Piece
				return back, err
			}
			back = append(back, Move{Piece: m.Piece, Was: m.Done, Done: m.Was, Undoes: m.Seq, Minutes: -m.Minutes})
			next = m.Seq - 1
		}
	})
}

// standing is the last move up to one that was not taken back; a move without
// a number if there is none. An undo takes back the last standing move, so all
// between the two was taken back before.
func standing(t tx, project int64, seq int) (Move, error) {
	for seq > 0 {
		m, err := scanMove(t.QueryRow(`SELECT `+moveColumns+` FROM project_moves WHERE project = ?1 AND seq = ?2`, project, seq))
		if err != nil || m.Undoes == 0 {
			return m, err
		}
		seq = m.Undoes - 1
	}
	return Move{}, nil
}

func (s *Store) moved(ctx context.Context, by By, doing string, id int64, ask func(tx, *Project) ([]Move, error)) (p Project, made []Move, err error) {
	key := moveKey(by)
	err = s.write(ctx, doing, func(t tx) (err error) {
		if err := t.own(by.Member); err != nil {
			return err
		}
		if p, made, err = movedBefore(t, by, id, key); err != nil || made != nil {
			return err
		}
		if made, err = ask(t, &p); err != nil || len(made) == 0 {
			return err
		}
		return keepMoves(t, &p, made, key)
	})
	if err != nil {
		return Project{}, nil, err
	}
	return p, made, nil
}

// movedBefore reads the project, and the moves that were made with this key: of
// this project, or of another that the member worked on within the hour.
func movedBefore(t tx, by By, id, key int64) (Project, []Move, error) {
	p, err := project(t, by.Member, id)
	if err != nil || key == 0 {
		return p, nil, err
	}
	var of int64
	err = t.QueryRow(`SELECT coalesce(max(project), 0) FROM project_moves WHERE key = ?1 AND project IN (
			SELECT CAST(?2 AS BIGINT) UNION SELECT id FROM projects WHERE member = ?3 AND changed_at >= ?4)`,
		key, id, by.Member, t.now.Add(-time.Hour).UnixMilli()).Scan(&of)
	if err != nil || of == 0 {
		return p, nil, err
	}
	rows, err := t.Query(`SELECT `+moveColumns+` FROM project_moves WHERE project = ?1 AND key = ?2 ORDER BY seq`, of, key)
	made, err := collect(rows, err, scanMove)
	if err == nil && of != id {
		p, err = project(t, by.Member, of)
	}
	return p, made, err
}

// moveKey is 48 bits of a key: enough to tell the deliveries of one project
// apart, and small. 0 is no key.
func moveKey(by By) int64 {
	if by.Key == "" {
		return 0
	}
	h := fnv.New64a()
	h.Write([]byte(by.Key))
	return 1 + int64(h.Sum64()>>17)
}

// stepped is the move that a step comes to.
func stepped(p Project, step Step) (Move, error) {
	piece := step.Piece
	if piece < 0 {
		piece = p.Piece
	}
	if piece >= len(p.Lengths) {
		return Move{}, fmt.Errorf("piece %d of %d: %w", piece, len(p.Lengths), ErrInvalid)
	}
	m := Move{Piece: piece, Was: p.Done[piece], Minutes: step.Minutes}
	m.Done = min(max(m.Was+step.By, 0), p.Lengths[piece])
	if step.Exact {
		if m.Done = step.To; step.To < 0 || step.To > p.Lengths[piece] {
			return Move{}, fmt.Errorf("row %d of %d: %w", step.To, p.Lengths[piece], ErrInvalid)
		}
	}
	return m, nil
}

func keepMoves(t tx, p *Project, made []Move, key int64) error {
	if p.Moves+len(made) > MaxMoves {
		return fmt.Errorf("%d moves are kept: %w", MaxMoves, ErrLimit)
	}
	for i := range made {
		m := &made[i]
		p.Moves++
		m.Seq, m.At = p.Moves, t.now.Truncate(time.Second)
		p.Done[m.Piece] = m.Done
		if _, err := t.Exec(`INSERT INTO project_moves (project, seq, at, piece, was, done, undoes, minutes, key)
			VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)`, p.ID, m.Seq, m.At.Unix(), m.Piece, m.Was, m.Done, m.Undoes, m.Minutes, key); err != nil {
			return err
		}
	}
	p.ChangedAt, p.State, p.FinishedAt = t.now, Working, time.Time{}
	_, err := t.Exec(`UPDATE projects SET done = ?2, piece = ?3, moves = ?4, changed_at = ?5, state = 'working', finished_at = 0 WHERE id = ?1`,
		p.ID, numbers(p.Done), p.Piece, p.Moves, t.now.UnixMilli())
	return err
}

const moveColumns = `seq, at, piece, was, done, undoes, minutes`

func moves(t tx, project int64) ([]Move, error) {
	rows, err := t.Query(`SELECT `+moveColumns+` FROM project_moves WHERE project = ?1 ORDER BY seq`, project)
	return collect(rows, err, scanMove)
}

func scanMove(row scanner) (m Move, err error) {
	var at int64
	err = row.Scan(&m.Seq, &at, &m.Piece, &m.Was, &m.Done, &m.Undoes, &m.Minutes)
	m.At = time.Unix(at, 0).UTC()
	return m, err
}
