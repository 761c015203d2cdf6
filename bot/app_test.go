package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/store"
)

// living opens an App on a folder and connects it to a stand-in of the chat
// service. stop ends it as SIGTERM would, and waits.
func living(t *testing.T, folder string) (fake *loopback.Service, stop func()) {
	t.Helper()
	fake = loopback.Start(t)
	config := defaults()
	config.Token = loopback.Token
	config.Database = filepath.Join(folder, "countwright.db")
	config.Backup.Folder = filepath.Join(folder, "backups")
	app := &App{Config: config, Transport: fake.Transport(), Now: func() time.Time {
		return time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	}}
	return fake, running(t, app, fake)
}

// running opens an App and connects it. stop ends it as SIGTERM would, and
// waits.
func running(t *testing.T, app *App, fake *loopback.Service) (stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	if err := app.Open(ctx); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- app.Run(ctx) }()
	fake.Online()
	return func() {
		t.Helper()
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if err := app.Close(); err != nil {
			t.Error(err)
		}
		if err := app.Close(); err != nil {
			t.Errorf("the second Close: %v", err)
		}
	}
}

// TestWhatIsSavedStays follows a swatch from the slash command through the
// database and a restart into another command's answer, and finds it in the
// backup that was made at the start.
func TestWhatIsSavedStays(t *testing.T) {
	folder := t.TempDir()
	fake, stop := living(t, folder)
	saved := fake.Ask(loopback.Ask{Path: "gauge swatch", Options: map[string]string{
		"stitches": "21", "rows": "15", "width": "15 cm", "name": "moss wool",
	}}).Wait()
	if text := saved.Shown().Content; !strings.Contains(text, "14 sts and 10 rows in 10 cm") {
		t.Fatalf("the swatch was answered with\n%s", text)
	}
	stop()

	fake, stop = living(t, folder)
	used := fake.Ask(loopback.Ask{Path: "gauge convert", Options: map[string]string{"from": "16x12", "stitches": "80"}}).Wait()
	if text := used.Shown().Content; !strings.Contains(text, "moss wool") || !strings.Contains(text, "70") {
		t.Errorf("after a restart the conversion says\n%s", text)
	}
	stop()

	made, err := store.Backups{Folder: filepath.Join(folder, "backups")}.List()
	if err != nil || len(made) != 1 {
		t.Fatalf("backups: %v, %v; want the one made at the first start", made, err)
	}
	if _, err := store.Restore(context.Background(), made[0].Path, filepath.Join(folder, "again.db"), time.Now()); err != nil {
		t.Error(err)
	}
}

// TestCloseHalfOpen: what was opened in part can be closed.
func TestCloseHalfOpen(t *testing.T) {
	folder := t.TempDir()
	broken := filepath.Join(folder, "countwright.db")
	if err := os.WriteFile(broken, []byte(strings.Repeat("not a database ", 500)), 0o600); err != nil {
		t.Fatal(err)
	}
	config := defaults()
	config.Database = broken
	app := &App{Config: config}
	if err := app.Open(context.Background()); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("opening a damaged file: %v", err)
	}
	if err := app.Close(); err != nil {
		t.Error(err)
	}
}
