package commands

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"countwright/commands/reply"
)

var update = flag.Bool("update", false, "rewrite the golden replies")

// TestGolden holds whole replies to what is kept in testdata: each file is one
// situation, a line asked, or several of which the last one counts, and what
// comes of it in words and in figures. The asker has one swatch; a first line
// that names UK, inches or a language sets her own: "settings: German".
func TestGolden(t *testing.T) {
	paths, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no golden replies: %v", err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(path)
			if err != nil {
				t.Fatal(err)
			}
			r := goldenReply(t, string(archive.Files[0].Data), string(archive.Comment))
			text, err := reply.Plain(r)
			if err != nil {
				t.Fatal(err)
			}
			data, err := json.MarshalIndent(r.Data, "", " ")
			if err != nil {
				t.Fatal(err)
			}
			got := &txtar.Archive{Comment: archive.Comment, Files: []txtar.File{
				archive.Files[0],
				{Name: "text", Data: []byte(text)},
				{Name: "data", Data: append(data, '\n')},
			}}
			if *update {
				if err := os.WriteFile(path, txtar.Format(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if want := txtar.Format(archive); !bytes.Equal(txtar.Format(got), want) {
				t.Errorf("the reply changed; see the difference after -update. Now:\n%s", txtar.Format(got))
			}
		})
	}
}

func goldenReply(t *testing.T, line, comment string) reply.Reply {
	t.Helper()
	m := withSwatch()
	var settings Settings
	if strings.Contains(comment, "UK") {
		settings.Terms = termsNamed("UK")
	}
	if strings.Contains(comment, "inches") {
		settings.Units = unitNamed("inches")
	}
	settings.Language = languageNamed(comment)
	m.settings[asker.Member.ID] = settings
	set, call := All(m.services(), nil), asker
	if strings.Contains(comment, "somebody else") {
		call.Member, call.Host = Member{ID: "odile", Name: "odile"}, false
	}
	var last reply.Reply
	for line := range strings.Lines(strings.TrimSpace(line)) {
		last = set.RunLine(context.Background(), call, strings.TrimSpace(line))
	}
	return last
}

// languageNamed is the code of the language that a comment names; empty for
// English.
func languageNamed(comment string) string {
	if !strings.HasPrefix(comment, "settings:") {
		return ""
	}
	for name, code := range map[string]string{"German": "de", "Dutch": "nl", "Spanish": "es-ES", "Mexican": "es-419"} {
		if strings.Contains(comment, name) {
			return code
		}
	}
	return ""
}
