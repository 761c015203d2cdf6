package commands

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// stingingIn are, in other languages, words that compare people, press them or
// blame them, as stinging has them in English.
var stingingIn = map[string]*regexp.Regexp{
	"de": wordsOf(`zu spät`, `verspätet\pL*`, `hinterher`, `Rückstand`, `faul\pL*`, `versäum\pL*`, `verpass\pL*`, `beeil\pL*`, `Eile`, `eilig\pL*`, `nur`, `bloß`, `lediglich`,
		`endlich`, `schon wieder`, `noch nicht`, `immer noch`, `erst`, `vergess\pL*`, `langsam\pL*`, `schnell\pL*`, `aufhol\pL*`, `nachhol\pL*`, `trödel\pL*`, `versag\pL*`, `gescheitert`,
		`Verlierer\pL*`, `Gewinner\pL*`, `Rang\pL*`, `schäm\pL*`, `Schuld\pL*`, `enttäusch\pL*`, `aufgeb\pL*`, `aufgegeben`, `überfällig\pL*`, `Frist\pL*`, `säumig\pL*`, `untätig\pL*`, `hättest du`),
	"nl": wordsOf(`te laat`, `achter`, `achterstand`, `achterop`, `lui`, `luie`, `verzuim\pL*`, `gemist`, `haast`, `haasten`, `opschieten`, `alleen`, `slechts`, `enkel`, `pas`,
		`eindelijk`, `alweer`, `nog niet`, `nog steeds`, `vergeten`, `traag`, `trage`, `langza\pL*`, `sneller`, `inhalen`, `in te halen`, `treuzel\pL*`, `gefaald`, `mislukt`,
		`verliezer\pL*`, `winnaar\pL*`, `rang\pL*`, `schaam\pL*`, `schuld\pL*`, `teleur\pL*`, `opgeven`, `opgegeven`, `deadline\pL*`, `had je moeten`),
	"es": wordsOf(`tarde`, `atrasad\pL*`, `retras\pL*`, `rezagad\pL*`, `perezos\pL*`, `vag[oa]s?`, `prisa`, `apresur\pL*`, `apúrate`, `solo`, `sólo`, `solamente`, `apenas`,
		`por fin`, `todavía no`, `aún no`, `olvid\pL*`, `lent[oa]s?`, `rápid\pL*`, `recuperar`, `ponerse al día`, `fracas\pL*`, `fall[óa]\pL*`, `perdedor\pL*`, `ganador\pL*`, `clasificación`, `último lugar`,
		`vergüenza`, `culpa\pL*`, `decepci\pL*`, `abandon\pL*`, `rendirse`, `plazo\pL*`, `deberías`, `inactiv\pL*`),
}

func wordsOf(list ...string) *regexp.Regexp {
	return regexp.MustCompile(`(?i)(?:^|[^\pL])(` + strings.Join(list, "|") + `)(?:$|[^\pL])`)
}

// kindlyIn are the places in which such a word stings nobody, one by one.
var kindlyIn = map[string][]string{
	"de": {"Es gibt keine Rangliste", "Nur Hosts sehen diesen Entwurf", "stimmt nur in einer Richtung", "Niemand ist zu spät dran", "letzte Masche der Reihe vergessen"},
	"nl": {"Alleen wie erom vraagt", "aan jou alleen", "niet jij alleen", "Er is geen ranglijst", "er is niets in te halen", "Alleen hosts zien dit", "Niemand loopt achter", "lichaamsmaten achter een maat", "derde draad achter het V"},
	"es": {"ahorrar una tarde de trabajo", "lo sabe solo", "No hay clasificación", "nada que recuperar", "Solo quienes organizan ven este borrador", "Nadie va con retraso", "solo cuadra en un sentido"},
}

func stungIn(base, text string) []string {
	text = strings.Join(strings.Fields(text), " ")
	for _, place := range kindlyIn[base] {
		text = strings.ReplaceAll(text, place, "…")
	}
	var found []string
	for _, m := range stingingIn[base].FindAllStringSubmatch(text, -1) {
		found = append(found, m[1])
	}
	return found
}

func TestStingsInOtherLanguages(t *testing.T) {
	for _, c := range []struct {
		base, text string
		want       []string
	}{
		{"de", "Du bist zu spät, beeil dich! Nur noch zwei.", []string{"zu spät", "beeil", "Nur"}},
		{"de", "Später wird es schön; zuerst die Erste.", nil},
		{"nl", "Je bent te laat, haast je. Lui!", []string{"te laat", "haast", "Lui"}},
		{"nl", "Het achterpand is later.", nil},
		{"es", "Vas tarde y con prisa; solo faltan dos.", []string{"tarde", "prisa", "solo"}},
		{"es", "Más adelante, con el solomillo.", nil},
	} {
		if got := stungIn(c.base, c.text); !slices.Equal(got, c.want) {
			t.Errorf("%s, %q: got %q, want %q", c.base, c.text, got, c.want)
		}
	}
}

// TestNoWordShamesInAnyLanguage reads what make-alongs say in other languages:
// their texts, their declarations and the trip-ups that they tell.
func TestNoWordShamesInAnyLanguage(t *testing.T) {
	var keys []words.Key
	for key, places := range sourceOf(t).keys {
		for _, at := range places {
			if family(at.Filename) == "makealong" {
				keys = append(keys, key)
				break
			}
		}
	}
	for key, family := range declared() {
		if family == "makealong" {
			keys = append(keys, key)
		}
	}
	if len(keys) < 500 {
		t.Fatalf("only %d texts are found", len(keys))
	}
	for base := range stingingIn {
		p := words.For(base)
		texts := p.Each(keys...)
		for _, causes := range usualTrips {
			for _, c := range causes {
				trip, _ := c.tell(p, bothTerms)
				texts = append(texts, trip.Text(), trip.Caution)
			}
		}
		for _, text := range texts {
			if found := stungIn(base, text); len(found) > 0 {
				t.Errorf("%s: %q in %q", base, found, text)
			}
		}
	}
}

// TestPostsInOtherLanguages holds every situation of the golden posts, in each
// language, to the limits of the service, and to being kind.
func TestPostsInOtherLanguages(t *testing.T) {
	for _, l := range words.Languages[1:] {
		for name, p := range postings() {
			p.MakeAlong.Course.Language = l.Code
			r := worded(t, p).Reply
			if r == nil {
				continue
			}
			if r.Words.Language() != l {
				t.Errorf("%s in %s speaks %s", name, l.Code, r.Words.Language().Code)
			}
			text := saidIn(t, *r)
			if n := units16(text); n > 1900 {
				t.Errorf("%s in %s has %d characters; a message holds 2000, with marks", name, l.Code, n)
			}
			base, _, _ := strings.Cut(l.Code, "-")
			if found := stungIn(base, text); len(found) > 0 {
				t.Errorf("%s in %s: %q in\n%s", name, l.Code, found, text)
			}
			for _, a := range r.Actions {
				if b := a.(reply.Button); units16(b.Label) > 80 || len(b.Line) > longestLine {
					t.Errorf("%s in %s: the button %q is too long", name, l.Code, b.Label)
				}
			}
			if card, ok := r.Data.(EventCard); ok && (units16(card.Name) > 100 || units16(card.Location) > 100 || units16(card.Description) > 1000) {
				t.Errorf("%s in %s: the event's card is too long: %+v", name, l.Code, card)
			}
		}
	}
}

// A make-along speaks the language of its server, or the one that its host
// chooses for it; members are answered in theirs.
func TestMakeAlongSpeaksItsServersLanguage(t *testing.T) {
	for _, c := range []struct {
		locale, line, want string
	}{
		{"", "", ""},
		{"en-US", "", ""},
		{"de", "", "de"},
		{"es-MX", "", "es-419"},
		{"uk", "", ""},
		{"en-US", " language:de", "de"},
		{"de", " language:English", ""},
	} {
		m := newMemory()
		call := asker
		call.Host, call.ServerLocale = true, c.locale
		set := All(m.services(), nil)
		r := set.RunLine(t.Context(), call, "/makealong create name:Hats pattern:cardigan start:next Sunday zone:UTC"+c.line)
		if r.Error != nil {
			t.Fatalf("%s: %+v", c.locale, r.Error)
		}
		list, err := m.services().MakeAlongs.List(t.Context(), call.Server)
		if err != nil || len(list) == 0 {
			t.Fatal(err)
		}
		at := slices.IndexFunc(list, func(m MakeAlong) bool { return m.Name == "Hats" })
		if got := list[at].Course.Language; got != c.want {
			t.Errorf("server in %q,%s: it speaks %q, want %q", c.locale, c.line, got, c.want)
		}
		if title := list[at].Course.Milestones[len(list[at].Course.Milestones)-1].Title; c.want == "de" && !strings.HasPrefix(title, "Fertigstellen") {
			t.Errorf("the last milestone is called %q", title)
		}
	}
}
