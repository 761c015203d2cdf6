package commands

import (
	"context"
	"encoding/json"
	"strings"
	"time"

	"countwright/calc/pace"
)

// memoryProjects keeps projects as the store does, for one run of a test.
type memoryProjects struct {
	now   time.Time
	books []ProjectBook // the one that changed last first
	last  int64
	seen  map[string][]pace.Move // what a call made
	owner map[int64]string       // each project's member
}

func (m *memoryProjects) at(id int64) *ProjectBook {
	for i := range m.books {
		if m.books[i].ID == id {
			book := m.books[i]
			copy(m.books[1:i+1], m.books[:i]) // it moves to the front
			m.books[0] = book
			return &m.books[0]
		}
	}
	return nil
}

func (m *memoryProjects) Start(_ context.Context, _, member, name string, pinned Pinned) (Project, error) {
	for _, b := range m.books {
		if strings.EqualFold(b.Name, name) && m.owner[b.ID] == member {
			return Project{}, ErrNamed
		}
	}
	text, err := json.Marshal(pinned) // as it is kept
	if err != nil {
		return Project{}, err
	}
	m.last++
	book := ProjectBook{Project: Project{ID: m.last, Name: name, State: Working, Started: m.now, Changed: m.now}}
	if err := json.Unmarshal(text, &book.Pinned); err != nil {
		return Project{}, err
	}
	m.books = append([]ProjectBook{book}, m.books...)
	if m.owner == nil {
		m.owner = map[int64]string{}
	}
	m.owner[m.last] = member
	return book.Project, nil
}

func (m *memoryProjects) List(_ context.Context, member string) ([]Project, error) {
	var list []Project
	for _, b := range m.books {
		if m.owner[b.ID] == member {
			list = append(list, b.Project)
		}
	}
	return list, nil
}

func (m *memoryProjects) Open(_ context.Context, member string, id int64) (ProjectBook, bool, error) {
	for _, b := range m.books {
		if b.ID == id && m.owner[id] == member {
			return b, true, nil
		}
	}
	return ProjectBook{}, false, nil
}

func (m *memoryProjects) Count(_ context.Context, call, _ string, id int64, step ProjectStep) ([]pace.Move, error) {
	if made, ok := m.seen[call]; ok && call != "" {
		return made, nil
	}
	b := m.at(id)
	tally, err := b.Pinned.Plan.Tally(b.Moves, time.UTC)
	if err != nil {
		return nil, err
	}
	move := pace.Move{At: m.now, Piece: step.Piece, From: tally.Done[step.Piece], Minutes: step.Minutes}
	move.To = min(max(move.From+step.By, 0), len(b.Pinned.Plan.Pieces()[step.Piece].Rows))
	if step.Exact {
		move.To = step.To
	}
	if move.From == move.To && step.Piece == tally.Piece && step.Minutes == 0 {
		return nil, nil
	}
	return m.keep(call, b, move), nil
}

func (m *memoryProjects) keep(call string, b *ProjectBook, made ...pace.Move) []pace.Move {
	b.Moves, b.Changed, b.State = append(b.Moves, made...), m.now, Working
	if m.seen == nil {
		m.seen = map[string][]pace.Move{}
	}
	m.seen[call] = made
	return made
}

func (m *memoryProjects) Undo(_ context.Context, call, _ string, id int64, steps int) ([]pace.Move, error) {
	b := m.at(id)
	var made []pace.Move
	for next := len(b.Moves); len(made) < steps && next > 0; {
		last := b.Moves[next-1]
		if last.Undoes > 0 {
			next = last.Undoes - 1
			continue
		}
		made = append(made, pace.Move{At: m.now, Piece: last.Piece, From: last.To, To: last.From, Undoes: next, Minutes: -last.Minutes})
		next--
	}
	if made == nil {
		return nil, nil
	}
	return m.keep(call, b, made...), nil
}

func (m *memoryProjects) Note(_ context.Context, _, _ string, id int64, note ProjectNote) error {
	b := m.at(id)
	note.At, note.Moves = m.now, len(b.Moves)
	b.Notes = append(b.Notes, note)
	return nil
}

func (m *memoryProjects) Set(_ context.Context, _, _ string, id int64, state ProjectState) error {
	b := m.at(id)
	b.State, b.Finished = state, time.Time{}
	if state == Finished {
		b.Finished = m.now
	}
	return nil
}

// memoryBelongings is a member who has a swatch and some rows.
type memoryBelongings struct{ projects *memoryProjects }

func (memoryBelongings) Export(context.Context, string) ([]byte, []ExportedTable, error) {
	return []byte("{}\n"), []ExportedTable{{"swatches", 1, []byte("name\n")}, {"rows", 12, []byte("to\n")}, {"notes", 0, nil}}, nil
}

func (memoryBelongings) Erase(context.Context, string, string) ([]string, error) {
	return []string{"your settings", "1 swatch"}, nil
}

func (m memoryBelongings) EraseProject(_ context.Context, _, _ string, id int64) (bool, error) {
	if m.projects.at(id) == nil {
		return false, nil
	}
	m.projects.books = m.projects.books[1:]
	return true, nil
}

func (memoryBelongings) Retention() string { return "the newest 14, one a night, are kept" }

// withProjects adds a cardigan in its middle, and scarves that are begun.
func withProjects(m *memory) *memory {
	m.projects.now = asker.Now.AddDate(0, 0, -20)
	set := All(m.services(), nil)
	for _, line := range []string{
		"/project start name:Shore scarf rows:40 stitches:30",
		"/project start name:Tide scarf rows:60 stitches:30 make:2",
		"/project start name:Harbour cardigan pattern:cardigan chest:112 cm gauge:14x10 yarn:650 g",
	} {
		if r := set.RunLine(context.Background(), asker, line); r.Error != nil {
			panic(r.Error.Message)
		}
	}
	for day := range 14 {
		m.projects.now = asker.Now.AddDate(0, 0, day-16)
		if day%3 == 2 {
			continue // a day of rest
		}
		if r := set.RunLine(context.Background(), asker, "/project row n:+11 time:50 min project:Harbour cardigan"); r.Error != nil {
			panic(r.Error.Message)
		}
	}
	m.projects.now = asker.Now
	return m
}
