package notation

// PrintOptions tell how a tree is printed.
type PrintOptions struct {
	Terms Terms    // the dialect of the words; TermsUnsaid is US
	Style Style    // how a writer puts it; the zero Style is the trade's usual one
	Sizes []string // names of the sizes, for rows that only some sizes work
}

// Style is one writer's way to put rows. Every style prints text that Parse
// reads back as the same tree.
type Style struct {
	Words bool   // words instead of abbreviations: "half double crochet in next 3 stitches"
	Round string // how a round is called; empty: "Rnd"
	Row   string // how a row is called; empty: "Row"
	Count string // how a count is marked: "(" or "" for "(24 sts)", "[", "—", "="
	Bare  bool   // counts without what they count: "(24)"
	Times string // how a bracket's repeats are told: "" for "6 times", "x" for "x 6"
}

// StyleOf finds the writer's way in a text that was read: how rows and rounds
// are called, counts marked, repeats told.
func StyleOf(text string) Style {
	tokens := lex(text)
	v := votes{}
	for i := range tokens {
		v.see(text, tokens, i)
	}
	s := Style{Round: v.best("round"), Row: v.best("row"), Count: v.best("count"), Times: v.best("times")}
	s.Words = v["words"]["yes"] > v["words"]["no"]
	s.Bare = v["bare"]["yes"] > v["bare"]["no"]
	if s.Count == "(" {
		s.Count = ""
	}
	if s.Round == "Rnd" {
		s.Round = ""
	}
	if s.Row == "Row" {
		s.Row = ""
	}
	return s
}

// votes count, by question, how often each answer was seen.
type votes map[string]map[string]int

func (v votes) vote(question, answer string) {
	if v[question] == nil {
		v[question] = map[string]int{}
	}
	v[question][answer]++
}

// best returns the commonest answer, the first in order among equals, "" for
// none.
func (v votes) best(question string) string {
	best := ""
	for answer, n := range v[question] {
		if n > v[question][best] || n == v[question][best] && answer < best {
			best = answer
		}
	}
	return best
}

func (v votes) see(text string, tokens []token, i int) {
	t := tokens[i]
	src := text[t.from.off:t.to.off]
	next := tokens[min(i+1, len(tokens)-1)]
	switch {
	case t.kind == kindWord && t.line && next.kind == kindNumber:
		switch t.low {
		case "rnd", "round", "rd":
			v.vote("round", src)
		case "row":
			v.vote("row", src)
		}
	case t.kind == kindWord && (t.low == "crochet" || t.low == "chain"):
		v.vote("words", "yes")
	case t.kind == kindWord && (t.low == "sc" || t.low == "dc" || t.low == "hdc" || t.low == "tr" || t.low == "ch"):
		v.vote("words", "no")
	case t.kind == kindNumber && next.kind == kindWord && next.low == "times":
		v.vote("times", "")
	case t.kind == kindWord && t.low == "x" && next.kind == kindNumber:
		v.vote("times", "x")
	case t.kind == kindOpen && next.kind == kindNumber && endsRow(tokens, i):
		v.vote("count", src)
		if tokens[min(i+2, len(tokens)-1)].kind == kindClose {
			v.vote("bare", "yes")
		} else {
			v.vote("bare", "no")
		}
	case (t.kind == kindDash && src == "—" || t.kind == kindEquals) && next.kind == kindNumber && endsRow(tokens, i):
		v.vote("count", src)
	}
}

// endsRow reports whether the line ends shortly behind a token.
func endsRow(tokens []token, i int) bool {
	for j := i + 1; j < len(tokens) && j < i+10; j++ {
		if tokens[j].line || tokens[j].kind == kindEnd {
			return true
		}
	}
	return false
}
