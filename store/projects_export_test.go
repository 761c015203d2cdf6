package store

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"
)

// An export, read back into an empty database through the same methods, gives
// the same export.
func TestExportIsReadBack(t *testing.T) {
	s, c := open(t)
	random := rand.New(rand.NewPCG(5, 8))
	for _, name := range []string{"Tide shawl", "Hat"} {
		p := start(t, s, "ines", name, 40, 12, 12)
		for range 60 {
			c.add(time.Duration(random.IntN(90_000)) * time.Second)
			switch random.IntN(6) {
			case 0:
				undo(t, s, by("ines"), p.ID, 1+random.IntN(3))
			case 1:
				must[Note](t)(s.AddNote(t.Context(), by("ines"), p.ID, Note{Kind: "yarn", Grams: float64(random.IntN(500))}))
			default:
				count(t, s, by("ines"), p.ID, Step{Piece: random.IntN(3), By: random.IntN(9) - 2, Minutes: random.IntN(30)})
			}
		}
	}
	text := must[[]byte](t)(json.Marshal(must[Export](t)(s.Export(t.Context(), "ines")).Projects))
	var want []ProjectWhole
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}

	empty, clock := open(t)
	for i := len(want) - 1; i >= 0; i-- { // the first begun was changed first
		readBack(t, empty, clock, want[i])
	}
	got := must[Export](t)(empty.Export(t.Context(), "ines")).Projects
	for i := range got { // numbers of notes are given anew
		got[i].Notes, want[i].Notes = numberless(got[i].Notes), numberless(want[i].Notes)
	}
	if len(got[0].Moved) < 20 || !reflect.DeepEqual(got, want) {
		t.Errorf("read back:\n%+v\nwant:\n%+v", got, want)
	}
}

func numberless(notes []Note) []Note {
	for i := range notes {
		notes[i].ID = 0
	}
	return notes
}

// readBack tells a project's story again, each thing at its time.
func readBack(t *testing.T, s *Store, c *clock, w ProjectWhole) {
	t.Helper()
	set := func(at time.Time) {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.at = at
	}
	set(w.StartedAt)
	p := must[Project](t)(s.StartProject(t.Context(), by("ines"), w.Name, w.Lengths, w.Plan))
	notes := w.Notes
	note := func(moves int) {
		for len(notes) > 0 && notes[0].Moves <= moves {
			set(notes[0].At)
			must[Note](t)(s.AddNote(t.Context(), by("ines"), p.ID, notes[0]))
			notes = notes[1:]
		}
	}
	note(0)
	for i, m := range w.Moved {
		set(m.At)
		if i == len(w.Moved)-1 {
			set(w.ChangedAt)
		}
		if m.Undoes > 0 {
			undo(t, s, by("ines"), p.ID, 1)
		} else {
			count(t, s, by("ines"), p.ID, Step{Piece: m.Piece, To: m.Done, Exact: true, Minutes: m.Minutes})
		}
		note(m.Seq)
	}
}
