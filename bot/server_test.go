package main

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"countwright/bot/chat/loopback"
)

// onServer makes a database on the server that the environment names, and
// returns its address.
func onServer(t *testing.T) string {
	t.Helper()
	server := os.Getenv("COUNTWRIGHT_POSTGRES")
	if server == "" {
		t.Skip("COUNTWRIGHT_POSTGRES names no database server")
	}
	db, err := sql.Open("pgx", server)
	if err != nil {
		t.Fatal(err)
	}
	name := fmt.Sprintf("bot_%d_%s", os.Getpid(), strings.ToLower(t.Name()))
	if _, err := db.Exec("CREATE DATABASE " + name); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if _, err := db.Exec("DROP DATABASE " + name); err != nil {
			t.Error(err)
		}
		db.Close()
	})
	u, err := url.Parse(server)
	if err != nil {
		t.Fatal(err)
	}
	u.Path = "/" + name
	return u.String()
}

// Two programs on one server know the same; what they keep is copied to a file
// and serves on from there.
func TestTwoProgramsOnOneServer(t *testing.T) {
	place := onServer(t)
	first, second := &ordeal{T: t, fake: loopback.Start(t), place: place}, &ordeal{T: t, fake: loopback.Start(t), place: place}
	first.start()
	second.start()
	say := func(d *ordeal, path string, options map[string]string) string {
		return d.ask(0, path, options).Shown().Content
	}
	say(first, "gauge swatch", map[string]string{"stitches": "21", "rows": "15", "width": "15 cm", "name": "moss wool"})
	if text := say(second, "gauge convert", map[string]string{"from": "16x12", "stitches": "80"}); !strings.Contains(text, "moss wool") {
		t.Errorf("the second says\n%s", text)
	}
	say(second, "project start", map[string]string{"name": "Scarf", "rows": "40", "stitches": "30"})
	for _, d := range []*ordeal{first, second, first} {
		say(d, "project row", map[string]string{"n": "+1"})
	}
	first.stop()
	second.stop()

	var out, complaints bytes.Buffer
	file := filepath.Join(t.TempDir(), "countwright.db")
	if code := copyDatabase(context.Background(), []string{place, file}, &out, &complaints); code != ended {
		t.Fatal(complaints.String())
	}
	if !strings.Contains(out.String(), "3 project_moves\n") {
		t.Errorf("copied\n%s", &out)
	}
	third := &ordeal{T: t, fake: loopback.Start(t), place: file}
	third.start()
	if text := say(third, "project row", map[string]string{"n": "+1"}); !strings.Contains(text, "Row 4") {
		t.Errorf("from the file:\n%s", text)
	}
	third.stop()
}
