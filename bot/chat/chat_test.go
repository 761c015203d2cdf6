package chat

import (
	"context"
	"log/slog"
	"strings"
	"sync"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/calc/gauge"
	"countwright/commands"
)

// noon is when everything in these tests happens.
var noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

// hasten makes a Service that is connected to a stand-in wait less.
func hasten(s *Service) {
	s.timing.firstRetry, s.timing.farewell = 10*time.Millisecond, 20*time.Millisecond
	s.timing.steady, s.timing.begin, s.timing.invalid = 10*time.Millisecond, time.Millisecond, 10*time.Millisecond
}

// serving connects a Service with a set to a stand-in of the chat service.
func serving(tb testing.TB, set *commands.Set, change func(*Service, *loopback.Service)) (*loopback.Service, func() error) {
	tb.Helper()
	fake := loopback.Start(tb)
	s, err := New(Options{Token: loopback.Token, Set: set, Now: func() time.Time { return noon },
		Transport: fake.Transport(), Log: slog.New(slog.NewTextHandler(logTo{tb}, &slog.HandlerOptions{Level: slog.LevelDebug})), HostRoles: []string{"700000000000000001"}})
	if err != nil {
		tb.Fatal(err)
	}
	hasten(s)
	s.queue = newQueue(time.Now, 1000) // registering need not take its time
	if change != nil {
		change(s, fake)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	stop := sync.OnceValue(func() error {
		cancel()
		select {
		case err := <-ended:
			return err
		case <-time.After(20 * time.Second):
			tb.Error("Run did not return")
			return nil
		}
	})
	tb.Cleanup(func() {
		if err := stop(); err != nil {
			tb.Error(err)
		}
	})
	fake.Online()
	return fake, stop
}

// logTo shows the log of a failing test, and sees to it that no token is in it.
type logTo struct{ tb testing.TB }

var secrets = []string{loopback.Token, "interaction-token-"}

func (l logTo) Write(p []byte) (int, error) {
	for _, secret := range secrets {
		if strings.Contains(string(p), secret) {
			l.tb.Errorf("a token is in the log: %s", p)
		}
	}
	return len(p), nil
}

// community is what the real commands need, in memory.
type community struct {
	mu       sync.Mutex
	settings map[string]commands.Settings
	swatches map[string][]commands.SavedSwatch
}

func newCommunity() commands.Services {
	c := &community{settings: map[string]commands.Settings{}, swatches: map[string][]commands.SavedSwatch{}}
	return commands.Services{Members: c, Swatches: c, Patterns: shelf{}}
}

func (c *community) Settings(_ context.Context, member string) (commands.Settings, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.settings[member], nil
}

func (c *community) SaveSettings(_ context.Context, _, member string, s commands.Settings) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.settings[member] = s
	return nil
}

func (c *community) Save(_ context.Context, _, member string, s gauge.Swatch) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.swatches[member] = append([]commands.SavedSwatch{{Swatch: s, Made: noon}}, c.swatches[member]...)
	return nil
}

func (c *community) List(_ context.Context, member string) ([]commands.SavedSwatch, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.swatches[member], nil
}

// example turns an example line into what a member does in the client.
func example(tb testing.TB, set *commands.Set, line string) loopback.Ask {
	tb.Helper()
	path, inputs, err := commands.ParseLine(line, set)
	if err != nil {
		tb.Fatal(err)
	}
	ask := loopback.Ask{Path: path, Options: map[string]string{}}
	for name, in := range inputs {
		ask.Options[name] = in.Text
	}
	return ask
}

func TestEveryExampleIsAnswered(t *testing.T) {
	t.Parallel()
	set := commands.All(newCommunity(), nil)
	fake, _ := serving(t, set, nil)
	for _, path := range set.Paths() {
		c, _ := set.Lookup(path)
		if strings.HasPrefix(path, "project ") || strings.HasPrefix(path, "makealong ") || path == "me export" || path == "me erase" {
			continue // these need a store; the practice room's scripts try them
		}
		for _, line := range c.Examples {
			t.Run(line, func(t *testing.T) {
				ask := example(t, set, line)
				if c.For == commands.Hosts {
					ask.Roles = []string{"700000000000000001"}
				}
				m := fake.Ask(ask).Shown()
				if strings.Contains(m.Content, "did not work") || strings.Contains(m.Content, "Not this time") {
					t.Errorf("%s\nwas answered with\n%s", line, m.Content)
				}
				t.Logf("\n%s", m.Content)
				for _, a := range m.Attachments {
					t.Logf("%s: %s", a.Filename, a.Alt)
				}
			})
		}
	}
}
