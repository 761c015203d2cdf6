package commands

import (
	"context"
	"strings"
	"testing"

	"countwright/calc/hook"
	"countwright/commands/reply"
)

// ask runs a line as the asker with one swatch.
func ask(t testing.TB, line string) reply.Reply {
	t.Helper()
	return All(withSwatch().services(), nil).RunLine(context.Background(), asker, line)
}

func TestHookSizeReads(t *testing.T) {
	option := hookSize("hook", "The hook")
	for _, c := range []struct {
		text string
		mm   float64
		src  string
	}{
		{"5", 5, "a bare number is millimetres"},
		{"7", 7, "a bare number is millimetres, not US 7"},
		{"5,5 mm", 5.5, "a comma"},
		{"4.3", 4.3, "between the usual sizes: as it is"},
		{"H-8", 5, "Craft Yarn Council, hook table"},
		{"h8", 5, "without its hyphen"},
		{"H/8", 5, "with a stroke"},
		{"crochet hook H", 5, "in a sentence"},
		{"K/10.5 (6.50 mm)", 6.5, "as it stands on the hook"},
		{"UK 6", 5, "trade conversion sheets: old UK 6 is 5 mm"},
		{"steel 7", 1.65, "Craft Yarn Council, steel hook table"},
		{"8/0", 5, "Japanese trade numbering"},
	} {
		got, err := option.read(Input{Text: c.text}, Settings{})
		if err != nil || got.(float64) != c.mm {
			t.Errorf("%q: %v, %v; want %v mm (%s)", c.text, got, err, c.mm, c.src)
		}
	}
	for text, want := range map[string]string{
		"J": "“J” can be 5.75 mm or 6 mm; say which, in mm", "00": "“00” can be 9 mm or 3.5 mm; say which, in mm",
		"spoon": `no hook is called "spoon"`, "0.1 mm": "no hook is 0.1 mm", "": "no hook is called", "1000": "no hook is 1000 mm",
	} {
		if _, err := option.read(Input{Text: text}, Settings{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %s", text, err, want)
		}
	}
}

// TestEveryHookNameAnswers: each name of each hook leads to that hook, among
// others or alone.
func TestEveryHookNameAnswers(t *testing.T) {
	for _, kind := range []hook.Kind{hook.Regular, hook.Steel, hook.Lace} {
		for _, h := range hook.All(kind) {
			names := append([]string{h.String()}, h.UK...)
			for _, list := range [][]string{h.US, h.Japan, h.SomeUS, h.SomeUK} {
				names = append(names, list...)
			}
			for _, name := range names {
				found, err := findHook(name)
				own := false
				for _, f := range found {
					own = own || f.mm == h.MM
				}
				if err != nil || !own {
					t.Errorf("%q leads to %v, %v; want %s", name, found, err, h)
				}
				if r := ask(t, "/hook size:"+quoted(name)); r.Error != nil {
					t.Errorf("%q: %+v", name, r.Error)
				}
			}
		}
	}
}

func TestHookSuggestions(t *testing.T) {
	for typed, want := range map[string]string{"": "2 mm", "h": "5 mm", "steel 7": "1.65 mm", "4.": "4 mm", "uk 6": "5 mm", "7": "7 mm", "10": "10 mm"} {
		offers := suggestHooks(context.Background(), Request{}, typed)
		if len(offers) == 0 || len(offers) > 25 || offers[0].Value != want {
			t.Errorf("%q offers %v; want first %s", typed, offers, want)
		}
		for _, o := range offers {
			if found, err := findHook(o.Value); err != nil || len(found) != 1 {
				t.Errorf("%q offers %q, which is %v, %v", typed, o.Value, found, err)
			}
		}
	}
	if offers := suggestHooks(context.Background(), Request{}, "zzz"); offers != nil {
		t.Error(offers)
	}
}

// checkButtons runs every button of a reply: each must answer.
func checkButtons(t *testing.T, line string) {
	t.Helper()
	for _, a := range ask(t, line).Actions {
		buttons := []reply.Button{}
		switch a := a.(type) {
		case reply.Button:
			buttons = append(buttons, a)
		case reply.Menu:
			buttons = append(buttons, a.Choices...)
		}
		for _, b := range buttons {
			if r := ask(t, b.Line); r.Error != nil {
				t.Errorf("%s: button %q: %+v", line, b.Line, r.Error)
			}
		}
	}
}

func TestHookButtonsAnswer(t *testing.T) {
	for _, line := range []string{"/hook size:7", "/hook size:00 ribbing:yes", "/hook size:H", "/hook size:30 mm", "/hook size:steel 14", "/hook for:4 ply", "/hook for:rust wool"} {
		checkButtons(t, line)
	}
}

func TestHookEffectIsHonest(t *testing.T) {
	r := ask(t, "/hook size:5 instead:6")
	effect := r.Data.(map[string]any)["effect"].(map[string]any)
	// By hand: 6 mm is 20 % thicker than 5; a third to two thirds of that.
	if effect["low_percent"] != 6.67 || effect["high_percent"] != 13.33 {
		t.Errorf("%v", effect)
	}
	text, err := reply.Plain(r)
	if err != nil || !strings.Contains(text, "no source") || !strings.Contains(text, "becomes about 107 to 113") {
		t.Errorf("%v\n%s", err, text)
	}
	same := ask(t, "/hook size:H-8 instead:5 mm")
	if text, _ := reply.Plain(same); !strings.Contains(text, "nothing changes") {
		t.Error(text)
	}
}

func BenchmarkHook(b *testing.B) {
	set := All(withSwatch().services(), nil)
	for b.Loop() {
		set.RunLine(context.Background(), asker, "/hook size:7")
	}
}

func BenchmarkHookSuggestions(b *testing.B) {
	for b.Loop() {
		suggestHooks(context.Background(), Request{}, "steel 1")
	}
}
