package main

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/store"
)

const invited = 1<<10 | 1<<11 | 1<<38 | 1<<14 | 1<<15 | 1<<16 // what README.md tells to invite with

// TestCheck looks at a bot in good order, and then at each thing that can be
// wrong: what it says tells what to do.
func TestCheck(t *testing.T) {
	ctx := context.Background()
	harbour := loopback.Joined{ID: "400000000000000001", Name: "Harbour \"Knots\"\nok", Permissions: invited, Roles: []string{"7"}, Overwrites: map[string][]loopback.Change{"500": {{ID: "400000000000000001", Deny: 0}}}}
	type world struct {
		config *Config
		path   string
		fake   *loopback.Service
	}
	for _, tt := range []struct {
		name   string
		change func(world)
		says   []string
		code   int
	}{
		{"good", func(world) {}, []string{"ok    service        the token is that of \"Countwright\", in 1 servers", "over the gateway", "can post in #make-alongs", "ok    clock", "ok    time zones", "sound", "All is well."}, ended},
		{"token", func(w world) { w.config.Token = "another" }, []string{"MEND  service", "copy it again from the developer portal"}, broken},
		{"no token", func(w world) { w.config.Token = "" }, []string{"note  service", "All is well."}, ended},
		{"open configuration", func(w world) { os.Chmod(w.path, 0o644) }, []string{"chmod 600 " + "config"}, broken},
		{"open database", func(w world) { os.Chmod(w.config.Database, 0o644) }, []string{"MEND  database", "chmod 600"}, broken},
		{"permissions", func(w world) { w.fake.Joined[0].Permissions = 1<<10 | 1<<11 }, []string{"MEND  permissions", `in the server "Harbour \"Knots\"\nok"`, "lacks Send Messages in Threads, Embed Links, Attach Files, Read Message History"}, broken},
		{"administrator", func(w world) {
			w.fake.Joined[0].Permissions = 1 << 3
			w.fake.Joined[0].Overwrites["500"] = []loopback.Change{{ID: w.fake.Joined[0].ID, Deny: invited}}
		}, []string{"All is well."}, ended},
		{"channel", func(w world) {
			w.fake.Joined[0].Overwrites["500"] = []loopback.Change{{ID: "7", Deny: 1 << 11}}
		}, []string{"MEND  make-alongs", "in #make-alongs", "lacks Send Messages"}, broken},
		{"channel gone", func(w world) { delete(w.fake.Joined[0].Overwrites, "500") }, []string{"MEND  make-alongs", "404"}, broken},
		{"server left", func(w world) { w.fake.Joined = nil }, []string{"MEND  make-alongs", "no longer in the server"}, broken},
		{"endpoint set", func(w world) { w.fake.EndpointURL = "https://bot.example/interactions" }, []string{"MEND  interactions", "remove it there"}, broken},
		{"endpoint not set", func(w world) { w.config.HTTP.Interactions = true }, []string{"MEND  interactions", "enter the public https address"}, broken},
		{"intents", func(w world) { w.fake.Flags = 1 << 18 }, []string{"note  intents", "switch it off"}, ended},
		{"few shards", func(w world) { w.config.Shards.Count, w.fake.Shards = 2, 5 }, []string{"MEND  shards", "the service advises 5"}, broken},
		{"few starts", func(w world) { w.fake.Starts = 9 }, []string{"MEND  connections", "only 9"}, broken},
		{"clock", func(w world) {
			w.fake.Reply = func(rw http.ResponseWriter, _ *http.Request) bool {
				rw.Header().Set("Date", time.Now().Add(-3*time.Minute).UTC().Format(http.TimeFormat))
				return false
			}
		}, []string{"MEND  clock", "3m0s", "NTP"}, broken},
		{"no database", func(w world) { w.config.Database = filepath.Join(filepath.Dir(w.path), "none.db") }, []string{"note  database", "the first start makes it", "All is well."}, ended},
		{"foreign database", func(w world) {
			os.WriteFile(w.config.Database+"x", []byte(strings.Repeat("not a database ", 400)), 0o600)
			w.config.Database += "x"
		}, []string{"MEND  database"}, broken},
	} {
		t.Run(tt.name, func(t *testing.T) {
			folder := t.TempDir()
			config := defaults()
			config.Token, config.Database, config.Backup.Folder = loopback.Token, filepath.Join(folder, "a.db"), filepath.Join(folder, "backups")
			path := filepath.Join(folder, "config.toml")
			if err := os.WriteFile(path, []byte("token = 'x'\n"), 0o600); err != nil {
				t.Fatal(err)
			}
			s, err := store.Open(ctx, store.Options{Path: config.Database})
			if err != nil {
				t.Fatal(err)
			}
			host := store.By{Member: "300000000000000001"}
			m, err := s.AddMakeAlong(ctx, host, store.MakeAlong{Server: harbour.ID, Channel: "500", Name: "Harbour socks", Course: json.RawMessage(`{}`)})
			if err != nil {
				t.Fatal(err)
			}
			m.State = "open"
			if _, err := s.SaveMakeAlong(ctx, host, m, nil); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			fake := loopback.Start(t)
			j := harbour
			j.Overwrites = map[string][]loopback.Change{"500": harbour.Overwrites["500"]}
			fake.Joined = []loopback.Joined{j}
			tt.change(world{&config, path, fake})
			var out strings.Builder
			if code := examine(ctx, config, path, fake.Transport(), &out); code != tt.code {
				t.Errorf("code %d", code)
			}
			for _, s := range tt.says {
				if s == "chmod 600 config" {
					s = "chmod 600 " + path
				}
				if !strings.Contains(out.String(), s) {
					t.Errorf("it does not say %q:\n%s", s, out.String())
				}
			}
			if strings.Contains(out.String(), loopback.Token) {
				t.Error("it says the token")
			}
		})
	}
}

// TestCheckOfManyServers: the service lists 200 at once.
func TestCheckOfManyServers(t *testing.T) {
	fake := loopback.Start(t)
	for n := range 450 {
		fake.Joined = append(fake.Joined, loopback.Joined{ID: loopback.IDAt(time.UnixMilli(1700000000000 + int64(n))), Name: "S", Permissions: invited})
	}
	fake.Joined[449].Permissions, fake.Joined[449].Name = 0, "the last"
	config := defaults()
	config.Token, config.Database, config.Backup.Folder = loopback.Token, filepath.Join(t.TempDir(), "a.db"), ""
	var out strings.Builder
	examine(context.Background(), config, "none.toml", fake.Transport(), &out)
	if !strings.Contains(out.String(), "in 450 servers") || !strings.Contains(out.String(), `"the last"`) {
		t.Errorf("it says\n%s", out.String())
	}
}

func TestTasks(t *testing.T) {
	ctx := context.Background()
	t.Chdir(t.TempDir())
	do := func(args ...string) (code int, out, errOut string) {
		var o, e strings.Builder
		code = run(ctx, args, strings.NewReader(""), &o, &e, func(string) string { return "" })
		return code, o.String(), e.String()
	}
	if code, _, says := do("backup"); code != broken || !strings.Contains(says, "no such file") {
		t.Errorf("without a database: %d, %s", code, says)
	}
	s, err := store.Open(ctx, store.Options{Path: "countwright.db"})
	if err != nil {
		t.Fatal(err)
	}
	const mira = "300000000000000001"
	if _, err := s.SaveSettings(ctx, store.By{Member: mira}, store.Settings{Units: "in", Zone: "Europe/Oslo"}); err != nil {
		t.Fatal(err)
	}
	defer s.Close() // all of this while the bot has it open

	if code, _, says := do("backup"); code != ended || !strings.Contains(says, "made and checked") {
		t.Errorf("backup: %d, %s", code, says)
	}
	if made, err := (store.Backups{Folder: "backups"}).List(); err != nil || len(made) != 1 {
		t.Errorf("backups: %v, %v", made, err)
	}
	code, out, says := do("export", mira)
	var one store.Export
	if err := json.Unmarshal([]byte(out), &one); code != ended || err != nil || one.Member == nil || len(one.Log) == 0 {
		t.Errorf("export of a member: %d, %v, %s\n%s", code, err, says, out)
	}
	code, out, _ = do("export")
	rows := 0
	for lines := bufio.NewScanner(strings.NewReader(out)); lines.Scan(); rows++ {
		if !json.Valid(lines.Bytes()) {
			t.Errorf("not JSON: %s", lines.Text())
		}
	}
	if code != ended || rows < 2 || !strings.Contains(out, `"table":"members"`) {
		t.Errorf("export of all: %d, %d rows\n%s", code, rows, out)
	}
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"export", "mira"}, misused, "not a member's id"},
		{[]string{"export", "300000000000000009"}, broken, "not found"},
		{[]string{"export", mira, mira}, misused, "not understood"},
		{[]string{"check", "everything"}, misused, "not understood"},
		{[]string{"backup", "-config", "absent.toml"}, misused, "absent.toml"},
		{[]string{"backup", "-nonsense"}, misused, "nonsense"},
		{[]string{"check", "-help"}, ended, "Usage: bot check"},
	} {
		if code, _, says := do(c.args...); code != c.code || !strings.Contains(says, c.says) {
			t.Errorf("%q: %d, %s", c.args, code, says)
		}
	}
	if code, out, _ := do("check"); code != ended || !strings.Contains(out, "the defaults are used") || !strings.Contains(out, "1 in backups") {
		t.Errorf("check: %d\n%s", code, out)
	}
}
