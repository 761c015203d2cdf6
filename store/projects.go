package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"
)

// Limits of projects.
const (
	MaxProjects = 500    // of one member
	MaxNotes    = 2000   // of one project
	MaxMoves    = 50_000 // of one project
)

// The states of a project.
const (
	Working  = "working"
	Paused   = "paused"
	Finished = "finished"
)

// A Project is a member's work in progress.
type Project struct {
	ID         int64     `json:"id"`
	Member     string    `json:"member"`
	Name       string    `json:"name"`    // unique for its member, whatever its case
	State      string    `json:"state"`   // Working, Paused or Finished
	Lengths    []int     `json:"lengths"` // the rows of each piece
	Done       []int     `json:"done"`    // the rows done of each piece
	Piece      int       `json:"piece"`   // the piece at work, from 0
	Moves      int       `json:"moves"`   // the number of its last move
	StartedAt  time.Time `json:"started_at"`
	ChangedAt  time.Time `json:"changed_at"`
	FinishedAt time.Time `json:"finished_at,omitzero"` // zero until it is finished
}

// A Note is words, a photo or yarn weighed, with the move after which it was
// made.
type Note struct {
	ID    int64     `json:"id"`
	At    time.Time `json:"at"`
	Kind  string    `json:"kind"` // "note", "photo" or "yarn"
	Moves int       `json:"moves"`
	Text  string    `json:"text,omitempty"`
	Photo string    `json:"photo,omitempty"` // where the picture is; it is not kept here
	Grams float64   `json:"grams,omitempty"` // of yarn left
}

// ProjectWhole is a project with all that belongs to it.
type ProjectWhole struct {
	Project
	Plan  json.RawMessage `json:"plan"`
	Moved []Move          `json:"moved"` // oldest first
	Notes []Note          `json:"notes"` // oldest first
}

// StartProject keeps a new project of by.Member, with the rows that each piece
// has and a plan in JSON that is kept as it stands, and returns it. A name that
// another project of theirs has is [ErrConflict], one more than [MaxProjects]
// [ErrLimit].
func (s *Store) StartProject(ctx context.Context, by By, name string, lengths []int, plan json.RawMessage) (Project, error) {
	return writeOnce(ctx, s, by, "start project", func(t tx) (change[Project], error) {
		return startProject(t, by.Member, name, lengths, plan)
	})
}

// Projects lists a member's projects, the one that changed last first.
func (s *Store) Projects(ctx context.Context, member string) ([]Project, error) {
	return readOne(ctx, s, "list projects", func(t tx) ([]Project, error) {
		return projects(t, member)
	})
}

// ProjectWhole returns a member's project with all that belongs to it, or
// [ErrNotFound].
func (s *Store) ProjectWhole(ctx context.Context, member string, id int64) (ProjectWhole, error) {
	return readOne(ctx, s, "read project", func(t tx) (ProjectWhole, error) {
		p, err := project(t, member, id)
		if err != nil {
			return ProjectWhole{}, err
		}
		return projectWhole(t, p)
	})
}

// SetProjectState pauses, resumes or finishes a project of by.Member.
func (s *Store) SetProjectState(ctx context.Context, by By, id int64, state string) (Project, error) {
	return writeOnce(ctx, s, by, "set project "+state, func(t tx) (change[Project], error) {
		return setProjectState(t, by.Member, id, state)
	})
}

// AddNote keeps a note on a project of by.Member and returns it with its id
// and place.
func (s *Store) AddNote(ctx context.Context, by By, id int64, n Note) (Note, error) {
	return writeOnce(ctx, s, by, "add note", func(t tx) (change[Note], error) {
		return addNote(t, by.Member, id, n)
	})
}

// EraseProject removes a project of by.Member with its moves and notes, and the
// log entries about it, and returns what it was called. What was erased is
// overwritten in the file; it remains in the backups made before, until those
// have had their time.
func (s *Store) EraseProject(ctx context.Context, by By, id int64) (string, error) {
	var name string
	err := s.write(ctx, "erase project", func(t tx) error {
		if err := t.own(by.Member); err != nil {
			return err
		}
		p, err := project(t, by.Member, id)
		if err != nil {
			return err
		}
		name = p.Name
		for _, query := range []string{
			`DELETE FROM projects WHERE member = ?1 AND ?2 = 'project/' || id`, // and all that refers to it
			`DELETE FROM log WHERE member = ?1 AND subject = ?2`,
		} {
			if _, err := t.Exec(query, by.Member, projectSubject(id)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	s.emptyLog(ctx)
	return name, nil
}

const projectColumns = `id, member, name, state, lengths, done, piece, moves, started_at, changed_at, finished_at`

func projectSubject(id int64) string { return fmt.Sprint("project/", id) }

func project(t tx, member string, id int64) (Project, error) {
	p, err := scanProject(t.QueryRow(`SELECT `+projectColumns+` FROM projects WHERE id = ?2 AND member = ?1`, member, id))
	return found(p, err, "project %d", id)
}

func projects(t tx, member string) ([]Project, error) {
	rows, err := t.Query(`SELECT `+projectColumns+` FROM projects WHERE member = ?1 ORDER BY changed_at DESC, id DESC`, member)
	return collect(rows, err, scanProject)
}

func scanProject(row scanner) (p Project, err error) {
	var lengths, done []byte
	var started, changed, finished int64
	if err := row.Scan(&p.ID, &p.Member, &p.Name, &p.State, &lengths, &done, &p.Piece, &p.Moves, &started, &changed, &finished); err != nil {
		return Project{}, err
	}
	p.StartedAt, p.ChangedAt = moment(started), moment(changed)
	if finished > 0 {
		p.FinishedAt = moment(finished)
	}
	if err := json.Unmarshal(lengths, &p.Lengths); err != nil {
		return Project{}, err
	}
	return p, json.Unmarshal(done, &p.Done)
}

func projectWhole(t tx, p Project) (w ProjectWhole, err error) {
	w.Project = p
	var plan string
	if err := t.QueryRow(`SELECT plan FROM project_plans WHERE project = ?1`, p.ID).Scan(&plan); err != nil {
		return w, err
	}
	w.Plan = json.RawMessage(plan)
	if w.Moved, err = moves(t, p.ID); err != nil {
		return w, err
	}
	rows, err := t.Query(`SELECT `+noteColumns+` FROM project_notes WHERE project = ?1 ORDER BY id`, p.ID)
	w.Notes, err = collect(rows, err, scanNote)
	return w, err
}

// projectsWhole is everything of all of a member's projects.
func projectsWhole(t tx, member string) ([]ProjectWhole, error) {
	list, err := projects(t, member)
	if err != nil {
		return nil, err
	}
	var all []ProjectWhole
	for _, p := range list {
		w, err := projectWhole(t, p)
		if err != nil {
			return nil, err
		}
		all = append(all, w)
	}
	return all, nil
}

func startProject(t tx, member, name string, lengths []int, plan json.RawMessage) (change[Project], error) {
	rows := 0
	for _, n := range lengths {
		rows += n
		if n < 1 {
			return change[Project]{}, fmt.Errorf("a piece of %d rows: %w", n, ErrInvalid)
		}
	}
	if rows == 0 || rows > 1_000_000 {
		return change[Project]{}, fmt.Errorf("%d rows: %w", rows, ErrInvalid)
	}
	if err := addMember(t, member); err != nil {
		return change[Project]{}, err
	}
	if err := atMost(MaxProjects, "projects", t.QueryRow(`SELECT count(*) FROM projects WHERE member = ?1`, member)); err != nil {
		return change[Project]{}, err
	}
	after, err := scanProject(t.QueryRow(`INSERT INTO projects (member, name, name_key, state, lengths, done, piece, moves,
			started_at, changed_at, finished_at)
		VALUES (?1, ?2, ?3, 'working', ?4, ?5, 0, 0, ?6, ?6, 0)
		RETURNING `+projectColumns, member, name, nameKey(name), numbers(lengths), numbers(make([]int, len(lengths))), t.now.UnixMilli()))
	if kindOf(err) == ErrConflict {
		err = fmt.Errorf("the name %q: %w", name, ErrConflict)
	}
	if err != nil {
		return change[Project]{}, err
	}
	_, err = t.Exec(`INSERT INTO project_plans (project, plan) VALUES (?1, ?2)`, after.ID, string(plan))
	return change[Project]{subject: projectSubject(after.ID), after: &after}, err
}

// numbers writes a list of numbers as JSON.
func numbers(list []int) string {
	text, err := json.Marshal(list)
	if err != nil { // numbers can always be written
		panic(err)
	}
	return string(text)
}

func setProjectState(t tx, member string, id int64, state string) (change[Project], error) {
	before, err := project(t, member, id)
	if err != nil {
		return change[Project]{}, err
	}
	finished := int64(0)
	if state == Finished {
		finished = t.now.UnixMilli()
	}
	after, err := scanProject(t.QueryRow(`UPDATE projects SET state = ?3, finished_at = ?4, changed_at = ?5 WHERE id = ?2 AND member = ?1
		RETURNING `+projectColumns, member, id, state, finished, t.now.UnixMilli()))
	return change[Project]{subject: projectSubject(id), before: &before, after: &after}, err
}

const noteColumns = `id, at, kind, moves, text, photo, grams`

func scanNote(row scanner) (n Note, err error) {
	var at int64
	err = row.Scan(&n.ID, &at, &n.Kind, &n.Moves, &n.Text, &n.Photo, &n.Grams)
	n.At = moment(at)
	return n, err
}

func addNote(t tx, member string, id int64, n Note) (change[Note], error) {
	p, err := project(t, member, id)
	if err != nil {
		return change[Note]{}, err
	}
	if err := atMost(MaxNotes, "notes", t.QueryRow(`SELECT count(*) FROM project_notes WHERE project = ?1`, id)); err != nil {
		return change[Note]{}, err
	}
	after, err := scanNote(t.QueryRow(`INSERT INTO project_notes (project, at, kind, moves, text, photo, grams)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) RETURNING `+noteColumns, id, t.now.UnixMilli(), n.Kind, p.Moves, n.Text, n.Photo, n.Grams))
	return change[Note]{subject: projectSubject(id), after: &after}, err
}
