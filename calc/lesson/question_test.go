package lesson

import (
	"slices"
	"testing"

	"countwright/calc/lookup"
	"countwright/calc/stitch"
)

// Words of ten languages, as a maker with a foreign pattern types them: with
// or without accents, with typing errors, in either script.
//
// Source: from memory, as the data files say of themselves.
func TestForeignQuestions(t *testing.T) {
	for _, c := range []struct {
		tag, ask string
		want     stitch.ID
	}{
		{"de", "Luftmasche", "ch"},
		{"de", "Kettmasche", "sl st"},
		{"de", "feste Masche", "sc"},
		{"de", "feste Maschen", "sc"},
		{"de", "halbes Stäbchen", "hdc"},
		{"de", "halbes Staebchen", "hdc"},
		{"de", "Stäbchen", "dc"},
		{"de", "stabchen", "dc"},
		{"de", "Doppelstäbchen", "tr"},
		{"de", "Dreifachstäbchen", "dtr"},
		{"de", "Fadenring", "mr"},
		{"de", "Noppe", "bobble"},
		{"de", "Krebsmaschen", "rsc"},
		{"de", "Popcornmasche", "popcorn"},
		{"de", "Muschel", "shell"},
		{"de", "Luftmashce", "ch"},
		{"de", "fM", "sc"},
		{"de", "hStb", "hdc"},
		{"de", "Abnahme", "dec"},
		{"de", "Zunahme", "inc"},
		{"nl", "losse", "ch"},
		{"nl", "halve vaste", "sl st"},
		{"nl", "vaste", "sc"},
		{"nl", "half stokje", "hdc"},
		{"nl", "stokje", "dc"},
		{"nl", "dubbel stokje", "tr"},
		{"nl", "kreeftensteek", "rsc"},
		{"nl", "pufsteek", "puff"},
		{"nl", "magische ring", "mr"},
		{"nl", "schelp", "shell"},
		{"fr", "maille en l'air", "ch"},
		{"fr", "maille en lair", "ch"},
		{"fr", "maille coulée", "sl st"},
		{"fr", "maille coulee", "sl st"},
		{"fr", "maille serrée", "sc"},
		{"fr", "demi-bride", "hdc"},
		{"fr", "demi bride", "hdc"},
		{"fr", "bride", "dc"},
		{"fr", "double bride", "tr"},
		{"fr", "triple bride", "dtr"},
		{"fr", "cercle magique", "mr"},
		{"fr", "coquille", "shell"},
		{"fr", "point d'écrevisse", "rsc"},
		{"es", "cadeneta", "ch"},
		{"es", "punto enano", "sl st"},
		{"es", "punto deslizado", "sl st"},
		{"es", "punto bajo", "sc"},
		{"es", "medio punto", "sc"},
		{"es", "punto alto", "dc"},
		{"es", "vareta", "dc"},
		{"es", "vareta doble", "tr"},
		{"es", "anillo mágico", "mr"},
		{"es", "anillo magico", "mr"},
		{"es", "disminución", "dec"},
		{"es", "punto cangrejo", "rsc"},
		{"es", "abanico", "fan"},
		{"pt", "correntinha", "ch"},
		{"pt", "ponto baixíssimo", "sl st"},
		{"pt", "ponto baixissimo", "sl st"},
		{"pt", "ponto baixo", "sc"},
		{"pt", "meio ponto alto", "hdc"},
		{"pt", "ponto alto", "dc"},
		{"pt", "ponto alto duplo", "tr"},
		{"pt", "ponto pipoca", "popcorn"},
		{"pt", "leque", "fan"},
		{"it", "catenella", "ch"},
		{"it", "maglia bassissima", "sl st"},
		{"it", "maglia bassa", "sc"},
		{"it", "mezza maglia alta", "hdc"},
		{"it", "maglia alta", "dc"},
		{"it", "maglia altissima", "tr"},
		{"it", "punto gambero", "rsc"},
		{"it", "pippiolino", "picot"},
		{"it", "ventaglio", "fan"},
		{"da", "kædemaske", "sl st"},
		{"da", "kaedemaske", "sl st"},
		{"da", "halvstangmaske", "hdc"},
		{"da", "stangmaske", "dc"},
		{"da", "dobbeltstangmaske", "tr"},
		{"da", "indtagning", "dec"},
		{"da", "udtagning", "inc"},
		{"da", "krebsemaske", "rsc"},
		{"sv", "luftmaska", "ch"},
		{"sv", "smygmaska", "sl st"},
		{"sv", "fastmaska", "sc"},
		{"sv", "halvstolpe", "hdc"},
		{"sv", "stolpe", "dc"},
		{"sv", "dubbelstolpe", "tr"},
		{"sv", "ökning", "inc"},
		{"sv", "okning", "inc"},
		{"sv", "minskning", "dec"},
		{"sv", "främre maskbågen", "flo"},
		{"no", "kjedemaske", "sl st"},
		{"no", "halvstav", "hdc"},
		{"no", "stav", "dc"},
		{"no", "dobbeltstav", "tr"},
		{"no", "felling", "dec"},
		{"no", "økning", "inc"},
		{"ja", "鎖編み", "ch"},
		{"ja", "くさりあみ", "ch"},
		{"ja", "クサリアミ", "ch"},
		{"ja", "引き抜き編み", "sl st"},
		{"ja", "細編み", "sc"},
		{"ja", "こまあみ", "sc"},
		{"ja", "中長編み", "hdc"},
		{"ja", "長編み", "dc"},
		{"ja", "ながあみ", "dc"},
		{"ja", "長々編み", "tr"},
		{"ja", "玉編み", "puff"},
		{"ja", "パプコーン編み", "popcorn"},
		{"ja", "ピコット", "picot"},
		{"ja", "松編み", "shell"},
		{"ja", "kusari ami", "ch"},
	} {
		got := Find(c.ask, stitch.US, 5)
		i := slices.IndexFunc(got, func(m lookup.Match) bool { return m.Key == string(c.want) })
		if i < 0 || i > 1 { // a word may belong to two languages
			t.Errorf("%s (%s) finds %v, want %s among the first two", c.ask, c.tag, got, c.want)
		}
	}
}

// What a first week asks, in whatever words come to mind.
func TestFirstWeekQuestions(t *testing.T) {
	for _, c := range []struct {
		ask  string
		d    stitch.Dialect
		want stitch.ID
	}{
		{"how do I single crochet?", stitch.US, "sc"},
		{"how to do a slip stitch", stitch.US, "sl st"},
		{"what is a treble", stitch.US, "tr"},
		{"what is a treble", stitch.UK, "dc"},
		{"what is hdc", stitch.US, "hdc"},
		{"what's a htr", stitch.UK, "hdc"},
		{"whats dtr", stitch.UK, "tr"},
		{"tripple crochet", stitch.US, "tr"},
		{"half dubble crochet", stitch.US, "hdc"},
		{"singel crochet", stitch.US, "sc"},
		{"chian stitch", stitch.US, "ch"},
		{"slp stitch", stitch.US, "sl st"},
		{"popcorn stich", stitch.US, "popcorn"},
		{"bobbel", stitch.US, "bobble"},
		{"puf stitch", stitch.US, "puff"},
		{"shel stitch", stitch.US, "shell"},
		{"v stitch", stitch.US, "v-st"},
		{"pico", stitch.US, "picot"},
		{"piccot edging", stitch.US, "picot edging"},
		{"magic cirlce", stitch.US, "mr"},
		{"invisable decrease", stitch.US, "invdec"},
		{"front post double crochet", stitch.US, "fpdc"},
		{"back post treble", stitch.UK, "bpdc"},
		{"raised treble front", stitch.UK, "fpdc"},
		{"single crochet 2 together", stitch.US, "sc2tog"},
		{"dc two tog", stitch.UK, "sc2tog"},
		{"double crochet decrease", stitch.US, "dc2tog"},
		{"crab stich", stitch.US, "rsc"},
		{"reverse single crochet", stitch.US, "rsc"},
		{"long single crochet", stitch.US, "spike sc"},
		{"chainless foundation", stitch.US, "fsc"},
		{"foundation double", stitch.US, "fdc"},
		{"waistcote stitch", stitch.US, "ksc"},
		{"moss stitch", stitch.US, "moss"},
		{"linen stich", stitch.US, "moss"},
		{"granny cluster", stitch.US, "granny group"},
		{"chevron", stitch.US, "wave"},
		{"solomons knot", stitch.US, "love knot"},
		{"tunisian simple", stitch.US, "tss"},
		{"back loop", stitch.US, "blo"},
		{"3rd loop", stitch.US, "third loop"},
		{"surface crochet", stitch.US, "surface sl st"},
		{"fasten of", stitch.US, "fasten off"},
		{"changing colour", stitch.UK, "color change"},
		{"fptr2tog", stitch.US, "fptr2tog"},
		{"6-dc shell", stitch.US, "6-dc shell"},
		{"5 tr cluster", stitch.UK, "5-dc cluster"},
	} {
		got := Find(c.ask, c.d, 5)
		if len(got) == 0 || got[0].Key != string(c.want) {
			t.Errorf("%q in %v terms finds %v, want %s first", c.ask, c.d, got, c.want)
		}
	}
}
