package notation

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// lexer cuts a text into tokens. It accepts every text: what it does not know
// becomes a token of kindOther.
type lexer struct {
	text   string
	at     spot
	tokens []token
	space  bool
	line   bool
	blank  bool
}

// lex returns the tokens of a text, the last one being kindEnd.
func lex(text string) []token {
	l := &lexer{text: text, at: spot{line: 1, col: 1}, line: true, blank: true}
	l.tokens = make([]token, 0, len(text)/3+1)
	for int(l.at.off) < len(l.text) {
		l.next()
	}
	l.add(kindEnd, l.at, "")
	return l.tokens
}

// peek returns the character n bytes ahead and its width.
func (l *lexer) peek(n int) (rune, int) {
	if int(l.at.off)+n >= len(l.text) {
		return 0, 0
	}
	if c := l.text[int(l.at.off)+n]; c < utf8.RuneSelf {
		return rune(c), 1
	}
	return utf8.DecodeRuneInString(l.text[int(l.at.off)+n:])
}

func (l *lexer) advance(width int) {
	l.at.off += int32(width)
	l.at.col++
}

func (l *lexer) add(k kind, from spot, low string) *token {
	l.tokens = append(l.tokens, token{kind: k, low: low, space: l.space, line: l.line, para: l.blank && l.line, from: from, to: l.at})
	l.space, l.line, l.blank = false, false, false
	return &l.tokens[len(l.tokens)-1]
}

func (l *lexer) next() {
	from := l.at
	c, w := l.peek(0)
	switch {
	case c == '\n' || c == '\r' || c == '\u2028' || c == '\u2029':
		l.newline(c, w)
	case unicode.IsSpace(c) || c == '\u200b' || c == '\ufeff' || c == '\u200d' || c == '\u2060' || c == '\u00ad':
		l.advance(w)
		l.space = l.space || (c != '\u200b' && c != '\u200d' && c != '\u2060' && c != '\u00ad')
	case c >= '0' && c <= '9' || fraction(c) > 0:
		l.number()
	case unicode.IsLetter(c):
		l.word()
	case c == '*' || c == '†' || c == '‡' || c == '⁎' || c == '∗' || c == '★' || c == '☆':
		l.stars(c)
	case c == '>':
		k := kindClose
		if l.line {
			k = kindMark // a quotation
		}
		l.advance(w)
		l.add(k, from, ">")
	default:
		l.advance(w)
		l.add(markKind(c), from, l.text[from.off:l.at.off])
	}
}

func (l *lexer) newline(c rune, w int) {
	if c == '\r' && strings.HasPrefix(l.text[l.at.off:], "\r\n") {
		w = 2
	}
	l.blank = l.blank || l.line
	l.at = spot{off: l.at.off + int32(w), line: l.at.line + 1, col: 1}
	l.line, l.space = true, true
}

func markKind(c rune) kind {
	switch c {
	case '(', '[', '{', '<', '（', '［':
		return kindOpen
	case ')', ']', '}', '）', '］':
		return kindClose
	case ',', '，', '、':
		return kindComma
	case ';', '；':
		return kindSemi
	case '.', '!', '?', '…', '。':
		return kindPeriod
	case ':', '：':
		return kindColon
	case '-', '–', '—', '−', '‐', '‑', '‒', '―', '~', '→':
		return kindDash
	case '/':
		return kindSlash
	case '+':
		return kindPlus
	case '=':
		return kindEquals
	case '&':
		return kindAnd
	case '×', '✕', '✖', '╳':
		return kindTimes
	case '#', '•', '·', '_', '|', '◦', '▪', '●', '‣', '✓', '☐', '`':
		return kindMark
	}
	return kindOther
}

// closing returns the bracket that closes an opening one.
func closing(open string) string {
	switch open {
	case "(", "（":
		return ")"
	case "[", "［":
		return "]"
	case "<":
		return ">"
	}
	return "}"
}

func (l *lexer) stars(c rune) {
	from, n := l.at, 0
	for {
		d, w := l.peek(0)
		if d != c {
			break
		}
		l.advance(w)
		n++
	}
	k := kindStar
	if n > 1 {
		k = kindStars
	}
	l.add(k, from, l.text[from.off:l.at.off])
}

// word reads letters and what may stand inside a word: digits ("hdc2tog"),
// apostrophes, and the plural in brackets ("st(s)"), which is left out.
func (l *lexer) word() {
	from := l.at
	plain := true
	for {
		c, w := l.peek(0)
		if c == '\'' || c == '’' || c == 'ʼ' {
			if d, _ := l.peek(w); !unicode.IsLetter(d) && l.at != from {
				break
			}
			plain = false // an apostrophe that is a letter by itself is a word
		} else if !(unicode.IsLetter(c) || c >= '0' && c <= '9' || unicode.Is(unicode.Mn, c)) || w == 0 {
			break
		}
		plain = plain && c < utf8.RuneSelf && !(c >= 'A' && c <= 'Z')
		l.advance(w)
	}
	low := l.text[from.off:l.at.off]
	if !plain {
		low = strings.ReplaceAll(strings.ToLower(low), "’", "'")
	}
	rest := l.text[l.at.off:]
	for _, plural := range []string{"(s)", "(es)", "(S)"} {
		if strings.HasPrefix(rest, plural) {
			for range plural {
				l.advance(1)
			}
		}
	}
	l.add(kindWord, from, low)
}

// number reads digits, thousands separators ("1,368"), a fraction ("8½",
// "8 1/2", "5.5") and an ordinal ending.
func (l *lexer) number() {
	from := l.at
	n := 0
	for {
		c, _ := l.peek(0)
		if c < '0' || c > '9' {
			break
		}
		n = min(n*10+int(c-'0'), numberCap)
		l.advance(1)
	}
	whole, real := n, float64(n)
	if c, w := l.peek(0); fraction(c) > 0 {
		real += fraction(c)
		l.advance(w)
	} else if d, _ := l.peek(1); (c == '.' || c == ',') && d >= '0' && d <= '9' && from != l.at {
		real = l.decimals(c, n)
		whole = int(real)
	}
	if ordinal := l.ordinalEnding(); ordinal > 0 && real == float64(n) {
		for range ordinal {
			l.advance(1)
		}
		t := l.add(kindOrdinal, from, "")
		t.n, t.real = n, real
		return
	}
	t := l.add(kindNumber, from, l.text[from.off:l.at.off])
	t.n, t.real = whole, real
}

// decimals reads what follows a point or comma inside a number: two digits or
// one are a fraction, three after a comma are thousands. "2,3,4" stays a list.
func (l *lexer) decimals(sep rune, n int) float64 {
	rest := l.text[l.at.off+1:]
	digits := 0
	for digits < len(rest) && rest[digits] >= '0' && rest[digits] <= '9' {
		digits++
	}
	value := 0
	for _, c := range rest[:min(digits, 6)] {
		value = value*10 + int(c-'0')
	}
	switch {
	case sep == ',' && digits == 3 && n < 10 && n > 0 && !l.inList(rest[3:]):
		for range digits + 1 {
			l.advance(1)
		}
		return float64(n*1000 + value)
	case sep == '.' && digits <= 6:
		for range digits + 1 {
			l.advance(1)
		}
		real, _ := strconv.ParseFloat(strconv.Itoa(n)+"."+rest[:digits], 64)
		return real
	}
	return float64(n)
}

// inList reports whether a comma here parts the numbers of a list: "89,105,120"
// and not thousands.
func (l *lexer) inList(rest string) bool {
	last := len(l.tokens) - 1
	return strings.HasPrefix(rest, ",") || last >= 0 && l.tokens[last].kind == kindComma && !l.space
}

// ordinalEnding returns the length of "st", "nd", "rd", "th" or "d" here, 0
// when a longer word follows ("2dc").
func (l *lexer) ordinalEnding() int {
	rest := l.text[l.at.off:]
	for _, end := range []string{"st", "nd", "rd", "th", "d"} {
		if len(rest) < len(end) || !strings.EqualFold(rest[:len(end)], end) {
			continue
		}
		c, _ := l.peek(len(end))
		if !unicode.IsLetter(c) && (c < '0' || c > '9') {
			return len(end)
		}
	}
	return 0
}

func fraction(c rune) float64 {
	switch c {
	case '½':
		return 0.5
	case '¼':
		return 0.25
	case '¾':
		return 0.75
	case '⅓':
		return 1.0 / 3
	case '⅔':
		return 2.0 / 3
	case '⅛':
		return 0.125
	case '⅜':
		return 0.375
	case '⅝':
		return 0.625
	case '⅞':
		return 0.875
	}
	return 0
}
