package stitch

import "testing"

// Source: the term pairs of the basic stitches agree across stored trade
// tables, among them the Crochet Guild of America lessons (1997); the pairs of
// forms follow from them: a form keeps its sign, its base is translated.
func TestTermPairs(t *testing.T) {
	for _, c := range []struct{ us, uk string }{
		{"ch", "ch"},
		{"sl st", "ss"},
		{"sl st", "sl st"},
		{"sc", "dc"},
		{"hdc", "htr"},
		{"dc", "tr"},
		{"tr", "dtr"},
		{"dtr", "trtr"},
		{"dtr", "ttr"},
		{"trtr", "qtr"},
		{"chain", "chain"},
		{"slip stitch", "slip stitch"},
		{"single crochet", "double crochet"},
		{"half double crochet", "half treble"},
		{"double crochet", "treble"},
		{"treble crochet", "double treble"},
		{"double treble crochet", "triple treble"},
		{"triple treble crochet", "quadruple treble"},
		{"quadruple treble", "quintuple treble"},
		{"treble", "double treble"},
		{"triple crochet", "double treble crochet"},
		{"half double", "half treble crochet"},
		{"sc2tog", "dc2tog"},
		{"sc3tog", "dc3tog"},
		{"hdc2tog", "htr2tog"},
		{"hdc3tog", "htr3tog"},
		{"dc2tog", "tr2tog"},
		{"dc3tog", "tr3tog"},
		{"dc4tog", "tr4tog"},
		{"tr2tog", "dtr2tog"},
		{"tr3tog", "dtr3tog"},
		{"dtr2tog", "trtr2tog"},
		{"single crochet 2 together", "double crochet 2 together"},
		{"half double crochet two together", "half treble two together"},
		{"double crochet 3 together", "treble 3 together"},
		{"sc dec", "dc dec"},
		{"hdc dec", "htr dec"},
		{"dc dec", "tr dec"},
		{"FPsc", "FPdc"},
		{"FPhdc", "FPhtr"},
		{"FPdc", "FPtr"},
		{"FPtr", "FPdtr"},
		{"FPdtr", "FPtrtr"},
		{"BPsc", "BPdc"},
		{"BPhdc", "BPhtr"},
		{"BPdc", "BPtr"},
		{"BPtr", "BPdtr"},
		{"BPdtr", "BPtrtr"},
		{"fpdc", "rftr"},
		{"bpdc", "rbtr"},
		{"fpdc", "tr/rf"},
		{"bptr", "dtr/rb"},
		{"fpdc", "raised front treble"},
		{"bpsc", "raised back double crochet"},
		{"front post double crochet", "front post treble"},
		{"back post half double crochet", "back post half treble"},
		{"front post dc 2 together", "front post tr 2 together"},
		{"fpdc2tog", "fptr2tog"},
		{"bptr3tog", "bpdtr3tog"},
		{"esc", "edc"},
		{"ehdc", "ehtr"},
		{"edc", "etr"},
		{"etr", "edtr"},
		{"extended single crochet", "extended double crochet"},
		{"fsc", "fdc"},
		{"fhdc", "fhtr"},
		{"fdc", "ftr"},
		{"ftr", "fdtr"},
		{"foundation double crochet", "foundation treble"},
		{"sc inc", "dc inc"},
		{"hdc inc", "htr inc"},
		{"dc inc", "tr inc"},
		{"inc", "inc"},
		{"dec", "dec"},
		{"inv dec", "inv dec"},
		{"3-sc inc", "3-dc inc"},
		{"3-dc cluster", "3-tr cluster"},
		{"4-tr cluster", "4-dtr cluster"},
		{"2-hdc cluster", "2-htr cluster"},
		{"5-dc bobble", "5-tr bobble"},
		{"hdc puff", "htr puff"},
		{"5-dc popcorn", "5-tr popcorn"},
		{"dc popcorn", "tr popcorn"},
		{"5-dc shell", "5-tr shell"},
		{"7-tr shell", "7-dtr shell"},
		{"9-dc fan", "9-tr fan"},
		{"shell of 5 dc", "shell of 5 tr"},
		{"shell", "shell"},
		{"fan", "fan"},
		{"V-st", "V-st"},
		{"dc V-st", "tr V-st"},
		{"tr V-st", "dtr V-st"},
		{"picot", "picot"},
		{"ch-3 picot", "ch-3 picot"},
		{"crossed dc", "crossed tr"},
		{"cross st", "cross st"},
		{"crossed tr", "crossed dtr"},
		{"3-dc group", "3-tr group"},
		{"rev sc", "rev dc"},
		{"reverse single crochet", "reverse double crochet"},
		{"crab stitch", "crab stitch"},
		{"spike sc", "spike dc"},
		{"Ldc", "Ltr"},
		{"linked treble", "linked double treble"},
		{"hhdc", "hhtr"},
		{"BLO", "BLO"},
		{"FLO", "FLO"},
		{"tbl", "tbl"},
		{"standing sc", "standing dc"},
		{"standing dc", "standing tr"},
		{"magic ring", "magic ring"},
		{"MR", "MR"},
		{"sc ribbing", "dc ribbing"},
		{"hdc ribbing", "htr ribbing"},
		{"surface sl st", "surface ss"},
		{"Tss", "Tss"},
		{"Tks", "Tks"},
	} {
		us, uk := Named(c.us, US), Named(c.uk, UK)
		if len(us) == 0 || len(uk) == 0 || us[0] != uk[0] {
			t.Errorf("US %q is %q, UK %q is %q; they should be one stitch", c.us, us, c.uk, uk)
		}
	}
}

// Source: Handbook of Wool Knitting and Crochet, 1918, its own list of
// stitches; Dillmont, Encyclopedia of Needlework, for plain and long stitch.
func TestOlderTerms(t *testing.T) {
	for _, c := range []struct {
		word string
		want ID
	}{
		{"s c", "sl st"},
		{"single", "sl st"},
		{"singles", "sl st"},
		{"single crochet", "sl st"},
		{"sl-st", "sl st"},
		{"single stitch", "sl st"},
		{"d c", "sc"},
		{"double", "sc"},
		{"doubles", "sc"},
		{"double crochet", "sc"},
		{"plain stitch", "sc"},
		{"half treble", "hdc"},
		{"half-trebles", "hdc"},
		{"short treble", "hdc"},
		{"short-treble", "hdc"},
		{"t c", "dc"},
		{"treble", "dc"},
		{"trebles", "dc"},
		{"treble crochet", "dc"},
		{"d t c", "tr"},
		{"double treble", "tr"},
		{"double-trebles", "tr"},
		{"long stitch", "tr"},
		{"t t c", "dtr"},
		{"triple treble", "dtr"},
		{"triple-treble", "dtr"},
		{"ch", "ch"},
		{"chain", "ch"},
		{"picot", "picot"},
		{"shell", "shell"},
	} {
		if got := Named(c.word, Older); len(got) == 0 || got[0] != c.want {
			t.Errorf("%q in older terms is %q, want %s", c.word, got, c.want)
		}
	}
}

// The turning chains that the 1918 handbook states, in its own words: a double
// 1, a half treble 2, a treble 3, a double treble 4, a triple treble 5.
func TestOlderTurningChains(t *testing.T) {
	for word, chain := range map[string]int{"double": 1, "half treble": 2, "treble": 3, "double treble": 4, "triple treble": 5} {
		ids := Named(word, Older)
		if len(ids) == 0 {
			t.Fatalf("%s is not known", word)
		}
		if s, _ := Lookup(ids[0]); s.Chain != chain {
			t.Errorf("%s turns with %d chains, want %d", word, s.Chain, chain)
		}
	}
}

// Ways of writing that vary from maker to maker name the same stitch.
func TestSpellings(t *testing.T) {
	for want, words := range map[ID][]string{
		"sl st":        {"sl st", "slst", "sl-st", "SL ST", "Sl. st.", "ss", "slip stitch", "slip-stitch", "slip st", "slip stitches", "sl sts"},
		"sc":           {"sc", "SC", "s.c.", "single crochet", "single-crochet", "single crochets", "scs", "sc st", "sc sts"},
		"hdc":          {"hdc", "HDC", "half double crochet", "half-double crochet", "half double crochets", "half double", "h.d.c."},
		"dc":           {"dc", "Dc", "double crochet", "double crochets", "dcs", "dc sts"},
		"tr":           {"tr", "trc", "treble", "trebles", "treble crochet", "triple crochet"},
		"sc2tog":       {"sc2tog", "sc 2 tog", "sc2 tog", "SC2TOG", "single crochet two together", "single crochet 2 together", "2 sc together", "sc dec", "scdec", "single crochet decrease"},
		"hdc2tog":      {"hdc2tog", "hdc 2 tog", "half double crochet two together", "hdc dec"},
		"dc3tog":       {"dc3tog", "dc 3 tog", "double crochet three together", "double crochet 3 together"},
		"invdec":       {"inv dec", "invdec", "invisible decrease", "invisible dec", "inv. dec."},
		"sc inc":       {"sc inc", "scinc", "single crochet increase", "2 sc inc"},
		"v-st":         {"V-st", "v st", "V stitch", "V-stitches", "vst"},
		"fpdc":         {"FPdc", "fpdc", "FP dc", "front post double crochet", "front post dc", "front-post double crochet"},
		"puff":         {"puff", "puff st", "puff stitch", "puff stitches", "ps", "puffs"},
		"popcorn":      {"popcorn", "pc", "popcorn stitch", "popcorns", "pop"},
		"cluster":      {"cluster", "CL", "cl", "clusters", "cluster stitch"},
		"3-dc cluster": {"3-dc cluster", "3 dc cluster", "3dc cl", "three dc cluster", "3-dc clusters"},
		"5-dc shell":   {"5-dc shell", "5 dc shell", "five dc shell", "5-dc shells", "shell of five dc"},
		"ch-3 picot":   {"ch-3 picot", "ch 3 picot", "chain-3 picot", "picot of 3 ch", "p3"},
	} {
		for _, word := range words {
			if got := Named(word, US); len(got) == 0 || got[0] != want {
				t.Errorf("%q is %q, want %s", word, got, want)
			}
		}
	}
}
