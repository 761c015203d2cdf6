package store

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"sync"
	"testing"
	"time"
)

// shawl is a plan as the store sees it: any JSON.
var shawl = json.RawMessage(`{"title":"Tide shawl"}`)

func start(t testing.TB, s *Store, member, name string, lengths ...int) Project {
	t.Helper()
	return must[Project](t)(s.StartProject(t.Context(), by(member), name, lengths, shawl))
}

// count counts rows and returns the project after it.
func count(t testing.TB, s *Store, b By, id int64, step Step) Project {
	t.Helper()
	p, _, err := s.MoveRows(t.Context(), b, id, step)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func undo(t testing.TB, s *Store, b By, id int64, steps int) (Project, []Move) {
	t.Helper()
	p, made, err := s.UndoRows(t.Context(), b, id, steps)
	if err != nil {
		t.Fatal(err)
	}
	return p, made
}

func TestProjectIsCounted(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	p := start(t, s, "ines", "Tide shawl", 40, 12)
	if p.State != Working || !slices.Equal(p.Done, []int{0, 0}) || !p.StartedAt.Equal(day) {
		t.Fatalf("started %+v", p)
	}
	for _, step := range []struct {
		step  Step
		done  []int
		piece int
	}{
		{Step{Piece: -1, By: 1}, []int{1, 0}, 0},
		{Step{Piece: -1, By: 5, Minutes: 45}, []int{6, 0}, 0},
		{Step{Piece: -1, To: 34, Exact: true}, []int{34, 0}, 0},
		{Step{Piece: -1, By: -3}, []int{31, 0}, 0},
		{Step{Piece: 1}, []int{31, 0}, 1},             // turns to the other piece
		{Step{Piece: -1, By: 99}, []int{31, 12}, 1},   // no further than its end
		{Step{Piece: 0, By: -99}, []int{0, 12}, 0},    // no further back than its beginning
		{Step{Piece: -1, By: -99}, []int{0, 12}, 0},   // nothing to do
		{Step{Piece: -1, By: 1000}, []int{40, 12}, 0}, // all done
	} {
		c.add(time.Minute)
		if p = count(t, s, by("ines"), p.ID, step.step); !slices.Equal(p.Done, step.done) || p.Piece != step.piece {
			t.Errorf("%+v: done %v at piece %d, want %v at %d", step.step, p.Done, p.Piece, step.done, step.piece)
		}
	}
	for _, step := range []Step{{Piece: 2, By: 1}, {Piece: 0, To: 41, Exact: true}, {Piece: 0, To: -1, Exact: true}} {
		_, _, err := s.MoveRows(ctx, by("ines"), p.ID, step)
		wantError(t, err, ErrInvalid)
	}
	_, _, err := s.MoveRows(ctx, by("mira"), p.ID, Step{By: 1})
	wantError(t, err, ErrNotFound)
	if w := must[ProjectWhole](t)(s.ProjectWhole(ctx, "ines", p.ID)); string(w.Plan) != string(shawl) || len(w.Moved) != 8 || w.Moved[1].Minutes != 45 {
		t.Errorf("whole: %+v", w)
	}
}

// Undo goes back a step at a time, to any depth, past undone steps and to the
// piece that was at work.
func TestUndoRows(t *testing.T) {
	s, _ := open(t)
	p := start(t, s, "ines", "Tide shawl", 40, 12)
	b := by("ines")
	count(t, s, b, p.ID, Step{Piece: -1, By: 10, Minutes: 30})
	count(t, s, b, p.ID, Step{Piece: -1, By: 5})
	count(t, s, b, p.ID, Step{Piece: 1})
	count(t, s, b, p.ID, Step{Piece: -1, By: 2})
	for _, want := range []struct {
		steps, made int
		done        []int
		piece       int
	}{
		{1, 1, []int{15, 0}, 1},
		{1, 1, []int{15, 0}, 0}, // back at the first piece
		{1, 1, []int{10, 0}, 0},
	} {
		p, made := undo(t, s, b, p.ID, want.steps)
		if len(made) != want.made || !slices.Equal(p.Done, want.done) || p.Piece != want.piece {
			t.Errorf("undone to %v at %d by %+v, want %+v", p.Done, p.Piece, made, want)
		}
	}
	count(t, s, b, p.ID, Step{Piece: -1, By: 1})
	p, made := undo(t, s, b, p.ID, 100)
	if len(made) != 2 || !slices.Equal(p.Done, []int{0, 0}) || made[1].Minutes != -30 {
		t.Errorf("all undone: %v by %+v", p.Done, made)
	}
	if p, made := undo(t, s, b, p.ID, 1); made != nil || p.Done[0] != 0 {
		t.Errorf("nothing left to undo: %+v", made)
	}
}

// The same press delivered twice counts once, also where another project was
// turned to in between, and after the database was opened anew.
func TestDeliveredTwice(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	p := start(t, s, "ines", "Tide shawl", 40)
	other := start(t, s, "ines", "Hat", 40)
	press := By{"ines", "1401"}
	count(t, s, press, p.ID, Step{Piece: -1, By: 1})
	for range 3 {
		c.add(time.Second)
		again, made, err := s.MoveRows(ctx, press, p.ID, Step{Piece: -1, By: 1})
		if err != nil || again.Done[0] != 1 || len(made) != 1 || made[0].Seq != 1 {
			t.Fatalf("again: %+v %+v %v", again, made, err)
		}
	}
	if p := count(t, s, press, other.ID, Step{Piece: -1, By: 1}); p.Name != "Tide shawl" || p.Done[0] != 1 {
		t.Errorf("delivered again for another project: %+v", p)
	}
	if p := count(t, s, By{"ines", "1402"}, p.ID, Step{Piece: -1, By: 1}); p.Done[0] != 2 {
		t.Errorf("another press: %v", p.Done)
	}
	undo(t, s, By{"ines", "1403"}, p.ID, 2)
	if p, made := undo(t, s, By{"ines", "1403"}, p.ID, 2); p.Done[0] != 0 || len(made) != 2 {
		t.Errorf("undo delivered twice: %v %+v", p.Done, made)
	}
	start := By{"ines", "1404"}
	first := must[Project](t)(s.StartProject(ctx, start, "Mitts", []int{3}, shawl))
	if again := must[Project](t)(s.StartProject(ctx, start, "Mitts", []int{3}, shawl)); !reflect.DeepEqual(first, again) {
		t.Errorf("started twice: %+v and %+v", first, again)
	}
}

// Two devices that press +1 in the same second count two.
func TestTwoDevices(t *testing.T) {
	s, _ := open(t)
	p := start(t, s, "ines", "Tide shawl", 1000)
	const devices, presses = 4, 50
	var all sync.WaitGroup
	for d := range devices {
		all.Go(func() {
			for i := range presses {
				key := fmt.Sprint(d, "-", i)
				for range 2 { // each is delivered twice
					if _, _, err := s.MoveRows(t.Context(), By{"ines", key}, p.ID, Step{Piece: -1, By: 1}); err != nil {
						t.Error(err)
					}
				}
			}
		})
	}
	all.Wait()
	w := must[ProjectWhole](t)(s.ProjectWhole(t.Context(), "ines", p.ID))
	if w.Done[0] != devices*presses || len(w.Moved) != devices*presses {
		t.Errorf("%d rows in %d moves, want %d", w.Done[0], len(w.Moved), devices*presses)
	}
}

func TestProjectStates(t *testing.T) {
	s, c := open(t)
	ctx := t.Context()
	p := start(t, s, "ines", "Tide shawl", 40)
	p = must[Project](t)(s.SetProjectState(ctx, by("ines"), p.ID, Paused))
	if p.State != Paused {
		t.Errorf("paused: %+v", p)
	}
	if p = count(t, s, by("ines"), p.ID, Step{Piece: -1, By: 1}); p.State != Working {
		t.Errorf("working again: %+v", p)
	}
	c.add(time.Hour)
	p = must[Project](t)(s.SetProjectState(ctx, by("ines"), p.ID, Finished))
	if !p.FinishedAt.Equal(day.Add(time.Hour)) {
		t.Errorf("finished: %+v", p)
	}
	_, err := s.SetProjectState(ctx, by("ines"), p.ID, "forgotten")
	wantError(t, err, ErrInvalid)
	_, err = s.SetProjectState(ctx, by("mira"), p.ID, Paused)
	wantError(t, err, ErrNotFound)
	_, err = s.StartProject(ctx, by("ines"), "tide  SHAWL", []int{3}, shawl)
	wantError(t, err, ErrConflict)
	_, err = s.StartProject(ctx, by("ines"), "Hat", []int{3, 0}, shawl)
	wantError(t, err, ErrInvalid)
	_, err = s.StartProject(ctx, by("ines"), "Hat", nil, shawl)
	wantError(t, err, ErrInvalid)
	must[Project](t)(s.StartProject(ctx, by("mira"), "Tide shawl", []int{3}, shawl))
}

func TestNotes(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	p := start(t, s, "ines", "Tide shawl", 40)
	count(t, s, by("ines"), p.ID, Step{Piece: -1, By: 5})
	want := []Note{
		{Kind: "note", Text: "left the hook at Odile's", Moves: 1, At: day},
		{Kind: "photo", Text: "five rows in grey", Photo: "tide.jpg", Moves: 1, At: day},
		{Kind: "yarn", Grams: 182.5, Moves: 1, At: day},
	}
	for i, n := range want {
		got := must[Note](t)(s.AddNote(ctx, by("ines"), p.ID, n))
		want[i].ID = got.ID
	}
	if w := must[ProjectWhole](t)(s.ProjectWhole(ctx, "ines", p.ID)); !slices.Equal(w.Notes, want) {
		t.Errorf("notes %+v, want %+v", w.Notes, want)
	}
	_, err := s.AddNote(ctx, by("mira"), p.ID, want[0])
	wantError(t, err, ErrNotFound)
	_, err = s.AddNote(ctx, by("ines"), p.ID, Note{Kind: "song"})
	wantError(t, err, ErrInvalid)
}

func TestEraseProject(t *testing.T) {
	s, _ := open(t)
	ctx := t.Context()
	p, kept := start(t, s, "ines", "Spindrift", 40), start(t, s, "ines", "Hat", 9)
	for _, id := range []int64{p.ID, kept.ID} {
		count(t, s, by("ines"), id, Step{Piece: -1, By: 5})
		must[Note](t)(s.AddNote(ctx, by("ines"), id, Note{Kind: "note", Text: fmt.Sprint("periwinkle", id)}))
	}
	before := must[ProjectWhole](t)(s.ProjectWhole(ctx, "ines", kept.ID))
	_, err := s.EraseProject(ctx, by("mira"), p.ID)
	wantError(t, err, ErrNotFound)
	if name := must[string](t)(s.EraseProject(ctx, by("ines"), p.ID)); name != "Spindrift" {
		t.Errorf("erased %q", name)
	}
	if onDisk(t, s, fmt.Sprint("periwinkle", p.ID)) || onDisk(t, s, "Spindrift") {
		t.Error("what was erased is still in the file")
	}
	if after := must[ProjectWhole](t)(s.ProjectWhole(ctx, "ines", kept.ID)); !reflect.DeepEqual(before, after) {
		t.Errorf("the other project: %+v, was %+v", after, before)
	}
	export := must[Export](t)(s.Export(ctx, "ines"))
	if len(export.Projects) != 1 || len(export.Log) != 2 || !onDisk(t, s, fmt.Sprint("periwinkle", kept.ID)) {
		t.Errorf("export: %+v", export)
	}
	var back Export
	if err := json.Unmarshal(must[[]byte](t)(json.Marshal(export)), &back); err != nil || !reflect.DeepEqual(back.Projects, export.Projects) {
		t.Errorf("JSON gives back %+v (%v), want %+v", back.Projects, err, export.Projects)
	}
	if got := must[Erased](t)(s.Erase(ctx, by("ines"))); got.Projects != 1 {
		t.Errorf("erased %+v", got)
	}
	for _, table := range []string{"projects", "project_plans", "project_moves", "project_notes"} {
		var n int
		if err := s.readers.QueryRow(`SELECT count(*) FROM ` + table).Scan(&n); err != nil || n != 0 {
			t.Errorf("%d rows are left in %s (%v)", n, table, err)
		}
	}
}
