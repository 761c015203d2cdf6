package commands

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"countwright/calc/along"
	"countwright/calc/schedule"
)

// twoStones is a make-along for texts: invented.
func twoStones() MakeAlong {
	return MakeAlong{ID: 7, Server: "s", Channel: "c", Name: "Harbour make-along", State: AlongOpen, Host: "mira", Course: Course{
		Pattern: "Harbour cardigan", Zone: "Europe/Lisbon", At: 18 * 60, Quiet: schedule.Quiet{From: 21 * 60, To: 8 * 60}, Midway: true,
		Start: schedule.Date{Year: 2027, Month: 1, Day: 10},
		Milestones: []along.Milestone{
			{Title: "The back", Date: schedule.Date{Year: 2027, Month: 1, Day: 24}},
			{Title: "The sleeves", Date: schedule.Date{Year: 2027, Month: 2, Day: 7}},
		}}}
}

func TestHostTextIsFilled(t *testing.T) {
	for _, c := range []struct {
		text      string
		milestone int
		want      string
	}{
		{"Welcome to {group}!", -1, "Welcome to Harbour make-along!"},
		{"{milestone} ({number}) of the {pattern}, {date}. Then {next}.", 0,
			"The back (1 of 2) of the Harbour cardigan, Sunday 24 January 2027. Then The sleeves (Sunday 7 February 2027)."},
		{"{Milestone}, and then { next }", 1, "The sleeves, and then the farewell"},
		{"no placeholder, but a } and a smile :}", 0, "no placeholder, but a } and a smile :}"},
		{"{milestone}{milestone}", 99, "The sleevesThe sleeves"}, // a milestone that is gone: the last there is
	} {
		if err := checkHostText(twoStones(), Post{Milestone: c.milestone}, c.text); err != nil {
			t.Errorf("%q: %v", c.text, err)
		}
		if got := fillHostText(twoStones(), Post{Milestone: c.milestone}, c.text); got != c.want {
			t.Errorf("%q: got %q, want %q", c.text, got, c.want)
		}
	}
}

func TestHostTextMistakes(t *testing.T) {
	none := twoStones()
	none.Course.Milestones = nil
	list := "{group} {pattern} {milestone} {number} {date} {next}"
	for _, c := range []struct {
		m          MakeAlong
		text, want string
	}{
		{twoStones(), "Hello {membre}", "{membre} at character 7 is no placeholder; there are " + list},
		{twoStones(), "Hello\nto {all of you}", "{all of you} in line 2, at character 4 is no placeholder; there are " + list},
		{twoStones(), "ä {group", "the brace at character 3 is not closed; placeholders are " + list},
		{twoStones(), "{ {group}", "the brace at character 1 is not closed; placeholders are " + list},
		{twoStones(), "{gr\noup}", "the brace in line 1, at character 1 is not closed; placeholders are " + list},
		{twoStones(), strings.Repeat("a", 1001), "it has 1001 characters; 1000 are allowed"},
		{twoStones(), strings.Repeat("{next}", 30), "with its placeholders filled in it has 1080 characters; 1000 are allowed"},
		{twoStones(), " \n\u200b", "it says nothing"},
		{none, "On {date}", "{date} at character 4 stands for nothing, for there is no milestone yet"},
	} {
		err := checkHostText(c.m, Post{}, c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q: got %v, want %q", c.text, err, c.want)
		}
		if c.m.Course.Milestones != nil && fillHostText(c.m, Post{}, c.text) == "" {
			t.Errorf("%q is filled with nothing", c.text)
		}
	}
	if err := checkHostText(none, Post{}, "{group} makes {pattern}"); err != nil {
		t.Errorf("without milestones: %v", err)
	}
}

// Every placeholder is told and works.
func TestEveryPlaceholderWorks(t *testing.T) {
	help := strings.Join(placeholderHelp(inEnglish), "\n")
	for _, p := range placeholders {
		if got := fillHostText(twoStones(), Post{}, "{"+p.name+"}"); got == "" || strings.ContainsAny(got, "{}") {
			t.Errorf("{%s} is filled with %q", p.name, got)
		}
		if !strings.Contains(help, "{"+p.name+"}: "+string(p.means)) || !strings.Contains(placeholderList(), "{"+p.name+"}") {
			t.Errorf("{%s} is told nowhere", p.name)
		}
	}
}

// Whatever a text holds, it is filled or refused, and what passes holds no
// placeholder any more.
func FuzzHostText(f *testing.F) {
	for _, s := range []string{"{group}", "{", "}", "{{group}}", "{next} @everyone", "{date", "a\n{number}\n", "{GROUP}", "{ }"} {
		f.Add(s, 0)
	}
	f.Fuzz(func(t *testing.T, text string, milestone int) {
		m, p := twoStones(), Post{Milestone: milestone}
		if checkHostText(m, p, text) != nil {
			return
		}
		filled := fillHostText(m, p, text)
		for _, holder := range placeholders {
			if strings.Contains(strings.ToLower(filled), "{"+holder.name+"}") {
				t.Errorf("%q leaves %q", text, filled)
			}
		}
		if utf8.RuneCountInString(filled) > mostHostText {
			t.Errorf("%q has %d characters", text, utf8.RuneCountInString(filled))
		}
	})
}

func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{
		"Hi @everyone and @here":      "Hi @\u2060everyone and @\u2060here",
		"<@&123> <#5> <:smile:1> 3<4": "<\u2060@\u2060&123> <\u2060#5> <\u2060:smile:1> 3<\u20604",
		"a\r\nb\tc\x1b[31m\u202ed":    "a\nb c[31md",
	} {
		if got := harmless(in); got != want {
			t.Errorf("%q: got %q, want %q", in, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		got := harmless(rapid.String().Draw(t, "text") + rapid.SampledFrom([]string{"@everyone", "<@1>", "@\u200beveryone", "@\u2060here"}).Draw(t, "sly"))
		for _, bad := range []string{"@everyone", "@here", "<@", "<#", "<:", "</", "<t:", "<a:", "<id:"} {
			if strings.Contains(got, bad) {
				t.Fatalf("%q holds %q", got, bad)
			}
		}
	})
}
