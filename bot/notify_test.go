package main

import (
	"context"
	"net"
	"path/filepath"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// TestSupervised listens as systemd does: ready when members are served, then
// a sign of life again and again while the database answers, then the end.
func TestSupervised(t *testing.T) {
	socket := filepath.Join(t.TempDir(), "notify")
	ear, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: socket, Net: "unixgram"})
	if err != nil {
		t.Fatal(err)
	}
	defer ear.Close()
	t.Setenv("NOTIFY_SOCKET", socket)
	t.Setenv("WATCHDOG_USEC", "60000")
	hear := func() string {
		t.Helper()
		b := make([]byte, 100)
		ear.SetReadDeadline(time.Now().Add(10 * time.Second))
		n, err := ear.Read(b)
		if err != nil {
			t.Fatal(err)
		}
		return string(b[:n])
	}
	fake := loopback.Start(t)
	config := defaults()
	config.Token, config.Database, config.Backup.Folder = loopback.Token, filepath.Join(t.TempDir(), "a.db"), ""
	app := &App{Config: config, Transport: fake.Transport()}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if err := app.Open(ctx); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- app.Run(ctx) }()
	for hear() != "READY=1" {
	}
	for n := 0; n < 2; { // a sign of life twice, after it is ready
		if hear() == "WATCHDOG=1" {
			n++
		}
	}
	fake.Online()
	cancel()
	for hear() != "STOPPING=1" {
	}
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if err := app.Close(); err != nil {
		t.Error(err)
	}
}
