package reply

import (
	"bytes"
	"countwright/commands/words"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/rogpeppe/go-internal/txtar"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// Every reply on every surface: testdata shows them side by side.
func TestSurfaces(t *testing.T) {
	for name, r := range map[string]Reply{"every": every(), "mistake": mistaken(), "refusal": Refused(words.Printer{}, "This is for hosts. Ask one of them."), "form": asking(), "sly": sly(), "empty": {}} {
		t.Run(name, func(t *testing.T) {
			surfaces := txtar.Archive{Comment: []byte("One reply on every surface; go test ./commands/reply -update rewrites this file.\n")}
			add := func(surface, text string, err error) {
				if err != nil {
					t.Fatal(err)
				}
				surfaces.Files = append(surfaces.Files, txtar.File{Name: surface, Data: []byte(text)})
			}
			s, err := Terminal(r, TerminalOptions{Saved: func(b Block) string {
				if p, ok := b.(Picture); ok {
					return "pictures/" + p.Name + ".png"
				}
				return ""
			}})
			add("terminal", s, err)
			s, err = Terminal(r, TerminalOptions{Width: 40})
			add("terminal, 40 columns", s, err)
			s, err = Terminal(r, TerminalOptions{Colour: true})
			add("terminal, colour (^ for escape)", strings.ReplaceAll(s, "\x1b", "^"), err)
			s, err = Plain(r)
			add("plain", s, err)
			b, err := JSON(r, nil, nil)
			add("json", string(b), err)
			golden(t, name+".txtar", txtar.Format(&surfaces))
		})
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; if that is meant, run the test with -update\n%s", file, got)
	}
}

// odd is a block and an action that no printer knows.
type odd struct{}

func (odd) block()  {}
func (odd) action() {}

func TestUnknownIsAnError(t *testing.T) {
	for what, r := range map[string]Reply{
		"an unknown block":         {Parts: []Block{Text{"a"}, odd{}}},
		"a nil block":              {Parts: []Block{nil}},
		"a pointer to a block":     {Parts: []Block{&Text{"a"}}},
		"an unknown action":        {Actions: []Action{odd{}}},
		"a table with a short row": {Parts: []Block{Table{Head: []string{"a", "b"}, Rows: [][]string{{"1"}}}}},
	} {
		if s, err := Terminal(r, TerminalOptions{}); err == nil {
			t.Errorf("%s is printed on the terminal: %q", what, s)
		}
		if what != "a table with a short row" {
			if s, err := JSON(r, nil, nil); err == nil {
				t.Errorf("%s is printed as JSON: %q", what, s)
			}
		}
		if what != "an unknown action" {
			if s, err := Plain(r); err == nil {
				t.Errorf("%s is printed plainly: %q", what, s)
			}
		}
	}
	if s, err := JSON(Reply{Data: func() {}}, nil, nil); err == nil {
		t.Errorf("data without a machine form is printed: %q", s)
	}
}

// The keys are a promise to programs that read the answers.
func TestJSONKeys(t *testing.T) {
	b, err := JSON(every(), []SavedPicture{{Path: "pictures/even-shape.png", Alt: "A row."}}, []SavedFile{{Name: "back.txt", Path: "pictures/back.txt"}})
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Count(b, []byte("\n")) != 1 || !bytes.HasSuffix(b, []byte("\n")) {
		t.Errorf("not one line: %q", b)
	}
	var got map[string]any
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"command", "ok", "title", "parts", "pictures", "files", "actions", "private", "data", "error"} {
		if _, there := got[key]; !there {
			t.Errorf("no key %q", key)
		}
	}
	if got["ok"] != true || got["error"] != nil {
		t.Errorf("ok %v, error %v", got["ok"], got["error"])
	}
	picture := got["pictures"].([]any)[0].(map[string]any)
	if picture["path"] != "pictures/even-shape.png" || picture["alt"] != "A row." {
		t.Errorf("picture %v", picture)
	}
	if len(got["parts"].([]any)) != len(every().Parts) {
		t.Errorf("%d parts, want %d", len(got["parts"].([]any)), len(every().Parts))
	}

	b, err = JSON(mistaken(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	wrong := got["error"].(map[string]any)
	if got["ok"] != false || wrong["option"] != "stitches" || wrong["example"] != "/even shape stitches:87 increase:14" || wrong["message"] == "" {
		t.Errorf("ok %v, error %v", got["ok"], wrong)
	}
}

// What JSON lets through unescaped but a terminal would obey is escaped, and
// reads back as it was.
func TestJSONEscapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		b, err := JSON(Reply{Title: s + "\u009b\u202e\U000E0041"}, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range strings.TrimSuffix(string(b), "\n") {
			if r != unicode.ReplacementChar && steering(r) {
				t.Fatalf("%q stands in %q", r, b)
			}
		}
		var got struct{ Title string }
		if err := json.Unmarshal(b, &got); err != nil || got.Title != s+"\u009b\u202e\U000E0041" {
			t.Fatalf("%q is read back as %q (%v)", s, got.Title, err)
		}
	})
}
