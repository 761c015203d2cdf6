package chat

import (
	"strings"
	"testing"

	"countwright/bot/chat/loopback"
	"countwright/commands"
)

// TestEveryExampleInOtherLanguages asks the examples with the client in another
// language. The loopback service checks each answer's limits.
func TestEveryExampleInOtherLanguages(t *testing.T) {
	t.Parallel()
	for _, locale := range []string{"de", "nl", "es-419"} {
		set := commands.All(newCommunity(), nil)
		fake, _ := serving(t, set, nil)
		for _, path := range set.Paths() {
			c, _ := set.Lookup(path)
			if strings.HasPrefix(path, "project ") || strings.HasPrefix(path, "makealong ") || strings.HasPrefix(path, "me e") || c.For == commands.Hosts {
				continue
			}
			for _, line := range c.Examples {
				ask := example(t, set, line)
				ask.Locale = locale
				if m := fake.Ask(ask).Shown(); strings.Contains(m.Content, "### Not this time") || strings.Contains(m.Content, "**Caution:**") {
					t.Errorf("%s, %s: %s", locale, line, m.Content)
				}
			}
		}
	}
}

// TestLanguageOfTheClient: the member's client, else the server, decides; what
// is said before any command runs does so too.
func TestLanguageOfTheClient(t *testing.T) {
	t.Parallel()
	fake, _ := serving(t, commands.All(newCommunity(), nil), nil)
	for _, c := range []struct {
		ask  loopback.Ask
		want string
	}{
		{loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "87", "increase": "14"}, Locale: "de"}, "14 Zunahmen in einer Reihe"},
		{loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "87", "increase": "14"}, Locale: "fr", ServerLang: "nl"}, "14 meerderingen in een rij"},
		{loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "87", "increase": "14"}, Locale: "uk", ServerLang: "ja"}, "14 increases in a row"},
		{loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": "10", "decrease": "9"}, Locale: "es-ES"}, "`disminuir`: 9 disminuciones"},
		{loopback.Ask{Button: "old", Locale: "de"}, "Dieser Knopf ist von früher"},
	} {
		said := fake.Ask(c.ask).Shown().Content
		if !strings.Contains(said, c.want) {
			t.Errorf("%+v was answered with\n%s\nwant %q", c.ask, said, c.want)
		}
	}
}
