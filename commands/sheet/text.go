package sheet

import (
	"regexp"
	"strings"
	"unicode"

	"countwright/commands/picture"
)

// run is text of one weight.
type run struct {
	text string
	bold bool
}

// set is text set into lines.
type set struct {
	x, width float64 // of the lines, in millimetres from the left of the page
	hang     float64 // how far all lines but the first are set in
	size     float64
	of       *element
	colour   picture.Colour // zero: black
}

// word is letters without a space between them, of one weight or several.
type word struct {
	runs  []run
	width float64
}

func (w *word) add(r rune, bold bool, size float64) {
	if n := len(w.runs); n > 0 && w.runs[n-1].bold == bold {
		w.runs[n-1].text += string(r)
	} else {
		w.runs = append(w.runs, run{string(r), bold})
	}
	w.width += picture.TextWidth(string(r), size, bold)
}

// lines breaks runs into lines. A word wider than a line is cut.
func (t set) lines(runs ...run) []strip {
	if t.colour.A == 0 {
		t.colour = black
	}
	var out []strip
	var line []word
	used, room := 0.0, t.width
	flush := func(end string) {
		if len(line) > 0 {
			out = append(out, t.line(line, len(out) > 0, end))
			line, used, room = nil, 0, t.width-t.hang
		}
	}
	for _, w := range t.words(runs, min(t.width, t.width-t.hang)) {
		space := 0.0
		if len(line) > 0 { // as the word before it
			before := line[len(line)-1].runs
			space = picture.TextWidth(" ", t.size, before[len(before)-1].bold)
		}
		if len(line) > 0 && used+space+w.width > room {
			flush(" ") // lines are read as one text
			space = 0
		}
		line, used = append(line, w), used+space+w.width
	}
	flush("")
	return out
}

// words takes runs apart at spaces.
func (t set) words(runs []run, widest float64) []word {
	var words []word
	var w word
	end := func() {
		if len(w.runs) > 0 {
			words, w = append(words, w), word{}
		}
	}
	for _, r := range runs {
		for _, c := range bound(clean(r.text)) {
			if c == ' ' {
				end()
				continue
			}
			before := w.width
			w.add(c, r.bold, t.size)
			if w.width > widest && before > 0 {
				cut := w.runs[len(w.runs)-1]
				w.runs[len(w.runs)-1].text = strings.TrimSuffix(cut.text, string(c))
				end()
				w.add(c, r.bold, t.size)
			}
		}
	}
	end()
	return words
}

// line sets words beside one another; those of one weight become one text,
// so that they are selected and read as one.
func (t set) line(words []word, hanging bool, end string) strip {
	var runs []run
	for i, w := range words {
		for j, r := range w.runs {
			last := len(runs) - 1
			switch {
			case last >= 0 && runs[last].bold == r.bold:
				runs[last].text += " " + r.text
			case last >= 0 && i > 0 && j == 0:
				runs[last].text += " "
				runs = append(runs, r)
			default:
				runs = append(runs, r)
			}
		}
	}
	runs[len(runs)-1].text += end
	x := t.x
	if hanging {
		x += t.hang
	}
	height := leading * t.size
	var marks []picture.Mark
	for _, r := range runs {
		r.text = strings.ReplaceAll(r.text, tie, " ")
		marks = append(marks, picture.Text{At: picture.Point{X: x, Y: baseline(height, t.size)}, Text: r.text, Size: t.size, Bold: r.bold, Colour: t.colour})
		x += picture.TextWidth(r.text, t.size, r.bold)
	}
	return strip{height: height, spans: []span{{t.of, marks}}}
}

// tie is a space at which no line is broken.
const tie = "\u00A0"

var (
	quantity = regexp.MustCompile(`(\d) (%|°C|(?:cm|mm|m|g|in|yd)\b)`)
	claimed  = regexp.MustCompile(`\([^()]{1,28}\)$`)
)

// bound ties units to their numbers, and keeps the count at the end of a row
// together.
func bound(s string) string {
	s = quantity.ReplaceAllString(s, "$1"+tie+"$2")
	return claimed.ReplaceAllStringFunc(s, func(c string) string { return strings.ReplaceAll(c, " ", tie) })
}

// baseline sets capitals in the middle of a line.
func baseline(height, size float64) float64 { return height/2 + capHeight*size/2 }

// block is a paragraph.
func (t set) block(before float64, runs ...run) block {
	return block{strips: t.lines(runs...), before: before}
}

// clean drops what has no place in a line of print: control characters and
// marks that turn the direction of writing. The fonts end at U+FFFF.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\uFEFF' || r == '\uFFFE' || r == '\uFFFF':
			return -1
		case unicode.Is(unicode.Variation_Selector, r) || r == '\u200D':
			return -1
		case r > 0xFFFF:
			return unicode.ReplacementChar
		}
		return r
	}, s)
}

func regular(s string) run { return run{text: s} }
func bold(s string) run    { return run{text: s, bold: true} }
