package commands

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"strings"
	"testing"

	"countwright/commands/reply"
)

// photographed is a picture with what a telephone writes beside it.
func photographed(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 9, 9)), nil); err != nil {
		t.Fatal(err)
	}
	beside := "\xff\xfe\x00\x1338.7072 N 9.1365W"
	return append([]byte(b.String()[:2]+beside), b.Bytes()[2:]...)
}

func photoInput(name string, body []byte) Input {
	return Input{Text: name, File: &Attachment{Name: name, Size: int64(len(body)), Load: func(context.Context) ([]byte, error) { return body, nil }}}
}

// TestShare: the picture is shown to everybody with its words, without what the
// telephone wrote beside it, and only the words are kept.
func TestShare(t *testing.T) {
	m := withSwatch()
	call := asker
	call.Path, call.Inputs = "makealong share", map[string]Input{"words": {Text: "the first sleeve"}, "photo": photoInput("IMG_2041.JPG", photographed(t))}
	r := All(m.services(), nil).Run(context.Background(), call)
	if r.Error != nil || r.Private {
		t.Fatalf("%+v, private %t", r.Error, r.Private)
	}
	var shown *reply.File
	for _, p := range r.Parts {
		if f, ok := p.(reply.File); ok {
			shown = &f
		}
	}
	if shown == nil || shown.Alt != "the first sleeve" || shown.Type != "image/jpeg" || strings.Contains(shown.Name, "IMG") {
		t.Fatalf("shown: %+v", shown)
	}
	if bytes.Contains(shown.Body, []byte("38.7")) {
		t.Error("where it was taken is still in it")
	}
	if _, err := jpeg.Decode(bytes.NewReader(shown.Body)); err != nil {
		t.Errorf("it can't be read back: %v", err)
	}
	kept := m.alongs.shared[len(m.alongs.shared)-1]
	if kept.Text != "the first sleeve" || kept.Name != "Mira" || kept.Where != "shown in this channel" {
		t.Errorf("kept: %+v", kept)
	}
	if board, _ := reply.Plain(m.says(t, asker, "/makealong board")); !strings.Contains(strings.Join(strings.Fields(board), " "), "“the first sleeve”, by Mira, 1 March (shown in this channel)") {
		t.Errorf("the gallery:\n%s", board)
	}
}

func TestShareRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		input Input
		want  string
	}{
		"no picture":    {photoInput("sleeve.jpg", []byte("words")), "JPEG, PNG and WebP"},
		"broken off":    {photoInput("sleeve.jpg", photographed(t)[:60]), "broken off"},
		"another kind":  {photoInput("sleeve.heic", photographed(t)), "does not end in"},
		"not to be had": {Input{Text: "a.jpg", File: &Attachment{Name: "a.jpg", Size: 5}}, "can't be fetched"},
	} {
		m := withSwatch()
		before := len(m.alongs.shared)
		call := asker
		call.Path, call.Inputs = "makealong share", map[string]Input{"words": {Text: "a sleeve"}, "photo": c.input}
		r := All(m.services(), nil).Run(context.Background(), call)
		if r.Error == nil || !strings.Contains(r.Error.Message, c.want) {
			t.Errorf("%s: %+v", name, r.Error)
		}
		if len(m.alongs.shared) != before {
			t.Errorf("%s was kept", name)
		}
	}
}

// Who is not named is not named in the gallery either.
func TestShareUnnamed(t *testing.T) {
	m := withSwatch()
	m.says(t, asker, "/makealong join named:no")
	r := m.says(t, asker, "/makealong share words:a hem where:the album")
	if text, _ := reply.Plain(r); strings.Contains(text, "ira") {
		t.Errorf("she is named:\n%s", text)
	}
}
