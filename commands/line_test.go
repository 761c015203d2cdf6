package commands

import (
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"countwright/commands/reply"
)

// lineSet has an option of each kind, a family and a single command.
func lineSet() *Set {
	echo := func(_ context.Context, r Request) (reply.Reply, error) {
		var items []string
		for _, name := range slices.Sorted(maps.Keys(r.Inputs)) {
			items = append(items, name+"="+r.Inputs[name].Text)
		}
		return reply.Reply{Title: "Echo", Parts: []reply.Block{reply.List{Items: items}}}, nil
	}
	options := []Option{
		Int("stitches", "Stitches", 1, 5000), Int("increase", "More", 0, 100), Words("name", "A name", 100),
		Words("text", "A text", 4000), OneOf("in", "Where", "row", "round"), Words("width", "A width", 100),
	}
	return newSet(Services{}, nil,
		&Command{Name: "even", Short: "Spacing", Sub: []*Command{
			{Name: "shape", Short: "Shape", Options: options, Examples: []string{"/even shape stitches:87"}, Run: echo},
			{Name: "slope", Short: "Slope", Run: echo}}},
		&Command{Name: "help", Short: "Help", Options: []Option{Words("about", "What", 50)}, Run: echo})
}

var goodLines = []struct {
	line string
	path string
	want map[string]string
}{
	{"/even shape stitches:87 increase:14", "even shape", map[string]string{"stitches": "87", "increase": "14"}},
	{"even shape", "even shape", nil},
	{"  /Even  Shape   stitches: 87  ", "even shape", map[string]string{"stitches": "87"}},
	{"/even shape Stitches:87 INCREASE:2", "even shape", map[string]string{"stitches": "87", "increase": "2"}},
	{"/even shape width:42 1/2 in increase:10", "even shape", map[string]string{"width": "42 1/2 in", "increase": "10"}},
	{`/even shape name:"my best, so far" stitches:9`, "even shape", map[string]string{"name": "my best, so far", "stitches": "9"}},
	{`/even shape name:"say \"hi\" \\ there\nnow"`, "even shape", map[string]string{"name": "say \"hi\" \\ there\nnow"}},
	{`/even shape name:"C:\temp"`, "even shape", map[string]string{"name": `C:\temp`}},
	{`/even shape name:“phone quotes” in:row`, "even shape", map[string]string{"name": "phone quotes", "in": "row"}},
	{`/even shape name:„unten“ in:row`, "even shape", map[string]string{"name": "unten", "in": "row"}},
	{`/even shape width:42" in:row`, "even shape", map[string]string{"width": `42"`, "in": "row"}},
	{"/even shape text:Row 1: 6 sc. Round: 12 sc in:row", "even shape", map[string]string{"text": "Row 1: 6 sc. Round: 12 sc", "in": "row"}},
	{"/even shape text:\"Row 1: 6 sc\nRow 2: stitches: 6\"", "even shape", map[string]string{"text": "Row 1: 6 sc\nRow 2: stitches: 6"}},
	{"/even shape name: in:row", "even shape", map[string]string{"name": "", "in": "row"}},
	{"/help about:even shape", "help", map[string]string{"about": "even shape"}},
}

func TestParseLine(t *testing.T) {
	for _, tt := range goodLines {
		path, inputs, err := ParseLine(tt.line, lineSet())
		if err != nil || path != tt.path {
			t.Errorf("%s: path %q, error %v", tt.line, path, err)
			continue
		}
		got := map[string]string{}
		for name, in := range inputs {
			got[name] = in.Text
		}
		if !maps.Equal(got, tt.want) && len(got)+len(tt.want) > 0 {
			t.Errorf("%s\n got %q\nwant %q", tt.line, got, tt.want)
		}
	}
}

var badLines = []struct{ line, want, example string }{
	{"", "the line is empty", "/help"},
	{"/evn shape", "the nearest is /even", ""},
	{"/even", "say which: shape, slope", "/even shape stitches:87"},
	{"/even stitches:87", "say which: shape, slope", "/even shape stitches:87"},
	{"/even shap stitches:87", "there is no /even shap; there is shape, slope", "/even shape stitches:87"},
	{"/even shape 87", `options are written name:value, and "87" is not`, ""},
	{"/even shape stiches:87", "did you mean stitches?", ""},
	{"/even shape stitches:87 incraese:14", "did you mean increase?", ""},
	{"/even shape stitches:87 colour:red", `has no option "colour"`, ""},
	{"/even shape name:Mira stiches:14", "did you mean stitches?", ""},
	{"/even shape stitches:87 stitches:88", "stitches: it is given twice", ""},
	{`/even shape name:"never closed`, "name: the quote before its value is never closed", ""},
	{"/even slope rows:4", "/even slope takes no options", ""},
}

func TestParseLineMistakes(t *testing.T) {
	for _, tt := range badLines {
		_, _, err := ParseLine(tt.line, lineSet())
		var m *Mistake
		if !errors.As(err, &m) || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: got error %v, want a Mistake with %q", tt.line, err, tt.want)
			continue
		}
		if tt.example != "" && m.Example != tt.example {
			t.Errorf("%s: example %q, want %q", tt.line, m.Example, tt.example)
		}
	}
}

func TestRunLine(t *testing.T) {
	set := lineSet()
	r := set.RunLine(t.Context(), Call{ID: "1", Inputs: map[string]Input{"name": {Text: "from the form"}}}, "/even shape stitches:3 name:x")
	want := []string{"name=from the form", "stitches=3"}
	if got := r.Parts[0].(reply.List).Items; !slices.Equal(got, want) || r.Command != "even shape" {
		t.Errorf("got %q from %q, want %q", got, r.Command, want)
	}
	r = set.RunLine(t.Context(), Call{ID: "2"}, "/even shape stiches:3")
	if r.Error == nil || !r.Private || r.Command != "even shape" || r.Error.Example != "/even shape stitches:87" {
		t.Errorf("a mistaken line was answered with %+v", r)
	}
}

func TestLineQuotesOnlyWhereNeeded(t *testing.T) {
	tests := []struct{ value, want string }{
		{"87", "87"}, {"42 1/2 in", "42 1/2 in"}, {`5'6"`, `5'6"`}, {"my swatch", "my swatch"}, {"1:2", `"1:2"`},
		{"", `""`}, {" x", `" x"`}, {"a b:c", `"a b:c"`}, {"a\nb", `"a\nb"`}, {`"x"`, `"\"x\""`}, {"“x”", `"“x”"`}, {"12:30 pm", `"12:30 pm"`},
	}
	for _, tt := range tests {
		if got := Line("even shape", map[string]Input{"name": {Text: tt.value}}); got != "/even shape name:"+tt.want {
			t.Errorf("%q: got %s, want the value as %s", tt.value, got, tt.want)
		}
	}
	if got := Line("help", map[string]Input{"file": {File: &Attachment{}}}); got != "/help" {
		t.Errorf("a file was written: %s", got)
	}
}

func TestLineRoundTrip(t *testing.T) {
	set := lineSet()
	value := rapid.OneOf(rapid.String(),
		rapid.StringMatching(`([ "\\\n:]|stitches:|name: |row |“|”|„|[a-z0-9]){0,12}`))
	rapid.Check(t, func(t *rapid.T) {
		inputs := map[string]Input{}
		for _, name := range []string{"name", "text", "width", "in", "stitches", "increase"} {
			if rapid.Bool().Draw(t, name+" given") {
				inputs[name] = Input{Text: value.Draw(t, name)}
			}
		}
		line := Line("even shape", inputs)
		path, got, err := ParseLine(line, set)
		if err != nil || path != "even shape" || !maps.Equal(got, inputs) {
			t.Fatalf("%q\n got %v, %v\nwant %v", line, got, err, inputs)
		}
		if strings.Contains(line, "\n") {
			t.Fatalf("%q is more than one line", line)
		}
	})
}

func FuzzParseLine(f *testing.F) {
	for _, tt := range goodLines {
		f.Add(tt.line)
	}
	for _, tt := range badLines {
		f.Add(tt.line)
	}
	set := lineSet()
	f.Fuzz(func(t *testing.T, line string) {
		path, inputs, err := ParseLine(line, set)
		if err != nil {
			var m *Mistake
			if !errors.As(err, &m) || m.Message == "" {
				t.Fatalf("%q: %v is not a Mistake that says something", line, err)
			}
			return
		}
		again, same, err := ParseLine(Line(path, inputs), set)
		if err != nil || again != path || !maps.Equal(same, inputs) {
			t.Fatalf("%q became %q: %v, %v; was %v", line, Line(path, inputs), same, err, inputs)
		}
	})
}
