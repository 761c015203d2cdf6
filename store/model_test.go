package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// model is what the state machine expects: a plain list for each member.
type model struct {
	s        *Store
	clock    *clock
	swatches map[string][]Swatch // oldest entry first
	settings map[string]Settings
	entries  map[string]int // the log's
	used     int64          // the highest id given out
	keys     int
}

func (m *model) by(t *rapid.T) By {
	m.keys++
	return By{Member: rapid.SampledFrom([]string{"ines", "mira", "tomás"}).Draw(t, "member"), Key: fmt.Sprint("key", m.keys)}
}

func (m *model) draw(t *rapid.T) Swatch {
	return Swatch{
		Name:     rapid.SampledFrom([]string{"", "sea", "Sea", "moss", "Moss stripes"}).Draw(t, "name"),
		Stitches: rapid.Float64Range(0.25, 200).Draw(t, "stitches"),
		Rows:     rapid.Float64Range(0.25, 200).Draw(t, "rows"),
		Width:    rapid.Int64Range(1, 10e9).Draw(t, "width"),
		Height:   rapid.Int64Range(1, 10e9).Draw(t, "height"),
		Note:     rapid.StringN(0, 40, 200).Draw(t, "note"),
		Washed:   rapid.Bool().Draw(t, "washed"),
	}
}

// taken tells whether another swatch of a member has the name.
func (m *model) taken(member string, sw Swatch) bool {
	return sw.Name != "" && slices.ContainsFunc(m.swatches[member], func(other Swatch) bool {
		return other.ID != sw.ID && strings.EqualFold(other.Name, sw.Name)
	})
}

func (m *model) newestFirst(member string) []Swatch {
	all := slices.Clone(m.swatches[member])
	slices.SortFunc(all, func(a, b Swatch) int {
		if d := b.MadeAt.Compare(a.MadeAt); d != 0 {
			return d
		}
		return int(b.ID - a.ID)
	})
	return all
}

// id draws the id of somebody's swatch, or one that never was.
func (m *model) id(t *rapid.T, member string) int64 {
	ids := []int64{m.used + 1}
	for _, sw := range m.swatches[member] {
		ids = append(ids, sw.ID)
	}
	return rapid.SampledFrom(ids).Draw(t, "id")
}

func (m *model) add(t *rapid.T) {
	b, sw := m.by(t), m.draw(t)
	got, err := m.s.AddSwatch(t.Context(), b, sw)
	if m.taken(b.Member, sw) {
		expect(t, err, ErrConflict)
		return
	}
	expect(t, err, nil)
	if got.ID <= m.used {
		t.Fatalf("id %d after %d", got.ID, m.used)
	}
	sw.ID, sw.Member, sw.MadeAt = got.ID, b.Member, m.clock.now()
	if got != sw {
		t.Fatalf("added %+v, want %+v", got, sw)
	}
	m.used = got.ID
	m.swatches[b.Member] = append(m.swatches[b.Member], sw)
	m.entries[b.Member]++
	again, err := m.s.AddSwatch(t.Context(), b, sw) // delivered twice
	if expect(t, err, nil); again != sw {
		t.Fatalf("the second delivery gave %+v, want %+v", again, sw)
	}
}

func (m *model) update(t *rapid.T) {
	b, sw := m.by(t), m.draw(t)
	sw.ID, sw.Member = m.id(t, b.Member), b.Member
	place := slices.IndexFunc(m.swatches[b.Member], func(other Swatch) bool { return other.ID == sw.ID })
	got, err := m.s.UpdateSwatch(t.Context(), b, sw)
	switch {
	case place < 0:
		expect(t, err, ErrNotFound)
	case m.taken(b.Member, sw):
		expect(t, err, ErrConflict)
	default:
		expect(t, err, nil)
		sw.MadeAt = m.clock.now()
		if got != sw {
			t.Fatalf("updated %+v, want %+v", got, sw)
		}
		m.swatches[b.Member][place] = sw
		m.entries[b.Member]++
	}
}

func (m *model) delete(t *rapid.T) {
	b := m.by(t)
	id := m.id(t, b.Member)
	got, err := m.s.DeleteSwatch(t.Context(), b, id)
	if id > m.used {
		expect(t, err, ErrNotFound)
		return
	}
	expect(t, err, nil)
	again, err := m.s.DeleteSwatch(t.Context(), b, id) // delivered twice
	if expect(t, err, nil); again != got || got.ID != id {
		t.Fatalf("deleted %+v and %+v, want id %d", got, again, id)
	}
	m.swatches[b.Member] = slices.DeleteFunc(m.swatches[b.Member], func(sw Swatch) bool { return sw.ID == id })
	m.entries[b.Member]++
}

func (m *model) set(t *rapid.T) {
	b := m.by(t)
	settings := Settings{
		Units: rapid.SampledFrom([]string{"", "cm", "in", "ell"}).Draw(t, "units"),
		Terms: rapid.SampledFrom([]string{"", "US", "UK"}).Draw(t, "terms"),
	}
	_, err := m.s.SaveSettings(t.Context(), b, settings)
	if settings.Units == "ell" {
		expect(t, err, ErrInvalid)
		return
	}
	expect(t, err, nil)
	m.settings[b.Member] = settings
	m.entries[b.Member]++
}

func (m *model) erase(t *rapid.T) {
	b := m.by(t)
	_, known := m.settings[b.Member]
	got, err := m.s.Erase(t.Context(), b)
	expect(t, err, nil)
	want := Erased{Swatches: len(m.swatches[b.Member]), Entries: m.entries[b.Member]}
	if known || m.entries[b.Member] > 0 {
		want.Members = 1
	}
	if got != want {
		t.Fatalf("erased %+v, want %+v", got, want)
	}
	delete(m.swatches, b.Member)
	delete(m.settings, b.Member)
	delete(m.entries, b.Member)
}

// check compares all that can be read.
func (m *model) check(t *rapid.T) {
	m.clock.add(time.Duration(rapid.IntRange(0, 3).Draw(t, "minutes")) * time.Minute)
	for _, member := range []string{"ines", "mira", "tomás"} {
		want := m.newestFirst(member)
		got, err := m.s.Swatches(t.Context(), member)
		if expect(t, err, nil); !slices.Equal(got, want) {
			t.Fatalf("%s has %+v, want %+v", member, got, want)
		}
		newest, err := m.s.DefaultSwatch(t.Context(), member)
		if len(want) == 0 {
			expect(t, err, ErrNotFound)
		} else if expect(t, err, nil); newest != want[0] {
			t.Fatalf("default %+v, want %+v", newest, want[0])
		}
		settings, err := m.s.Settings(t.Context(), member)
		if expect(t, err, nil); settings != m.settings[member] {
			t.Fatalf("settings %+v, want %+v", settings, m.settings[member])
		}
	}
}

func expect(t *rapid.T, err, want error) {
	if !errors.Is(err, want) {
		t.Fatalf("error %v, want %v", err, want)
	}
}

func TestMembersAndSwatchesAgainstAModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := &clock{at: day}
		s, err := Open(t.Context(), Options{Now: c.now})
		expect(t, err, nil)
		defer s.Close()
		m := &model{s: s, clock: c, swatches: map[string][]Swatch{}, settings: map[string]Settings{}, entries: map[string]int{}}
		t.Repeat(map[string]func(*rapid.T){
			"add": m.add, "update": m.update, "delete": m.delete, "set": m.set, "erase": m.erase, "": m.check,
		})
	})
}
