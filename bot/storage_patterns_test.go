package main

import (
	"context"
	"errors"
	"testing"

	"countwright/commands"
	"countwright/store"
)

func TestPatternsAreKept(t *testing.T) {
	ctx := context.Background()
	s, err := store.Open(ctx, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	kept := services(s).Patterns
	hat := commands.SavedPattern{Server: "s", Name: "Hat", Version: "1", Title: "Spring hat", Author: "Odile", Licence: "CC BY 4.0", Text: "Rnd 1: 6 sc in magic ring", Draft: true}
	add := func(call string, p commands.SavedPattern) error { return kept.Add(ctx, call, "mira", p) }
	if err := add("a", hat); err != nil {
		t.Fatal(err)
	}
	hat.Draft = false
	if err := add("b", hat); err != nil {
		t.Fatalf("a draft is not replaced: %v", err)
	}
	if err := add("b", hat); err != nil {
		t.Errorf("the same call twice: %v", err)
	}
	if err := add("c", hat); !errors.Is(err, commands.ErrKept) {
		t.Errorf("a finished version is replaced: %v", err)
	}
	second := hat
	second.Version, second.File, second.Text = "2", true, `title = "Hat"`
	if err := add("d", second); err != nil {
		t.Fatal(err)
	}
	got, ok, err := kept.Find(ctx, "s", "hat", "1")
	if err != nil || !ok || got.Added.IsZero() {
		t.Fatalf("%+v %t %v", got, ok, err)
	}
	got.Added = hat.Added
	if got != hat {
		t.Errorf("kept as %+v", got)
	}
	if newest, ok, err := kept.Find(ctx, "s", "HAT", ""); err != nil || !ok || newest.Version != "2" || !newest.File || newest.Text != second.Text {
		t.Errorf("the newest is %+v %t %v", newest, ok, err)
	}
	for _, c := range []struct {
		server, name string
		want         int
	}{{"s", "", 1}, {"s", "hat", 2}, {"s", "scarf", 0}, {"t", "", 0}} {
		list, err := kept.List(ctx, c.server, c.name)
		if err != nil || len(list) != c.want {
			t.Errorf("%q in %q: %d, %v", c.name, c.server, len(list), err)
		}
		for _, p := range list {
			if p.Text != "" {
				t.Errorf("a list holds the text %q", p.Text)
			}
		}
	}
	if _, ok, err := kept.Find(ctx, "t", "hat", ""); ok || err != nil {
		t.Errorf("another server's pattern is found: %t %v", ok, err)
	}
	if n, err := kept.Remove(ctx, "e", "mira", "s", "hat", ""); err != nil || n != 2 {
		t.Errorf("removed %d, %v", n, err)
	}
	if n, err := kept.Remove(ctx, "f", "mira", "s", "hat", ""); err != nil || n != 0 {
		t.Errorf("removed %d again, %v", n, err)
	}
}
