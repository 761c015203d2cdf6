package chat

import (
	"context"
	"errors"
	"strings"
	"sync"

	"countwright/commands"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

// stubs are commands that do what a test wants; gate holds up those that wait.
type stubs struct {
	gate    chan struct{}
	entered chan string // the path of a command that waits

	mu    sync.Mutex
	calls []commands.Call
	file  []byte
}

// runs is how many calls came.
func (s *stubs) runs() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.calls)
}

// last is the call that came last.
func (s *stubs) last() commands.Call {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.calls[len(s.calls)-1]
}

func newStubs() *stubs { return &stubs{gate: make(chan struct{}), entered: make(chan string, 100)} }

// run wraps a handler that notes its call.
func (s *stubs) run(answer func(commands.Request) (reply.Reply, error)) func(context.Context, commands.Request) (reply.Reply, error) {
	return func(_ context.Context, r commands.Request) (reply.Reply, error) {
		s.mu.Lock()
		s.calls = append(s.calls, r.Call)
		s.mu.Unlock()
		return answer(r)
	}
}

// wait wraps a handler that waits at the gate first.
func (s *stubs) wait(answer func(commands.Request) (reply.Reply, error)) func(context.Context, commands.Request) (reply.Reply, error) {
	return func(ctx context.Context, r commands.Request) (reply.Reply, error) {
		s.entered <- r.Path
		select {
		case <-s.gate:
			return answer(r)
		case <-ctx.Done():
			return reply.Reply{}, ctx.Err()
		}
	}
}

func text(s string) (reply.Reply, error) {
	return reply.Reply{Title: "Here you are", Parts: []reply.Block{reply.Text{Text: s}}}, nil
}

// The options of the stubs.
var (
	word   = commands.Words("text", "What to say", 1000).Like("twelve")
	count  = commands.Int("count", "How many", 0, 5000)
	really = commands.YesNo("really", "Really")
	where  = commands.OneOf("in", "Row or round", "row", "round")
	file   = commands.Upload("file", "A pattern", 1000, ".txt").Require()
	yarn   = commands.Words("yarn", "A yarn", 100).Suggest(func(_ context.Context, _ commands.Request, typed string) (c []commands.Choice) {
		for _, y := range []string{"Fjord wool", "Lichen linen", strings.Repeat("Very long name of a yarn ", 8)} {
			if strings.HasPrefix(y, typed) {
				c = append(c, commands.Choice{Label: y, Value: y[:min(len(y), 100)]})
			}
		}
		return c
	})
	rows = commands.Int("rows", "Rows", 1, 99).Suggest(func(context.Context, commands.Request, string) []commands.Choice {
		return []commands.Choice{{Label: "twelve", Value: "12"}, {Label: "not a number", Value: "many"}}
	})
)

func say(r commands.Request) (reply.Reply, error) { return text(word.Of(r)) }

func mistake(commands.Request) (reply.Reply, error) {
	return reply.Reply{}, word.Blame(errors.New("it can't be"))
}

func big(commands.Request) (reply.Reply, error) {
	return reply.Reply{Title: "Big", Parts: []reply.Block{reply.File{Name: "big.bin", Type: "application/octet-stream", Body: make([]byte, 3<<20)}}}, nil
}

func odd(commands.Request) (reply.Reply, error) {
	return reply.Reply{Parts: []reply.Block{reply.Picture{Name: "odd", Drawing: &picture.Drawing{}}}}, nil
}

// askText asks with a form for a text that is not given.
func askText(r commands.Request) (reply.Reply, error) {
	if word.Given(r) {
		return text(r.Inputs["count"].Text + ":" + word.Of(r))
	}
	return reply.Reply{Form: &reply.Form{Title: "Paste your pattern", Line: "/form count:3",
		Fields: []reply.Blank{{Option: "text", Label: "The rows", Hint: "Row 1: ch 12", Long: true, Required: true}}}}, nil
}

func more(commands.Request) (reply.Reply, error) {
	r, err := text("more")
	r.Actions = []reply.Action{reply.Button{Label: "Say", Line: "/say text:tapped"}, reply.Button{Label: "Form", Line: "/form"},
		reply.Menu{Label: "Which", Choices: []reply.Button{{Label: "One", Line: "/say text:one"}, {Label: "Two", Line: "/say text:two"}}}}
	return r, err
}

func (s *stubs) read(ctx context.Context, r commands.Request) (reply.Reply, error) {
	body, err := file.Of(r).Load(ctx)
	s.mu.Lock()
	s.file = body
	s.mu.Unlock()
	if err != nil {
		return reply.Reply{}, err
	}
	return text("read")
}

func (s *stubs) set() *commands.Set {
	c := func(name string, options []commands.Option, run func(context.Context, commands.Request) (reply.Reply, error)) *commands.Command {
		return &commands.Command{Name: name, Short: "Does " + name, Options: options, Examples: []string{"/" + name}, Run: run}
	}
	words := []commands.Option{word}
	slow, private, secret, slip := c("slow", words, s.wait(say)), c("private", nil, s.run(say)), c("secret", words, s.wait(say)), c("slip", words, s.wait(mistake))
	slow.Slow, slip.Slow, secret.Slow = true, true, true
	private.Private, secret.Private = true, true
	private.Options = words
	return commands.Of(commands.Services{}, nil,
		c("say", []commands.Option{word, count, really, where, yarn, rows}, s.run(say)),
		slow, private, secret, slip,
		c("late", words, s.wait(say)),
		c("mistake", words, s.run(mistake)),
		c("big", nil, s.run(big)),
		c("form", []commands.Option{word, count}, s.run(askText)),
		c("lateform", words, s.wait(askText)),
		c("read", []commands.Option{file}, s.read),
		c("panic", nil, s.run(func(commands.Request) (reply.Reply, error) { panic("oh") })),
		c("odd", nil, s.run(odd)),
		c("picture", nil, s.run(func(commands.Request) (reply.Reply, error) { return everything(), nil })),
		c("more", nil, s.run(more)),
		&commands.Command{Name: "desk", Short: "For hosts", Sub: []*commands.Command{
			{Name: "open", Short: "Open", For: commands.Hosts, Examples: []string{"/desk open"}, Run: s.run(func(commands.Request) (reply.Reply, error) { return text("opened") })},
		}},
	)
}
