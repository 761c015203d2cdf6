package main

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"countwright/bot/chat"
)

func noEnvironment(string) string { return "" }

func TestExampleConfigIsTheDefault(t *testing.T) {
	got, err := readConfig("../config.example.toml", true, noEnvironment)
	if err != nil {
		t.Fatal(err)
	}
	want := defaults()
	want.HostRoles = []string{} // the example shows the empty list
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the example says\n%+v\nthe defaults are\n%+v", got, want)
	}
}

func TestExampleConfigIsComplete(t *testing.T) {
	text, err := os.ReadFile("../config.example.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range keys(reflect.TypeFor[Config]()) {
		if !strings.Contains(string(text), "\n"+key+" = ") && !strings.Contains(string(text), "\n["+key+"]") {
			t.Errorf("config.example.toml does not show %q", key)
		}
	}
}

func keys(t reflect.Type) (names []string) {
	for i := range t.NumField() {
		f := t.Field(i)
		names = append(names, f.Tag.Get("toml"))
		if f.Type.Kind() == reflect.Struct {
			names = append(names, keys(f.Type)...)
		}
	}
	return names
}

func TestConfigErrorsName(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"unknown key", "tokn = \"x\"\n", `config.toml:1:1: there is no setting "tokn"`},
		{"unknown key in a table", "[backup]\nkeep = 3\nfoldr = \"x\"\n", `config.toml:3:1: there is no setting "backup.foldr"`},
		{"wrong type", "[backup]\nkeep = \"three\"\n", `config.toml:2:`},
		{"not TOML", "token = \n", "config.toml"},
		{"bad time", "[backup]\nat = \"25:00\"\n", `backup.at: "25:00" is not a time of day`},
		{"bad server", "server = \"my server\"\n", `server: "my server" is not a server's id`},
		{"bad role", "host_roles = [\"hosts\"]\n", `host_roles: "hosts" is not a role's id`},
		{"bad level", "[log]\nlevel = \"loud\"\n", `log.level: "loud" is none of`},
		{"keep nothing", "[backup]\nkeep = 0\n", "backup.keep: keep at least 1"},
		{"torn token", "token = \"a b\"\n", "token: it holds white space"},
		{"no address", "[http]\naddress = \"8080\"\n", `http.address: "8080" is not an address`},
		{"interactions nowhere", "[http]\ninteractions = true\n", "http.interactions: name an http.address"},
		{"no key", "[http]\naddress = \":8080\"\ninteractions = true\npublic_key = \"abc\"\n", "http.public_key: copy the 64"},
		{"negative shards", "[shards]\ncount = -1\n", "shards.count: -1 is no number"},
		{"no range", "[shards]\ncount = 4\nrange = \"2\"\n", `shards.range: "2" is no range`},
		{"range outside", "[shards]\ncount = 4\nrange = \"2-4\"\n", `shards.range: "2-4" does not lie in the 4`},
		{"range of nothing", "[shards]\nrange = \"0-0\"\n", `shards.range: "0-0" does not lie in the 0`},
		{"range backwards", "[shards]\ncount = 4\nrange = \"3-1\"\n", `shards.range: "3-1" does not lie`},
		{"limit", "[limits]\nmember = -1\n", "limits: a number of commands a minute"},
		{"no database", "database = \"\"\n", "database: name a file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "config.toml")
			if err := os.WriteFile(path, []byte(c.text), 0o600); err != nil {
				t.Fatal(err)
			}
			_, err := readConfig(path, true, noEnvironment)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want something with %q", err, c.want)
			}
			if err != nil && strings.Contains(err.Error(), "main.") {
				t.Errorf("the message speaks of the program's types: %v", err)
			}
		})
	}
}

func TestTokenComesFromTheNearestPlace(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "token")
	if err := os.WriteFile(file, []byte("from-file\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	config := filepath.Join(folder, "config.toml")
	if err := os.WriteFile(config, []byte("token_file = "+`"`+file+`"`+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := readConfig(config, true, noEnvironment)
	if err != nil || got.Token != "from-file" {
		t.Errorf("token file: got %q, %v", got.Token, err)
	}
	got, err = readConfig(config, true, func(name string) string {
		if name == "COUNTWRIGHT_TOKEN" {
			return "from-environment"
		}
		return ""
	})
	if err != nil || got.Token != "from-environment" {
		t.Errorf("environment: got %q, %v", got.Token, err)
	}
}

func TestConfigMayBeAbsentUnlessNamed(t *testing.T) {
	nowhere := filepath.Join(t.TempDir(), "config.toml")
	if _, err := readConfig(nowhere, false, noEnvironment); err != nil {
		t.Errorf("an absent file that nobody named: %v", err)
	}
	if _, err := readConfig(nowhere, true, noEnvironment); err == nil {
		t.Error("an absent file that was named should be an error")
	}
}

// A token that others on the machine can read is refused, with what to do.
func TestTokenFileOfOthers(t *testing.T) {
	folder := t.TempDir()
	file, config := filepath.Join(folder, "token"), filepath.Join(folder, "config.toml")
	if err := os.WriteFile(config, []byte("token_file = '"+file+"'\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for mode, fits := range map[os.FileMode]bool{0o600: true, 0o400: true, 0o640: false, 0o644: false, 0o606: false} {
		os.Remove(file)
		if err := os.WriteFile(file, []byte("secret-word"), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(file, mode); err != nil {
			t.Fatal(err)
		}
		c, err := readConfig(config, true, noEnvironment)
		if fits && (err != nil || c.Token != "secret-word") || !fits && (err == nil || !strings.Contains(err.Error(), "chmod 600 "+file) || strings.Contains(err.Error(), "secret-word")) {
			t.Errorf("%o: %v", mode, err)
		}
	}
}

func TestShardsOfThisProcess(t *testing.T) {
	for _, c := range []struct {
		config Shards
		want   chat.Shards
	}{
		{Shards{}, chat.Shards{}},
		{Shards{Count: 1}, chat.Shards{Count: 1}},
		{Shards{Count: 8}, chat.Shards{Count: 8, Last: 7}},
		{Shards{Count: 8, Range: "0-3"}, chat.Shards{Count: 8, Last: 3}},
		{Shards{Count: 8, Range: "4-7"}, chat.Shards{Count: 8, First: 4, Last: 7}},
		{Shards{Count: 8, Range: "0-0"}, chat.Shards{Count: 8}},
	} {
		if got, err := c.config.parse(); err != nil || got != c.want {
			t.Errorf("%+v: %+v, %v", c.config, got, err)
		}
	}
}

// TestConfigurationWithASecretIsPrivate: a file that only names where secrets
// are may be read by everybody; one that holds them may not.
func TestConfigurationWithASecretIsPrivate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "config.toml")
	for text, secret := range map[string]bool{
		"token = 'secret-word'": true, "database = 'postgres://bot:secret-word@db/x'": true, "database = 'postgres://db/x?password=secret-word'": true,
		"token_file = 'token'": false, "database = 'postgres://bot@db/x?sslmode=require'": false, "database = 'a:b@c.db'": false, "": false,
	} {
		for _, mode := range []os.FileMode{0o600, 0o640, 0o644, 0o604} {
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := os.Chmod(path, mode); err != nil {
				t.Fatal(err)
			}
			err := keepsSecrets(path)
			if refused := secret && mode != 0o600; (err != nil) != refused || err != nil && (strings.Contains(err.Error(), "secret-word") || !strings.Contains(err.Error(), "chmod 600")) {
				t.Errorf("%q with mode %o: %v", text, mode, err)
			}
		}
	}
	if err := keepsSecrets(path + "x"); err != nil {
		t.Errorf("no file: %v", err)
	}
}
