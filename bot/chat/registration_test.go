package chat

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"countwright/bot/chat/loopback"
	"countwright/commands"
	"countwright/commands/reply"
)

// registered runs a service until it is connected and returns what it asked
// for while registering.
func registered(t *testing.T, fake *loopback.Service, o Options) []string {
	t.Helper()
	o.Token, o.Transport = loopback.Token, fake.Transport()
	s, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	if err := s.prepare(ctx); err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(fake.Requests(), func(r string) bool { return !strings.Contains(r, "/commands") })
}

const global = "/applications/" + loopback.Application + "/commands"

func TestOnlyWhatChangedIsRegistered(t *testing.T) {
	fake := loopback.Start(t)
	run := func(context.Context, commands.Request) (reply.Reply, error) { return reply.Reply{}, nil }
	set := func(short string, names ...string) *commands.Set {
		var list []*commands.Command
		for _, n := range names {
			list = append(list, &commands.Command{Name: n, Short: short, Run: run, Options: []commands.Option{
				commands.Int("count", "How many", 1, 9).Require(), commands.OneOf("in", "Where", "row", "round"), commands.YesNo("really", "Really"), commands.Words("text", "Text", 50)}})
		}
		return commands.Of(commands.Services{}, nil, list...)
	}
	steps := []struct {
		name string
		set  *commands.Set
		want []string
	}{
		{"first", set("Short", "even", "gauge"), []string{"GET " + global, "POST " + global, "POST " + global}},
		{"nothing changed", set("Short", "even", "gauge"), []string{"GET " + global}},
		{"order changed", set("Short", "gauge", "even"), []string{"GET " + global}},
		{"texts changed", set("Other", "even", "gauge"), []string{"GET " + global, "POST " + global, "POST " + global}},
		{"one more", set("Other", "even", "gauge", "size"), []string{"GET " + global, "POST " + global}},
		{"two less", set("Other", "even"), []string{"GET " + global, "DELETE", "DELETE"}},
	}
	for _, step := range steps {
		got := registered(t, fake, Options{Set: step.set})
		for i := range got {
			if strings.HasPrefix(got[i], "DELETE") {
				got[i] = "DELETE"
			}
		}
		if !slices.Equal(got, step.want) {
			t.Errorf("%s: got %q, want %q", step.name, got, step.want)
		}
		if n := len(fake.Registered("")); n != len(step.set.Commands) {
			t.Errorf("%s: %d registered", step.name, n)
		}
	}
}

func TestRegistrationLeavesOtherKindsAlone(t *testing.T) {
	fake := loopback.Start(t)
	fake.Register("", loopback.Command{Type: 4, Name: "launch"})
	registered(t, fake, Options{Set: newStubs().set()})
	if r := fake.Registered(""); r[0].Name != "launch" {
		t.Errorf("registered %v", r)
	}
}

func TestRegistrationPerServer(t *testing.T) {
	fake := loopback.Start(t)
	set := newStubs().set()
	first := registered(t, fake, Options{Set: set, Server: loopback.Server})
	if len(first) != 1+len(set.Commands) || !strings.Contains(first[0], "/guilds/"+loopback.Server+"/commands") {
		t.Errorf("asked for %q", first)
	}
	if second := registered(t, fake, Options{Set: set, Server: loopback.Server}); len(second) != 1 {
		t.Errorf("nothing changed, and it asked for %q", second)
	}
	if len(fake.Registered("")) != 0 {
		t.Error("registered globally too")
	}
}

func TestCommandsForHosts(t *testing.T) {
	find := func(all []slash, name string) slash {
		i := slices.IndexFunc(all, func(s slash) bool { return s.Name == name })
		return all[i]
	}
	set := newStubs().set()
	if p := find(slashes(set, reach{byPermission: true}), "desk").Permissions; p == nil || *p != "8589934592" { // MANAGE_EVENTS, 1<<33
		t.Errorf("hidden behind %v", p)
	}
	if c := find(slashes(set, reach{byPermission: true}), "desk").Contexts; !slices.Equal(c, []int{inServer}) {
		t.Errorf("offered in %v", c)
	}
	if find(slashes(set, reach{}), "desk").Permissions != nil {
		t.Error("hidden from hosts by role")
	}
	if find(slashes(set, reach{byPermission: true}), "say").Permissions != nil {
		t.Error("a command for everyone is hidden")
	}
}

func TestAllCommandsCanBeRegistered(t *testing.T) {
	fake := loopback.Start(t) // checks each limit
	for _, server := range []string{"", loopback.Server} {
		set := commands.All(newCommunity(), nil)
		registered(t, fake, Options{Set: set, Server: server})
		if n := len(fake.Registered(server)); n != len(set.Commands) {
			t.Errorf("%d of %d registered for %q", n, len(set.Commands), server)
		}
		if again := registered(t, fake, Options{Set: set, Server: server}); len(again) != 1 {
			t.Errorf("nothing changed, and it asked for %q", again)
		}
	}
}

// TestOtherLanguagesAreRegistered reads back what the service was told. Its
// stand-in has checked the limits in every locale by then.
func TestOtherLanguagesAreRegistered(t *testing.T) {
	fake := loopback.Start(t)
	registered(t, fake, Options{Set: commands.All(newCommunity(), nil)})
	list := fake.Registered("")
	even := list[slices.IndexFunc(list, func(c loopback.Command) bool { return c.Name == "even" })]
	if even.Names["de"] != "verteilen" || even.Names["es-419"] != even.Names["es-ES"] || even.Names["en-US"] != "" {
		t.Errorf("/even is called %v", even.Names)
	}
	shape := even.Options[slices.IndexFunc(even.Options, func(o loopback.CommandOption) bool { return o.Name == "shape" })]
	in := shape.Options[slices.IndexFunc(shape.Options, func(o loopback.CommandOption) bool { return o.Name == "in" })]
	if shape.Texts["nl"] == "" || in.Names["es-ES"] != "en" || in.Choices[0].Names["de"] != "Reihe" || in.Choices[0].Value != "row" {
		t.Errorf("/even shape is %v with %+v", shape.Texts, in)
	}
}

// TestLimitsInOtherLanguages makes sure that the stand-in's check of other
// languages can fail.
func TestLimitsInOtherLanguages(t *testing.T) {
	option := func(name, german string) loopback.CommandOption {
		return loopback.CommandOption{Type: 3, Name: name, Names: loopback.InOthers{"de": german}, Description: "d"}
	}
	for name, c := range map[string]loopback.Command{
		"capital":          {Names: loopback.InOthers{"de": "Masche"}},
		"space":            {Names: loopback.InOthers{"nl": "een steek"}},
		"long name":        {Names: loopback.InOthers{"de": strings.Repeat("x", 33)}},
		"long description": {Texts: loopback.InOthers{"de": strings.Repeat("x", 101)}},
		"no such locale":   {Texts: loopback.InOthers{"es": "x"}},
		"two alike":        {Options: []loopback.CommandOption{option("a", "x"), option("b", "x")}},
		"as another's own": {Options: []loopback.CommandOption{option("a", "b"), {Type: 3, Name: "b", Description: "d"}}},
	} {
		c.Type, c.Name, c.Description = 1, "stitch", "d"
		if broken := c.Broken(false); len(broken) == 0 {
			t.Errorf("%s: nothing is broken", name)
		}
	}
}

// TestSizeOfCommands: what is left of the 8,000 characters that a command may
// have, the longest localisation of each field counted.
func TestSizeOfCommands(t *testing.T) {
	for _, c := range slashes(commands.All(newCommunity(), nil), reach{byPermission: true}) {
		body, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		var registered loopback.Command
		if err := json.Unmarshal(body, &registered); err != nil {
			t.Fatal(err)
		}
		size := registered.Size()
		t.Logf("/%s: %d", c.Name, size)
		if size > 7900 {
			t.Errorf("/%s has %d of 8,000 characters: too near the limit for one more option", c.Name, size)
		}
	}
}

// TestCommandsToTakeAlong: where the application may be installed by members,
// what needs no server's hosts comes with them; what is about a server does not.
func TestCommandsToTakeAlong(t *testing.T) {
	set := commands.All(newCommunity(), nil)
	for _, personal := range []bool{false, true} {
		fake := loopback.Start(t)
		fake.Personal = personal
		registered(t, fake, Options{Set: set})
		for _, c := range fake.Registered("") {
			want, contexts := []int{onServer}, []int{inServer, inDirectMessage}
			if personal && c.Name != "pattern" && c.Name != "makealong" {
				want, contexts = []int{onServer, byMember}, []int{inServer, inDirectMessage, amongPeople}
			}
			if !slices.Equal(c.Install, want) || !slices.Equal(c.Contexts, contexts) {
				t.Errorf("personal %t: /%s is installed %v and used %v", personal, c.Name, c.Install, c.Contexts)
			}
		}
	}
}

// TestExamplesAmongPeople: a member who brought the bot herself asks where it is
// no member: there is no server, and five further messages an answer at most.
func TestExamplesAmongPeople(t *testing.T) {
	t.Parallel()
	set := commands.All(newCommunity(), nil)
	fake, _ := serving(t, set, func(_ *Service, f *loopback.Service) { f.Personal = true })
	asked := 0
	for _, c := range fake.Registered("") {
		if !slices.Contains(c.Install, byMember) {
			continue
		}
		for _, path := range set.Paths() {
			if path != c.Name && !strings.HasPrefix(path, c.Name+" ") || strings.HasPrefix(path, "project ") || path == "me export" || path == "me erase" {
				continue // these need a store
			}
			declared, _ := set.Lookup(path)
			for _, line := range declared.Examples {
				if strings.Contains(line, "pattern:coaster") {
					continue // a server keeps it
				}
				ask := example(t, set, line)
				ask.Personal = true
				if m := fake.Ask(ask).Shown(); strings.Contains(m.Content, "Not this time") || strings.Contains(m.Content, "did not work") {
					t.Errorf("%s\nwas answered with\n%s", line, m.Content)
				}
				asked++
			}
		}
	}
	if asked < 50 {
		t.Errorf("only %d examples were asked", asked)
	}
}
