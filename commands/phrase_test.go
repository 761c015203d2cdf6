package commands

import (
	"context"
	"strings"
	"testing"
	"unicode/utf8"

	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func TestEither(t *testing.T) {
	for _, c := range []struct {
		things []any
		want   string
	}{
		{nil, ""}, {[]any{"5 mm"}, "5 mm"}, {[]any{"5 mm", "6 mm"}, "5 mm oder 6 mm"}, {[]any{words.Key("wool"), words.Key("silk"), "x"}, "Wolle oder Seide oder x"},
	} {
		if got := words.For("de").Of(either(c.things...)); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := words.For("nl").Of(listing(words.Key("wool"), "100 %", words.Key("silk"))); got != "wol, 100 %, zijde" {
		t.Error(got)
	}
	if got := listing().String(); got != "" {
		t.Errorf("nothing is listed as %q", got)
	}
}

// TestWithin: German nouns keep their capitals.
func TestWithin(t *testing.T) {
	for code, want := range map[string]string{"en": "do not iron.", "de": "Nicht bügeln.", "nl": "niet strijken.", "es-ES": "no planchar."} {
		if got := within(words.For(code), "Do not iron."); got != want {
			t.Errorf("%s: %q, want %q", code, got, want)
		}
	}
}

// inLanguage asks as a member who reads a language.
func inLanguage(t *testing.T, code, line string) reply.Reply {
	t.Helper()
	m := withSwatch()
	m.settings[asker.Member.ID] = Settings{Language: code}
	return All(m.services(), nil).RunLine(context.Background(), asker, line)
}

// TestForeignNamesMeanTheSame: what is called by its name in another language is
// what it is by its English one.
func TestForeignNamesMeanTheSame(t *testing.T) {
	for _, c := range []struct{ code, line, english string }{
		{"de", "/yarn need piece:Mütze size:Kind 8 yarn:DK", "/yarn need piece:hat size:child 8 yarn:DK"},
		{"nl", "/yarn need piece:vest size:vrouw 2X yarn:DK", "/yarn need piece:cardigan size:woman 2X yarn:DK"},
		{"es-419", "/yarn need piece:calcetines size:bebé 12 meses yarn:hilo DK algodón", "/yarn need piece:socks size:baby 12 months yarn:DK cotton"},
		{"de", "/yarn care fibre:80 % Baumwolle, 20 % Polyamid", "/yarn care fibre:80 % cotton 20 % nylon"},
		{"nl", "/yarn care fibre:superwash wol", "/yarn care fibre:superwash wool"},
		{"es-ES", "/yarn care fibre:lana superwash", "/yarn care fibre:superwash wool"},
		{"de", "/yarn care symbol:Nicht in den Trockner", "/yarn care symbol:do not tumble dry"},
		{"es-ES", "/yarn care symbol:plancha", "/yarn care symbol:iron"},
		{"nl", "/yarn care symbol:crossed-out iron", "/yarn care symbol:crossed-out iron"},
		{"de", "/yarn weight name:superfein", "/yarn weight name:super fine"},
		{"de", "/size chart table:woman measure:Oberarm", "/size chart table:woman measure:upper arm"},
		{"es-ES", "/size chart table:woman measure:busto", "/size chart table:woman measure:bust"},
		{"nl", "/size chart table:baby size:6 maanden", "/size chart table:baby size:6 months"},
	} {
		foreign, english := inLanguage(t, c.code, c.line), inLanguage(t, "en", c.english)
		if foreign.Error != nil || english.Error != nil {
			t.Errorf("%s: %+v, %+v", c.line, foreign.Error, english.Error)
			continue
		}
		if got, want := figuresText(t, foreign), figuresText(t, english); got != want {
			t.Errorf("%s:\n%s\nwant\n%s", c.line, got, want)
		}
	}
}

func figuresText(t *testing.T, r reply.Reply) string {
	t.Helper()
	body, err := reply.JSON(reply.Reply{Title: "x", Data: r.Data}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

// TestForeignBalls: balls are counted in every language.
func TestForeignBalls(t *testing.T) {
	for text, want := range map[string]float64{"11 Knäuel": 11, "ein halbes Knäuel": 0.5, "1 1/2 bollen": 1.5, "een halve bol": 0.5, "medio ovillo": 0.5, "un ovillo": 1, "een bol": 1, "ein Knäuel": 1} {
		if got := readBalls(text); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// TestForeignOffers: what is offered while typing is within the service's
// limits, and means what it says, in every language.
func TestForeignOffers(t *testing.T) {
	ctx := context.Background()
	for _, l := range words.Languages {
		r := Request{Printer: words.For(l.Code)}
		for name, offers := range map[string][]Choice{
			"fibres": suggestFibres(ctx, r, ""), "symbols": suggestSymbols(ctx, r, ""), "hooks": suggestHooks(ctx, r, "7"),
			"pieces": suggestPieces(ctx, r, ""), "sizes": suggestSizes(ctx, r, ""), "measures": suggestMeasures(ctx, r, ""),
		} {
			if len(offers) == 0 || len(offers) > 25 {
				t.Errorf("%s in %s: %d offers", name, l.Code, len(offers))
			}
			for _, o := range offers {
				if n := utf8.RuneCountInString(o.Label); n == 0 || n > 100 || o.Value == "" || strings.Contains(o.Label, "%!") {
					t.Errorf("%s in %s: %+v", name, l.Code, o)
				}
			}
		}
		for _, p := range yarn.Pieces() {
			if got := meant(r.Printer, r.Say(words.Key(p.Name)), pieceNames()); got != p.Name {
				t.Errorf("%s in %s means %s", p.Name, l.Code, got)
			}
		}
		for _, table := range sizing.Tables() {
			for _, s := range table.Sizes {
				said := r.Of(sizedWords(table, s.Name))
				if got := englishSize(r.Printer, said); got != table.Name+" "+s.Name {
					t.Errorf("%s in %s means %s", said, l.Code, got)
				}
			}
		}
	}
}

// TestForeignChartsFitANarrowPhone: no table of sizes is wider than 38 columns in
// any language.
func TestForeignChartsFitANarrowPhone(t *testing.T) {
	for _, l := range words.Languages {
		for _, table := range sizing.Tables() {
			c := chart{in: words.For(l.Code), Table: table, units: measure.Inches, measures: measuresOf(table)}
			for _, narrow := range c.tables(c.measures) {
				width := -2
				for j, head := range narrow.Head {
					widest := utf8.RuneCountInString(head)
					for _, row := range narrow.Rows {
						widest = max(widest, utf8.RuneCountInString(row[j]))
					}
					width += widest + 2
				}
				if width > narrowColumns {
					t.Errorf("%s in %s: %v is %d columns wide", table.Name, l.Code, narrow.Head, width)
				}
			}
		}
	}
}
