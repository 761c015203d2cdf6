package store

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// TestDump: every row of every table is there, with its values.
func TestDump(t *testing.T) {
	ctx := context.Background()
	s, _ := open(t)
	const mira = "300000000000000001"
	if _, err := s.SaveSettings(ctx, By{Member: mira, Key: "k"}, Settings{Units: "in", Zone: "Europe/Oslo"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddSwatch(ctx, By{Member: mira}, Swatch{Name: "“moss”\n", Stitches: 21, Rows: 15, Width: 150000000, Height: 150000000}); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := s.Dump(ctx, &out); err != nil {
		t.Fatal(err)
	}
	got := map[string]int{}
	lines := bufio.NewScanner(&out)
	for lines.Scan() {
		var line struct {
			Table string         `json:"table"`
			Row   map[string]any `json:"row"`
		}
		if err := json.Unmarshal(lines.Bytes(), &line); err != nil {
			t.Fatal(err)
		}
		got[line.Table]++
		switch line.Table {
		case "members":
			if line.Row["id"] != mira || line.Row["zone"] != "Europe/Oslo" {
				t.Errorf("members: %v", line.Row)
			}
		case "swatches":
			if line.Row["name"] != "“moss”\n" || line.Row["stitches"] != 21.0 {
				t.Errorf("swatches: %v", line.Row)
			}
		}
	}
	for table := range got {
		var n int
		if err := s.readers.QueryRow(`SELECT count(*) FROM "` + table + `"`).Scan(&n); err != nil || n != got[table] {
			t.Errorf("%s: %d rows were dumped of %d, %v", table, got[table], n, err)
		}
	}
	if got["members"] != 1 || got["swatches"] != 1 || got["log"] == 0 {
		t.Errorf("dumped %v", got)
	}
}

func TestInspect(t *testing.T) {
	ctx := context.Background()
	path := place(t)
	s := openWith(t, Options{Path: path})
	m, err := s.AddMakeAlong(ctx, By{Member: "300000000000000001"}, MakeAlong{Server: "4", Channel: "5", Name: "Harbour", Course: json.RawMessage(`{}`)})
	if err != nil {
		t.Fatal(err)
	}
	m.State = "open"
	if _, err := s.SaveMakeAlong(ctx, By{Member: "300000000000000001"}, m, nil); err != nil {
		t.Fatal(err)
	}
	for _, when := range []string{"in use", "closed"} {
		f, err := Inspect(ctx, path)
		if err != nil || f.Version == 0 || f.Version != f.Newest || len(f.Running) != 1 || f.Running[0].Channel != "5" {
			t.Errorf("%s: %+v, %v", when, f, err)
		}
		if when == "in use" {
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestInspectOfFilesThatWillNotDo(t *testing.T) {
	fileOnly(t)
	ctx := context.Background()
	folder := t.TempDir()
	path := filepath.Join(folder, "a.db")
	if f, err := Inspect(ctx, path); f != nil || err != nil {
		t.Errorf("no file: %+v, %v", f, err)
	}
	if err := openWith(t, Options{Path: path}).Close(); err != nil {
		t.Fatal(err)
	}
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 4096; i < min(len(body), 20*4096); i++ {
		body[i] ^= 0x5a
	}
	if err := os.WriteFile(path, body, 0o600); err != nil {
		t.Fatal(err)
	}
	if f, err := Inspect(ctx, path); err == nil {
		t.Errorf("a damaged file: %+v", f)
	}
}
