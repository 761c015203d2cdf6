package commands

import (
	"context"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/reply"
)

// memory is a store for tests.
type memory struct {
	settings map[string]Settings
	swatches map[string][]SavedSwatch
	patterns memoryPatterns
	projects memoryProjects
	alongs   memoryAlongs
}

func newMemory() *memory {
	m := &memory{settings: map[string]Settings{}, swatches: map[string][]SavedSwatch{}}
	m.alongs.around = m
	return m
}

func (m *memory) services() Services {
	return Services{Members: m, Swatches: m, Patterns: &m.patterns, Projects: &m.projects, MakeAlongs: &m.alongs, Belongings: memoryBelongings{&m.projects}}
}

func (m *memory) Settings(_ context.Context, member string) (Settings, error) {
	return m.settings[member], nil
}

func (m *memory) SaveSettings(_ context.Context, _, member string, s Settings) error {
	m.settings[member] = s
	return nil
}

func (m *memory) Save(_ context.Context, _, member string, s gauge.Swatch) error {
	kept := slices.DeleteFunc(m.swatches[member], func(o SavedSwatch) bool { return strings.EqualFold(o.Name, s.Name) })
	m.swatches[member] = append([]SavedSwatch{{Swatch: s}}, kept...)
	return nil
}

func (m *memory) List(_ context.Context, member string) ([]SavedSwatch, error) {
	return m.swatches[member], nil
}

// asker is who asks in the tests of this package.
var asker = Call{Member: Member{ID: "mira", Name: "mira"}, Server: "s", Channel: "c", Host: true, Now: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)}

func TestOptionsRead(t *testing.T) {
	inches := Settings{Units: measure.Inches}
	for _, c := range []struct {
		name     string
		option   Option
		text     string
		settings Settings
		want     any
		mistake  string
	}{
		{name: "whole", option: Int("n", "A number", 1, 10), text: " 7 ", want: 7},
		{name: "whole with a sign", option: Int("n", "A number", 1, 10), text: "+7", want: 7},
		{name: "too many", option: Int("n", "A number", 1, 10), text: "11", mistake: "11 is outside what it takes: 1 to 10"},
		{name: "not a number", option: Int("n", "A number", 1, 10), text: "NaN", mistake: `"NaN" is not a whole number`},
		{name: "huge", option: Int("n", "A number", 1, 10), text: "99999999999999999999", mistake: "is not a whole number"},
		{name: "decimals", option: Number("n", "A number", 0, 10), text: "2,5", want: 2.5},
		{name: "decimals NaN", option: Number("n", "A number", 0, 10), text: "NaN", mistake: "is not a number"},
		{name: "decimals infinite", option: Number("n", "A number", 0, 10), text: "1e999", mistake: "is not a number"},
		{name: "length", option: Length("chest", "A chest", measure.Centimetre, measure.Metre), text: "12", want: measure.Measured{Length: 12 * measure.Centimetre, Unit: measure.Centimetres, Assumed: true}},
		{name: "length in the member's unit", option: Length("chest", "A chest", measure.Centimetre, measure.Metre), text: "12", settings: inches, want: measure.Measured{Length: 12 * measure.Inch, Unit: measure.Inches, Assumed: true}},
		{name: "length too long", option: Length("chest", "A chest", measure.Centimetre, measure.Metre), text: "4 m", mistake: "400 cm is outside what it takes: 1 cm to 100 cm"},
		{name: "gauge", option: Gauge("gauge", "A gauge"), text: "14x10", want: gauge.Gauge{Stitches: 14, Rows: 10}},
		{name: "gauge too small", option: Gauge("gauge", "A gauge"), text: "0.1x10", mistake: "0.1"},
		{name: "choice", option: OneOf("in", "Where", "row", "round"), text: "ROUND", want: "round"},
		{name: "no such choice", option: OneOf("in", "Where", "row", "round"), text: "square", mistake: `"square" is none of row, round`},
		{name: "yes", option: YesNo("washed", "Washed?"), text: "Yes", want: true},
		{name: "neither", option: YesNo("washed", "Washed?"), text: "perhaps", mistake: `"perhaps" is neither yes nor no`},
		{name: "words", option: Words("name", "A name", 5), text: "blue", want: "blue"},
		{name: "too many words", option: Words("name", "A name", 5), text: "bluest", mistake: "it has 6 characters; 5 are allowed"},
		{name: "nothing", option: Words("name", "A name", 5), text: "  ", mistake: "it is empty"},
		{name: "no file", option: Upload("file", "A file", 10, ".txt"), text: "x.txt", mistake: "is not a file that can be read"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.option.read(Input{Text: c.text}, c.settings)
			switch {
			case c.mistake == "" && err != nil:
				t.Errorf("got the mistake %q", err)
			case c.mistake == "" && got != c.want:
				t.Errorf("got %v, want %v", got, c.want)
			case c.mistake != "" && (err == nil || !strings.Contains(err.Error(), c.mistake)):
				t.Errorf("got %v, want a mistake with %q", err, c.mistake)
			}
		})
	}
}

func TestUploadLimits(t *testing.T) {
	o := Upload("file", "A file", 2048, ".txt", ".md")
	for _, c := range []struct {
		file    Attachment
		mistake string
	}{
		{Attachment{Name: "rows.TXT", Size: 2048}, ""},
		{Attachment{Name: "rows.txt", Size: 2049}, "the file has 3 KB; 2 KB are allowed"},
		{Attachment{Name: "rows.exe", Size: 1}, "rows.exe does not end in .txt, .md"},
	} {
		_, err := o.read(Input{File: &c.file}, Settings{})
		if c.mistake == "" && err != nil || c.mistake != "" && (err == nil || err.Error() != c.mistake) {
			t.Errorf("%s: got %v, want %q", c.file.Name, err, c.mistake)
		}
	}
}

// stub makes a set of one command that runs the given function.
func stub(run func(context.Context, Request) (reply.Reply, error), options ...Option) *Set {
	return newSet(newMemory().services(), nil, &Command{Name: "stub", Short: "A stub", Options: options, Examples: []string{"/stub"}, Run: run})
}

func TestSetTellsErrorsApart(t *testing.T) {
	n := Int("n", "A number", 1, 10)
	for _, c := range []struct {
		name string
		err  error
		want reply.Error
	}{
		{"mistake", n.Blame(errors.New("too odd")), reply.Error{Option: "n", Message: "too odd", Example: "n:2", Kind: reply.Mistake}},
		{"mistake without an example", &Mistake{Message: "too odd"}, reply.Error{Message: "too odd", Example: "/stub", Kind: reply.Mistake}},
		{"refusal", Refused("not on %s", "Mondays"), reply.Error{Message: "not on Mondays", Kind: reply.Refusal}},
		{"late", context.DeadlineExceeded, reply.Error{Message: "That took longer than I may take. Try a smaller piece, or try again in a minute.", Kind: reply.Late}},
	} {
		t.Run(c.name, func(t *testing.T) {
			call := asker
			call.Path = "stub"
			got := stub(func(context.Context, Request) (reply.Reply, error) { return reply.Reply{}, c.err }, n).Run(context.Background(), call)
			if got.Error == nil || *got.Error != c.want {
				t.Errorf("got %+v, want %+v", got.Error, c.want)
			}
			if !got.Private || got.Command != "stub" {
				t.Errorf("private %t, command %q", got.Private, got.Command)
			}
		})
	}
}

func TestSetHidesFaultsAndLogsThemOnce(t *testing.T) {
	for name, run := range map[string]func(context.Context, Request) (reply.Reply, error){
		"error": func(context.Context, Request) (reply.Reply, error) {
			return reply.Reply{}, errors.New("secret of the machine room")
		},
		"panic": func(context.Context, Request) (reply.Reply, error) { panic("secret of the machine room") },
	} {
		t.Run(name, func(t *testing.T) {
			var log strings.Builder
			set := stub(run)
			set.log = slog.New(slog.NewTextHandler(&log, nil))
			call := asker
			call.Path = "stub"
			got := set.Run(context.Background(), call)
			if got.Error == nil || strings.Contains(got.Error.Message, "secret") || !got.Private {
				t.Fatalf("the member is told %+v", got.Error)
			}
			if n := strings.Count(log.String(), "level=ERROR"); n != 1 || !strings.Contains(log.String(), "secret") {
				t.Errorf("%d lines logged: %s", n, log.String())
			}
			_, reference, _ := strings.Cut(got.Error.Message, "reference: ")
			if !strings.Contains(log.String(), "reference="+strings.TrimSuffix(reference, ".")) {
				t.Errorf("the reference in %q is not logged: %s", got.Error.Message, log.String())
			}
		})
	}
}

func TestSetChecksTheLine(t *testing.T) {
	n := Int("count", "How many", 1, 10).Require()
	set := stub(func(_ context.Context, r Request) (reply.Reply, error) { return reply.Reply{Data: n.Of(r)}, nil }, n)
	for _, c := range []struct {
		path   string
		inputs map[string]Input
		want   string
	}{
		{"stub", nil, "it is missing: how many"},
		{"stub", map[string]Input{"count": {Text: "99"}}, "99 is outside what it takes: 1 to 10"},
		{"stub", map[string]Input{"count": {Text: "9"}, "cuont": {Text: "9"}}, `/stub has no option "cuont"; did you mean count?`},
		{"stbu", nil, "there is no command /stbu; the nearest is /stub"},
		{"wholly different", nil, "there is no command /wholly different"},
	} {
		call := asker
		call.Path, call.Inputs = c.path, c.inputs
		got := set.Run(context.Background(), call)
		if got.Error == nil || !strings.Contains(got.Error.Message, c.want) {
			t.Errorf("/%s %v: got %+v, want %q", c.path, c.inputs, got.Error, c.want)
		}
	}
}

func TestReadingAnUnlistedOptionIsAFault(t *testing.T) {
	forgotten := Int("forgotten", "Not listed", 1, 10)
	set := stub(func(_ context.Context, r Request) (reply.Reply, error) {
		return reply.Reply{Data: forgotten.Of(r)}, nil
	})
	call := asker
	call.Path = "stub"
	if got := set.Run(context.Background(), call); got.Error == nil || !strings.Contains(got.Error.Message, "on my side") {
		t.Errorf("got %+v", got)
	}
}

func TestHostsOnly(t *testing.T) {
	set := newSet(newMemory().services(), nil, &Command{Name: "stub", Short: "A stub", For: Hosts, Run: func(context.Context, Request) (reply.Reply, error) {
		return reply.Reply{Title: "done"}, nil
	}})
	for _, c := range []struct {
		server string
		host   bool
		want   string
	}{{"s", true, ""}, {"s", false, "for this server's hosts"}, {"", true, "use it in the server"}} {
		call := asker
		call.Path, call.Server, call.Host = "stub", c.server, c.host
		got := set.Run(context.Background(), call)
		if c.want == "" && got.Error != nil || c.want != "" && (got.Error == nil || !strings.Contains(got.Error.Message, c.want)) {
			t.Errorf("server %q host %t: got %+v, want %q", c.server, c.host, got.Error, c.want)
		}
	}
}
