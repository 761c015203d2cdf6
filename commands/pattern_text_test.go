package commands

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/commands/reply"
)

// attached is a member's file.
func attached(name string, body []byte) map[string]Input {
	return map[string]Input{"file": {Text: name, File: &Attachment{Name: name, Size: int64(len(body)),
		Load: func(context.Context) ([]byte, error) { return body, nil }}}}
}

// given answers a command with inputs that a line can't hold.
func given(t testing.TB, set *Set, path string, inputs map[string]Input) reply.Reply {
	t.Helper()
	call := asker
	call.Path, call.Inputs = path, inputs
	return set.Run(context.Background(), call)
}

func TestPatternFiles(t *testing.T) {
	rows := "Rows, with a dash – and “quotes”\nRow 1: sc in 2nd ch from hook and in each ch across (16)\r\n"
	wide := []byte{0xFF, 0xFE}
	for _, u := range utf16.Encode([]rune(rows)) {
		wide = append(wide, byte(u), byte(u>>8))
	}
	windows := []byte(strings.NewReplacer("–", "\x96", "“", "\x93", "”", "\x94").Replace(rows))
	set := All(withSwatch().services(), nil)
	for name, body := range map[string][]byte{"utf-8": []byte(rows), "with a mark": []byte("\uFEFF" + rows), "utf-16": wide, "windows": windows} {
		r := given(t, set, "pattern check", attached("rows.txt", body))
		if r.Error != nil || r.Title != "The row holds" {
			t.Errorf("%s: %s, %+v", name, r.Title, r.Error)
		}
		shown := given(t, set, "pattern show", map[string]Input{"name": {Text: justChecked}})
		if got := shown.Data.(map[string]any)["text"]; got != rows {
			t.Errorf("%s: read as %q", name, got)
		}
	}
	for name, c := range map[string]struct {
		file string
		body []byte
		want string
	}{
		"too large":    {"rows.txt", make([]byte, mostFile+1), "65 KB; 64 KB are allowed"},
		"empty":        {"rows.md", []byte(" \n"), "is empty"},
		"no text":      {"rows.txt", []byte("PNG\x00\x00"), "is no text"},
		"other ending": {"rows.pdf", []byte(rows), ".txt, .md, .toml"},
		"no rows":      {"rows.md", []byte("# Nothing\n"), "there is no row in this text"},
	} {
		r := given(t, set, "pattern check", attached(c.file, c.body))
		if r.Error == nil || !strings.Contains(r.Error.Message, c.want) {
			t.Errorf("%s: %+v", name, r.Error)
		}
	}
	grown := attached("rows.txt", []byte("x")) // larger than it was announced
	grown["file"].File.Load = func(context.Context) ([]byte, error) { return make([]byte, mostFile+1), nil }
	if r := given(t, set, "pattern check", grown); r.Error == nil || !strings.Contains(r.Error.Message, "64 KB are allowed") {
		t.Errorf("grown: %+v", r.Error)
	}
	lost := attached("rows.txt", []byte("x"))
	lost["file"].File.Load = func(context.Context) ([]byte, error) { return nil, errors.New("gone") }
	if r := given(t, set, "pattern check", lost); r.Error == nil || !strings.Contains(r.Error.Message, "on my side") {
		t.Errorf("lost: %+v", r.Error)
	}
}

func TestPatternFileChecked(t *testing.T) {
	set := All(withSwatch().services(), nil)
	for _, name := range []string{"hat", "blanket"} {
		body, err := os.ReadFile("../calc/pattern/house/" + name + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		r := given(t, set, "pattern check", attached(name+".toml", body))
		if r.Error != nil || !strings.HasSuffix(r.Title, " hold") {
			t.Errorf("%s: %s, %+v", name, r.Title, r.Error)
		}
		broken := strings.Replace(string(body), "title", "titel", 1)
		r = given(t, set, "pattern check", attached(name+".toml", []byte(broken)))
		if r.Error == nil || !strings.Contains(r.Error.Message, "titel") || len(r.Parts) == 0 {
			t.Errorf("%s broken: %+v %v", name, r.Error, r.Parts)
		}
		r = given(t, set, "pattern terms", attached(name+".toml", body))
		if r.Error == nil || !strings.Contains(r.Error.Message, "/resize") {
			t.Errorf("%s in terms: %+v", name, r.Error)
		}
	}
}

func TestKeptPatternFile(t *testing.T) {
	m := withSwatch()
	set := All(m.services(), nil)
	body, err := os.ReadFile("../calc/pattern/house/scarf.toml")
	if err != nil {
		t.Fatal(err)
	}
	add := func(body []byte) reply.Reply {
		inputs := attached("winter.toml", body)
		inputs["name"] = Input{Text: "winter scarf"}
		return given(t, set, "pattern add", inputs)
	}
	if r := add([]byte("title = 3")); r.Error != nil || r.Title != "Kept as a draft: winter scarf, version 1" {
		t.Fatalf("%s, %+v", r.Title, r.Error)
	}
	if r := add(body); r.Error != nil || r.Title != "Kept: winter scarf, version 1" {
		t.Fatalf("%s, %+v", r.Title, r.Error)
	}
	p, _ := pattern.Find("scarf")
	r := set.RunLine(context.Background(), asker, "/resize pattern:winter scarf gauge:16x12")
	if r.Error != nil || !strings.HasPrefix(r.Title, p.Title) {
		t.Errorf("%s, %+v", r.Title, r.Error)
	}
}

func TestRowsGivenOnce(t *testing.T) {
	set := All(withSwatch().services(), nil)
	inputs := attached("rows.txt", []byte(rightHat))
	inputs["text"] = Input{Text: rightHat}
	for _, path := range []string{"pattern check", "pattern terms", "pattern chart"} {
		if r := given(t, set, path, inputs); r.Error == nil || !strings.Contains(r.Error.Message, "give the rows once") {
			t.Errorf("%s: %+v", path, r.Error)
		}
		r := given(t, set, path, nil)
		if r.Form == nil || len(r.Form.Title) > 45 || len(r.Form.Fields) != 1 || r.Form.Fields[0].Most != mostTyped || !strings.HasPrefix(r.Form.Line, "/"+path) {
			t.Errorf("%s asks with %+v", path, r.Form)
		}
	}
	r := set.RunLine(context.Background(), asker, "/pattern add name:two author:Mira")
	if r.Form == nil || len(r.Form.Fields) != 3 || r.Form.Fields[2].Option != "licence" {
		t.Errorf("add asks with %+v", r.Form)
	}
	r = set.RunLine(context.Background(), asker, "/pattern add name:two author:"+strings.Repeat("Mira ", 20))
	if r.Form != nil || r.Error == nil || !strings.Contains(r.Error.Message, "too long") {
		t.Errorf("a long line: %+v %+v", r.Form, r.Error)
	}
	inputs["name"] = Input{Text: "two"}
	if r := given(t, set, "pattern add", inputs); r.Error == nil || !strings.Contains(r.Error.Message, "give the rows once") {
		t.Errorf("add: %+v", r.Error)
	}
	both := map[string]Input{"text": {Text: rightHat}, "name": {Text: "spring hat"}}
	if r := given(t, set, "pattern check", both); r.Error == nil {
		t.Error("text and name together are taken")
	}
}

// A name is offered while it is typed, and what was checked last stays at hand
// for the member who checked it.
func TestJustChecked(t *testing.T) {
	set := All(withSwatch().services(), nil)
	offers := func(call Call, path, option, typed string) []string {
		call.Path = path
		var names []string
		for _, c := range set.Complete(context.Background(), call, option, typed) {
			names = append(names, c.Value)
		}
		return names
	}
	if r := set.RunLine(context.Background(), asker, "/pattern chart name:just checked"); r.Error == nil || !strings.Contains(r.Error.Message, "checked no text") {
		t.Errorf("before any check: %+v", r.Error)
	}
	if got := offers(asker, "pattern show", "name", "HAT"); !slices.Equal(got, []string{"spring hat"}) {
		t.Errorf("offered: %v", got)
	}
	r := set.RunLine(context.Background(), asker, `/pattern check text:"Rnd 1: 6 sc in magic ring (6)"`)
	if r.Error != nil {
		t.Fatal(r.Error)
	}
	for _, path := range []string{"pattern check", "resize"} {
		option := map[string]string{"pattern check": "name", "resize": "pattern"}[path]
		if got := offers(asker, path, option, "just"); !slices.Equal(got, []string{justChecked}) {
			t.Errorf("%s offers %v", path, got)
		}
	}
	other := asker
	other.Member.ID = "bram"
	if got := offers(other, "pattern check", "name", "just"); len(got) > 0 {
		t.Errorf("another member is offered %v", got)
	}
	if got := offers(asker, "resize", "pattern", "coaster"); !slices.Equal(got, []string{"coaster"}) {
		t.Errorf("/resize offers %v", got)
	}
	private := asker
	private.Server = ""
	if got := offers(private, "pattern check", "name", ""); !slices.Equal(got, []string{justChecked}) {
		t.Errorf("a direct message is offered %v", got)
	}
	if r := set.RunLine(context.Background(), private, "/pattern show name:spring hat"); r.Error == nil || !strings.Contains(r.Error.Message, "kept for a server") {
		t.Errorf("in a direct message: %+v", r.Error)
	}
}

// What a check offers next works as it stands.
func TestCheckButtons(t *testing.T) {
	for _, line := range []string{"/pattern check name:spring hat", `/pattern check text:"Gauge: 16 sts and 18 rows = 10 cm\nCh 11\nRow 1: dc in 2nd ch from hook and in each ch across (10)" terms:UK`} {
		set := All(withSwatch().services(), nil)
		r := set.RunLine(context.Background(), asker, line)
		if r.Error != nil || len(r.Actions) < 2 {
			t.Errorf("%s: %+v offers %v", line, r.Error, r.Actions)
		}
		for _, a := range r.Actions {
			if next := set.RunLine(context.Background(), asker, a.(reply.Button).Line); next.Error != nil {
				t.Errorf("%s: %+v", a.(reply.Button).Line, next.Error)
			}
		}
	}
}

func TestLatelyIsBounded(t *testing.T) {
	l := newLately()
	for i := range mostLately + 10 {
		l.keep(fmt.Sprint("m", i), written{text: fmt.Sprint(i)})
		l.keep("mira", written{text: fmt.Sprint("mira ", i)})
	}
	if len(l.texts) != mostLately || len(l.members) != mostLately {
		t.Errorf("%d texts of %d members are held", len(l.texts), len(l.members))
	}
	if got, ok := l.of("mira"); !ok || got.text != fmt.Sprint("mira ", mostLately+9) {
		t.Errorf("mira's last is %q", got.text)
	}
	if _, ok := l.of("m0"); ok {
		t.Error("the oldest is still held")
	}
	l.drop("mira")
	if _, ok := l.of("mira"); ok || slices.Contains(l.members, "mira") {
		t.Error("what was dropped is still held")
	}
	var none *lately
	none.drop("x")
	none.keep("x", written{})
	if _, ok := none.of("x"); ok {
		t.Error("nothing holds something")
	}
}

func TestHostsKeepPatterns(t *testing.T) {
	set := All(withSwatch().services(), nil)
	guest := asker
	guest.Host = false
	for _, line := range []string{`/pattern add name:x text:"Rnd 1: 6 sc in magic ring"`, "/pattern remove name:spring hat"} {
		if r := set.RunLine(context.Background(), guest, line); r.Error == nil || !strings.Contains(r.Error.Message, "host") {
			t.Errorf("%s: %+v", line, r.Error)
		}
	}
	if r := set.RunLine(context.Background(), guest, "/pattern show name:spring hat"); r.Error != nil {
		t.Errorf("a guest sees nothing: %+v", r.Error)
	}
	if r := set.RunLine(context.Background(), asker, `/pattern add name:just checked text:"Rnd 1: 6 sc in magic ring"`); r.Error == nil {
		t.Error("the name of the last text can be taken")
	}
	if r := set.RunLine(context.Background(), asker, "/pattern add name:spring hat"); r.Error == nil || r.Form != nil {
		t.Errorf("a form is opened for a version that is taken: %+v", r.Form)
	}
}

// The member's own terms help where a text tells nothing, and only there.
func TestTermsOfTheMember(t *testing.T) {
	m := withSwatch()
	m.settings[asker.Member.ID] = Settings{Terms: notation.UK}
	set := All(m.services(), nil)
	for _, c := range []struct{ line, terms string }{
		{`/pattern check text:"Row 1: tr in each st across" start:10`, "UK"},
		{`/pattern check text:"Row 1: tr in each st across" start:10 terms:US`, "US"},
		{`/pattern check text:"Row 1: hdc in each st across" start:10`, "US"},
	} {
		r := set.RunLine(context.Background(), asker, c.line)
		if r.Error != nil || r.Data.(checkData).Terms != c.terms {
			t.Errorf("%s: %+v %+v", c.line, r.Error, r.Data)
		}
	}
	if r := set.RunLine(context.Background(), asker, `/pattern check text:"Row 1: tr in each st across" start:10 terms:french`); r.Error == nil || !strings.Contains(r.Error.Message, "US, UK, older") {
		t.Errorf("%+v", r.Error)
	}
}

func TestUnderlined(t *testing.T) {
	long := strings.Repeat("sc in next st, ", 12) + "dc in next st"
	for _, c := range []struct {
		text     string
		from, to notation.Pos
		want     []string
	}{
		{"Row 1: sc", notation.Pos{Line: 1, Column: 8}, notation.Pos{Line: 1, Column: 10}, []string{"Row 1: sc", "       ^^"}},
		{"a\r\nRow\t2: sc x\r\n", notation.Pos{Line: 2, Column: 8}, notation.Pos{Line: 2, Column: 8}, []string{"Row 2: sc x", "       ^^"}},
		{"a", notation.Pos{Line: 3, Column: 1}, notation.Pos{}, nil},
		{"a", notation.Pos{}, notation.Pos{}, nil},
	} {
		if got := underlined(c.text, c.from, c.to); !slices.Equal(got, c.want) {
			t.Errorf("%q at %v: %q", c.text, c.from, got)
		}
	}
	lines := underlined(long, notation.Pos{Line: 1, Column: 181}, notation.Pos{Line: 1, Column: 183})
	if len(lines) != 2 || len([]rune(lines[0])) > widest+2 || strings.TrimSpace(lines[1]) != "^^" {
		t.Fatalf("%q", lines)
	}
	at := strings.Index(lines[1], "^")
	if got := string([]rune(lines[0])[at : at+2]); got != "dc" {
		t.Errorf("%q is underlined in %q", got, lines)
	}
}

// longText is a pattern of about 16 KB with slips in it.
func longText() string {
	var b strings.Builder
	b.WriteString("Ch 81.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (80)\n")
	for i := 2; b.Len() < 16<<10; i++ {
		n := 80
		if i%40 == 0 {
			n = 81
		}
		fmt.Fprintf(&b, "Row %d: Ch 1, sc in next 10 sts, *hdc in next 2 sts, sc in next 3 sts; rep from * to last 5 sts, sc in last 5 sts, turn. (%d)\n", i, n)
	}
	return b.String()
}

// A paste of 16 KB is to be answered within 50 ms: see the benchmark.
func TestLongText(t *testing.T) {
	set := All(withSwatch().services(), nil)
	r := given(t, set, "pattern check", attached("long.txt", []byte(longText())))
	if r.Error != nil || !strings.Contains(r.Title, "don't hold") {
		t.Fatalf("%s, %+v", r.Title, r.Error)
	}
	checkReply(t, "long text", r)
}

func BenchmarkPatternCheck16KB(b *testing.B) {
	set := All(withSwatch().services(), nil)
	text := []byte(longText())
	for b.Loop() {
		if r := given(b, set, "pattern check", attached("long.txt", text)); r.Error != nil {
			b.Fatal(r.Error)
		}
	}
}
