package chat

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"countwright/bot/chat/loopback"
	"countwright/calc/schedule"
	"countwright/commands"
	"countwright/commands/reply"
)

// description compiles the service's own published description of its API,
// version 10, as JSON schemas of the bodies that are sent. .ci/run fetches it;
// without it these tests say so and are skipped, and the rules of the loopback
// service remain.
func description(t *testing.T) map[string]*jsonschema.Schema {
	path := os.Getenv("COUNTWRIGHT_API_DESCRIPTION")
	if path == "" && os.Getenv("CI") == "true" {
		t.Fatal("COUNTWRIGHT_API_DESCRIPTION does not name the service's description, and CI may not go without it; .ci/run fetches it")
	}
	if path == "" {
		t.Skip("COUNTWRIGHT_API_DESCRIPTION does not name the service's description; .ci/run fetches it")
	}
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	whole, err := jsonschema.UnmarshalJSON(file)
	if err != nil {
		t.Fatal(err)
	}
	compiled := map[string]*jsonschema.Schema{}
	for name, schema := range whole.(map[string]any) {
		c := jsonschema.NewCompiler()
		c.AssertFormat()
		if err := c.AddResource(name+".json", schema); err != nil {
			t.Fatal(err)
		}
		if compiled[name], err = c.Compile(name + ".json"); err != nil {
			t.Fatal(err)
		}
	}
	return compiled
}

func validate(s *jsonschema.Schema, body []byte) error {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(body))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// TestEverythingSentFitsTheDescription sends all that there is to send.
func TestEverythingSentFitsTheDescription(t *testing.T) {
	t.Parallel()
	schemas := description(t)
	var mu sync.Mutex
	seen := map[string]int{}
	observe := func(_ *Service, f *loopback.Service) {
		f.Observe = func(kind string, body []byte) {
			mu.Lock()
			defer mu.Unlock()
			seen[kind]++
			if err := validate(schemas[kind], body); err != nil {
				t.Errorf("%s does not fit: %v\n%s", kind, err, body)
			}
		}
	}
	set := commands.All(newCommunity(), nil)
	fake, _ := serving(t, set, observe)
	for _, path := range set.Paths() {
		c, _ := set.Lookup(path)
		for _, line := range c.Examples {
			fake.Ask(example(t, set, line)).Wait()
		}
	}
	stubs := newStubs()
	close(stubs.gate)
	fake, _ = serving(t, stubs.set(), observe)
	over, _ := overHTTP(t, stubs.set(), observe)
	for _, ask := range []loopback.Ask{
		{Path: "more"}, {Path: "picture"}, {Path: "slip"}, {Path: "slow", Options: map[string]string{"text": "x"}}, {Path: "secret", Options: map[string]string{"text": "x"}},
		{Path: "form"}, {Path: "mistake"}, {Path: "big"}, {Button: "old"}, {Form: "cw10:/form", Fields: map[string]string{"text": "Row 1: ch 12"}},
		{Path: "say", Options: map[string]string{"yarn": ""}, Typing: "yarn"}, {Path: "say", Options: map[string]string{"yarn": "zzz"}, Typing: "yarn"},
		{Path: "say", Options: map[string]string{"rows": "1"}, Typing: "rows"},
	} {
		fake.Ask(ask).Wait()
		over.Ask(ask).Wait()
	}
	mu.Lock()
	defer mu.Unlock()
	for _, kind := range []string{"callback", "edit", "follow", "command"} {
		if seen[kind] == 0 {
			t.Errorf("no %s was sent", kind)
		}
	}
	t.Logf("bodies checked: %v", seen)
}

// TestPostsFitTheDescription sends what nobody asked for.
func TestPostsFitTheDescription(t *testing.T) {
	t.Parallel()
	schemas := description(t)
	s, fake := posting(t)
	seen := map[string]int{}
	fake.Observe = func(kind string, body []byte) {
		seen[kind]++
		if err := validate(schemas[kind], body); err != nil {
			t.Errorf("%s does not fit: %v\n%s", kind, err, body)
		}
	}
	channel := fake.Open(loopback.Server)
	whole := everything()
	whole.Pings = []string{"300000000000000007"}
	for n, r := range []reply.Reply{whole, checkIn(1)} {
		for _, to := range []Place{{Channel: channel}, {Member: "300000000000000001"}} {
			if _, err := s.Post(t.Context(), to, r, fmt.Sprint("nonce-", n)); err != nil {
				t.Fatal(err)
			}
		}
	}
	start := noon.AddDate(100, 0, 0)
	if _, err := s.Event(t.Context(), loopback.Server, commands.EventCard{Name: "The crown", Description: "We meet. 1/2", Start: start, End: start.Add(time.Hour),
		Location: "the crochet channel", Mark: "1/2"}); err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"post", "direct", "event"} {
		if seen[kind] == 0 {
			t.Errorf("no %s was sent", kind)
		}
	}
}

// TestMakeAlongPostsFitTheDescription sends make-alongs' own posts and events,
// whatever hosts wrote into them.
func TestMakeAlongPostsFitTheDescription(t *testing.T) {
	schemas := description(t)
	rapid.Check(t, func(t *rapid.T) {
		m := largeAlong(t)
		group := grouped{party: []commands.Participant{{Along: m.ID, Member: "300000000000000007", Pings: true}}}
		for i := range 5 {
			group.answers = append(group.answers, commands.Answer{Milestone: i, Member: "300000000000000007", Name: "<@3>", Say: commands.SayNeedHelp, Place: "Row 3 of 9", Words: "**help**"})
		}
		set := commands.All(commands.Services{MakeAlongs: group}, nil)
		for _, kind := range []commands.PostKind{commands.WelcomePost, commands.MilestonePost, commands.MidwayPost, commands.FarewellPost, commands.HostNote, commands.EventPost} {
			p := commands.Posting{MakeAlong: m, Post: commands.Post{ID: 7, Along: m.ID, Kind: kind, Milestone: 3, Key: fmt.Sprintf("%s/3", kind), To: m.Host}}
			p.Now = schedule.At(m.Course.Milestones[3].Date, m.Course.At, time.UTC).Add(-time.Hour)
			if kind == commands.HostNote {
				p.Key = "help/3"
			}
			w, err := set.Post(t.Context(), p)
			if err != nil || w.Reply == nil {
				t.Fatalf("%s: %+v, %v", kind, w, err)
			}
			var body any
			if card, ok := w.Reply.Data.(commands.EventCard); ok {
				body = eventOf(card)
			} else if body, err = postOf(*w.Reply, "nonce"); err != nil {
				t.Fatal(err)
			}
			text, err := json.Marshal(body)
			if err != nil {
				t.Fatal(err)
			}
			schema := schemas["post"]
			if kind == commands.EventPost {
				schema = schemas["event"]
			}
			if err := validate(schema, text); err != nil {
				t.Errorf("%s does not fit: %v\n%s", kind, err, text)
			}
		}
	})
}

// TestDescriptionSeesFaults shows that the check can fail.
func TestDescriptionSeesFaults(t *testing.T) {
	schemas := description(t)
	text := func(s string, n int) string { return strings.Repeat(s, n) }
	button := map[string]any{"type": 2, "style": 2, "label": "L", "custom_id": "c"}
	for name, tt := range map[string]struct {
		kind string
		body any
	}{
		"long content":     {"callback", map[string]any{"type": 4, "data": map[string]any{"content": text("x", 2001)}}},
		"unknown type":     {"callback", map[string]any{"type": 44}},
		"misspelt field":   {"edit", map[string]any{"contents": "x"}},
		"26 choices":       {"callback", map[string]any{"type": 8, "data": map[string]any{"choices": slices.Repeat([]any{map[string]string{"name": "n", "value": "v"}}, 26)}}},
		"long form title":  {"callback", map[string]any{"type": 9, "data": map[string]any{"custom_id": "c", "title": text("x", 46), "components": []any{}}}},
		"6 buttons in row": {"follow", map[string]any{"components": []any{map[string]any{"type": 1, "components": []any{button, button, button, button, button, button}}}}},
		"long name":        {"command", map[string]any{"name": text("x", 33), "description": "d"}},
		"long nonce":       {"post", map[string]any{"content": "x", "nonce": text("x", 26)}},
		"event nowhere":    {"event", map[string]any{"name": "x", "privacy_level": 2, "entity_type": 3, "scheduled_start_time": "2027-01-10T18:00:00Z", "scheduled_end_time": "2027-01-10T19:00:00Z"}},
		"long description": {"command", map[string]any{"name": "x", "description": text("x", 101)}},
	} {
		body, err := json.Marshal(tt.body)
		if err != nil {
			t.Fatal(err)
		}
		if validate(schemas[tt.kind], body) == nil {
			t.Errorf("%s was not seen", name)
		}
	}
}
