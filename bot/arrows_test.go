package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// allowed says, for each part of the program, which of its own parts it may
// import. Longer keys win. Tests may import more: they are not checked.
var allowed = map[string][]string{
	"bot":               {"bot/", "commands", "commands/", "calc/", "store"},
	"commands":          {"calc/", "commands", "commands/reply", "commands/picture", "commands/sheet", "commands/calendar", "commands/photo", "commands/words"},
	"commands/reply":    {"calc/", "commands/picture", "commands/words"},
	"commands/picture":  {"calc/", "commands/words"},
	"commands/words":    {},
	"commands/photo":    {},
	"commands/sheet":    {"calc/", "commands/picture", "commands/words"},
	"commands/calendar": {"calc/"},
	"store":             {"calc/measure"},
	"calc":              {"calc/"},
}

// outside says which packages of others each part may import, besides the
// standard library; a part that is not named here may import any.
var outside = map[string][]string{
	"calc": {"github.com/pelletier/go-toml/v2"},
}

// impure is what calc may not touch: it does no input or output. Package time
// is allowed for its values; reading the clock is not.
var impure = []string{"os", "net", "net/http", "io/ioutil", "log", "log/slog", "math/rand", "database/sql", "context", "os/exec"}

// TestArrows reads the import lines of every file itself: asking the Go tool
// would be cached and blind to files that another build tag holds.
func TestArrows(t *testing.T) {
	files := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != ".." {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		files++
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if strings.HasPrefix(path, "../calc/") && strings.Contains(string(source), "time.Now(") {
			t.Errorf("%s reads the clock: calc is pure", strings.TrimPrefix(path, "../"))
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, source, parser.ImportsOnly)
		if err != nil {
			return err
		}
		part := filepath.ToSlash(filepath.Dir(strings.TrimPrefix(path, "../")))
		for _, spec := range file.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if complaint := judge(part, name); complaint != "" {
				t.Errorf("%s imports %s: %s", strings.TrimPrefix(path, "../"), name, complaint)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 20 {
		t.Fatalf("only %d files were read: the test looks in the wrong place", files)
	}
}

// TestArrowsComplain makes sure that the judgement above can fail.
func TestArrowsComplain(t *testing.T) {
	for _, c := range []struct {
		part, name string
		fine       bool
	}{
		{"calc/gauge", "countwright/calc/measure", true},
		{"calc/gauge", "countwright/store", false},
		{"calc/gauge", "os", false},
		{"calc/gauge", "github.com/bwmarrin/discordgo", false},
		{"calc/stitch", "github.com/pelletier/go-toml/v2", true},
		{"store", "countwright/calc/measure", true},
		{"store", "countwright/calc/gauge", false},
		{"store", "countwright/commands", false},
		{"commands", "countwright/store", false},
		{"commands/reply", "countwright/commands", false},
		{"commands", "countwright/commands/reply", true},
		{"bot/room", "countwright/commands", true},
		{"bot/room", "github.com/bwmarrin/discordgo", false},
		{"bot/chat", "github.com/bwmarrin/discordgo", true},
	} {
		if got := judge(c.part, c.name) == ""; got != c.fine {
			t.Errorf("%s importing %s: fine is %t, want %t", c.part, c.name, got, c.fine)
		}
	}
}

func judge(part, name string) string {
	if name == "github.com/bwmarrin/discordgo" && part != "bot/chat" {
		return "only bot/chat knows the chat service"
	}
	if own, ok := strings.CutPrefix(name, "countwright/"); ok {
		for _, prefix := range rule(allowed, part) {
			if own == prefix || strings.HasSuffix(prefix, "/") && strings.HasPrefix(own, prefix) {
				return ""
			}
		}
		return "this arrow points the wrong way"
	}
	if !strings.HasPrefix(part, "calc") {
		return ""
	}
	if strings.Contains(strings.Split(name, "/")[0], ".") {
		for _, fine := range rule(outside, part) {
			if name == fine || strings.HasPrefix(name, fine+"/") {
				return ""
			}
		}
		return "calc uses the standard library only"
	}
	for _, bad := range impure {
		if name == bad {
			return "calc is pure"
		}
	}
	return ""
}

// rule finds what holds for a part: its own entry or that of the nearest
// folder above it.
func rule(rules map[string][]string, part string) []string {
	for part != "." && part != "" {
		if r, ok := rules[part]; ok {
			return r
		}
		part = filepath.ToSlash(filepath.Dir(part))
	}
	return nil
}
