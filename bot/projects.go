package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"countwright/calc/pace"
	"countwright/commands"
	"countwright/store"
)

// projects are members' work in progress as the commands see it.
type projects struct{ store *store.Store }

func (p projects) Start(ctx context.Context, call, member, name string, pinned commands.Pinned) (commands.Project, error) {
	plan, err := json.Marshal(pinned)
	if err != nil {
		return commands.Project{}, fmt.Errorf("write plan: %w", err)
	}
	var lengths []int
	for _, piece := range pinned.Plan.Pieces() {
		lengths = append(lengths, len(piece.Rows))
	}
	started, err := p.store.StartProject(ctx, store.By{Member: member, Key: call}, name, lengths, plan)
	if errors.Is(err, store.ErrConflict) {
		return commands.Project{}, commands.ErrNamed
	}
	return project(started), kindly(err)
}

func (p projects) List(ctx context.Context, member string) ([]commands.Project, error) {
	rows, err := p.store.Projects(ctx, member)
	if err != nil {
		return nil, fmt.Errorf("list projects: %w", err)
	}
	list := make([]commands.Project, len(rows))
	for i, row := range rows {
		list[i] = project(row)
	}
	return list, nil
}

func (p projects) Open(ctx context.Context, member string, id int64) (commands.ProjectBook, bool, error) {
	whole, err := p.store.ProjectWhole(ctx, member, id)
	if errors.Is(err, store.ErrNotFound) {
		return commands.ProjectBook{}, false, nil
	}
	if err != nil {
		return commands.ProjectBook{}, false, fmt.Errorf("open project: %w", err)
	}
	book := commands.ProjectBook{Project: project(whole.Project), Moves: moves(whole.Moved)}
	if err := json.Unmarshal(whole.Plan, &book.Pinned); err != nil {
		return commands.ProjectBook{}, false, fmt.Errorf("read plan of project %d: %w", id, err)
	}
	for _, n := range whole.Notes {
		book.Notes = append(book.Notes, commands.ProjectNote{Kind: commands.NoteKind(n.Kind), At: n.At, Moves: n.Moves, Text: n.Text, Photo: n.Photo, Grams: n.Grams})
	}
	return book, true, nil
}

func (p projects) Count(ctx context.Context, call, member string, id int64, step commands.ProjectStep) ([]pace.Move, error) {
	_, made, err := p.store.MoveRows(ctx, store.By{Member: member, Key: call}, id, store.Step(step))
	return moves(made), kindly(err)
}

func (p projects) Undo(ctx context.Context, call, member string, id int64, steps int) ([]pace.Move, error) {
	_, made, err := p.store.UndoRows(ctx, store.By{Member: member, Key: call}, id, steps)
	return moves(made), kindly(err)
}

func (p projects) Note(ctx context.Context, call, member string, id int64, n commands.ProjectNote) error {
	_, err := p.store.AddNote(ctx, store.By{Member: member, Key: call}, id, store.Note{Kind: string(n.Kind), Text: n.Text, Photo: n.Photo, Grams: n.Grams})
	return kindly(err)
}

func (p projects) Set(ctx context.Context, call, member string, id int64, state commands.ProjectState) error {
	_, err := p.store.SetProjectState(ctx, store.By{Member: member, Key: call}, id, string(state))
	return kindly(err)
}

func project(p store.Project) commands.Project {
	return commands.Project{ID: p.ID, Name: p.Name, State: commands.ProjectState(p.State), Started: p.StartedAt, Changed: p.ChangedAt, Finished: p.FinishedAt}
}

func moves(list []store.Move) []pace.Move {
	out := make([]pace.Move, len(list))
	for i, m := range list {
		out[i] = pace.Move{At: m.At, Piece: m.Piece, From: m.Was, To: m.Done, Undoes: m.Undoes, Minutes: m.Minutes}
	}
	return out
}
