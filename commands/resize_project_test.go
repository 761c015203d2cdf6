package commands

import (
	"context"
	"strings"
	"testing"

	"countwright/commands/reply"
)

// TestResizeStartsAProject: the button's line starts the garment that was
// shown, and is absent where it could not.
func TestResizeStartsAProject(t *testing.T) {
	for _, c := range []struct {
		line, want string // want empty: no button
	}{
		{"/resize pattern:hat head:56 cm gauge:14x10", "/project start gauge:14x10 head:56 cm pattern:hat"},
		{"/resize pattern:hat head:56 cm gauge:14x10 terms:UK sheet:A4", "/project start gauge:14x10 head:56 cm pattern:hat"},
		{"/resize pattern:hat head:22 units:inches gauge:14x10", ""},
		{"/resize pattern:cardigan chest:112 cm hips:120 cm upper_arm:38 cm cross_back:45 cm back_length:46 cm gauge:14x10", ""},
	} {
		set := All(withSwatch().services(), nil)
		r := set.RunLine(context.Background(), asker, c.line)
		if r.Error != nil {
			t.Fatalf("%s: %+v", c.line, r.Error)
		}
		got := ""
		for _, a := range r.Actions {
			if b, ok := a.(reply.Button); ok && strings.HasPrefix(b.Line, "/project start") {
				got = b.Line
			}
		}
		if got != c.want {
			t.Errorf("%s\noffers %q, want %q", c.line, got, c.want)
			continue
		}
		if got == "" {
			continue
		}
		if started := set.RunLine(context.Background(), asker, got); started.Error != nil {
			t.Errorf("%s: %+v", got, started.Error)
		}
	}
}
