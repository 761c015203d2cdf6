package commands

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"countwright/calc/pace"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// Projects keeps members' work in progress. Each call that changes something,
// delivered twice, is one.
type Projects interface {
	// Start keeps a new project; ErrNamed where the member has one of the name.
	Start(ctx context.Context, call, member, name string, pinned Pinned) (Project, error)
	// List returns a member's projects, the one that changed last first.
	List(ctx context.Context, member string) ([]Project, error)
	// Open returns one with all that belongs to it, and false where there is
	// none.
	Open(ctx context.Context, member string, id int64) (ProjectBook, bool, error)
	ProjectWork
}

// ProjectWork is what is done on a project that there is.
type ProjectWork interface {
	// Count counts rows and returns the moves that came of it.
	Count(ctx context.Context, call, member string, id int64, step ProjectStep) ([]pace.Move, error)
	// Undo takes back the last moves that stand, and returns those that do so.
	Undo(ctx context.Context, call, member string, id int64, steps int) ([]pace.Move, error)
	// Note keeps a note.
	Note(ctx context.Context, call, member string, id int64, note ProjectNote) error
	// Set pauses, resumes or finishes it.
	Set(ctx context.Context, call, member string, id int64, state ProjectState) error
}

// ErrNamed says that a member has a project of this name already.
var ErrNamed = errors.New("a project has this name")

// ProjectState is how a project stands.
type ProjectState string

// The states.
const (
	Working  ProjectState = "working"
	Paused   ProjectState = "paused"
	Finished ProjectState = "finished"
)

// Project is a member's work in progress, as it is listed.
type Project struct {
	ID       int64
	Name     string
	State    ProjectState
	Started  time.Time
	Changed  time.Time
	Finished time.Time // zero until it is finished
}

// ProjectBook is a project with all that belongs to it.
type ProjectBook struct {
	Project
	Pinned Pinned
	Moves  []pace.Move // oldest first
	Notes  []ProjectNote
}

// ProjectStep asks for rows to be counted.
type ProjectStep struct {
	Piece   int // index into the plan's pieces
	By      int // rows on, or back where below 0; no further than the piece's ends
	To      int // or to so many rows done, where Exact
	Exact   bool
	Minutes int // time worked; 0: not told
}

// ProjectNote is words, a photo or yarn weighed.
type ProjectNote struct {
	Kind  NoteKind
	At    time.Time
	Moves int     // how many moves were made before it
	Text  string  // a photo's says what is on it
	Photo string  // where the picture is
	Grams float64 // of yarn left
}

// NoteKind is what a note holds.
type NoteKind string

// The kinds of notes.
const (
	WordsNote NoteKind = "note"
	PhotoNote NoteKind = "photo"
	YarnNote  NoteKind = "yarn"
)

func projectFamily(s Services) *Command {
	return &Command{Name: "project", Short: "Your work in progress: rows, progress, notes", Sub: []*Command{
		projectStart(s), projectRow(s), projectUndo(s), projectShow(s), projectNote(s), projectPhoto(s),
		projectPause(s), projectFinish(s), projectList(s),
	}}
}

// projectOption names one of the member's projects.
func projectOption(s Services) *Opt[string] {
	return Words("project", "Which project; the one you worked on last if not said", 60).Like("Harbour cardigan").
		Suggest(func(ctx context.Context, r Request, typed string) []Choice {
			list, err := s.Projects.List(ctx, r.Member.ID)
			if err != nil {
				return nil
			}
			var offers []Choice
			for _, p := range list {
				if strings.Contains(strings.ToLower(p.Name), strings.ToLower(strings.TrimSpace(typed))) {
					offers = append(offers, Choice{Label: clip(p.Name, 90), Value: p.Name})
				}
			}
			return offers
		})
}

// work is a project that a command works on, with its account.
type work struct {
	words.Printer
	ProjectBook
	pieces []pace.Piece
	tally  pace.Tally
	where  *time.Location
	today  int
}

// openProject opens the project that a line names, or the one worked on last.
func openProject(ctx context.Context, s Services, r Request, named *Opt[string]) (*work, error) {
	list, err := s.Projects.List(ctx, r.Member.ID)
	if err != nil {
		return nil, fmt.Errorf("list projects: %w", err)
	}
	if len(list) == 0 {
		return nil, Mistaken("/project start name:Scarf rows:40 stitches:30", "you have no project yet; start one")
	}
	p, ok := chosen(list, named.Of(r))
	switch {
	case !ok && named.Given(r):
		var names []string
		for _, p := range list {
			names = append(names, p.Name)
		}
		return nil, &Mistake{Option: named.spec.Name, Message: "you have no project “%s”; you have %s", Args: []any{clip(named.Of(r), 60), listed(names, 10)}, Example: "project:" + names[0]}
	case !ok:
		return nil, Refused("All your projects are finished. /project start begins a new one; /project show project:%s looks at the last.", list[0].Name)
	}
	return openNumbered(ctx, s, r, p.ID)
}

// chosen finds a project by its name or number; without one, the one worked on
// last that is not finished.
func chosen(list []Project, name string) (Project, bool) {
	for _, p := range list {
		switch {
		case name == "" && p.State != Finished, name != "" && strings.EqualFold(p.Name, name), name != "" && strconv.FormatInt(p.ID, 10) == name:
			return p, true
		}
	}
	return Project{}, false
}

// openNumbered opens one project, as it stands now.
func openNumbered(ctx context.Context, s Services, r Request, id int64) (*work, error) {
	book, ok, err := s.Projects.Open(ctx, r.Member.ID, id)
	if err != nil {
		return nil, fmt.Errorf("open project: %w", err)
	}
	if !ok {
		return nil, Refused("This project is not there any more.")
	}
	w := &work{Printer: r.Printer, ProjectBook: book, pieces: book.Pinned.Plan.Pieces(), where: zoneOf(r)}
	w.today = pace.DayOf(r.Now, w.where)
	if w.tally, err = book.Pinned.Plan.Tally(book.Moves, w.where); err != nil {
		return nil, fmt.Errorf("tally project %d: %w", id, err)
	}
	return w, nil
}

// zoneOf is where the member is, as far as she has said.
func zoneOf(r Request) *time.Location {
	if where, err := time.LoadLocation(r.Settings.Zone); err == nil {
		return where
	}
	return time.UTC
}

// pieceNamed finds a piece by its number from 1, by its name or a part of it,
// or by "next": of those that are not done first.
func (w *work) pieceNamed(o *Opt[string], name string) (int, error) {
	if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(w.pieces) {
		return n - 1, nil
	}
	if strings.EqualFold(name, "next") {
		from := w.tally
		from.Piece = (from.Piece + 1) % len(w.pieces)
		at, _ := from.Next(w.pieces)
		return at, nil
	}
	best := -1
	for _, fits := range []func(title string) bool{
		func(title string) bool { return strings.EqualFold(title, name) },
		func(title string) bool { return strings.Contains(strings.ToLower(title), strings.ToLower(name)) },
	} {
		for i, p := range w.pieces {
			if fits(p.Title()) && (best < 0 || w.done(best) && !w.done(i)) {
				best = i
			}
		}
		if best >= 0 {
			return best, nil
		}
	}
	var names []string
	for _, p := range w.pieces {
		names = append(names, p.Title())
	}
	return 0, &Mistake{Option: o.spec.Name, Message: "%s has no piece “%s”; it has %s", Args: []any{w.Name, clip(name, 40), listed(names, 16)}, Example: "piece:" + names[0]}
}

// done tells whether a piece is.
func (w *work) done(piece int) bool { return w.tally.Done[piece] == len(w.pieces[piece].Rows) }

// ref is how a button names the project: a number stays what it is.
func (w *work) ref() Input { return Input{Text: strconv.FormatInt(w.ID, 10)} }

// button runs a command on the project.
func (w *work) button(label words.Key, path string, more map[string]string) reply.Action {
	inputs := map[string]Input{"project": w.ref()}
	for name, value := range more {
		inputs[name] = Input{Text: value}
	}
	return reply.Button{Label: w.Say(label), Line: Line(path, inputs)}
}
